// What of a solo a score in MusicXML does not hold, said for each solo.

import { feelText, type Setting } from '../solo/changes.js';
import type { Solo } from '../solo/solo.js';
import { isNoChord } from '../theory/chord.js';
import { meterText } from '../theory/meter.js';
import { C_MAJOR, keyText } from '../theory/scale.js';
import { eventsOf } from './musicxml-cells.js';
import { readHarmony, writeHarmony } from './musicxml-harmony.js';
import { xmlText } from './musicxml-tags.js';
import type { XmlNode } from './musicxml-xml.js';

/** One kind of thing that is not in the score, or not as it was. */
export interface ScoreLoss {
  readonly code: 'text' | 'chord' | 'setting' | 'head' | 'pitch';
  readonly message: string;
  readonly detail: string;
}

/** The highest key that the standard's octaves reach (G9, the last of MIDI). */
const HIGHEST = 127;

/** What a score of a solo that ends with bar `lastBar` does not hold. */
export function lostInMusicXml(solo: Solo, lastBar: number): readonly ScoreLoss[] {
  const lost: ScoreLoss[] = [];
  const add = (code: ScoreLoss['code'], message: string, detail: string): void => {
    if (!lost.some((l) => l.code === code && l.detail === detail)) lost.push({ code, message, detail });
  };
  for (const text of textsOf(solo))
    if (carriedText(text) !== text) add('text', 'characters that XML forbids are left out', text.slice(0, 40));
  for (const bar of solo.changes.bars)
    for (const { symbol } of bar) {
      const back = carriedSymbol(symbol);
      if (back !== symbol) add('chord', `the chord is read back as ${back}`, symbol);
    }
  for (const s of solo.changes.settings) {
    if (s.bar > lastBar) add('setting', 'a setting behind the last bar is left out', `bar ${s.bar}`);
    if (s.bar === 0) add('head', 'what a setting in bar 0 replaces is left out of the head', 'bar 0');
  }
  for (const s of idleSettings(solo)) add('setting', 'a setting that changes nothing is left out', `bar ${s.bar}`);
  for (const event of eventsOf(solo))
    for (const w of [...event.notes, ...event.graces.flat()])
      if (w.key > HIGHEST)
        add(
          'pitch',
          'a note above G9, the highest that can be written',
          `fret ${w.note.fret} of string ${w.note.string}`,
        );
  return lost;
}

const textsOf = (solo: Solo): readonly string[] => [
  solo.title,
  solo.player,
  solo.tone,
  ...solo.remarks,
  ...solo.changes.sections.map((s) => s.name),
  ...solo.changes.strums.map((s) => s.pattern),
  ...solo.phrases.flatMap((p) => [p.name, ...p.remarks.map((r) => r.text)]),
];

const BACK: Readonly<Record<string, string>> = {
  '&amp;': '&',
  '&lt;': '<',
  '&gt;': '>',
  '&quot;': '"',
  '&#39;': "'",
  '&#13;': '\r',
};

/** A text as it is read back. */
export const carriedText = (text: string): string =>
  xmlText(text).replace(/&(?:amp|lt|gt|quot|#39|#13);/g, (e) => BACK[e] as string);

/** A chord symbol as it is read back. */
export function carriedSymbol(symbol: string): string {
  if (isNoChord(symbol)) return 'N.C.';
  const written = writeHarmony(symbol);
  if (!written) return 'N.C.';
  const { root, kind, text, degrees, bass } = written;
  const node = (name: string, inside: string | readonly XmlNode[], attributes = {}): XmlNode => ({
    name,
    attributes,
    children: typeof inside === 'string' ? [] : inside,
    text: typeof inside === 'string' ? inside : '',
    line: 1,
    column: 1,
  });
  const named = (what: string, name: string): XmlNode =>
    node(what, [
      node(`${what}-step`, name[0] as string),
      node(`${what}-alter`, String(name[1] === 'b' ? 1 - name.length : name.length - 1)),
    ]);
  const harmony = node('harmony', [
    named('root', root),
    node('kind', kind, { text }),
    ...(bass ? [named('bass', bass)] : []),
    ...degrees.map((d) =>
      node('degree', [
        node('degree-value', String(d.value)),
        node('degree-alter', String(d.alter)),
        node('degree-type', d.type),
      ]),
    ),
  ]);
  return readHarmony(harmony, C_MAJOR, { letters: 0, semitones: 0 }).symbol ?? '';
}

/** Settings that repeat what holds already. */
function idleSettings(solo: Solo): readonly Setting[] {
  let { key, meter, tempo, feel } = solo;
  return solo.changes.settings.filter((s) => {
    const idle =
      (s.key !== undefined && keyText(s.key) === keyText(key)) ||
      (s.meter !== undefined && meterText(s.meter) === meterText(meter)) ||
      (s.tempo !== undefined && s.tempo === tempo) ||
      (s.feel !== undefined && feelText(s.feel) === feelText(feel));
    key = s.key ?? key;
    meter = s.meter ?? meter;
    tempo = s.tempo ?? tempo;
    feel = s.feel ?? feel;
    return idle;
  });
}
