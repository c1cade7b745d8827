// How fast solo text is read: the demo, a corpus of files as typed by hand, and one long solo.
import { readdirSync, readFileSync } from 'node:fs';
import { corpusTexts, soloText } from './generator.js';
import { grouped, publish, type Report, timeInTurns } from './harness.js';
import { DEMO, loadLibrary } from './library.js';

const SEED = 20160;
const FILES = 400;

async function notation(): Promise<Report> {
  const { hasFaults, parseSolo, printSolo } = await loadLibrary();
  const demo = readdirSync(DEMO)
    .filter((name) => name.endsWith('.solo'))
    .map((name) => readFileSync(`${DEMO}/${name}`, 'utf8'));
  const sets = [
    { name: `the demo, ${demo.length} files`, texts: demo },
    { name: `${FILES} made files as typed by hand`, texts: corpusTexts(FILES, 3, 24, SEED) },
    { name: 'one made solo of 500 choruses', texts: [soloText(SEED, 500, 'Player 1')] },
  ].map((set) => ({ ...set, bytes: set.texts.reduce((sum, text) => sum + Buffer.byteLength(text), 0) }));
  for (const { name, texts } of sets)
    for (const text of texts)
      if (hasFaults(parseSolo(text).diagnostics))
        throw new Error(`a text of ${name} has faults: its time means nothing`);
  const solos =
    sets[1]?.texts.map((text) => parseSolo(text).value as NonNullable<ReturnType<typeof parseSolo>['value']>) ?? [];

  const timings = await timeInTurns(
    [
      ...sets.map(({ name, texts }) => ({ name, run: () => texts.map((text) => parseSolo(text)) })),
      { name: 'printing the made files again', run: () => solos.map((solo) => printSolo(solo)) },
    ],
    21,
    8,
  );
  const rate = (i: number): number => (sets[Math.min(i, 2)]?.bytes as number) / 1000 / (timings[i]?.fastest as number);
  const lines = timings.map((t, i) => {
    const { bytes, texts } = sets[i] ?? (sets[1] as (typeof sets)[number]);
    const speed = bytes / 1000 / t.fastest;
    return `${t.name.padEnd(40)}${grouped(bytes).padStart(10)} bytes${(bytes / texts.length).toFixed(0).padStart(8)} a file${speed.toFixed(2).padStart(8)} MB/s`;
  });
  return {
    title: 'Reading solo text, in memory (the YAML head of each file included; a megabyte is a million bytes)',
    inputs: `seeds ${SEED} and up; the fastest of 21 rounds`,
    text: lines.join('\n'),
    aims: [
      { what: 'reading the demo', aim: 5, reached: rate(0), unit: 'MB/s', atLeast: true },
      { what: 'reading files as typed by hand', aim: 5, reached: rate(1), unit: 'MB/s', atLeast: true },
      { what: 'reading one long solo', aim: 5, reached: rate(2), unit: 'MB/s', atLeast: true },
    ],
  };
}

publish(await notation());
