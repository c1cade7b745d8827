// Elements as text: the only place where MusicXML is put together from names and texts.
import { escapeMarkup } from '../foundation/escape.js';
import type { MidiKey } from '../foundation/units.js';
import { noteOfKey, type PitchName } from '../theory/pitch.js';

/** A text as XML can hold it: what XML forbids is taken out, halves of surrogate pairs are replaced, line ends kept. */
export function xmlText(text: string): string {
  const whole = text.replace(/[\ud800-\udbff](?![\udc00-\udfff])|(?<![\ud800-\udbff])[\udc00-\udfff]/g, '\ufffd');
  return escapeMarkup(whole).replace(/\r/g, '&#13;');
}

const attributeText = (text: string): string => xmlText(text).replace(/[\n\t]/g, (c) => `&#${c.charCodeAt(0)};`);

/** Attributes of an element; those that are `undefined` are left out. */
export type Attributes = Readonly<Record<string, string | number | undefined>>;

const openTag = (name: string, attributes: Attributes): string =>
  name +
  Object.entries(attributes)
    .map(([key, value]) => (value === undefined ? '' : ` ${key}="${attributeText(String(value))}"`))
    .join('');

/** An element with a text inside. */
export const leaf = (name: string, text: string | number, attributes: Attributes = {}): string =>
  `<${openTag(name, attributes)}>${xmlText(String(text))}</${name}>`;

/** An element with nothing inside. */
export const empty = (name: string, attributes: Attributes = {}): string => `<${openTag(name, attributes)}/>`;

/** An element with others inside; `''` if there are none. */
export const wrap = (name: string, inside: readonly string[], attributes: Attributes = {}): string =>
  inside.every((i) => i === '') ? '' : `<${openTag(name, attributes)}>${inside.join('')}</${name}>`;

/** A number as XML Schema's decimal writes it: without an exponent. */
export function decimal(n: number): string {
  const text = String(n);
  return /e/.test(text) ? n.toFixed(12).replace(/\.?0+$/, '') : text;
}

/** Step, alteration and octave of a key under names with a prefix (`tuning-`), the alteration only where there is one. */
export function pitchTags(key: MidiKey, name: PitchName | undefined, prefix = ''): readonly string[] {
  const match = /^([A-G])(b*|#*)(-?\d+)$/.exec(noteOfKey(key, name)) as RegExpExecArray;
  const signs = match[2] as string;
  const alter = signs.startsWith('b') ? -signs.length : signs.length;
  return [
    leaf(`${prefix}step`, match[1] as string),
    alter === 0 ? '' : leaf(`${prefix}alter`, alter),
    leaf(`${prefix}octave`, match[3] as string),
  ];
}
