// Motifs as patterns of points: tones of one pattern may have others between them, as in ornamented repeats. A second opinion beside runs of symbols.
import { createRandom } from '../foundation/random.js';
import type { Ticks } from '../foundation/units.js';
import { compactCover, type Point, type TranslationClass } from '../math/point-set.js';
import type { ToneTable } from '../solo/tone-table.js';
import { type LineEvent, type LineSegment, LONGEST_REST } from './line.js';
import {
  linesAsked,
  type Motif,
  type MotifOptions,
  type MotifPlace,
  type MotifReport,
  motifPlace,
  spreadOf,
} from './motif-kinds.js';
import { theirs } from './motif-theirs.js';

/** What counts as a pattern of points that is a motif. */
export interface PointMotifOptions extends Pick<MotifOptions, 'where' | 'seed'> {
  /** Fewest tones. Default 5. */
  readonly leastTones?: number;
  /** Fewest places that do not overlap, 2 or more. Default 2. */
  readonly leastPlaces?: number;
  /** Fewest solos. Default 1: what comes back within one solo counts too. */
  readonly leastSolos?: number;
  /** Most other tones of the line between two neighbours of a pattern. Default 2. */
  readonly mostBetween?: number;
  /** A longer rest than this cuts the line. Default: a half note. */
  readonly longestRest?: Ticks;
}

/**
 * Motifs of one solo or a few as sets of points: each tone of the line is a point (onset, pitch), and a motif is a set of points within one phrase that,
 * moved as a whole in time and pitch, is there again. So the rhythm must be the same, but other tones may lie between. Patterns and places are those of a
 * compact cover (COSIATEC: D. Meredith, K. Lemstrom and G. Wiggins 2003; see `compactCover`): each tone belongs to one motif at most. The score is the
 * compression ratio (tones covered over what it takes to say them: the pattern and where it is put) x compactness x log2(1 + (solos + keys) / 2). `bits`,
 * `expected` and `falseDiscoveryRate` are `undefined`: no null corpora are searched, so that this tells nothing of chance.
 * @throws RangeError if an option is outside its range, or more than 4096 tones are read: ask for one player, or for some solos
 * @example
 * const solo = (line) => `---\ntitle: Doors\nplayer: Ada Fenwick\nkey: C major\ntempo: 96\n---\nchanges\n  1 C\nphrase 1\nat 1 1\n  ${line} |\n`
 * const lines = ['e 5@3 5@2 8@2 7@2 q 5@2 3@2', 'e 7@3 7@2 s 10@2 8@2 e 9@2 q 7@2 5@2']
 * const table = toneTable(lines.map((line, i) => ({ id: `door-${i}`, solo: parseSoloOrThrow(solo(line)) })))
 * const [motif] = pointSetMotifs(table).motifs;
 * [motif.tones, motif.places.length, motif.solos] // => [6, 2, 2]
 * motif.symbols.slice(0, 2) // => ['400|10080', '300|10080']
 * motif.compactness.toFixed(2) // => '0.93'
 */
export function pointSetMotifs(table: ToneTable, options: PointMotifOptions = {}): MotifReport {
  const {
    leastTones = 5,
    leastPlaces = 2,
    leastSolos = 1,
    mostBetween = 2,
    longestRest = LONGEST_REST,
    where = {},
    seed = 1,
  } = options;
  if (!(Number.isInteger(leastTones) && leastTones >= 2))
    throw new RangeError(`leastTones is ${leastTones}: a pattern has 2 tones or more`);
  const segments = linesAsked(table, longestRest, where);
  const laid = laidOut(table, segments);
  const { classes } = compactCover(laid.points, { parts: laid.parts, leastPoints: leastTones, mostBetween });
  const tones = segments.reduce((sum, s) => sum + s.events.length, 0);
  const found = classes
    .map((one) => patternOf(table, segments, laid, one))
    .filter(({ apart, places }) => apart >= Math.max(2, leastPlaces) && solosOf(places).size >= leastSolos);
  const whose = theirs(
    table,
    segments,
    found.map((f) => f.counts),
    createRandom(seed),
  );
  const motifs = found.map(({ places, spans, apart, ratio }, i): Motif => {
    const spread = spreadOf(table, places, tones);
    const compactness =
      spans.reduce((sum, span, p) => sum + (places[p] as MotifPlace).rows.length / span, 0) / spans.length;
    const solos = solosOf(places).size;
    return {
      viewpoint: 'points',
      symbols: symbolsOf(table, (places[0] as MotifPlace).rows),
      tones: (places[0] as MotifPlace).rows.length,
      places,
      apart,
      solos,
      ...spread,
      compactness,
      bits: undefined,
      expected: undefined,
      gestureBits: undefined,
      score: ratio * compactness * Math.log2(1 + (solos + spread.keys) / 2),
      evidence: undefined,
      falseDiscoveryRate: undefined,
      distinctiveness: whose[i],
    };
  });
  motifs.sort((a, b) => b.score - a.score || b.coverage - a.coverage);
  return { motifs, viewpoint: 'points', segments: segments.length, tones, nullRuns: 0 };
}

const solosOf = (places: readonly MotifPlace[]): ReadonlySet<number> => new Set(places.map((p) => p.soloNumber));

/** The tones of all lines as points, one line after the other, and where each comes from. */
interface Laid {
  readonly points: readonly Point[];
  readonly parts: Int32Array;
  /** By the text of a point, its segment and its event there. */
  readonly from: ReadonlyMap<string, { readonly segment: number; readonly index: number }>;
  readonly unit: number;
}

/** Segments one after the other, in the largest unit of time that all onsets are whole multiples of, and in quarter-tones. */
function laidOut({ columns: { pitch } }: ToneTable, segments: readonly LineSegment[]): Laid {
  const gcd = (a: number, b: number): number => (b === 0 ? a : gcd(b, a % b));
  const since = ({ events }: LineSegment, e: LineEvent) => e.onset - (events[0] as LineEvent).onset;
  const unit = Math.max(
    1,
    segments.reduce((all, s) => s.events.reduce((one, e) => gcd(one, since(s, e)), all), 0),
  );
  const points: Point[] = [];
  const parts: number[] = [];
  const from = new Map<string, { segment: number; index: number }>();
  let start = 0;
  segments.forEach((segment, s) => {
    let x = start;
    segment.events.forEach((e, index) => {
      x = start + since(segment, e) / unit;
      const point: Point = [x, (pitch[e.row] as number) / 50];
      points.push(point);
      parts.push(s);
      from.set(String(point), { segment: s, index });
    });
    start = x + 1;
  });
  return { points, parts: Int32Array.from(parts), from, unit };
}

function patternOf(table: ToneTable, segments: readonly LineSegment[], laid: Laid, found: TranslationClass) {
  const vectors: readonly Point[] = [[0, 0], ...found.translators];
  const places: MotifPlace[] = [];
  const spans: number[] = [];
  const counts = new Map<number, number>();
  let apart = 0;
  let free = -1; // the last row of the place taken last
  for (const [x, y] of vectors) {
    const at = found.pattern.map(
      (p) => laid.from.get(String([p[0] + x, p[1] + y])) as { segment: number; index: number },
    );
    const { solo, events } = segments[(at[0] as { segment: number }).segment] as LineSegment;
    const rows = at.map(({ index }) => (events[index] as LineEvent).row);
    places.push(motifPlace(table, solo, rows));
    spans.push((at[at.length - 1]?.index ?? 0) - (at[0]?.index ?? 0) + 1);
    if ((rows[0] as number) <= free) continue;
    free = rows[rows.length - 1] as number;
    apart++;
    counts.set(solo, (counts.get(solo) ?? 0) + 1);
  }
  return { places, spans, apart, counts, ratio: found.ratio };
}

/** Steps in cents and distances in ticks, as the viewpoint `steps+durations` has them. */
function symbolsOf({ columns: { pitch, onset } }: ToneTable, rows: readonly number[]): readonly string[] {
  return rows.slice(1).map((row, k) => {
    const before = rows[k] as number;
    return `${(pitch[row] as number) - (pitch[before] as number)}|${(onset[row] as number) - (onset[before] as number)}`;
  });
}
