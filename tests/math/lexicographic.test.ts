import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { compareInTurn } from '../../lib/math/lexicographic.js';

describe('compareInTurn', () => {
  const lists = fc.array(fc.integer({ min: -9, max: 9 }), { minLength: 4, maxLength: 4 });

  it('orders lists of digits as the numbers that they write', () => {
    const digits = fc.array(fc.nat(9), { minLength: 5, maxLength: 5 });
    fc.assert(
      fc.property(digits, digits, (a, b) => {
        expect(Math.sign(compareInTurn(a, b))).toBe(Math.sign(Number(a.join('')) - Number(b.join(''))));
      }),
      { seed: 1 },
    );
  });

  it('turns round with its arguments, and is 0 for equal lists only', () => {
    fc.assert(
      fc.property(lists, lists, (a, b) => {
        expect(compareInTurn(a, b) + compareInTurn(b, a)).toBe(0);
        expect(compareInTurn(a, b) === 0).toBe(a.join() === b.join());
      }),
      { seed: 1 },
    );
  });

  it('refuses lists of two lengths', () => {
    expect(() => compareInTurn([1], [1, 2])).toThrow('lists of 1 and of 2 numbers have no order');
  });
});
