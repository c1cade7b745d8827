// Where strings sound together under one chord, and where a line spells a triad: the places an implied chord can be asked of.
import { QUARTER } from '../foundation/time.js';
import { mod, type Ticks, ticks } from '../foundation/units.js';
import type { BarGrid } from '../solo/changes.js';
import { type ChordSpan, chordSpans, spanAt, spanOfTone } from '../solo/harmony.js';
import { gridOf } from '../solo/solo.js';
import { FLAG, hasFlag, type ToneTable } from '../solo/tone-table.js';

/** Strings that sound together for less than this, a sixteenth, imply no chord. */
export const SHORTEST_TOGETHER: Ticks = ticks(QUARTER / 4);

/** Tones that are heard as one chord, and where. */
export interface Together {
  /** `together`: two strings or more sound at once; `broken`: tones of the line, one after the other. */
  readonly kind: 'together' | 'broken';
  /** Number of the solo in the tone table. */
  readonly solo: number;
  readonly start: Ticks;
  readonly end: Ticks;
  /** Rows of the tone table: together from low to high, broken in order of time. */
  readonly rows: readonly number[];
  /** The stretch of one chord that they are heard against. */
  readonly span: ChordSpan;
}

/** A solo of a table with what is found out about it once. */
interface Scene {
  readonly table: ToneTable;
  readonly solo: number;
  readonly grid: BarGrid;
  readonly spans: readonly ChordSpan[];
}

/** What to look for. */
export interface TogetherOptions {
  /** Hear strings struck together an eighth or less before a change, and held over it as long at least, against the new chord. Default false. */
  readonly anticipation?: boolean;
  /** Look for broken chords in the line too. Default false. */
  readonly broken?: boolean;
}

/**
 * Every stretch of a sixteenth or longer in which the same two tones or more sound on, two different pitch classes among them, under one chord symbol;
 * in order of solos and time. Ringing strings and held bends sound; graces and other ornaments do not. A new tone, or one that stops, begins
 * a new stretch, and so does a new chord.
 * @example
 * const text = '---\ntitle: Sixths\nplayer: Ada Fenwick\nkey: C major\ntempo: 96\n---\nchanges\n  1 C | F\nphrase 1\nat 1 1\n  h 5@3+3@1 4@3 |\n  w 5@4+5@3 |\n'
 * const table = toneTable([{ id: 'sixths', solo: parseSoloOrThrow(text) }])
 * togetherIn(table).map((t) => [t.span.symbol, t.rows.map((row) => toneName(table, row)).join(' ')]) // => [['C', 'C4 G4'], ['F', 'G3 C4']]
 */
export function togetherIn(table: ToneTable, options: TogetherOptions = {}): readonly Together[] {
  const { columns: c, rows } = table;
  const found: Together[] = [];
  let row = 0;
  table.solos.forEach(({ solo }, s) => {
    const grid = gridOf(solo);
    const scene: Scene = { table, solo: s, grid, spans: chordSpans(solo, grid) };
    const from = found.length;
    while (row < rows && c.solo[row] === s) {
      const phrase = c.phrase[row];
      const tones: number[] = [];
      for (; row < rows && c.solo[row] === s && c.phrase[row] === phrase; row++)
        if (!hasFlag(table, row, 'ornament')) tones.push(row);
      sweep(scene, tones, options.anticipation === true, found);
      if (options.broken) spellTriads(scene, tones, found);
    }
    if (options.broken)
      found.push(...found.splice(from).sort((a, b) => a.start - b.start || a.rows.length - b.rows.length));
  });
  return found;
}

const classOf = (table: ToneTable, row: number): number =>
  mod(Math.floor((table.columns.pitch[row] as number) / 100), 12);
const endOf = (table: ToneTable, row: number): number =>
  (table.columns.onset[row] as number) + (table.columns.ticks[row] as number);

/** Goes through a phrase from one beginning or end of a tone to the next: between two of them the same strings sound. */
function sweep(scene: Scene, tones: readonly number[], anticipation: boolean, found: Together[]): void {
  const { table } = scene;
  const edges = new Set<number>();
  for (const row of tones) edges.add(table.columns.onset[row] as number).add(endOf(table, row));
  const times = [...edges].sort((a, b) => a - b);
  let next = 0;
  let sounding: number[] = [];
  times.forEach((start, k) => {
    sounding = sounding.filter((row) => endOf(table, row) > start);
    for (; next < tones.length && table.columns.onset[tones[next] as number] === start; next++)
      sounding.push(tones[next] as number);
    const end = times[k + 1];
    if (end === undefined || sounding.length < 2 || new Set(sounding.map((row) => classOf(table, row))).size < 2)
      return;
    const rows = [...sounding].sort(
      (a, b) => (table.columns.pitch[a] as number) - (table.columns.pitch[b] as number) || b - a,
    );
    divide(scene, rows, start, end, anticipation, found);
  });
}

/** Divides a stretch at the chord changes; with anticipation a push goes to the new chord whole. */
function divide(
  scene: Scene,
  rows: readonly number[],
  start: number,
  end: number,
  anticipation: boolean,
  found: Together[],
): void {
  const { spans, solo } = scene;
  let k = spanOfTone(spans, start, end - start, anticipation);
  for (let from = start; from < end; k++) {
    const span = spans[k] as ChordSpan;
    const to = Math.min(end, span.end);
    if (to - from >= SHORTEST_TOGETHER)
      found.push({ kind: 'together', solo, start: ticks(from), end: ticks(to), rows, span });
    from = to;
  }
}

/** The triads as pitch classes above each possible root, as bits: major, minor, diminished, augmented. */
const TRIADS: ReadonlySet<number> = new Set(
  [
    [0, 4, 7],
    [0, 3, 7],
    [0, 3, 6],
    [0, 4, 8],
  ].flatMap((triad) =>
    Array.from({ length: 12 }, (_, root) => triad.reduce((bits, above) => bits | (1 << mod(root + above, 12)), 0)),
  ),
);

/** Runs of the line that go through one triad, every three successive tones within two beats and under one chord. */
function spellTriads(scene: Scene, tones: readonly number[], found: Together[]): void {
  const { table, spans, grid, solo } = scene;
  const { onset, flags, pitch } = table.columns;
  const line = tones.filter((row) => (flags[row] as number) & FLAG.line);
  const at = (i: number): number => onset[line[i] as number] as number;
  const bit = (i: number): number =>
    (pitch[line[i] as number] as number) % 100 === 0 ? 1 << classOf(table, line[i] as number) : 0;
  const isClose = (i: number, span: number): boolean =>
    at(i) - at(i - 2) <= 2 * grid.place(ticks(at(i - 2))).bar.meter.beatTicks && spanAt(spans, at(i)) === span;
  for (let i = 0; i + 2 < line.length; i++) {
    const triad = bit(i) | bit(i + 1) | bit(i + 2);
    const span = spanAt(spans, at(i));
    if (!TRIADS.has(triad) || bit(i) === 0 || bit(i + 1) === 0 || bit(i + 2) === 0 || !isClose(i + 2, span)) continue;
    let last = i + 2;
    while (last + 1 < line.length && (bit(last + 1) & triad) !== 0 && isClose(last + 1, span)) last++;
    const rows = line.slice(i, last + 1);
    found.push({
      kind: 'broken',
      solo,
      start: ticks(at(i)),
      end: ticks(endOf(table, line[last] as number)),
      rows,
      span: spans[span] as ChordSpan,
    });
    i = last - 2; // the next may begin with the last two tones of this one
  }
}
