// Short ways to say a chord, a key, a note in the outside checks; anything that is not read fails the test that asked for it.
import { type Cents, cents, fret, type MidiKey, midiKey, stringNumber, ticks } from '../../lib/foundation/units.js';
import type { BendPath } from '../../lib/guitar/bend.js';
import { pitchAt, STANDARD_GUITAR } from '../../lib/guitar/fretboard.js';
import { EMPTY_SOLO, type Note, PLAIN_NOTE, type Solo } from '../../lib/solo/solo.js';
import { type Chord, isChord, parseChord } from '../../lib/theory/chord.js';
import { type Meter, parseMeter } from '../../lib/theory/meter.js';
import { keyOfNote, type PitchName, pitchName } from '../../lib/theory/pitch.js';
import { type Key, parseKey } from '../../lib/theory/scale.js';

/** The seven letters, each natural, flat and sharp. */
export const ROOTS: readonly string[] = [...'CDEFGAB'].flatMap((letter) => [letter, `${letter}b`, `${letter}#`]);

export function chord(symbol: string): Chord {
  const read = parseChord(symbol);
  if (!isChord(read)) throw new Error(`${symbol}: ${read.reason}`);
  return read;
}

/** The spelled members of a chord in order: `C E G`. */
export const membersOf = (symbol: string): string =>
  chord(symbol)
    .members.map((m) => m.name)
    .join(' ');

export function key(text: string): Key {
  const read = parseKey(text);
  if ('reason' in read) throw new Error(`${text}: ${read.reason}`);
  return read;
}

export function name(text: string): PitchName {
  const read = pitchName(text);
  if (!read) throw new Error(`${text} is no note name`);
  return read;
}

export function meter(text: string): Meter {
  const read = parseMeter(text);
  if (!read) throw new Error(`${text} is no meter`);
  return read;
}

/** The MIDI key of a note with its octave: `C4` is 60. */
export function note(text: string): MidiKey {
  const read = keyOfNote(text);
  if (read === undefined) throw new Error(`${text} is no note`);
  return read;
}

/** The pitch of a note in cents; middle octave if none is written. */
export const pitch = (text: string): Cents => cents(note(/\d$/.test(text) ? text : `${text}4`) * 100);

/** The key at a string and fret of a guitar in standard tuning. */
export const at = (string: number, fretNumber: number): MidiKey =>
  pitchAt(STANDARD_GUITAR, stringNumber(string), fret(fretNumber)) ?? midiKey(Number.NaN);

/** A bend path through levels in cents, all untimed. */
export const bend = (...levels: readonly number[]): BendPath => levels.map((level) => ({ level: cents(level) }));

/** A solo of one phrase that plays string, fret and bend one after the other, a quarter each, from bar 1. */
export function quarters(played: readonly (readonly [string: number, fret: number, path?: BendPath])[]): Solo {
  const quarter = 20160;
  const from = 4 * quarter;
  const notes = played.map(
    ([string, fretNumber, path = []], i): Note => ({
      ...PLAIN_NOTE,
      onset: ticks(from + i * quarter),
      length: ticks(quarter),
      string: stringNumber(string),
      fret: fret(fretNumber),
      path,
    }),
  );
  const length = ticks(played.length * quarter);
  return {
    ...EMPTY_SOLO,
    phrases: [{ id: '1', name: 'quarters', at: ticks(from), length, notes, damps: [], remarks: [] }],
  };
}
