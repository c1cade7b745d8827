// What the elements of a pattern may be, look by look, and how each is read: `b3`, `+2`, `up`, `q.`, `hammered+bent`, `7@3`.
import { readValue } from '../foundation/time.js';
import { mod } from '../foundation/units.js';
import { REACHED, TONE_STARTS } from '../guitar/technique.js';
import { isChord, parseChord } from '../theory/chord.js';
import { type Degree, parseDegree } from '../theory/interval.js';
import { type Meter, meterOf, parseCount } from '../theory/meter.js';
import { keyOfNote, pitchClassOf, pitchName } from '../theory/pitch.js';

/**
 * What a pattern is given in. `degrees` over the chord of the moment, or of the key; `notes` by name; `steps` of the line in semitones; `contour`;
 * `durations`, from one onset to the next; `rhythm`, the same in any note values; `gestures` of the hands; `strings`; `frets`, places on the neck; `shape`, the
 * same places moved anywhere on the neck.
 */
export const PATTERN_LOOKS = [
  'degrees',
  'notes',
  'steps',
  'contour',
  'durations',
  'rhythm',
  'gestures',
  'strings',
  'frets',
  'shape',
] as const;
/** What a pattern is given in. */
export type PatternLook = (typeof PATTERN_LOOKS)[number];

/** Any one tone (of steps and contour: any move). */
export const ANY = '?';
/** Any number of tones, or none. */
export const GAP = '..';

/** What holds of a look. */
export interface LookFacts {
  /** What one element is called, with an example: for messages. */
  readonly element: string;
  readonly example: string;
  /** Elements are moves between tones, so that n of them cover n + 1 tones. */
  readonly moves: boolean;
  /** Every tone of a double-stop is tried; else the line only. */
  readonly voices: boolean;
  /** Elements are read against one another: no gap, and two or more that are not `?`. */
  readonly relative: boolean;
  /** True for a text that is an element. */
  readonly reads: (text: string) => boolean;
  /** Words that a slip may have meant. */
  readonly words: readonly string[];
}

/** A place on the neck. */
export interface NeckSpot {
  readonly string: number;
  readonly fret: number;
}

/** Reads `7@3`, as in solo text. */
export function readSpot(text: string): NeckSpot | undefined {
  const match = /^(\d{1,2})@([1-9])$/.exec(text);
  return match ? { fret: Number(match[1]), string: Number(match[2]) } : undefined;
}

/** Reads steps in semitones, up unless there is a minus, into cents: `2`, `+2`, `-0.5`. */
export function readStep(text: string): number | undefined {
  return /^[+-]?\d{1,2}(?:\.[05])?$/.test(text) ? Number(text) * 100 : undefined;
}

/** A pitch by name: any octave unless one is written, a quarter-tone above it with `+`. */
export interface NamedPitch {
  /** In cents; of any octave, from 0 to 1199. */
  readonly pitch: number;
  readonly anyOctave: boolean;
}

/** Reads `A`, `Bb4`, `Eb+`. */
export function readPitch(text: string): NamedPitch | undefined {
  const match = /^([A-G][b#♭♯]{0,2})(-?\d)?(\+?)$/.exec(text);
  const name = match ? pitchName(match[1] as string) : undefined;
  if (!match || !name) return undefined;
  const curl = match[3] === '+' ? 50 : 0;
  if (match[2] === undefined) return { pitch: mod(pitchClassOf(name) * 100 + curl, 1200), anyOctave: true };
  const key = keyOfNote(name + match[2]);
  return key === undefined ? undefined : { pitch: key * 100 + curl, anyOctave: false };
}

/** A value in ticks. */
export function readLength(text: string): number | undefined {
  const value = readValue(text);
  return value === 'off' ? undefined : value;
}

/** What of a tone a word for a gesture asks after. */
export type GestureTest = { readonly start: number } | { readonly reached: number; readonly curl?: boolean };

const GESTURES: ReadonlyMap<string, GestureTest> = new Map<string, GestureTest>([
  ...TONE_STARTS.flatMap((word, start) => (word === 'none' ? [] : [[word as string, { start }] as const])),
  ...REACHED.map((word, reached) => [word as string, { reached }] as const),
  ['curled', { reached: REACHED.indexOf('bent'), curl: true }],
]);

/** Words for gestures as they are kept and printed. */
export const GESTURE_WORDS: readonly string[] = [...GESTURES.keys()];

/** Other ways to say them: nouns, a hyphen, what the hand does. */
export const GESTURE_SYNONYMS: ReadonlyMap<string, string> = new Map([
  ['pick', 'picked'],
  ['hammer', 'hammered'],
  ['hammer-on', 'hammered'],
  ['pull', 'pulled'],
  ['pull-off', 'pulled'],
  ['slide', 'slid'],
  ['tap', 'tapped'],
  ['bend', 'bent'],
  ['pre-bend', 'prebent'],
  ['pre-bent', 'prebent'],
  ['prebend', 'prebent'],
  ['release', 'released'],
  ['curl', 'curled'],
]);

/** Reads `hammered`, or several of which all must hold: `picked+prebent`. */
export function readGesture(text: string): readonly GestureTest[] | undefined {
  const tests = text.split('+').map((word) => GESTURES.get(word));
  return tests.every((test) => test !== undefined) ? (tests as GestureTest[]) : undefined;
}

/** Moves of a contour, as the viewpoint of that name reads them. */
export const CONTOURS = ['up', 'down', 'level'] as const;

const facts = (
  element: string,
  example: string,
  reads: (text: string) => boolean,
  more: Partial<LookFacts> = {},
): LookFacts => ({ element, example, reads, moves: false, voices: false, relative: false, words: [], ...more });
const some =
  <T>(read: (text: string) => T | undefined) =>
  (text: string): boolean =>
    read(text) !== undefined;

/** What holds of each look. */
export const LOOK_FACTS: Readonly<Record<PatternLook, LookFacts>> = {
  degrees: facts('a degree', 'b3', some(parseDegree)),
  notes: facts('a note name', 'Eb or Eb4', some(readPitch)),
  steps: facts('a step in semitones', '2 or -3', some(readStep), { moves: true }),
  contour: facts('a move of the line', 'up', (text) => (CONTOURS as readonly string[]).includes(text), {
    moves: true,
    words: CONTOURS,
  }),
  durations: facts('a note value', 'q. or e:3', some(readLength)),
  rhythm: facts('a note value', 'q. or e:3', some(readLength), { relative: true }),
  gestures: facts('a gesture', 'hammered', some(readGesture), { voices: true, words: GESTURE_WORDS }),
  strings: facts('a string, 1 the highest', '3', (text) => /^[1-9]$/.test(text), { voices: true }),
  frets: facts('a fret at a string', '7@3', some(readSpot), { voices: true }),
  shape: facts('a fret at a string', '7@3', some(readSpot), { relative: true }),
};

/** Members of a chord that a pattern or a phrase can end on. */
export const MEMBERS = ['root', 'third', 'fifth', 'sixth', 'seventh'] as const;

/** What a tone is asked to be: a member of its chord, or a degree above the chord's root or the key's. */
export type Target =
  | { readonly member: (typeof MEMBERS)[number] }
  | { readonly degree: Degree; readonly of: 'chord' | 'key' };

/** Reads `the third`, `b3` (over the chord of the moment), `b3 of the key`. */
export function readTarget(text: string): Target | undefined {
  const member = MEMBERS.find((name) => text === `the ${name}`);
  if (member) return { member };
  const ofKey = text.endsWith(' of the key');
  const degree = parseDegree(ofKey ? text.slice(0, -' of the key'.length) : text);
  return degree && { degree, of: ofKey ? 'key' : 'chord' };
}

/** True for a number of tones, beats or bars as it is typed: up to 9999, with three decimals at most. */
export const isLength = (text: string): boolean => /^\d{1,4}(?:\.\d{1,3})?$/.test(text);

/** True for a count as solo text has it, in some meter: `3&`. */
export const isCount = (text: string): boolean => parseCount(text, LONG_BAR) !== undefined;
const LONG_BAR = meterOf(32, 1) as Meter;

const FUNCTION = /^[b#♭♯]?(?:[IV]{1,4}|[iv]{1,4})[°oø+]?/;

/** True for what can stand behind "over": a chord symbol, a function, `N.C.`, `pickup`. It may still be one that no solo has. */
export const isOverWord = (text: string): boolean =>
  FUNCTION.exec(text)?.[0] === text ||
  text === 'N.C.' ||
  text === 'pickup' ||
  (/^(?:[^\s()]|\([^\s()]*\))+$/.test(text) && isChord(parseChord(text)));

/** What may be meant by a word that cannot stand behind "over": the function in `VI7`, the nearest chord symbol to `Cmjr7`. */
export function overMeant(text: string): string | undefined {
  const read = parseChord(text);
  return FUNCTION.exec(text)?.[0] ?? (isChord(read) ? undefined : read.suggestion);
}
