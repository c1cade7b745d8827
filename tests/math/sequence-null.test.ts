import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { createRandom } from '../../lib/foundation/random.js';
import { logLikelihoodRatio, logOdds } from '../../lib/math/contrast.js';
import { phrasesOf } from '../../lib/math/phrases.js';
import {
  chainOf,
  drawFromChains,
  falseDiscoveryRates,
  likelihood,
  shuffleWithin,
} from '../../lib/math/sequence-null.js';

const lists = fc.array(fc.array(fc.integer({ min: 1, max: 5 }), { maxLength: 12 }), { minLength: 1, maxLength: 8 });

describe('null corpora', () => {
  it('keep the lengths of phrases; shuffled ones keep the symbols of each', () => {
    fc.assert(
      fc.property(lists, fc.integer({ min: 0, max: 999 }), (all, seed) => {
        const phrases = phrasesOf(all);
        const groups = all.map((_, i) => i % 2);
        const chains = [0, 1].map((g) => chainOf(phrases, (f) => groups[f] === g));
        const drawn = drawFromChains(phrases, groups, chains, createRandom(seed));
        expect([...drawn.starts]).toEqual([...phrases.starts]);
        all.forEach((list, f) => {
          const part = [...drawn.symbols.subarray(phrases.starts[f], (phrases.starts[f + 1] as number) - 1)];
          expect(part).toHaveLength(list.length);
          for (const symbol of part) {
            // What is drawn comes in the phrases of the group.
            expect(all.some((other, g) => groups[g] === groups[f] && other.includes(symbol))).toBe(true);
          }
          const shuffled = shuffleWithin(phrases, createRandom(seed)).symbols.subarray(
            phrases.starts[f],
            (phrases.starts[f + 1] as number) - 1,
          );
          expect([...shuffled].sort()).toEqual([...list].sort());
        });
        expect([...drawFromChains(phrases, groups, chains, createRandom(seed)).symbols]).toEqual([...drawn.symbols]);
      }),
    );
  });

  it('draw followers as often as they came, and with the weight of two as symbols come anywhere', () => {
    const phrases = phrasesOf([[1, 2, 1, 2, 1, 3, 1, 2, 1, 3], new Array<number>(20000).fill(1)]);
    const chain = chainOf(phrases, (f) => f === 0);
    const { symbols, starts } = drawFromChains(phrases, [0, 0], [chain], createRandom(5));
    const part = [...symbols.subarray(starts[1], (starts[2] as number) - 1)];
    const after1 = part.slice(1).filter((_, i) => part[i] === 1);
    // 3 of 5 behind a 1, 3 of 10 anywhere.
    expect(after1.filter((s) => s === 2).length / after1.length).toBeCloseTo((3 + 2 * 0.3) / (5 + 2), 1);
    expect(likelihood(chain, 1, 2)).toBe(3 / 5);
  });
});

describe('false discovery rates', () => {
  it('are the mean number in null corpora and the observed one over the number observed, never falling with a lower score', () => {
    fc.assert(
      fc.property(
        fc.array(fc.integer({ min: 0, max: 9 }), { minLength: 1 }),
        fc.array(fc.array(fc.integer({ min: 0, max: 9 })), { minLength: 1 }),
        (observed, nulls) => {
          const raw = (score: number) => {
            const observedThere = observed.filter((s) => s >= score).length;
            const chance = nulls.flat().filter((s) => s >= score).length;
            return Math.min(1, (chance + observedThere) / (nulls.length + 1) / observedThere);
          };
          const naive = observed.map((score) => Math.max(...observed.filter((s) => s >= score).map(raw)));
          falseDiscoveryRates(observed, nulls).forEach((rate, i) => {
            expect(rate).toBeCloseTo(naive[i] as number, 12);
          });
        },
      ),
    );
  });
});

it('false discovery rates are refused without null corpora', () => {
  expect(() => falseDiscoveryRates([3, 1], [])).toThrow(RangeError);
  expect(() => falseDiscoveryRates([3, 1], [])).toThrow('no null corpora');
  expect(falseDiscoveryRates([3, 1], [[]])).toEqual([0.5, 0.5]);
});

describe('contrast', () => {
  // Monroe, Colaresi and Quinn 2008: the flat third 20 of 100 against 5 of 100 under three priors (values computed from the published formula).
  it.each([
    [{ of: 25, all: 200 }, 0.4626, 1.9627],
    [{ of: 2.5, all: 20 }, 1.2417, 2.945],
    [{ of: 0.01, all: 0.12 }, 1.5564, 3.1155],
  ])('log odds with prior %j', (prior, delta, z) => {
    const found = logOdds(20, 100, 5, 100, prior);
    expect(found.delta).toBeCloseTo(delta, 3);
    expect(found.z).toBeCloseTo(z, 3);
  });
  it('Dunning 1993, "the swiss": 270.72 (from memory; computed)', () => {
    expect(logLikelihoodRatio(110, 2442, 111, 29114)).toBeCloseTo(270.72, 2);
  });
});
