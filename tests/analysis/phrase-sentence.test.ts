import { describe, expect, it } from 'vitest';
import { countInWords, phraseSentences } from '../../lib/analysis/phrase-sentence.js';
import { readCorpus } from '../../lib/intake/read-corpus.js';
import { parseSoloOrThrow } from '../../lib/notation/parser.js';
import { toneTable } from '../../lib/solo/tone-table.js';
import { type Meter, parseMeter } from '../../lib/theory/meter.js';

const said = (body: string, changes = '1 C7 | F7 | C7 | G7', key = 'C mixolydian') => {
  const text = `---\ntitle: Made\nplayer: Ada Fenwick\nkey: ${key}\ntempo: 100\n---\nchanges\n  ${changes}\n${body}`;
  return phraseSentences(toneTable([{ id: 'made', solo: parseSoloOrThrow(text) }]));
};

describe('a phrase in words', () => {
  it('says where it comes in, as a player counts', () => {
    expect(said('phrase 1\nat 0 3&\n  e 8@2 q 8@2 | w 8@2 |\n')[0]?.entry).toMatch(
      /^Comes in on the and of 3 of the pickup bar, before the first chord;/,
    );
    expect(said('phrase 1\nat 1 4&\n  e 8@2 | w 8@2 |\n')[0]?.entry).toMatch(
      /^Comes in on the and of 4 of bar 1, one eighth before the change to F7;/,
    );
    expect(said('phrase 1\nat 2 1\n  w 8@2 |\n')[0]?.entry).toMatch(
      /^Comes in on beat 1 of bar 2, with the change to F7;/,
    );
    const count = (text: string, meter: string) => countInWords(text, parseMeter(meter) as Meter);
    expect([count('2', '6/8'), count('2', '12/8'), count('2a', '4/4'), count('2l', '4/4')]).toEqual([
      'count 2',
      'beat 2',
      'the a of 2',
      'the third triplet of 2',
    ]);
  });

  it('names the notes of the key where they are too few for a scale', () => {
    expect(said('phrase 1\nat 1 1\n  q 8@2 11@2 h 8@2 |\n')[0]?.entry).toContain('; plays only 5 and b7 of the key.');
  });

  it('names the scale and its added notes', () => {
    const line = 'phrase 1\nat 1 1\n  e 5@4 7@4 5@3 7@3 5@2 7@2 8@2 5@1 |\n';
    expect(said(line, '1 Am7', 'A minor')[0]?.entry).toContain('; A minor pentatonic + 6.');
  });

  it('says what a bend reaches over its chord, and where', () => {
    expect(said('phrase 1\nat 1 1\n  h 8@3(0>2)~ - |\n')[0]?.bends).toBe(
      'Bends a whole step up to F4, the 4 of C7 (bar 1 on 1).',
    );
    expect(said('phrase 1\nat 1 1\n  h 11@1(0>0.5) 11@1(0>0.5) |\n')[0]?.bends).toBe(
      'Curls Eb5, the b3 of C7 (twice, first in bar 1 on 1).',
    );
    expect(said('phrase 1\nat 1 1\n  w 8@2(2>0) |\n')[0]?.bends).toBe(
      'Pre-bends a whole step, sounding A4, the 6 of C7 (bar 1 on 1); lets a bend down to G4, the fifth of C7 (bar 1 on 3).',
    );
  });

  it('says what double-stops are against the chord', () => {
    const [one] = said('phrase 1\nat 1 1\n  h 5@3+5@2 7@3+6@2 |\n', '1 C', 'C major');
    expect(one?.implied).toBe(
      'Strings sounding together: 1 within the chord of the moment and 1 against it. In bar 1 on 3, D and F say Dm (its root and third), over C.',
    );
  });

  it('says what is played at the changes, and a pushed ending by the chord it pushes into', () => {
    const [one] = said('phrase 1\nat 1 1\n  q 8@2 8@2 8@2 e 8@2 10@2_ | q _ h. - |\n');
    expect(one?.changes).toBeUndefined(); // told once, with the ending
    expect(one?.ending).toBe('Ends on the third of F7 (A4), pushed on the and of 4 of bar 1.');
  });

  it('says something whole and printable of every phrase of the demo', () => {
    const table = toneTable(readCorpus(['data/solos']).solos);
    const all = phraseSentences(table);
    expect(all.length).toBe(table.solos.reduce((sum, s) => sum + s.solo.phrases.length, 0));
    for (const { said: text } of all) {
      expect(text).toMatch(/^Comes in on .*Ends on .*\.$/);
      expect(text).not.toMatch(/undefined|NaN|null|\s{2}|\.\./);
    }
  });
});
