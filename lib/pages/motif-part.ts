// Motifs of a player: a table of all, a card for each with its places and its first place as tab, and where they come back in a solo.
import type { Motif } from '../analysis/motif-kinds.js';
import { nearPlaces } from '../analysis/motif-near.js';
import { motifDegrees, motifInWords } from '../analysis/motif-words.js';
import { motifStrip } from '../charts/motif-strip.js';
import { motifTab } from '../engraving/motif-tab.js';
import { chartFigure } from './figure.js';
import { type Html, html, joined, listed, type TableRow, tableHtml } from './html.js';
import type { PlayerFacts } from './player-facts.js';
import { countLink, figure, many, openPlaces, placeId, type Scene, type ShownSolo, TAB_WIDTH } from './scene.js';
import { percent } from './share-words.js';

/** From this false discovery rate on a motif is no finding. */
const NO_FINDING = 0.2;
/** More motifs than these are only counted. */
const MOST_SHOWN = 24;
/** A solo with this many places of motifs, or more, has them drawn. */
const LEAST_DRAWN = 2;
/** Findings named in an answer. */
const MOST_NAMED = 3;

const isFinding = ({ falseDiscoveryRate: rate }: Motif): boolean => rate !== undefined && rate < NO_FINDING;

/** The motifs that are findings, the best first: they are numbered from 1. */
export const findingMotifs = ({ motifs }: PlayerFacts): readonly Motif[] => motifs.motifs.filter(isFinding);

const idOf = (scene: Scene, { shown }: PlayerFacts, ...part: readonly string[]): string =>
  scene.ids.of('player', shown.player, 'motifs', ...part);

/** What a player keeps saying, in a line. */
export function motifAnswer(scene: Scene, facts: PlayerFacts): Html {
  const found = findingMotifs(facts);
  if (found.length === 0) return html`nothing that chance would not bring`;
  const named = found
    .slice(0, MOST_NAMED)
    .map((motif) => html`<b>${motifDegrees(scene.table, motif)}</b> at ${many(motif.places.length, 'place')}`);
  const rest = found.length - named.length;
  return html`${joined(named, ', ')}${rest > 0 ? `, ${rest} more` : ''}; n\u00a0=\u00a0${figure(facts.motifs.tones)} tones of the line`;
}

/** The part of a player's section on motifs. */
export function motifPart(scene: Scene, facts: PlayerFacts): Html {
  const { motifs: all, nullRuns, tones } = facts.motifs;
  const found = findingMotifs(facts);
  const heading = html`<h3 id="${idOf(scene, facts)}">What keeps coming back: motifs</h3>`;
  if (all.length === 0)
    return html`${heading}<p>No run of five tones or more comes back at three places or more in two solos or more.</p>`;
  const shown = all.slice(0, MOST_SHOWN);
  const [first, others] = [shown.filter(isFinding), shown.filter((motif) => !isFinding(motif))];
  const number = (motif: Motif) => all.indexOf(motif) + 1;
  return html`${heading}
<p>${many(all.length, 'run')} of five tones or more come back, from any note and in any rhythm, at three places or more in two solos or more of ${figure(tones)} tones of the line. <b>${found.length} of them ${found.length === 1 ? 'is a finding' : 'are findings'}</b>: fewer than ${percent(NO_FINDING)} of motifs that good come by chance, as a search of ${figure(nullRuns)} corpora made from this player's own steps says.${scene.isNarrowed ? ' Motifs are looked for in whole phrases, over whatever chord.' : ''}</p>
${motifTable(scene, facts, shown)}
${all.length > shown.length ? html`<p class="small">Not shown: ${many(all.length - shown.length, 'more motif')}, all lower in rank.</p>` : undefined}
${first.map((motif) => cardOf(scene, facts, motif, number(motif), nearlySo(scene, facts, motif)))}
${
  others.length === 0
    ? undefined
    : html`<details class="aside"><summary>${many(others.length, 'more motif')} that ${others.length === 1 ? 'is' : 'are'} no finding: chance brings as good ones</summary>
${others.map((motif) => cardOf(scene, facts, motif, number(motif)))}</details>`
}`;
}

function motifTable(scene: Scene, facts: PlayerFacts, shown: readonly Motif[]): Html {
  const rows = shown.map((motif, i): TableRow => {
    const rate = motif.falseDiscoveryRate;
    return {
      cells: [
        html`<a href="#${idOf(scene, facts, String(i + 1))}">${i + 1}</a>`,
        motifDegrees(scene.table, motif),
        countLink(motif.places.length, idOf(scene, facts, String(i + 1), 'places')),
        figure(motif.solos),
        figure(motif.keys),
        motif.expected === undefined ? '–' : motif.expected.toFixed(1),
        rate === undefined ? '–' : rate < 0.01 ? 'under 1\u00a0%' : percent(rate),
        isFinding(motif) ? 'yes' : 'no',
      ],
    };
  });
  const figures = (head: string) => ({ head, figures: true });
  return tableHtml(
    'Motifs, the best first',
    [
      { head: 'motif' },
      { head: 'degrees' },
      figures('places'),
      figures('solos'),
      figures('keys'),
      figures('expected by chance'),
      figures('false discovery rate'),
      { head: 'a finding' },
    ],
    rows,
  );
}

/** Near places named for a motif. */
const MOST_NEAR = 6;

/** Where a motif comes back not quite the same with this player. */
function nearlySo(scene: Scene, { shown }: PlayerFacts, motif: Motif): Html | undefined {
  const near = nearPlaces(scene.table, motif, { where: { solo: shown.solos.map(({ id }) => id) } });
  if (near.length === 0) return undefined;
  const named = near
    .slice(0, MOST_NEAR)
    .map(
      (place) =>
        html`<a href="#${placeId(scene, place)}">${scene.names.get(place.solo)}, bar ${place.bar}</a> (${place.said})`,
    );
  const rest = near.length - named.length;
  return html`<p class="small">Nearly so at ${many(near.length, 'place')}: ${joined(named, '; ')}${rest > 0 ? `; ${rest} more` : ''}.</p>`;
}

/** A motif: in words, its first place as tab, and all places. */
function cardOf(scene: Scene, facts: PlayerFacts, motif: Motif, number: number, near?: Html): Html {
  const { table } = scene;
  const [place] = motif.places;
  const [head, ...lines] = place ? motifTab(table, place, { width: TAB_WIDTH }).split('\n') : [''];
  const rate = motif.falseDiscoveryRate;
  const caveat =
    rate === undefined || isFinding(motif)
      ? undefined
      : html`<p><b>No finding:</b> of motifs with as much evidence ${percent(rate)} would come by chance alone.</p>`;
  const id = (...part: readonly string[]) => idOf(scene, facts, String(number), ...part);
  const list = { id: id('places'), title: `Its places: ${motif.places.length}`, places: motif.places };
  return html`<div class="card" id="${id()}"><h4>Motif ${number}: ${motifDegrees(table, motif)}</h4>
<p>${motifInWords(table, motif)}.</p>
${caveat}
${place ? html`<p class="small">First in <a href="#${placeId(scene, place)}">${scene.names.get(place.solo)}, ${head}</a>:</p>` : undefined}
<pre tabindex="0">${lines.join('\n')}</pre>
${openPlaces(scene, [list])}
${near}</div>
`;
}

/** Where the motifs that are findings come back in one solo; nothing with fewer than two places. */
export async function motifsInSolo(scene: Scene, shown: ShownSolo, facts: PlayerFacts): Promise<Html | undefined> {
  const found = findingMotifs(facts).slice(0, MOST_SHOWN);
  const isHere = (motif: Motif) => motif.places.some(({ solo }) => solo === shown.id);
  const places = found.flatMap((motif) => motif.places);
  if (places.filter(({ solo }) => solo === shown.id).length < LEAST_DRAWN) return undefined;
  const links = found.flatMap((motif, i) =>
    isHere(motif) ? [html`<a href="#${idOf(scene, facts, String(i + 1))}">motif ${i + 1}</a>`] : [],
  );
  return html`<h3 id="${scene.ids.of(shown.id, 'motifs', 'strip')}">Where motifs come back</h3>
${await chartFigure(motifStrip(scene.table, shown.id, found), (row) => (places[row] ? placeId(scene, places[row]) : undefined))}
<p class="small">Each with its places in all solos: ${listed(links)}.</p>`;
}
