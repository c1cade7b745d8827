// The heatmap of interval use: a row for each chord, a column for each of the twelve degrees, more ink where more tones are.
import type { Grouping } from '../analysis/grouping.js';
import type { IntervalUse, IntervalUseGroup, IntervalUseRow } from '../analysis/interval-use.js';
import { INK, KIND } from '../foundation/palette.js';
import { DEGREE_NAMES } from '../theory/interval.js';
import { amountScale, inkOn, rounded } from './amount.js';
import { FEW_TONES, inMusicalOrder, intervalFinding, keyOf, whereText } from './interval-finding.js';
import {
  type ChartSpec,
  chart,
  countText,
  type Json,
  percentText,
  plainText,
  SIZE,
  shorten,
  textWidth,
} from './spec.js';

/** How a heatmap of interval use is shown. */
export interface IntervalHeatmapOptions {
  /** The title. Default: the finding of the table, see {@link intervalFinding}. */
  readonly title?: string;
  /** Whose tones they are, for the subtitle: `Ada Fenwick`. Default: not said. */
  readonly who?: string;
  /** More to be said under the picture, such as that of `mixedKeysNote`. Default: nothing. */
  readonly note?: string | undefined;
}

/** Rows that fit one picture; the groups with the fewest tones beyond them are only counted, in a note. */
const MOST_ROWS = 20;

const CELL = { width: 50, height: 42 } as const;
const NAME = { least: 90, most: 300, gap: 12 } as const;
const ABOVE = 40;
const LEGEND = { at: 14, below: 74, length: 250 } as const;

/**
 * A heatmap of interval use: per group (a function, a chord) the share of its tones on each of the twelve degrees, always all twelve. A cell shows
 * the share in per cent over the number of tones; a degree that is not used stays blank paper. All cells share one colour scale from 0 up to
 * the largest share, rounded up to 5 %. Groups of fewer than 20 tones are marked as few and get no colour, since one tone more or less would change it.
 * Functions stand from I to VII, other groups by their tones; past 20 groups the smallest are left to the table, and a note says how many.
 * The cell
 * that the title speaks of is framed; one most of whose tones are curled has a `+` in its corner. Cell data carries `row`, an index into `use.rows`, so that a page can open the places behind a cell.
 * @example
 * const text = '---\ntitle: Two Bars\nplayer: Ada Fenwick\nkey: A minor\ntempo: 96\n---\nchanges\n  1 Am7\nphrase 1\nat 1 1\n  q 5@1 8@2 h 5@1 |\n'
 * const use = intervalUse(toneTable([{ id: 'two-bars', solo: parseSoloOrThrow(text) }]))
 * intervalHeatmap(use, { who: 'Ada Fenwick' }).title.subtitle // => ['Which degrees over which chord? n = 3 tones in 1 solo, Ada Fenwick']
 */
export function intervalHeatmap(use: IntervalUse, options: IntervalHeatmapOptions = {}): ChartSpec {
  const byTones = [...use.groups].sort((a, b) => b.tones - a.tones);
  const shown = byTones.slice(0, MOST_ROWS).sort(inMusicalOrder(use));
  const names = shown.map((g) => rowName(use, g));
  const widest = Math.max(
    ...names.flatMap(({ name, counts }) => [textWidth(name, SIZE.text, 'bold'), textWidth(counts, SIZE.small)]),
    0,
  );
  const left = Math.ceil(Math.min(NAME.most, Math.max(NAME.least, widest))) + NAME.gap;
  const shares = cellsOf(use, shown);
  const scaled = shares.filter((cell) => !cell.few).map((cell) => cell.share);
  const top = scaled.length === 0 ? undefined : Math.ceil(Math.max(...scaled) * 20 - 1e-9) / 20;
  const cells = shares.map((cell) => ({ ...cell, ink: cell.few ? INK.soft : inkOn(cell.share, top ?? 1) }));
  const curls = cells.filter((cell) => cell.curled !== undefined);
  const rows = names.map(({ name, counts, few }, line) => ({
    line,
    name: shorten(name, left - NAME.gap, SIZE.text, 'bold'),
    counts,
    few,
  }));
  const finding = intervalFinding(use);
  const framed = options.title ? [] : cells.filter((cell) => finding.rows.includes(cell.row)).map((cell) => cell.row);
  return chart({
    title: options.title || finding.text,
    question: questionText(use, options.who),
    notes: notesOf(use, byTones.slice(MOST_ROWS), {
      few: rows.some((row) => row.few),
      framed: framed.length > 0,
      curled: curls.length > 0,
      note: options.note,
      brackets: framed.length === 1 && use.rows[framed[0] as number]?.share.low !== undefined,
    }),
    width: CELL.width * DEGREE_NAMES.length,
    height: CELL.height * Math.max(1, shown.length),
    left,
    above: ABOVE,
    below: top === undefined ? LEGEND.at : LEGEND.below,
    datasets: { rows, cells, ...(curls.length > 0 && { curls }) },
    layers: layers(use, rows.length, top, framed, curls.length > 0),
  });
}

type Cell = {
  readonly row: number;
  readonly line: number;
  readonly degree: string;
  readonly share: number;
  readonly percent: string;
  readonly tones: string;
  readonly few: boolean;
  /** A sign where most of its tones are curled. */
  readonly curled?: string;
  readonly about: string;
};

function cellsOf(use: IntervalUse, shown: readonly IntervalUseGroup[]): readonly Cell[] {
  const lines = new Map(shown.map((g, line) => [keyOf(g.group), line]));
  const cells = use.rows.flatMap((row, i): Cell[] => {
    const line = lines.get(keyOf(row.group));
    if (line === undefined || row.tones === 0) return [];
    const group = shown[line] as IntervalUseGroup;
    const few = group.tones < FEW_TONES;
    const share = rounded(row.share.share);
    return [
      {
        row: i,
        line,
        degree: row.degree,
        share,
        percent: percentText(row.share.share),
        tones: countText(row.tones),
        few,
        ...(row.plus * 2 > row.tones && { curled: '+' }),
        about: aboutCell(use, row, group),
      },
    ];
  });
  return cells.sort((a, b) => a.line - b.line || a.row - b.row);
}

/** What a cell says when it is pointed at, or read aloud. */
function aboutCell(use: IntervalUse, row: IntervalUseRow, group: IntervalUseGroup): string {
  const { share, low, high } = row.share;
  const range = low === undefined || high === undefined ? '' : ` (${percentText(low)} to ${percentText(high)} %)`;
  const solos = row.solos === 1 ? '1 solo' : `${row.solos} solos`;
  return `${row.degree} ${whereText(use, row.group)}: ${percentText(share)} %${range}, ${countText(row.tones)} of ${countText(group.tones)} tones, in ${solos}${row.plus > 0 ? `; ${row.plus === row.tones ? 'all' : `${countText(row.plus)} of them`} a quarter-tone above it` : ''}`;
}

/** Groupings by which bars are parted, too; a chord's bars say nothing of, say, its hammered tones alone. */
const HAS_BARS: ReadonlySet<Grouping> = new Set<Grouping>(['player', 'solo', 'key', 'function', 'chord', 'quality']);

function rowName(use: IntervalUse, group: IntervalUseGroup): { name: string; counts: string; few: boolean } {
  const few = group.tones < FEW_TONES;
  const exact = group.exposureBars ?? 0;
  const bars = exact < 10 ? Math.round(exact * 10) / 10 : Math.round(exact);
  const exposure =
    group.exposureBars !== undefined && use.by.every((g) => HAS_BARS.has(g))
      ? `, ${bars === 1 ? '1 bar' : `${bars} bars`}`
      : '';
  return {
    name: group.group.map(plainText).join(', '),
    counts: `n ${countText(group.tones)}${exposure}${few ? ', few' : ''}`,
    few,
  };
}

const isByChord = (use: IntervalUse): boolean =>
  use.by.length === 1 && ['function', 'chord', 'quality'].includes(use.by[0] as string);

const QUESTIONS: Readonly<Partial<Record<Grouping, string>>> = {
  function: 'over which chord',
  chord: 'over which chord',
  quality: 'over which kind of chord',
  player: 'by which player',
  solo: 'in which solo',
  key: 'in which key',
  position: 'where in the phrase',
};

function questionText(use: IntervalUse, who: string | undefined): string {
  const asked = use.by.map((g) => QUESTIONS[g] ?? `with which ${g}`).join(' and ');
  const solos = new Set(use.rows.flatMap((_, i) => use.places(i).map((place) => place.solo))).size;
  const n = `n = ${countText(use.tones)} ${use.tones === 1 ? 'tone' : 'tones'} in ${solos} ${solos === 1 ? 'solo' : 'solos'}`;
  return `Which degrees${use.over === 'key' ? ' of the key' : ''} ${asked}? ${n}${who ? `, ${who}` : ''}`;
}

function notesOf(
  use: IntervalUse,
  left: readonly IntervalUseGroup[],
  shown: { few: boolean; framed: boolean; brackets: boolean; curled: boolean; note: string | undefined },
): readonly string[] {
  const out = [
    ...(use.over === 'chord' && use.pickups > 0 ? [`${countText(use.pickups)} before the first chord`] : []),
    ...(use.over === 'chord' && use.withoutChord > 0
      ? [`${countText(use.withoutChord)} where no chord is played`]
      : []),
  ];
  return [
    ...(use.tones > 0
      ? ['In each cell: per cent of the tones of its row, and under it the number of tones. Blank: not played.']
      : []),
    ...(shown.framed
      ? [
          `Framed: what the title says.${shown.brackets ? ' In its brackets: the 95 % interval, wider the more the solos differ.' : ''}`,
        ]
      : []),
    ...(shown.curled ? ['+ in a cell: more than half of its tones are curled, a quarter-tone above the degree.'] : []),
    ...(shown.few ? [`Few: under ${FEW_TONES} tones, too few for a colour.`] : []),
    ...(use.anticipation ? ['Tones pushed ahead of a change are heard against the chord they lead into.'] : []),
    ...(shown.note ? [shown.note] : []),
    ...(out.length > 0 ? [`Tones left out: ${out.join(', ')}.`] : []),
    ...(left.length > 0
      ? [
          `Not shown: ${left.length} more ${left.length === 1 ? 'row' : 'rows'} with ${countText(left.reduce((sum, g) => sum + g.tones, 0))} tones in all.`,
        ]
      : []),
  ];
}

function layers(
  use: IntervalUse,
  count: number,
  top: number | undefined,
  framed: readonly number[],
  curled: boolean,
): readonly Json[] {
  const lines = Array.from({ length: count }, (_, line) => line);
  const y = { field: 'line', type: 'ordinal', scale: { domain: lines, paddingInner: 0, paddingOuter: 0 }, axis: null };
  const x = {
    field: 'degree',
    type: 'nominal',
    scale: { domain: [...DEGREE_NAMES], paddingInner: 0, paddingOuter: 0 },
    axis: {
      orient: 'top',
      labelAngle: 0,
      labelFontSize: SIZE.text,
      labelFontWeight: 'bold',
      labelPadding: 6,
      title: `degree above the ${use.over === 'key' ? 'tonic of the key' : 'root of the chord'}`,
      titleAnchor: 'start',
      titlePadding: 6,
    },
  };
  const width = CELL.width * DEGREE_NAMES.length;
  const label = (field: string, size: number, dy: number, dx = 0) => ({
    mark: { type: 'text', fontSize: size, dx, dy, aria: false, baseline: 'middle' },
    encoding: {
      x,
      y,
      text: { field, type: 'nominal' },
      color: {
        condition: [
          { test: `datum.ink === '${INK.soft}'`, value: INK.soft },
          { test: `datum.ink === '${INK.paper}'`, value: INK.paper },
        ],
        value: KIND.black,
      },
    },
  });
  const named = (field: string, size: number, dy: number, strong: boolean): Json => ({
    mark: {
      type: 'text',
      align: 'right',
      baseline: 'middle',
      fontSize: size,
      dy,
      aria: false,
      ...(strong && { fontWeight: 'bold' }),
    },
    encoding: {
      x: { value: -NAME.gap },
      y,
      text: { field, type: 'nominal' },
      color: strong ? { condition: { test: 'datum.few', value: INK.soft }, value: INK.text } : { value: INK.soft },
    },
  });
  const about = { description: { field: 'about' }, tooltip: { field: 'about', type: 'nominal' } };
  const tile = { type: 'rect', width: CELL.width - 2, height: CELL.height - 2 };
  return [
    {
      data: { name: 'rows' },
      mark: { type: 'rule', color: INK.hair, aria: false },
      encoding: { y: { ...y, bandPosition: 1 }, x: { value: 0 }, x2: { value: width } },
    },
    {
      data: { name: 'cells' },
      layer: [
        {
          transform: [{ filter: '!datum.few' }],
          mark: tile,
          encoding: {
            x,
            y,
            ...about,
            color: {
              field: 'share',
              type: 'quantitative',
              scale: amountScale(top ?? 1),
              legend:
                top === undefined
                  ? null
                  : {
                      title: `share of the ${isByChord(use) ? "chord's" : "row's"} tones`,
                      orient: 'none',
                      direction: 'horizontal',
                      legendX: 0,
                      legendY: CELL.height * Math.max(1, count) + LEGEND.at,
                      gradientLength: LEGEND.length,
                      gradientThickness: 12,
                      values: ticksTo(top),
                      labelExpr: "round(100 * datum.value) + ' %'",
                    },
            },
          },
        },
        {
          transform: [{ filter: 'datum.few' }],
          mark: { ...tile, filled: false, stroke: INK.line, strokeDash: [2, 3] },
          encoding: { x, y, ...about },
        },
        ...(framed.length === 0
          ? []
          : [
              {
                transform: [{ filter: { field: 'row', oneOf: [...framed] } }],
                mark: { ...tile, filled: false, stroke: KIND.vermilion, strokeWidth: 3, aria: false },
                encoding: { x, y },
              },
            ]),
        label('percent', SIZE.text, -7),
        label('tones', SIZE.small, 10),
        ...(curled ? [{ data: { name: 'curls' }, ...label('curled', SIZE.text, -11, 17) }] : []),
      ],
    },
    { data: { name: 'rows' }, layer: [named('name', SIZE.text, -7, true), named('counts', SIZE.small, 10, false)] },
  ];
}

/** Marks of a scale from 0 to a share, in round steps, at most five: more would stand on each other. */
function ticksTo(top: number): readonly number[] {
  const step = [0.05, 0.1, 0.2, 0.25].find((s) => top / s < 4.01) as number;
  return Array.from({ length: Math.floor(top / step + 1e-9) + 1 }, (_, i) => rounded(i * step));
}
