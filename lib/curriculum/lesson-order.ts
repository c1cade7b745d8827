// The order in which phrases add one new thing at a time.
import { createRandom } from '../foundation/random.js';
import { bestOrder, MOST_EXACT } from './lesson-exact.js';
import {
  type Compiled,
  compile,
  costOf,
  type Item,
  isReady,
  learn,
  type OrderProblem,
  type OrderStep,
  type StepCost,
  stepCosts,
} from './lesson-problem.js';
import {
  cheapestNext,
  easiestFirst,
  improved,
  madeReady,
  nextBest,
  nextBestScores,
  putOff,
  shaken,
} from './lesson-search.js';

/** An order with its reasons. */
export interface LessonOrder {
  /** Each step with what is new in it, what it is a change of, and what it costs. */
  readonly steps: readonly StepCost[];
  /** The sum of the costs. */
  readonly cost: number;
  /** What the simple orders cost, each made ready first: easiest first, as given, next-best score. */
  readonly simple: { readonly easiestFirst: number; readonly asGiven: number; readonly nextBest: number };
  /** Items that had to be given a step of their own, since every phrase that could teach them waits for them. */
  readonly prepared: readonly string[];
  /** True if it is known to be the best order there is. */
  readonly isBest: boolean;
}

/** How an order is looked for. */
export interface LessonOrderOptions {
  /** Seed of the new starts. Default 1. */
  readonly seed?: number;
  /** New starts near the best order found. Default 8. */
  readonly restarts?: number;
}

/** The id of the step that does nothing but prepare an item. */
export const preparationOf = (item: string): string => `prepare ${item}`;

/**
 * Orders steps so that the sum over all of (weight of what is new)^2 + lambda x (rise in difficulty)^2 (and, if asked for, fall x (fall below it)^2) is small: squares, so that the new is spread out. A
 * rise is above the hardest step so far: to come back to what was mastered costs nothing.
 * What is new: the weights of the items that no earlier step taught, and what is to be remembered, given the nearest earlier step. No step comes before
 * something that its new items wait for; what is learned alone comes right before the first step that needs it, its weight squared by itself; where nothing else can teach that, a step is added that prepares it. Up to 14 steps the order is the best there
 * is; with more it is the best found from the next-best score (J. Tauber 2008), easiest first, the order given and the cheapest next, by moving steps about
 * until nothing gets cheaper: never worse than any of these.
 * @throws RangeError as a problem that cannot be read says: items or steps that are not there or twice, negative numbers, items in a circle
 * @example
 * const items = ['slide', 'bend', 'pre-bend'].map((id) => ({ id, weight: 3, after: id === 'pre-bend' ? ['bend'] : [] }))
 * const steps = [['a', ['bend', 'pre-bend']], ['b', ['bend', 'slide']], ['c', ['slide']]].map(([id, needs], d) => ({ id, needs, difficulty: 3 - d, material: 1 }))
 * const order = lessonOrder({ items, steps, known: [], kinships: [], lambda: 1 })
 * order.steps.map((s) => `${s.step}: ${s.new.join()}`) // => ['c: slide', 'b: bend', 'a: pre-bend']
 */
export function lessonOrder(problem: OrderProblem, { seed = 1, restarts = 8 }: LessonOrderOptions = {}): LessonOrder {
  const { problem: whole, prepared } = withPreparations(problem);
  const c = compile(whole);
  const given = Array.from({ length: c.n }, (_, step) => step);
  const simple = [easiestFirst(c), given, nextBest(c)].map((order) => madeReady(c, order));
  const [easiest, asGiven, best] = simple.map((order) => costOf(c, order)) as [number, number, number];
  const exact = c.n <= MOST_EXACT ? bestOrder(c) : undefined;
  const found = exact ?? searched(c, [...simple, cheapestNext(c)], seed, restarts);
  const preparations = prepared.map((id) => whole.steps.findIndex((step) => step.id === preparationOf(id)));
  const order = putOff(c, found, preparations);
  const steps = stepCosts(c, order);
  return {
    steps,
    cost: costOf(c, order),
    simple: { easiestFirst: easiest, asGiven, nextBest: best },
    prepared,
    isBest: exact !== undefined,
  };
}

function searched(
  c: Compiled,
  starts: readonly (readonly number[])[],
  seed: number,
  restarts: number,
): readonly number[] {
  const random = createRandom(seed);
  const looks = Math.max(2_000, Math.round(12_000_000 / (c.n * c.n)));
  let best = starts
    .map((start) => improved(c, start, looks))
    .reduce((least, found) => (found.cost < least.cost ? found : least));
  for (let k = 0; k < restarts; k++) {
    const found = improved(c, madeReady(c, shaken(best.order, random)), looks);
    if (found.cost < best.cost) best = found;
  }
  return best.order;
}

/**
 * Adds a step for each item that nothing else can teach in time: while some step never becomes ready, the item that is worth most by the next-best score
 * among those that it waits for.
 */
export function withPreparations(problem: OrderProblem): {
  readonly problem: OrderProblem;
  readonly prepared: readonly string[];
} {
  let whole = problem;
  const prepared: string[] = [];
  for (;;) {
    const c = compile(whole);
    const learned = new Uint8Array(c.weights.length);
    const waiting = new Set(Array.from({ length: c.n }, (_, step) => step));
    for (let goes = true; goes; ) {
      goes = false;
      for (const step of waiting)
        if (isReady(c, step, learned)) {
          learn(c, step, learned);
          waiting.delete(step);
          goes = true;
        }
    }
    if (waiting.size === 0) return { problem: whole, prepared };
    const next = itemToPrepare(c, [...waiting], learned);
    const { id } = c.problem.items[next] as Item;
    prepared.push(id);
    const step: OrderStep = { id: preparationOf(id), needs: [id], difficulty: 0, material: 0 };
    whole = { ...whole, steps: [...whole.steps, step] };
  }
}

function itemToPrepare(c: Compiled, waiting: readonly number[], learned: Uint8Array): number {
  const blocking = new Set<number>();
  for (const step of waiting)
    for (const item of c.needs[step] as Int32Array)
      if (learned[item] === 0)
        for (const before of c.after[item] as Int32Array)
          if (learned[before] === 0 && c.alone[before] === 0 && !c.problem.items[before]?.isMark) blocking.add(before);
  const free = [...blocking].filter((item) =>
    (c.after[item] as Int32Array).every((before) => learned[before] === 1 || c.alone[before] === 1),
  );
  const known = new Set([...learned.keys()].filter((item) => learned[item] === 1));
  const scores = nextBestScores(
    waiting.map((step) => [...(c.needs[step] as Int32Array)]),
    known,
  );
  // An item that is waited for may be needed by no step itself; then its own predecessors are prepared first.
  const choices = free.length > 0 ? free : [deepest(c, [...blocking][0] as number, learned)];
  return choices.reduce((best, item) => ((scores.get(item) ?? 0) > (scores.get(best) ?? 0) ? item : best));
}

/** Of an item and all it waits for, one that waits for nothing more. */
function deepest(c: Compiled, item: number, learned: Uint8Array): number {
  const before = [...(c.after[item] as Int32Array)].find((other) => learned[other] === 0 && c.alone[other] === 0);
  return before === undefined ? item : deepest(c, before, learned);
}
