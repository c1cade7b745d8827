import { describe, expect, it } from 'vitest';
import { inMusicalOrder, intervalFinding, lowEndOfDifference } from '../../lib/charts/interval-finding.js';
import { wilson } from '../../lib/math/counting.js';
import { QUALITIES } from '../../lib/theory/chord.js';
import type { PitchName } from '../../lib/theory/pitch.js';
import { type Key, parseKey, romanNumeral } from '../../lib/theory/scale.js';
import { tableOf } from './corpus.js';

const textOf = (use: Parameters<typeof intervalFinding>[0]): string => intervalFinding(use).text;

describe('lowEndOfDifference', () => {
  // R. G. Newcombe 1998, Statistics in Medicine 17:873-890, table II, method 10 (score, without continuity correction). The values are from
  // memory, and were worked out again from the formula outside the project.
  it.each([
    [56, 70, 48, 80, '0.0524'],
    [9, 10, 3, 10, '0.1705'],
    [10, 10, 0, 20, '0.6791'],
  ])('of %d of %d and %d of %d is as published', (a, m, b, n, low) => {
    const [first, second] = [wilson(a, m), wilson(b, n)];
    if (!first || !second) throw new Error('no interval');
    expect(lowEndOfDifference(first, second).toFixed(4)).toBe(low);
  });
});

describe('the finding', () => {
  it('names the degree that stands out, with n, its interval and what it is against', () => {
    const use = tableOf(
      ['function'],
      [
        [['I'], { 1: 40, 3: 30, 6: [10, 0.07, 0.18] }],
        [['IV'], { 1: 40, 3: [22, 0.15, 0.3], 6: [38, 0.29, 0.48] }],
        [['V'], { 1: 20, 3: 10, 6: 0 }],
      ],
    );
    // Over I and V together 10 of 110 tones are the 6: 9 %.
    expect(intervalFinding(use)).toEqual({
      kind: 'stands out',
      rows: [5],
      text: 'The 6 stands out over IV: 38 % of 100 tones (29 to 48 %), against 9 % over I and V',
    });
  });

  it('names the others by their third where there are many', () => {
    const others = ['I', 'II', 'III', 'V'].map((f) => [[f], { 1: 36, 6: 4 }] as const);
    const use = tableOf(['function'], [[['IV'], { 1: 60, 6: [40, 0.3, 0.5] }], ...others]);
    expect(textOf(use)).toMatch(/against 10 % over other chords with a major third$/);
  });

  it('is no root, no third of a minor chord among major ones, no seventh over a function', () => {
    const major = [['I'], { 1: 50, 3: 50 }] as const;
    const minor = [['ii'], { 1: [60, 0.5, 0.7], b3: [20, 0.15, 0.3], b7: [20, 0.15, 0.3] }] as const;
    expect(intervalFinding(tableOf(['function'], [major, minor])).kind).toBe('comes most');
    const dominant = [['V'], { 1: [60, 0.5, 0.7], b7: [40, 0.3, 0.5] }] as const;
    expect(intervalFinding(tableOf(['function'], [major, dominant])).kind).toBe('comes most');
  });

  it('compares a seventh over symbols, which say that it is there: only over chords alike', () => {
    const c7 = [['C7'], { 1: 60, b7: [40, 0.3, 0.5] }] as const;
    expect(intervalFinding(tableOf(['chord'], [c7, [['F'], { 1: 100 }]])).kind).toBe('comes most');
    expect(textOf(tableOf(['chord'], [c7, [['F7'], { 1: 100 }]]))).toBe(
      'The b7 stands out over C7: 40 % of 100 tones (30 to 50 %), against 0 % over F7',
    );
  });

  it('needs 30 tones on either side', () => {
    const of = (n: number, m: number) =>
      intervalFinding(
        tableOf(
          ['function'],
          [
            [['IV'], { 1: n - 20, 6: [20, 0.5, 0.8] }],
            [['I'], { 1: m }],
          ],
        ),
      ).kind;
    expect(of(30, 30)).toBe('stands out');
    expect(of(29, 30)).toBe('comes most');
    expect(of(30, 29)).toBe('comes most');
  });

  it('needs an interval, and one that stays above the other share', () => {
    const of = (six: number | readonly [number, number, number]) =>
      textOf(
        tableOf(
          ['function'],
          [
            [['IV'], { 1: 60, 6: six }],
            [['I'], { 1: 71, 6: 30 }],
          ],
        ),
      );
    expect(of(40)).toBe('Over I the 1 comes most: 70 % of 101 tones');
    expect(of([40, 0.1, 0.7])).toBe('Over I the 1 comes most: 70 % of 101 tones');
    // 0.4 - 0.3 - hypot(0.4 - 0.35, 0.39 - 0.3) is below 0: the other share is uncertain too.
    expect(of([40, 0.35, 0.45])).toBe('Over I the 1 comes most: 70 % of 101 tones');
  });

  it('says which degrees come most alike', () => {
    const use = tableOf(['chord'], [[['C7'], { 1: 10, 3: 10, 5: 4 }]]);
    expect(intervalFinding(use)).toEqual({
      kind: 'comes most',
      rows: [0, 1],
      text: 'Over C7 the 1 and the 3 come most: 42 % each of 24 tones',
    });
  });

  it('says when there are too few tones', () => {
    expect(textOf(tableOf(['chord'], []))).toBe('Too few tones for a finding (n = 0)');
    expect(textOf(tableOf(['chord'], [[['C7'], { 1: 19 }]]))).toBe('Too few tones for a finding (n = 19)');
    const two = tableOf(
      ['chord'],
      [
        [['F7'], { 1: 3 }],
        [['C7'], { 1: 19 }],
      ],
    );
    expect(textOf(two)).toBe('Too few tones for a finding (at most n = 19, over C7)');
    expect(intervalFinding(tableOf(['chord'], [[['C7'], { 1: 20 }]])).kind).toBe('comes most');
  });

  it.each([
    [['quality'], ['half-diminished'], 'Over half-diminished chords the 1 comes'],
    [['player', 'function'], ['Ada Fenwick', 'ii'], 'In the playing of Ada Fenwick over ii the 1 comes'],
    [['solo'], ['two-bars'], 'In two-bars the 1 comes'],
    [['key', 'chord'], ['A minor', 'E7'], 'In A minor over E7 the 1 comes'],
    [['position'], ['last'], 'Where the position is last the 1 comes'],
    [['chord'], ['B♭7'], 'Over Bb7 the 1 comes'],
  ] as const)('says groups by %s in words', (by, group, words) => {
    expect(textOf(tableOf(by, [[group, { 1: 20 }]]))).toBe(`${words} most: 100 % of 20 tones`);
  });

  it('speaks of degrees of the key where these were counted, and then not of chords standing out', () => {
    const made = [
      [['IV'], { 1: 60, 6: [40, 0.35, 0.5] }],
      [['I'], { 1: 90 }],
    ] as const;
    const use = tableOf(['function'], made, { over: 'key' });
    expect(textOf(use)).toBe('Over IV the 1 of the key comes most: 60 % of 100 tones');
    const players = made.map(([[group], degrees]) => [[group], degrees] as const);
    expect(textOf(tableOf(['player'], players, { over: 'key' }))).toMatch(
      /^The 6 of the key stands out in the playing of IV/,
    );
  });
});

describe('the order of groups', () => {
  it('of functions is that of the scale, capital before small, what is no function last', () => {
    const numerals = ['N.C.', 'vii', 'bVII', 'V', 'iiø', 'ii', 'ii°', 'IV', 'II', '#IV', 'i', 'I', 'I+', 'bIII', 'vi'];
    const use = tableOf(
      ['function'],
      numerals.map((f, i) => [[f], { 1: i + 1 }] as const),
    );
    expect([...use.groups].sort(inMusicalOrder(use)).map((g) => g.group[0])).toEqual([
      'I',
      'I+',
      'i',
      'II',
      'ii',
      'iiø',
      'ii°',
      'bIII',
      'IV',
      '#IV',
      'V',
      'vi',
      'bVII',
      'vii',
      'N.C.',
    ]);
  });

  it('knows every function that a chord can have', () => {
    const key = parseKey('A minor') as Key;
    for (const root of [
      'A',
      'A#',
      'Bb',
      'B',
      'B#',
      'C',
      'C#',
      'Db',
      'D',
      'D#',
      'Eb',
      'E',
      'E#',
      'F',
      'F#',
      'Gb',
      'G',
      'G#',
      'Ab',
    ] as PitchName[])
      for (const quality of QUALITIES) {
        const use = tableOf(
          ['function'],
          [
            [['N.C.'], { 1: 9 }],
            [[romanNumeral(key, root, quality)], { 1: 1 }],
          ],
        );
        expect([...use.groups].sort(inMusicalOrder(use))[1]?.group, `${root} ${quality}`).toEqual(['N.C.']);
      }
  });

  it('of other groupings is by their tones; within a player by function', () => {
    const use = tableOf(
      ['player', 'function'],
      [
        [['Ada', 'V'], { 1: 9 }],
        [['Ben', 'I'], { 1: 20 }],
        [['Ada', 'I'], { 1: 2 }],
      ],
    );
    expect([...use.groups].sort(inMusicalOrder(use)).map((g) => g.group.join(' '))).toEqual([
      'Ben I',
      'Ada I',
      'Ada V',
    ]);
  });
});
