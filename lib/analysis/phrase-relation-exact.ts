// Which stretches two phrases share exactly, look by look, by comparing their symbols: the plain way, pair by pair.
import type { Extent } from './phrase-relation-kinds.js';
import { LEAST } from './phrase-relation-kinds.js';
import { firstTone, LOOKS, type Look, type PhraseCorpus, tonesIn } from './phrase-relation-lines.js';

/** A shared stretch: so many tones from tone `i` of the earlier phrase and tone `j` of the later one. */
export interface Stretch {
  /** Number in {@link LOOKS}. */
  readonly look: number;
  readonly extent: Extent;
  readonly i: number;
  readonly j: number;
  readonly count: number;
  /** Of `inside`: the phrase that holds the other. */
  readonly outer?: 'a' | 'b';
}

/** The parts that are compared in a look. */
export function extentsOf({ name, main }: Look): readonly Extent[] {
  if (name === 'steps+rhythm') return ['whole'];
  if (!main) return ['whole', 'opening', 'ending'];
  const parts: readonly Extent[] = ['whole', 'opening', 'ending', 'tail', 'inside'];
  // Pickups before a change have the degrees of the chord before it, so what is alike may begin and end inside both.
  return name === 'degree+durations' ? [...parts, 'run'] : parts;
}

/** Fewest shared tones of a part in a look. */
export const leastOf = ({ name, main, time }: Look, extent: Extent): number =>
  main && (time || name === 'pitch') ? LEAST[extent] : LEAST.oneThing;

/** All stretches that two phrases share, of the least length or longer. Whether they are of two different tones or times is not asked yet. */
export function sharedStretches({ texts }: PhraseCorpus, a: number, b: number): readonly Stretch[] {
  const found: Stretch[] = [];
  LOOKS.forEach((look: Look, number) => {
    const x = texts[number]?.texts[a] as Int32Array;
    const y = texts[number]?.texts[b] as Int32Array;
    if (x.length === 0 || y.length === 0) return;
    const add = (extent: Extent, from: number, to: number, symbols: number, outer?: 'a' | 'b') => {
      const { tone, skip } = firstTone(look, from);
      const count = tonesIn(look, symbols - skip);
      if (count >= leastOf(look, extent))
        found.push({ look: number, extent, i: tone, j: firstTone(look, to).tone, count, ...(outer && { outer }) });
    };
    const parts = extentsOf(look);
    const opening = commonOpening(x, y);
    if (opening === x.length && opening === y.length) {
      add('whole', 0, 0, opening);
      return;
    }
    if (!parts.includes('opening')) return;
    add('opening', 0, 0, opening);
    const ending = commonEnding(x, y);
    add('ending', x.length - ending, y.length - ending, ending);
    if (!parts.includes('tail')) return;
    const tail = tailThatOpens(x, y);
    add('tail', x.length - tail, 0, tail);
    if (x.length < y.length) add('inside', 0, placeIn(x, y), placeIn(x, y) < 0 ? 0 : x.length, 'b');
    if (y.length < x.length) add('inside', placeIn(y, x), 0, placeIn(y, x) < 0 ? 0 : y.length, 'a');
    if (!parts.includes('run')) return;
    const run = longestRun(x, y, look);
    add('run', run.i, run.j, run.symbols);
  });
  return found;
}

function commonOpening(x: Int32Array, y: Int32Array): number {
  let k = 0;
  while (k < x.length && k < y.length && x[k] === y[k]) k++;
  return k;
}

function commonEnding(x: Int32Array, y: Int32Array): number {
  let k = 0;
  while (k < x.length && k < y.length && x[x.length - 1 - k] === y[y.length - 1 - k]) k++;
  return k;
}

/** The longest end of `x` that `y` begins with, shorter than both. */
function tailThatOpens(x: Int32Array, y: Int32Array): number {
  for (let k = Math.min(x.length, y.length) - 1; k > 0; k--) if (stands(y, k, x, x.length - k)) return k;
  return 0;
}

/** Where all of `x` first stands in `y`; -1 if nowhere. */
function placeIn(x: Int32Array, y: Int32Array): number {
  for (let at = 0; at + x.length <= y.length; at++) if (stands(x, x.length, y, at)) return at;
  return -1;
}

function stands(x: Int32Array, length: number, y: Int32Array, at: number): boolean {
  for (let k = 0; k < length; k++) if (x[k] !== y[at + k]) return false;
  return true;
}

/** The run with most tones that both have, wherever it stands: of equals the first in `x`, then in `y`. */
function longestRun(x: Int32Array, y: Int32Array, look: Look): { i: number; j: number; symbols: number } {
  let best = { i: 0, j: 0, symbols: 0 };
  let most = 0;
  for (let i = 0; i < x.length; i++) {
    if (firstTone(look, i).skip > 0) continue; // a distance: the tone after it comes next
    for (let j = 0; j < y.length; j++) {
      let k = 0;
      while (i + k < x.length && j + k < y.length && x[i + k] === y[j + k]) k++;
      const tones = tonesIn(look, k);
      if (tones <= most) continue;
      most = tones;
      best = { i, j, symbols: k };
    }
  }
  return best;
}
