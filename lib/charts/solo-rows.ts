// A solo in rows of bars: which bars stand in which row, where a moment falls in it, and how time and pitch become px.
import { type Ticks, ticks } from '../foundation/units.js';
import type { Bar, BarGrid } from '../solo/changes.js';
import type { Solo } from '../solo/solo.js';

/** One row of bars. */
export interface SoloRow {
  readonly bars: readonly Bar[];
  /** Ticks that the row shows; the first row may begin within the pickup bar, at the beat of its first note. */
  readonly from: Ticks;
  readonly to: Ticks;
  /** Where it begins, in px from the left edge of the plot: bars of all rows stand under each other, the pickup before them. */
  readonly x: number;
}

/** All rows. */
export interface SoloRows {
  readonly rows: readonly SoloRow[];
  /** Px of one tick. */
  readonly scale: number;
}

/** Bars in a row. */
export const BARS_IN_ROW = { least: 1, usual: 4, most: 8 } as const;

/**
 * Lays a solo out in rows: from its first bar with a chord or a note to its last.
 * @param width of the widest row, px
 * @example
 * const solo = parseSoloOrThrow(EXAMPLE_SOLO)
 * soloRows(solo, gridOf(solo), 4, 900).rows.map((row) => row.bars.map((bar) => bar.number)) // => [[0, 1, 2, 3, 4]]
 */
export function soloRows(solo: Solo, grid: BarGrid, barsInRow: number, width: number): SoloRows {
  const { firstBar, bars } = solo.changes;
  const sounding = solo.phrases.filter((p) => p.notes.length > 0);
  const onsets = sounding.flatMap((p) => p.notes.map((note) => note.onset));
  const ends = sounding.flatMap((p) => p.notes.map((note) => note.onset + Math.max(1, note.length)));
  const firstNote = onsets.reduce((least, at) => Math.min(least, at), Number.POSITIVE_INFINITY);
  const lastEnd = ends.reduce((most, at) => Math.max(most, at), 0);
  const opening = Number.isFinite(firstNote) ? grid.place(ticks(firstNote)).bar : undefined;
  const firsts = [...(bars.length > 0 ? [firstBar as number] : []), ...(opening ? [opening.number as number] : [])];
  const lasts = [
    ...(bars.length > 0 ? [firstBar + bars.length - 1] : []),
    ...(opening ? [grid.place(ticks(lastEnd - 1)).bar.number as number] : []),
  ];
  if (firsts.length === 0) return { rows: [], scale: 1 };
  const first = Math.min(...firsts);
  const last = Math.max(...lasts);
  const pickup = first === 0 ? grid.bar(0) : undefined;
  const all = Array.from({ length: last - first + 1 }, (_, i) => grid.bar(first + i)).filter((bar) => bar !== pickup);
  const chunks: Bar[][] = [];
  for (let i = 0; i < all.length; i += barsInRow) chunks.push(all.slice(i, i + barsInRow));
  const beat = pickup ? pickup.meter.beatTicks : 1;
  const from = pickup
    ? pickup.start +
      Math.floor((Math.min(firstNote, pickup.start + pickup.meter.barTicks - 1) - pickup.start) / beat) * beat
    : 0;
  const lead = pickup ? pickup.start + pickup.meter.barTicks - from : 0;
  const lengthOf = (chunk: readonly Bar[]) => chunk.reduce((sum, bar) => sum + bar.meter.barTicks, 0);
  const scale = width / (lead + Math.max(0, ...chunks.map(lengthOf)));
  if (pickup && chunks.length === 0) chunks.push([]);
  const rows = chunks.map((chunk, i): SoloRow => {
    const start = chunk[0]?.start ?? ticks(from + lead);
    const own = i === 0 ? lead : 0;
    return {
      bars: i === 0 && pickup ? [pickup, ...chunk] : chunk,
      from: ticks(start - own),
      to: ticks(start + lengthOf(chunk)),
      x: i === 0 ? 0 : lead * scale,
    };
  });
  return { rows, scale };
}

/** Where a tick falls in a row, px. */
export const xIn = ({ scale }: SoloRows, row: SoloRow, at: number): number => row.x + (at - row.from) * scale;

/** Index of the row that shows a tick; -1 where none does. */
export const rowAt = ({ rows }: SoloRows, at: number): number => rows.findIndex((row) => at >= row.from && at < row.to);
