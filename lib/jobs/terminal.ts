// What every command shares: where it writes, how it shows faults.
import { type FilterFault, filterFaults, inFull, type ToneFilter } from '../analysis/grouping.js';
import { type Diagnostic, diagnosticText, hasFaults, printable } from '../foundation/diagnostic.js';
import { lineText, sourceText } from '../foundation/source-text.js';
import { type Corpus, readCorpus } from '../intake/read-corpus.js';
import type { ReadFile } from '../intake/read-file.js';
import { type ToneTable, toneTable } from '../solo/tone-table.js';

/** Where a command writes: results to `out`, faults and progress to `err`. */
export interface Terminal {
  out(text: string): void;
  err(text: string): void;
}

/** How a command ended: 0 all well, 1 faults in what was read, 2 the command itself was not understood. */
export type ExitCode = 0 | 1 | 2;

/** The diagnostics of a file with the lines they stand on, and what was proposed of it. */
export function fileReport(file: ReadFile): string[] {
  const source = sourceText(file.text);
  return [
    ...file.diagnostics.map((d) => diagnosticText(d, file.text === '' ? undefined : lineText(source, d.place.line))),
    ...(file.proposals?.said ?? []).map((said) => `${file.path}: ${printable(said)}`),
  ];
}

/** Says what is wrong with a corpus; true if anything is a fault. */
export function sayFaults(corpus: Corpus, terminal: Terminal, warnings: boolean): boolean {
  for (const file of corpus.files) {
    const shown = warnings ? file : { ...file, diagnostics: file.diagnostics.filter((d) => d.severity === 'fault') };
    for (const text of fileReport(shown)) terminal.err(text);
  }
  return hasFaults(corpus.diagnostics);
}

/** Says the values of a filter that the solos do not have; true if there are any. */
export function sayUnknown(faults: readonly FilterFault[], terminal: Terminal): boolean {
  for (const f of faults) {
    const near = f.suggestion === undefined ? '' : `; did you mean ${f.suggestion}?`;
    const known = (names: readonly string[]) => (names.length === 0 ? 'none' : names.join(', '));
    const there = f.functions
      ? `Functions: ${known(f.functions)}. Chords: ${known(f.known.filter((name) => !f.functions?.includes(name)))}.`
      : `There are: ${known(f.known)}.`;
    terminal.err(`no ${f.grouping} "${f.value}" in these solos${near === '' ? '.' : near} ${there}`);
  }
  return faults.length > 0;
}

/** The solos of files and folders as a table, with what was asked for in full; faults are said. */
export interface Asked {
  readonly corpus: Corpus;
  readonly table: ToneTable;
  readonly where: ToneFilter;
  readonly faulty: boolean;
}

/** Reads what a command is asked about, or says why it cannot: then the exit code. `without` is what then does not happen. */
export function askedOf(
  paths: readonly string[],
  asked: ToneFilter,
  terminal: Terminal,
  without = '',
): Asked | ExitCode {
  const corpus = readCorpus(paths);
  const faulty = sayFaults(corpus, terminal, false);
  if (corpus.solos.length === 0) {
    terminal.err(`no solo could be read${without}`);
    return 1;
  }
  const table = toneTable(corpus.solos);
  const where = inFull(table, asked);
  return sayUnknown(filterFaults(table, where), terminal) ? 2 : { corpus, table, where, faulty };
}

/**
 * A count with its noun.
 * @example
 * count(1, 'fault') // => '1 fault'
 * count(3, 'fault') // => '3 faults'
 */
export const count = (n: number, noun: string): string => `${n.toLocaleString('en')} ${noun}${n === 1 ? '' : 's'}`;

/** Faults and warnings of a list, as "2 faults, 1 warning". */
export function tally(diagnostics: readonly Diagnostic[]): string {
  const faults = diagnostics.filter((d) => d.severity === 'fault').length;
  const warnings = diagnostics.length - faults;
  const parts = [
    ...(faults > 0 ? [count(faults, 'fault')] : []),
    ...(warnings > 0 ? [count(warnings, 'warning')] : []),
  ];
  return parts.length === 0 ? 'no faults' : parts.join(', ');
}
