import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { fileURLToPath, pathToFileURL } from 'node:url';
import ts from 'typescript';
import { describe, expect, it } from 'vitest';
import {
  agrees,
  type Example,
  examplesInDoc,
  examplesOfMarkdown,
  examplesOfModule,
  type Load,
  runExample,
  withChecks,
} from './examples.js';

const root = new URL('../', import.meta.url);
const textOf = (path: string): string => readFileSync(new URL(path, root), 'utf8');

/** Examples run on what was built: `phrasewright` is found as a user finds it, the module of an inner function by its path in dist/. */
const load: Load = (specifier) => {
  const url = specifier.startsWith('./')
    ? pathToFileURL(fileURLToPath(new URL(`dist/${specifier}`, root))).href
    : specifier;
  return import(/* @vite-ignore */ url);
};

const lib = readdirSync(new URL('lib/', root), { recursive: true, encoding: 'utf8' })
  .map((path) => path.replaceAll('\\', '/'))
  .filter((path) => path.endsWith('.ts'))
  .sort();

describe('examples in docstrings', () => {
  for (const path of lib)
    for (const example of examplesOfModule(path, textOf(`lib/${path}`)))
      it(example.name, async () => {
        expect(await runExample(example, load), 'an example shows at least one // => value').toBeGreaterThan(0);
      });
});

describe('examples in the Markdown pages', () => {
  for (const page of ['README.md', 'DEVELOPERS.md'])
    if (existsSync(new URL(page, root)))
      for (const example of examplesOfMarkdown(page, textOf(page)))
        it(example.name, async () => {
          await runExample(example, load);
        });
    else it.skip(`${page} does not exist yet`);
});

describe('the front door', () => {
  it('every function that lib/index.ts exports has a docstring with an example', () => {
    const index = fileURLToPath(new URL('lib/index.ts', root));
    expect(existsSync(index), 'lib/index.ts is missing').toBe(true);
    const options: ts.CompilerOptions = {
      target: ts.ScriptTarget.ES2022,
      module: ts.ModuleKind.NodeNext,
      moduleResolution: ts.ModuleResolutionKind.NodeNext,
      types: [],
    };
    const program = ts.createProgram([index], options);
    const checker = program.getTypeChecker();
    const source = program.getSourceFile(index);
    const front = source && checker.getSymbolAtLocation(source);
    expect(front, 'lib/index.ts exports nothing').toBeDefined();
    const bare: string[] = [];
    let functions = 0;
    for (const exported of checker.getExportsOfModule(front as ts.Symbol)) {
      const symbol = exported.flags & ts.SymbolFlags.Alias ? checker.getAliasedSymbol(exported) : exported;
      const declaration = symbol.valueDeclaration;
      if (!declaration) continue;
      if (checker.getTypeOfSymbolAtLocation(symbol, declaration).getCallSignatures().length === 0) continue;
      functions++;
      const words = ts.displayPartsToString(symbol.getDocumentationComment(checker)).trim();
      const tags = symbol.getJsDocTags(checker).map((tag) => tag.name);
      if (words === '') bare.push(`${exported.name} has no docstring`);
      if (!tags.includes('example')) bare.push(`${exported.name} has no @example`);
    }
    expect(functions).toBeGreaterThan(0);
    expect(bare).toEqual([]);
  });
});

describe('how an example is checked', () => {
  const modules: Readonly<Record<string, Readonly<Record<string, unknown>>>> = {
    phrasewright: { twice: (n: number) => n * 2, late: async (n: number) => n },
    './a.js': {
      own: 'mine',
      bad: () => {
        throw new RangeError('fret 30 is off the neck');
      },
    },
  };
  const fake: Load = async (specifier) => modules[specifier] ?? import(/* @vite-ignore */ specifier);
  const run = (code: string, module: string | undefined = './a.js') =>
    runExample({ name: 'x', module, line: 10, code }, fake);

  it.each([
    'twice(2) // => 4',
    'twice(2); // => 4',
    'const own = { a: [1, 2] }\nown // => { a: [1, 2] }',
    'const x = twice(4) // => 8',
    'own // => mine',
    'bad() // => throws off the neck',
    'await late(3) // => 3',
    '1 / 3 // => about 0.333',
    "new Map([['a', 1]]) // => Map(1) { 'a' => 1 }",
    'new Int32Array([1, 2]) // => Int32Array(2) [ 1, 2 ]',
    "console.log('a', twice(1)) // => a 2",
    '[\n  twice(1),\n  twice(2),\n] // => [2,\n//     4]',
    "import { twice as again } from 'phrasewright'\nimport { sep } from 'node:path'\nagain(sep.length) // => 2",
    "const url = 'http://x' // => 'http://x'",
    "const { twice: t } = await import('phrasewright')\nt(1) // => 2",
  ])('holds: %s', async (code) => {
    expect(await run(code)).toBe(1);
  });

  it.each([
    ['twice(2) // => 5', 'x, line 10: found 4, expected 5'],
    ['\nown // => yours', "x, line 11: found 'mine', expected yours"],
    ["'4' // => 4", "found '4', expected 4"],
    ['late(3) // => 3', 'found Promise { 3 }, expected 3'],
    ['bad() // => 1', "threw 'fret 30 is off the neck', expected 1"],
    ['bad() // => throws no such string', "threw 'fret 30 is off the neck'"],
    ['twice(2) // => throws off the neck', 'threw nothing'],
    ['0.34 // => about 0.333', 'found 0.34'],
    ['-0 // => 0', 'found -0'],
    ['NaN // => 0', 'found NaN'],
    ['[1, 2, 3] // => [1, 2]', 'found [ 1, 2, 3 ]'],
    ["console.log('a') // => b", 'printed a, expected b'],
    ['if (true) { twice(1) // => 2\n}', '1 lines of the example hold // =>, of which 0'],
    ['// => 2\ntwice(1)', 'stands after no expression'],
    ['twice(1) // =>', 'nothing stands after'],
    ['if (true) twice(1) // => 2', 'stands after no expression'],
    ['twice( // => 2', 'no TypeScript'],
    ['nowhere(1) // => 2', 'nowhere is not defined'],
    ["import { x } from './gone.js'\nx // => 1", 'gone'],
  ])('fails: %s', async (code, message) => {
    await expect(run(code)).rejects.toThrow(message);
  });

  it('a Markdown block has no implied names, and an example leaves nothing to the next', async () => {
    const block = (code: string) => runExample({ name: 'x', module: undefined, line: 1, code }, fake);
    await expect(block('twice(1) // => 2')).rejects.toThrow('twice is not defined');
    await run('const kept = 1\nkept // => 1');
    await expect(run('kept // => 1')).rejects.toThrow('kept is not defined');
  });

  it('a value that is text matches bare words, not a number or a list that looks alike', () => {
    expect(agrees('C4', 'C4')).toBe(true);
    expect(agrees('4', '4')).toBe(false);
    expect(agrees('[1]', '[1]')).toBe(false);
    expect(agrees(undefined, 'undefined')).toBe(true);
  });

  it('finds every example: a comment may hold two, in fences or after the tag, with @ inside', () => {
    const doc =
      '/**\n * Words.\n * @example\n * ```ts\n * read(`\n *   @3(>0)\n * `) // => 1\n * ```\n * @returns n\n * @example twice(1) // => 2\n */';
    expect(examplesInDoc(doc)).toEqual([
      { code: '\nread(`\n  @3(>0)\n`) // => 1', line: 2 },
      { code: ' twice(1) // => 2\n', line: 9 },
    ]);
    const names = (text: string): readonly string[] => examplesOfModule('a.ts', text).map((e: Example) => e.name);
    expect(names(`${doc}\nexport const f = 1;\n/** @example\n * f // => 1 */\nexport function g() {}`)).toEqual([
      'a.ts: f (1)',
      'a.ts: f (2)',
      'a.ts: g',
    ]);
    expect(() => names('function f() {\n  /**\n   * @example\n   * 1 // => 1\n   */\n}')).toThrow(
      'has 1 @example, of which 0',
    );
    expect(examplesOfMarkdown('R.md', 'a\n```sh\nx\n```\n```ts\n1 // => 1\n```\n')).toEqual([
      { name: 'R.md: block 1', module: undefined, line: 6, code: '1 // => 1' },
    ]);
  });

  it('a line that begins with a bracket does not go on from a checked one', async () => {
    expect(await run('[twice(1)] // => [2]\n[twice(2)] // => [4]\n(own) // => mine')).toBe(3);
  });

  it('keeps the claims of an example with their lines', () => {
    expect(withChecks('twice(1) // => 2\n\nown // => mine').claims).toEqual([
      { line: 1, expected: '2' },
      { line: 3, expected: 'mine' },
    ]);
  });
});
