// A lesson plan: from solos and a student to steps in an order, each with its reason, drills, tempos and dates.

import { relationsOf } from '../analysis/phrase-relation.js';
import { nearest } from '../foundation/nearest.js';
import type { Solo } from '../solo/solo.js';
import { type NamedSolo, toneTable } from '../solo/tone-table.js';
import { difficultyFor } from './difficulty-student.js';
import { knowledgeOf, type PhraseNeeds } from './knowledge.js';
import { type LessonOrder, lessonOrder } from './lesson-order.js';
import { FALL, LAMBDA } from './lesson-problem.js';
import { groundIds, groundsOf, type QueuedGround } from './plan-ground.js';
import { idOf, isLate, itemsOf, problemOf } from './plan-problem.js';
import { goalTempo, type PlanStep } from './plan-steps.js';
import { summaryOf } from './plan-summary.js';
import { type PlanScene, stepsOf } from './plan-walk.js';
import { laidInWeeks, type PlanWeek } from './plan-weeks.js';
import { ANY_STUDENT, knownItems, type Student } from './student.js';
import { type Task, tasksFor } from './tasks.js';

/** A plan. */
export interface LessonPlan {
  readonly student: Student;
  /** What this order does for this student, in a sentence. */
  readonly summary: string;
  /** The solos it draws on. */
  readonly solos: readonly string[];
  /** Their titles, in the same order. */
  readonly titles: readonly string[];
  readonly goal?: string;
  readonly steps: readonly PlanStep[];
  readonly weeks: readonly PlanWeek[];
  /** A task for improvising over the backing for each week, with one goal. */
  readonly tasks: readonly Task[];
  /** What the order of the phrases costs beside simple orders, if what the steps before the phrases of a goal teach is known by then. */
  readonly order: Pick<LessonOrder, 'cost' | 'simple' | 'isBest' | 'prepared'> & {
    readonly lambda: number;
    readonly fall: number;
  };
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
 * A plan for a student: the phrases in an order in which each adds little that is new (see `lessonOrder`), each technique that is new alone before the phrase
 * that needs it, and the steps that the solo's own changes give before the first phrase; for somebody who has played no single notes those come between the
 * first phrases, after a few tones of the first. With a goal its phrases are ordered; a phrase of another solo is named where it brings a new thing alone.
 * Every step says what is new, what it is a change of, and what is hardest in it for this student. It claims an order, not an exam grade; a teacher knows
 * better.
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
  const items = itemsOf(phrases);
  const known = new Set(knownItems(student, [...items.values()]));
  const isBeginner = !known.has('single notes');
  const bySolo = new Map(chosen.map((named) => [named.id, named.solo]));
  const points = new Map(
    phrases.map((p) => {
      const solo = bySolo.get(p.solo) as Solo;
      const tempo = goalTempo(solo.tempo, student);
      return [idOf(p), difficultyFor(solo, p.phrase, p.needs, { known, has: known, tempo }).withNew];
    }),
  );
  const first = easiest(phrases, student, points);
  const grounds = new Map(
    chosen.map((named): readonly [string, readonly QueuedGround[]] => [
      named.id,
      groundsOf(named, student, isBeginner && named.id === first.solo ? positionOf(first) : undefined),
    ]),
  );
  const basics = isBeginner ? ['single notes', 'eighths'] : [];
  const taught = chosen.length === 1 ? [...grounds.values()].flatMap((queue) => queue.flatMap(groundIds)) : [];
  const has = new Set([...known, ...basics, ...taught]);
  const relations = relationsOf(table, { within: chosen.length === 1 ? 'solo' : 'corpus' }).filter(
    (r) => r.kind !== 'sequence' && r.kind !== 'answers',
  );
  const order = lessonOrder(
    problemOf(phrases, student, items, [...has], relations, points, isBeginner ? first : undefined),
    { seed },
  );
  const scene: PlanScene = {
    solos: bySolo,
    others: solos.filter(({ id }) => !bySolo.has(id)),
    student,
    table,
    phrases: new Map(phrases.map((p) => [idOf(p), p])),
    items,
    relations,
    grounds,
    known,
    isBeginner,
  };
  const { steps, weeks } = laidInWeeks(stepsOf(scene, order.steps), student.minutesAWeek, isBeginner ? 1 : undefined);
  return {
    student,
    summary: summaryOf(student.name, known, steps, scene.phrases),
    solos: chosen.map(({ id }) => id),
    titles: chosen.map(({ solo }) => solo.title),
    ...(goal !== undefined && { goal: (chosen[0] as NamedSolo).id }),
    steps,
    weeks,
    tasks: tasksFor(steps, weeks, bySolo),
    order: {
      cost: order.cost,
      simple: order.simple,
      isBest: order.isBest,
      prepared: order.prepared,
      lambda: LAMBDA,
      fall: FALL,
    },
    known: [...known],
  };
}

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

/** What a fret above the fifth counts for a beginner, in points: the hand is at home at the low end of the neck. A choice of this project. */
const UP_THE_NECK = 3;

/** The phrase to begin with: of those that need not come late the easiest, techniques to be learned for it among the points, and the way up the neck. */
function easiest(phrases: readonly PhraseNeeds[], student: Student, points: ReadonlyMap<string, number>): PhraseNeeds {
  const early = phrases.filter((p) => !isLate(p, student));
  const pointsOf = (p: PhraseNeeds) =>
    (points.get(idOf(p)) as number) + UP_THE_NECK * Math.max(0, (positionOf(p) ?? 0) - 5);
  return (early.length > 0 ? early : phrases).reduce((best, p) => (pointsOf(p) < pointsOf(best) ? p : best));
}

/** The fret of the first finger where a phrase mostly lies. */
function positionOf({ needs }: PhraseNeeds): number | undefined {
  const item = needs.find(({ kind }) => kind === 'position');
  return item && Number(item.id.slice('position '.length));
}
