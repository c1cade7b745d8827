import { expect, it } from 'vitest';
import { heldToWidth } from '../../lib/charts/held-words.js';
import { textWidth } from '../../lib/charts/spec.js';

const widths = (svg: string): readonly number[] =>
  [...heldToWidth(svg).matchAll(/textLength="([\d.]+)"/g)].map((match) => Number(match[1]));
const near = (words: string, size: number, weight: 'normal' | 'bold' = 'normal') =>
  Math.round(textWidth(words, size, weight) * 10) / 10;

it('a line is as wide as it was laid out, in its own size and weight', () => {
  expect(widths('<text font-size="17px" font-weight="bold">lands on the root</text>')).toEqual([
    near('lands on the root', 17, 'bold'),
  ]);
});

it('each line of a text has a width of its own, measured on what is read and not on how it is written', () => {
  const svg =
    '<text font-size="12px"><tspan x="0">&lt;1 &amp; more</tspan><tspan x="0">&quot;rain&#39;s end&quot;</tspan></text>';
  expect(widths(svg)).toEqual([near('<1 & more', 12), near('"rain\'s end"', 12)]);
});

it('one or two characters, text without a size, and all that is no text stay as they are', () => {
  const svg =
    '<g><path d="M0,0"/><text font-size="12px">b7</text><text>unsized words</text><text font-size="12px"></text></g>';
  expect(heldToWidth(svg)).toBe(svg);
});

it('only adds what holds the words', () => {
  const svg = '<text font-size="12px" x="1">over IV</text><text font-size="12px"><tspan>over V</tspan></text>';
  expect(heldToWidth(svg).replace(/ textLength="[\d.]+" lengthAdjust="spacingAndGlyphs"/g, '')).toBe(svg);
});
