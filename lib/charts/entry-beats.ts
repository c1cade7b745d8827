// Where phrases come in: bars over a ruler of the bar, at the counts as players speak them.
import type { EntryUse } from '../analysis/entry.js';
import type { ShareGroup, ShareRow } from '../analysis/shares.js';
import { parseMeter } from '../theory/meter.js';
import { type BarColumn, type BarPanel, barPanels, MOST_PANELS } from './bar-panels.js';
import { FEW_TONES } from './interval-finding.js';
import { nameOf, rangeText, shareFinding } from './share-finding.js';
import { type ChartSpec, countText, percentText, SIZE, textWidth } from './spec.js';

/** How entries are shown. */
export interface EntryBeatsOptions {
  /** The title. Default: the finding, see `shareFinding`. */
  readonly title?: string;
}

const WIDTH = 640;
const BAR = 12;
const RULER = { pulse: 7, half: 4 } as const;

/**
 * Bars of the counts on which phrases come in, over a ruler from the first count of a bar to its last, a panel for each group (a player): the share of
 * the phrases, with 95 % whiskers where they are known, and the number of phrases over each bar. The ruler has the counts of the longest meter among
 * the entries; ask for one meter to see that one alone. Bar data carries `row`, an index into `use.counts.rows`.
 * @example
 * const use = entryUse(toneTable([{ id: 'two-doors-down', solo: parseSoloOrThrow(EXAMPLE_SOLO) }]))
 * entryBeats(use).title.subtitle // => ['On which count do phrases come in? n = 2 phrases in 1 solo, all in 4/4']
 */
export function entryBeats(use: EntryUse, options: EntryBeatsOptions = {}): ChartSpec {
  const table = use.counts;
  const finding = shareFinding(table, {
    by: use.by,
    does: (count) => `come in on ${count}`,
    link: 'in',
    things: 'phrases',
  });
  const shown = table.groups.slice(0, MOST_PANELS);
  const places = new Map(shown.map((g, i) => [g.group, i]));
  const offBeat = new Map(
    use.kinds.rows.filter((row) => row.value === 'off the beat').map((row) => [nameOf(row.group), row]),
  );
  const panels = shown.map(({ group, n }): BarPanel => {
    const few = n < FEW_TONES;
    const off = offBeat.get(nameOf(group));
    return {
      name: nameOf(group),
      few,
      counts: [
        `n ${countText(n)} ${n === 1 ? 'phrase' : 'phrases'}${few ? ', few' : ''}`,
        few ? `${off?.count ?? 0} off the beat` : `${percentText(off?.share.share ?? 0)} % off the beat`,
      ],
    };
  });
  const pulsesIn = shown.map(({ group }) => pulsesOf(use, group));
  const pulses = Math.max(1, ...pulsesIn);
  const x = (at: number) => Math.round(((at + 0.25) / pulses) * WIDTH);
  const ruler = pulsesIn.flatMap((own, panel) =>
    halves(own).map((at) => ({ panel, x: x(at), length: at % 1 ? RULER.half : RULER.pulse })),
  );
  const meters = [...new Set(use.entries.map((e) => e.meter))];
  const solos = new Set(use.entries.map((e) => e.solo)).size;
  const missing = table.groups.slice(MOST_PANELS);
  const bars = table.rows.flatMap((row, i) => {
    const panel = places.get(row.group);
    if (panel === undefined) return [];
    return [
      {
        panel,
        value: row.value,
        row: i,
        count: row.count,
        ...row.share,
        marked: !options.title && finding.rows.includes(row),
        about: aboutBar(row, shown[panel]?.n ?? 0),
      },
    ];
  });
  return barPanels({
    title: options.title || finding.text,
    question: `On which count do phrases come in? n = ${countText(table.n)} ${table.n === 1 ? 'phrase' : 'phrases'} in ${solos} ${solos === 1 ? 'solo' : 'solos'}${meters.length === 1 ? `, all in ${meters[0]}` : ''}`,
    notes: [
      'Over each bar: the number of phrases that come in there.',
      ...(meters.length > 1
        ? [
            `Counted together as players speak them: ${meters.map((m) => `${m} (${use.entries.filter((e) => e.meter === m).length})`).join(', ')}.`,
          ]
        : []),
      ...(table.rows.some((row) => row.share.low !== undefined)
        ? ['Whiskers: the 95 % interval, wider the more the solos differ.']
        : []),
      ...(bars.some((bar) => bar.marked) ? ['Dark: what the title says.'] : []),
      ...(panels.some((p) => p.few) ? [`Few: under ${FEW_TONES} phrases, too few for a share.`] : []),
      ...(use.silent.length > 0
        ? [
            `${countText(use.silent.length)} ${use.silent.length === 1 ? 'phrase' : 'phrases'} without a tone (dead notes or rests only) in no bar.`,
          ]
        : []),
      ...(missing.length > 0
        ? [
            `Not shown: ${missing.length} more with ${countText(missing.reduce((sum, g) => sum + g.n, 0))} phrases in all.`,
          ]
        : []),
    ],
    panels,
    columns: columnsOf(use, shown, pulsesIn, x),
    bars,
    width: WIDTH,
    barWidth: BAR,
    ruler,
  });
}

/** The counts and their halves in a bar of so many pulses: 0, 0.5, 1 ... */
const halves = (pulses: number): readonly number[] => Array.from({ length: pulses * 2 }, (_, i) => i / 2);

/** Pulses in the longest bar that a group comes in on. */
function pulsesOf(use: EntryUse, group: readonly string[]): number {
  const own = use.entries.filter((e) => use.by.every((g, i) => e[g] === group[i]));
  return Math.max(
    1,
    ...own.map((e) => Math.ceil((parseMeter(e.meter)?.barTicks ?? 0) / (parseMeter(e.meter)?.pulseTicks ?? 1))),
  );
}

/** 1 & 2 & on the first line under the ruler, strong on the pulse; other counts below them, in the panels that have them, on lines of their own where they would meet. */
function columnsOf(
  use: EntryUse,
  shown: readonly ShareGroup[],
  pulsesIn: readonly number[],
  x: (at: number) => number,
): readonly BarColumn[] {
  const columns = halves(Math.max(1, ...pulsesIn)).map((at): BarColumn => {
    const value = `${Math.floor(at) + 1}${at % 1 ? '&' : ''}`;
    return {
      value,
      x: x(at),
      lines: [at % 1 ? '&' : value],
      strong: at % 1 === 0,
      panels: shown.map((_, i) => i).filter((i) => at < (pulsesIn[i] as number)),
    };
  });
  const usual = new Set(columns.map((c) => c.value));
  const others = [...new Map(use.entries.map((e) => [e.count, e.pulses]))]
    .filter(([count]) => !usual.has(count))
    .sort((a, b) => a[1] - b[1]);
  const ends: number[] = [];
  for (const [value, at] of others) {
    const half = textWidth(value, SIZE.small) / 2 + 2;
    let line = ends.findIndex((right) => right <= x(at) - half);
    if (line < 0) line = ends.length;
    ends[line] = x(at) + half;
    const panels = shown.flatMap((g, i) =>
      use.counts.rows.some((row) => row.group === g.group && row.value === value) ? [i] : [],
    );
    columns.push({
      value,
      x: x(at),
      lines: [...Array.from({ length: line + 1 }, () => ''), value],
      strong: false,
      panels,
    });
  }
  return columns;
}

function aboutBar(row: ShareRow, n: number): string {
  const solos = row.bySolo.size === 1 ? '1 solo' : `${row.bySolo.size} solos`;
  return `${nameOf(row.group)}: in on ${row.value}, ${percentText(row.share.share)} %${rangeText(row)}, ${countText(row.count)} of ${countText(n)} phrases, in ${solos}`;
}
