// What an order does for a student, in a sentence that is read off the finished plan.
import { listed } from '../analysis/implied-words.js';
import type { PhraseNeeds } from './knowledge.js';
import { idOf } from './plan-problem.js';
import type { PlanStep } from './plan-steps.js';

/** Techniques as a teacher bundles them. */
export const BUNDLES: readonly (readonly [name: string, items: readonly string[]])[] = [
  ['bends', ['half-step bend', 'whole-step bend', 'bend wider than a whole step']],
  ['bends held under other strings', ['bend held under other strings']],
  ['pull-offs', ['pull-off']],
  ['hammer-ons', ['hammer-on']],
  ['slides', ['slide']],
  ['vibrato', ['vibrato']],
  ['double-stops', ['double-stops']],
  ['triplets', ['eighth triplets']],
  ['sixteenths', ['sixteenths']],
];

/**
 * One sentence: techniques that the student has and that come before some that are new; and the weeks in which those come. All of it is read off the
 * steps.
 */
export function summaryOf(
  name: string,
  known: ReadonlySet<string>,
  steps: readonly PlanStep[],
  phrases: ReadonlyMap<string, PhraseNeeds>,
): string {
  const needsOf = (step: PlanStep) =>
    step.phrase === undefined ? [] : (phrases.get(idOf({ solo: step.solo, phrase: step.phrase }))?.needs ?? []);
  const fresh = BUNDLES.flatMap(([bundle, items]) => {
    const step = steps.find((s) => s.new.some(({ id }) => items.includes(id)));
    return step ? [{ bundle, step }] : [];
  }).sort((a, b) => a.step.number - b.step.number);
  const last = fresh[fresh.length - 1];
  const had = BUNDLES.flatMap(([bundle, items]) => {
    const step = steps.find((s) => needsOf(s).some(({ id }) => items.includes(id) && known.has(id)));
    return step && last && step.number < last.step.number ? [{ bundle, step }] : [];
  });
  const first = steps.find(({ kind }) => kind === 'phrase');
  const parts: string[] = [];
  if (steps.some((s) => s.new.some(({ id }) => id === 'single notes')) && first)
    parts.push(`single notes first, and a phrase of the solo as early as step ${first.number} (week ${first.week})`);
  if (had.length > 0)
    parts.push(`${listed(had.map(({ bundle, step }) => `${bundle} from week ${step.week}`))}, since you have them`);
  if (fresh.length > 0)
    parts.push(`new to you: ${listed(fresh.map(({ bundle, step }) => `${bundle} in week ${step.week}`))}`);
  else if (parts.length === 0)
    parts.push('no technique here is new to you; the phrases come by what they share and by how hard they are');
  return `${name}: ${parts.join('; ')}.`;
}
