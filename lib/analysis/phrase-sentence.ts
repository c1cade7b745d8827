// What a teacher would say of a phrase in one breath: how it comes in, what it plays, what its strings say together, how it lands.
import { lengthInWords, QUARTER } from '../foundation/time.js';
import { type Cents, cents, type Ticks } from '../foundation/units.js';
import { bendInWords } from '../guitar/bend.js';
import { REACHED } from '../guitar/technique.js';
import { isMember, PUSH, ROLES, type Role } from '../solo/harmony.js';
import type { Phrase } from '../solo/solo.js';
import { FLAG, MISSING, type NamedSolo, placeOfTone, type ToneTable, toneName } from '../solo/tone-table.js';
import { DEGREE_NAMES } from '../theory/interval.js';
import { type Meter, parseMeter } from '../theory/meter.js';
import { type Entry, entriesOf } from './entry.js';
import { type ImpliedChord, impliedChords } from './implied-chord.js';
import { listed } from './implied-words.js';
import { changesOf, type Landing, landingsOf, type PhraseEnding, phraseEndingsOf } from './landing.js';
import { type ScaleFit, scaleFits } from './scale-fit.js';

/** A phrase in words. Each part is a sentence of its own, absent where there is nothing to say. */
export interface PhraseSentence {
  readonly solo: string;
  readonly player: string;
  readonly phrase: string;
  readonly name: string;
  /** How it comes in, and on which notes: scale and added notes, or the notes themselves where they are few. */
  readonly entry: string;
  /** Bends, pre-bends and curls, and what they reach. */
  readonly bends?: string;
  /** What strings that sound together say. */
  readonly implied?: string;
  /** What it plays where the chord changes. */
  readonly changes?: string;
  readonly ending: string;
  /** All parts in order. */
  readonly said: string;
}

/**
 * A few sentences for each phrase of a table, in order of solos and time; phrases of dead notes only are passed over.
 * Nothing is weighed: every word can be checked at the place it names.
 * @example
 * const table = toneTable([{ id: 'two-doors-down', solo: parseSoloOrThrow(EXAMPLE_SOLO) }])
 * phraseSentences(table)[0]?.ending // => 'Ends on the root of Am7 (A4), on beat 3 of bar 1.'
 */
export function phraseSentences(table: ToneTable): readonly PhraseSentence[] {
  const key = (solo: string, phrase: string | undefined) => `${solo}\u0000${phrase ?? ''}`;
  const endings = new Map(phraseEndingsOf(table).map((e) => [key(e.solo, e.phrase), e]));
  const landings = grouped(landingsOf(table), (l) => key(l.solo, l.phrase));
  const implied = grouped(impliedChords(table), (i) => key(i.solo, i.phrase));
  const fits = new Map(scaleFits(table, ['solo', 'phrase']).map((f) => [`${f.group[0]}\u0000${f.group[1]}`, f.fit]));
  const rows = rowsByPhrase(table);
  return entriesOf(table).entries.map((entry): PhraseSentence => {
    const named = table.solos[table.columns.solo[entry.row] as number] as NamedSolo;
    const phrase = named.solo.phrases[table.columns.phrase[entry.row] as number] as Phrase;
    const k = key(entry.solo, entry.phrase);
    const own = rows.get(k) ?? [];
    const fit = fits.get(`${entry.solo}\u0000${entry.solo}: ${entry.phrase}`);
    const notes = fit?.best ? scaleWords(table, fit, own) : onlyNotes(table, own);
    const bends = bendWords(table, own);
    const together = impliedWords(implied.get(k) ?? []);
    const changes = changeWords(table, entry, endings.get(k) as PhraseEnding, landings.get(k) ?? []);
    const parts = {
      entry: `${entryWords(table, entry)}; ${notes}.`,
      ...(bends !== undefined && { bends }),
      ...(together !== undefined && { implied: together }),
      ...(changes !== undefined && { changes }),
      ending: endingWords(table, endings.get(k) as PhraseEnding),
    };
    return {
      solo: entry.solo,
      player: entry.player,
      phrase: entry.phrase,
      name: phrase.name,
      ...parts,
      said: Object.values(parts).join(' '),
    };
  });
}

function grouped<T>(items: readonly T[], keyOf: (item: T) => string): Map<string, T[]> {
  const groups = new Map<string, T[]>();
  for (const item of items) {
    const known = groups.get(keyOf(item));
    if (known) known.push(item);
    else groups.set(keyOf(item), [item]);
  }
  return groups;
}

function rowsByPhrase(table: ToneTable): Map<string, number[]> {
  const { solo, phrase } = table.columns;
  const rows = Array.from({ length: table.rows }, (_, row) => row);
  return grouped(rows, (row) => {
    const named = table.solos[solo[row] as number] as NamedSolo;
    return `${named.id}\u0000${named.solo.phrases[phrase[row] as number]?.id ?? ''}`;
  });
}

/**
 * A count as it is spoken in a sentence.
 * @example
 * countInWords('3&', parseMeter('4/4')) // => 'the and of 3'
 * countInWords('2', parseMeter('6/8')) // => 'count 2'
 */
export function countInWords(count: string, meter: Meter): string {
  const match = /^(\d+)([e&atl]?)$/.exec(count);
  if (!match) return `count ${count}`;
  const [, pulse, part] = match as unknown as [string, string, string];
  if (part === '') return `${meter.pulseTicks === meter.beatTicks ? 'beat' : 'count'} ${pulse}`;
  const named: Readonly<Record<string, string>> = {
    '&': 'the and',
    e: 'the e',
    a: 'the a',
    t: 'the second triplet',
    l: 'the third triplet',
  };
  return `${named[part]} of ${pulse}`;
}

const barInWords = (bar: number): string => (bar === 0 ? 'the pickup bar' : `bar ${bar}`);

function entryWords(table: ToneTable, entry: Entry): string {
  const meter = parseMeter(entry.meter) as Meter;
  const at = `Comes in on ${countInWords(entry.count, meter)} of ${barInWords(entry.bar)}`;
  const chord = table.chords[table.columns.chord[entry.row] as number] as string;
  const fromChange = entry.fromChange;
  if (fromChange !== undefined && fromChange < 0 && -fromChange <= PUSH)
    return `${at}, ${lengthInWords(-fromChange as Ticks)} before the change${nextChord(table, entry)}`;
  if (entry.pickup) return `${at}, before the first chord`;
  if (chord === 'N.C.') return `${at}, under N.C.`;
  return fromChange === 0 ? `${at}, with the change to ${chord}` : `${at}, over ${chord}`;
}

/** The chord that the next change brings. */
function nextChord(table: ToneTable, entry: Entry): string {
  const named = table.solos[table.columns.solo[entry.row] as number] as NamedSolo;
  const at = (table.columns.onset[entry.row] as number) - (entry.fromChange as number);
  const change = changesOf(named.solo).find(({ span }) => span.start === at);
  return change ? ` to ${change.span.symbol}` : '';
}

/** The scale, unless it would take two notes or more beside it: then a line that is mostly chord tones is said to follow the chords. */
function scaleWords(table: ToneTable, fit: ScaleFit, rows: readonly number[]): string {
  const best = fit.best as NonNullable<ScaleFit['best']>;
  const odd = best.added.length + best.outside.length;
  if (odd < 2) return fit.said;
  const heard = rows.filter(
    (row) => !((table.columns.flags[row] as number) & FLAG.ornament) && table.columns.role[row] !== MISSING,
  );
  const members = heard.filter((row) => isMember(ROLES[table.columns.role[row] as number] as Role)).length;
  if (members * 2 < heard.length) return fit.said;
  return `follows the chords rather than one scale (${members} of ${heard.length} tones are chord tones)`;
}

/** The degrees over the key, where they are too few for a scale. */
function onlyNotes(table: ToneTable, rows: readonly number[]): string {
  const { degreeOverKey, flags } = table.columns;
  const curled = new Map<number, boolean>(); // by degree: true while all its tones are curled
  for (const row of rows) {
    if ((flags[row] as number) & FLAG.ornament) continue;
    const d = degreeOverKey[row] as number;
    curled.set(d, (curled.get(d) ?? true) && ((flags[row] as number) & FLAG.plus) !== 0);
  }
  const names = [...curled]
    .sort((a, b) => a[0] - b[0])
    .map(([d, plus]) => (plus ? `a curled ${DEGREE_NAMES[d]}` : (DEGREE_NAMES[d] as string)));
  return `plays only ${listed(names)} of the key`;
}

/** Kinds of bends that are spoken of, the rarer first. */
function bendWords(table: ToneTable, rows: readonly number[]): string | undefined {
  const { level, reached, flags } = table.columns;
  const groups = new Map<string, { rows: number[] }>();
  for (const row of rows) {
    if ((flags[row] as number) & FLAG.ornament) continue;
    const how = REACHED[reached[row] as number] as string;
    if (how === 'straight') continue;
    const size = bendInWords(cents(level[row] as number) as Cents);
    const text = bendPhrase(how, size, targetWords(table, row));
    const known = groups.get(text);
    if (known) known.rows.push(row);
    else groups.set(text, { rows: [row] });
  }
  if (groups.size === 0) return undefined;
  const said = [...groups].map(([text, group]) => `${text} ${timesIn(table, group.rows)}`);
  const shown = said.length <= 4 ? said : [...said.slice(0, 3), `${said.length - 3} more kinds of bend`];
  return `${capital(shown.join('; '))}.`;
}

/** The name a bend arrives at, and what that is over its chord: `C5, the 5 of F7`. A curl is named by the note that is curled. */
function targetWords(table: ToneTable, row: number): string {
  const { degree, chord, role } = table.columns;
  const name = toneName(table, row).replace(/\+$/, '');
  if (degree[row] === MISSING) return name;
  const here = roleInWords(ROLES[role[row] as number], DEGREE_NAMES[degree[row] as number]);
  return `${name}, the ${here} of ${table.chords[chord[row] as number]}`;
}

function bendPhrase(how: string, size: string, degree: string): string {
  if (how === 'prebent') return `pre-bends a ${size}, sounding ${degree}`;
  if (how === 'held') return `picks ${degree} again on the held bend`;
  if (how === 'released') return `lets a bend down to ${degree}`;
  return size === 'curl' ? `curls ${degree}` : `bends a ${size} up to ${degree}`;
}

/** Where, if once; else how often, and where first. */
function timesIn(table: ToneTable, rows: readonly number[]): string {
  const { bar, count } = placeOfTone(table, rows[0] as number);
  const first = `${barInWords(bar)} on ${count}`;
  return rows.length === 1 ? `(${first})` : `(${times(rows.length)}, first in ${first})`;
}

function impliedWords(all: readonly ImpliedChord[]): string | undefined {
  if (all.length === 0) return undefined;
  const kinds = all.map((one, i) => kindOf(one, all[i + 1]));
  const strange = all.filter((_, i) => kinds[i] === 'against');
  const [agreeing, passing, open] = (['agrees', 'passing', 'open'] as const).map(
    (kind) => kinds.filter((k) => k === kind).length,
  ) as [number, number, number];
  const within = 'within the chord of the moment';
  if (all.length === 1 && agreeing === 1) return `Once strings sound together, ${within}.`;
  const counted = [
    ...(agreeing > 0
      ? [agreeing === all.length ? `${agreeing === 2 ? 'both' : `all ${agreeing}`} ${within}` : `${agreeing} ${within}`]
      : []),
    ...(passing > 0 ? [`${passing} in passing`] : []),
    ...(strange.length > 0 ? [`${strange.length} against it`] : []),
    ...(open > 0 ? [`${open} open`] : []),
  ];
  const sentences = [`Strings sounding together: ${listed(counted)}.`];
  for (const i of strange.slice(0, 2)) sentences.push(`In ${barInWords(i.bar)} on ${i.count}, ${i.said}.`);
  return sentences.join(' ');
}

/** Strings that disagree with the chord for a quarter at most, and move right on to some that agree, only pass. */
function kindOf(one: ImpliedChord, next: ImpliedChord | undefined): 'agrees' | 'passing' | 'against' | 'open' {
  if (one.verdict === 'agrees' || one.verdict === 'open') return one.verdict;
  const movesOn = next !== undefined && next.at === one.at + one.ticks && next.verdict !== 'open';
  return one.ticks <= QUARTER && movesOn && one.heldBends.length === 0 ? 'passing' : 'against';
}

function changeWords(
  table: ToneTable,
  entry: Entry,
  ending: PhraseEnding,
  landings: readonly Landing[],
): string | undefined {
  const { chord, pushedChord } = table.columns;
  // A last tone that is pushed into its chord is told of in the ending.
  const told = chord[ending.row] === pushedChord[ending.row] ? -1 : ending.row;
  const inside = landings.filter(
    (l) => l.row !== undefined && l.row !== entry.row && l.row !== told && l.how !== 'none',
  );
  if (inside.length === 0) return undefined;
  const words = inside.map((l) => {
    const pushed = l.how === 'held' && l.at - (table.columns.onset[l.row as number] as number) <= PUSH;
    return `${pushed ? 'pushes into ' : l.how === 'held' ? 'holds ' : ''}the ${roleInWords(l.role, l.degree)} of ${l.chord} (bar ${l.bar})`;
  });
  if (words.length <= 3) return `At the ${words.length === 1 ? 'change' : 'changes'}: ${listed(words)}.`;
  const counts = new Map<string, number>();
  for (const l of inside)
    counts.set(roleInWords(l.role, l.degree), (counts.get(roleInWords(l.role, l.degree)) ?? 0) + 1);
  const most = [...counts].sort((a, b) => b[1] - a[1]).slice(0, 3);
  return `At ${inside.length} changes it is on ${listed(most.map(([role, n]) => `the ${role} ${times(n)}`))}.`;
}

function roleInWords(role: string | undefined, degree: string | undefined): string {
  if (role === 'root' || role === 'third' || role === 'fifth' || role === 'seventh') return role;
  return degree === undefined ? 'tone' : degree.endsWith('+') ? `curled ${degree.slice(0, -1)}` : degree;
}

function endingWords(table: ToneTable, ending: PhraseEnding): string {
  const name = toneName(table, ending.row);
  const pushed = pushedInto(table, ending);
  const meter = meterAt(table, ending.row);
  const what =
    ending.degree === undefined ? name : `the ${roleInWords(ending.role, ending.degree)} of ${ending.chord} (${name})`;
  const long = ending.ticks > QUARTER * 2 ? `, held for ${lengthInWords(ending.ticks)}` : '';
  if (pushed)
    return `Ends on ${pushed} (${name}), pushed on ${countInWords(ending.count, meter)} of ${barInWords(ending.bar)}${long}.`;
  return `Ends on ${what}, on ${countInWords(ending.count, meter)} of ${barInWords(ending.bar)}${long}.`;
}

/** What the last tone is in the chord that it is pushed into, if it is. */
function pushedInto(table: ToneTable, ending: PhraseEnding): string | undefined {
  const { chord, pushedChord, pushedDegree, pushedRole } = table.columns;
  if (chord[ending.row] === pushedChord[ending.row] || pushedDegree[ending.row] === MISSING) return undefined;
  const role = roleInWords(ROLES[pushedRole[ending.row] as number], DEGREE_NAMES[pushedDegree[ending.row] as number]);
  return `the ${role} of ${table.chords[pushedChord[ending.row] as number]}`;
}

/** The meter of the bar a tone stands in. */
function meterAt(table: ToneTable, row: number): Meter {
  const { solo } = table.solos[table.columns.solo[row] as number] as NamedSolo;
  const bar = table.columns.bar[row] as number;
  return solo.changes.settings.reduce((meter, s) => (s.bar <= bar && s.meter ? s.meter : meter), solo.meter);
}

const times = (n: number): string => (n === 1 ? 'once' : n === 2 ? 'twice' : `${n} times`);
const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);
