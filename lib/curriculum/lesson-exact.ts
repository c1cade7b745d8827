// The best order of a few steps, for certain: all subsets, after M. Held and R. M. Karp 1962, A dynamic programming approach to sequencing problems, SIAM 10(1).
import type { Compiled } from './lesson-problem.js';

/** With more steps than this the exact search would take too long. */
export const MOST_EXACT = 12;

/**
 * The cheapest order. What is new at a step depends only on which steps came before it, the rise only on the last of them; so the best way to have played
 * a set of steps and to have ended on one of them is all that must be kept. `undefined` if no order is ready at every step.
 * @throws RangeError for more than 12 steps
 */
export function bestOrder(c: Compiled): readonly number[] | undefined {
  const { n } = c;
  if (n > MOST_EXACT) throw new RangeError(`${n} steps are too many for the exact search (${MOST_EXACT})`);
  if (n === 0) return [];
  const teachers = teachersOf(c);
  const sets = 1 << n;
  const best = new Float64Array(sets * n).fill(Number.POSITIVE_INFINITY);
  const from = new Int8Array(sets * n).fill(-1);
  for (let set = 0; set < sets; set++)
    for (let step = 0; step < n; step++) {
      if (set & (1 << step)) continue;
      const fresh = freshWeight(c, teachers, step, set);
      if (fresh === undefined) continue;
      const here = (set | (1 << step)) * n + step;
      const hard = c.difficulty[step] as number;
      const cost = (before: number) => {
        const rise = Math.max(0, hard - before);
        return fresh * fresh + c.problem.lambda * rise * rise;
      };
      if (set === 0) best[here] = cost(c.start);
      else
        for (let last = 0; last < n; last++) {
          const sum = (best[set * n + last] as number) + cost(c.difficulty[last] as number);
          if (sum >= (best[here] as number)) continue;
          best[here] = sum;
          from[here] = last;
        }
    }
  let set = sets - 1;
  let step = 0;
  for (let last = 1; last < n; last++)
    if ((best[set * n + last] as number) < (best[set * n + step] as number)) step = last;
  if (best[set * n + step] === Number.POSITIVE_INFINITY) return undefined;
  const order: number[] = [];
  while (step >= 0) {
    order.unshift(step);
    const before = from[set * n + step] as number;
    set &= ~(1 << step);
    step = before;
  }
  return order;
}

/** By item: the set of steps that teach it, as bits. */
function teachersOf({ needs, weights }: Compiled): Int32Array {
  const teachers = new Int32Array(weights.length);
  needs.forEach((items, step) => {
    for (const item of items) teachers[item] = (teachers[item] as number) | (1 << step);
  });
  return teachers;
}

/** The weight of what is new in a step after a set of others; `undefined` where something new waits for what is not known. */
function freshWeight(c: Compiled, teachers: Int32Array, step: number, set: number): number | undefined {
  const row = c.material[step] as Float64Array;
  let fresh = row[c.n] as number;
  for (let other = 0; other < c.n; other++) if (set & (1 << other)) fresh = Math.min(fresh, row[other] as number);
  for (const item of c.needs[step] as Int32Array) {
    if ((teachers[item] as number) & set) continue;
    for (const before of c.after[item] as Int32Array) if (((teachers[before] as number) & set) === 0) return undefined;
    fresh += c.weights[item] as number;
  }
  return fresh;
}
