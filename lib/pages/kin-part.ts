// How the phrases of a solo belong together: the form in a line, a picture of where each comes from, all relations as a picture and as tables.
import { type Family, families } from '../analysis/family.js';
import type { Relation } from '../analysis/phrase-relation-kinds.js';
import { familyTree } from '../charts/family-tree.js';
import { relationMatrix } from '../charts/relation-matrix.js';
import { chartFigure } from './figure.js';
import { type Html, html, joined, type TableRow, tableHtml } from './html.js';
import type { PlayerFacts } from './player-facts.js';
import { figure, many, type Scene, type ShownSolo } from './scene.js';

/** The phrases of one solo: where each comes from, and all relations between them. */
export interface Kin {
  readonly family: Family;
  readonly relations: readonly Relation[];
}

/** How the phrases of solos are related, by the ids of the solos, from all relations within solos; solos without a phrase are left out. */
export function kinOf({ table }: Scene, all: readonly Relation[]): ReadonlyMap<string, Kin> {
  const relations = new Map<string, Relation[]>();
  for (const relation of all) {
    const known = relations.get(relation.b.solo);
    if (known) known.push(relation);
    else relations.set(relation.b.solo, [relation]);
  }
  return new Map(
    families(table, { relations: all }).map((family) => [
      family.solo,
      { family, relations: relations.get(family.solo) ?? [] },
    ]),
  );
}

/** The id of the part of a solo's section on its phrases. */
export const kinId = (scene: Scene, solo: string): string => scene.ids.of(solo, 'phrases', 'kin');

/** Solos of a player in which most phrases come from earlier ones, in a line. */
export function kinAnswer(scene: Scene, { shown }: PlayerFacts, kin: ReadonlyMap<string, Kin>): Html | undefined {
  const solos = shown.solos.flatMap(({ id, name }) => {
    const phrases = kin.get(id)?.family.phrases ?? [];
    const later = phrases.filter(({ source }) => source).length;
    return later === 0 ? [] : [{ id, name, later, of: phrases.length }];
  });
  if (solos.length === 0) return undefined;
  const most = [...solos].sort((a, b) => b.later / b.of - a.later / a.of).slice(0, 3);
  const sum = solos.reduce((total, { later }) => total + later, 0);
  const all = shown.solos.reduce((total, { id }) => total + (kin.get(id)?.family.phrases.length ?? 0), 0);
  return html`${sum} of ${many(all, 'phrase')}; most in ${joined(
    most.map(({ id, name, later, of }) => html`<a href="#${kinId(scene, id)}">${name}</a> (${later} of ${of})`),
    ', ',
  )}`;
}

/** The part of a player's section on phrases: of each solo its form. */
export function formsPart(scene: Scene, { shown }: PlayerFacts, kin: ReadonlyMap<string, Kin>): Html | undefined {
  const rows = shown.solos.flatMap(({ id, name }): TableRow[] => {
    const family = kin.get(id)?.family;
    if (!family) return [];
    const later = family.phrases.filter(({ source }) => source).length;
    const link = html`<a href="#${kinId(scene, id)}">${name}</a>`;
    return [{ cells: [link, figure(family.phrases.length), figure(later), family.form] }];
  });
  if (kin.size === 0) return undefined;
  const heads = [
    { head: 'solo' },
    { head: 'phrases', figures: true },
    { head: 'from earlier ones', figures: true },
    { head: 'form' },
  ];
  return html`<h3 id="${scene.ids.of('player', shown.player, 'kin')}">Which phrases come from earlier ones</h3>
${rows.length === 0 ? html`<p>No phrase sounds.</p>` : tableHtml(undefined, heads, rows)}
<p class="small">A is a phrase of its own; A', A'' come from A. How each does is said in the section of the solo.</p>`;
}

/** The part of a solo's section on how its phrases belong together. */
export async function kinPart(scene: Scene, shown: ShownSolo, { family, relations }: Kin): Promise<Html> {
  const idOf = (phrase: string) => scene.ids.of(shown.id, phrase);
  const link = (row: number) => {
    const member = family.phrases[row];
    return member && idOf(member.phrase);
  };
  const own = family.phrases.filter(({ source }) => !source).length;
  const form = family.phrases.map(
    ({ phrase, label }) => html`<a href="#${idOf(phrase)}" title="phrase ${phrase}">${label}</a>`,
  );
  return html`<h3 id="${kinId(scene, shown.id)}">How the phrases belong together</h3>
<p>${many(family.phrases.length, 'phrase')}, ${own} of ${own === 1 ? 'its' : 'their'} own. Form: <b class="form">${joined(form, ' ')}</b></p>
${
  relations.length === 0
    ? html`<p>No two phrases are related, and none repeats a cell of its own.</p>`
    : html`${await chartFigure(familyTree(family, { who: shown.name }), link)}
${sourcesTable(scene, shown, family)}
${await chartFigure(relationMatrix(relations, family, { who: shown.name }), link)}
${allRelations(scene, shown, relations)}`
}`;
}

const phraseLink = (scene: Scene, shown: ShownSolo, phrase: string): Html =>
  html`<a href="#${scene.ids.of(shown.id, phrase)}">phrase ${phrase}</a>`;

/** The phrases that come from earlier ones, with the sentence that says how. */
function sourcesTable(scene: Scene, shown: ShownSolo, { phrases }: Family): Html {
  const rows = phrases.map(
    ({ phrase, name, label, source }): TableRow => ({
      cells: [
        html`${phraseLink(scene, shown, phrase)}${name ? ` ${name}` : ''}`,
        label,
        source ? phraseLink(scene, shown, source.a.phrase) : '',
        source ? source.said : 'of its own',
      ],
    }),
  );
  return tableHtml(
    'Where each phrase comes from',
    [{ head: 'phrase' }, { head: 'form' }, { head: 'from' }, { head: 'how' }],
    rows,
  );
}

/** Every relation, the strongest of each pair first. */
function allRelations(scene: Scene, shown: ShownSolo, relations: readonly Relation[]): Html {
  const rows = relations.map(
    ({ a, b, said, strength }): TableRow => ({
      cells: [
        phraseLink(scene, shown, b.phrase),
        a.phrase === b.phrase ? 'itself' : phraseLink(scene, shown, a.phrase),
        strength.toFixed(2),
        said,
      ],
    }),
  );
  return html`<details class="aside"><summary>${many(relations.length, 'relation')} between them, in words</summary>
${tableHtml(undefined, [{ head: 'later' }, { head: 'earlier' }, { head: 'strength', figures: true }, { head: 'the later one' }], rows)}</details>`;
}
