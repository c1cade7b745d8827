// Counting the rows of a table by several keys at once, and how sure a share is that was counted that way. No music in
// here.
import type { KeyColumn } from './hash-slots.js';
import { type CellCounts, type CountOptions, rowsInCells, tally } from './tally.js';

export type { CellCounts, CountOptions, KeyColumn };

/** {@link CellCounts} and the rows behind each count. */
export interface CellRows extends CellCounts {
  /** The rows of cell `c` are `rows[offsets[c]]` up to, not including, `rows[offsets[c + 1]]`; `cells` + 1 numbers. */
  readonly offsets: Int32Array;
  /** Row numbers from 0, rising within each cell. */
  readonly rows: Int32Array;
}

/**
 * Counts the rows and sums the weights of every combination of codes that occurs, in one pass.
 *
 * Sums are exact while they stay within 2^53 either way; one beyond that is refused, not rounded.
 * @throws RangeError if there is no key, lengths differ, or a code is outside its key (with key, row and code)
 * @example
 * const chord = { codes: new Uint8Array([0, 0, 1, 0]), size: 2 };
 * const degree = { codes: new Uint8Array([4, 7, 4, 4]), size: 12 };
 * const found = countCells([chord, degree], { weights: new Int32Array([10, 20, 30, 40]) });
 * found.codes.map((codes) => [...codes]) // => [[0, 0, 1], [4, 7, 4]]
 * [...found.counts] // => [2, 1, 1]
 * [...found.sums] // => [50, 20, 30]
 */
export function countCells(keys: readonly KeyColumn[], options: CountOptions = {}): CellCounts {
  return tally(keys, options, false).cells;
}

/**
 * {@link countCells} with the row numbers of each cell, so that every count can be opened. A row that the mask leaves
 * out is in no cell.
 * @throws RangeError as {@link countCells} does
 * @example
 * const degree = { codes: new Uint8Array([7, 4, 4, 7]), size: 12 };
 * const found = rowsByCell([degree]);
 * found.codes.map((codes) => [...codes]) // => [[4, 7]]
 * [...found.rows.subarray(found.offsets[1], found.offsets[2])] // => [0, 3]
 */
export function rowsByCell(keys: readonly KeyColumn[], options: CountOptions = {}): CellRows {
  const counted = tally(keys, options, true);
  const { cells } = counted;
  const offsets: Int32Array = new Int32Array(cells.cells + 1);
  for (let c = 0; c < cells.cells; c++) offsets[c + 1] = offsets[c]! + cells.counts[c]!;
  return { ...cells, offsets, rows: rowsInCells(counted, offsets) };
}

/** A number found in data and the range that it may well have come from. */
export interface Estimate {
  readonly estimate: number;
  readonly low: number;
  readonly high: number;
}

/** How to judge a share. */
export interface WilsonOptions {
  /** How often such ranges hold the true share, above 0 and below 1. Default 0.95. */
  readonly confidence?: number;
  /** By how much rows count for less because they come in clusters, 1 or more: see {@link designEffect}. Default 1. */
  readonly designEffect?: number;
}

/**
 * The share of successes in n rows, with Wilson's score interval on n divided by the design effect. Neither number need
 * be whole. `undefined` if n is 0: there is no share of nothing.
 *
 * Method: E. B. Wilson 1927, J. Am. Stat. Assoc. 22:209-212, without continuity correction (method 3 of R. G. Newcombe
 * 1998, Statistics in Medicine 17:857-872); n over the design effect: J. N. K. Rao and A. J. Scott 1992, Biometrics
 * 48:577-585.
 * @throws RangeError if n or successes is negative or not finite, successes exceed n, or an option is outside its range
 * @example
 * wilson(81, 263)?.low.toFixed(4) // => '0.2553'
 * wilson(81, 263)?.high.toFixed(4) // => '0.3662'
 * wilson(81, 263, { designEffect: 4 })?.high.toFixed(4) // => '0.4276'
 * wilson(0, 0) // => undefined
 */
export function wilson(successes: number, n: number, options: WilsonOptions = {}): Estimate | undefined {
  const { confidence = 0.95, designEffect: effect = 1 } = options;
  checkShare(successes, n, '');
  if (!(effect >= 1 && effect < Infinity)) throw new RangeError(`a design effect of ${effect}: give 1 or more`);
  const z = normalHalfWidth(confidence);
  if (n === 0) return undefined;
  const p = successes / n;
  const q = (n - successes) / n;
  const rows = n / effect;
  const reach = z * Math.sqrt(p * q * rows + (z * z) / 4);
  // Wilson's ends with the root moved below the line, where nothing cancels: exactly 0 at no successes, exactly 1 at n
  // of them.
  const low = p * ((p * rows) / (p * rows + (z * z) / 2 + reach));
  const high = Math.max(p, 1 - q * ((q * rows) / (q * rows + (z * z) / 2 + reach)));
  return { estimate: p, low, high };
}

/** Below this many clusters their spread says too little about the spread of others (a rule of this project). */
export const FEWEST_CLUSTERS = 5;

/**
 * How many times more a share varies than if all rows were independent, because rows of one cluster (notes of one solo)
 * are alike: the between-cluster variance of the ratio estimator over the binomial variance, and at least 1.
 *
 * `undefined` where it cannot be told: fewer than five clusters hold rows, or all rows (or none) are successes. Then
 * give counts only.
 *
 * Method: L. Kish 1965, Survey Sampling, for the idea; J. N. K. Rao and A. J. Scott 1992, Biometrics 48:577-585, for
 * the estimator.
 * @param successes for each cluster
 * @param n rows of each cluster, in the same order; clusters without rows are passed over
 * @throws RangeError if the lists differ in length, or as {@link wilson} does (with the place in the list)
 * @example
 * designEffect([10, 0, 10, 0, 10, 0], [10, 10, 10, 10, 10, 10]) // => 12
 * designEffect([5, 5, 5, 5, 5], [10, 10, 10, 10, 10]) // => 1
 * designEffect([5, 5], [10, 10]) // => undefined
 */
export function designEffect(successes: ArrayLike<number>, n: ArrayLike<number>): number | undefined {
  if (successes.length !== n.length) {
    throw new RangeError(
      `there are ${successes.length} successes for ${n.length} clusters: give one number for each cluster`,
    );
  }
  let clusters = 0;
  let rows = 0;
  let hits = 0;
  for (let i = 0; i < n.length; i++) {
    checkShare(successes[i]!, n[i]!, ` in cluster ${i}`);
    if (n[i] !== 0) clusters++;
    rows += n[i]!;
    hits += successes[i]!;
  }
  if (clusters < FEWEST_CLUSTERS || hits === 0 || hits === rows) return undefined;
  const p = hits / rows;
  let squares = 0;
  for (let i = 0; i < n.length; i++) squares += (successes[i]! - p * n[i]!) ** 2;
  const variance = ((clusters / (clusters - 1)) * squares) / rows ** 2;
  return Math.max(1, variance / ((p * (1 - p)) / rows));
}

function checkShare(successes: number, n: number, where: string): void {
  if (!(n >= 0 && n < Infinity)) throw new RangeError(`n is ${n}${where}: give a finite number of rows, 0 or more`);
  if (!(successes >= 0 && successes <= n))
    throw new RangeError(`${successes} successes of ${n}${where}: give 0 to ${n}`);
}

/**
 * The z for which a standard normal number lies within -z to z with this probability: Newton's steps on the power
 * series of the normal distribution (G. Marsaglia 2004, J. Stat. Software 11(4)). They rise to z from 0, the
 * distribution being concave there.
 */
function normalHalfWidth(confidence: number): number {
  if (!(confidence > 0 && confidence < 1)) {
    throw new RangeError(`a confidence of ${confidence}: give a number between 0 and 1, such as 0.95`);
  }
  let z = 0;
  for (let step = 0; step < 100; step++) {
    const density = Math.exp((-z * z) / 2) / Math.sqrt(2 * Math.PI);
    let series = z;
    for (let term = z, k = 3; term > series * 1e-17; k += 2) series += term *= (z * z) / k;
    const rise = (confidence / 2 - density * series) / density;
    if (!(rise > 1e-15 * z)) break;
    z += rise;
  }
  return z;
}
