// Sequences of symbols kept end to end in one array: the form in which repeats are looked for and null corpora are made.
// No music in here.

/** Phrases of symbols, one after another, with a 0 after each. What is found in them never reaches over a 0. */
export interface Phrases {
  /** Whole numbers from 1 to 2147483647 that stand for what is compared, equal ones for the same, and the zeros. */
  readonly symbols: Int32Array;
  /** Phrase `f` is `symbols[starts[f]]` up to, not including, the 0 at `starts[f + 1] - 1`; one number more than phrases. */
  readonly starts: Int32Array;
}

const HIGHEST_SYMBOL = 2 ** 31 - 1;

/**
 * Lays lists of symbols end to end.
 * @throws RangeError if a symbol is not a whole number from 1 to 2147483647 (with its list and place)
 * @example
 * const { symbols, starts } = phrasesOf([[5, 7, 5], [], [7, 5]]);
 * [...symbols]; // => [5, 7, 5, 0, 0, 7, 5, 0]
 * [...starts] // => [0, 4, 5, 8]
 */
export function phrasesOf(lists: readonly ArrayLike<number>[]): Phrases {
  const starts: Int32Array = new Int32Array(lists.length + 1);
  for (const [f, list] of lists.entries()) starts[f + 1] = starts[f]! + list.length + 1;
  const symbols: Int32Array = new Int32Array(starts[lists.length]!);
  for (const [f, list] of lists.entries()) {
    for (let i = 0; i < list.length; i++) {
      const symbol = list[i]!;
      if (!(Number.isInteger(symbol) && symbol >= 1 && symbol <= HIGHEST_SYMBOL)) {
        throw new RangeError(
          `symbol ${i} of phrase ${f} is ${symbol}: give a whole number from 1 to ${HIGHEST_SYMBOL}`,
        );
      }
      symbols[starts[f]! + i] = symbol;
    }
  }
  return { symbols, starts };
}

/**
 * The phrase that a place among the symbols is in, and how far into it.
 * @throws RangeError if there is no symbol there
 * @example
 * phraseAt(phrasesOf([[5, 7, 5], [], [7, 5]]), 6) // => { phrase: 2, index: 1 }
 */
export function phraseAt({ symbols, starts }: Phrases, place: number): { phrase: number; index: number } {
  if (!(Number.isInteger(place) && place >= 0 && place < symbols.length && symbols[place] !== 0)) {
    throw new RangeError(
      `there is no symbol at place ${place}: places are numbered from 0, with one for each 0 between`,
    );
  }
  let phrase = 0; // the last one known to start at the place or before it
  for (let above = starts.length - 1; above - phrase > 1; ) {
    const middle = (phrase + above) >> 1;
    if (starts[middle]! <= place) phrase = middle;
    else above = middle;
  }
  return { phrase, index: place - starts[phrase]! };
}

/**
 * Refuses phrases that are not laid out as {@link Phrases} says, and groups that are not one whole number from 0 up for
 * each phrase.
 * @throws RangeError with the place of the first fault
 */
export function checkPhrases({ symbols, starts }: Phrases, groups?: ArrayLike<number>): void {
  const phrases = starts.length - 1;
  if (starts[0] !== 0) throw new RangeError('the starts of phrases must begin with 0');
  if (starts[phrases] !== symbols.length) {
    throw new RangeError(`the phrases end at ${starts[phrases]}, but there are ${symbols.length} symbols`);
  }
  for (let f = 0; f < phrases; f++) {
    const end = starts[f + 1]! - 1;
    if (end < starts[f]! || symbols[end] !== 0) throw new RangeError(`phrase ${f} does not end with a 0 of its own`);
    checkSymbols(symbols, starts[f]!, end);
  }
  if (groups === undefined) return;
  if (groups.length !== phrases) {
    throw new RangeError(`there are ${groups.length} groups for ${phrases} phrases: give one for each phrase`);
  }
  for (let f = 0; f < phrases; f++) {
    if (!(Number.isInteger(groups[f]) && groups[f]! >= 0)) {
      throw new RangeError(`the group of phrase ${f} is ${groups[f]}: give a whole number from 0 up`);
    }
  }
}

function checkSymbols(symbols: Int32Array, from: number, until: number): void {
  for (let i = from; i < until; i++) {
    if (!(symbols[i]! > 0)) throw new RangeError(`symbol ${i} is ${symbols[i]}: give a whole number from 1 up`);
  }
}
