// The section of a player: findings in sentences, pictures, and tables of which every count leads to its places.
import { type Entry, type EntryUse, entryUse } from '../analysis/entry.js';
import { selection } from '../analysis/grouping.js';
import { type Landing, landingUse, type PhraseEnding } from '../analysis/landing.js';
import type { ShareRow } from '../analysis/shares.js';
import { attackBars } from '../charts/attack-bars.js';
import { entryBeats } from '../charts/entry-beats.js';
import { intervalFinding } from '../charts/interval-finding.js';
import { intervalHeatmap } from '../charts/interval-heatmap.js';
import { landingBars } from '../charts/landing-bars.js';
import { mixedKeysNote } from '../charts/mixed-keys.js';
import { noteChoices } from '../charts/note-choices.js';
import { caution, findingsOf } from './answers.js';
import { attackTables } from './attack-tables.js';
import { chartFigure } from './figure.js';
import { heldBendsPart } from './held-bend-part.js';
import { type Html, html, listed, type TableRow, tableHtml } from './html.js';
import { formsPart, type Kin } from './kin-part.js';
import { motifPart } from './motif-part.js';
import type { PlayerFacts, SharedFacts } from './player-facts.js';
import { scalePart } from './scale-part.js';
import {
  countLink,
  figure,
  type ListedPlace,
  many,
  type PlaceList,
  placeLists,
  placesOfTones,
  type Scene,
} from './scene.js';
import { type CountedTable, FEW, shareTableHtml, sideBySide } from './share-words.js';
import { togetherPart } from './together-part.js';
import { useLink, useTables } from './use-tables.js';

/** The two chords that are played over most get a picture of their own, if there are tones enough. */
const MOST_PICTURES = 2;

/** The section of one player. */
export async function playerSection(
  scene: Scene,
  facts: PlayerFacts,
  shared: SharedFacts,
  kin: ReadonlyMap<string, Kin>,
): Promise<Html> {
  const { shown, use } = facts;
  const id = (...part: readonly string[]) => scene.ids.of('player', shown.player, ...part);
  const finding = intervalFinding(use);
  const phrases = shown.solos.reduce((sum, s) => sum + s.solo.phrases.length, 0);
  const findings = findingsOf(scene, facts, shared, finding.kind === 'stands out' ? finding.text : undefined);
  return html`<section id="${id()}">
<h2>${shown.name}</h2>
<p class="soft">${many(shown.solos.length, 'solo')}, ${many(phrases, 'phrase')}, ${many(facts.attacks.tones, 'tone')}: ${shown.solos.map((s, i) => html`${i > 0 ? ', ' : ''}<a href="#${scene.ids.of(s.id)}">${s.name}</a>`)}.</p>
${caution(facts)}
<ul>${findings.map(
    ({ said, part }) => html`<li>${said} <a class="to" href="#${id(...part)}">Where</a></li>
`,
  )}</ul>
${await overPart(scene, facts)}
${await landingPart(scene, facts)}
${await entryPart(scene, facts)}
${await attackPart(scene, facts)}
${heldBendsPart(scene, facts)}
${scalePart(scene, facts)}
${motifPart(scene, facts)}
${formsPart(scene, facts, kin)}
${togetherPart(scene, facts)}
</section>
`;
}

async function overPart(scene: Scene, { shown, use, pushed }: PlayerFacts): Promise<Html> {
  const path = ['player', shown.player, 'over'];
  const pushedPath = ['player', shown.player, 'pushed'];
  const link = useLink(scene, { use, path });
  const pictures = [intervalHeatmap(use, { who: shown.name, note: mixedKeysNote(scene.table, use) })];
  for (const { group, tones } of use.groups.slice(0, MOST_PICTURES))
    if (tones >= FEW) pictures.push(noteChoices(scene.table, use, { group, who: shown.name }));
  const charts = await Promise.all(pictures.map((spec) => chartFigure(spec, link)));
  return html`<h3 id="${scene.ids.of(...path)}">Over which chord which notes</h3>
${charts}
${useTables(scene, { use, path, headed: true })}
${pickupsOf(scene, shown.where, [...path, 'apart'])}
<details class="aside"><summary>The same with pushed tones under the chord they push into: ${movedBy(use.groups, pushed.groups)}</summary>
${useTables(scene, { use: pushed, path: pushedPath, headed: false })}</details>`;
}

type Sizes = PlayerFacts['use']['groups'];

/** How the tones of each function change when pushed tones are counted with the coming chord. */
function movedBy(before: Sizes, after: Sizes): string {
  const moved = after.flatMap(({ group, tones }) => {
    const own = before.find((g) => g.group[0] === group[0])?.tones ?? 0;
    return own === tones ? [] : [`${group[0]} ${tones} for ${own}`];
  });
  return moved.length === 0 ? 'no function has more or fewer tones' : `tones over ${moved.join(', ')}`;
}

/** Tones that no chord rules, apart. */
function pickupsOf(scene: Scene, where: PlayerFacts['shown']['where'], path: readonly string[]): Html {
  const lists = [
    ['pickup', 'before the first chord (pickups)'],
    ['N.C.', 'under no chord'],
  ].flatMap(([name, words]) => {
    const mask = selection(scene.table, { where: { ...where, function: name as string }, chordless: true });
    const rows = Array.from(mask.keys()).filter((row) => mask[row]);
    return rows.length === 0
      ? []
      : [
          {
            id: scene.ids.of(...path, name as string),
            title: `${words}: ${rows.length}`,
            places: placesOfTones(scene.table, rows),
            words,
          },
        ];
  });
  if (lists.length === 0) return html``;
  const counts = lists.map(
    ({ id, places, words }) =>
      html`${countLink(places.length, id)} ${many(places.length, 'tone').replace(/^\S+ /, '')} ${words}`,
  );
  return html`<p class="small">Apart, in no table above: ${listed(counts)}.</p>
${placeLists(scene, 'Places: tones without a chord', lists)}`;
}

/** A change as a place, with the degrees of a double-stop behind it. */
const placeOf = (landing: Landing): ListedPlace =>
  landing.degrees.length > 1 ? { ...landing, word: listed(landing.degrees) } : landing;

const WAYS = {
  starts: 'starts with the chord',
  held: 'held into it',
  after: 'just after',
  none: 'no tone near',
} as const;

async function landingPart(scene: Scene, { shown, landings, endings }: PlayerFacts): Promise<Html> {
  const path = ['player', shown.player, 'landings'];
  const [group] = landings.groups;
  const heading = html`<h3 id="${scene.ids.of(...path)}">Where the lines land</h3>`;
  if (!group) return html`${heading}<p>No chord changes under these solos.</p>`;
  const ofRow = (row: ShareRow) => Array.from(row.items, (i) => placeOf(landings.landings[i] as Landing));
  const degrees = {
    caption: 'Degree of the new chord',
    of: 'degree',
    rows: landings.degrees.rows,
    path: [...path, 'degree'],
    placesOf: ofRow,
    called: (value: string) => `On the ${value} of the new chord`,
    summary: 'Places: changes by degree',
  };
  const roles = {
    caption: 'What it is there',
    of: 'tone',
    rows: landings.roles.rows,
    path: [...path, 'role'],
    placesOf: ofRow,
    called: (value: string) => `On the ${value} of the new chord`,
    summary: 'Places: changes by what is landed on',
    onScreen: true,
  };
  const ends = {
    caption: `Last tones of phrases, over the chord that rules then: ${endings.degrees.n}`,
    of: 'degree',
    rows: endings.degrees.rows,
    path: [...path, 'endings'],
    called: (value: string) => `Ends on the ${value}`,
    placesOf: (row: ShareRow) => Array.from(row.items, (i): ListedPlace => endings.endings[i] as PhraseEnding),
    summary: 'Places: last tones of phrases',
  };
  const all = [...landings.landings, ...landings.without];
  const ways = (['starts', 'held', 'after', 'none'] as const).map((how) => {
    const own = all.filter((l) => l.how === how).map(placeOf);
    return { how, own, id: scene.ids.of(...path, 'how', how) };
  });
  return html`${heading}
<p>At ${figure(group.changes)} chord changes: ${listed(ways.map(({ how, own, id }) => html`${countLink(own.length, id)} ${WAYS[how]}`))}. Shares are of the ${landings.degrees.n} with a tone.</p>
${await chartFigure(landingBars(landings), (i) => rowLink(scene, landings.degrees.rows[i], [...path, 'degree']))}
${sideBySide([shareTableHtml(scene, degrees), shareTableHtml(scene, roles), shareTableHtml(scene, ends)])}
${placeLists(
  scene,
  'Places: changes by how the tone comes',
  ways.map(({ how, own, id }) => ({ id, title: `${WAYS[how]}: ${own.length}`, places: own })),
  true,
)}
${byFunction(scene, shown.where, path)}`;
}

/** Landings on each function: which degrees, at which of its changes. */
function byFunction(scene: Scene, where: PlayerFacts['shown']['where'], path: readonly string[]): Html {
  const use = landingUse(scene.table, { by: ['function'], where, intervals: false });
  const idOf = (row: ShareRow) => scene.ids.of(...path, 'on', row.group[0] as string, row.value);
  const rowsOf = (name: string) => use.degrees.rows.filter((r) => r.group[0] === name);
  const rows = use.groups.map((g): TableRow => {
    const name = g.group[0] as string;
    const counts = rowsOf(name).map((r) => html`<span class="pair">${r.value}: ${countLink(r.count, idOf(r))} </span>`);
    return { cells: [name, figure(g.changes), figure(g.changes - g.none), counts] };
  });
  const lists = use.degrees.rows.map(
    (r): PlaceList => ({
      id: idOf(r),
      title: `the ${r.value} of ${r.group[0]}: ${r.count}`,
      places: Array.from(r.items, (i) => placeOf(use.landings[i] as Landing)),
    }),
  );
  const heads = [
    { head: 'change to' },
    { head: 'changes', figures: true },
    { head: 'with a tone', figures: true },
    { head: 'landed on' },
  ];
  return html`${tableHtml('By the function of the new chord', heads, rows)}
${placeLists(scene, 'Places: changes by function and degree', lists, true)}`;
}

const rowLink = (scene: Scene, row: ShareRow | undefined, path: readonly string[]): string | undefined =>
  row && scene.ids.of(...path, ...row.group.slice(1), row.value);

async function entryPart(scene: Scene, { shown, entries }: PlayerFacts): Promise<Html> {
  const path = ['player', shown.player, 'entries'];
  const heading = html`<h3 id="${scene.ids.of(...path)}">On which beat phrases come in</h3>`;
  if (entries.entries.length === 0) return html`${heading}<p>No phrase sounds.</p>`;
  const meters = [...new Set(entries.entries.map((e) => e.meter))];
  const byMeter =
    meters.length < 2
      ? undefined
      : entryUse(scene.table, { by: ['player', 'meter'], where: shown.where, intervals: false });
  const placesOf = (row: ShareRow) => Array.from(row.items, (i): ListedPlace => entries.entries[i] as Entry);
  const counts = {
    caption: `Count: ${many(entries.counts.n, 'phrase')}`,
    of: 'comes in on',
    rows: entries.counts.rows,
    path: [...path, 'count'],
    placesOf,
    called: (value: string) => `In on ${value}`,
    summary: 'Places: by count',
  };
  const kinds = {
    caption: 'On a beat or off it',
    of: 'comes in',
    rows: entries.kinds.rows,
    path: [...path, 'kind'],
    placesOf,
    summary: 'Places: on and off the beat',
    onScreen: true,
  };
  return html`${heading}
${await chartFigure(entryBeats(entries), (i) => rowLink(scene, entries.counts.rows[i], [...path, 'count']))}
${sideBySide([shareTableHtml(scene, counts), shareTableHtml(scene, kinds), ...(byMeter === undefined ? [] : [meterTable(scene, byMeter, path)])])}
${silentPart(entries)}`;
}

/** Entries in each meter, since a 3 is not the same in 3/4 and in 6/8. */
function meterTable(scene: Scene, use: EntryUse, path: readonly string[]): CountedTable {
  const idOf = (row: ShareRow) => scene.ids.of(...path, 'in', row.group[1] as string, row.value);
  const rows = use.counts.groups.map(({ group, n }): TableRow => {
    const own = use.counts.rows.filter((r) => r.group === group);
    return {
      cells: [
        group[1],
        figure(n),
        own.map((r) => html`<span class="pair">${r.value}: ${countLink(r.count, idOf(r))} </span>`),
      ],
    };
  });
  const lists = use.counts.rows.map(
    (r): PlaceList => ({
      id: idOf(r),
      title: `${r.value} in ${r.group[1]}: ${r.count}`,
      places: Array.from(r.items, (i): ListedPlace => use.entries[i] as Entry),
    }),
  );
  const table = tableHtml(
    'By meter',
    [{ head: 'meter' }, { head: 'phrases', figures: true }, { head: 'comes in on' }],
    rows,
  );
  return { table, lists: placeLists(scene, 'Places: by meter and count', lists, true) };
}

const silentPart = ({ silent }: EntryUse): Html =>
  silent.length === 0
    ? html``
    : html`<p class="small">In no count: ${many(silent.length, 'phrase')} without a tone (${silent.map((p) => `${p.solo} ${p.phrase}`).join(', ')}).</p>`;

async function attackPart(scene: Scene, { shown, attacks, scale }: PlayerFacts): Promise<Html> {
  const tritone = scale.notes.find(({ semitones }) => semitones === 6)?.degree ?? 'b5';
  const path = ['player', shown.player, 'attacks'];
  const picture = await chartFigure(attackBars(attacks), (i, table) =>
    rowLink(scene, (table === 'starts' ? attacks.starts : attacks.reached).rows[i], [
      ...path,
      table === 'starts' ? 'start' : 'reached',
    ]),
  );
  return html`<h3 id="${scene.ids.of(...path)}">How tones begin and bend</h3>
${picture}
${attackTables(scene, attacks, path, (degree) => (degree === 'b5' ? tritone : degree))}`;
}
