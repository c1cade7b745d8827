// Onsets of a MIDI file -> the grid that players write in, beat by beat; with how far they were moved, and whether that can be trusted.
import { QUARTER } from '../foundation/time.js';

/** Parts of a quarter that a beat is written in, and how far (squared, in quarters) onsets must lie nearer for a finer one to be taken. */
const GRIDS: readonly (readonly [parts: number, price: number])[] = [
  [1, 0],
  [2, 0.0002],
  [3, 0.0008],
  [4, 0.0006],
  [6, 0.002],
  [8, 0.002],
];
/** Grids on which nearly all onsets of a written score stand. */
const PLAIN_GRIDS: readonly number[] = [1, 2, 3, 4, 6, 8, 12];
/** Grids on which the others may stand. */
const EXACT_GRIDS: readonly number[] = [...PLAIN_GRIDS, 5, 7, 9, 16, 10, 14, 18, 24, 32, 48];
/** Grids whose lengths are taken as they are. */
const WRITTEN_GRIDS: readonly number[] = [...PLAIN_GRIDS, 5, 7, 9];
/** With this share of its beats on plain grids a file is a written score, no recording. */
const WRITTEN = 0.9;
/** An onset this far (in quarters) behind another that is put at the same place counts like so much distance squared. */
const COLLISION = 0.01;
/** Onsets nearer together than this (in quarters) may be one: a chord that was strummed. */
const TOGETHER = 0.06;

/** How onsets were put on the grid. */
export interface Placed {
  /** For each onset its place in ticks. */
  readonly places: readonly number[];
  /** For each onset whether it stood on the grid already. */
  readonly exact: readonly boolean[];
  /** How many were moved, and how far in ticks: the mean and the most. */
  readonly moved: number;
  readonly mean: number;
  readonly most: number;
  /** How closely the onsets gather about a grid: 1 on it (as all of a written score), about 0 strewn at random. */
  readonly fit: number;
}

/**
 * Puts onsets, ticks in order of time, on the grid of each quarter. Where nine beats of ten stand on plain grids as they are, the file is a written score,
 * and the rest may stand on finer ones or in tuplets; else it was played, and each beat gets the plain grid that fits best for how fine it is.
 * @param unit the smallest step of the file in ticks: an onset so near to a place stands on it
 * @example
 * toGrid([0, 10080, 20163, 27000], 21).places // => [0, 10080, 20160, 26880]
 */
export function toGrid(onsets: readonly number[], unit: number): Placed {
  const near = Math.max(1, unit * 1.01);
  const places = new Array<number>(onsets.length);
  const exact = new Array<boolean>(onsets.length);
  const beats: { readonly beat: number; readonly from: number; readonly own: readonly number[] }[] = [];
  for (let from = 0; from < onsets.length; ) {
    // An onset just before a beat belongs to it, unless it stands on a fine place of the beat before.
    const beat = Math.floor((onsets[from] as number) / QUARTER + 1e-9);
    let to = from;
    while (to < onsets.length && (onsets[to] as number) < (beat + 1) * QUARTER - 1e-6) to++;
    beats.push({ beat, from, own: onsets.slice(from, to).map((at) => at - beat * QUARTER) });
    from = to;
  }
  const standsOn = (grids: readonly number[], own: readonly number[]): number | undefined =>
    grids.find((parts) => own.every((at) => Math.abs(distance(at, parts)) <= near));
  // A whole tuplet does not come about by chance.
  const isWritten = (own: readonly number[]): boolean =>
    standsOn(PLAIN_GRIDS, own) !== undefined || (own.length >= 4 && standsOn([5, 7, 9], own) !== undefined);
  const isScore = beats.filter(({ own }) => isWritten(own)).length >= WRITTEN * beats.length;
  for (const { beat, from, own } of beats) {
    const written = isScore ? standsOn(EXACT_GRIDS, own) : undefined;
    const parts = written ?? bestGrid(own);
    own.forEach((at, i) => {
      places[from + i] = beat * QUARTER + Math.round((at * parts) / QUARTER) * (QUARTER / parts);
      exact[from + i] = written !== undefined;
    });
  }
  const off = onsets.map((at, i) => Math.abs(at - (places[i] as number)));
  const sum = off.reduce((a, b, i) => a + (exact[i] ? 0 : b), 0);
  return {
    places: places.map(Math.round),
    exact,
    moved: exact.filter((e) => !e).length,
    mean: onsets.length === 0 ? 0 : sum / onsets.length,
    most: off.reduce((a, b) => Math.max(a, b), 0),
    fit: isScore || onsets.length === 0 ? 1 : gathered(onsets),
  };
}

/** What swings stands on halvings of a quarter: on 64ths of it. */
const BINARY = QUARTER / 64;

/**
 * Onsets of a file of this project, which stand where they are written to the tick; where swing is taken out they stand on halvings of the quarter.
 * @param unswung the tick that is written where one is played
 */
export function toTicks(onsets: readonly number[], unswung: (at: number) => number): Placed {
  const places = onsets.map((at) => {
    const written = unswung(at);
    return written === at ? Math.round(at) : Math.round(written / BINARY) * BINARY;
  });
  return { places, exact: places.map(() => true), moved: 0, mean: 0, most: 0, fit: 1 };
}

/** How far an offset into a quarter lies from the nearest of so many parts, in ticks. */
const distance = (at: number, parts: number): number => at - Math.round((at * parts) / QUARTER) * (QUARTER / parts);

/** Parts of a quarter about whose places onsets may gather. */
const GATHERING = [1, 2, 3, 4];

/**
 * How closely onsets gather about the places of a grid, for the grid they suit best: 1 on them, about 0 strewn. It is the length of the mean of their
 * phases as unit vectors (circular statistics: Fisher, Statistical Analysis of Circular Data, 1993, from memory).
 */
function gathered(onsets: readonly number[]): number {
  return GATHERING.reduce((best, parts) => {
    let [x, y] = [0, 0];
    for (const at of onsets) {
      const phase = 2 * Math.PI * ((at * parts) / QUARTER);
      x += Math.cos(phase);
      y += Math.sin(phase);
    }
    return Math.max(best, Math.hypot(x, y) / onsets.length);
  }, 0);
}

function bestGrid(own: readonly number[]): number {
  let best = 1;
  let least = Number.POSITIVE_INFINITY;
  for (const [parts, price] of GRIDS) {
    let cost = price;
    own.forEach((at, i) => {
      cost += (distance(at, parts) / QUARTER) ** 2 / own.length;
      const before = own[i - 1];
      if (
        before !== undefined &&
        at - before > TOGETHER * QUARTER &&
        Math.round((at * parts) / QUARTER) === Math.round((before * parts) / QUARTER)
      )
        cost += COLLISION;
    });
    if (cost < least) {
      least = cost;
      best = parts;
    }
  }
  return best;
}

/**
 * A length in ticks as one that can be written: itself where it is one already, else the nearest multiple of a 32nd or of a sixteenth triplet.
 * @example
 * lengthOnGrid(9900) // => 10080
 */
export function lengthOnGrid(length: number): number {
  const to = (parts: number): number => Math.max(1, Math.round((length * parts) / QUARTER)) * (QUARTER / parts);
  const [even, three] = [to(8), to(6)];
  const written = WRITTEN_GRIDS.find(
    (parts) => Math.abs(distance(length, parts)) <= 1 && length * parts >= QUARTER / 2,
  );
  if (written !== undefined) return Math.round((length * written) / QUARTER) * (QUARTER / written);
  return Math.abs(even - length) <= Math.abs(three - length) ? even : three;
}
