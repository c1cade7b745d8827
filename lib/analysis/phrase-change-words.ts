// What a phrase does where the chord changes: each tone told once.
import { PUSH } from '../solo/harmony.js';
import type { Chord } from '../theory/chord.js';
import { listed } from './implied-words.js';
import {
  chordAt,
  endOf,
  letterOf,
  nameOf,
  onsetOf,
  type PhraseFacts,
  partOf,
  partsOf,
  pitchOf,
  placeOf,
  spanAtTime,
  spokenPlace,
} from './phrase-facts.js';
import { capital } from './spoken.js';

type Met = PhraseFacts['landings'][number];

/** What is told of the changes. */
export interface ChangeWords {
  readonly said?: string;
  /** All changes from the entry to the ending are met on one degree: then it is said of all together. */
  readonly patterned: boolean;
  /** Those of them that are told of one by one. */
  readonly listed: readonly number[];
  /** The tones told here. */
  readonly rows: readonly number[];
}

/** Fewest changes of which one word can be said together. */
const PATTERN = 3;

/** `bends` are tones of bends, which are told with the bend. */
export function changesOfPhrase(f: PhraseFacts, bends: ReadonlySet<number>): ChangeWords {
  const pattern = patternIn(f);
  if (pattern) return pattern;
  const told = f.landings.filter(
    ({ row, how }) =>
      row !== f.ending.row && !bends.has(row) && (row !== f.entry.row || how === 'held') && how !== 'none',
  );
  const plain = told.filter((l) => l.how === 'starts' && !isFirst(l));
  const pushes = told.filter((l) => isPush(f, l));
  const clauses = told.flatMap((l): readonly string[] => {
    if (plain.includes(l)) return l === plain[0] ? [plainWords(f, plain)] : [];
    if (pushes.length > 1 && pushes.includes(l)) return l === pushes[0] ? [pushWords(f, pushes)] : [];
    return [clause(f, l)];
  });
  return {
    patterned: false,
    listed: [],
    rows: told.map(({ row }) => row),
    ...(clauses.length > 0 && { said: `${capital(clauses.join('; '))}.` }),
  };
}

/** A chord that comes after no chord is no change of one. */
const isFirst = ({ from }: Met): boolean => from === 'pickup' || from === 'N.C.';

const newChord = (f: PhraseFacts, { at }: Met): Chord => chordAt(f, at) as Chord;
const partThere = (f: PhraseFacts, l: Met): string => partOf(f, l.row, newChord(f, l));

function patternIn(f: PhraseFacts): ChangeWords | undefined {
  const met = f.landings.filter(({ how }) => how === 'starts' || how === 'held');
  if (met.length < PATTERN || f.landings.some(({ how }) => how === 'after')) return undefined;
  const parts = met.map((l) => partThere(f, l));
  const most = parts.reduce((best, part) => (count(parts, part) > count(parts, best) ? part : best));
  const odd = met.filter((_, k) => parts[k] !== most);
  if (odd.length > (met.length >= 4 ? 1 : 0)) return undefined;
  const same = met.filter((_, k) => parts[k] === most);
  const but = odd.map((l) => ` but ${l.chord} (its ${partThere(f, l)})`).join('');
  const places = same.map((l) => `${letterOf(f, l.row)} of ${l.chord}`);
  const runs = places.filter((place, k) => place !== places[k - 1]);
  const list = most === 'root' ? '' : `: ${runs.join(', ')}`; // that F is the root of F7 is no news
  return {
    patterned: true,
    rows: met.map(({ row }) => row),
    listed: most === 'root' ? [] : same.map(({ row }) => row),
    said: `${isOneVoice(f, met) ? 'On' : 'Top voice on'} the ${most} of every new chord${but}${list}.`,
  };
}

/** False where more than one string sounds as a chord comes: what is told is true of the top one. */
const isOneVoice = (f: PhraseFacts, met: readonly Met[]): boolean =>
  met.every(({ at }) => f.tones.filter((row) => onsetOf(f, row) <= at && endOf(f, row) > at).length <= 1);

const count = (list: readonly string[], one: string): number => list.filter((other) => other === one).length;

function plainWords(f: PhraseFacts, plain: readonly Met[]): string {
  if (plain.length <= 3) {
    const parts = plain.map((l) => partThere(f, l));
    const words = plain.map(
      (l, k) => `${parts[k] === parts[k - 1] ? '' : `the ${parts[k]} `}of ${l.chord} (bar ${l.bar})`,
    );
    return `at the ${plain.length === 1 ? 'change' : 'changes'} ${listed(words)}`;
  }
  const groups = new Map<string, string[]>();
  for (const l of plain) groups.set(partThere(f, l), [...(groups.get(partThere(f, l)) ?? []), l.chord]);
  const words = [...groups]
    .sort((a, b) => b[1].length - a[1].length)
    .map(([part, chords]) => `the ${part} of ${listed([...new Set(chords)])}`);
  return `at the changes ${words.join(', ')}`;
}

function clause(f: PhraseFacts, l: Met): string {
  const part = partThere(f, l);
  const name = nameOf(f, l.row);
  if (l.how === 'held') return heldWords(f, l);
  if (l.how === 'after') {
    const { bar } = placeOf(f, l.row);
    const on = spokenPlace(f, l.row, bar !== l.bar);
    const what = isFirst(l) ? `the first chord` : `the change to ${l.chord}`;
    return `lets ${l.from === 'N.C.' ? `the return of ${l.chord}` : what} go by, comes in ${on} with its ${part} (${name}, bar ${bar})`;
  }
  return l.from === 'pickup'
    ? `the first chord comes in on its ${part} (${name})`
    : `${l.chord} comes back in on its ${part} (${name}, bar ${l.bar})`;
}

const isPush = (f: PhraseFacts, l: Met): boolean => l.how === 'held' && l.at - onsetOf(f, l.row) <= PUSH;

/** The tones that begin with one and sound on with it into the new chord, from low to high. */
const heldOver = (f: PhraseFacts, l: Met): readonly number[] =>
  f.tones
    .filter((row) => onsetOf(f, row) === onsetOf(f, l.row) && endOf(f, row) > l.at)
    .sort((a, b) => pitchOf(f, a) - pitchOf(f, b));

/** Both sides of what sounds on into a new chord. */
function heldWords(f: PhraseFacts, l: Met): string {
  const rows = heldOver(f, l);
  const names = listed(rows.map((row) => nameOf(f, row)));
  const parts = partsOf(f, rows, newChord(f, l));
  const there = `${rows.length > 1 ? '' : 'the '}${parts} of ${l.chord}`;
  const { chord, symbol } = spanAtTime(f, onsetOf(f, l.row));
  const push = isPush(f, l);
  if (!chord) {
    const to = l.from === 'pickup' ? 'the first chord' : l.chord;
    return `${push ? 'pushes' : 'holds'} ${names} into ${to}${push ? ` ${spokenPlace(f, l.row)}` : ''}: ${there}`;
  }
  const what = push ? `pushes ${names} ${spokenPlace(f, l.row)}` : `holds ${names} into bar ${l.bar}`;
  return `${what}: ${partsOf(f, rows, chord)} of ${symbol}; held, ${there}`;
}

/** Some pushes: `pushes Bb4 into C7 (third of Gm7, then seventh) and Ab4 into Fm7 (fifth of C7, then third)`. */
function pushWords(f: PhraseFacts, pushes: readonly Met[]): string {
  const words = pushes.map((l) => {
    const rows = heldOver(f, l);
    const { chord, symbol } = spanAtTime(f, onsetOf(f, l.row));
    const before = chord ? `${partsOf(f, rows, chord)} of ${symbol}, then ` : '';
    return `${listed(rows.map((row) => nameOf(f, row)))} into ${l.chord} (${before}${partsOf(f, rows, newChord(f, l))})`;
  });
  return `pushes ${listed(words)}`;
}
