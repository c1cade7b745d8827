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
 * Steps in their order over weeks of so many minutes. A step begins on the day by which the minutes before it are used up, if every day takes its share.
 */
export function laidInWeeks(
  steps: readonly UndatedStep[],
  minutesAWeek: number,
): { readonly steps: readonly PlanStep[]; readonly weeks: readonly PlanWeek[] } {
  const weeks: { steps: number[]; reviews: number[]; minutes: number }[] = [];
  const due: { day: number; step: number }[] = [];
  const dated: PlanStep[] = [];
  const begin = (): void => {
    const last = (weeks.length + 1) * DAYS;
    const reviews: number[] = [];
    for (const review of due.filter(({ day }) => day <= last)) {
      if ((reviews.length + 1) * REVIEW_MINUTES > minutesAWeek * MOST_REVIEW) break;
      if (!reviews.includes(review.step)) reviews.push(review.step);
      due.splice(due.indexOf(review), 1);
    }
    weeks.push({ steps: [], reviews, minutes: reviews.length * REVIEW_MINUTES });
  };
  begin();
  for (const step of steps) {
    let left = step.minutes;
    let first: number | undefined;
    let day = 1;
    while (left > 0 && weeks.length < MOST_WEEKS) {
      const week = weeks[weeks.length - 1] as (typeof weeks)[number];
      const free = minutesAWeek - week.minutes;
      // Less than a sitting is left: nothing new is begun.
      if (free < Math.min(10, left)) {
        begin();
        continue;
      }
      if (first === undefined) {
        first = weeks.length;
        day = (weeks.length - 1) * DAYS + 1 + Math.min(DAYS - 1, Math.floor((week.minutes / minutesAWeek) * DAYS));
      }
      const used = Math.min(free, left);
      week.steps.push(step.number);
      week.minutes += used;
      left -= used;
    }
    const lastWeek = weeks.length;
    const learned = Math.max(day, (lastWeek - 1) * DAYS + 1);
    const reviews = reviewDays(learned, learned + 60);
    for (const at of reviews) due.push({ day: at, step: step.number });
    due.sort((a, b) => a.day - b.day || a.step - b.step);
    dated.push({ ...step, week: first ?? lastWeek, lastWeek, day, reviews });
  }
  // What is due again before the next week begins, or after the last, stands on no table.
  const end = weeks.length * DAYS;
  const shown = dated.map((step) => ({
    ...step,
    reviews: step.reviews.filter((at) => at > step.lastWeek * DAYS && at <= end),
  }));
  return { steps: shown, weeks: weeks.map((week, k) => ({ week: k + 1, ...week })) };
}
