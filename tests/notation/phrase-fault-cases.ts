// Texts with one thing wrong in a phrase: in its lines, its bars, its words, or for the hand that plays it.
import type { FaultCase } from './fault-cases.js';
import { HEAD, phraseOf } from './marked.js';

const two = (second: string, first = 'phrase 1\nat 1 1\nw 5@2 |'): string => `${HEAD}${first}\n${second}\n`;

const LINE_CASES: readonly FaultCase[] = [
  {
    code: 'phrase-head',
    text: two('⟦phrase "the answer"⟧\nat 2 1\nw 5@2 |'),
    message: 'a phrase has an id and perhaps a name in quotes',
    remedy: 'as in phrase 1 "knock at the door"',
  },
  {
    code: 'phrase-twice',
    text: two('⟦phrase 1⟧\nat 2 1\nw 5@2 |'),
    message: 'there is a phrase 1 already',
    remedy: 'give it an id of its own',
  },
  {
    code: 'phrase-overlap',
    text: two('⟦phrase 2⟧\nat 1 3\nh 5@2 |'),
    message: 'phrase 2 comes in before the phrase before it has ended',
    remedy: 'phrases stand in order of time; let the one before end earlier',
  },
  {
    code: 'at-twice',
    text: two('phrase 2\nat 2 1\n⟦at 3 1⟧\nw 5@2 |'),
    message: 'a phrase comes in once',
    remedy: 'start a new phrase, or write rests',
  },
  {
    code: 'bad-entry',
    text: two('phrase 2\n⟦at bar two⟧\nw 5@2 |'),
    message: 'where the phrase comes in: a bar and a count',
    remedy: 'as in at 0 3& (the and of 3 in the pickup bar)',
    also: ['no-entry'],
  },
  {
    code: 'bad-entry',
    text: two('phrase 2\nat 2 ⟦5⟧\nw 5@2 |'),
    message: '"5" is not a count in bar 2',
    remedy: 'as in 3& for the and of 3',
    also: ['no-entry'],
  },
  {
    code: 'no-entry',
    text: two('⟦phrase 2⟧\nw 5@2 |'),
    message: 'phrase 2 does not say where it comes in',
    remedy: 'write at and the bar and count, as in at 1 1',
  },
  {
    code: 'no-value',
    text: phraseOf('⟦5@2⟧ 7@2'),
    message: 'each phrase starts with its own note value',
    remedy: 'write w h q e s or t before its first note',
  },
  { code: 'empty-phrase', text: two('⟦phrase 2⟧\nat 2 1\nw - |'), message: 'phrase 2 has no notes' },
  {
    code: 'bad-heard',
    text: two('phrase 2\n⟦heard⟧ 2.14\nat 2 1\nw 5@2 |'),
    message: 'heard gives minutes and seconds',
    remedy: 'as in heard 2:14',
  },
  {
    code: 'bad-say',
    text: phraseOf('w 5@2 | ⟦say⟧ softly'),
    message: 'say has a text in quotes behind it',
    remedy: 'as in say "let it ring"',
    also: ['bad-note'],
  },
  {
    code: 'lone-quote',
    text: phraseOf('w 5@2 | ⟦"softly"⟧'),
    message: 'a text in quotes belongs behind say',
    remedy: 'write say "softly"',
  },
  {
    code: 'quote-open',
    text: phraseOf('w 5@2 | say ⟦"softly⟧'),
    message: 'the quotation mark is not closed on its line',
    remedy: 'end the text with "',
  },
];

const BAR_CASES: readonly FaultCase[] = [
  {
    code: 'bar-short',
    text: `${HEAD}phrase 1\nat 5 1\n  ⟦q 8@2 e 7@2 5@2 q - |⟧\n`,
    message: 'bar 5 holds 3 beats, 4 expected (one quarter short)',
  },
  {
    code: 'bar-long',
    text: phraseOf('⟦q 8@2 e 7@2 h 5@2 e - - |⟧'),
    message: 'bar 1 holds 4.5 beats, 4 expected (one eighth too long)',
    remedy: 'hammered? write h5@2',
  },
  {
    code: 'bar-long',
    text: phraseOf('⟦e 7@3 h 9@3 q 7@3 - |⟧'),
    message: 'bar 1 holds 4.5 beats, 4 expected (one eighth too long)',
    remedy: 'hammered? write h9@3',
  },
  {
    code: 'bar-short',
    text: phraseOf('⟦e 7@3 t 12@1 e 7@3 h - |⟧'),
    message: 'bar 1 holds 3.13 beats, 4 expected (seven thirty-seconds short)',
    remedy: 'tapped? write t12@1',
  },
  {
    code: 'bar-short',
    text: phraseOf('w 5@2 | ⟦h 5@2\n  q 5@2 |⟧ w 5@2 |'),
    message: 'bar 2 holds 3 beats, 4 expected (one quarter short)',
    remedy: 'hammered? write h5@2',
  },
  {
    code: 'bar-short',
    text: `${HEAD}phrase 1\nat 0 3&\n⟦e 8@2 8@2 |⟧ w 8@2 |\n`,
    message: 'bar 0, filled from 3& on, holds 3.5 beats, 4 expected (one eighth short)',
  },
  {
    code: 'bar-short',
    text: `${HEAD}changes\nmeter 6/8\n1 C7\nphrase 1\nat 1 1\n⟦e 8@2 8@2 8@2 8@2 8@2 |⟧\n`,
    message: 'bar 1 holds 5 beats, 6 expected (one eighth short)',
  },
  {
    code: 'bar-long',
    text: phraseOf('⟦q 5@2 5@2 5@2 5@2 5@2⟧'),
    message: 'bar 1 holds 5 beats, 4 expected (one quarter too long)',
  },
  {
    code: 'bad-value',
    text: phraseOf('w 5@2 | ⟦e:11⟧ 5@2'),
    message: 'e:11 cannot be written exactly in time',
    remedy: 'tuplets such as q:3, e:5/4',
  },
  {
    code: 'tie-from-nothing',
    text: phraseOf('q - ⟦_⟧ h 5@2 |'),
    message: '_ prolongs the notes before it, and there are none',
    remedy: 'write a note, or - for a rest',
  },
  {
    code: 'tie-to-nothing',
    text: phraseOf('h 5@2_ ⟦7@2⟧ |'),
    message: 'the note before is tied, but no _ follows it',
    remedy: 'write _ for the value it goes on, or take its _ away',
  },
  {
    code: 'tie-string',
    text: phraseOf('h 5@2+5@3 ⟦_@4⟧ |'),
    message: '"_@4" prolongs a string on which no note has gone on up to here',
    remedy: 'write _ alone, or as in _@2 the strings that sound',
  },
  {
    code: 'tie-string',
    text: phraseOf('q 5@2+5@3 _@2 ⟦_@3⟧ - |'),
    message: '"_@3" prolongs a string on which no note has gone on up to here',
  },
];

const WORD_CASES: readonly FaultCase[] = [
  { code: 'grace-tie', text: phraseOf('w ⟦g5@2_⟧ 7@2 |'), message: 'a grace note cannot be tied' },
  {
    code: 'grace-group',
    text: phraseOf('w ⟦g5@2+7@3⟧ 7@2 |'),
    message: 'in a group, all notes are graces or none is',
    remedy: 'write g before each, or before none',
  },
  {
    code: 'grace-to-nothing',
    text: phraseOf('h 5@2 ⟦g5@2⟧ - |'),
    message: 'a grace note leads to a note, and none follows',
    remedy: 'write the note it leads to right behind it',
  },
  {
    code: 'grace-to-nothing',
    text: phraseOf('q 5@2 ⟦g5@3⟧ _ h 5@2 |'),
    message: 'a grace note leads to a note, and none follows',
  },
  {
    code: 'grace-to-nothing',
    text: phraseOf('w 5@2 | ⟦g5@3⟧'),
    message: 'a grace note leads to a note, and none follows',
  },
  {
    code: 'bracket-open',
    text: phraseOf('h 5@2⟦(0>2⟧ 7@2 |'),
    message: 'the bracket is not closed',
    remedy: 'end the bend path with )',
  },
  {
    code: 'bracket-open',
    text: phraseOf('h 5@2⟦(0>2⟧ 7@2(2) |'),
    message: 'the bracket is not closed',
  },
  {
    code: 'bad-note',
    text: phraseOf('h 5@2(0>⟦1/2⟧) 7@2 |'),
    message: '"1/2" is not a level of a bend, a level in frets\' worth of bend: 0.5 curl, 1, 1.5, 2 expected',
    remedy: 'players write 1/2 for a half step, which is one fret: write 1 (a quarter-tone curl is 0.5)',
  },
  {
    code: 'bad-note',
    text: phraseOf('h 5@2(0>⟦1.3⟧) 7@2 |'),
    message: "a bend of 1.3 frets' worth cannot be written",
    remedy: 'levels are multiples of 0.5 up to 24',
  },
  { code: 'bad-note', text: phraseOf('h 5@2(0>⟦2 z⟧) 7@2 |'), message: '"z" is not a note value' },
  { code: 'bad-note', text: phraseOf('h 5@2(0>2)⟦(2>0)⟧ 7@2 |'), message: 'a note has one bend path' },
  {
    code: 'bad-note',
    text: phraseOf('h ⟦5⟧ 7@2 |'),
    message: 'which string? "5" has no @',
    remedy: 'write the string after the fret, as in 5@3',
  },
  {
    code: 'bad-note',
    text: phraseOf('h ⟦5@⟧ 7@2 |'),
    message: '"5@" names no string',
    remedy: 'a string is one digit after @, 1 the highest',
  },
  {
    code: 'bad-note',
    text: phraseOf('h ⟦2:5⟧ 7@2 |'),
    message: 'which string? "2:5" has no @',
    remedy: 'fret at string: write 5@2',
  },
  {
    code: 'bad-note',
    text: phraseOf('h ⟦123@2⟧ 7@2 |'),
    message: 'fret 123 is off every neck',
    remedy: 'a fret has one or two digits',
  },
  { code: 'bad-note', text: phraseOf('h 5@2⟦?⟧ 7@2 |'), message: '"?" cannot follow a note' },
  { code: 'bad-note', text: phraseOf('h 5@2⟦:⟧ 7@2 |'), message: 'a mark has a name after its :' },
  { code: 'bad-note', text: phraseOf('h 5@2⟦+⟧ 7@2 |'), message: 'a note is missing beside +' },
  {
    code: 'bad-note',
    text: phraseOf('h 5@2= ⟦h@2⟧ |'),
    message: 'a string that goes on sounding has no start of its own',
    remedy: 'write @2',
  },
];

const HAND_CASES: readonly FaultCase[] = [
  {
    code: 'no-such-string',
    text: phraseOf('h 5@2 ⟦5@7⟧ |'),
    message: 'string 7 is not there, a string from 1 (highest) to 6 expected',
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
    remedy: 'if the neck has more frets, say so in the front matter: frets: 27',
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

export const PHRASE_CASES: readonly FaultCase[] = [...LINE_CASES, ...BAR_CASES, ...WORD_CASES, ...HAND_CASES];
