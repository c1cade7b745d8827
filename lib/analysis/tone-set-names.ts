// Names for sets of tones that are complete: triads, seventh chords, pentatonics and scales, and which tones of a name are missing.
import { mod } from '../foundation/units.js';
import { FAMILIAR_SCALES } from '../theory/familiar-scale.js';
import { inScale, type Key } from '../theory/scale.js';

/** Semitones above a root as bits. */
export const bitsOf = (semitones: Iterable<number>): number => {
  let bits = 0;
  for (const s of semitones) bits |= 1 << mod(s, 12);
  return bits;
};

/** The same tones counted from another root, so many semitones higher. */
export const above = (bits: number, root: number): number => {
  const r = mod(root, 12);
  return ((bits >> r) | (bits << (12 - r))) & 0xfff;
};

/** How many tones a set has. */
export const sizeOf = (bits: number): number => {
  let n = 0;
  for (let left = bits; left !== 0; left &= left - 1) n++;
  return n;
};

const TRIADS: readonly (readonly [string, readonly number[]])[] = [
  ['triad', [0, 4, 7]],
  ['minor triad', [0, 3, 7]],
  ['diminished triad', [0, 3, 6]],
  ['augmented triad', [0, 4, 8]],
];

const SEVENTHS: readonly (readonly [string, readonly number[]])[] = [
  ['7', [0, 4, 7, 10]],
  ['m7', [0, 3, 7, 10]],
  ['maj7', [0, 4, 7, 11]],
  ['m7b5', [0, 3, 6, 10]],
  ['dim7', [0, 3, 6, 9]],
  ['6', [0, 4, 7, 9]],
  ['m6', [0, 3, 7, 9]],
];

const NINTHS: readonly (readonly [string, readonly number[]])[] = [
  ['', [0, 2, 4, 7]],
  ['m', [0, 2, 3, 7]],
  ['7', [0, 2, 4, 7, 10]],
  ['m7', [0, 2, 3, 7, 10]],
  ['maj7', [0, 2, 4, 7, 11]],
];

const FIRST_FIVE: readonly (readonly [string, readonly number[]])[] = [
  ['', [0, 2, 4, 5, 7]],
  [' minor', [0, 2, 3, 5, 7]],
];

const find = (list: readonly (readonly [string, readonly number[]])[], bits: number): string | undefined =>
  list.find(([, set]) => bitsOf(set) === bits)?.[0];

/**
 * `the D minor triad`, for the tones of a triad counted from its root; `undefined` if they are none.
 * @example
 * triadName(bitsOf([0, 3, 7]), 'D') // => 'the D minor triad'
 */
export function triadName(bits: number, root: string): string | undefined {
  const triad = find(TRIADS, bits);
  return triad && `the ${root} ${triad}`;
}

/** `the tones of C7`. */
export function seventhName(bits: number, root: string): string | undefined {
  const type = find(SEVENTHS, bits);
  return type === undefined ? undefined : `the tones of ${root}${type}`;
}

/** `Gm7 with its ninth`. */
export function ninthName(bits: number, root: string): string | undefined {
  const type = find(NINTHS, bits);
  return type === undefined ? undefined : `${root}${type} with its ninth`;
}

/** `E minor pentatonic`, `F blues scale`: the familiar scales of five and six tones. */
export function shortScaleName(bits: number, root: string): string | undefined {
  const scale = FAMILIAR_SCALES.find(({ semitones }) => semitones.length < 7 && bitsOf(semitones) === bits);
  return scale && `${root} ${scale.name}`;
}

/** `the first five tones of G minor`. */
export function firstFiveName(bits: number, root: string): string | undefined {
  const five = find(FIRST_FIVE, bits);
  return five === undefined ? undefined : `the first five tones of ${root}${five}`;
}

const MINORS = ['harmonic minor', 'melodic minor'];

/** The scale of a key, and of a minor key the harmonic and the melodic minor, for tones counted from the tonic. */
export function ownScaleName(bits: number, key: Key): string | undefined {
  const own = bitsOf(listOf(0xfff).filter((s) => inScale(key, s)));
  if (bits === own) {
    const mode = key.mode.replace(/^(major )?blues$/, 'mixolydian');
    return `${key.tonicName} ${mode}${mode === 'major' || mode === 'minor' ? ' scale' : ''}`;
  }
  if (!inScale(key, 3) || inScale(key, 4)) return undefined;
  const minor = FAMILIAR_SCALES.find(({ name, semitones }) => MINORS.includes(name) && bitsOf(semitones) === bits);
  return minor && `${key.tonicName} ${minor.name}`;
}

/**
 * A pentatonic or a blues scale of which all tones are there, with one more.
 * @example
 * scaleWithOne(bitsOf([0, 3, 5, 7, 9, 10])) // => { name: 'minor pentatonic', more: 9 }
 */
export function scaleWithOne(bits: number): { readonly name: string; readonly more: number } | undefined {
  for (const { name, semitones } of FAMILIAR_SCALES) {
    const scale = bitsOf(semitones);
    if (semitones.length < 7 && (scale & ~bits) === 0 && sizeOf(bits & ~scale) === 1)
      return { name, more: listOf(bits & ~scale)[0] as number };
  }
  return undefined;
}

/** All subsets of a set, the smallest first. */
export function subsetsOf(bits: number): readonly number[] {
  const found: number[] = [];
  for (let sub = bits; ; sub = (sub - 1) & bits) {
    found.push(sub);
    if (sub === 0) break;
  }
  return found.sort((a, b) => sizeOf(a) - sizeOf(b) || a - b);
}

/** The semitones of a set, rising. */
export const listOf = (bits: number): readonly number[] =>
  Array.from({ length: 12 }, (_, s) => s).filter((s) => bits & (1 << s));
