// What strings say that sound together: runs of sixths and thirds, pairs, triads.

import { mod, pitchClass } from '../foundation/units.js';
import { chromaticName } from '../theory/scale.js';
import { listed, soundingSymbol } from './implied-words.js';
import {
  chordAt,
  keyAt,
  letterOf,
  nameOf,
  onsetOf,
  type PhraseFacts,
  partsOf,
  pitchOf,
  placeWords,
  spanAtTime,
} from './phrase-facts.js';
import { capital, numberInWords, timesInWords } from './spoken.js';
import { above, bitsOf, sizeOf, triadName } from './tone-set-names.js';

/** Tones of different strings that begin together, from low to high. */
type Event = readonly number[];

/** The code of a tone that is not played again. */
const NO_START = 5;

function struckTogether(f: PhraseFacts): readonly Event[] {
  const events = new Map<number, number[]>();
  for (const row of f.tones) {
    if (f.table.columns.start[row] === NO_START) continue;
    const known = events.get(onsetOf(f, row));
    if (known) known.push(row);
    else events.set(onsetOf(f, row), [row]);
  }
  return [...events.values()]
    .filter((rows) => rows.length > 1)
    .map((rows) => rows.sort((a, b) => pitchOf(f, a) - pitchOf(f, b)));
}

/** What two strings make, by semitones. */
const KINDS: Readonly<Record<number, readonly [string, string]>> = {
  0: ['unison', 'unisons'],
  1: ['second', 'seconds'],
  2: ['second', 'seconds'],
  3: ['third', 'thirds'],
  4: ['third', 'thirds'],
  5: ['fourth', 'fourths'],
  6: ['tritone', 'tritones'],
  7: ['fifth', 'fifths'],
  8: ['sixth', 'sixths'],
  9: ['sixth', 'sixths'],
  10: ['seventh', 'sevenths'],
  11: ['seventh', 'sevenths'],
  12: ['octave', 'octaves'],
  15: ['tenth', 'tenths'],
  16: ['tenth', 'tenths'],
};

const kindOf = (f: PhraseFacts, [low, high]: Event): readonly [string, string] =>
  KINDS[Math.floor((pitchOf(f, high as number) - pitchOf(f, low as number)) / 100)] ?? ['wide pair', 'wide pairs'];

/** What sounds together; `ringing` are rows told of as harmonics, drones and held bends. */
export function togetherWords(f: PhraseFacts, ringing: ReadonlySet<number>): string | undefined {
  const events = struckTogether(f);
  const pairs = events.filter((e) => e.length === 2 && !e.some((row) => ringing.has(row)));
  const parts = [...pairWords(f, pairs), ...chordWords(f, ringing)];
  if (parts.length === 0) parts.push(...ringWords(f, ringing));
  return parts.length === 0 ? undefined : parts.map((part) => `${capital(part)}.`).join(' ');
}

const pitches = (f: PhraseFacts, rows: readonly number[]): string => rows.map((row) => pitchOf(f, row)).join();

function pairWords(f: PhraseFacts, pairs: readonly Event[]): readonly string[] {
  if (pairs.length === 0) return [];
  const distinct = [...new Map(pairs.map((pair) => [pitches(f, pair), pair])).values()];
  const endsOn = (pair: Event) => pair.includes(f.ending.row);
  if (pairs.length === 1 && endsOn(pairs[0] as Event)) return []; // the ending names both
  if (distinct.length === 1 || pairs.length === 2) {
    const told = distinct.length === 1 ? distinct : distinct.filter((pair) => !endsOn(pair) || pairs.length > 1);
    return told.map((pair) => {
      const times = pairs.filter((p) => pitches(f, p) === pitches(f, pair)).length;
      const often = times === 1 ? ` (${placeWords(f, pair[0] as number)})` : ` ${timesInWords(times)}`;
      return `${names(f, pair)} together${often}${partsHere(f, pair)}`;
    });
  }
  const kinds = new Map<string, { names: readonly [string, string]; n: number }>();
  for (const pair of pairs) {
    const kind = kindOf(f, pair);
    kinds.set(kind[0], { names: kind, n: (kinds.get(kind[0])?.n ?? 0) + 1 });
  }
  const sorted = [...kinds.values()].sort((a, b) => b.n - a.n);
  const counted = sorted.map(
    ({ names: [one, many], n }) => `${n === 1 ? 'a' : numberInWords(n)} ${n === 1 ? one : many}`,
  );
  return [`${listed(counted)}${stringsOf(f, pairs)}`];
}

/** ` on strings 3 and 1`, where all pairs are on the same two; ` on neighbouring strings`; else nothing. */
function stringsOf({ table }: PhraseFacts, pairs: readonly Event[]): string {
  const strings = pairs.map((pair) => pair.map((row) => table.columns.string[row] as number).sort((a, b) => b - a));
  const sets = [...new Set(strings.map((s) => s.join(' and ')))];
  if (sets.length === 1) return ` on strings ${sets[0]}`;
  return sets.length === 2 ? ` on strings ${sets[0]}, and ${sets[1]}` : '';
}

const names = (f: PhraseFacts, rows: readonly number[]): string => listed(rows.map((row) => nameOf(f, row)));

/** `, root and fifth of D7`, where the chord holds them all. */
function partsHere(f: PhraseFacts, rows: readonly number[]): string {
  const { chord, symbol } = spanAtTime(f, Math.max(...rows.map((row) => onsetOf(f, row))));
  if (!chord) return '';
  return `, ${partsOf(f, rows, chord)} of ${symbol}`;
}

/** Three different tones or more at once: the chord they are, if it is not that of the moment; a triad by its name. Each chord once. */
function chordWords(f: PhraseFacts, ringing: ReadonlySet<number>): readonly string[] {
  const found = new Map<string, string>();
  f.together.forEach((one) => {
    const rows = one.rows.filter((row) => !ringing.has(row) || !isOpenUnder(f, row));
    const classes = bitsOf(rows.map((row) => Math.floor(pitchOf(f, row) / 100)));
    if (sizeOf(classes) < 3 || one.verdict === 'passing') return;
    const triad = one.verdict === 'agrees' && !isOnRoot(f, rows, classes) ? undefined : triadIn(f, rows, classes);
    const place = ` (${placeWords(
      f,
      rows.reduce((a, b) => (onsetOf(f, a) >= onsetOf(f, b) ? a : b)),
    )})`;
    const over = one.verdict === 'against' ? ` over ${one.chord}` : '';
    const name = triad?.replace(/,.*/, '');
    if (name !== undefined) found.set(name, found.get(name) ?? `${names(f, rows)}: ${triad}${over}${place}`);
    else if (one.verdict === 'against' && one.implied)
      found.set(one.said, `${names(f, rows)} say ${soundingSymbol(one.implied)} over ${one.chord}${place}`);
    else if (one.verdict === 'agrees') {
      const key = `agrees ${one.chord}`;
      found.set(key, found.get(key) ?? `${names(f, rows)} together${partsHere(f, rows)}${place}`);
    }
  });
  const all = [...found.values()];
  return all.slice(0, 2);
}

const isOpenUnder = (f: PhraseFacts, row: number): boolean =>
  f.table.columns.fret[row] === 0 && f.table.columns.level[row] === 0;

/** True if the tones are a triad on the root of their chord. */
function isOnRoot(f: PhraseFacts, rows: readonly number[], classes: number): boolean {
  const chord = chordAt(f, Math.max(...rows.map((row) => onsetOf(f, row))));
  return chord !== undefined && triadName(above(classes, chord.root), '') !== undefined;
}

function triadIn(f: PhraseFacts, rows: readonly number[], classes: number): string | undefined {
  if (sizeOf(classes) !== 3) return undefined;
  const [low] = rows as readonly [number];
  const key = keyAt(f, onsetOf(f, low));
  const chord = chordAt(f, onsetOf(f, rows.at(-1) as number));
  for (const row of rows) {
    const root = mod(Math.floor(pitchOf(f, row) / 100), 12);
    const plain = key.names[root] ?? chromaticName(chord?.rootName ?? key.tonicName, pitchClass(root), false);
    const name = triadName(above(classes, root), plain);
    if (name !== undefined) return row === low ? name : `${name}, ${letterOf(f, low)} at the bottom`;
  }
  return undefined;
}

/** Pairs that ring into one another without being struck together: named where they are few. */
function ringWords(f: PhraseFacts, ringing: ReadonlySet<number>): readonly string[] {
  const pairs = f.together.filter(
    ({ rows }) => rows.length === 2 && !rows.some((row) => ringing.has(row)) && !rows.includes(f.ending.row),
  );
  const distinct = [...new Map(pairs.map(({ rows }) => [pitches(f, rows), rows])).values()];
  if (distinct.length === 0) return [];
  if (distinct.length > 2) return [`${numberInWords(distinct.length)} pairs of strings ring into one another`];
  return distinct.map((rows) => `${names(f, rows)} ring together${partsHere(f, rows)}`);
}
