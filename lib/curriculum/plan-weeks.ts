// Steps laid into weeks: so many minutes each, reviews first, a step that does not fit going on in the next week.

import { type PlanStep, REVIEW_MINUTES, type UndatedStep } from './plan-steps.js';
import { reviewDays } from './practice.js';

/** A week of a plan. */
export interface PlanWeek {
  readonly week: number;
  /** Numbers of the steps that are worked on. */
  readonly steps: readonly number[];
  /** Numbers of the steps that are due again. */
  readonly reviews: readonly number[];
  /** Minutes of new work and of reviews; never above what the student has. */
  readonly minutes: number;
}

/** Reviews take at most this part of a week; what is over is put off to the next. */
const MOST_REVIEW = 0.4;
const DAYS = 7;
/** Plans are not laid out beyond this. */
const MOST_WEEKS = 520;

/**
 * Steps in their order over weeks of so many minutes. A step begins on the day by which the minutes before it are used up, if every day takes its share; it
 * is learned on the day by which its own are. What falls due within the week is gone over in it, if there are minutes left, else in the next.
 * @param techniques at most so many techniques are prepared from their beginning in a week
 */
export function laidInWeeks(
  steps: readonly UndatedStep[],
  minutesAWeek: number,
  techniques = Number.POSITIVE_INFINITY,
): { readonly steps: readonly PlanStep[]; readonly weeks: readonly PlanWeek[] } {
  const weeks: { steps: number[]; reviews: number[]; minutes: number; begun: number }[] = [];
  const due: { day: number; step: number }[] = [];
  const dated: PlanStep[] = [];
  const here = () => weeks[weeks.length - 1] as (typeof weeks)[number];
  const goOver = (): void => {
    const week = here();
    for (const review of due.filter(({ day }) => day <= weeks.length * DAYS)) {
      const isTooMuch = (week.reviews.length + 1) * REVIEW_MINUTES > minutesAWeek * MOST_REVIEW;
      if (!week.reviews.includes(review.step)) {
        if (isTooMuch || week.minutes + REVIEW_MINUTES > minutesAWeek) break;
        week.reviews.push(review.step);
        week.minutes += REVIEW_MINUTES;
      }
      due.splice(due.indexOf(review), 1);
    }
  };
  const begin = (): void => {
    if (weeks.length > 0) goOver();
    weeks.push({ steps: [], reviews: [], minutes: 0, begun: 0 });
    goOver();
  };
  /** The day by which the minutes of this week so far are used up. */
  const dayBy = (minutes: number): number =>
    (weeks.length - 1) * DAYS + 1 + Math.min(DAYS - 1, Math.floor((minutes / minutesAWeek) * DAYS));
  begin();
  for (const step of steps) {
    const isTechnique = step.kind === 'preparation';
    if (isTechnique && here().begun >= techniques && weeks.length < MOST_WEEKS) begin();
    let left = step.minutes;
    let first: number | undefined;
    let day = 1;
    while (left > 0 && weeks.length < MOST_WEEKS) {
      const week = here();
      const free = minutesAWeek - week.minutes;
      // Less than a sitting is left: nothing new is begun.
      if (free < Math.min(10, left)) {
        begin();
        continue;
      }
      if (first === undefined) {
        first = weeks.length;
        day = dayBy(week.minutes);
        if (isTechnique) week.begun++;
      }
      const used = Math.min(free, left);
      week.steps.push(step.number);
      week.minutes += used;
      left -= used;
    }
    const lastWeek = weeks.length;
    const learned = dayBy(Math.max(0, here().minutes - 1));
    const reviews = reviewDays(learned, learned + 60);
    for (const at of reviews) due.push({ day: at, step: step.number });
    due.sort((a, b) => a.day - b.day || a.step - b.step);
    dated.push({ ...step, week: first ?? lastWeek, lastWeek, day, reviews });
  }
  goOver();
  // What is due again after the last week stands on no table.
  const end = weeks.length * DAYS;
  const shown = dated.map((step) => ({ ...step, reviews: step.reviews.filter((at) => at <= end) }));
  return {
    steps: shown,
    weeks: weeks.map(({ steps: own, reviews, minutes }, k) => ({ week: k + 1, steps: own, reviews, minutes })),
  };
}
