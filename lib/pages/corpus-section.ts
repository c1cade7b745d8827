// What was studied, at a glance: the questions with their answers, the solos, who plays what over which chord, and how to read it.
import type { IntervalUse } from '../analysis/interval-use.js';
import { inMusicalOrder } from '../charts/interval-finding.js';
import { intervalHeatmap } from '../charts/interval-heatmap.js';
import { mixedKeysNote } from '../charts/mixed-keys.js';
import { feelText } from '../solo/changes.js';
import { DEGREE_NAMES } from '../theory/interval.js';
import { meterText } from '../theory/meter.js';
import { keyText } from '../theory/scale.js';
import { attackAnswer, entryAnswer, heldAnswer, landingAnswer, overAnswer, scaleAnswer } from './answers.js';
import { chartFigure } from './figure.js';
import { keptAnswer, keptId, keptOverV } from './held-bend-part.js';
import { type Html, html, type Part, type TableRow, tableHtml } from './html.js';
import { type Kin, kinAnswer } from './kin-part.js';
import { motifAnswer } from './motif-part.js';
import type { PlayerFacts } from './player-facts.js';
import { countLink, figure, many, type Scene, type ShownSolo } from './scene.js';
import { FEW } from './share-words.js';
import { heldId } from './together-part.js';

/** Questions about chords are asked of so many functions, those with the most tones, and of IV and V where they are. */
const MOST_CHORDS = 5;

/** The questions that a reader comes with, each answered in a line a player, which leads to the tables. */
export function questionsPart(
  scene: Scene,
  facts: readonly PlayerFacts[],
  use: IntervalUse,
  kin: ReadonlyMap<string, Kin>,
): Html {
  const order = inMusicalOrder(use);
  const big = use.groups.filter((g) => g.tones >= FEW);
  const asked = big.filter((g, i) => i < MOST_CHORDS || ['IV', 'V'].includes(g.group[0] as string)).sort(order);
  const id = (f: PlayerFacts, ...part: readonly string[]) => scene.ids.of('player', f.shown.player, ...part);
  const question = (words: string, answer: (f: PlayerFacts) => readonly [Html | undefined, string]): Part => {
    const lines = facts.flatMap((f) => {
      const [said, to] = answer(f);
      return said === undefined ? [] : [html`<li><a href="#${to}">${f.shown.name}</a>: ${said}</li>`];
    });
    return html`<div><h3>${words}</h3><ul>${lines}</ul></div>
`;
  };
  return html`<section id="questions"><h2>Questions, and where the answers are</h2>
<p class="small">In brackets: where the share may well lie if many more solos were played (<a href="#reading">how to read this</a>). Where two brackets overlap, the order of the two is not settled. Before you play along: <a href="#care">playing it without harm</a>.</p>
<div class="ask">
${asked.map(({ group }) => question(`What is played over the ${group[0]}?`, (f) => [overAnswer(f.use, group[0] as string), id(f, 'over', group[0] as string)]))}
${question('Where do they land at the changes?', (f) => [landingAnswer(f), id(f, 'landings')])}
${question('On which beat do they come in?', (f) => [entryAnswer(f), id(f, 'entries')])}
${question('How do they attack and bend?', (f) => [attackAnswer(f), id(f, 'attacks')])}
${question('Which scale?', (f) => [scaleAnswer(f), id(f, 'scale')])}
${question('What keeps coming back?', (f) => [motifAnswer(scene, f), id(f, 'motifs')])}
${kin.size === 0 ? undefined : question('Which phrases come from earlier ones?', (f) => [kinAnswer(scene, f, kin), id(f, 'kin')])}
${question('Which solos hold a bend under other strings, and over which chord?', (f) => [heldAnswer(f), heldId(scene, f.shown.player)])}
${question('What becomes of held bends at the changes?', (f) => [keptAnswer(f), keptId(scene, f.shown.player)])}
${keptOverV(scene, facts)}
</div></section>
`;
}

/** The corpus: how much, which solos, and the heatmap of all. */
export async function corpusSection(scene: Scene, facts: readonly PlayerFacts[], use: IntervalUse): Promise<Html> {
  const everyId = (i: number) => {
    const row = use.rows[i];
    return row && scene.ids.of('every-chord', row.group[0] as string, row.degree);
  };
  const who = facts.length === 1 ? (facts[0]?.shown.name as string) : `${facts.length} players`;
  return html`<section id="corpus"><h2>The solos</h2>
<p>${many(scene.solos.length, 'solo')} by ${many(facts.length, 'player')}: ${figure(use.tones)} tones over chords${use.pickups > 0 ? `, ${many(use.pickups, 'pickup tone')} before the first chord apart` : ''}${use.withoutChord > 0 ? `, ${figure(use.withoutChord)} under no chord` : ''}.</p>
${playersTable(scene, facts)}
${solosTable(scene, facts)}
${howToRead(facts, use)}
<h3 id="every-chord">Who plays what over which chord</h3>
${await chartFigure(intervalHeatmap(use, { who, note: mixedKeysNote(scene.table, use) }), everyId)}
<details class="aside"><summary>The counts of all players side by side</summary>
${everyTable(scene, facts, use)}</details>
</section>
`;
}

function playersTable(scene: Scene, facts: readonly PlayerFacts[]): Html {
  const rows = facts.map(
    ({ shown, attacks, entries }): TableRow => ({
      cells: [
        html`<a href="#${scene.ids.of('player', shown.player)}">${shown.name}</a>`,
        figure(shown.solos.length),
        figure(barsOf(shown.solos)),
        figure(entries.entries.length + entries.silent.length),
        figure(attacks.tones),
      ],
    }),
  );
  return tableHtml(
    'Players',
    ['player', 'solos', 'bars', 'phrases', 'tones'].map((head, i) => ({ head, figures: i > 0 })),
    rows,
  );
}

const barsOf = (solos: readonly ShownSolo[]): number =>
  solos.reduce((sum, { solo }) => sum + solo.changes.bars.length, 0);

function solosTable(scene: Scene, facts: readonly PlayerFacts[]): Html {
  const tones = new Map<string, number>();
  for (const f of facts)
    for (const group of intervalTones(f)) tones.set(group[0], (tones.get(group[0]) ?? 0) + group[1]);
  const rows = facts.flatMap(({ shown }) =>
    shown.solos.map(
      ({ id, name, solo }): TableRow => ({
        cells: [
          html`<a href="#${scene.ids.of(id)}">${name}</a>`,
          shown.name,
          keyText(solo.key),
          meterText(solo.meter),
          solo.tempo,
          feelText(solo.feel),
          figure(solo.changes.bars.length),
          figure(solo.phrases.length),
          figure(tones.get(id) ?? 0),
        ],
      }),
    ),
  );
  const words = ['solo', 'player', 'key', 'meter', 'tempo', 'feel', 'bars', 'phrases', 'tones'];
  return tableHtml(
    'Solos',
    words.map((head) => ({ head, figures: ['tempo', 'bars', 'phrases', 'tones'].includes(head) })),
    rows,
  );
}

/** Tones of each solo, with or without a chord: the attacks count them all. */
function intervalTones({ attacks, shown }: PlayerFacts): readonly (readonly [string, number])[] {
  const [group] = attacks.starts.groups;
  return shown.solos.map(({ id, index }) => [id, group?.bySolo.get(index) ?? 0] as const);
}

function howToRead(facts: readonly PlayerFacts[], use: IntervalUse): Html {
  const few = facts.filter((f) => f.shown.solos.length < 5);
  const thin = use.groups.filter((g) => g.tones < FEW).map((g) => `${g.group[0]} (${g.tones})`);
  return html`<h3 id="reading">How to read this</h3>
<ul>
<li>A count in blue is a link to the list of its places; every place is a link to the tab of its phrase. So these numbers can be recounted by hand. Print leaves out the lists of places and the tab; they are on the screen.</li>
<li>A place is a bar and a count: 25:4&amp; is the and of 4 in bar 25. Bold: on the beat. Bars are numbered as played, repeats written out; bar 0 is the pickup bar.</li>
<li>A tone counts once, over the chord that rules when it starts; its degree is how far it stands above that chord's root. <i>+</i>: a quarter-tone above it.</li>
<li><i>95 %</i> is where the share may well lie for this player's playing, from the solos here, wider the more they differ. With fewer than five solos there are no intervals.</li>
<li>A count of three is not a finding. With fewer than ${FEW} no sentence gives a share. <a href="#definitions">What each word means</a> stands at the end.</li>
${few.length === 0 ? undefined : html`<li>Fewer than five solos: ${few.map((f) => f.shown.name).join(', ')}.</li>`}
${thin.length === 0 ? undefined : html`<li>Chords with fewer than ${FEW} tones by all players together: ${thin.join(', ')}.</li>`}
</ul>`;
}

/** Function and degree, a column for each player: the counts lead to the player's lists. */
function everyTable(scene: Scene, facts: readonly PlayerFacts[], use: IntervalUse): Html {
  const rows = [...use.groups].sort(inMusicalOrder(use)).flatMap(({ group }) => {
    const name = group[0] as string;
    return DEGREE_NAMES.filter((degree) => use.rows.some((r) => r.group[0] === name && r.degree === degree)).map(
      (degree): TableRow => {
        const total = use.rows.find((r) => r.group[0] === name && r.degree === degree)?.tones ?? 0;
        const counts = facts.map((f) => {
          const own = f.use.rows.find((r) => r.group[0] === name && r.degree === degree);
          return own ? countLink(own.tones, scene.ids.of('player', f.shown.player, 'over', name, degree)) : '';
        });
        return {
          id: scene.ids.of('every-chord', name, degree),
          cells: [`${degree} over ${name}`, ...counts, figure(total)],
        };
      },
    );
  });
  const columns = [
    { head: 'degree' },
    ...facts.map((f) => ({ head: f.shown.name, figures: true })),
    { head: 'all', figures: true },
  ];
  return tableHtml('Tones by degree over each function, by player', columns, rows);
}
