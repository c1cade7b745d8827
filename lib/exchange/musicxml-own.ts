// What this project writes into miscellaneous fields of a score, where the standard has no element: read, and joined with what the standard says.
import { barNumber } from '../foundation/units.js';
import { type Feel, type Opening, parseFeel, type Setting } from '../solo/changes.js';
import { type Key, parseKey } from '../theory/scale.js';
import type { OwnFields } from './musicxml-changes.js';
import { numberIn } from './musicxml-xml.js';

/** Fields of this project in identification/miscellaneous: what the standard has no element for. */
export const FIELDS = {
  tone: 'phrasewright-tone',
  remark: 'phrasewright-remark',
  frets: 'phrasewright-frets',
  section: 'phrasewright-section',
  strum: 'phrasewright-strum',
  key: 'phrasewright-key',
  feel: 'phrasewright-feel',
  changes: 'phrasewright-changes',
} as const;

/** Names and texts of the miscellaneous fields of a score. */
export type Fields = readonly (readonly [string, string])[];

const barsIn = (text: string | undefined): number | undefined => {
  const n = numberIn(text);
  return n !== undefined && Number.isInteger(n) && n >= 0 && n <= 9999 ? n : undefined;
};

/** Sections, strums and the span of the changes. */
export function ownFields(fields: Fields): OwnFields {
  const sections = fields.flatMap(([name, text]) => {
    const match = name === FIELDS.section ? /^(\d+)-(\d+) ([\s\S]*)$/.exec(text) : null;
    const from = barsIn(match?.[1]);
    const to = barsIn(match?.[2]);
    return from === undefined || to === undefined || to < from
      ? []
      : [{ name: match?.[3] ?? '', from: barNumber(from), to: barNumber(to) }];
  });
  const strums = fields.flatMap(([name, text]) => {
    const match = name === FIELDS.strum ? /^(\d+) ([\s\S]*)$/.exec(text) : null;
    const bar = barsIn(match?.[1]);
    return bar === undefined ? [] : [{ bar: barNumber(bar), pattern: match?.[2] ?? '' }];
  });
  const span = /^(\d+)-(\d+)$/.exec(fields.find(([name]) => name === FIELDS.changes)?.[1] ?? '');
  const first = barsIn(span?.[1]);
  const last = barsIn(span?.[2]);
  return { sections, strums, ...(first !== undefined && last !== undefined && { span: { first, last } }) };
}

/** Keys and feels that the standard has no word for, where what it has still agrees: the same tonic and scale, or any feel. */
export function withOwn(opening: Opening, settings: readonly Setting[], fields: Fields): [Opening, readonly Setting[]] {
  const keys = new Map<number, Key>();
  const feels = new Map<number, Feel>();
  for (const [name, text] of fields) {
    const match = /^(-1|\d+) (.*)$/.exec(text);
    const bar = match?.[1] === '-1' ? -1 : barsIn(match?.[1]);
    if (!match || bar === undefined) continue;
    const key = name === FIELDS.key ? parseKey(match[2] as string) : undefined;
    if (key && 'names' in key) keys.set(bar, key);
    const feel = name === FIELDS.feel ? parseFeel(match[2] as string) : undefined;
    if (feel) feels.set(bar, feel);
  }
  const key = keys.get(-1);
  const feel = feels.get(-1);
  const start = {
    ...opening,
    ...(key && key.tonic === opening.key.tonic && { key }),
    ...(feel && { feel }),
  };
  const bars = new Map(settings.map((s) => [s.bar as number, s]));
  for (const [bar, own] of keys) {
    const there = bars.get(bar);
    if (bar >= 0 && (!there?.key || there.key.tonic === own.tonic))
      bars.set(bar, { ...(there ?? { bar: barNumber(bar) }), key: own });
  }
  for (const [bar, own] of feels)
    if (bar >= 0) bars.set(bar, { ...(bars.get(bar) ?? { bar: barNumber(bar) }), feel: own });
  return [start, [...bars.values()].sort((a, b) => a.bar - b.bar)];
}

/** Settings with the tempos and feels of others. */
export function mergedTempos(settings: readonly Setting[], from: readonly Setting[]): readonly Setting[] {
  const bars = new Map(settings.map((s) => [s.bar as number, s]));
  for (const { bar, tempo, feel } of from)
    if (tempo !== undefined || feel)
      bars.set(bar, { ...(bars.get(bar) ?? { bar }), ...(tempo !== undefined && { tempo }), ...(feel && { feel }) });
  return [...bars.values()].sort((a, b) => a.bar - b.bar);
}

/** The last fret of the neck, if a field says one that there can be. */
export function fretsIn(fields: Fields): number | undefined {
  const frets = barsIn(fields.find(([name]) => name === FIELDS.frets)?.[1]);
  return frets !== undefined && frets >= 12 && frets <= 36 ? frets : undefined;
}
