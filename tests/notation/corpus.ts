// The solos that come with the project, as texts; and where the words of each closed bar stand in one.
import { readdirSync, readFileSync } from 'node:fs';
import { parseSoloOrThrow } from '../../lib/notation/parser.js';
import { gridOf } from '../../lib/solo/solo.js';

const folder = new URL('../../data/solos/', import.meta.url);

/** Name and text of every file in data/solos. */
export const CORPUS: readonly (readonly [name: string, text: string])[] = readdirSync(folder)
  .filter((name) => name.endsWith('.solo'))
  .sort()
  .map((name) => [name, readFileSync(new URL(name, folder), 'utf8')]);

/** One word of a closed bar, by offsets; `spends` if time passes by it (a note that is no grace, a rest, a tie). */
export interface BarWord {
  readonly start: number;
  readonly end: number;
  readonly word: string;
  readonly spends: boolean;
  readonly isValue: boolean;
}

export interface ClosedBar {
  readonly number: number;
  readonly words: readonly BarWord[];
}

/** The closed bars of every phrase, numbered from where the solo says that the phrase comes in. */
export function closedBars(text: string): readonly ClosedBar[] {
  const solo = parseSoloOrThrow(text);
  const grid = gridOf(solo);
  const bars: ClosedBar[] = [];
  const heads = [...text.matchAll(/^phrase (\S+).*$/gm)];
  heads.forEach((head, i) => {
    const phrase = solo.phrases.find((p) => p.id === head[1])!;
    let number = grid.place(phrase.at).bar.number as number;
    let words: BarWord[] = [];
    const from = head.index + head[0].length;
    const body = text.slice(from, heads[i + 1]?.index ?? text.length);
    // Lines that are no notes and remarks are blanked out, so that offsets stay.
    const notes = body.replace(/^[ \t]*(?:at|heard|say) .*$|say "(?:[^"\\]|\\.)*"|(?:^|\s)#.*$/gm, (m) =>
      ' '.repeat(m.length),
    );
    for (const match of notes.matchAll(/\||(?:\([^)]*\)|[^\s|])+/g)) {
      const [word] = match;
      if (word === '|') {
        bars.push({ number: number++, words });
        words = [];
        continue;
      }
      const isValue = /^[whqest](?:[.:].*)?$/.test(word);
      const spends = !isValue && !word.startsWith('g') && word !== 'ring' && word !== 'damp';
      words.push({ start: from + match.index, end: from + match.index + word.length, word, spends, isValue });
    }
  });
  return bars;
}
