// How the phrases of a solo are related: a row for each phrase, a column for each earlier one, more ink where they have more in common.
import type { Family } from '../analysis/family.js';
import type { Relation, RelationKind } from '../analysis/phrase-relation-kinds.js';
import { INK } from '../foundation/palette.js';
import { amountScale, inkOn, rounded } from './amount.js';
import { end, px } from './bar-panels.js';
import { KIND_WORDS, kindLegendText } from './relation-words.js';
import { type ChartSpec, chart, type Json, plainText, SIZE, textWidth } from './spec.js';
import { words } from './tone-kinds.js';

/** How phrases are shown. */
export interface PhraseChartOptions {
  /** The title. Default: the finding. */
  readonly title?: string;
  /** Which solo it is, for the subtitle. Default: its id. */
  readonly who?: string;
}

/** Phrases that fit one picture; later ones are left to the table, and a note says how many. */
const MOST = 30;
const CELL = { most: 66, worded: 60, least: 30, height: 38, gap: 12, room: 940 } as const;
const ABOVE = 44;
const LEGEND = { at: 14, below: 74, length: 250 } as const;

/**
 * The relations between the phrases of a solo as a matrix: rows and columns are the phrases in order of time, each with its label in the form. A cell
 * holds the strongest relation of two phrases in a word, over the number of notes they share; the stronger, the darker. On the diagonal stand sequences,
 * the relations of a phrase to itself. Cell data carries `row`, the place of the later phrase in `family.phrases`.
 * @param relations of any solos; those of other solos are passed over
 * @example
 * const table = toneTable([{ id: 'two-doors-down', solo: parseSoloOrThrow(EXAMPLE_SOLO) }])
 * relationMatrix(relationsOf(table), families(table)[0]).title.text // => ['No two of the 2 phrases are related']
 */
export function relationMatrix(
  relations: readonly Relation[],
  family: Family,
  options: PhraseChartOptions = {},
): ChartSpec {
  const shown = family.phrases.slice(0, MOST);
  const at = new Map(family.phrases.map(({ phrase }, i) => [phrase, i]));
  const own = relations.filter(({ a, b }) => a.solo === family.solo && b.solo === family.solo);
  const width = Math.max(CELL.least, Math.min(CELL.most, Math.floor(CELL.room / Math.max(1, shown.length))));
  const pairs = new Map<string, Relation[]>();
  for (const relation of own) {
    const key = `${at.get(relation.a.phrase)} ${at.get(relation.b.phrase)}`;
    pairs.set(key, [...(pairs.get(key) ?? []), relation]);
  }
  const cells = [...pairs].flatMap(([key, all]) => {
    const [column, row] = key.split(' ').map(Number) as [number, number];
    const best = all.reduce((a, b) => (b.strength > a.strength ? b : a));
    if (row >= shown.length) return [];
    return [
      {
        row,
        column,
        x: column * width + 1,
        x2: (column + 1) * width - 1,
        y: row * CELL.height + 1,
        y2: (row + 1) * CELL.height - 1,
        middle: (column + 0.5) * width,
        upper: (row + 0.5) * CELL.height - 7,
        lower: (row + 0.5) * CELL.height + 9,
        strength: rounded(best.strength),
        ink: inkOn(best.strength, 1),
        kind: best.kind,
        text: width < CELL.worded ? '' : KIND_WORDS[best.kind][0],
        count: String(best.evidence.count),
        about: `phrase ${best.b.phrase} ${all.map(({ said }) => said).join('; ')}`,
      },
    ];
  });
  const names = shown.map(({ phrase, label }, i) => ({
    text: plainText(phrase),
    label,
    y: (i + 0.5) * CELL.height,
    x: (i + 0.5) * width,
    line: (i + 1) * CELL.height,
    from: 0,
    to: (i + 1) * width,
  }));
  const widest = Math.max(0, ...names.map(({ text }) => textWidth(text, SIZE.text, 'bold')));
  const labels = Math.max(0, ...names.map(({ label }) => textWidth(label, SIZE.small)));
  const left = Math.ceil(widest + labels) + 8 + CELL.gap;
  const height = CELL.height * Math.max(1, shown.length);
  return chart({
    title: options.title || titleOf(own, family),
    question: `How is each phrase related to those before it? n = ${family.phrases.length} ${family.phrases.length === 1 ? 'phrase' : 'phrases'}, ${options.who ?? family.solo}`,
    notes: notesOf(
      cells.map(({ kind }) => kind),
      family,
      width >= CELL.worded,
    ),
    width: Math.max(560, width * shown.length),
    height,
    left,
    above: ABOVE,
    below: cells.length > 0 ? LEGEND.below : LEGEND.at,
    datasets: { names, cells },
    layers: layers(left, labels, height, cells.length > 0),
  });
}

function titleOf(own: readonly Relation[], { phrases }: Family): string {
  const n = phrases.length;
  const pairs = own.filter(({ a, b }) => a.phrase !== b.phrase);
  const related = new Set(pairs.map(({ a, b }) => JSON.stringify([a.phrase, b.phrase]))).size;
  if (related === 0) return n < 2 ? 'One phrase alone' : `No two of the ${n} phrases are related`;
  const best = pairs.reduce((a, b) => (b.strength > a.strength ? b : a));
  const of = (n * (n - 1)) / 2;
  return `${related} of ${of} ${of === 1 ? 'pair' : 'pairs'} of phrases ${related === 1 ? 'is' : 'are'} related; closest: ${best.a.phrase} and ${best.b.phrase} (${KIND_WORDS[best.kind][1]})`;
}

function notesOf(kinds: readonly RelationKind[], family: Family, worded: boolean): readonly string[] {
  const left = family.phrases.length - MOST;
  return [
    ...(kinds.length > 0
      ? [
          `In each cell: ${worded ? 'the strongest relation of the later phrase (row) to the earlier one (column), and under it' : 'for the strongest relation of the later phrase (row) to the earlier one (column)'} the number of notes that it rests on. Blank: none found. Letters: the form, A' made from A.`,
          'Strength: how literal the likeness is, times the share of both phrases that it covers; it orders relations and is no probability.',
          `${kindLegendText(kinds)}.`,
        ]
      : []),
    ...(left > 0 ? [`Not shown: ${left} more ${left === 1 ? 'phrase' : 'phrases'}.`] : []),
  ];
}

function layers(left: number, labels: number, height: number, some: boolean): readonly Json[] {
  const about = { description: { field: 'about' }, tooltip: { field: 'about', type: 'nominal' } };
  const inked = {
    color: { condition: { test: `datum.ink === '${INK.paper}'`, value: INK.paper }, value: INK.text },
  };
  const box = { x: px('x'), x2: end('x2'), y: px('y'), y2: end('y2') };
  const across = { align: 'center', baseline: 'middle' };
  const beside = { align: 'right', baseline: 'middle' };
  const soft = { color: INK.soft };
  return [
    {
      data: { name: 'names' },
      mark: { type: 'rule', color: INK.hair, aria: false },
      encoding: { x: px('from'), x2: end('to'), y: px('line') },
    },
    ...(some
      ? [
          {
            data: { name: 'cells' },
            mark: { type: 'rect' },
            encoding: {
              ...box,
              ...about,
              color: {
                field: 'strength',
                type: 'quantitative',
                scale: amountScale(1),
                legend: {
                  title: 'strength of the relation',
                  orient: 'none',
                  direction: 'horizontal',
                  legendX: 0,
                  legendY: height + LEGEND.at,
                  gradientLength: LEGEND.length,
                  gradientThickness: 12,
                  values: [0, 0.5, 1],
                  labelExpr: "datum.value === 0 ? 'weak' : datum.value === 1 ? 'strong, 1' : '0.5'",
                },
              },
            },
          },
          words('cells', across, { x: px('middle'), y: px('upper'), ...inked }),
          words('cells', across, {
            x: px('middle'),
            y: px('lower'),
            text: { field: 'count', type: 'nominal' },
            ...inked,
          }),
        ]
      : []),
    words('names', { ...beside, fontSize: SIZE.text, fontWeight: 'bold' }, { x: { value: -CELL.gap - labels - 8 } }),
    words('names', { ...beside, ...soft }, { x: { value: -CELL.gap }, text: { field: 'label', type: 'nominal' } }),
    words('names', { ...across, fontSize: SIZE.text, fontWeight: 'bold' }, { y: { value: -26 } }),
    words('names', { ...across, ...soft }, { y: { value: -9 }, text: { field: 'label', type: 'nominal' } }),
    {
      data: { values: [{ text: 'phrase' }] },
      mark: { type: 'text', align: 'left', baseline: 'middle', fontSize: SIZE.small, color: INK.soft, aria: false },
      encoding: { x: { value: -left }, y: { value: -26 }, text: { field: 'text', type: 'nominal' } },
    },
  ];
}
