// Which root sounding pitch classes support, and how strongly: Parncutt's model. It knows nothing of keys and of changes.
import { mod, type PitchClass, pitchClass } from '../foundation/units.js';

/** The sets of weights that Parncutt published. */
export type SupportWeights = 1988 | 2006;

/**
 * What a pitch class so many semitones above a root adds to it. 1988: R. Parncutt, "Revision of Terhardt's psychoacoustical model of the root(s)
 * of a musical chord", Music Perception 6(1):65-93, doi 10.2307/40285416. 2006: the same, Empirical Musicology Review 1(4):204-209.
 */
const WEIGHTS: Readonly<Record<SupportWeights, Readonly<Record<number, number>>>> = {
  1988: { 0: 1, 7: 1 / 2, 4: 1 / 3, 10: 1 / 4, 2: 1 / 5, 3: 1 / 10 },
  2006: { 0: 10, 7: 5, 4: 3, 10: 2, 2: 1 },
};

/** Sums of these weights that differ by less are equal. */
const SAME = 1e-9;

/**
 * How strongly sounding pitch classes support each of the twelve as their root, from C up: the sum of the weights of the intervals above it that
 * sound. A pitch class counts once, in whatever octaves it sounds.
 * @param weights 1988 (the default) or 2006
 * @example
 * rootSupport([0, 4, 7].map(pitchClass), 2006) // => [18, 0, 3, 3, 10, 6, 2, 10, 3, 7, 1, 0]
 */
export function rootSupport(sounding: Iterable<PitchClass>, weights: SupportWeights = 1988): readonly number[] {
  const classes = [...new Set(sounding)];
  return Array.from({ length: 12 }, (_, root) =>
    classes.reduce((sum, pc) => sum + (WEIGHTS[weights][mod(pc - root, 12)] ?? 0), 0),
  );
}

/**
 * The pitch classes that are supported most: one, or several where they tie (a tritone); none if nothing sounds.
 * @param bass breaks a tie, if it is one of them
 * @example
 * supportedRoots([0, 5].map(pitchClass)) // => [5]
 * supportedRoots([5, 11].map(pitchClass)) // => [5, 11]
 * supportedRoots([5, 11].map(pitchClass), { bass: pitchClass(11) }) // => [11]
 */
export function supportedRoots(
  sounding: Iterable<PitchClass>,
  options: { readonly weights?: SupportWeights; readonly bass?: PitchClass } = {},
): readonly PitchClass[] {
  const support = rootSupport(sounding, options.weights);
  const most = Math.max(...support);
  if (most === 0) return [];
  const roots = support.flatMap((strength, root) => (most - strength < SAME ? [pitchClass(root)] : []));
  return options.bass !== undefined && roots.includes(options.bass) ? [options.bass] : roots;
}

/**
 * How many roots sounding pitch classes seem to have: the square root of the sum of all support over the greatest. A single tone has about 1.5, a major
 * triad 2.0, a diminished seventh 2.9; `undefined` if nothing sounds. Source: Parncutt 1988, as {@link rootSupport}.
 * @param weights 1988 (the default) or 2006
 * @example
 * rootAmbiguity([0, 4, 7].map(pitchClass))?.toFixed(1) // => '2.0'
 */
export function rootAmbiguity(sounding: Iterable<PitchClass>, weights: SupportWeights = 1988): number | undefined {
  const support = rootSupport(sounding, weights);
  const most = Math.max(...support);
  return most === 0 ? undefined : Math.sqrt(support.reduce((sum, strength) => sum + strength, 0) / most);
}
