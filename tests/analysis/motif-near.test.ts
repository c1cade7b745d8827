// Near repeats: those planted, and the fast way against naive code over every window.
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { linesOf } from '../../lib/analysis/line.js';
import { findMotifs } from '../../lib/analysis/motif.js';
import type { Motif } from '../../lib/analysis/motif-kinds.js';
import {
  apart,
  modelOf,
  type NearModel,
  type NearStretch,
  nearAt,
  nearPlaces,
  seededStretches,
} from '../../lib/analysis/motif-near.js';
import { compose, VIEWPOINTS, viewpoint } from '../../lib/analysis/viewpoint.js';
import { type ToneTable, toneTable } from '../../lib/solo/tone-table.js';
import { demoTable, made } from './made.js';
import { type MadeNote, madeSolo } from './made-phrases.js';

const text = (near: ReturnType<typeof nearPlaces>) =>
  near.map((p) => `${p.solo} ${p.phrase} ${p.bar}:${p.count} ${p.said}`);

describe('the near repeats of the demo (data/players.md)', () => {
  const { motifs } = findMotifs(demoTable, { nullRuns: 0 });
  const starting = (symbols: string) => motifs.find((m) => m.symbols.join(' ') === symbols) as Motif;
  it('three knocks: the curl left off, the curl let down, and the opening that goes on to the 4', () => {
    expect(text(nearPlaces(demoTable, starting('0 0 350 -350 -300')))).toEqual([
      'harbour-fog-bell 3 4:3& the fourth tone without the curl',
      'lamp-oil-and-rope 2 2:3& the sixth tone is F4, a minor sixth higher than in the motif',
      'lamp-oil-and-rope 7 12:3& a passing Eb4 put in after the fourth tone',
    ]);
  });
  it('rope over the five: one 2 more in the slow one', () => {
    const [near] = nearPlaces(demoTable, starting('0 0 0 700 -700 700 -700 700 -900'));
    expect([near?.solo, near?.phrase, near?.kind]).toEqual(['slow-water-at-the-slip', '5', 'put in']);
  });
  it('graces are no tones of the line: a place with graces is a place', () => {
    const gangplank = starting('500 200 -400 -300');
    expect(gangplank.places.filter((p) => p.graces > 0).map((p) => [p.solo, p.bar, p.graces])).toEqual([
      ['tide-table', 25, 2],
    ]);
  });
});

describe('what differs is said', () => {
  const exact = 'e 5@3 5@2 8@2 7@2 q 5@2 -';
  const near = (line: string): string | undefined => {
    const table = toneTable(
      [exact, exact, exact, line].map((l, i) => made('1 C', `phrase 1\nat 1 1\n  ${l} |\n`, undefined, `s${i}`)),
    );
    const motif = findMotifs(table, { nullRuns: 0, leastTones: 5 }).motifs[0] as Motif;
    expect(motif.symbols).toEqual(['400', '300', '-100', '-200']);
    return nearPlaces(table, motif).find((p) => p.solo === 's3')?.said;
  };
  it.each([
    ['e 5@3 5@2 6@2 8@2 7@2 q 5@2 e -', 'a passing F4 put in after the second tone'],
    ['e 5@3 5@2 5@2 8@2 7@2 q 5@2 e -', 'the second tone, E4, played twice'],
    ['e 5@3 5@2 3@2 8@2 7@2 q 5@2 e -', 'D4 put in after the second tone'],
    ['e 5@3 5@2 8@2 5@2 q - -', 'the fourth tone left out'],
    ['e 5@3 6@2 8@2 7@2 q 5@2 -', 'the second tone is F4, a half step higher than in the motif'],
    ['e 5@3 5@2 8@2 3@2 q 5@2 -', 'the fourth tone is D4, a major third lower than in the motif'],
    ['e 7@3 7@2 9@2 9@2 q 7@2 -', 'the third tone is Ab4, a half step lower than in the motif'], // moved a whole step
    ['e 5@3 5@2(0>0.5) 8@2 7@2 q 5@2 -', 'the second tone curled'],
    ['e 5@3 5@2(0>0.5) 8@2 7@2(0>0.5) q 5@2 -', 'the second and fourth tones curled'],
    ['e 5@3 5@2 8@2 7@2 h 8@1', 'the fifth tone is C5, a minor sixth higher than in the motif'],
    ['e 5@3 5@2 8@2 7@2 h -', 'the fifth tone left out'],
    ['e 5@3 8@2 7@2 5@2 3@2 q. -', 'the second tone left out'],
    ['e 5@3 8@2 5@2 3@2 5@2 q. -', undefined], // two edits
  ])('%s: %s', (line, said) => {
    expect(near(line)).toBe(said);
  });
});

/** Lines of few pitches, so that near repeats abound. */
const note: fc.Arbitrary<MadeNote> = fc.record(
  {
    fret: fc.integer({ min: 1, max: 4 }),
    string: fc.constant(2),
    sixteenths: fc.constantFrom(1, 2),
    extra: fc.constantFrom<'grace' | 'curl'>('grace', 'curl'),
  },
  { requiredKeys: ['fret', 'string', 'sixteenths'] },
);
const tables: fc.Arbitrary<ToneTable> = fc
  .array(fc.array(note, { minLength: 2, maxLength: 12 }), { minLength: 2, maxLength: 8 })
  .map((phrases) =>
    toneTable([
      madeSolo(
        'a',
        'Ada Fenwick',
        phrases.map((notes) => ({ after: 2, notes })),
        ['C'],
      ),
    ]),
  );

describe('the fast way', () => {
  const views = [...VIEWPOINTS, compose(viewpoint('steps'), viewpoint('durations'))];
  it.each(views.map((v) => [v.name]))('in %s finds what asking every window finds', (name) => {
    const view = viewpoint(name);
    fc.assert(
      fc.property(tables, (table) => {
        const options = { viewpoint: view, leastTones: 4, leastPlaces: 2, leastSolos: 1, nullRuns: 0 };
        const segments = linesOf(table);
        for (const motif of findMotifs(table, options).motifs.slice(0, 3)) {
          const model = modelOf(table, segments, motif, view) as NearModel;
          const every = segments.flatMap((segment, s) =>
            segment.events.flatMap((_, start) => nearAt(table, segment, s, start, model, view)),
          );
          expect(seededStretches(table, segments, model, view)).toEqual(every);
          expect(nearPlaces(table, motif, options)).toHaveLength(apart(every, segments, motif).length);
        }
      }),
      { numRuns: 40 },
    );
  });

  it('in steps finds what pitches say, moved as they may be', () => {
    fc.assert(
      fc.property(tables, (table) => {
        const view = viewpoint('steps');
        const segments = linesOf(table);
        const pitches = segments.map((s) => s.events.map((e) => table.columns.pitch[e.row] as number));
        for (const motif of findMotifs(table, { leastTones: 4, leastPlaces: 2, leastSolos: 1, nullRuns: 0 }).motifs) {
          const own = (motif.places[0]?.rows ?? []).map((row) => table.columns.pitch[row] as number);
          const found = seededStretches(table, segments, modelOf(table, segments, motif, view) as NearModel, view);
          const key = ({ segment, start, kind }: Pick<NearStretch, 'segment' | 'start' | 'kind'>) =>
            `${segment} ${start} ${kind}`;
          expect(new Set(found.map(key))).toEqual(new Set(naive(pitches, own).map(key)));
        }
      }),
      { numRuns: 60 },
    );
  });

  it('never shares a tone with a place of the motif, nor between near places', () => {
    fc.assert(
      fc.property(tables, (table) => {
        for (const motif of findMotifs(table, { leastTones: 4, leastPlaces: 2, leastSolos: 1, nullRuns: 0 }).motifs) {
          const near = nearPlaces(table, motif);
          const rows = near.flatMap((p) => p.rows);
          expect(new Set(rows).size).toBe(rows.length);
          const own = new Set(motif.places.flatMap((p) => p.rows));
          expect(rows.filter((row) => own.has(row))).toEqual([]);
        }
      }),
    );
  });
  it('has nothing to say of a motif whose lines are not read', () => {
    const [motif] = findMotifs(demoTable, { where: { player: 'Juno' }, nullRuns: 0 }).motifs as [Motif];
    expect(nearPlaces(demoTable, motif, { where: { player: 'Marla' } })).toEqual([]);
  });
});

/** Every stretch of every line of pitches that is `own` but for one edit, told by pitches alone. */
function naive(lines: readonly (readonly number[])[], own: readonly number[]) {
  const n = own.length;
  const found: Pick<NearStretch, 'segment' | 'start' | 'kind'>[] = [];
  const moved = (a: readonly number[], b: readonly number[]) =>
    a.length === b.length && a.every((p, i) => p - (a[0] as number) === (b[i] as number) - (b[0] as number));
  const cut = (a: readonly number[], k: number) => a.filter((_, i) => i !== k);
  const plain = (a: readonly number[]) => a.map((p) => Math.floor(p / 100));
  lines.forEach((line, segment) => {
    for (let start = 0; start < line.length; start++) {
      const add = (kind: NearStretch['kind']) => found.push({ segment, start, kind });
      const window = (many: number) => (start + many <= line.length ? line.slice(start, start + many) : undefined);
      const [shorter, same, longer] = [window(n - 1), window(n), window(n + 1)];
      if (same && moved(same, own)) continue;
      if (same && moved(plain(same), plain(own))) add('curls');
      if (same?.some((_, k) => moved(cut(same, k), cut(own, k)))) add('changed');
      if (longer?.some((_, k) => k > 0 && k < n && moved(cut(longer, k), own))) add('put in');
      const may = (k: number) =>
        (k > 0 || start === 0) && (k < n - 1 || start + n - 1 === line.length) && moved(shorter ?? [], cut(own, k));
      if (shorter && own.some((_, k) => may(k))) add('left out');
    }
  });
  return found;
}
