// The package as a user gets it: packed, unpacked into an empty folder, loaded by Node and by two TypeScripts. No network.
import { execFileSync } from 'node:child_process';
import {
  existsSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  symlinkSync,
  writeFileSync,
} from 'node:fs';
import { createRequire } from 'node:module';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import type TypeScript from 'typescript';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';

const root = fileURLToPath(new URL('../', import.meta.url));
const require = createRequire(import.meta.url);

interface About {
  readonly version: string;
  readonly bin: Readonly<Record<string, string>>;
  readonly dependencies: Readonly<Record<string, string>>;
}
const about = JSON.parse(readFileSync(join(root, 'package.json'), 'utf8')) as About;

let user = '';
let home = '';

/** Puts a package into the user's folder as npm would, with only the dependencies that package.json promises. */
beforeAll(() => {
  user = mkdtempSync(join(tmpdir(), 'phrasewright-user-'));
  home = join(user, 'node_modules', 'phrasewright');
  // `npm test` has just built dist/; the script before packing would build it again under the other tests' feet.
  const packed = execFileSync('npm', ['pack', '--ignore-scripts', '--json', '--pack-destination', user], {
    cwd: root,
    encoding: 'utf8',
  });
  const { filename } = (JSON.parse(packed) as readonly { readonly filename: string }[])[0] as {
    readonly filename: string;
  };
  mkdirSync(home, { recursive: true });
  execFileSync('tar', ['-xzf', join(user, filename), '-C', home, '--strip-components', '1']);
  for (const name of Object.keys(about.dependencies)) {
    const link = join(user, 'node_modules', name);
    mkdirSync(dirname(link), { recursive: true });
    symlinkSync(join(root, 'node_modules', name), link, 'dir');
  }
});

afterAll(() => rmSync(user, { recursive: true, force: true }));

const node = (...args: readonly string[]): string =>
  execFileSync(process.execPath, args, { cwd: user, encoding: 'utf8' });

describe('the packed package', () => {
  it('holds what runs and what is read, and nothing else', () => {
    const top = readdirSync(home).sort();
    expect(top.filter((name) => !['data', 'README.md'].includes(name))).toEqual(['LICENSE', 'dist', 'package.json']);
    if (existsSync(join(root, 'README.md'))) expect(top).toContain('README.md');
    const built = readdirSync(join(home, 'dist'), { recursive: true, encoding: 'utf8' }).filter((path) =>
      /\.\w+$/.test(path),
    );
    expect(built.filter((path) => !/(?<!\.test)\.js$|(?<!\.test)\.d\.ts$/.test(path))).toEqual([]);
  });

  it('is loaded by its name, with every name of the front door', async () => {
    writeFileSync(
      join(user, 'use.mjs'),
      "import * as phrasewright from 'phrasewright';\nconst names = Object.keys(phrasewright).sort();\nconsole.log(JSON.stringify(names));\n",
    );
    const names = JSON.parse(node('use.mjs')) as readonly string[];
    expect(names.length).toBeGreaterThan(0);
    expect(names).toEqual(Object.keys(await import('phrasewright')).sort());
  });

  it('is loaded by require, as a notebook cell does it', () => {
    writeFileSync(join(user, 'use.cjs'), "console.log(Object.keys(require('phrasewright')).length > 0);\n");
    expect(node('--no-warnings', 'use.cjs').trim()).toBe('true');
  });

  it('gives its version, and the schema of a solo once there is one', () => {
    const script =
      "import about from 'phrasewright/package.json' with { type: 'json' };\nconsole.log(about.version);\n";
    writeFileSync(join(user, 'version.mjs'), script);
    expect(node('--no-warnings', 'version.mjs').trim()).toBe(about.version);
    if (existsSync(join(root, 'data', 'solo.schema.json'))) {
      const path = createRequire(join(user, 'use.mjs')).resolve('phrasewright/solo.schema.json');
      expect(JSON.parse(readFileSync(path, 'utf8'))).toHaveProperty('$schema');
    }
  });

  it('has the command that package.json names, and it starts in Node', () => {
    const command = join(home, about.bin.phrasewright as string);
    expect(existsSync(command), `${about.bin.phrasewright} was not built`).toBe(true);
    expect(readFileSync(command, 'utf8').split('\n')[0]).toBe('#!/usr/bin/env node');
    node('--check', command);
  });
});

describe('the types of the packed package', () => {
  /** What a TypeScript finds wrong in the user's file and in the package's own declarations (not in those of its dependencies). */
  function faultsFound(ts: typeof TypeScript, options: TypeScript.CompilerOptions): readonly string[] {
    const program = ts.createProgram([join(user, 'user.ts')], {
      strict: true,
      noEmit: true,
      skipLibCheck: false,
      target: ts.ScriptTarget.ES2022,
      types: [],
      ...options,
    });
    expect(
      program.getSourceFile(join(home, 'dist', 'index.d.ts')),
      'dist/index.d.ts was not found by its name',
    ).toBeDefined();
    return ts
      .getPreEmitDiagnostics(program)
      .filter((d) => !d.file || d.file.fileName.startsWith(home) || d.file.fileName.endsWith('/user.ts'))
      .map(
        (d) =>
          `${d.file?.fileName.slice(user.length + 1) ?? ''}: ${ts.flattenDiagnosticMessageText(d.messageText, ' ')}`,
      );
  }

  const write = (line: string): void =>
    writeFileSync(join(user, 'user.ts'), `import * as phrasewright from 'phrasewright';\n${line}\n`);

  const now = require('typescript') as typeof TypeScript;
  // The TypeScript that checks the cells of the notebooks.
  const cells = require('@tslab/typescript-for-tslab') as typeof TypeScript;
  it.each([
    ['5.9', now, { module: now.ModuleKind.NodeNext, moduleResolution: now.ModuleResolutionKind.NodeNext }],
    ['5.0', cells, { module: cells.ModuleKind.ESNext, moduleResolution: cells.ModuleResolutionKind.NodeJs }],
  ] as const)('are accepted by TypeScript %s, and are no stand-ins', (version, ts, options) => {
    expect(ts.version.startsWith(version)).toBe(true);
    write('export const names: readonly string[] = Object.keys(phrasewright);');
    expect(faultsFound(ts, options)).toEqual([]);
    write('export const none = phrasewright.noSuchNameAtTheFrontDoor;');
    expect(faultsFound(ts, options)).toHaveLength(1);
  });
});

describe('what is installed', () => {
  it('is pinned exactly, and the lock file names no address to download from', () => {
    const pins = JSON.parse(readFileSync(join(root, 'package.json'), 'utf8')) as Record<string, Record<string, string>>;
    for (const kind of ['dependencies', 'devDependencies', 'peerDependencies'])
      for (const [name, version] of Object.entries(pins[kind] ?? {}))
        expect(version, `${kind}: ${name}`).toMatch(/^\d+\.\d+\.\d+(-[\w.]+)?$/);
    const lock = JSON.parse(readFileSync(join(root, 'package-lock.json'), 'utf8')) as {
      readonly packages: Readonly<Record<string, { readonly resolved?: string }>>;
    };
    const named = Object.entries(lock.packages).filter(([, { resolved }]) => resolved !== undefined && resolved !== '');
    expect(named.map(([name]) => name)).toEqual([]);
  });
});
