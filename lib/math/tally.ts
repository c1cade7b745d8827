// Counts rows by their combination of codes in blocks that stay in the processor's cache: the codes of a block are copied
// into arrays of one kind by the runtime, combined to one slot number a row, and counted. Up to 65535 slots they are
// 16-bit numbers, and two rows are worked on at a time. The face of this is counting.ts.
import { codeFault, type HashSlots, hashSlots, type KeyColumn, sortedSlots } from './hash-slots.js';

/** What to count. */
export interface CountOptions {
  /** A whole number for each row, for example its length in ticks. Default: every row weighs 1. */
  readonly weights?: Int32Array;
  /** Anything but 0 at the rows to count. Default: all rows. */
  readonly mask?: Uint8Array;
  /**
   * Up to this product of the key sizes every possible cell gets a counter (12 bytes each), beyond it cells are found
   * by hashing; the answer is the same. Default and highest: 4194304 (2^22).
   */
  readonly denseLimit?: number;
}

/** The cells that hold at least one row, in rising order of the first key, within it of the second, and so on. */
export interface CellCounts {
  /** How many cells hold a row. */
  readonly cells: number;
  /** `codes[k][c]` is the code of key `k` in cell `c`. */
  readonly codes: readonly Int32Array[];
  /** Rows in each cell. */
  readonly counts: Int32Array;
  /** Sum of the weights in each cell, exact. */
  readonly sums: Float64Array;
}

/** Counts, and what it takes to find the rows behind them. */
export interface Tally {
  readonly cells: CellCounts;
  /** For each cell its slot. */
  readonly order: Int32Array;
  /** For each row its slot, `slots` for a row left out; empty unless asked for. */
  readonly slotOf: Uint16Array | Int32Array;
  readonly slots: number;
}

const HIGHEST_DENSE_LIMIT = 2 ** 22;
const MOST_NARROW_SLOTS = 2 ** 16 - 1; // one more is the slot of rows left out

// Working space, refilled before it is read and never kept between calls. Module constants because V8 then knows the
// address and length of each array inside the loops, which halves their time.
const BLOCK = 8192;
const weightOfRow: Int32Array = new Int32Array(BLOCK);
const wideCodes: Int32Array = new Int32Array(BLOCK);
const wideSlots: Int32Array = new Int32Array(BLOCK);
const codesA: Uint16Array = new Uint16Array(BLOCK);
const codesB: Uint16Array = new Uint16Array(BLOCK);
const codesC: Uint16Array = new Uint16Array(BLOCK);
const narrowSlots: Uint16Array = new Uint16Array(BLOCK);
const narrowCounts: Int32Array = new Int32Array(MOST_NARROW_SLOTS + 1);
const narrowSums: Float64Array = new Float64Array(MOST_NARROW_SLOTS + 1);
// The same memory, two rows at a time.
const pairsA: Int32Array = new Int32Array(codesA.buffer);
const pairsB: Int32Array = new Int32Array(codesB.buffer);
const pairsC: Int32Array = new Int32Array(codesC.buffer);
const slotPairs: Int32Array = new Int32Array(narrowSlots.buffer);

/** Counts and sums per cell; `keepSlots` also keeps the slot of each row. Errors as of `countCells`. */
export function tally(keys: readonly KeyColumn[], options: CountOptions, keepSlots: boolean): Tally {
  const { weights, mask, denseLimit = HIGHEST_DENSE_LIMIT } = options;
  const n = rowCount(keys, options);
  const combinations = keys.reduce((product, key) => product * key.size, 1);
  const hashed = combinations <= Math.min(denseLimit, HIGHEST_DENSE_LIMIT) ? undefined : hashSlots(keys, n);
  const slots = hashed ? hashed.firstRow.length : combinations;
  const narrow =
    !hashed &&
    slots <= MOST_NARROW_SLOTS &&
    keys.every(({ codes, size }) => !(codes instanceof Int32Array) && size <= HIGHEST_NARROW_SIZE);
  const kept = keepSlots ? n : 0;
  const slotOf = hashed?.slotOf ?? (narrow ? new Uint16Array(kept) : new Int32Array(kept));

  // The last counter takes the rows that the mask leaves out.
  const counts = narrow ? narrowCounts.fill(0, 0, slots + 1) : new Int32Array(slots + 1);
  const sums = narrow ? narrowSums.fill(0, 0, slots + 1) : new Float64Array(slots + 1);
  for (let start = 0; start < n; start += BLOCK) {
    const end = Math.min(start + BLOCK, n);
    if (weights) weightOfRow.set(weights.subarray(start, end));
    if (narrow) {
      fillNarrowSlots(keys, mask, start, end, slots);
      if (keepSlots) (slotOf as Uint16Array).set(narrowSlots.subarray(0, end - start), start);
      if (weights) countAndSumNarrow(end - start);
      else countNarrow(end - start);
    } else {
      if (hashed) wideSlots.set(slotOf.subarray(start, end));
      else fillWideSlots(keys, start, end);
      if (mask) maskWide(mask, start, end, slots);
      if (keepSlots) slotOf.set(wideSlots.subarray(0, end - start), start);
      if (!weights) weightOfRow.fill(1);
      countAndSumWide(end - start, counts, sums);
    }
  }

  const order = hashed ? sortedSlots(keys, hashed.firstRow, counts) : occupied(counts, slots);
  const cellCounts = gather(counts, order);
  const cells = {
    cells: order.length,
    codes: codesOfCells(keys, order, hashed),
    counts: cellCounts,
    sums: weights ? gatherSums(sums, order) : new Float64Array(cellCounts),
  };
  return { cells, order, slotOf, slots };
}

/** The rows of each cell, rising, cell after cell; `offsets` says where each cell begins. */
export function rowsInCells({ order, slotOf, slots }: Tally, offsets: Int32Array): Int32Array {
  const next: Int32Array = new Int32Array(slots + 1).fill(-1); // the slot of rows left out stays at -1
  for (let c = 0; c < order.length; c++) next[order[c]!] = offsets[c]!;
  const rows: Int32Array = new Int32Array(offsets[order.length]!);
  for (let start = 0; start < slotOf.length; start += BLOCK) {
    const end = Math.min(start + BLOCK, slotOf.length);
    wideSlots.set(slotOf.subarray(start, end));
    placeRows(start, end, next, rows);
  }
  return rows;
}

function placeRows(start: number, end: number, next: Int32Array, rows: Int32Array): void {
  for (let row = start; row < end; row++) {
    const slot = wideSlots[row - start]!;
    const place = next[slot]!;
    if (place < 0) continue;
    rows[place] = row;
    next[slot] = place + 1;
  }
}

function rowCount(keys: readonly KeyColumn[], { weights, mask }: CountOptions): number {
  const n = keys[0]?.codes.length;
  if (n === undefined) throw new RangeError('counting needs at least one key column');
  for (const [k, { codes, size }] of keys.entries()) {
    if (codes.length !== n) {
      throw new RangeError(`key ${k} has ${codes.length} rows, key 0 has ${n}: give columns of one table`);
    }
    if (!Number.isInteger(size) || size < 0)
      throw new RangeError(`key ${k} has size ${size}: give how many codes it has`);
  }
  if (weights && weights.length !== n) {
    throw new RangeError(`there are ${weights.length} weights for ${n} rows: give one for each row`);
  }
  if (mask && mask.length !== n) {
    throw new RangeError(`the mask has ${mask.length} places for ${n} rows: give one for each row`);
  }
  return n;
}

/** Row-major slot of each row of a block: the last key counts fastest. Rows left out get the slot `leftOut`. */
function fillNarrowSlots(
  keys: readonly KeyColumn[],
  mask: Uint8Array | undefined,
  start: number,
  end: number,
  leftOut: number,
): void {
  const load = (into: Uint16Array, k: number) => into.set(keys[k]!.codes.subarray(start, end));
  // The loops may run past the end, by up to three rows: what another block left there must not be taken for a fault.
  const n = end - start;
  if (n < BLOCK) for (const codes of [codesA, codesB, codesC]) codes.fill(0, n);
  const pairs = (n + 1) >> 1;
  let bad = 0;
  let k = 0;
  if (keys.length >= 3) {
    load(codesA, 0);
    load(codesB, 1);
    load(codesC, 2);
    bad = narrowSlots3(pairs, keys[0]!.size, keys[1]!.size, keys[2]!.size);
    k = 3;
  } else narrowSlots.fill(0);
  for (; k < keys.length; k++) {
    load(codesA, k);
    bad |= addNarrowKey(pairs, keys[k]!.size);
  }
  if ((bad & HIGH_BITS) !== 0) throw codeFault(keys, start, end);
  if (mask) {
    codesA.set(mask.subarray(start, end));
    maskNarrow(pairs, leftOut);
  }
  if (n < BLOCK) narrowSlots.fill(leftOut, n);
}

// Two rows at a time, in halves of 16 bits: a slot is at most 65535, so nothing carries from one half to the other. What
// they return has the high bit of a half set if a code was outside its key: then the code, or 2^15 - size + code, has it.
const HIGHEST_NARROW_SIZE = 2 ** 15;
const HIGH_BITS = 0x80008000;
const inBothHalves = (half: number): number => Math.imul(half, 0x10001);

function narrowSlots3(pairs: number, sizeA: number, sizeB: number, sizeC: number): number {
  const roomA = inBothHalves(HIGHEST_NARROW_SIZE - sizeA);
  const roomB = inBothHalves(HIGHEST_NARROW_SIZE - sizeB);
  const roomC = inBothHalves(HIGHEST_NARROW_SIZE - sizeC);
  let bad = 0;
  for (let i = 0; i < pairs; i++) {
    const a = pairsA[i]!;
    const b = pairsB[i]!;
    const c = pairsC[i]!;
    bad |= (a + roomA) | (b + roomB) | (c + roomC) | a | b | c;
    slotPairs[i] = Math.imul(Math.imul(a, sizeB) + b, sizeC) + c;
  }
  return bad;
}

function addNarrowKey(pairs: number, size: number): number {
  const room = inBothHalves(HIGHEST_NARROW_SIZE - size);
  let bad = 0;
  for (let i = 0; i < pairs; i++) {
    const a = pairsA[i]!;
    bad |= (a + room) | a;
    slotPairs[i] = Math.imul(slotPairs[i]!, size) + a;
  }
  return bad;
}

// Masks have no branches, which a processor could not foresee.
function maskNarrow(pairs: number, leftOut: number): void {
  const outside = inBothHalves(leftOut);
  for (let i = 0; i < pairs; i++) {
    const counted = Math.imul(((pairsA[i]! + 0x7fff7fff) >>> 15) & 0x00010001, 0xffff); // all bits of a half, or none
    slotPairs[i] = outside ^ ((slotPairs[i]! ^ outside) & counted);
  }
}

function countNarrow(n: number): void {
  for (let i = 0; i < n; i += 4) {
    narrowCounts[narrowSlots[i]!]!++;
    narrowCounts[narrowSlots[i + 1]!]!++;
    narrowCounts[narrowSlots[i + 2]!]!++;
    narrowCounts[narrowSlots[i + 3]!]!++;
  }
}

function countAndSumNarrow(n: number): void {
  for (let i = 0; i < n; i += 4) {
    const p = narrowSlots[i]!;
    const q = narrowSlots[i + 1]!;
    const r = narrowSlots[i + 2]!;
    const s = narrowSlots[i + 3]!;
    narrowCounts[p]!++;
    narrowSums[p]! += weightOfRow[i]!;
    narrowCounts[q]!++;
    narrowSums[q]! += weightOfRow[i + 1]!;
    narrowCounts[r]!++;
    narrowSums[r]! += weightOfRow[i + 2]!;
    narrowCounts[s]!++;
    narrowSums[s]! += weightOfRow[i + 3]!;
  }
}

/** {@link fillNarrowSlots} for more slots or wider codes, mask aside. */
function fillWideSlots(keys: readonly KeyColumn[], start: number, end: number): void {
  let bad = 0;
  wideSlots.fill(0);
  for (const { codes, size } of keys) {
    wideCodes.set(codes.subarray(start, end));
    bad |= addWideKey(end - start, size);
  }
  if (bad < 0) throw codeFault(keys, start, end);
}

/** Below 0 if a code was outside its key: then the code, or size - 1 - code, has its sign bit set. */
function addWideKey(n: number, size: number): number {
  let bad = 0;
  for (let i = 0; i < n; i++) {
    const a = wideCodes[i]!;
    bad |= (size - 1 - a) | a;
    wideSlots[i] = Math.imul(wideSlots[i]!, size) + a;
  }
  return bad;
}

function maskWide(mask: Uint8Array, start: number, end: number, leftOut: number): void {
  wideCodes.set(mask.subarray(start, end));
  for (let i = 0; i < end - start; i++) {
    const counted = -wideCodes[i]! >> 31; // all bits set, or none
    wideSlots[i] = leftOut ^ ((wideSlots[i]! ^ leftOut) & counted);
  }
}

function countAndSumWide(n: number, counts: Int32Array, sums: Float64Array): void {
  for (let i = 0; i < n; i++) {
    const slot = wideSlots[i]!;
    counts[slot]!++;
    sums[slot]! += weightOfRow[i]!;
  }
}

function occupied(counts: Int32Array, slots: number): Int32Array {
  let cells = 0;
  for (let slot = 0; slot < slots; slot++) if (counts[slot] !== 0) cells++;
  const order: Int32Array = new Int32Array(cells);
  for (let slot = 0, c = 0; slot < slots; slot++) if (counts[slot] !== 0) order[c++] = slot;
  return order;
}

function gather(values: KeyColumn['codes'], places: Int32Array): Int32Array {
  const out: Int32Array = new Int32Array(places.length);
  for (let i = 0; i < places.length; i++) out[i] = values[places[i]!]!;
  return out;
}

function gatherSums(sums: Float64Array, order: Int32Array): Float64Array {
  const out: Float64Array = new Float64Array(order.length);
  for (let c = 0; c < order.length; c++) {
    const sum = sums[order[c]!]!;
    if (Math.abs(sum) > Number.MAX_SAFE_INTEGER) {
      throw new RangeError(`the weights of one cell add up to about ${sum}, beyond 2^53: count fewer rows at a time`);
    }
    out[c] = sum;
  }
  return out;
}

function codesOfCells(keys: readonly KeyColumn[], order: Int32Array, hashed: HashSlots | undefined): Int32Array[] {
  if (hashed) {
    const rows = gather(hashed.firstRow, order);
    return keys.map((key) => gather(key.codes, rows));
  }
  const rest: Int32Array = order.slice();
  const lastKeyFirst = keys.toReversed().map(({ size }): Int32Array => {
    const codes: Int32Array = new Int32Array(order.length);
    for (let c = 0; c < order.length; c++) {
      const above = (rest[c]! / size) | 0;
      codes[c] = rest[c]! - above * size;
      rest[c] = above;
    }
    return codes;
  });
  return lastKeyFirst.reverse();
}
