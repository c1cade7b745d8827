// The columns of a tone table: what each holds, in which unit, and how a missing value is written.

/** No value: in columns of codes. */
export const MISSING = 255;

/** Where a tone stands in its phrase. */
export const PHRASE_POSITIONS = ['first', 'inside', 'last', 'only'] as const;

/** Bits of the column `flags`. */
export const FLAG = {
  struck: 1,
  ornament: 2,
  onBeat: 4,
  line: 8,
  blueOverChord: 16,
  blueOverKey: 32,
  split: 64,
  plus: 128,
} as const;
/** A name of a flag. */
export type FlagName = keyof typeof FLAG;

/** The columns of a tone table. Codes point into the lists of the same table; the unit and the missing value of each stand in {@link COLUMNS}. */
export interface ToneColumns {
  readonly solo: Uint16Array;
  readonly phrase: Uint16Array;
  readonly note: Uint16Array;
  readonly onset: Int32Array;
  readonly ticks: Int32Array;
  readonly bar: Int16Array;
  readonly offset: Int32Array;
  readonly string: Uint8Array;
  readonly fret: Uint8Array;
  readonly pitch: Int16Array;
  readonly level: Int16Array;
  readonly start: Uint8Array;
  readonly reached: Uint8Array;
  readonly flags: Uint8Array;
  readonly position: Uint8Array;
  readonly figure: Uint8Array;
  readonly name: Uint8Array;
  readonly key: Uint8Array;
  readonly degreeOverKey: Uint8Array;
  readonly chord: Uint16Array;
  readonly function: Uint8Array;
  readonly quality: Uint8Array;
  readonly degree: Uint8Array;
  readonly role: Uint8Array;
  readonly pushedChord: Uint16Array;
  readonly pushedFunction: Uint8Array;
  readonly pushedQuality: Uint8Array;
  readonly pushedDegree: Uint8Array;
  readonly pushedRole: Uint8Array;
}

/** A name of a column. */
export type ColumnName = keyof ToneColumns;

/** What a column holds. */
export interface ColumnDoc {
  readonly meaning: string;
  readonly unit: string;
  /** How a missing value is written, or why there is none. */
  readonly missing: string;
}

const NO_CHORD_MISSING = '255 without a chord';

/** The documented column list: the same names in CSV, JSON and data frames. */
export const COLUMNS: Readonly<Record<ColumnName, ColumnDoc>> = {
  solo: { meaning: 'the solo', unit: 'code into solos', missing: 'never' },
  phrase: { meaning: 'the phrase', unit: 'index in the solo', missing: 'never' },
  note: { meaning: 'the note that gives the tone', unit: 'index in the phrase', missing: 'never' },
  onset: {
    meaning: 'where it begins, from the start of bar 0',
    unit: 'ticks, 20160 to a quarter note',
    missing: 'never',
  },
  ticks: { meaning: 'how long it sounds, ringing included; 0 for a grace', unit: 'ticks', missing: 'never' },
  bar: { meaning: 'the bar it begins in; 0 is the pickup bar', unit: 'bar number', missing: 'never' },
  offset: { meaning: 'how far into the bar it begins', unit: 'ticks', missing: 'never' },
  string: { meaning: 'the string, 1 the highest', unit: 'string number', missing: 'never' },
  fret: { meaning: 'the fret, counted from the capo', unit: 'fret number', missing: 'never' },
  pitch: { meaning: 'sounding pitch, 6900 is A4 (440 Hz)', unit: 'cents (100 x MIDI key)', missing: 'never' },
  level: { meaning: 'how far the string is bent', unit: 'cents', missing: 'never; 0 is not bent' },
  start: { meaning: 'how it begins', unit: 'code: picked, hammered, pulled, slid, tapped, none', missing: 'never' },
  reached: {
    meaning: 'how its pitch was reached',
    unit: 'code: straight, bent, prebent, held, released',
    missing: 'never',
  },
  flags: {
    meaning: 'struck, ornament, on the beat, in the line, blue over chord, blue over key, split, quarter-tone above',
    unit: 'bits 1, 2, 4 ... 128',
    missing: 'never',
  },
  position: { meaning: 'place in its phrase', unit: 'code: first, inside, last, only', missing: '255 for ornaments' },
  figure: {
    meaning: 'figure of a tone outside its chord',
    unit: 'code',
    missing: '255 for members, outside the line, without a chord',
  },
  name: { meaning: 'spelled name', unit: 'code into names', missing: 'never' },
  key: { meaning: 'the key of its bar', unit: 'code into keys', missing: 'never' },
  degreeOverKey: { meaning: 'whole semitones above the tonic', unit: '0 to 11', missing: 'never' },
  chord: {
    meaning: 'symbol of the chord of the moment',
    unit: 'code into chords',
    missing: 'never; "pickup" before the first chord, "N.C."',
  },
  function: {
    meaning: 'function of that chord in the key',
    unit: 'code into functions',
    missing: 'never; "pickup", "N.C."',
  },
  quality: { meaning: 'family of that chord', unit: 'code', missing: NO_CHORD_MISSING },
  degree: { meaning: 'whole semitones above the root of that chord', unit: '0 to 11', missing: NO_CHORD_MISSING },
  role: { meaning: 'what it is in chord or key', unit: 'code', missing: NO_CHORD_MISSING },
  pushedChord: { meaning: 'chord of the moment with anticipation on', unit: 'code into chords', missing: 'never' },
  pushedFunction: { meaning: 'function with anticipation on', unit: 'code into functions', missing: 'never' },
  pushedQuality: { meaning: 'family with anticipation on', unit: 'code', missing: NO_CHORD_MISSING },
  pushedDegree: { meaning: 'degree with anticipation on', unit: '0 to 11', missing: NO_CHORD_MISSING },
  pushedRole: { meaning: 'role with anticipation on', unit: 'code', missing: NO_CHORD_MISSING },
};

/** Columns for a number of tones, all zero. */
export function emptyColumns(n: number): ToneColumns {
  const u8 = (): Uint8Array => new Uint8Array(n);
  const u16 = (): Uint16Array => new Uint16Array(n);
  const i16 = (): Int16Array => new Int16Array(n);
  const i32 = (): Int32Array => new Int32Array(n);
  return {
    solo: u16(),
    phrase: u16(),
    note: u16(),
    onset: i32(),
    ticks: i32(),
    bar: i16(),
    offset: i32(),
    string: u8(),
    fret: u8(),
    pitch: i16(),
    level: i16(),
    start: u8(),
    reached: u8(),
    flags: u8(),
    position: u8(),
    figure: u8(),
    name: u8(),
    key: u8(),
    degreeOverKey: u8(),
    chord: u16(),
    function: u8(),
    quality: u8(),
    degree: u8(),
    role: u8(),
    pushedChord: u16(),
    pushedFunction: u8(),
    pushedQuality: u8(),
    pushedDegree: u8(),
    pushedRole: u8(),
  };
}

/** The same columns with their first rows only. */
export function firstRows(columns: ToneColumns, rows: number): ToneColumns {
  const kept = emptyColumns(rows);
  for (const name of Object.keys(kept) as ColumnName[]) kept[name].set(columns[name].subarray(0, rows));
  return kept;
}
