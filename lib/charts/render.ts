// A chart spec as a picture: SVG by Vega, without a screen; PNG from that, with a font that travels with the library.
import { createHash } from 'node:crypto';
import { createRequire } from 'node:module';
import type { ResvgRenderOptions } from '@resvg/resvg-js';
import { escapeMarkup } from '../foundation/escape.js';
import type { ChartSpec } from './spec.js';

/** How a chart becomes a picture of pixels. */
export interface PngOptions {
  /** Pixels to one px of the chart, above 0 and up to 8. Default 2, for fine screens. */
  readonly scale?: number;
}

/**
 * A chart as SVG text. The words stay words: the viewer's font draws them. Ids inside are the chart's own, so that several charts can stand in one page.
 * Nothing is loaded from outside: a spec must carry its data.
 * @throws Error if Vega-Lite or Vega warns of anything in the spec; the message holds the warning
 * @example
 * const table = toneTable([{ id: 'two-doors-down', solo: parseSoloOrThrow(EXAMPLE_SOLO) }])
 * const spec = intervalHeatmap(intervalUse(table))
 * const svg = await chartToSvg(spec)
 * svg.includes('n = 11 tones') // => true
 */
export async function chartToSvg(spec: ChartSpec): Promise<string> {
  const text = JSON.stringify(spec);
  const known = drawn.get(text) ?? draw(spec);
  drawn.set(text, known);
  for (const oldest of drawn.keys()) if (drawn.size > MOST_KEPT) drawn.delete(oldest);
  return known;
}

/** The last pictures by their specs, since a study shows a chart in its page and writes it as a file. The same spec always gives the same picture. */
const drawn = new Map<string, Promise<string>>();
const MOST_KEPT = 40;

async function draw(spec: ChartSpec): Promise<string> {
  const [vega, vegaLite] = await Promise.all([import('vega'), import('vega-lite')]);
  const said: string[] = [];
  const logger = loggerInto(said);
  const what = `the chart "${spec.title.text.join(' ')}"`;
  const nothing = (): never => {
    throw new Error('a chart loads nothing from outside: put the data into the spec');
  };
  const loader = {
    load: async () => nothing(),
    sanitize: async () => nothing(),
    http: async () => nothing(),
    file: async () => nothing(),
    options: {},
  };
  let svg: string;
  try {
    const compiled = vegaLite.compile(spec as unknown as Parameters<typeof vegaLite.compile>[0], { logger }).spec;
    const view = new vega.View(vega.parse(compiled), { renderer: 'none', logger, loader });
    svg = await view.toSVG();
    view.finalize();
  } catch (error) {
    throw new Error(`${what} cannot be drawn: ${[...said, messageOf(error)].join('; ')}`, { cause: error });
  }
  if (said.length > 0) throw new Error(`${what} draws with warnings: ${said.join('; ')}`);
  const about = `role="graphics-document" aria-label="${escapeMarkup(spec.description)}"`;
  return ownIds(svg).replace(/^<svg /, () => `<svg ${about} `);
}

/**
 * A chart (or its SVG) as a PNG file. The font is Arimo, which comes with the library; other fonts of the machine are looked at only for characters that it lacks.
 * @throws Error as {@link chartToSvg} does; if the scale is out of range, the SVG cannot be read, or no font has one of its characters (named, with what would help)
 * @example
 * const table = toneTable([{ id: 'two-doors-down', solo: parseSoloOrThrow(EXAMPLE_SOLO) }])
 * const spec = intervalHeatmap(intervalUse(table))
 * const png = await chartToPng(spec, { scale: 1 })
 * String.fromCharCode(...png.subarray(1, 4)) // => 'PNG'
 */
export async function chartToPng(chart: ChartSpec | string, options: PngOptions = {}): Promise<Uint8Array> {
  const { scale = 2 } = options;
  if (!(scale > 0 && scale <= 8))
    throw new RangeError(`a scale of ${scale} is out of range: above 0 and up to 8 expected`);
  const svg = typeof chart === 'string' ? chart : await chartToSvg(chart);
  const { Resvg } = await import('@resvg/resvg-js');
  const fontFiles = [fontFile('400Regular/Arimo_400Regular.ttf'), fontFile('700Bold/Arimo_700Bold.ttf')];
  const font = { fontFiles, loadSystemFonts: false, defaultFontFamily: 'Arimo', sansSerifFamily: 'Arimo' };
  const draw = (text: string, more: ResvgRenderOptions): InstanceType<typeof Resvg> => {
    try {
      return new Resvg(text, { font, logLevel: 'off', ...more });
    } catch (error) {
      throw new Error(`the SVG cannot be read: ${messageOf(error)}`, { cause: error });
    }
  };
  const drawsBox = (character: string, more: ResvgRenderOptions): string => {
    const box = draw(
      `<svg xmlns="http://www.w3.org/2000/svg" width="200" height="200"><text x="50" y="100" font-size="50" font-family="Arimo, sans-serif">${character}</text></svg>`,
      more,
    ).innerBBox();
    return box ? [box.x, box.y, box.width, box.height].join() : '';
  };
  // A character that no font has is drawn as an empty box, without a word; so is the last code point of Unicode, which is no character.
  const lacking = (characters: readonly string[], more: ResvgRenderOptions): readonly string[] =>
    characters.filter((c) => [drawsBox('\u{10ffff}', more), ''].includes(drawsBox(c, more)));
  const withSystem: ResvgRenderOptions = { font: { ...font, loadSystemFonts: true } };
  const beyond = lacking(unusualCharacters(svg), {});
  const missing = beyond.length > 0 ? lacking(beyond, withSystem) : [];
  if (missing.length > 0) {
    const named = missing
      .slice(0, 3)
      .map((c) => `${c} (U+${(c.codePointAt(0) as number).toString(16).toUpperCase().padStart(4, '0')})`);
    throw new Error(
      `no font on this machine has ${named.join(', ')}: install one that has (Noto Sans covers most scripts), or use the SVG`,
    );
  }
  const zoom: ResvgRenderOptions = { fitTo: { mode: 'zoom', value: scale } };
  return draw(svg, beyond.length > 0 ? { ...withSystem, ...zoom } : zoom)
    .render()
    .asPng();
}

const FONT_PACKAGE = '@expo-google-fonts/arimo';

function fontFile(path: string): string {
  try {
    return createRequire(import.meta.url).resolve(`${FONT_PACKAGE}/${path}`);
  } catch (error) {
    throw new Error(`the font of the charts is missing: install the package ${FONT_PACKAGE}, or use the SVG`, {
      cause: error,
    });
  }
}

/** The characters of an SVG's words that a text font may lack: all but those of Latin 1, marks that join the letter before, and blanks. */
function unusualCharacters(svg: string): readonly string[] {
  const words = svg.replace(/<[^>]*>/g, ' ').replace(/&#(x[0-9a-f]+|\d+);/gi, (_, code: string) => {
    const point = code[0]?.toLowerCase() === 'x' ? Number.parseInt(code.slice(1), 16) : Number(code);
    return point <= 0x10ffff ? String.fromCodePoint(point) : ' ';
  });
  return [...new Set(words)].filter((c) => c > '\u00ff' && !/[\p{M}\p{Z}\p{Cc}\p{Cf}]/u.test(c));
}

/** Gives what an SVG defines (gradients, clips) ids made from its content: Vega counts them on from chart to chart, so two in one page could meet. */
function ownIds(svg: string): string {
  const ids = [...svg.matchAll(/<(?:linearGradient|radialGradient|pattern|clipPath)\b[^>]*? id="(\w+)"/g)].map(
    (match) => match[1] as string,
  );
  const renamed = (to: (i: number) => string): string =>
    ids.reduce(
      (text, id, i) => text.replaceAll(`id="${id}"`, `id="${to(i)}"`).replaceAll(`url(#${id})`, `url(#${to(i)})`),
      svg,
    );
  const content = createHash('sha256')
    .update(renamed((i) => `def-${i}`))
    .digest('hex')
    .slice(0, 10);
  return renamed((i) => `c${content}-${i}`);
}

function loggerInto(said: string[]): LoggerLike {
  const note = (...words: readonly unknown[]): LoggerLike => {
    said.push(words.map(messageOf).join(' '));
    return logger;
  };
  const pass = (): LoggerLike => logger;
  function level(): number;
  function level(value: number): LoggerLike;
  function level(value?: number): number | LoggerLike {
    return value === undefined ? 2 : logger;
  }
  const logger: LoggerLike = { level, error: note, warn: note, info: pass, debug: pass };
  return logger;
}

interface LoggerLike {
  level(): number;
  level(value: number): LoggerLike;
  error(...words: readonly unknown[]): LoggerLike;
  warn(...words: readonly unknown[]): LoggerLike;
  info(...words: readonly unknown[]): LoggerLike;
  debug(...words: readonly unknown[]): LoggerLike;
}

const messageOf = (error: unknown): string => (error instanceof Error ? error.message : String(error));
