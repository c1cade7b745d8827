// What every chart shares: a spec as plain JSON, its type and ink, the width of its words, and where title and notes stand.
import { printable } from '../foundation/diagnostic.js';
import { INK } from '../foundation/palette.js';

/** A value that JSON can hold. */
export type Json = string | number | boolean | null | readonly Json[] | { readonly [name: string]: Json };

/** The title of a chart: what was found, and below it what was asked of how many. One string a line. */
export type ChartTitle = {
  readonly text: readonly string[];
  readonly subtitle: readonly string[];
  readonly [name: string]: Json;
};

/** A chart as a plain JSON object: a Vega-Lite 6 specification that carries its own data and needs nothing from outside. */
export interface ChartSpec {
  readonly $schema: string;
  /** Title and subtitle in one sentence, read aloud by a screen reader. */
  readonly description: string;
  readonly title: ChartTitle;
  readonly [name: string]: Json;
}

/** The published schema that specs are written to. */
export const VEGA_LITE_SCHEMA = 'https://vega.github.io/schema/vega-lite/v6.json';

/** Families with one set of widths (Arimo and Liberation Sans were drawn to those of Arial, and Arial to Helvetica's), so that words fit wherever a chart is shown. */
export const FONT = 'Arimo, Arial, Helvetica, Liberation Sans, sans-serif';

/** Sizes of type in px. Nothing is smaller than `small`, so that a chart can be read at half its size on a fine screen or a printed page. */
export const SIZE = { title: 17, text: 14, small: 12 } as const;

/** White paper round every chart, in px. */
export const MARGIN = 16;

/** From the baseline of one line of type to the next, as a multiple of its size. */
const LEADING = 1.3;

/** Advance widths of the characters 32 to 126 in 1/1000 of the type size. Source: Adobe, Core 14 font metrics (AFM), Helvetica and Helvetica-Bold; a test reads the same from Arimo. */
const ADVANCES = {
  normal: [
    278, 278, 355, 556, 556, 889, 667, 191, 333, 333, 389, 584, 278, 333, 278, 278, 556, 556, 556, 556, 556, 556, 556,
    556, 556, 556, 278, 278, 584, 584, 584, 556, 1015, 667, 667, 722, 722, 667, 611, 778, 722, 278, 500, 667, 556, 833,
    722, 778, 667, 778, 722, 667, 611, 722, 667, 944, 667, 667, 611, 278, 278, 278, 469, 556, 333, 556, 556, 500, 556,
    556, 278, 556, 556, 222, 222, 500, 222, 833, 556, 556, 556, 556, 333, 500, 278, 556, 500, 722, 500, 500, 500, 334,
    260, 334, 584,
  ],
  bold: [
    278, 333, 474, 556, 556, 889, 722, 238, 333, 333, 389, 584, 278, 333, 278, 278, 556, 556, 556, 556, 556, 556, 556,
    556, 556, 556, 333, 333, 584, 584, 584, 611, 975, 722, 722, 722, 722, 667, 611, 778, 722, 278, 556, 722, 611, 833,
    722, 778, 667, 778, 722, 667, 611, 722, 667, 944, 667, 667, 611, 333, 278, 333, 584, 556, 333, 556, 611, 556, 611,
    556, 333, 611, 611, 278, 278, 556, 278, 889, 611, 611, 611, 611, 389, 556, 333, 611, 556, 778, 556, 556, 500, 389,
    280, 389, 584,
  ],
} as const;
/** The same for other signs that charts use, of either weight. */
const SIGNS: Readonly<Record<string, number>> = { '°': 400, ø: 611, '–': 556, '…': 1000 };
/** A weight that charts set type in. */
export type Weight = keyof typeof ADVANCES;

/**
 * Width of a line of text in px, without kerning. A letter with an accent is as wide as the letter; any other character outside ASCII is taken
 * to be as wide as the type is high.
 * @example
 * textWidth('IV', 10) // => about 9.45
 */
export function textWidth(text: string, size: number, weight: Weight = 'normal'): number {
  let sum = 0;
  for (const character of text.normalize('NFD')) {
    if (/\p{M}/u.test(character)) continue;
    sum += ADVANCES[weight][(character.codePointAt(0) as number) - 32] ?? SIGNS[character] ?? 1000;
  }
  return (sum * size) / 1000;
}

/**
 * Text as a chart shows it: in one line, without control characters, flats and sharps as the letters `b` and `#` that every font has.
 * @example
 * plainText('B♭7\n F♯m') // => 'Bb7 F#m'
 */
export const plainText = (text: string): string =>
  printable(text.replace(/\s+/g, ' ')).replaceAll('♭', 'b').replaceAll('♯', '#').trim();

/**
 * Text in lines of at most a width in px, broken at blanks (not between a number and its %), and within a word
 * only where it alone is too long.
 * @example
 * wrap('Over IV the 6 comes most', 100, 14) // => ['Over IV the 6', 'comes most']
 */
export function wrap(text: string, width: number, size: number, weight: Weight = 'normal'): readonly string[] {
  const lines: string[] = [];
  let line = '';
  const fits = (candidate: string) => textWidth(candidate, size, weight) <= width;
  for (const word of plainText(text).split(/ (?!%)/)) {
    const longer = line === '' ? word : `${line} ${word}`;
    if (fits(longer)) {
      line = longer;
      continue;
    }
    if (line !== '') lines.push(line);
    line = '';
    for (const character of word) {
      if (line !== '' && !fits(line + character)) {
        lines.push(line);
        line = '';
      }
      line += character;
    }
  }
  return line === '' ? lines : [...lines, line];
}

/**
 * Text cut to a width in px, with `…` where it was cut.
 * @example
 * shorten('suspended dominant', 90, 14) // => 'suspended…'
 */
export function shorten(text: string, width: number, size: number, weight: Weight = 'normal'): string {
  if (textWidth(text, size, weight) <= width) return text;
  const characters = [...text];
  while (characters.length > 0 && textWidth(`${characters.join('')}…`, size, weight) > width) characters.pop();
  return `${characters.join('').trimEnd()}…`;
}

/** A count as it is read: `1,234`. */
export const countText = (n: number): string => String(n).replace(/\B(?=(\d{3})+$)/g, ',');

/**
 * A share as per cent, whole; what is there but rounds to none is `<1`.
 * @example
 * [percentText(0.2424), percentText(0.001), percentText(0)] // => ['24', '<1', '0']
 */
export const percentText = (share: number): string =>
  share > 0 && share < 0.005 ? '<1' : String(Math.round(share * 100));

/** The parts of a chart that differ from one to the next; sizes in px. */
export interface ChartParts {
  /** What was found, in a player's words. */
  readonly title: string;
  /** What was asked, and of how many. */
  readonly question: string;
  /** How to read it, a paragraph each, under the plot. */
  readonly notes: readonly string[];
  /** The plot itself. */
  readonly width: number;
  readonly height: number;
  /** Room that labels take beside the plot, and axes and legends above and below it. */
  readonly left: number;
  readonly above: number;
  readonly below: number;
  readonly datasets: { readonly [name: string]: readonly Json[] };
  readonly layers: readonly Json[];
}

const lineHeight = (size: number): number => Math.ceil(size * LEADING);

/**
 * A chart in the house's look. All room round the plot is worked out here from the widths of the words: a program that draws charts without
 * a screen only guesses them, and would clip or float the labels.
 */
export function chart(parts: ChartParts): ChartSpec {
  const { width, height, left, above, below } = parts;
  const text = wrap(parts.title, left + width, SIZE.title, 'bold');
  const subtitle = wrap(parts.question, left + width, SIZE.text);
  const notes = parts.notes.flatMap((note) => wrap(note, left + width, SIZE.small));
  const titleGap = 14;
  const block = (lines: number, size: number): number => size + (lines - 1) * lineHeight(size);
  const titleHeight = block(text.length, SIZE.title) + 4 + block(subtitle.length, SIZE.text) + titleGap;
  const notesAt = height + below;
  const noteLayer: Json = {
    data: { name: 'notes' },
    mark: { type: 'text', align: 'left', baseline: 'top', fontSize: SIZE.small, color: INK.soft, aria: false },
    encoding: {
      text: { field: 'text' },
      x: { value: 0 - left },
      y: { field: 'y', type: 'quantitative', scale: null, axis: null },
    },
  };
  return {
    $schema: VEGA_LITE_SCHEMA,
    description: plainText(`${parts.title}. ${parts.question}`),
    background: INK.paper,
    width,
    height,
    autosize: { type: 'none', contains: 'content' },
    padding: {
      left: MARGIN + left,
      right: MARGIN,
      top: MARGIN + titleHeight + above,
      bottom: below + notes.length * lineHeight(SIZE.small) + MARGIN,
    },
    title: {
      text,
      subtitle,
      anchor: 'start',
      frame: 'group',
      dx: 0 - left,
      offset: titleGap,
      color: INK.text,
      fontSize: SIZE.title,
      fontWeight: 'bold',
      lineHeight: lineHeight(SIZE.title),
      subtitleColor: INK.soft,
      subtitleFontSize: SIZE.text,
      subtitleLineHeight: lineHeight(SIZE.text),
      subtitlePadding: 4,
    },
    datasets: {
      ...parts.datasets,
      notes: notes.map((line, i) => ({ text: line, y: notesAt + i * lineHeight(SIZE.small) })),
    },
    layer: [...parts.layers, ...(notes.length > 0 ? [noteLayer] : [])],
    config: HOUSE,
  };
}

/** The house's look, for the parts that a chart does not set itself. */
const HOUSE: Json = {
  font: FONT,
  view: { stroke: null },
  axis: {
    domain: false,
    ticks: false,
    grid: false,
    labelColor: INK.text,
    labelFontSize: SIZE.small,
    labelOverlap: false,
    labelLimit: 0,
    titleColor: INK.soft,
    titleFontSize: SIZE.small,
    titleFontWeight: 'normal',
    titleLimit: 0,
  },
  legend: {
    labelColor: INK.text,
    labelFontSize: SIZE.small,
    labelLimit: 0,
    titleColor: INK.soft,
    titleFontSize: SIZE.small,
    titleFontWeight: 'normal',
    titleLimit: 0,
  },
  text: { color: INK.text, fontSize: SIZE.text },
};
