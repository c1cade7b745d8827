// What a plan says of itself and of its steps, in words that page and Markdown share.
import type { Drill } from '../curriculum/drills.js';
import type { LessonPlan } from '../curriculum/plan.js';
import type { PlanStep } from '../curriculum/plan-steps.js';
import type { KnowledgeItem } from '../curriculum/technique-items.js';

/** Shown with every plan. */
export const CAUTION =
  'Bends, stretches and speed strain hands, and loud sound harms ears. Warm up, start quiet and slow, rest often, stop when it hurts, and ask a teacher or a clinician.';

/** What a plan does not claim. */
export const LIMITS: readonly string[] = [
  'Difficulty is a sum of named demands with weights set by hand: it claims an order, not a grade.',
  'Minutes are the least: a plain estimate (ten; three for each unit of what is new and of the notes to remember, ten for each unit of a technique practised alone; one for each point of difficulty) that nobody has measured. Stay with a step until it is easy.',
  'Review days follow SM-2, which was made for facts; that it serves hands as well is unproven.',
  'Fingers and positions are suggestions. A teacher who sees the hand knows better.',
];

/** The title of a plan. */
export const planTitle = ({ student, titles }: LessonPlan): string =>
  `A plan for ${student.name}: ${titles.length === 1 ? titles[0] : `${titles.length} solos`}`;

/** How the student was described. */
export function studentInWords({ student, known }: LessonPlan): string {
  const { knows, tempoCeiling, minutesAWeek, avoidPositions } = student;
  return [
    knows.length === 0
      ? 'Nothing is taken as known'
      : `Knows ${knows.join(', ')}${known.length === 0 ? ' (nothing of it is needed here)' : ''}`,
    `${minutesAWeek} minutes a week`,
    tempoCeiling === undefined ? 'tempos as written' : `no faster than ${tempoCeiling} quarter notes a minute`,
    ...(avoidPositions.length === 0 ? [] : [`positions to come late: ${avoidPositions.join(', ')}`]),
  ].join('; ');
}

/** How good the order is, beside simple ones. */
export function orderInWords({ order }: LessonPlan): string {
  const { cost, simple, isBest, lambda, fall } = order;
  const per = (other: number) => {
    const percent = Math.round((1 - cost / other) * 100);
    return percent < 1 ? 'no less than' : `${percent} % less than`;
  };
  const beside = `${per(simple.asGiven)} the order of the solo (${Math.round(simple.asGiven)}), ${per(simple.easiestFirst)} easiest first (${Math.round(simple.easiestFirst)}), ${per(simple.nextBest)} the next-best score alone (${Math.round(simple.nextBest)})`;
  return `The order of the phrases costs ${Math.round(cost)}: the sum of (weight of what is new) squared ${lambda} x (rise in difficulty, with eight points for each unit of a technique that is not known) squared, and ${fall} x (fall below the hardest so far) squared. That is ${beside}. ${isBest ? 'No order costs less: all were compared.' : 'It is the best that was found; not all orders could be compared.'}`;
}

/** Items by kind, the heavier kinds first. */
export function newInWords(fresh: readonly KnowledgeItem[]): string {
  if (fresh.length === 0) return 'nothing';
  const kinds = new Map<string, string[]>();
  for (const { id, kind } of fresh) kinds.set(kind, [...(kinds.get(kind) ?? []), id]);
  return [...kinds.values()].map((ids) => ids.join(', ')).join('; ');
}

/** `week 2`, `weeks 2 and 3`. */
export const weekInWords = ({ week, lastWeek }: PlanStep): string =>
  week === lastWeek
    ? `week ${week}`
    : lastWeek === week + 1
      ? `weeks ${week} and ${lastWeek}`
      : `weeks ${week} to ${lastWeek}`;

/** Drills of a step, each with the earlier step that has the very same one. */
export function drillsShown(
  plan: LessonPlan,
): (step: PlanStep) => readonly { readonly drill: Drill; readonly asIn: number | undefined }[] {
  const seen = new Map<string, number>();
  const shown = new Map<number, readonly { readonly drill: Drill; readonly asIn: number | undefined }[]>();
  for (const step of plan.steps)
    shown.set(
      step.number,
      step.drills.map((drill) => {
        const { title, solo } = drill.exercise;
        const text = `${title} ${JSON.stringify(solo.phrases[0]?.notes)}`;
        const asIn = seen.get(text);
        if (asIn === undefined) seen.set(text, step.number);
        return { drill, asIn };
      }),
    );
  return (step) => shown.get(step.number) ?? [];
}
