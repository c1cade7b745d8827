// The same question put to engines: rows loaded beforehand, only the answer timed.
import { DuckDBDataChunk, DuckDBInstance, INTEGER, UTINYINT } from '@duckdb/node-api';
import { op, table } from 'arquero';
import type { BareLoop } from './bare-loop.js';

/** The rows to count: three keys and a number of ticks. */
export interface Rows {
  readonly player: Uint8Array;
  readonly function: Uint8Array;
  readonly degree: Uint8Array;
  readonly ticks: Int32Array;
}

/** A count as text, one line a cell in order of its codes: what all engines must agree on. */
export type Answer = readonly string[];
/** One cell of an answer. */
export type Cell = readonly [player: number, func: number, degree: number, tones: number, ticks: number];

/** An engine with its rows loaded. */
export interface Engine {
  /** Counts and adds up ticks. */
  readonly count: () => unknown;
  /** The same with the rows of each cell kept, as the engine keeps them. */
  readonly places: () => unknown;
  readonly answer: () => Promise<Answer>;
}

/** Cells in order of their codes, one text each. */
export const answerOf = (cells: readonly Cell[]): Answer =>
  [...cells].sort((x, y) => x[0] - y[0] || x[1] - y[1] || x[2] - y[2]).map((cell) => cell.join(' '));

const COUNT = 'player, function, degree, count(*)::int AS tones, sum(ticks)::double AS ticks';

/** DuckDB in memory, on so many threads (all there are if not given). What it answers stays in its own memory: reading it is not timed. */
export async function duckdb(rows: Rows, threads?: number): Promise<Engine> {
  const instance = await DuckDBInstance.create(':memory:', threads === undefined ? {} : { threads: String(threads) });
  const connection = await instance.connect();
  await connection.run('CREATE TABLE tones (player UTINYINT, function UTINYINT, degree UTINYINT, ticks INTEGER)');
  const appender = await connection.createAppender('tones');
  const columns = [rows.player, rows.function, rows.degree, rows.ticks];
  for (let start = 0; start < rows.ticks.length; start += 2048) {
    const end = Math.min(start + 2048, rows.ticks.length);
    const chunk = DuckDBDataChunk.create([UTINYINT, UTINYINT, UTINYINT, INTEGER], end - start);
    for (const [i, column] of columns.entries()) chunk.setColumnValues(i, [...column.subarray(start, end)]);
    appender.appendDataChunk(chunk);
  }
  appender.closeSync();
  const count = () => connection.run(`SELECT ${COUNT} FROM tones GROUP BY ALL`);
  return {
    count,
    places: () => connection.run(`SELECT ${COUNT}, list(rowid) AS places FROM tones GROUP BY ALL`),
    answer: async () => answerOf((await (await count()).getRows()).map((row) => row.map(Number) as unknown as Cell)),
  };
}

/** arquero, a library of table verbs in JavaScript. */
export function arquero(rows: Rows): Engine {
  const tones = table({ ...rows, row: Int32Array.from(rows.ticks.keys()) });
  const grouped = () => tones.groupby('player', 'function', 'degree'); // numbers the groups: part of the count
  const counts = { tones: op.count(), sum: op.sum('ticks') };
  type Found = { player: number; function: number; degree: number; tones: number; sum: number };
  return {
    count: () => grouped().rollup(counts),
    places: () => grouped().rollup({ ...counts, places: op.array_agg('row') }),
    answer: async () =>
      answerOf(
        (grouped().rollup(counts).objects() as Found[]).map((r) => [r.player, r.function, r.degree, r.tones, r.sum]),
      ),
  };
}

/** danfo, a library of data frames in JavaScript. It keeps no rows of a group. */
export async function danfo(rows: Rows): Promise<Omit<Engine, 'places'>> {
  const { DataFrame } = await import('danfojs');
  const frame = new DataFrame({
    player: [...rows.player],
    function: [...rows.function],
    degree: [...rows.degree],
    ticks: [...rows.ticks],
  });
  const count = () => frame.groupby(['player', 'function', 'degree']).agg({ ticks: ['count', 'sum'] });
  return {
    count,
    answer: async () => answerOf((count().values as number[][]).map((row) => row.map(Number) as unknown as Cell)),
  };
}

/** The first rows only. */
export const firstRows = (rows: Rows, n: number): Rows => ({
  player: rows.player.subarray(0, n),
  function: rows.function.subarray(0, n),
  degree: rows.degree.subarray(0, n),
  ticks: rows.ticks.subarray(0, n),
});

/** The answer of a bare loop that counts and adds up. */
export function answerOfLoop(
  loop: BareLoop<{ readonly counts: Int32Array; readonly sums: Float64Array }>,
  rows: number,
  sizes: readonly [number, number, number],
): Answer {
  const { counts, sums } = loop(rows);
  const cells: Cell[] = [];
  counts.forEach((tones, slot) => {
    if (tones === 0) return;
    const above = Math.floor(slot / sizes[2]);
    cells.push([Math.floor(above / sizes[1]), above % sizes[1], slot % sizes[2], tones, sums[slot] as number]);
  });
  return answerOf(cells);
}
