// Charts in a page: the picture inline, each mark a link to the places behind it.
import { heldToWidth } from '../charts/held-words.js';
import { chartToSvg } from '../charts/render.js';
import { type ChartSpec, FONT, type Json, SIZE } from '../charts/spec.js';
import { type Html, html, type Part, trusted } from './html.js';

/** Where the mark of a row (of its first row, where it stands for several) leads: an id in the page; `table` names which table the row is of, where a chart is made from more than one. */
export type MarkLink = (row: number, table: string | undefined) => string | undefined;

/**
 * A chart as a figure. Marks whose data carry `row` and `about` become links, if `link` knows where to.
 * @throws Error as `chartToSvg` does
 */
export async function chartFigure(spec: ChartSpec, link?: MarkLink, caption?: Part): Promise<Html> {
  const svg = await chartToSvg(spec);
  const linked = link ? withLinks(svg, marksOf(spec), link) : svg;
  return html`<figure>${trusted(fluid(heldToWidth(linked)))}${caption === undefined ? undefined : html`<figcaption>${caption}</figcaption>`}</figure>`;
}

/**
 * Wide as the page has room, and no wider than it was drawn; without the font that the page's style names, what is so anyway, the size that most
 * words have (the picture as a whole says it), the names and unseen frames of a picture's parts, and fractions that no eye sees.
 */
const fluid = (svg: string): string =>
  svg
    .replace(
      /<svg ([^>]*?)width="([\d.]+)" height="[\d.]+"/,
      `<svg $1font-size="${SIZE.small}px" style="width:100%;max-width:$2px"`,
    )
    .replaceAll(` font-family="${FONT}"`, '')
    .replace(/(<text[^>]*?) text-anchor="start"/g, '$1')
    .replaceAll(new RegExp(`(<text[^>]*?) font-size="${SIZE.small}px"`, 'g'), '$1')
    .replace(/(<line[^>]*?) [xy]2="0"/g, '$1')
    .replace(/<path class="(?:background|foreground)"(?![^>]*fill=)[^>]*\/>/g, '')
    .replace(/ (?:class|aria-roledescription)="[^"]*"/g, '')
    .replace(/ (?:d|transform|[xy][12]?|width|height)="[^"]*"/g, (drawn) =>
      drawn.replace(/\d*\.\d{2,}/g, (number) => String(Math.round(Number(number) * 100) / 100)),
    );

const ENTITIES: Readonly<Record<string, string>> = { lt: '<', gt: '>', quot: '"', apos: "'", '#39': "'", amp: '&' };
const plain = (escaped: string): string =>
  escaped.replace(/&(lt|gt|quot|apos|#39|amp);/g, (_, name: string) => ENTITIES[name] as string);

interface Mark {
  readonly row: number;
  readonly table?: string;
}

/** Marks by what they say: the only thing that a picture keeps of the data it was made from. */
function marksOf(spec: ChartSpec): ReadonlyMap<string, Mark> {
  const marks = new Map<string, Mark>();
  for (const values of Object.values(spec.datasets as { readonly [name: string]: Json }))
    for (const value of Array.isArray(values) ? (values as readonly { readonly [field: string]: Json }[]) : [])
      if (typeof value?.about === 'string') {
        const row = Array.isArray(value.rows) ? value.rows[0] : value.row;
        if (typeof row === 'number')
          marks.set(value.about, { row, ...(typeof value.table === 'string' && { table: value.table }) });
      }
  return marks;
}

function withLinks(svg: string, marks: ReadonlyMap<string, Mark>, link: MarkLink): string {
  return svg.replace(/<path aria-label="([^"]*)"[^>]*?(?:\/>|><\/path>)/g, (path, said: string) => {
    const mark = marks.get(plain(said));
    const id = mark && link(mark.row, mark.table);
    return id === undefined ? path : `<a href="#${id}">${path}</a>`;
  });
}
