// Written time -> seconds as they are played: tempo, and the swing of the feel.
import { QUARTER, valueTicks } from '../foundation/time.js';
import { type Ticks, ticks } from '../foundation/units.js';
import type { Bar, BarGrid } from './changes.js';
import { gridOf, type Solo } from './solo.js';

/** Where written time falls in seconds. Later in writing is later in sound, always. */
export interface Clock {
  /** Seconds from the start of bar 0 to a tick. */
  seconds(at: Ticks): number;
  /** Seconds from the start of bar 0 to the start of the bar that holds a tick. */
  barSeconds(at: Ticks): number;
  /** Where a second falls, in ticks of even time: a swung off eighth is played later than it is written. A fraction. */
  evenTicks(seconds: number): number;
}

/** Slowest and fastest tempo that is played, in quarter notes a minute. */
export const TEMPO_RANGE = [20, 400] as const;

/** Ticks of a 64th of a quarter, the finest that halving gives. What falls beside them belongs to a tuplet. */
const BINARY = 315;

/**
 * The clock of a solo: the tempo of each bar, and swing. A value that swings stands in pairs, counted from the bar line; of each pair the first
 * takes long / (long + short) of the time, so that at 2:1 the off eighth comes at 2/3 of the beat, and what divides a half of the pair is stretched
 * with it. A pair in which a tuplet is written is played as written, and so is a meter whose beat is not made of such pairs (eighths in 12/8).
 * Swing by a ratio of long to short, and tuplets that stay even: common practice, no source.
 * @param tempo - Quarter notes a minute at the start, 20 to 400; later tempos change in proportion. Default: as written.
 * @throws RangeError if the tempo is none
 * @example
 * const swung = { ...parseSoloOrThrow(EXAMPLE_SOLO), tempo: 60, feel: { kind: 'swing', value: 'e', long: 2, short: 1 } }
 * clockOf(swung).seconds(ticks(QUARTER * 1.5)) // => about 1.667
 */
export function clockOf(solo: Solo, tempo: number = solo.tempo): Clock {
  const [slowest, fastest] = TEMPO_RANGE;
  if (!(tempo >= slowest && tempo <= fastest))
    throw new RangeError(`tempo ${tempo}: ${slowest} to ${fastest} quarter notes a minute expected`);
  const grid = gridOf(solo);
  const tuplets = tupletTicks(solo);
  const secondsPerTick = (bar: Bar): number => 60 / (bar.tempo * (tempo / solo.tempo)) / QUARTER;
  let here = 0; // the bar asked for last
  const starts: number[] = [0]; // seconds at which each bar starts
  const startOf = (number: number): number => {
    for (let n = starts.length; n <= number; n++) {
      const before = grid.bar(n - 1);
      starts.push((starts[n - 1] as number) + before.meter.barTicks * secondsPerTick(before));
    }
    return starts[number] as number;
  };
  return {
    seconds(at) {
      const { bar } = grid.place(at);
      return startOf(bar.number) + swung(at - bar.start, bar, tuplets) * secondsPerTick(bar);
    },
    barSeconds: (at) => startOf(grid.place(at).bar.number),
    evenTicks(seconds) {
      while (here > 0 && startOf(here) > seconds) here--;
      while (startOf(here + 1) <= seconds) here++;
      const bar = grid.bar(here);
      return bar.start + (seconds - startOf(here)) / secondsPerTick(bar);
    },
  };
}

/** A pair of values that swings: where in its bar it begins, its two written halves, and how long the first is played. */
interface Pair {
  readonly from: number;
  readonly half: number;
  readonly long: number;
}

/** The pair that an offset into a bar lies in; `undefined` where the bar does not swing. */
function pairAt(offset: number, { feel, meter }: Bar): Pair | undefined {
  if (feel.kind === 'straight') return undefined;
  const half = valueTicks({ letter: feel.value, dots: 0, n: 1, m: 1 }) as number;
  const pair = half * 2;
  if (meter.beatTicks % pair !== 0) return undefined;
  return { from: Math.floor(offset / pair) * pair, half, long: (pair * feel.long) / (feel.long + feel.short) };
}

/** The offset into a bar at which an offset is played. */
function swung(offset: number, bar: Bar, tuplets: readonly number[]): number {
  const pair = pairAt(offset, bar);
  if (!pair) return offset;
  const { from, half, long } = pair;
  if (anyWithin(tuplets, bar.start + from, bar.start + from + half * 2)) return offset;
  const within = offset - from;
  return from + (within < half ? (within / half) * long : long + ((within - half) / half) * (half * 2 - long));
}

/**
 * What played times were written as, in ticks of even time: the way back from {@link Clock.evenTicks} where bars swing.
 * @param asWritten where the pairs begin that hold tuplets, and so do not swing: see {@link pairsAsWritten}
 */
export function unswung(grid: BarGrid, asWritten: ReadonlySet<number>): (at: number) => number {
  return (at) => {
    const { bar } = grid.place(ticks(Math.max(0, Math.floor(at + 0.5))));
    const pair = pairAt(at - bar.start, bar);
    if (!pair || asWritten.has(bar.start + pair.from)) return at;
    const { from, half, long } = pair;
    const within = at - bar.start - from;
    return (
      bar.start + from + (within < long ? (within / long) * half : half + ((within - long) / (half * 2 - long)) * half)
    );
  };
}

/** Where the pairs begin that would swing, but hold a tuplet and are played as written. */
export function pairsAsWritten(solo: Solo): readonly Ticks[] {
  const grid = gridOf(solo);
  const found = new Set<number>();
  for (const at of tupletTicks(solo)) {
    const { bar, offset } = grid.place(ticks(at));
    const pair = pairAt(offset, bar);
    if (pair) found.add(bar.start + pair.from);
  }
  return [...found].map(ticks);
}

/** Every onset and end of a note that falls beside the places that halving a beat gives, in order. */
function tupletTicks(solo: Solo): readonly number[] {
  const grid = gridOf(solo);
  const found = new Set<number>();
  for (const phrase of solo.phrases)
    for (const note of phrase.notes)
      for (const at of [note.onset, ticks(note.onset + note.length)])
        if (grid.place(at).offset % BINARY !== 0) found.add(at);
  return [...found].sort((a, b) => a - b);
}

function anyWithin(sorted: readonly number[], from: number, to: number): boolean {
  let low = 0;
  let high = sorted.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if ((sorted[middle] as number) < from) low = middle + 1;
    else high = middle;
  }
  return low < sorted.length && (sorted[low] as number) < to;
}
