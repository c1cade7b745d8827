// Orders of steps, against all orders, against the simple ones, and as laws.
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { lessonOrder, preparationOf, withPreparations } from '../../lib/curriculum/lesson-order.js';
import { compile, costOf, type Item, type OrderProblem, stepCosts } from '../../lib/curriculum/lesson-problem.js';
import { nextBestScores } from '../../lib/curriculum/lesson-search.js';
import { createRandom } from '../../lib/foundation/random.js';

/** A corpus made by seed: items with prerequisites, steps that need some, kinships between them. */
function made(seed: number, steps: number, items = Math.max(4, steps)): OrderProblem {
  const random = createRandom(seed);
  const itemList: Item[] = Array.from({ length: items }, (_, i) => ({
    id: `i${i}`,
    weight: 0.5 + random.int(6) / 2,
    after: i > 2 && random.next() < 0.3 ? [`i${random.int(i)}`] : [],
  }));
  const stepList = Array.from({ length: steps }, (_, s) => ({
    id: `s${s}`,
    needs: [
      ...new Set(Array.from({ length: 1 + random.int(6) }, () => `i${Math.floor(items * random.next() ** 1.5)}`)),
    ],
    difficulty: 1 + random.next() * 9,
    material: 1 + random.next() * 3,
  }));
  const kinships = Array.from({ length: steps }, () => {
    const [from, to] = [random.int(steps), random.int(steps)];
    return { from: `s${from}`, to: `s${to}`, material: random.next() };
  }).filter(({ from, to }) => from !== to);
  return { items: itemList, steps: stepList, known: random.next() < 0.5 ? ['i0'] : [], kinships, lambda: 1 };
}

function* permutations(list: readonly number[]): Generator<readonly number[]> {
  if (list.length === 0) yield [];
  for (const [k, first] of list.entries())
    for (const rest of permutations([...list.slice(0, k), ...list.slice(k + 1)])) yield [first, ...rest];
}

describe('lessonOrder', () => {
  it('is the best of all orders, up to seven steps', () => {
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 1e6 }), fc.integer({ min: 0, max: 6 }), (seed, n) => {
        const problem = made(seed, n);
        const { problem: whole } = withPreparations(problem);
        const c = compile(whole);
        fc.pre(c.n <= 7);
        const best = Math.min(...[...permutations([...c.needs.keys()])].map((order) => costOf(c, order)));
        const found = lessonOrder(problem);
        expect(found.isBest).toBe(true);
        expect(found.cost).toBeCloseTo(best, 9);
      }),
      { numRuns: 60 },
    );
  });

  it('the search alone finds the best order of 9 to 14 steps nearly always, and never a better one', () => {
    let same = 0;
    const runs = 30;
    for (let seed = 0; seed < runs; seed++) {
      const problem = made(seed, 9 + (seed % 5));
      const exact = lessonOrder(problem);
      if (!exact.isBest) continue;
      // Steps that need nothing and add nothing make the search take over.
      const free = Array.from({ length: 15 }, (_, k) => ({ id: `free${k}`, needs: [], difficulty: 0, material: 0 }));
      const searched = lessonOrder({ ...problem, steps: [...free, ...problem.steps] });
      expect(searched.isBest).toBe(false);
      expect(searched.cost).toBeGreaterThanOrEqual(exact.cost - 1e-9);
      if (searched.cost <= exact.cost + 1e-9) same++;
    }
    expect(same / runs).toBeGreaterThanOrEqual(0.9);
  });

  it('over 100 seeded corpora it never costs more than the simple orders, and at the median at least 10 % less than the best of them', () => {
    const ratios = Array.from({ length: 100 }, (_, seed) => {
      const { cost, simple } = lessonOrder(made(seed, 15 + (seed % 17)), { restarts: 2 });
      const best = Math.min(simple.easiestFirst, simple.asGiven, simple.nextBest);
      expect(cost).toBeLessThanOrEqual(best + 1e-9);
      return cost / best;
    }).sort((a, b) => a - b);
    expect(ratios[50] as number).toBeLessThanOrEqual(0.9);
  }, 120_000);

  it('every step waits for what its new items wait for, every item is taught once, costs add up', () => {
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 1e6 }), fc.integer({ min: 1, max: 20 }), (seed, n) => {
        const problem = made(seed, n);
        const { steps, cost, prepared } = lessonOrder(problem, { restarts: 0 });
        const known = new Set(problem.known);
        for (const step of steps) {
          for (const id of step.new) {
            expect(known.has(id)).toBe(false);
            for (const before of (problem.items.find((item) => item.id === id) as Item).after)
              expect(known.has(before)).toBe(true);
          }
          for (const id of step.new) known.add(id);
        }
        for (const step of problem.steps) for (const id of step.needs) expect(known.has(id)).toBe(true);
        expect(steps.map(({ step }) => step).sort()).toEqual(
          [...problem.steps.map(({ id }) => id), ...prepared.map(preparationOf)].sort(),
        );
        expect(steps.reduce((sum, step) => sum + step.cost, 0)).toBeCloseTo(cost, 6);
      }),
      { numRuns: 60 },
    );
  });

  it('knowing more never makes the best order dearer', () => {
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 1e6 }), fc.integer({ min: 1, max: 8 }), (seed, n) => {
        const problem = made(seed, n);
        const before = lessonOrder(problem);
        const more = lessonOrder({ ...problem, known: [...problem.known, 'i0', 'i1'] });
        fc.pre(before.isBest && more.isBest);
        expect(more.cost).toBeLessThanOrEqual(before.cost + 1e-9);
      }),
      { numRuns: 80 },
    );
  });

  it('names the cheapest earlier step that a step is a change of', () => {
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 1e6 }), (seed) => {
        const problem = made(seed, 8);
        const { steps } = lessonOrder(problem);
        steps.forEach((step, k) => {
          const earlier = steps.slice(0, k).map((s) => s.step);
          const sources = problem.kinships.filter(({ from, to }) => to === step.step && earlier.includes(from));
          const whole = problem.steps.find(({ id }) => id === step.step)?.material ?? 0;
          const least = Math.min(whole, ...sources.map(({ material }) => material));
          expect(step.material).toBeCloseTo(least, 12);
          if (step.changeOf === undefined) expect(least).toBe(whole);
          else expect(sources.some(({ from, material }) => from === step.changeOf && material === least)).toBe(true);
        });
      }),
      { numRuns: 40 },
    );
  });

  it('gives an item a step of its own where every phrase that has it waits for it', () => {
    const order = lessonOrder({
      items: [
        { id: 'bend', weight: 1, after: [] },
        { id: 'release', weight: 1, after: ['bend'] },
      ],
      steps: [{ id: 'a', needs: ['bend', 'release'], difficulty: 1, material: 0 }],
      known: [],
      kinships: [],
      lambda: 1,
    });
    expect(order.prepared).toEqual(['bend']);
    expect(order.steps.map(({ step, new: fresh }) => [step, ...fresh])).toEqual([
      ['prepare bend', 'bend'],
      ['a', 'release'],
    ]);
  });

  it.each([
    [{ known: ['x'] }, 'what is known names the item "x", which is not among the items'],
    [{ steps: [{ id: 'a', needs: ['y'], difficulty: 1, material: 0 }] }, 'step "a" names the item "y"'],
    [{ steps: [{ id: 'a', needs: [], difficulty: Number.NaN, material: 0 }] }, 'difficulty of "a" is NaN'],
    [{ lambda: -1 }, 'lambda is -1'],
    [
      {
        items: [
          { id: 'p', weight: 1, after: ['q'] },
          { id: 'q', weight: 1, after: ['p'] },
        ],
      },
      'items wait for one another: p after q after p',
    ],
    [
      {
        items: [
          { id: 'p', weight: 1, after: [] },
          { id: 'p', weight: 1, after: [] },
        ],
      },
      'the item "p" is there twice',
    ],
  ])('refuses what cannot be meant: %j', (change, message) => {
    expect(() => lessonOrder({ items: [], steps: [], known: [], kinships: [], lambda: 1, ...change })).toThrow(message);
  });
});

describe('nextBestScores', () => {
  // J. Tauber 2008 (jktauber.com; code jtauber/graded-reader): three targets, learned in this order.
  it('scores I4 .5, I7 .375, I2 .25, I1 .125, I3 .125; then I7, I2, I1, I3', () => {
    const targets = [[1, 3, 7], [2, 7], [4]];
    const learned = new Set<number>();
    expect(Object.fromEntries(nextBestScores(targets, learned))).toEqual({
      4: 0.5,
      7: 0.375,
      2: 0.25,
      1: 0.125,
      3: 0.125,
    });
    const steps: [number, number][] = [];
    while (learned.size < 5) {
      const scores = [...nextBestScores(targets, learned)].sort((a, b) => b[1] - a[1] || a[0] - b[0]);
      steps.push(scores[0] as [number, number]);
      learned.add((scores[0] as [number, number])[0]);
    }
    expect(steps).toEqual([
      [4, 0.5],
      [7, 0.375],
      [2, 0.5],
      [1, 0.25],
      [3, 0.5],
    ]);
  });
});

it('stepCosts says what costOf sums', () => {
  const c = compile(made(5, 10));
  const order = lessonOrder(made(5, 10)).steps.map(({ step }) => c.problem.steps.findIndex(({ id }) => id === step));
  if (!order.includes(-1))
    expect(stepCosts(c, order).reduce((sum, { cost }) => sum + cost, 0)).toBeCloseTo(costOf(c, order), 9);
});
