// What a count of successes keeps within by chance.

/** The lowest and highest count that are not in the tails, which together have the given probability. */
export function binomialInterval(trials: number, p: number, outside: number): readonly [low: number, high: number] {
  let probability = (1 - p) ** trials;
  let [below, low, high] = [0, -1, -1];
  for (let k = 0; k <= trials; k++) {
    below += probability;
    if (low < 0 && below > outside / 2) low = k;
    if (high < 0 && below >= 1 - outside / 2) high = k;
    probability *= ((trials - k) / (k + 1)) * (p / (1 - p));
  }
  return [low, high];
}
