// Shares as words and cells: per cent with the 95 % interval, or counts alone where few solos speak.
import type { Share, ShareRow } from '../analysis/shares.js';
import { percentText } from '../charts/spec.js';
import { type Html, html, type Part, type TableColumn, tableHtml } from './html.js';
import { countLink, type ListedPlace, type PlaceList, placeLists, type Scene } from './scene.js';

/** Under this many a share is not spoken of in a sentence. */
export const FEW = 20;

/** Fewer of one kind than this are no finding. */
export const LEAST = 5;

const ATTACK_WORDS: Readonly<Record<string, string>> = {
  slid: 'slid into',
  none: 'a later stage of a bend',
  prebent: 'pre-bent',
  held: 'picked again while bent',
  released: 'let down',
};

/** How a tone begins or its pitch is reached, as players say it. */
export const attackWords = (value: string): string => ATTACK_WORDS[value] ?? value;

/** A share as per cent, its sign kept on the line: `20 %`. */
export const percent = (share: number): string => `${percentText(share)}\u00a0%`;

/**
 * The interval of a share, `16 to 26 %`, or a dash where there is none.
 * @example
 * [rangeOf({ share: 0.2, low: 0.16, high: 0.26 }), rangeOf({ share: 0.2 })] // => ['16 to 26\u00a0%', '–']
 */
export const rangeOf = ({ low, high }: Share): string =>
  low === undefined || high === undefined ? '–' : `${percentText(low)} to ${percent(high)}`;

/** A share in a sentence: `20 % (16 to 26 %)`; without brackets where there is no interval. */
export const shareInWords = (share: Share): string =>
  share.low === undefined ? percent(share.share) : `${percent(share.share)} (${rangeOf(share)})`;

/** Heads of the columns that all tables of shares have. */
export const SHARE_HEADS: readonly TableColumn[] = [
  { head: 'n', figures: true },
  { head: 'share', figures: true },
  { head: '95 %', figures: true },
];

/** A count that leads to its places, its share and interval, as cells. */
export const shareCells = (count: number, id: string, share: Share): readonly Part[] => [
  countLink(count, id),
  percent(share.share),
  rangeOf(share),
];

/** What a table of shares is called and leads to. */
export interface ShareTableParts {
  readonly caption: Part;
  /** The head of the first column: `degree`, `comes in on`. */
  readonly of: string;
  readonly rows: readonly ShareRow[];
  /** The path of ids, before the value. */
  readonly path: readonly string[];
  /** What a value is called. Default: as it is. */
  readonly name?: (value: string) => string;
  /** What it is called over its list, where the name alone says too little. */
  readonly called?: (value: string) => string;
  readonly placesOf: (row: ShareRow) => readonly ListedPlace[];
  /** The lists are for the screen, not for print. Default false. */
  readonly onScreen?: boolean;
  /** The title of the lists: `Places: where phrases come in`. */
  readonly summary: Part;
}

/** A table, and the lists that its counts lead to. */
export interface CountedTable {
  readonly table: Html;
  readonly lists: Html;
}

/** Tables side by side where there is room, and under them the lists that they lead to. */
export const sideBySide = (tables: readonly CountedTable[]): Html => html`<div class="side">
${tables.map(
  ({ table }) => html`<div>${table}</div>
`,
)}</div>
${tables.map(({ lists }) => lists)}`;

/** A table of shares. */
export function shareTableHtml(scene: Scene, parts: ShareTableParts): CountedTable {
  const { rows, path, name = (value) => value, called = name } = parts;
  const idOf = (row: ShareRow): string => scene.ids.of(...path, ...row.group.slice(1), row.value);
  const lists = rows.map(
    (row): PlaceList => ({ id: idOf(row), title: `${called(row.value)}: ${row.count}`, places: parts.placesOf(row) }),
  );
  const heads = [{ head: parts.of }, ...SHARE_HEADS];
  const cells = rows.map((row) => ({ cells: [name(row.value), ...shareCells(row.count, idOf(row), row.share)] }));
  return {
    table: tableHtml(parts.caption, heads, cells),
    lists: placeLists(scene, parts.summary, lists, parts.onScreen),
  };
}
