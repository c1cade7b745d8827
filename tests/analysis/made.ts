// Small solos made by hand, the demo corpus, and what the laws of all counted shares are.
import { expect } from 'vitest';
import type { ShareTable } from '../../lib/analysis/shares.js';
import { readCorpus } from '../../lib/intake/read-corpus.js';
import { parseSoloOrThrow } from '../../lib/notation/parser.js';
import { type NamedSolo, type ToneTable, toneTable } from '../../lib/solo/tone-table.js';

/** A solo of phrases over changes; in C major and 4/4 unless the head says otherwise. */
export const made = (changes: string, phrases: string, head = 'key: C major', id = 'made'): NamedSolo => ({
  id,
  solo: parseSoloOrThrow(
    `---\ntitle: Made\nplayer: Ada Fenwick\n${head}\ntempo: 100\n---\nchanges\n  ${changes}\n${phrases}`,
  ),
});

/** The tone table of one such solo. */
export const madeTable = (changes: string, phrases: string, head?: string): ToneTable =>
  toneTable([made(changes, phrases, head)]);

export const demo = readCorpus(['data/solos']).solos;
export const demoTable = toneTable(demo);
export const PLAYERS = ['Marla Quillfeather', 'Tobias Underlamp', 'Juno Brackwater'] as const;

/** Solos of any shape, renamed so that no two are called alike. */
export const asNamed = (solos: readonly NamedSolo['solo'][]): readonly NamedSolo[] =>
  solos.map((solo, i) => ({ id: `solo-${i}`, solo }));

/** Each item is in one row, rows add up to their group, groups to n; shares are counts over n, and lie within their intervals. */
export function keepsTheLaws(table: ShareTable, items: number): void {
  expect(table.n).toBe(items);
  expect(table.groups.reduce((sum, g) => sum + g.n, 0)).toBe(items);
  const seen = new Set(table.rows.flatMap((row) => [...row.items]));
  expect(seen.size).toBe(items);
  for (const group of table.groups) {
    const rows = table.rows.filter((row) => row.group === group.group);
    expect(rows.reduce((sum, row) => sum + row.count, 0)).toBe(group.n);
    expect([...group.bySolo.values()].reduce((sum, n) => sum + n, 0)).toBe(group.n);
    for (const row of rows) {
      expect(row.items).toHaveLength(row.count);
      expect([...row.bySolo.values()].reduce((sum, n) => sum + n, 0)).toBe(row.count);
      expect(row.share.share).toBeCloseTo(row.count / group.n, 12);
      const { low, high } = row.share;
      if (low === undefined || high === undefined) continue;
      expect(group.bySolo.size).toBeGreaterThanOrEqual(5);
      expect(low).toBeLessThan(row.share.share);
      expect(high).toBeGreaterThan(row.share.share);
    }
  }
}

/** Counts of a table as text, for tables whose solos stand in another order. */
export const plainRows = (table: ShareTable): readonly string[] =>
  table.rows
    .map((row) =>
      [...row.group, row.value, row.count, row.share.share.toFixed(9), row.share.low?.toFixed(9)].join(' | '),
    )
    .sort();

/** How often a value comes in a group. */
export const countOf = (table: ShareTable, group: readonly string[], value: string): number =>
  table.rows.find((row) => row.value === value && row.group.join() === group.join())?.count ?? 0;

/** The share of a value in a group. */
export const shareIn = (table: ShareTable, group: readonly string[], value: string): number =>
  countOf(table, group, value) / (table.groups.find((g) => g.group.join() === group.join())?.n ?? 0);
