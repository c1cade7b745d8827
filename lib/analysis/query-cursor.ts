// The words of a query one after the other, and the first fault with its place, what was found and expected, and a remedy.
import type { Diagnostic } from '../foundation/diagnostic.js';
import { nearest } from '../foundation/nearest.js';
import { placeOf, sourceText } from '../foundation/source-text.js';

/** Characters that a query may have. */
const LONGEST = 2000;
/** How deep brackets and "not" may stand in one another. */
const DEEPEST = 40;

/** A word of a query, with the offsets of its first character and of the one after its last. */
export interface Word {
  readonly text: string;
  readonly start: number;
  readonly end: number;
}

/** Words stand between blanks; a bracket is a word of its own, unless it is part of a chord symbol: `C7(b9)`. */
function wordsOf(text: string): readonly Word[] {
  const words: Word[] = [];
  const pattern = /[()]|[^\s()](?:\([^\s()]*\)|[^\s()])*/g;
  for (const match of text.matchAll(pattern))
    words.push({ text: match[0], start: match.index, end: match.index + match[0].length });
  return words;
}

/** Stops reading at the first fault; `parseQuery` catches it. */
export class Stop extends Error {
  constructor(readonly fault: Diagnostic) {
    super(fault.message);
  }
}

/** The nearest word; of short ones only those that one slip leads to. */
export const nearestWord = (text: string, words: readonly string[]): string | undefined =>
  nearest(text, words, text.length < 4 ? 1 : 2);

/** A place among the words of a query. Its methods stop reading, by throwing a {@link Stop}, where the words do not go on as they must. */
export class QueryCursor {
  readonly #words: readonly Word[];
  #next = 0;
  #depth = 0;
  constructor(private readonly text: string) {
    if (text.length > LONGEST)
      this.stop(
        'query-long',
        { text: '', start: LONGEST, end: text.length },
        `a query has at most ${LONGEST} characters, this has ${text.length}`,
        { remedy: 'leave some out' },
      );
    this.#words = wordsOf(text);
  }

  /** The word that was taken last. */
  before(): Word | undefined {
    return this.#words[this.#next - 1];
  }

  skip(): void {
    this.#next++;
  }

  peek(): Word | undefined {
    return this.#words[this.#next];
  }

  takes(text: string): boolean {
    const is = this.peek()?.text.toLowerCase() === text;
    if (is) this.#next++;
    return is;
  }

  take(expected: string): Word {
    const word = this.peek() ?? this.ended(expected);
    this.#next++;
    return word;
  }

  expect(text: string): void {
    const word = this.peek() ?? this.ended(text);
    if (!this.takes(text)) this.unexpected(word, text, [text]);
  }

  deeper<T>(read: () => T): T {
    if (++this.#depth > DEEPEST)
      this.stop('query-deep', this.peek() ?? this.endPlace(), `brackets and not stand more than ${DEEPEST} deep`, {
        remedy: 'leave some out',
      });
    const value = read();
    this.#depth--;
    return value;
  }

  endPlace(): Word {
    const end = this.text.trimEnd().length;
    return { text: '', start: end, end };
  }

  ended(expected: string): never {
    const empty = this.#words.length === 0;
    this.stop('query-end', this.endPlace(), empty ? 'the query is empty' : 'the query ends too soon', {
      found: 'the end',
      expected,
      remedy: `write ${expected}`,
    });
  }

  unexpected(word: Word, expected: string, words: readonly string[]): never {
    const near = nearestWord(word.text.toLowerCase(), words);
    const remedy = near === undefined ? `write ${expected}` : `did you mean ${near}?`;
    this.stop('query-word', word, `"${word.text}" stands where ${expected} is expected`, {
      found: word.text,
      expected,
      remedy,
    });
  }

  stop(
    code: string,
    { start, end }: Word,
    message: string,
    facts: Pick<Diagnostic, 'found' | 'expected' | 'remedy'> = {},
  ): never {
    const place = placeOf(sourceText(this.text), start, end);
    throw new Stop({ code, severity: 'fault', file: '', place, message, ...facts });
  }
}
