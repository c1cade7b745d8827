// Motifs: what a player keeps saying, at which places, and how much of it chance would bring.
import { createRandom, type Random } from '../foundation/random.js';
import type { Ticks } from '../foundation/units.js';
import { type Phrases, phraseAt, phrasesOf } from '../math/phrases.js';
import { maximalRepeats } from '../math/repeats.js';
import {
  type Chain,
  chainOf,
  drawFromChains,
  falseDiscoveryRates,
  followed,
  shuffleWithin,
} from '../math/sequence-null.js';
import { type Place, placeOfTone, type ToneTable } from '../solo/tone-table.js';
import { inFull, passesFilter, type ToneFilter } from './grouping.js';
import { type LineEvent, type LineSegment, LONGEST_REST, linesOf } from './line.js';
import { type Reading, readLines, type Viewpoint, viewpoint } from './viewpoint.js';

/** What counts as a motif. */
export interface MotifOptions {
  /** How lines are read. Default: steps, so that a motif is known again from any note and in any rhythm. */
  readonly viewpoint?: Viewpoint;
  /** Fewest tones. Default 5. */
  readonly leastTones?: number;
  /** Fewest places that do not overlap. Default 3. */
  readonly leastPlaces?: number;
  /** Fewest solos. Default 2. */
  readonly leastSolos?: number;
  /** A longer rest than this cuts the line. Default: a half note. */
  readonly longestRest?: Ticks;
  /** Only lines of these players, solos or keys. Default: all. */
  readonly where?: Pick<ToneFilter, 'player' | 'solo'>;
  /** How many null corpora. Default 200; 0 for none, and no rates. */
  readonly nullRuns?: number;
  /** Seed of the null corpora. Default 1. */
  readonly seed?: number;
}

/** A place of a motif. */
export interface MotifPlace extends Place {
  /** Number of the solo in the tone table. */
  readonly soloNumber: number;
  /** The tones of the line, as rows of the tone table. */
  readonly rows: readonly number[];
}

/** A motif with its evidence. */
export interface Motif {
  /** Its symbols in the viewpoint, as texts. */
  readonly symbols: readonly string[];
  /** How many tones it has. */
  readonly tones: number;
  /** All places, overlapping ones included, in order of solos and time. */
  readonly places: readonly MotifPlace[];
  /** Places that do not overlap, taken from the first on. */
  readonly apart: number;
  readonly solos: number;
  readonly keys: number;
  readonly players: readonly string[];
  /** Bits that its symbols tell beyond what usually follows what: a run up a scale tells next to none. */
  readonly bits: number;
  /** Places expected if each symbol only depended on the one before it, as it does outside the motif. */
  readonly expected: number;
  /** What the ranking goes by: see {@link findMotifs}. */
  readonly score: number;
  /** Share of motifs with this score or better that chance would bring; `undefined` without null corpora. */
  readonly falseDiscoveryRate: number | undefined;
}

/** Motifs, the best first. */
export interface MotifReport {
  readonly motifs: readonly Motif[];
  readonly viewpoint: string;
  /** Phrases (cut at long rests) and tones of the line that were read. */
  readonly segments: number;
  readonly tones: number;
  readonly nullRuns: number;
}

/** What is needed to judge one corpus, true or null. */
interface Heard {
  readonly phrases: Phrases;
  readonly solos: Int32Array;
  /** True if a symbol only goes on as the one before it did. */
  readonly goesOn: (before: number, symbol: number) => boolean;
}

interface Found {
  /** A place among the symbols, and how many symbols. */
  readonly places: readonly number[];
  readonly length: number;
  readonly apart: number;
  readonly solos: number;
  readonly bits: number;
  readonly expected: number;
  readonly score: number;
}

/**
 * The motifs of a corpus: maximal repeats within phrases, ranked. The score is bits x log2(places apart) x log2(1 + solos): what a motif tells beyond
 * what usually follows what, how often, and how widely it is spread. A motif most of whose places lie within those of a better one is left out.
 * Chance: the whole search runs again on null corpora, half of them drawn symbol by symbol from each player's first-order chain, half with the symbols
 * of each phrase shuffled; of the two false discovery rates the higher one is given.
 * @throws RangeError if an option is outside its range
 * @example
 * const table = toneTable([{ id: 'two-doors-down', solo: parseSoloOrThrow(EXAMPLE_SOLO) }])
 * findMotifs(table, { nullRuns: 0 }).motifs.length // => 0
 */
export function findMotifs(table: ToneTable, options: MotifOptions = {}): MotifReport {
  const {
    viewpoint: view = viewpoint('steps'),
    longestRest = LONGEST_REST,
    where = {},
    nullRuns = 200,
    seed = 1,
  } = options;
  const filter = inFull(table, where);
  const segments = linesOf(table, longestRest).filter((s) => passesFilter(filter, ownerOf(table, s)));
  const reading = readLines(table, segments, view);
  const least = settings(options, view);
  const heard = heardOf(reading);
  const found = search(heard, least);
  const rates =
    nullRuns === 0 ? undefined : ratesOf(found, heard, playersOf(table, segments), least, nullRuns, createRandom(seed));
  const motifs = found.map((f, i) => motifOf(table, reading, heard.phrases, f, rates?.[i]));
  return {
    motifs,
    viewpoint: view.name,
    segments: segments.length,
    tones: segments.reduce((sum, s) => sum + s.events.length, 0),
    nullRuns,
  };
}

interface Least {
  readonly symbols: number;
  readonly places: number;
  readonly solos: number;
}

function settings({ leastTones = 5, leastPlaces = 3, leastSolos = 2 }: MotifOptions, view: Viewpoint): Least {
  if (!(Number.isInteger(leastTones) && leastTones > view.reach))
    throw new RangeError(`leastTones is ${leastTones}: in ${view.name} a motif has ${view.reach + 1} tones or more`);
  return { symbols: leastTones - view.reach, places: Math.max(2, leastPlaces), solos: leastSolos };
}

function ownerOf(table: ToneTable, { solo }: LineSegment): { readonly player: string; readonly solo: string } {
  return { player: table.players[table.playerOfSolo[solo] as number] as string, solo: table.solos[solo]?.id ?? '' };
}

const playersOf = (table: ToneTable, segments: readonly LineSegment[]): Int32Array =>
  Int32Array.from(segments, (s) => table.playerOfSolo[s.solo] as number);

function heardOf({ viewpoint: view, alphabet, symbols, starts, segments }: Reading): Heard {
  const lists = segments.map((_, s) => Array.from(symbols.subarray(starts[s], starts[s + 1]), (symbol) => symbol + 1));
  const goesOn = view.goesOn;
  return {
    phrases: phrasesOf(lists),
    solos: Int32Array.from(segments, (s) => s.solo),
    goesOn: (before, symbol) => goesOn?.(alphabet[before - 1] as string, alphabet[symbol - 1] as string) === true,
  };
}

/** All motifs of one corpus, the best first; the same for the true corpus and for null ones. */
function search({ phrases, solos, goesOn }: Heard, least: Least): readonly Found[] {
  const repeats = maximalRepeats(phrases, {
    leastLength: least.symbols,
    leastApart: least.places,
    leastPlaces: least.places,
    leastGroups: least.solos,
    groups: solos,
  });
  const chain = chainOf(phrases, () => true);
  const counts = new Map<number, number>();
  for (const symbol of phrases.symbols) if (symbol !== 0) counts.set(symbol, (counts.get(symbol) ?? 0) + 1);
  const all = Array.from({ length: repeats.count }, (_, r): Found => {
    const places = [...repeats.places.subarray(repeats.offsets[r], repeats.offsets[r + 1])];
    const length = repeats.lengths[r] as number;
    const apart = repeats.apart[r] as number;
    const inSolos = repeats.groups[r] as number;
    const { bits, expected } = surprise({ phrases, goesOn }, chain, counts, places[0] as number, length, apart);
    return {
      places,
      length,
      apart,
      solos: inSolos,
      bits,
      expected,
      score: bits * Math.log2(apart) * Math.log2(1 + inSolos),
    };
  });
  all.sort((a, b) => b.score - a.score || b.length - a.length || (a.places[0] as number) - (b.places[0] as number));
  return withoutCovered(all, phrases.symbols.length, least.places);
}

/**
 * Bits of the symbols after the first given those before them, and the places that the chain would bring: both with the motif's own places left out of
 * the chain, half a count for what is not seen elsewhere. Else a motif played often would make itself likely.
 */
function surprise(
  { phrases, goesOn }: Pick<Heard, 'phrases' | 'goesOn'>,
  chain: Chain,
  counts: ReadonlyMap<number, number>,
  place: number,
  length: number,
  apart: number,
): { bits: number; expected: number } {
  const own = new Map<string, number>();
  const from = new Map<number, number>();
  for (let i = place + 1; i < place + length; i++) {
    const before = phrases.symbols[i - 1] as number;
    const pair = `${before} ${phrases.symbols[i]}`;
    own.set(pair, (own.get(pair) ?? 0) + apart);
    from.set(before, (from.get(before) ?? 0) + apart);
  }
  let bits = 0;
  let expected = Math.max(0, (counts.get(phrases.symbols[place] as number) ?? 0) - apart);
  for (let i = place + 1; i < place + length; i++) {
    const before = phrases.symbols[i - 1] as number;
    const symbol = phrases.symbols[i] as number;
    const { times, of, kinds } = followed(chain, before, symbol);
    const elsewhere = Math.max(0, times - (own.get(`${before} ${symbol}`) ?? 0));
    const all = Math.max(elsewhere, of - (from.get(before) ?? 0));
    const p = (elsewhere + 0.5) / (all + 0.5 * kinds);
    // A run that only goes on is what anybody would play next, however seldom it is so long.
    bits -= Math.log2(goesOn(before, symbol) ? Math.max(p, GOING_ON) : Math.min(1, p));
    expected *= Math.min(1, p);
  }
  return { bits, expected };
}

/** How likely it is taken to be that a run goes on; a choice of this project. */
const GOING_ON = 0.9;

/** Keeps a motif only if half its places, and as many as a motif needs, are not inside places of better ones. */
function withoutCovered(sorted: readonly Found[], n: number, leastPlaces: number): readonly Found[] {
  const covered = new Uint8Array(n);
  return sorted.filter(({ places, length }) => {
    const isFree = (place: number): boolean => {
      let free = 0;
      for (let i = place; i < place + length; i++) if (covered[i] === 0) free++;
      return free * 2 > length;
    };
    const free = places.filter(isFree).length;
    if (free < leastPlaces || free * 2 < places.length) return false;
    for (const place of places) covered.fill(1, place, place + length);
    return true;
  });
}

function ratesOf(
  found: readonly Found[],
  heard: Heard,
  players: Int32Array,
  least: Least,
  runs: number,
  random: Random,
): readonly number[] {
  const numbers = [...new Set(players)];
  const groups = Int32Array.from(players, (p) => numbers.indexOf(p));
  const chains = numbers.map((_, g) => chainOf(heard.phrases, (f) => groups[f] === g));
  const scores = found.map((f) => f.score);
  const rates = (make: () => Phrases, many: number) =>
    falseDiscoveryRates(
      scores,
      Array.from({ length: many }, () => search({ ...heard, phrases: make() }, least).map((f) => f.score)),
    );
  const half = Math.ceil(runs / 2);
  const drawn = rates(() => drawFromChains(heard.phrases, groups, chains, random), half);
  const shuffled = rates(() => shuffleWithin(heard.phrases, random), runs - half);
  return drawn.map((rate, i) => Math.max(rate, shuffled[i] ?? 0));
}

function motifOf(table: ToneTable, reading: Reading, phrases: Phrases, found: Found, rate: number | undefined): Motif {
  const { reach } = reading.viewpoint;
  const places = found.places.map((at): MotifPlace => {
    const { phrase, index } = phraseAt(phrases, at);
    const segment = reading.segments[phrase] as LineSegment;
    const rows = segment.events.slice(index, index + found.length + reach).map((e: LineEvent) => e.row);
    return { ...placeOfTone(table, rows[0] as number), soloNumber: segment.solo, rows };
  });
  const first = found.places[0] as number;
  const keys = new Set(places.map((p) => table.columns.key[p.rows[0] as number]));
  return {
    symbols: Array.from(
      { length: found.length },
      (_, i) => reading.alphabet[(phrases.symbols[first + i] as number) - 1] as string,
    ),
    tones: found.length + reach,
    places,
    apart: found.apart,
    solos: found.solos,
    keys: keys.size,
    players: [...new Set(places.map((p) => table.players[table.playerOfSolo[p.soloNumber] as number] as string))],
    bits: found.bits,
    expected: found.expected,
    score: found.score,
    falseDiscoveryRate: rate,
  };
}
