// A lesson plan: from solos and a student to steps in an order, each with its reason, drills, tempos and dates.

import { relationsOf } from '../analysis/phrase-relation.js';
import { LITERAL, type Relation } from '../analysis/phrase-relation-kinds.js';
import { nearest } from '../foundation/nearest.js';
import { peakLevel } from '../guitar/bend.js';
import type { Phrase, Solo } from '../solo/solo.js';
import { type NamedSolo, toneTable } from '../solo/tone-table.js';
import { BEND_CAUTION, type Difficulty, difficultyOf, REST_CAUTION } from './difficulty.js';
import { drillsOf } from './drills.js';
import { withPhrase } from './exercise.js';
import { groundItems } from './ground-items.js';
import { groundSteps } from './ground-steps.js';
import { knowledgeOf, type PhraseNeeds } from './knowledge.js';
import { type LessonOrder, lessonOrder } from './lesson-order.js';
import { type Item, type Kinship, LAMBDA, type OrderProblem, type StepCost } from './lesson-problem.js';
import { type MovedPhrase, movesOf } from './phrase-moves.js';
import { drillsFor, minutesFor, type PlanStep, type Reuse, temposFor, type UndatedStep } from './plan-steps.js';
import { laidInWeeks, type PlanWeek } from './plan-weeks.js';
import { ANY_STUDENT, knownItems, type Student } from './student.js';
import { type Task, tasksFor } from './tasks.js';
import { type KnowledgeItem, NAMED_ITEMS, positionItem, WEIGHT } from './technique-items.js';

/** A plan. */
export interface LessonPlan {
  readonly student: Student;
  /** The solos it draws on. */
  readonly solos: readonly string[];
  /** Their titles, in the same order. */
  readonly titles: readonly string[];
  readonly goal?: string;
  readonly steps: readonly PlanStep[];
  readonly weeks: readonly PlanWeek[];
  /** A task for improvising over the backing for each week, with one goal. */
  readonly tasks: readonly Task[];
  /** What the order of the phrases costs beside simple orders. */
  readonly order: Pick<LessonOrder, 'cost' | 'simple' | 'isBest' | 'prepared'> & { readonly lambda: number };
  /** Items that were known at the start and are used. */
  readonly known: readonly string[];
}

/** How a plan is made. */
export interface PlanOptions {
  readonly student?: Student;
  /** The solo to be learned, by its name. Default: that of the student, else all solos. */
  readonly goal?: string;
  /** Seed of the search for the order. Default 1. */
  readonly seed?: number;
}

/**
 * A plan for a student: first the steps that the solo's own changes give, then its phrases in an order in which each adds little that is new (see
 * `lessonOrder`). With a goal its phrases are ordered; phrases of other solos are left out. Every step says what is new, what it is a change of, and what
 * is hardest in it. It claims an order, not an exam grade; a teacher knows better.
 * @throws RangeError if the goal is none of the solos, or there is no phrase to learn
 * @example
 * const plan = lessonPlan([{ id: 'two-doors-down', solo: parseSoloOrThrow(EXAMPLE_SOLO) }])
 * plan.steps.map((step) => step.title).slice(-2) // => ['phrase 1 "ask"', 'the whole solo, from the first phrase to the last']
 */
export function lessonPlan(solos: readonly NamedSolo[], options: PlanOptions = {}): LessonPlan {
  const { student = ANY_STUDENT, seed = 1 } = options;
  const goal = options.goal ?? student.goal;
  const chosen = goal === undefined ? solos : [soloNamed(solos, goal)];
  const table = toneTable(chosen);
  const phrases = knowledgeOf(table);
  if (phrases.length === 0) throw new RangeError('there is no phrase to learn: the solos are empty');
  const scene: Scene = {
    solos: new Map(chosen.map((named) => [named.id, named.solo])),
    student,
    phrases: new Map(phrases.map((p) => [idOf(p), p])),
  };
  const items = itemsOf(phrases);
  const known = knownItems(student, [...items.values()]);
  const ground = chosen.length === 1 ? groundOf(chosen[0] as NamedSolo, student, items, new Set(known)) : [];
  const taught = new Set([...known, ...ground.flatMap(({ new: fresh }) => fresh.map(({ id }) => id))]);
  const relations = relationsOf(table, { within: chosen.length === 1 ? 'solo' : 'corpus' }).filter(
    (r) => r.kind !== 'sequence' && r.kind !== 'answers',
  );
  const difficulties = new Map(phrases.map((p) => [idOf(p), difficultyAt(scene, p)]));
  const order = lessonOrder(problemOf(scene, items, [...taught], relations, difficulties), { seed });
  const steps = phraseSteps(scene, order.steps, { items, relations, difficulties, first: ground.length + 1 });
  const whole =
    chosen.length === 1 ? [wholeStep(chosen[0] as NamedSolo, student, ground.length + steps.length + 1)] : [];
  const { steps: dated, weeks } = laidInWeeks([...ground, ...steps, ...whole], student.minutesAWeek);
  return {
    student,
    solos: chosen.map(({ id }) => id),
    titles: chosen.map(({ solo }) => solo.title),
    ...(goal !== undefined && { goal: (chosen[0] as NamedSolo).id }),
    steps: dated,
    weeks,
    tasks: tasksFor(dated, weeks, scene.solos),
    order: { cost: order.cost, simple: order.simple, isBest: order.isBest, prepared: order.prepared, lambda: LAMBDA },
    known,
  };
}

interface Scene {
  readonly solos: ReadonlyMap<string, Solo>;
  readonly student: Student;
  readonly phrases: ReadonlyMap<string, PhraseNeeds>;
}

const idOf = ({ solo, phrase }: { readonly solo: string; readonly phrase: string }): string => `${solo} ${phrase}`;

function soloNamed(solos: readonly NamedSolo[], goal: string): NamedSolo {
  const found = solos.find(({ id, solo }) => id === goal || solo.title.toLowerCase() === goal.toLowerCase());
  if (found) return found;
  const near = nearest(
    goal,
    solos.map(({ id }) => id),
    4,
  );
  throw new RangeError(
    `the goal "${goal}" is none of the solos${near ? `; ${near} is meant?` : `; there are: ${solos.map(({ id }) => id).join(', ')}`}`,
  );
}

/** All that is needed anywhere. */
function itemsOf(phrases: readonly PhraseNeeds[]): ReadonlyMap<string, KnowledgeItem> {
  const items = new Map(NAMED_ITEMS.map((item) => [item.id, item]));
  for (const { needs } of phrases) for (const item of needs) if (!items.has(item.id)) items.set(item.id, item);
  return items;
}

function difficultyAt({ solos, student }: Scene, { solo: id, phrase }: PhraseNeeds): Difficulty {
  const solo = solos.get(id) as Solo;
  return difficultyOf(
    solo,
    phrase,
    student.tempoCeiling !== undefined && student.tempoCeiling < solo.tempo ? { tempo: student.tempoCeiling } : {},
  );
}

function problemOf(
  { phrases: byId, student }: Scene,
  items: ReadonlyMap<string, KnowledgeItem>,
  known: readonly string[],
  relations: readonly Relation[],
  difficulties: ReadonlyMap<string, Difficulty>,
): OrderProblem {
  const phrases = [...byId.values()];
  const avoided = new Set(student.avoidPositions.map((p) => positionItem(p).id));
  const isLate = ({ needs }: PhraseNeeds) => needs.some(({ id }) => avoided.has(id));
  const early = phrases.filter((p) => !isLate(p));
  // What lies in a position to be avoided waits for all that does not: for a mark that each of the others leaves.
  const marks: readonly Item[] =
    early.length === phrases.length
      ? []
      : [
          ...early.map((p) => mark(idOf(p))),
          { id: LATE, weight: 0, isMark: true, after: early.map((p) => mark(idOf(p)).id) },
        ];
  const marksOf = (p: PhraseNeeds): readonly string[] =>
    marks.length === 0 ? [] : isLate(p) ? [LATE] : [mark(idOf(p)).id];
  const material = new Map(phrases.map((p) => [idOf(p), p.tones * WEIGHT.tonesToRemember]));
  const tones = new Map(phrases.map((p) => [idOf(p), p.tones]));
  const kinships = relations.flatMap((r): Kinship[] => {
    const [a, b] = [idOf(r.a), idOf(r.b)];
    return [
      { from: a, to: b, material: (material.get(b) ?? 0) * (1 - sharedPart(r, tones.get(b) ?? 1)) },
      { from: b, to: a, material: (material.get(a) ?? 0) * (1 - sharedPart(r, tones.get(a) ?? 1)) },
    ];
  });
  return {
    items: [...items.values(), ...marks],
    known: known.filter((id) => items.has(id)),
    steps: phrases.map((p) => ({
      id: idOf(p),
      needs: [...p.needs.map(({ id }) => id), ...marksOf(p)],
      difficulty: (difficulties.get(idOf(p)) as Difficulty).points,
      material: material.get(idOf(p)) as number,
    })),
    kinships: kinships.filter(({ from, to }) => from !== to),
    lambda: LAMBDA,
  };
}

const LATE = 'all others';
const mark = (step: string): Item => ({ id: `done ${step}`, weight: 0, after: [], isMark: true });

/** How much of a phrase a relation gives: the share of its tones, times how literally they come back. */
const sharedPart = (r: Relation, tones: number): number =>
  Math.min(1, (Math.min(r.evidence.count, tones) / tones) * (LITERAL[literalOf(r)] ?? 0.4));

const literalOf = (r: Relation): string =>
  r.kind === 'ornamented' || r.kind === 'varied' || r.kind === 'displaced' ? r.kind : r.viewpoint;

/** The steps before the phrases that teach something the student does not know. */
function groundOf(
  named: NamedSolo,
  student: Student,
  items: ReadonlyMap<string, KnowledgeItem>,
  known: Set<string>,
): readonly UndatedStep[] {
  const learned = new Set(known);
  const steps: UndatedStep[] = [];
  for (const ground of groundSteps(named, { avoid: student.avoidPositions })) {
    const fresh = groundItems(named.solo, ground).filter(
      (id) => !learned.has(id) && (items.has(id) || id.startsWith('position ')),
    );
    // Home has no item of its own: it is shown wherever the scale is.
    if (fresh.length === 0 && (ground.kind !== 'root of the key' || steps.length === 0)) continue;
    for (const id of fresh) learned.add(id);
    const newItems = fresh.map((id) => items.get(id) ?? positionItem(ground.position));
    const newWeight = newItems.reduce((sum, { weight }) => sum + weight, 0);
    steps.push({
      number: steps.length + 1,
      kind: 'ground',
      title: ground.title,
      solo: named.id,
      why: ground.exercise.why,
      new: newItems,
      newWeight,
      difficulty: 0,
      cautions: [],
      piece: ground.exercise.solo,
      drills: [],
      moves: [],
      tempos: temposFor(named.solo.tempo, student),
      minutes: minutesFor(newWeight, 0),
    });
  }
  return steps;
}

interface Ordered {
  readonly items: ReadonlyMap<string, KnowledgeItem>;
  readonly relations: readonly Relation[];
  readonly difficulties: ReadonlyMap<string, Difficulty>;
  /** Number of the first step. */
  readonly first: number;
}

function phraseSteps(scene: Scene, costs: readonly StepCost[], ordered: Ordered): readonly UndatedStep[] {
  const numbers = new Map(costs.map(({ step }, k) => [step, ordered.first + k]));
  return costs.map((cost, k): UndatedStep => {
    const number = ordered.first + k;
    const fresh = cost.new.flatMap((id) => ordered.items.get(id) ?? []);
    const phrase = scene.phrases.get(cost.step);
    if (!phrase) return preparationStep(scene, cost, fresh, number, costs.slice(k + 1));
    const solo = scene.solos.get(phrase.solo) as Solo;
    const own = solo.phrases.find(({ id }) => id === phrase.phrase) as Solo['phrases'][number];
    const difficulty = ordered.difficulties.get(cost.step) as Difficulty;
    const reuses = reuseOf(cost, ordered.relations, numbers);
    const earlier = new Set(costs.slice(0, k).map(({ step }) => step));
    return {
      number,
      kind: 'phrase',
      title: `phrase ${phrase.phrase}${phrase.name ? ` "${phrase.name}"` : ''}${scene.solos.size > 1 ? ` of ${solo.title}` : ''}`,
      solo: phrase.solo,
      phrase: phrase.phrase,
      why: whyOf(fresh, reuses),
      new: fresh,
      newWeight: cost.newWeight,
      ...(reuses && { reuses }),
      difficulty: difficulty.points,
      ...(difficulty.hardest && { hardest: difficulty.hardest.said }),
      cautions: cautionsFor(own, difficulty.cautions),
      piece: withPhrase(solo, solo.title, own),
      drills: drillsFor(solo, phrase.phrase, fresh, (id) => earlier.has(`${phrase.solo} ${id}`), scene.student),
      moves: movesOf(solo, phrase.phrase).filter((move) => isWelcome(move, scene.student)),
      tempos: temposFor(solo.tempo, scene.student),
      minutes: minutesFor(cost.newWeight, difficulty.points),
    };
  });
}

/** A step for an item that every phrase waits for: the drills of the next phrase that has it. */
function preparationStep(
  scene: Scene,
  cost: StepCost,
  fresh: readonly KnowledgeItem[],
  number: number,
  later: readonly StepCost[],
): UndatedStep {
  const [item] = fresh;
  const name = item?.id ?? '';
  const target = later
    .map(({ step }) => scene.phrases.get(step))
    .find((p) => p?.needs.some(({ id, after }) => id === name || after.includes(name))) as PhraseNeeds;
  const solo = scene.solos.get(target.solo) as Solo;
  const [drill] = drillsOf(solo, target.phrase);
  return {
    number,
    kind: 'preparation',
    title: `prepare: ${name}`,
    solo: target.solo,
    why: `Every phrase that has it needs more than it. Alone first, at the places of phrase ${target.phrase}.`,
    new: fresh,
    newWeight: cost.newWeight,
    difficulty: 0,
    cautions: name.includes('bend') ? [BEND_CAUTION, REST_CAUTION] : [],
    piece:
      drill?.exercise.solo ??
      withPhrase(solo, solo.title, solo.phrases.find(({ id }) => id === target.phrase) as Solo['phrases'][number]),
    drills: [],
    moves: [],
    tempos: temposFor(solo.tempo, scene.student),
    minutes: minutesFor(cost.newWeight, 0),
  };
}

/** The last step: all of it, slowly, then up to tempo. */
function wholeStep(named: NamedSolo, student: Student, number: number): UndatedStep {
  const { solo } = named;
  return {
    number,
    kind: 'whole',
    title: 'the whole solo, from the first phrase to the last',
    solo: named.id,
    why: 'Two phrases in one breath, then four, then all: slowly over the backing, then up to tempo. Do not stop for a wrong note.',
    new: [],
    newWeight: 0,
    difficulty: 0,
    cautions: ['a whole solo tires the hand: rest between two times through', REST_CAUTION],
    piece: solo,
    drills: [],
    moves: [],
    tempos: temposFor(solo.tempo, student),
    minutes: 30,
  };
}

/** Bends of a half step and more are cautioned against wherever they stand. */
function cautionsFor(phrase: Phrase, cautions: readonly string[]): readonly string[] {
  const bends = phrase.notes.some((note) => peakLevel(note.path) >= 100);
  return bends ? [...new Set([BEND_CAUTION, ...cautions, REST_CAUTION])] : cautions;
}

/** True if every fretted note lies outside the positions that are to be avoided. */
function isWelcome({ exercise }: MovedPhrase, { avoidPositions }: Student): boolean {
  if (avoidPositions.length === 0) return true;
  const frets = (exercise.solo.phrases[0]?.notes ?? [])
    .filter(({ kind }) => kind === 'fretted')
    .map((note) => note.fret);
  return !avoidPositions.includes(Math.min(...frets)) && !frets.some((f) => avoidPositions.includes(f));
}

function reuseOf(
  cost: StepCost,
  relations: readonly Relation[],
  numbers: ReadonlyMap<string, number>,
): Reuse | undefined {
  const { changeOf, step } = cost;
  if (changeOf === undefined) return undefined;
  const between = relations.filter(
    (r) => (idOf(r.a) === changeOf && idOf(r.b) === step) || (idOf(r.b) === changeOf && idOf(r.a) === step),
  );
  const best = between.reduce<Relation | undefined>(
    (most, r) => (most && most.strength >= r.strength ? most : r),
    undefined,
  );
  if (!best) return undefined;
  const said = idOf(best.b) === step ? best.said : `phrase ${best.b.phrase} ${best.said}`;
  return { step: numbers.get(changeOf) as number, said };
}

function whyOf(fresh: readonly KnowledgeItem[], reuses: Reuse | undefined): string {
  const [heaviest] = [...fresh].sort((a, b) => b.weight - a.weight);
  const news = fresh.length === 0 ? 'Nothing new to the hand' : `New above all: ${(heaviest as KnowledgeItem).id}`;
  return reuses
    ? `${news}. Learn it as a change of step ${reuses.step}: it ${reuses.said}.`.replace(/: it phrase/, ': phrase')
    : `${news}.`;
}
