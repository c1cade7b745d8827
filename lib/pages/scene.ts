// What all sections of a study page share: the tones, what was asked for, the solos and players shown, and where each place is in the page.
import { passesFilter, type ToneFilter } from '../analysis/grouping.js';
import type { Solo } from '../solo/solo.js';
import { hasFlag, type NamedSolo, type Place, placeOfTone, type ToneTable } from '../solo/tone-table.js';
import { keyText } from '../theory/scale.js';
import { type Anchors, anchors, type Html, html, joined, type Part } from './html.js';

/** A solo as a page shows it. */
export interface ShownSolo extends NamedSolo {
  readonly player: string;
  /** What it is called in the page: its title, with the name of its file where another has the same title. */
  readonly name: string;
  /** Its number in the tone table. */
  readonly index: number;
}

/** A player as a page shows him or her. */
export interface ShownPlayer {
  readonly player: string;
  /** What is written for the name. */
  readonly name: string;
  readonly solos: readonly ShownSolo[];
  /** A filter that lets through the tones of this player that were asked for, and no namesake's. */
  readonly where: ToneFilter;
}

/** A page of a study. */
export interface Scene {
  readonly table: ToneTable;
  readonly where: ToneFilter;
  readonly solos: readonly ShownSolo[];
  /** What each solo is called, by its id. */
  readonly names: ReadonlyMap<string, string>;
  /** In order of name. */
  readonly players: readonly ShownPlayer[];
  readonly ids: Anchors;
  /** True if only some tones of the solos are counted: those over one chord, say. */
  readonly isNarrowed: boolean;
}

/** Characters a line of tab takes: as many as an A4 page prints at a size that can be read from a music stand. */
export const TAB_WIDTH = 84;

/** Ids that are the page's own; the solos' come after, so that no title can take one. */
const OWN_IDS = ['top', 'contents', 'questions', 'corpus', 'players', 'solos', 'definitions', 'reading', 'every-chord'];

/** Lays out what a page shows: the solos that the filter lets through, and their players. */
export function sceneOf(table: ToneTable, where: ToneFilter = {}): Scene {
  const ids = anchors();
  for (const id of OWN_IDS) ids.of(id);
  const titles = new Map<string, number>();
  for (const { solo } of table.solos) titles.set(solo.title, (titles.get(solo.title) ?? 0) + 1);
  const solos = table.solos.flatMap(({ id, solo, proposed }, index): ShownSolo[] => {
    const player = table.players[table.playerOfSolo[index] as number] as string;
    const isAsked =
      passesFilter(where, { player, solo: id }) && keysOf(solo).some((key) => passesFilter(where, { key }));
    const name = titles.get(solo.title) === 1 ? solo.title : `${solo.title} (${id})`;
    return isAsked ? [{ id, solo, player, name, index, ...(proposed && { proposed }) }] : [];
  });
  for (const { id, solo } of solos) for (const path of [[id], ...solo.phrases.map((p) => [id, p.id])]) ids.of(...path);
  const { player: _, ...others } = where;
  const isNarrowed = Object.keys(others).some((grouping) => grouping !== 'solo' && grouping !== 'key');
  const players = [...new Set(solos.map((s) => s.player))].sort().map((player): ShownPlayer => {
    const own = solos.filter((s) => s.player === player);
    // By solos, not by name: a filter by name also takes a player of whose name it is a part.
    return { player, name: player || 'no player named', solos: own, where: { ...others, solo: own.map((s) => s.id) } };
  });
  return { table, where, solos, names: new Map(solos.map((s) => [s.id, s.name])), players, ids, isNarrowed };
}

function keysOf(solo: Solo): readonly string[] {
  return [...new Set([solo.key, ...solo.changes.settings.flatMap((s) => (s.key ? [s.key] : []))].map(keyText))];
}

/** A place in a list: strong where it is on the beat, say; with a word behind it where one helps. */
export interface ListedPlace {
  readonly solo: string;
  /** Absent where nothing is played near: the place is then in the form of the solo. */
  readonly phrase?: string;
  readonly bar: number;
  readonly count: string;
  readonly strong?: boolean;
  readonly word?: Part;
}

/**
 * The places of tones of the table: strong where they are on the beat (splits of an untimed bend never are: their onset is not written), with a `+`
 * behind a tone that stands a quarter-tone above its degree.
 */
export function placesOfTones(table: ToneTable, rows: ArrayLike<number>): readonly ListedPlace[] {
  return Array.from(
    rows,
    (row): ListedPlace => ({
      ...placeOfTone(table, row),
      strong: isOnBeat(table, row),
      ...(hasFlag(table, row, 'plus') && { word: '+' }),
    }),
  );
}

const isOnBeat = (table: ToneTable, row: number): boolean =>
  hasFlag(table, row, 'onBeat') && !hasFlag(table, row, 'split');

/** The id of the bar of a solo's form. */
export const barId = (scene: Scene, solo: string, bar: number): string => scene.ids.of(solo, 'bar', String(bar));

/** Where a place is in the page: the tab of its phrase, or the bar of the form. */
export const placeId = (scene: Scene, place: Pick<ListedPlace, 'solo' | 'phrase' | 'bar'>): string =>
  place.phrase === undefined ? barId(scene, place.solo, place.bar) : scene.ids.of(place.solo, place.phrase);

/** A place in words, as a link to its phrase: `Tide Table, phrase 7, bar 25:4&`. */
export function placeLink(scene: Scene, place: Place): Html {
  const name = scene.names.get(place.solo) ?? place.solo;
  return html`<a href="#${placeId(scene, place)}">${name}, phrase ${place.phrase}, bar ${place.bar}:${place.count}</a>`;
}

/** A list of places with its title: what a count leads to. */
export interface PlaceList {
  readonly id: string;
  readonly title: Part;
  readonly places: readonly ListedPlace[];
}

/** A count as a link to the list of what is counted: of all in it, of the strong ones (on the beat), or of those with a word behind. A count of none is no link. */
export function countLink(count: number, id: string, of: 'all' | 'strong' | 'word' = 'all'): Part {
  const kind = of === 'all' ? 'n' : `n ${of}`;
  return count === 0 ? '0' : html`<a class="${kind}" href="#${id}">${figure(count)}</a>`;
}

/** A number as it is read: `1,234`. */
export const figure = (n: number): string => n.toLocaleString('en');

/** A number with its noun: `1 phrase`, `2 phrases`. */
export const many = (n: number, one: string, more = `${one}s`): string => `${figure(n)} ${n === 1 ? one : more}`;

/** Lists of places, closed until a count leads into one. In print they are open, but for those that would fill pages with what is plain: `onScreen`. */
export function placeLists(scene: Scene, summary: Part, lists: readonly PlaceList[], onScreen = false): Html {
  const shown = lists.filter((list) => list.places.length > 0);
  if (shown.length === 0) return html``;
  return html`<details${onScreen ? html` class="aside"` : undefined}><summary>${summary}</summary>${openPlaces(scene, shown)}</details>`;
}

/** Lists of places, always open. */
export const openPlaces = (scene: Scene, shown: readonly PlaceList[]): Html => html`<dl class="places">
${shown.map(
  (
    list,
  ) => html`<div id="${list.id}"${list.places.length > 40 ? html` class="long"` : undefined}><dt>${list.title}</dt>${bySolo(scene, list.places)}</div>
`,
)}</dl>`;

/** Places by solo and phrase: `Tide Table, phrase 7: bar 25:4&, 26:1; phrase 8: bar 29:2`. */
function bySolo(scene: Scene, places: readonly ListedPlace[]): readonly Html[] {
  const solos = groupsOf(places, (p) => p.solo);
  return solos.map((own) => {
    const name = scene.names.get(own[0]?.solo as string);
    const phrases = groupsOf(own, (p) => p.phrase).map((list) => {
      const phrase = list[0]?.phrase;
      return html`${phrase === undefined ? 'between phrases' : `phrase\u00a0${phrase}`}: bar\u00a0${joined(
        list.map((p) => linkTo(scene, p)),
        ', ',
      )}`;
    });
    return html`<dd>${name}, ${joined(phrases, '; ')}</dd>`;
  });
}

function linkTo(scene: Scene, place: ListedPlace): Html {
  const link = html`<a href="#${placeId(scene, place)}">${place.bar}:${place.count}</a>`;
  const word = place.word === undefined ? undefined : html` <em>${place.word}</em>`;
  return place.strong ? html`<b>${link}</b>${word}` : html`${link}${word}`;
}

/** Items next to each other with the same value, together. */
function groupsOf<T>(items: readonly T[], sameBy: (item: T) => unknown): readonly (readonly T[])[] {
  const groups: T[][] = [];
  for (const item of items) {
    const last = groups[groups.length - 1];
    if (last && sameBy(last[0] as T) === sameBy(item)) last.push(item);
    else groups.push([item]);
  }
  return groups;
}
