// Tones in four kinds by what they are against their chord, a colour for each kind, and the legend that says so.
import { INK, KIND } from '../foundation/palette.js';
import { isMember, type Role } from '../solo/harmony.js';
import { end, px } from './bar-panels.js';
import { type Json, SIZE, textWidth } from './spec.js';

/** What a tone is against its chord, in four kinds; and `no chord` where none rules. */
export const TONE_KINDS = ['chord tone', 'tension', 'key tone', 'chromatic', 'no chord'] as const;
/** A kind of tone. */
export type ToneKind = (typeof TONE_KINDS)[number];

/** Ink for what belongs to the chord, a colour for what does not: at least 3 : 1 on paper (WCAG 2.2, 1.4.11), so that a thin line shows. */
export const KIND_COLOUR: Readonly<Record<ToneKind, string>> = {
  'chord tone': KIND.black,
  tension: KIND.blue,
  'key tone': KIND.green,
  chromatic: KIND.vermilion,
  'no chord': '#8a8a8a',
};

/**
 * The kind of a role.
 * @example
 * kindOfRole('seventh') // => 'chord tone'
 * kindOfRole(undefined) // => 'no chord'
 */
export const kindOfRole = (role: Role | undefined): ToneKind =>
  role === undefined ? 'no chord' : isMember(role) ? 'chord tone' : (role as 'tension' | 'key tone' | 'chromatic');

/** Colour by the field `kind`; the legend is {@link kindLegend}. */
export const KIND_CHANNEL: Json = {
  field: 'kind',
  type: 'nominal',
  scale: { domain: [...TONE_KINDS], range: TONE_KINDS.map((kind) => KIND_COLOUR[kind]) },
  legend: null,
};

/** Words from the data, at a place from the data unless another is given. */
export const words = (
  data: string,
  mark: { readonly [name: string]: Json },
  encoding: { readonly [name: string]: Json } = {},
): Json => ({
  data: { name: data },
  mark: { type: 'text', fontSize: SIZE.small, aria: false, color: INK.text, ...mark },
  encoding: { x: px('x'), y: px('y'), text: { field: 'text', type: 'nominal' }, ...encoding },
});

/** What a legend says of a kind; most kinds say it themselves. */
const LEGEND_WORDS: Readonly<Partial<Record<ToneKind, string>>> = {
  'key tone': 'other tone of the key',
  'no chord': 'no chord yet or none played',
};

const SWATCH = { width: 18, gap: 7, between: 24 } as const;

/**
 * The legend of the kinds that are shown, in one line from a place on: data for {@link kindSwatches}. The four kinds are always named.
 * @param y middle of the line
 */
export function kindLegend(shown: Iterable<ToneKind>, x: number, y: number): readonly Json[] {
  const kinds = new Set(shown);
  let at = x;
  return TONE_KINDS.filter((kind) => kind !== 'no chord' || kinds.has(kind)).map((kind) => {
    const text = LEGEND_WORDS[kind] ?? kind;
    const item = { kind, text, x: at, x2: at + SWATCH.width, words: at + SWATCH.width + SWATCH.gap, y };
    at += SWATCH.width + SWATCH.gap + Math.ceil(textWidth(text, SIZE.small)) + SWATCH.between;
    return item;
  });
}

/** Draws the dataset `legend`: swatches as thick as the marks of the chart, and their words. */
export const kindSwatches = (thickness: number): readonly Json[] => [
  {
    data: { name: 'legend' },
    mark: { type: 'rule', aria: false, strokeWidth: thickness },
    encoding: { x: px('x'), x2: end('x2'), y: px('y'), color: KIND_CHANNEL },
  },
  words('legend', { align: 'left', baseline: 'middle' }, { x: px('words') }),
];

/** To a tenth of a px: what a chart writes into its data. */
export const tenth = (x: number): number => Math.round(x * 10) / 10;
