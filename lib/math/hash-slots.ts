// Key columns, and a number for every combination of their codes found by hashing. No music in here.

/** One key of a table: for every row a code from 0 to `size` - 1. */
export interface KeyColumn {
  readonly codes: Uint8Array | Uint16Array | Int32Array;
  /** How many codes there are, used or not. */
  readonly size: number;
}

/** Rows numbered by their combination of codes. */
export interface HashSlots {
  /** For each row the number of its combination, by first appearance from 0. */
  readonly slotOf: Int32Array;
  /** For each combination the first row that has it. */
  readonly firstRow: Int32Array;
}

/** The first code of rows `start` to `end` - 1 that is outside its key, as an error to throw. */
export function codeFault(keys: readonly KeyColumn[], start: number, end: number): RangeError | undefined {
  for (const [k, { codes, size }] of keys.entries()) {
    for (let row = start; row < end; row++) {
      const code = codes[row]!;
      if (code < 0 || code >= size) {
        const range = size === 0 ? 'but the key has size 0' : `outside 0 to ${size - 1}`;
        return new RangeError(`key ${k} has code ${code} at row ${row}, ${range}: raise the size or mend the code`);
      }
    }
  }
  return undefined;
}

/** Numbers the combinations of codes by open addressing with linear probing; at most half of the table fills. */
export function hashSlots(keys: readonly KeyColumn[], n: number): HashSlots {
  const fault = codeFault(keys, 0, n);
  if (fault) throw fault;
  const columns = keys.map((key): Int32Array => new Int32Array(key.codes)); // one kind of array for the loops below
  let capacity = 16;
  while (capacity < 2 * n) capacity *= 2;
  const table: Int32Array = new Int32Array(capacity); // 0 is free, otherwise 1 + the number of a combination
  const firstRow: Int32Array = new Int32Array(n);
  const slotOf: Int32Array = new Int32Array(n);
  let found = 0;
  for (let row = 0; row < n; row++) {
    let hash = 0;
    for (let k = 0; k < columns.length; k++) {
      hash = Math.imul(hash ^ columns[k]![row]!, 0x9e3779b1);
      hash ^= hash >>> 15;
    }
    let at = hash & (capacity - 1);
    while (table[at] !== 0 && !sameCodes(columns, firstRow[table[at]! - 1]!, row)) at = (at + 1) & (capacity - 1);
    if (table[at] === 0) {
      firstRow[found++] = row;
      table[at] = found;
    }
    slotOf[row] = table[at]! - 1;
  }
  return { slotOf, firstRow: firstRow.slice(0, found) };
}

function sameCodes(columns: readonly Int32Array[], rowA: number, rowB: number): boolean {
  for (let k = 0; k < columns.length; k++) {
    const codes = columns[k]!;
    if (codes[rowA] !== codes[rowB]) return false;
  }
  return true;
}

/** The combinations that hold a counted row, in rising order of the first key, within it of the second, and so on. */
export function sortedSlots(keys: readonly KeyColumn[], firstRow: Int32Array, counts: Int32Array): Int32Array {
  const slots: Int32Array = Int32Array.from(firstRow.keys()).filter((slot) => counts[slot] !== 0);
  return slots.sort((p, q) => {
    for (const { codes } of keys) {
      const apart = codes[firstRow[p]!]! - codes[firstRow[q]!]!;
      if (apart !== 0) return apart;
    }
    return 0;
  });
}
