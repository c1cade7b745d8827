// The family of a solo: nearest sources, the tree, the form in letters.
import { describe, expect, it } from 'vitest';
import { type FamilyNode, families } from '../../lib/analysis/family.js';
import { relationsOf } from '../../lib/analysis/phrase-relation.js';
import { toneTable } from '../../lib/solo/tone-table.js';
import { demo, demoTable, madeTable } from './made.js';

const all = families(demoTable);
const of = (solo: string) => all.find((family) => family.solo === solo);

describe('families', () => {
  it('every phrase comes from the nearest of the earlier ones, or is its own', () => {
    expect(of('five-bollards')?.form).toBe("A A A' A'' B A3 C A4");
    expect(of('five-bollards')?.phrases.map(({ source }) => source?.kind)).toEqual([
      undefined,
      'same',
      'transposed',
      'displaced',
      undefined, // ends as phrase 1 for 5 notes, but goes its own way before
      'same-shape-elsewhere',
      undefined,
      'stretched',
    ]);
    expect(of('winch-house')?.form).toBe("A B A' B A'' C B' B'' D A3");
    expect(of('winch-house')?.said).toBe(
      "10 phrases: 4 of their own, 6 come from earlier ones. Form: A B A' B A'' C B' B'' D A3.",
    );
    expect(of('brass-polish')?.said).toBe(
      '6 phrases: 6 of their own, none comes from an earlier one. Form: A B C D E F.',
    );
  });

  it('is the same from relations that are known already, those between solos among them', () => {
    const small = toneTable(demo.slice(0, 4));
    expect(families(small, { relations: relationsOf(small, { within: 'corpus' }) })).toEqual(families(small));
  });

  it('the tree holds every phrase once, under its source', () => {
    for (const { tree, phrases, form } of all) {
      const seen: string[] = [];
      const walk = (node: FamilyNode, under: string | undefined, depth: number) => {
        seen.push(node.member.phrase);
        expect(node.member.source?.a.phrase).toBe(under);
        expect(node.member.depth).toBe(depth);
        for (const child of node.children) walk(child, node.member.phrase, depth + 1);
      };
      for (const node of tree) walk(node, undefined, 0);
      expect(seen.sort()).toEqual(phrases.map(({ phrase }) => phrase).sort());
      expect(form.split(' ')).toHaveLength(phrases.length);
      for (const { source, phrase, label } of phrases) {
        if (!source) continue;
        const from = phrases.findIndex((p) => p.phrase === source.a.phrase);
        expect(from).toBeLessThan(phrases.findIndex((p) => p.phrase === phrase));
        expect(label.replace(/['\d].*/, '')).toBe(phrases[from]?.label.replace(/['\d].*/, ''));
      }
    }
  });

  it('groups of phrases that open, or end, with the same notes', () => {
    const tide = of('tide-table');
    expect(tide?.openings.map(({ count, from }) => [count, from.map(({ phrase }) => phrase).join()])).toEqual([
      [13, '1,7'],
      [11, '1,3,7'],
      [11, '2,4'],
    ]);
    expect(tide?.endings.map(({ count, from }) => [count, from.map(({ phrase }) => phrase).join()])).toContainEqual([
      10,
      '2,4',
    ]);
  });

  it('a bare rhythm, or too weak a relation, makes no source', () => {
    const rhythm = madeTable(
      '1 C7 | C7 | C7 | C7',
      'phrase 1\nat 1 1\n  e 8@2 10@2 8@1 10@1 q 8@1 e 10@2 8@2 |\nphrase 2\nat 3 1\n  e 5@2 8@2 5@2 6@2 q 9@2 e 8@3 5@4 |\n',
    );
    expect(families(rhythm)[0]?.form).toBe('A B');
    expect(families(demoTable, { leastStrength: 1 }).find(({ solo }) => solo === 'five-bollards')?.form).toBe(
      'A A B C D E F G',
    );
    expect(() => families(rhythm, { leastStrength: 2 })).toThrow('leastStrength is 2: give a number from 0 to 1');
    expect(families(toneTable([]))).toEqual([]);
  });

  it('more than 26 phrases of their own go on with AA', () => {
    const own = Array.from(
      { length: 28 },
      (_, k) => `phrase ${k + 1}\nat ${k + 1} 1\n  w ${k % 12}@${1 + (k % 5)} |\n`,
    );
    const form = families(madeTable(`1 ${Array(28).fill('C7').join(' | ')}`, own.join('')))[0]?.form;
    expect(form?.split(' ').slice(24)).toEqual(['Y', 'Z', 'AA', 'AB']);
  });
});
