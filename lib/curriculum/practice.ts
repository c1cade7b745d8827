// When to play what again, and how fast: review dates and the ladder of tempos.

/** A practice item on its way through reviews. */
export interface ReviewState {
  /** Reviews in a row that went well. */
  readonly repetitions: number;
  /** Days to the next review. */
  readonly interval: number;
  /** How much longer each interval gets; 1.3 at least. */
  readonly ease: number;
}

/** Before the first review. */
export const NEW_REVIEW: ReviewState = { repetitions: 0, interval: 0, ease: 2.5 };

/**
 * The next review after SM-2 (P. A. Wozniak 1990): after 1 day, then 6, then the last interval times the ease, fractions rounded up; the ease changes with the
 * grade and is 1.3 at least; a grade under 3 starts again at one day. The published text leaves the ease as it is on a grade under 3; so does this. The
 * method was made for facts; that it serves hands as well is unproven.
 * @param grade 5 perfect, 4 after some thought, 3 with trouble, 2 to 0 not
 * @throws RangeError if the grade is no whole number from 0 to 5
 * @example
 * [5, 5, 5].reduce((state, grade) => nextReview(state, grade), NEW_REVIEW) // => { repetitions: 3, interval: 17, ease: 2.8000000000000003 }
 */
export function nextReview({ repetitions, interval, ease }: ReviewState, grade: number): ReviewState {
  if (!(Number.isInteger(grade) && grade >= 0 && grade <= 5))
    throw new RangeError(`the grade is ${grade}: a whole number from 0 to 5 expected`);
  if (grade < 3) return { repetitions: 0, interval: 1, ease };
  const next = repetitions === 0 ? 1 : repetitions === 1 ? 6 : Math.ceil(interval * ease - 1e-9);
  const changed = ease + 0.1 - (5 - grade) * (0.08 + (5 - grade) * 0.02);
  return { repetitions: repetitions + 1, interval: next, ease: Math.max(1.3, changed) };
}

/** The days on which something learned on a day is due, up to a last day, if every review goes well (grade 4, which leaves the ease as it is). */
export function reviewDays(learnedOn: number, lastDay: number): readonly number[] {
  const days: number[] = [];
  let state = nextReview(NEW_REVIEW, 4);
  for (let day = learnedOn + state.interval; day <= lastDay; day += state.interval) {
    days.push(day);
    state = nextReview(state, 4);
  }
  return days;
}

/**
 * Tempos from slow to the goal, each step at most a fifth faster, in whole numbers. The start is half the goal, but 40 at least (if the goal is).
 * Common practice, no source.
 * @throws RangeError if the goal is not above 0
 * @example
 * tempoLadder(80) // => [40, 48, 57, 68, 80]
 */
export function tempoLadder(goal: number): readonly number[] {
  if (!(goal > 0 && Number.isFinite(goal)))
    throw new RangeError(`the goal is ${goal} quarter notes a minute: more than 0 expected`);
  const start = Math.min(goal, Math.max(40, Math.round(goal / 2)));
  const ladder: number[] = [];
  for (let tempo = start; tempo < goal; tempo = Math.max(tempo + 1, Math.floor((tempo * 6) / 5))) ladder.push(tempo);
  return [...ladder, goal];
}
