// The line of each phrase as events in time, cut where a rest is too long to think across: what viewpoints read.
import { QUARTER } from '../foundation/time.js';
import { type Ticks, ticks } from '../foundation/units.js';
import { FLAG, type ToneTable } from '../solo/tone-table.js';

/** Tones that begin together: the tone of the line, and all tones of the event from the highest string down. */
export interface LineEvent {
  /** The tone of the line, as a row of the tone table. */
  readonly row: number;
  /** All tones of the event, as rows, the line's own among them. */
  readonly rows: readonly number[];
  readonly onset: number;
  /** Where the tone of the line stops sounding. */
  readonly end: number;
}

/** A stretch of one phrase without a long rest. */
export interface LineSegment {
  /** Number of the solo in the tone table, and of the phrase in the solo. */
  readonly solo: number;
  readonly phrase: number;
  readonly events: readonly LineEvent[];
}

/** A rest longer than this cuts the line unless asked for otherwise: a half note. */
export const LONGEST_REST: Ticks = ticks(QUARTER * 2);

/**
 * The lines of all phrases in order of solos and time. Ornaments are left out. A rest longer than `longestRest` (from the end of one event to the onset
 * of the next) begins a new segment.
 * @example
 * const table = toneTable([{ id: 'two-doors-down', solo: parseSoloOrThrow(EXAMPLE_SOLO) }])
 * linesOf(table).map((s) => s.events.length) // => [5, 7]
 */
export function linesOf(table: ToneTable, longestRest: Ticks = LONGEST_REST): readonly LineSegment[] {
  const { columns: c } = table;
  const segments: LineSegment[] = [];
  let events: LineEvent[] = [];
  let solo = -1;
  let phrase = -1;
  const flush = () => {
    if (events.length > 0) segments.push({ solo, phrase, events });
    events = [];
  };
  let sounding = 0; // where all that has sounded so far stops
  for (let row = 0; row < table.rows; ) {
    if ((c.flags[row] as number) & FLAG.ornament) {
      row++;
      continue;
    }
    if (c.solo[row] !== solo || c.phrase[row] !== phrase) {
      flush();
      solo = c.solo[row] as number;
      phrase = c.phrase[row] as number;
    }
    const onset = c.onset[row] as number;
    if (events.length > 0 && onset - sounding > longestRest) flush();
    const rows: number[] = [];
    let line = row;
    let next = row;
    for (; next < table.rows && c.solo[next] === solo && c.phrase[next] === phrase && c.onset[next] === onset; next++) {
      if ((c.flags[next] as number) & FLAG.ornament) continue;
      rows.push(next);
      if ((c.flags[next] as number) & FLAG.line) line = next;
    }
    const ends = rows.map((r) => onset + (c.ticks[r] as number));
    sounding = Math.max(events.length === 0 ? 0 : sounding, ...ends);
    events.push({ row: line, rows, onset, end: onset + (c.ticks[line] as number) });
    row = next;
  }
  flush();
  return segments;
}

/** Every phrase as one segment: a rest inside does not cut it. */
export const wholePhrases = (table: ToneTable): readonly LineSegment[] =>
  linesOf(table, ticks(Number.MAX_SAFE_INTEGER));
