// Edit distance and alignments: textbook values, a general library, and naive recursion.

import fc from 'fast-check';
import { distance } from 'fastest-levenshtein';
import { describe, expect, it } from 'vitest';
import {
  type Alignment,
  type AlignmentScores,
  editDistance,
  globalAlignment,
  localAlignment,
  ngramSimilarity,
} from '../../lib/math/alignment.js';

const edits = (from: string, to: string): number => editDistance(from.length, to.length, (a, b) => from[a] === to[b]);
const simple = (first: string, second: string, match: number, mismatch: number, gap: number): AlignmentScores => ({
  pair: (a, b) => (first[a] === second[b] ? match : mismatch),
  gap,
});
/** An alignment as two lines of text. */
const drawn = (first: string, second: string, { steps }: Alignment): readonly [string, string] => [
  steps.map((s) => (s.kind === 'insert' ? '-' : first[s.a])).join(''),
  steps.map((s) => (s.kind === 'delete' ? '-' : second[s.b])).join(''),
];

describe('outside values', () => {
  it.each([
    ['kitten', 'sitting', 3],
    ['Saturday', 'Sunday', 3],
    // D. Jurafsky and J. H. Martin, Speech and Language Processing, chapter on edit distance: 5 with all edits at 1.
    ['intention', 'execution', 5],
    ['', 'abc', 3],
    ['abc', '', 3],
    ['', '', 0],
  ])('%s to %s takes %i edits (textbook)', (from, to, n) => {
    expect(edits(from, to)).toBe(n);
  });

  it('Needleman-Wunsch with 1, -1, -1: GCATGCG and GATTACA score 0 (the usual textbook example)', () => {
    const [first, second] = ['GCATGCG', 'GATTACA'];
    const found = globalAlignment(7, 7, simple(first, second, 1, -1, -1));
    expect(found.score).toBe(0);
    // One of the three best alignments that the example lists.
    expect([
      ['GCATG-CG', 'G-ATTACA'],
      ['GCA-TGCG', 'G-ATTACA'],
      ['GCAT-GCG', 'G-ATTACA'],
    ]).toContainEqual(drawn(first, second, found));
  });

  it('Smith-Waterman with 3, -3, -2: TGTTACGG and GGTTGACTA share GTT-AC and GTTGAC, score 13 (textbook)', () => {
    const [first, second] = ['TGTTACGG', 'GGTTGACTA'];
    const found = localAlignment(8, 9, simple(first, second, 3, -3, -2));
    expect(found.score).toBe(13);
    expect(drawn(first, second, found)).toEqual(['GTT-AC', 'GTTGAC']);
  });

  it('Smith-Waterman with 2, -1, -1: ACACACTA and AGCACACA score 12 (textbook)', () => {
    const [first, second] = ['ACACACTA', 'AGCACACA'];
    expect(localAlignment(8, 8, simple(first, second, 2, -1, -1)).score).toBe(12);
  });

  it('the measure of Ukkonen on threes of steps: 0.8 (computed from its definition)', () => {
    expect(ngramSimilarity([2, 2, 1, 2, 2, 2, 1], [2, 2, 1, 2, 2, 1, 2], 3)).toBeCloseTo(0.8, 12);
  });
});

const word = fc.string({ unit: fc.constantFrom('a', 'b', 'c'), maxLength: 7 });
const scores = fc.record({
  table: fc.array(fc.integer({ min: -4, max: 5 }), { minLength: 9, maxLength: 9 }),
  gap: fc.integer({ min: -6, max: 1 }),
  furtherGap: fc.integer({ min: -4, max: 1 }),
});
const scoresOf = (first: string, second: string, s: { table: number[]; gap: number; furtherGap: number }) => ({
  pair: (a: number, b: number) => s.table['abc'.indexOf(first[a]!) * 3 + 'abc'.indexOf(second[b]!)]!,
  gap: s.gap,
  furtherGap: s.furtherGap,
});

/** The best score of what is left of both, by trying everything. Within a gap it is as good to open another one. */
function tryAll(aUntil: number, bUntil: number, s: Required<AlignmentScores>, i: number, j: number, last = ''): number {
  if (i === aUntil && j === bUntil) return 0;
  const gap = (kind: string): number => (last === kind ? Math.max(s.gap, s.furtherGap) : s.gap);
  return Math.max(
    i < aUntil && j < bUntil ? s.pair(i, j) + tryAll(aUntil, bUntil, s, i + 1, j + 1) : -Infinity,
    i < aUntil ? gap('delete') + tryAll(aUntil, bUntil, s, i + 1, j, 'delete') : -Infinity,
    j < bUntil ? gap('insert') + tryAll(aUntil, bUntil, s, i, j + 1, 'insert') : -Infinity,
  );
}

/** Adds up the steps, and sees that they go through both parts without a hole. */
function scoreOf(found: Alignment, s: Required<AlignmentScores>): number {
  let [i, j, last, score] = [found.aFrom, found.bFrom, '', 0];
  for (const step of found.steps) {
    if (step.kind !== 'insert') expect(step.a).toBe(i++);
    if (step.kind !== 'delete') expect(step.b).toBe(j++);
    if (step.kind === 'pair') score += s.pair(step.a, step.b);
    else score += step.kind === last ? Math.max(s.gap, s.furtherGap) : s.gap;
    last = step.kind;
  }
  expect([i, j]).toEqual([found.aUntil, found.bUntil]);
  return score;
}

describe('against naive code', () => {
  it('edit distance is that of a general library', () => {
    fc.assert(
      fc.property(fc.string({ maxLength: 20 }), fc.string({ maxLength: 20 }), (from, to) => {
        expect(edits(from, to)).toBe(distance(from, to));
      }),
    );
  });

  it('edit distance is the global alignment in which only alike pairs are free', () => {
    fc.assert(
      fc.property(word, word, (from, to) => {
        const { score } = globalAlignment(from.length, to.length, simple(from, to, 0, -1, -1));
        expect(edits(from, to)).toBe(score === 0 ? 0 : -score);
      }),
    );
  });

  it('a global alignment is the best of all, and its steps add up to its score', () => {
    fc.assert(
      fc.property(word, word, scores, (first, second, table) => {
        const s = scoresOf(first, second, table);
        const found = globalAlignment(first.length, second.length, s);
        expect(found.score).toBe(tryAll(first.length, second.length, s, 0, 0));
        expect(scoreOf(found, s)).toBe(found.score);
        expect([found.aFrom, found.aUntil, found.bFrom, found.bUntil]).toEqual([0, first.length, 0, second.length]);
      }),
    );
  });

  it('a local alignment is the best of all parts, and its steps add up to its score', () => {
    const short = fc.string({ unit: fc.constantFrom('a', 'b', 'c'), maxLength: 4 });
    fc.assert(
      fc.property(short, short, scores, (first, second, table) => {
        const s = scoresOf(first, second, table);
        const found = localAlignment(first.length, second.length, s);
        let best = 0;
        for (let i = 0; i <= first.length; i++)
          for (let iEnd = i; iEnd <= first.length; iEnd++)
            for (let j = 0; j <= second.length; j++)
              for (let jEnd = j; jEnd <= second.length; jEnd++) best = Math.max(best, tryAll(iEnd, jEnd, s, i, j));
        expect(found.score).toBe(best);
        expect(scoreOf(found, s)).toBe(best);
        if (best === 0) expect(found.steps).toEqual([]);
      }),
    );
  });

  it('n-gram similarity is 1 of a sequence with itself, the same both ways, and from 0 to 1', () => {
    const list = fc.array(fc.integer({ min: 0, max: 2 }), { maxLength: 10 });
    fc.assert(
      fc.property(list, list, fc.integer({ min: 1, max: 4 }), (a, b, n) => {
        expect(ngramSimilarity(a, a, n)).toBe(a.length < n ? undefined : 1);
        const both = ngramSimilarity(a, b, n);
        expect(ngramSimilarity(b, a, n)).toBe(both);
        if (both !== undefined) expect(both >= 0 && both <= 1).toBe(true);
      }),
    );
  });
});

describe('what is refused', () => {
  const pair = () => 1;
  it.each([
    [() => globalAlignment(1.5, 2, { pair, gap: -1 }), 'a sequence of 1.5 items'],
    [() => localAlignment(2 ** 14, 2 ** 14, { pair, gap: -1 }), 'too many to align'],
    [() => globalAlignment(2, 2, { pair, gap: Number.NaN }), 'gaps score NaN'],
    [() => globalAlignment(2, 2, { pair: () => Number.NaN, gap: -1 }), 'items 0 and 0 score NaN'],
    [() => ngramSimilarity([1], [1], 0), 'runs of 0 items'],
  ])('%s', (call, message) => {
    expect(call).toThrow(RangeError);
    expect(call).toThrow(message);
  });
});
