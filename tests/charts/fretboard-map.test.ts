import { describe, expect, it } from 'vitest';
import { neckUse } from '../../lib/analysis/neck-use.js';
import { type FretboardMapOptions, fretboardMap } from '../../lib/charts/fretboard-map.js';
import type { ChartSpec } from '../../lib/charts/spec.js';
import { type NamedSolo, toneTable } from '../../lib/solo/tone-table.js';
import { demo, demoTable, made, PLAYERS } from '../analysis/made.js';
import { SOLOS } from './corpus.js';
import { expectGolden, expectReadable, expectSound, rowsIn } from './spec-checks.js';

interface Disc {
  readonly x: number;
  readonly y: number;
  readonly r: number;
  readonly string: number;
  readonly fret: number;
  readonly rows: readonly number[];
  readonly about: string;
}
interface Text {
  readonly text: string;
  readonly x: number;
  readonly y: number;
}
const mapOf = (solos: readonly NamedSolo[], options: FretboardMapOptions = {}): ChartSpec => {
  const table = toneTable(solos);
  return fretboardMap(table, neckUse(table), options);
};
const discsOf = (spec: ChartSpec) => rowsIn<Disc>(spec, 'discs');
const notesOf = (spec: ChartSpec) =>
  rowsIn<Text>(spec, 'notes')
    .map((n) => n.text)
    .join(' ');

const PHRASE = 'phrase 1\nat 1 1\n  e 5@3 5@3 5@3 5@3 7@3(0>2) 7@3(0>2) 0@1 1@6 |\n  h 5@3 12@4*\n';
const one = made('1 C | F', PHRASE);
const spec = mapOf([one], { who: 'Ada Fenwick' });

describe('the spec', () => {
  it('is the one on file', () => expectGolden('fretboard-map', mapOf(SOLOS, { who: 'Ada Fenwick' })));

  it('is pure: the same twice', () => expect(mapOf([one])).toEqual(mapOf([one])));
});

describe('what it shows', () => {
  it('has a disc for each place, its area by how often, its number in or beside it', () => {
    // By hand: 5@3 five times (C: four over C, one over F), 7@3 twice bent, three places once.
    expect(discsOf(spec).map((d) => `${d.fret}@${d.string}`)).toEqual(['0@1', '5@3', '7@3', '12@4', '1@6']);
    const [most, twice, once] = ['5@3', '7@3', '12@4'].map((at) =>
      discsOf(spec).find((d) => `${d.fret}@${d.string}` === at),
    ) as [Disc, Disc, Disc];
    expect((twice.r / most.r) ** 2).toBeCloseTo(2 / 5, 1);
    expect((once.r / most.r) ** 2).toBeCloseTo(1 / 5, 1);
    expect(rowsIn<Text>(spec, 'labels').map((l) => l.text)).toEqual(['1', '5', '2', '1', '1']);
  });

  it('lies as tab does: string 1 on top, open strings left of the nut, frets rising to the right', () => {
    const [nut] = rowsIn<{ readonly x: number }>(spec, 'nut');
    const at = (fret: number, string: number) =>
      discsOf(spec).find((d) => d.fret === fret && d.string === string) as Disc;
    expect(at(0, 1).y).toBeLessThan(at(5, 3).y);
    expect(at(5, 3).y).toBeLessThan(at(1, 6).y);
    expect(at(0, 1).x).toBeLessThan(nut?.x as number);
    expect(at(1, 6).x).toBeGreaterThan(nut?.x as number);
    expect(at(12, 4).x).toBeGreaterThan(at(7, 3).x);
    const names = rowsIn<Text>(spec, 'names');
    expect(names.map((n) => n.text)).toEqual(['e', 'B', 'G', 'D', 'A', 'E']);
    expect([...names].sort((a, b) => a.y - b.y)).toEqual(names);
    const numbers = rowsIn<Text & { readonly marked: boolean }>(spec, 'numbers');
    expect(numbers.filter((n) => n.marked).map((n) => n.text)).toEqual(['3', '5', '7', '9', '12']);
    expect(numbers[4]?.x).toBe(at(5, 3).x);
  });

  it('divides a disc by what its tones are in their chords: all round, in order of kinds', () => {
    const parts = rowsIn<{
      readonly x: number;
      readonly y: number;
      readonly kind: string;
      readonly from: number;
      readonly to: number;
    }>(mapOf(SOLOS), 'parts');
    for (const { x, y } of discsOf(mapOf(SOLOS))) {
      const own = parts.filter((p) => p.x === x && p.y === y);
      expect(own[0]?.from).toBe(0);
      expect(own[own.length - 1]?.to).toBeCloseTo(2 * Math.PI, 2);
      own.slice(1).forEach((p, i) => {
        expect(p.from).toBe(own[i]?.to);
      });
    }
    // F at 6@2: 12 over F and 4 over G7 as a chord tone, and nowhere else.
    expect(new Set(parts.map((p) => p.kind)).size).toBeGreaterThan(1);
  });

  it('marks bent tones at the fret that is held', () => {
    const bends = rowsIn<{ readonly x: number }>(spec, 'bends');
    expect(bends).toHaveLength(1);
    expect(notesOf(spec)).toContain('2 of 10 tones are bent');
    expect(discsOf(spec).find((d) => d.fret === 7)?.about).toBe('string 3, fret 7: 2 tones (2 chord tone), 2 bent');
    expect(notesOf(mapOf(SOLOS))).not.toContain('bent');
  });

  it('says where the hand is most, with n, and the question', () => {
    expect(spec.title.text).toEqual(['Too few tones for a finding (n = 10)']);
    const twice = mapOf([one, { ...one, id: 'again' }]);
    expect(twice.title.text).toEqual(['The hand is most often at frets 5 to 8: 70 % of 20 tones']);
    expect(twice.title.subtitle).toEqual(['Where on the neck? n = 20 tones in 2 solos']);
    expect(mapOf(SOLOS).title.text.join(' ')).toMatch(/^The hand is most often at frets 5 to 8: 100 % of 200 tones/);
    const open = made('1 E', `phrase 1\nat 1 1\n  s ${'0@1 '.repeat(16)}|\n  ${'0@1 '.repeat(8)}\n`);
    expect(mapOf([open]).title.text).toEqual(['All 24 tones are on open strings']);
  });

  it('by time: quarter notes in place of tones', () => {
    const time = mapOf([one], { of: 'time' });
    // 5@3: four eighths and a half; 12@4: a half; the others: an eighth, 7@3 two.
    expect(rowsIn<Text>(time, 'labels').map((l) => l.text)).toEqual(['0.5', '4', '1', '2', '0.5']);
    expect(notesOf(time)).toContain('in quarter notes');
  });

  it('counts frets from the capo, moves the dots of the neck, and says so', () => {
    const capo = mapOf([made('1 Eb', 'phrase 1\nat 1 1\n  h 0@1 2@3 |\n', 'key: Eb major\ncapo: 3')]);
    const numbers = rowsIn<Text & { readonly marked: boolean }>(capo, 'numbers');
    expect(numbers.filter((n) => n.marked).map((n) => n.text)).toEqual(['2', '4', '6', '9', '12']);
    expect(rowsIn<Text>(capo, 'names').map((n) => n.text)).toContain('capo 3');
    expect(notesOf(capo)).toContain('Frets count from the capo');
  });

  it('shows other tunings as they are, seven strings too, and leaves other guitars out', () => {
    const drop = made('1 D', 'phrase 1\nat 1 1\n  h 0@6 2@3 |\n', 'key: D major\ntuning: D2 A2 D3 G3 B3 E4');
    expect(rowsIn<Text>(mapOf([drop]), 'names').map((n) => n.text)).toEqual(['E', 'B', 'G', 'D', 'A', 'D']);
    const seven = made('1 D', 'phrase 1\nat 1 1\n  h 0@7 2@3 |\n', 'key: D major\ntuning: B1 E2 A2 D3 G3 B3 E4');
    expect(rowsIn<Text>(mapOf([seven]), 'names')).toHaveLength(7);
    expect(notesOf(mapOf([one, drop]))).toContain('Left out: 2 tones of 1 solo');
  });
});

describe('how it is drawn', () => {
  const of = (where: Parameters<typeof neckUse>[1], options?: FretboardMapOptions): ChartSpec =>
    fretboardMap(demoTable, neckUse(demoTable, where), options);
  const cases: readonly (readonly [string, ChartSpec])[] = [
    ['the small corpus', mapOf(SOLOS)],
    ['nothing', mapOf([])],
    ['a phrase', mapOf([one])],
    ['a title that is markup', mapOf([one], { title: '<script>alert(1)</script>', who: 'Ada '.repeat(80) })],
    [
      'four strings, few frets beyond the capo',
      mapOf([
        made('1 C', 'phrase 1\nat 1 1\n  h 0@1 2@3 |\n', 'key: C major\ntuning: E2 A2 D3 G3\nfrets: 12\ncapo: 6'),
      ]),
    ],
    ['all', of({})],
    ['all, by time', of({}, { of: 'time' })],
    ...PLAYERS.flatMap((player): (readonly [string, ChartSpec])[] => [
      [player, of({ where: { player } })],
      [`${player} over V, by time`, of({ where: { player, function: 'V' } }, { of: 'time' })],
    ]),
    ...demo.map((solo) => [solo.id, mapOf([solo])] as const),
  ];

  it.each(cases)('%s: sound, without warnings, no words clipped or on one another', async (name, spec) => {
    expectSound(name, spec);
    const words = (await expectReadable(name, spec)).map((w) => w.text);
    for (const { text } of [...rowsIn<Text>(spec, 'labels'), ...rowsIn<Text>(spec, 'notes')])
      expect(words).toContain(text);
  });

  it.each(cases)('%s: no disc on another, numbers beside a disc stand on no disc', (_, spec) => {
    const discs = discsOf(spec);
    discs.forEach((a, i) => {
      for (const b of discs.slice(i + 1)) expect(Math.hypot(a.x - b.x, a.y - b.y)).toBeGreaterThan(a.r + b.r);
    });
    for (const label of rowsIn<Text & { readonly inside: boolean; readonly x1: number; readonly x2: number }>(
      spec,
      'labels',
    ))
      if (!label.inside)
        for (const d of discs)
          expect(Math.abs(d.y - label.y) > d.r + 4 || d.x + d.r <= label.x1 + 1.1 || d.x - d.r >= label.x2 - 1.1).toBe(
            true,
          );
  });
});
