// The walk through JSON text: what is JSON, and where its values stand.
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { DEEPEST, placesIn, walkJson } from '../../lib/exchange/json-place.js';

describe('the walk through JSON text', () => {
  const isJson = (text: string): boolean => {
    try {
      JSON.parse(text);
      return true;
    } catch {
      return false;
    }
  };
  const takes = (text: string) => walkJson(text).every((f) => f.code === 'field-twice');

  it('takes what JSON.parse takes, and nothing else', () => {
    const pieces = fc.constantFrom(
      '{',
      '}',
      '[',
      ']',
      ',',
      ':',
      '"a"',
      '"',
      '\\',
      '\\u00',
      'e',
      '1',
      '0',
      '-',
      '.',
      'true',
      'null',
      ' ',
      '\n',
      '\u00a0',
      '"b":',
      '1e5',
      '-0.5',
      'x',
      '\t',
      "'",
    );
    const edited = fc
      .tuple(fc.json(), fc.nat(60), fc.nat(2), fc.oneof(pieces, fc.constant('')))
      .map(([t, at, drop, add]) => t.slice(0, at) + add + t.slice(at + drop));
    const texts = fc.oneof(
      fc.json(),
      edited,
      fc.array(pieces, { maxLength: 8 }).map((p) => p.join('')),
    );
    let taken = 0;
    let left = 0;
    fc.assert(
      fc.property(texts, (text) => {
        expect(takes(text), text).toBe(isJson(text));
        if (takes(text)) taken++;
        else left++;
      }),
      { numRuns: 6000 },
    );
    expect(Math.min(taken, left)).toBeGreaterThan(1000);
  });

  it('finds every value where it stands', () => {
    fc.assert(
      fc.property(fc.json(), fc.boolean(), (compact, spread) => {
        const text = spread ? JSON.stringify(JSON.parse(compact), null, 2) : compact;
        const data: unknown = JSON.parse(text);
        const found: string[] = [];
        walkJson(text, (pointer, { start, end, nameStart, nameEnd }) => {
          const steps = pointer
            .split('/')
            .slice(1)
            .map((s) => s.replaceAll('~1', '/').replaceAll('~0', '~'));
          const value = steps.reduce<unknown>((here, s) => (here as Record<string, unknown>)[s], data);
          expect(JSON.parse(text.slice(start, end))).toStrictEqual(value);
          if (nameStart >= 0) expect(JSON.parse(text.slice(nameStart, nameEnd))).toBe(steps.at(-1));
          found.push(pointer);
        });
        expect(found.at(-1)).toBe('');
        expect(new Set(found).size).toBe(found.length);
      }),
      { numRuns: 400 },
    );
  });

  it('finds what the JSON pointers of RFC 6901, section 5, stand for', () => {
    // The document and the table of RFC 6901 (2013), section 5; from memory.
    const text = String.raw`{ "foo": ["bar", "baz"], "": 0, "a/b": 1, "c%d": 2, "e^f": 3, "g|h": 4, "i\\j": 5, "k\"l": 6, " ": 7, "m~n": 8 }`;
    // biome-ignore format: a table
    const table: readonly (readonly [string, unknown])[] = [
      ['', JSON.parse(text)], ['/foo', ['bar', 'baz']], ['/foo/0', 'bar'], ['/', 0], ['/a~1b', 1], ['/c%d', 2], ['/e^f', 3], ['/g|h', 4], ['/i\\j', 5], ['/k"l', 6], ['/ ', 7], ['/m~0n', 8],
    ];
    const places = placesIn(text, new Set(table.map(([pointer]) => pointer)));
    for (const [pointer, value] of table) {
      const spot = places.get(pointer);
      expect(spot && JSON.parse(text.slice(spot.start, spot.end)), pointer).toStrictEqual(value);
    }
    expect(placesIn(text, new Set(['/foo/2', '/bar'])).size).toBe(0);
  });

  it.each([
    ['[1, 2,]', 5, 'a comma with nothing behind it', 'take the comma away'],
    ['[1 2]', 3, '2 stands where a comma or the end of a list is expected', 'write a comma between the two'],
    ['[1}', 2, '} stands where a comma or the end of a list is expected', 'end it with ]'],
    ['{"a": 1', 7, 'the text ends inside an object', 'end it with }; perhaps it was cut off'],
    [
      '{a: 1}',
      1,
      'a stands where the name of a field is expected',
      'a field is written "name": value, its name in double quotes',
    ],
    [
      '{"a" 1}',
      5,
      '1 stands where the colon of a field is expected',
      'a field is written "name": value, its name in double quotes',
    ],
    ['{"a": \'b\'}', 6, "'b' stands where a value is expected", 'a text stands in double quotes'],
    ['[NaN]', 1, 'NaN stands where a value is expected', 'write a number, or leave the field away'],
    ['[True]', 1, 'True stands where a value is expected', 'write true in small letters'],
    ['[007]', 1, '007 stands where a value is expected', 'numbers are written as 12, -3 or 0.5'],
    ['[1, // one\n2]', 4, '// stands where a value is expected', 'JSON has no comments: take it away'],
    ['["a\nb"]', 3, 'a text in quotes is not closed on its line', 'end it with "; a line break inside it is \\n'],
    ['["a\tb"]', 3, 'a control character stands in a text', 'write \\t for a tab'],
    [
      '["\\q"]',
      2,
      'a backslash in a text must be one of \\" \\\\ \\/ \\b \\f \\n \\r \\t or \\u and four hex digits',
      'for a backslash itself write two',
    ],
    ['{} {}', 3, '{ stands behind the end', 'one file is one solo'],
    ['[', 1, 'the text ends inside a list', 'end it with ]; perhaps it was cut off'],
    ['', 0, 'the text is empty', 'a solo is written { ... }'],
  ])('%j: at %i, %s', (text, start, message, remedy) => {
    expect(walkJson(text)).toEqual([expect.objectContaining({ code: 'bad-json', start, message, remedy })]);
  });

  it('goes as deep as it says', () => {
    expect(walkJson('['.repeat(DEEPEST) + ']'.repeat(DEEPEST))).toEqual([]);
    expect(walkJson('['.repeat(DEEPEST + 1)).map((f) => [f.code, f.start])).toEqual([['too-deep', DEEPEST]]);
  });
});
