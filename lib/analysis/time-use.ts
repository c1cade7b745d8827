// Sounding time split where the chord changes under a tone: what sounds over which chord, for how long.

import { cents, mod } from '../foundation/units.js';
import { countCells, type KeyColumn } from '../math/counting.js';
import { type ChordSpan, chordSpans, functionIn, hear, spanAt } from '../solo/harmony.js';
import { gridOf } from '../solo/solo.js';
import type { NamedSolo, ToneTable } from '../solo/tone-table.js';
import { DEGREE_NAMES } from '../theory/interval.js';
import { selection, type ToneFilter } from './grouping.js';

/** What the time can be divided by. */
export type TimeGrouping = 'player' | 'solo' | 'function' | 'chord' | 'quality';

/** The time of one degree in one group; `degree` is `none` where no chord rules. */
export interface TimeUseRow {
  readonly group: readonly string[];
  readonly degree: string;
  readonly semitones: number | undefined;
  readonly ticks: number;
}

/** Time over chords; the ticks of all rows add up to the sounding time of the tones counted. */
export interface TimeUse {
  readonly by: readonly TimeGrouping[];
  readonly rows: readonly TimeUseRow[];
  readonly ticks: number;
}

/**
 * Splits the sounding time of every tone at the chord changes it sounds through, and sums it by group and degree over the chord of each moment.
 * Ornaments are left out unless asked for.
 * @example
 * const table = toneTable([{ id: 'two-doors-down', solo: parseSoloOrThrow(EXAMPLE_SOLO) }])
 * timeUse(table).rows.filter((r) => r.group[0] === 'V').map((r) => [r.degree, r.ticks / QUARTER]) // => [['1', 2]]
 */
export function timeUse(
  table: ToneTable,
  options: { readonly by?: readonly TimeGrouping[]; readonly where?: ToneFilter; readonly ornaments?: boolean } = {},
): TimeUse {
  const { by = ['function'], where, ornaments } = options;
  const mask = selection(table, { where, ornaments, chordless: true });
  const { columns } = table;
  const labels = by.map(() => new Map<string, number>());
  const codes: number[][] = by.map(() => []);
  const degrees: number[] = [];
  const lengths: number[] = [];
  let row = 0;
  table.solos.forEach((named, s) => {
    const grid = gridOf(named.solo);
    const spans = chordSpans(named.solo, grid);
    for (; row < table.rows && columns.solo[row] === s; row++) {
      if (!mask[row]) continue;
      const onset = columns.onset[row] as number;
      const end = onset + (columns.ticks[row] as number);
      for (let k = spanAt(spans, onset); k < spans.length && (spans[k] as ChordSpan).start < end; k++) {
        const span = spans[k] as ChordSpan;
        const from = Math.max(onset, span.start);
        const key = grid.place(from as never).bar.key;
        const heard = hear(cents(columns.pitch[row] as number), span.chord, key, false);
        by.forEach((grouping, g) => {
          const text = valueFor(grouping, table, s, named, span, functionIn(key, span));
          const known = labels[g] as Map<string, number>;
          const code = known.get(text) ?? known.size;
          known.set(text, code);
          codes[g]?.push(code);
        });
        degrees.push(heard.overChord ? mod(heard.overChord.semitones, 12) : 12);
        lengths.push(Math.min(end, span.end) - from);
      }
    }
  });
  const keys: KeyColumn[] = codes.map((list, g) => ({
    codes: Int32Array.from(list),
    size: Math.max(1, (labels[g] as Map<string, number>).size),
  }));
  const cells = countCells([...keys, { codes: Uint8Array.from(degrees), size: 13 }], {
    weights: Int32Array.from(lengths),
  });
  const names = labels.map((known) => [...known.keys()]);
  const rows = Array.from({ length: cells.cells }, (_, c): TimeUseRow => {
    const semitones = cells.codes[by.length]?.[c] as number;
    return {
      group: names.map((list, g) => list[cells.codes[g]?.[c] as number] as string),
      degree: semitones === 12 ? 'none' : (DEGREE_NAMES[semitones] as string),
      semitones: semitones === 12 ? undefined : semitones,
      ticks: cells.sums[c] as number,
    };
  });
  return { by, rows, ticks: rows.reduce((sum, r) => sum + r.ticks, 0) };
}

function valueFor(
  grouping: TimeGrouping,
  table: ToneTable,
  s: number,
  named: NamedSolo,
  span: ChordSpan,
  numeral: string,
): string {
  if (grouping === 'player') return table.players[table.playerOfSolo[s] as number] as string;
  if (grouping === 'solo') return named.id;
  if (grouping === 'function') return numeral;
  if (grouping === 'quality') return span.chord?.quality ?? 'none';
  return span.kind === 'pickup' ? 'pickup' : span.symbol;
}
