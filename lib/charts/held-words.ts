// The words of a picture held to the width they were laid out for, whatever font the reader's machine has.
import { textWidth } from './spec.js';

/** Words of fewer characters are left as they are: they cannot run out of a picture. */
const LEAST = 3;

/**
 * An SVG of a chart in which every line of text is drawn exactly as wide as it was laid out. On a machine that has none of the fonts that charts
 * ask for, a wider one would run out of the picture; it is drawn narrower instead.
 * @example
 * heldToWidth('<text font-size="10px">over IV &lt; V</text>') // => '<text font-size="10px" textLength="49.8" lengthAdjust="spacingAndGlyphs">over IV &lt; V</text>'
 */
export const heldToWidth = (svg: string): string =>
  svg.replace(/<text([^>]*)>(.*?)<\/text>/gs, (all, attributes: string, inside: string) => {
    const size = Number(/font-size="([\d.]+)px"/.exec(attributes)?.[1]);
    if (!(size > 0)) return all;
    const weight = attributes.includes('font-weight="bold"') ? 'bold' : 'normal';
    const held = (words: string): string => {
      const text = plain(words);
      if (text.length < LEAST) return '';
      return ` textLength="${Math.round(textWidth(text, size, weight) * 10) / 10}" lengthAdjust="spacingAndGlyphs"`;
    };
    if (!inside.includes('<')) return `<text${attributes}${held(inside)}>${inside}</text>`;
    // A text of several lines has a part for each.
    const lines = inside.replace(
      /<tspan([^>]*)>([^<]*)<\/tspan>/g,
      (_, own: string, words: string) => `<tspan${own}${held(words)}>${words}</tspan>`,
    );
    return `<text${attributes}>${lines}</text>`;
  });

const ENTITIES: Readonly<Record<string, string>> = { lt: '<', gt: '>', quot: '"', apos: "'", '#39': "'", amp: '&' };
const plain = (escaped: string): string =>
  escaped.replace(/&(lt|gt|quot|apos|#39|amp);/g, (_, name: string) => ENTITIES[name] as string);
