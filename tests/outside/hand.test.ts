import { describe, expect, it } from 'vitest';
import { fret, stringNumber } from '../../lib/foundation/units.js';
import { fingerLine } from '../../lib/guitar/fingering.js';
import { bendForce, fittsBits, leastShiftMm, neckOf, shiftBits, spanMm } from '../../lib/guitar/fingering-hand.js';
import { STANDARD_GUITAR } from '../../lib/guitar/fretboard.js';

const neck = neckOf(STANDARD_GUITAR);

describe('reaching, against published and computed values', () => {
  it.each([
    [2, 2, 1],
    [2, 1, 2],
    [4, 0.5, 4],
    [16, 0.25, 7],
  ])(
    'a movement of %f in to a target %f in wide has %f bits (P. M. Fitts 1954, J. Exp. Psychology 47:381-391)',
    (a, w, bits) => {
      expect(fittsBits(a, w)).toBe(bits);
    },
  );

  // From the positions of frets at 648 mm, computed from L(1 - 2^(-n/12)): fret 1 36.369, 4 133.682, 5 162.549, 8 239.786, 9 262.697, 12 324.000, 15 375.550.
  it.each([
    [1, 4, 97.313],
    [5, 8, 77.237],
    [9, 12, 61.303],
    [12, 15, 51.55],
  ])('first finger at fret %i, little finger at fret %i: %f mm', (low, high, mm) => {
    expect(spanMm(neck, low, high)).toBeCloseTo(mm, 2);
  });

  it('a shift by one fret up has one bit anywhere on the neck, since frets stand in one proportion', () => {
    for (let f = 1; f < 24; f++) expect(shiftBits(neck, f, f + 1)).toBeCloseTo(1, 10);
  });

  it('needs no shift within one hand, and all of the way beyond its reach', () => {
    expect(leastShiftMm(neck, 5, 9)).toBe(0);
    expect(leastShiftMm(neck, 5, 12)).toBeCloseTo(324 - 262.697, 2);
    expect(leastShiftMm(neck, 1, 5)).toBeCloseTo(162.549 - 36.369 - 105, 2);
    expect(leastShiftMm(neck, 0, 12)).toBe(0);
    for (let low = 1; low < 20; low++)
      for (let high = low; high < 24; high++)
        expect(leastShiftMm(neck, low + 1, high + 1)).toBeLessThanOrEqual(leastShiftMm(neck, low, high) + 1e-9);
  });

  it('a bend takes the least force in the middle of the string, the twelfth fret, and more towards both ends (statics of a string)', () => {
    expect(bendForce(neck, 12)).toBeCloseTo(1, 12);
    for (let f = 1; f < 12; f++) expect(bendForce(neck, f)).toBeGreaterThan(bendForce(neck, f + 1));
    for (let f = 12; f < 24; f++) expect(bendForce(neck, f)).toBeLessThan(bendForce(neck, f + 1));
    // 1/36.369 + 1/611.631 against 4/648, computed by hand
    expect(bendForce(neck, 1)).toBeCloseTo(2.172, 3);
  });

  it('the same shape asks for less stretch the higher it lies (spans above)', () => {
    const shape = (low: number) => {
      const at = (string: number, f: number) => ({ string: stringNumber(string), fret: fret(f) });
      return fingerLine([{ at: 0, notes: [at(2, low + 3), at(3, low)] }]).steps[0]?.stretchMm as number;
    };
    const stretches = [1, 2, 3, 4, 5, 7, 9, 12].map(shape);
    for (let i = 1; i < stretches.length; i++)
      expect(stretches[i] as number).toBeLessThanOrEqual(stretches[i - 1] as number);
    expect(stretches[0] as number).toBeGreaterThan(stretches[7] as number);
  });
});
