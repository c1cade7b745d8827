import { describe, expect, it } from 'vitest';
import { QUARTER } from '../../lib/foundation/time.js';
import { metricalLevels, metricalWeight, syncopationAt } from '../../lib/theory/syncopation.js';
import { meter } from './reading.js';

/** Levels of a bar that is divided as Longuet-Higgins and Lee write it: (2 2 2) is a bar of eight units. */
const levelsOf = (...divisions: readonly number[]): readonly number[] => {
  let unit = divisions.reduce((a, b) => a * b, 1);
  return [unit, ...divisions.map((d) => (unit /= d))];
};

describe('metrical weights of Longuet-Higgins and Lee (Music Perception 1(4):424-441, 1984, as transcribed by H. Honing)', () => {
  it.each([
    ['4/4', 8, '0 -3 -2 -3 -1 -3 -2 -3'],
    ['4/4', 16, '0 -4 -3 -4 -2 -4 -3 -4 -1 -4 -3 -4 -2 -4 -3 -4'],
    ['3/4', 6, '0 -2 -1 -2 -1 -2'],
    ['6/8', 6, '0 -2 -2 -1 -2 -2'],
    ['12/8', 12, '0 -3 -3 -2 -3 -3 -1 -3 -3 -2 -3 -3'],
  ])('%s in %i parts', (text, parts, weights) => {
    const read = meter(text);
    const levels = metricalLevels(read);
    const found = Array.from({ length: parts }, (_, i) => metricalWeight(levels, (read.barTicks / parts) * i));
    expect(found).toEqual(weights.split(' ').map(Number));
  });
});

describe('syncopation', () => {
  // H. C. Longuet-Higgins and C. S. Lee 1984, figure 9, as transcribed by H. Honing: distances between onsets, the bar, the syncopations.
  it.each([
    [[1, 3], [2, 2], [1]],
    [[2, 1, 3, 2], [2, 2, 2], [2]],
    [[3, 1], [2, 2], []],
    [[2, 1], [3], []],
    [[1, 2], [3], [0]],
    [[3, 1, 2], [2, 3], [0]],
    [[1, 2, 1], [2, 2], [1]],
    [
      [1, 2, 1, 1, 3],
      [2, 2, 2],
      [1, 1],
    ],
    [
      [1, 4, 3],
      [2, 2, 2],
      [2, 1],
    ],
    [[5, 3], [2, 2, 2], [1]],
    [
      [1, 2, 2, 2, 1],
      [2, 2, 2],
      [1, 2, 1],
    ],
  ])('%j in a bar of %j', (distances, divisions, values) => {
    const levels = levelsOf(...divisions);
    let onset = 0;
    const found = distances.flatMap((d) => {
      const value = syncopationAt(levels, onset, onset + d);
      onset += d;
      return value === undefined ? [] : [value];
    });
    expect(found).toEqual(values);
  });

  // Rhythms as in G. T. Toussaint, The Geometry of Musical Rhythm, 2013; their sums computed by hand from the definition above.
  it.each([
    ['shiko', 'x...x.x...x.x...', 2],
    ['son', 'x..x..x...x.x...', 4],
    ['rumba', 'x..x...x..x.x...', 5],
    ['soukous', 'x..x..x...xx....', 6],
    ['gahu', 'x..x..x...x...x.', 5],
    ['bossa', 'x..x..x...x..x..', 6],
  ])('%s, going round', (_, rhythm, sum) => {
    const onsets = [...rhythm].flatMap((c, i) => (c === 'x' ? [i] : []));
    const levels = levelsOf(2, 2, 2, 2);
    const values = onsets.map(
      (onset, i) => syncopationAt(levels, onset, onsets[i + 1] ?? (onsets[0] as number) + 16) ?? 0,
    );
    expect(values.reduce((a, b) => a + b, 0)).toBe(sum);
  });

  it('a triplet off the grid is weaker than any place on it', () => {
    const levels = metricalLevels(meter('4/4'));
    expect(metricalWeight(levels, QUARTER / 3)).toBe(-6);
    expect(metricalWeight(levels, QUARTER / 8)).toBe(-5);
  });

  it('a tie over the barline is through the strongest place', () => {
    const levels = metricalLevels(meter('4/4'));
    expect(syncopationAt(levels, 3.5 * QUARTER, 5 * QUARTER)).toBe(3);
    expect(syncopationAt(levels, 3 * QUARTER, 4 * QUARTER)).toBeUndefined();
  });
});
