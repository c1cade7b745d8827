// One part, measure by measure: every note, rest, chord symbol, sign and direction at its time in its measure.
import { QUARTER } from '../foundation/time.js';
import { type MidiKey, midiKey } from '../foundation/units.js';
import type { Feel } from '../solo/changes.js';
import type { Meter } from '../theory/meter.js';
import { alteration, nameAbove, type PitchName, plainName } from '../theory/pitch.js';
import type { Key } from '../theory/scale.js';
import { NOTE_VALUES, type PartState, partState, readAttributes, transpositionOf } from './musicxml-attributes.js';
import { type Directions, directions, readDirection, readSound } from './musicxml-direction.js';
import { type NameShift, readHarmony } from './musicxml-harmony.js';
import { marksOf, type NoteMarks, pitchOf } from './musicxml-note.js';
import { type Barlines, barlines, readBarline } from './musicxml-repeats.js';
import type { Reporter, ScorePlace } from './musicxml-report.js';
import { child, children, numberOf, textOf, type XmlNode } from './musicxml-xml.js';

/** A note or rest in its measure. Times are in ticks from the start of the measure, not rounded yet. */
export interface ScoreNote {
  readonly at: number;
  readonly length: number;
  readonly staff: number;
  readonly voice: string;
  readonly kind: 'pitched' | 'rest' | 'unpitched' | 'slash';
  /** What it sounds, transposition included; of pitched notes. */
  readonly key?: MidiKey;
  readonly name?: PitchName;
  readonly grace: boolean;
  /** Together with the note before it. */
  readonly chord: boolean;
  readonly marks: NoteMarks;
  /** Divisions to a quarter where it stands: the unit of the offsets in its bends. */
  readonly divisions: number;
  readonly place: ScorePlace;
}

/** A chord symbol in its measure. */
export interface ScoreChord {
  readonly at: number;
  readonly symbol: string;
  readonly place: ScorePlace;
}

/** Marks of analysis (grouping elements) in a measure. */
export interface ScoreGroup {
  readonly at: number;
  readonly type: string;
  readonly memberOf: string;
  readonly features: readonly (readonly [type: string, text: string])[];
}

/** One measure of a part. */
export interface ScoreMeasure {
  readonly number: string;
  readonly implicit: boolean;
  readonly notes: readonly ScoreNote[];
  readonly chords: readonly ScoreChord[];
  readonly groups: readonly ScoreGroup[];
  readonly directions: Directions;
  readonly barlines: Barlines;
  /** What holds at its start; the meter is `undefined` where there is none. */
  readonly key: Key;
  readonly meter: Meter | undefined;
  readonly feel: Feel | undefined;
  /** Ticks that are filled. */
  readonly filled: number;
  readonly place: ScorePlace;
}

/** A part walked through. */
export interface ScorePart {
  readonly id: string;
  readonly name: string;
  readonly measures: readonly ScoreMeasure[];
  readonly state: PartState;
}

/** No measure is longer than this in ticks (a thousand whole notes): a slip in a number must not lay out hours. */
const LONGEST_MEASURE = QUARTER * 4000;

/** Walks a part. */
export function walkPart(part: XmlNode, id: string, name: string, report: Reporter): ScorePart {
  const state = partState();
  const measures: ScoreMeasure[] = [];
  const voiceOf = new Map<number, string>();
  for (const [i, node] of children(part, 'measure').entries()) {
    const measure = walkMeasure(node, i, name, state, voiceOf, report);
    measures.push(state.repeats > 0 ? repeated(measure, measures[i - state.repeats], report) : measure);
  }
  return { id, name, measures, state };
}

/** A measure under a sign of repetition: what sounds in the one that it repeats, its chords too where it has none of its own. */
function repeated(measure: ScoreMeasure, from: ScoreMeasure | undefined, report: Reporter): ScoreMeasure {
  if (measure.notes.some((n) => n.kind !== 'rest')) return measure; // some programs write out what the sign stands for
  if (!from) {
    report.say('dropped', 'measure-repeat', 'a sign that repeats measures, with none before it', measure.place);
    return measure;
  }
  report.count('measures by sign of repetition');
  const chords = measure.chords.length > 0 ? measure.chords : from.chords;
  return {
    ...measure,
    notes: from.notes.map((n) => ({
      ...n,
      place: { ...measure.place, ...(n.place.note !== undefined && { note: n.place.note }) },
    })),
    chords,
    filled: from.filled,
  };
}

function walkMeasure(
  node: XmlNode,
  index: number,
  part: string,
  state: PartState,
  voices: Map<number, string>,
  report: Reporter,
): ScoreMeasure {
  const number = node.attributes.number ?? String(index + 1);
  const placeOf = (n: XmlNode, note?: number): ScorePlace => ({
    part,
    measure: number,
    line: n.line,
    column: n.column,
    ...(note !== undefined && { note }),
  });
  const notes: ScoreNote[] = [];
  const chords: ScoreChord[] = [];
  const groups: ScoreGroup[] = [];
  const said = directions();
  const bars = barlines();
  let cursor = 0;
  let furthest = 0;
  let sounding = 0;
  let chordAt = 0;
  let { key, meter } = state; // what holds at its start
  let counted = 0;
  const time = (divisions: number): number => {
    const ticks = (divisions * QUARTER) / state.divisions;
    return Number.isFinite(ticks) ? Math.min(Math.max(0, ticks), LONGEST_MEASURE) : 0;
  };
  const move = (by: number, at: XmlNode): void => {
    cursor += by;
    if (cursor < -0.5) report.say('approximated', 'backup', 'a step back before the measure was cut', placeOf(at));
    cursor = Math.min(Math.max(0, cursor), LONGEST_MEASURE);
  };
  const offsetOf = (n: XmlNode): number => {
    const offset = numberOf(n, 'offset') ?? 0;
    return Math.max(0, cursor + Math.sign(offset) * time(Math.abs(offset)));
  };
  for (const item of node.children) {
    switch (item.name) {
      case 'attributes':
        readAttributes(item, state, placeOf(item), report);
        if (cursor === 0) {
          if (children(item, 'key').length > 0) key = state.key;
          if (children(item, 'time').length > 0) meter = state.meter;
        } else if (children(item, 'key').length > 0)
          report.say(
            'approximated',
            'key-inside',
            'a key that changes inside a measure holds from the next',
            placeOf(item),
          );
        for (const style of children(item, 'measure-style')) {
          const sign = child(style, 'measure-repeat');
          if (sign)
            state.repeats = sign.attributes.type === 'stop' ? 0 : Math.min(99, Math.max(1, Number(sign.text) || 1));
          if (child(style, 'slash'))
            report.say('dropped', 'slash', 'a stretch of slashes, which say a rhythm without pitches', placeOf(item));
        }
        break;
      case 'backup':
        move(-time(numberOf(item, 'duration') ?? 0), item);
        break;
      case 'forward':
        move(time(numberOf(item, 'duration') ?? 0), item);
        furthest = Math.max(furthest, cursor);
        break;
      case 'harmony': {
        const staff = numberOf(item, 'staff') ?? 1;
        const read = readHarmony(item, state.key, transpositionOf(state, staff));
        const place = placeOf(item);
        if (read.approximated !== undefined)
          report.say(read.symbol === undefined ? 'dropped' : 'approximated', 'chord', read.approximated, place);
        if (read.symbol !== undefined) {
          chords.push({ at: offsetOf(item), symbol: read.symbol, place });
          report.count('chord symbols');
        }
        break;
      }
      case 'grouping':
        groups.push({
          at: cursor,
          type: item.attributes.type ?? '',
          memberOf: item.attributes['member-of'] ?? '',
          features: children(item, 'feature').map((f) => [f.attributes.type ?? '', f.text] as const),
        });
        break;
      case 'direction':
        readDirection(item, offsetOf(item), said, placeOf(item), report);
        break;
      case 'sound':
        readSound(item, offsetOf(item), said);
        break;
      case 'barline':
        readBarline(item, bars);
        break;
      case 'note':
        readNote(item);
        break;
      default:
        break;
    }
  }
  function readNote(item: XmlNode): void {
    counted++;
    const place = placeOf(item, counted);
    const grace = child(item, 'grace') !== undefined;
    const chord = child(item, 'chord') !== undefined;
    const rest = child(item, 'rest');
    const duration = numberOf(item, 'duration');
    let length = grace ? 0 : duration === undefined ? typeTime(item) : time(duration);
    if (!grace && duration === undefined)
      report.say('approximated', 'duration', 'a note without a duration was given the time of its type', place);
    if (rest && cursor === 0 && !chord && meter) {
      // A rest for the whole measure is often written with any duration; in a pickup it has the right one.
      const whole = rest.attributes.measure === 'yes' || (length > meter.barTicks && textOf(item, 'type') === 'whole');
      if (whole) length = length === 0 ? meter.barTicks : Math.min(length, meter.barTicks);
    }
    const at = chord ? chordAt : cursor;
    if (!chord) {
      chordAt = cursor;
      if (!grace) move(length, item);
    }
    const staff = numberOf(item, 'staff') ?? 1;
    const voice = textOf(item, 'voice') || (chord ? (voices.get(staff) ?? '1') : '1');
    voices.set(staff, voice);
    const end = at + length;
    if (!rest) sounding = Math.max(sounding, end);
    furthest = Math.max(furthest, end);
    if (child(item, 'cue')) {
      report.say('dropped', 'cue', 'a cue note', place);
      return;
    }
    const common = { at, length, staff, voice, grace, chord, divisions: state.divisions, place };
    const marks = marksOf(item, place, report);
    if (rest) {
      notes.push({ ...common, kind: 'rest', marks });
      return;
    }
    const head = textOf(item, 'notehead');
    if (item.attributes['print-object'] === 'no' && !marks.tieStop) {
      report.say('dropped', 'hidden', 'a note that is not shown', place);
      notes.push({ ...common, kind: 'rest', marks });
      return;
    }
    const pitch = pitchOf(item);
    if (head === 'slash' || (!pitch && child(item, 'unpitched'))) {
      if (marks.string === undefined) {
        notes.push({ ...common, kind: head === 'slash' ? 'slash' : 'unpitched', marks });
        return;
      }
      marks.dead = true; // an unpitched note on a string
    }
    const shift = transpositionOf(state, staff);
    if (pitch?.microtone) report.say('approximated', 'microtone', 'a quarter-tone in a pitch was rounded down', place);
    if (!pitch && marks.string === undefined) {
      report.say('dropped', 'pitch', 'a note without a pitch that can be read', place);
      return;
    }
    if (Math.abs(end - Math.round(end)) > 1e-4)
      report.say('approximated', 'lattice', 'a time off the lattice of 20160 to a quarter was rounded', place);
    const sounds = pitch && pitch.key + shift.all;
    if (sounds !== undefined && (sounds < 0 || sounds > 127)) {
      report.say('dropped', 'pitch', 'a pitch that no instrument sounds', place);
      return;
    }
    notes.push({
      ...common,
      kind: 'pitched',
      marks,
      ...(pitch && sounds !== undefined && { key: midiKey(sounds), name: soundingName(pitch.name, shift) }),
    });
  }
  return {
    number,
    implicit: node.attributes.implicit === 'yes',
    notes,
    chords,
    groups,
    directions: said,
    barlines: bars,
    key,
    meter,
    feel: said.feel,
    filled: Math.max(sounding, meter ? Math.min(furthest, meter.barTicks) : furthest),
    place: placeOf(node),
  };
}

/** The name of a written pitch as it sounds; one with more than two accidentals is respelled. */
function soundingName(name: PitchName, { letters, semitones }: NameShift): PitchName {
  const sounding = nameAbove(name, letters, semitones);
  return Math.abs(alteration(sounding)) > 2 ? plainName(sounding) : sounding;
}

/** The time of a note by its type, dots and tuplet, in ticks. */
function typeTime(node: XmlNode): number {
  const dots = children(node, 'dot').length;
  const tuplet = child(node, 'time-modification');
  const actual = numberOf(tuplet, 'actual-notes') ?? 1;
  const normal = numberOf(tuplet, 'normal-notes') ?? 1;
  const base = NOTE_VALUES[textOf(node, 'type')] ?? 0;
  return (base * QUARTER * (2 - 2 ** -dots) * (normal || 1)) / (actual || 1);
}
