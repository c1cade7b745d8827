// Whether "this belongs to that label" is false as often as it says, for 4 units of one label against 36 of the other.
import { describe, expect, it } from 'vitest';
import { createRandom, type Random, shuffle } from '../../lib/foundation/random.js';
import { belonging, belongings, type Spread } from '../../lib/math/relabelling.js';
import { binomialInterval } from './binomial.js';

const STATED = 0.05;
const LABELS = Array.from({ length: 40 }, (_, u) => (u < 4 ? 0 : 1));

/** Things that lie in some of 40 units, several times in each, as motifs lie in solos. */
const things = (random: Random, many: number, fewest: number, most: number): readonly Spread[] =>
  Array.from({ length: many }, () => {
    const units = shuffle([...LABELS.keys()], random).slice(0, fewest + random.int(most - fewest + 1));
    return { units, counts: units.map(() => 1 + random.int(4)) };
  });

describe('4 units against 36, labels that mean nothing', () => {
  it('one thing that lies in many units: false as often as stated, within the binomial interval of 1000 corpora', () => {
    const random = createRandom(21);
    const [low, high] = binomialInterval(1000, STATED, 0.01);
    const found = Array.from({ length: 1000 }).filter(() => {
      const sizes = LABELS.map(() => 40 + random.int(80));
      const [one] = belongings(things(random, 1, 20, 40), sizes, LABELS, { random, runs: 199 });
      return (one?.p as number) <= STATED;
    }).length;
    expect(found).toBeGreaterThanOrEqual(low);
    expect(found).toBeLessThanOrEqual(high);
  });

  it('any of twelve things: false as often as stated, within the binomial interval of 200 corpora; z calls far more', () => {
    const random = createRandom(22);
    const [low, high] = binomialInterval(200, STATED, 0.01);
    expect([low, high]).toEqual([3, 19]); // by the definition of the binomial distribution
    let [byChance, byZ] = [0, 0];
    for (let c = 0; c < 200; c++) {
      const sizes = LABELS.map(() => 40 + random.int(80));
      const found = belongings(things(random, 12, 4, 30), sizes, LABELS, { random, runs: 999 });
      if (found.some((b) => (b?.adjusted as number) <= STATED)) byChance++;
      if (found.some((b) => (b?.z as number) >= 1.96)) byZ++;
    }
    expect(byChance).toBeGreaterThanOrEqual(low);
    expect(byChance).toBeLessThanOrEqual(high);
    expect(byZ).toBeGreaterThan(2 * high);
  });

  it('things in few units are called so no oftener than stated', () => {
    const random = createRandom(23);
    const [, high] = binomialInterval(200, STATED, 0.01);
    const found = Array.from({ length: 200 }).filter(() => {
      const sizes = LABELS.map(() => 40 + random.int(80));
      return belongings(things(random, 25, 2, 7), sizes, LABELS, { random, runs: 999 }).some(
        (b) => (b?.adjusted as number) <= STATED,
      );
    }).length;
    expect(found).toBeLessThanOrEqual(high);
  });
});

describe('one thing', () => {
  it('p is the share of all ways to deal the labels out that do as well', () => {
    // In both units of label 0 of six of equal size: of the 15 ways to name two units so, 1 does as well.
    const labels = [0, 0, 1, 1, 1, 1];
    const [one] = belongings(
      [{ units: [0, 1], counts: [3, 3] }],
      labels.map(() => 50),
      labels,
      { random: createRandom(4), runs: 20000 },
    );
    expect(one?.p).toBeCloseTo(1 / 15, 2);
    expect(one).toMatchObject({ label: 0, count: 6, size: 100, otherCount: 0, otherSize: 200 });
  });
  it('the prior is a quarter of the corpus: 8 of 8 in half of it stand out, 6 of 6 do not', () => {
    const z = (n: number) => belonging({ units: [0], counts: [n] }, [1000, 1000], [0, 1])?.z as number;
    expect(z(8)).toBeGreaterThan(1.96);
    expect(z(6)).toBeLessThan(1.96);
    // ln((6 + 1.5) / (1000 + 500 - 7.5)) - ln(1.5 / (1500 - 1.5)), over sqrt(1 / 7.5 + 1 / 1.5)
    expect(z(6)).toBeCloseTo((Math.log(7.5 / 1492.5) - Math.log(1.5 / 1498.5)) / Math.sqrt(1 / 7.5 + 1 / 1.5), 12);
  });
  it('nothing can be told of one label, nor of what comes nowhere', () => {
    const random = createRandom(1);
    expect(belongings([{ units: [0], counts: [3] }], [10, 10], [0, 0], { random })).toEqual([undefined]);
    expect(belongings([{ units: [], counts: [] }], [10, 10], [0, 1], { random })).toEqual([undefined]);
    expect(belongings([], [10, 10], [0, 1], { random })).toEqual([]);
  });
  it('refuses sizes and runs that are none', () => {
    const random = createRandom(1);
    expect(() => belongings([], [10], [0, 1], { random })).toThrow('1 sizes for 2 labels');
    expect(() => belongings([], [10, 0], [0, 1], { random })).toThrow('the size of unit 1 is 0');
    expect(() => belongings([], [10, 9], [0, 1], { random, runs: 0 })).toThrow('0 runs');
  });
});
