// Note choices over one chord: a bar for each of the twelve degrees, in the colour of what it is in the chord, dark where it falls on a beat.
import type { IntervalUse, IntervalUseGroup, IntervalUseRow } from '../analysis/interval-use.js';
import { INK, KIND } from '../foundation/palette.js';
import { mod } from '../foundation/units.js';
import { ROLES, type Role } from '../solo/harmony.js';
import { FLAG, hasFlag, type ToneTable } from '../solo/tone-table.js';
import { DEGREE_NAMES } from '../theory/interval.js';
import { end, px, scaleTo } from './bar-panels.js';
import { FEW_TONES, type IntervalFinding, intervalFinding, keyOf, whereText } from './interval-finding.js';
import { type ChartSpec, chart, countText, type Json, percentText, plainText, SIZE, textWidth } from './spec.js';
import {
  KIND_CHANNEL,
  kindLegend,
  kindOfRole,
  kindSwatches,
  TONE_KINDS,
  type ToneKind,
  tenth,
  words,
} from './tone-kinds.js';

/** How note choices are shown. */
export interface NoteChoicesOptions {
  /** The group of the table to show, its values in the order of `use.by`, such as `['IV']`. Default: the one with the most tones. */
  readonly group?: readonly string[];
  /** The title. Default: the finding about this group, see `intervalFinding`. */
  readonly title?: string;
  /** Whose tones they are, for the subtitle. Default: not said. */
  readonly who?: string;
}

const COLUMN = { width: 60, bar: 34 } as const;
const PLOT = { height: 190, above: 22 } as const;
const LINE = 19;
const LEFT = 12;

/** What is known of one degree. */
interface Degree {
  readonly semitones: number;
  /** Index into `use.rows`; -1 where it is not played. */
  readonly index: number;
  readonly row: IntervalUseRow | undefined;
  /** Tones of each kind: on a beat, and all others (a share of an untimed bend has no written onset, so it is with these). */
  readonly kinds: ReadonlyMap<ToneKind, { readonly on: number; readonly off: number }>;
  /** The name most of its tones are spelled with; `undefined` where the group has chords on different roots. */
  readonly name: string | undefined;
}

/**
 * Note choices over one group of a table of interval use (one function, one chord): the share of its tones on each of the twelve degrees, with 95 %
 * whiskers where they are known, and over each bar the number of tones. A bar has the colour of what its tones are in the chord they were played
 * over: chord tone, tension, other tone of the key, chromatic; over one function both a chord tone and a tension can be in one bar, since symbols
 * differ. The dark foot of a bar is what falls on a beat. Below: the notes' names where all chords have one root, tones on a beat of those whose
 * onset is written, and tones a quarter-tone above the degree. Groups of fewer than 20 tones are outlines only.
 * Bar data carries `row`, an index into `use.rows`, so that a page can open the places behind a bar.
 * @param table the tone table that the use was counted from
 * @throws RangeError if the table of interval use has no such group, or counts degrees of the key
 * @example
 * const table = toneTable([{ id: 'two-doors-down', solo: parseSoloOrThrow(EXAMPLE_SOLO) }])
 * const use = intervalUse(table, { by: ['chord'] })
 * noteChoices(table, use, { group: ['Am7'] }).title.subtitle // => ['Which notes over Am7? n = 10 tones over 2 bars in 1 solo']
 */
export function noteChoices(table: ToneTable, use: IntervalUse, options: NoteChoicesOptions = {}): ChartSpec {
  if (use.over === 'key')
    throw new RangeError('degrees of the key are no note choices over a chord: count the interval use over chords');
  const group = groupOf(use, options.group);
  const degrees = degreesOf(table, use, group);
  const finding = group && findingOf(use, group);
  const n = group?.tones ?? 0;
  const few = n < FEW_TONES;
  const { top, ticks } = scaleTo(
    Math.max(0.02, ...degrees.map(({ row }) => (row ? Math.max(row.share.share, few ? 0 : (row.share.high ?? 0)) : 0))),
    5,
  );
  const base = PLOT.above + PLOT.height;
  const y = (share: number) => tenth(base - (Math.min(share, top) / top) * PLOT.height);
  const lines = linesUnder(degrees);
  const left = Math.ceil(Math.max(40, ...lines.map(({ heading }) => textWidth(heading, SIZE.small)))) + LEFT;
  const width = COLUMN.width * DEGREE_NAMES.length;
  const height = base + 10 + lines.length * LINE;
  const kinds = new Set(degrees.flatMap(({ kinds }) => [...kinds.keys()]));
  const over = group ? whereText(use, group.group) : 'over a chord';
  return chart({
    title: options.title || (finding?.text ?? 'Too few tones for a finding (n = 0)'),
    question: `Which notes ${over}? ${nText(group)}${options.who ? `, ${plainText(options.who)}` : ''}`,
    notes: notesOf(use, degrees, few),
    width,
    height,
    left,
    above: 0,
    below: 44,
    datasets: {
      ticks: ticks.map((share) => ({ text: `${Math.round(share * 100)} %`, zero: share === 0, y: y(share) })),
      parts: few ? [] : degrees.flatMap((d) => partsOf(d, n, y)),
      bars: degrees.flatMap((d) => barOf(d, use, group, few, y, base)),
      counts: degrees.map(({ row, semitones }) => {
        const at = (row ? Math.min(y(row.share.share), few ? base : y(row.share.high ?? 0)) : base) - 5;
        const text = countText(row?.tones ?? 0);
        const half = Math.ceil(textWidth(text, SIZE.small) / 2) + 1;
        return {
          text,
          none: !row || few,
          x: middle(semitones),
          x1: middle(semitones) - half,
          x2: middle(semitones) + half,
          y: at,
          y2: at - SIZE.small,
        };
      }),
      cells: lines.flatMap(({ cells, strong }, line) =>
        cells.map((text, semitones) => ({
          text,
          strong: strong && degrees[semitones]?.row !== undefined,
          heading: strong,
          x: middle(semitones),
          y: base + 18 + line * LINE,
        })),
      ),
      headings: lines.map(({ heading }, line) => ({ text: heading, y: base + 18 + line * LINE })),
      legend: kindLegend(kinds, -left, height + 22),
    },
    layers: layers(width),
  });
}

const middle = (semitones: number): number => (semitones + 0.5) * COLUMN.width;

function groupOf(use: IntervalUse, wanted: readonly string[] | undefined): IntervalUseGroup | undefined {
  if (wanted === undefined) return use.groups[0];
  const found = use.groups.find((g) => keyOf(g.group) === keyOf(wanted));
  if (found) return found;
  const known = use.groups.slice(0, 12).map((g) => g.group.join(', '));
  throw new RangeError(
    `there are no tones under ${wanted.join(', ') || 'no group'}; there are some under: ${known.join('; ') || 'nothing'}`,
  );
}

/** What the whole table says, if it speaks of this group; else what the group says alone. */
function findingOf(use: IntervalUse, group: IntervalUseGroup): IntervalFinding {
  const whole = intervalFinding(use);
  if (whole.kind === 'stands out' && use.rows[whole.rows[0] as number]?.group === group.group) return whole;
  return intervalFinding({ ...use, groups: [group], rows: use.rows.filter((row) => row.group === group.group) });
}

function degreesOf(table: ToneTable, use: IntervalUse, group: IntervalUseGroup | undefined): readonly Degree[] {
  const { role, pushedRole, pitch, name } = table.columns;
  const roles = use.anticipation ? pushedRole : role;
  const roots = new Set<number>();
  const found = DEGREE_NAMES.map((_, semitones): Degree => {
    const index = use.rows.findIndex((row) => row.group === group?.group && row.semitones === semitones);
    const kinds = new Map<ToneKind, { on: number; off: number }>();
    const names = new Map<string, number>();
    for (const tone of index < 0 ? [] : use.toneRows(index)) {
      const kind = kindOfRole(ROLES[roles[tone] as number] as Role | undefined);
      const counted = kinds.get(kind) ?? { on: 0, off: 0 };
      kinds.set(kind, counted);
      if (hasFlag(table, tone, 'onBeat') && !((table.columns.flags[tone] as number) & FLAG.split)) counted.on++;
      else counted.off++;
      const spelled = table.names[name[tone] as number] as string;
      names.set(spelled, (names.get(spelled) ?? 0) + 1);
      roots.add(mod(Math.floor((pitch[tone] as number) / 100) - semitones, 12));
    }
    const [most] = [...names].sort((a, b) => b[1] - a[1] || (a[0] < b[0] ? -1 : 1));
    return { semitones, index, row: use.rows[index], kinds, name: most?.[0] };
  });
  return roots.size === 1 ? found : found.map((d) => ({ ...d, name: undefined }));
}

/** The parts of a bar from its foot up: what is on a beat, then the rest, each by kind. */
function partsOf({ semitones, index, kinds }: Degree, n: number, y: (share: number) => number): readonly Json[] {
  let below = 0;
  return (['on', 'off'] as const).flatMap((when) =>
    TONE_KINDS.flatMap((kind) => {
      const tones = kinds.get(kind)?.[when] ?? 0;
      if (tones === 0) return [];
      const from = below;
      below += tones;
      return [
        {
          row: index,
          kind,
          onBeat: when === 'on',
          tones,
          x1: middle(semitones) - COLUMN.bar / 2,
          x2: middle(semitones) + COLUMN.bar / 2,
          y: y(below / n),
          y2: y(from / n),
        },
      ];
    }),
  );
}

function barOf(
  degree: Degree,
  use: IntervalUse,
  group: IntervalUseGroup | undefined,
  few: boolean,
  y: (share: number) => number,
  base: number,
): readonly Json[] {
  const { row, semitones } = degree;
  if (!row || !group) return [];
  const { share, low, high } = row.share;
  const x = middle(semitones);
  const known = !few && low !== undefined && high !== undefined;
  const range = low === undefined || high === undefined ? '' : ` (${percentText(low)} to ${percentText(high)} %)`;
  const kinds = TONE_KINDS.flatMap((kind) => {
    const counted = degree.kinds.get(kind);
    return counted ? [`${counted.on + counted.off} ${kind}`] : [];
  });
  return [
    {
      row: degree.index,
      degree: row.degree,
      tones: row.tones,
      share: Math.round(share * 10000) / 10000,
      few,
      about: `${row.degree} ${whereText(use, group.group)}: ${percentText(share)} %${range}, ${countText(row.tones)} of ${countText(group.tones)} tones (${kinds.join(', ')}), ${row.onBeat} of ${row.onBeatOf} on a beat, in ${row.solos === 1 ? '1 solo' : `${row.solos} solos`}`,
      x,
      x1: x - COLUMN.bar / 2,
      x2: x + COLUMN.bar / 2,
      y: y(share),
      base,
      ...(known && { yLow: y(low), yHigh: y(high) }),
    },
  ];
}

interface UnderLine {
  readonly heading: string;
  readonly cells: readonly string[];
  readonly strong: boolean;
}

function linesUnder(degrees: readonly Degree[]): readonly UnderLine[] {
  const line = (heading: string, cell: (d: Degree) => string, strong = false): UnderLine => ({
    heading,
    strong,
    cells: degrees.map(cell),
  });
  return [
    line('degree', (d) => DEGREE_NAMES[d.semitones] as string, true),
    ...(degrees.some((d) => d.name !== undefined) ? [line('note', (d) => d.name ?? '')] : []),
    line('on a beat', (d) => (d.row && d.row.onBeatOf > 0 ? `${d.row.onBeat} of ${d.row.onBeatOf}` : '')),
    ...(degrees.some((d) => d.row && d.row.plus > 0)
      ? [line('a quarter-tone up', (d) => (d.row?.plus ? `${d.row.plus} of ${d.row.tones}` : ''))]
      : []),
  ];
}

function nText(group: IntervalUseGroup | undefined): string {
  if (!group) return 'n = 0 tones';
  const exact = group.exposureBars ?? 0;
  const bars = exact < 10 ? Math.round(exact * 10) / 10 : Math.round(exact);
  const exposure = exact > 0 ? ` over ${bars === 1 ? '1 bar' : `${bars} bars`}` : '';
  return `n = ${countText(group.tones)} ${group.tones === 1 ? 'tone' : 'tones'}${exposure} in ${group.solos} ${group.solos === 1 ? 'solo' : 'solos'}`;
}

function notesOf(use: IntervalUse, degrees: readonly Degree[], few: boolean): readonly string[] {
  const known = !few && degrees.some(({ row }) => row?.share.low !== undefined);
  const parts = degrees.some(({ row }) => row && row.onBeatOf < row.tones);
  return [
    `Share of the tones over the chord, and above each bar their number. ${few ? `Outlines: under ${FEW_TONES} tones, too few for a share.` : 'Dark: on a beat. Light: off it.'}`,
    ...(known ? ['Whiskers: the 95 % interval, wider the more the solos differ.'] : []),
    ...(parts ? ['Parts of a bend whose time is not written are light, and not in the counts on a beat.'] : []),
    ...(degrees.some(({ kinds }) => kinds.size > 1)
      ? ['Two colours in one bar: the degree belongs to some of these chords and not to others.']
      : []),
    ...(use.anticipation ? ['Tones pushed ahead of a change are heard against the chord they lead into.'] : []),
  ];
}

function layers(width: number): readonly Json[] {
  const about = { description: { field: 'about' }, tooltip: { field: 'about', type: 'nominal' } };
  const soft = (test: string): Json => ({ condition: { test, value: INK.soft }, value: INK.text });
  const known = [{ filter: 'isValid(datum.yHigh)' }];
  const box = { x: px('x1'), x2: end('x2'), y: px('y'), y2: end('y2') };
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
    words('ticks', { align: 'right', baseline: 'middle', color: INK.soft }, { x: { value: -LEFT } }),
    // Paper under the light parts and under the numbers, so that no line of the scale shows through.
    ...['parts', 'counts'].map((name) => ({
      data: { name },
      mark: { type: 'rect', aria: false, color: INK.paper },
      encoding: box,
    })),
    {
      data: { name: 'parts' },
      mark: { type: 'rect', aria: false },
      encoding: {
        ...box,
        color: KIND_CHANNEL,
        opacity: { condition: { test: 'datum.onBeat', value: 1 }, value: 0.35 },
      },
    },
    {
      data: { name: 'bars' },
      layer: [
        {
          transform: [{ filter: 'datum.few' }],
          mark: { type: 'rect', filled: false, stroke: INK.soft, strokeDash: [2, 3], aria: false },
          encoding: { x: px('x1'), x2: end('x2'), y: px('y'), y2: end('base') },
        },
        {
          mark: { type: 'rect', color: INK.paper, opacity: 0 },
          encoding: { x: px('x1'), x2: end('x2'), y: px('y'), y2: end('base'), ...about },
        },
        // Paper under ink, so that a whisker shows on the darkest bar too.
        ...(
          [
            [4, INK.paper],
            [1.5, KIND.black],
          ] as const
        ).flatMap(([thick, color]) => [
          {
            transform: known,
            mark: { type: 'rule', aria: false, color, strokeWidth: thick },
            encoding: { x: px('x'), y: px('yLow'), y2: end('yHigh') },
          },
          ...['yLow', 'yHigh'].map((field) => ({
            transform: known,
            mark: {
              type: 'tick',
              aria: false,
              color,
              thickness: thick,
              size: thick > 2 ? 12 : 10,
              orient: 'horizontal',
            },
            encoding: { x: px('x'), y: px(field) },
          })),
        ]),
      ],
    },
    words('counts', { align: 'center', baseline: 'bottom' }, { color: soft('datum.none') }),
    {
      data: { name: 'cells' },
      layer: [true, false].map((heading) => ({
        transform: [{ filter: `datum.heading === ${heading}` }],
        mark: {
          type: 'text',
          align: 'center',
          baseline: 'middle',
          aria: false,
          ...(heading ? { fontSize: SIZE.text, fontWeight: 'bold' } : { fontSize: SIZE.small }),
        },
        encoding: {
          x: px('x'),
          y: px('y'),
          text: { field: 'text', type: 'nominal' },
          color: heading ? soft('!datum.strong') : { value: INK.text },
        },
      })),
    },
    words('headings', { align: 'right', baseline: 'middle', color: INK.soft }, { x: { value: -LEFT } }),
    ...kindSwatches(12),
  ];
}
