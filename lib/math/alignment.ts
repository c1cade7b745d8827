// Two sequences set against each other, item by item: edit distance (V. Levenshtein 1966, Soviet Physics Doklady 10:707-710),
// global alignment (S. Needleman and C. Wunsch 1970, J. Mol. Biol. 48:443-453) and local alignment (T. Smith and M. Waterman
// 1981, J. Mol. Biol. 147:195-197), gaps as in O. Gotoh 1982, J. Mol. Biol. 162:705-708. Items are known by their numbers
// only: what they are, the score function knows.

/** How items of two sequences are compared: those of the first are numbered `a` from 0, those of the second `b`. */
export interface AlignmentScores {
  /** What it is worth to set two items against each other: above 0 if they are alike, below 0 if not. Finite. */
  readonly pair: (a: number, b: number) => number;
  /** Score of an item that has nothing set against it, usually below 0. */
  readonly gap: number;
  /** Score of each further item of one gap. Default: that of the first. */
  readonly furtherGap?: number;
}

/** An item set against another; or an item of the first or the second sequence that has nothing set against it. */
export type AlignmentStep =
  | { readonly kind: 'pair'; readonly a: number; readonly b: number }
  | { readonly kind: 'delete'; readonly a: number }
  | { readonly kind: 'insert'; readonly b: number };

/** An alignment of two sequences, or of a part of each. */
export interface Alignment {
  readonly score: number;
  /** In the order of the sequences. */
  readonly steps: readonly AlignmentStep[];
  /** The part of the first sequence: from this item up to, not including, the next. */
  readonly aFrom: number;
  readonly aUntil: number;
  readonly bFrom: number;
  readonly bUntil: number;
}

/** The most cells (length times length) of one alignment: a byte each. */
export const MOST_ALIGNMENT_CELLS = 2 ** 26;

/**
 * The fewest items to insert, drop or change so that the first sequence becomes the second.
 * @param same whether item `a` of the first is like item `b` of the second
 * @example
 * const [from, to] = ['kitten', 'sitting']
 * editDistance(from.length, to.length, (a, b) => from[a] === to[b]) // => 3
 */
export function editDistance(lengthA: number, lengthB: number, same: (a: number, b: number) => boolean): number {
  checkLengths(lengthA, lengthB, Infinity);
  const row: Int32Array = Int32Array.from({ length: lengthB + 1 }, (_, j) => j);
  for (let i = 1; i <= lengthA; i++) {
    let diagonal = row[0]!;
    row[0] = i;
    for (let j = 1; j <= lengthB; j++) {
      const changed = diagonal + (same(i - 1, j - 1) ? 0 : 1);
      diagonal = row[j]!;
      row[j] = Math.min(changed, diagonal + 1, row[j - 1]! + 1);
    }
  }
  return row[lengthB]!;
}

/**
 * The best alignment of all of one sequence with all of the other. Of equally good ones it prefers, from the end on, a
 * pair, then an item of the first alone.
 * @throws RangeError if a length is no whole number, the lengths multiply to more than 2 ** 26, or a score is not finite
 * @example
 * const [first, second] = ['GCATGCG', 'GATTACA']
 * const found = globalAlignment(7, 7, { pair: (a, b) => (first[a] === second[b] ? 1 : -1), gap: -1 })
 * found.score // => 0
 * found.steps.filter((step) => step.kind === 'pair' && first[step.a] === second[step.b]).length // => 4
 */
export function globalAlignment(lengthA: number, lengthB: number, scores: AlignmentScores): Alignment {
  const { trace, score } = fill(lengthA, lengthB, scores, false);
  return traced(trace, lengthA, lengthB, lengthB, score);
}

/**
 * The best alignment of any part of one sequence with any part of the other: score 0 and no steps if nothing scores above
 * 0. Of equally good ones it takes the one that ends first in the first sequence, then in the second.
 * @throws RangeError as {@link globalAlignment} does
 * @example
 * const [first, second] = ['TGTTACGG', 'GGTTGACTA']
 * const found = localAlignment(8, 9, { pair: (a, b) => (first[a] === second[b] ? 3 : -3), gap: -2 })
 * found.score // => 13
 * first.slice(found.aFrom, found.aUntil) // => GTTAC
 * second.slice(found.bFrom, found.bUntil) // => GTTGAC
 */
export function localAlignment(lengthA: number, lengthB: number, scores: AlignmentScores): Alignment {
  const { trace, score, endA, endB } = fill(lengthA, lengthB, scores, true);
  return traced(trace, endA, endB, lengthB, score);
}

// Where the best score of a cell comes from, and whether the gap that ends there goes on.
const FROM = 3;
const FROM_PAIR = 1;
const FROM_DELETE = 2;
const FROM_INSERT = 3;
const DELETE_GOES_ON = 4;
const INSERT_GOES_ON = 8;

interface Filled {
  readonly trace: Uint8Array;
  readonly score: number;
  readonly endA: number;
  readonly endB: number;
}

function fill(
  lengthA: number,
  lengthB: number,
  { pair, gap, furtherGap = gap }: AlignmentScores,
  isLocal: boolean,
): Filled {
  checkLengths(lengthA, lengthB, MOST_ALIGNMENT_CELLS);
  if (!(Number.isFinite(gap) && Number.isFinite(furtherGap)))
    throw new RangeError(`gaps score ${gap} and ${furtherGap}: give finite numbers`);
  const width = lengthB + 1;
  const trace: Uint8Array = new Uint8Array((lengthA + 1) * width);
  const best: Float64Array = new Float64Array(width); // of the row above up to the cell at hand, then of this row
  const deleting: Float64Array = new Float64Array(width).fill(-Infinity); // the best that ends with an item of the first alone
  let [score, endA, endB] = [0, 0, 0];
  for (let i = 0; i <= lengthA; i++) {
    let diagonal = -Infinity;
    let left = -Infinity;
    let inserting = -Infinity;
    for (let j = 0; j <= lengthB; j++) {
      const above = i === 0 ? -Infinity : best[j]!;
      let code = 0;
      let here = isLocal || (i === 0 && j === 0) ? 0 : -Infinity;
      if (i > 0 && j > 0) {
        const paired = diagonal + checked(pair, i - 1, j - 1);
        if (paired > here) [here, code] = [paired, FROM_PAIR];
      }
      let goesOn = 0;
      if (deleting[j]! + furtherGap > above + gap) goesOn |= DELETE_GOES_ON;
      deleting[j] = Math.max(deleting[j]! + furtherGap, above + gap);
      if (deleting[j]! > here) [here, code] = [deleting[j]!, FROM_DELETE];
      if (inserting + furtherGap > left + gap) goesOn |= INSERT_GOES_ON;
      inserting = Math.max(inserting + furtherGap, left + gap);
      if (inserting > here) [here, code] = [inserting, FROM_INSERT];
      trace[i * width + j] = code | goesOn;
      diagonal = above;
      left = here;
      best[j] = here;
      if (isLocal && here > score) [score, endA, endB] = [here, i, j];
    }
  }
  return isLocal ? { trace, score, endA, endB } : { trace, score: best[lengthB]!, endA: lengthA, endB: lengthB };
}

/** Follows the trace back from where an alignment ends. */
function traced(trace: Uint8Array, endA: number, endB: number, lengthB: number, score: number): Alignment {
  const steps: AlignmentStep[] = [];
  let [i, j] = [endA, endB];
  let gap = 0; // what the gap at hand is, if it goes on
  for (;;) {
    const code = trace[i * (lengthB + 1) + j]!;
    const from = gap === 0 ? code & FROM : gap;
    if (from === FROM_PAIR) steps.push({ kind: 'pair', a: --i, b: --j });
    else if (from === FROM_DELETE) {
      steps.push({ kind: 'delete', a: --i });
      gap = code & DELETE_GOES_ON ? FROM_DELETE : 0;
    } else if (from === FROM_INSERT) {
      steps.push({ kind: 'insert', b: --j });
      gap = code & INSERT_GOES_ON ? FROM_INSERT : 0;
    } else break;
  }
  return { score, steps: steps.reverse(), aFrom: i, aUntil: endA, bFrom: j, bUntil: endB };
}

function checked(pair: AlignmentScores['pair'], a: number, b: number): number {
  const score = pair(a, b);
  if (!Number.isFinite(score)) throw new RangeError(`items ${a} and ${b} score ${score}: give a finite number`);
  return score;
}

/** Refuses lengths that are no whole numbers, and tables of more cells than allowed. */
export function checkLengths(lengthA: number, lengthB: number, mostCells: number): void {
  for (const length of [lengthA, lengthB])
    if (!(Number.isInteger(length) && length >= 0))
      throw new RangeError(`a sequence of ${length} items: give a whole number from 0 up`);
  if ((lengthA + 1) * (lengthB + 1) > mostCells)
    throw new RangeError(`${lengthA} and ${lengthB} items are too many to align (${mostCells} cells): align parts`);
}

/**
 * How alike two sequences are in their runs of n items, wherever these stand: 1 if each has the same runs equally often, 0
 * if they share none. `undefined` if neither is n long. Source: E. Ukkonen 1992, Theoretical Computer Science 92:191-211,
 * as a similarity in D. Mullensiefen and K. Frieler 2004, Computing in Musicology 13:147-176.
 * @example
 * ngramSimilarity([2, 2, 1, 2, 2, 2, 1], [2, 2, 1, 2, 2, 1, 2], 3) // => 0.8
 */
export function ngramSimilarity(a: ArrayLike<number>, b: ArrayLike<number>, n: number): number | undefined {
  if (!(Number.isInteger(n) && n >= 1)) throw new RangeError(`runs of ${n} items: give a whole number from 1 up`);
  const surplus = new Map<string, number>(); // in the first over the second
  const count = (items: ArrayLike<number>, by: number): number => {
    const runs = Math.max(0, items.length - n + 1);
    for (let i = 0; i < runs; i++) {
      const run = Array.from({ length: n }, (_, d) => items[i + d]).join();
      surplus.set(run, (surplus.get(run) ?? 0) + by);
    }
    return runs;
  };
  const runs = count(a, 1) + count(b, -1);
  if (runs === 0) return undefined;
  let apart = 0;
  for (const by of surplus.values()) apart += Math.abs(by);
  return 1 - apart / runs;
}
