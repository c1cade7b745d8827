// Every sequence that occurs twice or more and cannot be made longer without losing a place: the maximal repeats of D.
// Gusfield 1997, Algorithms on Strings, Trees, and Sequences, section 7.12, found as intervals of common prefixes in a
// suffix array (M. I. Abouelhoda, S. Kurtz and E. Ohlebusch 2004, J. Discrete Algorithms 2:53-86). No music in here.
import { checkPhrases, type Phrases } from './phrases.js';
import { type DenseText, denseText, prefixesAndTurns, sortedSuffixes } from './suffix-array.js';

/** Which repeats to keep. */
export interface RepeatOptions {
  /** Fewest symbols, 1 or more. Default 2. */
  readonly leastLength?: number;
  /** Fewest places, 2 or more; places that overlap count. Default 2. */
  readonly leastPlaces?: number;
  /** Fewest places that do not overlap. Default 1. */
  readonly leastApart?: number;
  /** Fewest groups that it has a place in. Default 1. */
  readonly leastGroups?: number;
  /** For each phrase the number of its group (of its solo, say), from 0 up. Default: all are one group. */
  readonly groups?: ArrayLike<number>;
  /**
   * If the repeats, before `leastApart` is asked for, have more places than this altogether, they are refused: the repeats
   * within one run of n equal symbols have n x n / 2. Default 2 ** 26.
   */
  readonly mostPlaces?: number;
}

/** Repeats as columns, in order of their symbols; where one begins with all of another, the longer one comes first. */
export interface Repeats {
  readonly count: number;
  /** Symbols in each. */
  readonly lengths: Int32Array;
  /** The places of repeat `r` are `places[offsets[r]]` up to, not including, `places[offsets[r + 1]]`. */
  readonly offsets: Int32Array;
  /** Where repeats begin, as places among the symbols of the phrases, rising within each repeat. */
  readonly places: Int32Array;
  /** How many of its places do not overlap, taken greedily from the first on. */
  readonly apart: Int32Array;
  /** How many groups it has a place in. */
  readonly groups: Int32Array;
  /** 1 if no other repeat, of whatever length, contains it. */
  readonly supermaximal: Uint8Array;
}

/**
 * All maximal repeats: sequences at two places or more, none reaching over the end of a phrase, where neither all the
 * symbols before its places are one symbol nor all the symbols after them. The start of a phrase counts as a symbol before
 * that is like no other, its end as a symbol after that is like no other. Time and memory grow with the symbols and the
 * places found.
 * @throws RangeError if an option is outside its range, or phrases or groups are not well formed (with the place)
 * @example
 * const phrases = { symbols: new Int32Array([1, 2, 3, 9, 0, 4, 1, 2, 3, 0, 1, 2, 0]), starts: new Int32Array([0, 5, 10, 13]) }
 * const found = maximalRepeats(phrases);
 * [...found.lengths]; // => [3, 2]
 * [...found.places.subarray(found.offsets[0], found.offsets[1])]; // => [0, 6]
 * [...found.places.subarray(found.offsets[1], found.offsets[2])]; // => [0, 6, 10]
 * [...found.supermaximal] // => [1, 0]
 * maximalRepeats(phrases, { groups: [0, 0, 1], leastGroups: 2 }).count // => 1
 */
export function maximalRepeats(phrases: Phrases, options: RepeatOptions = {}): Repeats {
  const { groups, leastLength = 2, leastPlaces = 2, leastApart = 1, leastGroups = 1, mostPlaces = 2 ** 26 } = options;
  atLeast(1, { leastLength, leastApart, leastGroups, mostPlaces });
  atLeast(2, { leastPlaces });
  checkPhrases(phrases, groups);
  const text = denseText(phrases.symbols); // zeros stay zeros
  const suffixes = sortedSuffixes(text);
  const all = findIntervals(prefixesAndTurns(text.symbols, suffixes, SEPARATOR), leastLength, leastPlaces);
  const found = groups ? withGroups(all, groupsOfSuffixes(phrases, groups, suffixes), leastGroups) : all;
  settleSupermaximal(found, text, suffixes);
  const places = placesOf(found);
  if (places > mostPlaces) {
    throw new RangeError(
      `the repeats have ${places} places altogether, more than ${mostPlaces}: raise leastLength or leastPlaces, or cut up long runs of one symbol`,
    );
  }
  return withPlaces(found, suffixes, leastApart);
}

function atLeast(least: number, options: Readonly<Record<string, number>>): void {
  for (const [name, value] of Object.entries(options)) {
    if (!(Number.isInteger(value) && value >= least))
      throw new RangeError(`${name} is ${value}: give a whole number from ${least} up`);
  }
}

/**
 * One separator for all phrases will do: where two suffixes agree up to their separators, what comes after puts them into
 * some order, and what they have in common is cut off there.
 */
const SEPARATOR = 0;

/** For each suffix the number of its phrase's group, counted from 0 as groups turn up. */
function groupsOfSuffixes({ starts }: Phrases, groups: ArrayLike<number>, suffixes: Int32Array): Int32Array {
  const numbers = new Map<number, number>();
  const byPlace: Int32Array = new Int32Array(suffixes.length);
  for (let f = 0; f < groups.length; f++) {
    const number = numbers.get(groups[f]!) ?? numbers.size;
    numbers.set(groups[f]!, number);
    byPlace.fill(number, starts[f]!, starts[f + 1]!);
  }
  const answer: Int32Array = new Int32Array(suffixes.length);
  for (let k = 0; k < answer.length; k++) answer[k] = byPlace[suffixes[k]!]!;
  return answer;
}

/** Intervals of the suffix array whose suffixes begin with one repeat; an interval comes after those within it. */
interface Intervals {
  readonly count: number;
  readonly lengths: Int32Array;
  readonly from: Int32Array;
  /** Just after the last one. */
  readonly until: Int32Array;
  readonly groups: Int32Array;
  /** 1 as long as a repeat may still be it. */
  readonly supermaximal: Uint8Array;
}

function findIntervals(turns: Int32Array, leastLength: number, leastPlaces: number): Intervals {
  const n = turns.length;
  const room = {
    lengths: new Int32Array(n),
    from: new Int32Array(n),
    until: new Int32Array(n),
    groups: new Int32Array(n),
    supermaximal: new Uint8Array(n),
  };
  return { count: fillIntervals(turns, leastLength, leastPlaces, room), ...room };
}

/** Fills the intervals in; returns how many there are. All loops are in functions of their own, as in suffix-array.ts. */
function fillIntervals(
  turns: Int32Array,
  leastLength: number,
  leastPlaces: number,
  { lengths, from, until, groups, supermaximal }: Omit<Intervals, 'count'>,
): number {
  const n = turns.length;
  // Intervals that have begun and not ended, each within the one before; the first, of length 0, is never taken off.
  const openLength: Int32Array = new Int32Array(n + 1);
  const openFrom: Int32Array = new Int32Array(n + 1);
  const openTurned: Int32Array = new Int32Array(n + 1);
  const openHolds: Uint8Array = new Uint8Array(n + 1); // whether another interval lies within it
  let top = 0;
  let turned = 0; // how often the symbol on the left has changed so far
  let lastTurn = 0; // and where it did last
  let count = 0;
  for (let k = 1; k <= n; k++) {
    const turn = k < n ? turns[k]! : 0;
    const common = turn >> 1 < leastLength ? 0 : turn >> 1;
    let start = k - 1;
    let holds = 0;
    while (openLength[top]! > common) {
      start = openFrom[top]!;
      if (lastTurn > start && k - start >= leastPlaces) {
        lengths[count] = openLength[top]!;
        from[count] = start;
        until[count] = k;
        groups[count] = 1;
        supermaximal[count++] = openHolds[top] === 0 && turned - openTurned[top]! === k - start - 1 ? 1 : 0;
      }
      holds = 1;
      openHolds[--top] = 1; // what encloses it holds it too
    }
    if (openLength[top]! < common) {
      openLength[++top] = common;
      openFrom[top] = start;
      openTurned[top] = turned;
      openHolds[top] = holds;
    }
    if ((turn & 1) === 1) {
      turned++;
      lastTurn = k;
    }
  }
  return count;
}

/** Counts the groups of each repeat, and closes up those that are in enough. */
function withGroups(all: Intervals, groupAt: Int32Array, leastGroups: number): Intervals {
  const highest = groupAt.reduce((most, group) => Math.max(most, group), 0);
  const seen: Int32Array = new Int32Array(highest + 1);
  return { ...all, count: fillGroups(all, groupAt, leastGroups, seen) };
}

function fillGroups(
  { count, lengths, from, until, groups, supermaximal }: Intervals,
  groupAt: Int32Array,
  leastGroups: number,
  seen: Int32Array,
): number {
  let kept = 0;
  for (let r = 0; r < count; r++) {
    const inGroups = distinctIn(groupAt, from[r]!, until[r]!, seen, r + 1);
    if (inGroups < leastGroups) continue;
    lengths[kept] = lengths[r]!;
    from[kept] = from[r]!;
    until[kept] = until[r]!;
    groups[kept] = inGroups;
    supermaximal[kept++] = supermaximal[r]!;
  }
  return kept;
}

/** Of three places and more it is not known yet whether all symbols on their left differ. */
function settleSupermaximal(
  { count, from, until, supermaximal }: Intervals,
  text: DenseText,
  suffixes: Int32Array,
): void {
  const seen: Int32Array = new Int32Array(text.size);
  for (let r = 0; r < count; r++) {
    if (supermaximal[r] === 0 || until[r]! - from[r]! === 2) continue;
    if (!leftsDiffer(text.symbols, suffixes, from[r]!, until[r]!, seen, r + 1)) supermaximal[r] = 0;
  }
}

function placesOf({ count, from, until }: Intervals): number {
  let places = 0;
  for (let r = 0; r < count; r++) places += until[r]! - from[r]!;
  return places;
}

/** How many values there are in part of a column; `mark` is a number that `seen` does not hold. */
function distinctIn(values: Int32Array, from: number, until: number, seen: Int32Array, mark: number): number {
  let distinct = 0;
  for (let k = from; k < until; k++) {
    if (seen[values[k]!] === mark) continue;
    seen[values[k]!] = mark;
    distinct++;
  }
  return distinct;
}

/** Whether no two suffixes of an interval have the same symbol on their left. */
function leftsDiffer(
  symbols: DenseText['symbols'],
  suffixes: Int32Array,
  from: number,
  until: number,
  seen: Int32Array,
  mark: number,
): boolean {
  for (let k = from; k < until; k++) {
    const left = suffixes[k] === 0 ? SEPARATOR : symbols[suffixes[k]! - 1]!;
    if (left === SEPARATOR) continue;
    if (seen[left] === mark) return false;
    seen[left] = mark;
  }
  return true;
}

/** Writes out the places of each repeat, and leaves out repeats of which too few lie apart. */
function withPlaces(found: Intervals, suffixes: Int32Array, leastApart: number): Repeats {
  const { count, lengths } = found;
  const offsets = offsetsOf(found);
  const places: Int32Array = new Int32Array(offsets[count]!);
  placeFew(found, suffixes, offsets, places);
  placeMany(found, suffixes, offsets, places);
  const apart = countApart(lengths, offsets, places, count);
  const all = {
    count,
    lengths: lengths.slice(0, count),
    offsets,
    places,
    apart,
    groups: found.groups.slice(0, count),
    supermaximal: found.supermaximal.slice(0, count),
  };
  return leastApart > 1 ? onlyWhere(all, (r) => apart[r]! >= leastApart) : all;
}

function offsetsOf({ count, from, until }: Intervals): Int32Array {
  const offsets: Int32Array = new Int32Array(count + 1);
  for (let r = 0; r < count; r++) offsets[r + 1] = offsets[r]! + until[r]! - from[r]!;
  return offsets;
}

/** Up to so many places are sorted by insertion. */
const FEW = 24;

function placeFew({ count, from }: Intervals, suffixes: Int32Array, offsets: Int32Array, places: Int32Array): void {
  for (let r = 0; r < count; r++) {
    const start = offsets[r]!;
    const end = offsets[r + 1]!;
    if (end - start > FEW) continue;
    const shift = from[r]! - start;
    for (let i = start; i < end; i++) {
      const place = suffixes[i + shift]!;
      let at = i;
      for (; at > start && places[at - 1]! > place; at--) places[at] = places[at - 1]!;
      places[at] = place;
    }
  }
}

/**
 * Of two repeats that begin at one place, the interval of the longer one lies within that of the shorter one. So going
 * through the text, and at each place from the longest repeat there out to the shortest, meets all their places in order.
 */
function placeMany(found: Intervals, suffixes: Int32Array, offsets: Int32Array, places: Int32Array): void {
  const many = intervalsOfMany(found); // few enough for what is known of them to stay in the processor's cache
  const innermost: Int32Array = new Int32Array(suffixes.length);
  const outer: Int32Array = new Int32Array(many.length);
  nest(found, many, innermost, outer);
  const longestAt: Int32Array = new Int32Array(suffixes.length);
  scatter(innermost, suffixes, longestAt);
  const next = many.map((r) => offsets[r]!);
  placeNested(longestAt, outer, next, places);
}

function scatter(values: Int32Array, places: Int32Array, into: Int32Array): void {
  for (let k = 0; k < values.length; k++) if (values[k] !== 0) into[places[k]!] = values[k]!;
}

function intervalsOfMany({ count, from, until }: Intervals): Int32Array {
  const many: Int32Array = new Int32Array(count);
  let found = 0;
  for (let r = 0; r < count; r++) if (until[r]! - from[r]! > FEW) many[found++] = r;
  return many.slice(0, found);
}

/** The innermost interval that each suffix is in, and the next one out around each; 1 more than its index, 0 for none. */
function nest({ from, until }: Intervals, many: Int32Array, innermost: Int32Array, outer: Int32Array): void {
  for (let m = many.length - 1; m >= 0; m--) {
    const r = many[m]!;
    outer[m] = innermost[from[r]!]!;
    innermost.fill(m + 1, from[r]!, until[r]!);
  }
}

function placeNested(longestAt: Int32Array, outer: Int32Array, next: Int32Array, places: Int32Array): void {
  for (let place = 0; place < longestAt.length; place++) {
    for (let m = longestAt[place]! - 1; m >= 0; m = outer[m]! - 1) places[next[m]!++] = place;
  }
}

function countApart(lengths: Int32Array, offsets: Int32Array, places: Int32Array, count: number): Int32Array {
  const apart: Int32Array = new Int32Array(count);
  for (let r = 0; r < count; r++) {
    const length = lengths[r]!;
    const end = offsets[r + 1]!;
    let free = 0; // the first place that does not overlap the last one taken
    let taken = 0;
    for (let i = offsets[r]!; i < end; i++) {
      const place = places[i]!;
      if (place < free) continue;
      taken++;
      free = place + length;
    }
    apart[r] = taken;
  }
  return apart;
}

function onlyWhere(all: Repeats, keep: (r: number) => boolean): Repeats {
  const kept = Int32Array.from(all.lengths.keys()).filter(keep);
  const offsets: Int32Array = new Int32Array(kept.length + 1);
  for (const [i, r] of kept.entries()) {
    offsets[i + 1] = offsets[i]! + all.offsets[r + 1]! - all.offsets[r]!;
    all.places.copyWithin(offsets[i]!, all.offsets[r]!, all.offsets[r + 1]!);
  }
  return {
    count: kept.length,
    lengths: kept.map((r) => all.lengths[r]!),
    offsets,
    places: all.places.slice(0, offsets[kept.length]),
    apart: kept.map((r) => all.apart[r]!),
    groups: kept.map((r) => all.groups[r]!),
    supermaximal: Uint8Array.from(kept, (r) => all.supermaximal[r]!),
  };
}
