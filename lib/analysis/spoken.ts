// How counts, bars, numbers and the parts of a chord are spoken in sentences.
import { type Chord, extensionName, memberAt } from '../theory/chord.js';
import { countsByThree, type Meter } from '../theory/meter.js';

/**
 * A count as it is spoken in a sentence.
 * @example
 * countInWords('3&', parseMeter('4/4')) // => 'the and of 3'
 * countInWords('2', parseMeter('6/8')) // => 'count 2'
 * countInWords('1t', parseMeter('12/8')) // => 'the second eighth of 1'
 * countInWords('1t', parseMeter('4/4')) // => 'the second of the triplet on 1'
 */
export function countInWords(count: string, meter: Meter): string {
  const later = /^(.*)\+s$/.exec(count);
  if (later) return `a sixteenth after ${countInWords(later[1] as string, meter)}`;
  const match = /^(\d+)([e&atl]?)$/.exec(count);
  if (!match) return `count ${count}`;
  const [, pulse, part] = match as unknown as [string, string, string];
  if (part === '') return `${meter.pulseTicks === meter.beatTicks ? 'beat' : 'count'} ${pulse}`;
  const named: Readonly<Record<string, string>> = {
    '&': 'the and',
    e: 'the e',
    a: 'the a',
    t: 'the second eighth',
    l: 'the third eighth',
  };
  if ((part === 't' || part === 'l') && !countsByThree(meter))
    return `the ${part === 't' ? 'second' : 'third'} of the triplet on ${pulse}`;
  return `${named[part]} of ${pulse}`;
}

/** `bar 3`, and for bar 0 `the pickup bar`. */
export const barInWords = (bar: number): string => (bar === 0 ? 'the pickup bar' : `bar ${bar}`);

const NUMBERS =
  'no one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen sixteen seventeen eighteen nineteen twenty'.split(
    ' ',
  );

/** A number in a sentence: `seven`, and from 21 up in digits. */
export const numberInWords = (n: number): string => NUMBERS[n] ?? String(n);

/** `once`, `twice`, `3 times`. */
export const timesInWords = (n: number): string => (n === 1 ? 'once' : n === 2 ? 'twice' : `${n} times`);

/** With a capital at the front. */
export const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);

const EXTENSIONS: Readonly<Record<string, string>> = {
  2: 'second',
  4: 'fourth',
  6: 'sixth',
  9: 'ninth',
  11: 'eleventh',
  13: 'thirteenth',
};

/**
 * What a tone is in a chord, so many semitones above its root, in the words of a sentence. Members are named as the symbol spells them. Beside them a second is
 * a ninth where the chord has a seventh, and a fourth an eleventh where it is a minor seventh chord as well; common practice, no source. A quarter-tone above is
 * curled; the curled flat third of a major chord is its third on the way up.
 * @example
 * const of = (symbol, semitones, plus) => partInChord(parseChord(symbol), semitones, plus);
 * [of('Bb7', 2), of('Bb', 2), of('C7', 3, true), of('Eb7b9', 1), of('Em7', 5)] // => ['ninth', 'second', 'curled third', 'b9', 'eleventh']
 */
export function partInChord(chord: Chord, semitones: number, plus = false): string {
  const plain = plainPart(chord, semitones);
  return plus ? `curled ${plain.replace(/^flat (?=third|seventh)/, '')}` : plain;
}

function plainPart(chord: Chord, semitones: number): string {
  const member = memberAt(chord, semitones);
  if (member?.role === 'extension') return EXTENSIONS[extensionName(member)] ?? extensionName(member);
  if (member) return member.role.replace('suspended ', '');
  const seventh = chord.members.find(({ role }) => role === 'seventh');
  const minor = memberAt(chord, 3) !== undefined;
  const named: Readonly<Record<number, string>> = {
    0: 'root',
    1: seventh ? 'flat ninth' : 'flat second',
    2: seventh ? 'ninth' : 'second',
    3: 'flat third',
    4: 'major third',
    5: seventh && minor ? 'eleventh' : 'fourth',
    6: 'flat fifth',
    7: 'natural fifth',
    8: 'flat sixth',
    9: 'sixth',
    10: 'flat seventh',
    11: 'major seventh',
  };
  return named[semitones] as string;
}
