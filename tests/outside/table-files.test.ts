// Tables as files, read back by readers from outside: DuckDB, hyparquet, arquero; and interval use asked of them in SQL.
import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { DuckDBInstance } from '@duckdb/node-api';
import { fromArrow } from 'arquero';
import fc from 'fast-check';
import { parquetReadObjects } from 'hyparquet';
import { afterAll, describe, expect, it } from 'vitest';
import type { Grouping } from '../../lib/analysis/grouping.js';
import { intervalUse } from '../../lib/analysis/interval-use.js';
import { type Cell, type PlainTable, toneColumns } from '../../lib/exchange/table-export.js';
import { intervalUseSql, tableBytes } from '../../lib/exchange/table-files.js';
import { rowsOf } from '../../lib/exchange/table-forms.js';
import { readCorpus } from '../../lib/intake/read-corpus.js';
import { exportTones } from '../../lib/jobs/export.js';
import { toneTable } from '../../lib/solo/tone-table.js';
import { solos } from '../arbitraries.js';

const folder = mkdtempSync(join(tmpdir(), 'tones-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));
const table = toneTable(readCorpus(['data/solos']).solos);
const tones = toneColumns(table);

type Row = Readonly<Record<string, unknown>>;

async function sql(query: string): Promise<readonly Row[]> {
  const instance = await DuckDBInstance.create();
  const connection = await instance.connect();
  const reader = await connection.runAndReadAll(query);
  const rows = reader.getRowObjectsJS() as Row[];
  connection.closeSync();
  instance.closeSync();
  return rows;
}

const file = async (name: string, columns: PlainTable): Promise<string> => {
  const path = join(folder, name);
  writeFileSync(path, await tableBytes(columns, name.slice(name.lastIndexOf('.'))));
  return path.replaceAll("'", "''");
};

describe('every cell comes back', () => {
  it('from Parquet, by hyparquet and by DuckDB', async () => {
    const path = await file('tones.parquet', tones);
    const bytes = readFileSync(path);
    const buffer = bytes.buffer.slice(bytes.byteOffset, bytes.byteOffset + bytes.byteLength);
    expect(await parquetReadObjects({ file: buffer })).toEqual(rowsOf(tones));
    expect(await sql(`SELECT * FROM read_parquet('${path}')`)).toEqual(rowsOf(tones));
  });
  it('from Arrow, by arquero', async () => {
    const path = await file('tones.arrow', tones);
    const back = fromArrow(readFileSync(path)).objects() as Row[];
    expect(back).toEqual(rowsOf(tones));
  });
  it('from CSV and JSON, by DuckDB', async () => {
    const csv = await file('tones.csv', tones);
    const json = await file('tones.json', tones);
    const texts = (rows: readonly Row[]) => rows.map((r) => Object.values(r).map((v) => (v === null ? '' : String(v))));
    expect(texts(await sql(`SELECT * FROM read_csv('${csv}', all_varchar = true, header = true)`))).toEqual(
      texts(rowsOf(tones)),
    );
    expect(texts(await sql(`SELECT * FROM read_json('${json}', format = 'array')`)).length).toBe(table.rows);
  });
  it('of any solo, with missing values, in columns of the same types', async () => {
    await fc.assert(
      fc.asyncProperty(solos, async (solo) => {
        const columns = toneColumns(toneTable([{ id: 'łódź – one, "two"', solo }]));
        const bytes = await tableBytes(columns, '.parquet');
        const buffer = bytes.slice().buffer;
        // Half a surrogate pair is no text in UTF-8, and comes back as the sign for that.
        const wellFormed = (cell: Cell) =>
          typeof cell === 'string' ? new TextDecoder().decode(new TextEncoder().encode(cell)) : cell;
        const want = rowsOf(columns).map((row) =>
          Object.fromEntries(Object.entries(row).map(([k, v]) => [k, wellFormed(v)])),
        );
        expect(await parquetReadObjects({ file: buffer })).toEqual(want);
        expect(await tableBytes(columns, '.parquet')).toEqual(bytes);
        const types = async (c: PlainTable) =>
          (await import('hyparquet'))
            .parquetMetadata((await tableBytes(c, '.parquet')).slice().buffer)
            .schema.map((s) => [s.name, s.type, s.converted_type]);
        expect(await types(columns)).toEqual(await types(tones));
      }),
      { numRuns: 20 },
    );
  });
});

describe('interval use as SQL over the Parquet file counts what intervalUse counts', () => {
  it.each<[readonly Grouping[], boolean]>([
    [['function'], false],
    [['player', 'function'], false],
    [['player', 'chord'], false],
    [['quality'], false],
    [['solo', 'function'], false],
    [['player', 'function'], true],
    [['chord'], true],
    [['quality'], true],
  ])('by %j, anticipation %s', async (by, anticipation) => {
    const path = await file('all.parquet', tones);
    const found = await sql(intervalUseSql({ by, anticipation, from: `read_parquet('${path}')` }));
    const flat = found.map((r) => {
      const values = Object.values(r).map((v) => (typeof v === 'bigint' ? Number(v) : v)) as Cell[];
      return values.map(String).join(' | ');
    });
    const use = intervalUse(table, { by, anticipation, intervals: false });
    const own = use.rows.map((r) =>
      [...r.group, r.semitones, r.tones, r.ticks, r.plus, r.onBeat, r.onBeatOf, r.solos].map(String).join(' | '),
    );
    expect(flat.sort()).toEqual(own.sort());
    expect(flat.length).toBeGreaterThan(10);
  });
  it('and over a folder with a file for each solo, which names the solo by the folder', async () => {
    const out = join(folder, 'by-solo');
    const said: string[] = [];
    const code = await exportTones(
      ['data/solos'],
      { where: {}, out },
      { out: (t) => said.push(t), err: (t) => said.push(t) },
    );
    expect([code, said]).toEqual([0, [`${out}: 26 solos, a folder each, 2,702 tones`]]);
    expect(readdirSync(out).length).toBe(26);
    const from = `read_parquet('${out.replaceAll("'", "''")}/*/tones.parquet', hive_partitioning = true)`;
    const found = await sql(intervalUseSql({ by: ['player', 'function'], from }));
    const path = await file('all.parquet', tones);
    expect(found).toEqual(await sql(intervalUseSql({ by: ['player', 'function'], from: `read_parquet('${path}')` })));
  });
});

describe('export', () => {
  const run = async (out: string, where = {}) => {
    const said: string[] = [];
    const code = await exportTones(
      ['data/solos'],
      { where, out },
      { out: (t) => said.push(t), err: (t) => said.push(t) },
    );
    return { code, said: said.join('\n') };
  };
  it('takes the tones asked for', async () => {
    const out = join(folder, 'juno.parquet');
    expect((await run(out, { player: 'juno' })).said).toMatch(/945 tones, a row each$/);
    const rows = await sql(`SELECT DISTINCT player FROM read_parquet('${out}')`);
    expect(rows).toEqual([{ player: 'Juno Brackwater' }]);
  });
  it('says which endings there are, and which names are not', async () => {
    expect(await run(join(folder, 'tones.xls'))).toMatchObject({ code: 2, said: expect.stringContaining('.parquet') });
    expect((await run(join(folder, 'x.csv'), { player: 'Nobody' })).code).toBe(2);
  });
});

it('the page on tables shows the very query', () => {
  expect(readFileSync('data/tables.md', 'utf8')).toContain(intervalUseSql({ by: ['player', 'function'] }));
});
