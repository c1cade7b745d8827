// Weights of difficulty learned from a teacher's own gradings, and how far they can be trusted.
import { type Estimate, wilson } from '../math/counting.js';
import { type Preference, preferenceWeights } from '../math/preference.js';
import type { Difficulty } from './difficulty.js';
import { FEATURES, type FeatureName, type Weights, weightsOf } from './difficulty-table.js';

/** What a teacher says: of two phrases the harder one; or of one phrase a grade, of which only the order counts. */
export type Grading =
  | { readonly harder: Difficulty; readonly easier: Difficulty }
  | { readonly phrase: Difficulty; readonly grade: number };

/** How weights are fitted. */
export interface FitOptions {
  /** Weights to start from, and to stay near. Default: those of the table. */
  readonly prior?: Partial<Weights>;
  /** How strongly to stay near them. Default 0.5: some twenty pairs move them far. */
  readonly ridge?: number;
  /** Into how many parts phrases are divided, each held out once. Default 5. */
  readonly folds?: number;
}

/** How often the harder of two phrases was named rightly, among pairs with a phrase that the weights were not fitted to. */
export interface HeldOut {
  readonly pairs: number;
  readonly right: number;
  /** With an interval of 95 % (Wilson), on no more pairs than there are phrases: pairs of one phrase are alike. */
  readonly accuracy: Estimate;
  /** What the weights that were started from name rightly among the same pairs. */
  readonly priorRight: number;
}

/** What was fitted. */
export interface WeightFit {
  /** The fitted weights; with too few gradings those that were started from. */
  readonly weights: Weights;
  readonly fitted: boolean;
  readonly pairs: number;
  readonly phrases: number;
  /** Absent with too few gradings. */
  readonly heldOut?: HeldOut;
  /** What to think of it, in a sentence or two. */
  readonly said: string;
}

/** Fewer pairs, or fewer phrases, say nothing about two dozen weights (a rule of this project). */
export const FEWEST_PAIRS = 20;
export const FEWEST_PHRASES = 8;

/** One pair of phrases by their numbers. */
interface Pair {
  readonly harder: number;
  readonly easier: number;
}

/**
 * Learns weights from gradings. Weights stay at 0 or above, and near those that were started from where the gradings say nothing. How well they predict is measured on pairs with a phrase that
 * was held out of the fit. Judgements of one phrase against itself, and equal grades, say nothing and are passed over.
 * @throws RangeError for a grade that is not finite, or an option outside its range
 * @example
 * const one = difficultyOf(parseSoloOrThrow(EXAMPLE_SOLO), '1')
 * const slow = difficultyOf(parseSoloOrThrow(EXAMPLE_SOLO), '1', { tempo: 60 })
 * fitWeights([{ harder: one, easier: slow }]).said // => '1 pair of 2 phrases is too few to learn from: 20 pairs of 8 phrases are the least; the weights are left as they were'
 */
export function fitWeights(gradings: readonly Grading[], options: FitOptions = {}): WeightFit {
  const { ridge = 0.5, folds = 5 } = options;
  const prior = weightsOf(options.prior);
  if (!(Number.isInteger(folds) && folds >= 2)) throw new RangeError(`${folds} folds: give a whole number from 2 up`);
  if (!(ridge > 0 && ridge < Number.POSITIVE_INFINITY))
    throw new RangeError(`a ridge of ${ridge}: give a number above 0`);
  const { phrases, pairs } = pairsOf(gradings);
  const demands = phrases.map(demandsOf);
  const start = FEATURES.map(({ name }) => prior[name]);
  const learn = (some: readonly Pair[]): Float64Array =>
    preferenceWeights(
      some.map(({ harder, easier }): Preference => ({ higher: demands[harder]!, lower: demands[easier]! })),
      { prior: start, ridge },
    );
  if (pairs.length < FEWEST_PAIRS || phrases.length < FEWEST_PHRASES) {
    const few = `${pairs.length} pair${pairs.length === 1 ? '' : 's'} of ${phrases.length} phrases ${pairs.length === 1 ? 'is' : 'are'} too few to learn from`;
    return {
      weights: prior,
      fitted: false,
      pairs: pairs.length,
      phrases: phrases.length,
      said: `${few}: ${FEWEST_PAIRS} pairs of ${FEWEST_PHRASES} phrases are the least; the weights are left as they were`,
    };
  }
  const heldOut = holdOut(pairs, phrases.length, folds, demands, start, learn);
  const w = learn(pairs);
  const weights = Object.fromEntries(FEATURES.map(({ name }, k) => [name, w[k]])) as Record<FeatureName, number>;
  return {
    weights,
    fitted: true,
    pairs: pairs.length,
    phrases: phrases.length,
    ...(heldOut && { heldOut }),
    said: heldOut ? sentence(heldOut) : 'no pair could be held out: grade pairs of more different phrases',
  };
}

/** The demands of a phrase as numbers, in the order of the features. */
export const demandsOf = ({ features }: Difficulty): Float64Array => Float64Array.from(features, (f) => f.demand);

function pairsOf(gradings: readonly Grading[]): { phrases: readonly Difficulty[]; pairs: readonly Pair[] } {
  const numbers = new Map<Difficulty, number>();
  const number = (d: Difficulty): number => {
    const known = numbers.get(d);
    if (known !== undefined) return known;
    numbers.set(d, numbers.size);
    return numbers.size - 1;
  };
  const pairs: Pair[] = [];
  const graded: { phrase: number; grade: number }[] = [];
  gradings.forEach((grading, i) => {
    if ('harder' in grading) {
      const pair = { harder: number(grading.harder), easier: number(grading.easier) };
      if (pair.harder !== pair.easier) pairs.push(pair);
      return;
    }
    if (!Number.isFinite(grading.grade))
      throw new RangeError(`grade ${i + 1} is ${grading.grade}: give a number, higher for harder`);
    const phrase = number(grading.phrase);
    for (const other of graded)
      if (other.phrase !== phrase && other.grade !== grading.grade)
        pairs.push(
          grading.grade > other.grade
            ? { harder: phrase, easier: other.phrase }
            : { harder: other.phrase, easier: phrase },
        );
    graded.push({ phrase, grade: grading.grade });
  });
  return { phrases: [...numbers.keys()], pairs };
}

/** Fits without the phrases of one part, and judges the pairs that have one of them; part after part. */
function holdOut(
  pairs: readonly Pair[],
  phrases: number,
  folds: number,
  demands: readonly Float64Array[],
  start: readonly number[],
  learn: (some: readonly Pair[]) => Float64Array,
): HeldOut | undefined {
  // A pair is judged once: in the part of its phrase that was met later.
  const part = ({ harder, easier }: Pair): number => Math.max(harder, easier) % folds;
  let judged = 0;
  let right = 0;
  let priorRight = 0;
  for (let fold = 0; fold < folds; fold++) {
    const test = pairs.filter((pair) => part(pair) === fold);
    if (test.length === 0) continue;
    const isOut = (phrase: number) => phrase % folds === fold;
    const weights = learn(pairs.filter(({ harder, easier }) => !isOut(harder) && !isOut(easier)));
    for (const { harder, easier } of test) {
      judged++;
      right += rightly(weights, demands[harder]!, demands[easier]!);
      priorRight += rightly(start, demands[harder]!, demands[easier]!);
    }
  }
  const accuracy = wilson(right, judged, { designEffect: Math.max(1, judged / phrases) });
  return accuracy && { pairs: judged, right, accuracy, priorRight };
}

/** 1 if the harder one has the higher sum, a half if both have the same. */
function rightly(weights: ArrayLike<number>, harder: Float64Array, easier: Float64Array): number {
  const gap = harder.reduce((sum, x, k) => sum + (weights[k] as number) * (x - (easier[k] as number)), 0);
  return gap > 1e-12 ? 1 : gap < -1e-12 ? 0 : 0.5;
}

function sentence({ pairs, right, accuracy, priorRight }: HeldOut): string {
  const percent = (n: number) => `${Math.round(100 * n)} %`;
  const range = `${percent(accuracy.low)} to ${percent(accuracy.high)}`;
  const found = `of ${pairs} pairs with a phrase held out, ${right} are put in the teacher's order (${percent(accuracy.estimate)}, ${range})`;
  const compared = `the weights started from: ${priorRight}`;
  const verdict =
    accuracy.low <= 0.5
      ? 'that may be chance: grade more phrases before using these weights'
      : right <= priorRight
        ? 'nothing is gained over them: keep those'
        : 'an order, not a grade';
  return `${found}; ${compared}; ${verdict}`;
}
