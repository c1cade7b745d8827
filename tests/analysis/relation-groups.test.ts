// Groups without comparing all pairs: expanded, they are what comparing all pairs finds; and how the work grows.
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { relationsOf } from '../../lib/analysis/phrase-relation.js';
import { RELATION_KINDS } from '../../lib/analysis/phrase-relation-kinds.js';
import { expandGroups } from '../../lib/analysis/relation-expand.js';
import { relationGroups } from '../../lib/analysis/relation-groups.js';
import { createRandom } from '../../lib/foundation/random.js';
import { toneTable } from '../../lib/solo/tone-table.js';
import { demoTable } from './made.js';
import { type MadeNote, madeSolo, relatedCorpora } from './made-phrases.js';

const WITHIN = ['solo', 'player', 'corpus'] as const;

describe('expanded groups', () => {
  it.each(WITHIN)('are the relations of all pairs of the demo, within one %s', (within) => {
    expect(expandGroups(demoTable, relationGroups(demoTable, { within }))).toEqual(relationsOf(demoTable, { within }));
  });

  it('are the relations of all pairs of any corpus, of all kinds', () => {
    const seen = new Set<string>();
    let delayed = 0;
    fc.assert(
      fc.property(relatedCorpora, fc.constantFrom(...WITHIN), (solos, within) => {
        const table = toneTable(solos);
        const expected = relationsOf(table, { within });
        for (const { kind, viewpoint } of expected) {
          seen.add(kind);
          if (kind === 'ornamented' && viewpoint !== 'pitch+durations') delayed++;
        }
        expect(expandGroups(table, relationGroups(table, { within }))).toEqual(expected);
      }),
      { numRuns: 300, seed: 7 },
    );
    expect([...seen].sort()).toEqual([...RELATION_KINDS].sort()); // or the test would say little
    expect(delayed).toBeGreaterThan(20);
  });
});

describe('a group', () => {
  const { groups, pairs } = relationGroups(demoTable);
  it('says what it is, how many share it, and where', () => {
    const riff = groups.find(({ kind, from }) => kind === 'same' && from[0]?.solo === 'five-bollards');
    expect(riff).toMatchObject({ viewpoint: 'pitch+durations', extent: 'whole', count: 7 });
    expect(riff?.from.map(({ phrase }) => phrase)).toEqual(['1', '2', '4']);
    expect(riff?.said).toBe('3 phrases are alike: 7 notes, in one rhythm');
    const nested = groups.filter(({ kind, from }) => kind === 'same-opening' && from[0]?.solo === 'tide-table');
    expect(nested.map(({ count, from }) => [count, from.map(({ phrase }) => phrase)])).toEqual([
      [13, ['1', '7']],
      [11, ['1', '3', '7']],
      [11, ['2', '4']],
    ]);
  });
  it('holds two phrases or more; all kinds asked for and no others', () => {
    for (const { from, into, count } of groups) {
      expect(new Set([...from, ...into].map(({ solo, phrase }) => `${solo} ${phrase}`)).size).toBeGreaterThan(1);
      expect(count).toBeGreaterThanOrEqual(4);
    }
    const some = relationGroups(demoTable, { kinds: ['transposed', 'varied'] });
    expect(new Set(some.groups.map(({ kind }) => kind))).toEqual(new Set(['transposed']));
    expect(some.pairs).toEqual(pairs.filter(({ kind }) => kind === 'varied'));
  });
  it('is the same whatever else is asked for', () => {
    expect(relationGroups(demoTable, { kinds: ['contains'] }).groups).toEqual(
      groups.filter(({ kind }) => kind === 'contains'),
    );
    expect(relationGroups(toneTable([]))).toEqual({ groups: [], pairs: [] });
  });
});

describe('many phrases', () => {
  /** Phrases of random notes of a box, one in four a copy of an earlier one of the same theme. */
  function many(phrases: number) {
    const random = createRandom(11);
    const made = (): MadeNote[] =>
      Array.from({ length: 8 + random.int(9) }, () => ({
        fret: [5, 7, 8][random.int(3)] as number,
        string: 1 + random.int(4),
        sixteenths: [2, 2, 2, 4, 6][random.int(5)] as number,
      }));
    const all: MadeNote[][] = [];
    for (let p = 0; p < phrases; p++) {
      const source = p > 20 && random.int(4) === 0 ? all[p - 1 - random.int(20)] : undefined;
      all.push(source ? source.map((n, k) => (k === source.length - 2 ? { ...n, fret: 9 } : n)) : made());
    }
    return toneTable(
      Array.from({ length: phrases / 20 }, (_, s) =>
        madeSolo(
          `s${s}`,
          `Player ${s % 10}`,
          all.slice(s * 20, s * 20 + 20).map((notes) => ({ after: 4, notes })),
          ['C7', 'F7'],
        ),
      ),
    );
  }

  it('two riffs of a thousand places: groups at once; their pairs are refused with a remedy', () => {
    const riff: MadeNote[] = [8, 10, 8, 6, 5, 8, 10, 8, 6, 5, 3].map((n, k) => ({
      fret: n,
      string: 2,
      sixteenths: k === 4 ? 4 : 2,
    }));
    const other = riff.map((n, k) => (k === 5 ? { ...n, fret: 5 } : n));
    const phrases = Array.from({ length: 1000 }, (_, k) => ({ after: 4, notes: k % 2 === 0 ? riff : other }));
    const table = toneTable([madeSolo('riffs', 'Ada Fenwick', phrases, ['C7'])]);
    expect(
      relationGroups(table, { kinds: ['same', 'same-opening'] }).groups.map(({ from, count }) => [from.length, count]),
    ).toEqual(
      expect.arrayContaining([
        [500, 11],
        [1000, 5],
      ]),
    );
    expect(() => relationGroups(table)).toThrow(
      'more than 100000 pairs of phrases may be variations of each other: ask within one player or one solo',
    );
  });

  it('a thousand phrases: as all pairs say, and most pairs are never looked at', () => {
    const few = many(200);
    expect(expandGroups(few, relationGroups(few))).toEqual(relationsOf(few, { within: 'corpus' }));
    const table = many(1000);
    const { groups, pairs } = relationGroups(table);
    expect(groups.length + pairs.length).toBeGreaterThan(200);
    expect(groups.length + pairs.length).toBeLessThan(10_000); // of 499,500 pairs
  });
});
