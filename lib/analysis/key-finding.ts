// The key of a line from how long it stays on each pitch class: correlation with published profiles.
import { mod, type PitchClass, pitchClass } from '../foundation/units.js';
import { type Key, parseKey } from '../theory/scale.js';

/** How much a key is heard in each pitch class, from its tonic up. */
export interface KeyProfile {
  readonly name: string;
  readonly source: string;
  readonly major: readonly number[];
  readonly minor: readonly number[];
}

/** Rock melodies: the share of notes on each degree. */
export const ROCK_PROFILE: KeyProfile = {
  name: 'rock',
  source:
    'D. Temperley and T. de Clercq 2013, Statistical Analysis of Harmony and Melody in Rock Music, Journal of New Music Research 42(3):187-204',
  major: [0.223, 0.001, 0.158, 0.015, 0.194, 0.071, 0.002, 0.169, 0.003, 0.119, 0.008, 0.035],
  minor: [0.317, 0.001, 0.09, 0.159, 0.046, 0.097, 0.007, 0.131, 0.009, 0.047, 0.087, 0.009],
};

/** How well listeners found that a tone fits a key (the second value is 2.23: copies with 2.33 are a slip). */
export const KRUMHANSL_PROFILE: KeyProfile = {
  name: 'krumhansl',
  source:
    'C. L. Krumhansl and E. J. Kessler 1982, Tracing the dynamic changes in perceived tonal organization, Psychological Review 89(4):334-368',
  major: [6.35, 2.23, 3.48, 2.33, 4.38, 4.09, 2.52, 5.19, 2.39, 3.66, 2.29, 2.88],
  minor: [6.33, 2.68, 3.52, 5.38, 2.6, 3.53, 2.54, 4.75, 3.98, 2.69, 3.34, 3.17],
};

/** A tone as it counts for a key. */
export interface KeyTone {
  /** In cents; a quarter-tone counts half for the key below it and half for the one above. */
  readonly pitch: number;
  /** How much it counts: its ticks, say. */
  readonly weight: number;
}

/** A key and how well it fits: the correlation, -1 to 1. */
export interface KeyFit {
  readonly key: Key;
  readonly fit: number;
}

/** What was found: all 24 keys, the best first; or that there is too little to tell. */
export type KeyFinding =
  | {
      readonly isClear: true;
      readonly key: Key;
      readonly fit: number;
      readonly next: KeyFit;
      /** By how much the best key fits better than the next one. Under .05 it is as good as a tie. */
      readonly margin: number;
      readonly all: readonly KeyFit[];
    }
  | { readonly isClear: false; readonly reason: string };

const MAJOR_TONICS = ['C', 'Db', 'D', 'Eb', 'E', 'F', 'F#', 'G', 'Ab', 'A', 'Bb', 'B'];
const MINOR_TONICS = ['C', 'C#', 'D', 'Eb', 'E', 'F', 'F#', 'G', 'G#', 'A', 'Bb', 'B'];
/** Fewer tones than these tell no key. */
const LEAST_TONES = 5;

/**
 * The key of tones: the one of the 24 major and minor keys whose profile goes best with how much each pitch class is heard (Pearson's correlation; C. L. Krumhansl 1990, Cognitive
 * Foundations of Musical Pitch, chapter 4). Give tones their lengths as weights: the bare set of the tones of a minor pentatonic fits its relative major better.
 * @example
 * const tones = [69, 72, 73, 76, 79, 69, 76, 74, 72, 69].map((key) => ({ pitch: key * 100, weight: 1 }))
 * const found = findKey(tones)
 * found.isClear && `${found.key.tonicName} ${found.key.mode} ${found.fit.toFixed(3)}` // => 'A minor 0.909'
 * findKey([]).isClear // => false
 */
export function findKey(tones: readonly KeyTone[], profile: KeyProfile = ROCK_PROFILE): KeyFinding {
  const heard = new Array<number>(12).fill(0);
  let many = 0;
  for (const { pitch, weight } of tones) {
    if (!(weight > 0)) continue;
    many++;
    const above = mod(pitch, 100) / 100;
    const at = mod(Math.floor(pitch / 100), 12);
    const next = mod(at + 1, 12);
    heard[at] = (heard[at] as number) + weight * (1 - above);
    heard[next] = (heard[next] as number) + weight * above;
  }
  if (many < LEAST_TONES)
    return { isClear: false, reason: `${many} tone${many === 1 ? '' : 's'} tell no key: ${LEAST_TONES} are needed` };
  if (heard.every((h) => Math.abs(h - (heard[0] as number)) < 1e-9))
    return { isClear: false, reason: 'all twelve pitch classes are heard alike' };
  const all = (['major', 'minor'] as const)
    .flatMap((mode) =>
      Array.from({ length: 12 }, (_, tonic): KeyFit => {
        const turned = profile[mode].map((_, k) => heard[mod(tonic + k, 12)] as number);
        return { key: keyAt(pitchClass(tonic), mode), fit: correlation(turned, profile[mode]) };
      }),
    )
    .sort((a, b) => b.fit - a.fit);
  const [best, next] = all as [KeyFit, KeyFit];
  return { isClear: true, key: best.key, fit: best.fit, next, margin: best.fit - next.fit, all };
}

const keyAt = (tonic: PitchClass, mode: 'major' | 'minor'): Key =>
  parseKey(`${(mode === 'major' ? MAJOR_TONICS : MINOR_TONICS)[tonic]} ${mode}`) as Key;

function correlation(a: readonly number[], b: readonly number[]): number {
  const mean = (x: readonly number[]) => x.reduce((sum, v) => sum + v, 0) / x.length;
  const [ma, mb] = [mean(a), mean(b)];
  let [ab, aa, bb] = [0, 0, 0];
  a.forEach((x, i) => {
    const [da, db] = [x - ma, (b[i] as number) - mb];
    ab += da * db;
    aa += da * da;
    bb += db * db;
  });
  return ab / Math.sqrt(aa * bb);
}
