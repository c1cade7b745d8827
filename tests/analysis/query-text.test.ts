// Queries as text: what is printed is read back, what cannot be read is said with its place, and the page of the grammar is true.
import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { degrees, gesture, onString, patternOf, type Query } from '../../lib/analysis/phrase-query.js';
import { findPhrases } from '../../lib/analysis/phrase-search.js';
import { PATTERN_LOOKS } from '../../lib/analysis/query-elements.js';
import { queryText } from '../../lib/analysis/query-print.js';
import { parseQuery, parseQueryOrThrow } from '../../lib/analysis/query-text.js';
import { diagnosticText, FaultError } from '../../lib/foundation/diagnostic.js';
import { demoTable } from './made.js';
import { queries } from './made-queries.js';

const page = readFileSync('data/queries.md', 'utf8');

/** Queries in the first column of the examples. */
const examples = [
  ...page.slice(page.indexOf('## Examples'), page.indexOf('## Patterns')).matchAll(/^\| `([^`]+)` \|/gm),
].map((match) => match[1] as string);

describe('the text of a query', () => {
  it('is read back as the same query', () => {
    fc.assert(
      fc.property(queries, (query) => {
        const text = queryText(query);
        expect(parseQuery(text)).toEqual({ value: query, diagnostics: [] });
      }),
      { numRuns: 1500, seed: 7 },
    );
  });

  it('is canonical: what was read from any text is printed so that it reads the same', () => {
    for (const text of examples) {
      const value = parseQueryOrThrow(text);
      expect(parseQueryOrThrow(queryText(value))).toEqual(value);
    }
  });

  it('of chord symbols with brackets is read back', () => {
    for (const over of ['C7(b9)', 'F#m7b5', 'Bbmaj7/D', 'N.C.', 'pickup', '#i°', 'viiø', 'bVII', 'V+']) {
      const query = degrees(['1'], { over });
      expect(parseQuery(`(${queryText(query)})`).value).toEqual(query);
    }
  });

  it.each<[string, Query]>([
    ['DEGREES 5 6 Over IV', degrees(['5', '6'], { over: 'IV' })],
    ['degree 5\n  of the key\tover IV', degrees(['5'], { of: 'key', over: 'IV' })],
    ['pre-bend on string 3', gesture(['prebent'], { onString: 3 })],
    ['hammer-on Pull', gesture(['hammered', 'pulled'])],
    ['gestures pick+bend ?', gesture(['picked+bent', '?'])],
    ['on string 2', onString(2)],
    ['string 2', onString(2)],
    ['contour Up ending on third', patternOf('contour', ['up'], { endingOn: 'the third' })],
    ['comes in on the and of 3', { kind: 'enters', on: '3&' }],
    ['comes in on beat 2', { kind: 'enters', on: '2' }],
    ['lasts 1 bar', { kind: 'lasts', unit: 'bars', least: 1, most: 1 }],
    ['lasts at most 8 notes', { kind: 'lasts', unit: 'tones', most: 8 }],
  ])('%j is read as it is meant', (text, query) => {
    expect(parseQuery(text)).toEqual({ value: query, diagnostics: [] });
  });

  it('with, not, and, or bind in this order', () => {
    const shape = (text: string) =>
      JSON.stringify(parseQueryOrThrow(text), (key, value) =>
        value?.kind === 'pattern' ? value.elements[0] : key === 'kind' ? undefined : value,
      );
    expect(shape('degree 1 or degree 2 and not degree 3 with degree 4')).toBe(
      '{"parts":["1",{"parts":["2",{"part":{"outer":"3","inner":["4"]}}]}]}',
    );
    expect(shape('(degree 1 or degree 2) and (not degree 3) with not degree 4 with degree 5')).toBe(
      '{"parts":[{"parts":["1","2"]},{"outer":{"part":"3"},"inner":[{"part":"4"},"5"]}]}',
    );
  });
});

/** A query, the words that the place covers, the code, and a part of what is said. */
const FAULTS: readonly (readonly [text: string, spot: string, code: string, said: string])[] = [
  ['', '', 'query-end', 'the query is empty'],
  ['   ', '', 'query-end', 'the query is empty'],
  ['degrees 5 and', '', 'query-end', 'the query ends too soon'],
  ['degrees 5 over', '', 'query-end', 'write a chord symbol such as F7'],
  ['5 6 1', '5', 'query-word', 'write degrees 5'],
  ['degres 5', 'degres', 'query-word', 'did you mean degrees?'],
  ['hamered', 'hamered', 'query-word', 'did you mean hammered?'],
  ['degrees 5 6 ovr IV', 'ovr', 'query-element', 'did you mean over?'],
  ['degrees 5 b33', 'b33', 'query-element', 'degrees takes a degree, such as b3'],
  ['contour up donw', 'donw', 'query-element', 'did you mean down?'],
  ['gestures hammered puled', 'puled', 'query-element', 'did you mean pulled?'],
  ['durations e x', 'x', 'query-element', 'a note value, such as q. or e:3'],
  ['durations e e:11', 'e:11', 'query-element', 'a note value'],
  ['strings 0', '0', 'query-element', 'a string, 1 the highest'],
  ['degrees', 'degrees', 'query-pattern', 'needs at least one element'],
  ['degrees over IV', 'degrees', 'query-pattern', 'needs at least one element'],
  ['degrees .. 1', 'degrees .. 1', 'query-pattern', 'begins and ends with a tone'],
  ['rhythm e .. e', 'rhythm e .. e', 'query-pattern', 'cannot have a gap'],
  ['degrees 5 over VI7', 'VI7', 'query-chord', 'did you mean VI?'],
  ['degrees 5 over Cmjr7', 'Cmjr7', 'query-chord', 'did you mean Cmaj7?'],
  ['degrees 5 over IV over V', 'over', 'query-limit', 'said twice'],
  ['steps 2 of the key', 'of', 'query-limit', 'only degrees are counted in the key'],
  ['degrees 5 of key', 'key', 'query-word', 'where the is expected'],
  ['degrees 5 on strnig 3', 'strnig', 'query-word', 'did you mean string?'],
  ['degrees 5 on string ten', 'ten', 'query-word', 'the number of a string'],
  ['degrees 5 ending on thrid', 'thrid', 'query-word', 'did you mean third?'],
  ['degrees 5 comes in on 3', 'comes', 'query-word', 'and, or, with, or the end'],
  ['degrees 5 )', ')', 'query-bracket', 'closes nothing'],
  ['(degrees 5', '(', 'query-bracket', 'is not closed'],
  ['(degrees 5 lasts 2 bars', 'lasts', 'query-word', 'a closing bracket'],
  ['comes on 3', 'on', 'query-word', 'where in is expected'],
  ['comes in on the nad of 3', 'nad', 'query-word', 'and, e or a'],
  ['comes in on 0&', '0&', 'query-count', 'is no count'],
  ['comes in on constructor', 'constructor', 'query-count', 'is no count'],
  ['comes in on the constructor of 3', 'constructor', 'query-word', 'and, e or a'],
  ['constructor', 'constructor', 'query-word', 'write a pattern'],
  ['lasts 5 barz', 'barz', 'query-word', 'did you mean bars?'],
  ['lasts at lest 5 bars', 'lest', 'query-word', 'did you mean least?'],
  ['lasts long', 'long', 'query-word', 'a number, up to 9999'],
  ['lasts 5 to 2 bars', 'lasts 5 to 2 bars', 'query-length', 'write lasts 2 to 5 bars'],
  [`${'not '.repeat(60)}degrees 5`, 'not', 'query-deep', 'more than 40 deep'],
  [`degrees ${'5 '.repeat(65)}`, `degrees ${'5 '.repeat(65)}`.trim(), 'query-pattern', 'at most 64 elements'],
  [`degrees ${'5 '.repeat(1200)}`, '5 '.repeat(204), 'query-long', 'at most 2000 characters'],
];

describe('a query that cannot be read', () => {
  it.each(FAULTS)('%j: at %j, %s, %s', (text, spot, code, said) => {
    const { value, diagnostics } = parseQuery(text);
    expect(value).toBeUndefined();
    expect(diagnostics).toHaveLength(1);
    const [fault] = diagnostics;
    if (!fault) return;
    const { line, column, endColumn } = fault.place;
    expect(line).toBe(1);
    expect(text.slice(column - 1, endColumn - 1)).toBe(spot);
    expect(fault.code).toBe(code);
    expect(diagnosticText(fault, text)).toContain(said);
    expect(fault.remedy).toBeTruthy();
  });

  it('has its place on its line', () => {
    expect(parseQuery('degrees 5\n  ovr IV').diagnostics[0]?.place).toEqual({
      line: 2,
      column: 3,
      endLine: 2,
      endColumn: 6,
    });
  });

  it('says chords that no solo has, with the nearest, where it is told the chords', () => {
    const chords = ['Am7', 'D7', 'i', 'IV'];
    expect(parseQuery('degrees 5 over IV', { chords }).diagnostics).toEqual([]);
    const [fault] = parseQuery('degrees 5 over Am9', { chords }).diagnostics;
    expect(fault).toMatchObject({
      code: 'query-chord',
      message: 'no chord "Am9" in these solos',
      expected: 'one of Am7, D7, i, IV',
      remedy: 'did you mean Am7?',
    });
  });

  it('is thrown by parseQueryOrThrow as a FaultError', () => {
    expect(() => parseQueryOrThrow('degrees 5 6 ovr IV')).toThrow(FaultError);
  });

  it('is data, not a throw and not a hang, whatever the text', () => {
    const words = fc.constantFrom(
      ...[
        'degrees',
        'steps',
        'contour',
        'rhythm',
        'gestures',
        'shape',
        '5',
        'b3',
        'up',
        'e',
        'q.',
        '7@3',
        '?',
        '..',
        '(',
        ')',
      ],
      ...[
        'over',
        'IV',
        'C7(b9)',
        'of',
        'the',
        'key',
        'on',
        'string',
        'starting',
        'ending',
        'third',
        'comes',
        'in',
        '3&',
        'and',
      ],
      ...[
        'ends',
        'lasts',
        'at',
        'least',
        '2',
        'to',
        'bars',
        'or',
        'not',
        'with',
        'bend',
        'toString',
        '__proto__',
        '\u0000',
        '🎸',
      ],
    );
    const texts = fc.oneof(
      fc.string({ unit: 'binary', maxLength: 200 }),
      fc.array(words, { maxLength: 40 }).map((all) => all.join(' ')),
      fc.string({ unit: fc.constantFrom('(', ')', 'a', ' ', 'not '), maxLength: 1500 }),
    );
    fc.assert(
      fc.property(texts, (text) => {
        const { value, diagnostics } = parseQuery(text);
        expect(diagnostics).toHaveLength(value === undefined ? 1 : 0);
        for (const fault of diagnostics) {
          expect(fault.place.column).toBeGreaterThanOrEqual(1);
          expect(diagnosticText(fault, text.split(/\r\n|\r|\n/)[fault.place.line - 1])).not.toContain('undefined');
        }
        if (value !== undefined) expect(parseQuery(queryText(value)).value).toEqual(value);
      }),
      { numRuns: 2000, seed: 13 },
    );
  });
});

describe('data/queries.md', () => {
  it('has examples', () => {
    expect(examples.length).toBeGreaterThan(15);
  });

  it.each(examples)('%s finds something in the demo solos', (text) => {
    const { value, diagnostics } = parseQuery(text, { chords: [...demoTable.chords, ...demoTable.functions] });
    expect(diagnostics).toEqual([]);
    expect(findPhrases(demoTable, value as Query).matches.length).toBeGreaterThan(0);
  });

  it('names every look, and shows the fault as it is said', () => {
    for (const look of PATTERN_LOOKS) expect(page).toContain(`| \`${look}\` |`);
    const text = 'degrees 5 6 ovr IV';
    const [fault] = parseQuery(text).diagnostics;
    expect(page).toContain(`\`\`\`\n${fault && diagnosticText(fault, text)}\n\`\`\``);
  });
});
