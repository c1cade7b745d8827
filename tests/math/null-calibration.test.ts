// Whether what is called more than chance is chance as often as it says, for two players of whom one has nine times as many
// phrases as the other: 4 against 36.
import { describe, expect, it } from 'vitest';
import { createRandom, type Random } from '../../lib/foundation/random.js';
import { type Phrases, phrasesOf } from '../../lib/math/phrases.js';
import { maximalRepeats } from '../../lib/math/repeats.js';
import { chainOf, drawFromChains, falseDiscoveryRates, shuffleWithin } from '../../lib/math/sequence-null.js';
import { binomialInterval } from './binomial.js';

const GROUPS = Array.from({ length: 40 }, (_, f) => (f < 4 ? 0 : 1));
const STATED = 0.1;

/** Phrases of pure noise: one group goes by small steps among few symbols, the other leaps among many. */
function noise(random: Random, isChain: boolean): Phrases {
  return phrasesOf(
    GROUPS.map((group) => {
      const size = group === 0 ? 5 : 8;
      let symbol = random.int(size);
      return Array.from({ length: 6 + random.int(9) }, () => {
        const stays = isChain && random.next() < 0.6;
        symbol = stays ? (symbol + random.int(2)) % size : random.int(size);
        return symbol + 1;
      });
    }),
  );
}

/** The scores of all repeats of three symbols or more: places apart times what their symbols tell, in bits. */
function scores(phrases: Phrases, bits: Float64Array): readonly number[] {
  const { count, lengths, offsets, places, apart } = maximalRepeats(phrases, { leastLength: 3 });
  return Array.from({ length: count }, (_, r) => {
    const from = places[offsets[r]!]!;
    const word = phrases.symbols.subarray(from, from + lengths[r]!);
    return (apart[r]! - 1) * word.reduce((sum, symbol) => sum + bits[symbol]!, 0);
  });
}

function bitsOf({ symbols }: Phrases): Float64Array {
  const counts: Float64Array = new Float64Array(9);
  for (const symbol of symbols) if (symbol > 0) counts[symbol]!++;
  return counts.map((n) => (n === 0 ? 0 : -Math.log2(n / (symbols.length - GROUPS.length))));
}

type Null = 'drawn from fitted chains' | 'shuffled within phrases' | 'made as the corpus was';

/** Whether anything at all in a corpus is called more than chance at the stated rate. */
function isAlarmed(phrases: Phrases, kind: Null, random: Random, isChain: boolean): boolean {
  const bits = bitsOf(phrases);
  const chains = [0, 1].map((group) => chainOf(phrases, (f) => GROUPS[f] === group));
  const nullCorpus = {
    'drawn from fitted chains': () => drawFromChains(phrases, GROUPS, chains, random),
    'shuffled within phrases': () => shuffleWithin(phrases, random),
    'made as the corpus was': () => noise(random, isChain),
  }[kind];
  const nulls = Array.from({ length: 50 }, () => scores(nullCorpus(), bits));
  return falseDiscoveryRates(scores(phrases, bits), nulls).some((rate) => rate <= STATED);
}

const CORPORA = 200;
const alarms = (kind: Null, seed: number, isChain: boolean): number => {
  const random = createRandom(seed);
  return Array.from({ length: CORPORA }).filter(() => isAlarmed(noise(random, isChain), kind, random, isChain)).length;
};

describe(`false discovery rates on noise, 4 phrases against 36, stated rate ${STATED}`, () => {
  // All discoveries in noise are false, so the rate is how often there is any. 99 of 100 counts lie within these bounds.
  const [low, high] = binomialInterval(CORPORA, STATED, 0.01);

  it('the bounds are those of scipy.stats.binom.interval (SciPy 1.17.1)', () => {
    expect(binomialInterval(200, 0.1, 0.01)).toEqual([10, 32]);
    expect(binomialInterval(1000, 0.1, 0.01)).toEqual([76, 125]);
  });

  it('holds for scores that have nothing to do with each other', () => {
    const random = createRandom(1);
    const draw = () => Array.from({ length: 5 + random.int(20) }, () => random.next());
    const found = Array.from({ length: 1000 }).filter(() => {
      const nulls = Array.from({ length: 100 }, draw);
      return falseDiscoveryRates(draw(), nulls).some((rate) => rate <= STATED);
    }).length;
    const [least, most] = binomialInterval(1000, STATED, 0.01);
    expect(found).toBeGreaterThanOrEqual(least);
    expect(found).toBeLessThanOrEqual(most);
  });

  it('holds for repeats in phrases whose symbols have been shuffled', () => {
    const found = alarms('shuffled within phrases', 2, false);
    expect(found).toBeGreaterThanOrEqual(low);
    expect(found).toBeLessThanOrEqual(high);
  });

  // Repeats come in families, since one brings its parts along: the mean number in null corpora counts the whole family, an
  // alarm counts once. And chains fitted to four phrases repeat themselves more than what they were fitted to.
  it.each<[Null, string, boolean]>([
    ['made as the corpus was', 'symbols that do not depend on each other', false],
    ['made as the corpus was', 'symbols that depend on the one before', true],
    ['drawn from fitted chains', 'symbols that do not depend on each other', false],
    ['drawn from fitted chains', 'symbols that depend on the one before', true],
  ])('is not exceeded with null corpora %s, on %s', (kind, _, isChain) => {
    expect(alarms(kind, 3, isChain)).toBeLessThanOrEqual(high);
  });

  it.each<Null>(['drawn from fitted chains', 'shuffled within phrases'])(
    'does not keep a sequence of eight in six phrases from being found: null corpora %s',
    (kind) => {
      const random = createRandom(5);
      const found = Array.from({ length: 30 }).filter(() => {
        const { symbols, starts } = noise(random, false);
        for (let f = 10; f < 16; f++) {
          const length = starts[f + 1]! - 1 - starts[f]!;
          symbols.set([3, 6, 1, 8, 2, 7, 4, 5].slice(0, length), starts[f]);
        }
        return isAlarmed({ symbols, starts }, kind, random, false);
      }).length;
      expect(found).toBeGreaterThanOrEqual(27);
    },
  );
});
