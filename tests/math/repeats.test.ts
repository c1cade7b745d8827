// Suffix arrays and maximal repeats: textbook strings, and naive code on random input.
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { createRandom } from '../../lib/foundation/random.js';
import { phraseAt, phrasesOf } from '../../lib/math/phrases.js';
import { maximalRepeats, type RepeatOptions } from '../../lib/math/repeats.js';
import { commonPrefixes, suffixArray } from '../../lib/math/suffix-array.js';

const letters = (text: string) => Int32Array.from(text, (c) => c.charCodeAt(0));
/** Maximal repeats of a string, as `abc(3)`, and those that are supermaximal. */
const repeatsOf = (text: string) => {
  const phrases = phrasesOf([[...letters(text)]]);
  const found = maximalRepeats(phrases, { leastLength: 1 });
  const say = Array.from({ length: found.count }, (_, r) => {
    const place = found.places[found.offsets[r] as number] as number;
    return {
      word: text.slice(place, place + (found.lengths[r] as number)),
      places: (found.offsets[r + 1] as number) - (found.offsets[r] as number),
      top: found.supermaximal[r] === 1,
    };
  });
  return {
    all: say.map((s) => `${s.word}(${s.places})`).sort(),
    top: say
      .filter((s) => s.top)
      .map((s) => s.word)
      .sort(),
  };
};

describe('textbook strings', () => {
  it('banana: suffix array, common prefixes, maximal repeats (textbook; computed by brute force)', () => {
    const text = letters('banana');
    expect([...suffixArray(text)]).toEqual([5, 3, 1, 0, 4, 2]);
    expect([...commonPrefixes(text, suffixArray(text))]).toEqual([0, 1, 3, 0, 0, 2]);
    expect(repeatsOf('banana').all).toEqual(['a(3)', 'ana(2)']);
  });
  it('mississippi (textbook; computed by brute force)', () => {
    const text = letters('mississippi');
    expect([...suffixArray(text)]).toEqual([10, 7, 4, 1, 0, 9, 8, 6, 3, 5, 2]);
    expect([...commonPrefixes(text, suffixArray(text))]).toEqual([0, 1, 1, 4, 0, 0, 1, 0, 2, 1, 3]);
    expect(repeatsOf('mississippi')).toEqual({ all: ['i(4)', 'issi(2)', 'p(2)', 's(4)'], top: ['issi', 'p'] });
  });
  it('xabcyiiizabcqabcyrxar (Gusfield 1997, section 7.12; values computed by brute force)', () => {
    expect(repeatsOf('xabcyiiizabcqabcyrxar')).toEqual({
      all: ['a(4)', 'abc(3)', 'abcy(2)', 'i(3)', 'ii(2)', 'r(2)', 'xa(2)'],
      top: ['abcy', 'ii', 'r', 'xa'],
    });
  });
});

describe('distinct parts', () => {
  it.each([
    ['banana', 15],
    ['mississippi', 53],
    ['xabcyiiizabcqabcyrxar', 208],
  ])(
    '%s has %i: all parts but those that the suffix sorted before begins with too (computed by brute force)',
    (word, n) => {
      const shared = commonPrefixes(letters(word), suffixArray(letters(word))).reduce((a, b) => a + b, 0);
      expect((word.length * (word.length + 1)) / 2 - shared).toBe(n);
    },
  );
});

const text = fc
  .integer({ min: 1, max: 4 })
  .chain((size) => fc.array(fc.integer({ min: 1, max: size }), { maxLength: 60 }));

describe('against naive code', () => {
  it('suffixes stand in order', () => {
    fc.assert(
      fc.property(
        fc.array(fc.oneof(fc.integer({ min: 0, max: 3 }), fc.integer({ min: 0, max: 2 ** 31 - 1 })), { maxLength: 80 }),
        (symbols) => {
          const compare = (a: number, b: number): number => {
            for (let i = 0; ; i++) {
              if (b + i >= symbols.length) return 1;
              if (a + i >= symbols.length) return -1;
              const d = (symbols[a + i] as number) - (symbols[b + i] as number);
              if (d !== 0) return d;
            }
          };
          const naive = symbols.map((_, i) => i).sort(compare);
          expect([...suffixArray(Int32Array.from(symbols))]).toEqual(naive);
        },
      ),
      { numRuns: 400 },
    );
  });

  // Long enough for symbols to be sorted in bytes, as they are, and by rank, and for sorting to be begun again several times.
  it.each([
    [2, 1],
    [20, 13],
    [300, 1],
    [5000, 1],
    [5000, 400_000],
  ])('suffixes of 20,000 symbols stand in order: %i symbols, %i apart', (size, step) => {
    const random = createRandom(size);
    const symbols = Int32Array.from({ length: 20_000 }, () => step * Math.floor(random.next() * random.int(size)));
    const suffixes = suffixArray(symbols);
    const shared = commonPrefixes(symbols, suffixes);
    expect([...suffixes].sort((a, b) => a - b)).toEqual([...symbols.keys()]);
    for (let k = 1; k < symbols.length; k++) {
      let [a, b] = [suffixes[k - 1]!, suffixes[k]!];
      const start = a;
      for (; a < symbols.length && symbols[a] === symbols[b]; a++) b++;
      if (shared[k] !== a - start || (symbols[a] ?? -1) >= symbols[b]!) expect.fail(`suffix ${k} is out of order`);
    }
  });

  it('repeats of 20,000 symbols are at all places at which a Map finds them', () => {
    const random = createRandom(9);
    const lists = Array.from({ length: 900 }, () =>
      Array.from({ length: random.int(45) }, () => 700 + random.int(1 + random.int(12))),
    );
    const phrases = phrasesOf(lists);
    const placesOf = new Map<string, number[]>();
    lists.forEach((list, f) => {
      for (let i = 0; i < list.length; i++)
        for (let until = i + 2; until <= list.length; until++) {
          const word = list.slice(i, until).join();
          const places = placesOf.get(word) ?? [];
          places.push(phrases.starts[f]! + i);
          placesOf.set(word, places);
        }
    });
    const found = maximalRepeats(phrases);
    const said = new Set<string>();
    for (let r = 0; r < found.count; r++) {
      const places = found.places.subarray(found.offsets[r], found.offsets[r + 1]);
      const word = phrases.symbols.subarray(places[0], places[0]! + found.lengths[r]!).join();
      if (said.has(word) || placesOf.get(word)?.join() !== places.join()) expect.fail(`${word} is at ${places}`);
      said.add(word);
    }
    const differ = (near: readonly (number | undefined)[]): boolean =>
      near.some((symbol) => !symbol) || new Set(near).size > 1;
    const maximal = [...placesOf].filter(([word, places]) => {
      const length = word.split(',').length;
      const near = (by: number) => places.map((place) => phrases.symbols[place + by]);
      return places.length > 1 && differ(near(-1)) && differ(near(length));
    });
    expect(said.size).toBe(maximal.length);
    expect(maximal.filter(([, places]) => places.length > 200).length).toBeGreaterThan(20);
  });

  it('maximal repeats are those found by asking every substring', () => {
    fc.assert(
      fc.property(
        fc.array(text, { maxLength: 6 }),
        fc.record({
          leastLength: fc.integer({ min: 1, max: 3 }),
          leastPlaces: fc.integer({ min: 2, max: 3 }),
          leastGroups: fc.integer({ min: 1, max: 2 }),
          leastApart: fc.integer({ min: 1, max: 2 }),
        }),
        (lists, options) => {
          const groups = lists.map((_, i) => i % 3);
          const phrases = phrasesOf(lists);
          const found = maximalRepeats(phrases, { ...options, groups });
          const got = Array.from({ length: found.count }, (_, r) => {
            const places = [...found.places.subarray(found.offsets[r], found.offsets[r + 1])];
            return `${found.lengths[r]}@${places.join(',')} apart ${found.apart[r]} groups ${found.groups[r]}`;
          }).sort();
          expect(got).toEqual(naiveRepeats(lists, groups, options));
        },
      ),
      { numRuns: 300 },
    );
  });

  it('a repeat is supermaximal if no other repeat contains it', () => {
    fc.assert(
      fc.property(fc.array(text, { maxLength: 5 }), (lists) => {
        const found = maximalRepeats(phrasesOf(lists), { leastLength: 1 });
        const all = phrasesOf(lists).symbols;
        const word = (r: number) =>
          ` ${all.subarray(found.places[found.offsets[r] as number] as number, (found.places[found.offsets[r] as number] as number) + (found.lengths[r] as number)).join(' ')} `;
        const words = Array.from({ length: found.count }, (_, r) => word(r));
        words.forEach((w, r) => {
          expect(found.supermaximal[r] === 1, w).toBe(!words.some((other) => other !== w && other.includes(w)));
        });
      }),
      { numRuns: 300 },
    );
  });

  it('phraseAt finds where a place is', () => {
    fc.assert(
      fc.property(fc.array(text, { minLength: 1, maxLength: 6 }), (lists) => {
        const phrases = phrasesOf(lists);
        lists.forEach((list, phrase) => {
          list.forEach((_, index) => {
            expect(phraseAt(phrases, (phrases.starts[phrase] as number) + index)).toEqual({ phrase, index });
          });
        });
      }),
    );
  });
});

describe('what is refused', () => {
  const run = phrasesOf([new Array<number>(100).fill(7)]);
  it.each([
    [() => phrasesOf([[1], [2, 0]]), 'symbol 1 of phrase 1 is 0'],
    [() => phrasesOf([[1.5]]), 'symbol 0 of phrase 0 is 1.5'],
    [() => suffixArray(Int32Array.of(3, -1)), 'symbol 1 of the text is -1'],
    [() => maximalRepeats(run, { leastLength: 0 }), 'leastLength is 0'],
    [() => maximalRepeats(run, { leastPlaces: 1 }), 'leastPlaces is 1'],
    [() => maximalRepeats(run, { groups: [] }), '0 groups for 1 phrases'],
    [() => maximalRepeats(run, { groups: [-1] }), 'the group of phrase 0 is -1'],
    [() => maximalRepeats({ symbols: Int32Array.of(1, 2), starts: Int32Array.of(0, 2) }), 'phrase 0 does not end'],
    [() => maximalRepeats({ symbols: Int32Array.of(1, 0), starts: Int32Array.of(0, 3) }), 'the phrases end at 3'],
    [() => maximalRepeats({ symbols: Int32Array.of(1, -2, 0), starts: Int32Array.of(0, 3) }), 'symbol 1 is -2'],
    [() => maximalRepeats(run, { mostPlaces: 4000 }), 'the repeats have 4949 places altogether'],
    [() => phraseAt(run, 100), 'there is no symbol at place 100'],
  ])('%s', (call, message) => {
    expect(call).toThrow(RangeError);
    expect(call).toThrow(message);
  });
  it('nothing, empty phrases and phrases of one symbol have no repeats', () => {
    for (const lists of [[], [[]], [[], [], []], [[1], [2]]]) expect(maximalRepeats(phrasesOf(lists)).count).toBe(0);
  });
});

function naiveRepeats(
  lists: readonly (readonly number[])[],
  groups: readonly number[],
  o: Required<Pick<RepeatOptions, 'leastLength' | 'leastPlaces' | 'leastGroups' | 'leastApart'>>,
): string[] {
  const { starts } = phrasesOf(lists);
  const words = new Map<
    string,
    { length: number; at: { place: number; phrase: number; left: string; right: string }[] }
  >();
  lists.forEach((list, phrase) => {
    for (let i = 0; i < list.length; i++)
      for (let j = i + o.leastLength; j <= list.length; j++) {
        const word = list.slice(i, j).join(' ');
        const at = {
          place: (starts[phrase] as number) + i,
          phrase,
          left: i === 0 ? `start ${phrase}` : String(list[i - 1]),
          right: j === list.length ? `end ${phrase}` : String(list[j]),
        };
        const known = words.get(word);
        if (known) known.at.push(at);
        else words.set(word, { length: j - i, at: [at] });
      }
  });
  const differ = (all: readonly string[]) => new Set(all).size > 1;
  return [...words.values()]
    .flatMap(({ length, at }) => {
      const inGroups = new Set(at.map((a) => groups[a.phrase])).size;
      let apart = 0;
      let free = 0;
      for (const { place } of at)
        if (place >= free) {
          apart++;
          free = place + length;
        }
      const isMaximal = at.length > 1 && differ(at.map((a) => a.left)) && differ(at.map((a) => a.right));
      if (!isMaximal || at.length < o.leastPlaces || inGroups < o.leastGroups || apart < o.leastApart) return [];
      return [`${length}@${at.map((a) => a.place).join(',')} apart ${apart} groups ${inGroups}`];
    })
    .sort();
}
