// Degrees: how far a pitch stands above a root, as players name it.
import { type Cents, mod, type PitchClass } from '../foundation/units.js';

/** A pitch above a root: whole semitones (0 to 11, rounded down) and whether a quarter-tone is left above them. */
export interface Degree {
  readonly semitones: number;
  /** True when the pitch stands a quarter-tone above the semitone: a curled b3 is `b3+`. */
  readonly plus: boolean;
}

/** The names of the twelve degrees by semitone. They are for showing; cells are keyed by semitone. */
export const DEGREE_NAMES = ['1', 'b2', '2', 'b3', '3', '4', 'b5', '5', 'b6', '6', 'b7', '7'] as const;

/**
 * The degree of a pitch above a root.
 * @example
 * degreeAbove(cents(6350), 0 as PitchClass) // => { semitones: 3, plus: true }
 */
export function degreeAbove(pitch: Cents, root: PitchClass): Degree {
  const above = mod(pitch - root * 100, 1200);
  return { semitones: Math.floor(above / 100), plus: above % 100 >= 50 };
}

/**
 * The name of a degree: `b3`, `5`, `b3+`.
 * @example
 * degreeName({ semitones: 3, plus: true }) // => 'b3+'
 */
export const degreeName = (degree: Degree): string =>
  (DEGREE_NAMES[degree.semitones] as string) + (degree.plus ? '+' : '');

/**
 * A degree from its name, also from other common names (`#4`, `#9`, `13`), or `undefined`.
 * @example
 * parseDegree('#9') // => { semitones: 3, plus: false }
 */
export function parseDegree(text: string): Degree | undefined {
  const match = /^(b{0,2}|#{0,2})(\d{1,2})(\+?)$/.exec(text);
  if (!match) return undefined;
  const natural = NATURAL[(Number(match[2]) - 1) % 7];
  if (natural === undefined || Number(match[2]) < 1 || Number(match[2]) > 13) return undefined;
  const accidentals = match[1] as string;
  const shift = accidentals.split('#').length - accidentals.split('b').length;
  return { semitones: mod(natural + shift, 12), plus: match[3] === '+' };
}

const NATURAL = [0, 2, 4, 5, 7, 9, 11];

const INTERVALS = [
  'unison',
  'half step',
  'whole step',
  'minor third',
  'major third',
  'fourth',
  'tritone',
  'fifth',
  'minor sixth',
  'major sixth',
  'minor seventh',
  'major seventh',
];

/**
 * A distance as a player names it, in semitones; halves are quarter-tones. The direction is not told.
 * @example
 * intervalInWords(5) // => 'a fourth'
 * intervalInWords(-16) // => 'an octave and a major third'
 * intervalInWords(0.5) // => 'a quarter-tone'
 */
export function intervalInWords(semitones: number): string {
  const size = Math.abs(semitones);
  const octaves = Math.floor(size / 12);
  const rest = Math.floor(size) - 12 * octaves;
  const words = [
    ...(octaves > 0 ? [octaves === 1 ? 'an octave' : `${octaves} octaves`] : []),
    ...(rest > 0 ? [`a ${INTERVALS[rest]}`] : []),
    ...(size % 1 === 0 ? [] : ['a quarter-tone']),
  ];
  return words.length === 0 ? 'a unison' : words.join(' and ');
}
