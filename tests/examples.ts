// Finds the examples in docstrings and Markdown, runs each alone on the built package, and checks every `// => value` in it.
// What may stand after an expression statement or `const name = ...`:
//   // => value              the value as code ({ a: 1 }), or as Node prints it (Map(1) { 'a' => 1 }), or, of a string, its bare text
//   // => about 0.33         a number that rounds to this one at the decimals shown
//   // => throws some words  the call throws an error whose message holds the words
// Of `console.log(...)` the printed text is compared. A value goes on over lines that hold only `//` and three spaces or more.
import { format, inspect, isDeepStrictEqual } from 'node:util';
import ts from 'typescript';

/** One example: where it stands, whose it is, and its code. */
export interface Example {
  /** `theory/pitch.ts: midiKeyOf`, or `README.md: block 2`. */
  readonly name: string;
  /** The module below dist/ whose exports the example may use without an import; `undefined` for Markdown. */
  readonly module: string | undefined;
  readonly line: number;
  readonly code: string;
}

/** Runs a module by its specifier: `phrasewright`, `node:fs`, or a path below dist/ such as `./theory/pitch.js`. */
export type Load = (specifier: string) => Promise<Readonly<Record<string, unknown>>>;

/** A documentation comment with the name of what it stands on. */
interface Doc {
  readonly owner: string;
  readonly pos: number;
  readonly end: number;
}

function nameOf(node: ts.Node, source: ts.SourceFile): string {
  const name = (node as { readonly name?: ts.Node }).name;
  if (name) return name.getText(source);
  if (ts.isVariableStatement(node))
    return node.declarationList.declarations.map((d) => d.name.getText(source)).join(', ');
  return 'the file';
}

function docsOf(source: ts.SourceFile): readonly Doc[] {
  const docs: Doc[] = [];
  const visit = (node: ts.Node): void => {
    for (const doc of (node as { readonly jsDoc?: readonly ts.JSDoc[] }).jsDoc ?? [])
      if (!docs.some((d) => d.pos === doc.pos)) docs.push({ owner: nameOf(node, source), pos: doc.pos, end: doc.end });
    ts.forEachChild(node, visit);
  };
  visit(source);
  return docs;
}

/** The code under each `@example` of a documentation comment, and how many lines below the comment's start it begins. */
export function examplesInDoc(comment: string): readonly { readonly code: string; readonly line: number }[] {
  const lines = comment
    .replace(/^\/\*\*/, '   ')
    .replace(/\*\/$/, '')
    .split('\n')
    .map((line) => line.replace(/^\s*\* ?/, '').trimEnd());
  const examples: { code: string[]; line: number }[] = [];
  let current: { code: string[]; line: number } | undefined;
  lines.forEach((line, i) => {
    const tag =
      /^\s*@(example|param|returns?|throws|see|remarks|deprecated|typeParam|template|defaultValue|internal)\b(.*)$/.exec(
        line,
      );
    if (tag) {
      current = tag[1] === 'example' ? { code: [tag[2] as string], line: i } : undefined;
      if (current) examples.push(current);
    } else if (current && !/^\s*```/.test(line)) current.code.push(line);
  });
  return examples.map(({ code, line }) => ({ code: code.join('\n'), line }));
}

/**
 * Every `@example` in the docstrings of a file of lib/.
 * @throws Error if an `@example` stands in a comment that belongs to nothing, and would not be run.
 */
export function examplesOfModule(path: string, text: string): readonly Example[] {
  const source = ts.createSourceFile(path, text, ts.ScriptTarget.ES2022, true);
  const examples: Example[] = [];
  for (const doc of docsOf(source)) {
    const first = source.getLineAndCharacterOfPosition(doc.pos).line + 1;
    const found = examplesInDoc(text.slice(doc.pos, doc.end));
    found.forEach((example, i) => {
      const name = `${path}: ${doc.owner}${found.length > 1 ? ` (${i + 1})` : ''}`;
      examples.push({
        name,
        module: `./${path.replace(/\.ts$/, '.js')}`,
        line: first + example.line,
        code: example.code,
      });
    });
  }
  const written = text.match(/^\s*(?:\/\*)?\*+\s*@example\b/gm)?.length ?? 0;
  if (written !== examples.length)
    throw new Error(`lib/${path} has ${written} @example, of which ${examples.length} stand on something and are run`);
  return examples;
}

/** Every fenced block of Markdown that is marked `ts`. Such a block is a whole program: it imports what it uses. */
export function examplesOfMarkdown(name: string, text: string): readonly Example[] {
  const examples: Example[] = [];
  const lines = text.split('\n');
  for (let i = 0; i < lines.length; i++) {
    const fence = /^(\s*)(`{3,})\s*(\w*)/.exec(lines[i] as string);
    if (!fence) continue;
    const start = i + 1;
    for (i = start; i < lines.length && (lines[i] as string).trim() !== fence[2]; i++);
    if (fence[3] !== 'ts' && fence[3] !== 'typescript') continue;
    const code = lines.slice(start, i).join('\n');
    examples.push({ name: `${name}: block ${examples.length + 1}`, module: undefined, line: start + 1, code });
  }
  return examples;
}

/** What an example says about one of its values. */
export interface Claim {
  readonly line: number;
  readonly expected: string;
}

/**
 * Rewrites an example so that each claim is handed to `$check(number, () => values)`.
 * @throws Error if the code cannot be parsed, or a `// =>` stands after nothing that has a value.
 */
export function withChecks(example: string): { readonly code: string; readonly claims: readonly Claim[] } {
  // A claim ends its statement: without this, a next line that begins with [ or ( would be read as going on.
  const code = example.replace(/[ \t]*;?([ \t]*\/\/[ \t]*=>)/g, ';$1');
  const source = ts.createSourceFile('example.ts', code, ts.ScriptTarget.ES2022, true);
  const broken = (source as unknown as { readonly parseDiagnostics: readonly ts.Diagnostic[] }).parseDiagnostics[0];
  if (broken)
    throw new Error(`the example is no TypeScript: ${ts.flattenDiagnosticMessageText(broken.messageText, ' ')}`);
  const claims: Claim[] = [];
  let rewritten = '';
  let done = 0;
  for (const statement of source.statements) {
    const comment = (ts.getTrailingCommentRanges(code, statement.end) ?? []).find((range) =>
      /^\/\/\s*=>/.test(code.slice(range.pos, range.end)),
    );
    if (!comment) continue;
    const line = source.getLineAndCharacterOfPosition(comment.pos).line + 1;
    const more = /^(?:\r?\n[ \t]*\/\/ {3,}[^\n]*)*/.exec(code.slice(comment.end))?.[0] ?? '';
    const expected =
      `${code.slice(comment.pos, comment.end).replace(/^\/\/\s*=>/, '')}${more.replace(/\/\/ {3,}/g, ' ')}`.trim();
    if (expected === '') throw new Error(`nothing stands after the // => of line ${line}`);
    claims.push({ line, expected });
    const start = statement.getStart(source);
    const value = codeOfValue(statement, source);
    if (value === undefined)
      throw new Error(`the // => of line ${line} stands after no expression and no const name = ...`);
    rewritten += code.slice(done, start);
    const check = `await $check(${claims.length - 1}, async () => ${value});`;
    rewritten += ts.isVariableStatement(statement) ? `${statement.getText(source)};${check}` : check;
    done = statement.end;
  }
  const written = code.split('\n').filter((line) => /\/\/\s*=>/.test(line)).length;
  if (written !== claims.length)
    throw new Error(
      `${written} lines of the example hold // =>, of which ${claims.length} stand after a whole statement and are checked`,
    );
  return { code: rewritten + code.slice(done), claims };
}

/** Code that gives `[value]` of a statement, or `{ printed: [...] }` of a `console.log`. */
function codeOfValue(statement: ts.Statement, source: ts.SourceFile): string | undefined {
  if (ts.isExpressionStatement(statement)) {
    const { expression } = statement;
    if (ts.isCallExpression(expression) && expression.expression.getText(source) === 'console.log')
      return `({ printed: [${expression.arguments.map((a) => a.getText(source)).join(', ')}] })`;
    return `[(${expression.getText(source)})]`;
  }
  if (ts.isVariableStatement(statement)) {
    const name = statement.declarationList.declarations.at(-1)?.name;
    if (name && ts.isIdentifier(name)) return `[${name.text}]`;
  }
  return undefined;
}

const oneLine = (text: string): string => text.replace(/\s+/g, ' ').trim();
const shown = (value: unknown): string =>
  oneLine(inspect(value, { depth: null, breakLength: Infinity, maxArrayLength: null }));

/** Whether a value is what a claim says. */
export function agrees(value: unknown, expected: string): boolean {
  const about = /^about (-?\d+(?:\.(\d+))?)$/.exec(expected);
  if (about) return typeof value === 'number' && value.toFixed(about[2]?.length ?? 0) === about[1];
  try {
    if (isDeepStrictEqual(value, new Function(`'use strict'; return (${expected}\n);`)())) return true;
  } catch {
    // Not a value written as code: compared as text below.
  }
  if (oneLine(expected) === shown(value)) return true;
  // Bare text stands for a string only where it could not be read as a value of another kind.
  return (
    typeof value === 'string' &&
    oneLine(expected) === oneLine(value) &&
    !/^(?:[-\d"'`[{]|true$|false$|null$|undefined$|NaN$)/.test(expected)
  );
}

/** {@link withChecks}, with the example's name in front of what is wrong. */
function checksOf(example: Example): ReturnType<typeof withChecks> {
  try {
    return withChecks(example.code);
  } catch (error) {
    throw new Error(`${example.name}, line ${example.line}: ${(error as Error).message}`, { cause: error });
  }
}

/**
 * Runs an example alone and checks its claims.
 * @returns How many claims were checked.
 * @throws Error with the line in the documentation, the value found and the value expected.
 */
export async function runExample(example: Example, load: Load): Promise<number> {
  const { code, claims } = checksOf(example);
  const at = (claim: Claim): string => `${example.name}, line ${example.line + claim.line - 1}`;
  const { outputText } = ts.transpileModule(code, {
    compilerOptions: { target: ts.ScriptTarget.ES2022, module: ts.ModuleKind.CommonJS, esModuleInterop: true },
  });

  const modules = new Map<string, Readonly<Record<string, unknown>>>();
  for (const { fileName } of ts.preProcessFile(code, true, true).importedFiles)
    modules.set(fileName, await load(fileName));
  const names = new Map<string, unknown>();
  if (example.module !== undefined)
    for (const specifier of [example.module, 'phrasewright'])
      for (const [name, value] of Object.entries(await load(specifier))) if (!names.has(name)) names.set(name, value);

  let checked = 0;
  const check = async (
    index: number,
    get: () => Promise<readonly unknown[] | { readonly printed: readonly unknown[] }>,
  ): Promise<void> => {
    const claim = claims[index] as Claim;
    const throws = /^throws (.+)$/.exec(claim.expected)?.[1];
    checked++;
    let got: Awaited<ReturnType<typeof get>>;
    try {
      got = await get();
    } catch (error) {
      const message = error instanceof Error ? error.message : String(error);
      if (throws !== undefined && oneLine(message).includes(throws)) return;
      throw new Error(`${at(claim)}: threw '${message}', expected ${claim.expected}`, { cause: error });
    }
    if (throws !== undefined) throw new Error(`${at(claim)}: threw nothing, expected an error that says '${throws}'`);
    if ('printed' in got) {
      const printed = oneLine(format(...got.printed));
      if (printed !== oneLine(claim.expected))
        throw new Error(`${at(claim)}: printed ${printed}, expected ${claim.expected}`);
    } else if (!agrees(got[0], claim.expected)) {
      throw new Error(`${at(claim)}: found ${shown(got[0])}, expected ${claim.expected}`);
    }
  };

  const require = (specifier: string): unknown => {
    const found = modules.get(specifier);
    if (!found) throw new Error(`${example.name} imports '${specifier}', which was not found before it ran`);
    // Marked as an ES module, so that `import name from` takes its default export.
    return Object.defineProperty({ ...found }, '__esModule', { value: true });
  };
  const AsyncFunction = (async () => {}).constructor as new (
    ...code: string[]
  ) => (...values: unknown[]) => Promise<void>;
  // The example's own names stand in an inner block, where they may hide the implied ones.
  const run = new AsyncFunction('$check', 'require', 'exports', ...names.keys(), `'use strict';\n{\n${outputText}\n}`);
  await run(check, require, {}, ...names.values());
  if (checked !== claims.length)
    throw new Error(`${example.name}: ${claims.length - checked} of its // => were never reached`);
  return checked;
}
