// What holds in a part from a place on: divisions, key, meter, transposition, clefs, tunings, capo.
import { type MidiKey, midiKey } from '../foundation/units.js';
import { type Meter, meterOf } from '../theory/meter.js';
import { alteration, nameAbove, type PitchName } from '../theory/pitch.js';
import { C_MAJOR, type Key, keyOf, type Mode } from '../theory/scale.js';
import { type NameShift, spelled, tonicOf } from './musicxml-harmony.js';
import type { Reporter, ScorePlace } from './musicxml-report.js';
import { child, children, numberIn, numberOf, textOf, type XmlNode } from './musicxml-xml.js';

/** What is added to a written pitch to get the sounding one. */
export interface Transposition extends NameShift {
  /** Semitones with all octaves in them. */
  readonly all: number;
}

/** What a staff says of itself. */
export interface StaffFacts {
  isTab: boolean;
  isPercussion: boolean;
  /** Open strings by line, lowest first, as far as given. */
  tuning: (MidiKey | undefined)[];
  lines: number | undefined;
  capo: number | undefined;
}

/** What holds at a place of a part. */
export interface PartState {
  divisions: number;
  key: Key;
  keyGiven: boolean;
  /** `undefined` where the file has none, or is without measure. */
  meter: Meter | undefined;
  /** How many measures before it each measure repeats, while a sign says so; 0 for none. */
  repeats: number;
  readonly transpositions: Map<number, Transposition>;
  readonly staves: Map<number, StaffFacts>;
}

export const NOT_TRANSPOSED: Transposition = { letters: 0, semitones: 0, all: 0 };

/** The state before the first measure. */
export const partState = (): PartState => ({
  divisions: 1,
  key: C_MAJOR,
  keyGiven: false,
  meter: undefined,
  repeats: 0,
  transpositions: new Map(),
  staves: new Map(),
});

/** What a staff says of itself; what it is taken for if it says nothing. */
export function staffOf(state: PartState, number: number): StaffFacts {
  let facts = state.staves.get(number);
  if (!facts) {
    facts = { isTab: false, isPercussion: false, tuning: [], lines: undefined, capo: undefined };
    state.staves.set(number, facts);
  }
  return facts;
}

/** How a staff is transposed: its own transposition, or that of all staves (0). */
export const transpositionOf = (state: PartState, staff: number): Transposition =>
  state.transpositions.get(staff) ?? state.transpositions.get(0) ?? NOT_TRANSPOSED;

/** The modes of the standard and where each lies on the line of fifths against major; a mode it lacks is read as major. */
const MODE_FIFTHS: Readonly<Record<string, readonly [Mode, number]>> = {
  major: ['major', 0],
  ionian: ['major', 0],
  minor: ['minor', -3],
  aeolian: ['minor', -3],
  dorian: ['dorian', -2],
  phrygian: ['phrygian', -4],
  lydian: ['lydian', 1],
  mixolydian: ['mixolydian', -1],
  locrian: ['locrian', -5],
};

/** Where a mode lies on the line of fifths against major, and the name that the standard has for the nearest mode. */
export function fifthsOfMode(mode: Mode): { readonly offset: number; readonly name: string } {
  const near: Readonly<Record<string, string>> = {
    blues: 'mixolydian',
    'major blues': 'mixolydian',
    'harmonic minor': 'minor',
    'melodic minor': 'minor',
  };
  const name = near[mode] ?? mode;
  return { offset: (MODE_FIFTHS[name] as readonly [Mode, number])[1], name };
}

/** Takes over what an attributes element says. */
export function readAttributes(node: XmlNode, state: PartState, at: ScorePlace, report: Reporter): void {
  const divisions = numberOf(node, 'divisions');
  if (divisions !== undefined && divisions > 0) state.divisions = divisions;
  else if (child(node, 'divisions'))
    report.say('approximated', 'divisions', 'divisions that are no number above 0 were passed over', at);
  for (const transpose of children(node, 'transpose')) {
    const number = numberIn(transpose.attributes.number) ?? 0;
    state.transpositions.set(number, transpositionFrom(transpose));
    if (child(transpose, 'double'))
      report.say('approximated', 'doubled', 'a part that sounds in octaves was read without the lower octave', at);
  }
  const key = children(node, 'key')[0];
  if (key) {
    state.key = readKey(key, transpositionOf(state, 1), at, report);
    state.keyGiven = true;
  }
  const time = children(node, 'time')[0];
  if (time) {
    if (child(time, 'senza-misura')) state.meter = undefined;
    else {
      const meter = meterFrom(time);
      if (meter) state.meter = meter;
      else report.say('approximated', 'meter', 'a meter that cannot be read was passed over', at);
    }
  }
  for (const clef of children(node, 'clef')) {
    const facts = staffOf(state, numberIn(clef.attributes.number) ?? 1);
    const sign = textOf(clef, 'sign').toUpperCase();
    if (sign === 'TAB') facts.isTab = true;
    facts.isPercussion = sign === 'PERCUSSION';
  }
  for (const details of children(node, 'staff-details')) {
    const facts = staffOf(state, numberIn(details.attributes.number) ?? 1);
    const lines = numberOf(details, 'staff-lines');
    if (lines !== undefined) facts.lines = lines;
    const capo = numberOf(details, 'capo');
    if (capo !== undefined) facts.capo = capo;
    for (const tuning of children(details, 'staff-tuning')) readTuning(tuning, facts);
  }
}

function readTuning(node: XmlNode, facts: StaffFacts): void {
  const line = numberIn(node.attributes.line);
  const octave = numberOf(node, 'tuning-octave');
  const name = spelled(textOf(node, 'tuning-step'), numberOf(node, 'tuning-alter') ?? 0);
  if (line === undefined || !Number.isInteger(line) || line < 1 || line > 16 || octave === undefined || !name) return;
  const letter = 'C D EF G A B'.indexOf(name[0] as string);
  facts.tuning[line - 1] = midiKey(12 * (octave + 1) + letter + alteration(name));
}

function transpositionFrom(node: XmlNode): Transposition {
  const semitones = Math.round(numberOf(node, 'chromatic') ?? 0);
  const octaves = Math.round(numberOf(node, 'octave-change') ?? 0);
  const guessed = Math.sign(semitones) * ([0, 1, 1, 2, 2, 3, 3, 4, 5, 5, 6, 6][Math.abs(semitones) % 12] as number);
  const letters = Math.round(numberOf(node, 'diatonic') ?? guessed + 7 * Math.trunc(semitones / 12));
  return { letters, semitones, all: semitones + 12 * octaves };
}

function readKey(node: XmlNode, shift: NameShift, at: ScorePlace, report: Reporter): Key {
  const fifths = numberOf(node, 'fifths');
  const modeText = textOf(node, 'mode').toLowerCase();
  if (fifths === undefined) {
    report.say('approximated', 'key', 'a key that is no signature of fifths was read as C major', at);
    return C_MAJOR;
  }
  const mode = MODE_FIFTHS[modeText];
  if (!mode) {
    const said =
      modeText === '' || modeText === 'none' ? 'a key signature without a mode' : `the mode "${modeText.slice(0, 20)}"`;
    report.say('approximated', 'mode', `${said} was read as major`, at);
  }
  const [name, offset] = mode ?? (['major', 0] as const);
  const tonic = tonicOf(Math.round(fifths), offset);
  const sounding = tonic && plain(nameAbove(tonic, shift.letters, shift.semitones));
  if (sounding) return keyOf(sounding, name);
  report.say('approximated', 'key', `a key of ${fifths} fifths was read as C major`, at);
  return C_MAJOR;
}

/** Names of tonics with more accidentals than any key has are respelled. */
const plain = (name: PitchName): PitchName | undefined => {
  if (Math.abs(alteration(name)) < 2) return name;
  for (const letters of [1, -1]) {
    const other = nameAbove(name, letters, 0);
    if (Math.abs(alteration(other)) < 2) return other;
  }
  return undefined;
};

/** The meter of a time element; 3+2 over 8 is 5/8, 3/8 + 2/8 too. */
function meterFrom(node: XmlNode): Meter | undefined {
  const overs = children(node, 'beats').map((b) =>
    b.text.split('+').reduce((sum, part) => sum + (numberIn(part) ?? Number.NaN), 0),
  );
  const unders = children(node, 'beat-type').map((b) => numberIn(b.text) ?? Number.NaN);
  if (overs.length === 0 || overs.length !== unders.length) return undefined;
  const under = Math.max(...unders);
  const over = overs.reduce((sum, o, i) => sum + (o * under) / (unders[i] as number), 0);
  if (under === 64 && over % 2 === 0) return meterOf(over / 2, 32);
  return meterOf(over, under);
}

/** Note values by their names in the standard, in quarters. */
export const NOTE_VALUES: Readonly<Record<string, number>> = {
  breve: 8,
  whole: 4,
  half: 2,
  quarter: 1,
  eighth: 1 / 2,
  '16th': 1 / 4,
  '32nd': 1 / 8,
  '64th': 1 / 16,
  '128th': 1 / 32,
};
