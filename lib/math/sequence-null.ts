// What repeats would turn up by chance: corpora of the same size made from the same symbols, and how many of what was found would be found there too.
// No music in here.
import { type Random, shuffle } from '../foundation/random.js';
import type { Phrases } from './phrases.js';

/**
 * How many times a symbol is taken to have come behind another in the proportions in which symbols come anywhere, beside the times it was seen there: a
 * Dirichlet prior (D. MacKay and L. Peto 1995, Natural Language Engineering 1:289-308). Without it a chain learned from a few phrases says them over again:
 * behind a step that was seen five times, all in one motif, nothing but that motif could come. The weight is a choice of this project.
 */
export const PRIOR = 2;

/** Which symbol follows which, in the phrases of one group: first-order chains, with the first symbols of phrases apart. */
export interface Chain {
  /** All symbols and how often each came, summed up: what is drawn from where too little is known of what follows. */
  readonly symbols: Int32Array;
  readonly sums: Int32Array;
  /** By symbol (0: before the first of a phrase), its followers and how often each came, summed up. */
  readonly followers: ReadonlyMap<number, { readonly symbols: Int32Array; readonly sums: Int32Array }>;
}

/**
 * The first-order chain of the phrases for which `takes` is true.
 * @example
 * const phrases = { symbols: new Int32Array([5, 7, 5, 0, 5, 7, 0]), starts: new Int32Array([0, 4, 7]) }
 * const chain = chainOf(phrases, () => true)
 * likelihood(chain, 5, 7) // => 1
 */
export function chainOf({ symbols, starts }: Phrases, takes: (phrase: number) => boolean): Chain {
  const counts = new Map<number, Map<number, number>>();
  const single = new Map<number, number>();
  for (let f = 0; f + 1 < starts.length; f++) {
    if (!takes(f)) continue;
    let before = 0;
    for (let i = starts[f]!; i < starts[f + 1]! - 1; i++) {
      const symbol = symbols[i]!;
      const known = counts.get(before) ?? new Map<number, number>();
      known.set(symbol, (known.get(symbol) ?? 0) + 1);
      single.set(symbol, (single.get(symbol) ?? 0) + 1);
      counts.set(before, known);
      before = symbol;
    }
  }
  return { followers: new Map([...counts].map(([before, after]) => [before, summedUp(after)])), ...summedUp(single) };
}

function summedUp(counts: ReadonlyMap<number, number>): { symbols: Int32Array; sums: Int32Array } {
  const sums: Int32Array = new Int32Array(counts.size);
  let sum = 0;
  [...counts.values()].forEach((n, i) => {
    sum += n;
    sums[i] = sum;
  });
  return { symbols: Int32Array.from(counts.keys()), sums };
}

/** How often a symbol came behind another, and how often anything did; `before` 0 asks for the first of a phrase. */
export function followed(
  chain: Chain,
  before: number,
  symbol: number,
): { readonly times: number; readonly of: number } {
  const after = chain.followers.get(before);
  if (!after) return { times: 0, of: 0 };
  const k = after.symbols.indexOf(symbol);
  const times = k < 0 ? 0 : after.sums[k]! - (k === 0 ? 0 : after.sums[k - 1]!);
  return { times, of: after.sums[after.sums.length - 1]! };
}

/** How often a symbol came behind another, as a share; 0 where it never did. `before` 0 asks for the first of a phrase. */
export function likelihood(chain: Chain, before: number, symbol: number): number {
  const { times, of } = followed(chain, before, symbol);
  return of === 0 ? 0 : times / of;
}

/**
 * Phrases of the same lengths drawn from the chain of each group: what follows a symbol is drawn as it followed it in the group's own phrases, and with
 * the weight of {@link PRIOR} as symbols come anywhere in them; a symbol that only ever stood last is followed as at the start of a phrase.
 * @param groups for each phrase its group, from 0 up
 */
export function drawFromChains(
  { starts }: Phrases,
  groups: ArrayLike<number>,
  chains: readonly Chain[],
  random: Random,
): Phrases {
  const drawn: Int32Array = new Int32Array(starts[starts.length - 1]!);
  for (let f = 0; f + 1 < starts.length; f++) {
    const chain = chains[groups[f]!] as Chain;
    let before = 0;
    for (let i = starts[f]!; i < starts[f + 1]! - 1; i++) {
      const known = chain.followers.get(before) ?? chain.followers.get(0);
      if (!known) break;
      const seen = known.sums[known.sums.length - 1]!;
      const after = random.next() * (seen + PRIOR) < seen ? known : chain;
      before = pick(after.symbols, after.sums, random);
      drawn[i] = before;
    }
  }
  return { symbols: drawn, starts };
}

function pick(symbols: Int32Array, sums: Int32Array, random: Random): number {
  const at = random.int(sums[sums.length - 1]!);
  let low = 0;
  let high = sums.length - 1;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (sums[middle]! > at) high = middle;
    else low = middle + 1;
  }
  return symbols[low]!;
}

/** The same phrases, the symbols of each in random order. */
export function shuffleWithin({ symbols, starts }: Phrases, random: Random): Phrases {
  const shuffled = symbols.slice();
  for (let f = 0; f + 1 < starts.length; f++) {
    const part = shuffle([...symbols.subarray(starts[f]!, starts[f + 1]! - 1)], random);
    shuffled.set(part, starts[f]!);
  }
  return { symbols: shuffled, starts };
}

/**
 * The false discovery rate at each score: the mean number, over null corpora, of things found there that score as well, over the number observed that
 * do; never falling with a lower score, at most 1. What is observed counts as one corpus more among the null ones: if it is no better than they are, any
 * rate at or below 0.05 comes up in 0.05 of all cases, and no rate is lower than 1 / (null corpora + 1). Scores come in any order; the answer stands in
 * theirs. Source for counting it in: B. Phipson and G. K. Smyth 2010, Statistical Applications in Genetics and Molecular Biology 9(1):39, on p-values.
 * @param nulls for each null corpus the scores of all that was found in it; one corpus at least
 * @throws RangeError if there is no null corpus: chance cannot be told from none
 * @example
 * falseDiscoveryRates([9, 5, 1], [[1, 1], [5, 1]]).map((rate) => rate.toFixed(3)) // => ['0.333', '0.500', '0.778']
 */
export function falseDiscoveryRates(
  observed: readonly number[],
  nulls: readonly (readonly number[])[],
): readonly number[] {
  if (nulls.length === 0) throw new RangeError('no null corpora: what chance brings cannot be told, give one at least');
  const rising = [...observed].sort((a, b) => a - b);
  const chance = nulls.flat().sort((a, b) => a - b);
  const atLeast = (sorted: readonly number[], score: number): number => {
    let low = 0;
    let high = sorted.length;
    while (low < high) {
      const middle = (low + high) >> 1;
      if (sorted[middle]! < score) low = middle + 1;
      else high = middle;
    }
    return sorted.length - low;
  };
  const rates = new Map<number, number>();
  let worst = 0;
  // From the best score down: a lower score cannot have a lower rate than a better one.
  for (const score of [...new Set(rising)].sort((a, b) => b - a)) {
    const found = atLeast(rising, score);
    const mean = (atLeast(chance, score) + found) / (nulls.length + 1);
    worst = Math.max(worst, Math.min(1, mean / found));
    rates.set(score, worst);
  }
  return observed.map((score) => rates.get(score) as number);
}
