// Texts in which the place of a fault is marked: ⟦ stands before its first character, ⟧ behind its last.
import type { Place } from '../../lib/foundation/diagnostic.js';

/** A head with nothing wrong in it. */
export const HEAD = '---\ntitle: Lantern Row\nplayer: Ada Fenwick\nkey: A minor\ntempo: 96\n---\n';

/** One phrase of these words behind that head, coming in on 1 of bar 1. */
export const phraseOf = (words: string): string => `${HEAD}phrase 1\nat 1 1\n${words}\n`;

/** The text without its marks, and the place that they mark; lines and columns counted plainly. */
export function unmarked(marked: string): { readonly text: string; readonly place: Place } {
  const text = marked.replace(/[⟦⟧]/g, '');
  const lineAndColumn = (before: string) => {
    const lines = before.replace(/[⟦⟧]/g, '').split('\n');
    return [lines.length, lines.at(-1)!.length + 1] as const;
  };
  const [line, column] = lineAndColumn(marked.slice(0, marked.indexOf('⟦')));
  const [endLine, endColumn] = lineAndColumn(marked.slice(0, marked.indexOf('⟧')));
  return { text, place: { line, column, endLine, endColumn } };
}
