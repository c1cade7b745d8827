// Orders of many steps: simple ones to start from, and improvement of the whole by moving steps about.
import type { Random } from '../foundation/random.js';
import { type Compiled, changeCost, costOf, isReady, learn } from './lesson-problem.js';

/**
 * An order made ready: step by step the first of the wished order that waits for nothing. Steps that never become ready are left out.
 */
export function madeReady(c: Compiled, wished: readonly number[]): readonly number[] {
  const learned = new Uint8Array(c.weights.length);
  const left = [...wished];
  const order: number[] = [];
  for (;;) {
    const k = left.findIndex((step) => isReady(c, step, learned));
    if (k < 0) return order;
    const [step] = left.splice(k, 1) as [number];
    learn(c, step, learned);
    order.push(step);
  }
}

/** Easiest first; of equals the one named first. */
export const easiestFirst = (c: Compiled): readonly number[] =>
  Array.from({ length: c.n }, (_, step) => step).sort(
    (a, b) => (c.difficulty[a] as number) - (c.difficulty[b] as number) || a - b,
  );

/**
 * Scores of items after J. Tauber 2008, Programmed vocabulary learning as a travelling salesman problem: an item is worth 2^-(items still missing) for every
 * target that lacks it, so that what most often nearly suffices comes first.
 * @example
 * nextBestScores([[1, 3, 7], [2, 7], [4]], new Set()).get(7) // => 0.375
 */
export function nextBestScores(
  targets: readonly (readonly number[])[],
  learned: ReadonlySet<number>,
): Map<number, number> {
  const scores = new Map<number, number>();
  for (const target of targets) {
    const missing = target.filter((item) => !learned.has(item));
    for (const item of missing) scores.set(item, (scores.get(item) ?? 0) + 2 ** -missing.length);
  }
  return scores;
}

/** The order in which steps become playable when items are learned one by one, the one with the best score first. */
export function nextBest(c: Compiled): readonly number[] {
  const targets = c.needs.map((items) => [...items]);
  const learned = new Set<number>();
  const placed = new Set<number>();
  const order: number[] = [];
  for (;;) {
    targets.forEach((target, step) => {
      if (placed.has(step) || target.some((item) => !learned.has(item))) return;
      placed.add(step);
      order.push(step);
    });
    const scores = [
      ...nextBestScores(
        targets.filter((_, step) => !placed.has(step)),
        learned,
      ),
    ];
    if (scores.length === 0) return order;
    learned.add(
      scores.reduce((best, entry) =>
        entry[1] > best[1] || (entry[1] === best[1] && entry[0] < best[0]) ? entry : best,
      )[0],
    );
  }
}

/** Each step in turn the one that costs least next: greedy in the cost itself. */
export function cheapestNext(c: Compiled): readonly number[] {
  const order: number[] = [];
  const left = new Set(Array.from({ length: c.n }, (_, step) => step));
  const learned = new Uint8Array(c.weights.length);
  let hardest = c.start;
  while (left.size > 0) {
    let best = -1;
    let least = Number.POSITIVE_INFINITY;
    for (const step of left) {
      if (!isReady(c, step, learned)) continue;
      const row = c.material[step] as Float64Array;
      let fresh = order.reduce((m, from) => Math.min(m, row[from] as number), row[c.n] as number);
      let squares = 0;
      for (const item of c.needs[step] as Int32Array) {
        if (learned[item] === 1) continue;
        const weight = c.weights[item] as number;
        if (c.alone[item] === 1) squares += weight * weight;
        else fresh += weight;
      }
      const cost = fresh * fresh + squares + changeCost(c.problem, hardest, c.difficulty[step] as number);
      if (cost < least) {
        least = cost;
        best = step;
      }
    }
    if (best < 0) return order;
    left.delete(best);
    learn(c, best, learned);
    hardest = Math.max(hardest, c.difficulty[best] as number);
    order.push(best);
  }
  return order;
}

/** Orders are compared at most this often for each start. */
const MOST_LOOKS = 60_000;

/** The order after taking the steps from `from` to `from + length - 1` out and putting them back before place `to` of what is left. */
function moved(order: readonly number[], from: number, length: number, to: number): number[] {
  const next = [...order];
  const taken = next.splice(from, length);
  next.splice(to, 0, ...taken);
  return next;
}

/**
 * Moves runs of one to three steps, and swaps two, as long as it gets cheaper. The answer never costs more than the start.
 */
export function improved(
  c: Compiled,
  start: readonly number[],
  looks = MOST_LOOKS,
): { readonly order: readonly number[]; readonly cost: number } {
  const scratch = new Uint8Array(c.weights.length);
  let order = [...start];
  let cost = costOf(c, order, scratch);
  let left = looks;
  const tryOne = (next: number[]): boolean => {
    left--;
    const sum = costOf(c, next, scratch);
    if (!(sum < cost - 1e-9)) return false;
    order = next;
    cost = sum;
    return true;
  };
  const sweep = (): boolean => {
    let better = false;
    for (let length = 1; length <= 3; length++)
      for (let from = 0; from + length <= order.length; from++)
        for (let to = 0; to + length <= order.length && left > 0; to++)
          if (to !== from && tryOne(moved(order, from, length, to))) better = true;
    for (let a = 0; a < order.length; a++)
      for (let b = a + 1; b < order.length && left > 0; b++) {
        const next = [...order];
        [next[a], next[b]] = [order[b] as number, order[a] as number];
        if (tryOne(next)) better = true;
      }
    return better;
  };
  while (left > 0 && sweep());
  return { order, cost };
}

/** A copy with some steps put elsewhere, for a new start near a good order. */
export function shaken(order: readonly number[], random: Random): readonly number[] {
  let next = [...order];
  for (let k = 0; k < 3 && next.length > 1; k++)
    next = moved(next, random.int(next.length), 1, random.int(next.length));
  return next;
}

/** Some steps put off for as long as it costs nothing: right before the first that cannot do without them. */
export function putOff(c: Compiled, order: readonly number[], steps: readonly number[]): readonly number[] {
  let best = order;
  let cost = costOf(c, order);
  for (const step of steps)
    for (let to = best.length - 1; to > best.indexOf(step); to--) {
      const next = moved(best, best.indexOf(step), 1, to);
      const sum = costOf(c, next);
      if (sum > cost + 1e-9) continue;
      best = next;
      cost = sum;
      break;
    }
  return best;
}
