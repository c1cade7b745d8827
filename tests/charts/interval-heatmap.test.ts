import { readFileSync, writeFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { Ajv } from 'ajv';
import { beforeAll, describe, expect, it } from 'vitest';
import { type IntervalUse, intervalUse } from '../../lib/analysis/interval-use.js';
import { intervalHeatmap } from '../../lib/charts/interval-heatmap.js';
import { mixedKeysNote } from '../../lib/charts/mixed-keys.js';
import { chartToSvg } from '../../lib/charts/render.js';
import { type ChartSpec, type Json, MARGIN } from '../../lib/charts/spec.js';
import { parseSoloOrThrow } from '../../lib/notation/parser.js';
import { type NamedSolo, toneTable } from '../../lib/solo/tone-table.js';
import { DEGREE_NAMES } from '../../lib/theory/interval.js';
import { SOLOS, tableOf } from './corpus.js';
import { misplaced, wordsOf } from './words.js';

const table = toneTable(SOLOS);
const byFunction = intervalUse(table);

interface Cell {
  readonly row: number;
  readonly line: number;
  readonly degree: string;
  readonly share: number;
  readonly percent: string;
  readonly tones: string;
  readonly few: boolean;
  readonly about: string;
}
interface Row {
  readonly name: string;
  readonly counts: string;
  readonly few: boolean;
}
const dataOf = (
  spec: ChartSpec,
): {
  readonly cells: readonly Cell[];
  readonly rows: readonly Row[];
  readonly notes: readonly { readonly text: string }[];
} => spec.datasets as never;

/** Every value in a spec, with its path. */
function* valuesOf(value: unknown, path = ''): Generator<readonly [string, unknown]> {
  yield [path, value];
  if (typeof value === 'object' && value !== null)
    for (const [key, inner] of Object.entries(value)) yield* valuesOf(inner, `${path}/${key}`);
}

const rounded = (value: Json): Json =>
  typeof value === 'number'
    ? Math.round(value * 1000) / 1000
    : Array.isArray(value)
      ? value.map(rounded)
      : typeof value === 'object' && value !== null
        ? Object.fromEntries(Object.entries(value).map(([k, v]) => [k, rounded(v)]))
        : value;

describe('the spec', () => {
  // After a change that is meant: UPDATE_GOLDEN=1 npx vitest run --config tests/vitest.config.ts tests/charts, then read the difference.
  it('is the one on file', () => {
    const file = new URL('golden/interval-heatmap.vl.json', import.meta.url);
    const spec = rounded(intervalHeatmap(byFunction, { who: 'Ada Fenwick' }) as unknown as Json);
    if (process.env.UPDATE_GOLDEN) writeFileSync(file, `${JSON.stringify(spec, null, 2)}\n`);
    expect(spec).toEqual(JSON.parse(readFileSync(file, 'utf8')));
  });

  it('is pure: the same twice, and the table is left as it was', () => {
    const before = JSON.stringify([byFunction.rows, byFunction.groups]);
    expect(intervalHeatmap(byFunction)).toEqual(intervalHeatmap(byFunction));
    expect(JSON.stringify([byFunction.rows, byFunction.groups])).toBe(before);
  });

  const specs = (): readonly (readonly [string, ChartSpec])[] => [
    ['by function', intervalHeatmap(byFunction)],
    ['by chord', intervalHeatmap(intervalUse(table, { by: ['chord'] }))],
    ['over the key', intervalHeatmap(intervalUse(table, { by: ['solo'], over: 'key' }))],
    ['of nothing', intervalHeatmap(intervalUse(toneTable([])))],
  ];

  it('is plain JSON', () => {
    for (const [name, spec] of specs()) {
      for (const [path, value] of valuesOf(spec)) {
        expect(['string', 'number', 'boolean', 'object'], `${name} ${path}`).toContain(typeof value);
        if (typeof value === 'number') expect(Number.isFinite(value), `${name} ${path}`).toBe(true);
      }
      expect(JSON.parse(JSON.stringify(spec)), name).toEqual(spec);
    }
  });

  // The JSON schema that Vega-Lite 6 publishes at the address in $schema, as it comes with the package.
  it('keeps to the published schema of Vega-Lite 6', () => {
    const schema = createRequire(import.meta.url)('vega-lite/vega-lite-schema.json') as object;
    const valid = new Ajv({
      strict: false,
      validateFormats: false,
      inlineRefs: false,
      code: { optimize: false },
    }).compile(schema);
    for (const [name, spec] of specs())
      expect(valid(spec), `${name}: ${JSON.stringify(valid.errors?.slice(0, 3))}`).toBe(true);
    expect(valid({ ...intervalHeatmap(byFunction), autosize: 'tight' })).toBe(false);
  });
});

describe('what it shows', () => {
  const spec = intervalHeatmap(byFunction, { who: 'Ada Fenwick' });
  const { cells, rows, notes } = dataOf(spec);

  it('has all twelve degrees in order, whatever was played', () => {
    const domains = [...valuesOf(spec)].filter(([path]) => path.endsWith('/x/scale/domain'));
    expect(domains.length).toBeGreaterThan(0);
    for (const [, domain] of domains) expect(domain).toEqual(DEGREE_NAMES);
  });

  // Counted by hand in the corpus: six solos with a bar of each chord, eight eighths a bar, and one bar of ii.
  it('has a row for each function in musical order, with n and bars, and marks few', () => {
    expect(rows).toEqual([
      { line: 0, name: 'I', counts: 'n 48, 6 bars', few: false },
      { line: 1, name: 'ii', counts: 'n 8, 1 bar, few', few: true },
      { line: 2, name: 'IV', counts: 'n 48, 6 bars', few: false },
      { line: 3, name: 'V', counts: 'n 48, 6 bars', few: false },
      { line: 4, name: 'vi', counts: 'n 48, 6 bars', few: false },
    ]);
  });

  it('has a cell for each degree that was played, and none for others', () => {
    const iv = cells.filter((cell) => rows[cell.line]?.name === 'IV').map((c) => [c.degree, c.tones, c.percent]);
    expect(iv).toEqual([
      ['1', '10', '21'],
      ['3', '12', '25'],
      ['5', '8', '17'],
      ['6', '18', '38'],
    ]);
    expect(cells.some((cell) => cell.tones === '0')).toBe(false);
  });

  it('adds up: the cells of a row to its n, their shares to 1', () => {
    rows.forEach((row, line) => {
      const own = cells.filter((cell) => cell.line === line);
      expect(`n ${own.reduce((sum, cell) => sum + Number(cell.tones), 0)}`).toBe(row.counts.split(',')[0]);
      expect(own.reduce((sum, cell) => sum + cell.share, 0)).toBeCloseTo(1, 3);
    });
  });

  it('says the finding with n and interval in the title, the question and all n under it', () => {
    expect(spec.title.text.join(' ')).toMatch(
      /^The 6 stands out over IV: 38 % of 48 tones \(\d+ to \d+ %\), against 0 % over I and V$/,
    );
    expect(spec.title.subtitle).toEqual(['Which degrees over which chord? n = 200 tones in 7 solos, Ada Fenwick']);
    expect(spec.description).toContain('n = 200 tones in 7 solos, Ada Fenwick');
  });

  it('leads from each cell to its row of the table', () => {
    for (const cell of cells) {
      const row = byFunction.rows[cell.row];
      expect([row?.degree, String(row?.tones), row?.group[0]]).toEqual([
        cell.degree,
        cell.tones,
        rows[cell.line]?.name,
      ]);
      expect(cell.about).toContain(`${cell.degree} over ${row?.group[0]}: ${cell.percent} %`);
    }
  });

  it('frames what the title says, and nothing under a title of the caller', () => {
    const framed = (s: ChartSpec) =>
      [...valuesOf(s)].filter(([path]) => path.endsWith('/oneOf')).map(([, value]) => value);
    const six = byFunction.rows.findIndex((row) => row.group[0] === 'IV' && row.degree === '6');
    expect(framed(spec)).toEqual([[six]]);
    expect(notes.map((note) => note.text).join(' ')).toContain('Framed: what the title says.');
    const own = intervalHeatmap(byFunction, { title: 'Over the four' });
    expect(framed(own)).toEqual([]);
    expect(
      dataOf(own)
        .notes.map((note) => note.text)
        .join(' '),
    ).not.toContain('Framed');
    expect(own.title.text).toEqual(['Over the four']);
  });

  it('gives few tones no colour and no say in the scale, which ends at the largest share of the others', () => {
    const use = tableOf(
      ['chord'],
      [
        [['C7'], { 1: 76, 5: 24 }],
        [['F7'], { 1: 19 }],
      ],
    );
    const domain = [...valuesOf(intervalHeatmap(use))].find(([path]) => path.endsWith('/color/scale/domain'))?.[1];
    expect([(domain as number[])[0], (domain as number[]).at(-1)]).toEqual([0, 0.8]);
    const onlyFew = intervalHeatmap(tableOf(['chord'], [[['F7'], { 1: 19 }]]));
    expect([...valuesOf(onlyFew)].find(([path]) => path.endsWith('/color/legend'))?.[1]).toBe(null);
  });

  it('marks a cell of which more than half is curled, and says what the mark means', () => {
    const curled = { ...tableOf(['chord'], [[['C7'], { 1: 20, b3: 9, 5: 10 }]]) };
    const use = {
      ...curled,
      rows: curled.rows.map((r) => ({ ...r, plus: r.degree === 'b3' ? 5 : r.degree === '5' ? 5 : 0 })),
    };
    const shown = intervalHeatmap(use);
    const marked = dataOf(shown).cells.filter((cell) => 'curled' in cell);
    expect(marked.map((cell) => cell.degree)).toEqual(['b3']);
    expect(marked[0]?.about).toBe('b3 over C7: 23 %, 9 of 39 tones, in 1 solo; 5 of them a quarter-tone above it');
    expect(
      dataOf(shown)
        .notes.map((note) => note.text)
        .join(' '),
    ).toContain('+ in a cell: more than half');
    expect(
      dataOf(intervalHeatmap(byFunction))
        .notes.map((note) => note.text)
        .join(' '),
    ).not.toContain('+ in a cell');
  });

  it('says which functions stand for major and minor keys alike', () => {
    const inKey = (id: string, key: string, chords: string): NamedSolo => ({
      id,
      solo: parseSoloOrThrow(
        `---\ntitle: ${id}\nplayer: Ada Fenwick\nkey: ${key}\ntempo: 96\n---\nchanges\n  1 ${chords}\nphrase 1\nat 1 1\n  q 5@1 5@1 5@1 5@1 | 5@1 5@1 5@1 5@1 |\n`,
      ),
    });
    const note = (...solos: readonly NamedSolo[]) => {
      const mixed = toneTable(solos);
      return mixedKeysNote(mixed, intervalUse(mixed));
    };
    const [major, minor, plain] = [
      inKey('one', 'A major', 'A | E7'),
      inKey('two', 'A minor', 'Am | E7'),
      inKey('three', 'A minor', 'Am | Dm'),
    ];
    expect(note(major, minor)).toBe(
      'Keys with a major third (8 tones in 1 solo) and with a minor one (8 tones in 1 solo) stand together: both have tones over V.',
    );
    expect(note(minor, plain)).toBe(undefined);
    expect(note(major, plain)).toBe(undefined);
  });

  it('says what is left out: pickups, tones without a chord, rows past twenty', () => {
    const many = Array.from({ length: 23 }, (_, i) => [[`C${'#'.repeat(i % 2)}${i}`], { 1: 40 - i }] as const);
    const use = tableOf(['chord'], many, { pickups: 3, withoutChord: 1200 });
    const said = dataOf(intervalHeatmap(use)).notes.map((note) => note.text);
    expect(said).toContain('Tones left out: 3 before the first chord, 1,200 where no chord is played.');
    // The three smallest groups have 20, 19 and 18 tones.
    expect(said).toContain('Not shown: 3 more rows with 57 tones in all.');
    expect(dataOf(intervalHeatmap(use)).rows).toHaveLength(20);
  });

  it('gives no bars where they are not those of the row', () => {
    const use = tableOf(['attack'], [[['hammered'], { 1: 20 }]]);
    expect(dataOf(intervalHeatmap(use)).rows.map((row) => row.counts)).toEqual(['n 20']);
  });
});

/** Relative luminance and contrast as WCAG 2.2 defines them. */
function contrast(a: string, b: string): number {
  const luminance = (colour: string): number => {
    const parts = colour.startsWith('#')
      ? [1, 3, 5].map((i) => Number.parseInt(colour.slice(i, i + 2), 16))
      : (colour.match(/\d+/g) as string[]).map(Number);
    const [r, g, bl] = parts.map((v) => (v / 255 <= 0.04045 ? v / 255 / 12.92 : ((v / 255 + 0.055) / 1.055) ** 2.4));
    return 0.2126 * (r as number) + 0.7152 * (g as number) + 0.0722 * (bl as number);
  };
  const [dark, light] = [luminance(a), luminance(b)].sort((x, y) => x - y) as [number, number];
  return (light + 0.05) / (dark + 0.05);
}

describe('how it is drawn', () => {
  const long = [
    'suspended dominant',
    'half-diminished',
    'F#m7b5/E',
    'B♭maj7#11',
    'a-very-long-name-of-a-solo-that-nobody-would-give-to-a-file-if-asked',
  ];
  const made = (n: number): IntervalUse =>
    tableOf(
      ['chord'],
      Array.from(
        { length: n },
        (_, i) => [[`${long[i % 5]}${i < 5 ? '' : i}`], { 1: 500 + i, b2: 5, 5: 1200, 7: 1 }] as const,
      ),
      { pickups: 12 },
    );
  const cases: readonly (readonly [string, ChartSpec])[] = [
    ['the corpus', intervalHeatmap(byFunction, { who: 'Ada Fenwick' })],
    ['by solo, over the key', intervalHeatmap(intervalUse(table, { by: ['solo'], over: 'key', anticipation: true }))],
    ['nothing', intervalHeatmap(intervalUse(toneTable([])))],
    ['one row', intervalHeatmap(made(1))],
    ['two rows', intervalHeatmap(made(2))],
    [
      'twenty rows of long names',
      intervalHeatmap(made(20), { title: 'A long title of many words '.repeat(9), who: 'Ada Fenwick '.repeat(20) }),
    ],
    ['thirty rows', intervalHeatmap(made(30))],
    ['a title without blanks', intervalHeatmap(made(2), { title: 'x'.repeat(400) })],
  ];
  const drawn = new Map<string, string>();
  beforeAll(async () => {
    for (const [name, spec] of cases) drawn.set(name, await chartToSvg(spec));
  });

  it.each(cases.map(([name]) => name))('%s: no words are clipped or on one another', (name) => {
    expect(misplaced(drawn.get(name) as string, MARGIN - 4)).toEqual([]);
  });

  it.each(cases)('%s: every label is there, none smaller than 12 px', (name, spec) => {
    const words = wordsOf(drawn.get(name) as string);
    const texts = words.map((w) => w.text);
    const { cells, rows, notes } = dataOf(spec);
    for (const text of [...spec.title.text, ...spec.title.subtitle, ...DEGREE_NAMES, ...notes.map((n) => n.text)])
      expect(texts).toContain(text);
    for (const row of rows) for (const text of [row.name, row.counts]) expect(texts).toContain(text);
    for (const cell of cells) for (const text of [cell.percent, cell.tones]) expect(texts).toContain(text);
    expect(Math.min(...words.map((w) => w.size))).toBeGreaterThanOrEqual(12);
  });

  it('finds words that are clipped or overlap, where they do', () => {
    const svg =
      '<svg width="100" height="50"><g transform="translate(10,30)"><text font-size="12px" fill="#000" transform="translate(0,0)">one</text><text font-size="12px" fill="#000" transform="translate(5,5)">two</text><text font-size="12px" fill="#000" transform="translate(80,-15)">three</text></g></svg>';
    expect(misplaced(svg, 4)).toHaveLength(2);
  });

  it('words on every shade of cell have the contrast of WCAG 2.2 level AA', async () => {
    // Eleven groups of 1000 tones: shares of the 5 from 0.1 % to 75 %, so that every part of the scale is used.
    const shares = Array.from({ length: 20 }, (_, i) => [[`C${i}`], { 1: 1000 - 1 - i * 39, 5: 1 + i * 39 }] as const);
    const svg = await chartToSvg(intervalHeatmap(tableOf(['chord'], shares)));
    const fills = [
      ...svg.matchAll(/aria-roledescription="rect mark" d="M(-?[\d.]+),(-?[\d.]+)h[^"]*" fill="(rgb[^"]+)"/g),
    ];
    const words = wordsOf(svg).filter((w) => /^(<?\d+|\d,\d+)$/.test(w.text) && w.top > 0);
    const origin = /<g fill="none"[^>]*transform="translate\(([\d.]+),([\d.]+)\)"/.exec(svg) as RegExpExecArray;
    expect(fills).toHaveLength(40);
    let checked = 0;
    for (const [, x, y, fill] of fills) {
      const [left, top] = [Number(origin[1]) + Number(x), Number(origin[2]) + Number(y)];
      for (const word of words)
        if (word.left > left && word.right < left + 50 && word.top > top && word.bottom < top + 42) {
          expect(contrast(word.fill, fill as string), `${word.text} on ${fill}`).toBeGreaterThanOrEqual(4.5);
          checked++;
        }
    }
    expect(checked).toBe(80);
  });
});
