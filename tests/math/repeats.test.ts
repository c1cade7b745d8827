// Suffix arrays and maximal repeats: textbook strings, and naive code on random input.
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
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
