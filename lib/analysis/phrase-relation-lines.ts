// Every phrase as one line, and what is compared of it: its tones in several looks, written as symbols.
import type { NamedSolo, ToneTable } from '../solo/tone-table.js';
import { type LineEvent, wholePhrases } from './line.js';
import { readLines, type Viewpoint, viewpoint } from './viewpoint.js';

/** A phrase of a solo, by the names that both have in the solo text. */
export interface PhraseRef {
  readonly solo: string;
  readonly phrase: string;
}

/** A phrase as a line. A rest inside does not cut it: a phrase is compared as a whole. */
export interface PhraseLine {
  readonly ref: PhraseRef;
  /** Number in the corpus, in order of solos and time. */
  readonly index: number;
  readonly solo: number;
  readonly player: number;
  readonly events: readonly LineEvent[];
  /** Tones of the line. */
  readonly n: number;
}

/** What is compared of two phrases: one viewpoint, with the times of the tones or without. */
export interface Look {
  /** As a composed viewpoint is named: `pitch+durations`. */
  readonly name: string;
  /** The viewpoint beside the times, if any. */
  readonly main?: Viewpoint;
  /** Times alike: the same note values, or the same ratios of note values. */
  readonly time?: Viewpoint;
}

const look = (main?: string, time?: string): Look => ({
  name: [main, time].filter((part) => part !== undefined).join('+'),
  ...(main !== undefined && { main: viewpoint(main) }),
  ...(time !== undefined && { time: viewpoint(time) }),
});

/** All looks, the most literal first. */
export const LOOKS = [
  look('pitch', 'durations'),
  look('steps', 'durations'),
  look('shape', 'durations'),
  look('degree', 'durations'),
  look('steps', 'rhythm'),
  look('pitch'),
  look('steps'),
  look('shape'),
  look('degree'),
  look(undefined, 'durations'),
] as const satisfies readonly Look[];

/** True for looks that read a tone by itself: their symbols are of tones and of the distances between, in turn. */
const readsTones = ({ main }: Look): boolean => main?.reach === 0;

/** The symbols of all phrases in one look. */
export interface LookTexts {
  readonly look: Look;
  /** By number of the phrase: whole numbers from 1 up, equal ones for what is alike. */
  readonly texts: readonly Int32Array[];
}

/** How many tones a run of symbols covers. */
export function tonesIn(seen: Look, symbols: number): number {
  if (symbols === 0) return 0;
  return !readsTones(seen) ? symbols + 1 : seen.time ? (symbols + 1) >> 1 : symbols;
}

/** The tone that a run of symbols begins with, and how many symbols into the run that tone is. */
export function firstTone(seen: Look, symbol: number): { readonly tone: number; readonly skip: number } {
  if (!readsTones(seen) || !seen.time) return { tone: symbol, skip: 0 };
  return { tone: (symbol + 1) >> 1, skip: symbol & 1 };
}

/** A corpus made ready for comparing its phrases. */
export interface PhraseCorpus {
  readonly table: ToneTable;
  readonly phrases: readonly PhraseLine[];
  /** By look, in the order of {@link LOOKS}. */
  readonly texts: readonly LookTexts[];
}

const corpora = new WeakMap<ToneTable, PhraseCorpus>();

/** Phrases of a table as lines and as symbols; read once for each table. Phrases of dead notes only are passed over. */
export function phraseCorpus(table: ToneTable): PhraseCorpus {
  const known = corpora.get(table);
  if (known) return known;
  const segments = wholePhrases(table);
  const phrases = segments.map(({ solo, phrase, events }, index): PhraseLine => {
    const named = table.solos[solo] as NamedSolo;
    const ref = { solo: named.id, phrase: named.solo.phrases[phrase]?.id ?? '' };
    return { ref, index, solo, player: table.playerOfSolo[solo] as number, events, n: events.length };
  });
  const readings = new Map<string, readonly Int32Array[]>();
  const read = (view: Viewpoint): readonly Int32Array[] => {
    let codes = readings.get(view.name);
    if (!codes) {
      const { symbols, starts, alphabet } = readLines(table, segments, view);
      const none = view.name === 'degree' ? alphabet.indexOf('-') : -1;
      // A tone without a chord has no degree: it is like no other, so each gets a symbol of its own.
      if (none >= 0)
        for (let i = 0, next = alphabet.length; i < symbols.length; i++) if (symbols[i] === none) symbols[i] = next++;
      codes = phrases.map((_, p) => symbols.subarray(starts[p] as number, starts[p + 1] as number));
      readings.set(view.name, codes);
    }
    return codes;
  };
  const texts = LOOKS.map((seen: Look): LookTexts => {
    const main = seen.main && read(seen.main);
    const time = seen.time && read(seen.time);
    const pairs = new Pairs();
    return {
      look: seen,
      texts: phrases.map(({ n }, p) => textOf(seen, n, main?.[p], time?.[p], pairs)),
    };
  });
  const corpus = { table, phrases, texts };
  corpora.set(table, corpus);
  return corpus;
}

/** Numbers pairs of codes by first appearance. */
class Pairs {
  readonly #numbers = new Map<number, number>();
  of(a: number, b: number): number {
    const key = a * 2 ** 26 + b;
    let number = this.#numbers.get(key);
    if (number === undefined) {
      number = this.#numbers.size;
      this.#numbers.set(key, number);
    }
    return number;
  }
}

function textOf(
  seen: Look,
  n: number,
  main: Int32Array | undefined,
  time: Int32Array | undefined,
  pairs: Pairs,
): Int32Array {
  if (!main || !time) return Int32Array.from((main ?? time) as Int32Array, (code) => code + 1);
  if (readsTones(seen)) {
    // Tones are odd, distances even: a tone is never taken for a distance.
    const text: Int32Array = new Int32Array(Math.max(0, 2 * n - 1));
    for (let i = 0; i < n; i++) {
      text[2 * i] = 2 * (main[i] as number) + 1;
      if (i > 0) text[2 * i - 1] = 2 * (time[i - 1] as number) + 2;
    }
    return text;
  }
  const text: Int32Array = new Int32Array(Math.max(0, n - 1));
  const late = (seen.time as Viewpoint).reach - 1; // the first ratio of distances comes one step after the first step
  for (let i = 0; i < text.length; i++)
    text[i] = pairs.of(main[i] as number, i < late ? 0 : (time[i - late] as number) + 1) + 1;
  return text;
}

/**
 * The number of a phrase in the corpus.
 * @throws RangeError with what there is, for one that is not in the table
 */
export function phraseIndex({ phrases }: PhraseCorpus, { solo, phrase }: PhraseRef): number {
  const found = phrases.findIndex(({ ref }) => ref.solo === solo && ref.phrase === phrase);
  if (found >= 0) return found;
  const own = phrases.filter(({ ref }) => ref.solo === solo).map(({ ref }) => ref.phrase);
  const solos = [...new Set(phrases.map(({ ref }) => ref.solo))];
  throw new RangeError(
    own.length > 0
      ? `"${solo}" has no phrase "${phrase}" with tones in it: it has ${some(own)}`
      : `there is no solo "${solo}" with tones in it: there ${solos.length === 0 ? 'are none at all' : `are ${some(solos)}`}`,
  );
}

const some = (names: readonly string[]): string =>
  names.length > 12 ? `${names.slice(0, 12).join(', ')} and ${names.length - 12} more` : names.join(', ');
