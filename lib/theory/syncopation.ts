// Weights of the places in a bar, and syncopation: a note on a weak place that is held, or followed by silence, through a stronger one.
import { QUARTER } from '../foundation/time.js';
import type { Meter } from './meter.js';

/**
 * The levels of a meter: for each, how far apart its places are, the widest (the bar) first. Bars of two, three, or four beats are divided as they are counted,
 * others into beats at once; a beat into two or, in compound meters, three; then into halves, down to a thirty-second.
 * @param inThrees divide the beat into three where it is plainly divided in two: for stretches in triplets
 * @example
 * metricalLevels(parseMeter('4/4')!).map((t) => t / 20160) // => [4, 2, 1, 0.5, 0.25, 0.125]
 */
export function metricalLevels({ barTicks, beatTicks }: Meter, inThrees = false): readonly number[] {
  const levels = [barTicks as number];
  let beats = barTicks / beatTicks;
  while (beats > 1 && beats % 2 === 0 && beats > 2) {
    beats /= 2;
    levels.push(beats * beatTicks);
  }
  if (beats > 1) levels.push(beatTicks);
  let part: number = beatTicks;
  const isCompound = ((beatTicks / QUARTER) * 8) % 3 === 0;
  if (isCompound || inThrees) {
    part /= 3;
    levels.push(part);
  }
  while (part / 2 >= QUARTER / 8) {
    part /= 2;
    levels.push(part);
  }
  return levels;
}

/** The level of the strongest place at or after `from` and before `to`: 0 the strongest, -1 the next; below all levels where there is none. */
function strongest(levels: readonly number[], from: number, to: number): number {
  for (let level = 0; level < levels.length; level++) {
    const step = levels[level] as number;
    if (Math.ceil(from / step) * step < to) return -level || 0;
  }
  return -levels.length;
}

/** The weight of a place: 0 for the start of a bar, -1 for the next level, and so on; a place off all levels is one below the lowest. */
export const metricalWeight = (levels: readonly number[], offset: number): number =>
  strongest(levels, offset, offset + Number.EPSILON * Math.max(1, offset) * 2);

/**
 * How much a note is syncopated: the weight of the strongest place that passes without a new note, before the next one begins, less the weight of the note's own.
 * `undefined` where that is below 0, or no place passes; 0 is a weak syncopation, and not the same as none.
 *
 * Source: H. C. Longuet-Higgins and C. S. Lee 1984, Music Perception 1(4):424-441.
 * @param levels of the meter; any unit
 * @param onset of the note, from the start of a bar; `next` where the next note begins
 * @example
 * const levels = metricalLevels(parseMeter('4/4')!)
 * syncopationAt(levels, 3.5 * 20160, 5 * 20160) // => 3
 */
export function syncopationAt(levels: readonly number[], onset: number, next: number): number | undefined {
  const own = metricalWeight(levels, onset);
  const finest = levels[levels.length - 1] as number;
  const silent = (Math.floor(onset / finest) + 1) * finest;
  if (silent >= next) return undefined;
  const value = strongest(levels, silent, next) - own;
  return value >= 0 ? value : undefined;
}
