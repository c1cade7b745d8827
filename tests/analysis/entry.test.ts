import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { entriesOf, entryUse } from '../../lib/analysis/entry.js';
import { chordSpans } from '../../lib/solo/harmony.js';
import { gridOf, type Solo } from '../../lib/solo/solo.js';
import { tonesOf } from '../../lib/solo/timeline.js';
import { toneTable } from '../../lib/solo/tone-table.js';
import { parseCount, parseMeter } from '../../lib/theory/meter.js';
import { solos } from '../arbitraries.js';
import { asNamed, countOf, demo, demoTable, keepsTheLaws, madeTable, PLAYERS, plainRows, shareIn } from './made.js';

const QUARTER = 20160;
const entriesIn = (changes: string, phrases: string, head?: string) => entriesOf(madeTable(changes, phrases, head));

describe('an entry', () => {
  it('is the first tone of its phrase: bar and count as a player counts, and whether it is before the first chord', () => {
    const { entries } = entriesIn(
      '1 C | F',
      'phrase 1\nat 0 3&\n  e 8@1 q 8@1 |\n  h 8@1\nphrase 2\nat 2 2\n  q 5@1\n',
    );
    expect(entries.map((e) => [e.bar, e.count, e.kind, e.pickup])).toEqual([
      [0, '3&', 'off the beat', true],
      [2, '2', 'on a beat', false],
    ]);
  });

  it('passes over rests, graces and dead notes', () => {
    const { entries } = entriesIn('1 C', 'phrase 1\nat 1 1\n  e - g7@1 8@1 q 8@1 h - |\n', undefined);
    expect(entries.map((e) => e.count)).toEqual(['1&']);
    expect(entriesIn('1 C', 'phrase 1\nat 1 1\n  q x@1 8@1 h - |\n').entries.map((e) => e.count)).toEqual(['2']);
  });

  it('is missing where a phrase never sounds', () => {
    const table = madeTable('1 C', 'phrase 1 "muffled"\nat 1 1\n  q x@1 x@1\nphrase 2\nat 2 1\n  q 8@1\n');
    const use = entryUse(table);
    expect(use.entries.map((e) => e.phrase)).toEqual(['2']);
    expect(use.silent).toEqual([{ solo: 'made', player: 'Ada Fenwick', phrase: '1' }]);
    expect(entryUse(table, { where: { player: 'Bo' } })).toMatchObject({ entries: [], silent: [] });
  });

  it.each([
    ['6/8', '4', '4', 'on a beat'],
    ['6/8', '2', '2', 'off the beat'],
    ['12/8', '2', '2', 'on a beat'],
    ['12/8', '2t', '2t', 'off the beat'],
    ['3/4', '3', '3', 'on a beat'],
  ])('in %s at %s is said as %s, %s', (meter, at, count, kind) => {
    const { entries } = entriesIn('1 C', `phrase 1\nat 1 ${at}\n  e 8@1\n`, `key: C major\nmeter: ${meter}`);
    expect(entries).toMatchObject([{ count, kind, meter }]);
  });

  it('says how far it is from the nearest change: before negative, with it 0, after positive, midway before the coming one', () => {
    const far = (at: string) =>
      (entriesIn('1 C | F', `phrase 1\nat ${at}\n  e 8@1\n`).entries[0]?.fromChange ?? Number.NaN) / QUARTER;
    expect(entriesIn('1 C', 'phrase 1\nat 1 1\n  e 8@1\n').entries).toMatchObject([{ fromChange: 0, pickup: false }]);
    expect([far('0 4&'), far('1 1'), far('1 1&'), far('1 3'), far('1 3&'), far('2 1'), far('3 1')]).toEqual([
      -0.5, 0, 0.5, -2, -1.5, 0, 4,
    ]);
    const none = entriesIn('1 N.C.', 'phrase 1\nat 1 1\n  e 8@1\n').entries[0];
    expect(none).toMatchObject({ pickup: false });
    expect(none).not.toHaveProperty('fromChange');
  });

  it('is counted in order through the bar, of one meter if asked', () => {
    const phrases = ['1 4&', '2 1', '3 2', '4 1&'].map((at, i) => `phrase ${i + 1}\nat ${at}\n  e 8@1\n`).join('');
    expect(entryUse(madeTable('1 C | F | G | C', phrases)).counts.rows.map((r) => r.value)).toEqual([
      '1',
      '1&',
      '2',
      '4&',
    ]);
    expect(entryUse(demoTable, { where: { meter: '7/4' } }).entries).toEqual([]);
    const meters = new Set(entryUse(demoTable).entries.map((e) => e.meter));
    const sum = [...meters].reduce((n, meter) => n + entryUse(demoTable, { where: { meter } }).entries.length, 0);
    expect(sum).toBe(entryUse(demoTable).entries.length);
  });
});

/** Entries by the definition, with no eye to speed: phrase, tick, ticks from the nearest change. */
function naive(solo: Solo): readonly string[] {
  const tones = tonesOf(solo).filter((t) => !t.ornament);
  const changes = chordSpans(solo)
    .filter((s) => s.isChange && s.chord)
    .map((s) => s.start);
  return solo.phrases.flatMap((phrase, p) => {
    const own = tones.filter((t) => t.phrase === p).map((t) => t.onset);
    if (own.length === 0) return [];
    const onset = Math.min(...own);
    const distances = changes.map((c) => onset - c).sort((a, b) => Math.abs(a) - Math.abs(b) || a - b);
    return [[phrase.id, onset, distances[0] ?? '-'].join(' ')];
  });
}

describe('entries keep the laws', () => {
  it('equal the definition followed without haste, and their bar and count lead back to the tone', () => {
    const check = (list: readonly Solo[]) => {
      const table = toneTable(asNamed(list));
      const { entries, silent } = entriesOf(table);
      expect(entries.map((e) => [e.phrase, table.columns.onset[e.row], e.fromChange ?? '-'].join(' '))).toEqual(
        list.flatMap(naive),
      );
      expect(entries.length + silent.length).toBe(list.reduce((sum, s) => sum + s.phrases.length, 0));
      for (const e of entries) {
        const bar = gridOf(list[table.columns.solo[e.row] as number] as Solo).bar(e.bar);
        expect(bar.start + (parseCount(e.count, bar.meter) ?? Number.NaN)).toBe(table.columns.onset[e.row]);
        expect(e.pulses * bar.meter.pulseTicks).toBeCloseTo(parseCount(e.count, bar.meter) as number, 6);
        expect(parseMeter(e.meter)).toEqual(bar.meter);
      }
    };
    check(demo.map(({ solo }) => solo));
    fc.assert(fc.property(fc.array(solos, { maxLength: 3 }), check), { numRuns: 100 });
  });

  it.each([[['player']], [['player', 'meter']], [['solo']], [[]]] as const)('count each phrase once by %s', (by) => {
    const use = entryUse(demoTable, { by });
    expect(use.entries.length + use.silent.length).toBe(demo.reduce((sum, { solo }) => sum + solo.phrases.length, 0));
    keepsTheLaws(use.counts, use.entries.length);
    keepsTheLaws(use.kinds, use.entries.length);
  });

  it('do not depend on the order of the solos', () => {
    const back = entryUse(toneTable([...demo].reverse()), { by: ['player', 'key'] });
    expect(plainRows(back.counts)).toEqual(plainRows(entryUse(demoTable, { by: ['player', 'key'] }).counts));
  });
});

// What data/players.md says was planted, and that it is not found in the other players.
describe('planted entries', () => {
  const use = entryUse(demoTable);
  const in44 = entryUse(demoTable, { where: { meter: '4/4' } });
  const [marla, tobias, juno] = PLAYERS;
  const countsOf = (counts: typeof use.counts, player: string) =>
    Object.fromEntries(counts.rows.filter((row) => row.group[0] === player).map((row) => [row.value, row.count]));

  it('Tobias: 56 of 77 phrases in 4/4 come in on 3&, 12 on 4&, 6 on 1&, 1 on 2', () => {
    // The other two (1 and 4e) he does not list.
    expect(countsOf(in44.counts, tobias)).toEqual({ '3&': 56, '4&': 12, '1&': 6, '2': 1, '1': 1, '4e': 1 });
    expect(in44.counts.groups.find((g) => g.group[0] === tobias)?.n).toBe(77);
    expect(use.entries.filter((e) => e.player === tobias && e.meter === '12/8')).toHaveLength(6);
  });

  it('Marla: 37 of 73 on 2, then 1 12, 3 10, 1& 7, 2& 6, 4 1; in 6/8 she counts in six', () => {
    expect(countsOf(use.counts, marla)).toEqual({ '2': 37, '1': 12, '3': 10, '1&': 7, '2&': 6, '4': 1 });
    const onTwo = (id: string) => use.entries.filter((e) => e.solo === id && e.count === '2').length;
    expect(
      [
        'slipway-sunday',
        'low-water-gate',
        'the-last-boat-over',
        'ticket-office-heater',
        'wet-rope',
        'waiting-room-waltz',
        'gull-on-the-rail',
        'three-frets-from-home',
      ].map(onTwo),
    ).toEqual([4, 4, 6, 4, 5, 5, 4, 5]);
  });

  it('Juno: of 63 on 1& 27, 4& 17, 2 12, 1 3, 2& 2, 3 1, 1l 1', () => {
    expect(countsOf(use.counts, juno)).toEqual({ '1&': 27, '4&': 17, '2': 12, '1': 3, '2&': 2, '3': 1, '1l': 1 });
  });

  it('belong to their player: 3& is in half or more of the 4/4 phrases of Tobias, and never with the others', () => {
    expect(shareIn(in44.counts, [tobias], '3&')).toBeGreaterThanOrEqual(0.5);
    for (const player of [marla, juno]) expect(countOf(in44.counts, [player], '3&')).toBe(0);
    expect(shareIn(use.counts, [marla], '2')).toBeGreaterThan(0.5);
    for (const player of [tobias, juno]) expect(shareIn(use.counts, [player], '2')).toBeLessThan(0.2);
  });

  it('belong to their player: Juno comes in on 1& or 4& in 70 %, the others in under a quarter', () => {
    const share = (player: string) => shareIn(use.counts, [player], '1&') + shareIn(use.counts, [player], '4&');
    expect(share(juno)).toBeCloseTo(44 / 63, 9);
    for (const player of [marla, tobias]) expect(share(player)).toBeLessThan(0.25);
  });
});
