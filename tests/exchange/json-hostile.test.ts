// Bad, broken and hostile JSON: never thrown at, never slow, always placed.
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { printSoloJson, readSoloJson } from '../../lib/exchange/json.js';
import { type Diagnostic, hasFaults } from '../../lib/foundation/diagnostic.js';
import { parseSolo } from '../../lib/notation/parser.js';
import { printSolo } from '../../lib/notation/printer.js';
import { changed, FULL } from './json-samples.js';

/** What is wrong with the answer to a bad text, if anything. */
function oddities(text: string, diagnostics: readonly Diagnostic[]): readonly string[] {
  const lines = text.split(/\r\n|[\r\n]/);
  return diagnostics.flatMap(({ message, remedy = '', place: { line, column, endLine, endColumn } }) => {
    const inside = (l: number, c: number) =>
      l >= 1 && l <= lines.length && c >= 1 && c <= (lines[l - 1] as string).length + 3;
    if (!inside(line, column) || !inside(endLine, endColumn) || endLine < line)
      return [`${line}:${column} lies outside`];
    return message === '' || /undefined|NaN|\[object/.test(message + remedy) ? [message, remedy] : [];
  });
}

describe('hostile text', () => {
  it('a text with letters lost, added or swapped never throws, and is placed', () => {
    const letters = [
      ...'{}[],:"\\0123456789.-+eE \n\r\ttfn',
      '\u0000',
      '\ud800',
      '\u2028',
      'null',
      '1e999',
      '"at":',
      '[[[',
    ];
    let stillRead = 0;
    let faulted = 0;
    const edits = fc.array(fc.tuple(fc.nat(FULL.length), fc.nat(3), fc.constantFrom(...letters, '')), {
      minLength: 1,
      maxLength: 3,
    });
    fc.assert(
      fc.property(edits, (list) => {
        let text = FULL;
        for (const [at, drop, add] of list) text = text.slice(0, at) + add + text.slice(at + drop);
        const { value, diagnostics } = readSoloJson(text);
        expect(oddities(text, diagnostics)).toEqual([]);
        if (value) stillRead++;
        if (hasFaults(diagnostics)) faulted++;
        expect(value !== undefined || hasFaults(diagnostics)).toBe(true);
      }),
      { numRuns: 1500 },
    );
    expect(faulted).toBeGreaterThan(500);
    expect(stillRead).toBeGreaterThan(50);
  });

  it('data with a value changed never throws; what is read of it can be written and read again', () => {
    fc.assert(
      fc.property(changed, (data) => {
        const text = JSON.stringify(data, null, 1);
        const { value, diagnostics } = readSoloJson(text);
        expect(oddities(text, diagnostics)).toEqual([]);
        expect(value !== undefined || hasFaults(diagnostics)).toBe(true);
        if (value) expect(readSoloJson(printSoloJson(value)).value).toStrictEqual(value);
      }),
      { numRuns: 1500 },
    );
  });

  it('what is read of changed data can be written as solo text, so both forms keep the same rules', () => {
    let read = 0;
    fc.assert(
      fc.property(changed, (data) => {
        const { value } = readSoloJson(JSON.stringify(data));
        // Solo text asks for a title and a player, and takes the blanks around its fields away.
        if (!value || [value.title, value.player].some((t) => t.trim() === '')) return;
        if ([value.title, value.player, value.tone].some((t) => t !== t.trim())) return;
        read++;
        expect(parseSolo(printSolo(value)).value).toStrictEqual(value);
      }),
      { numRuns: 800 },
    );
    expect(read).toBeGreaterThan(80);
  });

  it('seconds are kept to the thousandth that solo text can say', () => {
    const data = JSON.parse(FULL) as { phrases: { heardSeconds?: number }[] };
    const heardAs = (seconds: number) => {
      const [first, ...rest] = data.phrases;
      return readSoloJson(JSON.stringify({ ...data, phrases: [{ ...first, heardSeconds: seconds }, ...rest] })).value
        ?.phrases[0]?.heard;
    };
    expect([heardAs(12.34567), heardAs(5e-324)]).toEqual([12.346, 0]);
  });

  const note = (onset: number, more = '') =>
    `{"onset":${onset},"length":10,"string":${1 + ((onset / 10) % 6)},"fret":3${more}}`;
  const listOf = (n: number, one: (i: number) => string) => Array.from({ length: n }, (_, i) => one(i)).join(',');
  const withNotes = (notes: string, more = '') =>
    FULL.replace(/"phrases"[\s\S]*/, `"phrases": [{"id":"1","at":0,"length":2000000${more},"notes":[${notes}]}]}`);
  it.each([
    ['nothing', '', 1],
    ['a byte order mark alone', '\ufeff', 1],
    ['100000 open brackets', '['.repeat(100_000), 1],
    ['100000 objects in each other', '{"a":'.repeat(100_000), 1],
    ['a number of a million digits', FULL.replace('96', '9'.repeat(1_000_000)), 1],
    ['a text of a million letters', FULL.replace('A minor', `A${' '.repeat(1_000_000)}x`), 1],
    ['a text that never ends', `"${'a'.repeat(1_000_000)}`, 1],
    [
      '20000 fields of one name',
      FULL.replace(
        '"capo": 2',
        listOf(20_000, () => '"capo":2'),
      ),
      19_999,
    ],
    ['20000 notes that are none', withNotes(listOf(20_000, () => '{}')), 80_000],
    ['20000 notes at once', withNotes(listOf(20_000, () => note(0))), 19_999],
    [
      '20000 notes that ring, and 5000 damps',
      withNotes(
        listOf(20_000, (i) => note(i * 10, ',"ring":true')),
        `,"damps":[${listOf(5_000, (i) => `${i * 40}`)}]`,
      ),
      0,
    ],
    ['a phrase that comes in after ages', FULL.replace('"at": 241920', '"at": 9007199254740991'), 1],
  ])('%s: read in a few seconds', (_, text, faults) => {
    const start = performance.now();
    const { diagnostics } = readSoloJson(text);
    expect(diagnostics.filter((d) => d.severity === 'fault')).toHaveLength(faults);
    expect(performance.now() - start).toBeLessThan(8_000);
    expect(oddities(text, diagnostics.slice(0, 50))).toEqual([]);
  });
});
