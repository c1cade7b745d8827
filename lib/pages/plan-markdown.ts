// A lesson plan as Markdown, to be edited or pasted where a teacher writes.
import type { LessonPlan } from '../curriculum/plan.js';
import type { PlanStep } from '../curriculum/plan-steps.js';
import { tabText } from '../engraving/tab-text.js';
import { escapeMarkdown } from '../foundation/escape.js';
import type { Solo } from '../solo/solo.js';
import {
  CAUTION,
  drillsShown,
  LIMITS,
  newInWords,
  orderInWords,
  planTitle,
  studentInWords,
  weekInWords,
} from './plan-words.js';

/**
 * A plan as Markdown: weeks first, then every step with its reason, tab, drills and dates.
 * @example
 * const plan = lessonPlan([{ id: 'two-doors-down', solo: parseSoloOrThrow(EXAMPLE_SOLO) }])
 * planMarkdown(plan).split('\n')[0] // => '# A plan for a student: Two Doors Down'
 */
export function planMarkdown(plan: LessonPlan): string {
  const t = escapeMarkdown;
  const drills = drillsShown(plan);
  const lines = [
    `# ${t(planTitle(plan))}`,
    '',
    `**${t(plan.summary)}**`,
    '',
    `${t(studentInWords(plan))}.`,
    '',
    `**${CAUTION}**`,
    '',
    '## Weeks',
    '',
    '| week | steps | again | minutes | over the backing |',
    '| --- | --- | --- | --- | --- |',
    ...plan.weeks.map(
      ({ week, steps, reviews, minutes }) =>
        `| ${week} | ${steps.map((n) => `${n}. ${t(plan.steps[n - 1]?.title ?? '')}`).join('; ')} | ${reviews.join(', ')} | ${minutes} | ${t(plan.tasks.find((task) => task.week === week)?.said ?? '')} |`,
    ),
    '',
    '## Steps',
    ...plan.steps.flatMap((step) => stepLines(step, drills(step))),
    '',
    '## How this order was made',
    '',
    t(orderInWords(plan)),
    '',
    '## What this does not claim',
    '',
    ...LIMITS.map((limit) => `- ${limit}`),
    '',
  ];
  return lines.join('\n');
}

function stepLines(step: PlanStep, drills: ReturnType<ReturnType<typeof drillsShown>>): readonly string[] {
  const t = escapeMarkdown;
  return [
    '',
    `### ${step.number}. ${t(step.title)}`,
    '',
    `${weekInWords(step)}, ${t(step.minutesSaid)}. ${t(step.why)}`,
    '',
    `- New: ${t(newInWords(step.new))}`,
    ...(step.hardest === undefined ? [] : [`- Hardest: ${t(step.hardest)} (difficulty ${step.difficulty.toFixed(1)})`]),
    ...(step.bridge ? [`- Also: ${t(step.bridge.said)}`] : []),
    ...step.cautions.map((caution) => `- Take care: ${t(caution)}`),
    `- Tempos: ${step.tempos.join(', ')} quarter notes a minute`,
    ...(step.reviews.length === 0 ? [] : [`- Again on day ${step.reviews.join(', ')}`]),
    ...fenced(step.piece),
    ...drills.flatMap(({ drill: { exercise }, asIn }) =>
      asIn !== undefined
        ? ['', `Drill, ${t(exercise.title)}: as in step ${asIn}.`]
        : ['', `Drill, ${t(exercise.title)}. ${t(exercise.why)}`, ...fenced(exercise.solo)],
    ),
    ...step.moves.flatMap(({ exercise }) => [
      '',
      `Elsewhere, ${t(exercise.title)}. ${t(exercise.why)}`,
      ...fenced(exercise.solo),
    ]),
  ];
}

const fenced = (solo: Solo): readonly string[] => [
  '',
  '```',
  tabText(solo).trimEnd().split('\n').slice(1).join('\n'),
  '```',
];
