import { mkdtempSync, readFileSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { kernelSpec } from '../../notebooks/tools/kernel.js';
import { type Cell, printNotebook } from '../../notebooks/tools/notebook.js';
import { execute, runFaults, staleCells } from '../../notebooks/tools/run.js';
import { code, notebookOf, printed, prose, shown } from './made.js';

let folder = '';
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'phrasewright-notebooks-'));
  symlinkSync(fileURLToPath(new URL('../../node_modules', import.meta.url)), join(folder, 'node_modules'), 'dir');
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const run = (...cells: readonly Cell[]) => {
  const notebook = notebookOf(...cells);
  const path = join(folder, 'made.ipynb');
  writeFileSync(path, printNotebook(notebook));
  return { notebook, path, ...execute(path) };
};

describe('a notebook run in plain Node', () => {
  it('gives what its cells print and show, in order, and leaves the file alone', () => {
    const first = "import { display } from 'tslab';\nimport { parseChord, isChord } from 'phrasewright';";
    const second = "const c = parseChord('Am7');\nconsole.log(isChord(c));\ndisplay.html('<b>1</b>');\nconsole.log(2);";
    const { notebook, path, ...done } = run(
      code(first),
      prose('words'),
      code(second, [printed('true\n'), shown('<b>1</b>'), printed('3\n')]),
      code('await Promise.resolve(4)'),
    );
    expect(runFaults(done)).toEqual([]);
    expect(done.outputs.map((own) => own.map(({ text, data }) => text ?? data))).toEqual([
      [],
      ['true\n', { 'text/html': '<b>1</b>' }, '2\n'],
      ['4\n'],
    ]);
    expect(staleCells(notebook, done)).toEqual([
      'code cell 2 is stale: line 1 was "3", is "2"',
      'code cell 3 is stale: an output is new: stdout "4"',
    ]);
    expect(readFileSync(path, 'utf8')).toBe(printNotebook(notebook));
  });

  it('stops at a cell that throws, and says which', () => {
    const done = run(code('1'), code("throw new RangeError('fret 30 is off the neck');"), code('console.log(3);'));
    expect(done.failed).toBe(2);
    expect(done.outputs).toHaveLength(2);
    expect(runFaults(done)[0]).toContain('code cell 2: ');
    expect(runFaults(done)[0]).toContain('fret 30 is off the neck');
  });

  it('finds a promise that nobody waits for, which the kernel would hide', () => {
    const done = run(code("void Promise.reject(new Error('lost'));"));
    expect(runFaults(done)[0]).toContain('a promise was rejected and nothing waited for it: Error: lost');
  });
});

it('the kernel is registered with the program and the file that start it here', () => {
  const { argv, language } = kernelSpec();
  expect(language).toBe('typescript');
  expect(argv[0]).toBe(process.execPath);
  expect(readFileSync(argv[1] as string, 'utf8')).toContain('#!/usr/bin/env node');
  expect(argv.slice(2)).toEqual(['kernel', '--config-path', '{connection_file}']);
});
