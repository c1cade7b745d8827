// Other forms of a plain table: as rows, as HTML for a notebook, and back from a data frame.
import { escapeMarkup } from '../foundation/escape.js';
import type { Cell, DataFrameLike, PlainTable } from './table-export.js';

/** One row of a table by the names of its columns. */
export type TableRow = Readonly<Record<string, Cell>>;

/**
 * A table as rows, for choosing some with `filter`; `columnsOf` makes a table of them again.
 * @example
 * rowsOf({ degree: ['1', 'b3'], tones: [4, 2] }).filter((row) => row.tones === 2) // => [{ degree: 'b3', tones: 2 }]
 */
export function rowsOf(table: PlainTable): readonly TableRow[] {
  const columns = Object.entries(table);
  const n = columns[0]?.[1].length ?? 0;
  return Array.from({ length: n }, (_, i) =>
    Object.fromEntries(columns.map(([name, cells]) => [name, cells[i] ?? null])),
  );
}

/**
 * The columns of a data frame as a plain table, so that it can be shown with {@link htmlOf} or written with `csvOf`, which quotes what must be quoted.
 * @example
 * const frame = await toDataFrame({ degree: ['1', 'b3'], tones: [4, 2] })
 * frameColumns(frame.sortValues('tones')) // => { degree: ['b3', '1'], tones: [2, 4] }
 */
export const frameColumns = (frame: DataFrameLike): PlainTable =>
  Object.fromEntries(frame.columns.map((name) => [name, frame.column(name).values.map(asCell)]));

const asCell = (value: unknown): Cell =>
  value === null || value === undefined || (typeof value === 'number' && !Number.isFinite(value))
    ? null
    : typeof value === 'string' || typeof value === 'number' || typeof value === 'boolean'
      ? value
      : String(value);

/** How a table is shown. */
export interface TableHtmlOptions {
  /** Names of the columns to show, in this order. Default: all. */
  readonly columns?: readonly string[];
  /** Rows to show, from 1; of more than that, the rest is counted below. Default 20. */
  readonly rows?: number;
}

/**
 * A table as HTML, for `display.html` in a notebook: numbers to the right, text to the left, a missing value as nothing, yes for true. All text is escaped.
 * @throws RangeError if a column to show is not there, or the rows are not a whole number from 1
 * @example
 * htmlOf({ degree: ['b3', '5'], tones: [2, 9] }, { columns: ['tones'], rows: 1 })
 * // => '<table><thead><tr><th style="text-align: right">tones</th></tr></thead><tbody><tr><td style="text-align: right">2</td></tr></tbody></table><p>and 1 more row</p>'
 */
export function htmlOf(table: PlainTable, options: TableHtmlOptions = {}): string {
  const { columns = Object.keys(table), rows = 20 } = options;
  if (!Number.isInteger(rows) || rows < 1) throw new RangeError(`${rows} rows to show: give a whole number from 1`);
  const shown = columns.map((name) => {
    const cells = table[name];
    if (!cells) throw new RangeError(`there is no column ${name}; columns: ${Object.keys(table).join(', ') || 'none'}`);
    const right =
      cells.some((cell) => cell !== null) && cells.every((cell) => cell === null || typeof cell === 'number');
    return { name, cells, style: `style="text-align: ${right ? 'right' : 'left'}"` };
  });
  const n = shown[0]?.cells.length ?? 0;
  const head = shown.map(({ name, style }) => `<th ${style}>${escapeMarkup(name)}</th>`).join('');
  const body = Array.from({ length: Math.min(rows, n) }, (_, i) => {
    const cells = shown.map(({ cells, style }) => `<td ${style}>${escapeMarkup(cellText(cells[i] ?? null))}</td>`);
    return `<tr>${cells.join('')}</tr>`;
  }).join('');
  const left = n - rows;
  const more = left > 0 ? `<p>and ${left.toLocaleString('en')} more ${left === 1 ? 'row' : 'rows'}</p>` : '';
  return `<table><thead><tr>${head}</tr></thead><tbody>${body}</tbody></table>${more}`;
}

const cellText = (cell: Cell): string =>
  cell === null ? '' : cell === true ? 'yes' : cell === false ? 'no' : String(cell);
