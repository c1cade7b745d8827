// How hard a phrase is for one student: what is known weighs less, a technique that is new weighs more.
import type { Solo } from '../solo/solo.js';
import { type Difficulty, difficultyOf } from './difficulty.js';
import { type FeatureName, WEIGHTS, type Weights } from './difficulty-table.js';
import { type KnowledgeItem, NAMED_ITEMS } from './technique-items.js';

const BENDS = ['half-step bend', 'whole-step bend'];

/** The items that make a feature easier once they are known. Features that no item stands for (speed, stretch, length) weigh the same for all. */
export const LEARNED_BY: Readonly<Partial<Record<FeatureName, readonly string[]>>> = {
  bends: BENDS,
  'bending finger': BENDS,
  'bending place': BENDS,
  exactness: ['pre-bend', 'bend picked again while held'],
  'held bend': ['bend held under other strings'],
  release: ['let-down of a bend'],
  'vibrato on a bend': ['vibrato on a bend'],
  'strings at once': ['double-stops'],
  'picking across strings': ['single notes'],
  skips: ['single notes'],
  legato: ['hammer-on', 'pull-off'],
  slides: ['slide'],
  shift: ['position shift'],
  syncopation: ['eighths off the beat', 'notes tied over the bar'],
  entry: ['entry off the beat'],
  tuplets: ['eighth triplets', 'other tuplets'],
};

/** What of the weight of a feature falls away for those who know all of it. A choice of this project. */
export const KNOWN_DISCOUNT = 0.6;

/**
 * The weights of difficulty for those who know some items: a feature all of whose items are known weighs four tenths, one that is known in part in
 * proportion. They depend on the student alone, so that all laws of `difficultyOf` hold for each student.
 */
export function weightsFor(known: ReadonlySet<string>): Weights {
  const own = Object.entries(WEIGHTS).map(([name, weight]) => {
    const items = LEARNED_BY[name as FeatureName] ?? [];
    const part = items.length === 0 ? 0 : items.filter((id) => known.has(id)).length / items.length;
    return [name, weight * (1 - KNOWN_DISCOUNT * part)] as const;
  });
  return Object.fromEntries(own) as Weights;
}

/** Under so many points a phrase that has nothing new is easy for a student: its hardest moment is not worth saying. */
export const EASY = 3;
/** So much more a demand counts that is new to the student, where the hardest moment is looked for. */
const NEW_FIRST = 25;

/**
 * Points that each unit of the weight of a technique that is not known adds, where phrases are ordered: a new kind of movement outweighs what is hard with
 * those that one has. What only goes on from something known (a held bend for those who bend) adds a third of that. Choices of this project.
 */
const NEW_TECHNIQUE = 8;
const GOING_ON = 1 / 3;

/** The weight of what has to be learned alone for some needs, with all that it waits for. */
export function weightToLearn(needs: readonly KnowledgeItem[], known: ReadonlySet<string>): number {
  const all = new Map<string, KnowledgeItem>();
  const add = (item: KnowledgeItem | undefined): void => {
    if (!item?.isAlone || known.has(item.id) || all.has(item.id)) return;
    all.set(item.id, item);
    for (const id of item.after) add(NAMED_ITEMS.find((other) => other.id === id));
  };
  needs.forEach(add);
  const goesOn = ({ after }: KnowledgeItem) => after.length > 0 && after.every((id) => known.has(id));
  return [...all.values()].reduce((sum, item) => sum + item.weight * (goesOn(item) ? GOING_ON : 1), 0);
}

/** How hard a phrase is for a student. */
export interface StudentDifficulty {
  /** By what is played, with {@link weightsFor}. */
  readonly points: number;
  /** With what has to be learned for it: what phrases are ordered by. */
  readonly withNew: number;
  /** Where it is hardest, what is new before all else; absent for a phrase that is easy for the student. */
  readonly hardest?: string;
  readonly cautions: Difficulty['cautions'];
}

/**
 * Points of a phrase for a student: the demands with {@link weightsFor}; and, to order by, eight points more for each unit of {@link weightToLearn}. To know
 * more is never harder; more techniques are never easier.
 * @param has items that the student has by the time the phrase comes, for the hardest moment: those known, and those of the steps before the phrases
 */
export function difficultyFor(
  solo: Solo,
  phrase: string,
  needs: readonly KnowledgeItem[],
  {
    known,
    has,
    tempo,
  }: { readonly known: ReadonlySet<string>; readonly has: ReadonlySet<string>; readonly tempo: number },
): StudentDifficulty {
  const weights = weightsFor(known);
  const plain = difficultyOf(solo, phrase, { tempo, weights });
  const { points } = plain;
  const fresh = new Set(needs.filter(({ id }) => !has.has(id)).map(({ id }) => id));
  const isNew = (name: FeatureName) => (LEARNED_BY[name] ?? []).some((id) => fresh.has(id));
  const newOnes = plain.features.filter(({ name, points: own }) => own > 0 && isNew(name)).map(({ name }) => name);
  const emphasised = Object.fromEntries(newOnes.map((name) => [name, weights[name] * NEW_FIRST]));
  const { hardest } =
    newOnes.length === 0 ? plain : difficultyOf(solo, phrase, { tempo, weights: { ...weights, ...emphasised } });
  const isWorthSaying = newOnes.length > 0 || points >= EASY;
  return {
    points,
    withNew: points + NEW_TECHNIQUE * weightToLearn(needs, known),
    cautions: plain.cautions,
    ...(hardest && isWorthSaying && { hardest: hardest.said }),
  };
}
