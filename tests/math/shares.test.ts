import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { createRandom } from '../../lib/foundation/random.js';
import { designEffect, type Estimate, type WilsonOptions, wilson } from '../../lib/math/counting.js';

/** Some n from 1 up and a share of it, neither whole in general. */
const shares = fc
  .tuple(fc.double({ min: 1e-3, max: 1e6, noNaN: true }), fc.double({ min: 0, max: 1, noNaN: true }))
  .map(([n, p]) => ({ n, successes: Math.min(n, p * n) }));

const rangeOf = (successes: number, n: number, options?: WilsonOptions): Estimate => wilson(successes, n, options)!;

describe('wilson', () => {
  // R. G. Newcombe 1998, Statistics in Medicine 17:857-872, table I, method 3 (score without continuity correction), 95
  // %. The values are from memory, and agree with scipy.stats.binomtest(...).proportion_ci(method='wilson'), SciPy
  // 1.17.1.
  const newcombe = [
    [81, 263, '0.2553', '0.3662'],
    [15, 148, '0.0624', '0.1605'],
    [0, 20, '0.0000', '0.1611'],
    [1, 29, '0.0061', '0.1718'],
  ] as const;
  // Worked out from the formula outside the project.
  const further = [
    [0, 10, '0.0000', '0.2775'],
    [1, 10, '0.0179', '0.4042'],
    [5, 10, '0.2366', '0.7634'],
    [2, 3, '0.2077', '0.9385'],
    [10, 10, '0.7225', '1.0000'],
  ] as const;
  for (const [successes, n, low, high] of [...newcombe, ...further]) {
    it(`puts ${successes} of ${n} between ${low} and ${high}`, () => {
      const found = rangeOf(successes, n);
      expect([found.low.toFixed(4), found.high.toFixed(4)]).toEqual([low, high]);
      expect(found.estimate).toBe(successes / n);
    });
  }

  // SciPy 1.17.1, scipy.stats.binomtest(k, n).proportion_ci(confidence_level, method='wilson').
  const scipy = [
    [81, 263, 0.9, 0.26331361718848145, 0.3565663496084882],
    [15, 148, 0.95, 0.06238639953073629, 0.16048724172330803],
    [56, 70, 0.95, 0.6918335550374693, 0.8769526075163704],
    [56, 70, 0.9, 0.710870903159285, 0.8668016924182147],
  ] as const;
  for (const [successes, n, confidence, low, high] of scipy) {
    it(`agrees with SciPy to 12 digits on ${successes} of ${n} at ${confidence}`, () => {
      const found = rangeOf(successes, n, { confidence });
      expect(found.low).toBeCloseTo(low, 12);
      expect(found.high).toBeCloseTo(high, 12);
    });
  }

  // Quantiles of the normal distribution as printed in any table of it. With no successes of n, high = z^2 / (n + z^2).
  for (const [confidence, z] of [
    [0.5, 0.67448975],
    [0.8, 1.28155157],
    [0.9, 1.64485363],
    [0.95, 1.95996398],
    [0.99, 2.5758293],
    [0.999, 3.29052673],
    [0.999999, 4.89163848],
  ] as const) {
    it(`uses z = ${z} for a confidence of ${confidence}`, () => {
      const { high } = rangeOf(0, 10, { confidence });
      expect(Math.sqrt((10 * high) / (1 - high))).toBeCloseTo(z, 7);
    });
  }

  it('holds the share found, within 0 and 1', () => {
    fc.assert(
      fc.property(shares, fc.double({ min: 1, max: 50, noNaN: true }), ({ successes, n }, effect) => {
        const { estimate, low, high } = rangeOf(successes, n, { designEffect: effect });
        expect(low).toBeGreaterThanOrEqual(0);
        expect(low).toBeLessThanOrEqual(estimate);
        expect(high).toBeGreaterThanOrEqual(estimate);
        expect(high).toBeLessThanOrEqual(1);
        expect(low).toBeLessThan(high);
      }),
    );
  });

  it('is narrower with more rows of the same share', () => {
    fc.assert(
      fc.property(shares, fc.double({ min: 1.01, max: 100, noNaN: true }), ({ successes, n }, times) => {
        const few = rangeOf(successes, n);
        const many = rangeOf(Math.min(successes * times, n * times), n * times);
        expect(many.high - many.low).toBeLessThan(few.high - few.low);
      }),
    );
  });

  it('is wider with more confidence', () => {
    fc.assert(
      fc.property(shares, ({ successes, n }) => {
        const [less, more] = [0.8, 0.95].map((confidence) => rangeOf(successes, n, { confidence }));
        expect(more!.high - more!.low).toBeGreaterThan(less!.high - less!.low);
      }),
    );
  });

  it('is the mirror image when successes and failures change places', () => {
    fc.assert(
      fc.property(fc.nat(1000), fc.nat(1000), (hits, misses) => {
        fc.pre(hits + misses > 0);
        const found = rangeOf(hits, hits + misses);
        const mirrored = rangeOf(misses, hits + misses);
        expect(mirrored.low).toBeCloseTo(1 - found.high, 12);
        expect(mirrored.high).toBeCloseTo(1 - found.low, 12);
      }),
    );
  });

  it('with a design effect is the range of as many rows fewer', () => {
    fc.assert(
      fc.property(shares, fc.double({ min: 1, max: 50, noNaN: true }), ({ successes, n }, effect) => {
        const clustered = rangeOf(successes, n, { designEffect: effect });
        const fewer = rangeOf(Math.min(successes / effect, n / effect), n / effect);
        expect(clustered.low).toBeCloseTo(fewer.low, 10);
        expect(clustered.high).toBeCloseTo(fewer.high, 10);
      }),
    );
  });

  it('never starts below 0, not even for a share next to nothing', () => {
    // The formula as printed came out just below 0 here: it takes one rounded number from another like it.
    expect(rangeOf(5.551115123125784e-17, 25.91097245792468).low).toBeGreaterThanOrEqual(0);
  });

  it('still holds the share found where n is so large that the range closes on it', () => {
    // 1 - 0.9 is just below 0.1.
    expect(rangeOf(1e299, 1e300).high).toBeGreaterThanOrEqual(0.1);
  });

  it('gives undefined for no rows', () => {
    expect(wilson(0, 0)).toBeUndefined();
  });

  it('gives numbers, not NaN, for the smallest n there is', () => {
    for (const successes of [0, Number.MIN_VALUE]) {
      const { estimate, low, high } = rangeOf(successes, Number.MIN_VALUE);
      expect([estimate, low, high].every(Number.isFinite)).toBe(true);
    }
  });

  it('refuses what is no share, and options outside their range', () => {
    expect(() => wilson(3, 2)).toThrow('3 successes of 2: give 0 to 2');
    expect(() => wilson(-1, 2)).toThrow(/-1 successes/);
    expect(() => wilson(0, -1)).toThrow(/n is -1/);
    expect(() => wilson(0, Number.NaN)).toThrow(/n is NaN/);
    expect(() => wilson(Number.NaN, 2)).toThrow(/NaN successes/);
    expect(() => wilson(1, Infinity)).toThrow(/n is Infinity/);
    expect(() => wilson(1, 2, { designEffect: 0.5 })).toThrow(/design effect of 0.5/);
    for (const confidence of [0, 1, 95, Number.NaN]) expect(() => wilson(1, 2, { confidence })).toThrow(/such as 0.95/);
  });
});

describe('designEffect', () => {
  // Pups alive at 21 days of those alive at 4 days, 16 litters each (C. S. Weil 1970, Food and Cosmetics Toxicology
  // 8:177-182; used by J. N. K. Rao and A. J. Scott 1992). The counts are from memory; the effects were computed with
  // NumPy from Rao and Scott's formula.
  const litters = {
    control: {
      alive: [13, 12, 9, 9, 8, 8, 12, 11, 9, 9, 8, 11, 4, 5, 7, 7],
      all: [13, 12, 9, 9, 8, 8, 13, 12, 10, 10, 9, 13, 5, 7, 10, 10],
      effect: 1.2324953943,
    },
    treated: {
      alive: [12, 11, 10, 9, 10, 9, 9, 8, 8, 4, 7, 4, 5, 3, 3, 0],
      all: [12, 11, 10, 9, 11, 10, 10, 9, 9, 5, 9, 7, 10, 6, 10, 7],
      effect: 3.952860626,
    },
  };
  for (const [group, { alive, all, effect }] of Object.entries(litters)) {
    it(`is ${effect.toFixed(2)} for the ${group} litters`, () => {
      expect(designEffect(alive, all)).toBeCloseTo(effect, 9);
    });
  }

  /** Mean of the estimates over many made-up data sets; each cluster's rows are made by `rows`. */
  function meanEffect(seed: number, sizes: readonly number[], hitsOf: (size: number, next: () => number) => number) {
    const random = createRandom(seed);
    let sum = 0;
    for (let set = 0; set < 200; set++) {
      const hits = sizes.map((size) => hitsOf(size, random.next));
      const found = designEffect(hits, sizes);
      expect(found).toBeGreaterThanOrEqual(1);
      sum += found!;
    }
    return sum / 200;
  }

  it('is near 1 when the rows are independent', () => {
    const sizes = Array.from({ length: 60 }, (_, i) => 5 + (i % 40));
    const independent = (size: number, next: () => number) =>
      Array.from({ length: size }, () => (next() < 0.3 ? 1 : 0)).reduce<number>((a, b) => a + b, 0);
    const mean = meanEffect(1, sizes, independent);
    // Above 1 on average only because estimates below 1 are raised to it.
    expect(mean).toBeGreaterThanOrEqual(1);
    expect(mean).toBeLessThan(1.15);
  });

  it('is near the cluster size when the rows of a cluster are all alike', () => {
    const alike = (size: number, next: () => number) => (next() < 0.3 ? size : 0);
    const mean = meanEffect(
      2,
      Array.from({ length: 60 }, () => 25),
      alike,
    );
    expect(mean).toBeGreaterThan(24);
    expect(mean).toBeLessThan(26);
  });

  it('makes the range hold the true share about as often as it says; without it the range is far too narrow', () => {
    const random = createRandom(3);
    const sizes = Array.from({ length: 40 }, (_, i) => 10 + ((i * 37) % 90));
    const n = sizes.reduce((a, b) => a + b, 0);
    let held = 0;
    let heldWithout = 0;
    const sets = 1000;
    for (let set = 0; set < sets; set++) {
      // Each cluster has its own share, 0.1 or 0.5 alike often: the true share is 0.3.
      const hits = sizes.map((size) => {
        const own = random.next() < 0.5 ? 0.1 : 0.5;
        return Array.from({ length: size }, () => (random.next() < own ? 1 : 0)).reduce<number>((a, b) => a + b, 0);
      });
      const all = hits.reduce((a, b) => a + b, 0);
      const range = rangeOf(all, n, { designEffect: designEffect(hits, sizes)! });
      const without = rangeOf(all, n);
      if (range.low <= 0.3 && 0.3 <= range.high) held++;
      if (without.low <= 0.3 && 0.3 <= without.high) heldWithout++;
    }
    expect(held / sets).toBeGreaterThan(0.92);
    expect(held / sets).toBeLessThan(0.97);
    expect(heldWithout / sets).toBeLessThan(0.6);
  });

  it('is never below 1, even when clusters are more alike than chance', () => {
    expect(designEffect([3, 3, 3, 3, 3, 3], [10, 10, 10, 10, 10, 10])).toBe(1);
  });

  it('does not change when successes and failures change places, or clusters do', () => {
    const cluster = fc.tuple(fc.nat(20), fc.nat(20));
    fc.assert(
      fc.property(fc.array(cluster, { minLength: 5, maxLength: 30 }), (clusters) => {
        const n = clusters.map(([hits, misses]) => hits + misses);
        const effect = designEffect(
          clusters.map(([hits]) => hits),
          n,
        );
        const mirrored = designEffect(
          clusters.map(([, misses]) => misses),
          n,
        );
        const backwards = designEffect(clusters.map(([hits]) => hits).reverse(), [...n].reverse());
        if (effect === undefined) expect([mirrored, backwards]).toEqual([undefined, undefined]);
        else {
          expect(mirrored).toBeCloseTo(effect, 9);
          expect(backwards).toBeCloseTo(effect, 9);
        }
      }),
    );
  });

  it('gives undefined for fewer than five clusters with rows', () => {
    expect(designEffect([1, 2, 3, 4], [5, 5, 5, 5])).toBeUndefined();
    expect(designEffect([1, 2, 3, 4, 0], [5, 5, 5, 5, 0])).toBeUndefined();
    expect(designEffect([1, 2, 3, 4, 0], [5, 5, 5, 5, 1])).toBeGreaterThanOrEqual(1);
    expect(designEffect([], [])).toBeUndefined();
  });

  it('passes over clusters without rows', () => {
    const { alive, all, effect } = litters.treated;
    expect(designEffect([0, ...alive, 0], [0, ...all, 0])).toBeCloseTo(effect, 9);
  });

  it('gives undefined when all rows or none are successes: nothing varies', () => {
    expect(designEffect([0, 0, 0, 0, 0], [9, 9, 9, 9, 9])).toBeUndefined();
    expect(designEffect([9, 9, 9, 9, 9], [9, 9, 9, 9, 9])).toBeUndefined();
  });

  it('refuses lists of different length and shares above 1, with the cluster', () => {
    expect(() => designEffect([1, 2], [3])).toThrow('2 successes for 1 clusters');
    expect(() => designEffect([1, 4], [3, 3])).toThrow('4 successes of 3 in cluster 1');
  });
});
