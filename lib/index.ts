// The front door: every name that a notebook imports, grouped by what it is for.

export { GROUPINGS, type Grouping, type ToneFilter } from './analysis/grouping.js';
export {
  type IntervalUse,
  type IntervalUseOptions,
  type IntervalUseRow,
  intervalUse,
} from './analysis/interval-use.js';
export { type TimeUse, timeUse } from './analysis/time-use.js';
export { intervalHeatmap } from './charts/interval-heatmap.js';
export { chartToPng, chartToSvg } from './charts/render.js';
// pictures
export { tabText } from './engraving/tab-text.js';
export { printSoloJson, readSoloJson, type SoloJson, soloToJson } from './exchange/json.js';
export {
  type Cell,
  columnsOf,
  csvOf,
  type DataFrameLike,
  jsonOf,
  type PlainTable,
  toDataFrame,
  toneColumns,
} from './exchange/table-export.js';
export {
  type Diagnostic,
  diagnosticText,
  FaultError,
  hasFaults,
  type Place as TextPlace,
  type Reading,
} from './foundation/diagnostic.js';
export { createRandom, type Random } from './foundation/random.js';
export { lengthInWords, QUARTER } from './foundation/time.js';
// units and randomness
export {
  type BarNumber,
  barNumber,
  type Cents,
  cents,
  type Fret,
  fret,
  type MidiKey,
  midiKey,
  type PitchClass,
  pitchClass,
  type Semitones,
  type StringNumber,
  semitones,
  stringNumber,
  type Ticks,
  ticks,
} from './foundation/units.js';
// the guitar
export { type BendPath, type BendPoint, bendInWords, layBend } from './guitar/bend.js';
export {
  fretSpanMm,
  type Guitar,
  nutToFret,
  type Position,
  parseTuning,
  pitchAt,
  positionsOf,
  STANDARD_GUITAR,
} from './guitar/fretboard.js';
export { type Corpus, readCorpus } from './intake/read-corpus.js';
export { type ReadFile, readSoloFile } from './intake/read-file.js';
export { type Estimate, wilson } from './math/counting.js';
export { EXAMPLE_SOLO } from './notation/example.js';
// solos: from text to what the ear gets
export { parseSolo, parseSoloOrThrow } from './notation/parser.js';
export { printSolo } from './notation/printer.js';
export { FIGURES, type Figure, figuresOf } from './solo/figure.js';
export { type ChordSpan, chordSpans, type Hearing, hear, ROLES, type Role } from './solo/harmony.js';
export { type Unplayable, unplayable } from './solo/playability.js';
export { EMPTY_SOLO, gridOf, type Note, type Phrase, type Solo } from './solo/solo.js';
export { lineOf, type Tone, tonesOf } from './solo/timeline.js';
// tables and answers
export {
  bytesPerTone,
  COLUMNS,
  type NamedSolo,
  type Place,
  placeOfTone,
  type ToneTable,
  toneName,
  toneTable,
} from './solo/tone-table.js';
export {
  type Chord,
  type ChordMember,
  isChord,
  isTension,
  parseChord,
  QUALITIES,
  type Quality,
  type UnknownChord,
} from './theory/chord.js';
export { DEGREE_NAMES, type Degree, degreeAbove, degreeName, parseDegree } from './theory/interval.js';
export { countText, type Meter, parseCount, parseMeter } from './theory/meter.js';
// pitch, chords, keys, meters
export { frequency, keyOfNote, noteOfKey, type PitchName, pitchName } from './theory/pitch.js';
export { type Key, keyText, MODES, parseKey, romanNumeral } from './theory/scale.js';
