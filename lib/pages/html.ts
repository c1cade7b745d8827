// Markup in which every text is escaped, ids that never meet, and the small parts that all sections of a page are made of.
import { printable } from '../foundation/diagnostic.js';
import { escapeMarkup } from '../foundation/escape.js';

/** Markup that may be written out as it is. Only {@link html} and {@link trusted} make it. */
export interface Html {
  readonly markup: string;
}

/** What can stand in a template: text is escaped, markup is not, lists stand one after the other, `undefined` is nothing. */
export type Part = Html | string | number | undefined | readonly Part[];

/** Takes text for markup. Only for what this library made itself: pictures, styles, scripts. */
export const trusted = (markup: string): Html => ({ markup });

/**
 * Markup from a template. Whatever is put in is escaped, between tags and in quoted attributes.
 * @example
 * html`<p>${'<script>'} ${[html`<b>${1}</b>`, html`<b>${2}</b>`]}</p>`.markup // => '<p>&lt;script&gt; <b>1</b><b>2</b></p>'
 */
export function html(strings: TemplateStringsArray, ...parts: readonly Part[]): Html {
  let markup = strings[0] as string;
  parts.forEach((part, i) => {
    markup += markupOf(part) + strings[i + 1];
  });
  return { markup };
}

function markupOf(part: Part): string {
  if (part === undefined) return '';
  if (typeof part === 'number') return String(part);
  if (typeof part === 'string') return escapeMarkup(printable(part));
  if ('markup' in part) return part.markup;
  return part.map(markupOf).join('');
}

/**
 * Parts with something between them.
 * @example
 * html`${joined(['a', 'b'], ', ')}`.markup // => 'a, b'
 */
export const joined = (parts: readonly Part[], between: Part): readonly Part[] =>
  parts.flatMap((part, i) => (i === 0 ? [part] : [between, part]));

/**
 * Parts as a list in a sentence: `a, b and c`.
 * @example
 * html`${listed(['a', 'b', 'c'])}`.markup // => 'a, b and c'
 */
export const listed = (parts: readonly Part[]): readonly Part[] =>
  parts.length < 2 ? parts : [...joined(parts.slice(0, -1), ', '), ' and ', parts[parts.length - 1]];

/** Ids for the places of one page. */
export interface Anchors {
  /** The id for a path of names: always the same for the same path, never the same for two. */
  of(...path: readonly string[]): string;
}

/**
 * Ids of letters, digits, `.` and `-`, so that they can stand in a link as they are. Two paths that would read alike get a number.
 * @example
 * const ids = anchors()
 * ids.of('Tide Table', '7') // => 'tide-table.7'
 * ids.of('tide-table', '7') // => 'tide-table.7-2'
 * ids.of('over', '#ivø') // => 'over.sharp-ivhalf'
 */
export function anchors(): Anchors {
  const known = new Map<string, string>();
  const taken = new Set<string>();
  return {
    of(...path) {
      const key = JSON.stringify(path);
      let id = known.get(key);
      if (id === undefined) {
        const plain = path.map(idPart).join('.');
        id = plain;
        for (let k = 2; taken.has(id); k++) id = `${plain}-${k}`;
        known.set(key, id);
        taken.add(id);
      }
      return id;
    },
  };
}

/** Roman numerals keep their case: IV is not iv. */
function idPart(text: string): string {
  const signs = text
    .replace(/^#/, 'sharp-')
    .replace('&', 'and')
    .replace('°', 'dim')
    .replace('ø', 'half')
    .replace(/(?<=[IViv])\+$/, 'aug')
    .replace(/\+$/, '-plus');
  const isNumeral = /^(?:b|sharp-)?(?:[IV]+|[iv]+)(?:dim|half|aug)?$/.test(signs);
  const plain = (isNumeral ? signs : signs.normalize('NFKD').toLowerCase()).replace(/\p{M}/gu, '');
  return plain.replace(/[^A-Za-z0-9]+/g, '-').replace(/^-+|-+$/g, '') || 'unnamed';
}

/** A cell of a table: its content, and `number` for what stands in columns of figures. */
export interface TableColumn {
  readonly head: Part;
  /** Figures are set to the right. Default: words. */
  readonly figures?: boolean;
}

/** A row: its cells; a heading row spans the table. */
export interface TableRow {
  readonly cells: readonly Part[];
  readonly id?: string | undefined;
}

/** A table that can be wider than a small screen; it then scrolls by itself. The first cell of a row is its heading. */
export function tableHtml(caption: Part, columns: readonly TableColumn[], rows: readonly TableRow[]): Html {
  const kind = (i: number): Part => (columns[i]?.figures ? html` class="f"` : undefined);
  const idOf = (id: string | undefined): Part => (id === undefined ? undefined : html` id="${id}"`);
  return html`<div class="wide"><table>${caption === undefined ? undefined : html`<caption>${caption}</caption>`}
<thead><tr>${columns.map((c, i) => html`<th scope="col"${kind(i)}>${c.head}</th>`)}</tr></thead>
<tbody>${rows.map(
    (row) => html`<tr${idOf(row.id)}>${row.cells.map((cell, i) =>
      i === 0 ? html`<th scope="row">${cell}</th>` : html`<td${kind(i)}>${cell}</td>`,
    )}</tr>
`,
  )}</tbody></table></div>`;
}
