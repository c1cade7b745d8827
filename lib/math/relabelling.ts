// Whether things belong to one part of a corpus more than its size lets expect, told by dealing the names of the parts out anew. No music in here.
import { type Random, shuffle } from '../foundation/random.js';
import { adjustedPValues, type LogOdds, logOdds } from './contrast.js';

/** How often a thing comes in each unit where it comes at all. */
export interface Spread {
  /** Numbers of units, each once. */
  readonly units: ArrayLike<number>;
  /** How often, for each of these units. */
  readonly counts: ArrayLike<number>;
}

/** Which label a thing belongs to most. */
export interface Belonging extends LogOdds {
  readonly label: number;
  /** How often it comes under that label, and the size of all units of it. */
  readonly count: number;
  readonly size: number;
  readonly otherCount: number;
  readonly otherSize: number;
}

/** How likely a belonging comes of chance. */
export interface TestedBelonging extends Belonging {
  /** How often this thing belongs to some label as much with labels dealt out anew. */
  readonly p: number;
  /** `p` adjusted for how many things there are, as in `adjustedPValues`. */
  readonly adjusted: number;
}

/** How to deal labels out. */
export interface RelabelOptions {
  readonly random: Random;
  /** How many times; with the labels as they are, `p` is a multiple of 1 / (runs + 1). Default: 40 times the things, 1999 at least. */
  readonly runs?: number;
}

/** What the prior weighs against the corpus: with a quarter, 8 of 8 in half the corpus stand out (z 2.1), 6 of 6 do not (z 1.8); a choice of this project. */
const PRIOR = 0.25;

/**
 * For each thing the label that it belongs to most, by log odds against all other labels (prior: a quarter of the whole corpus), and how often so much
 * comes of chance if whole units are labelled anew, as many of each label as there are: a permutation test, in which picking the label is part of what is
 * repeated. Units are what is dealt out, not what is counted in them, since that goes together. If labels mean nothing, the share of corpora where any
 * adjusted p-value is at or below 0.05 is 0.05 at most. `undefined` for a thing that comes nowhere, or if there is one label only.
 * @param sizes size of each unit, above 0
 * @param labels label of each unit, from 0 up
 * @throws RangeError if sizes and labels differ in length, a size is not above 0, or runs is no whole number from 1 up
 * @example
 * const labels = [0, 0, 0, 0, 0, 1, 1, 1, 1, 1]
 * const things = [{ units: [0, 1, 2, 3, 4], counts: [2, 2, 2, 2, 2] }, { units: [0, 6], counts: [3, 3] }]
 * const found = belongings(things, labels.map(() => 100), labels, { random: createRandom(1) });
 * found.map((b) => [b.label, b.count, b.otherCount]) // => [[0, 10, 0], [0, 3, 3]]
 * found.map((b) => b.adjusted <= 0.05) // => [true, false]
 */
export function belongings(
  things: readonly Spread[],
  sizes: readonly number[],
  labels: readonly number[],
  { random, runs = Math.max(1999, 40 * things.length) }: RelabelOptions,
): readonly (TestedBelonging | undefined)[] {
  checkUnits(sizes, labels);
  if (!(Number.isInteger(runs) && runs >= 1)) throw new RangeError(`${runs} runs: give a whole number from 1 up`);
  const observed = things.map((thing) => belonging(thing, sizes, labels));
  const known = observed.flatMap((b, t) => (b ? [{ thing: prepared(things[t]!, sizes), z: b.z - 1e-9 }] : []));
  const asGood: Int32Array = new Int32Array(known.length).fill(1);
  const dealt = Int32Array.from(labels);
  const counted: Float64Array = new Float64Array(labels.reduce((most, label) => Math.max(most, label + 1), 0));
  for (let r = 0; known.length > 0 && r < runs; r++) {
    shuffle(dealt, random);
    const byLabel = sizesOf(sizes, dealt, counted.length);
    known.forEach(({ thing, z }, k) => {
      if (zOfMost(thing, byLabel, dealt, counted).z >= z) asGood[k]!++;
    });
  }
  const own = Array.from(asGood, (n) => n / (runs + 1));
  const adjusted = adjustedPValues(own);
  let k = 0;
  return observed.map((b) => b && { ...b, p: own[k]!, adjusted: adjusted[k++]! });
}

/**
 * The label that a thing belongs to most, as in {@link belongings}, without asking for chance.
 * @throws RangeError as {@link belongings} does
 * @example
 * belonging({ units: [0, 2], counts: [5, 1] }, [100, 100, 200], [0, 0, 1])?.z.toFixed(2) // => '1.30'
 */
export function belonging(thing: Spread, sizes: readonly number[], labels: readonly number[]): Belonging | undefined {
  checkUnits(sizes, labels);
  if (new Set(labels).size < 2 || thing.units.length === 0) return undefined;
  const many = labels.reduce((most, label) => Math.max(most, label + 1), 0);
  const byLabel = sizesOf(sizes, labels, many);
  const counted: Float64Array = new Float64Array(many);
  const ready = prepared(thing, sizes);
  const { label } = zOfMost(ready, byLabel, labels, counted);
  for (let i = 0; i < ready.units.length; i++) counted[labels[ready.units[i]!]!]! += ready.counts[i]!;
  const [count, size] = [counted[label]!, byLabel[label]!];
  const [otherCount, otherSize] = [ready.of - count, ready.all - size];
  return { ...oddsOf(ready, count, size), label, count, size, otherCount, otherSize };
}

function checkUnits(sizes: readonly number[], labels: readonly number[]): void {
  if (sizes.length !== labels.length) throw new RangeError(`${sizes.length} sizes for ${labels.length} labels`);
  sizes.forEach((size, u) => {
    if (!(size > 0 && size < Infinity)) throw new RangeError(`the size of unit ${u} is ${size}: give a number above 0`);
  });
}

/** The size of all units of each label. */
function sizesOf(sizes: readonly number[], labels: ArrayLike<number>, many: number): Float64Array {
  const byLabel: Float64Array = new Float64Array(many);
  for (let u = 0; u < sizes.length; u++) byLabel[labels[u]!]! += sizes[u]!;
  return byLabel;
}

/** A spread with its sums. */
interface Ready extends Spread {
  readonly of: number;
  readonly all: number;
}

const sumOf = (numbers: ArrayLike<number>): number => Array.from(numbers).reduce((sum, n) => sum + n, 0);

const prepared = ({ units, counts }: Spread, sizes: readonly number[]): Ready => ({
  units: Int32Array.from(units),
  counts: Float64Array.from(counts),
  of: sumOf(counts),
  all: sumOf(sizes),
});

const oddsOf = ({ of, all }: Ready, count: number, size: number): LogOdds =>
  logOdds(count, size, of - count, all - size, { of: PRIOR * of, all: PRIOR * all });

/** The label that a thing belongs to most, and by how many standard errors; `counted` is all zeros, and is left so. */
function zOfMost(
  thing: Ready,
  byLabel: Float64Array,
  labels: ArrayLike<number>,
  counted: Float64Array,
): { readonly label: number; readonly z: number } {
  const { units, counts } = thing;
  for (let i = 0; i < units.length; i++) counted[labels[units[i]!]!]! += counts[i]!;
  let [most, found] = [-Infinity, 0];
  for (let i = 0; i < units.length; i++) {
    const label = labels[units[i]!]!;
    if (counted[label] === 0) continue; // seen already
    const { z } = oddsOf(thing, counted[label]!, byLabel[label]!);
    counted[label] = 0;
    if (z > most) [most, found] = [z, label];
  }
  return { label: found, z: most };
}
