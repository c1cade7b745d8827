// Tables as files for other engines: Parquet and Arrow with typed columns, and the query that counts interval use there.
import { csvOf, jsonOf, type PlainTable } from './table-export.js';

/** What a column holds. */
type Kind = 'text' | 'whole' | 'flag';

/** Columns of the tone table that are whole numbers, and those that are yes or no; the others are texts. */
const WHOLE = new Set(['bar', 'onset', 'ticks', 'string', 'fret', 'pitch', 'bend', 'semitones', 'pushedSemitones']);
const FLAGS = new Set(['struck', 'ornament', 'onBeat', 'split', 'line', 'quarterUp', 'blueOverChord', 'blueOverKey']);

const kindOf = (name: string): Kind => (WHOLE.has(name) ? 'whole' : FLAGS.has(name) ? 'flag' : 'text');

/** Endings of table files. */
export const TABLE_ENDINGS: readonly string[] = ['.csv', '.json', '.parquet', '.arrow'];

/** Rows of one group of a Parquet file: what an engine reads at a time. */
const GROUP_ROWS = 100_000;

/**
 * The bytes of a table of tones in the form that an ending stands for: CSV, JSON, Parquet (Snappy pages; texts, 32-bit whole numbers, booleans; missing values are
 * null) or Arrow (an IPC file; texts as dictionaries). The same table gives the same bytes.
 * @param table - The columns that `toneColumns` gives, or some of them.
 * @throws RangeError for another ending
 * @example
 * const tones = toneColumns(toneTable([{ id: 'two-doors-down', solo: parseSoloOrThrow(EXAMPLE_SOLO) }]))
 * const parquet = await tableBytes(tones, '.parquet')
 * String.fromCharCode(...parquet.subarray(0, 4)) // => 'PAR1'
 */
export async function tableBytes(table: PlainTable, ending: string): Promise<Uint8Array> {
  if (ending === '.csv') return new TextEncoder().encode(csvOf(table));
  if (ending === '.json') return new TextEncoder().encode(jsonOf(table));
  if (ending === '.parquet') return parquet(table);
  if (ending === '.arrow') return arrow(table);
  throw new RangeError(`tables end in ${TABLE_ENDINGS.join(', ')}, not in ${ending || 'nothing'}`);
}

async function parquet(table: PlainTable): Promise<Uint8Array> {
  const { parquetWriteBuffer } = await import('hyparquet-writer');
  const types = { text: 'STRING', whole: 'INT32', flag: 'BOOLEAN' } as const;
  const buffer = parquetWriteBuffer({
    columnData: Object.entries(table).map(([name, cells]) => ({
      name,
      data: cells as unknown[],
      type: types[kindOf(name)],
      nullable: true,
    })),
    rowGroupSize: GROUP_ROWS,
    createdBy: 'phrasewright',
  });
  return new Uint8Array(buffer);
}

async function arrow(table: PlainTable): Promise<Uint8Array> {
  const { bool, dictionary, int32, tableFromArrays, tableToIPC, utf8 } = await import('@uwdata/flechette');
  const types = Object.fromEntries(
    Object.keys(table).map((name) => {
      const kind = kindOf(name);
      return [name, kind === 'whole' ? int32() : kind === 'flag' ? bool() : dictionary(utf8(), int32())];
    }),
  );
  const bytes = tableToIPC(tableFromArrays(table as Record<string, unknown[]>, { types }), { format: 'file' });
  if (!bytes) throw new Error('the table could not be written as Arrow');
  return bytes;
}

/** How interval use is grouped in a query: by any columns of the tone table. */
export interface IntervalUseSql {
  /** Columns that make a group, such as `player` and `function`. Default: `function`. */
  readonly by?: readonly string[];
  /** Where the tones are: a table's name or what an engine reads files with. Default `tones`. */
  readonly from?: string;
  /** Count pushed tones against the chord they push into. Default false. */
  readonly anticipation?: boolean;
}

const NAME = /^[A-Za-z][A-Za-z0-9]*$/;

/**
 * The question of interval use as SQL: tones, sounding ticks and share on the beat for each group and degree, as `intervalUse` counts them. Only what any engine knows: grouped sums, no
 * function of one engine's own.
 * @throws RangeError for a column whose name is none
 * @example
 * intervalUseSql({ by: ['chord'] }).split('\n')[0] // => 'SELECT "chord", "semitones", COUNT(*) AS tones, SUM("ticks") AS ticks,'
 */
export function intervalUseSql({
  by = ['function'],
  from = 'tones',
  anticipation = false,
}: IntervalUseSql = {}): string {
  for (const name of by) if (!NAME.test(name)) throw new RangeError(`"${name}" is no column of the tone table`);
  const pushed: Readonly<Record<string, string>> = {
    chord: 'pushedChord',
    function: 'pushedFunction',
    quality: 'pushedQuality',
    role: 'pushedRole',
  };
  const column = (name: string): string => (anticipation ? (pushed[name] ?? name) : name);
  const quoted = by.map((name) => `"${column(name)}"`);
  const degree = anticipation ? '"pushedSemitones"' : '"semitones"';
  return [
    `SELECT ${[...quoted, degree].join(', ')}, COUNT(*) AS tones, SUM("ticks") AS ticks,`,
    '       SUM(CASE WHEN "quarterUp" THEN 1 ELSE 0 END) AS quarter_tones_up,',
    '       SUM(CASE WHEN "onBeat" AND NOT "split" THEN 1 ELSE 0 END) AS on_beat,',
    '       SUM(CASE WHEN "split" THEN 0 ELSE 1 END) AS on_beat_of,',
    '       COUNT(DISTINCT "solo") AS solos',
    `  FROM ${from}`,
    ` WHERE NOT "ornament" AND ${degree} IS NOT NULL`,
    ` GROUP BY ${[...quoted, degree].join(', ')}`,
    ` ORDER BY ${[...quoted, degree].join(', ')}`,
  ].join('\n');
}
