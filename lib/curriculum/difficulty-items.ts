// The demands of single moments, and how they become one number of a phrase.
import { QUARTER } from '../foundation/time.js';
import type { Gathering } from './difficulty-table.js';

/** What one moment demands. */
export interface Item {
  /** Ticks, and seconds from the start of the phrase. */
  readonly onset: number;
  readonly at: number;
  /** How much, 0 or above, in the unit that is gathered. */
  readonly amount: number;
  /** Seconds that it is spread over, for rates; else it is all at its moment. */
  readonly span?: number;
  /** What is shown for it. Default: the amount. */
  readonly value?: number;
  /** How much it demands alone, where that is not the amount. */
  readonly alone?: number;
  /** Above 0 where its words say little: other demands of the moment are said before it, those that say least last. */
  readonly plain?: number;
  /** The demand in a player's words, as an order: "hold the bend". */
  readonly words: () => string;
}

/** What was gathered, and where it is most: the moment it begins at. */
export interface Gathered {
  readonly amount: number;
  readonly value: number;
  readonly peak: Item | undefined;
}

/** Sums of seconds differ in their last digits. */
const SLACK = 1e-9;

/** Gathers the demands of a phrase: never less for more of them, nor for the same ones closer together. */
export function gather(items: readonly Item[], how: Gathering): Gathered {
  if (items.length === 0) return { amount: 0, value: 0, peak: undefined };
  if (how.kind === 'most') {
    const peak = items.reduce((best, item) => (item.amount > best.amount ? item : best));
    return { amount: peak.amount, value: peak.value ?? peak.amount, peak };
  }
  if (how.kind === 'sum') return { ...total(items, () => 1), peak: hardest(items) };
  const bySeconds = 'seconds' in how;
  const width = bySeconds ? how.seconds : how.quarters * QUARTER;
  const start = (item: Item) => (bySeconds ? item.at : item.onset);
  const length = (item: Item) => (bySeconds ? (item.span ?? 0) : 0);
  /** The part of an item that lies in a window. */
  const part = (item: Item, from: number): number => {
    const a = start(item);
    const span = length(item);
    const until = from + width;
    if (span === 0) return a >= from - SLACK && a <= until + SLACK ? 1 : 0;
    return Math.max(0, Math.min(a + span, until) - Math.max(a, from)) / span;
  };
  let best: Gathered = { amount: 0, value: 0, peak: undefined };
  // A sum over a window of fixed width is greatest where one of its ends is at an item's.
  const starts = new Set<number>();
  for (const item of items) {
    starts.add(start(item));
    if (length(item) > 0) starts.add(start(item) + length(item) - width);
  }
  for (const from of starts) {
    const inside = items.filter((item) => part(item, from) > 0);
    const found = total(inside, (item) => part(item, from));
    if (found.amount > best.amount + SLACK || best.peak === undefined) best = { ...found, peak: hardest(inside) };
  }
  return best;
}

function total(items: readonly Item[], part: (item: Item) => number): { amount: number; value: number } {
  let amount = 0;
  let value = 0;
  for (const item of items) {
    const share = part(item);
    amount += item.amount * share;
    value += (item.value ?? item.amount) * share;
  }
  return { amount, value };
}

const hardest = (items: readonly Item[]): Item | undefined =>
  items.reduce<Item | undefined>(
    (best, item) => (best && (best.alone ?? best.amount) >= (item.alone ?? item.amount) ? best : item),
    undefined,
  );
