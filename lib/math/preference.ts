// Weights learned from pairs of which one was preferred. No music in here.

/** One judgement: what stands higher, what lower, as equally long lists of amounts. */
export interface Preference {
  readonly higher: ArrayLike<number>;
  readonly lower: ArrayLike<number>;
}

/** How weights are learned. */
export interface PreferenceOptions {
  /** Weights that are believed in as long as nothing speaks against them; each 0 or above. */
  readonly prior: ArrayLike<number>;
  /** How strongly: the penalty on the squared distance from the prior, above 0. */
  readonly ridge: number;
}

/**
 * Weights, none below 0, under which the higher of each pair gets the higher sum: those that minimise the sum over pairs of log(1 + exp(-w(higher - lower))), plus
 * ridge / 2 times the squared distance of w from the prior. The problem is convex, so that there is one answer, whatever the order of pairs.
 *
 * Method: logistic regression on differences (R. A. Bradley and M. E. Terry 1952, Biometrika 39:324-345, with weights for scores), ridge (A. E. Hoerl and R. W. Kennard 1970,
 * Technometrics 12:55-67), by projected gradients with Nesterov's momentum and restarts (A. Beck and M. Teboulle 2009, SIAM J. Imaging Sciences 2:183-202).
 * @throws RangeError if lists differ in length, a number is not finite, a prior is below 0, or the ridge is not above 0
 * @example
 * const pairs = [{ higher: [2, 0], lower: [1, 0] }, { higher: [3, 1], lower: [1, 1] }];
 * const w = preferenceWeights(pairs, { prior: [0, 1], ridge: 1 });
 * w[1] // => 1
 * w[0] > 0.5 // => true
 */
export function preferenceWeights(pairs: readonly Preference[], { prior, ridge }: PreferenceOptions): Float64Array {
  const n = prior.length;
  if (!(ridge > 0 && ridge < Number.POSITIVE_INFINITY))
    throw new RangeError(`a ridge of ${ridge}: give a number above 0`);
  const start = Float64Array.from(prior);
  start.forEach((p, k) => {
    if (!(p >= 0 && p < Number.POSITIVE_INFINITY)) throw new RangeError(`prior ${k} is ${p}: give 0 or more`);
  });
  const differences = pairs.map(({ higher, lower }, i) => {
    if (higher.length !== n || lower.length !== n)
      throw new RangeError(`pair ${i} has ${higher.length} and ${lower.length} amounts, ${n} expected`);
    return Float64Array.from(start, (_, k) => {
      const d = (higher[k] as number) - (lower[k] as number);
      if (!Number.isFinite(d)) throw new RangeError(`amount ${k} of pair ${i} is not a finite number`);
      return d;
    });
  });
  // The gradient changes at most this fast: a quarter of the squares of the differences, and the ridge.
  const steepness = differences.reduce((sum, d) => sum + d.reduce((s, x) => s + x * x, 0), 0) / 4 + ridge;
  let w = start.slice();
  let ahead = w.slice();
  let momentum = 1;
  for (let round = 0; round < 20_000; round++) {
    const gradient = ahead.map((x, k) => ridge * (x - (start[k] as number)));
    for (const d of differences) {
      const pull = -1 / (1 + Math.exp(dot(ahead, d)));
      for (let k = 0; k < n; k++) gradient[k] = (gradient[k] as number) + pull * (d[k] as number);
    }
    const next = ahead.map((x, k) => Math.max(0, x - (gradient[k] as number) / steepness));
    let moved = 0;
    let uphill = 0;
    for (let k = 0; k < n; k++) {
      const step = (next[k] as number) - (w[k] as number);
      moved = Math.max(moved, Math.abs(step));
      uphill += ((ahead[k] as number) - (next[k] as number)) * step;
    }
    const faster = uphill > 0 ? 1 : (1 + Math.sqrt(1 + 4 * momentum * momentum)) / 2;
    const carry = uphill > 0 ? 0 : (momentum - 1) / faster;
    ahead = next.map((x, k) => x + carry * (x - (w[k] as number)));
    w = next;
    momentum = faster;
    if (moved < 1e-11) break;
  }
  return w;
}

const dot = (a: Float64Array, b: Float64Array): number => a.reduce((sum, x, k) => sum + x * (b[k] as number), 0);
