// What counting is measured against: loops that do only the count, each over three columns that it was written around. Made once a
// process: the engine then knows the columns while it compiles, which makes a loop twice as fast as one that is handed them.
import type { KeyColumn } from '../../lib/math/counting.js';

/** A bare loop over the first `rows` rows. */
export type BareLoop<T> = (rows: number) => T;
/** Three keys. */
export type ThreeKeys = readonly [KeyColumn, KeyColumn, KeyColumn];

/** What the tightest loop is called in a table of timings. */
export const TIGHTEST = 'the same, its sizes known to the compiler';

/** Counts. The sizes of the keys are data, as they are for any count. */
export function bareCount(keys: ThreeKeys): BareLoop<Int32Array> {
  const [a, b, c] = keys;
  const sizes = keys.map((key) => key.size) as [number, number, number];
  return (rows) => {
    const counts = new Int32Array(sizes[0] * sizes[1] * sizes[2]);
    for (let i = 0; i < rows; i++) {
      const slot = ((a.codes[i] as number) * sizes[1] + (b.codes[i] as number)) * sizes[2] + (c.codes[i] as number);
      counts[slot] = (counts[slot] as number) + 1;
    }
    return counts;
  };
}

/** The tightest count there is: the sizes are constants too, so that multiplying becomes shifting and adding. */
export function tightestCount([a, b, c]: ThreeKeys): BareLoop<Int32Array> {
  const [codesA, codesB, codesC] = [a.codes, b.codes, c.codes];
  const [sizeB, sizeC, slots] = [b.size, c.size, a.size * b.size * c.size];
  return (rows) => {
    const counts = new Int32Array(slots);
    for (let i = 0; i < rows; i++) {
      const slot = ((codesA[i] as number) * sizeB + (codesB[i] as number)) * sizeC + (codesC[i] as number);
      counts[slot] = (counts[slot] as number) + 1;
    }
    return counts;
  };
}

/** Counts and adds up the ticks. */
export function bareCountAndTicks(
  keys: ThreeKeys,
  ticks: Int32Array,
): BareLoop<{ readonly counts: Int32Array; readonly sums: Float64Array }> {
  const [a, b, c] = keys;
  const sizes = keys.map((key) => key.size) as [number, number, number];
  return (rows) => {
    const counts = new Int32Array(sizes[0] * sizes[1] * sizes[2]);
    const sums = new Float64Array(counts.length);
    for (let i = 0; i < rows; i++) {
      const slot = ((a.codes[i] as number) * sizes[1] + (b.codes[i] as number)) * sizes[2] + (c.codes[i] as number);
      counts[slot] = (counts[slot] as number) + 1;
      sums[slot] = (sums[slot] as number) + (ticks[i] as number);
    }
    return { counts, sums };
  };
}

/** Many short runs first: after one long run the engine would go on with a version of the loop that is several times slower. */
export function warmUp(loop: BareLoop<unknown>): void {
  for (let i = 0; i < 5000; i++) loop(500);
}
