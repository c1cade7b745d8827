// Measures of how well patterns found agree with patterns known, on sets of (onset, pitch) points: T. Collins 2013, MIREX task "Discovery of Repeated
// Themes and Sections", with the formulas as a general library (mir_eval, MIT) has them. In the tests only: what is known, only a test knows.

export type PatternPoint = readonly [onset: number, pitch: number];
/** All occurrences of one pattern. */
export type Pattern = readonly (readonly PatternPoint[])[];

export interface PatternScore {
  readonly precision: number;
  readonly recall: number;
  readonly f: number;
}

const keys = (points: readonly PatternPoint[]): ReadonlySet<string> => new Set(points.map(String));
const shared = (p: readonly PatternPoint[], q: readonly PatternPoint[]): number => {
  const own = keys(q);
  return [...keys(p)].filter((key) => own.has(key)).length;
};
const mean = (numbers: readonly number[]): number =>
  numbers.length === 0 ? 0 : numbers.reduce((sum, n) => sum + n, 0) / numbers.length;
const most = (numbers: readonly number[]): number => numbers.reduce((a, b) => Math.max(a, b), 0);
const fOf = (precision: number, recall: number): PatternScore => ({
  precision,
  recall,
  f: precision + recall === 0 ? 0 : (2 * precision * recall) / (precision + recall),
});

/** Points shared, over those of the larger one. */
const cardinality = (p: readonly PatternPoint[], q: readonly PatternPoint[]): number =>
  shared(p, q) / Math.max(p.length, q.length);

/** Rows are known, columns found: mean of the best in each column is precision, of the best in each row recall. */
const ofMatrix = (matrix: readonly (readonly number[])[]): PatternScore =>
  fOf(mean((matrix[0] ?? []).map((_, j) => most(matrix.map((row) => row[j] as number)))), mean(matrix.map(most)));

const matrixOf = <A, B, T>(
  rows: readonly A[],
  columns: readonly B[],
  cell: (a: A, b: B) => T,
): readonly (readonly T[])[] => rows.map((a) => columns.map((b) => cell(a, b)));

/** Whether each pattern was found at all, in one of its occurrences. */
export const establishment = (known: readonly Pattern[], found: readonly Pattern[]): PatternScore =>
  ofMatrix(matrixOf(known, found, (a, b) => most(matrixOf(a, b, cardinality).flat())));

/** Of patterns found to the given degree or better, whether all their occurrences were. */
export function occurrence(known: readonly Pattern[], found: readonly Pattern[], least = 0.75): PatternScore {
  const pairs = matrixOf(known, found, (a, b) => {
    const matrix = matrixOf(a, b, cardinality);
    return most(matrix.flat()) >= least - 1e-12 ? ofMatrix(matrix) : undefined;
  });
  // Only rows and columns with any such pair count, as far as they hold one.
  const ofSide = (lines: readonly (readonly (PatternScore | undefined)[])[], side: 'precision' | 'recall') =>
    mean(lines.filter((line) => line.some(Boolean)).map((line) => most(line.map((cell) => cell?.[side] ?? 0))));
  const columns = (pairs[0] ?? []).map((_, j) => pairs.map((row) => row[j]));
  return fOf(ofSide(columns, 'precision'), ofSide(pairs, 'recall'));
}

/** How well notes, occurrences and patterns agree, each layer from the F measures of the one below. */
export const threeLayers = (known: readonly Pattern[], found: readonly Pattern[]): PatternScore =>
  ofMatrix(
    matrixOf(known, found, (a, b) => ofMatrix(matrixOf(a, b, (p, q) => (2 * shared(p, q)) / (p.length + q.length))).f),
  );

/** Whether each pattern was found exactly: the same points, moved, in its first occurrence. */
export function standard(known: readonly Pattern[], found: readonly Pattern[]): PatternScore {
  const shape = ([first = []]: Pattern): string =>
    first.map(([x, y]) => [x - (first[0]?.[0] ?? 0), y - (first[0]?.[1] ?? 0)].join()).join(' ');
  const hits = known.filter((a) => found.some((b) => shape(a) === shape(b))).length;
  return fOf(found.length === 0 ? 0 : hits / found.length, known.length === 0 ? 0 : hits / known.length);
}
