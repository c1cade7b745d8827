// Texts with one thing wrong in a phrase: in its lines, its bars or its words.
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
    message: 'phrase 2 comes in at bar 1 3, before phrase 1 has ended (bar 2 1)',
    remedy: 'phrases stand in order of time; let the one before end earlier',
  },
  {
    // A phrase that is moved into the one before also makes a bar that does not add up.
    code: 'phrase-overlap',
    text: two('⟦phrase 2⟧\nat 1 1\ne 5@2 | w 5@2 |'),
    message: 'phrase 2 comes in at bar 1 1, before phrase 1 has ended (bar 2 1)',
    also: ['bar-short'],
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
  },
  {
    code: 'bad-entry',
    text: two('phrase 2\n⟦at 2⟧\nq 5@2 | w 5@2 |'),
    message: 'where the phrase comes in: a bar and a count',
  },
  {
    code: 'bad-entry',
    text: two('phrase 2\nat 2 ⟦5⟧\nw 5@2 |'),
    message: '"5" is not a count in bar 2',
    remedy: '4/4 has the counts 1 to 4, with 4& for the and of 4',
  },
  {
    code: 'bad-entry',
    text: `${HEAD}phrase 1\nat 0 ⟦5⟧\n  e 5@2 7@2 | w 5@2 |\n`,
    message: '"5" is not a count in bar 0',
    remedy: '4/4 has the counts 1 to 4, with 4& for the and of 4',
  },
  {
    code: 'bar-short',
    text: `${HEAD}phrase 1\nat 0 5\n  e 5@2 7@2 | ⟦h 5@2 |⟧ w 5@2 |\n`,
    message: 'bar 1 holds 2 beats, 4 expected (two quarters short)',
    also: ['bad-entry'],
  },
  {
    code: 'no-entry',
    text: two('⟦phrase 2⟧\nw 5@2 |'),
    message: 'phrase 2 does not say where it comes in',
    remedy: 'write at and the bar and count, as in at 1 1',
  },
  {
    code: 'no-entry',
    text: two('⟦phrase 2⟧\ne 5@2 7@2 | w 5@2 |'),
    message: 'phrase 2 does not say where it comes in',
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
    code: 'bar-short',
    text: phraseOf('⟦q 5@2 |⟧ w 5@2 |'),
    message: 'bar 1 holds 1 beat, 4 expected (three quarters short)',
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
    remedy: 'write 2@5 for fret 2 at string 5, or 5@2',
  },
  ...['6-1', '6/1', '6.1'].map((word) => ({
    code: 'bad-note',
    text: phraseOf(`h ⟦${word}⟧ 7@2 |`),
    message: `which string? "${word}" has no @`,
    remedy: 'write 6@1 for fret 6 at string 1, or 1@6',
  })),
  ...[
    ['h6-1', 'write h6@1 for fret 6 at string 1, or h1@6'],
    ['12-3', 'fret at string: write 12@3'],
    ['3-12', 'fret at string: write 12@3'],
    ['x/2', 'fret at string: write x@2'],
    ['13-14', 'write the string after the fret, as in 13@3'],
  ].map(([word, remedy]) => ({
    code: 'bad-note',
    text: phraseOf(`h ⟦${word}⟧ 7@2 |`),
    message: `which string? "${word}" has no @`,
    remedy,
  })),
  {
    code: 'bad-note',
    text: phraseOf('h ⟦5@12⟧ 7@2 |'),
    message: '"5@12" names no string',
    remedy: 'fret and string swapped? write 12@5',
  },
  {
    code: 'bad-note',
    text: phraseOf('h 5@2 ⟦H7@2⟧ |'),
    message: '"H7@2" is not a note',
    remedy: 'starts are small letters: write h7@2',
  },
  ...[
    ['0-2', '0-2', '0>2'],
    ['0->2', '0-', '0>2'],
    ['0-2-0 e', '0-2-0 e', '0>2>0 e'],
  ].map(([path, part, meant]) => ({
    code: 'bad-note',
    text: phraseOf(`h 5@2(${path?.replace(part as string, `⟦${part}⟧`)}) 7@2 |`),
    message: `"${part}" is not a level of a bend, a level in frets' worth of bend: 0.5 curl, 1, 1.5, 2 expected`,
    remedy: `levels are parted by >: (${meant})`,
  })),
  {
    code: 'bad-note',
    text: phraseOf('h 5@2(⟦0 2⟧) 7@2 |'),
    message: '"2" is not a note value',
    remedy: 'levels are parted by >: (0>2)',
  },
  {
    code: 'bad-note',
    text: phraseOf('h 5@2(⟦-2⟧) 7@2 |'),
    message: '"-2" is not a level of a bend, a level in frets\' worth of bend: 0.5 curl, 1, 1.5, 2 expected',
    remedy: 'as in (0>2) or (2>0)',
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

/** A value run together with the word behind it, or in capitals: said once, and read as it was meant, so that the bar adds up. */
const VALUE_CASES: readonly FaultCase[] = [
  ...[
    ['q. 7@2 e 7@2 ⟦q5@2⟧ q 7@2 |', 'q', 'q 5@2'],
    ['h. 7@2 s 7@2 ⟦e.9@3⟧ |', 'e.', 'e. 9@3'],
    ['h 7@2 q:3 5@2 5@2 ⟦q:35@2⟧ |', 'q:3', 'q:3 5@2'],
    ['h 7@2 e:5/4 7@2 7@2 7@2 7@2 ⟦e:5/412@3⟧ |', 'e:5/4', 'e:5/4 12@3'],
    ['q 7@2 ⟦h.5@2⟧ |', 'h.', 'h. 5@2'],
    ['h. 7@2 ⟦qp5@2(0>2)+x@1⟧ |', 'q', 'q p5@2(0>2)+x@1'],
    ['h. 7@2= ⟦q@2⟧ |', 'q', 'q @2'],
    ['h. 7@2 ⟦q-⟧ |', 'q', 'q -'],
    ['h. 7@2_ ⟦q_⟧ |', 'q', 'q _'],
  ].map(([words = '', value, meant]) => ({
    code: 'no-blank',
    text: phraseOf(words),
    message: `no blank behind the note value in "${words.slice(words.indexOf('⟦') + 1, words.indexOf('⟧'))}"`,
    remedy: `put a blank after ${value}: ${meant}`,
  })),
  ...[
    ['h. 7@2 ⟦Q⟧ 5@2 |', 'q', 'q'],
    ['h. 7@2 s 7@2 ⟦E.⟧ 5@2 |', 'e.', 'e.'],
    ['h 7@2 ⟦Q:3⟧ 5@2 5@2 5@2 |', 'q:3', 'q:3'],
    ['q 7@2 7@2 ⟦H⟧ 5@2 |', 'h', 'h'],
    ['h. 7@2 ⟦Q⟧5@2 |', 'q', 'q 5@2'],
  ].map(([words = '', value, meant]) => ({
    code: 'capital-value',
    text: phraseOf(words),
    message: `note values are small letters: ${value}`,
    remedy: `write ${meant}`,
  })),
];

export const PHRASE_CASES: readonly FaultCase[] = [...LINE_CASES, ...BAR_CASES, ...WORD_CASES, ...VALUE_CASES];
