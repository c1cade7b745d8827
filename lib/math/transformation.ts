// How one sequence is turned into another when an item may also become several and several one: the comparison of M. Mongeau
// and D. Sankoff 1990, Computers and the Humanities 24:161-175, global and local. What an operation costs is told by
// functions over the numbers of the items. No music in here.
import { checkLengths } from './alignment.js';

/** What operations cost: finite numbers from 0 up, or Infinity for what is not allowed. */
export interface TransformationCosts {
  /** Item `a` of the first sequence becomes item `b` of the second; 0 is called a match. */
  readonly substitute: (a: number, b: number) => number;
  readonly delete: (a: number) => number;
  readonly insert: (b: number) => number;
  /** Item `a` becomes the items from `bFrom` up to, not including, `bUntil`: two or more. Default: not allowed. */
  readonly fragment?: (a: number, bFrom: number, bUntil: number) => number;
  /** The items from `aFrom` up to, not including, `aUntil`, two or more, become item `b`. Default: not allowed. */
  readonly consolidate?: (aFrom: number, aUntil: number, b: number) => number;
  /** The most items that one may become or come of, 2 to 255. Default 4. */
  readonly mostParts?: number;
}

/** One step: which items of the first sequence become which of the second. A stretch without items has from = until. */
export interface TransformationStep {
  readonly kind: 'match' | 'substitute' | 'delete' | 'insert' | 'fragment' | 'consolidate';
  readonly aFrom: number;
  readonly aUntil: number;
  readonly bFrom: number;
  readonly bUntil: number;
  readonly cost: number;
}

/** The steps from one sequence, or a part of it, to another, in order. */
export interface Transformation {
  /** Sum of the costs of the steps. */
  readonly cost: number;
  readonly steps: readonly TransformationStep[];
}

/** The parts of two sequences that are most alike. */
export interface PartTransformation extends Transformation {
  /** What the pairings are worth less what the steps cost. */
  readonly score: number;
  readonly aFrom: number;
  readonly aUntil: number;
  readonly bFrom: number;
  readonly bUntil: number;
}

/** What it is worth that items of the first sequence have become items of the second, before the cost is taken off. */
export type PairingWorth = (aFrom: number, aUntil: number, bFrom: number, bUntil: number) => number;

/** The most cells (length times length) of one comparison: 10 bytes each. */
export const MOST_TRANSFORMATION_CELLS = 2 ** 24;

/**
 * The cheapest way to turn one sequence into another; `undefined` if what is allowed does not lead there. Of equally cheap
 * steps it prefers, from the end on, one for one, then fragment and consolidate (fewest parts first), delete, insert.
 * @throws RangeError if a length or `mostParts` is out of range, the lengths multiply to more than 2 ** 24, or a cost is
 * negative or no number (with the items)
 * @example
 * const [from, to] = [[4, 2, 2], [2, 2, 2, 2]] // lengths: the first note is played as two
 * const sum = (list, from, until) => list.slice(from, until).reduce((a, b) => a + b, 0)
 * const found = cheapestTransformation(3, 4, {
 *   substitute: (a, b) => Math.abs(from[a] - to[b]),
 *   delete: (a) => from[a],
 *   insert: (b) => to[b],
 *   fragment: (a, bFrom, bUntil) => Math.abs(from[a] - sum(to, bFrom, bUntil)),
 * })
 * found?.cost // => 0
 * found?.steps.map((step) => step.kind) // => ['fragment', 'match', 'match']
 */
export function cheapestTransformation(
  lengthA: number,
  lengthB: number,
  costs: TransformationCosts,
): Transformation | undefined {
  const filled = fill(lengthA, lengthB, costs);
  if (filled.best[filled.best.length - 1] === -Infinity) return undefined;
  const { steps } = traced(filled, lengthA, lengthB, costs);
  return { cost: costOf(steps), steps };
}

/**
 * The parts of two sequences that are most alike: score 0 and no steps if no part is worth more than it costs. Of equally
 * good ones it takes those that end first in the first sequence, then in the second.
 * @param worth must be finite
 * @throws RangeError as {@link cheapestTransformation} does, or if a worth is not finite
 * @example
 * const [from, to] = ['abcxx', 'yabbc']
 * const found = closestParts(5, 5, {
 *   substitute: (a, b) => (from[a] === to[b] ? 0 : 2),
 *   delete: () => 1,
 *   insert: () => 1,
 *   fragment: (a, bFrom, bUntil) => ([...to.slice(bFrom, bUntil)].every((c) => c === from[a]) ? 0.25 : Infinity),
 * }, () => 1)
 * found.score // => 2.75
 * found.steps.map((step) => step.kind) // => ['match', 'fragment', 'match']
 * from.slice(found.aFrom, found.aUntil) // => abc
 */
export function closestParts(
  lengthA: number,
  lengthB: number,
  costs: TransformationCosts,
  worth: PairingWorth,
): PartTransformation {
  const filled = fill(lengthA, lengthB, costs, worth);
  const { best, width } = filled;
  let end = 0;
  for (let cell = 0; cell < best.length; cell++) if (best[cell]! > best[end]!) end = cell;
  const [aUntil, bUntil] = [Math.floor(end / width), end % width];
  const { steps, aFrom, bFrom } = traced(filled, aUntil, bUntil, costs);
  return { score: best[end]!, cost: costOf(steps), steps, aFrom, aUntil, bFrom, bUntil };
}

const costOf = (steps: readonly TransformationStep[]): number => steps.reduce((sum, step) => sum + step.cost, 0);

// Where the best score of a cell comes from: 0 for nowhere, then these, then by how many items were made or taken up.
const DELETE = 1;
const INSERT = 2;
const PAIR = 3;
const FRAGMENT = 256; // + parts
const CONSOLIDATE = 512; // + parts

interface Filled {
  readonly best: Float64Array;
  readonly from: Uint16Array;
  readonly width: number;
}

/** Scores are costs turned round, with the worth of pairings on top and a floor of 0 if parts are asked for. */
function fill(lengthA: number, lengthB: number, costs: TransformationCosts, worth?: PairingWorth): Filled {
  checkLengths(lengthA, lengthB, MOST_TRANSFORMATION_CELLS);
  const { fragment, consolidate, mostParts = 4 } = costs;
  if (!(Number.isInteger(mostParts) && mostParts >= 2 && mostParts <= 255))
    throw new RangeError(`mostParts is ${mostParts}: give a whole number from 2 to 255`);
  const gain = (aFrom: number, aUntil: number, bFrom: number, bUntil: number, cost: number): number => {
    checkCost(cost, aFrom, aUntil, bFrom, bUntil);
    if (!worth || cost === Infinity) return -cost;
    const value = worth(aFrom, aUntil, bFrom, bUntil);
    if (!Number.isFinite(value)) throw new RangeError(`a pairing at items ${aFrom} and ${bFrom} is worth ${value}`);
    return value - cost;
  };
  const deletions = Float64Array.from({ length: lengthA }, (_, a) => checkCost(costs.delete(a), a, a + 1, 0, 0));
  const insertions = Float64Array.from({ length: lengthB }, (_, b) => checkCost(costs.insert(b), 0, 0, b, b + 1));
  const width = lengthB + 1;
  const best: Float64Array = new Float64Array((lengthA + 1) * width);
  const from: Uint16Array = new Uint16Array(best.length);
  for (let i = 0; i <= lengthA; i++)
    for (let j = 0; j <= lengthB; j++) {
      const cell = i * width + j;
      let most = worth || cell === 0 ? 0 : -Infinity;
      let code = 0;
      const offer = (score: number, by: number): void => {
        if (score > most) [most, code] = [score, by];
      };
      if (i > 0 && j > 0) {
        offer(best[cell - width - 1]! + gain(i - 1, i, j - 1, j, costs.substitute(i - 1, j - 1)), PAIR);
        for (let k = 2; fragment && k <= Math.min(mostParts, j); k++)
          offer(best[cell - width - k]! + gain(i - 1, i, j - k, j, fragment(i - 1, j - k, j)), FRAGMENT + k);
        for (let k = 2; consolidate && k <= Math.min(mostParts, i); k++)
          offer(best[cell - k * width - 1]! + gain(i - k, i, j - 1, j, consolidate(i - k, i, j - 1)), CONSOLIDATE + k);
      }
      if (i > 0) offer(best[cell - width]! - deletions[i - 1]!, DELETE);
      if (j > 0) offer(best[cell - 1]! - insertions[j - 1]!, INSERT);
      best[cell] = most;
      from[cell] = code;
    }
  return { best, from, width };
}

function checkCost(cost: number, aFrom: number, aUntil: number, bFrom: number, bUntil: number): number {
  if (cost >= 0) return cost;
  const stretch = (from: number, until: number): string => (until - from > 1 ? `${from} to ${until - 1}` : `${from}`);
  const items = [
    aUntil > aFrom ? [`${stretch(aFrom, aUntil)} of the first sequence`] : [],
    bUntil > bFrom ? [`${stretch(bFrom, bUntil)} of the second`] : [],
  ];
  throw new RangeError(`the cost for ${items.flat().join(' and ')} is ${cost}: give 0 or more, or Infinity for never`);
}

function traced({ from, width }: Filled, endA: number, endB: number, costs: TransformationCosts) {
  const steps: TransformationStep[] = [];
  let [i, j] = [endA, endB];
  for (let code = from[i * width + j]!; code !== 0; code = from[i * width + j]!) {
    const [aFrom, bFrom] = before(code, i, j);
    const step = { aFrom, aUntil: i, bFrom, bUntil: j };
    if (code === DELETE) steps.push({ kind: 'delete', ...step, cost: costs.delete(aFrom) });
    else if (code === INSERT) steps.push({ kind: 'insert', ...step, cost: costs.insert(bFrom) });
    else if (code === PAIR) {
      const cost = costs.substitute(aFrom, bFrom);
      steps.push({ kind: cost === 0 ? 'match' : 'substitute', ...step, cost });
    } else if (code < CONSOLIDATE) {
      steps.push({ kind: 'fragment', ...step, cost: costs.fragment?.(aFrom, bFrom, j) ?? 0 });
    } else steps.push({ kind: 'consolidate', ...step, cost: costs.consolidate?.(aFrom, i, bFrom) ?? 0 });
    [i, j] = [aFrom, bFrom];
  }
  return { steps: steps.reverse(), aFrom: i, bFrom: j };
}

function before(code: number, i: number, j: number): readonly [number, number] {
  if (code === DELETE) return [i - 1, j];
  if (code === INSERT) return [i, j - 1];
  if (code === PAIR) return [i - 1, j - 1];
  return code < CONSOLIDATE ? [i - 1, j - (code - FRAGMENT)] : [i - (code - CONSOLIDATE), j - 1];
}
