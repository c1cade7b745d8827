// Interval use of a million tones by player, function and degree: the bare loop, the library, engines.
import { isDeepStrictEqual } from 'node:util';
import { FLAG, MISSING } from '../../lib/solo/tone-columns.js';
import { bareCount, bareCountAndTicks, TIGHTEST, tightestCount, warmUp } from './bare-loop.js';
import { corpus } from './corpus.js';
import { type Answer, answerOf, answerOfLoop, arquero, danfo, duckdb, firstRows, type Rows } from './engines.js';
import { againstText, grouped, publish, type Report, ratioOf, timeInTurns, timingText } from './harness.js';
import { loadCounting, loadLibrary } from './library.js';

const DANFO_ROWS = 100_000;

async function intervalUses(): Promise<Report> {
  const { intervalUse, toneTable } = await loadLibrary();
  const { countCells, rowsByCell } = await loadCounting();
  const made = await corpus();
  const table = toneTable(made.solos);

  // The tones that interval use counts: no ornaments, under a chord. Everyone gets these rows.
  const { columns } = table;
  const counted = Array.from(columns.flags.keys()).filter(
    (row) => ((columns.flags[row] as number) & FLAG.ornament) === 0 && columns.degree[row] !== MISSING,
  );
  const n = counted.length;
  const take = (of: (row: number) => number): Uint8Array => Uint8Array.from(counted, of);
  const rows: Rows = {
    player: take((row) => table.playerOfSolo[columns.solo[row] as number] as number),
    function: take((row) => columns.function[row] as number),
    degree: take((row) => columns.degree[row] as number),
    ticks: Int32Array.from(counted, (row) => columns.ticks[row] as number),
  };
  const sizes = [table.players.length, table.functions.length, 12] as const;
  const keys = [
    { codes: rows.player, size: sizes[0] },
    { codes: rows.function, size: sizes[1] },
    { codes: rows.degree, size: sizes[2] },
  ] as const;
  const weights = rows.ticks;
  const bare = bareCount(keys);
  const tightest = tightestCount(keys);
  const bareTicks = bareCountAndTicks(keys, weights);
  const one = await duckdb(rows, 1);
  const all = await duckdb(rows);
  const arrow = arquero(rows);
  const frame = await danfo(firstRows(rows, DANFO_ROWS));
  const use = () => intervalUse(table, { by: ['player', 'function'], intervals: false });

  const expected = answerOfLoop(bareTicks, n, sizes);
  const agree = (name: string, answer: Answer, wanted = expected): void => {
    if (!isDeepStrictEqual(answer, wanted))
      throw new Error(`${name} counts otherwise than the bare loop: its time means nothing`);
  };
  const cells = countCells(keys, { weights });
  const code = (k: number, c: number): number => cells.codes[k]?.[c] as number;
  agree(
    'countCells',
    answerOf(
      Array.from(cells.counts, (tones, c) => [code(0, c), code(1, c), code(2, c), tones, cells.sums[c] as number]),
    ),
  );
  agree(
    'intervalUse',
    answerOf(
      use().rows.map((r) => [
        table.players.indexOf(r.group[0] as string),
        table.functions.indexOf(r.group[1] as string),
        r.semitones,
        r.tones,
        r.ticks,
      ]),
    ),
  );
  agree('DuckDB', await one.answer());
  agree('DuckDB on all threads', await all.answer());
  agree('arquero', await arrow.answer());
  agree('danfo', await frame.answer(), answerOfLoop(bareTicks, DANFO_ROWS, sizes));

  const counts = await timeInTurns(
    [
      { name: 'bare loop, count only', run: () => bare(n), warmUp: () => warmUp(bare) },
      { name: TIGHTEST, run: () => tightest(n), warmUp: () => warmUp(tightest) },
      { name: 'bare loop, count and ticks', run: () => bareTicks(n), warmUp: () => warmUp(bareTicks) },
      { name: 'countCells with ticks', run: () => countCells(keys, { weights }) },
      { name: 'DuckDB, one thread', run: one.count },
      { name: 'DuckDB, all threads', run: all.count },
      { name: 'arquero', run: arrow.count, rounds: 5 },
      { name: `danfo, ${grouped(DANFO_ROWS)} rows only`, run: frame.count, rounds: 5 },
    ],
    25,
  );
  const places = await timeInTurns(
    [
      { name: 'bare loop, count only', run: () => bare(n) },
      { name: 'rowsByCell with ticks', run: () => rowsByCell(keys, { weights }) },
      { name: 'intervalUse, the whole table without intervals', run: use, rounds: 7 },
      { name: 'DuckDB, one thread, list of rows', run: one.places, rounds: 7 },
      { name: 'DuckDB, all threads, list of rows', run: all.places, rounds: 7 },
      { name: 'arquero, list of rows', run: arrow.places, rounds: 5 },
    ],
    25,
  );
  const ours = counts.find((t) => t.name === 'countCells with ticks')?.fastest as number;
  const engines = counts.filter((t) => /^(DuckDB, one|arquero|danfo)/.test(t.name));
  // danfo has a tenth of the rows: ten times its time is what a million would take at least.
  const timeOf = (t: (typeof counts)[number]): number =>
    t.name.startsWith('danfo') ? (t.fastest * n) / DANFO_ROWS : t.fastest;
  const nearest = Math.min(...engines.map(timeOf)) / ours;
  return {
    title: 'Interval use: tones and ticks by player, function and degree',
    inputs: `${made.inputs}; ${grouped(n)} tones counted, ${cells.cells} cells of ${sizes.join(' x ')}`,
    text: [
      timingText(counts, (t) =>
        t.name.startsWith('danfo') ? `x ${n / DANFO_ROWS} for all rows: ${timeOf(t).toFixed(0)} ms` : '',
      ),
      againstText(counts, 'countCells with ticks', TIGHTEST),
      '',
      'With places kept:',
      timingText(places),
    ].join('\n'),
    aims: [
      {
        what: 'count and ticks by three keys over the bare loop that only counts',
        aim: 1.3,
        reached: ratioOf(counts, 'countCells with ticks'),
        unit: 'x',
      },
      { what: 'ahead of the fastest engine on one thread by', aim: 1, reached: nearest, unit: 'x', atLeast: true },
      {
        what: 'with places kept, over the same bare loop',
        aim: 5,
        reached: ratioOf(places, 'rowsByCell with ticks'),
        unit: 'x',
      },
    ],
  };
}

publish(await intervalUses());
