// The bars of a place as tab.
import type { MotifPlace } from '../analysis/motif-kinds.js';
import type { NamedSolo, ToneTable } from '../solo/tone-table.js';
import { type TabOptions, tabText } from './tab-text.js';

/**
 * The bars of its phrase that a place of a motif spans, as plain tab, with a `^` below each of its tones.
 * @param options those of `tabText` but for what the place gives
 * @example
 * const line = 'e 5@3 5@2 8@2 7@2 q 5@2 - |'
 * const text = '---\ntitle: Three Doors\nplayer: Ada Fenwick\nkey: C major\ntempo: 96\n---\nchanges\n  1 C\n' + `phrase 1\nat 1 1\n  ${line}\n`
 * const table = toneTable(['a', 'b', 'c'].map((id) => ({ id, solo: parseSoloOrThrow(text) })))
 * const [motif] = findMotifs(table, { nullRuns: 0 }).motifs
 * motifTab(table, motif.places[0]).split('\n')[0] // => 'phrase 1, bar 1'
 */
export function motifTab(
  table: ToneTable,
  place: MotifPlace,
  options: Omit<TabOptions, 'phrase' | 'bars' | 'marked'> = {},
): string {
  const { solo } = table.solos[place.soloNumber] as NamedSolo;
  const last = place.rows[place.rows.length - 1] as number;
  return tabText(solo, {
    ...options,
    phrase: place.phrase,
    marked: new Set(place.rows.map((row) => table.columns.onset[row] as number)),
    bars: [place.bar, table.columns.bar[last] as number],
  }).trimEnd();
}
