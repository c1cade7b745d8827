// motifs: what keeps coming back in solos, where, and how much of it chance would bring.
import { filterFaults, inFull, type ToneFilter } from '../analysis/grouping.js';
import { findMotifs } from '../analysis/motif.js';
import type { Motif, MotifReport } from '../analysis/motif-kinds.js';
import { motifInWords } from '../analysis/motif-words.js';
import { viewpoint } from '../analysis/viewpoint.js';
import { tabText } from '../engraving/tab-text.js';
import { readCorpus } from '../intake/read-corpus.js';
import { type NamedSolo, type ToneTable, toneTable } from '../solo/tone-table.js';
import { count, type ExitCode, sayFaults, sayUnknown, type Terminal } from './terminal.js';

/** What to look for. */
export interface MotifsOptions {
  readonly where: ToneFilter;
  /** Name of the viewpoint, as in `steps` or `degree+gesture`. */
  readonly as: string;
  readonly tones: number;
  readonly most: number;
  readonly json: boolean;
}

/** Looks for motifs in files and folders. Exit code 1 if any file had faults, though the rest is searched. */
export function motifs(paths: readonly string[], asked: MotifsOptions, terminal: Terminal): ExitCode {
  const corpus = readCorpus(paths);
  const faulty = sayFaults(corpus, terminal, false);
  if (corpus.solos.length === 0) {
    terminal.err('no solo could be read');
    return 1;
  }
  const table = toneTable(corpus.solos);
  const where = inFull(table, asked.where);
  if (sayUnknown(filterFaults(table, where), terminal)) return 2;
  const report = findMotifs(table, { where, viewpoint: viewpoint(asked.as), leastTones: asked.tones });
  if (asked.json) terminal.out(JSON.stringify(jsonOf(table, report, asked.most), null, 1));
  else for (const line of lines(table, report, asked.most)) terminal.out(line);
  return faulty ? 1 : 0;
}

function* lines(table: ToneTable, report: MotifReport, most: number): Generator<string> {
  const shown = report.motifs.slice(0, most);
  yield `${count(report.motifs.length, 'motif')} by ${report.viewpoint} in ${count(report.tones, 'tone')} of the line, ${report.nullRuns} null corpora${shown.length < report.motifs.length ? `; the first ${shown.length}:` : ''}`;
  for (const [i, motif] of shown.entries()) {
    yield `\n${i + 1}. ${motifInWords(table, motif)}`;
    yield `   ${motif.players.join(', ')}: ${placesText(motif)}`;
    yield indent(firstTab(table, motif));
  }
  if (shown.length > 0)
    yield '\nThe rate is the share of motifs with that score or better that would be found by chance; a rate of 20 % or more is no finding.';
}

/** Places by solo: `low-water-gate 1, 3:2; 5, 17:2`. */
function placesText(motif: Motif): string {
  const bySolo = new Map<string, string[]>();
  for (const p of motif.places)
    bySolo.set(p.solo, [...(bySolo.get(p.solo) ?? []), `phrase ${p.phrase} at ${p.bar} ${p.count}`]);
  return [...bySolo].map(([solo, places]) => `${solo} ${places.join(', ')}`).join('; ');
}

/** The bars of the first place as tab. */
function firstTab(table: ToneTable, motif: Motif): string {
  const [place] = motif.places;
  if (!place) return '';
  const { solo } = table.solos[place.soloNumber] as NamedSolo;
  const last = place.rows[place.rows.length - 1] as number;
  return tabText(solo, { phrase: place.phrase, bars: [place.bar, table.columns.bar[last] as number] }).trimEnd();
}

const indent = (text: string): string =>
  text
    .split('\n')
    .map((line) => `   ${line}`.trimEnd())
    .join('\n');

function jsonOf(table: ToneTable, report: MotifReport, most: number): unknown {
  const { motifs: all, ...head } = report;
  const found = all.slice(0, most).map(({ places, ...motif }) => ({
    said: motifInWords(table, { ...motif, places }),
    ...motif,
    places: places.map(({ solo, phrase, bar, count: at }) => ({ solo, phrase, bar, count: at })),
  }));
  return { ...head, found: all.length, motifs: found };
}
