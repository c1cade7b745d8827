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
