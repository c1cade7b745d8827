// How much of a count is to be expected anyway. No music in here.

/**
 * How often a sequence is expected if each symbol depends on all between it and the first, as long as that can be told from
 * the corpus at all: the count without the last symbol, times the count without the first, over the count without both.
 * `undefined` if the last of these is 0. Source: B. Prum, F. Rodolphe and E. de Turckheim 1995, J. Royal Stat. Soc. B
 * 57:205-220, the model of maximal order.
 * @throws RangeError if a count is negative or not finite
 * @example
 * maximalOrderExpectation(2, 2, 2) // => 2
 */
export function maximalOrderExpectation(
  withoutLast: number,
  withoutFirst: number,
  withoutBoth: number,
): number | undefined {
  for (const count of [withoutLast, withoutFirst, withoutBoth])
    if (!(count >= 0 && count < Infinity)) throw new RangeError(`a count of ${count}: give a finite number, 0 or more`);
  return withoutBoth === 0 ? undefined : (withoutLast * withoutFirst) / withoutBoth;
}

/**
 * The probability of so many or more where `mean` are expected and each comes independently of the others: the upper tail
 * of the Poisson distribution, summed from its largest term on so that tiny tails keep their digits.
 * @param atLeast whole number; 0 or fewer are certain
 * @throws RangeError if `atLeast` is no whole number, or the mean is negative or not finite
 * @example
 * poissonTail(2, 0.1399).toFixed(5) // => '0.00892'
 * poissonTail(0, 3) // => 1
 */
export function poissonTail(atLeast: number, mean: number): number {
  if (!Number.isInteger(atLeast)) throw new RangeError(`at least ${atLeast}: give a whole number`);
  if (!(mean >= 0 && mean < Infinity)) throw new RangeError(`a mean of ${mean}: give a finite number, 0 or more`);
  if (atLeast <= 0) return 1;
  if (mean === 0) return 0;
  const exactly = (k: number): number => Math.exp(k * Math.log(mean) - mean - logFactorial(k));
  let sum = 0;
  if (atLeast > mean) {
    for (let k = atLeast, term = exactly(k); term > sum * 1e-17; term *= mean / ++k) sum += term;
    return Math.min(1, sum);
  }
  for (let k = atLeast - 1, term = exactly(k); term > sum * 1e-17; term *= k-- / mean) sum += term;
  return Math.max(0, 1 - sum);
}

/**
 * Natural logarithm of n factorial: the product where it is exact, else Stirling's series (NIST Digital Library of
 * Mathematical Functions, 5.11.1).
 * @throws RangeError if n is no whole number from 0 up
 * @example
 * logFactorial(5).toFixed(6) // => '4.787492'
 */
export function logFactorial(n: number): number {
  if (!(Number.isInteger(n) && n >= 0)) throw new RangeError(`the factorial of ${n}: give a whole number from 0 up`);
  if (n <= 18) {
    let product = 1;
    for (let k = 2; k <= n; k++) product *= k;
    return Math.log(product);
  }
  const z = n + 1;
  const series = 1 / (12 * z) - 1 / (360 * z ** 3) + 1 / (1260 * z ** 5) - 1 / (1680 * z ** 7);
  return (z - 0.5) * Math.log(z) - z + Math.log(2 * Math.PI) / 2 + series;
}

/** How often a table of two by two would come out as it did, or further from what is expected, by chance. */
export interface FisherExact {
  /** Probability of so small a first cell or a smaller one. */
  readonly less: number;
  /** Probability of so large a first cell or a larger one. */
  readonly greater: number;
  /** Probability of all tables that are no likelier than this one. */
  readonly twoSided: number;
}

/**
 * The exact test of a table [[a, b], [c, d]] with its sums given, for counts too small for {@link logLikelihoodRatio}.
 * Source: R. A. Fisher 1935, The Design of Experiments, chapter 2. Tables as likely as this one to one part in ten million
 * count as equally likely, as is usual.
 * @throws RangeError if a count is no whole number from 0 up
 * @example
 * fisherExact(3, 1, 1, 3).greater.toFixed(6) // => '0.242857'
 */
export function fisherExact(a: number, b: number, c: number, d: number): FisherExact {
  const ways = (n: number, k: number): number => logFactorial(n) - logFactorial(k) - logFactorial(n - k);
  const all = ways(a + b + c + d, a + c);
  const probability = (cell: number): number => Math.exp(ways(a + b, cell) + ways(c + d, a + c - cell) - all);
  const found = probability(a);
  let [less, greater, twoSided] = [0, 0, 0];
  for (let cell = Math.max(0, a - d); cell <= Math.min(a + b, a + c); cell++) {
    const p = probability(cell);
    if (cell <= a) less += p;
    if (cell >= a) greater += p;
    if (p <= found * (1 + 1e-7)) twoSided += p;
  }
  return { less: Math.min(1, less), greater: Math.min(1, greater), twoSided: Math.min(1, twoSided) };
}
