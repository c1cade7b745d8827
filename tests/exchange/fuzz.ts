// The nightly run of broken scores: npm run fuzz -- [how many] [seed]. The tests do a thousand of them.
import { readMangled } from './musicxml-mangled.js';

const [count = '20000', seed = String(Date.now() % 1_000_000)] = process.argv.slice(2);
const { wrong, slowest, slowestAt, read } = readMangled(Number(count), Number(seed));
console.log(
  `${count} scores, seed ${seed}: ${wrong ?? 'all said or read'}; ${read} read, the slowest (input ${slowestAt}) in ${Math.round(slowest)} ms, ${Math.round(process.memoryUsage().rss / 1e6)} MB`,
);
process.exitCode = wrong === undefined ? 0 : 1;
