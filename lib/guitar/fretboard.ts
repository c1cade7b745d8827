// Where pitches lie: strings, tunings, frets, the capo, and the geometry of the neck.
import {
  type Cents,
  cents,
  type Fret,
  fret,
  type MidiKey,
  midiKey,
  type StringNumber,
  stringNumber,
} from '../foundation/units.js';
import { keyOfNote, noteOfKey } from '../theory/pitch.js';
import { harmonicAbove } from './technique.js';

/** A guitar as it stands: open strings from low to high as they are written, capo, and number of frets. */
export interface Guitar {
  /** Sounding keys of the open strings without the capo, lowest-written first; 4 to 8 of them. */
  readonly tuning: readonly MidiKey[];
  /** The fret the capo sits at, 0 for none; it moves fret 0. */
  readonly capo: number;
  /** The last fret of the neck, counted from the nut. */
  readonly frets: number;
}

/** A place on the neck. Frets count from the capo. */
export interface Position {
  readonly string: StringNumber;
  readonly fret: Fret;
}

/** E A D G B E, low to high. */
export const STANDARD_TUNING: readonly MidiKey[] = [40, 45, 50, 55, 59, 64].map(midiKey);

/** A six-string guitar in standard tuning, no capo, 24 frets. */
export const STANDARD_GUITAR: Guitar = { tuning: STANDARD_TUNING, capo: 0, frets: 24 };

/** The sounding key of an open string (at the capo), or `undefined` for a string that is not there. String 1 is the last of the tuning. */
export function openKey(guitar: Guitar, string: StringNumber): MidiKey | undefined {
  const open = guitar.tuning[guitar.tuning.length - string];
  return open === undefined ? undefined : midiKey(open + guitar.capo);
}

/**
 * The sounding pitch at a string and fret, or `undefined` off the neck.
 * @example
 * pitchAt(STANDARD_GUITAR, stringNumber(3), fret(5)) // => 60
 */
export function pitchAt(guitar: Guitar, string: StringNumber, at: Fret): MidiKey | undefined {
  const open = openKey(guitar, string);
  if (open === undefined || at < 0 || !Number.isInteger(at) || at + guitar.capo > guitar.frets) return undefined;
  return midiKey(open + at);
}

/** The sounding pitch of a natural harmonic touched at a fret, or `undefined` where none speaks. */
export function harmonicPitch(guitar: Guitar, string: StringNumber, at: Fret): MidiKey | undefined {
  const open = openKey(guitar, string);
  const above = harmonicAbove(at);
  return open === undefined || above === undefined ? undefined : midiKey(open + above);
}

/**
 * Every place on the neck that sounds a key, from string 1 down.
 * @example
 * positionsOf(STANDARD_GUITAR, midiKey(64)).map((p) => `${p.fret}@${p.string}`) // => ['0@1', '5@2', '9@3', '14@4', '19@5', '24@6']
 */
export function positionsOf(guitar: Guitar, key: MidiKey): readonly Position[] {
  const places: Position[] = [];
  for (let s = 1; s <= guitar.tuning.length; s++) {
    const at = key - (openKey(guitar, stringNumber(s)) as number);
    if (at >= 0 && at + guitar.capo <= guitar.frets) places.push({ string: stringNumber(s), fret: fret(at) });
  }
  return places;
}

/**
 * Reads a tuning, low to high: `E2 A2 D3 G3 B3 E4`; four to eight strings. `undefined` if it is none.
 * @example
 * parseTuning('D2 A2 D3 G3 B3 E4') // => [38, 45, 50, 55, 59, 64]
 */
export function parseTuning(text: string): readonly MidiKey[] | undefined {
  const keys = text.trim().split(/\s+/).map(keyOfNote);
  if (keys.length < 4 || keys.length > 8) return undefined;
  return keys.every((k) => k !== undefined) ? keys : undefined;
}

/** The text of a tuning, spelled with flats. */
export const tuningText = (tuning: readonly MidiKey[]): string => tuning.map((key) => noteOfKey(key)).join(' ');

/**
 * What the open strings are called, string 1 first: without octave and without the capo, spelled with flats. Of two strings of one name the highest
 * is written small, as on paper.
 * @example
 * stringNames(STANDARD_GUITAR).join(' ') // => 'e B G D A E'
 */
export function stringNames(guitar: Guitar): readonly string[] {
  const names = [...guitar.tuning].reverse().map((key) => noteOfKey(key).replace(/-?\d+$/, ''));
  const [first = ''] = names;
  return names.indexOf(first, 1) > 0 ? [first.toLowerCase(), ...names.slice(1)] : names;
}

/** The usual scale length of an electric guitar in millimetres: 25.5 in (647.7 mm) as makers round it. */
export const SCALE_LENGTH_MM = 648;

/**
 * Distance from the nut to a fret, in the unit of the scale length. Source: equal temperament on a vibrating length, L(1 - 2^(-n/12)).
 * @example
 * nutToFret(12, 648) // => 324
 */
export const nutToFret = (n: number, scaleLength: number = SCALE_LENGTH_MM): number =>
  scaleLength * (1 - 2 ** (-n / 12));

/**
 * Distance between two frets along the neck, in millimetres at the usual scale length.
 * @example
 * Math.round(fretSpanMm(5, 8)) // => 77
 */
export const fretSpanMm = (low: number, high: number): number => nutToFret(high) - nutToFret(low);

/** The sounding pitch in cents of a fretted key bent up by a level. */
export const bentPitch = (key: MidiKey, level: Cents): Cents => cents(key * 100 + level);
