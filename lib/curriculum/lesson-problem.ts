// What a lesson order is made from, as plain numbers: steps, what they need, how hard they are; and what an order costs.

/** One thing to be learned. */
export interface Item {
  readonly id: string;
  /** How much it weighs when it is new; not negative. */
  readonly weight: number;
  /** Ids of items that must be known before a step may bring this one. */
  readonly after: readonly string[];
  /** True for what is no skill but a mark that a step leaves: it is never given a step of its own. */
  readonly isMark?: true;
  /** True for what is always learned by itself, right before the first step that needs it: its weight is squared alone, and nothing waits for it. */
  readonly isAlone?: true;
}

/** Something to be played: what it needs, and how hard it is. */
export interface OrderStep {
  readonly id: string;
  /** Ids of the items it needs. What is new among them it teaches. */
  readonly needs: readonly string[];
  /** On any scale that is 0 or above; see the weight of the rise. */
  readonly difficulty: number;
  /** What there is to remember if it is like no earlier step; not negative. */
  readonly material: number;
}

/** A step that is cheaper to learn once another one is known: as a change of that. */
export interface Kinship {
  readonly from: string;
  readonly to: string;
  /** What is left of the material of `to`, given `from`; at most the whole. */
  readonly material: number;
}

/** All that an order is looked for in. */
export interface OrderProblem {
  readonly items: readonly Item[];
  /** Ids of the items that are known at the start. */
  readonly known: readonly string[];
  readonly steps: readonly OrderStep[];
  readonly kinships: readonly Kinship[];
  /** Weight of the squared rises in difficulty. */
  readonly lambda: number;
  /** Weight of the squared falls below the hardest step so far, so that what is easy does not wait for what is hard. Default 0. */
  readonly fall?: number;
  /** The difficulty that the first step rises from. Default 0. */
  readonly startDifficulty?: number;
}

/** The published weight of a squared rise in difficulty against a squared weight of the new. A choice of this project. */
export const LAMBDA = 1;

/** The weight of a squared fall in a plan: little, to decide between orders that are nearly alike. A choice of this project. */
export const FALL = 0.05;

/** What a step of some difficulty costs after the hardest one before it: its rise or its fall, squared. */
export const changeCost = ({ lambda, fall = 0 }: OrderProblem, hardest: number, difficulty: number): number =>
  (difficulty > hardest ? lambda : fall) * (difficulty - hardest) ** 2;

/** What a step costs at its place in an order. */
export interface StepCost {
  readonly step: string;
  /** Items it teaches, in the order of its needs. */
  readonly new: readonly string[];
  /** Items that are learned by themselves right before it, each after what it waits for. */
  readonly alone: readonly string[];
  /** Weight of the new items, and what is to be remembered; without those learned alone. */
  readonly newWeight: number;
  /** What is to be remembered, as a change of `changeOf` or from nothing. */
  readonly material: number;
  /** The earlier step it is cheapest to learn from; absent if none makes it cheaper. */
  readonly changeOf?: string;
  /** How much harder than all that came before; 0 if it is not. */
  readonly rise: number;
  /** newWeight squared + the squared weights of what is learned alone + lambda x rise squared, or + fall x the squared way down. */
  readonly cost: number;
}

/** The problem in numbers, made once. Steps and items go by their index. */
export interface Compiled {
  readonly problem: OrderProblem;
  readonly n: number;
  /** By step: the unknown items it needs. */
  readonly needs: readonly Int32Array[];
  readonly weights: Float64Array;
  /** By item: 1 for those that are learned alone. */
  readonly alone: Uint8Array;
  /** By item: unknown items that must come before it. */
  readonly after: readonly Int32Array[];
  readonly difficulty: Float64Array;
  /** By target, then by source (`n`: from nothing). */
  readonly material: readonly Float64Array[];
  readonly start: number;
}

/**
 * Checks a problem and numbers it.
 * @throws RangeError for an item or step that is not there or twice, a negative or unreal number, items that wait for one another in a circle
 */
export function compile(problem: OrderProblem): Compiled {
  const { items, steps, known, kinships, lambda, fall = 0, startDifficulty = 0 } = problem;
  const itemIndex = indexed(items, 'item');
  const stepIndex = indexed(steps, 'step');
  const item = (id: string, where: string): number => {
    const i = itemIndex.get(id);
    if (i === undefined) throw new RangeError(`${where} names the item "${id}", which is not among the items`);
    return i;
  };
  const amount = (value: number, what: string): number => {
    if (!(value >= 0 && Number.isFinite(value))) throw new RangeError(`${what} is ${value}: 0 or more expected`);
    return value;
  };
  amount(lambda, 'lambda');
  amount(fall, 'fall');
  const isKnown = new Uint8Array(items.length);
  for (const id of known) isKnown[item(id, 'what is known')] = 1;
  const unknown = (ids: readonly string[], where: string): Int32Array =>
    Int32Array.from([...new Set(ids.map((id) => item(id, where)))].filter((i) => isKnown[i] === 0));
  const after = items.map((it) => unknown(it.after, `item "${it.id}"`));
  refuseCircles(items, after);
  const alone = Uint8Array.from(items, ({ isAlone }) => (isAlone ? 1 : 0));
  const n = steps.length;
  const material = steps.map((step) => new Float64Array(n + 1).fill(amount(step.material, `material of "${step.id}"`)));
  for (const k of kinships) {
    const [from, to] = [stepIndex.get(k.from), stepIndex.get(k.to)];
    if (from === undefined || to === undefined)
      throw new RangeError(`a kinship names the step "${from === undefined ? k.from : k.to}", which is not there`);
    const row = material[to] as Float64Array;
    row[from] = Math.min(row[from] as number, amount(k.material, `material of "${k.to}" from "${k.from}"`));
  }
  return {
    problem,
    n,
    needs: steps.map((step) => withAlone(unknown(step.needs, `step "${step.id}"`), after, alone)),
    alone,
    weights: Float64Array.from(items, (it) => amount(it.weight, `weight of "${it.id}"`)),
    after,
    difficulty: Float64Array.from(steps, (step) => amount(step.difficulty, `difficulty of "${step.id}"`)),
    material,
    start: amount(startDifficulty, 'startDifficulty'),
  };
}

/** Needs, and before each what it waits for and is learned alone. */
function withAlone(needs: Int32Array, after: readonly Int32Array[], alone: Uint8Array): Int32Array {
  const all = new Set<number>();
  const add = (item: number): void => {
    for (const before of after[item] as Int32Array) if (alone[before] === 1) add(before);
    all.add(item);
  };
  for (const item of needs) add(item);
  return Int32Array.from(all);
}

function indexed(list: readonly { readonly id: string }[], what: string): Map<string, number> {
  const index = new Map<string, number>();
  list.forEach(({ id }, i) => {
    if (index.has(id)) throw new RangeError(`the ${what} "${id}" is there twice`);
    index.set(id, i);
  });
  return index;
}

function refuseCircles(items: readonly Item[], after: readonly Int32Array[]): void {
  const state = new Uint8Array(items.length); // 1: being looked at, 2: done
  const visit = (i: number, path: readonly number[]): void => {
    if (state[i] === 2) return;
    if (state[i] === 1) {
      const circle = path.slice(path.indexOf(i)).map((k) => (items[k] as Item).id);
      throw new RangeError(`items wait for one another: ${[...circle, (items[i] as Item).id].join(' after ')}`);
    }
    state[i] = 1;
    for (const before of after[i] as Int32Array) visit(before, [...path, i]);
    state[i] = 2;
  };
  for (let i = 0; i < items.length; i++) visit(i, []);
}

/** True if every item that a step needs is learned, or waits for nothing that is not, but for what is learned alone. */
export function isReady({ needs, after, alone }: Compiled, step: number, learned: Uint8Array): boolean {
  for (const item of needs[step] as Int32Array) {
    if (learned[item] === 1) continue;
    for (const before of after[item] as Int32Array) if (learned[before] === 0 && alone[before] === 0) return false;
  }
  return true;
}

/** Marks what a step teaches as learned. */
export function learn({ needs }: Compiled, step: number, learned: Uint8Array): void {
  for (const item of needs[step] as Int32Array) learned[item] = 1;
}

/** What an order costs; `Infinity` where a step comes before something it must wait for. */
export function costOf(
  c: Compiled,
  order: ArrayLike<number>,
  learned: Uint8Array = new Uint8Array(c.weights.length),
): number {
  learned.fill(0);
  let hardest = c.start;
  let sum = 0;
  for (let k = 0; k < order.length; k++) {
    const step = order[k] as number;
    if (!isReady(c, step, learned)) return Number.POSITIVE_INFINITY;
    let fresh = leastMaterial(c, step, order, k);
    for (const item of c.needs[step] as Int32Array)
      if (learned[item] === 0) {
        learned[item] = 1;
        const weight = c.weights[item] as number;
        if (c.alone[item] === 1) sum += weight * weight;
        else fresh += weight;
      }
    const difficulty = c.difficulty[step] as number;
    sum += fresh * fresh + changeCost(c.problem, hardest, difficulty);
    hardest = Math.max(hardest, difficulty);
  }
  return sum;
}

function leastMaterial({ material, n }: Compiled, step: number, order: ArrayLike<number>, k: number): number {
  const row = material[step] as Float64Array;
  let least = row[n] as number;
  for (let i = 0; i < k; i++) least = Math.min(least, row[order[i] as number] as number);
  return least;
}

/** The cost of every step of an order, with what it is made of. The order must be ready at every step. */
export function stepCosts(c: Compiled, order: readonly number[]): readonly StepCost[] {
  const { items, steps } = c.problem;
  const learned = new Uint8Array(items.length);
  let hardest = c.start;
  return order.map((step, k): StepCost => {
    const unlearned = [...(c.needs[step] as Int32Array)].filter((item) => learned[item] === 0);
    const fresh = unlearned.filter((item) => c.alone[item] === 0);
    const alone = unlearned.filter((item) => c.alone[item] === 1);
    learn(c, step, learned);
    const row = c.material[step] as Float64Array;
    const source = order
      .slice(0, k)
      .reduce((best, from) => ((row[from] as number) < (row[best] as number) ? from : best), c.n);
    const material = row[source] as number;
    const newWeight = fresh.reduce((sum, item) => sum + (c.weights[item] as number), material);
    const rise = Math.max(0, (c.difficulty[step] as number) - hardest);
    const change = changeCost(c.problem, hardest, c.difficulty[step] as number);
    hardest += rise;
    const squares = alone.reduce((sum, item) => sum + (c.weights[item] as number) ** 2, 0);
    return {
      step: (steps[step] as OrderStep).id,
      new: fresh.map((item) => (items[item] as Item).id),
      alone: alone.map((item) => (items[item] as Item).id),
      newWeight,
      material,
      ...(source < c.n && { changeOf: (steps[source] as OrderStep).id }),
      rise,
      cost: newWeight * newWeight + squares + change,
    };
  });
}
