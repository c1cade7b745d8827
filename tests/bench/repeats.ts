// All maximal repeats of phrases, against sorting the same symbols natively and against counting stretches in Maps.
import { createRandom } from '../../lib/foundation/random.js';
import type * as PhrasesModule from '../../lib/math/phrases.js';
import type * as RepeatsModule from '../../lib/math/repeats.js';
import type * as SuffixArrayModule from '../../lib/math/suffix-array.js';
import { grouped, publish, type Report, ratioOf, timeInTurns, timingText } from './harness.js';

const SEED = 1963;
const FEW = 100_000;
const MANY = 1_000_000;
const LEAST = 3;
const LONGEST = 12;

const built = (name: string): string => new URL(`../../dist/math/${name}.js`, import.meta.url).href;
const { phrasesOf } = (await import(built('phrases'))) as typeof PhrasesModule;
const { maximalRepeats } = (await import(built('repeats'))) as typeof RepeatsModule;
const { suffixArray } = (await import(built('suffix-array'))) as typeof SuffixArrayModule;

/** Phrases of 8 to 32 symbols of 24 (one to four bars of eighths); five come two times in three, as small steps do. */
function corpus(symbols: number): readonly (readonly number[])[] {
  const random = createRandom(SEED);
  const phrases: number[][] = [];
  for (let left = symbols; left > 0; left -= phrases.at(-1)?.length ?? left) {
    const length = Math.min(left, 8 + random.int(25));
    const symbol = () => 1 + (random.int(3) === 0 ? random.int(24) : ([1, 2, 3, 4, 5][random.int(5)] as number));
    phrases.push(Array.from({ length }, symbol));
  }
  return phrases;
}

/** What one would write first: every stretch of 3 to 12 symbols as a text, counted in a Map. */
function countStretches(phrases: readonly (readonly number[])[]): ReadonlyMap<string, number> {
  const counts = new Map<string, number>();
  for (let length = LEAST; length <= LONGEST; length++)
    for (const phrase of phrases)
      for (let i = 0; i + length <= phrase.length; i++) {
        const stretch = phrase.slice(i, i + length).join();
        counts.set(stretch, (counts.get(stretch) ?? 0) + 1);
      }
  return counts;
}

/** Throws if a repeat has other places than the Map counted: then a time means nothing. */
function check(lists: readonly (readonly number[])[]): number {
  const phrases = phrasesOf(lists);
  const found = maximalRepeats(phrases, { leastLength: LEAST });
  const counts = countStretches(lists);
  for (let r = 0; r < found.count; r++) {
    const [from, until] = [found.offsets[r] as number, found.offsets[r + 1] as number];
    const [place, length] = [found.places[from] as number, found.lengths[r] as number];
    const stretch = phrases.symbols.subarray(place, place + length).join();
    if (length <= LONGEST && counts.get(stretch) !== until - from)
      throw new Error(`the Map counts ${stretch} ${counts.get(stretch)} times, the repeats ${until - from} times`);
  }
  return found.count;
}

async function repeats(): Promise<Report> {
  const fewLists = corpus(FEW);
  const [few, many] = [phrasesOf(fewLists), phrasesOf(corpus(MANY))];
  const count = check(fewLists);
  const options = { leastLength: LEAST };
  const small = await timeInTurns([
    { name: `maximal repeats of ${grouped(FEW)}`, run: () => maximalRepeats(few, options) },
    { name: 'stretches of 3 to 12 in a Map', run: () => countStretches(fewLists), rounds: 3 },
    { name: 'native sort of a copy', run: () => few.symbols.slice().sort() },
  ], 41); // biome-ignore format: a table
  const large = await timeInTurns([
    { name: `native sort of a copy of ${grouped(MANY)}`, run: () => many.symbols.slice().sort() },
    { name: 'suffix array', run: () => suffixArray(many.symbols) },
    { name: 'maximal repeats', run: () => maximalRepeats(many, options) },
  ]); // biome-ignore format: a table
  const fastest = (timings: typeof small, i: number): number => timings[i]?.fastest ?? Number.NaN;
  return {
    title: 'All maximal repeats of three symbols or more, with every place',
    inputs: `seed ${SEED}, ${grouped(FEW)} symbols (${grouped(count)} repeats) and ${grouped(MANY)} symbols in phrases of 8 to 32`,
    text: [timingText(small), timingText(large)].join('\n\n'),
    aims: [
      { what: 'maximal repeats over the native sort', aim: 8, reached: ratioOf(large, 'maximal repeats'), unit: 'x' },
      {
        what: 'ten times the symbols',
        aim: 14,
        reached: fastest(large, 2) / fastest(small, 0),
        unit: 'x the time',
      },
      {
        what: 'maximal repeats faster than stretches in a Map',
        aim: 30,
        reached: ratioOf(small, 'stretches of 3 to 12 in a Map'),
        unit: 'x',
        atLeast: true,
      },
    ],
  };
}

publish(await repeats());
