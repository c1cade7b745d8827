// The search for motifs in symbols: maximal repeats, what they tell, the evidence for them, and the same search on null corpora.
import type { Random } from '../foundation/random.js';
import { type Phrases, phrasesOf } from '../math/phrases.js';
import { maximalRepeats } from '../math/repeats.js';
import {
  type Chain,
  chainOf,
  drawFromChains,
  falseDiscoveryRates,
  followed,
  PRIOR,
  shuffleWithin,
} from '../math/sequence-null.js';
import type { ToneTable } from '../solo/tone-table.js';
import type { LineEvent } from './line.js';
import { breadth, MOST_BITS } from './motif-rank.js';
import type { Reading } from './viewpoint.js';

/** What is needed to judge one corpus, true or null. */
export interface Heard {
  readonly phrases: Phrases;
  /** For each phrase its solo, and the key it begins in. */
  readonly solos: Int32Array;
  readonly keys: Int32Array;
  /** For each place among the symbols its phrase. */
  readonly phraseOf: Int32Array;
  /** True if a symbol only goes on as the ones before it did; `earlier` is the one two before it, 0 for none. */
  readonly goesOn: (before: number, symbol: number, earlier: number) => boolean;
}

/** A motif by numbers. */
export interface Found {
  /** A place among the symbols, and how many symbols. */
  readonly places: readonly number[];
  readonly length: number;
  readonly apart: number;
  readonly solos: number;
  readonly bits: number;
  readonly expected: number;
  /** What chance is asked about: bits x breadth. */
  readonly evidence: number;
}

/** The least that a motif must have. */
export interface Least {
  readonly symbols: number;
  readonly places: number;
  readonly solos: number;
}

/** A reading as what can be searched. */
export function heardOf(table: ToneTable, reading: Reading): Heard {
  const { viewpoint: view, alphabet, symbols, starts, segments } = reading;
  const lists = segments.map((_, s) => Array.from(symbols.subarray(starts[s], starts[s + 1]), (symbol) => symbol + 1));
  const goesOn = view.goesOn;
  const phrases = phrasesOf(lists);
  const phraseOf: Int32Array = new Int32Array(phrases.symbols.length);
  segments.forEach((_, s) => {
    phraseOf.fill(s, phrases.starts[s], phrases.starts[s + 1]);
  });
  return {
    phrases,
    phraseOf,
    solos: Int32Array.from(segments, (s) => s.solo),
    keys: Int32Array.from(segments, (s) => table.columns.key[(s.events[0] as LineEvent).row] as number),
    goesOn: (before, symbol, earlier) =>
      goesOn?.(alphabet[before - 1] as string, alphabet[symbol - 1] as string, alphabet[earlier - 1]) === true,
  };
}

/** All motifs of one corpus, those with the most evidence first; the same for the true corpus and for null ones. */
export function search({ phrases, solos, keys, phraseOf, goesOn }: Heard, least: Least): readonly Found[] {
  const repeats = maximalRepeats(phrases, {
    leastLength: least.symbols,
    leastApart: least.places,
    leastPlaces: least.places,
    leastGroups: least.solos,
    groups: solos,
  });
  const chain = chainOf(phrases, () => true);
  const counts = countsOf(phrases.symbols);
  const all = Array.from({ length: repeats.count }, (_, r): Found => {
    const places = [...repeats.places.subarray(repeats.offsets[r], repeats.offsets[r + 1])];
    const length = repeats.lengths[r] as number;
    const apart = repeats.apart[r] as number;
    const inSolos = repeats.groups[r] as number;
    const inKeys = new Set(places.map((place) => keys[phraseOf[place] as number])).size;
    const { bits, expected } = surprise({ phrases, goesOn }, chain, counts, places[0] as number, length, apart);
    return {
      places,
      length,
      apart,
      solos: inSolos,
      bits,
      expected,
      evidence: bits * breadth(apart, inSolos, inKeys),
    };
  });
  all.sort(
    (a, b) => b.evidence - a.evidence || b.length - a.length || (a.places[0] as number) - (b.places[0] as number),
  );
  return withoutCovered(all, phrases.symbols.length, least.places);
}

/**
 * Bits of the symbols after the first given those before them, and the places that the chain would bring: both with the motif's own places left out of
 * the chain, else a motif played often would make itself likely. Where little is known of what follows, it is what comes anywhere.
 */
function surprise(
  { phrases: { symbols }, goesOn }: Pick<Heard, 'phrases' | 'goesOn'>,
  chain: Chain,
  counts: Counts,
  place: number,
  length: number,
  apart: number,
): { bits: number; expected: number } {
  const at = (i: number): number => symbols[i] as number;
  const own = { single: new Map<number, number>(), pair: new Map<string, number>(), from: new Map<number, number>() };
  const add = <K>(map: Map<K, number>, key: K) => map.set(key, (map.get(key) ?? 0) + apart);
  for (let i = place; i < place + length; i++) {
    add(own.single, at(i));
    if (i === place) continue;
    add(own.pair, `${at(i - 1)} ${at(i)}`);
    add(own.from, at(i - 1));
  }
  let bits = 0;
  let expected = Math.max(0, (counts.of.get(at(place)) ?? 0) - apart);
  for (let i = place + 1; i < place + length; i++) {
    const [before, symbol] = [at(i - 1), at(i)];
    const { times, of } = followed(chain, before, symbol);
    const elsewhere = Math.max(0, times - (own.pair.get(`${before} ${symbol}`) ?? 0));
    const all = Math.max(elsewhere, of - (own.from.get(before) ?? 0));
    const single = Math.max(0, (counts.of.get(symbol) ?? 0) - (own.single.get(symbol) ?? 0));
    const anywhere = (single + 0.5) / (Math.max(single, counts.all - apart * length) + 0.5 * counts.of.size);
    const p = (elsewhere + PRIOR * anywhere) / (all + PRIOR);
    // A run that only goes on is what anybody would play next, however seldom it is so long.
    bits += Math.min(
      MOST_BITS,
      -Math.log2(goesOn(before, symbol, i >= place + 2 ? at(i - 2) : 0) ? Math.max(p, GOING_ON) : p),
    );
    expected *= p;
  }
  return { bits, expected };
}

/** How often each symbol comes, and all together. */
interface Counts {
  readonly of: ReadonlyMap<number, number>;
  readonly all: number;
}

function countsOf(symbols: Int32Array): Counts {
  const of = new Map<number, number>();
  let all = 0;
  for (const symbol of symbols) {
    if (symbol === 0) continue;
    of.set(symbol, (of.get(symbol) ?? 0) + 1);
    all++;
  }
  return { of, all };
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

/** False discovery rates of what was found, for each the higher one of those by the two kinds of null corpora. */
export function ratesOf(
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
  const evidence = found.map((f) => f.evidence);
  const rates = (make: () => Phrases, many: number) =>
    falseDiscoveryRates(
      evidence,
      Array.from({ length: many }, () => search({ ...heard, phrases: make() }, least).map((f) => f.evidence)),
    );
  const half = Math.ceil(runs / 2);
  const drawn = rates(() => drawFromChains(heard.phrases, groups, chains, random), half);
  if (runs === half) return drawn;
  const shuffled = rates(() => shuffleWithin(heard.phrases, random), runs - half);
  return drawn.map((rate, i) => Math.max(rate, shuffled[i] as number));
}
