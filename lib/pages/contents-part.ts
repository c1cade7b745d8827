// The table of contents: every section, and the parts of each player's.
import { type Html, html, joined } from './html.js';
import type { Scene, ShownPlayer } from './scene.js';

/** The parts of a player's section, by the last part of their ids. */
const PLAYER_PARTS: readonly (readonly [part: string, words: string])[] = [
  ['over', 'over which chord which notes'],
  ['landings', 'where the lines land'],
  ['entries', 'on which beat phrases come in'],
  ['attacks', 'how tones begin and bend'],
  ['scale', 'which scale'],
  ['motifs', 'what keeps coming back'],
  ['kin', 'which phrases come from earlier ones'],
  ['together', 'strings together'],
];

/** What is in the page, as links; `withKin` if it says how phrases are related. */
export function contentsPart(scene: Scene, withKin: boolean): Html {
  const partsOf = ({ player }: ShownPlayer) =>
    PLAYER_PARTS.filter(([part]) => withKin || part !== 'kin').map(
      ([part, words]) => html`<a href="#${scene.ids.of('player', player, part)}">${words}</a>`,
    );
  const solosOf = ({ solos }: ShownPlayer) =>
    solos.map(({ id, name }) => html`<a href="#${scene.ids.of(id)}">${name}</a>`);
  return html`<section id="contents"><h2>Contents</h2>
<dl class="contents">
<dt><a href="#questions">Questions, and where the answers are</a></dt>
<dt><a href="#corpus">The solos</a></dt><dd><a href="#reading">how to read this</a>, <a href="#every-chord">who plays what over which chord</a></dd>
${scene.players.map(
  (
    player,
  ) => html`<dt><a href="#${scene.ids.of('player', player.player)}">${player.name}</a></dt><dd>${joined(partsOf(player), ', ')}</dd>
<dd>Solos: ${joined(solosOf(player), ', ')}</dd>
`,
)}<dt><a href="#definitions">What the words mean</a></dt>
</dl></section>
`;
}
