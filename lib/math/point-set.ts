// Patterns of points that come back moved: SIA, SIATEC and COSIATEC of D. Meredith, K. Lemstrom and G. Wiggins 2002, J. New
// Music Research 31(4):321-345, and 2003. Unlike repeats of symbols, other points may lie between.

/** Two whole numbers, such as a moment and a height. */
export type Point = readonly [x: number, y: number];

/** All points that are points again when moved by a vector. */
export interface TranslatablePattern {
  readonly vector: Point;
  readonly points: readonly Point[];
}

/** A pattern and vectors that move all of it onto points. */
export interface TranslationClass {
  /** Where it comes first, in order. */
  readonly pattern: readonly Point[];
  /** Without the vector that moves nothing, in order. */
  readonly translators: readonly Point[];
  /** All points that it and its moved copies cover, in order. */
  readonly covered: readonly Point[];
  /** Points covered over points and vectors needed to say so: above 1 if something is saved. */
  readonly ratio: number;
}

/** A cover by translation classes, in the order in which they were chosen, and the points left where nothing more is saved. */
export interface PointCover {
  readonly classes: readonly TranslationClass[];
  readonly rest: readonly Point[];
}

/** The most points of one set: their pairs must fit into memory. */
export const MOST_POINTS = 4096;

/**
 * The maximal translatable pattern of every vector between two points (SIA), in order of the vectors. Vectors that point
 * back are left out: they give the same patterns moved. Equal points count once. Time grows as n x n x log n.
 * @throws RangeError if there are more than 4096 points, coordinates are no whole numbers, or they span too much
 * @example
 * translatablePatterns([[1, 1], [2, 2], [3, 4]]).map(({ vector }) => vector) // => [[1, 1], [1, 2], [2, 3]]
 */
export function translatablePatterns(points: readonly Point[]): readonly TranslatablePattern[] {
  const set = setOf(points);
  const { vectors, offsets, numbers } = vectorTable(set);
  return Array.from(vectors, (code, v) => ({
    vector: vectorOf(code, set),
    points: Array.from(numbers.subarray(offsets[v], offsets[v + 1]), (i) => set.points[i]!),
  }));
}

/**
 * Every pattern that SIA finds with all the vectors that move it onto points (SIATEC), patterns that are each other moved
 * given once: the highest ratio first, of equal ones the larger pattern, then the earlier. Time grows as n x n x n at worst:
 * for the points of a solo or a few.
 * @throws RangeError as {@link translatablePatterns} does
 * @example
 * const [best] = translationClasses([[0, 60], [1, 62], [2, 64], [7, 65], [8, 67], [9, 69], [9, 50]])
 * best?.pattern // => [[0, 60], [1, 62], [2, 64]]
 * best?.translators // => [[7, 5]]
 */
export function translationClasses(points: readonly Point[]): readonly TranslationClass[] {
  const set = setOf(points);
  return classesOf(set)
    .map((found) => shown(found, set))
    .sort((p, q) => q.ratio - p.ratio || q.pattern.length - p.pattern.length || inOrder(p.pattern, q.pattern));
}

/**
 * A compact cover of the points (COSIATEC): the class with the highest ratio, then the best of the points that are left,
 * and so on while something is saved. Copies that cover nothing of their own are dropped first. Of equal ratios it takes
 * the class with the most compact copy (the largest share of the points left in its bounding box), then the one that covers
 * more, then the larger pattern, then the earlier.
 * @throws RangeError as {@link translatablePatterns} does
 * @example
 * const cover = compactCover([[0, 60], [1, 62], [2, 64], [3, 67], [4, 65], [5, 67], [6, 69], [7, 72]])
 * cover.classes.map((found) => found.pattern) // => [[[0, 60], [1, 62], [2, 64], [3, 67]]]
 * cover.classes.map((found) => found.translators) // => [[[4, 5]]]
 * cover.rest // => []
 */
export function compactCover(points: readonly Point[]): PointCover {
  const classes: TranslationClass[] = [];
  let rest = setOf(points);
  while (rest.points.length > 1) {
    const set = rest;
    const all = classesOf(set).map((found) => withoutIdleCopies(found, set.points.length));
    const highest = all.reduce((most, found) => Math.max(most, ratioOf(found)), 0);
    if (highest <= 1) break;
    const [best] = all
      .filter((found) => ratioOf(found) === highest)
      .map((found) => ({ found: shown(found, set), compact: compactness(found, set.points) }))
      .sort(
        (p, q) =>
          q.compact - p.compact ||
          q.found.covered.length - p.found.covered.length ||
          q.found.pattern.length - p.found.pattern.length ||
          inOrder(p.found.pattern, q.found.pattern),
      );
    classes.push(best!.found);
    const covered = new Set(best!.found.covered);
    rest = setOf(set.points.filter((point) => !covered.has(point)));
  }
  return { classes, rest: rest.points };
}

/** Points in order, and how a vector is written as one number: x times `height` plus y, where no two vectors meet. */
interface PointSet {
  readonly points: readonly Point[];
  readonly height: number;
}

function setOf(points: readonly Point[]): PointSet {
  points.forEach(([x, y], i) => {
    if (!(Number.isSafeInteger(x) && Number.isSafeInteger(y)))
      throw new RangeError(`point ${i} is (${x}, ${y}): give whole numbers`);
  });
  const sorted = [...points].sort(compare).filter((p, i, all) => i === 0 || compare(p, all[i - 1]!) !== 0);
  const n = sorted.length;
  if (n > MOST_POINTS) throw new RangeError(`${n} points are too many, ${MOST_POINTS} at most: take fewer at a time`);
  if (n === 0) return { points: sorted, height: 1 };
  const heights = sorted.map(([, y]) => y);
  const ySpan = Math.max(...heights) - Math.min(...heights);
  const xSpan = sorted[n - 1]![0] - sorted[0]![0];
  const height = 2 * ySpan + 1;
  if ((xSpan + 1) * height * n > Number.MAX_SAFE_INTEGER)
    throw new RangeError(`the points span ${xSpan} by ${ySpan}, too much for ${n} of them: divide by a common step`);
  return { points: sorted, height };
}

const codeOf = ([x, y]: Point, [x0, y0]: Point, { height }: PointSet): number => (x - x0) * height + y - y0;

function vectorOf(code: number, { height }: PointSet): Point {
  const x = Math.round(code / height);
  return [x, code - x * height];
}

/** For each vector, in order, the points (by their numbers, in order) that it moves onto points. */
interface VectorTable {
  readonly vectors: Float64Array;
  readonly offsets: Int32Array;
  readonly numbers: Int32Array;
}

function vectorTable(set: PointSet): VectorTable {
  const { points } = set;
  const n = points.length;
  // A vector and the number of its first point in one number, so that plain sorting brings the points of a vector together.
  const keys: Float64Array = new Float64Array((n * (n - 1)) / 2);
  let many = 0;
  for (let i = 0; i < n; i++)
    for (let j = i + 1; j < n; j++) keys[many++] = codeOf(points[j]!, points[i]!, set) * n + i;
  keys.sort();
  const vectors: Float64Array = new Float64Array(many);
  const offsets: Int32Array = new Int32Array(many + 1);
  const numbers: Int32Array = new Int32Array(many);
  let found = 0;
  for (let k = 0; k < many; k++) {
    const code = Math.floor(keys[k]! / n);
    numbers[k] = keys[k]! - code * n;
    if (found === 0 || code !== vectors[found - 1]) vectors[found++] = code;
    offsets[found] = k + 1;
  }
  return { vectors: vectors.slice(0, found), offsets: offsets.slice(0, found + 1), numbers };
}

/** A translation class by the numbers of points: each copy has those that the pattern's points come to stand on. */
interface NumberedClass {
  readonly copies: readonly Int32Array[];
  readonly covers: number;
}

const ratioOf = ({ copies, covers }: NumberedClass): number => covers / (copies[0]!.length + copies.length - 1);

function classesOf(set: PointSet): readonly NumberedClass[] {
  const { points } = set;
  const { vectors, offsets, numbers } = vectorTable(set);
  const rowOf = new Map(Array.from(vectors, (code, v) => [code, v]));
  // Moved by a vector between two points no point gets the code of another: heights stay within twice the span.
  const codes = points.map((point) => codeOf(point, points[0]!, set));
  const numberOf = new Map(codes.map((code, i) => [code, i]));
  const every = Int32Array.from(points.keys());
  const coveredBy: Int32Array = new Int32Array(points.length); // the last class that covered each point
  const shapes = new Set<string>();
  const classes: NumberedClass[] = [];
  for (let v = 0; v < vectors.length; v++) {
    const pattern = numbers.subarray(offsets[v], offsets[v + 1]);
    const steps = Float64Array.from(pattern, (i) => codes[i]! - codes[pattern[0]!]!);
    const shape = steps.join();
    if (shapes.has(shape)) continue;
    shapes.add(shape);
    const row = steps.length === 1 ? undefined : rowOf.get(steps[1]!)!; // where the second point of the pattern fits
    const copies: Int32Array[] = [];
    let covers = 0;
    for (const start of row === undefined ? every : numbers.subarray(offsets[row], offsets[row + 1])) {
      if (!steps.every((step) => numberOf.has(codes[start]! + step))) continue;
      const copy = Int32Array.from(steps, (step) => numberOf.get(codes[start]! + step)!);
      copies.push(copy);
      for (const i of copy) {
        if (coveredBy[i] === shapes.size) continue;
        coveredBy[i] = shapes.size;
        covers++;
      }
    }
    classes.push({ copies, covers });
  }
  return classes;
}

/** Drops copies, the first one aside, all of whose points others cover too: from the first on, those that still are idle. */
function withoutIdleCopies(found: NumberedClass, n: number): NumberedClass {
  if (found.covers === found.copies.length * found.copies[0]!.length) return found; // no two copies meet
  const times: Int32Array = new Int32Array(n);
  for (const copy of found.copies) for (const i of copy) times[i]!++;
  const copies = found.copies.filter((copy, c) => {
    if (c === 0 || copy.some((i) => times[i] === 1)) return true;
    for (const i of copy) times[i]!--;
    return false;
  });
  return { copies, covers: found.covers };
}

function shown(found: NumberedClass, { points }: PointSet): TranslationClass {
  const copies = found.copies.map((copy) => Array.from(copy, (i) => points[i]!));
  const pattern = copies[0]!;
  const [x, y] = pattern[0]!;
  const covered = new Set(found.copies.flatMap((copy) => [...copy]));
  return {
    pattern,
    translators: copies.slice(1).map((copy): Point => [copy[0]![0] - x, copy[0]![1] - y]),
    covered: [...covered].sort((i, j) => i - j).map((i) => points[i]!),
    ratio: ratioOf(found),
  };
}

/** Points of the pattern over all points in its bounding box, for the copy where this is most. */
function compactness({ copies }: NumberedClass, points: readonly Point[]): number {
  return copies.reduce((most, copy) => Math.max(most, copy.length / inBox(copy, points)), 0);
}

function inBox(copy: Int32Array, points: readonly Point[]): number {
  const heights = Array.from(copy, (i) => points[i]![1]);
  const [low, high] = [Math.min(...heights), Math.max(...heights)];
  const [left, right] = [points[copy[0]!]![0], points[copy.at(-1)!]![0]];
  return points.filter(([x, y]) => x >= left && x <= right && y >= low && y <= high).length;
}

const compare = (p: Point, q: Point): number => p[0] - q[0] || p[1] - q[1];

/** Of two patterns of one length the one that has the earlier point where they first differ. */
function inOrder(p: readonly Point[], q: readonly Point[]): number {
  const i = p.findIndex((point, k) => compare(point, q[k]!) !== 0);
  return i < 0 ? 0 : compare(p[i]!, q[i]!);
}
