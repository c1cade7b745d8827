// How players begin and bend their tones: bars for what is not simply picked and straight; or, per degree of the key, how much of it is bent one way.
import type { Attacks } from '../analysis/attacks.js';
import type { ShareRow, ShareTable } from '../analysis/shares.js';
import { type BarColumn, type BarPanel, barPanels, MOST_PANELS } from './bar-panels.js';
import { FEW_TONES } from './interval-finding.js';
import { nameOf, rangeText, type ShareFinding, shareFinding } from './share-finding.js';
import { type ChartSpec, countText, percentText } from './spec.js';

/** How attacks are shown. */
export interface AttackBarsOptions {
  /** The title. Default: the finding, see `shareFinding`. */
  readonly title?: string;
}

/** What is drawn, what it is called under its bar, and what a player does who does it, after `they`. */
const STARTS: readonly (readonly [value: string, lines: readonly string[], does: string])[] = [
  ['hammered', ['hammered'], 'hammer'],
  ['pulled', ['pulled'], 'pull'],
  ['slid', ['slid into'], 'slide into'],
  ['tapped', ['tapped'], 'tap'],
];
const REACHED: typeof STARTS = [
  ['curled', ['curled'], 'curl'],
  ['bent', ['bent'], 'bend'],
  ['prebent', ['pre-bent'], 'pre-bend'],
  ['held', ['picked again', 'while bent'], 'pick again while bent'],
  ['released', ['let down'], 'let down'],
];

const COLUMN = { width: 74, bar: 28, between: 28, least: 420 } as const;

/**
 * Bars of how tones begin (but for picked ones) and how their pitch is reached (but straight), a panel for each group (a player): shares of its tones,
 * with 95 % whiskers where they are known, and the number of tones over each bar. What is picked and what is straight stands beside the name; what no tone
 * is is left out.
 * Bar data carries `table` (`starts` or `reached`) and `row`, an index into its rows, so that a page can open the places behind a bar.
 * @example
 * const found = attacks(toneTable([{ id: 'two-doors-down', solo: parseSoloOrThrow(EXAMPLE_SOLO) }]))
 * attackBars(found).title.subtitle // => ['How do tones begin and how are they bent? n = 12 tones in 1 solo']
 */
export function attackBars(found: Attacks, options: AttackBarsOptions = {}): ChartSpec {
  const { starts, reached } = found;
  const finding = findingOf(found);
  const shown = starts.groups.slice(0, MOST_PANELS);
  const places = new Map(shown.map((g, i) => [nameOf(g.group), i]));
  const shareIn = (table: ShareTable, group: readonly string[], value: string): string => {
    const row = table.rows.find((r) => r.value === value && nameOf(r.group) === nameOf(group));
    return `${percentText(row?.share.share ?? 0)} %`;
  };
  const panels = shown.map(({ group, n }): BarPanel => {
    const few = n < FEW_TONES;
    const shares = few
      ? []
      : [`${shareIn(starts, group, 'picked')} picked`, `${shareIn(reached, group, 'straight')} not bent`];
    return {
      name: nameOf(group),
      few,
      counts: [`n ${countText(n)} ${n === 1 ? 'tone' : 'tones'}${few ? ', few' : ''}`, ...shares],
    };
  });
  const has = (table: ShareTable) => (of: (typeof STARTS)[number]) => table.rows.some((row) => row.value === of[0]);
  const [first, second] = [STARTS.filter(has(starts)), REACHED.filter(has(reached))];
  const between = first.length > 0 && second.length > 0 ? COLUMN.between : 0;
  const xOf = (i: number) => (i + 0.5) * COLUMN.width + (i < first.length ? 0 : between);
  const columns = [...first, ...second].map(([value, lines], i): BarColumn => ({ value, lines, x: xOf(i) }));
  const drawn = new Set(columns.map((c) => c.value));
  const bars = (['starts', 'reached'] as const).flatMap((table) =>
    found[table].rows.flatMap((row, i) => {
      const panel = places.get(nameOf(row.group));
      if (panel === undefined || !drawn.has(row.value)) return [];
      const about = aboutBar(row, shown[panel]?.n ?? 0);
      return [
        {
          panel,
          value: row.value,
          table,
          row: i,
          count: row.count,
          ...row.share,
          marked: !options.title && finding.rows.includes(row),
          about,
        },
      ];
    }),
  );
  const solos = new Set(starts.groups.flatMap((g) => [...g.bySolo.keys()])).size;
  const missing = starts.groups.slice(MOST_PANELS);
  return barPanels({
    title: options.title || finding.text,
    question: `How do tones begin and how are they bent? n = ${countText(found.tones)} ${found.tones === 1 ? 'tone' : 'tones'} in ${solos} ${solos === 1 ? 'solo' : 'solos'}`,
    notes: [
      'Shares of all tones of a row. Over each bar: the number of tones. A curl is a bend by a quarter-tone.',
      ...(bars.some((bar) => bar.low !== undefined)
        ? ['Whiskers: the 95 % interval, wider the more the solos differ.']
        : []),
      ...(bars.some((bar) => bar.marked) ? ['Dark: what the title says.'] : []),
      ...(panels.some((p) => p.few) ? [`Few: under ${FEW_TONES} tones, too few for a share.`] : []),
      ...(missing.length > 0
        ? [
            `Not shown: ${missing.length} more with ${countText(missing.reduce((sum, g) => sum + g.n, 0))} tones in all.`,
          ]
        : []),
    ],
    panels,
    columns,
    bars,
    width: Math.max(COLUMN.least, columns.length * COLUMN.width + between),
    barWidth: COLUMN.bar,
    headings: [
      ...(first.length > 0 ? [{ x: 0, text: 'how it begins' }] : []),
      ...(second.length > 0 ? [{ x: first.length * COLUMN.width + between, text: 'how its pitch is reached' }] : []),
    ],
  });
}

/** Of both tables the finding that stands out most. */
function findingOf({ by, starts, reached }: Attacks): ShareFinding {
  const does = (of: typeof STARTS) => (value: string) => of.find(([name]) => name === value)?.[2];
  const words = {
    by,
    link: '',
    things: 'tones',
    usual: { beside: 'beside plain picking', only: 'pick every tone plainly' },
  };
  const byStart = shareFinding(starts, { ...words, does: does(STARTS) });
  const byReach = shareFinding(reached, { ...words, does: does(REACHED) });
  if (byStart.kind === 'comes most' && byReach.kind === 'comes most')
    return (byReach.rows[0]?.count ?? 0) > (byStart.rows[0]?.count ?? 0) ? byReach : byStart;
  return byReach.above > byStart.above ? byReach : byStart;
}

function aboutBar(row: ShareRow, n: number): string {
  const solos = row.bySolo.size === 1 ? '1 solo' : `${row.bySolo.size} solos`;
  return `${nameOf(row.group)}: ${row.value}, ${percentText(row.share.share)} %${rangeText(row)}, ${countText(row.count)} of ${countText(n)} tones, in ${solos}`;
}
