// Solo text as a player might write it, from a seed: twelve-bar forms in several keys, phrases of one to four bars with rests
// between them, triplets, held notes, bends, hammered notes, double-stops, graces, ringing strings.
import { createRandom, type Random } from '../../lib/foundation/random.js';

/** Chords of a twelve-bar form by function, as steps above the tonic and type: `0:7` is I7. One entry a bar. */
const FORMS = [
  ['0:7', '5:7', '0:7', '0:7', '5:7', '5:7', '0:7', '9:7', '2:m7', '7:7', '0:7 9:7', '2:m7 7:7'],
  ['0:7', '0:7', '0:7', '0:7', '5:7', '5:7', '0:7', '0:7', '7:7', '5:7', '0:7', '7:7'],
  ['0:m7', '0:m7', '0:m7', '0:m7', '5:m7', '5:m7', '0:m7', '0:m7', '8:7', '7:7', '0:m7', '7:7'],
  ['0:7', '5:7', '0:7', '0:7', '5:7', '6:dim7', '0:7', '9:7', '2:m7', '7:7', '0:7', '%'],
] as const;
const NOTE_NAMES = ['C', 'Db', 'D', 'Eb', 'E', 'F', 'Gb', 'G', 'Ab', 'A', 'Bb', 'B'];
/** Ways to fill a 4/4 bar; a letter (with dots or `:3`) and how many notes of it. */
const RHYTHMS = [
  'e8',
  'q4',
  'e4 q2',
  'q.1 e1 q2',
  'e:3 6 q2',
  'q1 e6',
  's4 e2 q2',
  'h1 e4',
  'e3 q.1 q1',
  'q1 h.1',
  'e:3 3 q1 e:3 3 q1',
  's2 e1 q1 h1',
  'w1',
].map((text) =>
  [...text.matchAll(/([whqes]\.?(?::3 )?)(\d)/g)].map((m) => ({ value: (m[1] as string).trim(), count: Number(m[2]) })),
);
/** Frets above the hand's position of a pentatonic box, by string from 1. */
const BOX = [
  [0, 3],
  [0, 3],
  [0, 2],
  [0, 2],
  [0, 2],
  [0, 3],
] as const;

/** How often something is written, in percent of notes. */
const SHARE = { rest: 6, doubleStop: 8, bend: 10, slur: 40, tail: 8, grace: 2 } as const;
const BENDS = ['(0>2)', '(0>1)', '(0>0.5)', '(0>2>0)', '(2>0)', '(2)'];
const TAILS = ['~', '!', '=', ':mute', '~:ghost'];

/**
 * The text of one solo. Equal seeds and sizes give equal text.
 * @param choruses - How many times the twelve bars go round, 1 to 800. Three choruses are about 2000 characters, as a file typed by hand.
 * @param player - The player's name in the head.
 */
export function soloText(seed: number, choruses: number, player: string): string {
  const random = createRandom(seed);
  const tonic = random.int(12);
  const form = pick(random, FORMS);
  const minor = form[0] === '0:m7';
  const head = [
    '---',
    `title: Study ${seed}`,
    `player: ${player}`,
    `key: ${NOTE_NAMES[tonic]} ${minor ? 'minor' : 'mixolydian'}`,
    'meter: 4/4',
    `tempo: ${80 + random.int(60)}`,
    'feel: swing e 2:1',
    '---',
    '',
    'changes',
    '  section "chorus" 1-12',
    ...(choruses > 1 ? repeats(choruses) : []),
    ...[0, 4, 8].map(
      (from) =>
        `  ${from + 1} ${form
          .slice(from, from + 4)
          .map((bar) => chordsOf(bar, tonic))
          .join(' | ')}`,
    ),
  ];
  const phrases: string[] = [];
  const fretOfTonic = (tonic + 8) % 12; // on the sixth string
  let bar = 1;
  while (bar <= 12 * choruses) {
    const bars = Math.min(1 + random.int(4), 12 * choruses + 1 - bar);
    const position = fretOfTonic < 10 && random.int(4) === 0 ? fretOfTonic + 12 : fretOfTonic;
    const name = pick(random, ['', ' "call"', ' "answer"', ' "walk up the hill"']);
    phrases.push(
      [`\nphrase ${phrases.length + 1}${name}`, `at ${bar} 1`, ...phraseLines(random, bars, position)].join('\n'),
    );
    bar += bars;
  }
  return `${[...head, ...phrases].join('\n')}\n`;
}

/** A corpus: `count` solos of so many choruses by `players` players in turn. Solo n has the seed `seed + n`. */
export const corpusTexts = (count: number, choruses: number, players: number, seed: number): string[] =>
  Array.from({ length: count }, (_, n) => soloText(seed + n, choruses, `Player ${1 + (n % players)}`));

const pick = <T>(random: Random, list: readonly T[]): T => list[random.int(list.length)] as T;
const percent = (random: Random, share: number): boolean => random.int(100) < share;

/** At most x99 in one line. */
function repeats(choruses: number): string[] {
  if (choruses < 100) return [`  repeat 1-12 x${choruses}`];
  const rounds = Math.ceil(choruses / 99);
  return ['  repeat 1-12 x99', `  repeat 1-1188 x${rounds}`];
}

const chordsOf = (bar: string, tonic: number): string =>
  bar === '%'
    ? bar
    : bar
        .split(' ')
        .map((chord) => {
          const [steps, type] = chord.split(':') as [string, string];
          return `${NOTE_NAMES[(tonic + Number(steps)) % 12]}${type}`;
        })
        .join(' ');

function phraseLines(random: Random, bars: number, position: number): string[] {
  const lastFrets: number[] = []; // by string, what it sounded last
  let string = 1 + random.int(4);
  let value = '';
  return Array.from({ length: bars }, (_, b) => {
    const words: string[] = [];
    for (const { value: next, count } of pick(random, RHYTHMS)) {
      if (next !== value) words.push(next);
      value = next;
      for (let n = 0; n < count; n++) {
        string = Math.min(6, Math.max(1, string + random.int(3) - 1));
        const rests = percent(random, SHARE.rest) || (b === bars - 1 && n > 3);
        words.push(rests && lastFrets.length > 0 ? '-' : event(random, string, position, lastFrets));
      }
    }
    return `  ${words.join(' ')} |`;
  });
}

function event(random: Random, string: number, position: number, lastFrets: number[]): string {
  const fretOn = (s: number) => position + pick(random, BOX[s - 1] as readonly number[]);
  const fret = fretOn(string);
  const before = lastFrets[string];
  lastFrets[string] = fret;
  if (string < 6 && percent(random, SHARE.doubleStop)) {
    const below = fretOn(string + 1);
    lastFrets[string + 1] = below;
    return `${below}@${string + 1}+${fret}@${string}`;
  }
  if (string < 4 && percent(random, SHARE.bend)) {
    lastFrets.splice(string, 1, -1); // what it sounds last depends on the bend: nothing is slurred from it
    return `${fret}@${string}${pick(random, BENDS)}`;
  }
  const tail = percent(random, SHARE.tail) ? pick(random, TAILS) : '';
  if (fret > 0 && percent(random, SHARE.grace)) return `g${fret - 1}@${string} h${fret}@${string}${tail}`;
  const slurred = before !== undefined && before >= 0 && before !== fret && percent(random, SHARE.slur);
  return `${slurred ? pick(random, before < fret ? ['h', '/'] : ['p', '\\']) : ''}${fret}@${string}${tail}`;
}
