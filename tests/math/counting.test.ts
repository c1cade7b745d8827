import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { createRandom } from '../../lib/foundation/random.js';
import { type CellCounts, type CountOptions, countCells, type KeyColumn, rowsByCell } from '../../lib/math/counting.js';

interface Table {
  readonly keys: readonly KeyColumn[];
  readonly weights: Int32Array;
  readonly mask: Uint8Array;
}

const kinds = [Uint8Array, Uint16Array, Int32Array] as const;

/** Tables of one to five keys in mixed kinds of arrays, often with codes that no row has, down to no rows at all. */
const tables: fc.Arbitrary<Table> = fc
  .record({ rows: fc.nat(60), sizes: fc.array(fc.integer({ min: 1, max: 7 }), { minLength: 1, maxLength: 5 }) })
  .chain(({ rows, sizes }) => {
    const column = (size: number): fc.Arbitrary<KeyColumn> =>
      fc
        .tuple(fc.constantFrom(...kinds), fc.array(fc.nat(size - 1), { minLength: rows, maxLength: rows }))
        .map(([Kind, codes]) => ({ codes: Kind.from(codes), size }));
    return fc.record({
      keys: fc.tuple(...sizes.map(column)),
      weights: fc.int32Array({ minLength: rows, maxLength: rows }),
      mask: fc.uint8Array({ minLength: rows, maxLength: rows, max: 2 }),
    });
  });

interface NaiveCell {
  readonly codes: readonly number[];
  readonly rows: number[];
  sum: bigint;
}

/** The same count, said in the plainest way: a Map from the codes written out, sums in whole numbers of any size. */
function naive(keys: readonly KeyColumn[], { weights, mask }: CountOptions): readonly NaiveCell[] {
  const cells = new Map<string, NaiveCell>();
  for (let row = 0; row < keys[0]!.codes.length; row++) {
    if (mask?.[row] === 0) continue;
    const codes = keys.map((key) => key.codes[row]!);
    const cell = cells.get(codes.join()) ?? { codes, rows: [], sum: 0n };
    cells.set(codes.join(), cell);
    cell.rows.push(row);
    cell.sum += BigInt(weights?.[row] ?? 1);
  }
  return [...cells.values()].sort((p, q) => p.codes.map((code, k) => code - q.codes[k]!).find((d) => d !== 0) ?? 0);
}

const cellsOf = (found: CellCounts) =>
  Array.from({ length: found.cells }, (_, c) => ({
    codes: found.codes.map((codes) => codes[c]!),
    count: found.counts[c]!,
    sum: BigInt(found.sums[c]!),
  }));

const optionsOf = ({ weights, mask }: Table): readonly CountOptions[] => [{}, { weights }, { mask }, { weights, mask }];

describe('countCells', () => {
  it('finds what a Map finds, with a counter for every cell and by hashing alike', () => {
    fc.assert(
      fc.property(tables, (table) => {
        for (const options of optionsOf(table)) {
          const expected = naive(table.keys, options).map(({ codes, rows, sum }) => ({
            codes,
            count: rows.length,
            sum,
          }));
          const dense = countCells(table.keys, options);
          expect(cellsOf(dense)).toEqual(expected);
          expect(countCells(table.keys, { ...options, denseLimit: 0 })).toEqual(dense);
        }
      }),
    );
  });

  it('counts add up to the rows, and sums to the weights', () => {
    fc.assert(
      fc.property(tables, ({ keys, weights }) => {
        const found = countCells(keys, { weights });
        expect(found.counts.reduce((a, b) => a + b, 0)).toBe(weights.length);
        expect(found.sums.reduce((a, b) => a + b, 0)).toBe(weights.reduce((a, b) => a + b, 0));
      }),
    );
  });

  it('does not depend on the order of the rows', () => {
    fc.assert(
      fc.property(tables, ({ keys, weights }) => {
        const backwards = keys.map(({ codes, size }) => ({ codes: codes.toReversed(), size }));
        expect(countCells(backwards, { weights: weights.toReversed() })).toEqual(countCells(keys, { weights }));
      }),
    );
  });

  // A block holds 8192 rows; the loops take four at a time.
  for (const rows of [8191, 8192, 8193, 16384, 20001]) {
    it(`agrees with a Map on ${rows} rows, where blocks end and begin`, () => {
      const random = createRandom(rows);
      const column = (size: number) => ({ codes: Uint16Array.from({ length: rows }, () => random.int(size)), size });
      const weights = Int32Array.from({ length: rows }, () => random.int(2 ** 31));
      const mask = Uint8Array.from({ length: rows }, () => random.int(3));
      for (const keys of [[column(300)], [column(20), column(9)], [column(9), column(7), column(5), column(3)]]) {
        const expected = naive(keys, { weights, mask });
        for (const denseLimit of [2 ** 22, 0]) {
          const found = rowsByCell(keys, { weights, mask, denseLimit });
          expect(cellsOf(found)).toEqual(
            expected.map(({ codes, rows: of, sum }) => ({ codes, count: of.length, sum })),
          );
          expect([...found.rows]).toEqual(expected.flatMap((cell) => cell.rows));
        }
      }
    });
  }

  // Keys of 8 or 16 bits have a way of their own up to 65535 combinations and keys of 2^15, two or four rows at a time.
  for (const sizes of [
    [24, 12, 8],
    [65535],
    [65536],
    [2, 32767],
    [2, 32768],
    [1, 32768],
    [5, 13107],
    [255, 257],
    [3, 5, 17, 257],
    [256, 256, 1],
    [64, 32, 32],
    [1, 32769, 1],
    [65536, 1, 1],
    [41, 41, 39],
    [256, 256, 2],
  ]) {
    for (const rows of [1, 2, 3, 4, 5, 6, 7, 8190, 8193]) {
      it(`agrees with a Map on ${rows} rows of keys of bytes and of 16 bits, sizes ${sizes.join(' x ')}`, () => {
        const random = createRandom(rows);
        const keys = sizes.map((size, k) => {
          // The highest code often, where a carry would show.
          const codes = Array.from({ length: rows }, () => Math.min(random.int(2 * size), size - 1));
          return { codes: k % 2 === 1 && size <= 256 ? Uint8Array.from(codes) : Uint16Array.from(codes), size };
        });
        const weights = Int32Array.from({ length: rows }, () => random.int(2 ** 31));
        const mask = Uint8Array.from({ length: rows }, () => [0, 0, 1, 2, 127, 128, 255][random.int(7)]!);
        for (const options of optionsOf({ keys, weights, mask })) {
          const expected = naive(keys, options);
          const { offsets: _, rows: places, ...found } = rowsByCell(keys, options);
          expect(cellsOf(found)).toEqual(
            expected.map(({ codes, rows: of, sum }) => ({ codes, count: of.length, sum })),
          );
          expect([...places]).toEqual(expected.flatMap((cell) => cell.rows));
          expect(countCells(keys, options)).toEqual(found);
          expect(countCells(keys, { ...options, denseLimit: 0 })).toEqual(found);
        }
      });
    }
  }

  it('finds a code outside three keys of bytes in any place, past a block with codes that are too high for it', () => {
    const high = { codes: new Uint8Array(8192).fill(255), size: 256 };
    const one = { codes: new Uint8Array(8192), size: 1 };
    for (let row = 0; row < 7; row++) {
      for (let k = 0; k < 3; k++) {
        countCells([high, one, high].map((key, i) => (i === k ? key : one))); // leaves 255 behind
        const keys = [5, 200, 9].map((size) => ({ codes: new Uint8Array(7).fill(size - 1), size }));
        expect(countCells(keys).counts).toEqual(new Int32Array([7]));
        expect(countCells(keys, { weights: new Int32Array(7).fill(2) }).sums).toEqual(new Float64Array([14]));
        const { size } = keys[k]!;
        keys[k]!.codes[row] = size;
        const message = `key ${k} has code ${size} at row ${row}, outside 0 to ${size - 1}`;
        expect(() => countCells(keys)).toThrow(message);
        expect(() => countCells(keys, { weights: new Int32Array(7) })).toThrow(message);
      }
    }
  });

  it('finds a code of 16 bits outside its key in either row of a pair, whatever stands beside it', () => {
    for (const size of [1, 2, 100, 32767, 32768])
      for (const code of [size, 32767, 32768, 32769, 65535 - size, 65535])
        for (const beside of [0, size - 1])
          for (const row of [0, 1]) {
            if (code < size) continue;
            const codes = new Uint16Array(2).fill(beside);
            codes[row] = code;
            const key = { codes, size };
            const one = { codes: new Uint16Array(2), size: 1 };
            const message = `key 0 has code ${code} at row ${row}, outside 0 to ${size - 1}`;
            expect(() => countCells([key])).toThrow(message);
            expect(() => countCells([key, one, one])).toThrow(message);
          }
  });

  it('takes keys whose sizes multiply to more than 2^53', () => {
    const top = 2 ** 31 - 1;
    const wide = (codes: readonly number[]) => ({ codes: Int32Array.from(codes), size: 2 ** 31 });
    const found = countCells([wide([top, 0, top, 5]), wide([top, 0, top, 5]), wide([0, top, 0, 5])]);
    expect(cellsOf(found)).toEqual([
      { codes: [0, 0, top], count: 1, sum: 1n },
      { codes: [5, 5, 5], count: 1, sum: 1n },
      { codes: [top, top, 0], count: 2, sum: 2n },
    ]);
  });

  it('sums ticks beyond 2^31 exactly', () => {
    const rows = 100_000;
    const keys = [{ codes: new Uint8Array(rows), size: 1 }];
    const weights = new Int32Array(rows).fill(2 ** 31 - 1);
    expect(countCells(keys, { weights }).sums[0]).toBe(rows * (2 ** 31 - 1));
  });

  it('refuses a sum beyond 2^53 rather than round it', () => {
    const rows = 2 ** 22 + 8;
    const keys = [{ codes: new Uint8Array(rows), size: 1 }];
    const weights = new Int32Array(rows).fill(2 ** 31 - 1);
    expect(() => countCells(keys, { weights })).toThrow(/beyond 2\^53: count fewer rows/);
  });

  it('leaves no trace of one call in the next', () => {
    const many = [{ codes: new Uint8Array(9000).fill(3), size: 4 }];
    const few = [{ codes: new Uint8Array([1, 2]), size: 4 }];
    countCells(many, { weights: new Int32Array(9000).fill(7), mask: new Uint8Array(9000) });
    expect(() => countCells([{ codes: new Uint8Array(9000).fill(9), size: 4 }])).toThrow(RangeError);
    expect(cellsOf(countCells(few))).toEqual([
      { codes: [1], count: 1, sum: 1n },
      { codes: [2], count: 1, sum: 1n },
    ]);
  });

  it('gives no cells for a table without rows, or with all of them left out', () => {
    expect(countCells([{ codes: new Uint8Array(), size: 0 }]).cells).toBe(0);
    expect(countCells([{ codes: new Uint8Array(3), size: 2 }], { mask: new Uint8Array(3) }).cells).toBe(0);
  });

  describe('says what is wrong, where, and what to do', () => {
    const fine = { codes: new Uint8Array([0, 1, 2]), size: 3 };
    const cases: readonly (readonly [string, readonly KeyColumn[], CountOptions, RegExp])[] = [
      ['no key', [], {}, /at least one key/],
      [
        'columns of different length',
        [fine, { codes: new Uint8Array(4), size: 3 }],
        {},
        /key 1 has 4 rows, key 0 has 3/,
      ],
      ['weights of another length', [fine], { weights: new Int32Array(2) }, /2 weights for 3 rows/],
      ['a mask of another length', [fine], { mask: new Uint8Array(5) }, /5 places for 3 rows/],
      ['a size that is no count', [{ ...fine, size: 2.5 }], {}, /key 0 has size 2.5/],
      ['a key of size 0 with rows', [{ ...fine, size: 0 }], {}, /code 0 at row 0, but the key has size 0/],
      ['three keys, one of size 0', [fine, { ...fine, size: 0 }, fine], {}, /key 1 has code 0 at row 0, but the key/],
    ];
    for (const [name, keys, options, message] of cases) {
      it(name, () => expect(() => countCells(keys, options)).toThrow(message));
    }

    // The place must come out wherever the key stands, in the loops for three keys and for one more, and in
    // the hash.
    for (let many = 1; many <= 5; many++) {
      for (let k = 0; k < many; k++) {
        for (const code of [3, -1]) {
          it(`code ${code} in key ${k} of ${many}`, () => {
            const keys: KeyColumn[] = Array.from({ length: many }, () => fine);
            keys[k] = { codes: new Int32Array([2, code, 0]), size: 3 };
            const message = new RegExp(`key ${k} has code ${code} at row 1, outside 0 to 2`);
            expect(() => countCells(keys)).toThrow(message);
            expect(() => countCells(keys, { denseLimit: 0 })).toThrow(message);
          });
        }
      }
    }
  });
});

describe('rowsByCell', () => {
  it('gives the counts of countCells, and the rows that a Map collects in each cell', () => {
    fc.assert(
      fc.property(tables, fc.constantFrom(0, 2 ** 22), (table, denseLimit) => {
        for (const options of optionsOf(table)) {
          const { offsets, rows, ...counts } = rowsByCell(table.keys, { ...options, denseLimit });
          expect(counts).toEqual(countCells(table.keys, options));
          const of = Array.from({ length: counts.cells }, (_, c) => [...rows.subarray(offsets[c], offsets[c + 1])]);
          expect(of).toEqual(naive(table.keys, options).map((cell) => cell.rows));
        }
      }),
    );
  });

  it('puts every row in one cell: all cells together are a permutation of the rows', () => {
    fc.assert(
      fc.property(tables, ({ keys }) => {
        const found = rowsByCell(keys);
        expect([...found.rows].sort((a, b) => a - b)).toEqual([...keys[0]!.codes.keys()]);
        expect(found.offsets[found.cells]).toBe(found.rows.length);
      }),
    );
  });
});
