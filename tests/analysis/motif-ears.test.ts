// The ranking of motifs against a listener's: twenty pairs judged without the scores, by other ears than those the formula was made by.
import { readFileSync } from 'node:fs';
import { expect, it } from 'vitest';
import { findMotifs } from '../../lib/analysis/motif.js';
import type { Motif } from '../../lib/analysis/motif-kinds.js';
import { viewpoint } from '../../lib/analysis/viewpoint.js';
import { readCorpus } from '../../lib/intake/read-corpus.js';
import { toneTable } from '../../lib/solo/tone-table.js';

interface Side {
  readonly symbols: readonly string[];
}
interface Pair {
  readonly player: string;
  readonly viewpoint: string;
  readonly a: Side;
  readonly b: Side;
  readonly sooner: 'a' | 'b';
}

it('agrees with the listener on sixteen pairs of twenty at the least', () => {
  const { pairs } = JSON.parse(readFileSync('tests/worked/motif-pairs.json', 'utf8')) as { pairs: readonly Pair[] };
  const table = toneTable(readCorpus(['data/solos']).solos);
  const lists = new Map<string, readonly Motif[]>();
  let agreed = 0;
  for (const { player, viewpoint: as, a, b, sooner } of pairs) {
    const key = `${player} ${as}`;
    const motifs =
      lists.get(key) ?? findMotifs(table, { where: { player }, viewpoint: viewpoint(as), nullRuns: 0 }).motifs;
    lists.set(key, motifs);
    const rank = ({ symbols }: Side) => motifs.findIndex((m) => m.symbols.join(' ') === symbols.join(' '));
    expect([rank(a), rank(b)], key).not.toContain(-1);
    if ((rank(a) < rank(b) ? 'a' : 'b') === sooner) agreed++;
  }
  expect(pairs.length).toBe(20);
  expect(agreed).toBeGreaterThanOrEqual(16);
});
