// One text or more for each kind of fault that the reader and the hand know of, with its place marked.
import { HEAD } from './marked.js';

/** A text with one thing wrong; `also` names what follows from it and must be said too. */
export interface FaultCase {
  readonly code: string;
  readonly text: string;
  readonly message: string;
  readonly remedy?: string | undefined;
  readonly warning?: true;
  readonly also?: readonly string[];
}

const changes = (lines: string): string => `${HEAD}changes\n${lines}\nphrase 1\nat 1 1\nw 5@2 |\n`;
const head = (lines: string): string => `${lines}\nphrase 1\nat 1 1\nw 5@2 |\n`;

const HEAD_CASES: readonly FaultCase[] = [
  {
    code: 'no-head',
    text: '⟦p⟧hrase 1\nat 1 1\nw 5@2 |\n',
    message: 'the head is missing: title, player, key and tempo between two lines of ---',
    remedy: 'start the file with ---, a line each for title:, player:, key: and tempo:, and --- again',
  },
  {
    code: 'head-open',
    text: head('⟦---⟧\ntitle: A\nplayer: B\nkey: A minor\ntempo: 96'),
    message: 'the head is not closed',
    remedy: 'end it with a line of ---',
  },
  {
    code: 'missing-field',
    text: head('⟦---⟧\ntitle: A\nplayer: B\nkey: A minor\n---'),
    message: 'the head has no tempo',
    remedy: 'add a line tempo: 96',
  },
  {
    code: 'missing-field',
    text: head('⟦---⟧\nplayer: B\nkey: A minor\ntempo: 96\n---'),
    message: 'the head has no title',
    remedy: 'add a line title: Lantern Row',
  },
  {
    code: 'unknown-field',
    text: head('---\ntitle: A\nplayer: B\nkey: A minor\ntempo: 96\n⟦tunning⟧: E2 A2 D3 G3 B3 E4\n---'),
    message: '"tunning" is not a field of the head',
    remedy: 'did you mean tuning?',
  },
  {
    code: 'bad-head',
    text: head('---\ntitle: "A" ⟦and more⟧\nplayer: B\nkey: A minor\ntempo: 96\n---'),
    message: 'the head cannot be read: Unexpected scalar at node end',
    remedy: 'a line each as name: text; put a text with a colon in "quotes"',
  },
  {
    code: 'bad-head',
    text: head('---\ntitle: A\nplayer: B\nkey: A minor\ntempo: 96\n⟦t⟧itle: C\n---'),
    message: 'a field of the head is written twice',
    remedy: 'keep one of the two',
  },
  {
    code: 'empty-field',
    text: head('---\ntitle: A\nplayer: B\nkey: A minor\ntempo: 96\n? ⟦tone⟧\n---'),
    message: 'tone is empty',
  },
  {
    code: 'bad-field',
    text: head('---\ntitle: A\nplayer: B\nkey: ⟦A mixolidian⟧\ntempo: 96\n---'),
    message: 'key: "A mixolidian" is not a key: "mixolidian" is not a mode',
    remedy: 'did you mean A mixolydian?',
  },
  {
    code: 'bad-field',
    text: head('---\ntitle: A\nplayer: B\nkey: A minor\ntempo: ⟦fast⟧\n---'),
    message: 'tempo: "fast" is not quarter notes a minute, from 20 to 400',
  },
  {
    code: 'bad-field',
    text: head('---\ntitle: A\nplayer: B\nkey: A minor\ntempo: 96\ntuning: ⟦E A D G B E⟧\n---'),
    message: 'tuning: "E A D G B E" is not four to eight open strings from low to high',
    remedy: 'as in E2 A2 D3 G3 B3 E4',
  },
  {
    code: 'bad-field',
    text: head('---\ntitle: A\nplayer: B\nkey: A minor\ntempo: 96\nmeter: ⟦4/5⟧\n---'),
    message: 'meter: "4/5" is not a meter, such as 4/4 or 6/8',
  },
  {
    code: 'bad-field',
    text: head('---\ntitle: A\nplayer: B\nkey: A minor\ntempo: 96\nfeel: ⟦swung⟧\n---'),
    message: 'feel: "swung" is not a feel',
    remedy: 'straight, or which value swings and how far: swing e 2:1',
  },
  {
    code: 'bad-field',
    text: head('---\ntitle: A\nplayer: B\nkey: A minor\ntempo: 96\ncapo: ⟦-1⟧\n---'),
    message: 'capo: "-1" is not a whole number from 0 to 12',
  },
  {
    code: 'hash-digit',
    text: head('---\ntitle: A\nplayer: B\nkey: A minor\ntempo: 96\ntone: over C7 ⟦#9⟧\n---'),
    message: '# with a digit behind it: a comment, or part of a chord?',
  },
];

const CHANGES_CASES: readonly FaultCase[] = [
  {
    code: 'hash-digit',
    text: changes('  1 C7 ⟦#9⟧ | F7'),
    message: '# with a digit behind it: a comment, or part of a chord?',
    remedy: 'no blank before it in a chord (C7#9); a blank after # in a comment',
  },
  {
    code: 'unknown-chord',
    text: changes('  1 ⟦Cmjr7⟧ | F7'),
    message: 'the chord Cmjr7 is not known: "mjr7" is not a chord type',
    remedy: 'did you mean Cmaj7?',
  },
  {
    code: 'unknown-chord',
    text: changes('  1 ⟦H7⟧ | F7'),
    message: 'the chord H7 is not known: a chord symbol starts with its root, A to G',
  },
  {
    code: 'unknown-chord',
    text: changes('  1 ⟦am7⟧:3 | F7'),
    message: 'the chord am7 is not known: a chord symbol starts with its root, A to G',
    remedy: 'did you mean Am7?',
  },
  {
    code: 'bar-number',
    text: changes('  1 C7 | F7\n  ⟦5⟧ C7'),
    message: 'these changes start at bar 5, bar 3 expected',
    remedy: 'write bars 3 to 4 as well (% repeats the bar before, N.C. is no chord)',
  },
  {
    code: 'bar-number',
    text: changes('  1 C7 | F7\n  ⟦2⟧ C7'),
    message: 'these changes start at bar 2, bar 3 expected',
    remedy: 'number this line 3',
  },
  {
    code: 'bar-number',
    text: changes('  1 C7 | F7\n  ⟦4⟧ C7'),
    message: 'these changes start at bar 4, bar 3 expected',
    remedy: 'write bar 3 as well (% repeats the bar before, N.C. is no chord)',
  },
  { code: 'bar-number', text: changes('  ⟦12345⟧ C7'), message: 'bar 12345 is too far on, at most 9999 expected' },
  {
    code: 'empty-bar',
    text: changes('  1 C7 |⟦ |⟧ F7'),
    message: 'bar 2 has no chord',
    remedy: 'write its chord, % for the bar before, or N.C.',
  },
  {
    code: 'percent',
    text: changes('  1 ⟦% |⟧ F7'),
    message: '% repeats the bar before, and there is none',
    remedy: 'write the chord',
  },
  {
    code: 'percent',
    text: changes('  1 C7 | ⟦% F7⟧'),
    message: '% stands alone in its bar',
    remedy: 'write the chords of the bar instead',
  },
  {
    code: 'chord-beat',
    text: changes('  1 C7 ⟦F7⟧ G7 | F7'),
    message: '3 chords do not divide 4 beats evenly',
    remedy: 'name the beat it comes on, as in F7:3',
    also: ['chord-beat'],
  },
  {
    code: 'chord-beat',
    text: changes('  1 C7 ⟦F7:5⟧ | F7'),
    message: '"5" is not a count in this bar',
    remedy: 'as in F7:4',
  },
  {
    code: 'chord-beat',
    text: changes('  1 C7 F7:3 ⟦G7:2⟧ | F7'),
    message: 'the chords of a bar stand in order of their beats',
  },
  {
    code: 'bar-range',
    text: changes('  section "verse" ⟦8-1⟧\n  1 C7'),
    message: 'first and last bar expected, as in 1-12',
  },
  {
    code: 'bad-setting',
    text: changes('  tempo ⟦quick⟧\n  1 C7'),
    message: 'tempo quick: quarter notes a minute, 20 to 400, expected',
  },
  {
    code: 'bad-setting',
    text: changes('  key ⟦A minro⟧\n  1 C7'),
    message: 'key A minro: "minro" is not a mode; did you mean A minor?',
  },
  {
    code: 'repeat',
    text: changes('  1 C7\n  ⟦repeat 1-1⟧'),
    message: 'how many times in all? x2 or more expected',
    remedy: 'as in repeat 1-12 x2',
  },
  {
    code: 'repeat',
    text: changes('  1 C7\n  ⟦repeat 1-2 x2⟧'),
    message: 'bars 1 to 2 are to be repeated, but bar 2 is not written',
    remedy: 'write the changes up to there',
  },
  {
    code: 'repeat',
    text: changes('  1 C7\n  ⟦repeat 2 x2⟧'),
    message: 'bar 2 is to be repeated, but bar 2 is not written',
  },
  {
    code: 'repeat',
    text: changes('  ⟦repeat 1-2 x2⟧\n  1 C7 | F7 | G7'),
    message: 'a repeat ends with a line of changes; bar 2 stands inside one',
    remedy: 'start a new line at bar 3',
  },
  {
    code: 'section',
    text: changes('  ⟦section verse 1-8⟧\n  1 C7'),
    message: 'a section has a name in quotes',
    remedy: 'as in section "chorus" 1-12',
  },
  {
    code: 'section',
    text: changes('  ⟦section "verse" 1-8 9-16⟧\n  1 C7'),
    message: 'a section has a name and its bars, nothing else',
  },
  {
    code: 'strum',
    text: changes('  ⟦strum D-DU⟧\n  1 C7'),
    message: 'a strum is a counted pattern in quotes',
    remedy: 'as in strum "D - D U - U D U"',
  },
  {
    code: 'strum',
    text: changes('  ⟦strum "D U" from five⟧\n  1 C7'),
    message: 'behind the pattern of a strum stands from and a bar, or nothing',
  },
  {
    code: 'changes-line',
    text: changes('  ⟦C7 | F7⟧'),
    message: '"C7" does not start a line of changes',
    remedy: 'a line of changes starts with the number of its first bar, as in 5 F7 | C7',
  },
  {
    code: 'changes-twice',
    text: changes('  1 C7\n⟦changes⟧\n  2 F7'),
    message: 'a solo has one block of changes',
    remedy: 'put all its lines into the first',
  },
  {
    code: 'stray-line',
    text: `${HEAD}⟦1 C7 | F7⟧\nphrase 1\nat 1 1\nw 5@2 |\n`,
    message: '"1" stands before any changes or phrase',
    remedy: 'put a line changes before it',
  },
  {
    code: 'stray-line',
    text: `${HEAD}⟦q 5@2 7@2⟧\nphrase 1\nat 1 1\nw 5@2 |\n`,
    message: '"q" stands before any changes or phrase',
    remedy: 'put a line such as phrase 1 before it',
  },
  {
    code: 'bad-say',
    text: `${HEAD}⟦say⟧ softly\nphrase 1\nat 1 1\nw 5@2 |\n`,
    message: 'say has a text in quotes behind it',
    remedy: 'as in say "let it ring"',
  },
  {
    code: 'bad-escape',
    text: `${HEAD}say ⟦"a \\q b"⟧\nphrase 1\nat 1 1\nw 5@2 |\n`,
    message: 'a backslash in quotes must be \\\\, \\" or \\n',
  },
  {
    code: 'bad-escape',
    text: `${HEAD}say ⟦"a \0 b"⟧\nphrase 1\nat 1 1\nw 5@2 |\n`,
    message: 'a control character stands in the quotes',
  },
  ...['strum "D - D U"', 'meter 3/4', 'tempo 80', 'key G major', 'feel straight'].map((line) => ({
    code: 'past-the-bars',
    text: changes(`  1 C7 | F7\n  ⟦${line}⟧`),
    message: 'this holds only from bar 3 on, past the last bar written',
    remedy: 'put it before the bars it holds from',
    warning: true as const,
  })),
  {
    code: 'past-the-bars',
    text: changes('  1 C7 | F7\n  ⟦tempo 80⟧\n  repeat 1-2 x2'), // a repeat writes bars 3 and 4 out
    message: 'this holds only from bar 5 on, past the last bar written',
    warning: true,
  },
  {
    code: 'past-the-changes',
    text: `${HEAD}changes\n  1 C7\n⟦phrase 1⟧\nat 1 1\nw 5@2 | 5@2 |\n`,
    message: 'phrase 1 runs past bar 1, the last of the changes; its last chord is taken to hold',
    remedy: 'write the changes to the end',
    warning: true,
  },
  {
    code: 'far-past-the-changes',
    text: `${HEAD}changes\n  1 C7 | % | % | %\n⟦phrase 1⟧\nat 33 1\nw 5@2 |\n`,
    message: 'phrase 1 comes in in bar 33, and the changes have 4',
    remedy: 'bar 33 of 4: is 3 meant? If not, write the changes to bar 33',
  },
  {
    code: 'no-phrases',
    text: `${HEAD}⟦c⟧hanges\n  1 C7\n`,
    message: 'no phrase is written',
    remedy: 'a phrase starts with a line such as phrase 1 "first call"',
    warning: true,
  },
];

export const TEXT_CASES: readonly FaultCase[] = [...HEAD_CASES, ...CHANGES_CASES];
