// Texts with one thing wrong for the hand that plays them.
import type { FaultCase } from './fault-cases.js';
import { phraseOf } from './marked.js';

const PLAYED_CASES: readonly FaultCase[] = [
  {
    code: 'no-such-string',
    text: phraseOf('h 5@2 ⟦5@7⟧ |'),
    message: 'string 7 is not there, a string from 1 (highest) to 6 expected',
  },
  {
    code: 'no-such-string',
    text: phraseOf('h 5@2 ⟦6@7⟧ |'),
    message: 'string 7 is not there, a string from 1 (highest) to 6 expected',
    remedy: 'fret and string swapped? write 7@6',
  },
  {
    code: 'no-such-string',
    text: phraseOf('h 5@2 ⟦4@6⟧ |').replace('tempo: 96', 'tempo: 96\ntuning: E1 A1 D2 G2'),
    message: 'string 6 is not there, a string from 1 (highest) to 4 expected',
    remedy: 'fret and string swapped? write 6@4',
  },
  {
    code: 'no-such-string',
    text: phraseOf('h 5@2 ⟦5@0⟧ |'),
    message: 'string 0 is not there, a string from 1 (highest) to 6 expected',
  },
  {
    code: 'off-the-neck',
    text: phraseOf('h 5@2 ⟦25@1⟧ |'),
    message: 'fret 25 is off the neck, 0 to 24 expected',
    remedy: 'if the neck has more frets, say so in the head: frets: 27',
  },
  {
    code: 'off-the-neck',
    text: phraseOf('h 5@2 ⟦22@1⟧ |').replace('tempo: 96', 'tempo: 96\ncapo: 3'),
    message: 'fret 22 is off the neck, 0 to 21 expected, counted from the capo at 3',
  },
  { code: 'no-harmonic', text: phraseOf('h 5@2 ⟦6@1*⟧ |'), message: 'no natural harmonic speaks at fret 6' },
  {
    code: 'string-twice',
    text: phraseOf('w 5@2+⟦7@2⟧ |'),
    message: 'two notes on string 2 at once',
    remedy: 'move one of them to another string',
  },
  {
    code: 'string-silent',
    text: phraseOf('q 8@2(0>2) - h ⟦@2(>0)⟧ |'),
    message: 'a release of string 2, which is not sounding here',
    remedy: 'let the note before ring on with =, as in 8@2(0>2)=',
  },
  { code: 'string-silent', text: phraseOf('h 8@2 ⟦@3⟧ |'), message: 'string 3, which is not sounding here' },
  { code: 'string-silent', text: phraseOf('h 8@2= damp ⟦@2⟧ |'), message: 'string 2, which is not sounding here' },
  {
    code: 'string-silent',
    text: phraseOf('q 8@3(0>2)= - h ⟦@2(>0)⟧ |'),
    message: 'a release of string 2, which is not sounding here',
    remedy: 'did you mean @3(>0)?',
  },
  {
    code: 'same-level',
    text: phraseOf('q 8@3(0>2)= e 5@1 7@1= h ⟦@1(>0)⟧ |'),
    message: 'string 1 holds no bend to let down',
    remedy: 'did you mean @3(>0)?',
  },
  {
    code: 'same-level',
    text: phraseOf('q 8@3(0>2)= e 5@1 7@1= h ⟦@1(>0)⟧+@3 |'),
    message: 'string 1 holds no bend to let down',
    remedy: 'did you mean @3(>0)?',
  },
  {
    code: 'same-level',
    text: phraseOf('q 8@3(0>2)= 7@2(0>2)= 7@1= ⟦@1(>0)⟧ |'), // either could be meant
    message: 'string 1 holds no bend to let down',
    remedy: 'write @1 alone if it just goes on',
  },
  {
    code: 'same-level',
    text: phraseOf('q 8@3(0>2)= 7@1= damp 7@1= ⟦@1(>0)⟧ |'), // string 3 was damped
    message: 'string 1 holds no bend to let down',
    remedy: 'write @1 alone if it just goes on',
  },
  {
    code: 'same-level',
    text: phraseOf('h 8@3(0>2)= q 7@1= ⟦@1(>0)⟧+8@3 |'), // string 3 is picked anew
    message: 'string 1 holds no bend to let down',
    remedy: 'write @1 alone if it just goes on',
  },
  {
    code: 'same-level',
    text: phraseOf('h 8@3(0>1) ⟦@3(>1)⟧ |'),
    message: 'string 3 is at 1 already',
    remedy: 'write @3 alone if it just goes on at 1',
  },
  {
    code: 'same-level',
    text: phraseOf('q 8@2(0>2)= 8@3(0>1)= h ⟦@3(>1)⟧ |'),
    message: 'string 3 is at 1 already',
    remedy: 'did you mean @2(>1)?',
  },
  {
    code: 'same-level',
    text: phraseOf('h 8@3(0>2) ⟦@3(2 q>2)⟧ |'),
    message: 'string 3 is at 2 already',
  },
  {
    code: 'level-jump',
    text: phraseOf('h 8@3(0>2)= q 7@1= ⟦@1(2>0)⟧ |'),
    message: 'string 1 is held at 0, the path starts at 2',
    remedy: 'did you mean @3(>0)?',
  },
  {
    code: 'level-jump',
    text: phraseOf('h 8@3(0>2) ⟦@3(1>2)⟧ |'),
    message: 'string 3 is held at 2, the path starts at 1',
    remedy: 'write @3 alone if it just goes on at 2',
  },
  {
    code: 'dead-bend',
    text: phraseOf('h 8@2 ⟦x@2(0>2)⟧ |'),
    message: 'a dead note has no pitch to bend',
    remedy: 'take the bend or the x away',
  },
  {
    code: 'no-level',
    text: phraseOf('h 8@2 ⟦8@2(>2)⟧ |'),
    message: 'a path that starts with > goes on from a held bend, but this note is played anew',
    remedy: 'write the level it starts at, as in (0>2) or (2>0)',
  },
  {
    code: 'level-jump',
    text: phraseOf('h 8@2(0>2)= ⟦@2(1>0)⟧ |'),
    message: 'string 2 is held at 2, the path starts at 1',
    remedy: 'start from where it is: (>0)',
  },
  {
    code: 'bend-time',
    text: phraseOf('h 8@2 ⟦8@2(0>2 h.)⟧ |'),
    message: 'the levels of the bend take three quarters, the note lasts two quarters',
    remedy: 'leave one level without a time: it takes what is left',
  },
  {
    code: 'bend-time',
    text: phraseOf('h 8@2 ⟦8@2(0>2 h>0)⟧ |'),
    message:
      'the levels of the bend take two quarters, the note lasts two quarters: nothing is left for the untimed ones',
  },
  {
    code: 'large-bend',
    text: phraseOf('h 8@2 ⟦8@2(0>4.5)⟧ |'),
    message: "a bend of 4.5 frets' worth; more than 4 is rarely playable and strains hand and string",
    warning: true,
  },
  {
    code: 'hammer-down',
    text: phraseOf('h 8@2 ⟦h5@2⟧ |'),
    message: 'hammered at fret 5, but string 2 already sounds fret 8',
    remedy: 'pulled off? write p5@2',
    warning: true,
  },
  {
    code: 'pull-up',
    text: phraseOf('h 5@2 ⟦p8@2⟧ |'),
    message: 'pulled off to fret 8, but string 2 sounds fret 5',
    remedy: 'hammered? write h8@2',
    warning: true,
  },
  ...[
    'q 8@1 - h ⟦p6@1⟧ |',
    'h 8@2 ⟦p6@1⟧ |',
    'h 8@1= damp ⟦p6@1⟧ |', // a damp stops what rings
    'h 8@2 ⟦gp6@1⟧ 6@1 |',
  ].map((words) => ({
    code: 'pull-silent',
    text: phraseOf(words),
    message: 'pulled off to fret 6, but string 1 is not sounding',
    remedy: 'picked? write 6@1',
    warning: true as const,
  })),
  {
    code: 'pull-silent',
    text: `${phraseOf('h 8@1 - |')}phrase 2\nat 2 1\nw ⟦p6@1⟧ |\n`,
    message: 'pulled off to fret 6, but string 1 is not sounding',
    warning: true,
  },
  {
    code: 'wide-span',
    text: phraseOf('w ⟦1@6⟧+9@1 |'),
    message: 'frets 1 and 9 sounding together are 226 mm apart',
    remedy: 'let the first note end earlier, or play one of them on another string',
    warning: true,
  },
  {
    code: 'wide-span',
    text: phraseOf('h 1@6= ⟦9@1⟧ |'),
    message: 'frets 1 and 9 sounding together are 226 mm apart',
    warning: true,
  },
];

/** In a phrase that is broken already, what no hand can play at any time is said too; what depends on time is not. */
const BROKEN_CASES: readonly FaultCase[] = [
  {
    code: 'no-such-string',
    text: phraseOf('q 5@2 ⟦6@7⟧ |'),
    message: 'string 7 is not there, a string from 1 (highest) to 6 expected',
  },
  { code: 'off-the-neck', text: phraseOf('q 5@2 ⟦25@1⟧ |'), message: 'fret 25 is off the neck, 0 to 24 expected' },
  { code: 'no-harmonic', text: phraseOf('q 5@2 ⟦6@1*⟧ |'), message: 'no natural harmonic speaks at fret 6' },
  { code: 'string-twice', text: phraseOf('q 5@2+7@3+⟦9@2⟧ |'), message: 'two notes on string 2 at once' },
  { code: 'dead-bend', text: phraseOf('q 5@2 ⟦x@2(0>2)⟧ |'), message: 'a dead note has no pitch to bend' },
  {
    code: 'no-level',
    text: phraseOf('q 5@2 ⟦5@2(>2)⟧ |'),
    message: 'a path that starts with > goes on from a held bend, but this note is played anew',
  },
  {
    code: 'large-bend',
    text: phraseOf('q 5@2 ⟦5@2(0>5)⟧ |'),
    message: "a bend of 5 frets' worth; more than 4 is rarely playable and strains hand and string",
    warning: true as const,
  },
].map((c) => ({ ...c, also: ['bar-short'] }));

export const HAND_CASES: readonly FaultCase[] = [...PLAYED_CASES, ...BROKEN_CASES];
