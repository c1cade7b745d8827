import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import { idFaults, proseFaults } from '../../notebooks/tools/check.js';
import {
  codeCells,
  differenceOf,
  notebooksIn,
  printNotebook,
  readNotebook,
  troubleIn,
  withOutputs,
} from '../../notebooks/tools/notebook.js';
import { code, notebookOf, printed, prose, shown } from './made.js';

const image = (svg: string): string => `<img src="data:image/svg+xml;base64,${Buffer.from(svg).toString('base64')}">`;

describe('outputs', () => {
  it('are the same whatever changes from run to run', () => {
    const before = [printed(['one\n', 'two\n']), { ...shown(['<b>', 'x']), metadata: { a: 1 } }];
    const now = [printed('one\n'), printed('two\n'), { ...shown('<b>x'), transient: { display_id: '7' } }];
    expect(differenceOf(before, now)).toBeUndefined();
  });

  it.each([
    ['a changed line', [printed('a\nb\n')], [printed('a\nc\n')], 'line 2 was "b", is "c"'],
    ['a line more', [printed('a')], [printed('a\nb')], 'line 2 was not there, is "b"'],
    ['an output less', [printed('a'), shown('b')], [printed('a')], 'an output is gone: text/html'],
    ['an output more', [], [printed('a')], 'an output is new: stdout "a"'],
    ['another stream', [printed('a')], [printed('a', 'stderr')], 'stdout "a" became stderr "a"'],
    ['another kind', [shown('a')], [{ output_type: 'display_data', data: { 'text/plain': 'a' } }], 'became text/plain'],
    ['a picture, by its text', [shown(image('<g><a/></g>'))], [shown(image('<g><b/></g>'))], 'was "<a/>", is "<b/>"'],
  ])('differ by %s', (_, before, now, words) => {
    expect(differenceOf(before, now)).toContain(words);
  });

  it('tell of trouble: an error, or anything on the error stream', () => {
    expect(troubleIn([printed('fine'), shown('fine')])).toBeUndefined();
    expect(troubleIn([printed('fine'), printed('1:1 - no such name\n', 'stderr')])).toBe('1:1 - no such name');
    expect(troubleIn([{ output_type: 'error', ename: 'Error', evalue: 'no' }])).toBe('Error: no');
  });
});

describe('a notebook file', () => {
  it('is printed in one way, its code cells numbered as run from the top', () => {
    const notebook = notebookOf(code('one\ntwo'), prose('words'), code(' '), code('three'));
    const text = printNotebook(withOutputs(notebook, [[printed('a\n'), printed('b')], [shown('c')]]));
    const again = JSON.parse(text) as typeof notebook;
    expect(again.cells.map((cell) => cell.execution_count)).toEqual([1, undefined, null, 2]);
    expect(again.cells[0]?.source).toEqual(['one\n', 'two']);
    expect(again.cells[0]?.outputs).toEqual([{ name: 'stdout', output_type: 'stream', text: ['a\n', 'b'] }]);
    expect(printNotebook(again)).toBe(text);
    expect(codeCells(again)).toHaveLength(2);
  });

  const all = notebooksIn(fileURLToPath(new URL('../../notebooks/', import.meta.url)));
  it('is there', () => expect(all.length).toBeGreaterThanOrEqual(2));

  it.each(all)('was run from the top without trouble, and is as it would be printed: %s', (path) => {
    const notebook = readNotebook(path);
    const cells = codeCells(notebook);
    expect(cells.length).toBeGreaterThan(0);
    expect(cells.map((cell) => cell.execution_count)).toEqual(cells.map((_, i) => i + 1));
    expect(cells.map((cell) => troubleIn(cell.outputs ?? [])).filter((t) => t !== undefined)).toEqual([]);
    expect([...proseFaults(notebook), ...idFaults(notebook)]).toEqual([]);
    expect(notebook.metadata.kernelspec).toMatchObject({ name: 'tslab' });
    expect(readFileSync(path, 'utf8')).toBe(printNotebook(notebook));
  });
});
