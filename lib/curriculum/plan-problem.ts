// The problem of a plan's order: phrases with what they need, how hard they are for the student, and what they share.
import { LITERAL, type Relation } from '../analysis/phrase-relation-kinds.js';
import type { PhraseNeeds } from './knowledge.js';
import { FALL, type Item, type Kinship, LAMBDA, type OrderProblem } from './lesson-problem.js';
import type { Student } from './student.js';
import { type KnowledgeItem, NAMED_ITEMS, positionItem, WEIGHT } from './technique-items.js';

/** The name of a phrase among the steps of an order. */
export const idOf = ({ solo, phrase }: { readonly solo: string; readonly phrase: string }): string =>
  `${solo} ${phrase}`;

/** All items that are needed anywhere, and all that have names. */
export function itemsOf(phrases: readonly PhraseNeeds[]): ReadonlyMap<string, KnowledgeItem> {
  const items = new Map(NAMED_ITEMS.map((item) => [item.id, item]));
  for (const { needs } of phrases) for (const item of needs) if (!items.has(item.id)) items.set(item.id, item);
  return items;
}

const LATE = 'all others';
const OPENING = 'the first phrase';
const AFTER_OPENING = 'all but the first phrase';
const mark = (step: string): Item => ({ id: `done ${step}`, weight: 0, after: [], isMark: true });

/** True if a phrase lies in a position that the student is to come to late, or has more than half of its notes at those frets. */
export function isLate({ needs, frets }: PhraseNeeds, { avoidPositions }: Student): boolean {
  const avoided = new Set(avoidPositions.map((p) => positionItem(p).id));
  const there = frets.filter((fret) => avoidPositions.includes(fret)).length;
  return needs.some(({ id }) => avoided.has(id)) || there * 2 > frets.length;
}

/** What an order is looked for in. `points`: how hard each phrase is for the student; `first`: the phrase that all others wait for, if any. */
export function problemOf(
  phrases: readonly PhraseNeeds[],
  student: Student,
  items: ReadonlyMap<string, KnowledgeItem>,
  known: readonly string[],
  relations: readonly Relation[],
  points: ReadonlyMap<string, number>,
  first?: PhraseNeeds,
): OrderProblem {
  const early = phrases.filter((p) => !isLate(p, student));
  // What lies in a position to be avoided waits for all that does not: for a mark that each of the others leaves.
  const marks: readonly Item[] =
    early.length === phrases.length
      ? []
      : [
          ...early.map((p) => mark(idOf(p))),
          { id: LATE, weight: 0, isMark: true, after: early.map((p) => mark(idOf(p)).id) },
        ];
  const opening: readonly Item[] =
    first && phrases.length > 1
      ? [mark(OPENING), { id: AFTER_OPENING, weight: 0, isMark: true, after: [mark(OPENING).id] }]
      : [];
  const marksOf = (p: PhraseNeeds): readonly string[] => [
    ...(marks.length === 0 ? [] : isLate(p, student) ? [LATE] : [mark(idOf(p)).id]),
    ...(opening.length === 0 ? [] : first && idOf(p) === idOf(first) ? [mark(OPENING).id] : [AFTER_OPENING]),
  ];
  const tones = new Map(phrases.map((p) => [idOf(p), p.tones]));
  const materialOf = (id: string): number => (tones.get(id) ?? 0) * WEIGHT.tonesToRemember;
  const kinships = relations.flatMap((r): Kinship[] => {
    const [a, b] = [idOf(r.a), idOf(r.b)];
    return [
      { from: a, to: b, material: materialOf(b) * (1 - sharedPart(r, tones.get(b) ?? 1)) },
      { from: b, to: a, material: materialOf(a) * (1 - sharedPart(r, tones.get(a) ?? 1)) },
    ];
  });
  return {
    items: [...items.values(), ...marks, ...opening],
    known: known.filter((id) => items.has(id)),
    steps: phrases.map((p) => ({
      id: idOf(p),
      needs: [...p.needs.map(({ id }) => id), ...marksOf(p)],
      difficulty: points.get(idOf(p)) as number,
      material: materialOf(idOf(p)),
    })),
    kinships: kinships.filter(({ from, to }) => from !== to),
    lambda: LAMBDA,
    fall: FALL,
  };
}

/** How much of a phrase a relation gives: the share of its tones, times how literally they come back. */
const sharedPart = (r: Relation, tones: number): number =>
  Math.min(1, (Math.min(r.evidence.count, tones) / tones) * (LITERAL[literalOf(r)] ?? 0.4));

const literalOf = (r: Relation): string =>
  r.kind === 'ornamented' || r.kind === 'varied' || r.kind === 'displaced' ? r.kind : r.viewpoint;
