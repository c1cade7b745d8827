// Faults are data: what is wrong, where, what was expected, and what would mend it.

/** A fault stops the thing it stands on from being used; a warning does not. */
export type Severity = 'fault' | 'warning';

/** A stretch of a text; lines and columns count from 1, columns in characters; the end column is the first one after. */
export interface Place {
  readonly line: number;
  readonly column: number;
  readonly endLine: number;
  readonly endColumn: number;
}

/** One thing wrong with an input. `message` can be read alone; `remedy` says what to write instead, when that is known. */
export interface Diagnostic {
  /** A stable name of the kind of fault, such as `bar-short`. */
  readonly code: string;
  readonly severity: Severity;
  /** The file's name as the caller gave it; `''` for text that came from no file. */
  readonly file: string;
  readonly place: Place;
  readonly message: string;
  readonly found?: string;
  readonly expected?: string;
  readonly remedy?: string;
}

/** A value read from an input together with everything that was wrong on the way. */
export interface Reading<T> {
  /** What could be read; `undefined` only when nothing could. */
  readonly value: T | undefined;
  readonly diagnostics: readonly Diagnostic[];
}

/**
 * True if any of the diagnostics is a fault.
 * @example
 * hasFaults(parseSolo(EXAMPLE_SOLO).diagnostics) // => false
 */
export const hasFaults = (diagnostics: readonly Diagnostic[]): boolean =>
  diagnostics.some((d) => d.severity === 'fault');

/** In order of place; on one place, faults before warnings. */
export function inOrder(diagnostics: readonly Diagnostic[]): Diagnostic[] {
  const rank = (d: Diagnostic) => (d.severity === 'fault' ? 0 : 1);
  return [...diagnostics].sort(
    (a, b) => a.place.line - b.place.line || a.place.column - b.place.column || rank(a) - rank(b),
  );
}

/**
 * A diagnostic as a person reads it: place, message, the line with the spot underlined, and the remedy.
 * Control characters of the source line are shown as `.`, so that a file cannot steer the terminal.
 * @example
 * const fault = { code: 'x', severity: 'fault', file: 'a.solo', place: { line: 1, column: 3, endLine: 1, endColumn: 5 }, message: 'no such string' } as const
 * diagnosticText(fault, 'q 9@9') // => 'a.solo:1:3 no such string\n    1 | q 9@9\n      |   ^^'
 */
export function diagnosticText(diagnostic: Diagnostic, sourceLine?: string): string {
  const { line, column, endLine, endColumn } = diagnostic.place;
  const kind = diagnostic.severity === 'warning' ? 'warning: ' : '';
  const where =
    diagnostic.file === '' ? `line ${line}, column ${column}:` : `${printable(diagnostic.file)}:${line}:${column}`;
  const head = `${where} ${kind}${diagnostic.message}`;
  const out = [head];
  if (sourceLine !== undefined) {
    const gutter = String(line).padStart(5);
    const room = 160;
    const from = column > room ? column - 60 : 1;
    const shown = printable(sourceLine.slice(from - 1, from - 1 + room));
    const end = endLine === line ? Math.max(endColumn, column + 1) : sourceLine.length + 1;
    const marks = Math.max(1, Math.min(end, from + room) - column);
    out.push(`${gutter} | ${shown}`, `${' '.repeat(5)} | ${' '.repeat(column - from)}${'^'.repeat(marks)}`);
  }
  if (diagnostic.remedy) out.push(`        ${diagnostic.remedy}`);
  return out.join('\n');
}

/** The text with control characters (and the marks that turn the writing direction) replaced by `.`. */
export function printable(text: string): string {
  // biome-ignore lint/suspicious/noControlCharactersInRegex: control characters are what is taken out
  return text.replace(/[\u0000-\u0008\u000b-\u001f\u007f-\u009f\u202a-\u202e\u2066-\u2069]/g, '.').replace(/\t/g, ' ');
}

/** Thrown by the `...OrThrow` forms: its message lists every fault with its place. */
export class FaultError extends Error {
  constructor(readonly diagnostics: readonly Diagnostic[]) {
    super(diagnostics.map((d) => diagnosticText(d)).join('\n'));
    this.name = 'FaultError';
  }
}

/** The value of a reading, or a {@link FaultError} that lists its faults. */
export function valueOrThrow<T>(reading: Reading<T>): T {
  if (reading.value === undefined || hasFaults(reading.diagnostics)) throw new FaultError(reading.diagnostics);
  return reading.value;
}
