// Where the phrases of a solo come from: the phrases from left to right in the order of time, each joined to its source by a line that says how.
import type { Family } from '../analysis/family.js';
import { INK, KIND } from '../foundation/palette.js';
import { end, px } from './bar-panels.js';
import type { PhraseChartOptions } from './relation-matrix.js';
import { KIND_WORDS, kindLegendText } from './relation-words.js';
import { type ChartSpec, chart, type Json, plainText, SIZE, shorten } from './spec.js';
import { tenth, words } from './tone-kinds.js';

/** Phrases that fit one picture; later ones are left to the table, and a note says how many. */
const MOST = 24;
const STEP = { least: 80, most: 124, room: 940 } as const;
const BOX = { half: 23, height: 30, beside: 9 } as const;
const LEVEL = 28;
/** Width of a line from the weakest relation to the strongest. */
const STROKE = { least: 1, more: 3 } as const;

/**
 * The family of a solo as a picture: its phrases in the order of time with their labels in the form (A, A', B), dark where a phrase is its own, and from
 * each source a line to what comes from it, with the kind of relation in a word and thicker where it is stronger. Box data carries `row`, the place of
 * the phrase in `family.phrases`.
 * @example
 * const table = toneTable([{ id: 'two-doors-down', solo: parseSoloOrThrow(EXAMPLE_SOLO) }])
 * familyTree(families(table)[0]).title.text // => ['None of the 2 phrases comes from an earlier one']
 */
export function familyTree(family: Family, options: PhraseChartOptions = {}): ChartSpec {
  const shown = family.phrases.slice(0, MOST);
  const step = Math.max(STEP.least, Math.min(STEP.most, STEP.room / Math.max(1, shown.length)));
  const at = new Map(shown.map(({ phrase }, i) => [phrase, i]));
  const edges = levelled(
    shown.flatMap(({ source }, to) => (source ? [{ from: at.get(source.a.phrase) as number, to, source }] : [])),
  );
  const levels = Math.max(0, ...edges.map(({ level }) => level));
  const top = levels * LEVEL + (levels > 0 ? 10 : 0);
  const xOf = (i: number) => tenth((i + 0.5) * step);
  const boxes = shown.map(({ phrase, name, label, source }, i) => ({
    row: i,
    x: xOf(i),
    left: xOf(i) - BOX.half,
    right: xOf(i) + BOX.half,
    top,
    base: top + BOX.height,
    middle: top + BOX.height / 2,
    label,
    own: !source,
    text: plainText(phrase),
    name: shorten(plainText(name), step - 10, SIZE.small),
    about: `phrase ${phrase}, ${label}: ${source ? source.said : 'of its own'}`,
  }));
  const across = edges.map(({ from, to, level, source }) => {
    const y = (levels - level) * LEVEL + 18;
    const width = tenth(STROKE.least + STROKE.more * source.strength);
    return { x: xOf(from) + BOX.beside, x2: xOf(to) - BOX.beside, y, y2: y, width };
  });
  const upright = across.flatMap(({ x, x2, y, width }) => [
    { x, x2: x, y: top, y2: y, width },
    { x: x2, x2, y, y2: top - 6, width },
  ]);
  // Where lines cross, the level one passes over the upright one, with paper on both sides of it.
  const bridges = across.map((line) => ({ ...line, x: line.x + 6, x2: line.x2 - 6, width: line.width + 5 }));
  const ends = edges.map(({ to }) => ({ x: xOf(to) - BOX.beside, y: top - 5 }));
  const kinds = edges.map(({ to, level, source }) => ({
    text: KIND_WORDS[source.kind][0],
    x: tenth(xOf(to) - step / 2),
    y: (levels - level) * LEVEL + 12,
  }));
  return chart({
    title: options.title || titleOf(family),
    question: `From which earlier phrase does each come? n = ${family.phrases.length} ${family.phrases.length === 1 ? 'phrase' : 'phrases'}, ${options.who ?? family.solo}`,
    notes: notesOf(family, shown.length),
    width: Math.max(560, Math.ceil(shown.length * step)),
    height: top + BOX.height + 38,
    left: 0,
    above: 4,
    below: 14,
    datasets: { boxes, upright, bridges, across, ends, kinds },
    layers: layers(edges.length > 0),
  });
}

interface Edge {
  readonly from: number;
  readonly to: number;
}

/** Gives each line a height, the short ones low, so that no two lie on one another. */
function levelled<E extends Edge>(edges: readonly E[]): readonly (E & { readonly level: number })[] {
  const rows: Edge[][] = [];
  const placed = [...edges]
    .sort((a, b) => a.to - a.from - (b.to - b.from) || a.to - b.to)
    .map((edge) => {
      const isFree = (row: readonly Edge[]) => row.every(({ from, to }) => to <= edge.from || from >= edge.to);
      let level = rows.findIndex(isFree);
      if (level < 0) level = rows.push([]) - 1;
      rows[level]?.push(edge);
      return { ...edge, level: level + 1 };
    });
  return placed.sort((a, b) => a.to - b.to);
}

function titleOf({ phrases }: Family): string {
  const n = phrases.length;
  const later = phrases.filter(({ source }) => source);
  if (later.length === 0) return n < 2 ? 'One phrase alone' : `None of the ${n} phrases comes from an earlier one`;
  const counts = new Map<string, number>();
  for (const { source } of later) {
    const from = source?.a.phrase as string;
    counts.set(from, (counts.get(from) ?? 0) + 1);
  }
  const [most, times] = [...counts].reduce((a, b) => (b[1] > a[1] ? b : a));
  const found = `${later.length} of ${n} phrases ${later.length === 1 ? 'comes' : 'come'} from earlier ones`;
  return times > 1 ? `${found}, ${times === later.length ? 'all' : times} of them directly from phrase ${most}` : found;
}

function notesOf({ phrases, form }: Family, shown: number): readonly string[] {
  const kinds = phrases.flatMap(({ source }) => (source ? [source.kind] : []));
  const left = phrases.length - shown;
  return [
    `Form: ${form}. Dark: a phrase of its own${kinds.length > 0 ? "; A', A'' come from A, by the strongest relation to an earlier phrase, thicker the stronger it is" : ''}.`,
    ...(kinds.length > 0 ? [`${kindLegendText(kinds)}.`] : []),
    ...(left > 0 ? [`Not shown: ${left} more ${left === 1 ? 'phrase' : 'phrases'}.`] : []),
  ];
}

function layers(some: boolean): readonly Json[] {
  const box = { x: px('left'), x2: end('right'), y: px('top'), y2: end('base') };
  const about = { description: { field: 'about' }, tooltip: { field: 'about', type: 'nominal' } };
  const own = (yes: string, no: string): Json => ({ condition: { test: 'datum.own', value: yes }, value: no });
  const lines = (data: string, color: string): Json => ({
    data: { name: data },
    mark: { type: 'rule', color, strokeCap: data === 'bridges' ? 'butt' : 'square', aria: false },
    encoding: {
      x: px('x'),
      x2: end('x2'),
      y: px('y'),
      y2: end('y2'),
      strokeWidth: { field: 'width', type: 'quantitative', scale: null },
    },
  });
  const under = { align: 'center', baseline: 'top' };
  return [
    ...(some
      ? [
          lines('upright', KIND.blue),
          lines('bridges', INK.paper),
          lines('across', KIND.blue),
          {
            data: { name: 'ends' },
            mark: {
              type: 'point',
              shape: 'triangle-down',
              size: 70,
              filled: true,
              color: KIND.blue,
              opacity: 1,
              aria: false,
            },
            encoding: { x: px('x'), y: px('y') },
          },
          words('kinds', { align: 'center', baseline: 'alphabetic' }),
        ]
      : []),
    {
      data: { name: 'boxes' },
      mark: { type: 'rect', strokeWidth: 1.5, stroke: INK.text },
      encoding: { ...box, ...about, fill: own(INK.text, INK.paper) },
    },
    words(
      'boxes',
      { align: 'center', baseline: 'middle', fontSize: SIZE.text, fontWeight: 'bold' },
      { y: px('middle'), text: { field: 'label', type: 'nominal' }, color: own(INK.paper, INK.text) },
    ),
    words('boxes', { ...under, dy: 6, fontWeight: 'bold' }, { y: px('base') }),
    words('boxes', { ...under, dy: 22, color: INK.soft }, { y: px('base'), text: { field: 'name', type: 'nominal' } }),
  ];
}
