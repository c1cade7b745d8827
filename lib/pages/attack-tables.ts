// How tones begin and how their pitch is reached, as tables of which every count leads to its places.
import { type Attacks, WAYS_REACHED } from '../analysis/attacks.js';
import type { ShareRow } from '../analysis/shares.js';
import { DEGREE_NAMES } from '../theory/interval.js';
import { type Html, html, type TableRow, tableHtml } from './html.js';
import { countLink, figure, type PlaceList, placeLists, placesOfTones, type Scene } from './scene.js';
import { attackWords, type CountedTable, percent, shareTableHtml, sideBySide } from './share-words.js';

/** Tables of a player's attacks: starts, ways to the pitch, sizes of bends, degrees of the key (`named` as they are spelled), and the beat. */
export function attackTables(
  scene: Scene,
  found: Attacks,
  path: readonly string[],
  named: (degree: string) => string = (degree) => degree,
): Html {
  const placesOf = (row: ShareRow) => placesOfTones(scene.table, row.items);
  const part = (name: string) => [...path, name];
  const starts = {
    caption: 'How tones begin',
    of: 'start',
    rows: found.starts.rows,
    path: part('start'),
    placesOf,
    summary: 'Places: by start',
  };
  const reached = {
    caption: 'How the pitch is reached',
    of: 'pitch',
    rows: found.reached.rows,
    path: part('reached'),
    placesOf,
    summary: 'Places: by how the pitch is reached',
  };
  const beat = {
    caption: 'On a beat or off it',
    of: 'begins',
    rows: found.onBeat.rows,
    path: part('beat'),
    placesOf,
    summary: 'Places: on and off the beat',
  };
  const tables = [starts, reached, beat].map((parts) =>
    shareTableHtml(scene, { ...parts, name: parts === reached ? reachedWords : attackWords, onScreen: true }),
  );
  return html`${sideBySide([...tables, ...(found.sizes.rows.length === 0 ? [] : [sizesTable(scene, found, part('size'))])])}
${bentTable(scene, found, part('over-key'), named)}`;
}

/** Curls are bends too: what is called bent alone is bent further. */
const reachedWords = (value: string): string =>
  value === 'curled' ? 'bent, a curl' : value === 'bent' ? 'bent, half a step or more' : attackWords(value);

function sizesTable(scene: Scene, { sizes }: Attacks, path: readonly string[]): CountedTable {
  const idOf = (row: ShareRow) => scene.ids.of(...path, row.group[1] as string, row.value);
  const rows = sizes.rows.map(
    (row): TableRow => ({
      cells: [
        `${attackWords(row.group[1] as string)}, ${row.value}`,
        countLink(row.count, idOf(row)),
        percent(row.share.share),
      ],
    }),
  );
  const lists = sizes.rows.map(
    (row): PlaceList => ({
      id: idOf(row),
      title: `${attackWords(row.group[1] as string)}, ${row.value}: ${row.count}`,
      places: placesOfTones(scene.table, row.items),
    }),
  );
  const columns = [{ head: 'bend, by' }, { head: 'n', figures: true }, { head: 'share of its kind', figures: true }];
  return {
    table: tableHtml(`By how much: ${sizes.n} tones not straight`, columns, rows),
    lists: placeLists(scene, 'Places: bends by size', lists),
  };
}

/** Degrees of the key and how each is reached: curled on the b3, k of n. Straight ones are in the table of all. */
function bentTable(
  scene: Scene,
  { overKey }: Attacks,
  path: readonly string[],
  named: (degree: string) => string,
): Html {
  const ways = WAYS_REACHED.filter((way) => overKey.rows.some((row) => row.value === way));
  const degreeOf = (group: readonly string[]) => group[group.length - 1] as string;
  const idOf = (row: ShareRow) => scene.ids.of(...path, degreeOf(row.group), row.value);
  const order = (group: readonly string[]) => (DEGREE_NAMES as readonly string[]).indexOf(degreeOf(group));
  const groups = [...overKey.groups].sort((a, b) => order(a.group) - order(b.group));
  const rows = groups.map(({ group, n }): TableRow => {
    const cells = ways.map((way) => {
      const row = overKey.rows.find((r) => r.group === group && r.value === way);
      return row ? countLink(row.count, idOf(row)) : '';
    });
    return { cells: [named(degreeOf(group)), figure(n), ...cells] };
  });
  const lists = overKey.rows.map(
    (row): PlaceList => ({
      id: idOf(row),
      title: `${named(degreeOf(row.group))} of the key, ${attackWords(row.value)}: ${row.count}`,
      places: placesOfTones(scene.table, row.items),
    }),
  );
  const columns = [
    { head: 'degree of the key' },
    { head: 'n', figures: true },
    ...ways.map((way) => ({ head: attackWords(way), figures: true })),
  ];
  return html`${tableHtml('Degrees of the key, and how each is reached', columns, rows)}
${placeLists(scene, 'Places: by degree of the key', lists, true)}`;
}
