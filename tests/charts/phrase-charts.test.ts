// Motifs along a solo, the relations of its phrases, and where they come from: as specs, and as pictures of every demo solo.
import { describe, expect, it } from 'vitest';
import { type Family, families } from '../../lib/analysis/family.js';
import { findMotifs } from '../../lib/analysis/motif.js';
import { relationsOf } from '../../lib/analysis/phrase-relation.js';
import { RELATION_KINDS } from '../../lib/analysis/phrase-relation-kinds.js';
import { familyTree } from '../../lib/charts/family-tree.js';
import { motifStrip } from '../../lib/charts/motif-strip.js';
import { relationMatrix } from '../../lib/charts/relation-matrix.js';
import { KIND_WORDS } from '../../lib/charts/relation-words.js';
import { textWidth } from '../../lib/charts/spec.js';
import { toneTable } from '../../lib/solo/tone-table.js';
import { demo, demoTable, made, madeTable } from '../analysis/made.js';
import { expectGolden, expectReadable, expectSound, rowsIn } from './spec-checks.js';

const LINE = 'e 5@3 5@2 8@2 7@2 q 5@2 - |';
const OTHER = 'e 5@4 7@4 5@3 7@3 q 5@2 - |';
/** Phrases of a bar each, two bars apart. */
const phrases = (...lines: readonly string[]) =>
  lines.map((line, i) => `phrase ${i + 1} "name ${i + 1}"\nat ${2 * i + 1} 1\n  ${line}\n`).join('');
const CHANGES = '1 C | F | G7 | C | C | F | G7 | C';

const table = madeTable(CHANGES, phrases(LINE, OTHER, LINE, 'e 7@3 7@2 10@2 9@2 q 7@2 - |'));
const [family] = families(table) as [Family];
const relations = relationsOf(table);
const motifs = findMotifs(table, { nullRuns: 0, leastSolos: 1, leastPlaces: 3 }).motifs;

const all = families(demoTable);
const related = relationsOf(demoTable);
const found = new Map(
  demoTable.players.map((player) => [player, findMotifs(demoTable, { where: { player }, nullRuns: 0 }).motifs]),
);

describe('the matrix of relations', () => {
  const spec = relationMatrix(relations, family);
  it('is the one on file', () => expectGolden('relation-matrix', spec));

  it('has a cell for each pair that is related, with the strongest relation and what it rests on', () => {
    const cells = rowsIn<{ row: number; column: number; text: string; count: string; about: string; strength: number }>(
      spec,
      'cells',
    );
    const best = (a: string, b: string) =>
      Math.max(...relations.filter((r) => r.a.phrase === a && r.b.phrase === b).map((r) => r.strength));
    for (const cell of cells) expect(cell.strength).toBeCloseTo(best(`${cell.column + 1}`, `${cell.row + 1}`), 3);
    expect(cells.map(({ row, column }) => `${column + 1} ${row + 1}`).sort()).toEqual(
      [...new Set(relations.map(({ a, b }) => `${a.phrase} ${b.phrase}`))].sort(),
    );
    // Phrase 3 is phrase 1 note for note; phrase 4 the same two frets up.
    expect(cells.find((c) => c.row === 2 && c.column === 0)).toMatchObject({ text: 'same', count: '5', strength: 1 });
    expect(cells.find((c) => c.row === 3 && c.column === 0)).toMatchObject({ text: 'moved', count: '5' });
    expect(cells[0]?.about).toMatch(/^phrase \d (is|has|opens|ends|contains|stands|varies|answers|repeats) /);
  });

  it('says the finding with n, and in words what each kind shown is', () => {
    expect(spec.title.text.join(' ')).toMatch(
      /^\d of 6 pairs of phrases are related; closest: 1 and 3 \(the same notes and times\)$/,
    );
    expect(spec.title.subtitle.join(' ')).toBe('How is each phrase related to those before it? n = 4 phrases, made');
    const notes = rowsIn<{ text: string }>(spec, 'notes')
      .map((n) => n.text)
      .join(' ');
    expect(notes).toContain('same: the same notes and times; moved: the same line from another note');
  });

  it('a word for each kind fits its cell, and no two are alike', () => {
    for (const kind of RELATION_KINDS) expect(textWidth(KIND_WORDS[kind][0], 12), kind).toBeLessThanOrEqual(56);
    expect(new Set(RELATION_KINDS.map((kind) => KIND_WORDS[kind][0])).size).toBe(RELATION_KINDS.length);
  });
});

describe('the family of a solo', () => {
  const spec = familyTree(family);
  it('is the one on file', () => expectGolden('family-tree', spec));

  it('shows each phrase with its label, and a line from each source', () => {
    const boxes = rowsIn<{ label: string; own: boolean; about: string }>(spec, 'boxes');
    expect(boxes.map(({ label }) => label).join(' ')).toBe(family.form);
    expect(boxes.map(({ own }) => own)).toEqual(family.phrases.map(({ source }) => !source));
    expect(rowsIn(spec, 'across')).toHaveLength(family.phrases.filter(({ source }) => source).length);
    expect(rowsIn<{ text: string }>(spec, 'kinds').map(({ text }) => text)).toEqual(
      family.phrases.flatMap(({ source }) => (source ? [KIND_WORDS[source.kind][0]] : [])),
    );
    expect(spec.title.text.join(' ')).toBe('2 of 4 phrases come from earlier ones, all of them directly from phrase 1');
  });

  it('no two level lines lie on one another, in any demo solo', () => {
    for (const own of all) {
      const lines = rowsIn<{ x: number; x2: number; y: number }>(familyTree(own), 'across');
      lines.forEach((a, i) => {
        for (const b of lines.slice(i + 1)) expect(a.y !== b.y || a.x2 <= b.x || b.x2 <= a.x, own.solo).toBe(true);
      });
    }
  });
});

describe('the strip of motifs', () => {
  const spec = motifStrip(table, 'made', motifs);
  it('is the one on file', () => expectGolden('motif-strip', spec));

  it('has a band for each place, which spans its tones', () => {
    expect(motifs.map((m) => m.places.map((p) => p.bar))).toEqual([[1, 5, 7]]);
    const bands = rowsIn<{ row: number; motif: number; x: number; x2: number; about: string }>(spec, 'bands');
    expect(bands.map(({ row, motif }) => [row, motif])).toEqual([
      [0, 1],
      [1, 1],
      [2, 1],
    ]);
    expect(bands[0]?.about).toBe('motif 1 in phrase 1, bar 1:1: C4 E4 G4 Gb4 E4');
    // Eight bars in 920 px: three quarters of a bar from its start.
    expect([bands[0]?.x, bands[0]?.x2]).toEqual([0, 86.3]);
    expect(rowsIn(spec, 'tones')).toHaveLength(15);
    expect(spec.title.text.join(' ')).toBe('Motif 1 comes 3 times, in 3 of 4 phrases');
    expect(spec.title.subtitle.join(' ')).toBe(
      'Where do motifs come back? n = 3 places of 1 motif in Made, Ada Fenwick',
    );
  });

  it('a solo without a place says so; a solo that is not there is refused', () => {
    expect(motifStrip(table, 'made', []).title.text).toEqual(['None of the motifs has a place here']);
    expect(() => motifStrip(table, 'other', [])).toThrow(RangeError);
  });

  it('every place in a demo solo has its band, split only where the row of bars ends', () => {
    for (const { id, solo } of demo) {
      const own = found.get(solo.player) ?? [];
      const bands = rowsIn<{ row: number }>(motifStrip(demoTable, id, own.slice(0, 8)), 'bands');
      const places = own.slice(0, 8).flatMap((m) => m.places.filter((p) => p.solo === id));
      expect(new Set(bands.map(({ row }) => row)).size, id).toBe(places.length);
    }
  });
});

describe('as pictures', () => {
  const long = toneTable([
    made(
      `1 C${' | %'.repeat(33)}`,
      Array.from(
        { length: 34 },
        (_, i) => `phrase ${i + 1} "a name that goes on and on ${i}"\nat ${i + 1} 1\n  ${i % 3 ? LINE : OTHER}\n`,
      ).join(''),
      'key: C major',
      'long',
    ),
  ]);
  const none = madeTable('1 C | F', '');
  const one = madeTable(CHANGES, phrases(LINE));

  it('every demo solo: a sound spec, no words clipped or on one another', { timeout: 60_000 }, async () => {
    for (const own of all) {
      const who = `${own.solo}, ${own.player}`;
      await expectReadable(`matrix of ${own.solo}`, relationMatrix(related, own, { who }));
      await expectReadable(`family of ${own.solo}`, familyTree(own, { who }));
      await expectReadable(`motifs of ${own.solo}`, motifStrip(demoTable, own.solo, found.get(own.player) ?? []));
    }
    const [own] = all as [Family];
    expectSound('matrix', relationMatrix(related, own));
    expectSound('family', familyTree(own));
    expectSound('motifs', motifStrip(demoTable, own.solo, found.get(own.player) ?? []));
  });

  it('of many phrases, of one and of none', async () => {
    const [many] = families(long) as [Family];
    const [single] = families(one) as [Family];
    const notes = (spec: ReturnType<typeof familyTree>) =>
      rowsIn<{ text: string }>(spec, 'notes')
        .map((n) => n.text)
        .join(' ');
    await expectReadable('matrix of many', relationMatrix(relationsOf(long), many));
    expect(notes(relationMatrix(relationsOf(long), many))).toContain('Not shown: 4 more phrases.');
    await expectReadable('family of many', familyTree(many));
    expect(notes(familyTree(many))).toContain('Not shown: 10 more phrases.');
    await expectReadable(
      'motifs of many',
      motifStrip(long, 'long', findMotifs(long, { nullRuns: 0, leastSolos: 1 }).motifs),
    );
    await expectReadable('matrix of one', relationMatrix([], single));
    await expectReadable('family of one', familyTree(single));
    expectSound('motifs of none', motifStrip(none, 'made', []));
    await expectReadable('motifs of none', motifStrip(none, 'made', []));
  });
});
