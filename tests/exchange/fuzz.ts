// The nightly run of broken scores and MIDI files: npm run fuzz -- [how many of each] [seed]. The tests do a thousand of them.
import { readMangledMidi } from './midi-mangled.js';
import { readMangled } from './musicxml-mangled.js';

const [count = '20000', seed = String(Date.now() % 1_000_000)] = process.argv.slice(2);
for (const [what, run] of [
  ['scores', readMangled],
  ['MIDI files', readMangledMidi],
] as const) {
  const { wrong, slowest, slowestAt, read } = run(Number(count), Number(seed));
  console.log(
    `${count} ${what}, seed ${seed}: ${wrong ?? 'all said or read'}; ${read} read, the slowest (input ${slowestAt}) in ${Math.round(slowest)} ms, ${Math.round(process.memoryUsage().rss / 1e6)} MB`,
  );
  if (wrong !== undefined) process.exitCode = 1;
}
