import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { attacks } from '../../lib/analysis/attacks.js';
import type { ShareTable } from '../../lib/analysis/shares.js';
import { tonesOf } from '../../lib/solo/timeline.js';
import { FLAG, toneTable } from '../../lib/solo/tone-table.js';
import { solos } from '../arbitraries.js';
import { asNamed, countOf, demo, demoTable, keepsTheLaws, madeTable, PLAYERS, plainRows, shareIn } from './made.js';

const rowsOf = (table: ShareTable) => table.rows.map((row) => [...row.group.slice(1), row.value, row.count]);

describe('attacks', () => {
  it('count how tones begin: slides from both sides together, a release with none', () => {
    const found = attacks(madeTable('1 C', 'phrase 1\nat 1 1\n  e 5@1 h7@1 p5@1 /8@1 \\7@1 t12@1 q 8@2(0>2>0) |\n'));
    expect(rowsOf(found.starts)).toEqual([
      ['picked', 2],
      ['hammered', 1],
      ['pulled', 1],
      ['slid', 2],
      ['tapped', 1],
      ['none', 1],
    ]);
    expect(found.tones).toBe(8);
  });

  it('tell a curl from larger bends, and picking what is held bent from bending before the pick', () => {
    const found = attacks(madeTable('1 C', 'phrase 1\nat 1 1\n  q 8@2(0>0.5) 8@2(0>2) 8@2(2) 8@1(2) |\n'));
    expect(rowsOf(found.reached)).toEqual([
      ['curled', 1],
      ['bent', 1],
      ['prebent', 1],
      ['held', 1],
    ]);
    expect(rowsOf(found.sizes)).toEqual([
      ['bent', 'curl', 1],
      ['bent', 'whole step', 1],
      ['held', 'whole step', 1],
      ['prebent', 'whole step', 1],
    ]);
  });

  it('size a bend by how far it is up, a release by how far it falls', () => {
    const found = attacks(
      madeTable('1 C', 'phrase 1\nat 1 1\n  h 8@2(0>1>2>0.5) q 10@2(0>1.5) q 8@2(2)= |\n  h @2(>0) - |\n'),
    );
    expect(rowsOf(found.sizes)).toEqual([
      ['bent', 'half step', 1],
      ['bent', 'three-quarter step', 1],
      ['bent', 'whole step', 1],
      ['released', 'three-quarter step', 1],
      ['released', 'whole step', 1],
      ['prebent', 'whole step', 1],
    ]);
  });

  it('count over the key where the pitch arrives, a quarter-tone with the semitone below it', () => {
    const found = attacks(
      madeTable('1 C7', 'phrase 1\nat 1 1\n  q 8@3(0>0.5) 8@3 8@2(0>2) 5@1 |\n', 'key: C mixolydian'),
    );
    expect(countOf(found.overKey, ['Ada Fenwick', 'b3'], 'curled')).toBe(1);
    expect(shareIn(found.overKey, ['Ada Fenwick', 'b3'], 'curled')).toBe(0.5);
    expect(countOf(found.overKey, ['Ada Fenwick', '6'], 'bent')).toBe(1);
    expect(countOf(found.overKey, ['Ada Fenwick', '6'], 'straight')).toBe(1);
  });

  it('leave the splits of an untimed bend out of the share on the beat, not those with written times', () => {
    expect(rowsOf(attacks(madeTable('1 C', 'phrase 1\nat 1 1\n  h 8@2(0>2>0) q 8@2 e 8@2 8@2 |\n')).onBeat)).toEqual([
      ['on a beat', 3],
      ['off the beat', 1],
    ]);
    expect(rowsOf(attacks(madeTable('1 C', 'phrase 1\nat 1 1\n  h 8@2(0>2 q>0 q) - |\n')).onBeat)).toEqual([
      ['on a beat', 2],
    ]);
  });

  it('leave graces out unless asked for, and give the places behind each count', () => {
    const table = madeTable('1 C', 'phrase 1\nat 1 1\n  q g7@1 h8@1 8@1 h - |\n');
    expect(rowsOf(attacks(table).starts)).toEqual([
      ['picked', 1],
      ['hammered', 1],
    ]);
    const all = attacks(table, { ornaments: true });
    expect(rowsOf(all.starts)).toEqual([
      ['picked', 2],
      ['hammered', 1],
    ]);
    const picked = all.starts.rows[0];
    expect(picked && all.places(picked)).toEqual([
      { solo: 'made', phrase: '1', bar: 1, count: '1' },
      { solo: 'made', phrase: '1', bar: 1, count: '2' },
    ]);
  });
});

describe('attacks keep the laws', () => {
  const check = (table: typeof demoTable) => {
    for (const ornaments of [false, true]) {
      const found = attacks(table, { ornaments, intervals: table === demoTable });
      const counted = Array.from({ length: table.rows }, (_, i) => i).filter(
        (i) => ornaments || !((table.columns.flags[i] as number) & FLAG.ornament),
      );
      keepsTheLaws(found.starts, counted.length);
      keepsTheLaws(found.reached, counted.length);
      keepsTheLaws(found.overKey, counted.length);
      keepsTheLaws(found.sizes, counted.filter((i) => table.columns.reached[i] !== 0).length);
      keepsTheLaws(found.onBeat, counted.filter((i) => !((table.columns.flags[i] as number) & FLAG.split)).length);
      for (const row of found.sizes.rows) expect(row.value).not.toMatch(/^(0|-|NaN)/);
    }
  };

  it('on the demo and on any solo: rows add up, every bend has a size', () => {
    check(demoTable);
    fc.assert(
      fc.property(fc.array(solos, { maxLength: 3 }), (list) => check(toneTable(asNamed(list)))),
      { numRuns: 60 },
    );
  });

  it('equal a count over the tones themselves', () => {
    const naive = new Map<string, number>();
    for (const { solo } of demo)
      for (const t of tonesOf(solo).filter((x) => !x.ornament)) {
        const way = t.reached === 'bent' && t.level === 50 ? 'curled' : t.reached;
        for (const key of [`${solo.player} ${t.start}`, `${solo.player} ${way}`])
          naive.set(key, (naive.get(key) ?? 0) + 1);
      }
    const found = attacks(demoTable);
    expect(
      new Map([...found.starts.rows, ...found.reached.rows].map((r) => [`${r.group[0]} ${r.value}`, r.count])),
    ).toEqual(naive);
  });

  it('do not depend on the order of the solos', () => {
    const back = attacks(toneTable([...demo].reverse()));
    const forth = attacks(demoTable);
    for (const name of ['starts', 'reached', 'sizes', 'overKey', 'onBeat'] as const)
      expect(plainRows(back[name])).toEqual(plainRows(forth[name]));
  });
});

// What data/players.md says was planted, and that it is not found in the other players.
describe('planted attacks', () => {
  const found = attacks(demoTable);
  const [marla, tobias, juno] = PLAYERS;

  it('Tobias: 83 of 92 tones on the b3 of his dominant keys are curled; the third of his minor keys stays plain', () => {
    const dominant = attacks(demoTable, {
      where: { player: tobias, key: demoTable.keys.filter((key) => key.endsWith('mixolydian')) },
    });
    expect(
      new Set(demo.filter(({ solo }) => solo.player === tobias && solo.key.mode === 'mixolydian').map(({ id }) => id))
        .size,
    ).toBe(6);
    expect(countOf(dominant.overKey, [tobias, 'b3'], 'curled')).toBe(83);
    expect(dominant.overKey.groups.find((g) => g.group[1] === 'b3')?.n).toBe(92);
    const minor = attacks(demoTable, {
      where: { player: tobias, key: demoTable.keys.filter((key) => key.endsWith('minor')) },
    });
    expect(countOf(minor.overKey, [tobias, 'b3'], 'curled')).toBe(0);
    expect(minor.overKey.groups.find((g) => g.group[1] === 'b3')?.n).toBeGreaterThan(20);
  });

  it('Tobias: 89 curls, 27 whole-step and 3 half-step bends, 8 pre-bent, 10 held, 27 released, of 910', () => {
    expect(countOf(found.reached, [tobias], 'curled')).toBe(89);
    expect(countOf(found.sizes, [tobias, 'bent'], 'whole step')).toBe(27);
    expect(countOf(found.sizes, [tobias, 'bent'], 'half step')).toBe(3);
    expect(countOf(found.reached, [tobias], 'prebent')).toBe(8);
    expect(countOf(found.reached, [tobias], 'held')).toBe(10);
    expect(countOf(found.reached, [tobias], 'released')).toBe(27);
    expect(found.starts.groups.find((g) => g.group[0] === tobias)?.n).toBe(910);
  });

  it('Marla: 26 of 831 reached by a bend: 13 bent (2 of them curls), 11 released, 2 prebent', () => {
    expect(countOf(found.reached, [marla], 'bent') + countOf(found.reached, [marla], 'curled')).toBe(13);
    expect(countOf(found.reached, [marla], 'released')).toBe(11);
    expect(countOf(found.reached, [marla], 'prebent')).toBe(2);
    expect(831 - countOf(found.reached, [marla], 'straight')).toBe(26);
    expect(found.starts.groups.find((g) => g.group[0] === marla)?.n).toBe(831);
  });

  it('Juno, who counts graces: 109 hammered, 171 pulled, 44 slid, 617 picked, 4 none, of 945; 11 not straight, in one solo', () => {
    const all = attacks(demoTable, { ornaments: true, where: { player: juno } });
    expect(all.starts.rows.map((r) => [r.value, r.count])).toEqual([
      ['picked', 617],
      ['hammered', 109],
      ['pulled', 171],
      ['slid', 44],
      ['none', 4],
    ]);
    expect(all.tones).toBe(945);
    const bent = all.reached.rows.filter((r) => r.value !== 'straight');
    expect(bent.reduce((sum, r) => sum + r.count, 0)).toBe(11);
    expect(new Set(bent.flatMap((r) => all.places(r).map((p) => p.solo)))).toEqual(new Set(['ladder-in-the-fog']));
    // Her two curls: 6 2 and 9 3, both b7+ of Em7, none on a b3.
    const curls = all.reached.rows.find((r) => r.value === 'curled');
    expect(curls && all.places(curls).map((p) => [p.bar, p.count])).toEqual([
      [6, '2'],
      [9, '3'],
    ]);
    expect(countOf(all.overKey, [juno, 'b3'], 'curled')).toBe(0);
  });

  it('belong to their player: curls on the b3 with Tobias, legato with Juno', () => {
    for (const player of [marla, juno]) {
      expect(countOf(found.overKey, [player, 'b3'], 'curled')).toBe(0);
      expect(shareIn(found.reached, [player], 'curled')).toBeLessThan(0.01);
    }
    const legato = (player: string) =>
      ['hammered', 'pulled', 'slid'].reduce((sum, start) => sum + shareIn(found.starts, [player], start), 0);
    expect(legato(juno)).toBeGreaterThan(0.33);
    for (const player of [marla, tobias]) expect(legato(player)).toBeLessThan(0.15);
  });
});
