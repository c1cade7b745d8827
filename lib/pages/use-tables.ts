// Interval use as tables, one for each chord: every count leads to its places.
import type { IntervalUse, IntervalUseGroup, IntervalUseRow } from '../analysis/interval-use.js';
import { inMusicalOrder, keyOf } from '../charts/interval-finding.js';
import type { MarkLink } from './figure.js';
import { type Html, html, type TableRow, tableHtml } from './html.js';
import { countLink, figure, many, type PlaceList, placeLists, placesOfTones, type Scene } from './scene.js';
import { type CountedTable, FEW, percent, rangeOf, sideBySide } from './share-words.js';

/** Tables of a player's interval use by function. */
export interface UseTablesParts {
  readonly use: IntervalUse;
  /** The path of ids before function and degree. */
  readonly path: readonly string[];
  /** Give headings of their own ids, so that answers can lead to them. */
  readonly headed: boolean;
}

/** The id of the table of one function. */
export const functionId = (scene: Scene, path: readonly string[], group: string): string =>
  scene.ids.of(...path, group);

/** Where a cell of a heatmap, or a bar of note choices, of this use leads. */
export const useLink =
  (scene: Scene, { use, path }: Pick<UseTablesParts, 'use' | 'path'>): MarkLink =>
  (i) => {
    const row = use.rows[i];
    return row && rowId(scene, path, row);
  };

const rowId = (scene: Scene, path: readonly string[], row: IntervalUseRow): string =>
  scene.ids.of(...path, row.group[0] as string, row.degree);

/** A table for each function with enough tones, then one for all with few. */
export function useTables(scene: Scene, parts: UseTablesParts): Html {
  const { use } = parts;
  const groups = [...use.groups].sort(inMusicalOrder(use));
  const spoken = groups.filter((g) => g.tones >= FEW);
  const few = groups.filter((g) => g.tones < FEW);
  return html`${sideBySide(spoken.map((group) => oneFunction(scene, parts, group)))}
${few.length === 0 ? undefined : fewTones(scene, parts, few)}`;
}

function rowsOf(
  use: IntervalUse,
  group: IntervalUseGroup,
): readonly { readonly row: IntervalUseRow; readonly i: number }[] {
  return use.rows.map((row, i) => ({ row, i })).filter(({ row }) => keyOf(row.group) === keyOf(group.group));
}

function listOf(scene: Scene, { use, path }: UseTablesParts, row: IntervalUseRow, i: number): PlaceList {
  const title = html`${row.degree} over ${row.group[0]}: ${row.tones}`;
  return { id: rowId(scene, path, row), title, places: placesOfTones(scene.table, use.toneRows(i)) };
}

function oneFunction(scene: Scene, parts: UseTablesParts, group: IntervalUseGroup): CountedTable {
  const name = group.group[0] as string;
  const rows = rowsOf(parts.use, group);
  const curled = rows.some(({ row }) => row.plus > 0);
  const cells = rows.map(({ row }): TableRow => {
    const id = rowId(scene, parts.path, row);
    const onBeat = html`${countLink(row.onBeat, id, 'strong')} of ${row.onBeatOf}`;
    const plus = curled ? [row.plus > 0 ? countLink(row.plus, id, 'word') : ''] : [];
    return {
      cells: [
        row.degree,
        countLink(row.tones, id),
        percent(row.share.share),
        rangeOf(row.share),
        percent(row.timeShare.share),
        onBeat,
        ...plus,
      ],
    };
  });
  const heads = ['degree', 'n', 'share', '95 %', 'time', 'on the beat', ...(curled ? ['at +'] : [])];
  const columns = heads.map((head, i) => ({ head, figures: i > 0 }));
  const id = parts.headed ? html` id="${functionId(scene, parts.path, name)}"` : undefined;
  const lists = rows.map(({ row, i }) => listOf(scene, parts, row, i));
  return {
    table: html`<h4${id}>Over the ${name}: ${sizeOf(group)}</h4>${tableHtml(undefined, columns, cells)}`,
    lists: placeLists(scene, `Places: every tone over the ${name}`, lists),
  };
}

/** How much a group is: tones, bars laid out, solos. */
function sizeOf(group: IntervalUseGroup): string {
  const bars = group.exposureBars === undefined ? '' : ` in ${barsOf(group.exposureBars)}`;
  return `${many(group.tones, 'tone')}${bars}, ${many(group.solos, 'solo')}`;
}

const barsOf = (bars: number): string => {
  const rounded = Math.round(bars * 10) / 10;
  return many(rounded, 'bar');
};

function fewTones(scene: Scene, parts: UseTablesParts, groups: readonly IntervalUseGroup[]): Html {
  const cells = groups.map((group): TableRow => {
    const counts = rowsOf(parts.use, group).map(
      ({ row }) =>
        html`<span class="pair">${row.degree}: ${countLink(row.tones, rowId(scene, parts.path, row))} </span>`,
    );
    const id = parts.headed ? functionId(scene, parts.path, group.group[0] as string) : undefined;
    return { id, cells: [group.group[0], figure(group.tones), counts] };
  });
  const lists = groups.flatMap((group) => rowsOf(parts.use, group).map(({ row, i }) => listOf(scene, parts, row, i)));
  return html`<h4>Over other chords: fewer than ${FEW} tones each, too few for shares</h4>
${tableHtml(undefined, [{ head: 'over' }, { head: 'n', figures: true }, { head: 'degrees' }], cells)}
${placeLists(scene, 'Places: every tone over these chords', lists)}`;
}
