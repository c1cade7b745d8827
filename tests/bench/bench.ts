// npm run bench: how fast the hot paths are, against code written for nothing else and against engines. Add a topic as a file
// beside this one that publishes a report. Each topic runs in a process of its own, so that what one leaves behind (garbage,
// compiled code) slows no other. `npm run bench -- notation` runs only that topic.
import { fork } from 'node:child_process';
import { once } from 'node:events';
import { cpus, loadavg } from 'node:os';
import { fileURLToPath } from 'node:url';
import { type Aim, aimText } from './harness.js';
import { checkBuild } from './library.js';

const TOPICS = ['counting', 'repeats', 'relations', 'interval-use', 'notation', 'tones', 'start-up'] as const;

async function run(topic: string): Promise<readonly Aim[]> {
  const child = fork(fileURLToPath(new URL(`./${topic}.ts`, import.meta.url)), { execArgv: process.execArgv });
  const aims: Aim[] = [];
  child.on('message', (message) => aims.push(...(message as Aim[])));
  const [code] = (await once(child, 'exit')) as [number];
  if (code !== 0) throw new Error(`the bench ${topic} failed with exit code ${code}`);
  return aims;
}

checkBuild();
const asked = process.argv.slice(2);
const unknown = asked.filter((name) => !(TOPICS as readonly string[]).includes(name));
if (unknown.length > 0) throw new Error(`no topic ${unknown.join(', ')}; topics: ${TOPICS.join(', ')}`);
const load = (): string => `load ${loadavg()[0]?.toFixed(1)}`;
console.log(
  `Node ${process.versions.node}, ${cpus().length} processors (${cpus()[0]?.model.trim()}), ${load()} at the start.\n`,
);
const started = performance.now();
const aims: Aim[] = [];
for (const topic of asked.length > 0 ? asked : TOPICS) aims.push(...(await run(topic)));
const seconds = Math.round((performance.now() - started) / 1000);
console.log(
  [
    'What was reached',
    ...aims.map(aimText),
    '',
    `${seconds} s in all, ${load()} at the end; speeds are those of the fastest turns, as a load above the number of processors slows the others.`,
  ].join('\n'),
);
