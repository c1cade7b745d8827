// Motifs: what a player keeps saying, at which places, and how much of it chance would bring.
import { createRandom } from '../foundation/random.js';
import { phraseAt } from '../math/phrases.js';
import type { ToneTable } from '../solo/tone-table.js';
import { type LineEvent, type LineSegment, LONGEST_REST } from './line.js';
import {
  type Distinctiveness,
  linesAsked,
  type Motif,
  type MotifOptions,
  type MotifPlace,
  type MotifReport,
  motifPlace,
  spreadOf,
} from './motif-kinds.js';
import { breadth, gesturesOf } from './motif-rank.js';
import { type Found, type Heard, heardOf, type Least, ratesOf, search } from './motif-search.js';
import { theirs } from './motif-theirs.js';
import { type Reading, readLines, type Viewpoint, viewpoint } from './viewpoint.js';

/**
 * The motifs of a corpus: maximal repeats within phrases, ranked. The score is sqrt(bits + gesture bits) x log2(places apart) x log2(1 + (solos + keys) / 2):
 * what a motif tells beyond what usually follows what (so its length counts as far as it tells something) and by the bends and curls that come back with
 * it, how often it comes, and how widely it is spread. The root is there because listeners go by how widely a thing is said more than by how odd it is
 * (it was chosen so that forty pairs judged by two listeners come out best; on twenty new pairs, judged by a third without the scores, it agreed on all).
 * Chance is asked about the evidence, bits x log2(places apart) x log2(1 + (solos + keys) / 2), and a motif most of whose places lie within those of one
 * with more evidence is left out: the whole search runs again on null corpora, half of them drawn symbol by symbol from each player's first-order chain, half with the symbols
 * of each phrase shuffled; of the two false discovery rates the higher one is given. Of 200 corpora of noise about ten at most hold
 * any motif at 0.05 or less.
 * Whose: see {@link Distinctiveness}; only where lines of two players or more are read.
 * @throws RangeError if an option is outside its range
 * @example
 * const line = (end) => `e 5@3 5@2 8@2 7@2 q 5@2 ${end} |`
 * const text = (end) => `---\ntitle: Three Doors\nplayer: Ada Fenwick\nkey: C major\ntempo: 96\n---\nchanges\n  1 C\nphrase 1\nat 1 1\n  ${line(end)}\n`
 * const table = toneTable(['-', '7@3', '8@1'].map((end, i) => ({ id: `door-${i}`, solo: parseSoloOrThrow(text(end)) })))
 * const [motif] = findMotifs(table, { nullRuns: 0 }).motifs;
 * motif.symbols // => ['400', '300', '-100', '-200']
 * motif.places.map((p) => `${p.solo} ${p.bar} ${p.count}`) // => ['door-0 1 1', 'door-1 1 1', 'door-2 1 1']
 * motif.coverage.toFixed(2) // => '0.88'
 */
export function findMotifs(table: ToneTable, options: MotifOptions = {}): MotifReport {
  const {
    viewpoint: view = viewpoint('steps'),
    longestRest = LONGEST_REST,
    where = {},
    nullRuns = 200,
    seed = 1,
  } = options;
  if (!(Number.isInteger(nullRuns) && nullRuns >= 0))
    throw new RangeError(`nullRuns is ${nullRuns}: give a whole number from 0 up`);
  const segments = linesAsked(table, longestRest, where);
  const reading = readLines(table, segments, view);
  const least = settings(options, view, new Set(segments.map((s) => s.solo)).size);
  const heard = heardOf(table, reading);
  const found = search(heard, least);
  const players = Int32Array.from(segments, (s) => table.playerOfSolo[s.solo] as number);
  const rates = nullRuns === 0 ? undefined : ratesOf(found, heard, players, least, nullRuns, createRandom(seed));
  const counts = found.map((f) => countsBySolo(heard, f));
  const whose = theirs(table, segments, counts, nullRuns === 0 ? undefined : createRandom(seed));
  const tones = segments.reduce((sum, s) => sum + s.events.length, 0);
  const gestures = gesturesOf(table, segments);
  const motifs = found.map((f, i) => motifOf(table, reading, heard, f, tones, gestures, rates?.[i], whose[i]));
  motifs.sort((a, b) => b.score - a.score); // of equals, the one with more evidence stays first
  return { motifs, viewpoint: view.name, segments: segments.length, tones, nullRuns };
}

function settings(options: MotifOptions, view: Viewpoint, solos: number): Least {
  const { leastTones = 5, leastPlaces = 3, leastSolos = solos > 1 ? 2 : 1 } = options;
  if (!(Number.isInteger(leastTones) && leastTones > view.reach))
    throw new RangeError(`leastTones is ${leastTones}: in ${view.name} a motif has ${view.reach + 1} tones or more`);
  return { symbols: leastTones - view.reach, places: Math.max(2, leastPlaces), solos: leastSolos };
}

/** How many places that do not overlap a motif has in each solo. */
function countsBySolo({ solos, phraseOf }: Heard, { places, length }: Found): ReadonlyMap<number, number> {
  const counts = new Map<number, number>();
  let free = 0;
  for (const place of places) {
    if (place < free) continue;
    free = place + length;
    const solo = solos[phraseOf[place] as number] as number;
    counts.set(solo, (counts.get(solo) ?? 0) + 1);
  }
  return counts;
}

function motifOf(
  table: ToneTable,
  reading: Reading,
  { phrases }: Heard,
  found: Found,
  allTones: number,
  gestures: (places: readonly MotifPlace[]) => number,
  rate: number | undefined,
  distinctiveness: Distinctiveness | undefined,
): Motif {
  const { reach } = reading.viewpoint;
  const places = found.places.map((at): MotifPlace => {
    const { phrase, index } = phraseAt(phrases, at);
    const segment = reading.segments[phrase] as LineSegment;
    const rows = segment.events.slice(index, index + found.length + reach).map((e: LineEvent) => e.row);
    return motifPlace(table, segment.solo, rows);
  });
  const first = found.places[0] as number;
  const spread = spreadOf(table, places, allTones);
  const gestureBits = gestures(places);
  return {
    viewpoint: reading.viewpoint.name,
    symbols: Array.from(
      { length: found.length },
      (_, i) => reading.alphabet[(phrases.symbols[first + i] as number) - 1] as string,
    ),
    tones: found.length + reach,
    places,
    apart: found.apart,
    solos: found.solos,
    ...spread,
    compactness: 1,
    bits: found.bits,
    expected: found.expected,
    gestureBits,
    score: Math.sqrt(found.bits + gestureBits) * breadth(found.apart, found.solos, spread.keys),
    evidence: found.evidence,
    falseDiscoveryRate: rate,
    distinctiveness,
  };
}
