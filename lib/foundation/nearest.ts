// The suggestion behind "did you mean".
import { distance } from 'fastest-levenshtein';

/**
 * The candidate with the fewest edits from a text, if it is at most `limit` edits away; the first of equals.
 * @example
 * nearest('mixolidian', ['dorian', 'mixolydian'], 2) // => 'mixolydian'
 */
export function nearest(text: string, candidates: readonly string[], limit: number): string | undefined {
  let best: string | undefined;
  let least = limit + 1;
  for (const candidate of candidates) {
    if (Math.abs(candidate.length - text.length) >= least) continue;
    const edits = distance(text, candidate);
    if (edits < least) {
      least = edits;
      best = candidate;
    }
  }
  return best;
}
