// A melody: pitches in time over changes, as lead sheets and MIDI files hold them. It has all that a solo has but places on the neck.

import type { MidiKey } from '../foundation/units.js';
import { type Guitar, openKey, type Position } from '../guitar/fretboard.js';
import type { PitchName } from '../theory/pitch.js';
import { compareNotes, type Note, type Phrase, type Solo } from './solo.js';

/** A note of a melody: what a {@link Note} says, but its pitch in place of a string and a fret. Dead notes have no pitch and are not in it. */
export interface MelodyNote extends Omit<Note, 'kind' | 'string' | 'fret' | 'harmonic'> {
  /** The pitch it sounds before any bend: the MIDI key, 60 is middle C. */
  readonly key: MidiKey;
  /** The name it was written with, as it sounds; absent where the format names no notes. */
  readonly name?: PitchName;
}

/** A phrase of a melody. Notes are in order of onset, graces before the note they lead to, then the highest first. */
export interface MelodyPhrase extends Omit<Phrase, 'notes'> {
  readonly notes: readonly MelodyNote[];
}

/** A melody over its changes: a {@link Solo} that does not say yet where on a neck it is played. */
export interface Melody extends Omit<Solo, 'guitar' | 'phrases'> {
  readonly phrases: readonly MelodyPhrase[];
}

/** The order of notes in a phrase of a melody: onset, graces in the order played, then the highest first. */
export function compareMelodyNotes(a: MelodyNote, b: MelodyNote): number {
  const rank = (note: MelodyNote) => (note.grace === 0 ? 0 : -note.grace);
  return a.onset - b.onset || rank(a) - rank(b) || b.key - a.key;
}

/**
 * The solo that a melody becomes on a guitar, once a place is known for each of its notes; `undefined` where a place does not sound its note.
 * @param places - For each phrase a place for each note, in their order.
 * @example
 * const solo = parseSoloOrThrow(EXAMPLE_SOLO)
 * const note = { ...solo.phrases[0].notes[0], key: midiKey(60) }
 * const melody = { ...solo, phrases: [{ ...solo.phrases[0], notes: [note] }] }
 * onTheNeck(melody, STANDARD_GUITAR, [[{ string: stringNumber(3), fret: fret(5) }]])?.phrases[0].notes[0].fret // => 5
 */
export function onTheNeck(melody: Melody, guitar: Guitar, places: readonly (readonly Position[])[]): Solo | undefined {
  const phrases: Phrase[] = [];
  for (const [i, phrase] of melody.phrases.entries()) {
    const notes: Note[] = [];
    for (const [j, { key, name: _, ...what }] of phrase.notes.entries()) {
      const place = places[i]?.[j];
      if (!place || (openKey(guitar, place.string) ?? Number.NaN) + place.fret !== key) return undefined;
      notes.push({ ...what, ...place, kind: 'fretted', harmonic: false });
    }
    phrases.push({ ...phrase, notes: notes.sort(compareNotes) });
  }
  return { ...melody, guitar, phrases };
}
