import { describe, expect, it } from 'vitest';
import { intervalUse } from '../../lib/analysis/interval-use.js';
import { noteChoices } from '../../lib/charts/note-choices.js';
import type { ChartSpec } from '../../lib/charts/spec.js';
import { KIND_COLOUR, TONE_KINDS } from '../../lib/charts/tone-kinds.js';
import { hasFlag, toneTable } from '../../lib/solo/tone-table.js';
import { DEGREE_NAMES } from '../../lib/theory/interval.js';
import { demo, demoTable, made } from '../analysis/made.js';
import { SOLOS } from './corpus.js';
import { expectGolden, expectReadable, expectSound, rowsIn } from './spec-checks.js';

interface Part {
  readonly row: number;
  readonly kind: string;
  readonly onBeat: boolean;
  readonly tones: number;
  readonly y: number;
  readonly y2: number;
}
interface Bar {
  readonly row: number;
  readonly degree: string;
  readonly tones: number;
  readonly share: number;
  readonly few: boolean;
  readonly about: string;
  readonly y: number;
  readonly base: number;
  readonly yLow?: number;
  readonly yHigh?: number;
}
interface Text {
  readonly text: string;
  readonly y: number;
}
const partsOf = (spec: ChartSpec) => rowsIn<Part>(spec, 'parts');
const barsOf = (spec: ChartSpec) => rowsIn<Bar>(spec, 'bars');
const notesOf = (spec: ChartSpec) =>
  rowsIn<Text>(spec, 'notes')
    .map((n) => n.text)
    .join(' ');
/** The line of words under the bars that has a heading. */
const lineOf = (spec: ChartSpec, heading: string): readonly string[] => {
  const y = rowsIn<Text>(spec, 'headings').find((h) => h.text === heading)?.y;
  return rowsIn<Text>(spec, 'cells')
    .filter((cell) => cell.y === y)
    .map((cell) => cell.text);
};

const table = toneTable(SOLOS);
const use = intervalUse(table);
const overIV = noteChoices(table, use, { group: ['IV'], who: 'Ada Fenwick' });

describe('the spec', () => {
  it('is the one on file', () => expectGolden('note-choices', overIV));

  it('is pure: the same twice, and the table is left as it was', () => {
    const before = JSON.stringify([use.rows, use.groups]);
    expect(noteChoices(table, use)).toEqual(noteChoices(table, use));
    expect(JSON.stringify([use.rows, use.groups])).toBe(before);
  });
});

describe('what it shows', () => {
  // Counted by hand in the corpus: over IV (F) 10 F, 12 A, 8 C, 18 D of 48 tones in six solos.
  it('has a bar for each degree that is played, its number over it, and a place for all twelve', () => {
    expect(barsOf(overIV).map((bar) => [bar.degree, bar.tones])).toEqual([
      ['1', 10],
      ['3', 12],
      ['5', 8],
      ['6', 18],
    ]);
    expect(rowsIn<Text>(overIV, 'counts').map((c) => c.text)).toEqual('10 0 0 0 12 0 0 8 0 18 0 0'.split(' '));
    expect(lineOf(overIV, 'degree')).toEqual([...DEGREE_NAMES]);
    expect(lineOf(overIV, 'note')).toEqual(['F', '', '', '', 'A', '', '', 'C', '', 'D', '', '']);
  });

  it('says the finding about this chord with n, and under it the question, n, bars and solos', () => {
    expect(overIV.title.text.join(' ')).toMatch(/^The 6 stands out over IV: 38 % of 48 tones \(\d+ to \d+ %\)/);
    expect(overIV.title.subtitle).toEqual(['Which notes over IV? n = 48 tones over 6 bars in 6 solos, Ada Fenwick']);
    expect(noteChoices(table, use, { group: ['I'] }).title.text.join(' ')).toMatch(/^Over I the .* of 48 tones/);
    expect(noteChoices(table, use, { title: 'Mine' }).title.text).toEqual(['Mine']);
  });

  it('has whiskers where the interval is known: its ends around the top of the bar', () => {
    for (const bar of barsOf(overIV)) {
      const { low, high } = use.rows[bar.row]?.share ?? {};
      expect(bar.yLow !== undefined).toBe(low !== undefined);
      if (bar.yLow === undefined) continue;
      expect(bar.yLow).toBeGreaterThan(bar.y);
      expect(bar.yHigh).toBeLessThan(bar.y);
      expect((bar.base - (bar.yHigh as number)) / (bar.base - bar.y)).toBeCloseTo((high as number) / bar.share, 1);
    }
    expect(barsOf(overIV).some((bar) => bar.yLow !== undefined)).toBe(true);
  });

  it('divides each bar into what is on a beat, dark, at its foot, and the rest', () => {
    const few = toneTable(SOLOS.slice(0, 4));
    for (const [t, spec, counted] of [
      [table, overIV, use],
      [few, noteChoices(few, intervalUse(few), { group: ['IV'] }), intervalUse(few)],
    ] as const)
      for (const bar of barsOf(spec)) {
        const own = partsOf(spec).filter((part) => part.row === bar.row);
        const rows = [...counted.toneRows(bar.row)];
        const on = own.filter((part) => part.onBeat);
        expect(own.reduce((sum, part) => sum + part.tones, 0)).toBe(bar.tones);
        expect(on.reduce((sum, part) => sum + part.tones, 0)).toBe(rows.filter((r) => hasFlag(t, r, 'onBeat')).length);
        expect(own[0]?.y2).toBe(bar.base);
        expect(own[own.length - 1]?.y).toBeCloseTo(bar.y, 1);
        own.slice(1).forEach((part, i) => {
          expect(part.y2).toBe(own[i]?.y);
        });
        expect(own.map((part) => part.onBeat)).toEqual([...own.map((part) => part.onBeat)].sort().reverse());
      }
    // D is the first, fourth and last of eight eighths: on 1, 2& and 4&.
    expect(lineOf(overIV, 'on a beat')[9]).toBe('6 of 18');
  });

  it('has the colour of what the tones are in their chords', () => {
    const kinds = (degree: string) => {
      const bar = barsOf(overIV).find((b) => b.degree === degree);
      return [...new Set(partsOf(overIV).flatMap((part) => (part.row === bar?.row ? [part.kind] : [])))];
    };
    expect([kinds('1'), kinds('3'), kinds('6')]).toEqual([['chord tone'], ['chord tone'], ['tension']]);
    expect(new Set(Object.values(KIND_COLOUR)).size).toBe(TONE_KINDS.length);
  });

  it('has two colours in one bar where a degree belongs to one chord of the function and not to another', () => {
    const both = toneTable([
      made(
        '1 G7 | G',
        'phrase 1\nat 1 1\n  e 6@2 6@2 6@2 6@2 6@2 6@2 6@2 6@2 |\n  6@2 6@2 6@2 6@2 6@2 6@2 6@2 6@2 |\n  6@2 6@2 6@2 6@2 6@2 6@2\n',
      ),
    ]);
    const spec = noteChoices(both, intervalUse(both), { group: ['V'] });
    expect(new Set(partsOf(spec).map((part) => part.kind)).size).toBe(2);
    expect(notesOf(spec)).toContain('Two colours');
    expect(notesOf(overIV)).not.toContain('Two colours');
  });

  it('spells as the key does, and says how many tones are a quarter-tone up', () => {
    const backRoom = toneTable(demo.filter((s) => s.id === 'back-room-eight-chairs'));
    const spec = noteChoices(backRoom, intervalUse(backRoom, { by: ['chord'] }), { group: ['F7'] });
    expect(lineOf(spec, 'note').filter((name) => name !== '')).toEqual(['F', 'Ab', 'Bb', 'C', 'D', 'Eb']);
    expect(lineOf(spec, 'a quarter-tone up')[3]).toMatch(/^(\d+) of \1$/);
  });

  it('names no notes where the chords have several roots', () => {
    const spec = noteChoices(demoTable, intervalUse(demoTable), { group: ['IV'] });
    expect(rowsIn<Text>(spec, 'headings').map((h) => h.text)).not.toContain('note');
  });

  it('is outlines only under 20 tones', () => {
    const spec = noteChoices(table, use, { group: ['ii'] });
    expect(spec.title.text).toEqual(['Too few tones for a finding (n = 8)']);
    expect(partsOf(spec)).toEqual([]);
    expect(barsOf(spec).every((bar) => bar.few && bar.yLow === undefined)).toBe(true);
    expect(notesOf(spec)).toContain('under 20 tones');
  });

  it('says what groups there are when asked for another', () => {
    expect(() => noteChoices(table, use, { group: ['bVII'] })).toThrow(
      /no tones under bVII; there are some under: .*IV/,
    );
    expect(() => noteChoices(table, intervalUse(table, { over: 'key' }))).toThrow(/over chords/);
  });
});

describe('how it is drawn', () => {
  const players = intervalUse(demoTable, { by: ['player', 'function'] });
  const cases: readonly (readonly [string, ChartSpec])[] = [
    ['the corpus', overIV],
    ['few', noteChoices(table, use, { group: ['ii'] })],
    ['nothing', noteChoices(toneTable([]), intervalUse(toneTable([])))],
    ['a long title and name', noteChoices(table, use, { title: 'of many words '.repeat(30), who: 'Ada '.repeat(60) })],
    ['a title that is markup', noteChoices(table, use, { title: '<script>alert(1)</script>' })],
    ...players.groups.map(
      ({ group }) => [group.join(' '), noteChoices(demoTable, players, { group })] as [string, ChartSpec],
    ),
  ];

  it.each(cases)('%s: sound, without warnings, no words clipped or on one another', async (name, spec) => {
    expectSound(name, spec);
    const words = (await expectReadable(name, spec)).map((w) => w.text);
    for (const { text } of [...rowsIn<Text>(spec, 'counts'), ...rowsIn<Text>(spec, 'notes')])
      expect(words).toContain(text);
  });
});
