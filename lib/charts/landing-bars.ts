// Where players land at the changes: bars of the twelve degrees over the new chord, or of what they are in it.
import type { LandingUse } from '../analysis/landing.js';
import type { ShareRow } from '../analysis/shares.js';
import { ROLES } from '../solo/harmony.js';
import { DEGREE_NAMES } from '../theory/interval.js';
import { type BarColumn, type BarPanel, barPanels, MOST_PANELS } from './bar-panels.js';
import { FEW_TONES } from './interval-finding.js';
import { nameOf, rangeText, shareFinding } from './share-finding.js';
import { type ChartSpec, countText, percentText, SIZE, wrap } from './spec.js';

/** How landings are shown. */
export interface LandingBarsOptions {
  /** Degrees above the root of the new chord (the default), or roles in it: root, third, fifth. */
  readonly of?: 'degree' | 'role';
  /** The title. Default: the finding, see `shareFinding`. */
  readonly title?: string;
}

const WIDTH = 640;
const BAR = 26;
/** The least room for the name of a role. */
const ROLE_ROOM = 74;

/**
 * Bars of the tones that players land on at chord changes, a panel for each group (a player, a function): the share of the changes at which a tone is
 * near, with 95 % whiskers where they are known, and the number of changes over each bar. Groups of fewer than 20 are outlines only.
 * Bar data carries `row`, an index into the rows of `use.degrees` (or `use.roles`), so that a page can open the places behind a bar.
 * @example
 * const use = landingUse(toneTable([{ id: 'two-doors-down', solo: parseSoloOrThrow(EXAMPLE_SOLO) }]))
 * landingBars(use).title.subtitle // => ['Which degree of the new chord is landed on at a change? n = 2 of 3 changes in 1 solo']
 */
export function landingBars(use: LandingUse, options: LandingBarsOptions = {}): ChartSpec {
  const { of = 'degree' } = options;
  const table = of === 'degree' ? use.degrees : use.roles;
  const finding = shareFinding(table, {
    by: use.by,
    does: (value) => `land on ${landedOn(value, of)}`,
    compare: of === 'role' || !use.by.some((g) => g === 'function' || g === 'chord' || g === 'quality'),
    link: 'at',
    things: 'changes',
  });
  const shown = table.groups.slice(0, MOST_PANELS);
  const lines = new Map(shown.map((g, i) => [g.group, i]));
  const panels = shown.map(({ group, n }): BarPanel => {
    const own = use.groups.find((g) => nameOf(g.group) === nameOf(group));
    const ways = own
      ? [
          ...(own.starts > 0 ? [`${own.starts} start with the chord`] : []),
          ...(own.held > 0 ? [`${own.held} held into it`] : []),
          ...(own.after > 0 ? [`${own.after} just after`] : []),
        ]
      : [];
    const few = n < FEW_TONES;
    return {
      name: nameOf(group),
      counts: [`n ${countText(n)} of ${countText(own?.changes ?? n)} changes${few ? ', few' : ''}`, ...ways],
      few,
    };
  });
  const values = of === 'degree' ? DEGREE_NAMES : ROLES.filter((role) => table.rows.some((row) => row.value === role));
  const room = Math.max(ROLE_ROOM, WIDTH / Math.max(1, values.length));
  const columns = values.map(
    (value, i): BarColumn => ({
      value,
      x: Math.round((i + 0.5) * (of === 'degree' ? WIDTH / 12 : room)),
      lines: wrap(value, room - 4, SIZE.small),
    }),
  );
  const changes = use.landings.length + use.without.length;
  const solos = new Set([...use.landings, ...use.without].map((l) => l.solo)).size;
  const missing = table.groups.slice(MOST_PANELS);
  const bars = table.rows.flatMap((row, i) => {
    const panel = lines.get(row.group);
    if (panel === undefined) return [];
    return [
      {
        panel,
        value: row.value,
        row: i,
        count: row.count,
        ...row.share,
        marked: !options.title && finding.rows.includes(row),
        about: aboutBar(row, shown[panel]?.n ?? 0, of),
      },
    ];
  });
  return barPanels({
    title: options.title || finding.text,
    question: `${of === 'degree' ? 'Which degree of the new chord' : 'Which tone of the new chord'} is landed on at a change? n = ${countText(use.landings.length)} of ${countText(changes)} changes in ${solos} ${solos === 1 ? 'solo' : 'solos'}`,
    notes: [
      'Landed on: the top tone that starts with the new chord, else the top one held into it, else the first within an eighth after. Over each bar: the number of changes.',
      ...(table.rows.some((row) => row.share.low !== undefined)
        ? ['Whiskers: the 95 % interval, wider the more the solos differ.']
        : []),
      ...(use.without.length > 0
        ? [`${countText(use.without.length)} changes without a tone near are in no bar.`]
        : []),
      ...(bars.some((bar) => bar.marked) ? ['Dark: what the title says.'] : []),
      ...(panels.some((p) => p.few) ? [`Few: under ${FEW_TONES} changes, too few for a share.`] : []),
      ...(missing.length > 0
        ? [
            `Not shown: ${missing.length} more with ${countText(missing.reduce((sum, g) => sum + g.n, 0))} changes in all.`,
          ]
        : []),
    ],
    panels,
    columns,
    bars,
    width: of === 'degree' ? WIDTH : Math.max(WIDTH, room * columns.length),
    barWidth: BAR,
  });
}

function landedOn(value: string, of: 'degree' | 'role'): string {
  if (of === 'degree') return value === '1' ? 'the root' : `the ${value}`;
  return value === 'chromatic'
    ? 'a chromatic tone'
    : value === 'key tone' || value === 'tension' || value === 'extension'
      ? `a ${value}`.replace('a e', 'an e')
      : `the ${value}`;
}

function aboutBar(row: ShareRow, n: number, of: 'degree' | 'role'): string {
  const solos = row.bySolo.size === 1 ? '1 solo' : `${row.bySolo.size} solos`;
  return `${nameOf(row.group)}: ${landedOn(row.value, of)} at ${percentText(row.share.share)} %${rangeText(row)}, ${countText(row.count)} of ${countText(n)} changes, in ${solos}`;
}
