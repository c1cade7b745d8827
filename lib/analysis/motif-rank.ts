// The order of motifs as a listener would put them: what a motif tells, how it is played, how often and how widely it comes back.
import { REACHED } from '../guitar/technique.js';
import type { ToneTable } from '../solo/tone-table.js';
import type { LineSegment } from './line.js';
import type { MotifPlace } from './motif-kinds.js';

/** The most that one symbol or one gesture tells, in bits, as if it came one time in 32: one wild leap is no motif. A choice of this project. */
export const MOST_BITS = 5;

const STRAIGHT = REACHED.indexOf('straight');

/** A gesture belongs to a motif if this share of its places has it. A choice of this project. */
const AGREED = 0.75;

/**
 * How seldom the gestures of a motif are: for each of its tones that is bent, curled, held or let down alike at three places of four, the bits of how
 * often that is done in the lines read, five at most. A tone played straight tells nothing.
 */
export function gesturesOf(
  table: ToneTable,
  segments: readonly LineSegment[],
): (places: readonly MotifPlace[]) => number {
  const { level, reached } = table.columns;
  // A quarter-tone up and a whole step are two gestures, wherever they start from.
  const gesture = (row: number): number => (reached[row] as number) * 10_000 + (level[row] as number);
  const isStraight = (row: number): boolean => reached[row] === STRAIGHT;
  const counts = new Map<number, number>();
  let all = 0;
  for (const { events } of segments)
    for (const { row } of events) {
      counts.set(gesture(row), (counts.get(gesture(row)) ?? 0) + 1);
      all++;
    }
  return (places) => {
    const tones = places[0]?.rows.length ?? 0;
    let bits = 0;
    for (let k = 0; k < tones; k++) {
      const here = new Map<number, number>();
      for (const { rows } of places) {
        const row = rows[k] as number;
        if (!isStraight(row)) here.set(gesture(row), (here.get(gesture(row)) ?? 0) + 1);
      }
      for (const [code, times] of here)
        if (times >= AGREED * places.length) bits += Math.min(MOST_BITS, Math.log2(all / (counts.get(code) as number)));
    }
    return bits;
  };
}

/** How widely a motif is said: its places and how many solos and keys they lie in. */
export const breadth = (apart: number, solos: number, keys: number): number =>
  Math.log2(apart) * Math.log2(1 + (solos + keys) / 2);
