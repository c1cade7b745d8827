// Bars in panels, one under the other: a panel for each group, a bar for each value, whiskers for its interval, the count over it.
import { INK, KIND } from '../foundation/palette.js';
import { type ChartSpec, chart, countText, type Json, SIZE, shorten, textWidth } from './spec.js';

/** Where a value stands in every panel; sizes in px. */
export interface BarColumn {
  readonly value: string;
  /** The middle of its bar. */
  readonly x: number;
  /** What is written under the bar, a line each; none: nothing. */
  readonly lines: readonly string[];
  readonly strong?: boolean;
  /** The panels in which the words stand. Default: all. */
  readonly panels?: readonly number[];
}

/** A bar: a share of a panel. */
export interface PanelBar {
  readonly panel: number;
  readonly value: string;
  /** Index into the table that the chart is made from, so that a page can open what is behind a bar. */
  readonly row: number;
  /** Which table, where the chart is made from more than one. */
  readonly table?: string;
  readonly count: number;
  readonly share: number;
  readonly low?: number;
  readonly high?: number;
  /** The title speaks of it. */
  readonly marked: boolean;
  /** What it says when it is pointed at, or read aloud. */
  readonly about: string;
}

/** A panel: a group, its name, and what is said of its n. */
export interface BarPanel {
  readonly name: string;
  readonly counts: readonly string[];
  /** Too few for shares to be trusted: outlines only. */
  readonly few: boolean;
}

/** What such a chart is made of. */
export interface BarPanelParts {
  readonly title: string;
  readonly question: string;
  readonly notes: readonly string[];
  readonly panels: readonly BarPanel[];
  readonly columns: readonly BarColumn[];
  readonly bars: readonly PanelBar[];
  readonly width: number;
  readonly barWidth: number;
  /** Marks on the base line of a panel: x and how long, in px. */
  readonly ruler?: readonly { readonly panel: number; readonly x: number; readonly length: number }[];
  /** Words over the first panel. */
  readonly headings?: readonly { readonly x: number; readonly text: string }[];
}

/** Panels that fit one picture; the groups with the least beyond them are left to the table. */
export const MOST_PANELS = 8;

const NAME = { least: 90, most: 250, gap: 52 } as const;
/** Of one panel: the room for bars and that over the tallest of them, both in px. */
const PLOT = { height: 84, above: 20 } as const;
const LINE = 15;
const GAP = 16;

/** Draws the panels. Heights are worked out here, so that each label has its own place. */
export function barPanels(parts: BarPanelParts): ChartSpec {
  const { panels, columns, width } = parts;
  const labelLines = Math.max(0, ...columns.map((c) => c.lines.length));
  const under = 8 + labelLines * LINE;
  const step = PLOT.above + PLOT.height + under + GAP;
  const base = (panel: number) => panel * step + PLOT.above + PLOT.height;
  const widest = panels.flatMap((p) => [
    textWidth(p.name, SIZE.text, 'bold'),
    ...p.counts.map((c) => textWidth(c, SIZE.small)),
  ]);
  const left = Math.ceil(Math.min(NAME.most, Math.max(NAME.least, ...widest))) + NAME.gap;
  const { top, ticks } = scaleOf(parts);
  const y = (panel: number, share: number) => round(base(panel) - (Math.min(share, top) / top) * PLOT.height);
  const at = new Map(columns.map((c) => [c.value, c.x]));
  const bars = parts.bars.map((bar) => {
    const x = at.get(bar.value) as number;
    const { low, high } = bar;
    const few = (panels[bar.panel] as BarPanel).few;
    const shown =
      few || low === undefined || high === undefined
        ? {}
        : { low: round4(low), high: round4(high), yLow: y(bar.panel, low), yHigh: y(bar.panel, high) };
    return {
      row: bar.row,
      ...(bar.table !== undefined && { table: bar.table }),
      value: bar.value,
      count: bar.count,
      share: round4(bar.share),
      marked: bar.marked,
      few,
      about: bar.about,
      ...shown,
      x,
      x1: x - parts.barWidth / 2,
      x2: x + parts.barWidth / 2,
      y: y(bar.panel, bar.share),
      base: base(bar.panel),
    };
  });
  return chart({
    title: parts.title,
    question: parts.question,
    notes: parts.notes,
    width,
    height: Math.max(LINE, panels.length * step - GAP),
    left,
    above: parts.headings ? 24 : 4,
    below: 14,
    datasets: {
      bars,
      counts: countLabels(bars),
      panels: panels.map((p, i) => ({
        name: shorten(p.name, left - NAME.gap, SIZE.text, 'bold'),
        few: p.few,
        y: base(i) - PLOT.height + 8,
      })),
      sizes: panels.flatMap((p, i) =>
        p.counts.map((text, line) => ({
          text: shorten(text, left - NAME.gap, SIZE.small),
          y: base(i) - PLOT.height + 26 + line * LINE,
        })),
      ),
      ticks: panels.flatMap((_, i) =>
        ticks.map((share) => ({ text: `${Math.round(share * 100)} %`, zero: share === 0, y: y(i, share) })),
      ),
      labels: panels.flatMap((_, i) =>
        columns
          .filter((c) => c.panels?.includes(i) ?? true)
          .flatMap((c) =>
            c.lines
              .map((text, line) => ({ text, strong: c.strong ?? true, x: c.x, y: base(i) + 8 + line * LINE }))
              .filter(({ text }) => text !== ''),
          ),
      ),
      ruler: (parts.ruler ?? []).map((mark) => ({
        x: mark.x,
        y: base(mark.panel),
        y2: base(mark.panel) + mark.length,
      })),
      headings: (parts.headings ?? []).map((h) => ({ ...h })),
    },
    layers: layers(width, left),
  });
}

/** The scale of all panels: as high as what can be trusted needs. */
function scaleOf({ bars, panels }: BarPanelParts): ReturnType<typeof scaleTo> {
  const trusted = bars.filter((b) => !(panels[b.panel] as BarPanel).few);
  const most = Math.max(
    0.02,
    ...(trusted.length > 0 ? trusted : bars).map((b) => Math.max(b.share, trusted.length > 0 ? (b.high ?? 0) : 0)),
  );
  return scaleTo(most, 4);
}

/**
 * A scale of shares from 0 to at least a share above 0: its top, and the shares marked beside it, in whole steps of 1, 2, 5, 10 or 25 %.
 * @param parts how many steps it may have at the most, 4 or more
 * @example
 * scaleTo(0.09, 5) // => { top: 0.1, ticks: [0, 0.02, 0.04, 0.06, 0.08, 0.1] }
 */
export function scaleTo(most: number, parts: number): { readonly top: number; readonly ticks: readonly number[] } {
  const step = [0.01, 0.02, 0.05, 0.1, 0.25].find((s) => Math.ceil(most / s - 1e-9) <= parts) ?? 0.25;
  const marks = Math.ceil(most / step - 1e-9);
  return { top: marks * step, ticks: Array.from({ length: marks + 1 }, (_, i) => i * step) };
}

/** A count over each bar and its whisker; one that would meet its neighbour's goes up by a line. */
function countLabels(
  bars: readonly {
    readonly x: number;
    readonly y: number;
    readonly yHigh?: number;
    readonly base: number;
    readonly count: number;
    readonly few: boolean;
  }[],
): Json[] {
  const placed: { left: number; right: number; y: number; base: number }[] = [];
  return [...bars]
    .sort((a, b) => a.base - b.base || a.x - b.x)
    .map(({ x, y, yHigh, base, count, few }) => {
      const text = countText(count);
      const half = textWidth(text, SIZE.small, 'bold') / 2 + 2;
      let at = (yHigh ?? y) - 5;
      const meets = () =>
        placed.some((p) => p.base === base && p.left < x + half && x - half < p.right && Math.abs(p.y - at) < LINE);
      while (meets()) at = round(at - 1);
      placed.push({ left: x - half, right: x + half, y: at, base });
      return { text, x, y: at, few, x1: round(x - half), x2: round(x + half), y1: round(at - SIZE.small), y2: at };
    });
}

const round = (x: number): number => Math.round(x * 10) / 10;
const round4 = (x: number): number => Math.round(x * 10000) / 10000;

/** A place that is written in the data, in px. */
export const px = (field: string): Json => ({ field, type: 'quantitative', scale: null, axis: null });
/** The other end of what {@link px} begins; it takes the scale of the first. */
export const end = (field: string): Json => ({ field });

/** Lines from {@link px} x and y to what `encoding` says. */
export const rule = (
  data: string,
  mark: { readonly [name: string]: Json },
  encoding: { readonly [name: string]: Json } = {},
): Json => ({
  data: { name: data },
  mark: { type: 'rule', aria: false, ...mark },
  encoding: { x: px('x'), y: px('y'), ...encoding },
});

function layers(width: number, left: number): readonly Json[] {
  const about = { description: { field: 'about' }, tooltip: { field: 'about', type: 'nominal' } };
  const box = { x: px('x1'), x2: end('x2'), y: px('y'), y2: end('base') };
  const text = (
    data: string,
    mark: { readonly [name: string]: Json },
    encoding: { readonly [name: string]: Json },
  ): Json => ({
    data: { name: data },
    mark: { type: 'text', fontSize: SIZE.small, aria: false, ...mark },
    encoding: { y: px('y'), text: { field: 'text', type: 'nominal' }, ...encoding },
  });
  return [
    {
      data: { name: 'ticks' },
      mark: { type: 'rule', aria: false },
      encoding: {
        x: { value: 0 },
        x2: { value: width },
        y: px('y'),
        color: { condition: { test: 'datum.zero', value: INK.soft }, value: INK.hair },
      },
    },
    text('ticks', { align: 'right', baseline: 'middle', color: INK.soft }, { x: { value: -6 } }),
    {
      // Paper under the counts, so that no line runs through them.
      data: { name: 'counts' },
      mark: { type: 'rect', aria: false, color: INK.paper },
      encoding: { x: px('x1'), x2: end('x2'), y: px('y1'), y2: end('y2') },
    },
    {
      data: { name: 'ruler' },
      mark: { type: 'rule', aria: false, color: INK.soft },
      encoding: { x: px('x'), y: px('y'), y2: end('y2') },
    },
    {
      data: { name: 'bars' },
      layer: [
        {
          transform: [{ filter: '!datum.few' }],
          mark: { type: 'rect' },
          encoding: {
            ...box,
            ...about,
            color: { condition: { test: 'datum.marked', value: KIND.blue }, value: KIND.skyBlue },
          },
        },
        {
          transform: [{ filter: 'datum.few' }],
          mark: { type: 'rect', filled: false, stroke: INK.soft, strokeDash: [2, 3] },
          encoding: { ...box, ...about },
        },
        {
          transform: [{ filter: 'isValid(datum.yHigh)' }],
          mark: { type: 'rule', aria: false, color: INK.text, strokeWidth: 1.5 },
          encoding: { x: px('x'), y: px('yLow'), y2: end('yHigh') },
        },
        ...['yLow', 'yHigh'].map((field) => ({
          transform: [{ filter: 'isValid(datum.yHigh)' }],
          mark: { type: 'tick', aria: false, color: INK.text, thickness: 1.5, size: 8, orient: 'horizontal' },
          encoding: { x: px('x'), y: px(field) },
        })),
      ],
    },
    text(
      'counts',
      { align: 'center', baseline: 'bottom' },
      {
        x: px('x'),
        color: { condition: { test: 'datum.few', value: INK.soft }, value: INK.text },
      },
    ),
    text(
      'labels',
      { align: 'center', baseline: 'top' },
      {
        x: px('x'),
        color: { condition: { test: 'datum.strong', value: INK.text }, value: INK.soft },
      },
    ),
    text('headings', { align: 'left', baseline: 'top', color: INK.soft }, { x: px('x'), y: { value: -20 } }),
    {
      data: { name: 'panels' },
      mark: { type: 'text', align: 'left', baseline: 'middle', fontSize: SIZE.text, fontWeight: 'bold', aria: false },
      encoding: {
        x: { value: -left },
        y: px('y'),
        text: { field: 'name', type: 'nominal' },
        color: { condition: { test: 'datum.few', value: INK.soft }, value: INK.text },
      },
    },
    text('sizes', { align: 'left', baseline: 'middle', color: INK.soft }, { x: { value: -left } }),
  ];
}
