// Motifs as sets of points: the plants of the demo that keep their rhythm, and repeats with other tones between.
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Motif } from '../../lib/analysis/motif-kinds.js';
import { pointSetMotifs } from '../../lib/analysis/motif-points.js';
import { motifInWords } from '../../lib/analysis/motif-words.js';
import { toneTable } from '../../lib/solo/tone-table.js';
import { demoTable, made } from './made.js';
import { madeSolo } from './made-phrases.js';

const steps = (m: Motif) => m.symbols.map((s) => s.split('|')[0]).join(' ');

describe('the plants of the demo (data/players.md)', () => {
  it('Marla: the latch at the 7 places that have the plain rhythm heads her list', () => {
    const [first] = pointSetMotifs(demoTable, { where: { player: 'Marla' } }).motifs as [Motif];
    expect([steps(first), first.places.length, first.solos, first.compactness]).toEqual(['400 500 -200 -300', 7, 3, 1]);
    expect(first.symbols.every((s) => s.endsWith('|10080'))).toBe(true);
  });
  it('Tobias: three knocks and the gangplank', () => {
    const [first, second] = pointSetMotifs(demoTable, { where: { player: 'Tobias' } }).motifs as [Motif, Motif];
    expect(steps(first)).toMatch(/^0 0 350 -350 -300/);
    expect([steps(second), second.places.length, second.solos]).toEqual(['200 500 -150 -350 -300 300', 7, 5]);
  });
  it('Juno: the gangplank at its 16 places, 11 of them with the tone that follows', () => {
    const { motifs } = pointSetMotifs(demoTable, { where: { player: 'Juno' } });
    const own = motifs.filter((m) => steps(m).startsWith('500 200 -400 -300'));
    expect(own.map((m) => m.places.length)).toEqual([11, 5]);
    expect(own[0]).toBe(motifs[0]);
  });
});

describe('other tones between', () => {
  const line = (id: string, text: string) => made('1 C', `phrase 1\nat 1 1\n  ${text} |\n`, undefined, id);
  it('a repeat with passing tones in sixteenths is the same motif, less compact', () => {
    const table = toneTable([
      line('plain', 'e 5@3 5@2 8@2 7@2 q 5@2 3@2'),
      line('passing', 'e 7@3 s 7@2 8@2 s 10@2 8@2 e 9@2 q 7@2 5@2'),
    ]);
    const [motif] = pointSetMotifs(table).motifs as [Motif];
    expect([motif.tones, motif.apart, motif.solos]).toEqual([6, 2, 2]);
    expect(motif.places.map((p) => p.rows.map((row) => table.columns.pitch[row]))).toEqual([
      [6000, 6400, 6700, 6600, 6400, 6200],
      [6200, 6600, 6900, 6800, 6600, 6400],
    ]);
    expect(motif.compactness).toBeCloseTo((1 + 6 / 8) / 2, 12);
    expect([motif.bits, motif.expected, motif.falseDiscoveryRate, motif.distinctiveness]).toEqual(
      Array(4).fill(undefined),
    );
    expect(motifInWords(table, motif)).toMatch(/; 2 places in 2 solos, 1 key, other tones between: it is 88 % of what/);
    expect(pointSetMotifs(table, { mostBetween: 0 }).motifs).toEqual([]);
  });
  it('a pattern stays within one phrase, and so does each place', () => {
    const note = fc.record({
      fret: fc.integer({ min: 1, max: 4 }),
      string: fc.constant(2),
      sixteenths: fc.constantFrom(1, 2),
    });
    const solos = fc.array(fc.array(fc.array(note, { minLength: 1, maxLength: 9 }), { maxLength: 4 }), {
      maxLength: 4,
    });
    fc.assert(
      fc.property(solos, (all) => {
        const table = toneTable(
          all.map((phrases, i) =>
            madeSolo(
              `s${i}`,
              'Ada Fenwick',
              phrases.map((notes) => ({ after: 2, notes })),
              ['C'],
            ),
          ),
        );
        const { motifs, tones } = pointSetMotifs(table, { leastTones: 3 });
        const { phrase, solo, pitch, onset } = table.columns;
        const used = new Set<number>();
        let covered = 0;
        for (const m of motifs) {
          expect(m.apart).toBeGreaterThanOrEqual(2);
          const own = new Set(m.places.flatMap((p) => p.rows));
          for (const row of own) expect(used.has(row)).toBe(false); // a tone belongs to one motif at most
          for (const row of own) used.add(row);
          covered += m.coverage;
          for (const { rows } of m.places) {
            expect(new Set(rows.map((row) => `${solo[row]} ${phrase[row]}`)).size).toBe(1);
            const symbols = rows
              .slice(1)
              .map((row, k) => `${pitch[row]! - pitch[rows[k]!]!}|${onset[row]! - onset[rows[k]!]!}`);
            expect(symbols).toEqual(m.symbols);
          }
        }
        if (tones > 0) expect(covered).toBeCloseTo(used.size / tones, 9);
      }),
    );
  });
  it('refuses a pattern of one tone', () => {
    expect(() => pointSetMotifs(demoTable, { leastTones: 1 })).toThrow('a pattern has 2 tones or more');
  });
});
