// What is to be expected anyway: published values, and the same sums in whole numbers of any size.
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { fisherExact, logFactorial, maximalOrderExpectation, poissonTail } from '../../lib/math/chance.js';

const timesIn = (text: string, part: string): number => [...text].filter((_, i) => text.startsWith(part, i)).length;
const expectation = (text: string, part: string): number | undefined =>
  maximalOrderExpectation(
    timesIn(text, part.slice(0, -1)),
    timesIn(text, part.slice(1)),
    timesIn(text, part.slice(1, -1)),
  );

describe('how often a sequence is expected', () => {
  // B. Prum, F. Rodolphe and E. de Turckheim 1995, J. Royal Stat. Soc. B 57:205-220: the formula; values computed from it.
  it('issi in mississippi and ana in banana come exactly as often as their parts would make them', () => {
    expect([timesIn('mississippi', 'issi'), expectation('mississippi', 'issi')]).toEqual([2, 2]);
    expect([timesIn('banana', 'ana'), expectation('banana', 'ana')]).toEqual([2, 2]);
  });
  it('but issi is a surprise if letters come independently: 0.1399 expected, two or more with probability 0.00892', () => {
    const mean = 8 * (4 / 11) ** 4;
    expect(mean).toBeCloseTo(0.1399, 4);
    expect(poissonTail(2, mean)).toBeCloseTo(0.00892, 5);
  });
  it('cannot be told where the middle never comes, and counts must be counts', () => {
    expect(maximalOrderExpectation(0, 0, 0)).toBeUndefined();
    expect(() => maximalOrderExpectation(1, Number.NaN, 1)).toThrow('a count of NaN');
    expect(() => maximalOrderExpectation(-1, 1, 1)).toThrow(RangeError);
  });
});

/** The natural logarithm of a whole number of any size. */
function logBig(n: bigint): number {
  const digits = n.toString();
  return Math.log(Number(`0.${digits.slice(0, 20)}`)) + digits.length * Math.LN10;
}

describe('logFactorial', () => {
  it('is the logarithm of the product up to 300', () => {
    let product = 1n;
    for (let n = 0; n <= 300; n++) {
      if (n > 0) product *= BigInt(n);
      const exact = logBig(product);
      expect(Math.abs(logFactorial(n) - exact)).toBeLessThanOrEqual(1e-14 * Math.max(1, exact) * 2);
    }
  });
  it.each([-1, 0.5, Number.NaN])('refuses %d', (n) => {
    expect(() => logFactorial(n)).toThrow(RangeError);
  });
});

describe('poissonTail', () => {
  // The first two from the definition; the others with 60-digit decimal arithmetic, and scipy.stats.poisson.sf, SciPy 1.17.1.
  it.each([
    [1, 1, 1 - Math.exp(-1)],
    [3, 2, 1 - 5 * Math.exp(-2)],
    [20, 1, 1.587527601e-19],
    [10, 3, 0.00110248813],
    [200, 100, 9.343150073e-19],
  ])('of %i or more where %d are expected', (k, mean, p) => {
    expect(poissonTail(k, mean) / p).toBeCloseTo(1, 8);
  });
  it('falls by the probability of exactly k, from 1 at 0', () => {
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 60 }), fc.double({ min: 1e-3, max: 60, noNaN: true }), (k, mean) => {
        const exactly = Math.exp(k * Math.log(mean) - mean - logFactorial(k));
        expect(Math.abs(poissonTail(k, mean) - poissonTail(k + 1, mean) - exactly)).toBeLessThan(1e-13);
        expect(poissonTail(0, mean)).toBe(1);
      }),
    );
  });
  it('knows the ends, and refuses what is no mean', () => {
    expect([poissonTail(-3, 2), poissonTail(0, 0), poissonTail(1, 0), poissonTail(1, 1e9)]).toEqual([1, 1, 0, 1]);
    expect(() => poissonTail(0.5, 1)).toThrow('at least 0.5');
    for (const mean of [-1, Number.NaN, Infinity]) expect(() => poissonTail(1, mean)).toThrow(RangeError);
  });
});

describe('fisherExact', () => {
  it('the lady tasting tea, 3 of 4 cups right: 0.242857 one-sided (Fisher 1935), 0.485714 two-sided', () => {
    const found = fisherExact(3, 1, 1, 3);
    expect(found.greater).toBeCloseTo(17 / 70, 12);
    expect(found.twoSided).toBeCloseTo(34 / 70, 12);
  });
  it('[[8, 2], [1, 5]]: 0.0350 two-sided (scipy.stats.fisher_exact, SciPy 1.17.1)', () => {
    expect(fisherExact(8, 2, 1, 5).twoSided).toBeCloseTo(0.034965034965, 10);
  });
  it('counts tables as whole numbers would', () => {
    const choose = (n: number, k: number): bigint => {
      if (k < 0 || k > n) return 0n;
      let product = 1n;
      for (let i = 0; i < k; i++) product = (product * BigInt(n - i)) / BigInt(i + 1);
      return product;
    };
    const cell = fc.integer({ min: 0, max: 25 });
    fc.assert(
      fc.property(cell, cell, cell, cell, (a, b, c, d) => {
        const ways = (x: number): bigint => choose(a + b, x) * choose(c + d, a + c - x);
        const total = choose(a + b + c + d, a + c);
        const share = (takes: (x: number) => boolean): number => {
          let sum = 0n;
          for (let x = 0; x <= a + c; x++) if (takes(x)) sum += ways(x);
          return Number((sum * 10n ** 18n) / total) / 1e18;
        };
        const found = fisherExact(a, b, c, d);
        expect(found.less).toBeCloseTo(
          share((x) => x <= a),
          9,
        );
        expect(found.greater).toBeCloseTo(
          share((x) => x >= a),
          9,
        );
        expect(found.twoSided).toBeCloseTo(
          share((x) => ways(x) <= ways(a)),
          9,
        );
      }),
    );
  });
  it('refuses what is no count', () => {
    expect(() => fisherExact(-1, 2, 3, 4)).toThrow(RangeError);
    expect(() => fisherExact(1, 2.5, 3, 4)).toThrow(RangeError);
  });
});
