import { readFileSync, writeFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { Ajv } from 'ajv';
import { beforeAll, describe, expect, it } from 'vitest';
import { attacks } from '../../lib/analysis/attacks.js';
import { entryUse } from '../../lib/analysis/entry.js';
import { landingUse } from '../../lib/analysis/landing.js';
import { labelColumn, type ShareTable, shareTable } from '../../lib/analysis/shares.js';
import { attackBars } from '../../lib/charts/attack-bars.js';
import { entryBeats } from '../../lib/charts/entry-beats.js';
import { landingBars } from '../../lib/charts/landing-bars.js';
import { chartToSvg } from '../../lib/charts/render.js';
import { type ShareWords, shareFinding } from '../../lib/charts/share-finding.js';
import { type ChartSpec, type Json, MARGIN } from '../../lib/charts/spec.js';
import { readCorpus } from '../../lib/intake/read-corpus.js';
import { type NamedSolo, toneTable } from '../../lib/solo/tone-table.js';
import { DEGREE_NAMES } from '../../lib/theory/interval.js';
import { SOLOS } from './corpus.js';
import { misplaced, wordsOf } from './words.js';

const small = toneTable(SOLOS);
const demo = readCorpus(['data/solos']).solos;
const table = toneTable(demo);
const nothing = toneTable([]);
const named = (player: string): readonly NamedSolo[] =>
  demo.map(({ id, solo }) => ({ id, solo: { ...solo, player: `${player} ${solo.player}` } }));

interface Bar {
  readonly row: number;
  readonly table?: 'starts' | 'reached';
  readonly value: string;
  readonly count: number;
  readonly share: number;
  readonly low?: number;
  readonly high?: number;
  readonly marked: boolean;
  readonly few: boolean;
  readonly about: string;
  readonly y: number;
  readonly base: number;
  readonly yLow?: number;
  readonly yHigh?: number;
}
const dataOf = (spec: ChartSpec) =>
  spec.datasets as unknown as {
    readonly bars: readonly Bar[];
    readonly panels: readonly { readonly name: string; readonly few: boolean }[];
    readonly sizes: readonly { readonly text: string }[];
    readonly notes: readonly { readonly text: string }[];
    readonly labels: readonly { readonly text: string; readonly y: number }[];
  };
const notesOf = (spec: ChartSpec): string =>
  dataOf(spec)
    .notes.map((n) => n.text)
    .join(' ');

/** A table of made-up shares: for each player its solos, each with how often either value comes. */
function tableOf(players: Readonly<Record<string, readonly (readonly [lands: number, not: number])[]>>): ShareTable {
  const items = Object.entries(players).flatMap(([player, list]) =>
    list.flatMap(([lands, not], s) =>
      Array.from({ length: lands + not }, (_, i) => ({ player, solo: `${player} ${s}`, value: i < lands ? '3' : '5' })),
    ),
  );
  return shareTable({
    by: [labelColumn(items.map((i) => i.player))],
    value: labelColumn(items.map((i) => i.value)),
    solo: labelColumn(items.map((i) => i.solo)),
  });
}
const words: ShareWords = { by: ['player'], does: (value) => `land on the ${value}`, link: 'at', things: 'changes' };
const even = (lands: number, not: number, solos = 6) => Array.from({ length: solos }, () => [lands, not] as const);

describe('the finding of a table of shares', () => {
  it('names who stands out, with n, interval and the others', () => {
    const found = shareFinding(tableOf({ Ada: even(8, 2), Bo: even(2, 8) }), words);
    expect(found.kind).toBe('stands out');
    expect(found.text).toMatch(
      /^(Ada lands on the 3|Bo lands on the 5) at 80 % of 60 changes \(\d+ to \d+ %\), the others at 20 % of 60$/,
    );
  });

  it('does not take for a difference what solos of one player differ by', () => {
    // As many tones and the same shares, but all in two of the six solos: the interval is as wide as the solos differ.
    const lumpy = [
      [10, 0],
      [10, 0],
      [10, 0],
      [0, 10],
      [0, 10],
      [10, 0],
    ] as const;
    expect(shareFinding(tableOf({ Ada: lumpy, Bo: even(4, 6) }), words).kind).toBe('comes most');
  });

  it('asks nothing of fewer than five solos, of fewer than 30, or of what comes fewer than ten times', () => {
    expect(shareFinding(tableOf({ Ada: even(10, 0, 4), Bo: even(0, 10, 4) }), words).text).toBe(
      'Ada most often lands on the 3: at 100 % of 40 changes',
    );
    expect(shareFinding(tableOf({ Ada: even(4, 1, 5), Bo: even(10, 40) }), words).text).toMatch(
      /^Bo most often lands on the 5/,
    );
    expect(
      shareFinding(
        tableOf({
          Ada: [
            [2, 8],
            [2, 8],
            [2, 8],
            [2, 8],
            [1, 9],
          ],
          Bo: even(0, 50),
        }),
        words,
      ).kind,
    ).toBe('comes most');
  });

  it('says too few of fewer than 20, and of nothing', () => {
    expect(shareFinding(tableOf({ Ada: [[10, 9]], Bo: [[1, 1]] }), words)).toMatchObject({
      kind: 'too few',
      rows: [],
      text: 'Too few changes for a finding (at most n = 19, Ada)',
    });
    expect(shareFinding(tableOf({}), words).text).toBe('Too few changes for a finding (n = 0)');
  });

  it('names all values that come most alike, and says where if groups are no players', () => {
    expect(shareFinding(tableOf({ Ada: [[10, 10]] }), words).text).toBe(
      'Ada most often lands on the 3 and lands on the 5: at 50 % each of 20 changes',
    );
    const byFunction = tableOf({ IV: [[15, 5]] });
    expect(shareFinding(byFunction, { ...words, by: ['function'] }).text).toBe(
      'Over IV they most often land on the 3: at 75 % of 20 changes',
    );
    expect(
      shareFinding(byFunction, { ...words, by: ['solo'], usual: { beside: 'beside picking', only: '' } }).text,
    ).toBe('Beside picking in IV they most often land on the 3: at 75 % of 20 changes');
  });

  it('holds one player over one chord against all else', () => {
    const use = landingUse(table, { by: ['player', 'function'] });
    expect(landingBars(use, { of: 'role' }).title.text.join(' ')).toMatch(
      /^Over IV Tobias Underlamp lands on the root at .*, elsewhere at \d+ % of 370$/,
    );
    // Degrees are not compared over different chords: a minor chord has no 3 to land on.
    expect(landingBars(use).title.text.join(' ')).toMatch(/^Over I Marla Quillfeather most often lands on the 3: at /);
  });

  it('says the findings that were planted in the demo', () => {
    expect(landingBars(landingUse(table)).title.text.join(' ')).toMatch(
      /^Tobias Underlamp lands on the root at 74 % of 115 changes \(\d+ to \d+ %\), the others at 5 % of 286$/,
    );
    expect(
      landingBars(landingUse(table, { where: { player: ['Marla', 'Juno'] } }), { of: 'role' }).title.text.join(' '),
    ).toMatch(/^(Marla \S+ lands on the third at 78 %|Juno \S+ lands on the seventh at 48 %)/);
    expect(entryBeats(entryUse(table, { where: { meter: '4/4' } })).title.text.join(' ')).toMatch(
      /^Tobias Underlamp comes in on 3& in 73 % of 77 phrases \(\d+ to \d+ %\), the others in 0 % of 101$/,
    );
    expect(attackBars(attacks(table)).title.text.join(' ')).toMatch(
      /^Juno Brackwater pulls 18 % of 937 tones \(\d+ to \d+ %\), the others 5 % of 1,741$/,
    );
  });
});

const golden = (): readonly (readonly [string, ChartSpec])[] => [
  ['landing-bars', landingBars(landingUse(small))],
  ['entry-beats', entryBeats(entryUse(small))],
  ['attack-bars', attackBars(attacks(small))],
];

const rounded = (value: Json): Json =>
  typeof value === 'number'
    ? Math.round(value * 1000) / 1000
    : Array.isArray(value)
      ? value.map(rounded)
      : typeof value === 'object' && value !== null
        ? Object.fromEntries(Object.entries(value).map(([k, v]) => [k, rounded(v)]))
        : value;

describe('the specs', () => {
  // After a change that is meant: UPDATE_GOLDEN=1 npx vitest run --config tests/vitest.config.ts tests/charts, then read the difference.
  it.each(golden())('%s is the one on file', (name, spec) => {
    const file = new URL(`golden/${name}.vl.json`, import.meta.url);
    const plain = rounded(spec as unknown as Json);
    if (process.env.UPDATE_GOLDEN) writeFileSync(file, `${JSON.stringify(plain, null, 2)}\n`);
    expect(plain).toEqual(JSON.parse(readFileSync(file, 'utf8')));
  });

  // The JSON schema that Vega-Lite 6 publishes at the address in $schema, as it comes with the package.
  it('keep to the published schema of Vega-Lite 6, and are plain JSON', () => {
    const schema = createRequire(import.meta.url)('vega-lite/vega-lite-schema.json') as object;
    const valid = new Ajv({
      strict: false,
      validateFormats: false,
      inlineRefs: false,
      code: { optimize: false },
    }).compile(schema);
    for (const [name, spec] of [...golden(), ['nothing', landingBars(landingUse(nothing))] as const]) {
      expect(valid(spec), `${name}: ${JSON.stringify(valid.errors?.slice(0, 3))}`).toBe(true);
      expect(JSON.parse(JSON.stringify(spec)), name).toEqual(spec);
    }
  });
});

describe('what they show', () => {
  const use = landingUse(table);
  const landing = landingBars(use);

  it('have a bar for each row of the table, as high as its share, with a whisker where the interval is known', () => {
    const { bars, panels } = dataOf(landing);
    expect(bars).toHaveLength(use.degrees.rows.length);
    for (const bar of bars) {
      const row = use.degrees.rows[bar.row];
      expect([bar.value, bar.count, bar.low !== undefined]).toEqual([
        row?.value,
        row?.count,
        row?.share.low !== undefined,
      ]);
      expect(bar.share).toBeCloseTo(row?.share.share ?? Number.NaN, 4);
      // The scale ends at 100 %, 84 px above the base line.
      expect((bar.base - bar.y) / 84).toBeCloseTo(bar.share, 2);
      if (bar.low !== undefined) expect((bar.base - (bar.yLow ?? 0)) / 84).toBeCloseTo(bar.low, 2);
    }
    expect(panels.map((p) => p.name)).toEqual(use.degrees.groups.map((g) => g.group[0]));
  });

  it('mark the bar that the title says, and none under a title of the caller', () => {
    const marked = (spec: ChartSpec) =>
      dataOf(spec)
        .bars.filter((bar) => bar.marked)
        .map((bar) => bar.about);
    expect(marked(landing)).toHaveLength(1);
    expect(marked(landing)[0]).toMatch(
      /^Tobias Underlamp: the root at 74 % \(\d+ to \d+ %\), 85 of 115 changes, in 9 solos$/,
    );
    expect(marked(landingBars(use, { title: 'Where they land' }))).toEqual([]);
    expect(notesOf(landingBars(use, { title: 'Where they land' }))).not.toContain('Dark');
  });

  it('give fewer than five solos no whiskers, and fewer than 20 outlines only', () => {
    const four = dataOf(landingBars(landingUse(toneTable(demo.slice(0, 4)))));
    expect(four.bars.every((bar) => bar.yHigh === undefined)).toBe(true);
    const bySolo = dataOf(landingBars(landingUse(table, { by: ['solo'], where: { player: 'Juno' } })));
    expect(bySolo.bars.some((bar) => bar.few) && bySolo.bars.some((bar) => !bar.few)).toBe(true);
  });

  it('say what is left out', () => {
    expect(notesOf(landing)).toContain('33 changes without a tone near are in no bar.');
    const nine = landingBars(landingUse(table, { by: ['solo'], where: { player: 'Juno' } }));
    expect(dataOf(nine).panels).toHaveLength(8);
    expect(notesOf(nine)).toMatch(/Not shown: 1 more with \d+ changes in all\./);
    expect(notesOf(entryBeats(entryUse(table)))).toContain('4/4 (178)');
  });

  it('draw the ruler of each panel as long as its longest meter, and name odd counts where they are', () => {
    const { labels } = dataOf(entryBeats(entryUse(table)));
    const said = labels.map((l) => l.text);
    // Tobias in four (also 12/8), Marla in six (6/8), Juno in five (5/4).
    expect(['1', '4', '5', '6'].map((n) => said.filter((t) => t === n).length)).toEqual([3, 3, 2, 1]);
    expect(['1t', '4e', '4l', '1l'].map((n) => said.filter((t) => t === n).length)).toEqual([1, 1, 1, 1]);
  });

  it('lead from each bar of attacks to a row of its table', () => {
    const found = attacks(table);
    for (const bar of dataOf(attackBars(found)).bars) {
      const row = found[bar.table as 'starts'].rows[bar.row];
      expect([row?.value, row?.count]).toEqual([bar.value, bar.count]);
    }
  });
});

describe('how they are drawn', () => {
  const long = '<b>Ampersand & Sons</b>, "the Elder" of a Very Long Name Indeed';
  const cases: readonly (readonly [string, ChartSpec])[] = [
    ['landings', landingBars(landingUse(table))],
    ['landings by role', landingBars(landingUse(table), { of: 'role' })],
    ['landings by function', landingBars(landingUse(table, { by: ['player', 'function'] }))],
    ['landings of few', landingBars(landingUse(small))],
    ['landings of nobody', landingBars(landingUse(nothing))],
    ['entries', entryBeats(entryUse(table))],
    ['entries of long names', entryBeats(entryUse(toneTable(named(long))))],
    ['entries of nobody', entryBeats(entryUse(nothing))],
    ['attacks', attackBars(attacks(table))],
    ['attacks by solo', attackBars(attacks(table, { by: ['solo'] }))],
    ['attacks of picked tones only', attackBars(attacks(small))],
    ['attacks of nobody', attackBars(attacks(nothing), { title: 'x'.repeat(300) })],
  ];
  const drawn = new Map<string, string>();
  beforeAll(async () => {
    for (const [name, spec] of cases) drawn.set(name, await chartToSvg(spec));
  });

  it.each(cases.map(([name]) => name))('%s: no words are clipped or on one another', (name) => {
    expect(misplaced(drawn.get(name) as string, MARGIN - 4)).toEqual([]);
  });

  it.each(cases)('%s: every label is there, none smaller than 12 px', (name, spec) => {
    const all = wordsOf(drawn.get(name) as string);
    const texts = all.map((w) => w.text);
    const { bars, labels, sizes, notes } = dataOf(spec);
    for (const { text } of [...labels, ...sizes, ...notes]) expect(texts).toContain(text);
    for (const bar of bars) expect(texts).toContain(String(bar.count).replace(/\B(?=(\d{3})+$)/g, ','));
    expect(Math.min(...all.map((w) => w.size))).toBeGreaterThanOrEqual(12);
    if (name === 'landings')
      for (const degree of DEGREE_NAMES) expect(texts.filter((t) => t === degree).length).toBeGreaterThanOrEqual(3);
  });
});
