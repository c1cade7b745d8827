// Colours for amounts: the scale from none to the most, and the ink that can be read on each of its colours.
import { AMOUNT, INK, KIND } from '../foundation/palette.js';
import type { Json } from './spec.js';

/** Above this part of the scale white letters read better than black; either way at least 4.5 : 1 (WCAG 2.2, 1.4.3). */
const TURNS_WHITE = 0.503;

/** A colour scale from 0 up to the largest amount. */
export const amountScale = (top: number): Json => ({
  domain: AMOUNT.map((_, i) => rounded((top * i) / (AMOUNT.length - 1))),
  range: [...AMOUNT],
  interpolate: 'rgb',
});

/** The ink for words on the colour of an amount. */
export const inkOn = (amount: number, top: number): string => (amount > top * TURNS_WHITE ? INK.paper : KIND.black);

/** To four places: what a chart writes into its spec. */
export const rounded = (x: number): number => Math.round(x * 10000) / 10000;
