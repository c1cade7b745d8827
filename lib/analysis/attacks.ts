// How tones begin and how their pitch is reached: picked, hammered, bent, curled, let down; on which degrees of the key, and on the beat.
import { cents } from '../foundation/units.js';
import { bendInWords } from '../guitar/bend.js';
import { REACHED } from '../guitar/technique.js';
import { FLAG, type Place, placeOfTone, type ToneTable } from '../solo/tone-table.js';
import { DEGREE_NAMES } from '../theory/interval.js';
import { type GroupColumn, type Grouping, groupColumn, selection, type ToneFilter } from './grouping.js';
import { labelColumn, type ShareRow, type ShareTable, shareTable } from './shares.js';

/** What to count. */
export interface AttackOptions {
  /** What a group is. Default: `['player']`. */
  readonly by?: readonly Grouping[];
  /** Count only these tones. Default: all, with or without a chord under them. */
  readonly where?: ToneFilter;
  /** Count graces and other ornaments too. Default false. */
  readonly ornaments?: boolean;
  /** Give intervals of 95 % (slower). Default true. */
  readonly intervals?: boolean;
}

/** How a tone's pitch is reached, with the curl (a bend by a quarter-tone) apart from larger bends. */
export const WAYS_REACHED = ['straight', 'curled', 'bent', 'prebent', 'held', 'released'] as const;

/** Attacks counted. `items` of all rows are rows of the tone table; {@link Attacks.places} gives their places. */
export interface Attacks {
  readonly by: readonly Grouping[];
  /** How tones begin: picked, hammered, pulled, slid, tapped, none. */
  readonly starts: ShareTable;
  /** How their pitch is reached: see {@link WAYS_REACHED}. */
  readonly reached: ShareTable;
  /**
   * Of the tones that are not reached straight: by how much, in a group more (bent, prebent, held, released). A bend by how far the tone stands above
   * its fret; a release by how far it falls.
   */
  readonly sizes: ShareTable;
  /** How the tones on each degree of the key are reached, the degree being a group more: `curled` on the `b3`, k of n. */
  readonly overKey: ShareTable;
  /** On a beat of the meter, or off it. Splits of an untimed bend are left out: their onset is a share, not written. */
  readonly onBeat: ShareTable;
  readonly tones: number;
  /** The places behind a row of any of these tables, in order of solos and time. */
  places(row: ShareRow): readonly Place[];
}

/**
 * Counts how tones begin and how their pitch is reached; what becomes of bends that are held is the answer of {@link heldBends}. A curl is a bend by a quarter-tone, up from the fret. A tone belongs to the degree that its
 * pitch has when it is reached, rounded down: a curled b3 to the b3, a 4 bent up a whole step to the 5. Each table adds up to the tones counted
 * (`sizes` to those not straight, `onBeat` to those whose onset is written). Intervals as for landings and entries; fewer than five solos: counts only.
 * @example
 * const table = toneTable([{ id: 'two-doors-down', solo: parseSoloOrThrow(EXAMPLE_SOLO) }])
 * const found = attacks(table)
 * found.starts.rows.map((r) => [r.value, r.count]) // => [['picked', 10], ['hammered', 1], ['none', 1]]
 * found.sizes.rows.map((r) => [r.group[1], r.value, r.count]) // => [['bent', 'whole step', 1], ['prebent', 'whole step', 1], ['released', 'whole step', 1]]
 * found.places(found.starts.rows[1])[0] // => { solo: 'two-doors-down', phrase: '1', bar: 1, count: '2&' }
 */
export function attacks(table: ToneTable, options: AttackOptions = {}): Attacks {
  const { by = ['player'], where, ornaments = false, intervals = true } = options;
  const { columns: c } = table;
  const mask = selection(table, { where, ornaments, chordless: true });
  const groups = by.map((g) => groupColumn(table, g));
  const solo = { codes: c.solo, size: Math.max(1, table.solos.length) };
  const count = (
    value: GroupColumn,
    within: readonly GroupColumn[] = [],
    passes?: (row: number) => boolean,
  ): ShareTable =>
    shareTable({
      by: [...groups, ...within],
      value,
      solo,
      intervals,
      mask: passes ? mask.map((m, row) => (m && passes(row) ? 1 : 0)) : mask,
    });
  const rows = Array.from({ length: table.rows }, (_, row) => row);
  const bends = bendSizes(table);
  const sizes = [...new Set(bends)].sort((a, b) => a - b).map((size) => bendInWords(cents(size)));
  const reached = rows.map((row) => {
    const way = REACHED[c.reached[row] as number] as string;
    return way === 'bent' && c.level[row] === CURL ? 'curled' : way;
  });
  const ways = labelColumn(reached, WAYS_REACHED);
  const starts = count(groupColumn(table, 'attack'));
  return {
    by,
    starts,
    tones: starts.n,
    reached: count(ways),
    sizes: count(
      labelColumn(
        bends.map((size) => bendInWords(cents(size))),
        sizes,
      ),
      [groupColumn(table, 'reached')],
      (row) => c.reached[row] !== STRAIGHT,
    ),
    overKey: count(ways, [{ codes: c.degreeOverKey, size: DEGREE_NAMES.length, labels: DEGREE_NAMES }]),
    onBeat: count(
      labelColumn(
        rows.map((row) => ((c.flags[row] as number) & FLAG.onBeat ? 'on a beat' : 'off the beat')),
        ['on a beat', 'off the beat'],
      ),
      [],
      (row) => !((c.flags[row] as number) & FLAG.split),
    ),
    places: (row) => Array.from(row.items, (item) => placeOfTone(table, item)),
  };
}

/** A bend by half a fret's worth, in cents: a quarter-tone. */
const CURL = 50;
const STRAIGHT = REACHED.indexOf('straight');
const RELEASED = REACHED.indexOf('released');

/** For each tone by how many cents it is bent, or for a released one how far it has fallen from the tone before on its string. */
function bendSizes(table: ToneTable): number[] {
  const { columns: c } = table;
  const levels = new Map<number, number>();
  return Array.from({ length: table.rows }, (_, row) => {
    if (row > 0 && (c.solo[row] !== c.solo[row - 1] || c.phrase[row] !== c.phrase[row - 1])) levels.clear();
    const string = c.string[row] as number;
    const level = c.level[row] as number;
    const size = c.reached[row] === RELEASED ? (levels.get(string) ?? level) - level : level;
    levels.set(string, level);
    return size;
  });
}
