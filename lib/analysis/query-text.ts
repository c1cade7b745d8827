// A query from text, such as `degrees 5 6 1 over IV and not comes in on 1`. The grammar stands in data/queries.md.
import { FaultError, type Reading } from '../foundation/diagnostic.js';
import { nearest } from '../foundation/nearest.js';
import {
  all,
  any,
  endsOn,
  entersOn,
  holding,
  LENGTH_UNITS,
  type LengthUnit,
  type Limits,
  lasts,
  not,
  onString,
  type Pattern,
  patternFault,
  patternOf,
  type Query,
} from './phrase-query.js';
import { nearestWord, QueryCursor, Stop, type Word } from './query-cursor.js';
import {
  ANY,
  GAP,
  GESTURE_SYNONYMS,
  GESTURE_WORDS,
  isCount,
  isLength,
  isOverWord,
  LOOK_FACTS,
  MEMBERS,
  overMeant,
  PATTERN_LOOKS,
  type PatternLook,
  readTarget,
} from './query-elements.js';

/** What may be said of a look in the singular. */
const LOOK_WORDS: ReadonlyMap<string, PatternLook> = new Map(
  PATTERN_LOOKS.flatMap((look) => [
    [look, look] as const,
    ...(look.endsWith('s') ? [[look.slice(0, -1), look] as const] : []),
  ]),
);
const STARTS = [...LOOK_WORDS.keys(), ...GESTURE_WORDS, ...GESTURE_SYNONYMS.keys(), 'comes', 'ends', 'lasts', 'not'];
const BEHIND = ['over', 'of', 'on', 'starting', 'ending', 'with', 'and', 'or'];
const KEYWORDS: ReadonlySet<string> = new Set([
  ...LOOK_WORDS.keys(),
  'comes',
  'ends',
  'lasts',
  'not',
  ...BEHIND,
  '(',
  ')',
]);

/** What is known of the solos that will be searched. */
export interface QueryContext {
  /** Chord symbols and functions that there are: one that is not among them is a fault. Default: any are taken. */
  readonly chords?: readonly string[];
}

/**
 * Reads a query. Nothing is thrown: the first fault is given with its place, what was found and expected, and a remedy.
 * @example
 * parseQuery('degrees 5 6 1 over IV').value // => { kind: 'pattern', look: 'degrees', elements: ['5', '6', '1'], over: 'IV' }
 * parseQuery('degrees 5 6 ovr IV').diagnostics[0]?.remedy // => 'did you mean over?'
 */
export function parseQuery(text: string, context: QueryContext = {}): Reading<Query> {
  try {
    return { value: new Reader(text, context).read(), diagnostics: [] };
  } catch (error) {
    if (error instanceof Stop) return { value: undefined, diagnostics: [error.fault] };
    throw error;
  }
}

/**
 * Reads a query.
 * @throws FaultError for a query that cannot be read, with its place and a remedy
 * @example
 * parseQueryOrThrow('prebent on string 3').kind // => 'pattern'
 */
export function parseQueryOrThrow(text: string): Query {
  const { value, diagnostics } = parseQuery(text);
  if (value === undefined) throw new FaultError(diagnostics);
  return value;
}

class Reader extends QueryCursor {
  constructor(
    text: string,
    private readonly context: QueryContext,
  ) {
    super(text);
  }

  read(): Query {
    const query = this.either();
    const word = this.peek();
    if (word?.text === ')') this.stop('query-bracket', word, 'this bracket closes nothing', { remedy: 'leave it out' });
    if (word) this.unexpected(word, 'and, or, with, or the end', BEHIND);
    return query;
  }

  private either(): Query {
    const parts = [this.both()];
    while (this.takes('or')) parts.push(this.both());
    return any(...parts);
  }

  private both(): Query {
    const parts = [this.one()];
    while (this.takes('and')) parts.push(this.one());
    return all(...parts);
  }

  private one(): Query {
    return this.takes('not') ? not(this.deeper(() => this.one())) : this.place();
  }

  private place(): Query {
    const outer = this.single();
    const inner: Query[] = [];
    while (this.takes('with')) inner.push(this.inner());
    return inner.length === 0 ? outer : holding(outer, ...inner);
  }

  private inner(): Query {
    return this.takes('not') ? not(this.deeper(() => this.inner())) : this.single();
  }

  private single(): Query {
    const word = this.peek();
    if (!word) this.ended('a pattern such as degrees 5 6 1, or a condition such as comes in on 3&');
    const lower = word.text.toLowerCase();
    if (lower === '(') {
      this.skip();
      const query = this.deeper(() => this.either());
      if (this.takes(')')) return query;
      const other = this.peek();
      if (other) this.unexpected(other, 'and, or, with, or a closing bracket', BEHIND);
      this.stop('query-bracket', word, 'this bracket is not closed', { expected: ')', remedy: 'close it' });
    }
    if (lower === 'comes') return this.enters();
    if (lower === 'ends') return this.ends();
    if (lower === 'lasts') return this.lasts();
    if (lower === 'on') {
      this.skip();
      return onString(this.stringNumber());
    }
    const look = LOOK_WORDS.get(lower);
    if (look) this.skip();
    else if (!LOOK_FACTS.gestures.reads(gestureOf(word.text))) this.noStart(word);
    return this.pattern(look ?? 'gestures', word);
  }

  /** A word that nothing can start with: a pattern whose look is not said, or a slip. */
  private noStart(word: Word): never {
    const look = PATTERN_LOOKS.find((l) => LOOK_FACTS[l].reads(word.text));
    const expected = 'a pattern such as degrees 5 6 1, or a condition such as comes in on 3&';
    if (look)
      this.stop('query-word', word, `"${word.text}" stands without saying what it is`, {
        found: word.text,
        expected,
        remedy: `write ${look} ${word.text}`,
      });
    this.unexpected(word, expected, STARTS);
  }

  private pattern(look: PatternLook, first: Word): Pattern {
    const { reads, element, example, words } = LOOK_FACTS[look];
    const elements: string[] = [];
    for (let word = this.peek(); word && !KEYWORDS.has(word.text.toLowerCase()); word = this.peek()) {
      const typed = words.length > 0 ? word.text.toLowerCase() : word.text;
      const text = look === 'gestures' ? gestureOf(typed) : typed;
      if (text !== ANY && text !== GAP && !reads(text)) {
        const near = nearestWord(typed, [...words, ...BEHIND]);
        const remedy = near === undefined ? `${look} takes ${element}, such as ${example}` : `did you mean ${near}?`;
        this.stop('query-element', word, `"${word.text}" is not ${element}`, {
          found: word.text,
          expected: `${element}, such as ${example}`,
          remedy,
        });
      }
      elements.push(text);
      this.skip();
    }
    const last = this.before() ?? first;
    const fault = patternFault(look, elements);
    if (fault)
      this.stop('query-pattern', { text: '', start: first.start, end: last.end }, fault.message, {
        expected: `${element}, such as ${example}`,
        remedy: fault.remedy,
      });
    return patternOf(look, elements, this.limits(look));
  }

  private limits(look: PatternLook): Limits & { readonly of?: 'key' } {
    const found: { -readonly [K in keyof Limits]: Limits[K] } & { of?: 'key' } = {};
    const once = (name: keyof typeof found, word: Word) => {
      if (found[name] !== undefined)
        this.stop('query-limit', word, `"${word.text}" is said twice of one pattern`, {
          found: word.text,
          remedy: 'say it once; what is said of another pattern follows and, or, or with',
        });
    };
    for (let word = this.peek(); word; word = this.peek()) {
      const lower = word.text.toLowerCase();
      if (lower === 'over') {
        once('over', word);
        this.skip();
        found.over = this.chord();
      } else if (lower === 'of') {
        once('of', word);
        if (look !== 'degrees')
          this.stop('query-limit', word, `only degrees are counted in the key, not ${look}`, {
            found: word.text,
            remedy: 'leave it out, or write degrees',
          });
        this.ofTheKey();
        found.of = 'key';
      } else if (lower === 'on') {
        once('onString', word);
        this.skip();
        found.onString = this.stringNumber();
      } else if (lower === 'starting' || lower === 'ending') {
        const name = lower === 'starting' ? 'startingOn' : 'endingOn';
        once(name, word);
        this.skip();
        this.expect('on');
        found[name] = this.target();
      } else break;
    }
    return found;
  }

  private chord(): string {
    const word = this.take('a chord symbol such as F7, or a function such as IV');
    const { chords } = this.context;
    const { text } = word;
    const isKnown = !chords || chords.some((c) => c === text || c.replace('°', 'o') === text);
    if (isOverWord(text) && isKnown) return text;
    const near = nearest(text, chords ?? ['N.C.', 'pickup'], 2) ?? overMeant(text);
    const message = isOverWord(text)
      ? `no chord "${text}" in these solos`
      : `"${text}" is neither a chord symbol nor a function`;
    const expected = chords
      ? `one of ${chords.slice(0, 30).join(', ')}`
      : 'a chord symbol such as F7, or a function such as IV';
    this.stop('query-chord', word, message, {
      found: text,
      expected,
      remedy: near === undefined ? `write ${expected}` : `did you mean ${near}?`,
    });
  }

  private ofTheKey(): void {
    for (const word of ['of', 'the', 'key']) this.expect(word);
  }

  private stringNumber(): number {
    this.expect('string');
    const word = this.take('the number of a string, 1 the highest');
    if (!LOOK_FACTS.strings.reads(word.text)) this.unexpected(word, 'the number of a string, 1 the highest', []);
    return Number(word.text);
  }

  private target(): string {
    const expected = 'a degree such as b3, or the third';
    const the = this.takes('the');
    const word = this.take(expected);
    const member = MEMBERS.find((name) => name === word.text.toLowerCase());
    if (member) return `the ${member}`;
    if (the || !readTarget(word.text)) this.unexpected(word, expected, MEMBERS);
    if (this.peek()?.text.toLowerCase() !== 'of') return word.text;
    this.ofTheKey();
    return `${word.text} of the key`;
  }

  private enters(): Query {
    for (const word of ['comes', 'in', 'on']) this.expect(word);
    const expected = 'a count such as 3 or 3&, or the and of 3';
    if (this.takes('the')) {
      const part = this.take(expected);
      const sign = PARTS.get(part.text.toLowerCase());
      if (sign === undefined) this.unexpected(part, 'and, e or a, as in the and of 3', [...PARTS.keys()]);
      this.expect('of');
      return entersOn(this.count(expected, sign));
    }
    this.takes('beat');
    return entersOn(this.count(expected, ''));
  }

  private count(expected: string, sign: string): string {
    const word = this.take(expected);
    if (!isCount(word.text + sign))
      this.stop('query-count', word, `"${word.text}" is no count`, {
        found: word.text,
        expected,
        remedy: `write ${expected}`,
      });
    return word.text + sign;
  }

  private ends(): Query {
    this.skip();
    this.expect('on');
    return endsOn(this.target());
  }

  private lasts(): Query {
    const start = this.take('lasts');
    const bound = this.takes('at') ? this.take('least or most') : undefined;
    const side = bound?.text.toLowerCase();
    if (bound && side !== 'least' && side !== 'most') this.unexpected(bound, 'least or most', ['least', 'most']);
    const from = this.length();
    const to = side === undefined && this.takes('to') ? this.length() : from;
    const unit = this.unit();
    if (to < from)
      this.stop('query-length', { ...start, end: this.before()?.end ?? start.end }, `${from} to ${to} is no range`, {
        expected: 'the smaller number first',
        remedy: `write lasts ${to} to ${from} ${unit}`,
      });
    if (side === 'least') return lasts(unit, { least: from });
    return side === 'most' ? lasts(unit, { most: from }) : lasts(unit, { least: from, most: to });
  }

  private length(): number {
    const word = this.take('a number');
    if (!isLength(word.text)) this.unexpected(word, 'a number, up to 9999, such as 2 or 2.5', ['at', 'least', 'most']);
    return Number(word.text);
  }

  private unit(): LengthUnit {
    const word = this.take('tones, beats or bars');
    const lower = word.text.toLowerCase();
    const unit =
      LENGTH_UNITS.find((name) => name === lower || name === `${lower}s`) ??
      (/^notes?$/.test(lower) ? 'tones' : undefined);
    return unit ?? this.unexpected(word, 'tones, beats or bars', LENGTH_UNITS);
  }
}

const PARTS: ReadonlyMap<string, string> = new Map([
  ['and', '&'],
  ['e', 'e'],
  ['a', 'a'],
]);

/** A gesture in the words that are kept. */
const gestureOf = (text: string): string =>
  text
    .toLowerCase()
    .split('+')
    .map((word) => GESTURE_SYNONYMS.get(word) ?? word)
    .join('+');
