// Small notebooks made for the tests.
import type { Cell, Notebook, Output } from '../../notebooks/tools/notebook.js';

/** A code cell, with what it once gave. */
export const code = (source: string, outputs: readonly Output[] = []): Cell => ({
  cell_type: 'code',
  metadata: {},
  source,
  outputs,
  execution_count: null,
});

export const prose = (source: string): Cell => ({ cell_type: 'markdown', metadata: {}, source });

/** A notebook of cells, each with an id of its own unless it has one. */
export const notebookOf = (...cells: readonly Cell[]): Notebook => ({
  cells: cells.map((cell, i) => ({ id: `cell-${i + 1}`, ...cell })),
  metadata: {},
  nbformat: 4,
  nbformat_minor: 5,
});

/** Text that a cell printed. */
export const printed = (text: string | readonly string[], name = 'stdout'): Output => ({
  output_type: 'stream',
  name,
  text,
});

/** HTML that a cell showed. */
export const shown = (html: string | readonly string[]): Output => ({
  output_type: 'display_data',
  data: { 'text/html': html },
  metadata: {},
});
