// export: the tones of solos as a table for other engines: CSV, JSON, Parquet or Arrow, in one file or one for each solo.
import { extname, join } from 'node:path';
import { selection, type ToneFilter } from '../analysis/grouping.js';
import { toneColumns } from '../exchange/table-export.js';
import { TABLE_ENDINGS, tableBytes } from '../exchange/table-files.js';
import { writeBeside } from '../foundation/write-beside.js';
import { askedOf, count, type ExitCode, type Terminal } from './terminal.js';

/** What to write. */
export interface ExportOptions {
  readonly where: ToneFilter;
  /** A file, by whose ending the form is chosen; or a folder, for one Parquet file a solo. */
  readonly out: string;
}

/** Writes the tones of files and folders as a table. Exit code 1 if any file had faults, though the rest is written. */
export async function exportTones(
  paths: readonly string[],
  asked: ExportOptions,
  terminal: Terminal,
): Promise<ExitCode> {
  const ending = extname(asked.out).toLowerCase();
  if (ending !== '' && !TABLE_ENDINGS.includes(ending)) {
    terminal.err(
      `${asked.out}: tables end in ${TABLE_ENDINGS.join(', ')}; without an ending it is a folder with a Parquet file for each solo`,
    );
    return 2;
  }
  const read = askedOf(paths, asked.where, terminal, ', nothing is written');
  if (typeof read === 'number') return read;
  const { table, where, faulty } = read;
  const mask = selection(table, { where, ornaments: true, chordless: true });
  const chosen = Array.from({ length: table.rows }, (_, row) => row).filter((row) => mask[row] === 1);
  if (chosen.length === 0) {
    terminal.err('no tone is left with these choices; nothing is written');
    return 1;
  }
  if (ending !== '') {
    writeBeside(asked.out, await tableBytes(toneColumns(table, chosen), ending));
    terminal.out(`${asked.out}: ${count(chosen.length, 'tone')}, a row each`);
    return faulty ? 1 : 0;
  }
  const bySolo = new Map<number, number[]>();
  for (const row of chosen) {
    const solo = table.columns.solo[row] as number;
    const rows = bySolo.get(solo);
    if (rows) rows.push(row);
    else bySolo.set(solo, [row]);
  }
  for (const [solo, rows] of bySolo) {
    const { solo: _, ...columns } = toneColumns(table, rows); // the folder's name says which solo it is
    const id = encodeURIComponent(table.solos[solo]?.id ?? '');
    writeBeside(join(asked.out, `solo=${id}`, 'tones.parquet'), await tableBytes(columns, '.parquet'));
  }
  terminal.out(`${asked.out}: ${count(bySolo.size, 'solo')}, a folder each, ${count(chosen.length, 'tone')}`);
  return faulty ? 1 : 0;
}
