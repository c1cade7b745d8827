// Phrases of other solos that bring one new thing alone.
import type { NamedSolo } from '../solo/tone-table.js';
import type { PhraseNeeds } from './knowledge.js';
import { isLate } from './plan-problem.js';
import type { Bridge } from './plan-steps.js';
import type { Student } from './student.js';
import type { KnowledgeItem } from './technique-items.js';

/** Of other solos the phrase that needs an item and no other technique or rhythm that is not known, no late position, and has the fewest other new things. */
export function bridgeTo(
  item: KnowledgeItem,
  phrases: readonly PhraseNeeds[],
  learned: ReadonlySet<string>,
  student: Student,
  solos: readonly NamedSolo[],
): Bridge | undefined {
  const fresh = ({ needs }: PhraseNeeds) => needs.filter(({ id }) => id !== item.id && !learned.has(id));
  const isOfHands = ({ kind }: KnowledgeItem) => kind === 'technique' || kind === 'rhythm' || kind === 'position';
  const fit = phrases.filter(
    (p) => p.needs.some(({ id }) => id === item.id) && !isLate(p, student) && !fresh(p).some(isOfHands),
  );
  const best = fit.reduce<PhraseNeeds | undefined>(
    (most, p) =>
      most && (most.tones < p.tones || (most.tones === p.tones && fresh(most).length <= fresh(p).length)) ? most : p,
    undefined,
  );
  if (!best) return undefined;
  const title = solos.find(({ id }) => id === best.solo)?.solo.title ?? best.solo;
  return {
    solo: best.solo,
    phrase: best.phrase,
    said: `with time to spare, phrase ${best.phrase} of ${title} has the ${item.id} and nothing else that is new to the hand (${best.tones} notes)`,
  };
}
