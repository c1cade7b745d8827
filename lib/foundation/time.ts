// Exact musical time on one lattice, and the note values that players write.
import { type Ticks, ticks } from './units.js';

/** Ticks in a quarter note: exact for 64ths, for tuplets of 3, 5, 7 and 9, and for files at 480 or 960 to the quarter. */
export const QUARTER: Ticks = ticks(20160);

/** The letters of note values, longest first: whole, half, quarter, eighth, sixteenth, thirty-second. */
export const VALUE_LETTERS = ['w', 'h', 'q', 'e', 's', 't'] as const;
/** A letter of a note value. */
export type ValueLetter = (typeof VALUE_LETTERS)[number];

const LETTER_TICKS: Readonly<Record<ValueLetter, number>> = {
  w: QUARTER * 4,
  h: QUARTER * 2,
  q: QUARTER,
  e: QUARTER / 2,
  s: QUARTER / 4,
  t: QUARTER / 8,
};

/** A written note value: a letter, dots, and `n` notes in the time of `m`. */
export interface NoteValue {
  readonly letter: ValueLetter;
  readonly dots: number;
  readonly n: number;
  readonly m: number;
}

/** What `n` notes of a tuplet stand in place of when it is not written: the power of two below n (3 for 2, 5 for 4). */
export function tupletDefault(n: number): number {
  let m = 1;
  while (m * 2 < n) m *= 2;
  return m;
}

/**
 * The length of a written value in ticks, or `undefined` when it does not fall on the tick lattice.
 * @example
 * valueTicks({ letter: 'q', dots: 1, n: 1, m: 1 }) // => 30240
 * valueTicks({ letter: 'e', dots: 0, n: 3, m: 2 }) // => 6720
 */
export function valueTicks(value: NoteValue): Ticks | undefined {
  // A dot adds half of what stands before it: base * (2 - 2^-dots).
  const length = (LETTER_TICKS[value.letter] * (2 - 2 ** -value.dots) * value.m) / value.n;
  return Number.isInteger(length) && length > 0 ? ticks(length) : undefined;
}

const VALUE = /^([whqest])(\.*)(?::(\d+)(?:\/(\d+))?)?$/;

/**
 * The length of a value as it is written, `undefined` for what is none, or `'off'` for a value that falls off the tick lattice.
 * @example
 * readValue('q.') // => 30240
 * readValue('e:3') // => 6720
 * readValue('e:11') // => 'off'
 */
export function readValue(word: string): Ticks | undefined | 'off' {
  if (word.length === 1) return PLAIN[word];
  const match = VALUE.exec(word);
  if (!match) return undefined;
  const n = Number(match[3] ?? 1);
  const m = match[4] === undefined ? (match[3] === undefined ? 1 : tupletDefault(n)) : Number(match[4]);
  const dots = (match[2] as string).length;
  if (n < 1 || m < 1 || n > 1e9 || m > 1e9 || dots > 4) return 'off';
  return valueTicks({ letter: match[1] as ValueLetter, dots, n, m }) ?? 'off';
}

const PLAIN: Readonly<Record<string, Ticks>> = Object.fromEntries(
  VALUE_LETTERS.map((letter) => [letter, valueTicks({ letter, dots: 0, n: 1, m: 1 }) as Ticks]),
);

/**
 * The text of a value: `q.`, `e:3`, `e:5/4`.
 * @example
 * valueText({ letter: 'e', dots: 0, n: 3, m: 2 }) // => 'e:3'
 */
export function valueText(value: NoteValue): string {
  const dots = '.'.repeat(value.dots);
  if (value.n === 1 && value.m === 1) return value.letter + dots;
  const over = value.m === tupletDefault(value.n) ? '' : `/${value.m}`;
  return `${value.letter}${dots}:${value.n}${over}`;
}

const USUAL: ReadonlyMap<number, NoteValue> = usualValues();

/** Plain and dotted values first, then triplets, then the other tuplets: the first that has a length keeps it. */
function usualValues(): Map<number, NoteValue> {
  const table = new Map<number, NoteValue>();
  for (const n of [1, 3, 5, 7, 9])
    for (const dots of n === 1 ? [0, 1, 2] : [0])
      for (const letter of VALUE_LETTERS) {
        const value: NoteValue = { letter, dots, n, m: n === 1 ? 1 : tupletDefault(n) };
        const length = valueTicks(value);
        if (length !== undefined && !table.has(length)) table.set(length, value);
      }
  return table;
}

const gcd = (a: number, b: number): number => (b === 0 ? a : gcd(b, a % b));

/**
 * One written value for any length, always exact: a usual value if there is one, else the tuplet with the smallest numbers.
 * @example
 * valueText(valueFor(ticks(30240))) // => 'q.'
 * valueText(valueFor(ticks(2520 / 3))) // => 't:3/1'
 */
export function valueFor(length: Ticks): NoteValue {
  const usual = USUAL.get(length);
  if (usual) return usual;
  let best: NoteValue | undefined;
  for (const letter of ['h', 'q', 'e', 's', 't'] as const) {
    const base = LETTER_TICKS[letter];
    const shared = gcd(length, base);
    const value: NoteValue = { letter, dots: 0, n: base / shared, m: length / shared };
    if (!best || value.n + value.m < best.n + best.m) best = value;
  }
  return best as NoteValue;
}

/**
 * A length as one value, or as two or more tied ones, the way a player writes it: usual values wherever they add up.
 * The parts add up to the length exactly.
 * @example
 * valuesOf(ticks(25200)).map(valueText) // => ['q', 's']
 */
export function valuesOf(length: Ticks): readonly NoteValue[] {
  if (USUAL.has(length)) return [USUAL.get(length) as NoteValue];
  const parts: NoteValue[] = [];
  let rest: number = length;
  const plain = LETTER_TICKS;
  for (const letter of VALUE_LETTERS)
    while (rest >= plain[letter] && parts.length < 4) {
      const usual = USUAL.get(rest);
      if (usual) return [...parts, usual];
      parts.push({ letter, dots: 0, n: 1, m: 1 });
      rest -= plain[letter];
    }
  const last = USUAL.get(rest);
  if (rest === 0) return parts;
  if (last && parts.length < 4) return [...parts, last];
  return [valueFor(length)];
}

const WORDS: Readonly<Record<ValueLetter, string>> = {
  w: 'whole note',
  h: 'half note',
  q: 'quarter',
  e: 'eighth',
  s: 'sixteenth',
  t: 'thirty-second',
};

const NUMBERS = ['no', 'one', 'two', 'three', 'four', 'five', 'six', 'seven', 'eight', 'nine'];

/**
 * A length in a player's words: "one quarter", "three eighths", "a third of an eighth" is "one eighth triplet".
 * @example
 * lengthInWords(ticks(30240)) // => 'three eighths'
 * lengthInWords(ticks(6720)) // => 'one eighth-note triplet'
 */
export function lengthInWords(length: Ticks): string {
  for (const letter of ['q', 'e', 's', 't'] as const) {
    const count = length / LETTER_TICKS[letter];
    if (Number.isInteger(count)) return `${NUMBERS[count] ?? count} ${WORDS[letter]}${count === 1 ? '' : 's'}`;
  }
  for (const letter of ['q', 'e', 's'] as const) {
    const count = (length / LETTER_TICKS[letter]) * 1.5;
    if (Number.isInteger(count))
      return `${NUMBERS[count] ?? count} ${WORDS[letter]}-note triplet${count === 1 ? '' : 's'}`;
  }
  const value = valueFor(length);
  return `a value of ${valueText(value)}`;
}
