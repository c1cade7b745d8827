// The kinds of relations between phrases as data: what each is, how much must be shared for it, and which is said first.
import type { Place } from '../solo/tone-table.js';
import type { PhraseRef } from './phrase-relation-lines.js';

/**
 * How phrases can be related; `b` is the later one, in the order of time within a solo and of the table between solos.
 * `same`: the same tones. `displaced`: the same tones and times, elsewhere in the bar. `same-opening`, `same-ending`. `takes-up-the-tail`: what `a` ends with
 * opens `b`. `contains`: one stands whole inside the other. `transposed`: moved by semitones. `same-shape-elsewhere`: the same moves of the hand over strings
 * and frets, from another place. `same-degrees-over-another-chord`. `stretched`: all times multiplied. `rhythm-only`: the same times, other tones.
 * `ornamented`: the tones of one stand in the other at their times, with more between or before them; or one opens as the other with tones put in that delay it. `varied`: alike tone by tone but for some edits.
 * `answers`: the very next phrase has the same rhythm or opening and ends on another tone. `sequence`: a cell within one phrase is repeated, moved (`a` is `b`).
 */
export const RELATION_KINDS = [
  'same',
  'displaced',
  'ornamented',
  'transposed',
  'same-shape-elsewhere',
  'same-degrees-over-another-chord',
  'stretched',
  'contains',
  'same-opening',
  'same-ending',
  'takes-up-the-tail',
  'varied',
  'answers',
  'rhythm-only',
  'sequence',
] as const;
/** A kind of relation. */
export type RelationKind = (typeof RELATION_KINDS)[number];

/** Which part is shared: all of both; how both open; how both end; the tail of `a` that opens `b`; all of one inside the other; a run inside both. */
export const EXTENTS = ['whole', 'opening', 'ending', 'tail', 'inside', 'run'] as const;
/** Which part is shared. */
export type Extent = (typeof EXTENTS)[number];

/** How the tones of `b` differ from those of `a`, in order. A `grace`, `curl` or `voice` (another string under it) is added to a tone that is kept. */
export interface Edit {
  readonly what: 'change' | 'drop' | 'add' | 'split' | 'join' | 'grace' | 'curl' | 'voice' | 'length';
  /** Rows of the tone table; none for what is put in. */
  readonly a: readonly number[];
  /** None for what is left out. */
  readonly b: readonly number[];
}

/** What a relation rests on. */
export interface Evidence {
  /** The shared tones of `a` and of `b`: rows of the tone table, each against the one at the same place in the other list. */
  readonly tonesA: readonly number[];
  readonly tonesB: readonly number[];
  readonly count: number;
  /** Where the shared part begins. */
  readonly fromA: Place;
  readonly fromB: Place;
  /** Of openings: the first tones that differ; one is absent if that phrase ends there. */
  readonly partsAt?: { readonly a?: Place; readonly b?: Place };
  /** Semitones from `a` to `b`, where it is one for all shared tones. Halves are quarter-tones. */
  readonly transposition?: number;
  /** Beats by which `b` lies later in the bar, at most half a bar either way; only if the times are alike, the bars are as long, and it is not 0. */
  readonly displacement?: number;
  /** Times of `b` over those of `a`, if it is not 1. */
  readonly stretch?: number;
  readonly edits?: readonly Edit[];
}

interface Base {
  readonly a: PhraseRef;
  readonly b: PhraseRef;
  /** In which all shared tones are alike. */
  readonly viewpoint: string;
  readonly extent: Extent;
  readonly evidence: Evidence;
  /** From 0 to 1: see {@link strengthOf}. */
  readonly strength: number;
  /** In words, said of `b`. */
  readonly said: string;
}

/** Kinds of relations that are nothing but a shared stretch. */
export type StretchKind =
  | 'same'
  | 'displaced'
  | 'same-opening'
  | 'same-ending'
  | 'takes-up-the-tail'
  | 'transposed'
  | 'same-shape-elsewhere'
  | 'same-degrees-over-another-chord'
  | 'rhythm-only'
  | 'stretched';

/** Relations that a shared stretch makes. */
export type SharedStretch = { readonly [K in StretchKind]: Base & { readonly kind: K } }[StretchKind];

/** One phrase stands whole inside the other. */
export interface Containment extends Base {
  readonly kind: 'contains';
  /** The longer one. */
  readonly outer: 'a' | 'b';
}

/** One phrase is the other with ornaments. */
export interface Ornamentation extends Base {
  readonly kind: 'ornamented';
  /** The one with more tones. */
  readonly richer: 'a' | 'b';
}

/** How much two lines are alike, from 0 to 1. */
export interface Similarity {
  /** The share of runs of three steps that they have in common. Absent if neither has three steps. */
  readonly stepRuns?: number;
  /** Tones kept over the mean of both lengths. Source: P. E. Savage and Q. D. Atkinson 2015, ISMIR, 162-168 (from memory). */
  readonly identity: number;
}

/** A bar of the later of two phrases in one rhythm, against the tones at the same places of the earlier one. */
export interface BarKinship {
  readonly bar: number;
  /** Its first tone in the line, and how many it has. */
  readonly from: number;
  readonly count: number;
  readonly kin: 'same' | 'moved' | 'other';
  /** Of a moved bar: by so many semitones, or else by so many steps of the scale. */
  readonly semitones?: number;
  readonly steps?: number;
}

/** Alike tone by tone but for some edits. */
export interface Variation extends Base {
  readonly kind: 'varied';
  /** Of the best local alignment: tones kept less the price of the edits among them. */
  readonly score: number;
  readonly similarity: Similarity;
  /** Where whole bars say more than any one way to lay the lines: how each bar stands. The tones kept are then those of bars the same or moved. */
  readonly bars?: readonly BarKinship[];
}

/** The next phrase, alike at first, ends on another tone. */
export interface Answer extends Base {
  readonly kind: 'answers';
  /** What is alike from the beginning. */
  readonly by: 'rhythm' | 'opening';
  /** Their last tones. */
  readonly landings: { readonly a: string; readonly b: string };
}

/** A cell that is repeated at once, moved. Its tones are those of `tonesA`, its first repetition those of `tonesB`. */
export interface Sequence extends Base {
  readonly kind: 'sequence';
  /** The first tone of every copy, as rows. */
  readonly copies: readonly number[];
}

/** A relation between two phrases, or (a sequence) of a phrase to itself. */
export type Relation = SharedStretch | Containment | Ornamentation | Variation | Answer | Sequence;

/** Fewest shared tones. A bar of one repeated note, or of equal notes in time, is no one's idea: at least two different ones must be shared. */
export const LEAST = {
  whole: 4,
  opening: 4,
  ending: 4,
  tail: 4,
  inside: 5,
  run: 5,
  /** For looks in which only one thing is alike, not being the pitch: rhythm, steps, shape or degrees alone. */
  oneThing: 6,
  /** Tones that an answer has in common with its call from the beginning. */
  answer: 4,
  /** Tones of a cell of a sequence. */
  cell: 3,
} as const;

/** How literal a shared stretch is, from 0 to 1, by kind and viewpoint. Chosen by ear; only their order is meant. */
export const LITERAL: Readonly<Record<string, number>> = {
  'pitch+durations': 1,
  displaced: 0.97,
  ornamented: 0.95,
  'steps+durations': 0.9,
  varied: 0.9,
  'shape+durations': 0.85,
  delayed: 0.85,
  'degree+durations': 0.8,
  'steps+rhythm': 0.75,
  pitch: 0.7,
  steps: 0.5,
  shape: 0.5,
  degree: 0.5,
  answers: 0.45,
  durations: 0.4,
};

/**
 * How strong a relation is: how literal it is (1 for the same tones in the same rhythm, 0.4 for the rhythm alone) times the share of the two phrases that
 * it covers, 2 x shared tones / (tones of both). It orders relations; it is no probability.
 * @example
 * strengthOf('pitch+durations', 5, 10, 10) // => 0.5
 */
export const strengthOf = (literal: string, shared: number, tonesA: number, tonesB: number): number =>
  ((LITERAL[literal] ?? 0) * 2 * shared) / (tonesA + tonesB);
