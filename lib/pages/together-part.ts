// Strings that sound together: bends held under others, and the chord that each pair implies, by what it says and over which chord.
import type { ImpliedChord } from '../analysis/implied-chord.js';
import { lengthInWords } from '../foundation/time.js';
import { placeOfTone, toneName } from '../solo/tone-table.js';
import { type Html, html, joined, type Part, type TableRow, tableHtml } from './html.js';
import type { HeldBend, PlayerFacts } from './player-facts.js';
import { countLink, many, placeLink, type Scene } from './scene.js';

/** The part of a player's section on strings that sound together. */
export function togetherPart(scene: Scene, facts: PlayerFacts): Html {
  const path = ['player', facts.shown.player, 'together'];
  const heading = html`<h3 id="${scene.ids.of(...path)}">Strings together: held bends and double-stops</h3>`;
  if (facts.together.length === 0)
    return html`${heading}<p id="${scene.ids.of(...path, 'held')}">No two strings sound together for a sixteenth or longer.</p>`;
  return html`${heading}
${heldPart(scene, facts, [...path, 'held'])}
${readingsPart(scene, facts, path)}`;
}

/** The id of the bends held over a function, or of all. */
export const heldId = (scene: Scene, player: string, ...function_: readonly string[]): string =>
  scene.ids.of('player', player, 'together', 'held', ...function_);

function heldPart(scene: Scene, { heldBends }: PlayerFacts, path: readonly string[]): Html {
  const heading = html`<h4 id="${scene.ids.of(...path)}">Bends held under other strings: ${heldBends.length}</h4>`;
  if (heldBends.length === 0) return html`${heading}<p>None.</p>`;
  const functions = [...new Set(heldBends.flatMap((bend) => bend.functions))];
  return html`${heading}
${functions.map((name) =>
  heldOver(
    scene,
    name,
    heldBends.filter((b) => b.functions.includes(name)),
    [...path, name],
  ),
)}`;
}

function heldOver(scene: Scene, name: string, bends: readonly HeldBend[], path: readonly string[]): Html {
  const { table } = scene;
  const id = scene.ids.of(...path);
  const solos = new Set(bends.map((bend) => bend.under[0]?.solo)).size;
  const rows = bends.map((bend): TableRow => {
    const own = bend.under.filter((u) => u.function === name);
    const chords = [...new Set(own.map((u) => u.chord))].join(', ');
    const said = [...new Set(own.map((u) => u.said.split('; ')[0] as string))];
    return {
      cells: [
        placeLink(scene, placeOfTone(table, bend.row)),
        html`${toneName(table, bend.row)}, string ${table.columns.string[bend.row]}`,
        chords,
        joined(said, html`<br>`),
      ],
    };
  });
  const caption = html`Held over the ${name}: ${countLink(bends.length, id)} in ${many(solos, 'solo')}`;
  return html`<div id="${id}" class="listed">${tableHtml(caption, [{ head: 'bent at' }, { head: 'held' }, { head: 'over' }, { head: 'sounds with' }], rows)}</div>`;
}

type Verdict = ImpliedChord['verdict'];

/** The verdicts in the order in which they are shown. */
const VERDICT_WORDS: Readonly<Record<Verdict, string>> = {
  agrees: 'agrees: all are tones of the chord',
  passing: 'passing: leads on to tones of the chord',
  against: 'against: says another chord',
  open: 'open: more than one chord, or none rules',
  none: 'none: no triad or seventh holds them',
};

function readingsPart(scene: Scene, { together, shown }: PlayerFacts, path: readonly string[]): Html {
  const functions = [...new Set(together.map((t) => t.function))];
  const verdicts = (Object.keys(VERDICT_WORDS) as Verdict[]).filter((v) => together.some((t) => t.verdict === v));
  const idOf = (verdict: string, ...name: readonly string[]) => scene.ids.of(...path, verdict, ...name);
  const countOf = (verdict: Verdict, name?: string) =>
    together.filter((t) => t.verdict === verdict && (name === undefined || t.function === name)).length;
  const summary = tableHtml(
    `What two strings or more say together: ${many(together.length, 'place')}`,
    [
      { head: 'reading' },
      { head: 'n', figures: true },
      ...functions.map((name) => ({ head: `over ${name}`, figures: true })),
    ],
    verdicts.map((v) => ({
      cells: [
        VERDICT_WORDS[v],
        countLink(countOf(v), idOf(v)),
        ...functions.map((name) => countLink(countOf(v, name), idOf(v, name))),
      ],
    })),
  );
  const lists = verdicts.map(
    (v) =>
      html`<div id="${idOf(v)}" class="reading ${v} listed">${functions
        .filter((name) => countOf(v, name) > 0)
        .map((name) =>
          readingTable(
            scene,
            together.filter((t) => t.verdict === v && t.function === name),
            `${v}, over the ${name}`,
            idOf(v, name),
          ),
        )}</div>`,
  );
  return html`${summary}
<details class="readings"><summary>Every place where strings sound together, and what they say</summary>
${filterOf(scene, shown.player, verdicts, together)}
${lists}</details>`;
}

/** Chooses which readings are shown: with the style of the page alone, no script. */
function filterOf(scene: Scene, player: string, verdicts: readonly Verdict[], together: readonly ImpliedChord[]): Html {
  const name = scene.ids.of('player', player, 'together', 'shown');
  const choices: readonly (readonly [string, string])[] = [
    ['all', 'all'],
    ...verdicts.map((v) => [v, v] as const),
    ...(together.some((t) => t.heldBends.length > 0) ? [['bends', 'held bends'] as const] : []),
  ];
  return html`<fieldset><legend>Show</legend>${choices.map(
    ([value, words], i) =>
      html`<label><input type="radio" name="${name}" value="${value}"${i === 0 ? html` checked` : undefined}> ${words}</label> `,
  )}</fieldset>`;
}

function readingTable(scene: Scene, places: readonly ImpliedChord[], caption: string, id: string): Html {
  const cell = (t: ImpliedChord): readonly Part[] => [placeLink(scene, t), t.chord, t.said, lengthInWords(t.ticks)];
  return html`<div class="wide" id="${id}"><table><caption>${caption}: ${places.length}</caption>
<thead><tr><th scope="col">place</th><th scope="col">over</th><th scope="col">reading</th><th scope="col">for</th></tr></thead>
<tbody>${places.map((t) => {
    const [first, ...rest] = cell(t);
    return html`<tr${t.heldBends.length > 0 ? html` class="bend"` : undefined}><th scope="row">${first}</th>${rest.map((part) => html`<td>${part}</td>`)}</tr>
`;
  })}</tbody></table></div>`;
}
