// Comparing many kinds at once: published values, and laws.
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { adjustedPValues, jensenShannon } from '../../lib/math/contrast.js';

describe('adjusted p-values', () => {
  // Y. Benjamini and Y. Hochberg 1995, J. Royal Stat. Soc. B 57:289-300: the 15 p-values of their example (from memory).
  const P = [
    0.0001, 0.0004, 0.0019, 0.0095, 0.0201, 0.0278, 0.0298, 0.0344, 0.0459, 0.324, 0.4262, 0.5719, 0.6528, 0.759, 1,
  ];
  const ADJUSTED = [
    0.0015, 0.003, 0.0095, 0.035625, 0.0603, 0.0638571, 0.0638571, 0.0645, 0.0765, 0.486, 0.5811818, 0.714875,
    0.7532308, 0.8132143, 1,
  ];

  it('of the example of Benjamini and Hochberg: four at most 0.05, where dividing by their number leaves three', () => {
    const found = adjustedPValues(P);
    found.forEach((p, i) => {
      expect(p).toBeCloseTo(ADJUSTED[i]!, 6);
    });
    expect(found.filter((p) => p <= 0.05)).toHaveLength(4);
    expect(P.filter((p) => p * P.length <= 0.05)).toHaveLength(3);
  });

  it('stand in the order given, each the least bound of those as large or larger', () => {
    fc.assert(
      fc.property(
        fc.array(
          fc.integer({ min: 0, max: 20 }).map((n) => n / 20),
          { maxLength: 12 },
        ),
        (all) => {
          const bound = (p: number): number => (p * all.length) / all.filter((other) => other <= p).length;
          const found = adjustedPValues(all);
          expect(found).toHaveLength(all.length);
          all.forEach((p, i) => {
            expect(found[i]).toBeCloseTo(Math.min(1, ...all.filter((other) => other >= p).map(bound)), 12);
          });
        },
      ),
    );
  });

  it('refuses what is no probability', () => {
    expect(() => adjustedPValues([0.5, 1.5])).toThrow('p-value 1 is 1.5');
    expect(() => adjustedPValues([Number.NaN])).toThrow(RangeError);
  });
});

describe('Jensen-Shannon divergence', () => {
  it('values from the documentation of scipy.spatial.distance.jensenshannon, which gives the square root', () => {
    expect(jensenShannon([1, 0, 0], [0, 1, 0])).toBe(1);
    expect(Math.sqrt(jensenShannon([1, 0], [0.5, 0.5])! * Math.LN2)).toBeCloseTo(0.46450140402245893, 12);
    expect(jensenShannon([1, 0], [0.5, 0.5])).toBeCloseTo(0.3112781, 7);
  });

  it('is 0 of a list with itself, the same both ways, at most 1, and blind to how much there is', () => {
    const counts = fc.array(fc.integer({ min: 0, max: 9 }), { minLength: 4, maxLength: 4 });
    fc.assert(
      fc.property(counts, counts, fc.integer({ min: 1, max: 5 }), (p, q, times) => {
        const both = jensenShannon(p, q);
        const isEmpty = [p, q].some((list) => list.every((n) => n === 0));
        expect(both === undefined).toBe(isEmpty);
        if (both === undefined) return;
        expect(both >= 0 && both <= 1).toBe(true);
        expect(jensenShannon(q, p)).toBeCloseTo(both, 12);
        expect(
          jensenShannon(
            p.map((n) => n * times),
            q,
          ),
        ).toBeCloseTo(both, 12);
        expect(jensenShannon(p, p)).toBeCloseTo(0, 12);
        const meet = p.some((n, i) => n > 0 && q[i]! > 0);
        expect(both > 1 - 1e-12).toBe(!meet);
      }),
    );
  });

  it('refuses lists that do not fit', () => {
    expect(() => jensenShannon([1], [1, 2])).toThrow('there are 1 and 2 numbers');
    expect(() => jensenShannon([1, -1], [1, 2])).toThrow('number 1 is -1');
    expect(() => jensenShannon([1, 1], [1, Infinity])).toThrow(RangeError);
  });
});
