// Queries as plain data: patterns in any look, conditions of a phrase, and what joins them.
import {
  ANY,
  GAP,
  isCount,
  isLength,
  isOverWord,
  LOOK_FACTS,
  PATTERN_LOOKS,
  type PatternLook,
  readTarget,
} from './query-elements.js';

/** What narrows a pattern. */
export interface Limits {
  /** Every tone is under this chord: a symbol (`F7`) or a function in the key (`IV`). */
  readonly over?: string;
  /** Every tone is on this string, 1 the highest. */
  readonly onString?: number;
  /** What the first tone is: a degree over the chord of the moment (`b3`), of the key (`b3 of the key`), or a member of the chord (`the third`). */
  readonly startingOn?: string;
  /** What the last tone is, likewise. */
  readonly endingOn?: string;
}

/** A run of tones that follow one another in a phrase. */
export interface Pattern extends Limits {
  readonly kind: 'pattern';
  readonly look: PatternLook;
  /** As they are typed; `?` is any one, `..` any number of tones or none. */
  readonly elements: readonly string[];
  /** Of degrees: counted from the tonic, not from the root of the chord. */
  readonly of?: 'key';
}

/** What a length is counted in. `tones` are those of the line; beats and bars are of the meter that the phrase comes in under. */
export const LENGTH_UNITS = ['tones', 'beats', 'bars'] as const;
/** What a length is counted in. */
export type LengthUnit = (typeof LENGTH_UNITS)[number];

/** What phrases are searched for. Plain data: it can be kept as JSON. */
export type Query =
  | Pattern
  | { readonly kind: 'enters'; readonly on: string }
  | { readonly kind: 'ends'; readonly on: string }
  | { readonly kind: 'lasts'; readonly unit: LengthUnit; readonly least?: number; readonly most?: number }
  | { readonly kind: 'all' | 'any'; readonly parts: readonly Query[] }
  | { readonly kind: 'not'; readonly part: Query }
  | { readonly kind: 'holding'; readonly outer: Query; readonly inner: readonly Query[] };

/** Most elements of a pattern. */
export const MOST_ELEMENTS = 64;

/** What is wrong with a pattern as a whole, and what would mend it. */
export interface PatternFault {
  readonly message: string;
  readonly remedy: string;
}

/** What is wrong with the elements of a pattern as a whole, if anything; each by itself is sound. */
export function patternFault(look: PatternLook, elements: readonly string[]): PatternFault | undefined {
  const { element, example, relative } = LOOK_FACTS[look];
  const takes = `${look} takes ${element}, such as ${example}`;
  if (elements.length === 0) return { message: `${look} needs at least one element`, remedy: takes };
  if (elements.length > MOST_ELEMENTS)
    return {
      message: `a pattern has at most ${MOST_ELEMENTS} elements, this has ${elements.length}`,
      remedy: 'search for a part of it',
    };
  if (elements[0] === GAP || elements[elements.length - 1] === GAP)
    return {
      message: `a gap (${GAP}) stands between two elements: a pattern begins and ends with a tone`,
      remedy: `leave it out, or write ${ANY} for a tone`,
    };
  if (elements.some((e, i) => e === GAP && elements[i + 1] === GAP))
    return { message: `one gap (${GAP}) is enough: it takes any number of tones`, remedy: 'leave the other out' };
  if (!relative) return undefined;
  const why = 'its elements are read against one another';
  if (elements.includes(GAP))
    return { message: `${look} cannot have a gap (${GAP}): ${why}`, remedy: `write ${ANY} for each tone between` };
  return elements.filter((e) => e !== ANY).length < 2
    ? { message: `${look} needs two elements or more that are not ${ANY}: ${why}`, remedy: takes }
    : undefined;
}

/** Makes a pattern. */
function pattern(
  look: PatternLook,
  elements: readonly string[],
  limits: Limits & { readonly of?: 'key' } = {},
): Pattern {
  const { reads, element, example } = LOOK_FACTS[look];
  const bad = elements.find((e) => e !== ANY && e !== GAP && !reads(e));
  if (bad !== undefined) throw new RangeError(`"${bad}" is not ${element}, such as ${example}`);
  const fault = patternFault(look, elements);
  if (fault) throw new RangeError(`${fault.message}; ${fault.remedy}`);
  const { over, onString: string, startingOn, endingOn, of } = limits;
  if (over !== undefined && !isOverWord(over))
    throw new RangeError(`over "${over}": give a chord symbol such as F7 or a function such as IV`);
  if (string !== undefined && !(Number.isInteger(string) && string >= 1 && string <= 9))
    throw new RangeError(`onString ${string}: give the number of a string, 1 to 9`);
  for (const target of [startingOn, endingOn]) if (target !== undefined) checkTarget(target);
  return {
    kind: 'pattern',
    look,
    elements,
    ...(of !== undefined && { of }),
    ...(over !== undefined && { over }),
    ...(string !== undefined && { onString: string }),
    ...(startingOn !== undefined && { startingOn }),
    ...(endingOn !== undefined && { endingOn }),
  };
}

function checkTarget(target: string): void {
  if (!readTarget(target))
    throw new RangeError(
      `"${target}" is nothing to end on: give a degree (b3), a degree of the key (b3 of the key) or the third`,
    );
}

/**
 * A pattern in any look; the functions named after looks are the same with the look in their name.
 * @throws RangeError that says what was expected, for elements or limits that cannot be read
 * @example
 * patternOf('steps', ['2', '?', '-4'], { over: 'IV' }).elements // => ['2', '?', '-4']
 */
export const patternOf = (look: PatternLook, elements: readonly string[], limits: Limits = {}): Pattern => {
  if (!PATTERN_LOOKS.includes(look))
    throw new RangeError(`"${look}" is no look; there are: ${PATTERN_LOOKS.join(', ')}`);
  return pattern(look, elements, limits);
};

/**
 * Degrees in a row, over the chord of the moment unless `of` is `'key'`. `b3` takes a curled b3 too, `b3+` only that.
 * @throws RangeError for what is no degree
 * @example
 * degrees(['5', '6', '1'], { over: 'IV' }).over // => 'IV'
 */
export const degrees = (elements: readonly string[], limits: Limits & { readonly of?: 'key' } = {}): Pattern =>
  pattern('degrees', elements, limits);

/**
 * Steps of the line in semitones: n steps cover n + 1 tones.
 * @example
 * steps([2, 2, -4]).elements // => ['2', '2', '-4']
 */
export const steps = (elements: readonly (number | string)[], limits: Limits = {}): Pattern =>
  pattern('steps', elements.map(String), limits);

/**
 * Ups and downs of the line: n of them cover n + 1 tones.
 * @example
 * contour(['up', 'up', 'down'], { endingOn: 'the third' }).endingOn // => 'the third'
 */
export const contour = (elements: readonly string[], limits: Limits = {}): Pattern =>
  pattern('contour', elements, limits);

/**
 * Note values in a row: each is the distance to the next onset, rests included; of the last tone of a phrase it is how long that sounds.
 * @example
 * durations(['e', 'e', 'q.']).look // => 'durations'
 */
export const durations = (elements: readonly string[], limits: Limits = {}): Pattern =>
  pattern('durations', elements, limits);

/**
 * A rhythm in any note values: `e e q` is found in `q q h` too.
 * @example
 * rhythm(['e', 'e', 'q']).look // => 'rhythm'
 */
export const rhythm = (elements: readonly string[], limits: Limits = {}): Pattern =>
  pattern('rhythm', elements, limits);

/**
 * Gestures in a row: picked, hammered, pulled, slid, tapped; straight, bent, curled, prebent, held, released; `picked+prebent` where both must hold.
 * @example
 * gesture(['prebent'], { onString: 3 }).onString // => 3
 */
export const gesture = (elements: readonly string[], limits: Limits = {}): Pattern =>
  pattern('gestures', elements, limits);

/**
 * Tones on these strings in a row, 1 the highest.
 * @example
 * onString(3, 2).elements // => ['3', '2']
 */
export const onString = (...strings: readonly number[]): Pattern => pattern('strings', strings.map(String));

/**
 * Phrases that come in on this count, as solo text has it.
 * @throws RangeError for what is no count
 * @example
 * entersOn('3&') // => { kind: 'enters', on: '3&' }
 */
export function entersOn(count: string): Query {
  if (!isCount(count)) throw new RangeError(`"${count}" is no count, such as 3 or 3&`);
  return { kind: 'enters', on: count };
}

/**
 * Phrases whose last tone is this: a degree over the chord of the moment, `b3 of the key`, or `the third`.
 * @throws RangeError for what is none of these
 * @example
 * endsOn('the third') // => { kind: 'ends', on: 'the third' }
 */
export function endsOn(target: string): Query {
  checkTarget(target);
  return { kind: 'ends', on: target };
}

/**
 * Phrases of a length, from the first onset to where the last tone stops sounding.
 * @throws RangeError if neither bound is given, or they are no lengths in that order
 * @example
 * lasts('bars', { least: 2 }) // => { kind: 'lasts', unit: 'bars', least: 2 }
 */
export function lasts(unit: LengthUnit, { least, most }: { readonly least?: number; readonly most?: number }): Query {
  const given = [least, most].filter((n) => n !== undefined);
  if (given.length === 0 || !given.every((n) => isLength(String(n))) || (least ?? 0) > (most ?? 9999))
    throw new RangeError(
      `lasts ${least} to ${most} ${unit}: give least, most or both, from 0 to 9999 with three decimals at most, least not above most`,
    );
  if (!LENGTH_UNITS.includes(unit)) throw new RangeError(`"${unit}" is no unit; there are: ${LENGTH_UNITS.join(', ')}`);
  return { kind: 'lasts', unit, ...(least !== undefined && { least }), ...(most !== undefined && { most }) };
}

/**
 * Phrases in which all of these are found, wherever.
 * @throws RangeError if nothing is given
 * @example
 * all(degrees(['5', '1']), entersOn('1')).kind // => 'all'
 */
export const all = (...parts: readonly Query[]): Query => joined('all', parts);

/**
 * Phrases in which one of these is found.
 * @throws RangeError if nothing is given
 * @example
 * any(endsOn('1'), endsOn('5')).kind // => 'any'
 */
export const any = (...parts: readonly Query[]): Query => joined('any', parts);

function joined(kind: 'all' | 'any', parts: readonly Query[]): Query {
  if (parts.length === 0) throw new RangeError(`${kind}() needs at least one query`);
  return parts.length === 1 ? (parts[0] as Query) : { kind, parts };
}

/**
 * Phrases in which this is not found.
 * @example
 * not(gesture(['bent'])).kind // => 'not'
 */
export const not = (part: Query): Query => ({ kind: 'not', part });

/**
 * Places of `outer` within which each of the others is found too (`not`: is not found).
 * @throws RangeError if only one query is given
 * @example
 * holding(degrees(['5', '6', '1']), gesture(['prebent'])).kind // => 'holding'
 */
export function holding(outer: Query, ...inner: readonly Query[]): Query {
  if (inner.length === 0) throw new RangeError('holding() needs a query for what lies within the places of the first');
  return { kind: 'holding', outer, inner };
}
