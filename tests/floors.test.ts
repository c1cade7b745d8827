import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { type Floor, faultsOf, floorTable, HOUSE, needsOf } from './floors.js';

const root = new URL('../', import.meta.url);

function libFiles(): ReadonlyMap<string, string> {
  const lib = new URL('lib/', root);
  const paths = readdirSync(lib, { recursive: true, encoding: 'utf8' }).map((path) => path.replaceAll('\\', '/'));
  const files = paths.filter((path) => path.endsWith('.ts')).sort();
  return new Map(files.map((path) => [path, readFileSync(new URL(path, lib), 'utf8')]));
}

function promisedPackages(): readonly string[] {
  const about = JSON.parse(readFileSync(new URL('package.json', root), 'utf8')) as Record<
    string,
    Record<string, string>
  >;
  return [...Object.keys(about.dependencies ?? {}), ...Object.keys(about.peerDependencies ?? {})];
}

describe('floors of lib/', () => {
  it('every file has its place, and imports go down only', () => {
    const files = libFiles();
    expect(files.size).toBeGreaterThan(0);
    expect(faultsOf(HOUSE, files, promisedPackages())).toEqual([]);
  });

  const developers = new URL('DEVELOPERS.md', root);
  it.skipIf(!existsSync(developers))('DEVELOPERS.md shows the same house', () => {
    const shown = /<!-- floors -->\n+([\s\S]*?)\n+<!-- \/floors -->/.exec(readFileSync(developers, 'utf8'))?.[1];
    expect(shown, 'the table between <!-- floors --> and <!-- /floors -->').toBe(floorTable(HOUSE));
  });
});

describe('a house that is broken on purpose', () => {
  const floor = (n: number, ...rooms: readonly (readonly [string, ...string[]])[]): Floor => ({
    floor: n,
    holds: `things of floor ${n}`,
    notAbove: `reason above ${n}`,
    notBeside: `reason beside ${n}`,
    rooms: rooms.map(([name, ...files]) => ({ name, files })),
  });
  const house = [
    floor(2, ['top.ts', 'top.ts']),
    floor(1, ['left', 'a.ts', 'b.ts'], ['right', 'c.ts']),
    floor(0, ['low', 'd.ts']),
  ];
  const sound: Readonly<Record<string, string>> = {
    'top.ts': "export * from './left/b.js';\n",
    'left/a.ts': "import { d } from '../low/d.js';\nimport 'node:fs';\nexport const a = d;\n",
    'left/b.ts': "export { a as b } from './a.js';\nexport const later = async () => import('vega');\n",
    'right/c.ts': "import { Note } from 'fastest-levenshtein';\nexport const c = Note;\n",
    'low/d.ts': 'export const d = 1;\n',
  };
  const faults = (change: Readonly<Record<string, string>>) =>
    faultsOf(house, new Map(Object.entries({ ...sound, ...change })), ['fastest-levenshtein', 'vega']);

  it('finds nothing in a house that keeps the rules', () => {
    expect(faults({})).toEqual([]);
  });

  it.each([
    ['an import', "import { a } from '../left/a.js';\nexport const d = a;\n"],
    ['an import type', "import type { a } from '../left/a.js';\nexport type D = typeof a;\n"],
    ['a re-export', "export { a as d } from '../left/a.js';\n"],
    ['a re-export of everything', "export * from '../left/a.js';\n"],
    ['a type written as import(...)', "export type D = import('../left/a.js').A;\n"],
    ['an import on call', "export const d = () => import('../left/a.js');\n"],
  ])('finds %s that goes up, with the reason', (_, text) => {
    expect(faults({ 'low/d.ts': text })).toContain(
      'lib/low/d.ts:1 needs left/a.ts: floor 0 (low) may not look up to floor 1 (left): reason above 0',
    );
  });

  it('finds rooms of one floor that meet', () => {
    expect(faults({ 'right/c.ts': "\nimport '../left/a.js';\n" })).toEqual([
      'lib/right/c.ts:2 needs left/a.ts: right and left are on floor 1 and may not meet: reason beside 1',
    ]);
  });

  it('finds a file that imports a later one of its room, and the ring this makes', () => {
    const found = faults({ 'left/a.ts': "import './b.js';\n" });
    expect(found).toHaveLength(2);
    expect(found[0]).toMatch(/^lib\/left\/a\.ts:1 needs left\/b\.ts: in left it is listed later/);
    expect(found[1]).toBe('files need each other in a ring: left/b.ts -> left/a.ts -> left/b.ts');
  });

  it('finds a file without a place, and a place without a file', () => {
    expect(faults({ 'low/new.ts': '' })).toEqual([
      'lib/low/new.ts has no place in tests/floors.ts: list it in its room, after the files it imports',
    ]);
    expect(
      faultsOf([...house, floor(-1, ['cellar', 'e.ts'])], new Map(Object.entries(sound)), [
        'fastest-levenshtein',
        'vega',
      ]),
    ).toEqual(['cellar/e.ts is listed in tests/floors.ts, but lib/cellar/e.ts does not exist']);
  });

  it('finds an import of a file that is not there or not in lib/', () => {
    expect(faults({ 'low/d.ts': "import './gone.js';\nimport '../../tests/x.js';\n" })).toEqual([
      "lib/low/d.ts:1 needs './gone.js', which is no file of lib/",
      "lib/low/d.ts:2 needs '../../tests/x.js', which is no file of lib/",
    ]);
  });

  it('finds a package that is not promised, and a slow one that is loaded at once', () => {
    expect(faults({ 'low/d.ts': "import fc from 'fast-check/x';\n" })).toEqual([
      "lib/low/d.ts:1 needs the package 'fast-check', which package.json does not promise",
    ]);
    expect(faults({ 'low/d.ts': "import { type View, parse } from 'vega';\n" })).toHaveLength(1);
    expect(faults({ 'low/d.ts': "import { type View } from 'vega';\n" })).toEqual([]);
  });

  it('finds a name that is only known when it runs, a wait at the top level, and a file of 401 lines', () => {
    expect(faults({ 'low/d.ts': 'export const d = (name: string) => import(name);\n' })).toHaveLength(1);
    expect(faults({ 'low/d.ts': 'const wait = async () => await 1;\nexport const d = [await wait()];\n' })).toEqual([
      'lib/low/d.ts:2 waits outside a function: a notebook cell cannot load a library that does',
    ]);
    expect(faults({ 'low/d.ts': '\n'.repeat(400) })).toEqual([]);
    expect(faults({ 'low/d.ts': '\n'.repeat(401) })[0]).toMatch(/^lib\/low\/d\.ts has 401 lines, 400 at most/);
  });

  it('reads imports with the parser: words in comments and strings are none', () => {
    expect(needsOf('x.ts', "// import './a.js'\nconst s = \"import './b.js'\";\n")).toEqual([]);
  });
});
