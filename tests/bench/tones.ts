// From solos to tones with their harmony, as a table of a million rows.
import { corpus } from './corpus.js';
import { grouped, publish, type Report, timeInTurns, timingText } from './harness.js';
import { loadLibrary } from './library.js';

async function tones(): Promise<Report> {
  const { bytesPerTone, toneTable, tonesOf } = await loadLibrary();
  const { solos, inputs } = await corpus();
  const table = toneTable(solos);
  const timings = await timeInTurns(
    [
      {
        name: 'tones only',
        run: () => {
          for (const { solo } of solos) tonesOf(solo);
        },
      },
      { name: 'tones with harmony and figures, as a table', run: () => toneTable(solos) },
    ],
    7,
    1,
  );
  const columnBytes = Object.values(table.columns).reduce(
    (sum: number, column: { byteLength: number }) => sum + column.byteLength,
    0,
  );
  if (columnBytes !== table.rows * bytesPerTone(table))
    throw new Error('the columns take other memory than bytesPerTone says');
  return {
    title: 'Tones and harmony',
    inputs,
    text: `${timingText(timings, (t) => `${(table.rows / 1000 / t.fastest).toFixed(2)} million tones a second`)}\n\n${grouped(table.rows)} tones, ${grouped(columnBytes)} bytes in columns`,
    aims: [{ what: 'memory of a tone in the table', aim: 48, reached: columnBytes / table.rows, unit: 'bytes' }],
  };
}

publish(await tones());
