// What is wrong with a notebook before it runs: types, more strictly than its kernel checks them, and figures typed into prose.
import { dirname, join } from 'node:path';
import ts from 'typescript';
import { codeCells, joined, type Notebook } from './notebook.js';

const OPTIONS: ts.CompilerOptions = {
  target: ts.ScriptTarget.ES2022,
  module: ts.ModuleKind.NodeNext,
  moduleResolution: ts.ModuleResolutionKind.NodeNext,
  moduleDetection: ts.ModuleDetectionKind.Force,
  types: ['node'],
  strict: true,
  noEmit: true,
  skipLibCheck: true,
};

/**
 * Type errors of a notebook's cells, one after the other as one strict TypeScript module, and short forms that the kernel does not know:
 * `code cell 3, line 2: ...`.
 * @param path where the notebook stands: packages are looked for from there
 */
export function typeFaults(notebook: Notebook, path: string): readonly string[] {
  const cells = codeCells(notebook).map((cell) => joined(cell.source).split('\n'));
  const name = join(dirname(path), 'cells.mts');
  const text = cells.map((lines) => lines.join('\n')).join('\n;\n');
  const host = ts.createCompilerHost(OPTIONS);
  const { fileExists, readFile, getSourceFile } = host;
  host.fileExists = (file) => file === name || fileExists(file);
  host.readFile = (file) => (file === name ? text : readFile(file));
  host.getSourceFile = (file, ...rest) =>
    file === name ? ts.createSourceFile(file, text, ts.ScriptTarget.ES2022, true) : getSourceFile(file, ...rest);
  const program = ts.createProgram([name], OPTIONS, host);
  const source = program.getSourceFile(name) as ts.SourceFile;
  const placeOf = (position: number): { readonly cell: number; readonly line: number } => {
    let line = source.getLineAndCharacterOfPosition(position).line;
    let cell = 0;
    // A line with a semicolon stands between two cells.
    while (line > (cells[cell] as string[]).length) line -= (cells[cell++] as string[]).length + 1;
    return { cell: cell + 1, line: line + 1 };
  };
  const said = (position: number, words: string): string => {
    const { cell, line } = placeOf(position);
    return `code cell ${cell}, line ${line}: ${words}`;
  };
  const types = ts.getPreEmitDiagnostics(program).map((diagnostic) => {
    const message = ts.flattenDiagnosticMessageText(diagnostic.messageText, ' ');
    return diagnostic.file === source ? said(diagnostic.start ?? 0, message) : message;
  });
  const short = shortForms(program, source, (one, other) => placeOf(one).cell !== placeOf(other).cell).map((node) =>
    said(
      node.getStart(source),
      `the kernel does not find "${node.text}" of another cell in the short form: write ${node.text}: ${node.text}`,
    ),
  );
  return [...types, ...short];
}

/** Names of another cell in a short form, `{ player }`: the kernel rewrites a name of another cell everywhere but there. */
function shortForms(
  program: ts.Program,
  source: ts.SourceFile,
  apart: (position: number, other: number) => boolean,
): readonly ts.Identifier[] {
  const checker = program.getTypeChecker();
  const found: ts.Identifier[] = [];
  const visit = (node: ts.Node): void => {
    if (ts.isShorthandPropertyAssignment(node)) {
      const declared = checker.getShorthandAssignmentValueSymbol(node)?.declarations?.[0];
      if (declared?.getSourceFile() === source && apart(declared.getStart(source), node.getStart(source)))
        found.push(node.name);
    }
    ts.forEachChild(node, visit);
  };
  visit(source);
  return found;
}

/** Ids that two cells share: Jupyter would give one of them another, and the file would change. */
export function idFaults(notebook: Notebook): readonly string[] {
  const ids = notebook.cells.map((cell) => cell.id);
  const twice = ids.filter((id, i) => ids.indexOf(id) !== i);
  return [...new Set(twice)].map((id) =>
    id === undefined ? 'a cell has no id: save the notebook from Jupyter once' : `two cells have the id "${id}"`,
  );
}

/** A share, a sample size, or a count of what was studied. Intervals of 95 % are a definition, not a result. */
const FIGURE =
  /(?<![\d.])(?!95 ?%)\d+(\.\d+)? ?%|\bn ?= ?\d+|\b\d+(?:,\d+)*( of \d+)? (tones?|solos?|phrases?|changes|bars|players?)\b/;

/** Figures typed into prose, which would go stale unseen: a cell must compute them. */
export function proseFaults(notebook: Notebook): readonly string[] {
  return notebook.cells.flatMap((cell, i) => {
    if (cell.cell_type !== 'markdown') return [];
    const found = FIGURE.exec(joined(cell.source).replace(/`[^`]*`/g, ''));
    return found ? [`prose (cell ${i + 1} of all) has a figure, "${found[0]}": let a code cell compute it`] : [];
  });
}
