// @ts-check
// Runs one notebook in plain Node with the kernel's own converter and executor, as `run.ts` asks for it in a process of its own:
//   node execute.mjs notebook.ipynb outputs.json
// Unlike the kernel it also fails on a promise that is rejected after its cell has ended. The modules loaded below are the
// kernel's inside, so its version is pinned.
import { readFileSync, writeFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { dirname, join, resolve } from 'node:path';

const [input = '', output = ''] = process.argv.slice(2).map((path) => resolve(path));
const folder = dirname(input);
process.chdir(folder);

const require = createRequire(join(folder, 'cells.js'));
const kernel = dirname(require.resolve('tslab/package.json'));
const { createConverter } = require(join(kernel, 'dist/converter.js'));
const { createExecutor } = require(join(kernel, 'dist/executor.js'));
const jupyter = require(join(kernel, 'dist/jupyter.js'));

const converter = createConverter({ isJS: false, isBrowser: false });
const converters = { node: converter, close: () => converter.close() };
const executor = createExecutor(folder, converters, console);

/** @type {unknown[]} */
const late = [];
process.on('unhandledRejection', (reason) => late.push(reason));
const real = { out: process.stdout.write, err: process.stderr.write };

/** @typedef {{ output_type: string, name?: string, text?: string, data?: unknown, metadata?: unknown }} Output */

/** @param {string} source */
async function run(source) {
  /** @type {Output[]} */
  const outputs = [];
  /** @type {Map<string, Output>} */
  const displays = new Map();
  /** @param {string} name */
  const stream = (name) => (/** @type {string | Uint8Array} */ text) =>
    outputs.push({
      output_type: 'stream',
      name,
      text: typeof text === 'string' ? text : Buffer.from(text).toString(),
    }) > 0;
  process.stdout.write = stream('stdout');
  process.stderr.write = stream('stderr');
  /** @param {{ data: unknown, transient?: { display_id?: string } }} shown @param {boolean} update */
  jupyter.lastWriteDisplayData = (shown, update) => {
    const id = shown.transient?.display_id;
    const known = id === undefined ? undefined : displays.get(id);
    if (update && known) known.data = shown.data;
    else {
      const made = { output_type: 'display_data', data: shown.data, metadata: {} };
      outputs.push(made);
      if (id !== undefined) displays.set(id, made);
    }
  };
  let ok = false;
  try {
    ok = await executor.execute(source);
    // A rejection that nobody waits for is told once the cell's last turn is over.
    await new Promise((done) => setImmediate(done));
    for (const reason of late.splice(0)) {
      ok = false;
      console.error('a promise was rejected and nothing waited for it:', reason);
    }
  } catch (error) {
    console.error(error);
  } finally {
    process.stdout.write = real.out;
    process.stderr.write = real.err;
  }
  return { ok, outputs };
}

/** @type {{ cells: { cell_type: string, source: string | string[] }[] }} */
const notebook = JSON.parse(readFileSync(input, 'utf8'));
/** @type {Output[][]} */
const all = [];
/** @type {number | undefined} */
let failed;
for (const cell of notebook.cells) {
  const source = [cell.source].flat().join('');
  if (cell.cell_type !== 'code' || source.trim() === '') continue;
  const { ok, outputs } = await run(source);
  all.push(outputs);
  if (!ok) {
    failed = all.length;
    break;
  }
}
writeFileSync(output, JSON.stringify({ outputs: all, ...(failed !== undefined && { failed }) }));
executor.close();
process.exit(failed === undefined ? 0 : 1);
