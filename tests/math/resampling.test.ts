import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { createRandom } from '../../lib/foundation/random.js';
import { clusterBootstrap, quantile } from '../../lib/math/resampling.js';

const sum = (values: readonly number[]): number => values.reduce((a, b) => a + b, 0);
const mean = (values: readonly number[]): number => sum(values) / values.length;
const deviation = (values: readonly number[]): number => {
  const centre = mean(values);
  return Math.sqrt(sum(values.map((v) => (v - centre) ** 2)) / (values.length - 1));
};

/** The statistic, and every value that it gave after the first, which is the estimate. */
function recorded<T>(statistic: (drawn: readonly T[]) => number) {
  const values: number[] = [];
  const record = (drawn: readonly T[]): number => {
    const value = statistic(drawn);
    values.push(value);
    return value;
  };
  return { record, ofResamples: () => values.slice(1) };
}

// B. Efron and R. J. Tibshirani 1993, An Introduction to the Bootstrap: the law school data (15 schools, average test
// score and average grade) and the mouse data (survival in days). The data are from memory; r, the mean and its
// deviation confirm them.
const lawSchools = [
  [576, 3.39], [635, 3.3], [558, 2.81], [578, 3.03], [666, 3.44], [580, 3.07], [555, 3.0], [661, 3.43],
  [651, 3.36], [605, 3.13], [653, 3.12], [575, 2.74], [545, 2.76], [572, 2.88], [594, 2.96],
] as const; // biome-ignore format: a table
const treatedMice = [94, 197, 16, 38, 99, 141, 23];

const correlation = (pairs: readonly (readonly [number, number])[]): number | undefined => {
  const x = pairs.map(([a]) => a);
  const y = pairs.map(([, b]) => b);
  const spread = deviation(x) * deviation(y) * (pairs.length - 1);
  return spread === 0 ? undefined : sum(pairs.map(([a, b]) => (a - mean(x)) * (b - mean(y)))) / spread;
};

describe('clusterBootstrap', () => {
  it('finds the correlation of the law schools and its bootstrap standard error', () => {
    const { record, ofResamples } = recorded<readonly [number, number]>((drawn) => correlation(drawn)!);
    const found = clusterBootstrap(lawSchools, record, { random: createRandom(1), resamples: 4000 })!;
    expect(found.estimate).toBeCloseTo(0.7764, 4);
    // About 0.13 in the book (from memory); 0.134 with scipy.stats.bootstrap, 200 000 resamples, SciPy 1.17.1.
    expect(deviation(ofResamples())).toBeGreaterThan(0.12);
    expect(deviation(ofResamples())).toBeLessThan(0.14);
    // 0.459 to 0.962 with scipy.stats.bootstrap(..., paired=True, method='percentile'), 200 000 resamples.
    expect(Math.abs(found.low - 0.459)).toBeLessThan(0.02);
    expect(Math.abs(found.high - 0.962)).toBeLessThan(0.01);
  });

  it('finds the mean survival of the treated mice and its bootstrap standard error', () => {
    const { record, ofResamples } = recorded<number>(mean);
    const found = clusterBootstrap(treatedMice, record, { random: createRandom(2), resamples: 10_000 })!;
    expect(found.estimate).toBeCloseTo(86.857, 3);
    // With infinitely many resamples: s / sqrt(n) x sqrt((n - 1) / n), s / sqrt(n) being 25.235 in the book (from
    // memory).
    const limit = deviation(treatedMice) / Math.sqrt(7);
    expect(limit).toBeCloseTo(25.235, 2);
    expect(Math.abs(deviation(ofResamples()) - limit * Math.sqrt(6 / 7))).toBeLessThan(0.5);
    // 43.86 to 134.43 with scipy.stats.bootstrap(method='percentile'), a million resamples, SciPy 1.17.1; the means go
    // in steps of 1/7.
    expect(Math.abs(found.low - 43.86)).toBeLessThan(1.5);
    expect(Math.abs(found.high - 134.43)).toBeLessThan(1.5);
  });

  interface Cluster {
    readonly hits: number;
    readonly rows: number;
  }
  const share = (drawn: readonly Cluster[]): number | undefined => {
    const rows = sum(drawn.map((c) => c.rows));
    return rows === 0 ? undefined : sum(drawn.map((c) => c.hits)) / rows;
  };

  it('holds the true share about as often as it says, with clusters of very unequal size', () => {
    const random = createRandom(3);
    const sets = 400;
    let held = 0;
    for (let set = 0; set < sets; set++) {
      // 40 clusters of 4 to 120 rows, each with its own share, 0.1 or 0.5 alike often: the true share is 0.3.
      const clusters = Array.from({ length: 40 }, (): Cluster => {
        const rows = 4 + Math.floor(117 * random.next() ** 3);
        const own = random.next() < 0.5 ? 0.1 : 0.5;
        return { rows, hits: sum(Array.from({ length: rows }, () => (random.next() < own ? 1 : 0))) };
      });
      const { low, high } = clusterBootstrap(clusters, share, { random, resamples: 400 })!;
      if (low <= 0.3 && 0.3 <= high) held++;
    }
    // A little under 0.95, as percentile ranges from 40 clusters are; 2.5 standard errors of 400 sets are 0.03.
    expect(held / sets).toBeGreaterThan(0.89);
    expect(held / sets).toBeLessThan(0.98);
  });

  it('gives the same answer for the same seed, another for another', () => {
    const run = (seed: number) => clusterBootstrap(treatedMice, mean, { random: createRandom(seed), resamples: 200 });
    expect(run(5)).toEqual(run(5));
    expect(run(5)).not.toEqual(run(6));
  });

  it('moves and stretches with the data', () => {
    const run = (data: readonly number[]) => clusterBootstrap(data, mean, { random: createRandom(8), resamples: 200 })!;
    const found = run(treatedMice);
    const moved = run(treatedMice.map((days) => 2 * days + 10));
    expect(moved.low).toBeCloseTo(2 * found.low + 10, 9);
    expect(moved.high).toBeCloseTo(2 * found.high + 10, 9);
  });

  it('is wider with more confidence, on the same draws', () => {
    const run = (confidence: number) => clusterBootstrap(treatedMice, mean, { random: createRandom(9), confidence })!;
    expect(run(0.99).low).toBeLessThan(run(0.8).low);
    expect(run(0.99).high).toBeGreaterThan(run(0.8).high);
  });

  it('draws as many clusters as there are, whole, all of them alike often', () => {
    const times = new Map<string, number>();
    const clusters = ['a', 'b', 'c', 'd', 'e', 'f'];
    const statistic = (drawn: readonly string[]): number => {
      expect(drawn).toHaveLength(clusters.length);
      for (const cluster of drawn) times.set(cluster, (times.get(cluster) ?? 0) + 1);
      return 0;
    };
    clusterBootstrap(clusters, statistic, { random: createRandom(10), resamples: 2000 });
    expect([...times.keys()].sort()).toEqual(clusters);
    // 2000 expected of each (and 1 from the estimate); 5 standard deviations are 204.
    for (const n of times.values()) expect(Math.abs(n - 2001)).toBeLessThan(204);
  });

  it('gives undefined for fewer than five clusters', () => {
    expect(clusterBootstrap([1, 2, 3, 4], mean, { random: createRandom(1) })).toBeUndefined();
    expect(clusterBootstrap([1, 2, 3, 4, 5], mean, { random: createRandom(1) })).toBeDefined();
  });

  it('leaves out resamples without a value and says how many are left', () => {
    // Three of five clusters have rows: no row is drawn in (2/5)^5, about 1 %, of the resamples.
    const clusters = [3, 0, 0, 4, 5].map((rows) => ({ hits: rows / 2, rows }));
    const found = clusterBootstrap(clusters, share, { random: createRandom(11), resamples: 2000 })!;
    expect(found.estimate).toBe(0.5);
    expect(found.resamples).toBeLessThan(2000);
    expect(found.resamples).toBeGreaterThan(1950);
  });

  it('gives undefined when all clusters, or most resamples, have no value', () => {
    const empty = Array.from({ length: 6 }, () => ({ hits: 0, rows: 0 }));
    expect(clusterBootstrap(empty, share, { random: createRandom(1) })).toBeUndefined();
    const onlyWhole = (drawn: readonly number[]) => (new Set(drawn).size === drawn.length ? 1 : undefined);
    expect(clusterBootstrap([1, 2, 3, 4, 5], onlyWhole, { random: createRandom(1) })).toBeUndefined();
  });

  it('refuses a statistic that is not finite, and options outside their range', () => {
    const random = createRandom(1);
    expect(() => clusterBootstrap([0, 0, 0, 0, 0], (d) => 0 / sum(d), { random })).toThrow(
      /gave NaN: let it give undef/,
    );
    expect(() => clusterBootstrap(treatedMice, mean, { random, confidence: 95 })).toThrow(/confidence of 95/);
    expect(() => clusterBootstrap(treatedMice, mean, { random, resamples: 39 })).toThrow(/whole number from 40 up/);
    expect(() => clusterBootstrap(treatedMice, mean, { random, resamples: 99.5 })).toThrow(/99.5 resamples/);
    expect(clusterBootstrap(treatedMice, mean, { random, resamples: 40 })?.resamples).toBe(40);
  });
});

describe('quantile', () => {
  // R 4, quantile(x, type = 7), the default: quantile(1:10) is 1, 3.25, 5.5, 7.75, 10; NumPy's method 'linear' is the
  // same.
  it('uses definition 7 of Hyndman and Fan', () => {
    const ten = [1, 2, 3, 4, 5, 6, 7, 8, 9, 10];
    expect([0, 0.25, 0.5, 0.75, 1].map((p) => quantile(ten, p))).toEqual([1, 3.25, 5.5, 7.75, 10]);
  });

  it('stays between the lowest and the highest, and rises with p', () => {
    const values = fc.array(fc.double({ min: -1e9, max: 1e9, noNaN: true }), { minLength: 1, maxLength: 40 });
    const share = fc.double({ min: 0, max: 1, noNaN: true });
    fc.assert(
      fc.property(values, share, share, (list, p, q) => {
        const sorted = Float64Array.from(list).sort();
        const [low, high] = [Math.min(p, q), Math.max(p, q)].map((at) => quantile(sorted, at)!);
        expect(low).toBeGreaterThanOrEqual(sorted[0]!);
        expect(high).toBeLessThanOrEqual(sorted.at(-1)!);
        expect(high! - low!).toBeGreaterThanOrEqual(-1e-6);
      }),
    );
  });

  it('takes one value as every quantile, and gives undefined for none', () => {
    expect(quantile([7], 0.3)).toBe(7);
    expect(quantile([], 0.3)).toBeUndefined();
  });

  it('refuses p outside 0 to 1 and values that are not finite and sorted, with the place', () => {
    expect(() => quantile([1], 1.5)).toThrow(/quantile at 1.5/);
    expect(() => quantile([1], Number.NaN)).toThrow(/quantile at NaN/);
    expect(() => quantile([1, 3, 2], 0.5)).toThrow('value 2, 2, follows 3: sort the values');
    expect(() => quantile([1, Number.NaN], 0.5)).toThrow(/value 1 is NaN/);
  });
});
