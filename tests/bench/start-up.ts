// Whole processes, started in turns: importing the package beside importing tonal alone, and a study of the demo.
import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { publish, type Report, ratioOf, timeInTurns, timingText } from './harness.js';
import { COMMAND, DEMO, FRONT_DOOR, PACKAGE } from './library.js';

function start(args: readonly string[]): void {
  const { status, stderr } = spawnSync(process.execPath, [...args], { cwd: PACKAGE, encoding: 'utf8' });
  if (status !== 0) throw new Error(`node ${args.join(' ')} failed: ${stderr}`);
}

const module = (code: string) => () => start(['--input-type=module', '--eval', code]);

async function startUp(): Promise<Report> {
  const imports = await timeInTurns(
    [
      { name: 'node, importing tonal alone', run: module("await import('tonal')") },
      { name: 'node, importing phrasewright', run: module(`await import(${JSON.stringify(FRONT_DOOR.href)})`) },
      { name: 'node, importing nothing', run: module('') },
    ],
    15,
    2,
  );
  const out = mkdtempSync(join(tmpdir(), 'phrasewright-bench-'));
  try {
    const study = await timeInTurns(
      [{ name: 'study of the demo solos', run: () => start([COMMAND, 'study', DEMO, '--out', out]) }],
      5,
      1,
    );
    const [tonal, ours, nothing] = imports.map((t) => t.fastest) as [number, number, number];
    return {
      title: 'Starting: whole processes, from start to exit',
      inputs: `the fastest of 15 and of 5 starts; the files are in the memory of the system`,
      text: [
        timingText([...imports, ...study]),
        '',
        `Without what Node itself takes to start: ${((ours - nothing) / (tonal - nothing)).toFixed(2)} x of tonal.`,
      ].join('\n'),
      aims: [
        {
          what: 'importing the package, over importing tonal alone',
          aim: 1.5,
          reached: ratioOf(imports, 'node, importing phrasewright'),
          unit: 'x',
        },
        { what: 'study of the demo', aim: 5, reached: (study[0]?.fastest as number) / 1000, unit: 's' },
      ],
    };
  } finally {
    rmSync(out, { recursive: true, force: true });
  }
}

publish(await startUp());
