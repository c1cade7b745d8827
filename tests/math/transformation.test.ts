// The comparison of Mongeau and Sankoff with their weights, and the algorithm against trying everything.
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  cheapestTransformation,
  closestParts,
  type Transformation,
  type TransformationCosts,
} from '../../lib/math/transformation.js';

// M. Mongeau and D. Sankoff 1990, Computers and the Humanities 24:161-175. The weights are those that a general library
// (musicjson-toolbox 1.2.4) uses and tests; lengths in sixteenths; intervals octave-blind, in C major.
const DEGREE_WEIGHTS = [0, 0.9, 0.2, 0.5, 0.1, 0.35, 0.8];
const SEMITONE_WEIGHTS = [0.6, 2.6, 2.3, 1, 1, 1.6, 1.8, 0.8, 1.3, 1.3, 2.2, 2.5];
const K = 0.348;
const C_MAJOR = [0, 2, 4, 5, 7, 9, 11];
type Note = readonly [key: number, length: number];

function interval(p: number, q: number): number {
  const [d, e] = [C_MAJOR.indexOf(p % 12), C_MAJOR.indexOf(q % 12)];
  return d < 0 || e < 0 ? SEMITONE_WEIGHTS[Math.abs(p - q) % 12]! : DEGREE_WEIGHTS[Math.abs(d - e)]!;
}
const lengthOf = (notes: readonly Note[]): number => notes.reduce((sum, [, length]) => sum + length, 0);

function costsOf(from: readonly Note[], to: readonly Note[]): TransformationCosts {
  const oneForMany = ([key, length]: Note, many: readonly Note[]): number =>
    many.reduce((sum, [other]) => sum + interval(key, other), 0) + K * Math.abs(length - lengthOf(many));
  return {
    substitute: (a, b) => oneForMany(from[a]!, [to[b]!]),
    delete: (a) => K * from[a]![1],
    insert: (b) => K * to[b]![1],
    fragment: (a, bFrom, bUntil) => oneForMany(from[a]!, to.slice(bFrom, bUntil)),
    consolidate: (aFrom, aUntil, b) => oneForMany(to[b]!, from.slice(aFrom, aUntil)),
  };
}
const compared = (from: readonly Note[], to: readonly Note[]): Transformation =>
  cheapestTransformation(from.length, to.length, costsOf(from, to))!;

describe('outside values: the weights of Mongeau and Sankoff', () => {
  // The single weights are asserted by the tests of that library; the melodies are computed from the definition.
  it.each<[string, Note[], Note[], number]>([
    ['C for F, quarters', [[60, 4]], [[65, 4]], 0.5],
    ['a third, half as long', [[60, 4]], [[64, 2]], 0.896],
    ['a quarter dropped', [[60, 4]], [], 1.392],
    ['an eighth dropped', [[60, 2]], [], 0.696],
    ['C# for C#, outside the scale', [[61, 4]], [[61, 4]], 0.6],
  ])('%s', (_, from, to, cost) => {
    expect(compared(from, to).cost).toBeCloseTo(cost, 12);
  });

  const tune: Note[] = [[60, 4], [62, 4], [64, 2], [65, 2]]; // biome-ignore format: a tune
  it.each<[string, Note[], number, string[]]>([
    ['itself', tune, 0, ['match', 'match', 'match', 'match']],
    [
      'D becomes F',
      [
        [60, 4],
        [65, 4],
        [64, 2],
        [65, 2],
      ],
      0.2,
      ['match', 'substitute', 'match', 'match'],
    ],
    [
      'the first C in four',
      [[60, 1], [60, 1], [60, 1], [60, 1], ...tune.slice(1)],
      0,
      ['fragment', 'match', 'match', 'match'],
    ],
    [
      'D dropped',
      [
        [60, 4],
        [64, 2],
        [65, 2],
      ],
      1.392,
      ['match', 'delete', 'match', 'match'],
    ],
    [
      'D half as long',
      [
        [60, 4],
        [62, 2],
        [64, 2],
        [65, 2],
      ],
      0.696,
      ['match', 'substitute', 'match', 'match'],
    ],
    ['the first note a fifth higher', [[67, 4], ...tune.slice(1)], 0.1, ['substitute', 'match', 'match', 'match']],
    [
      'the first note an octave higher: blind to it',
      [[72, 4], ...tune.slice(1)],
      0,
      ['match', 'match', 'match', 'match'],
    ],
  ])('C D E F as 4 4 2 2 and %s', (_, to, cost, kinds) => {
    // biome-ignore format: a table
    const found = compared(tune, to);
    expect(found.cost).toBeCloseTo(cost, 12);
    expect(found.steps.map((step) => step.kind)).toEqual(kinds);
    const back = compared(to, tune);
    expect(back.cost).toBeCloseTo(cost, 12);
    const turned = { fragment: 'consolidate', delete: 'insert' } as Readonly<Record<string, string>>;
    expect(back.steps.map((step) => step.kind)).toEqual(kinds.map((kind) => turned[kind] ?? kind));
  });
});

/** Costs by the numbers of items and the kind, some not allowed. */
function randomCosts(seed: number, mostParts: number): TransformationCosts {
  const cost = (...numbers: number[]): number => {
    let hash = seed;
    for (const n of numbers) hash = (Math.imul(hash ^ (n + 1), 0x9e3779b1) >>> 7) ^ n;
    return hash % 7 === 0 ? Infinity : (hash >>> 0) % 9;
  };
  return {
    substitute: (a, b) => cost(1, a, b),
    delete: (a) => cost(2, a),
    insert: (b) => cost(3, b),
    fragment: (a, bFrom, bUntil) => cost(4, a, bFrom, bUntil),
    consolidate: (aFrom, aUntil, b) => cost(5, aFrom, aUntil, b),
    mostParts,
  };
}
const worthOf = (aFrom: number, aUntil: number, bFrom: number, bUntil: number): number =>
  2 * (aUntil - aFrom) + (bUntil - bFrom) + ((aFrom + bFrom) % 2);

/** The best of what is left up to two ends, by trying everything: worth less cost. */
function tryAll(
  i: number,
  j: number,
  iEnd: number,
  jEnd: number,
  c: TransformationCosts,
  worth: typeof worthOf,
): number {
  if (i === iEnd && j === jEnd) return 0;
  let best = -Infinity;
  const go = (iNext: number, jNext: number, gain: number) => {
    if (iNext <= iEnd && jNext <= jEnd) best = Math.max(best, gain + tryAll(iNext, jNext, iEnd, jEnd, c, worth));
  };
  if (i < iEnd && j < jEnd) {
    go(i + 1, j + 1, worth(i, i + 1, j, j + 1) - c.substitute(i, j));
    for (let k = 2; k <= c.mostParts!; k++) {
      go(i + 1, j + k, worth(i, i + 1, j, j + k) - c.fragment!(i, j, j + k));
      go(i + k, j + 1, worth(i, i + k, j, j + 1) - c.consolidate!(i, i + k, j));
    }
  }
  if (i < iEnd) go(i + 1, j, -c.delete(i));
  if (j < jEnd) go(i, j + 1, -c.insert(j));
  return best;
}

/** Sees that steps follow each other without a hole and cost what they say, and adds up worth less cost. */
function checkSteps(found: Transformation, c: TransformationCosts, from: readonly [number, number]) {
  let [i, j, score, cost] = [...from, 0, 0];
  for (const step of found.steps) {
    expect([step.aFrom, step.bFrom]).toEqual([i, j]);
    const { aFrom, aUntil, bFrom, bUntil } = step;
    const expected = {
      match: () => c.substitute(aFrom, bFrom),
      substitute: () => c.substitute(aFrom, bFrom),
      delete: () => c.delete(aFrom),
      insert: () => c.insert(bFrom),
      fragment: () => c.fragment!(aFrom, bFrom, bUntil),
      consolidate: () => c.consolidate!(aFrom, aUntil, bFrom),
    }[step.kind]();
    expect(step.cost).toBe(expected);
    expect(step.kind === 'match').toBe(step.cost === 0 && aUntil - aFrom === 1 && bUntil - bFrom === 1);
    if (aUntil > aFrom && bUntil > bFrom) score += worthOf(aFrom, aUntil, bFrom, bUntil);
    score -= step.cost;
    cost += step.cost;
    [i, j] = [aUntil, bUntil];
  }
  return { end: [i, j], score, cost };
}

describe('against trying everything', () => {
  const size = fc.integer({ min: 0, max: 4 });
  it('the cheapest transformation of all of one into all of the other', () => {
    fc.assert(
      fc.property(size, size, fc.integer(), fc.integer({ min: 2, max: 4 }), (n, m, seed, mostParts) => {
        const costs = randomCosts(seed, mostParts);
        const best = tryAll(0, 0, n, m, costs, () => 0);
        const found = cheapestTransformation(n, m, costs);
        if (best === -Infinity) expect(found).toBeUndefined();
        else {
          expect(found!.cost).toBe(best === 0 ? 0 : -best);
          expect(checkSteps(found!, costs, [0, 0])).toMatchObject({ end: [n, m], cost: found!.cost });
        }
      }),
      { numRuns: 300 },
    );
  });

  it('the closest parts', () => {
    const small = fc.integer({ min: 0, max: 3 });
    fc.assert(
      fc.property(small, small, fc.integer(), (n, m, seed) => {
        const costs = randomCosts(seed, 3);
        let best = 0;
        for (let i = 0; i <= n; i++)
          for (let iEnd = i; iEnd <= n; iEnd++)
            for (let j = 0; j <= m; j++)
              for (let jEnd = j; jEnd <= m; jEnd++) best = Math.max(best, tryAll(i, j, iEnd, jEnd, costs, worthOf));
        const found = closestParts(n, m, costs, worthOf);
        expect(found.score).toBe(best);
        const { end, score, cost } = checkSteps(found, costs, [found.aFrom, found.bFrom]);
        expect({ end, score, cost }).toEqual({ end: [found.aUntil, found.bUntil], score: best, cost: found.cost });
      }),
      { numRuns: 200 },
    );
  });
});

describe('what is refused', () => {
  const costs: TransformationCosts = { substitute: () => 1, delete: () => 1, insert: () => 1 };
  it.each([
    [() => cheapestTransformation(-1, 2, costs), 'a sequence of -1 items'],
    [() => cheapestTransformation(2, 2, { ...costs, mostParts: 1 }), 'mostParts is 1'],
    [
      () => cheapestTransformation(2, 2, { ...costs, substitute: () => -1 }),
      'the cost for 0 of the first sequence and 0 of the second is -1',
    ],
    [() => cheapestTransformation(2, 2, { ...costs, insert: () => Number.NaN }), 'the cost for 0 of the second is NaN'],
    [
      () => cheapestTransformation(1, 3, { ...costs, fragment: () => -2 }),
      'the cost for 0 of the first sequence and 0 to 1 of the second is -2',
    ],
    [() => closestParts(2, 2, costs, () => Infinity), 'is worth Infinity'],
    [() => cheapestTransformation(2 ** 13, 2 ** 13, costs), 'too many to align'],
  ])('%s', (call, message) => {
    // biome-ignore format: a table
    expect(call).toThrow(RangeError);
    expect(call).toThrow(message);
  });
});
