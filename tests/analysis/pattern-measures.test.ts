// The measures on a toy case, and what they say of the motifs planted in the demo.
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { linesOf } from '../../lib/analysis/line.js';
import { findMotifs } from '../../lib/analysis/motif.js';
import type { Motif } from '../../lib/analysis/motif-kinds.js';
import { pointSetMotifs } from '../../lib/analysis/motif-points.js';
import { placeOfTone } from '../../lib/solo/tone-table.js';
import { demoTable } from './made.js';
import { establishment, occurrence, type Pattern, standard, threeLayers } from './pattern-measures.js';

// Values computed with mir_eval (MIT), whose formulas follow T. Collins 2013.
describe('the toy case', () => {
  const first: Pattern[0] = [[0, 60], [1, 62], [2, 64], [3, 65]]; // biome-ignore format: points
  const second: Pattern[0] = [[8, 67], [9, 69], [10, 71], [11, 72]]; // biome-ignore format: points
  const known: readonly Pattern[] = [[first, second]];
  const three: Pattern = [first.slice(0, 3), second.slice(0, 3)];
  const f = (found: readonly Pattern[]) =>
    [standard, establishment, occurrence, threeLayers].map((measure) => Number(measure(known, found).f.toFixed(6)));
  it('found exactly: all are 1', () => expect(f(known)).toEqual([1, 1, 1, 1]));
  it('three of four tones in both occurrences', () => {
    expect(f([three])).toEqual([0, 0.75, 0.75, 0.857143]);
    expect(occurrence(known, [three], 0.5).f).toBe(0.75);
  });
  it('and one spurious pattern of two tones', () => {
    const found: readonly Pattern[] = [three, [[[20, 40], [21, 43]]]]; // biome-ignore format: points
    expect(establishment(known, found)).toEqual({ precision: 0.375, recall: 0.75, f: 0.5 });
    const layers = threeLayers(known, found);
    expect([layers.precision, layers.recall, layers.f].map((n) => n.toFixed(6))).toEqual([
      '0.428571',
      '0.857143',
      '0.571429',
    ]);
    expect(occurrence(known, found).f).toBe(0.75);
  });
  it('the first occurrence right, the second wrong', () => {
    expect(f([[first, [[30, 50], [31, 52], [32, 54], [33, 55]]]])).toEqual([1, 1, 0.5, 0.5]); // biome-ignore format: points
  });
});

/** The places of a planted motif: rows of the first table under its heading that name a solo, a phrase, and bar and count. */
function planted(player: string, heading: string, tones: number): Pattern {
  const all = readFileSync('data/players.md', 'utf8');
  const text = all.slice(all.search(new RegExp(`^## \\S+ ${player}$`, 'im')));
  const part = text.slice(text.indexOf(heading)).split('\n');
  const from = part.findIndex((line) => line.startsWith('|'));
  const until = part.findIndex((line, i) => i > from && !line.startsWith('|'));
  const lines = linesOf(demoTable);
  return part.slice(from + 2, until).map((row) => {
    const cells = row.split('|').map((cell) => cell.trim().replaceAll('`', ''));
    const solo = (cells[1] as string).toLowerCase().replaceAll(',', '').replaceAll(' ', '-');
    const place = cells.slice(3, 5).find((cell) => /^\d+[: ][\dtle&a]+$/.test(cell)) as string;
    const [bar, count] = place.split(/[: ]/) as [string, string];
    for (const { events } of lines) {
      const at = events.findIndex((e) => {
        const p = placeOfTone(demoTable, e.row);
        return p.solo === solo && p.bar === Number(bar) && p.count === count;
      });
      if (at >= 0) return pointsOf(events.slice(at, at + tones).map((e) => e.row));
    }
    throw new Error(`${solo} ${place} is no place of the demo`);
  });
}

const pointsOf = (rows: readonly number[]): Pattern[0] =>
  rows.map((row) => [
    (demoTable.columns.solo[row] as number) * 1e8 + (demoTable.columns.onset[row] as number),
    demoTable.columns.pitch[row] as number,
  ]);
const patternOf = (m: Motif): Pattern => m.places.map((p) => pointsOf(p.rows));

describe('the motifs planted in the demo', () => {
  const known = [
    planted('quillfeather', '### The latch', 5),
    planted('quillfeather', '### The shrug', 5),
    planted('quillfeather', '### The wink', 6),
    planted('brackwater', '**A. Gangplank**', 5),
    planted('underlamp', '### 1. Three knocks', 6),
    planted('underlamp', '### 2. Gangplank', 6),
    planted('underlamp', '### 3. Rope over the five', 9),
  ];
  it('are as many as the pages say', () => {
    expect(known.map((p) => p.length)).toEqual([15, 6, 3, 16, 19, 7, 4]);
  });
  // What else the lists hold was not planted, which does not make it false: so recall only, and of what was found its occurrences.
  const lists = (list: (player: string) => readonly Motif[]) =>
    ['Marla', 'Tobias', 'Juno'].flatMap((player) => list(player).slice(0, 7).map(patternOf));
  it('stand among the first seven of each player by runs of steps, with nearly all their places', () => {
    const found = lists((player) => findMotifs(demoTable, { where: { player }, nullRuns: 0 }).motifs);
    expect(establishment(known, found).recall).toBeGreaterThan(0.9); // measured: 0.921
    expect(occurrence(known, found).f).toBeGreaterThan(0.85); // 0.884
    expect(threeLayers(known, found).recall).toBeGreaterThan(0.9); // 0.909
  });
  it('and by points as far as they keep their rhythm', () => {
    const found = lists((player) => pointSetMotifs(demoTable, { where: { player } }).motifs);
    expect(establishment(known, found).recall).toBeGreaterThan(0.9); // measured: 0.930
    expect(occurrence(known, found).recall).toBeGreaterThan(0.6); // 0.618: copies in another rhythm are other points
    expect(threeLayers(known, found).recall).toBeGreaterThan(0.7); // 0.741
  });
});
