// Patterns of points that come back moved: published values, and naive code on random points.
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { compactCover, type Point, translatablePatterns, translationClasses } from '../../lib/math/point-set.js';

// D. Meredith, K. Lemstrom and G. Wiggins 2002, J. New Music Research 31(4):321-345 (the data set from memory; patterns and
// classes computed from the definitions).
const SIX: readonly Point[] = [[1, 1], [1, 3], [2, 1], [2, 2], [2, 3], [3, 2]]; // biome-ignore format: points

describe('outside values', () => {
  it('the six points of Meredith, Lemstrom and Wiggins have nine maximal translatable patterns', () => {
    expect(translatablePatterns(SIX).map(({ vector, points }) => [vector, points])).toEqual([
      [[0, 1], [[2, 1], [2, 2]]],
      [[0, 2], [[1, 1], [2, 1]]],
      [[1, -2], [[1, 3]]],
      [[1, -1], [[1, 3], [2, 3]]],
      [[1, 0], [[1, 1], [1, 3], [2, 2]]],
      [[1, 1], [[1, 1], [2, 1]]],
      [[1, 2], [[1, 1]]],
      [[2, -1], [[1, 3]]],
      [[2, 1], [[1, 1]]],
    ]); // biome-ignore format: a table
  });

  it('and four translation classes', () => {
    const found = translationClasses(SIX).map((c) => [c.pattern, c.translators, c.covered.length, c.ratio]);
    expect(found).toEqual([
      [[[1, 1], [1, 3], [2, 2]], [[1, 0]], 6, 1.5],
      [[[1, 1], [2, 1]], [[0, 2], [1, 1]], 6, 1.5],
      [[[2, 1], [2, 2]], [[0, 1]], 3, 1],
      [[[1, 1]], [[0, 2], [1, 0], [1, 1], [1, 2], [2, 1]], 6, 1],
    ]); // biome-ignore format: a table
  });

  // The tests of a general library (posemir, MIT).
  it('four points in a row have three patterns, three scattered points three of one point', () => {
    const row: Point[] = [[1, 1], [2, 1], [3, 1], [4, 1]]; // biome-ignore format: points
    expect(translatablePatterns(row).map(({ points }) => points)).toEqual([row.slice(0, 3), row.slice(0, 2), [row[0]]]);
    const scattered = translatablePatterns([[1, 1], [2, 2], [3, 4]]); // biome-ignore format: points
    expect(scattered.map(({ vector, points }) => [...points, vector])).toEqual([
      [[1, 1], [1, 1]],
      [[1, 1], [2, 3]],
      [[2, 2], [1, 2]],
    ].sort((p, q) => p[1]![0]! - q[1]![0]! || p[1]![1]! - q[1]![1]!)); // biome-ignore format: a table
  });
  it('four points in a row are covered by two and the vector (2, 0)', () => {
    const { classes, rest } = compactCover([[0, 0], [1, 0], [2, 0], [3, 0]]); // biome-ignore format: points
    expect(rest).toEqual([]);
    expect(classes.map((c) => [c.pattern, c.translators])).toEqual([
      [
        [
          [0, 0],
          [1, 0],
        ],
        [[2, 0]],
      ],
    ]);
  });

  it('(0, 1/2) and (1/2, 1/2) make up the pattern of the vector (5, 0) (documentation of T. Collins; times two)', () => {
    const points: Point[] = [[0, 1], [1, 1], [2, 1], [2, 2], [4, 6], [10, 1], [11, 1]]; // biome-ignore format: points
    const found = translatablePatterns(points).find(({ vector }) => vector[0] === 10 && vector[1] === 0);
    expect(found?.points).toEqual([[0, 1], [1, 1]]); // biome-ignore format: points
  });

  it('of a tune moved up a fourth and its pairs of corresponding notes, which save as much, the cover takes the tune', () => {
    const tune: Point[] = [[0, 60], [1, 62], [2, 64], [3, 67]]; // biome-ignore format: points
    const points = [...tune, ...tune.map(([x, y]): Point => [x + 4, y + 5])];
    const pair: readonly Point[] = [tune[0]!, [4, 65]];
    const ratios = translationClasses(points).filter((c) => c.ratio === 1.6);
    expect(ratios.map((c) => c.pattern)).toEqual(expect.arrayContaining([tune, pair]));
    expect(compactCover(points).classes.map((c) => [c.pattern, c.translators])).toEqual([[tune, [[4, 5]]]]);
  });
});

const point = fc.tuple(fc.integer({ min: -4, max: 4 }), fc.integer({ min: -3, max: 3 }));
const sets = fc.uniqueArray(point, { maxLength: 12, selector: String });
const plus = (p: Point, v: Point): Point => [p[0] + v[0], p[1] + v[1]];
const minus = (p: Point, q: Point): Point => [p[0] - q[0], p[1] - q[1]];
const inOrder = (points: readonly Point[]): readonly Point[] => [...points].sort((p, q) => p[0] - q[0] || p[1] - q[1]);
const isForward = ([x, y]: Point): boolean => x > 0 || (x === 0 && y > 0);

/** Every vector forward and the points that it moves onto points, asked one by one. */
function naivePatterns(points: readonly Point[]) {
  const has = new Set(points.map(String));
  const vectors = new Map(points.flatMap((p) => points.map((q) => minus(q, p))).map((v) => [String(v), v]));
  return inOrder([...vectors.values()].filter(isForward)).map((vector) => ({
    vector,
    points: inOrder(points.filter((p) => has.has(String(plus(p, vector))))),
  }));
}
const copiesOf = (pattern: readonly Point[], vectors: readonly Point[]): readonly (readonly Point[])[] =>
  [[0, 0] as const, ...vectors].map((v) => pattern.map((p) => plus(p, v)));

describe('against naive code', () => {
  it('patterns are those found by asking every vector', () => {
    fc.assert(
      fc.property(sets, (points) => {
        expect(translatablePatterns(points)).toEqual(naivePatterns(points));
        expect(translatablePatterns([...points, ...points])).toEqual(naivePatterns(points));
      }),
    );
  });

  it('classes hold every pattern once, whatever it is moved by, with all vectors that move it onto points', () => {
    fc.assert(
      fc.property(sets, (points) => {
        const has = new Set(points.map(String));
        const shape = (pattern: readonly Point[]): string => pattern.map((p) => minus(p, pattern[0]!)).join(' ');
        const found = translationClasses(points);
        expect(found.map((c) => shape(c.pattern)).sort()).toEqual(
          [...new Set(naivePatterns(points).map((p) => shape(p.points)))].sort(),
        );
        for (const { pattern, translators, covered, ratio } of found) {
          const fits = (v: Point): boolean => pattern.every((p) => has.has(String(plus(p, v))));
          const vectors = inOrder(points.map((p) => minus(p, pattern[0]!)).filter((v) => fits(v)));
          expect([[0, 0], ...translators]).toEqual(vectors);
          const all = new Map(
            copiesOf(pattern, translators)
              .flat()
              .map((p) => [String(p), p]),
          );
          expect(covered).toEqual(inOrder([...all.values()]));
          expect(ratio).toBe(covered.length / (pattern.length + translators.length));
        }
        for (let i = 1; i < found.length; i++) expect(found[i]!.ratio).toBeLessThanOrEqual(found[i - 1]!.ratio);
      }),
    );
  });

  it('with limits, classes are those of the pieces of patterns that keep to them, with every copy that does', () => {
    const limited = fc.record({
      leastPoints: fc.integer({ min: 1, max: 3 }),
      mostBetween: fc.integer({ min: 0, max: 3 }),
      seed: fc.array(fc.integer({ min: 0, max: 1 }), { minLength: 12, maxLength: 12 }),
    });
    fc.assert(
      fc.property(sets, limited, (points, { leastPoints, mostBetween, seed }) => {
        const sorted = inOrder(points);
        const parts = seed.slice(0, sorted.length);
        const rank = (p: Point): number => sorted.findIndex((q) => String(q) === String(p));
        const joined = (p: Point, q: Point): boolean =>
          parts[rank(p)] === parts[rank(q)] && rank(q) - rank(p) <= mostBetween + 1;
        const shape = (pattern: readonly Point[]): string => pattern.map((p) => minus(p, pattern[0]!)).join(' ');
        const pieces = naivePatterns(sorted).flatMap(({ vector, points: whole }) => {
          const cut: Point[][] = [];
          whole.forEach((p, k) => {
            const before = whole[k - 1];
            if (before && joined(before, p) && joined(plus(before, vector), plus(p, vector))) cut.at(-1)!.push(p);
            else cut.push([p]);
          });
          return cut.filter((piece) => piece.length >= leastPoints);
        });
        const found = translationClasses(sorted, { parts, leastPoints, mostBetween });
        expect(found.map((c) => shape(c.pattern)).sort()).toEqual([...new Set(pieces.map(shape))].sort());
        for (const { pattern, translators } of found) {
          const fits = (v: Point): boolean =>
            pattern.every((p, k) => {
              const moved = plus(p, v);
              return rank(moved) >= 0 && (k === 0 || joined(plus(pattern[k - 1]!, v), moved));
            });
          const vectors = inOrder(sorted.map((p) => minus(p, pattern[0]!)).filter(fits));
          expect([[0, 0], ...translators]).toEqual(vectors);
        }
        for (const { pattern, translators } of compactCover(sorted, { parts, leastPoints, mostBetween }).classes)
          for (const copy of copiesOf(pattern, translators)) {
            expect(copy.length).toBeGreaterThanOrEqual(leastPoints);
            copy.forEach((p, k) => {
              if (k > 0) expect(joined(copy[k - 1]!, p)).toBe(true);
            });
          }
      }),
    );
  });

  it('a cover saves something with every class, no copy is idle, and it and the rest are all points, once each', () => {
    fc.assert(
      fc.property(sets, (points) => {
        const { classes, rest } = compactCover(points);
        let left = inOrder(points);
        for (const { pattern, translators, covered, ratio } of classes) {
          expect(ratio).toBeGreaterThan(1);
          expect(ratio).toBe(covered.length / (pattern.length + translators.length));
          // No class of the points left does better, all its vectors counted.
          expect(ratio).toBeGreaterThanOrEqual(translationClasses(left)[0]!.ratio);
          const copies = copiesOf(pattern, translators);
          const cover = (without: number): number =>
            new Set(
              copies
                .filter((_, c) => c !== without)
                .flat()
                .map(String),
            ).size;
          expect(cover(-1)).toBe(covered.length);
          for (let c = 1; c < copies.length; c++) expect(cover(c)).toBeLessThan(covered.length);
          const gone = new Set(covered.map(String));
          expect(left.filter((p) => gone.has(String(p)))).toEqual(covered);
          left = left.filter((p) => !gone.has(String(p)));
        }
        expect(rest).toEqual(left);
      }),
    );
  });

  it('does not depend on where the points lie or in which order they come', () => {
    fc.assert(
      fc.property(sets, fc.tuple(fc.integer(), fc.integer()), (points, v) => {
        const moved = points.map((p) => plus(p, v)).reverse();
        const back = compactCover(moved).classes.map((c) => [c.pattern.map((p) => minus(p, v)), c.translators]);
        expect(back).toEqual(compactCover(points).classes.map((c) => [c.pattern, c.translators]));
      }),
    );
  });
});

describe('what is refused', () => {
  it.each<[Point[], string]>([
    [
      [
        [0, 0],
        [0.5, 1],
      ],
      'point 1 is (0.5, 1)',
    ],
    [[[Number.NaN, 0]], 'point 0 is (NaN, 0)'],
    [
      [
        [0, 0],
        [2 ** 40, 2 ** 40],
      ],
      'divide by a common step',
    ],
    [Array.from({ length: 4097 }, (_, i): Point => [i, 0]), '4097 points are too many'],
  ])('%#', (points, message) => {
    // biome-ignore format: a table
    for (const call of [translatablePatterns, translationClasses, compactCover]) {
      expect(() => call(points)).toThrow(RangeError);
      expect(() => call(points)).toThrow(message);
    }
  });
  it('limits that are none', () => {
    const two: Point[] = [[0, 0], [1, 0]]; // biome-ignore format: points
    expect(() => compactCover(two, { leastPoints: 0 })).toThrow('leastPoints is 0');
    expect(() => compactCover(two, { mostBetween: -1 })).toThrow('mostBetween is -1');
    expect(() => compactCover(two, { parts: [0] })).toThrow('1 parts for 2 points');
  });
  it('nothing and one point are sets too', () => {
    for (const points of [[], [[3, 4]]] as Point[][]) {
      expect(translatablePatterns(points)).toEqual([]);
      expect(translationClasses(points)).toEqual([]);
      expect(compactCover(points)).toEqual({ classes: [], rest: points });
    }
  });
});
