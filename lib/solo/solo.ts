// A solo as data: what the hand does, phrase by phrase, over its changes.
import { type Fret, type StringNumber, type Ticks, ticks } from '../foundation/units.js';
import type { BendPath } from '../guitar/bend.js';
import { type Guitar, STANDARD_GUITAR } from '../guitar/fretboard.js';
import type { NoteStart } from '../guitar/technique.js';
import { type Meter, meterOf } from '../theory/meter.js';
import { C_MAJOR, type Key } from '../theory/scale.js';
import { type BarGrid, barGrid, type Changes, type Feel, NO_CHANGES } from './changes.js';

/** A fretted (or open, or harmonic) note; a dead note; or a string that goes on sounding and is not played again. */
export type NoteKind = 'fretted' | 'dead' | 'on';

/** What the hand does once: a string, a fret, an onset, a length, how it starts, how it is bent, how it rings. */
export interface Note {
  /** Ticks from the start of bar 0. A grace note has the onset of the note it leads to. */
  readonly onset: Ticks;
  /** Written length in ticks; 0 for a grace note. */
  readonly length: Ticks;
  readonly kind: NoteKind;
  readonly string: StringNumber;
  /** 0 for kinds other than `fretted`. */
  readonly fret: Fret;
  readonly start: NoteStart;
  readonly path: BendPath;
  /** 0 for a note that takes written time; else 1 for the grace note played last before it, 2 for the one before that. */
  readonly grace: number;
  /** Rings on under what follows, to the next event on its string, a damp, or the end of the phrase. */
  readonly ring: boolean;
  readonly vibrato: boolean;
  readonly accent: boolean;
  readonly harmonic: boolean;
  /** Slides away at its end, to no particular fret. */
  readonly slideAway: boolean;
  /** Further marks (`ghost`, `mute`, a finger), in the order written. */
  readonly marks: readonly string[];
}

/** A note that is only picked: what all plain notes have in common. */
export const PLAIN_NOTE: Omit<Note, 'onset' | 'length' | 'string' | 'fret'> = {
  kind: 'fretted',
  start: 'picked',
  path: [],
  grace: 0,
  ring: false,
  vibrato: false,
  accent: false,
  harmonic: false,
  slideAway: false,
  marks: [],
};

/** A remark on a phrase, or on the notes at one onset. */
export interface Remark {
  readonly text: string;
  /** The onset of the notes it follows; absent for a remark on the phrase. */
  readonly at?: Ticks;
}

/** One phrase. Notes are in order of onset, graces before the note they lead to, then string 1 first. */
export interface Phrase {
  readonly id: string;
  readonly name: string;
  /** Where its first value stands, in ticks from the start of bar 0. */
  readonly at: Ticks;
  /** Written length in ticks, rests included. */
  readonly length: Ticks;
  readonly notes: readonly Note[];
  /** Onsets at which all that rings is stopped. */
  readonly damps: readonly Ticks[];
  readonly remarks: readonly Remark[];
  /** Where it is heard in a recording, in seconds. */
  readonly heard?: number;
}

/** A solo: who, on what guitar, over which changes, in which phrases. */
export interface Solo {
  readonly title: string;
  readonly player: string;
  readonly key: Key;
  readonly meter: Meter;
  /** Quarter notes a minute. */
  readonly tempo: number;
  readonly feel: Feel;
  readonly guitar: Guitar;
  /** A free remark on the sound. */
  readonly tone: string;
  readonly remarks: readonly string[];
  readonly changes: Changes;
  /** In order of time; they do not overlap. */
  readonly phrases: readonly Phrase[];
}

/** An empty solo in C major, 4/4, at 100: a start for building one in code. */
export const EMPTY_SOLO: Solo = {
  title: 'Untitled',
  player: '',
  key: C_MAJOR,
  meter: meterOf(4, 4) as Meter,
  tempo: 100,
  feel: { kind: 'straight' },
  guitar: STANDARD_GUITAR,
  tone: '',
  remarks: [],
  changes: NO_CHANGES,
  phrases: [],
};

/**
 * The bars of a solo in time.
 * @example
 * gridOf(parseSoloOrThrow(EXAMPLE_SOLO)).bar(2).start // => 161280
 */
export const gridOf = (solo: Solo): BarGrid => barGrid(solo, solo.changes.settings);

/** Where a phrase's written time ends. */
export const phraseEnd = (phrase: Phrase): Ticks => ticks(phrase.at + phrase.length);

/** The order of notes in a phrase: onset, graces in the order played, then string 1 first. */
export function compareNotes(a: Note, b: Note): number {
  const rank = (note: Note) => (note.grace === 0 ? 0 : -note.grace);
  return a.onset - b.onset || rank(a) - rank(b) || a.string - b.string;
}
