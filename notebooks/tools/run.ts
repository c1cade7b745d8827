// npm run notebooks: checks every notebook strictly, runs it from the top, and compares what its cells give with what the file holds.
//   npm run notebooks -- --write        also puts the new outputs into the files
//   npm run notebooks -- 1-read-a-solo  only that one
import { spawnSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { basename, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { idFaults, proseFaults, typeFaults } from './check.js';
import {
  codeCells,
  differenceOf,
  type Notebook,
  notebooksIn,
  type Output,
  printNotebook,
  readNotebook,
  troubleIn,
  withOutputs,
} from './notebook.js';

/** What running a notebook gave: the outputs of its code cells, up to the first that failed. */
export interface Run {
  readonly outputs: readonly (readonly Output[])[];
  /** Number of the code cell that failed, from 1. */
  readonly failed?: number;
}

const MOST_MINUTES = 5;

/** Runs a notebook from the top in a Node of its own. */
export function execute(path: string): Run {
  const folder = mkdtempSync(join(tmpdir(), 'phrasewright-notebook-'));
  try {
    const output = join(folder, 'outputs.json');
    const script = fileURLToPath(new URL('./execute.mjs', import.meta.url));
    const { error, stderr, signal } = spawnSync(process.execPath, ['--no-warnings', script, path, output], {
      encoding: 'utf8',
      timeout: MOST_MINUTES * 60_000,
      env: { ...process.env, FORCE_COLOR: '0', NODE_DISABLE_COLORS: '1' },
    });
    if (signal) throw new Error(`${basename(path)} did not end within ${MOST_MINUTES} minutes`);
    if (error) throw error;
    try {
      return JSON.parse(readFileSync(output, 'utf8')) as Run;
    } catch {
      throw new Error(`${basename(path)} could not be run: ${stderr.trim()}`);
    }
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

/** What went wrong in a run, as sentences; none if all is well. */
export function runFaults({ outputs, failed }: Run): readonly string[] {
  return outputs.flatMap((own, i) => {
    const trouble = troubleIn(own);
    if (trouble !== undefined) return [`code cell ${i + 1}: ${trouble}`];
    return failed === i + 1 ? [`code cell ${i + 1} failed without a word`] : [];
  });
}

/** Where the outputs that a notebook holds are not those of a run, as sentences. */
export function staleCells(notebook: Notebook, { outputs }: Run): readonly string[] {
  return codeCells(notebook).flatMap((cell, i) => {
    const difference = differenceOf(cell.outputs ?? [], outputs[i] ?? []);
    return difference === undefined ? [] : [`code cell ${i + 1} is stale: ${difference}`];
  });
}

function main(words: readonly string[]): number {
  const write = words.includes('--write');
  const wanted = words.filter((word) => word !== '--write').map((word) => basename(word, '.ipynb'));
  const folder = fileURLToPath(new URL('..', import.meta.url));
  const all = notebooksIn(folder);
  const unknown = wanted.filter((name) => !all.some((path) => basename(path, '.ipynb') === name));
  if (unknown.length > 0 || all.length === 0) {
    const known = all.map((path) => basename(path, '.ipynb')).join(', ');
    console.error(`there is no notebook ${unknown.join(', ')}; notebooks: ${known || 'none'}`);
    return 2;
  }
  let bad = 0;
  for (const path of all) {
    const name = basename(path, '.ipynb');
    if (wanted.length > 0 && !wanted.includes(name)) continue;
    const notebook = readNotebook(path);
    const faults = [...typeFaults(notebook, path), ...proseFaults(notebook), ...idFaults(notebook)];
    if (faults.length === 0) {
      const run = execute(path);
      faults.push(...runFaults(run));
      if (faults.length === 0 && write) writeFileSync(path, printNotebook(withOutputs(notebook, run.outputs)));
      else if (faults.length === 0) faults.push(...staleCells(notebook, run));
    }
    const count = codeCells(notebook).length;
    console.log(faults.length === 0 ? `${name}: ${count} cells, ${write ? 'written' : 'as committed'}` : `${name}:`);
    for (const fault of faults) console.log(`  ${fault}`);
    if (faults.some((fault) => fault.includes('is stale')))
      console.log('  if the new outputs are right: npm run notebooks -- --write');
    bad += faults.length;
  }
  return bad === 0 ? 0 : 1;
}

if (process.argv[1] === fileURLToPath(import.meta.url)) process.exitCode = main(process.argv.slice(2));
