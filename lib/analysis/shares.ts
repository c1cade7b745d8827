// Shares of counts and of time, how sure they are between solos, and a column of codes counted within groups.
import { createRandom } from '../foundation/random.js';
import { designEffect, type KeyColumn, rowsByCell, wilson } from '../math/counting.js';
import { clusterBootstrap } from '../math/resampling.js';
import type { GroupColumn } from './grouping.js';

/** A share with its 95 % interval; the interval is absent where fewer than five solos speak, or the share is none or all. */
export interface Share {
  readonly share: number;
  readonly low?: number;
  readonly high?: number;
}

const total = (list: readonly number[]): number => list.reduce((sum, n) => sum + n, 0);

/**
 * A share of counts, from its hits and what they are hits of in each solo, with Wilson's 95 % interval on n divided by a design effect estimated
 * between solos (things of one solo are alike). Fewer than five solos: no interval.
 * @param hits a number for each solo
 * @param of how many could have been hits, in the same order; solos without any are passed over
 * @throws RangeError if there is nothing to have a share of, or as `designEffect` does
 * @example
 * shareOf([3, 4, 2, 5, 4, 3], [6, 8, 6, 9, 8, 5]).low // => about 0.3553
 * shareOf([3, 4], [6, 8]) // => { share: 0.5 }
 */
export function shareOf(hits: readonly number[], of: readonly number[]): Share {
  const n = total(of);
  if (n === 0) throw new RangeError('there is no share of nothing: count at least one');
  const effect = designEffect(hits, of);
  const found = effect === undefined ? undefined : wilson(total(hits), n, { designEffect: effect });
  return { share: total(hits) / n, ...(found && { low: found.low, high: found.high }) };
}

/**
 * A share of time, from the ticks of each solo, with a 95 % bootstrap interval over solos. 0 where nothing sounds.
 * @param own ticks of what is asked about, for each solo
 * @param all ticks of all of it, in the same order
 * @param seed the same seed gives the same interval
 * @example
 * shareOfTime([20160, 0], [40320, 40320], 1) // => { share: 0.25 }
 */
export function shareOfTime(own: readonly number[], all: readonly number[], seed: number): Share {
  const solos = own.map((ticks, i) => ({ own: ticks, all: all[i] as number }));
  const found = clusterBootstrap(solos, timeOf, { random: createRandom(seed), resamples: 1000 });
  return { share: timeOf(solos) ?? 0, ...(found && { low: found.low, high: found.high }) };
}

function timeOf(drawn: readonly { readonly own: number; readonly all: number }[]): number | undefined {
  let own = 0;
  let all = 0;
  for (const d of drawn) {
    own += d.own;
    all += d.all;
  }
  return all === 0 ? undefined : own / all;
}

/** One value within one group: how often it comes. */
export interface ShareRow {
  readonly group: readonly string[];
  readonly value: string;
  readonly count: number;
  /** Share of the group. */
  readonly share: Share;
  /** How often it comes in each solo that it comes from, by the solo's code. */
  readonly bySolo: ReadonlyMap<number, number>;
  /** What is counted, as numbers into the list that was counted. */
  readonly items: Int32Array;
}

/** One group: what its rows add up to. */
export interface ShareGroup {
  readonly group: readonly string[];
  readonly n: number;
  /** n in each solo that has any, by the solo's code. */
  readonly bySolo: ReadonlyMap<number, number>;
}

/** Values counted within groups; a row has the very list `group` of its group. Groups stand in order of n, the most first; the rows of a group in the order of their values, and add up to n. */
export interface ShareTable {
  readonly groups: readonly ShareGroup[];
  readonly rows: readonly ShareRow[];
  readonly n: number;
}

/** What {@link shareTable} counts, as columns of equal length. */
export interface ShareColumns {
  /** What a group is, outermost first; none: all is one group. */
  readonly by: readonly GroupColumn[];
  readonly value: GroupColumn;
  readonly solo: KeyColumn;
  /** Anything but 0 where to count. Default: everywhere. */
  readonly mask?: Uint8Array;
  /** Give intervals of 95 % (slower). Default true. */
  readonly intervals?: boolean;
}

/**
 * Counts values within groups, with the share of each in its group and what is behind every count.
 * @example
 * const table = shareTable({ by: [], value: labelColumn(['3', '1', '3']), solo: { codes: new Uint8Array(3), size: 1 } })
 * table.rows.map((r) => [r.value, r.count, [...r.items]]) // => [['3', 2, [0, 2]], ['1', 1, [1]]]
 */
export function shareTable(columns: ShareColumns): ShareTable {
  const { by, value, solo, mask, intervals = true } = columns;
  const cells = rowsByCell([...by, value], mask ? { mask } : {});
  const groups = new Map<string, { readonly group: readonly string[]; readonly rows: Omit<ShareRow, 'share'>[] }>();
  for (let c = 0; c < cells.cells; c++) {
    const group = by.map((column, k) => labelOf(column, cells.codes[k]?.[c] as number));
    const known = groups.get(group.join('\u0000')) ?? { group, rows: [] };
    groups.set(group.join('\u0000'), known);
    const items = cells.rows.slice(cells.offsets[c], cells.offsets[c + 1]);
    const label = labelOf(value, cells.codes[by.length]?.[c] as number);
    known.rows.push({
      group: known.group,
      value: label,
      count: items.length,
      bySolo: countsBySolo(items, solo),
      items,
    });
  }
  const summed = [...groups.values()].map(({ group, rows }) => ({
    group,
    rows,
    n: total(rows.map((r) => r.count)),
    bySolo: added(rows),
  }));
  summed.sort((a, b) => b.n - a.n || (a.group.join() < b.group.join() ? -1 : 1));
  return {
    groups: summed.map(({ group, n, bySolo }) => ({ group, n, bySolo })),
    rows: summed.flatMap(({ rows, n, bySolo }) =>
      rows.map((row) => ({ ...row, share: intervals ? shareBySolo(row.bySolo, bySolo) : { share: row.count / n } })),
    ),
    n: total(summed.map(({ n }) => n)),
  };
}

const labelOf = (column: GroupColumn, code: number): string => column.labels[code] ?? 'none';

function countsBySolo(items: Int32Array, solo: KeyColumn): ReadonlyMap<number, number> {
  const counts = new Map<number, number>();
  for (const i of items) counts.set(solo.codes[i] as number, (counts.get(solo.codes[i] as number) ?? 0) + 1);
  return counts;
}

function added(rows: readonly { readonly bySolo: ReadonlyMap<number, number> }[]): ReadonlyMap<number, number> {
  const sums = new Map<number, number>();
  for (const { bySolo } of rows) for (const [s, count] of bySolo) sums.set(s, (sums.get(s) ?? 0) + count);
  return sums;
}

function shareBySolo(hits: ReadonlyMap<number, number>, of: ReadonlyMap<number, number>): Share {
  const solos = [...of.keys()].sort((a, b) => a - b);
  return shareOf(
    solos.map((s) => hits.get(s) ?? 0),
    solos.map((s) => of.get(s) as number),
  );
}

/**
 * The share of a value in all other groups together, to hold one group against: its hits, what they are hits of, and the share with its interval.
 * `undefined` where there are no others.
 * @example
 * const table = shareTable({ by: [labelColumn(['Ada', 'Bo', 'Bo'])], value: labelColumn(['3', '1', '3']), solo: { codes: new Uint8Array(3), size: 1 } })
 * shareElsewhere(table, ['Ada'], '3') // => { hits: 1, of: 2, share: { share: 0.5 } }
 */
export function shareElsewhere(
  table: ShareTable,
  group: readonly string[],
  value: string,
): { readonly hits: number; readonly of: number; readonly share: Share } | undefined {
  const isOther = (g: readonly string[]) => g.some((label, i) => label !== group[i]);
  const of = added(table.groups.filter((g) => isOther(g.group)));
  if (of.size === 0) return undefined;
  const hits = added(table.rows.filter((row) => row.value === value && isOther(row.group)));
  return { hits: total([...hits.values()]), of: total([...of.values()]), share: shareBySolo(hits, of) };
}

/**
 * Texts as a column of codes, in the order given by `first`, all others as they come.
 * @example
 * labelColumn(['5', '1', '5'], ['1', '3', '5']).codes // => Int32Array(3) [ 2, 0, 2 ]
 */
export function labelColumn(texts: readonly string[], first: readonly string[] = []): GroupColumn {
  const known = new Map(first.map((text, code) => [text, code]));
  const codes: Int32Array = Int32Array.from(texts, (text) => {
    const code = known.get(text) ?? known.size;
    known.set(text, code);
    return code;
  });
  return { codes, size: Math.max(1, known.size), labels: [...known.keys()] };
}
