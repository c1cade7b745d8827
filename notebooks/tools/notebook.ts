// A notebook file: its cells, one way of writing it, and what of its outputs must stay the same from run to run.
import { readdirSync, readFileSync } from 'node:fs';
import { basename, join } from 'node:path';

/** What a cell gave: text, a picture or a piece of HTML, or an error. */
export interface Output {
  readonly output_type: string;
  readonly name?: string;
  readonly text?: string | readonly string[];
  readonly data?: Readonly<Record<string, unknown>>;
  readonly [field: string]: unknown;
}

/** A cell of prose or code. A long text is kept as a list of lines. */
export interface Cell {
  readonly cell_type: 'markdown' | 'code' | 'raw';
  readonly id?: string;
  readonly metadata: Readonly<Record<string, unknown>>;
  readonly source: string | readonly string[];
  readonly outputs?: readonly Output[];
  readonly execution_count?: number | null;
}

/** A notebook, format 4.5. */
export interface Notebook {
  readonly cells: readonly Cell[];
  readonly metadata: Readonly<Record<string, unknown>>;
  readonly nbformat: number;
  readonly nbformat_minor: number;
}

/** The notebooks of a folder, in order of their names. */
export const notebooksIn = (folder: string): readonly string[] =>
  readdirSync(folder)
    .filter((name) => name.endsWith('.ipynb'))
    .sort()
    .map((name) => join(folder, name));

/** Reads a notebook; throws with its name if it is none. */
export function readNotebook(path: string): Notebook {
  const text = readFileSync(path, 'utf8');
  let value: Partial<Notebook>;
  try {
    value = JSON.parse(text) as Partial<Notebook>;
  } catch (error) {
    throw new Error(`${basename(path)} is no notebook: ${(error as Error).message}`, { cause: error });
  }
  if (!Array.isArray(value.cells) || value.nbformat !== 4)
    throw new Error(`${basename(path)} is no notebook of format 4: save it from Jupyter once`);
  return value as Notebook;
}

/** A text that may be a list of lines. */
export const joined = (text: string | readonly string[] | undefined): string =>
  typeof text === 'string' ? text : (text ?? []).join('');

/** The code cells that hold anything, in order. */
export const codeCells = (notebook: Notebook): readonly Cell[] =>
  notebook.cells.filter((cell) => cell.cell_type === 'code' && joined(cell.source).trim() !== '');

/** A text as Jupyter stores it: a list of lines, each with its end. */
const asLines = (text: string): readonly string[] => text.split(/(?<=\n)/).filter((line) => line !== '');

const inOrderOfNames = (_: string, value: unknown): unknown =>
  value !== null && typeof value === 'object' && !Array.isArray(value)
    ? Object.fromEntries(Object.entries(value).sort(([a], [b]) => (a < b ? -1 : 1)))
    : value;

/** A notebook as text, byte for byte as Jupyter saves it, so that saving it there changes no line that did not change. */
export function printNotebook(notebook: Notebook): string {
  const cells = notebook.cells.map((cell) => ({
    ...cell,
    source: asLines(joined(cell.source)),
    ...(cell.outputs && { outputs: normalOutputs(cell.outputs).map(linesInOutput) }),
  }));
  return `${JSON.stringify({ ...notebook, cells }, inOrderOfNames, 1)}\n`;
}

function linesInOutput(output: Output): Output {
  const data = output.data && {
    data: Object.fromEntries(
      Object.entries(output.data).map(([kind, value]) => [kind, typeof value === 'string' ? asLines(value) : value]),
    ),
  };
  return { ...output, ...(output.text !== undefined && { text: asLines(joined(output.text)) }), ...data };
}

/**
 * Outputs in the one form in which they are compared: texts as one piece, pieces of one stream that follow each other joined, and without what
 * changes from run to run (execution counts, metadata, the ids of displays).
 */
export function normalOutputs(outputs: readonly Output[]): readonly Output[] {
  const result: Output[] = [];
  for (const output of outputs) {
    const last = result.at(-1);
    if (output.output_type === 'stream') {
      const text = joined(output.text);
      if (last?.output_type === 'stream' && last.name === output.name)
        result[result.length - 1] = { ...last, text: joined(last.text) + text };
      else result.push({ output_type: 'stream', name: output.name ?? 'stdout', text });
    } else if (output.data) {
      const data = Object.fromEntries(
        Object.entries(output.data).map(([kind, value]) => [
          kind,
          typeof value === 'string' || (Array.isArray(value) && value.every((line) => typeof line === 'string'))
            ? joined(value)
            : value,
        ]),
      );
      result.push({ output_type: 'display_data', data, metadata: {} });
    } else result.push(output);
  }
  return result;
}

/** The first place at which two lists of outputs differ, in words; `undefined` if they are the same. */
export function differenceOf(before: readonly Output[], now: readonly Output[]): string | undefined {
  const a = normalOutputs(before);
  const b = normalOutputs(now);
  for (let i = 0; i < Math.max(a.length, b.length); i++) {
    const [one, other] = [a[i], b[i]];
    if (one && !other) return `an output is gone: ${aboutOutput(one)}`;
    if (!one && other) return `an output is new: ${aboutOutput(other)}`;
    if (!one || !other || JSON.stringify(one, inOrderOfNames) === JSON.stringify(other, inOrderOfNames)) continue;
    const lines = firstOtherLine(textOf(one), textOf(other));
    return lines === undefined
      ? `${aboutOutput(one)} became ${aboutOutput(other)}`
      : `line ${lines.line} was ${lines.before}, is ${lines.now}`;
  }
  return undefined;
}

/** The text of an output; of a picture kept in HTML its own text, so that a difference can be read. */
function textOf(output: Output): string {
  if (output.text !== undefined) return joined(output.text);
  const texts = Object.values(output.data ?? {}).map((value) =>
    typeof value === 'string'
      ? value.replace(
          /data:image\/svg\+xml;base64,([\w+/=]+)/g,
          (_, bytes: string) => `\n${Buffer.from(bytes, 'base64').toString('utf8').replaceAll('><', '>\n<')}\n`,
        )
      : JSON.stringify(value),
  );
  return texts.join('\n');
}

const short = (text: string | undefined): string =>
  text === undefined ? 'not there' : `"${text.length > 90 ? `${text.slice(0, 89)}…` : text}"`;

function firstOtherLine(before: string, now: string): { line: number; before: string; now: string } | undefined {
  const [a, b] = [before.split('\n'), now.split('\n')];
  const line = Array.from({ length: Math.max(a.length, b.length) }).findIndex((_, i) => a[i] !== b[i]);
  return line < 0 ? undefined : { line: line + 1, before: short(a[line]), now: short(b[line]) };
}

const aboutOutput = (output: Output): string =>
  output.output_type === 'stream'
    ? `${output.name} ${short(joined(output.text).split('\n')[0])}`
    : output.data
      ? Object.keys(output.data).join(', ')
      : output.output_type;

/** What an output says went wrong: an error, or anything on the error stream, since the kernel reports failing cells there. */
export function troubleIn(outputs: readonly Output[]): string | undefined {
  for (const output of normalOutputs(outputs)) {
    if (output.output_type === 'error') return `${output.ename}: ${output.evalue}`;
    if (output.output_type === 'stream' && output.name === 'stderr') return joined(output.text).trim();
  }
  return undefined;
}

/** A notebook with new outputs for its code cells, numbered as if run from the top. */
export function withOutputs(notebook: Notebook, outputs: readonly (readonly Output[])[]): Notebook {
  let n = 0;
  const cells = notebook.cells.map((cell): Cell => {
    if (cell.cell_type !== 'code') return cell;
    if (joined(cell.source).trim() === '') return { ...cell, execution_count: null, outputs: [] };
    const own = outputs[n++] ?? [];
    return { ...cell, execution_count: n, outputs: own };
  });
  return { ...notebook, cells };
}
