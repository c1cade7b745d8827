// A note of a score on its way to a solo: in absolute time, with what is written on it.
import type { MidiKey } from '../foundation/units.js';
import type { BendPath } from '../guitar/bend.js';
import type { NoteStart } from '../guitar/technique.js';
import type { PitchName } from '../theory/pitch.js';
import type { BendPiece } from './musicxml-bend.js';
import type { ScoreMeasure } from './musicxml-measure.js';
import type { NoteMarks } from './musicxml-note.js';
import type { ScorePlace } from './musicxml-report.js';

/** A measure at its place in the solo. */
export interface PlacedMeasure {
  readonly measure: ScoreMeasure;
  readonly start: number;
}

/** A note as it is played: all that a solo's note needs, its pitch and its place on the neck as far as the file has them. */
export interface LineNote {
  onset: number;
  length: number;
  grace: number;
  readonly staff: number;
  readonly voice: string;
  readonly key: MidiKey | undefined;
  readonly name: PitchName | undefined;
  string: number | undefined;
  fret: number | undefined;
  start: NoteStart;
  path: BendPath;
  ring: boolean;
  vibrato: boolean;
  accent: boolean;
  dead: boolean;
  /** The string goes on sounding: written as tied from a note that rings. */
  goesOn: boolean;
  harmonic: NoteMarks['harmonic'];
  slideAway: boolean;
  marks: string[];
  /** Index of the placed measure that it starts in. */
  readonly measure: number;
  readonly place: ScorePlace;
}

/** A note on its way: with what is written on each of the tied notes that it is made of. */
export interface Raw extends LineNote {
  readonly written: NoteMarks;
  readonly pieces: BendPiece[];
  readonly chord: boolean;
  tieOpen: boolean;
  /** Its place in the order of time. */
  index: number;
}

/** Notes in order of time, graces in the order played. */
export const order = (a: Raw, b: Raw): number => a.onset - b.onset || rank(a) - rank(b);
const rank = (note: Raw): number => (note.grace === 0 ? 0 : -note.grace);
