// How hard a phrase is, and where: a sum of named demands, each with its moment.
import { countAt } from '../solo/changes.js';
import { phraseOf } from '../solo/phrase-fingering.js';
import { WIDEST_SPAN_MM } from '../solo/playability.js';
import type { Solo } from '../solo/solo.js';
import type { NamedSolo } from '../solo/tone-table.js';
import {
  bendingFingers,
  bendingPlaces,
  bends,
  bentVibrato,
  exactBends,
  heldBends,
  releases,
} from './difficulty-bends.js';
import {
  gripChanges,
  legatoRuns,
  mutedStrings,
  shifts,
  skips,
  slides,
  stretches,
  upperFrets,
} from './difficulty-hands.js';
import { type Gathered, gather, type Item } from './difficulty-items.js';
import { type LineOptions, offsetOf, type PlayedLine, playedLine } from './difficulty-line.js';
import { FEATURES, type FeatureName, type FeatureRow, type Weights, weightsOf } from './difficulty-table.js';
import {
  entries,
  figuresToRemember,
  notesToRemember,
  paces,
  pickCrossings,
  speeds,
  syncopations,
  tuplets,
} from './difficulty-time.js';

/** Where each feature's demands come from. */
const DEMANDS: Readonly<Record<FeatureName, (line: PlayedLine, known: ReadonlySet<string>) => Item[]>> = {
  speed: speeds,
  pace: paces,
  shift: shifts,
  stretch: stretches,
  skips,
  bends,
  'bending finger': bendingFingers,
  'bending place': bendingPlaces,
  exactness: exactBends,
  'held bend': heldBends,
  release: releases,
  'vibrato on a bend': bentVibrato,
  muting: mutedStrings,
  'strings at once': gripChanges,
  'upper frets': upperFrets,
  'picking across strings': pickCrossings,
  legato: legatoRuns,
  slides,
  syncopation: syncopations,
  entry: entries,
  tuplets,
  length: notesToRemember,
};

/** A moment as a player says it. */
export interface DifficultMoment {
  /** Ticks from the start of bar 0. */
  readonly onset: number;
  readonly bar: number;
  readonly count: string;
}

/** One feature of a phrase. */
export interface DifficultyFeature {
  readonly name: FeatureName;
  /** How much there is of it at its peak, in its unit; 0 for none. */
  readonly value: number;
  readonly unit: string;
  /** In full demands: 1 is about what a player of some years has to practise. */
  readonly demand: number;
  /** Demand times weight, and what part of the whole it is, 0 to 1. */
  readonly points: number;
  readonly share: number;
  /** Where it peaks, and what has to be done there, in words; absent where there is none of it. */
  readonly peak?: DifficultMoment & { readonly said: string };
}

/** How hard a phrase is. It claims an order among phrases, not a grade. */
export interface Difficulty {
  readonly phrase: string;
  /** The sum of the points of all features. Only its order means something. */
  readonly points: number;
  /** In the order of {@link FEATURES}. */
  readonly features: readonly DifficultyFeature[];
  /** Where most comes together: "bar 3 beat 1: hold the whole-step bend on string 2 while string 1 rings". Absent for a phrase without notes. */
  readonly hardest?: DifficultMoment & { readonly said: string };
  /** What may strain a hand, to be shown with it. */
  readonly cautions: readonly string[];
}

/** What difficulty is judged by. */
export interface DifficultyOptions extends LineOptions {
  /** Points of one full demand, for any of the features; those of the table for the others. */
  readonly weights?: Partial<Weights>;
  /** Figures that are known already, of {@link knownFigures}: their notes count a quarter of what new ones do. */
  readonly known?: ReadonlySet<string>;
}

/**
 * How hard a phrase is: an explainable sum of named demands. Faster is never easier, one more bend or skip is never easier, and no part of a phrase (`from`, `until`) is
 * harder than the whole. It orders phrases; it is no grade. What a hand can take differs: show the cautions, and leave the rest to a teacher.
 * @throws RangeError for a phrase that the solo has not, a tempo not above 0, or a weight below 0
 * @example
 * const found = difficultyOf(parseSoloOrThrow(EXAMPLE_SOLO), '1')
 * found.hardest.said // => 'bar 1 beat 1: bend string 3 at fret 7 a whole step'
 * found.features.find((f) => f.name === 'bends').value // => 1
 */
export function difficultyOf(solo: Solo, phraseId: string, options: DifficultyOptions = {}): Difficulty {
  const { tempo, known = NOTHING } = options;
  if (tempo !== undefined && !(tempo > 0 && tempo < Number.POSITIVE_INFINITY))
    throw new RangeError(`a tempo of ${tempo}: give quarter notes a minute, above 0`);
  const weights = weightsOf(options.weights);
  const line = playedLine(solo, phraseOf(solo, phraseId), options);
  const gathered = FEATURES.map((row: FeatureRow & { readonly name: FeatureName }) => {
    const items = DEMANDS[row.name](line, known);
    const found = gather(items, row.gather);
    const demand = demandOf(row, found.amount);
    return { row, items, found, demand, points: demand * weights[row.name] };
  });
  const points = gathered.reduce((sum, g) => sum + g.points, 0);
  const moment = (onset: number): DifficultMoment => {
    const place = offsetOf(line, onset);
    return { onset, bar: place.bar.number, count: countAt(place) };
  };
  const features = gathered.map(({ row, found, demand, points: own }): DifficultyFeature => {
    const { peak } = found as Gathered;
    return {
      name: row.name,
      value: found.value,
      unit: row.unit,
      demand,
      points: own,
      share: points === 0 ? 0 : own / points,
      ...(peak && { peak: { ...moment(peak.onset), said: peak.words() } }),
    };
  });
  const hardest = hardestMoment(gathered, weights);
  return {
    phrase: phraseId,
    points,
    features,
    ...(hardest && {
      hardest: {
        ...moment(hardest.onset),
        said: `bar ${moment(hardest.onset).bar} beat ${moment(hardest.onset).count}: ${hardest.words}`,
      },
    }),
    cautions: cautionsFor(features),
  };
}

const NOTHING: ReadonlySet<string> = new Set();

/** Gathered demand in full demands. */
const demandOf = ({ full, power }: FeatureRow, amount: number): number => (amount / full) ** power;

/** Features that say of one act that it is hard, each for a reason of its own: one of them is said. */
const FAMILIES: readonly (readonly FeatureName[])[] = [
  ['bends', 'bending finger', 'bending place', 'exactness', 'vibrato on a bend', 'muting'],
  ['speed', 'pace', 'picking across strings', 'skips', 'syncopation', 'tuplets', 'entry', 'length'],
];
const familyOf = (name: string): number | string => {
  const found = FAMILIES.findIndex((family) => family.some((n) => n === name));
  return found < 0 ? name : found;
};

/** The onset where the demands of single moments, each weighed alone, add up to most; and what they are. */
function hardestMoment(
  gathered: readonly { readonly row: FeatureRow & { readonly name: FeatureName }; readonly items: readonly Item[] }[],
  weights: Weights,
): { readonly onset: number; readonly words: string } | undefined {
  const moments = new Map<number, { sum: number; parts: Map<string, { points: number; item: Item }> }>();
  for (const { row, items } of gathered)
    for (const item of items) {
      const points = weights[row.name] * demandOf(row, item.alone ?? item.amount);
      if (points === 0) continue; // a demand of the whole phrase, of no moment
      let moment = moments.get(item.onset);
      if (!moment) {
        moment = { sum: 0, parts: new Map() };
        moments.set(item.onset, moment);
      }
      const before = moment.parts.get(row.name);
      if (before && before.points >= points) continue;
      moment.sum += points - (before?.points ?? 0);
      moment.parts.set(row.name, { points, item });
    }
  let best: { onset: number; sum: number; parts: Map<string, { points: number; item: Item }> } | undefined;
  for (const [onset, moment] of moments)
    if (!best || moment.sum > best.sum + 1e-9 || (Math.abs(moment.sum - best.sum) <= 1e-9 && onset < best.onset))
      best = { onset, ...moment };
  if (!best) return undefined;
  const parts = [...best.parts].sort(
    ([, a], [, b]) => (a.item.plain ?? 0) - (b.item.plain ?? 0) || b.points - a.points,
  );
  const [first] = parts;
  if (!first) return undefined;
  const second = parts.find(([name]) => familyOf(name) !== familyOf(first[0]));
  // A bend into unison, or one that is set in silence, is said as that.
  const exact = familyOf(first[0]) === familyOf('exactness') ? best.parts.get('exactness') : undefined;
  const words = (exact ?? first[1]).item.words();
  const isWorthSaying = second && !second[1].item.plain && second[1].points > first[1].points / 2;
  return { onset: best.onset, words: isWorthSaying ? `${words}; ${second[1].item.words()}` : words };
}

/** Bends from here on, in whole steps, and rates, in notes a second, are said to strain. Common practice, no source. */
const LARGE_BEND = 1.5;
const FAST = 10;

/** Shown wherever a string is bent by a half step or more. Common practice, no source. */
export const BEND_CAUTION = 'bends strain fingers and wrist: warm up, put other fingers behind, few repeats at a time';
/** Shown beside every other caution. Common practice, no source. */
export const REST_CAUTION = 'rest often; stop when it hurts, and ask a teacher or a clinician';

function cautionsFor(features: readonly DifficultyFeature[]): readonly string[] {
  const value = (name: FeatureName): number => features.find((f) => f.name === name)?.value ?? 0;
  const cautions: string[] = [];
  if (value('bends') >= LARGE_BEND || value('bending finger') === 1) cautions.push(BEND_CAUTION);
  if (value('stretch') >= WIDEST_SPAN_MM * 0.75)
    cautions.push('a wide stretch: try it higher on the neck first, thumb behind the neck, never by force');
  if (value('speed') >= FAST) cautions.push('fast: raise the tempo only while the hand stays loose');
  if (cautions.length > 0) cautions.push(REST_CAUTION);
  return cautions;
}

/**
 * The figures of a phrase that make it quicker to learn another: groups of three notes by how strings, frets and time go on, wherever on the neck.
 * @throws RangeError for a phrase that the solo has not
 * @example
 * const solo = parseSoloOrThrow(EXAMPLE_SOLO)
 * const known = knownFigures(solo, '1')
 * const length = (d) => d.features.find((f) => f.name === 'length').value
 * length(difficultyOf(solo, '1')) // => 5
 * length(difficultyOf(solo, '1', { known })) // => 2.75
 */
export const knownFigures = (solo: Solo, phraseId: string): ReadonlySet<string> =>
  new Set(figuresToRemember(playedLine(solo, phraseOf(solo, phraseId))));

/** A phrase of a corpus with its difficulty. */
export interface RankedPhrase {
  readonly solo: string;
  readonly phrase: string;
  readonly difficulty: Difficulty;
}

/**
 * All phrases of a corpus, the easiest first; of equals in the order of the corpus.
 * @example
 * const ranked = rankByDifficulty([{ id: 'two-doors-down', solo: parseSoloOrThrow(EXAMPLE_SOLO) }])
 * ranked.map((r) => r.phrase) // => ['1', '2']
 */
export const rankByDifficulty = (
  solos: readonly NamedSolo[],
  options: Omit<DifficultyOptions, 'from' | 'until'> = {},
): readonly RankedPhrase[] =>
  solos
    .flatMap(({ id, solo }) =>
      solo.phrases.map((phrase) => ({
        solo: id,
        phrase: phrase.id,
        difficulty: difficultyOf(solo, phrase.id, options),
      })),
    )
    .sort((a, b) => a.difficulty.points - b.difficulty.points);
