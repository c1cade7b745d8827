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
