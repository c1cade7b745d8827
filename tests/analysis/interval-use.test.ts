import { describe, expect, it } from 'vitest';
import { stretchesOf } from '../../lib/analysis/exposure.js';
import { filterFaults, GROUPINGS, type Grouping } from '../../lib/analysis/grouping.js';
import { intervalUse } from '../../lib/analysis/interval-use.js';
import { timeUse } from '../../lib/analysis/time-use.js';
import { readCorpus } from '../../lib/intake/read-corpus.js';
import { parseSoloOrThrow } from '../../lib/notation/parser.js';
import { FLAG, MISSING, type NamedSolo, type ToneTable, toneTable } from '../../lib/solo/tone-table.js';

const demo = readCorpus(['data/solos']).solos;
const table = toneTable(demo);

const solo = (body: string, head = 'key: C major', changes = '1 C7 | F7 | C7 | G7'): NamedSolo => ({
  id: 'made',
  solo: parseSoloOrThrow(
    `---\ntitle: Made\nplayer: Ada Fenwick\n${head}\ntempo: 100\n---\nchanges\n  ${changes}\n${body}`,
  ),
});

/** Which tones are counted, by the definition: no ornaments, under a chord. */
const counted = (t: ToneTable) =>
  Array.from({ length: t.rows }, (_, i) => i).filter(
    (i) => !((t.columns.flags[i] as number) & FLAG.ornament) && t.columns.degree[i] !== MISSING,
  );

describe('interval use', () => {
  it.each(GROUPINGS.map((g) => [g]))('adds up to the tones and ticks counted, grouped by %s', (by: Grouping) => {
    const use = intervalUse(table, { by: [by], intervals: false });
    const rows = counted(table);
    expect(use.tones).toBe(rows.length);
    expect(use.ticks).toBe(rows.reduce((sum, i) => sum + (table.columns.ticks[i] as number), 0));
    for (const group of use.groups) {
      const own = use.rows.filter((r) => r.group.join() === group.group.join());
      expect(own.reduce((sum, r) => sum + r.tones, 0)).toBe(group.tones);
      expect(own.reduce((sum, r) => sum + r.ticks, 0)).toBe(group.ticks);
      expect(own.reduce((sum, r) => sum + r.share.share, 0)).toBeCloseTo(1, 9);
    }
  });

  it('equals a count by hand over the columns', () => {
    const use = intervalUse(table, { by: ['player', 'function'], intervals: false });
    const naive = new Map<string, number>();
    for (const i of counted(table)) {
      const key = [
        table.players[table.playerOfSolo[table.columns.solo[i] as number] as number],
        table.functions[table.columns.function[i] as number],
        table.columns.degree[i],
      ].join('|');
      naive.set(key, (naive.get(key) ?? 0) + 1);
    }
    expect(new Map(use.rows.map((r) => [[...r.group, r.semitones].join('|'), r.tones]))).toEqual(naive);
  });

  it('lists behind every cell as many places as it counts, each once', () => {
    const use = intervalUse(table, { by: ['function'], intervals: false });
    const seen = new Set<number>();
    use.rows.forEach((r, i) => {
      expect(use.places(i)).toHaveLength(r.tones);
      for (const row of use.toneRows(i)) {
        expect(seen.has(row)).toBe(false);
        seen.add(row);
      }
    });
    expect(seen.size).toBe(use.tones);
  });

  it('does not depend on the order of the solos', () => {
    const back = intervalUse(toneTable([...demo].reverse()), { by: ['player', 'chord'] });
    const forth = intervalUse(table, { by: ['player', 'chord'] });
    const plain = (use: typeof back) =>
      use.rows.map((r) => [r.group, r.semitones, r.tones, r.ticks, r.share, r.onBeat]).sort();
    expect(plain(back)).toEqual(plain(forth));
  });

  it('counts a pushed tone under the old chord, and under the new one with anticipation on', () => {
    // A (3 of F7) struck an eighth before F7 and held over the barline.
    const t = toneTable([solo('phrase 1\nat 1 1\n  q 5@1 5@1 5@1 e 5@1 5@1_ |\n  q _ h. - |\n')]);
    const plain = intervalUse(t, { by: ['chord'] }).rows.map((r) => [r.group[0], r.degree, r.tones]);
    const pushed = intervalUse(t, { by: ['chord'], anticipation: true }).rows.map((r) => [
      r.group[0],
      r.degree,
      r.tones,
    ]);
    expect(plain).toEqual([['C7', '6', 5]]);
    expect(pushed).toEqual([
      ['C7', '6', 4],
      ['F7', '3', 1],
    ]);
  });

  it('never takes the bass of a slash chord for the root', () => {
    const t = toneTable([solo('phrase 1\nat 1 1\n  w 8@1 |\n', 'key: C major', '1 C/E')]);
    expect(intervalUse(t).rows[0]?.degree).toBe('1');
  });

  it('lists tones before the first chord and under N.C. apart', () => {
    const t = toneTable([solo('phrase 1\nat 0 4\n  q 8@1 | h 8@1 8@1 |\n', 'key: C major', '1 C7 N.C.')]);
    const use = intervalUse(t);
    expect([use.tones, use.pickups, use.withoutChord]).toEqual([1, 1, 1]);
  });

  it('leaves the splits of an untimed bend out of the share on the beat', () => {
    // Bent on beat 1, let down on beat 2 by division, not in writing.
    const t = toneTable([solo('phrase 1\nat 1 1\n  h 8@2(0>2>0) - |\n')]);
    const rows = intervalUse(t).rows;
    expect(rows.map((r) => [r.tones, r.onBeat, r.onBeatOf])).toEqual([
      [1, 0, 0],
      [1, 1, 1],
    ]);
  });

  it('gives counts only below five solos', () => {
    const four = toneTable(demo.slice(0, 4));
    for (const r of intervalUse(four).rows) expect(r.share.low).toBeUndefined();
    expect(intervalUse(table, { by: ['function'] }).rows.some((r) => r.share.low !== undefined)).toBe(true);
  });

  it('measures exposure in bars as laid out, rests included', () => {
    const t = toneTable([solo('phrase 1\nat 1 1\n  w 8@1 |\n', 'key: C major', '1 C7 | F7 | C7 | G7')]);
    const use = intervalUse(t, { by: ['function'] });
    expect(use.groups.map((g) => [g.group[0], g.exposureBars])).toEqual([['I', 2]]);
    const bars = demo.reduce((sum, d) => sum + stretchesOf(d.solo).reduce((s, x) => s + x.bars, 0), 0);
    const all = intervalUse(table, { by: ['player'] }).groups.reduce((sum, g) => sum + (g.exposureBars ?? 0), 0);
    expect(all).toBeCloseTo(bars, 6);
  });

  it('counts the exposure of the solos and chords that the filter lets through only', () => {
    const two = toneTable([
      solo('phrase 1\nat 1 1\n  w 8@1 |\n'),
      { id: 'other', solo: { ...solo('phrase 1\nat 1 1\n  w 8@1 |\n').solo, player: 'Bo Marsh' } },
    ]);
    expect(intervalUse(two, { where: { player: 'Ada Fenwick' } }).groups[0]?.exposureBars).toBe(2);
    expect(intervalUse(two, { by: ['player'], where: { chord: 'C7' } }).groups.map((g) => g.exposureBars)).toEqual([
      2, 2,
    ]);
  });
});

describe('time split at the changes', () => {
  it('adds up to the sounding time of all tones that are no ornaments', () => {
    const sounding = Array.from({ length: table.rows }, (_, i) => i)
      .filter((i) => !((table.columns.flags[i] as number) & FLAG.ornament))
      .reduce((sum, i) => sum + (table.columns.ticks[i] as number), 0);
    expect(timeUse(table, { by: ['player', 'chord'] }).ticks).toBe(sounding);
  });

  it('divides a tone held over a change between the chords', () => {
    const t = toneTable([solo('phrase 1\nat 1 3\n  h 8@1_ | q _ h. - |\n')]);
    expect(timeUse(t, { by: ['chord'] }).rows.map((r) => [r.group[0], r.degree, r.ticks / 20160])).toEqual([
      ['C7', '1', 2],
      ['F7', '5', 1],
    ]);
  });
});

describe('filters', () => {
  it('take a player by any of the names, a chord by symbol or by function', () => {
    expect(filterFaults(table, { player: 'marla', chord: ['IV'] })).toEqual([]);
    const byFunction = intervalUse(table, { where: { chord: 'IV' }, intervals: false });
    expect(byFunction.groups.map((g) => g.group[0])).toEqual(['IV']);
  });

  it('say what is not there, with what is near', () => {
    expect(filterFaults(table, { player: 'Marta Quillfeather' })[0]).toMatchObject({
      value: 'Marta Quillfeather',
      suggestion: 'Marla Quillfeather',
    });
  });
});
