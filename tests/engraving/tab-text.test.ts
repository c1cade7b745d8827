import { describe, expect, it } from 'vitest';
import { tabText } from '../../lib/engraving/tab-text.js';
import { parseSoloOrThrow } from '../../lib/notation/parser.js';

const degrees = (changes: string, body: string) => {
  const text = `---\ntitle: Made\nplayer: Ada Fenwick\nkey: C major\ntempo: 100\n---\nchanges\n  ${changes}\nphrase 1\nat 1 1\n  ${body} |\n`;
  return tabText(parseSoloOrThrow(text)).trimEnd().split('\n').at(-1)?.trim().split(/\s+/);
};

describe('the degree row of a tab', () => {
  it('names altered ninths, elevenths and thirteenths that the symbol spells, and no others', () => {
    expect(degrees('1 C7b9', 'q 6@3 9@3 8@3 7@3')).toEqual(['b9', '3', 'b3', '2']);
    expect(degrees('1 C7#9', 'q 6@3 9@3 8@3 7@3')).toEqual(['b2', '3', '#9', '2']);
    expect(degrees('1 C7#11', 'h 7@2 5@3')).toEqual(['#11', '1']);
    expect(degrees('1 C7b13', 'h 9@2 5@3')).toEqual(['b13', '1']);
    expect(degrees('1 C7', 'q 6@3 8@3 7@2 9@2')).toEqual(['b2', 'b3', 'b5', 'b6']);
  });

  it('names what is held into a new chord as that spells it', () => {
    expect(degrees('1 Gm7 | C7b9', 'h - 6@3_ | w _')).toEqual(['b5', '_b9']);
  });
});

it('marks tones asked for below their columns, and has no such row where none is asked for', () => {
  const text =
    '---\ntitle: Made\nplayer: Ada Fenwick\nkey: C major\ntempo: 100\n---\nchanges\n  1 C\nphrase 1\nat 1 1\n  q 5@3 5@2 8@2 - |\n';
  const solo = parseSoloOrThrow(text);
  const tab = (marked?: ReadonlySet<number>) =>
    tabText(solo, { ...(marked && { marked }) })
      .trimEnd()
      .split('\n');
  const rows = tab(new Set([100_800, 120_960]));
  const [strings, marks] = [rows.find((row) => row.startsWith('B')) as string, rows.at(-1) as string];
  expect(marks.trim().split(/ +/)).toEqual(['^', '^']);
  expect([...marks].flatMap((c, i) => (c === '^' ? [strings[i]] : []))).toEqual(['5', '8']);
  expect(tab()).toEqual(rows.slice(0, -1));
});
