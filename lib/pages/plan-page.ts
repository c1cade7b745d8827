// A lesson plan as one page that opens from disk and prints on A4: the ladder, the weeks, and every step with its tab, drills and dates.
import { lessonLadder } from '../charts/lesson-ladder.js';
import type { Exercise } from '../curriculum/exercise.js';
import type { LessonPlan } from '../curriculum/plan.js';
import type { PlanStep } from '../curriculum/plan-steps.js';
import { tabText } from '../engraving/tab-text.js';
import type { Solo } from '../solo/solo.js';
import { chartFigure } from './figure.js';
import { type Html, html, joined, type Part, tableHtml } from './html.js';
import { pageText } from './page.js';
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

const stepId = (number: number): string => `step.${number}`;

/**
 * The page of a plan. Marks of the ladder lead to their steps, steps to those they are changes of.
 * @throws Error as `chartToSvg` does, if the ladder cannot be drawn
 * @example
 * const plan = lessonPlan([{ id: 'two-doors-down', solo: parseSoloOrThrow(EXAMPLE_SOLO) }])
 * const page = await planPage(plan)
 * page.includes('<title>A plan for a student: Two Doors Down</title>') // => true
 */
export async function planPage(plan: LessonPlan): Promise<string> {
  const drills = drillsShown(plan);
  const ladder = await chartFigure(lessonLadder(plan), (row) => stepId(row + 1));
  const body: readonly Part[] = [
    html`<header id="top"><h1>${planTitle(plan)}</h1>
<p><b>${plan.summary}</b></p>
<p>${studentInWords(plan)}.</p>
<p><b>${CAUTION}</b></p></header>
<section id="ladder"><h2>The ladder</h2>
${ladder}</section>
`,
    weeksPart(plan),
    html`<section id="steps"><h2>The steps</h2>
${plan.steps.map((step) => stepPart(plan, step, drills(step)))}</section>
<section id="order"><h2>How this order was made</h2>
<p>${orderInWords(plan)}</p></section>
<section id="limits"><h2>What this does not claim</h2>
<ul>${LIMITS.map((limit) => html`<li>${limit}</li>`)}</ul></section>
`,
  ];
  const ways = [
    html`<a href="#ladder">Ladder</a><a href="#weeks">Weeks</a><a href="#steps">Steps</a><a href="#order">Order</a><a href="#limits">Limits</a>`,
  ];
  return pageText({ title: planTitle(plan), ways, body });
}

const linkTo = (plan: LessonPlan, number: number): Html =>
  html`<a href="#${stepId(number)}">${number}. ${plan.steps[number - 1]?.title ?? ''}</a>`;

function weeksPart(plan: LessonPlan): Html {
  const rows = plan.weeks.map(({ week, steps, reviews, minutes }) => ({
    cells: [
      String(week),
      joined(
        steps.map((n) => linkTo(plan, n)),
        html`<br>`,
      ),
      joined(
        reviews.map((n) => html`<a href="#${stepId(n)}">${n}</a>`),
        ', ',
      ),
      String(minutes),
      plan.tasks.find((task) => task.week === week)?.said ?? '',
    ] as readonly Part[],
  }));
  const columns = [
    { head: 'week' },
    { head: 'steps' },
    { head: 'again' },
    { head: 'minutes', figures: true },
    { head: 'over the backing, with one goal' },
  ];
  return html`<section id="weeks"><h2>Week by week</h2>
${tableHtml(undefined, columns, rows)}</section>
`;
}

function stepPart(plan: LessonPlan, step: PlanStep, drills: ReturnType<ReturnType<typeof drillsShown>>): Html {
  const facts: readonly (readonly [string, Part])[] = [
    ['new', newInWords(step.new)],
    ...(step.reuses ? ([['a change of', linkTo(plan, step.reuses.step)]] as const) : []),
    ...(step.hardest === undefined
      ? []
      : ([['hardest', `${step.hardest} (difficulty ${step.difficulty.toFixed(1)})`]] as const)),
    ...(step.bridge ? ([['also', step.bridge.said]] as const) : []),
    ['tempos', `${step.tempos.join(', ')} quarter notes a minute`],
    ...(step.reviews.length === 0 ? [] : ([['again', `on day ${step.reviews.join(', ')}`]] as const)),
  ];
  return html`<article class="phrase" id="${stepId(step.number)}"><h3>${step.number}. ${step.title}</h3>
<p class="small">${weekInWords(step)}, ${step.minutesSaid}</p>
<p>${step.why}</p>
<ul>${facts.map(([name, value]) => html`<li><b>${name}</b>: ${value}</li>`)}${step.cautions.map((caution) => html`<li><b>take care</b>: ${caution}</li>`)}</ul>
${tab(step.piece)}
${
  step.drills.length === 0
    ? undefined
    : html`<details open><summary>${step.drills.length === 1 ? 'A drill' : `${step.drills.length} drills`}</summary>${drills.map(
        ({ drill: { exercise }, asIn }) =>
          asIn === undefined
            ? exercisePart(exercise)
            : html`<h4>${capital(exercise.title)}</h4>
<p class="small">As in <a href="#${stepId(asIn)}">step ${asIn}</a>.</p>`,
      )}</details>`
}
${step.moves.length === 0 ? undefined : html`<details><summary>Elsewhere: in other keys, over other chords, in other positions</summary>${step.moves.map(({ exercise }) => exercisePart(exercise))}</details>`}
</article>
`;
}

const exercisePart = ({ title, why, solo }: Exercise): Html => html`<h4>${capital(title)}</h4>
<p class="small">${why}</p>
${tab(solo)}`;

/** The tab without its heading, which the page has already. */
function tab(solo: Solo): Html {
  const lines = tabText({ ...solo, phrases: solo.phrases.map((p) => ({ ...p, name: '' })) }, { width: 84 })
    .trimEnd()
    .split('\n')
    .slice(1);
  const widest = Math.max(84, ...lines.map((line) => line.length));
  const wide: Part = widest > 84 ? html` style="--n:${widest}"` : undefined;
  return html`<pre tabindex="0"${wide}>${lines.join('\n')}</pre>`;
}

const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);
