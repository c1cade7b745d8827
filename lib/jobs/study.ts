// study: from files to tables, charts and a summary that a player would read.
import { basename, join } from 'node:path';
import { attacks } from '../analysis/attacks.js';
import { entryUse } from '../analysis/entry.js';
import type { Grouping, ToneFilter } from '../analysis/grouping.js';
import { type HeldBend, heldBends } from '../analysis/held-bends.js';
import { type IntervalUse, intervalUse } from '../analysis/interval-use.js';
import { landingUse } from '../analysis/landing.js';
import { timeUse } from '../analysis/time-use.js';
import { attackBars } from '../charts/attack-bars.js';
import { entryBeats } from '../charts/entry-beats.js';
import { heldToWidth } from '../charts/held-words.js';
import { intervalHeatmap } from '../charts/interval-heatmap.js';
import { landingBars } from '../charts/landing-bars.js';
import { mixedKeysNote } from '../charts/mixed-keys.js';
import { chartToSvg } from '../charts/render.js';
import type { ChartSpec } from '../charts/spec.js';
import { type Cell, columnsOf, csvOf, jsonOf, type PlainTable, toneColumns } from '../exchange/table-export.js';
import { hasFaults } from '../foundation/diagnostic.js';
import { writeBeside } from '../foundation/write-beside.js';
import { studyReport } from '../pages/study-report.js';
import { placeOfTone, type ToneTable, toneName } from '../solo/tone-table.js';
import { studySummary } from './study-summary.js';
import { askedOf, count, type ExitCode, type Terminal } from './terminal.js';

/** What to study. */
export interface StudyOptions {
  readonly out: string;
  readonly where: ToneFilter;
}

/** The tables of interval use that a study writes: by what, and under which name. */
const TABLES: readonly (readonly [string, readonly Grouping[]])[] = [
  ['interval-use-by-function', ['player', 'function']],
  ['interval-use-by-chord', ['player', 'chord']],
  ['interval-use-by-quality', ['player', 'quality']],
  ['interval-use-by-solo', ['solo', 'function']],
  ['interval-use-by-phrase-position', ['player', 'position']],
  ['interval-use-by-attack', ['player', 'attack']],
];

/** Studies files and folders and writes tables and charts below `out`. Exit code 1 if any file had faults, though the rest is studied. */
export async function study(paths: readonly string[], asked: StudyOptions, terminal: Terminal): Promise<ExitCode> {
  const read = askedOf(paths, asked.where, terminal, ', nothing is written');
  if (typeof read === 'number') return read;
  const { corpus, table, where, faulty } = read;
  const options: StudyOptions = { ...asked, where };
  const main = intervalUse(table, { by: ['player', 'function'], where: options.where });
  if (main.tones === 0) {
    terminal.err('no tone is left to count with these choices; nothing is written');
    return 1;
  }
  const write = (name: string, text: string) => writeBeside(join(options.out, name), text);
  const writeTable = (name: string, plain: PlainTable) => {
    write(`tables/${name}.csv`, csvOf(plain));
    write(`tables/${name}.json`, jsonOf(plain));
  };
  writeTable('tones', toneColumns(table));
  for (const [name, by] of TABLES) writeTable(name, useColumns(intervalUse(table, { by, where: options.where })));
  writeTable(
    'interval-use-by-function-pushed',
    useColumns(intervalUse(table, { by: ['player', 'function'], where: options.where, anticipation: true })),
  );
  writeTable(
    'interval-use-over-the-key',
    useColumns(intervalUse(table, { by: ['player'], over: 'key', where: options.where })),
  );
  writeTable('interval-use-places', placeColumns(table, main));
  const time = timeUse(table, { by: ['player', 'function'], where: options.where });
  writeTable(
    'time-split-at-changes',
    columnsOf(
      time.rows.map((r) => ({
        player: r.group[0] as string,
        function: r.group[1] as string,
        degree: r.degree,
        ticks: r.ticks,
      })),
    ),
  );
  const players = [...new Set(main.groups.map((g) => g.group[0] as string))].sort();
  const byPlayer = new Map(
    players.map((player) => [player, intervalUse(table, { where: { ...options.where, player } })] as const),
  );
  writeTable('held-bends', bendColumns(heldBends(table, { where: options.where })));
  await writeCharts(table, options.where, byPlayer, write);
  const unread = corpus.files.filter((f) => hasFaults(f.diagnostics)).map((f) => basename(f.path));
  write('report.html', await studyReport(table, { where: options.where, unread }));
  for (const line of studySummary(table, main, byPlayer)) terminal.out(line);
  terminal.out(
    `\nTo read: ${join(options.out, 'report.html')}. Tables and charts are in ${options.out} (${count(TABLES.length + 6, 'table')} as .csv and .json, charts as .svg and .vl.json).`,
  );
  return faulty ? 1 : 0;
}

async function writeCharts(
  table: ToneTable,
  where: ToneFilter,
  byPlayer: ReadonlyMap<string, IntervalUse>,
  write: (name: string, text: string) => void,
): Promise<void> {
  const heatmapOf = (use: IntervalUse, who: string) => intervalHeatmap(use, { who, note: mixedKeysNote(table, use) });
  const charts: [string, ChartSpec][] = [...byPlayer].flatMap(([player, use]): [string, ChartSpec][] => {
    const filter = { ...where, player };
    const name = slug(player);
    return [
      [`interval-use-${name}`, heatmapOf(use, player)],
      [`landings-${name}`, landingBars(landingUse(table, { where: filter }))],
      [`entries-${name}`, entryBeats(entryUse(table, { where: filter }))],
      [`attacks-${name}`, attackBars(attacks(table, { where: filter }))],
    ];
  });
  if (byPlayer.size > 1)
    charts.unshift(['interval-use-all', heatmapOf(intervalUse(table, { where }), `${byPlayer.size} players`)]);
  for (const [name, spec] of charts) {
    write(`charts/${name}.vl.json`, `${JSON.stringify(spec, null, 1)}\n`);
    write(`charts/${name}.svg`, heldToWidth(await chartToSvg(spec)));
  }
}

/** A name that can stand in a file name anywhere. */
const slug = (text: string): string =>
  text
    .toLowerCase()
    .normalize('NFKD')
    .replace(/[^a-z0-9]+/g, '-')
    .replace(/^-+|-+$/g, '') || 'unnamed';

const rounded = (n: number | undefined): number | null => (n === undefined ? null : Math.round(n * 10000) / 10000);

/** A table of interval use with documented, unit-named columns. */
function useColumns(use: IntervalUse): PlainTable {
  const groupOf = new Map(use.groups.map((g) => [g.group.join('\u0000'), g]));
  return columnsOf(
    use.rows.map((r): Record<string, Cell> => {
      const group = groupOf.get(r.group.join('\u0000'));
      return {
        ...Object.fromEntries(use.by.map((g, i) => [g, r.group[i] as string])),
        degree: r.degree,
        semitones: r.semitones,
        tones: r.tones,
        quarterTonesUp: r.plus,
        ticks: r.ticks,
        groupTones: group?.tones ?? null,
        share: rounded(r.share.share),
        shareLow: rounded(r.share.low),
        shareHigh: rounded(r.share.high),
        timeShare: rounded(r.timeShare.share),
        timeLow: rounded(r.timeShare.low),
        timeHigh: rounded(r.timeShare.high),
        onBeat: r.onBeat,
        onBeatOf: r.onBeatOf,
        solos: r.solos,
        groupSolos: group?.solos ?? null,
        exposureBars: rounded(group?.exposureBars),
      };
    }),
  );
}

/** Every held bend, why it counts as one, and what becomes of it. */
const bendColumns = (bends: readonly HeldBend[]): PlainTable =>
  columnsOf(
    bends.map(
      ({
        player,
        solo,
        phrase,
        bar,
        count,
        string,
        name,
        chord,
        degree,
        functions,
        under,
        again,
        end,
        change,
        ticks,
      }) => ({
        ...{ player, solo, phrase, bar, count, string, name, chord, degree: degree ?? null },
        ...{ functions: functions.join(' '), under, again, ticks, end },
        changeBar: change?.bar ?? null,
        changeTo: change?.to ?? null,
        changeFunction: change?.function ?? null,
        before: change?.before ?? null,
        held: change?.held ?? null,
        after: change?.after ?? null,
      }),
    ),
  );

/** Every counted tone with its place: what the counts can be recounted from. */
function placeColumns(table: ToneTable, use: IntervalUse): PlainTable {
  const { string, fret } = table.columns;
  return columnsOf(
    use.rows.flatMap((r, i) =>
      [...use.toneRows(i)].map((row): Record<string, Cell> => {
        const { solo, phrase, bar, count } = placeOfTone(table, row);
        const group = Object.fromEntries(use.by.map((g, k) => [g, r.group[k] as string]));
        const where = { solo, phrase, bar, count, string: string[row] as number, fret: fret[row] as number };
        return { ...group, degree: r.degree, ...where, name: toneName(table, row) };
      }),
    ),
  );
}
