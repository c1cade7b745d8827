// How far a number found in a few clusters of data would move with other clusters of the same kind. No music in here.
import type { Random } from '../foundation/random.js';
import { type Estimate, FEWEST_CLUSTERS } from './counting.js';

/** How to resample. */
export interface BootstrapOptions {
  /** Where the draws come from: a generator with the same seed gives the same answer. */
  readonly random: Random;
  /** How many times to draw. Default 2000; at least 2 / (1 - confidence), 40 for 0.95. */
  readonly resamples?: number;
  /** How often such ranges hold the true value, above 0 and below 1. Default 0.95. */
  readonly confidence?: number;
}

/** An {@link Estimate} and how many resamples its range rests on. */
export interface BootstrapEstimate extends Estimate {
  readonly resamples: number;
}

/**
 * The statistic of all clusters, with the percentile range of its values on as many clusters drawn at random with
 * replacement. Whole clusters (solos) are drawn, since the rows of one (its notes) are not independent. With few
 * clusters the range comes out too narrow.
 *
 * `undefined` if there are fewer than five clusters, or if the statistic is `undefined` on all of them or on more than
 * half of the resamples. Resamples on which it is `undefined` are left out, and not counted in `resamples`.
 *
 * Method: percentile interval of B. Efron and R. J. Tibshirani 1993, An Introduction to the Bootstrap, chapter 13;
 * clusters drawn whole as in A. C. Davison and D. V. Hinkley 1997, Bootstrap Methods and their Application, section
 * 3.8.
 * @param statistic must not depend on the order of the clusters; `undefined` where it has no value, as a share of
 * nothing
 * @throws RangeError if an option is outside its range, or the statistic gives a number that is not finite
 * @example
 * const solos = [{ bent: 3, all: 9 }, { bent: 0, all: 4 }, { bent: 8, all: 12 }, { bent: 5, all: 20 }, { bent: 4, all:
 * 5 }]; const total = (of) => of.reduce((sum, n) => sum + n, 0);
 * const share = (drawn) => total(drawn.map((solo) => solo.bent)) / total(drawn.map((solo) => solo.all));
 * const found = clusterBootstrap(solos, share, { random: createRandom(7) });
 * found?.estimate // => 0.4
 * found?.resamples // => 2000
 */
export function clusterBootstrap<T>(
  clusters: readonly T[],
  statistic: (drawn: readonly T[]) => number | undefined,
  options: BootstrapOptions,
): BootstrapEstimate | undefined {
  const { random, resamples = 2000, confidence = 0.95 } = options;
  if (!(confidence > 0 && confidence < 1)) {
    throw new RangeError(`a confidence of ${confidence}: give a number between 0 and 1, such as 0.95`);
  }
  const fewest = Math.ceil(2 / (1 - confidence) - 1e-9);
  if (!(Number.isInteger(resamples) && resamples >= fewest)) {
    throw new RangeError(
      `${resamples} resamples: a confidence of ${confidence} needs a whole number from ${fewest} up`,
    );
  }
  const measure = (drawn: readonly T[]): number | undefined => {
    const value = statistic(drawn);
    if (value === undefined || Number.isFinite(value)) return value;
    throw new RangeError(`the statistic gave ${value}: let it give undefined where it has no value`);
  };
  if (clusters.length < FEWEST_CLUSTERS) return undefined;
  const estimate = measure(clusters);
  if (estimate === undefined) return undefined;

  const values: Float64Array = new Float64Array(resamples);
  let found = 0;
  for (let i = 0; i < resamples; i++) {
    const value = measure(clusters.map(() => clusters[random.int(clusters.length)]!));
    if (value !== undefined) values[found++] = value;
  }
  if (found < resamples / 2) return undefined;
  const sorted = values.subarray(0, found).sort();
  const tail = (1 - confidence) / 2;
  return { estimate, low: quantile(sorted, tail)!, high: quantile(sorted, 1 - tail)!, resamples: found };
}

/**
 * The value below which a share p of the sorted values lies, between two of them by linear interpolation: definition 7
 * of R. J. Hyndman and Y. Fan 1996, The American Statistician 50:361-365. `undefined` if there are no values.
 * @param sorted finite numbers in rising order
 * @param p 0 (the lowest) to 1 (the highest)
 * @throws RangeError if p is outside 0 to 1, or the values are not finite and rising (with the place)
 * @example
 * quantile([1, 2, 3, 4], 0.5) // => 2.5
 * quantile([10, 20, 30, 40, 50], 0.1) // => 14
 * quantile([], 0.5) // => undefined
 */
export function quantile(sorted: ArrayLike<number>, p: number): number | undefined {
  if (!(p >= 0 && p <= 1)) throw new RangeError(`a quantile at ${p}: give a number from 0 to 1`);
  for (let i = 0; i < sorted.length; i++) {
    if (!Number.isFinite(sorted[i])) throw new RangeError(`value ${i} is ${sorted[i]}: leave out what is not finite`);
    if (i > 0 && sorted[i]! < sorted[i - 1]!) {
      throw new RangeError(`value ${i}, ${sorted[i]}, follows ${sorted[i - 1]}: sort the values, lowest first`);
    }
  }
  if (sorted.length === 0) return undefined;
  const place = (sorted.length - 1) * p;
  const below = Math.floor(place);
  const above = Math.ceil(place);
  return sorted[below]! + (sorted[above]! - sorted[below]!) * (place - below);
}
