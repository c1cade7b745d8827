// Solo -> plain JSON. The form is published, with units and ranges, as data/solo.schema.json.
import { QUARTER } from '../foundation/time.js';
import { tuningText } from '../guitar/fretboard.js';
import type { NoteStart } from '../guitar/technique.js';
import { type Changes, feelText } from '../solo/changes.js';
import type { Note, Phrase, Solo } from '../solo/solo.js';
import { meterText } from '../theory/meter.js';
import { keyText } from '../theory/scale.js';

/** What `format` says. */
export const SOLO_FORMAT = 'phrasewright solo';
/** The version that is written, and the newest that is read. */
export const SOLO_FORMAT_VERSION = 1;

/** A level of a bend: cents above the fretted pitch, `null` for as held; its time in ticks where it is written. */
export interface LevelJson {
  readonly cents: number | null;
  readonly ticks?: number;
}

/** A note: at a fret, or of a kind that has none. What is left out is 0, `false`, empty, and `picked` for the start. */
export interface NoteJson {
  readonly onset: number;
  readonly length: number;
  readonly grace?: number;
  readonly string: number;
  readonly fret?: number;
  readonly kind?: 'dead' | 'on';
  readonly start?: NoteStart;
  readonly bend?: readonly LevelJson[];
  readonly ring?: boolean;
  readonly vibrato?: boolean;
  readonly accent?: boolean;
  readonly harmonic?: boolean;
  readonly slideAway?: boolean;
  readonly marks?: readonly string[];
}

/** A phrase; times are in ticks from the start of bar 0. */
export interface PhraseJson {
  readonly id: string;
  readonly name?: string;
  readonly at: number;
  readonly length: number;
  readonly heardSeconds?: number;
  readonly remarks?: readonly { readonly text: string; readonly at?: number }[];
  readonly damps?: readonly number[];
  readonly notes: readonly NoteJson[];
}

/** What holds from a bar on. */
export interface SettingJson {
  readonly bar: number;
  readonly meter?: string;
  readonly key?: string;
  readonly tempo?: number;
  readonly feel?: string;
}

/** The changes; `at` of a chord is in ticks from the start of its bar. */
export interface ChangesJson {
  readonly firstBar?: number;
  readonly bars?: readonly (readonly { readonly at?: number; readonly symbol: string }[])[];
  readonly settings?: readonly SettingJson[];
  readonly sections?: readonly { readonly name: string; readonly from: number; readonly to: number }[];
  readonly strums?: readonly { readonly bar: number; readonly pattern: string }[];
}

/** A solo as plain data, as data/solo.schema.json describes it. All times are in ticks, 20160 to a quarter note. */
export interface SoloJson {
  readonly format: typeof SOLO_FORMAT;
  readonly version: typeof SOLO_FORMAT_VERSION;
  readonly ticksPerQuarter: number;
  readonly title: string;
  readonly player: string;
  readonly key: string;
  readonly meter: string;
  /** Quarter notes a minute. */
  readonly tempo: number;
  readonly feel?: string;
  /** Note names of the open strings without the capo, low to high. */
  readonly tuning?: readonly string[];
  readonly capo?: number;
  readonly frets?: number;
  readonly tone?: string;
  readonly remarks?: readonly string[];
  readonly changes?: ChangesJson;
  readonly phrases: readonly PhraseJson[];
}

/**
 * A solo as plain data that JSON can hold. Times stay in ticks (20160 to a quarter note), bends in cents; keys, meters, chords and feels become
 * their texts. Fields of notes and phrases that have their default value are left out.
 * @example
 * const start = '{ "format": "phrasewright solo", "version": 1, "ticksPerQuarter": 20160, "title": "Low Tide", "player": "Ada Fenwick"'
 * const notes = '[{ "onset": 80640, "length": 20160, "string": 3, "fret": 9 }]'
 * const solo = readSoloJson(`${start}, "key": "Am", "meter": "4/4", "tempo": 96, "phrases": [{ "id": "1", "at": 80640, "length": 20160, "notes": ${notes} }] }`).value
 * soloToJson(solo).key // => 'A minor'
 * soloToJson(solo).phrases[0].notes // => [{ onset: 80640, length: 20160, string: 3, fret: 9 }]
 */
export function soloToJson(solo: Solo): SoloJson {
  const { guitar } = solo;
  const changes = changesJson(solo.changes);
  return {
    format: SOLO_FORMAT,
    version: SOLO_FORMAT_VERSION,
    ticksPerQuarter: QUARTER,
    title: solo.title,
    player: solo.player,
    key: keyText(solo.key),
    meter: meterText(solo.meter),
    tempo: solo.tempo,
    feel: feelText(solo.feel),
    tuning: tuningText(guitar.tuning).split(' '),
    capo: guitar.capo,
    frets: guitar.frets,
    ...(solo.tone !== '' && { tone: solo.tone }),
    ...(solo.remarks.length > 0 && { remarks: solo.remarks }),
    ...(Object.keys(changes).length > 0 && { changes }),
    phrases: solo.phrases.map(phraseJson),
  };
}

function changesJson({ firstBar, bars, settings, sections, strums }: Changes): ChangesJson {
  const settingTexts = settings.map(
    ({ bar, meter, key, tempo, feel }): SettingJson => ({
      bar,
      ...(meter && { meter: meterText(meter) }),
      ...(key && { key: keyText(key) }),
      ...(tempo !== undefined && { tempo }),
      ...(feel && { feel: feelText(feel) }),
    }),
  );
  return {
    ...((bars.length > 0 || firstBar !== 1) && { firstBar }),
    ...(bars.length > 0 && {
      bars: bars.map((bar) => bar.map(({ at, symbol }) => (at === 0 ? { symbol } : { at, symbol }))),
    }),
    ...(settings.length > 0 && { settings: settingTexts }),
    ...(sections.length > 0 && { sections: sections.map(({ name, from, to }) => ({ name, from, to })) }),
    ...(strums.length > 0 && { strums: strums.map(({ bar, pattern }) => ({ bar, pattern })) }),
  };
}

function phraseJson({ id, name, at, length, notes, damps, remarks, heard }: Phrase): PhraseJson {
  return {
    id,
    ...(name !== '' && { name }),
    at,
    length,
    ...(heard !== undefined && { heardSeconds: heard }),
    ...(remarks.length > 0 && {
      remarks: remarks.map((r) => (r.at === undefined ? { text: r.text } : { text: r.text, at: r.at })),
    }),
    ...(damps.length > 0 && { damps }),
    notes: notes.map(noteJson),
  };
}

function noteJson(note: Note): NoteJson {
  return {
    onset: note.onset,
    length: note.length,
    ...(note.grace > 0 && { grace: note.grace }),
    string: note.string,
    ...(note.kind === 'fretted' ? { fret: note.fret } : { kind: note.kind }),
    ...(note.kind !== 'on' && note.start !== 'picked' && { start: note.start }),
    ...(note.path.length > 0 && {
      bend: note.path.map((p) => (p.time === undefined ? { cents: p.level } : { cents: p.level, ticks: p.time })),
    }),
    ...(note.ring && { ring: true }),
    ...(note.vibrato && { vibrato: true }),
    ...(note.accent && { accent: true }),
    ...(note.harmonic && { harmonic: true }),
    ...(note.slideAway && { slideAway: true }),
    ...(note.marks.length > 0 && { marks: note.marks }),
  };
}

/**
 * The JSON text of a solo, one note to a line. Reading it back with `readSoloJson` gives the same solo.
 * @example
 * const start = '{ "format": "phrasewright solo", "version": 1, "ticksPerQuarter": 20160, "title": "Low Tide", "player": "Ada Fenwick"'
 * const solo = readSoloJson(`${start}, "key": "Am", "meter": "4/4", "tempo": 96, "phrases": [] }`).value
 * printSoloJson(solo).split('\n').slice(0, 3) // => ['{', '  "format": "phrasewright solo",', '  "version": 1,']
 */
export const printSoloJson = (solo: Solo): string => `${laidOut(soloToJson(solo), '', 0)}\n`;

const WIDEST = 120;

/** JSON in which a list or object stands on one line if it fits behind the `used` characters that stand there, else each entry on its own. */
function laidOut(value: unknown, indent: string, used: number): string {
  const flat = oneLine(value, WIDEST - used);
  if (flat !== undefined) return flat;
  if (typeof value !== 'object' || value === null) return JSON.stringify(value);
  const inner = `${indent}  `;
  const parts = Array.isArray(value)
    ? value.map((entry: unknown) => inner + laidOut(entry, inner, inner.length + 1))
    : Object.entries(value).map(([name, field]) => {
        const head = `${inner}${JSON.stringify(name)}: `;
        return head + laidOut(field, inner, head.length + 1);
      });
  const [open, close] = Array.isArray(value) ? '[]' : '{}';
  return `${open}\n${parts.join(',\n')}\n${indent}${close}`;
}

/** A value on one line, or `undefined` as soon as it is longer than the room. */
function oneLine(value: unknown, room: number): string | undefined {
  if (typeof value !== 'object' || value === null) {
    const text = JSON.stringify(value);
    return text.length <= room ? text : undefined;
  }
  const isList = Array.isArray(value);
  let text = '';
  for (const [name, field] of Object.entries(value)) {
    const head = (text === '' ? '' : ', ') + (isList ? '' : `${JSON.stringify(name)}: `);
    const flat = oneLine(field, room - text.length - head.length - 2);
    if (flat === undefined) return undefined;
    text += head + flat;
  }
  if (isList) return `[${text}]`;
  return text === '' ? '{}' : `{ ${text} }`;
}
