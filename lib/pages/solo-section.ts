// The section of a solo: its head, its form, its pictures, and every phrase as tab, which is what all places lead to.
import { type NeckUse, neckUse } from '../analysis/neck-use.js';
import type { PhraseSentence } from '../analysis/phrase-sentence.js';
import { fretboardMap } from '../charts/fretboard-map.js';
import { soloLine } from '../charts/solo-line.js';
import { tabText } from '../engraving/tab-text.js';
import type { Ticks } from '../foundation/units.js';
import { type BarGrid, countAt, feelText } from '../solo/changes.js';
import { gridOf, type Phrase, type Solo } from '../solo/solo.js';
import { meterText, tempoInWords } from '../theory/meter.js';
import { noteOfKey } from '../theory/pitch.js';
import { keyText } from '../theory/scale.js';
import { chartFigure } from './figure.js';
import { formPart } from './form-part.js';
import { type Html, html, type Part } from './html.js';
import { type Kin, kinPart } from './kin-part.js';
import { motifsInSolo } from './motif-part.js';
import type { PlayerFacts } from './player-facts.js';
import { many, type PlaceList, placeLists, placesOfTones, type Scene, type ShownSolo, TAB_WIDTH } from './scene.js';

/** The section of one solo, with its pictures if they are asked for; `sentences` are those of its phrases, by their ids, `kin` how they are related. */
export async function soloSection(
  scene: Scene,
  shown: ShownSolo,
  sentences: ReadonlyMap<string, PhraseSentence>,
  facts: PlayerFacts,
  kin: Kin | undefined,
  withPictures: boolean,
): Promise<Html> {
  const { solo } = shown;
  return html`<section id="${scene.ids.of(shown.id)}">
<h2>${shown.name}</h2>
<p>${headOf(solo)}</p>
${solo.remarks.map((remark) => html`<p class="soft"><i>${remark}</i></p>`)}
${shown.proposed ? html`<p><b>Proposed, not the player's own:</b> ${shown.proposed.join('; ')}.</p>` : undefined}
${solo.changes.bars.length === 0 ? html`<p>No changes are written.</p>` : formPart(scene, shown)}
${withPictures && solo.phrases.length > 0 ? await picturesOf(scene, shown) : undefined}
${withPictures ? await motifsInSolo(scene, shown, facts) : undefined}
${kin ? await kinPart(scene, shown, kin) : undefined}
${
  solo.phrases.length > 0
    ? html`<h3 id="${scene.ids.of(shown.id, 'phrases', 'tab')}">The phrases</h3>
<p class="small"><a href="#tab-signs">What the signs of the tab mean</a></p>`
    : undefined
}
${solo.phrases.map((phrase) => phrasePart(scene, shown, phrase, sentences.get(phrase.id)))}
</section>
`;
}

function headOf(solo: Solo): string {
  const strings = solo.guitar.tuning.map((key) => noteOfKey(key).replace(/-?\d+$/, ''));
  const tuning = strings.join(' ');
  return [
    solo.player || 'no player named',
    keyText(solo.key),
    meterText(solo.meter),
    tempoInWords(solo.tempo, solo.meter),
    feelText(solo.feel),
    ...(tuning === 'E A D G B E' ? [] : [`tuned ${tuning}`]),
    ...(solo.guitar.capo > 0 ? [`capo ${solo.guitar.capo}, frets counted from it`] : []),
    ...(solo.tone ? [solo.tone] : []),
  ].join('; ');
}

async function picturesOf(scene: Scene, shown: ShownSolo): Promise<Html> {
  const neck = neckUse(scene.table, { where: { solo: shown.id } });
  return html`${await chartFigure(soloLine(shown.solo))}
${neck.tones === 0 ? undefined : await neckPart(scene, shown, neck)}`;
}

async function neckPart(scene: Scene, shown: ShownSolo, neck: NeckUse): Promise<Html> {
  const spots = new Map<string, number[]>();
  neck.rows.forEach((row, i) => {
    const spot = `${row.string} ${row.fret}`;
    spots.set(spot, [...(spots.get(spot) ?? []), ...neck.toneRows(i)]);
  });
  const idOf = (string: number, fret: number) => scene.ids.of(shown.id, 'neck', String(string), String(fret));
  const lists = [...spots].map(([spot, rows]): PlaceList => {
    const [string, fret] = spot.split(' ').map(Number) as [number, number];
    const title = `string ${string}, ${fret === 0 ? 'open' : `fret ${fret}`}: ${rows.length}`;
    return {
      id: idOf(string, fret),
      title,
      places: placesOfTones(
        scene.table,
        rows.sort((a, b) => a - b),
      ),
    };
  });
  const chart = await chartFigure(fretboardMap(scene.table, neck, { who: shown.name }), (i) => {
    const row = neck.rows[i];
    return row && idOf(row.string, row.fret);
  });
  return html`${chart}
${placeLists(scene, 'Places: by string and fret', lists, true)}`;
}

function phrasePart(scene: Scene, shown: ShownSolo, phrase: Phrase, sentence: PhraseSentence | undefined): Html {
  // Remarks stand under the tab as words: a long one would make the tab small in print.
  const bare: Solo = {
    ...shown.solo,
    phrases: shown.solo.phrases.map((p) => (p === phrase ? { ...p, remarks: [] } : p)),
  };
  const [title, ...lines] = tabText(bare, { phrase: phrase.id, width: TAB_WIDTH }).trimEnd().split('\n') as [
    string,
    ...string[],
  ];
  const grid = gridOf(shown.solo);
  const remarks = phrase.remarks.map(
    (r) => html`<p class="small">${r.at === undefined ? '' : `${placeText(grid, r.at)}: `}<i>${r.text}</i></p>`,
  );
  const widest = Math.max(TAB_WIDTH, ...lines.map((line) => line.length));
  const wide: Part = widest > TAB_WIDTH ? html` style="--n:${widest}"` : undefined;
  const heard = phrase.heard === undefined ? '' : `, heard at ${clock(phrase.heard)}`;
  return html`<div class="phrase" id="${scene.ids.of(shown.id, phrase.id)}"><h4>${capital(title)}${heard}</h4>
<p>${sentence?.said ?? `${many(phrase.notes.length, 'note')}, none of which sounds a pitch.`}</p>
<pre tabindex="0"${wide}>${lines.join('\n')}</pre>${remarks}</div>
`;
}

const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);

function placeText(grid: BarGrid, at: Ticks): string {
  const place = grid.place(at);
  return `bar ${place.bar.number}:${countAt(place)}`;
}

/** Seconds as a clock shows them: `1:05`. */
const clock = (seconds: number): string =>
  `${Math.floor(seconds / 60)}:${String(Math.floor(seconds % 60)).padStart(2, '0')}`;
