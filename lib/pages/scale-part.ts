// Which scale a player's notes come from: the whole of it, solo by solo, and what the added notes are there for.
import type { ScaleNote } from '../analysis/scale-fit.js';
import { type Html, html, listed, type TableRow, tableHtml } from './html.js';
import type { PlayerFacts } from './player-facts.js';
import { countLink, figure, many, type PlaceList, placeLists, placesOfTones, type Scene } from './scene.js';
import { percent } from './share-words.js';

const PLACES: Readonly<Record<ScaleNote['place'], string>> = {
  scale: 'in the scale',
  added: 'added to it',
  outside: 'outside',
  rare: 'under 2 % of the time, left out',
  used: 'used',
};

/** The part of a player's section on scales. */
export function scalePart(scene: Scene, facts: PlayerFacts): Html {
  const { shown, scale, added, addedInSolos } = facts;
  const path = ['player', shown.player, 'scale'];
  const idOf = (degree: string) => scene.ids.of(...path, 'note', degree);
  const notes = scale.notes.map(
    (note): TableRow => ({
      cells: [note.degree, countLink(note.tones, idOf(note.degree)), percent(note.share), PLACES[note.place]],
    }),
  );
  const curls = scale.curls.map(
    (curl): TableRow => ({
      cells: [curl.degree, countLink(curl.tones, idOf(curl.degree)), '', 'a quarter-tone up, in no scale'],
    }),
  );
  const lists = [...scale.notes, ...scale.curls].map(
    (n): PlaceList => ({
      id: idOf(n.degree),
      title: `${n.degree} of the key: ${n.tones}`,
      places: placesOfTones(scene.table, n.rows),
    }),
  );
  const serving = addedInSolos.map(
    (n): PlaceList => ({
      id: scene.ids.of(...path, 'serves', n.degree, n.function, n.role),
      title: `the ${n.degree} as the ${n.role} of the ${n.function}: ${n.rows.length}`,
      places: placesOfTones(scene.table, n.rows),
    }),
  );
  const inside = scale.inside === undefined ? undefined : html`, which holds ${percent(scale.inside)} of the time`;
  const also = scale.others
    .map((o) => o.scale)
    .filter((name, i, all) => name !== scale.best?.scale && all.indexOf(name) === i);
  return html`<h3 id="${scene.ids.of(...path)}">Which scale</h3>
<p>All ${figure(scale.tones)} tones together, counted above the tonic of each key: <b>${scale.said}</b>${inside} (${scale.costSaid}, taking all solos together).${scale.keys.length > 1 ? ' Solos in different kinds of keys counted together say less than each alone.' : ''}${also.length > 0 ? ` Next best: ${also.join(', ')}.` : ''}</p>
${added.length === 0 ? undefined : html`<ul>${added.map((note) => html`<li>${note.said}.</li>`)}</ul>`}
${serving.length === 0 ? undefined : html`<p>Added in single solos: ${listed(addedInSolos.map((n, i) => html`the ${n.degree} serves the ${n.function} (its ${n.role}) at ${countLink(n.rows.length, serving[i]?.id as string)} of ${many(n.of, 'place')} in ${many(n.solos, 'solo')}`))}.</p>`}
<div class="side two">
<div>${tableHtml('Notes above the tonic', [{ head: 'degree' }, { head: 'n', figures: true }, { head: 'time', figures: true }, { head: 'where' }], [...notes, ...curls])}</div>
<div>${soloTable(scene, facts)}</div>
</div>
${placeLists(scene, 'Places: added notes over the chord they serve', serving, true)}
${placeLists(scene, 'Places: by degree of the key', lists, true)}`;
}

function soloTable(scene: Scene, { soloScales }: PlayerFacts): Html {
  const rows = soloScales.map(({ solo, fit }): TableRow => {
    const name = scene.names.get(solo) ?? solo;
    return {
      cells: [
        html`<a href="#${scene.ids.of(solo)}">${name}</a>`,
        fit.said,
        fit.inside === undefined ? '–' : percent(fit.inside),
        figure(fit.tones),
      ],
    };
  });
  return tableHtml(
    'Solo by solo',
    [{ head: 'solo' }, { head: 'scale' }, { head: 'time in it', figures: true }, { head: 'tones', figures: true }],
    rows,
  );
}
