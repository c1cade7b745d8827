import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type Preference, preferenceWeights } from '../../lib/math/preference.js';

const amounts = fc.array(fc.double({ min: 0, max: 4, noNaN: true }), { minLength: 3, maxLength: 3 });
const pairs: fc.Arbitrary<readonly Preference[]> = fc.array(fc.record({ higher: amounts, lower: amounts }), {
  maxLength: 12,
});
const priors = fc.array(fc.double({ min: 0, max: 3, noNaN: true }), { minLength: 3, maxLength: 3 });

const objective = (
  w: ArrayLike<number>,
  all: readonly Preference[],
  prior: ArrayLike<number>,
  ridge: number,
): number => {
  let sum = 0;
  for (let k = 0; k < w.length; k++) sum += (ridge / 2) * (w[k]! - prior[k]!) ** 2;
  for (const { higher, lower } of all) {
    let d = 0;
    for (let k = 0; k < w.length; k++) d += w[k]! * (higher[k]! - lower[k]!);
    sum += d > 0 ? Math.log1p(Math.exp(-d)) : -d + Math.log1p(Math.exp(d));
  }
  return sum;
};

describe('weights from preferences', () => {
  it('no weights nearby, none below 0, are better', () => {
    fc.assert(
      fc.property(pairs, priors, fc.constantFrom(0.1, 1, 10), (all, prior, ridge) => {
        const w = preferenceWeights(all, { prior, ridge });
        const best = objective(w, all, prior, ridge);
        for (let k = 0; k < 3; k++)
          for (const step of [-0.3, -0.01, 0.01, 0.3]) {
            const other = Float64Array.from(w);
            other[k] = Math.max(0, other[k]! + step);
            expect(w[k]).toBeGreaterThanOrEqual(0);
            expect(objective(other, all, prior, ridge)).toBeGreaterThanOrEqual(best - 1e-9);
          }
      }),
    );
  });

  it('with nothing said they are the prior; the order of pairs does not matter', () => {
    fc.assert(
      fc.property(pairs, priors, (all, prior) => {
        expect([...preferenceWeights([], { prior, ridge: 1 })]).toEqual(prior);
        const w = preferenceWeights(all, { prior, ridge: 1 });
        const back = preferenceWeights([...all].reverse(), { prior, ridge: 1 });
        w.forEach((x, k) => {
          expect(back[k]).toBeCloseTo(x, 6);
        });
      }),
    );
  });

  it('one pair in one amount solves w - p = d / (1 + exp(wd)) (the gradient set to 0 by hand)', () => {
    const w = preferenceWeights([{ higher: [2], lower: [0] }], { prior: [0], ridge: 1 })[0]!;
    expect(w).toBeCloseTo(2 / (1 + Math.exp(2 * w)), 8);
  });

  it('says what does not fit', () => {
    const one = [{ higher: [1], lower: [0] }];
    expect(() => preferenceWeights(one, { prior: [1, 2], ridge: 1 })).toThrow('pair 0 has 1 and 1 amounts, 2 expected');
    expect(() => preferenceWeights(one, { prior: [-1], ridge: 1 })).toThrow('prior 0 is -1');
    expect(() => preferenceWeights(one, { prior: [1], ridge: 0 })).toThrow('a ridge of 0');
    expect(() => preferenceWeights([{ higher: [Number.NaN], lower: [0] }], { prior: [1], ridge: 1 })).toThrow('finite');
  });
});
