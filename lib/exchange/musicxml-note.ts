// One note element: its pitch, where it is played, and the gestures written on it. What they mean together is decided later.
import type { PitchName } from '../theory/pitch.js';
import { spelled } from './musicxml-harmony.js';
import type { Reporter, ScorePlace } from './musicxml-report.js';
import { child, numberIn, numberOf, textOf, type XmlNode } from './musicxml-xml.js';

/** A bend element. */
export interface BendMark {
  /** Semitones as written: negative for releases and pre-bends by the standard. */
  readonly alter: number;
  readonly kind: 'bend' | 'pre-bend' | 'release';
  /** Where it begins, in percent of the note's time, when that is written. */
  readonly firstBeat?: number;
  /** Where a release begins, in divisions after the note's onset. */
  readonly offset?: number;
}

/** A line from one note to another: its ends on this note. */
export interface LineEnd {
  readonly type: 'start' | 'stop';
  readonly number: string;
}

/** What is written on a note beside its pitch and its time. */
export interface NoteMarks {
  string?: number;
  fret?: number;
  bends: BendMark[];
  hammers: LineEnd[];
  pulls: LineEnd[];
  slides: LineEnd[];
  slurs: LineEnd[];
  wavy: string[];
  tieStart: boolean;
  tieStop: boolean;
  letRing: boolean;
  tapped: boolean;
  vibrato: boolean;
  accent: boolean;
  dead: boolean;
  harmonic: 'natural' | 'artificial' | undefined;
  slideAway: boolean;
  /** Slid into from below or above, from no particular fret. */
  slideInto: 'up' | 'down' | undefined;
  marks: string[];
  /** What this project wrote where the standard has no element: the text behind `phrasewright: `. */
  hints: string[];
}

/** What stands before a hint in `other-technical`. */
export const HINT = 'phrasewright: ';
/** Words and slurs of this project whose id starts so show what is also written as data: they are passed over. */
export const LABEL_ID = 'label-';

/** Articulations and ornaments that become marks by their own name; they change no pitch and no time. */
const KEPT_AS_MARKS: Readonly<Record<string, string>> = {
  staccato: 'staccato',
  tenuto: 'tenuto',
  'detached-legato': 'tenuto',
  staccatissimo: 'staccato',
  stress: 'accent',
  'trill-mark': 'trill',
  tremolo: 'tremolo',
  'up-bow': 'up',
  'down-bow': 'down',
  'snap-pizzicato': 'pop',
  golpe: 'golpe',
};

/** The pitch that a note element writes, before any transposition. */
export interface WrittenPitch {
  readonly name: PitchName;
  /** MIDI key; a quarter-tone is rounded down, see `microtone`. */
  readonly key: number;
  readonly microtone: boolean;
}

/** The pitch of a note, or `undefined` for what has none that can be read. */
export function pitchOf(node: XmlNode): WrittenPitch | undefined {
  const pitch = child(node, 'pitch');
  if (!pitch) return undefined;
  const alter = numberOf(pitch, 'alter') ?? 0;
  const octave = numberOf(pitch, 'octave');
  const step = textOf(pitch, 'step');
  const whole = Math.floor(alter);
  const name = spelled(step, whole);
  if (name === undefined || octave === undefined || octave < -1 || octave > 10) return undefined;
  const letter = [9, 11, 0, 2, 4, 5, 7][step.toUpperCase().charCodeAt(0) - 65] as number;
  return { name, key: 12 * (Math.round(octave) + 1) + letter + whole, microtone: alter !== whole };
}

/** Everything written on a note; what has no place here is said. */
export function marksOf(node: XmlNode, at: ScorePlace, report: Reporter): NoteMarks {
  const m: NoteMarks = {
    bends: [],
    hammers: [],
    pulls: [],
    slides: [],
    slurs: [],
    wavy: [],
    tieStart: false,
    tieStop: false,
    letRing: false,
    tapped: false,
    vibrato: false,
    accent: false,
    dead: false,
    harmonic: undefined,
    slideAway: false,
    slideInto: undefined,
    marks: [],
    hints: [],
  };
  for (const part of node.children) {
    if (part.name === 'tie') tie(m, part);
    else if (part.name === 'notehead') notehead(m, part);
    else if (part.name === 'play' && child(part, 'mute')) {
      const mute = textOf(part, 'mute');
      if (mute !== '' && mute !== 'off') m.marks.push('mute');
    } else if (part.name === 'notations') for (const notation of part.children) readNotation(m, notation, at, report);
  }
  m.marks = [...new Set(m.marks)];
  if (m.marks.includes('trill')) m.wavy = []; // the line behind the sign of a trill
  return m;
}

function tie(m: NoteMarks, node: XmlNode): void {
  const { type } = node.attributes;
  if (type === 'start') m.tieStart = true;
  else if (type === 'stop') m.tieStop = true;
  else if (type === 'continue') {
    m.tieStart = true;
    m.tieStop = true;
  } else if (type === 'let-ring') m.letRing = true;
}

function notehead(m: NoteMarks, node: XmlNode): void {
  const shape = node.text.trim();
  if (shape === 'x' || shape === 'cross') m.dead = true;
  else if (node.attributes.parentheses === 'yes') m.marks.push('ghost');
}

const lineEnd = (node: XmlNode): LineEnd | undefined => {
  const { type, number = '1' } = node.attributes;
  return type === 'start' || type === 'stop' ? { type, number } : undefined;
};

function readNotation(m: NoteMarks, node: XmlNode, at: ScorePlace, report: Reporter): void {
  const end = lineEnd(node);
  switch (node.name) {
    case 'tied':
      return tie(m, node);
    case 'slur':
      if (end && !node.attributes.id?.startsWith(LABEL_ID)) m.slurs.push(end);
      return;
    case 'slide':
    case 'glissando':
      if (node.name === 'glissando')
        report.say('approximated', 'glissando', 'a glissando, in which every note sounds, was read as a slide', at);
      if (end) m.slides.push({ ...end, number: `${node.name} ${end.number}` });
      return;
    case 'technical':
      for (const t of node.children) technical(m, t, at, report);
      return;
    case 'articulations':
    case 'ornaments':
      for (const a of node.children) articulation(m, a, at, report);
      return;
    case 'tuplet':
      if (node.attributes.type === 'start') report.count('tuplets');
      return;
    default:
      report.say('dropped', 'expression', `"${node.name}" is not kept`, at, { quiet: true });
  }
}

function technical(m: NoteMarks, node: XmlNode, at: ScorePlace, report: Reporter): void {
  const end = lineEnd(node);
  const number = numberIn(node.text);
  switch (node.name) {
    case 'string':
      if (number !== undefined && Number.isInteger(number)) m.string = number;
      return;
    case 'fret':
      if (number !== undefined && Number.isInteger(number)) m.fret = number;
      else if (/^x$/i.test(node.text.trim())) m.dead = true;
      return;
    case 'bend':
      return bend(m, node, at, report);
    case 'hammer-on':
      if (end) m.hammers.push(end);
      return;
    case 'pull-off':
      if (end) m.pulls.push(end);
      return;
    case 'tap':
      m.tapped = true;
      return;
    case 'harmonic':
      m.harmonic = child(node, 'artificial') ? 'artificial' : 'natural';
      return;
    case 'fingering':
      if (number !== undefined && number >= 1 && number <= 4) m.marks.push(String(number));
      return;
    case 'open-string':
      if (m.fret === undefined) m.fret = 0;
      return;
    case 'other-technical': {
      const text = node.text.trim();
      if (node.text.startsWith(HINT)) m.hints.push(node.text.slice(HINT.length));
      else if (/^(p\.?\s?m\.?|palm)/i.test(text)) m.marks.push('mute');
      else if (/vibrato/i.test(text)) m.vibrato = true;
      else
        report.say('dropped', 'technical', 'a technique without a name in the standard', at, {
          detail: text.slice(0, 40),
        });
      return;
    }
    default: {
      const mark = KEPT_AS_MARKS[node.name];
      if (mark !== undefined) m.marks.push(mark);
      else report.say('dropped', 'expression', `"${node.name}" is not kept`, at, { quiet: true });
    }
  }
}

function bend(m: NoteMarks, node: XmlNode, at: ScorePlace, report: Reporter): void {
  const alter = numberOf(node, 'bend-alter');
  if (alter === undefined || Math.abs(alter) > 24) {
    report.say('dropped', 'bend', 'a bend without a size that can be read', at);
    return;
  }
  const withBar = child(node, 'with-bar');
  if (withBar && withBar.text.trim().toLowerCase() !== 'no') {
    m.marks.push('bar');
    report.say(
      'approximated',
      'with-bar',
      'a bend with the whammy bar is no finger bend: the note is marked :bar',
      at,
      {
        detail: `${alter} semitones`,
      },
    );
    return;
  }
  const release = child(node, 'release');
  const percent = numberIn(node.attributes['first-beat']);
  const offset = numberIn(release?.attributes.offset);
  m.bends.push({
    alter,
    kind: child(node, 'pre-bend') ? 'pre-bend' : release ? 'release' : 'bend',
    ...(percent !== undefined && percent >= 0 && percent <= 100 && { firstBeat: percent }),
    ...(offset !== undefined && offset >= 0 && { offset }),
  });
}

function articulation(m: NoteMarks, node: XmlNode, at: ScorePlace, report: Reporter): void {
  const { type } = node.attributes;
  switch (node.name) {
    case 'accent':
    case 'strong-accent':
    case 'soft-accent':
      m.accent = true;
      return;
    case 'wavy-line':
      m.wavy.push(type ?? 'start');
      return;
    case 'shake':
      m.vibrato = true;
      return;
    case 'falloff':
      m.slideAway = true;
      return;
    case 'doit':
      m.slideAway = true;
      report.say('approximated', 'slide-away', 'a slide away upwards was read as a slide away', at);
      return;
    case 'scoop':
      m.slideInto = 'up';
      return;
    case 'plop':
      m.slideInto = 'down';
      return;
    case 'other-ornament':
    case 'other-articulation':
      if (/vibrato/i.test(node.text)) m.vibrato = true;
      else report.say('dropped', 'expression', `"${node.name}" is not kept`, at, { quiet: true });
      return;
    default: {
      const mark = KEPT_AS_MARKS[node.name];
      if (mark === 'accent') m.accent = true;
      else if (mark !== undefined) m.marks.push(mark);
      else report.say('dropped', 'expression', `"${node.name}" is not kept`, at, { quiet: true });
    }
  }
}
