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

/** What counts as a pattern. */
export interface PatternLimits {
  /** Fewest points. Default 1. */
  readonly leastPoints?: number;
  /**
   * For each point given the number of the part it is in (of the phrase, say). A pattern that reaches over several parts, or is moved onto several, is cut
   * there: it lies in one part, and so does each copy. Default: all are one part.
   */
  readonly parts?: ArrayLike<number>;
  /** Most other points of the set, in order, between two neighbours of a pattern; it is cut where more lie there or in its copy. Default: any number. */
  readonly mostBetween?: number;
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
  const set = setOf(points, {});
  const { vectors, offsets, numbers } = vectorTable(set);
  return Array.from(vectors, (code, v) => ({
    vector: vectorOf(code, set),
    points: Array.from(numbers.subarray(offsets[v], offsets[v + 1]), (i) => set.points[i]!),
  }));
}

/**
 * Every pattern that SIA finds with all the vectors that move it onto points (SIATEC), patterns that are each other moved
 * given once: the highest ratio first, of equal ones the larger pattern, then the earlier. Time grows as n x n x n at worst:
 * for the points of a solo or a few. With limits, of the pieces into which they cut those patterns.
 * @throws RangeError as {@link translatablePatterns} does
 * @example
 * const [best] = translationClasses([[0, 60], [1, 62], [2, 64], [7, 65], [8, 67], [9, 69], [9, 50]])
 * best?.pattern // => [[0, 60], [1, 62], [2, 64]]
 * best?.translators // => [[7, 5]]
 */
export function translationClasses(points: readonly Point[], limits: PatternLimits = {}): readonly TranslationClass[] {
  const set = setOf(points, limits);
  return classesOf(searchOf(set), new Uint8Array(set.points.length).fill(1))
    .map((found) => shown(found, set))
    .sort((p, q) => q.ratio - p.ratio || q.pattern.length - p.pattern.length || inOrder(p.pattern, q.pattern));
}

/**
 * A compact cover of the points (COSIATEC): the class with the highest ratio, then the best of the points that are left,
 * and so on while something is saved. Copies that cover nothing of their own are dropped first. Of equal ratios it takes
 * the class with the most compact copy (the largest share of the points left in its bounding box), then the one that covers
 * more, then the larger pattern, then the earlier. With limits, points covered already still count as lying between.
 * @throws RangeError as {@link translatablePatterns} does
 * @example
 * const cover = compactCover([[0, 60], [1, 62], [2, 64], [3, 67], [4, 65], [5, 67], [6, 69], [7, 72]])
 * cover.classes.map((found) => found.pattern) // => [[[0, 60], [1, 62], [2, 64], [3, 67]]]
 * cover.classes.map((found) => found.translators) // => [[[4, 5]]]
 * cover.rest // => []
 */
export function compactCover(points: readonly Point[], limits: PatternLimits = {}): PointCover {
  const classes: TranslationClass[] = [];
  const set = setOf(points, limits);
  const search = searchOf(set);
  const left: Uint8Array = new Uint8Array(set.points.length).fill(1);
  for (;;) {
    const all = classesOf(search, left).map((found) => withoutIdleCopies(found, set.points.length));
    const highest = all.reduce((most, found) => Math.max(most, ratioOf(found)), 0);
    const rest = set.points.filter((_, i) => left[i] === 1);
    if (highest <= 1) return { classes, rest };
    const [best] = all
      .filter((numbered) => ratioOf(numbered) === highest)
      .map((numbered) => ({ numbered, found: shown(numbered, set), compact: compactness(numbered, set, rest) }))
      .sort(
        (p, q) =>
          q.compact - p.compact ||
          q.found.covered.length - p.found.covered.length ||
          q.found.pattern.length - p.found.pattern.length ||
          inOrder(p.found.pattern, q.found.pattern),
      );
    classes.push(best!.found);
    for (const copy of best!.numbered.copies) for (const i of copy) left[i] = 0;
  }
}

/** Points in order, and how a vector is written as one number: x times `height` plus y, where no two vectors meet. */
interface PointSet {
  readonly points: readonly Point[];
  readonly height: number;
  /** The part of each point. */
  readonly parts: Int32Array;
  readonly leastPoints: number;
  readonly mostBetween: number;
}

function setOf(points: readonly Point[], limits: PatternLimits): PointSet {
  const { leastPoints = 1, mostBetween = Infinity, parts } = limits;
  points.forEach(([x, y], i) => {
    if (!(Number.isSafeInteger(x) && Number.isSafeInteger(y)))
      throw new RangeError(`point ${i} is (${x}, ${y}): give whole numbers`);
  });
  if (!(Number.isInteger(leastPoints) && leastPoints >= 1))
    throw new RangeError(`leastPoints is ${leastPoints}: give a whole number from 1 up`);
  if (!(mostBetween >= 0)) throw new RangeError(`mostBetween is ${mostBetween}: give a number from 0 up`);
  if (parts && parts.length !== points.length)
    throw new RangeError(`${parts.length} parts for ${points.length} points: give one for each`);
  const order = [...points.keys()]
    .sort((i, j) => compare(points[i]!, points[j]!) || i - j)
    .filter((i, k, all) => k === 0 || compare(points[i]!, points[all[k - 1]!]!) !== 0);
  const sorted = order.map((i) => points[i]!);
  const rest = {
    parts: Int32Array.from(order, (i) => parts?.[i] ?? 0),
    leastPoints,
    mostBetween,
  };
  const n = sorted.length;
  if (n > MOST_POINTS) throw new RangeError(`${n} points are too many, ${MOST_POINTS} at most; take fewer at a time`);
  if (n === 0) return { points: sorted, height: 1, ...rest };
  const heights = sorted.map(([, y]) => y);
  const ySpan = Math.max(...heights) - Math.min(...heights);
  const xSpan = sorted[n - 1]![0] - sorted[0]![0];
  const height = 2 * ySpan + 1;
  if ((xSpan + 1) * height * n > Number.MAX_SAFE_INTEGER)
    throw new RangeError(`the points span ${xSpan} by ${ySpan}, too much for ${n} of them: divide by a common step`);
  return { points: sorted, height, ...rest };
}

/** Whether a pattern may go on from one point to another. */
const goesOn = ({ parts, mostBetween }: PointSet, from: number, to: number): boolean =>
  parts[from] === parts[to] && to - from <= mostBetween + 1;

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

/** What stays the same while points are covered: vectors between all of them, and where each moves its points to. */
interface Search {
  readonly set: PointSet;
  readonly table: VectorTable;
  /** Vectors with as many points as a pattern needs, as rows of the table. */
  readonly rows: readonly number[];
  /** For each point of the table the one that it is moved onto, for these rows. */
  readonly images: Int32Array;
  readonly rowOf: ReadonlyMap<number, number>;
  readonly codes: readonly number[];
  readonly numberOf: ReadonlyMap<number, number>;
}

function searchOf(set: PointSet): Search {
  const table = vectorTable(set);
  const { vectors, offsets, numbers } = table;
  // Moved by a vector between two points no point gets the code of another: heights stay within twice the span.
  const codes = set.points.map((point) => codeOf(point, set.points[0]!, set));
  const numberOf = new Map(codes.map((code, i) => [code, i]));
  const rows = [...vectors.keys()].filter((v) => offsets[v + 1]! - offsets[v]! >= set.leastPoints);
  const images: Int32Array = new Int32Array(numbers.length);
  for (const v of rows)
    for (let k = offsets[v]!; k < offsets[v + 1]!; k++) images[k] = numberOf.get(codes[numbers[k]!]! + vectors[v]!)!;
  return { set, table, rows, images, rowOf: new Map(Array.from(vectors, (code, v) => [code, v])), codes, numberOf };
}

/** The classes among the points that are left. */
function classesOf(search: Search, left: Uint8Array): readonly NumberedClass[] {
  const { set, table, rows, images, rowOf, codes, numberOf } = search;
  const { offsets, numbers } = table;
  const every = Int32Array.from(set.points.keys());
  const coveredBy: Int32Array = new Int32Array(set.points.length); // the last class that covered each point
  const shapes = new Set<string>();
  const classes: NumberedClass[] = [];
  const at = (code: number): number => {
    const i = numberOf.get(code);
    return i !== undefined && left[i] === 1 ? i : -1;
  };
  for (const v of rows) {
    const whole: number[] = [];
    for (let k = offsets[v]!; k < offsets[v + 1]!; k++)
      if (left[numbers[k]!] === 1 && left[images[k]!] === 1) whole.push(k);
    for (const piece of piecesOf(set, whole, numbers, images)) {
      const steps = Float64Array.from(piece, (k) => codes[numbers[k]!]! - codes[numbers[piece[0]!]!]!);
      const shape = steps.join();
      if (shapes.has(shape)) continue;
      shapes.add(shape);
      const row = steps.length === 1 ? undefined : rowOf.get(steps[1]!)!; // where the second point of the pattern fits
      const copies: Int32Array[] = [];
      let covers = 0;
      for (const start of row === undefined ? every : numbers.subarray(offsets[row], offsets[row + 1])) {
        if (!steps.every((step) => at(codes[start]! + step) >= 0)) continue;
        const copy = Int32Array.from(steps, (step) => at(codes[start]! + step));
        if (!copy.every((i, k) => k === 0 || goesOn(set, copy[k - 1]!, i))) continue;
        copies.push(copy);
        for (const i of copy) {
          if (coveredBy[i] === shapes.size) continue;
          coveredBy[i] = shapes.size;
          covers++;
        }
      }
      classes.push({ copies, covers });
    }
  }
  return classes;
}

/** A pattern, as places in the table, cut where it or what it is moved onto may not go on; pieces of too few points left out. */
function piecesOf(
  set: PointSet,
  pattern: readonly number[],
  numbers: Int32Array,
  images: Int32Array,
): readonly (readonly number[])[] {
  const pieces: (readonly number[])[] = [];
  const joined = (points: Int32Array, k: number): boolean =>
    goesOn(set, points[pattern[k - 1]!]!, points[pattern[k]!]!);
  let from = 0;
  for (let k = 1; k <= pattern.length; k++) {
    if (k < pattern.length && joined(numbers, k) && joined(images, k)) continue;
    if (k - from >= set.leastPoints) pieces.push(pattern.slice(from, k));
    from = k;
  }
  return pieces;
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
function compactness({ copies }: NumberedClass, { points }: PointSet, left: readonly Point[]): number {
  return copies.reduce((most, copy) => Math.max(most, copy.length / inBox(copy, points, left)), 0);
}

function inBox(copy: Int32Array, points: readonly Point[], left: readonly Point[]): number {
  const heights = Array.from(copy, (i) => points[i]![1]);
  const [low, high] = [Math.min(...heights), Math.max(...heights)];
  const [first, last] = [points[copy[0]!]![0], points[copy.at(-1)!]![0]];
  return left.filter(([x, y]) => x >= first && x <= last && y >= low && y <= high).length;
}

const compare = (p: Point, q: Point): number => p[0] - q[0] || p[1] - q[1];

/** Of two patterns of one length the one that has the earlier point where they first differ. */
function inOrder(p: readonly Point[], q: readonly Point[]): number {
  const i = p.findIndex((point, k) => compare(point, q[k]!) !== 0);
  return i < 0 ? 0 : compare(p[i]!, q[i]!);
}
