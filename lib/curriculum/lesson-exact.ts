// The best order of a few steps, for certain: all subsets, after M. Held and R. M. Karp 1962, A dynamic programming approach to sequencing problems, SIAM 10(1).
import { type Compiled, changeCost } from './lesson-problem.js';

/** With more steps than this the exact search would take too long. */
export const MOST_EXACT = 14;

/**
 * The cheapest order. What a step costs depends only on which steps came before it, not on their order; so the best way to have played a set of steps is
 * all that must be kept. `undefined` if no order is ready at every step.
 * @throws RangeError for more steps than {@link MOST_EXACT}
 */
export function bestOrder(c: Compiled): readonly number[] | undefined {
  const { n } = c;
  if (n > MOST_EXACT) throw new RangeError(`${n} steps are too many for the exact search (${MOST_EXACT})`);
  const teachers = teachersOf(c);
  const sets = 1 << n;
  const best = new Float64Array(sets).fill(Number.POSITIVE_INFINITY);
  const hardest = new Float64Array(sets).fill(c.start);
  const last = new Int8Array(sets).fill(-1);
  best[0] = 0;
  for (let set = 0; set < sets; set++) {
    if (best[set] === Number.POSITIVE_INFINITY) continue;
    for (let step = 0; step < n; step++) {
      if (set & (1 << step)) continue;
      const fresh = freshCost(c, teachers, step, set);
      if (fresh === undefined) continue;
      const wider = set | (1 << step);
      const hard = Math.max(hardest[set] as number, c.difficulty[step] as number);
      const sum =
        (best[set] as number) + fresh + changeCost(c.problem, hardest[set] as number, c.difficulty[step] as number);
      if (sum >= (best[wider] as number)) continue;
      best[wider] = sum;
      hardest[wider] = hard;
      last[wider] = step;
    }
  }
  if (best[sets - 1] === Number.POSITIVE_INFINITY) return undefined;
  const order: number[] = [];
  for (let set = sets - 1; set > 0; set &= ~(1 << (last[set] as number))) order.unshift(last[set] as number);
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

/** What is new in a step after a set of others costs, squared; `undefined` where something new waits for what is not known. */
function freshCost(c: Compiled, teachers: Int32Array, step: number, set: number): number | undefined {
  const row = c.material[step] as Float64Array;
  let fresh = row[c.n] as number;
  for (let other = 0; other < c.n; other++) if (set & (1 << other)) fresh = Math.min(fresh, row[other] as number);
  let squares = 0;
  for (const item of c.needs[step] as Int32Array) {
    if ((teachers[item] as number) & set) continue;
    for (const before of c.after[item] as Int32Array)
      if (c.alone[before] === 0 && ((teachers[before] as number) & set) === 0) return undefined;
    const weight = c.weights[item] as number;
    if (c.alone[item] === 1) squares += weight * weight;
    else fresh += weight;
  }
  return fresh * fresh + squares;
}
