// Tables out: tones and answers as CSV, as JSON, and as data frames, under the documented column names.
import { csvField } from '../foundation/escape.js';
import { REACHED, TONE_STARTS } from '../guitar/technique.js';
import { FIGURES } from '../solo/figure.js';
import { ROLES } from '../solo/harmony.js';
import { hasFlag, MISSING, PHRASE_POSITIONS, placeOfTone, type ToneTable, toneName } from '../solo/tone-table.js';
import { QUALITIES } from '../theory/chord.js';
import { degreeName } from '../theory/interval.js';

/** A value in a table that leaves the library. `null` is a missing value. */
export type Cell = string | number | boolean | null;
/** A table as columns of equal length, in order. */
export type PlainTable = Readonly<Record<string, readonly Cell[]>>;

/**
 * The tones with names for all codes: one row a tone. Columns: solo, player, phrase, bar, count, onset and ticks (20160 to a quarter note), string, fret,
 * name, pitch (cents), bend (cents), start, reached, struck, ornament, onBeat, split, line, key, chord, function, quality, degree (`b3+` for a quarter-tone above), semitones, quarterUp, keyDegree,
 * role, figure, blueOverChord, blueOverKey, position, and pushedChord, pushedFunction, pushedQuality, pushedDegree,
 * pushedSemitones, pushedRole with anticipation on. Missing values are `null`.
 * @param only rows of the table to take, in this order; default all
 * @example
 * const table = toneTable([{ id: 'two-doors-down', solo: parseSoloOrThrow(EXAMPLE_SOLO) }])
 * toneColumns(table).name.slice(0, 3) // => ['C4', 'E4', 'E4']
 */
export function toneColumns(table: ToneTable, only?: ArrayLike<number>): PlainTable {
  const { columns: c } = table;
  const rows = only ? Array.from(only) : Array.from({ length: table.rows }, (_, i) => i);
  const coded = (codes: ArrayLike<number>, names: readonly string[]): Cell[] =>
    rows.map((i) => (codes[i] === MISSING ? null : (names[codes[i] as number] ?? null)));
  const plain = (values: ArrayLike<number>): Cell[] => rows.map((i) => values[i] as number);
  const listed = (codes: ArrayLike<number>, names: readonly string[]): Cell[] =>
    rows.map((i) => names[codes[i] as number] as string);
  const places = rows.map((i) => placeOfTone(table, i));
  const flag = (name: Parameters<typeof hasFlag>[2]): Cell[] => rows.map((i) => hasFlag(table, i, name));
  const degrees = (codes: ArrayLike<number>): Cell[] =>
    rows.map((i) =>
      codes[i] === MISSING ? null : degreeName({ semitones: codes[i] as number, plus: hasFlag(table, i, 'plus') }),
    );
  return {
    solo: places.map((p) => p.solo),
    player: rows.map((i) => table.players[table.playerOfSolo[c.solo[i] as number] as number] as string),
    phrase: places.map((p) => p.phrase),
    bar: plain(c.bar),
    count: places.map((p) => p.count),
    onset: plain(c.onset),
    ticks: plain(c.ticks),
    string: plain(c.string),
    fret: plain(c.fret),
    name: rows.map((i) => toneName(table, i)),
    pitch: plain(c.pitch),
    bend: plain(c.level),
    start: coded(c.start, TONE_STARTS),
    reached: coded(c.reached, REACHED),
    struck: flag('struck'),
    ornament: flag('ornament'),
    onBeat: flag('onBeat'),
    split: flag('split'),
    line: flag('line'),
    key: listed(c.key, table.keys),
    chord: listed(c.chord, table.chords),
    function: listed(c.function, table.functions),
    quality: coded(c.quality, QUALITIES),
    degree: degrees(c.degree),
    semitones: rows.map((i) => (c.degree[i] === MISSING ? null : (c.degree[i] as number))),
    quarterUp: flag('plus'),
    keyDegree: degrees(c.degreeOverKey),
    role: coded(c.role, ROLES),
    figure: coded(c.figure, FIGURES),
    blueOverChord: flag('blueOverChord'),
    blueOverKey: flag('blueOverKey'),
    position: coded(c.position, PHRASE_POSITIONS),
    pushedChord: listed(c.pushedChord, table.chords),
    pushedFunction: listed(c.pushedFunction, table.functions),
    pushedQuality: coded(c.pushedQuality, QUALITIES),
    pushedDegree: degrees(c.pushedDegree),
    pushedSemitones: rows.map((i) => (c.pushedDegree[i] === MISSING ? null : (c.pushedDegree[i] as number))),
    pushedRole: coded(c.pushedRole, ROLES),
  };
}

/**
 * A table as CSV after RFC 4180, with a header; `null` is an empty field.
 * @example
 * csvOf({ degree: ['1', 'b3'], tones: [4, 2] }) // => 'degree,tones\r\n1,4\r\nb3,2\r\n'
 */
export function csvOf(table: PlainTable): string {
  const names = Object.keys(table);
  const rows = names.length === 0 ? 0 : (table[names[0] as string] as readonly Cell[]).length;
  const lines = [names.map(csvField).join(',')];
  for (let i = 0; i < rows; i++) lines.push(names.map((n) => csvField(table[n]?.[i])).join(','));
  return `${lines.join('\r\n')}\r\n`;
}

/**
 * A table as JSON: a list of rows, each an object.
 * @example
 * jsonOf({ degree: ['1'], tones: [4] }) // => '[\n{"degree":"1","tones":4}\n]\n'
 */
export function jsonOf(table: PlainTable): string {
  const names = Object.keys(table);
  const rows = names.length === 0 ? 0 : (table[names[0] as string] as readonly Cell[]).length;
  const out = Array.from({ length: rows }, (_, i) =>
    JSON.stringify(Object.fromEntries(names.map((n) => [n, table[n]?.[i] ?? null]))),
  );
  return `[\n${out.join(',\n')}\n]\n`;
}

/**
 * Rows as columns: the names are those of the first row.
 * @example
 * columnsOf([{ degree: '1', tones: 4 }, { degree: 'b3', tones: 2 }]) // => { degree: ['1', 'b3'], tones: [4, 2] }
 */
export function columnsOf(rows: readonly Readonly<Record<string, Cell>>[]): PlainTable {
  const names = Object.keys(rows[0] ?? {});
  return Object.fromEntries(names.map((n) => [n, rows.map((r) => r[n] ?? null)]));
}

/** What is used of a danfo DataFrame here; the rest of its face is danfo's own. */
export interface DataFrameLike {
  readonly columns: readonly string[];
  readonly shape: readonly number[];
  print(): void;
  head(rows?: number): DataFrameLike;
  groupby(columns: readonly string[]): unknown;
  sortValues(column: string, options?: { readonly ascending?: boolean }): DataFrameLike;
  query(condition: unknown): DataFrameLike;
  column(name: string): {
    readonly values: readonly unknown[];
    eq(value: unknown): unknown;
    valueCounts(): unknown;
    unique(): { readonly values: readonly unknown[] };
  };
}

interface Danfo {
  readonly DataFrame: new (data: unknown) => unknown;
}

/**
 * A danfo DataFrame of a table, for exploring in a notebook. danfo is loaded at the first call and is an optional package: install danfojs for it.
 * Danfo counts a missing value as 0 in grouped means and joins group keys with "-": count with this library, explore with danfo.
 * @throws Error that says what to install if danfojs is not there
 * @example
 * const frame = await toDataFrame({ degree: ['1', 'b3'], tones: [4, 2] })
 * frame.shape // => [2, 2]
 */
export async function toDataFrame(table: ToneTable | PlainTable): Promise<DataFrameLike> {
  const plain = isToneTable(table) ? toneColumns(table) : table;
  let danfo: Danfo & { readonly default?: Danfo };
  try {
    danfo = (await import('danfojs')) as unknown as typeof danfo;
  } catch (error) {
    throw new Error('a data frame needs the package danfojs: npm install danfojs', { cause: error });
  }
  const { DataFrame } = danfo.default ?? danfo;
  return new DataFrame(plain) as DataFrameLike;
}

const isToneTable = (table: ToneTable | PlainTable): table is ToneTable =>
  typeof table.rows === 'number' && 'columns' in table;
