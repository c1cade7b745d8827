// Seeded random numbers: the same seed gives the same answer on every machine. Never `Math.random`.

/** A source of random numbers. Pass it in; never keep one in a module. */
export interface Random {
  /** A number from 0 up to, not including, 1. */
  next(): number;
  /** A whole number from 0 to n - 1. */
  int(n: number): number;
}

/**
 * A generator with 32 bits of state (mulberry32, public domain, Tommy Ettinger 2017): good enough for resampling, not for secrets.
 * @example
 * createRandom(7).int(100) === createRandom(7).int(100) // => true
 */
export function createRandom(seed: number): Random {
  let state = seed >>> 0;
  const next = (): number => {
    state = (state + 0x6d2b79f5) >>> 0;
    let t = state;
    t = Math.imul(t ^ (t >>> 15), t | 1);
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61);
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
  return { next, int: (n) => Math.floor(next() * n) };
}

/** Puts an array into random order in place (Fisher and Yates) and returns it. */
export function shuffle<T>(items: T[], random: Random): T[];
export function shuffle(items: Int32Array, random: Random): Int32Array;
export function shuffle<T>(items: { readonly length: number; [i: number]: T }, random: Random): typeof items {
  for (let i = items.length - 1; i > 0; i--) {
    const j = random.int(i + 1);
    [items[i], items[j]] = [items[j] as T, items[i] as T];
  }
  return items;
}
