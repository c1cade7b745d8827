// Keys by published profiles, against published and computed correlations, and on the demo solos.
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { findKey, type KeyProfile, KRUMHANSL_PROFILE, ROCK_PROFILE } from '../../lib/analysis/key-finding.js';
import { readCorpus } from '../../lib/intake/read-corpus.js';
import { tonesOf } from '../../lib/solo/timeline.js';
import { keyText } from '../../lib/theory/scale.js';

const tones = (keys: readonly number[]) => keys.map((key) => ({ pitch: key * 100, weight: 1 }));
const fits = (keys: readonly number[], profile: KeyProfile): ReadonlyMap<string, number> => {
  const found = findKey(tones(keys), profile);
  if (!found.isClear) throw new Error(found.reason);
  return new Map(found.all.map(({ key, fit }) => [keyText(key), fit]));
};
/** A key's own profile as tones. */
const asTones = (profile: readonly number[]) => profile.map((weight, k) => ({ pitch: (60 + k) * 100, weight }));

describe('correlations with the profiles of Krumhansl and Kessler (1982)', () => {
  // Values computed from the published profiles; A minor, G major and C minor stand so in C. L. Krumhansl 1990, table 2.4 (from memory).
  it('of C major with others', () => {
    const found = findKey(asTones(KRUMHANSL_PROFILE.major), KRUMHANSL_PROFILE);
    const all = new Map(found.isClear ? found.all.map(({ key, fit }) => [keyText(key), fit]) : []);
    const want: Readonly<Record<string, number>> = {
      'C major': 1,
      'A minor': 0.6496,
      'G major': 0.591,
      'C minor': 0.5121,
      'F# major': -0.6828,
    };
    for (const [key, fit] of Object.entries(want)) expect(all.get(key), key).toBeCloseTo(fit, 3);
  });
  it('of the bare set of the C major scale', () => {
    const all = fits([60, 62, 64, 65, 67, 69, 71], KRUMHANSL_PROFILE);
    expect(['C major', 'A minor', 'G major', 'E minor'].map((key) => (all.get(key) as number).toFixed(4))).toEqual([
      '0.7564',
      '0.7121',
      '0.6775',
      '0.5892',
    ]);
  });
  it('of the chromatic scale and the whole-tone notes within it, in a general library’s own test', () => {
    // 56 to 67 and 56, 58 ... 66: twelve major correlations of +-0.06795243480111, twelve minor ones of +-0.00793680748393 (test of a general library, as quoted).
    const all = fits([...Array.from({ length: 12 }, (_, k) => 56 + k), 56, 58, 60, 62, 64, 66], KRUMHANSL_PROFILE);
    for (const [key, fit] of all)
      expect(Math.abs(fit), key).toBeCloseTo(key.endsWith('major') ? 0.06795243480111 : 0.00793680748393, 9);
  });
  it('the bare set of A minor pentatonic is C major to them, with tonic and fifth as often as played A minor', () => {
    const bare = fits([69, 72, 74, 76, 79], KRUMHANSL_PROFILE);
    expect([bare.get('C major')?.toFixed(3), bare.get('A minor')?.toFixed(3)]).toEqual(['0.756', '0.700']);
    const played = fits([69, 69, 69, 72, 74, 76, 76, 79], KRUMHANSL_PROFILE);
    expect(played.get('A minor') as number).toBeGreaterThan(played.get('C major') as number);
    expect(fits([69, 69, 69, 72, 72, 74, 76, 76, 79], KRUMHANSL_PROFILE).get('A minor')?.toFixed(3)).toBe('0.910');
    const found = findKey(tones([69, 69, 69, 72, 74, 76, 76, 79]), KRUMHANSL_PROFILE);
    expect(found.isClear && keyText(found.key)).toBe('A minor');
  });
  it('a lick of A with both thirds is A minor, by either profile', () => {
    const lick = [69, 72, 73, 76, 79, 69, 76, 74, 72, 69];
    expect([
      fits(lick, KRUMHANSL_PROFILE).get('A minor')?.toFixed(3),
      fits(lick, ROCK_PROFILE).get('A minor')?.toFixed(3),
    ]).toEqual(['0.851', '0.909']);
    expect(fits(lick, KRUMHANSL_PROFILE).get('A major')?.toFixed(3)).toBe('0.671');
  });
});

describe('what cannot be told', () => {
  it('no tones, four tones, all twelve alike: said, and no number that is none', () => {
    for (const keys of [[], [60, 62, 64, 65], Array.from({ length: 12 }, (_, k) => 60 + k)])
      expect(findKey(tones(keys)).isClear).toBe(false);
    expect(findKey(asTones([0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0])).isClear).toBe(false);
  });
  it('moving all tones moves the key with them; the fits are those of the key moved', () => {
    fc.assert(
      fc.property(
        fc.array(fc.integer({ min: 48, max: 84 }), { minLength: 6, maxLength: 40 }),
        fc.integer({ min: 1, max: 11 }),
        (keys, by) => {
          const [a, b] = [findKey(tones(keys)), findKey(tones(keys.map((k) => k + by)))];
          expect(a.isClear).toBe(b.isClear);
          if (!a.isClear || !b.isClear) return;
          for (const { fit } of [...a.all, ...b.all])
            expect(Number.isFinite(fit) && Math.abs(fit) <= 1 + 1e-9).toBe(true);
          expect(b.fit).toBeCloseTo(a.fit, 9);
          if (a.margin > 1e-9) expect((a.key.tonic + by) % 12).toBe(b.key.tonic);
        },
      ),
    );
  });
});

it('of 26 demo solos the tonic is found in 22 by the rock profile, in 19 by the other', () => {
  const demo = readCorpus(['data/solos']).solos;
  const right = (profile: KeyProfile): number =>
    demo.filter(({ solo }) => {
      const found = findKey(
        tonesOf(solo).map((t) => ({ pitch: t.pitch, weight: t.length })),
        profile,
      );
      return found.isClear && found.key.tonic === solo.key.tonic;
    }).length;
  expect([right(ROCK_PROFILE), right(KRUMHANSL_PROFILE)]).toEqual([22, 19]);
});
