import { describe, expect, it } from 'vitest';
import { labelColumn, shareElsewhere, shareOf, shareOfTime, shareTable } from '../../lib/analysis/shares.js';
import { wilson } from '../../lib/math/counting.js';
import { keepsTheLaws } from './made.js';

const soloColumn = (codes: readonly number[], size: number) => ({ codes: Int32Array.from(codes), size });

describe('a share of counts', () => {
  it("has Wilson's interval on n divided by the design effect between solos", () => {
    // All or nothing in each solo: ten tones tell no more than one, and n - 1 solos are what is left (12 times the variance; see designEffect).
    const share = shareOf([10, 0, 10, 0, 10, 0], [10, 10, 10, 10, 10, 10]);
    const expected = wilson(30 / 12, 60 / 12);
    expect(share.share).toBe(0.5);
    expect(share.low).toBeCloseTo(expected?.low ?? Number.NaN, 12);
    expect(share.high).toBeCloseTo(expected?.high ?? Number.NaN, 12);
  });

  it("has Wilson's plain interval where solos are alike (worked example: R. G. Newcombe 1998, Table I, 81 of 263)", () => {
    // 81 of 263 as 9 solos of nearly equal shares; the design effect is 1 at least. Newcombe's interval: 0.2553 to 0.3662.
    const n = [29, 29, 29, 29, 29, 29, 29, 30, 30];
    const share = shareOf([9, 9, 9, 9, 9, 9, 9, 9, 9], n);
    expect([share.low?.toFixed(4), share.high?.toFixed(4)]).toEqual(['0.2553', '0.3662']);
  });

  it('has none below five solos that speak, nor for none or all; and there is no share of nothing', () => {
    expect(shareOf([1, 2, 3, 4, 0], [5, 5, 5, 5, 0])).toEqual({ share: 0.5 });
    expect(shareOf([0, 0, 0, 0, 0], [5, 5, 5, 5, 5])).toEqual({ share: 0 });
    expect(() => shareOf([], [])).toThrow('no share of nothing');
  });
});

describe('a share of time', () => {
  it('is drawn by solos, the same for the same seed, and 0 where nothing sounds', () => {
    const own = [10, 20, 0, 40, 30, 5];
    const all = [50, 40, 30, 60, 50, 20];
    const share = shareOfTime(own, all, 3);
    expect(share.share).toBeCloseTo(105 / 250, 12);
    expect(share.low).toBeLessThan(share.share);
    expect(share.high).toBeGreaterThan(share.share);
    expect(shareOfTime(own, all, 3)).toEqual(share);
    expect(shareOfTime(own.slice(0, 4), all.slice(0, 4), 3)).toEqual({ share: 70 / 180 });
    expect(shareOfTime([0, 0], [0, 0], 1)).toEqual({ share: 0 });
  });
});

describe('a table of shares', () => {
  const players = labelColumn(['Ada', 'Bo', 'Ada', 'Ada', 'Cy', 'Bo']);
  const values = labelColumn(['3', '1', '1', '3', '5', '1'], ['1', '3', '5']);
  const table = shareTable({ by: [players], value: values, solo: soloColumn([0, 1, 0, 2, 3, 1], 4) });

  it('counts values within groups, the largest group first, values in their order', () => {
    keepsTheLaws(table, 6);
    expect(table.rows.map((r) => [r.group[0], r.value, r.count, [...r.items], [...r.bySolo]])).toEqual([
      ['Ada', '1', 1, [2], [[0, 1]]],
      [
        'Ada',
        '3',
        2,
        [0, 3],
        [
          [0, 1],
          [2, 1],
        ],
      ],
      ['Bo', '1', 2, [1, 5], [[1, 2]]],
      ['Cy', '5', 1, [4], [[3, 1]]],
    ]);
  });

  it('leaves out what is masked, and may be empty', () => {
    const some = shareTable({
      by: [players],
      value: values,
      solo: soloColumn([0, 1, 0, 2, 3, 1], 4),
      mask: Uint8Array.of(1, 0, 0, 1, 0, 0),
    });
    expect(some.rows.map((r) => [r.value, r.count, r.share])).toEqual([['3', 2, { share: 1 }]]);
    expect(shareTable({ by: [labelColumn([])], value: labelColumn([]), solo: soloColumn([], 1) })).toEqual({
      groups: [],
      rows: [],
      n: 0,
    });
  });

  it('holds a group against all others together', () => {
    expect(shareElsewhere(table, ['Ada'], '1')).toEqual({ hits: 2, of: 3, share: { share: 2 / 3 } });
    expect(shareElsewhere(table, ['Bo'], '3')).toEqual({ hits: 2, of: 4, share: { share: 0.5 } });
    const one = shareTable({ by: [], value: values, solo: soloColumn([0, 1, 0, 2, 3, 1], 4) });
    expect(shareElsewhere(one, [], '1')).toBeUndefined();
  });
});
