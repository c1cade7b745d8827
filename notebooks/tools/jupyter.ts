// npm run notebooks:jupyter -- 1-read-a-solo: runs a notebook in a real Jupyter, without a window, with the kernel registered in a folder
// that is thrown away, and compares what it gives with what the file holds. Needs `jupyter nbconvert`.
import { spawnSync } from 'node:child_process';
import { mkdirSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { basename, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { registerKernel } from './kernel.js';
import { codeCells, notebooksIn, readNotebook } from './notebook.js';
import { runFaults, staleCells } from './run.js';

const SECONDS_FOR_A_CELL = 120;

/** Runs a notebook in Jupyter; what went wrong as sentences. */
function faultsInJupyter(path: string): readonly string[] {
  const folder = mkdtempSync(join(tmpdir(), 'phrasewright-jupyter-'));
  try {
    // All that Jupyter reads and writes about itself stays in the folder.
    const env: NodeJS.ProcessEnv = { ...process.env };
    for (const name of ['DATA', 'CONFIG', 'RUNTIME']) {
      const own = join(folder, name.toLowerCase());
      mkdirSync(own);
      env[`JUPYTER_${name}_DIR`] = own;
    }
    registerKernel(env);
    const convert = ['nbconvert', '--execute', '--to', 'notebook', '--output-dir', folder, '--output', 'ran.ipynb'];
    const { error, status, stderr } = spawnSync(
      'jupyter',
      [...convert, `--ExecutePreprocessor.timeout=${SECONDS_FOR_A_CELL}`, '--log-level=WARN', path],
      { encoding: 'utf8', env },
    );
    if (error) throw error;
    if (status !== 0) return [`Jupyter could not run it: ${stderr.trim().split('\n').slice(-12).join('\n  ')}`];
    const ran = { outputs: codeCells(readNotebook(join(folder, 'ran.ipynb'))).map((cell) => cell.outputs ?? []) };
    return [...runFaults(ran), ...staleCells(readNotebook(path), ran)];
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

const all = notebooksIn(fileURLToPath(new URL('..', import.meta.url)));
const wanted = process.argv.slice(2).map((word) => basename(word, '.ipynb'));
const chosen = all.filter((path) => wanted.length === 0 || wanted.includes(basename(path, '.ipynb')));
if (chosen.length === 0) {
  console.error(
    `there is no notebook ${wanted.join(', ')}; notebooks: ${all.map((path) => basename(path, '.ipynb')).join(', ')}`,
  );
  process.exitCode = 2;
}
for (const path of chosen) {
  let faults: readonly string[];
  try {
    faults = faultsInJupyter(path);
  } catch (error) {
    faults = [(error as Error).message];
  }
  console.log(`${basename(path, '.ipynb')} in Jupyter: ${faults.length === 0 ? 'as committed' : ''}`);
  for (const fault of faults) console.log(`  ${fault}`);
  if (faults.length > 0) process.exitCode = 1;
}
