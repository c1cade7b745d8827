import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { HELD_BEND_ENDS, heldBendCounts, heldBends } from '../../lib/analysis/held-bends.js';
import { impliedChords } from '../../lib/analysis/implied-chord.js';
import { hasFlag, toneTable } from '../../lib/solo/tone-table.js';
import { solos } from '../arbitraries.js';
import { asNamed, demo, demoTable, madeTable } from './made.js';

const of = (changes: string, words: string, at = '1 1') =>
  heldBends(madeTable(changes, `phrase 1\nat ${at}\n  ${words}\n`));
const brief = (changes: string, words: string, at?: string) =>
  of(changes, words, at).map((b) => `${b.name} ${b.end}: under ${b.under}, again ${b.again}`);

describe('a bend is held', () => {
  it('if a tone begins on another string while it is up; a tone that began before does not make it so', () => {
    expect(brief('1 C', 'q 8@2(0>2)= 8@1 h - |')).toEqual(['A4 not let down: under 1, again 0']);
    expect(brief('1 C', 'q 8@1= 8@2(0>2) h - |')).toEqual([]);
    expect(brief('1 C', 'q 8@2(0>2)+8@1 - h - |')).toEqual([]);
  });

  it('if it is picked again while up', () => {
    expect(brief('1 C', 'q 8@2(0>2)= 8@2(2) h - |')).toEqual(['A4 not let down: under 0, again 1']);
    expect(brief('1 C', 'q 8@2(0>2)= 8@2(2>0) h - |')).toEqual(['A4 let down: under 0, again 1']);
  });

  it('if it is up when the chord changes; the first chord is no change, nor one that comes as the note ends', () => {
    expect(brief('1 C | F', 'w 8@2(0>2)_ | h _ - |')).toEqual(['A4 held over a change: under 0, again 0']);
    expect(brief('1 C | F', 'w 8@2(0>2) | h 8@1 - |')).toEqual([]);
    expect(brief('1 C | F', 'q 8@2(0>2)_ | h _ - |', '0 4')).toEqual([]);
    expect(brief('1 C | C', 'w 8@2(0>2)_ | h _ - |')).toEqual([]);
  });

  it('by half a step at least: a curl is not; and a grace or a bend let down in its own note is not', () => {
    expect(brief('1 C | F', 'w 8@2(0>0.5)_ | h _ - |')).toEqual([]);
    expect(brief('1 C | F', 'w 8@2(0>1)_ | h _ - |')).toHaveLength(1);
    expect(brief('1 C', 'w 8@2(0>2>0) |')).toEqual([]);
  });
});

describe('what becomes of it', () => {
  const [down] = of('1 Bb | A7', 'h - 8@2(0>2)= | h @2(>0) - |');

  it('let down as the chord comes: from its degree over the old chord to that of the release over the new one', () => {
    expect(down).toMatchObject({
      end: 'let down at a change',
      chord: 'Bb',
      degree: '7',
      functions: ['bVII'],
      change: { bar: 2, from: 'Bb', to: 'A7', function: 'VI', before: '7', held: '1', name: 'G4', after: 'b7' },
    });
    expect(down?.rows).toHaveLength(2);
  });

  it('let down in part: it goes on, over the new chord too', () => {
    const [part] = of('1 G7 | E7', 'h - 3@1(0>2)= | h @1(>1) - |');
    expect(part).toMatchObject({
      end: 'let down at a change',
      functions: ['V', 'III'],
      change: { name: 'G#4', after: '3' },
    });
  });

  it('held over a change, and let down afterwards: it is told of the change', () => {
    const [over] = of('1 C | F', 'h - 8@2(0>2)= | h - @2(>0) |');
    expect(over).toMatchObject({ end: 'held over a change', change: { before: '6', after: '3', held: '3' } });
    expect(over?.said).toBe('A4, the 6 of C, is held over into F in bar 2: its 3');
  });

  it('let down under another string, no change near', () => {
    expect(brief('1 C', 'q 8@2(0>2)= 8@1 @2(>0) - |')).toEqual(['A4 let down: under 1, again 0']);
  });
});

it('counts by function: a bend that is up over two is in both; filters take what is up over the chord asked for', () => {
  const table = madeTable('1 C | F', 'phrase 1\nat 1 1\n  h - 8@2(0>2)= |\n  h - @2(>0) |\n');
  expect(
    heldBendCounts(heldBends(table)).map((c) => [c.function, c.bends.length, c.ends['held over a change']]),
  ).toEqual([
    ['I', 1, 1],
    ['IV', 1, 1],
  ]);
  expect(heldBends(table, { where: { function: 'IV' } })).toHaveLength(1);
  expect(heldBends(table, { where: { chord: 'C' } })).toHaveLength(1);
  expect(heldBends(table, { where: { chord: 'V' } })).toEqual([]);
  expect(heldBends(table, { where: { player: 'Bo' } })).toEqual([]);
});

describe('laws', () => {
  it('every bend held under other strings, as strings together tell of it, is one; on the demo and on any solo', () => {
    const check = (table: ReturnType<typeof toneTable>) => {
      const rows = new Set(heldBends(table).flatMap((bend) => bend.rows));
      for (const { heldBends: under } of impliedChords(table))
        for (const row of under) if ((table.columns.level[row] as number) >= 100) expect(rows.has(row)).toBe(true);
    };
    check(demoTable);
    fc.assert(
      fc.property(fc.array(solos, { maxLength: 3 }), (list) => check(toneTable(asNamed(list)))),
      { numRuns: 100, seed: 5 },
    );
  });

  it('tones of a bend stand on one string, one right after the other, the first bent and only the last down', () => {
    const check = (table: ReturnType<typeof toneTable>) => {
      const { string, level, onset, ticks, phrase } = table.columns;
      for (const { rows, under, again, change, end } of heldBends(table)) {
        expect(new Set(rows.map((row) => `${string[row]} ${phrase[row]}`)).size).toBe(1);
        rows.forEach((row, k) => {
          expect(hasFlag(table, row, 'ornament')).toBe(false);
          if (k > 0)
            expect(onset[row]).toBe(
              (onset[rows[k - 1] as number] as number) + (ticks[rows[k - 1] as number] as number),
            );
          if (k + 1 < rows.length) expect(level[row]).toBeGreaterThan(0);
        });
        expect(under + again > 0 || change !== undefined).toBe(true);
        expect(change !== undefined).toBe(end === HELD_BEND_ENDS[0] || end === HELD_BEND_ENDS[1]);
      }
    };
    check(demoTable);
    fc.assert(
      fc.property(fc.array(solos, { maxLength: 3 }), (list) => check(toneTable(asNamed(list)))),
      { numRuns: 100, seed: 6 },
    );
  });

  it('do not depend on the order of the solos', () => {
    const said = (list: typeof demo) =>
      heldBends(toneTable(list))
        .map((b) => `${b.solo} ${b.bar} ${b.said}`)
        .sort();
    expect(said([...demo].reverse())).toEqual(said(demo));
  });
});

describe('in the demo, as data/players.md plants them', () => {
  const own = (player: string) => heldBends(demoTable, { where: { player } });

  it('Marla: all eight are let down as the new chord comes; Tobias: eight over the V in five solos', () => {
    expect(own('Marla').map(({ end }) => end)).toEqual(Array(8).fill('let down at a change'));
    const [v] = heldBendCounts(own('Tobias'));
    expect([v?.function, v?.bends.length, v?.solos]).toEqual([
      'V',
      8,
      ['bollard-row', 'lamp-oil-and-rope', 'rope-walk-shuffle', 'slow-water-at-the-slip', 'ticket-window'],
    ]);
    expect(heldBends(demoTable, { where: { player: 'Tobias', function: 'V' } })).toHaveLength(8);
  });
});
