import { describe, expect, it } from 'vitest';
import { type Difficulty, rankByDifficulty } from '../../lib/curriculum/difficulty.js';
import { demandsOf, fitWeights, type Grading } from '../../lib/curriculum/difficulty-fit.js';
import { FEATURES, WEIGHTS, weightsOf } from '../../lib/curriculum/difficulty-table.js';
import { createRandom } from '../../lib/foundation/random.js';
import { readCorpus } from '../../lib/intake/read-corpus.js';

const phrases = rankByDifficulty(readCorpus(['data/solos']).solos).map((r) => r.difficulty);
/** Forty phrases of all degrees. */
const some = phrases.filter((_, i) => i % 5 === 2).slice(0, 40);

/** A teacher to whom only speed and bends count. */
const taste = FEATURES.map(({ name }) => (name === 'speed' ? 1 : name === 'bends' ? 6 : 0));
const score = (d: Difficulty) => demandsOf(d).reduce((sum, x, k) => sum + x * taste[k]!, 0);
const gradings = (n: number, seed: number, judge: (a: Difficulty, b: Difficulty) => boolean): readonly Grading[] => {
  const random = createRandom(seed);
  return Array.from({ length: n }, () => {
    const a = some[random.int(some.length)]!;
    const b = some[random.int(some.length)]!;
    return judge(a, b) ? { harder: a, easier: b } : { harder: b, easier: a };
  });
};

describe('weights from gradings', () => {
  it("learns a teacher's taste: better on held-out pairs than the table, and says so", () => {
    const fit = fitWeights(
      gradings(150, 7, (a, b) => score(a) > score(b)),
      { ridge: 0.5 },
    );
    expect(fit.fitted).toBe(true);
    expect(fit.heldOut!.right).toBeGreaterThan(fit.heldOut!.priorRight);
    expect(fit.heldOut!.accuracy.estimate).toBeGreaterThan(0.75);
    expect(fit.weights.bends).toBeGreaterThan(WEIGHTS.bends);
    expect(fit.weights.length).toBeLessThan(WEIGHTS.length);
    expect(Math.min(...Object.values(fit.weights))).toBeGreaterThanOrEqual(0);
    expect(fit.said).toContain('an order, not a grade');
  });

  it('of gradings at random it says that they may be chance, or that nothing is gained', () => {
    const random = createRandom(3);
    const fit = fitWeights(gradings(120, 11, () => random.int(2) === 0));
    expect(fit.said).toMatch(/may be chance|nothing is gained/);
  });

  it('holds the interval to the number of phrases: pairs of one phrase are alike', () => {
    const fit = fitWeights(gradings(300, 5, (a, b) => score(a) > score(b)));
    const { low, high } = fit.heldOut!.accuracy;
    const narrowest = (Math.sqrt(0.09 / 40) * 1.96) / 2;
    expect(high - low).toBeGreaterThan(narrowest);
    expect(fit.heldOut!.pairs).toBe(fit.pairs);
  });

  it('grades count by their order only', () => {
    const byScore = some.slice(0, 12).sort((a, b) => score(a) - score(b));
    const one = fitWeights(byScore.map((phrase, i) => ({ phrase, grade: i })));
    const other = fitWeights(byScore.map((phrase, i) => ({ phrase, grade: i * i * 10 - 5 })));
    expect(one.pairs).toBe(66);
    expect(other.weights).toEqual(one.weights);
    const equal = fitWeights(byScore.map((phrase) => ({ phrase, grade: 3 })));
    expect([equal.pairs, equal.fitted]).toEqual([0, false]);
  });

  it('refuses too few, and says how many are the least', () => {
    const fit = fitWeights(gradings(19, 1, (a, b) => score(a) > score(b)));
    expect(fit.fitted).toBe(false);
    expect(fit.weights).toEqual(WEIGHTS);
    expect(fit.heldOut).toBeUndefined();
    expect(fit.said).toContain('too few to learn from: 20 pairs of 8 phrases are the least');
    expect(fitWeights([]).said).toContain('0 pairs of 0 phrases');
  });

  it('says what is no grade, no weight, no option', () => {
    expect(() => fitWeights([{ phrase: some[0]!, grade: Number.NaN }])).toThrow('grade 1 is NaN');
    expect(() => fitWeights([], { folds: 1 })).toThrow('1 folds');
    expect(() => fitWeights([], { ridge: 0 })).toThrow('a ridge of 0');
    expect(() => weightsOf({ speed: -1 })).toThrow('the weight of "speed" is -1');
    expect(() => weightsOf({ joy: 1 } as never)).toThrow('there is no feature "joy"');
  });
});
