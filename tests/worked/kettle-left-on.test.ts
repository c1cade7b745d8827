// Twelve bars by somebody who had never seen the project, with a table of every tone made by hand before the solo was typed
// (hand-table.csv, never changed since) and the counts expected by hand. The program has to agree with both.
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { intervalUse } from '../../lib/analysis/interval-use.js';
import { toneColumns } from '../../lib/exchange/table-export.js';
import { parseSolo } from '../../lib/notation/parser.js';
import { toneTable } from '../../lib/solo/tone-table.js';

const { value: solo, diagnostics } = parseSolo(readFileSync('tests/worked/kettle-left-on.solo', 'utf8'));
if (!solo) throw new Error('the worked solo cannot be read');
const table = toneTable([{ id: 'kettle-left-on', solo }]);

it('reads without a fault', () => {
  expect(diagnostics).toEqual([]);
});

describe('every tone of the hand-made table', () => {
  const [header, ...rows] = readFileSync('tests/worked/hand-table.csv', 'utf8')
    .trim()
    .split('\n')
    .map((line) => line.split(','));
  const c = toneColumns(table);
  const ours = Array.from({ length: table.rows }, (_, i) => ({
    phrase: c.phrase?.[i],
    bar: c.bar?.[i],
    count: c.count?.[i],
    string: c.string?.[i],
    fret: c.fret?.[i],
    pitch: c.name?.[i],
    start: c.start?.[i],
    reached: c.reached?.[i],
    chord: c.chord?.[i] === 'pickup' ? '' : c.chord?.[i],
    degree: c.degree?.[i] ?? '',
    role: c.role?.[i] ?? '',
  }));
  // The hand lists a double-stop and a grace in its own order: rows are matched by all that they say.
  const say = (row: readonly unknown[]) => row.map(String).join(' ');
  const found = ours.map((o) => say(Object.values(o)));

  it('has the same columns and as many tones', () => {
    expect(header).toEqual(Object.keys(ours[0] as object));
    expect(rows.length).toBe(table.rows);
  });

  it.each(rows.map((row) => [say(row)]))('%s', (row) => {
    expect(found).toContain(row);
  });
});

it('counts as expected by hand (graces and the two pickups not counted)', () => {
  const use = intervalUse(table, { intervals: false });
  const said = Object.fromEntries(
    use.groups.map((g) => [
      g.group[0],
      use.rows
        .filter((r) => r.group[0] === g.group[0])
        .map((r) => `${r.degree}x${r.tones}`)
        .join(' '),
    ]),
  );
  expect(said).toEqual({
    I: '1x8 2x2 b3x2 3x7 4x1 5x3 6x1 b7x1',
    IV: '1x1 2x2 3x1 5x2 6x1 b7x2 7x1',
    '#iv°': 'b2x1 b3x1 b5x1 5x1 b6x2 6x2',
    VI: '1x1 b2x2 3x2 5x2 b6x1 b7x2',
    ii: '1x3 2x2 b3x3 b7x1',
    V: '1x1 2x1 3x2 5x1 b6x1 6x1',
  });
  expect([use.tones, use.pickups, use.rows.find((r) => r.group[0] === 'I' && r.degree === 'b3')?.plus]).toEqual([
    69, 2, 1,
  ]);
  const pushed = intervalUse(table, { intervals: false, anticipation: true });
  expect(
    pushed.groups.filter((g) => g.group[0] === 'I' || g.group[0] === 'IV').map((g) => [g.group[0], g.tones]),
  ).toEqual([
    ['I', 26],
    ['IV', 9],
  ]);
});
