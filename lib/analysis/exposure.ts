// How many bars of each chord lie under the solos, rests included: what an interval count is measured against.
import { type ChordSpan, chordSpans, functionIn } from '../solo/harmony.js';
import { gridOf, type Solo } from '../solo/solo.js';
import type { ToneTable } from '../solo/tone-table.js';
import { keyText } from '../theory/scale.js';
import { type Grouping, inFull, passesFilter, type ToneFilter } from './grouping.js';

/** A stretch of one chord in one key under one solo, in bars. */
export interface ChordStretch {
  readonly chord: string;
  readonly function: string;
  readonly quality: string;
  readonly key: string;
  readonly bars: number;
}

/** All chords laid out under a solo, bar by bar, from its first chord to the end of its changes. */
export function stretchesOf(solo: Solo): readonly ChordStretch[] {
  const grid = gridOf(solo);
  const spans = chordSpans(solo, grid);
  const result: ChordStretch[] = [];
  const { firstBar, bars } = solo.changes;
  let s = 0;
  for (let i = 0; i < bars.length; i++) {
    const bar = grid.bar(firstBar + i);
    const end = bar.start + bar.meter.barTicks;
    while (s + 1 < spans.length && (spans[s + 1] as ChordSpan).start <= bar.start) s++;
    for (let k = s; k < spans.length && (spans[k] as ChordSpan).start < end; k++) {
      const span = spans[k] as ChordSpan;
      const length = Math.min(span.end, end) - Math.max(span.start, bar.start);
      if (!span.chord || length <= 0) continue;
      result.push({
        chord: span.symbol,
        function: functionIn(bar.key, span),
        quality: span.chord.quality,
        key: keyText(bar.key),
        bars: length / bar.meter.barTicks,
      });
    }
  }
  return result;
}

/** Groupings that chords under a solo have, beside the solo and its player. */
const OF_CHORDS = ['key', 'function', 'chord', 'quality'] as const;

/**
 * Bars of exposure by the values of some groupings, under the solos and chords that a filter lets through. Groupings and filters that belong to tones
 * only (position, attack and the like) do not divide it.
 * The key of the result joins the values with a character that no label holds.
 */
export function exposureBy(
  table: ToneTable,
  groupings: readonly Grouping[],
  where: ToneFilter = {},
): ReadonlyMap<string, number> {
  const sums = new Map<string, number>();
  const filter = inFull(table, where);
  table.solos.forEach(({ id, solo }, s) => {
    const player = table.players[table.playerOfSolo[s] as number] as string;
    if (!passesFilter(filter, { player, solo: id })) return;
    for (const stretch of stretchesOf(solo)) {
      if (!passesFilter(filter, { ...stretch })) continue;
      const key = exposureKey(groupings, (g) => {
        if (g === 'player') return player;
        if (g === 'solo') return id;
        return (OF_CHORDS as readonly string[]).includes(g) ? stretch[g as (typeof OF_CHORDS)[number]] : undefined;
      });
      sums.set(key, (sums.get(key) ?? 0) + stretch.bars);
    }
  });
  return sums;
}

/** The key under which {@link exposureBy} files a group. */
export function exposureKey(
  groupings: readonly Grouping[],
  valueFor: (grouping: Grouping) => string | undefined,
): string {
  return groupings
    .filter((g) => g === 'player' || g === 'solo' || (OF_CHORDS as readonly string[]).includes(g))
    .map((g) => valueFor(g) ?? '')
    .join('\u0000');
}
