// Pitches by name and number: equal temperament at A4 = 440 Hz (ISO 16), MIDI key numbers, spelled names through tonal.
import { type Cents, cents, type MidiKey, midiKey, mod, type PitchClass } from '../foundation/units.js';
import { tonal } from './tonal.js';

declare const spelled: unique symbol;

/** A pitch class as it is spelled: a letter with flats or sharps, such as `Bb` or `F#`. Made by {@link pitchName} only. */
export type PitchName = string & { readonly [spelled]: 'PitchName' };

/**
 * A spelled pitch class from text (`Bb`, `f#`, `E♭`), or `undefined` if it is none.
 * @example
 * pitchName('e♭') // => 'Eb'
 * pitchName('H') // => undefined
 */
export function pitchName(text: string): PitchName | undefined {
  const match = /^([A-Ga-g])(b{0,2}|#{0,2}|x)$/.exec(text.replace(/♭/g, 'b').replace(/♯/g, '#'));
  if (!match) return undefined;
  return ((match[1] as string).toUpperCase() + (match[2] as string).replace('x', '##')) as PitchName;
}

/**
 * The pitch class of a spelled name, 0 (C) to 11 (B).
 * @example
 * pitchClassOf(pitchName('Bb')!) // => 10
 */
export function pitchClassOf(name: PitchName): PitchClass {
  const letter = LETTER_CLASS[name.charCodeAt(0) - 65] as number;
  return mod(letter + alteration(name), 12) as PitchClass;
}

const LETTER_CLASS = [9, 11, 0, 2, 4, 5, 7];

/** Sharps of a spelled name, negative for flats. */
export const alteration = (name: PitchName): number => (name[1] === 'b' ? 1 - name.length : name.length - 1);

/**
 * A MIDI key from a name with its octave (`E2`, `Bb3`; C4 is 60), or `undefined`.
 * @example
 * keyOfNote('E4') // => 64
 */
export function keyOfNote(text: string): MidiKey | undefined {
  const match = /^(.+?)(-?\d)$/.exec(text.trim());
  const name = match ? pitchName(match[1] as string) : undefined;
  if (!match || !name) return undefined;
  const key = tonal().Note.midi(name + match[2]);
  return key === null || key === undefined || key < 0 || key > 127 ? undefined : midiKey(key);
}

/**
 * A key's name with its octave, spelled with the given pitch name where one fits, else with flats.
 * @example
 * noteOfKey(midiKey(58)) // => 'Bb3'
 * noteOfKey(midiKey(60), pitchName('B#')) // => 'B#3'
 */
export function noteOfKey(key: MidiKey, name?: PitchName): string {
  if (name === undefined || pitchClassOf(name) !== mod(key, 12)) return tonal().Note.fromMidi(key);
  // The octave number changes at the letter C, before any accidental is heard.
  return name + (Math.floor((key - alteration(name)) / 12) - 1);
}

/**
 * Frequency of a pitch in hertz, equal temperament, A4 (6900 cents) = 440 Hz. Source: ISO 16:1975.
 * @example
 * frequency(cents(6900)) // => 440
 */
export const frequency = (pitch: Cents): number => 440 * 2 ** ((pitch - 6900) / 1200);

/**
 * The pitch of a MIDI key in cents.
 * @example
 * keyCents(midiKey(60)) // => 6000
 */
export const keyCents = (key: MidiKey): Cents => cents(key * 100);

const FIFTHS = ['F', 'C', 'G', 'D', 'A', 'E', 'B'];

/**
 * The name that stands a diatonic number of letters and a number of semitones above another.
 * @example
 * nameAbove(pitchName('C')!, 2, 3) // => 'Eb'
 */
export function nameAbove(name: PitchName, letters: number, semitones: number): PitchName {
  const order = 'CDEFGAB';
  const letter = order[mod(order.indexOf(name[0] as string) + letters, 7)] as string;
  const natural = LETTER_CLASS[letter.charCodeAt(0) - 65] as number;
  const away = mod(pitchClassOf(name) + semitones - natural + 6, 12) - 6;
  return (letter + (away < 0 ? 'b'.repeat(-away) : '#'.repeat(away))) as PitchName;
}

/** The name itself, or its plainest enharmonic when it carries two accidentals or more, as a player would read it. */
export function plainName(name: PitchName): PitchName {
  if (Math.abs(alteration(name)) < 2) return name;
  const pc = pitchClassOf(name);
  const natural = FIFTHS.find((letter) => LETTER_CLASS[letter.charCodeAt(0) - 65] === pc);
  if (natural) return natural as PitchName;
  return (alteration(name) > 0 ? SHARP : FLAT)[pc] as PitchName;
}

const FLAT = ['C', 'Db', 'D', 'Eb', 'E', 'F', 'Gb', 'G', 'Ab', 'A', 'Bb', 'B'];
const SHARP = ['C', 'C#', 'D', 'D#', 'E', 'F', 'F#', 'G', 'G#', 'A', 'A#', 'B'];
