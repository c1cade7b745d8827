// Bends as gestures of the hand: up, picked again, let down; and curls.
import { type Cents, cents } from '../foundation/units.js';
import { bendInWords } from '../guitar/bend.js';
import { REACHED } from '../guitar/technique.js';
import { PUSH } from '../solo/harmony.js';
import type { Chord } from '../theory/chord.js';
import { listed } from './implied-words.js';
import {
  chordAt,
  countWords,
  endOf,
  isCurled,
  nameOf,
  nextChange,
  onsetOf,
  type PhraseFacts,
  partOf,
  placeOf,
  placeWords,
  spanAtTime,
} from './phrase-facts.js';
import { barInWords, capital, timesInWords } from './spoken.js';

/** One bend from the string's being pushed up to its being let go, as rows in order of time. */
export interface Gesture {
  readonly rows: readonly number[];
  /** A quarter-tone and no more. */
  readonly curl: boolean;
}

const reachedOf = ({ table }: PhraseFacts, row: number): string =>
  REACHED[table.columns.reached[row] as number] as string;
const levelOf = ({ table }: PhraseFacts, row: number): number => table.columns.level[row] as number;

/** The bends of a phrase in order of time. */
export function gesturesOf(f: PhraseFacts): readonly Gesture[] {
  const open = new Map<number, number[]>();
  const found: number[][] = [];
  for (const row of f.tones) {
    const string = f.table.columns.string[row] as number;
    const how = reachedOf(f, row);
    if (how === 'straight') {
      open.delete(string);
      continue;
    }
    const known = open.get(string);
    const goesOn = known && (how === 'held' || how === 'released' || f.table.columns.start[row] === NO_START);
    if (goesOn) known.push(row);
    else {
      const fresh = [row];
      found.push(fresh);
      open.set(string, fresh);
    }
    if (levelOf(f, row) === 0) open.delete(string);
  }
  return found.map((rows) => ({ rows, curl: rows.every((row) => levelOf(f, row) <= 50) }));
}

/** The code of a tone that is not played again. */
const NO_START = 5;

/** What a row of a bend is over its chord, `of` the chord if another was named before: `, the ninth of Bb7`. */
function part(f: PhraseFacts, row: number, before: Chord | undefined): string {
  const { chord, symbol } = spanAtTime(f, onsetOf(f, row));
  if (!chord) return '';
  const curled = isCurled(f, row);
  const words = partOf(f, row, chord).replace(/^curled /, '');
  const sound =
    curled && words === 'third' && !chord.members.some(({ semitones }) => semitones === 3) ? 'blue third' : words;
  if (before === chord) return `, the ${sound}`;
  return `, the ${sound} of ${symbol}`;
}

/** A gesture in words; `bare` without places, to tell equal ones; `holding` is what is done while it is held up. */
export function gestureWords(f: PhraseFacts, { rows, curl }: Gesture, bare: boolean, holding?: string): string {
  const [first] = rows as readonly [number];
  const at = bare ? '' : ` (${placeWords(f, first)})`;
  const parts: string[] = [];
  rows.forEach((row, k) => {
    const before = k === 0 ? undefined : chordAt(f, onsetOf(f, rows[k - 1] as number));
    const how = reachedOf(f, row);
    const where = k === 0 ? at : bare ? '' : whereNext(f, rows[k - 1] as number, row);
    const name = isCurled(f, row) && levelOf(f, row) !== 50 ? `a quarter-tone above ${nameOf(f, row)}` : nameOf(f, row);
    const target = `${name}${part(f, row, before)}`;
    if (how === 'held') {
      parts.push(k === 0 ? `picks ${target} on a bend already held${where}` : `picks it again held${where}`);
    } else if (how === 'released') {
      const change = changeAt(f, row);
      const as = change && k > 0 ? `as ${change} comes ` : '';
      const down = as ? target.replace(/, the (.*) of .*$/, ', its $1') : target;
      if (curl && levelOf(f, row) === 0 && k > 0) parts.push(`${as}lets it go${where}`);
      else parts.push(`${as}lets ${k === 0 ? 'a bend' : 'it'} down to ${down}${where}`);
    } else if (how === 'prebent') parts.push(`pre-bends ${sizeOf(f, row)} to ${target}${where}`);
    else if (levelOf(f, row) === 50) parts.push(`${curlWords(f, row)}${where}`);
    else parts.push(`${k === 0 ? `bends ${sizeOf(f, row)} up` : 'bends it on'} to ${target}${where}`);
    if (k === 0 && holding !== undefined) parts.push(holding);
  });
  return parts.length === 1 ? (parts[0] as string) : listed(parts);
}

function sizeOf(f: PhraseFacts, row: number): string {
  const size = bendInWords(cents(levelOf(f, row)) as Cents);
  return /^\d|^two/.test(size) ? size : `a ${size}`;
}

/** On the last eighth before a change a curl leads into the new chord; it is in it only if it is held so long. */
function curlWords(f: PhraseFacts, row: number): string {
  const next = nextChange(f, onsetOf(f, row));
  const leads = next?.chord && next.start - onsetOf(f, row) <= PUSH && f.tones.some((r) => onsetOf(f, r) >= next.start);
  if (!leads || !next?.chord) return `curls ${nameOf(f, row)}${part(f, row, undefined)}`;
  const there = partOf(f, row, next.chord).replace(/^curled /, '');
  const isMinor = next.chord.members.some(({ semitones }) => semitones === 3);
  const what = there === 'third' && !isMinor ? 'blue third' : there;
  if (endOf(f, row) > next.start) return `curls ${nameOf(f, row)} into ${next.symbol}, whose ${what} it is`;
  return `curls ${nameOf(f, row)}, the ${what} of the ${next.symbol} to come`;
}

/** The chord that comes in just where a tone begins. */
function changeAt(f: PhraseFacts, row: number): string | undefined {
  const span = f.spans.find(({ start, isChange }) => isChange && start === onsetOf(f, row));
  return span?.chord && span.symbol;
}

function whereNext(f: PhraseFacts, before: number, row: number): string {
  const [one, other] = [placeOf(f, before), placeOf(f, row)];
  if (one.bar === other.bar && one.count === other.count) return '';
  return one.bar === other.bar ? ` (${countWords(f, other.bar, other.count)})` : ` (${placeWords(f, row)})`;
}

/** Kinds of bends told of at most. */
const MOST = 3;

/** The bends of a phrase, but for those told elsewhere: real bends before curls if they are many, in order of time. */
export function bendWords(
  f: PhraseFacts,
  told: ReadonlySet<number>,
): { readonly said?: string; readonly rows: readonly number[] } {
  const gestures = gesturesOf(f).filter(
    ({ rows, curl }) => !(curl ? told.has(rows[0] as number) : rows.every((row) => told.has(row))),
  );
  const groups = new Map<string, Gesture[]>();
  for (const gesture of gestures) {
    const key = gestureWords(f, gesture, true);
    groups.set(key, [...(groups.get(key) ?? []), gesture]);
  }
  const all = [...groups];
  const chosen = all.length <= MOST ? all : [...all].sort((a, b) => weight(b[1]) - weight(a[1])).slice(0, MOST);
  const shown = all.filter((group) => chosen.includes(group));
  if (shown.length === 0) return { rows: [] };
  const words = shown.map(([bare, group]) => {
    const [one] = group as [Gesture];
    if (group.length === 1) return gestureWords(f, one, false);
    const { bar, count } = placeOf(f, one.rows[0] as number);
    return `${bare} (${timesInWords(group.length)}, first in ${barInWords(bar)} ${countWords(f, bar, count)})`;
  });
  return {
    said: `${capital(words.join('; '))}.`,
    rows: shown.flatMap(([, group]) => (group.length === 1 ? (group[0] as Gesture).rows : [])),
  };
}

const weight = (group: readonly Gesture[]): number =>
  group.length + (group[0]?.curl ? 0 : 100) + (group[0]?.rows.length as number) * 10;
