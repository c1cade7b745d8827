// The kinds of relations between phrases in a word, as pictures say them, and what each word means.
import { RELATION_KINDS, type RelationKind } from '../analysis/phrase-relation-kinds.js';

/** A kind in a word that fits a cell, and in plain words. */
export const KIND_WORDS: Readonly<Record<RelationKind, readonly [word: string, meaning: string]>> = {
  same: ['same', 'the same notes and times'],
  displaced: ['shifted', 'the same notes and times, elsewhere in the bar'],
  ornamented: ['ornament', 'the same notes with more before or between them'],
  transposed: ['moved', 'the same line from another note'],
  'same-shape-elsewhere': ['shape', 'the same moves of the hand from another place'],
  'same-degrees-over-another-chord': ['degrees', 'the same degrees over another chord'],
  stretched: ['stretch', 'all times longer or shorter alike'],
  contains: ['inside', 'one stands whole in the other'],
  'same-opening': ['opening', 'both begin alike'],
  'same-ending': ['ending', 'both end alike'],
  'takes-up-the-tail': ['tail', 'begins with what the other ends with'],
  varied: ['varied', 'alike note by note but for some'],
  answers: ['answer', 'comes next, begins alike, ends on another tone'],
  'rhythm-only': ['rhythm', 'the same rhythm with other notes'],
  sequence: ['sequence', 'a cell within the phrase repeated at once, moved'],
};

/** A legend for the kinds that are shown, in one line of words. */
export function kindLegendText(shown: Iterable<RelationKind>): string {
  const kinds = new Set(shown);
  return RELATION_KINDS.filter((kind) => kinds.has(kind))
    .map((kind) => `${KIND_WORDS[kind][0]}: ${KIND_WORDS[kind][1]}`)
    .join('; ');
}
