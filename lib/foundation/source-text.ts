// From an offset in a text to its line and column, without rescanning.
import type { Place } from './diagnostic.js';

/** A text with the offsets at which its lines start. Line ends are LF, CR or CRLF. */
export interface SourceText {
  readonly text: string;
  readonly lineStarts: readonly number[];
}

/** Notes where the lines of a text start. */
export function sourceText(text: string): SourceText {
  const lineStarts = [0];
  for (let i = 0; i < text.length; i++) {
    const c = text.charCodeAt(i);
    if (c === 10) lineStarts.push(i + 1);
    else if (c === 13 && text.charCodeAt(i + 1) !== 10) lineStarts.push(i + 1);
  }
  return { text, lineStarts };
}

/** Index of the line that holds an offset, from 0. */
export function lineIndexAt(source: SourceText, offset: number): number {
  let low = 0;
  let high = source.lineStarts.length - 1;
  while (low < high) {
    const middle = (low + high + 1) >> 1;
    if ((source.lineStarts[middle] as number) <= offset) low = middle;
    else high = middle - 1;
  }
  return low;
}

/**
 * The place of the stretch from `start` to `end` (offsets; `end` is not included).
 * @example
 * placeOf(sourceText('ab\ncd'), 3, 5) // => { line: 2, column: 1, endLine: 2, endColumn: 3 }
 */
export function placeOf(source: SourceText, start: number, end: number): Place {
  const line = lineIndexAt(source, start);
  const endLine = lineIndexAt(source, Math.max(start, end));
  return {
    line: line + 1,
    column: start - (source.lineStarts[line] as number) + 1,
    endLine: endLine + 1,
    endColumn: Math.max(start, end) - (source.lineStarts[endLine] as number) + 1,
  };
}

/** The text of a line (from 1) without its line end; `''` past the end. */
export function lineText(source: SourceText, line: number): string {
  const start = source.lineStarts[line - 1];
  if (start === undefined) return '';
  const next = source.lineStarts[line] ?? source.text.length;
  return source.text.slice(start, next).replace(/[\r\n]+$/, '');
}
