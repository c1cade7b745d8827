import { describe, expect, it } from 'vitest';
import { phraseSentences } from '../../lib/analysis/phrase-sentence.js';
import { countInWords, partInChord } from '../../lib/analysis/spoken.js';
import { readCorpus } from '../../lib/intake/read-corpus.js';
import { parseSoloOrThrow } from '../../lib/notation/parser.js';
import { toneTable } from '../../lib/solo/tone-table.js';
import { type Chord, parseChord } from '../../lib/theory/chord.js';
import { type Meter, parseMeter } from '../../lib/theory/meter.js';

const said = (body: string, changes = '1 C7 | F7 | C7 | G7', key = 'C mixolydian', head = '') => {
  const text = `---\ntitle: Made\nplayer: Ada Fenwick\nkey: ${key}\ntempo: 100\n${head}---\nchanges\n  ${changes}\n${body}`;
  return phraseSentences(toneTable([{ id: 'made', solo: parseSoloOrThrow(text) }]));
};
const one = (...args: Parameters<typeof said>) => said(...args)[0];

describe('how a phrase comes in', () => {
  it('is said as a player counts', () => {
    expect(one('phrase 1\nat 0 3&\n  e 8@2 q 8@2 | w 8@2 |\n')?.entry).toBe(
      'Comes in on the and of 3 of the pickup bar, before the first chord.',
    );
    expect(one('phrase 1\nat 1 4&\n  e 8@2 | w 8@2 |\n')?.entry).toBe(
      'Comes in on the and of 4 of bar 1, one eighth before the change to F7.',
    );
    const count = (text: string, meter: string) => countInWords(text, parseMeter(meter) as Meter);
    expect([count('2', '6/8'), count('2', '12/8'), count('2a', '4/4'), count('2l', '4/4')]).toEqual([
      'count 2',
      'beat 2',
      'the a of 2',
      'the third of the triplet on 2',
    ]);
  });

  it('names the tone on a change, and calls no first chord a change', () => {
    expect(one('phrase 1\nat 2 1\n  w 8@2 |\n')?.entry).toBe(
      'Comes in on beat 1 of bar 2, with the change to F7, on its ninth (G4).',
    );
    expect(one('phrase 1\nat 1 1\n  w 8@2 |\n')?.entry).toBe(
      'Comes in on beat 1 of bar 1, with the first chord, on the fifth of C7 (G4).',
    );
    expect(one('phrase 1\nat 2 2\n  h. 8@2 |\n', '1 C7 | N.C.')?.entry).toBe(
      'Comes in on beat 2 of bar 2, in the break, no chord.',
    );
  });
});

describe('the tones of a phrase', () => {
  const notes = (line: string, changes = '1 C7', key = 'C mixolydian') =>
    one(`phrase 1\nat 1 1\n  ${line} |\n`, changes, key)?.notes;

  it('have the name of a triad, a seventh chord, a pentatonic that is heard whole', () => {
    expect(notes('q 5@3 8@3 8@2 8@3', '1 Cm', 'C minor')).toBe('The C minor triad.');
    expect(notes('q 5@3 9@3 8@2 11@2')).toBe('The tones of C7.');
    expect(notes('q 5@3 8@3(0>0.5) 8@2 11@2')).toBe('The tones of C7, third curled.');
    expect(notes('e 5@3 8@3 8@2 11@2 7@3 5@3 8@2 5@3', '1 Cm7', 'Bb major')).toBe('Cm7 with its ninth.');
    expect(notes('e 5@4 7@4 5@3 7@3 5@2 8@2 5@1 8@1', '1 Am7', 'A minor')).toBe('A minor pentatonic.');
    expect(notes('e 3@3 5@3 7@3 6@2 8@2 6@2 6@2 6@2', '1 Bb', 'F major')).toBe('Bb major pentatonic over Bb.');
  });

  it('have no name that is not heard whole, but for a scale with what it lacks', () => {
    expect(notes('q 8@2 11@2 h 8@2')).toBe('Plays 5 and b7 of C7.');
    expect(notes('e 3@3 5@3 7@3 8@3 6@2 8@2 6@2 6@2', '1 Bb', 'Bb major')).toBe('Bb major scale, no 7.');
    expect(notes('e 5@4 7@4 5@3 7@3 5@2 7@2 8@2 5@1', '1 Am7', 'A minor')).toBe('A minor pentatonic + 6.');
  });

  it('leave a tone outside the key to the chord it belongs to', () => {
    const line = 'phrase 1\nat 1 1\n  e 5@3 7@3 9@3 10@3 8@2 10@2 12@2 13@2 |\n  q 7@2 8@2 h 7@2 |\n';
    expect(one(line, '1 C | D7', 'C major')?.notes).toBe('C major scale; F# only as the third of D7.');
  });

  it('count graces', () => {
    expect(notes('e g8@2 h11@2 5@3 8@3 10@3 5@3 8@3 10@3 11@2', '1 Cm7', 'C minor')).toBe(
      'C minor pentatonic; the 5 only as a grace.',
    );
    expect(notes('q g8@2 h11@2 5@3 5@3 11@2')).toBe('Plays 1 and b7 of C7; the 5 only as a grace.');
  });

  it('are told in halves where two chords share the phrase', () => {
    const line = 'phrase 1\nat 1 1\n  q 5@3 7@3 8@2 7@3 |\n  q 10@3 12@2 10@3 12@2 |\n';
    expect(one(line, '1 C | Dm', 'C major')?.notes).toBe('Plays 1, 2, 5 and 2 of C, then b3, 6, b3 and 6 of Dm.');
  });
});

describe('bends', () => {
  it('are told as gestures, with what they reach over the chord', () => {
    expect(one('phrase 1\nat 1 1\n  h 8@3(0>2)~ - |\n')?.bends).toBe(
      'Bends a whole step up to F4, the fourth of C7 (bar 1 on 1).',
    );
    expect(one('phrase 1\nat 1 1\n  q 8@1 11@1(0>0.5) 11@1(0>0.5) 8@1 |\n')?.bends).toBe(
      'Curls Eb5, the blue third of C7 (twice, first in bar 1 on 2).',
    );
    expect(one('phrase 1\nat 1 1\n  w 8@2(2>0) |\n')?.bends).toBe(
      'Pre-bends a whole step to A4, the sixth of C7 (bar 1 on 1) and lets it down to G4, the fifth.',
    );
    expect(one('phrase 1\nat 1 1\n  h 11@2(0>2) q 11@2(2>0) - |\n')?.bends).toBe(
      'Bends a whole step up to C5, the root of C7 (bar 1 on 1), picks it again held (on 3) and lets it down to Bb4, the seventh.',
    );
  });

  it('on the last eighth before a change lead into the new chord', () => {
    expect(one('phrase 1\nat 1 3&\n  e 8@2 8@2 4@1(0>0.5) | w 8@2 |\n', '1 C7 | F7')?.bends).toBe(
      'Curls Ab4, the blue third of the F7 to come (bar 1 on 4&).',
    );
  });

  it('place nothing between swung eighths', () => {
    const swung = one('phrase 1\nat 1 1\n  q 8@2(2>0) h. - |\n', undefined, undefined, 'feel: swing e 2:1\n');
    expect(swung?.said).not.toMatch(/\d[ea]\b|the [ea] of/);
    expect(swung?.ending).toBe('Ends there, just after beat 1 of bar 1.');
  });

  it('held under ringing strings come first, with what follows', () => {
    const line = 'phrase 1\nat 1 1\n  q 7@3(0>2)= 5@2= h 5@1 |\n  w @3(>0) |\n';
    expect(one(line, '1 A | E', 'A major')?.technique).toBe(
      'Bends a whole step up to E4, the fifth of A (bar 1 on 1), holds it under E4 (its unison) and A4 and as E comes lets it down to D4, its flat seventh (bar 2 on 1).',
    );
  });
});

describe('what the hands do', () => {
  const technique = (line: string) => one(`phrase 1\nat 1 1\n  ${line} |\n`, '1 E', 'E major')?.technique;

  it('is told before any degree', () => {
    expect(technique('q 12@1* 7@2* h 12@3*')).toBe('Harmonics E5, F#5 and G4 (from bar 1 on 1).');
    expect(technique('h 7@3(0>2)+5@2 h 5@1')).toBe('A unison bend: E4 on strings 3 (bent) and 2 (bar 1 on 1).');
    expect(technique('e 0@6= 2@4 2@3 1@3 h 0@2')).toBe('Over a ringing open E (string 6).');
    expect(technique('q t12@1 p5@1 h t12@1')).toBe('Two tapped notes.');
    expect(technique('q 5@1 5@1 x@1 x@1')).toBe('Two dead clicks close it.');
    expect(technique('q 5@1 x@1 h 5@1')).toBeUndefined();
  });

  it('names bends of every size', () => {
    const bends = (size: string) => one(`phrase 1\nat 1 1\n  h 7@3(0>${size}) 5@1 |\n`, '1 E', 'E major')?.bends;
    expect([bends('1'), bends('3'), bends('4')]).toEqual([
      'Bends a half step up to D#4, the major seventh of E (bar 1 on 1).',
      'Bends a step and a half up to F4, the flat second of E (bar 1 on 1).',
      'Bends two steps up to F#4, the second of E (bar 1 on 1).',
    ]);
  });
});

describe('strings that sound together', () => {
  it('are named by the interval and the strings', () => {
    const line = 'phrase 1\nat 1 1\n  q 5@3+3@1 7@3+5@1 9@3+7@1 10@3+8@1 |\n';
    expect(one(line, '1 C', 'C major')?.together).toBe('Four fifths on strings 3 and 1.');
    const thirds = 'phrase 1\nat 1 1\n  q 5@3+5@2 7@3+6@2 9@3+8@2 h 5@3+5@2 |\n'.replace('h 5', 'q 5');
    expect(one(thirds, '1 C', 'C major')?.together).toBe('Four thirds on strings 3 and 2.');
  });

  it('say no other chord with two tones', () => {
    const [two] = said('phrase 1\nat 1 1\n  h 5@3+5@2 7@3+6@2 |\n', '1 C', 'C major');
    expect(two?.said).not.toContain('say');
    expect(two?.ending).toBe('Ends on D4 and F4, second and fourth of C, on beat 3 of bar 1.');
  });

  it('name a triad with its bottom tone', () => {
    const line = 'phrase 1\nat 1 1\n  h 5@4+5@3+5@2 h 5@3 |\n';
    expect(one(line, '1 C', 'C major')?.together).toBe('G3, C4 and E4: the C triad, G at the bottom (bar 1 on 1).');
  });
});

describe('changes', () => {
  it('are told with a pushed ending by both chords', () => {
    const pushed = one('phrase 1\nat 1 1\n  q 8@2 8@2 8@2 e 8@2 10@2_ | q _ h. - |\n');
    expect(pushed?.changes).toBeUndefined(); // told once, with the ending
    expect(pushed?.ending).toBe('Ends on A4, pushed on the and of 4 of bar 1: sixth of C7; held, the third of F7.');
  });

  it('that go by in a rest are said to', () => {
    const line = 'phrase 1\nat 1 1\n  q 5@3 5@3 h - |\n  e - 10@2 q 8@2 8@2 8@2 |\n';
    expect(one(line)?.changes).toBe(
      'Lets the change to F7 go by, comes in on the and of 1 with its third (A4, bar 2).',
    );
  });

  it('all met on one degree are told together', () => {
    const line = 'phrase 1\nat 1 1\n  h 5@2 8@2 |\n  h 10@2 8@2 |\n  h 5@2 8@2 |\n  w 12@2 |\n';
    expect(one(line)?.changes).toBe('On the third of every new chord: E of C7, A of F7, E of C7, B of G7.');
    expect(one(line)?.ending).toMatch(/^Ends there, on beat 1 of bar 4/);
  });
});

describe('parts of a chord', () => {
  it('are called what the symbol spells, else what players call them', () => {
    const of = (symbol: string, semitones: number, plus = false) =>
      partInChord(parseChord(symbol) as Chord, semitones, plus);
    expect([of('C9', 2), of('C13', 9), of('C7', 9), of('C7#9', 3), of('C7b9', 1), of('C7', 1), of('C', 2)]).toEqual([
      'ninth',
      'thirteenth',
      'sixth',
      '#9',
      'b9',
      'flat ninth',
      'second',
    ]);
    expect([of('C7', 3, true), of('F7', 10, true), of('Cm7b5', 6), of('C7sus4', 5), of('Dm7', 5)]).toEqual([
      'curled third',
      'curled seventh',
      'fifth',
      'fourth',
      'eleventh',
    ]);
  });
});

describe('the demo', () => {
  const table = toneTable(readCorpus(['data/solos']).solos);
  const all = phraseSentences(table);
  const of = (solo: string, phrase: string) => all.find((s) => s.solo === solo && s.phrase === phrase);

  it('has something whole and printable said of every phrase', () => {
    expect(all.length).toBe(table.solos.reduce((sum, s) => sum + s.solo.phrases.length, 0));
    for (const { said: text } of all) {
      expect(text).toMatch(/^Comes in (on|a sixteenth after) .*Ends (on|there) .*\.$|^Comes in .*Ends there, .*\.$/);
      expect(text).not.toMatch(/undefined|NaN|null|\s{2}|\.\.| ,|;;|\(\)/);
      expect(text).not.toMatch(/\b[b#]?\d+\+|plays only|more kinds|within the chord|against it|semitone|\bof pickup\b/);
    }
  });

  it('has what a phrase is of an earlier one said first', () => {
    const sources = (pairs: readonly (readonly [string, string])[]) => pairs.map(([s, p]) => of(s, p)?.source);
    expect(
      sources([
        ['bollard-row', '7'],
        ['rope-walk-shuffle', '2'],
        ['harbour-fog-bell', '4'],
        ['five-bollards', '4'],
        ['five-bollards', '3'],
        ['ticket-office-heater', '2'],
        ['back-room-eight-chairs', '8'],
        ['winch-house', '7'],
        ['wet-rope', '6'],
        ['lamp-oil-and-rope', '2'],
        ['crossing-in-three', '6'],
      ]),
    ).toEqual([
      'Phrase 1 at half the pace.',
      'Phrase 1 a beat later.',
      'Phrase 3, a fourth up, with a curl.',
      'Phrase 1 half a beat later.',
      'Phrase 1, a fourth up.',
      'Phrase 1, a fifth down.',
      'Phrase 1, an octave up.',
      'Opens as phrase 2 for 8 notes, an octave down.',
      'Opens with the last 4 notes of phrase 5.',
      'Opens as phrase 1 for 5 notes.',
      'Phrase 1 again.',
    ]);
    const repeat = of('crossing-in-three', '6');
    expect([repeat?.notes, repeat?.bends, repeat?.together]).toEqual([undefined, undefined, undefined]);
  });

  it('has names, not lists, for what musicians name', () => {
    const notes = (solo: string, phrase: string) => of(solo, phrase)?.notes;
    expect(notes('ladder-in-the-fog', '4')).toMatch(/^E minor pentatonic/);
    expect(notes('harbour-fog-bell', '1')).toBe('The D minor triad.');
    expect(notes('five-bollards', '3')).toBe('Cm7 with its ninth.');
    expect(notes('five-bollards', '4')).toBe('Gm7 with its ninth.');
    expect(notes('slipway-sunday', '3')).toBe('G major scale; C# only as the third of A7.');
    expect(notes('waiting-room-waltz', '4')).toBe('Bb major scale, no 7.');
    expect(notes('wet-rope', '6')).toBe('Plays 6, 1, b3 and 3 of E, then 3, 1, 6 and 1 of A.');
    expect(notes('harbour-fog-bell', '4')).toBe('Plays 1, the curled third, 6 and b7 of G7.');
    expect(notes('lamp-oil-and-rope', '4')).toBe('The tones of C7, third curled.');
  });

  it('has strings, changes and technique told as the ear has them', () => {
    expect(of('slipway-sunday', '3')?.together).toBe('Eleven sixths on strings 3 and 1.');
    expect(of('wet-rope', '4')?.together).toBe('Fourteen sixths on strings 3 and 1.');
    expect(of('wet-rope', '4')?.changes).toBe(
      'Top voice on the third of every new chord but A (its root): E of C#m, A of F#m7, D# of B7, G# of E.',
    );
    expect(of('slipway-tar', '1')?.technique).toBe('Over a ringing open G (string 5).');
    expect(of('slipway-tar', '1')?.together).toBeUndefined();
    expect(of('slipway-tar', '1')?.changes).toBe('The first chord comes in on its curled third (Bb3).');
    expect(of('harbour-fog-bell', '10')?.technique).toMatch(/^Harmonics D4, D4, A4 and D5/);
    expect(of('harbour-fog-bell', '10')?.entry).toMatch(/in the break, no chord\.$/);
    expect(of('ladder-in-the-fog', '4')?.technique).toBe('Two dead clicks close it.');
    expect(of('wet-rope', '3')?.ending).toBe('Ends on B3, E4 and G#4, fifth, root and third of E, on beat 1 of bar 7.');
    expect(of('rope-walk-shuffle', '2')?.changes).toBe(
      'Lets the change to D7 go by, comes in on the and of 1 with its curled seventh (C4, bar 5).',
    );
    expect(of('slack-water-at-nine', '3')?.changes).toBe(
      'Pushes Bb4 and Db5 on the and of 4 of bar 7: root and third of Bbm7; held, fifth and seventh of Eb7b9.',
    );
  });
});
