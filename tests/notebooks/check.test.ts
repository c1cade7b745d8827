import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import { idFaults, proseFaults, typeFaults } from '../../notebooks/tools/check.js';
import { code, notebookOf, prose } from './made.js';

// Where a notebook would stand; there is none.
const path = fileURLToPath(new URL('../../notebooks/none.ipynb', import.meta.url));

describe('types of a notebook', () => {
  it('are checked over all cells, against the built package', () => {
    const good = notebookOf(
      code("import { EXAMPLE_SOLO, parseSoloOrThrow, tabText } from 'phrasewright';"),
      prose('# Words between cells are no code'),
      code('const solo = parseSoloOrThrow(EXAMPLE_SOLO);\nconst later = await Promise.resolve(solo);'),
      code(''),
      code('console.log(tabText(later));'),
    );
    expect(typeFaults(good, path)).toEqual([]);
  });

  it.each([
    ['a wrong type', 'const n: number = 1;', 'n.toFixed();\nn.trim();', 'code cell 2, line 2: '],
    [
      'what may be missing, which the kernel lets pass',
      'const xs = [1];',
      'xs.find((x) => x > 1).toFixed();',
      'undefined',
    ],
    ['a name that is not there', "import { noSuchName } from 'phrasewright';", 'noSuchName;', 'code cell 1, line 1: '],
    [
      'an argument of any type, which the kernel lets pass',
      'const f = (x) => x;',
      'f(1);',
      "implicitly has an 'any' type",
    ],
  ])('are strict: %s', (_, first, second, words) => {
    const faults = typeFaults(notebookOf(code(first), code(second)), path);
    expect(faults).toHaveLength(1);
    expect(faults[0]).toContain(words);
  });

  it('the kernel does not find a name of another cell in the short form', () => {
    const other = notebookOf(code("const player = 'Ada';"), code('\nconsole.log({ player });'));
    expect(typeFaults(other, path)).toEqual([
      'code cell 2, line 2: the kernel does not find "player" of another cell in the short form: write player: player',
    ]);
    expect(typeFaults(notebookOf(code("const player = 'Ada';\nconsole.log({ player });")), path)).toEqual([]);
    expect(typeFaults(notebookOf(code('console.log([1].map((n) => ({ n })));')), path)).toEqual([]);
  });
});

describe('figures in prose', () => {
  it.each([
    'She plays the 6 in 20 % of them.',
    'That is 20.5% of all.',
    'n = 44, enough to tell.',
    'It comes in 44 of 220 tones.',
    'Here are 26 solos by one hand.',
  ])('are found: %s', (text) => {
    expect(proseFaults(notebookOf(prose(text)))).toHaveLength(1);
  });

  it.each([
    'The 6 over the IV, and b3 over C7.',
    'The range is one of 95 %.',
    '`tabText(solo, { width: 84 })` of `26 solos` in code.',
    'Bar 9 on 3&, the ninth fret.',
  ])('are not seen in: %s', (text) => {
    expect(proseFaults(notebookOf(prose(text)))).toEqual([]);
  });

  it('are what a code cell prints', () => {
    expect(proseFaults(notebookOf(code('console.log("44 of 220 tones");')))).toEqual([]);
  });
});

it('two cells with one id, or a cell with none, are said', () => {
  expect(idFaults(notebookOf(prose('a'), prose('b')))).toEqual([]);
  expect(idFaults(notebookOf({ ...prose('a'), id: 'x' }, { ...prose('b'), id: 'x' }))).toEqual([
    'two cells have the id "x"',
  ]);
});
