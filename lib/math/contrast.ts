// How much more often something comes in one part of a corpus than in the rest, small counts held back by a prior. No music in here.

/** A difference in log odds and how many standard errors it lies from none. */
export interface LogOdds {
  /** Natural logarithm; above 0: more often in the first part. */
  readonly delta: number;
  readonly z: number;
}

/**
 * Log odds ratio with an informative Dirichlet prior. Source: B. L. Monroe, M. P. Colaresi and K. M. Quinn 2008, Political Analysis 16:372-403.
 * @param prior how many of the thing, and of all, are put to both counts beforehand; both above 0
 * @example
 * logOdds(20, 100, 5, 100, { of: 25, all: 200 }).z.toFixed(4) // => '1.9627'
 */
export function logOdds(
  count1: number,
  all1: number,
  count2: number,
  all2: number,
  prior: { readonly of: number; readonly all: number },
): LogOdds {
  const odds = (count: number, all: number) => Math.log((count + prior.of) / (all + prior.all - count - prior.of));
  const delta = odds(count1, all1) - odds(count2, all2);
  return { delta, z: delta / Math.sqrt(1 / (count1 + prior.of) + 1 / (count2 + prior.of)) };
}

/**
 * Dunning's log-likelihood ratio of a two by two table [[a, b], [c, d]]. Source: T. Dunning 1993, Computational Linguistics 19(1):61-74.
 * @example
 * logLikelihoodRatio(110, 2442, 111, 29114).toFixed(2) // => '270.72'
 */
export function logLikelihoodRatio(a: number, b: number, c: number, d: number): number {
  const term = (n: number) => (n === 0 ? 0 : n * Math.log(n));
  const cells = term(a) + term(b) + term(c) + term(d);
  return 2 * (cells + term(a + b + c + d) - term(a + b) - term(c + d) - term(a + c) - term(b + d));
}

/**
 * p-values adjusted for how many there are: one that stays at or below q belongs to a list of which, on average, at most
 * the share q is chance. They stand in the order given. Source: Y. Benjamini and Y. Hochberg 1995, J. Royal Stat. Soc. B
 * 57:289-300; for independent tests, or tests that lean the same way.
 * @throws RangeError if one is not from 0 to 1 (with its place)
 * @example
 * adjustedPValues([0.04, 0.01, 0.03, 0.5]).map((p) => p.toFixed(4)) // => ['0.0533', '0.0400', '0.0533', '0.5000']
 */
export function adjustedPValues(pValues: readonly number[]): readonly number[] {
  pValues.forEach((p, i) => {
    if (!(p >= 0 && p <= 1)) throw new RangeError(`p-value ${i} is ${p}: give a number from 0 to 1`);
  });
  const adjusted = new Array<number>(pValues.length);
  let least = 1;
  const falling = [...pValues.keys()].sort((i, j) => pValues[j]! - pValues[i]!);
  falling.forEach((i, above) => {
    least = Math.min(least, (pValues[i]! * pValues.length) / (pValues.length - above));
    adjusted[i] = least;
  });
  return adjusted;
}

/**
 * How differently two lists of counts, or of shares, are spread over the same kinds: the Jensen-Shannon divergence in bits,
 * 0 (alike) to 1 (nothing in common). Its square root is a distance. `undefined` if a list has nothing in it. Source: J.
 * Lin 1991, IEEE Transactions on Information Theory 37:145-151.
 * @throws RangeError if the lists differ in length or a number is negative or not finite (with its place)
 * @example
 * jensenShannon([1, 0], [1, 1])?.toFixed(7) // => '0.3112781'
 * jensenShannon([3, 0, 0], [0, 8, 0]) // => 1
 */
export function jensenShannon(p: ArrayLike<number>, q: ArrayLike<number>): number | undefined {
  if (p.length !== q.length)
    throw new RangeError(`there are ${p.length} and ${q.length} numbers: give as many of each`);
  const [sumP, sumQ] = [sumOf(p), sumOf(q)];
  if (sumP === 0 || sumQ === 0) return undefined;
  let bits = 0;
  for (let i = 0; i < p.length; i++) {
    const [x, y] = [p[i]! / sumP, q[i]! / sumQ];
    const middle = (x + y) / 2;
    if (x > 0) bits += (x * Math.log2(x / middle)) / 2;
    if (y > 0) bits += (y * Math.log2(y / middle)) / 2;
  }
  return Math.min(1, Math.max(0, bits));
}

function sumOf(numbers: ArrayLike<number>): number {
  let sum = 0;
  for (let i = 0; i < numbers.length; i++) {
    if (!(numbers[i]! >= 0 && numbers[i]! < Infinity))
      throw new RangeError(`number ${i} is ${numbers[i]}: give finite numbers, 0 or more`);
    sum += numbers[i]!;
  }
  return sum;
}
