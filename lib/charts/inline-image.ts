// A chart as a piece of HTML that carries its picture with it: what a notebook shows.
import { escapeMarkup } from '../foundation/escape.js';
import { heldToWidth } from './held-words.js';
import { chartToSvg } from './render.js';
import type { ChartSpec } from './spec.js';

/**
 * A chart as an `<img>` of its SVG, for `display.html` in a notebook, or for any page: nothing is loaded from outside, the picture is never wider
 * than its column, its words fit in any font, and its text for screen readers is the title with the question.
 * @throws Error as {@link chartToSvg} does
 * @example
 * const use = intervalUse(toneTable([{ id: 'two-doors-down', solo: parseSoloOrThrow(EXAMPLE_SOLO) }]))
 * const html = await chartToHtml(intervalHeatmap(use))
 * html.startsWith('<img alt="') // => true
 */
export async function chartToHtml(spec: ChartSpec): Promise<string> {
  const bytes = Buffer.from(heldToWidth(await chartToSvg(spec)), 'utf8').toString('base64');
  return `<img alt="${escapeMarkup(spec.description)}" style="max-width: 100%" src="data:image/svg+xml;base64,${bytes}">`;
}
