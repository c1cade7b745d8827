// Where the words of a chart stand: boxes read from its SVG, wide by the widths of the house's font.
import { textWidth, type Weight } from '../../lib/charts/spec.js';

/** One line of words; edges in px from the top left corner of the picture. */
export interface Words {
  readonly text: string;
  readonly size: number;
  readonly fill: string;
  readonly left: number;
  readonly right: number;
  readonly top: number;
  readonly bottom: number;
}

const attribute = (tag: string, name: string): string | undefined => new RegExp(` ${name}="([^"]*)"`).exec(tag)?.[1];

function shiftOf(tag: string): readonly [number, number] {
  const transform = attribute(tag, 'transform');
  const shift = /^translate\(([-\d.e]+),([-\d.e]+)\)$/.exec(transform ?? 'translate(0,0)');
  if (!shift) throw new Error(`a transform that is no shift: ${transform}`);
  return [Number(shift[1]), Number(shift[2])];
}

const plain = (markup: string): string =>
  markup
    .replace(/<[^>]*>/g, '')
    .replaceAll('&lt;', '<')
    .replaceAll('&gt;', '>')
    .replaceAll('&amp;', '&');

/** The lines of words of an SVG that Vega wrote, in its order. Fails on a transform that is no shift, and where tags do not close. */
export function wordsOf(svg: string): readonly Words[] {
  const found: Words[] = [];
  const shifts: (readonly [number, number])[] = [[0, 0]];
  for (const [tag, ofText, inside, closing] of svg.matchAll(/<text\b([^>]*)>(.*?)<\/text>|<(\/?)[\w:]+[^>]*>/gs)) {
    if (closing) {
      shifts.pop();
      continue;
    }
    const [x, y] = shifts[shifts.length - 1] as readonly [number, number];
    const [dx, dy] = shiftOf(ofText ?? tag);
    if (ofText !== undefined) found.push(...linesOf(ofText, inside as string, x + dx, y + dy));
    else if (!tag.endsWith('/>')) shifts.push([x + dx, y + dy]);
  }
  if (shifts.length !== 1) throw new Error('the SVG does not close what it opens');
  return found;
}

function linesOf(tag: string, inside: string, x: number, y: number): readonly Words[] {
  const size = Number.parseFloat(attribute(tag, 'font-size') as string);
  const weight: Weight = attribute(tag, 'font-weight') === 'bold' ? 'bold' : 'normal';
  const anchor = attribute(tag, 'text-anchor');
  const fill = attribute(tag, 'fill') as string;
  let base = y;
  const spans = [...inside.matchAll(/<tspan([^>]*)>(.*?)<\/tspan>/gs)].map((m) => [m[1], m[2]] as [string, string]);
  return (spans.length > 0 ? spans : [['', inside] as const]).map(([span, markup]) => {
    base += Number(attribute(span, 'dy') ?? 0);
    const text = plain(markup);
    const width = textWidth(text, size, weight);
    const left = x - (anchor === 'middle' ? width / 2 : anchor === 'end' ? width : 0);
    return { text, size, fill, left, right: left + width, top: base - 0.75 * size, bottom: base + 0.22 * size };
  });
}

/** What is wrong with how words stand: out of the picture (or nearer to its edge than `margin`), or on one another. */
export function misplaced(svg: string, margin: number): readonly string[] {
  const [, width, height] = /<svg [^>]*width="([\d.]+)" height="([\d.]+)"/.exec(svg) as unknown as [
    string,
    string,
    string,
  ];
  const words = wordsOf(svg);
  const out = words.filter(
    (w) => w.left < margin || w.top < margin || w.right > Number(width) - margin || w.bottom > Number(height) - margin,
  );
  const faults = out.map(
    (w) => `"${w.text}" stands at ${w.left},${w.top} to ${w.right},${w.bottom} of ${width},${height}`,
  );
  words.forEach((a, i) => {
    for (const b of words.slice(i + 1))
      if (a.left < b.right && b.left < a.right && a.top < b.bottom && b.top < a.bottom)
        faults.push(`"${a.text}" and "${b.text}" overlap`);
  });
  return faults;
}
