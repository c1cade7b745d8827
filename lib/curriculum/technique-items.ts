// The techniques a teacher names, how much each weighs when it is new, and what it must come after.
import type { Item } from './lesson-problem.js';

/** What an item of knowledge is of. */
export const KNOWLEDGE_KINDS = [
  'technique',
  'position',
  'rhythm',
  'tone over a chord',
  'chord to follow',
  'motif',
] as const;
/** What an item of knowledge is of. */
export type KnowledgeKind = (typeof KNOWLEDGE_KINDS)[number];

/** An item of knowledge: its id is the words that a teacher, and a student's profile, call it by. */
export interface KnowledgeItem extends Item {
  readonly kind: KnowledgeKind;
}

/**
 * Techniques by name. The weights are choices of this project: 1 for what is learned in a minute, 3 for what takes weeks. What comes after what is only
 * what contains it: no one pre-bends who cannot bend to pitch, which a half step teaches first. Common practice, no source.
 */
export const TECHNIQUES = {
  'hammer-on': [2],
  'pull-off': [2],
  slide: [2],
  tapping: [3, 'hammer-on', 'pull-off'],
  'grace notes': [1],
  vibrato: [2],
  harmonics: [2],
  'dead notes': [1],
  'double-stops': [2],
  'ringing strings': [1],
  curl: [1],
  'half-step bend': [2],
  'whole-step bend': [3, 'half-step bend'],
  'bend wider than a whole step': [3, 'whole-step bend'],
  'let-down of a bend': [1, 'half-step bend'],
  'pre-bend': [2, 'half-step bend'],
  'bend picked again while held': [1, 'half-step bend'],
  'bend held under other strings': [3, 'half-step bend'],
  'vibrato on a bend': [2, 'half-step bend', 'vibrato'],
  'position shift': [2],
  'string skips': [1],
  'single notes': [1],
} as const satisfies Readonly<Record<string, readonly [number, ...string[]]>>;
/** The name of a technique. */
export type Technique = keyof typeof TECHNIQUES;

/** Rhythms by name, with weights, as for {@link TECHNIQUES}. */
export const RHYTHMS = {
  eighths: [1],
  'eighths off the beat': [1, 'eighths'],
  'entry off the beat': [1],
  'swung eighths': [1, 'eighths'],
  'eighth triplets': [2],
  sixteenths: [2, 'eighths'],
  'thirty-seconds': [3, 'sixteenths'],
  'other tuplets': [3],
  'notes tied over the bar': [1],
  'three beats to the bar': [1],
  'compound meter': [2],
} as const satisfies Readonly<Record<string, readonly [number, ...string[]]>>;
/** The name of a rhythm. */
export type Rhythm = keyof typeof RHYTHMS;

/** Weights of the items that there are many of. */
export const WEIGHT = { position: 2, toneOverChord: 0.4, chordToFollow: 0.4, motif: 1, tonesToRemember: 0.15 } as const;

const named = (
  table: Readonly<Record<string, readonly [number, ...string[]]>>,
  kind: KnowledgeKind,
): readonly KnowledgeItem[] =>
  Object.entries(table).map(([id, [weight, ...after]]) => ({
    id,
    kind,
    weight,
    after,
    ...((kind === 'technique' || weight > 1) && { isAlone: true }),
  }));

/** All techniques and rhythms as items. Every technique, and every rhythm of more weight than 1, is learned alone before the phrase that needs it. */
export const NAMED_ITEMS: readonly KnowledgeItem[] = [...named(TECHNIQUES, 'technique'), ...named(RHYTHMS, 'rhythm')];

/** The item of a position of the hand, by the fret of the first finger. */
export const positionItem = (position: number): KnowledgeItem => ({
  id: `position ${position}`,
  kind: 'position',
  weight: WEIGHT.position,
  after: [],
});

/** The item of a degree over a chord of some function. */
export const toneItem = (degree: string, over: string): KnowledgeItem => ({
  id: `${degree} over ${over}`,
  kind: 'tone over a chord',
  weight: WEIGHT.toneOverChord,
  after: [],
});

/** The item of a change that is played across. */
export const changeItem = (from: string, to: string): KnowledgeItem => ({
  id: `${from} to ${to}`,
  kind: 'chord to follow',
  weight: WEIGHT.chordToFollow,
  after: [],
});
