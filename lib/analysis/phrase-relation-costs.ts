// What it costs to make one tone of another: the weights of Mongeau and Sankoff, but told apart by octave, since a guitarist does.
// M. Mongeau and D. Sankoff 1990, Comparison of musical sequences, Computers and the Humanities 24:161-175.
import { QUARTER } from '../foundation/time.js';
import type { PairingWorth, TransformationCosts } from '../math/transformation.js';
import type { ToneTable } from '../solo/tone-table.js';
import { inScale, type Key, parseKey } from '../theory/scale.js';
import type { PhraseLine } from './phrase-relation-lines.js';

/** Their weights. */
export const EDIT_WEIGHTS = {
  /** Two tones of the scale, by steps of the scale apart: unison, second, third, fourth, fifth, sixth, seventh. */
  scaleSteps: [0, 0.9, 0.2, 0.5, 0.1, 0.35, 0.8],
  /** One of them or both outside the scale, by semitones apart. */
  semitones: [0.6, 2.6, 2.3, 1, 1, 1.6, 1.8, 0.8, 1.3, 1.3, 2.2, 2.5],
  /** A sixteenth longer or shorter; also for each sixteenth of a tone that is put in or left out. */
  sixteenth: 0.348,
  /** For each octave further apart. Not theirs: for them octaves are all one. */
  octave: 1,
  /** The same tone with a quarter-tone curl, or without. Not theirs. */
  curl: 0.1,
} as const;

/** Steps of a seven-note scale by semitones; six is taken for a fourth. */
const STEPS = [0, 1, 1, 2, 2, 3, 3, 4, 5, 5, 6, 6];

/**
 * The price of another pitch: 0 for the same one (theirs is 0.6 outside the scale), so many semitones apart, both in the scale of their key or not.
 * @example
 * intervalWeight(5, true) // => 0.5
 * intervalWeight(-12, true) // => 1
 * intervalWeight(1, false) // => 2.6
 */
export function intervalWeight(semitones: number, bothInScale: boolean): number {
  const size = Math.abs(semitones);
  if (size === 0) return 0;
  const octaves = Math.floor(size / 12) * EDIT_WEIGHTS.octave;
  const within = size % 12;
  if (within === 0) return octaves;
  const { scaleSteps, semitones: chromatic } = EDIT_WEIGHTS;
  return octaves + ((bothInScale ? scaleSteps[STEPS[within] as number] : chromatic[within]) as number);
}

/** The price of another length, both in ticks. */
export const lengthWeight = (ticks: number, others: number): number =>
  (EDIT_WEIGHTS.sixteenth * Math.abs(ticks - others) * 4) / QUARTER;

/** The tones of a line as they are compared, in columns. */
export interface EditLine {
  readonly n: number;
  readonly rows: readonly number[];
  /** Whole semitones; a quarter-tone above is counted to the tone below it. */
  readonly semitones: Int16Array;
  /** 1 for a quarter-tone above. */
  readonly curls: Uint8Array;
  /** 1 for tones of the scale of their key. */
  readonly inScale: Uint8Array;
  /** Onsets in ticks; the length of a tone is the distance to the next, that of the last is free. */
  readonly onsets: Float64Array;
  /** The price of leaving a tone out or putting it in. */
  readonly gaps: Float64Array;
}

/** A last tone, whose length is free, is left out or put in at the price of an eighth. */
const FREE_LENGTH = QUARTER / 2;

/** The tones of a line as they are compared. */
export function editLine(table: ToneTable, { events, n }: PhraseLine): EditLine {
  const { pitch, key, degreeOverKey } = table.columns;
  const rows = events.map(({ row }) => row);
  const onsets: Float64Array = Float64Array.from(events, ({ onset }) => onset);
  return {
    n,
    rows,
    semitones: Int16Array.from(rows, (row) => Math.floor((pitch[row] as number) / 100)),
    curls: Uint8Array.from(rows, (row) => ((pitch[row] as number) % 100 === 0 ? 0 : 1)),
    inScale: Uint8Array.from(rows, (row) =>
      inScale(keyOfTable(table, key[row] as number), degreeOverKey[row] as number) ? 1 : 0,
    ),
    onsets,
    gaps: Float64Array.from(rows, (_, i) => lengthWeight(i + 1 < n ? onsets[i + 1]! - onsets[i]! : FREE_LENGTH, 0)),
  };
}

const keys = new WeakMap<ToneTable, Map<number, Key>>();

function keyOfTable(table: ToneTable, code: number): Key {
  let known = keys.get(table);
  if (!known) {
    known = new Map();
    keys.set(table, known);
  }
  let key = known.get(code);
  if (!key) {
    key = parseKey(table.keys[code] as string) as Key; // written by keyText
    known.set(code, key);
  }
  return key;
}

/** Whether tone `j` of one line is tone `i` of another moved by so many semitones, a quarter-tone curl apart. */
export const isKept = (a: EditLine, i: number, b: EditLine, j: number, moved: number): boolean =>
  b.semitones[j]! - a.semitones[i]! === moved;

/** The price of other lengths: of the tones `i` to `iUntil` of one line together, against `j` to `jUntil` of another. A last tone goes with any. */
function lengthsWeight(a: EditLine, i: number, iUntil: number, b: EditLine, j: number, jUntil: number): number {
  if (iUntil === a.n || jUntil === b.n) return 0;
  return lengthWeight(a.onsets[iUntil]! - a.onsets[i]!, b.onsets[jUntil]! - b.onsets[j]!);
}

/** What it costs to make tone `j` of one line of tone `i` of another. */
function pairCost(a: EditLine, i: number, b: EditLine, j: number, moved: number): number {
  const lengths = lengthsWeight(a, i, i + 1, b, j, j + 1);
  const semitones = b.semitones[j]! - a.semitones[i]! - moved;
  if (semitones === 0) return lengths + (a.curls[i] === b.curls[j] ? 0 : EDIT_WEIGHTS.curl);
  return lengths + intervalWeight(semitones, (a.inScale[i]! & b.inScale[j]!) === 1);
}

/**
 * What it costs to split one tone into several, or to join several into one. All must have its pitch: in the paper they may have any, at the price of each,
 * and a third would then join the tones of any chord.
 */
function severalCost(
  a: EditLine,
  i: number,
  iUntil: number,
  b: EditLine,
  j: number,
  jUntil: number,
  moved: number,
): number {
  let curls = 0;
  for (let x = i; x < iUntil; x++)
    for (let y = j; y < jUntil; y++) {
      if (!isKept(a, x, b, y, moved)) return Number.POSITIVE_INFINITY;
      if (a.curls[x] !== b.curls[y]) curls++;
    }
  return curls * EDIT_WEIGHTS.curl + lengthsWeight(a, i, iUntil, b, j, jUntil);
}

/** One tone is split into so many at most, or joined from so many. */
export const MOST_SPLIT = 4;

/** What it costs to make one line of another that is moved by so many semitones. */
export const editCosts = (a: EditLine, b: EditLine, moved: number): TransformationCosts => ({
  substitute: (i, j) => pairCost(a, i, b, j, moved),
  delete: (i) => a.gaps[i]!,
  insert: (j) => b.gaps[j]!,
  fragment: (i, from, until) => severalCost(a, i, i + 1, b, from, until, moved),
  consolidate: (from, until, j) => severalCost(a, from, until, b, j, j + 1, moved),
  mostParts: MOST_SPLIT,
});

/** A tone that is kept, split or joined is worth 1, a changed one nothing: the score of a part is then tones kept less the price of all that differs. */
export const editWorth =
  (a: EditLine, b: EditLine, moved: number): PairingWorth =>
  (i, _iUntil, j) =>
    isKept(a, i, b, j, moved) ? 1 : 0;

let scratch: Float64Array = new Float64Array(1024);

/** The score of the parts of two lines that are closest, as `closestParts` finds it, but not the parts: to say fast which lines are not alike. */
export function bestLocalScore(a: EditLine, b: EditLine, moved: number): number {
  const width = b.n + 1;
  if (scratch.length < (a.n + 1) * width) scratch = new Float64Array(2 * (a.n + 1) * width);
  const best = scratch.fill(0, 0, (a.n + 1) * width);
  let top = 0;
  for (let i = 1; i <= a.n; i++) {
    const wanted = a.semitones[i - 1]! + moved;
    const gap = a.gaps[i - 1]!;
    for (let j = 1; j <= b.n; j++) {
      const here = i * width + j;
      const before = best[here - width - 1]!;
      let score = Math.max(0, best[here - width]! - gap, best[here - 1]! - b.gaps[j - 1]!);
      if (b.semitones[j - 1] === wanted) {
        score = Math.max(score, before + 1 - pairCost(a, i - 1, b, j - 1, moved));
        for (let k = 2; k <= MOST_SPLIT && k <= j && b.semitones[j - k] === wanted; k++)
          score = Math.max(score, best[here - width - k]! + 1 - severalCost(a, i - 1, i, b, j - k, j, moved));
        for (let k = 2; k <= MOST_SPLIT && k <= i && a.semitones[i - k]! + moved === wanted; k++)
          score = Math.max(score, best[here - k * width - 1]! + 1 - severalCost(a, i - k, i, b, j - 1, j, moved));
      } else if (before > score) score = Math.max(score, before - pairCost(a, i - 1, b, j - 1, moved));
      best[here] = score;
      if (score > top) top = score;
    }
  }
  return top;
}

/** The most tones whose pitch can be kept, whatever their order: no alignment scores more. */
export function mostKept(a: EditLine, b: EditLine, moved: number): number {
  counts.fill(0);
  for (let i = 0; i < a.n; i++) counts[a.semitones[i]! + moved + 256]!++;
  let kept = 0;
  for (let j = 0; j < b.n; j++)
    if (counts[b.semitones[j]! + 256]! > 0) {
      counts[b.semitones[j]! + 256]!--;
      kept++;
    }
  return kept;
}
const counts = new Uint16Array(1024);
