// motifs: what keeps coming back in solos, where, and how much of it chance would bring.
import type { ToneFilter } from '../analysis/grouping.js';
import { findMotifs } from '../analysis/motif.js';
import type { Motif, MotifPlace, MotifReport } from '../analysis/motif-kinds.js';
import { type NearPlace, nearPlaces } from '../analysis/motif-near.js';
import { pointSetMotifs } from '../analysis/motif-points.js';
import { motifInWords } from '../analysis/motif-words.js';
import { viewpoint } from '../analysis/viewpoint.js';
import { motifTab } from '../engraving/motif-tab.js';
import type { ToneTable } from '../solo/tone-table.js';
import { askedOf, count, type ExitCode, type Terminal } from './terminal.js';

/** What to look for. */
export interface MotifsOptions {
  readonly where: ToneFilter;
  /** Name of the viewpoint, as in `steps` or `degree+gesture`; or `points`. */
  readonly as: string;
  readonly tones: number;
  /** Fewest places that do not overlap, and fewest solos; without them what `findMotifs` takes. */
  readonly places?: number;
  readonly solos?: number;
  readonly most: number;
  readonly json: boolean;
}

/** Looks for motifs in files and folders. Exit code 1 if any file had faults, though the rest is searched. */
export function motifs(paths: readonly string[], asked: MotifsOptions, terminal: Terminal): ExitCode {
  const read = askedOf(paths, asked.where, terminal);
  if (typeof read === 'number') return read;
  const { table, where, faulty } = read;
  const shown = asked.as === 'points' ? byPoints(table, where, asked) : byRuns(table, where, asked);
  if (typeof shown === 'string') {
    terminal.err(shown);
    return 2;
  }
  if (asked.json) terminal.out(JSON.stringify(jsonOf(table, shown), null, 1));
  else for (const line of lines(table, shown)) terminal.out(line);
  return faulty ? 1 : 0;
}

/** What was found, and the motifs to show, each with its near repeats. */
interface Shown {
  readonly report: MotifReport;
  readonly motifs: readonly { readonly motif: Motif; readonly near: readonly NearPlace[] }[];
}

function byRuns(table: ToneTable, where: ToneFilter, asked: MotifsOptions): Shown {
  const options = { where, viewpoint: viewpoint(asked.as), leastTones: asked.tones, ...leastOf(asked) };
  const report = findMotifs(table, options);
  const first = report.motifs.slice(0, asked.most);
  return { report, motifs: first.map((motif) => ({ motif, near: nearPlaces(table, motif, options) })) };
}

const leastOf = ({ places, solos }: MotifsOptions) => ({
  ...(places !== undefined && { leastPlaces: places }),
  ...(solos !== undefined && { leastSolos: solos }),
});

/** Or what is wrong: too many tones for sets of points. */
function byPoints(table: ToneTable, where: ToneFilter, asked: MotifsOptions): Shown | string {
  try {
    const report = pointSetMotifs(table, { where, leastTones: asked.tones, ...leastOf(asked) });
    return { report, motifs: report.motifs.slice(0, asked.most).map((motif) => ({ motif, near: [] })) };
  } catch (error) {
    if (error instanceof RangeError) return `${error.message}: --player or --solo`;
    throw error;
  }
}

function* lines(table: ToneTable, { report, motifs: shown }: Shown): Generator<string> {
  const chance = report.viewpoint === 'points' ? 'chance not told' : `${report.nullRuns} null corpora`;
  yield `${count(report.motifs.length, 'motif')} by ${report.viewpoint} in ${count(report.tones, 'tone')} of the line, ${chance}${shown.length < report.motifs.length ? `; the first ${shown.length}:` : ''}`;
  if (report.motifs.length === 0)
    yield 'Nothing comes back so often: ask for fewer places (--places 2), fewer tones (--tones 4) or another reading (--as contour).';
  for (const [i, { motif, near }] of shown.entries()) {
    yield `\n${i + 1}. ${motifInWords(table, motif)}`;
    yield `   ${motif.players.join(', ')}: ${placesText(motif.places)}`;
    const own = near.filter((p) => motif.players.includes(playerOf(table, p)));
    if (own.length > 0) yield `   nearly so: ${placesText(own, (p) => `: ${p.said}`)}`;
    if (own.length < near.length) yield `   nearly so with other players: ${count(near.length - own.length, 'place')}`;
    if (motif.places[0]) yield indent(motifTab(table, motif.places[0]));
  }
  if (shown.length > 0 && report.viewpoint !== 'points')
    yield '\nThe rate is the share of motifs with as much evidence that would be found by chance; a rate of 20 % or more is no finding. It holds for this one search: whoever tries many readings and options will find something by chance.';
}

const playerOf = (table: ToneTable, p: MotifPlace): string =>
  table.players[table.playerOfSolo[p.soloNumber] as number] as string;

/** Places by solo: `low-water-gate phrase 1 at 3 2, phrase 5 at 17 2`. */
function placesText<P extends MotifPlace>(places: readonly P[], more: (place: P) => string = () => ''): string {
  const bySolo = new Map<string, string[]>();
  for (const p of places)
    bySolo.set(p.solo, [...(bySolo.get(p.solo) ?? []), `phrase ${p.phrase} at ${p.bar} ${p.count}${more(p)}`]);
  return [...bySolo].map(([solo, texts]) => `${solo} ${texts.join(', ')}`).join('; ');
}

const indent = (text: string): string =>
  text
    .split('\n')
    .map((line) => `   ${line}`.trimEnd())
    .join('\n');

function jsonOf(table: ToneTable, { report, motifs: shown }: Shown): unknown {
  const { motifs: all, ...head } = report;
  const plain = ({ solo, phrase, bar, count: at, graces }: MotifPlace) => ({ solo, phrase, bar, count: at, graces });
  const found = shown.map(({ motif, near }) => ({
    said: motifInWords(table, motif),
    ...motif,
    places: motif.places.map(plain),
    near: near.map((p) => ({ ...plain(p), kind: p.kind, tone: p.tone, said: p.said })),
  }));
  return { ...head, found: all.length, motifs: found };
}
