// npm run kernel: tells the Jupyter of this machine about the TypeScript kernel that came with `npm ci`, for this user only.
import { spawnSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';

/** The name under which notebooks ask for the kernel. */
export const KERNEL = 'tslab';

/** What Jupyter must know of a kernel. */
interface KernelSpec {
  readonly argv: readonly string[];
  readonly [field: string]: unknown;
}

/** The kernel of this folder by its full path, so that it is found wherever Jupyter is started. */
export function kernelSpec(): KernelSpec {
  const plain = JSON.parse(
    readFileSync(new URL('../kernels/tslab/kernel.json', import.meta.url), 'utf8'),
  ) as KernelSpec;
  const about = createRequire(import.meta.url).resolve('tslab/package.json');
  const { bin } = JSON.parse(readFileSync(about, 'utf8')) as { readonly bin: Readonly<Record<string, string>> };
  return { ...plain, argv: [process.execPath, join(dirname(about), bin.tslab as string), ...plain.argv.slice(1)] };
}

/** Registers the kernel with `jupyter kernelspec`; throws in words if there is no Jupyter. */
export function registerKernel(env: NodeJS.ProcessEnv = process.env): void {
  const folder = mkdtempSync(join(tmpdir(), 'phrasewright-kernel-'));
  try {
    writeFileSync(join(folder, 'kernel.json'), `${JSON.stringify(kernelSpec(), null, 2)}\n`);
    const install = ['kernelspec', 'install', folder, '--user', '--name', KERNEL, '--log-level', 'ERROR'];
    const { error, status, stderr } = spawnSync('jupyter', install, { encoding: 'utf8', env });
    if (error && 'code' in error && error.code === 'ENOENT')
      throw new Error('there is no Jupyter here: install it (on Debian: apt install jupyter-notebook), then try again');
    if (error) throw error;
    if (status !== 0) throw new Error(`Jupyter would not take the kernel: ${stderr.trim()}`);
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

if (process.argv[1] === fileURLToPath(import.meta.url))
  try {
    registerKernel();
    console.log('The kernel "TypeScript" is registered. Next: jupyter notebook notebooks');
  } catch (error) {
    console.error((error as Error).message);
    process.exitCode = 1;
  }
