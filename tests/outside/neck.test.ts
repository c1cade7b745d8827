import { describe, expect, it } from 'vitest';
import { fret, stringNumber } from '../../lib/foundation/units.js';
import {
  fretSpanMm,
  harmonicPitch,
  nutToFret,
  openKey,
  parseTuning,
  pitchAt,
  SCALE_LENGTH_MM,
  STANDARD_GUITAR,
  STANDARD_TUNING,
  tuningText,
} from '../../lib/guitar/fretboard.js';
import { HARMONIC_FRETS, harmonicAbove } from '../../lib/guitar/technique.js';

const frets = Array.from({ length: 24 }, (_, i) => i + 1);

// Computed from L * (1 - 2^(-n/12)). A table in circulation prints .206291 at fret 4: a slip of the pen, not to be copied.
const FRACTIONS = [
  0.056126, 0.109101, 0.159104, 0.206299, 0.250846, 0.292893, 0.33258, 0.370039, 0.405396, 0.438769, 0.470268, 0.5,
  0.528063, 0.554551, 0.579552, 0.60315, 0.625423, 0.646447, 0.66629, 0.68502, 0.702698, 0.719384, 0.735134, 0.75,
];
const INCHES_25_5 = [
  1.431, 2.782, 4.057, 5.261, 6.397, 7.469, 8.481, 9.436, 10.338, 11.189, 11.992, 12.75, 13.466, 14.141, 14.779, 15.38,
  15.948, 16.484, 16.99, 17.468, 17.919, 18.344, 18.746, 19.125,
];
const MM_648 = [
  36.369, 70.698, 103.099, 133.682, 162.549, 189.795, 215.512, 239.786, 262.697, 284.322, 304.734, 324, 342.185,
  359.349, 375.55, 390.841, 405.274, 418.897, 431.756, 443.893, 455.348, 466.161, 476.367, 486,
];

describe('distance from the nut to each fret', () => {
  it.each(frets)('fret %i: fraction of the scale, inches at 25.5 in, millimetres at 648 mm (computed)', (n) => {
    expect(nutToFret(n, 1)).toBeCloseTo(FRACTIONS[n - 1] as number, 6);
    expect(nutToFret(n, 25.5)).toBeCloseTo(INCHES_25_5[n - 1] as number, 3);
    expect(nutToFret(n)).toBeCloseTo(MM_648[n - 1] as number, 3);
  });

  it('the usual scale length is 648 mm, which is not quite 25.5 in', () => {
    expect(SCALE_LENGTH_MM).toBe(648);
    expect(25.5 * 25.4).toBeCloseTo(647.7, 10);
    expect(nutToFret(1, 25.5 * 25.4)).toBeCloseTo(36.353, 3);
  });

  // stuphi.co.uk, "Guitar bits 'n' bobs": fret to BRIDGE on a 25 in scale. The mm column is the rounded inch times 25.4.
  it.each([
    [1, 23.597, 599.36],
    [2, 22.272, 565.721],
    [3, 21.022, 533.969],
    [4, 19.843, 504.0],
    [5, 18.729, 475.712],
    [6, 17.678, 449.013],
    [7, 16.685, 423.812],
    [8, 15.749, 400.025],
    [9, 14.865, 377.573],
    [10, 14.031, 356.382],
  ])('fret %i of a 25 in scale lies %f in from the bridge (published table, stuphi.co.uk)', (n, inches, mm) => {
    expect(Math.abs(25 - nutToFret(n, 25) - inches)).toBeLessThan(0.0006);
    expect(Math.abs((25 - nutToFret(n, 25)) * 25.4 - mm)).toBeLessThan(0.02);
  });

  it("what is left of the string divided by the next step is the luthiers' constant 17.817 (M. Koch, Building Electric Guitars)", () => {
    for (let n = 0; n < 24; n++) {
      const constant = (1 - nutToFret(n, 1)) / (nutToFret(n + 1, 1) - nutToFret(n, 1));
      expect(constant).toBeCloseTo(17.817153745, 8);
    }
  });

  it('the rule of 18 puts fret 12 of 25.5 in at 12.6573, flat by .093 in; 17.817 puts it at 12.75008 (computed)', () => {
    const twelfth = (constant: number): number => {
      let left = 25.5;
      for (let n = 0; n < 12; n++) left -= left / constant;
      return 25.5 - left;
    };
    expect(twelfth(18)).toBeCloseTo(12.6573, 4);
    expect(nutToFret(12, 25.5) - twelfth(18)).toBeCloseTo(0.093, 3);
    expect(twelfth(17.817)).toBeCloseTo(12.75008, 5);
    expect(Math.abs(nutToFret(12, 25.5) - twelfth(17.817))).toBeLessThan(0.0001);
  });

  it.each([
    [1, 4, 97.313],
    [5, 8, 77.237],
    [9, 12, 61.303],
    [12, 15, 51.55],
  ])('frets %i to %i at 648 mm span %f mm (differences of the table above)', (low, high, mm) => {
    expect(fretSpanMm(low, high)).toBeCloseTo(mm, 2);
  });
});

describe('natural harmonics', () => {
  it('the string is touched near a node of the harmonic that speaks (harmonic series: partial p has nodes at k/p of the string)', () => {
    for (const touched of HARMONIC_FRETS) {
      const above = harmonicAbove(touched) as number;
      const partial = Math.round(2 ** (above / 12));
      expect(Math.abs(12 * Math.log2(partial) - above), `fret ${touched}`).toBeLessThan(0.2);
      const nodes = Array.from({ length: partial - 1 }, (_, k) => -12 * Math.log2(1 - (k + 1) / partial));
      expect(Math.min(...nodes.map((node) => Math.abs(node - touched))), `fret ${touched}`).toBeLessThan(0.2);
    }
  });

  it.each([
    [12, 76],
    [7, 83],
    [19, 83],
    [5, 88],
    [24, 88],
    [4, 92],
    [9, 92],
    [16, 92],
    [3, 95],
  ])('touched at fret %i, string 1 sounds MIDI key %i (common practice, no source)', (touched, key) => {
    expect(harmonicPitch(STANDARD_GUITAR, stringNumber(1), fret(touched))).toBe(key);
  });

  it.each([1, 2, 6, 8, 10, 11, 13])('none is claimed at fret %i', (touched) => {
    expect(harmonicPitch(STANDARD_GUITAR, stringNumber(1), fret(touched))).toBeUndefined();
  });
});

describe('tunings, low to high (MIDI keys as in the npm package @musodojo/music-theory-data 28.0.0)', () => {
  it.each([
    ['E2 A2 D3 G3 B3 E4', [40, 45, 50, 55, 59, 64]],
    ['D2 A2 D3 G3 A3 D4', [38, 45, 50, 55, 57, 62]],
    ['D2 G2 D3 G3 B3 D4', [38, 43, 50, 55, 59, 62]],
  ])('%s', (text, keys) => {
    expect(parseTuning(text)).toEqual(keys);
    expect(tuningText(parseTuning(text) ?? [])).toBe(text);
  });

  it('the standard guitar is in the standard tuning; string 1 is the highest, string 6 the lowest', () => {
    expect(STANDARD_TUNING).toEqual([40, 45, 50, 55, 59, 64]);
    expect(openKey(STANDARD_GUITAR, stringNumber(1))).toBe(64);
    expect(openKey(STANDARD_GUITAR, stringNumber(6))).toBe(40);
  });

  it('a capo adds its semitones to every string and takes its frets from the neck', () => {
    const guitar = { ...STANDARD_GUITAR, capo: 3 };
    for (let s = 1; s <= 6; s++)
      expect(openKey(guitar, stringNumber(s))).toBe((openKey(STANDARD_GUITAR, stringNumber(s)) as number) + 3);
    expect(pitchAt(guitar, stringNumber(1), fret(21))).toBe(88);
    expect(pitchAt(guitar, stringNumber(1), fret(22))).toBeUndefined();
  });
});
