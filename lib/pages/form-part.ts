// The form of a solo: its chords bar by bar, by section, with the phrases that come in there.
import { type ChordEntry, feelText, type Setting } from '../solo/changes.js';
import { gridOf } from '../solo/solo.js';
import { countText, meterText } from '../theory/meter.js';
import { keyText } from '../theory/scale.js';
import { type Html, html, joined, type Part } from './html.js';
import { barId, type Scene, type ShownSolo } from './scene.js';

/** The chords of a solo as bars, four in a row, section by section; each bar has its id and leads to the phrases that come in there. */
export function formPart(scene: Scene, shown: ShownSolo): Html {
  const { solo } = shown;
  const { firstBar, bars, sections, strums } = solo.changes;
  const grid = gridOf(solo);
  const phrases = new Map<number, readonly Html[]>();
  for (const phrase of solo.phrases) {
    const { number } = grid.place(phrase.at).bar;
    phrases.set(number, [
      ...(phrases.get(number) ?? []),
      html`<a href="#${scene.ids.of(shown.id, phrase.id)}">phrase ${phrase.id}</a>`,
    ]);
  }
  const numbers = bars.map((_, i) => firstBar + i);
  const outside = [...phrases.keys()].filter((n) => !numbers.includes(n as never)).sort((a, b) => a - b);
  const blocks: Html[] = [];
  let open: Html[] = [];
  const close = (): void => {
    if (open.length > 0) blocks.push(html`<div class="bars">${open}</div>`);
    open = [];
  };
  const cell = (number: number, chords: Part): Html => {
    const note = settingText(solo.changes.settings.find((s) => s.bar === number));
    return html`<div id="${barId(scene, shown.id, number)}"><i>${number}${note}</i>${chords} ${joined(phrases.get(number) ?? [], ' ')}</div>`;
  };
  for (const number of outside) if (number < firstBar) open.push(cell(number, undefined));
  close();
  bars.forEach((bar, i) => {
    const number = firstBar + i;
    const section = sections.find((s) => s.from === number);
    if (section || sections.some((s) => s.to === number - 1)) close();
    if (section) blocks.push(html`<h4>${section.name}, bars ${section.from} to ${section.to}</h4>`);
    const { meter } = grid.bar(number);
    const isSame = i > 0 && sameBar(bar, bars[i - 1] ?? []) && !section;
    open.push(
      cell(
        number,
        isSame
          ? html`<b>%</b>`
          : bar.map(
              (entry) =>
                html`<b>${entry.symbol}${entry.at === 0 ? undefined : html`<sub>on ${countText(entry.at, meter)}</sub>`}</b>`,
            ),
      ),
    );
  });
  for (const number of outside) if (number >= firstBar) open.push(cell(number, undefined));
  close();
  const said = strums.map((s) => html`<p class="small">Strum from bar ${s.bar}: ${s.pattern}</p>`);
  return html`${blocks}${said}`;
}

const sameBar = (a: readonly ChordEntry[], b: readonly ChordEntry[]): boolean =>
  a.length === b.length && a.every((entry, i) => entry.at === b[i]?.at && entry.symbol === b[i]?.symbol);

/** What changes at a bar: `, 3/4, E minor`. */
function settingText(setting: Setting | undefined): string {
  if (!setting) return '';
  const { meter, key, tempo, feel } = setting;
  return [
    meter && meterText(meter),
    key && keyText(key),
    tempo !== undefined && `tempo ${tempo}`,
    feel && feelText(feel),
  ]
    .filter(Boolean)
    .map((word) => `, ${word}`)
    .join('');
}
