// Prices of edits between lines, against the weights of M. Mongeau and D. Sankoff 1990, Comparison of musical sequences, Computers and the Humanities
// 24:161-175. Weights and single prices are those that a general library (musicjson-toolbox 1.2.4) uses and asserts; the tunes are computed from the
// definition. How this project departs from them is tested as such: octaves are told apart, an equal pitch costs nothing outside the scale either.
import { describe, expect, it } from 'vitest';
import {
  EDIT_WEIGHTS,
  type EditLine,
  editCosts,
  editLine,
  intervalWeight,
  lengthWeight,
} from '../../lib/analysis/phrase-relation-costs.js';
import { phraseCorpus } from '../../lib/analysis/phrase-relation-lines.js';
import { QUARTER } from '../../lib/foundation/time.js';
import { cheapestTransformation } from '../../lib/math/transformation.js';
import { madeTable } from '../analysis/made.js';

describe('single prices', () => {
  it('weights by steps of the scale: unison, second ... seventh', () => {
    const majorScale = [0, 2, 4, 5, 7, 9, 11];
    expect(majorScale.map((semitones) => intervalWeight(semitones, true))).toEqual([0, 0.9, 0.2, 0.5, 0.1, 0.35, 0.8]);
  });
  it('weights by semitones where one is outside the scale', () => {
    expect(Array.from({ length: 11 }, (_, k) => intervalWeight(k + 1, false))).toEqual([
      2.6, 2.3, 1, 1, 1.6, 1.8, 0.8, 1.3, 1.3, 2.2, 2.5,
    ]);
    expect(EDIT_WEIGHTS.semitones[0]).toBe(0.6); // theirs for an equal pitch outside the scale
    expect(intervalWeight(0, false)).toBe(0); // here
  });
  it('C for F 0.5; a third, half as long 0.896; a quarter left out 1.392, an eighth 0.696', () => {
    expect(intervalWeight(5, true)).toBe(0.5);
    expect(intervalWeight(4, true) + lengthWeight(QUARTER, QUARTER / 2)).toBeCloseTo(0.896, 12);
    expect(lengthWeight(QUARTER, 0)).toBeCloseTo(1.392, 12);
    expect(lengthWeight(QUARTER / 2, 0)).toBeCloseTo(0.696, 12);
  });
});

describe('tunes made of C D E F, quarter quarter eighth eighth, in C major', () => {
  const tune = 'q 1@2 3@2 e 5@2 6@2';
  /** What it costs to make another line of the tune. The lengths of last tones are free here. */
  const price = (other: string): number => {
    const corpus = phraseCorpus(
      madeTable('1 C | C | C', `phrase 1\nat 1 1\n  ${tune}\nphrase 2\nat 2 1\n  ${other}\n`),
    );
    const [a, b] = corpus.phrases.map((line) => editLine(corpus.table, line)) as [EditLine, EditLine];
    return cheapestTransformation(a.n, b.n, editCosts(a, b, 0))?.cost as number;
  };
  it.each<[string, string, number]>([
    ['itself', tune, 0],
    ['D becomes F, a third', 'q 1@2 6@2 e 5@2 6@2', 0.2],
    ['the first C as four sixteenths', 's 1@2 1@2 1@2 1@2 q 3@2 e 5@2 6@2', 0],
    ['D left out', 'q 1@2 e 5@2 6@2', 1.392],
    ['D half as long', 'q 1@2 e 3@2 5@2 6@2', 0.696],
    ['the first note a fifth higher', 'q 3@1 3@2 e 5@2 6@2', 0.1],
    ['the first note an octave higher: 0 for them, 1 here', 'q 8@1 3@2 e 5@2 6@2', 1],
  ])('%s', (_, other, expected) => {
    expect(price(other)).toBeCloseTo(expected, 12);
  });
});
