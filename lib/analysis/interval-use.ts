// Which degrees a player uses over which chord: counts, time, shares with their uncertainty, and the places behind every count.
import { type CellRows, countCells, type KeyColumn, rowsByCell } from '../math/counting.js';
import { FLAG, type Place, placeOfTone, type ToneTable } from '../solo/tone-table.js';
import { DEGREE_NAMES } from '../theory/interval.js';
import { exposureBy, exposureKey } from './exposure.js';
import { type GroupColumn, type Grouping, groupColumn, selection, type ToneFilter } from './grouping.js';
import { type Share, shareOf, shareOfTime } from './shares.js';

/** What to count. */
export interface IntervalUseOptions {
  /** What a group is; each group is divided into degrees. Default: `['function']`, the function of the chord in the key. */
  readonly by?: readonly Grouping[];
  /** Degrees above the root of the chord (the default) or above the tonic of the key. */
  readonly over?: 'chord' | 'key';
  /** Count tones pushed over a change against the chord they push into. Default false; headline numbers have it off. */
  readonly anticipation?: boolean;
  /** Count graces and other ornaments too. Default false. */
  readonly ornaments?: boolean;
  /** Count only these tones. Default: all under a chord. */
  readonly where?: ToneFilter;
  /** Give intervals of 95 % (slower). Default true. */
  readonly intervals?: boolean;
  /** Seed of the bootstrap for shares of time. Default 1. */
  readonly seed?: number;
}

/** One degree within one group. */
export interface IntervalUseRow {
  /** The value of each grouping, in the order of `by`. */
  readonly group: readonly string[];
  /** Whole semitones above the root. */
  readonly semitones: number;
  /** The degree's name. */
  readonly degree: string;
  /** Tones counted. */
  readonly tones: number;
  /** How many of them stand a quarter-tone above the degree. */
  readonly plus: number;
  /** Ticks they sound. */
  readonly ticks: number;
  /** Share of the group's tones. */
  readonly share: Share;
  /** Share of the group's sounding time. */
  readonly timeShare: Share;
  /** Tones on a beat, of those whose onset is written (splits of an untimed bend are left out). */
  readonly onBeat: number;
  readonly onBeatOf: number;
  /** Solos that the degree comes from. */
  readonly solos: number;
}

/** One group: what its rows add up to. */
export interface IntervalUseGroup {
  readonly group: readonly string[];
  readonly tones: number;
  readonly ticks: number;
  /** Bars of its chords as laid out under the solos, rests included; `undefined` where the group has no chords of its own. */
  readonly exposureBars: number | undefined;
  /** Solos that the group's tones come from. */
  readonly solos: number;
}

/** The table of interval use. Rows of a group add up to the group; groups stand in order of their tones, rows in order of semitones. */
export interface IntervalUse {
  readonly by: readonly Grouping[];
  readonly over: 'chord' | 'key';
  readonly anticipation: boolean;
  readonly rows: readonly IntervalUseRow[];
  readonly groups: readonly IntervalUseGroup[];
  readonly tones: number;
  readonly ticks: number;
  /** Tones left out because no chord rules: before the first chord, and under N.C. */
  readonly pickups: number;
  readonly withoutChord: number;
  /** The places behind row `i`, in order of solos and time. */
  places(i: number): readonly Place[];
  /** The tones behind row `i`, as row numbers of the tone table. */
  toneRows(i: number): Int32Array;
}

/**
 * Counts how often each degree is used in each group. A tone counts once, under the chord at its onset; the bass of a slash chord never changes
 * the root. Shares of tones: Wilson's interval on n divided by a design effect estimated between solos; shares of time: bootstrap over solos.
 * Fewer than five solos: counts only.
 * @example
 * const text = '---\ntitle: Two Bars\nplayer: Ada Fenwick\nkey: A minor\ntempo: 96\n---\nchanges\n  1 Am7\nphrase 1\nat 1 1\n  q 5@1 8@2 h 5@1 |\n'
 * const table = toneTable([{ id: 'two-bars', solo: parseSoloOrThrow(text) }])
 * intervalUse(table).rows.map((r) => [r.group[0], r.degree, r.tones]) // => [['i', '1', 2], ['i', 'b7', 1]]
 */
export function intervalUse(table: ToneTable, options: IntervalUseOptions = {}): IntervalUse {
  const {
    by = ['function'],
    over = 'chord',
    anticipation = false,
    ornaments = false,
    where,
    intervals = true,
    seed = 1,
  } = options;
  const mask = selection(table, { where, ornaments, anticipation, chordless: over === 'key' });
  const columns = by.map((g) => groupColumn(table, g, anticipation));
  const { degree, pushedDegree, degreeOverKey, solo, ticks, flags, pitch } = table.columns;
  const degrees: KeyColumn = {
    codes: over === 'key' ? degreeOverKey : anticipation ? pushedDegree : degree,
    size: 256,
  };
  const cells = rowsByCell([...columns, degrees], { weights: ticks, mask });
  const perSolo = bySolo([...columns, degrees], { codes: solo, size: Math.max(1, table.solos.length) }, ticks, mask);
  const exposure = exposureBy(table, by, where);
  const groups = new Map<string, { group: string[]; cells: number[] }>();
  for (let c = 0; c < cells.cells; c++) {
    const group = columns.map((column, k) => label(column, cells.codes[k]?.[c] as number));
    const key = group.join('\u0000');
    const known = groups.get(key);
    if (known) known.cells.push(c);
    else groups.set(key, { group, cells: [c] });
  }
  const rows: IntervalUseRow[] = [];
  const order: number[] = [];
  const summed = [...groups.values()].map((g) => ({
    ...g,
    tones: sum(g.cells, cells.counts),
    ticks: sum(g.cells, cells.sums),
  }));
  summed.sort((a, b) => b.tones - a.tones || a.group.join().localeCompare(b.group.join()));
  const result: IntervalUseGroup[] = [];
  for (const g of summed) {
    const soloTotals = totals(g.cells, perSolo);
    const needsChord = by.some(
      (x) => x === 'function' || x === 'chord' || x === 'quality' || x === 'key' || x === 'player' || x === 'solo',
    );
    result.push({
      group: g.group,
      tones: g.tones,
      ticks: g.ticks,
      solos: soloTotals.size,
      exposureBars: needsChord ? (exposure.get(exposureKey(by, (x) => g.group[by.indexOf(x)])) ?? 0) : exposure.get(''),
    });
    for (const c of g.cells) {
      const semitones = cells.codes[columns.length]?.[c] as number;
      const behind = cells.rows.subarray(cells.offsets[c], cells.offsets[c + 1]);
      const marks = countMarks(behind, flags, pitch);
      const own = perSolo.get(c) as ReadonlyMap<number, SoloCount>;
      const plain = {
        tones: { share: (cells.counts[c] as number) / g.tones },
        time: { share: g.ticks === 0 ? 0 : (cells.sums[c] as number) / g.ticks },
      };
      const shares = intervals ? estimates(own, soloTotals, seed) : plain;
      rows.push({
        group: g.group,
        semitones,
        degree: DEGREE_NAMES[semitones] as string,
        tones: cells.counts[c] as number,
        ticks: cells.sums[c] as number,
        ...marks,
        share: shares.tones,
        timeShare: shares.time,
        solos: own.size,
      });
      order.push(c);
    }
  }
  const rowsOf = (i: number) => rowNumbers(cells, order[i] as number);
  return {
    by,
    over,
    anticipation,
    rows,
    groups: result,
    tones: sum(order, cells.counts),
    ticks: sum(order, cells.sums),
    ...chordless(table, where, ornaments),
    places: (i) => Array.from(rowsOf(i), (row) => placeOfTone(table, row)),
    toneRows: rowsOf,
  };
}

const rowNumbers = (cells: CellRows, c: number): Int32Array => cells.rows.slice(cells.offsets[c], cells.offsets[c + 1]);
const label = (column: GroupColumn, code: number): string => column.labels[code] ?? 'none';
const sum = (cells: readonly number[], of: ArrayLike<number>): number =>
  cells.reduce((total, c) => total + (of[c] as number), 0);

interface SoloCount {
  readonly tones: number;
  readonly ticks: number;
}

/** For each cell (numbered as in the count without solos) its tones and ticks in each solo. */
function bySolo(
  keys: readonly KeyColumn[],
  solos: KeyColumn,
  weights: Int32Array,
  mask: Uint8Array,
): Map<number, Map<number, SoloCount>> {
  const fine = countCells([...keys, solos], { weights, mask });
  const result = new Map<number, Map<number, SoloCount>>();
  let cell = -1;
  for (let f = 0; f < fine.cells; f++) {
    // Cells rise by their codes, the solo last: a new cell begins where any other code changes.
    if (f === 0 || keys.some((_, k) => fine.codes[k]?.[f] !== fine.codes[k]?.[f - 1])) result.set(++cell, new Map());
    result
      .get(cell)
      ?.set(fine.codes[keys.length]?.[f] as number, { tones: fine.counts[f] as number, ticks: fine.sums[f] as number });
  }
  return result;
}

function totals(
  cells: readonly number[],
  perSolo: ReadonlyMap<number, ReadonlyMap<number, SoloCount>>,
): Map<number, SoloCount> {
  const sums = new Map<number, SoloCount>();
  for (const c of cells)
    for (const [s, { tones, ticks }] of perSolo.get(c) ?? []) {
      const before = sums.get(s);
      sums.set(s, { tones: tones + (before?.tones ?? 0), ticks: ticks + (before?.ticks ?? 0) });
    }
  return sums;
}

function estimates(
  own: ReadonlyMap<number, SoloCount>,
  all: ReadonlyMap<number, SoloCount>,
  seed: number,
): { tones: Share; time: Share } {
  const solos = [...all.keys()];
  const countsOf = (map: ReadonlyMap<number, SoloCount>, what: keyof SoloCount) =>
    solos.map((s) => map.get(s)?.[what] ?? 0);
  return {
    tones: shareOf(countsOf(own, 'tones'), countsOf(all, 'tones')),
    time: shareOfTime(countsOf(own, 'ticks'), countsOf(all, 'ticks'), seed),
  };
}

function countMarks(
  rows: Int32Array,
  flags: Uint8Array,
  pitch: Int16Array,
): { plus: number; onBeat: number; onBeatOf: number } {
  let plus = 0;
  let onBeat = 0;
  let onBeatOf = 0;
  for (const row of rows) {
    const bits = flags[row] as number;
    if ((pitch[row] as number) % 100 !== 0) plus++;
    if (bits & FLAG.split) continue;
    onBeatOf++;
    if (bits & FLAG.onBeat) onBeat++;
  }
  return { plus, onBeat, onBeatOf };
}

/** Tones that no chord rules, of those the filter lets through. */
function chordless(
  table: ToneTable,
  where: ToneFilter | undefined,
  ornaments: boolean,
): { pickups: number; withoutChord: number } {
  const mask = selection(table, { where, ornaments, chordless: true });
  const pickup = table.functions.indexOf('pickup');
  const none = table.functions.indexOf('N.C.');
  let pickups = 0;
  let withoutChord = 0;
  for (let i = 0; i < mask.length; i++) {
    if (!mask[i]) continue;
    if (table.columns.function[i] === pickup) pickups++;
    else if (table.columns.function[i] === none) withoutChord++;
  }
  return { pickups, withoutChord };
}
