// From what the hand does to what the ear gets: tones of steady pitch that tile the notes.
import { QUARTER } from '../foundation/time.js';
import { type Cents, cents, type Fret, type StringNumber, type Ticks, ticks } from '../foundation/units.js';
import { bentPitch, harmonicPitch, pitchAt } from '../guitar/fretboard.js';
import { isStruck, type Reached, type ToneStart, toneStart } from '../guitar/technique.js';
import type { Note, Phrase, Solo } from './solo.js';
import { type Sounding, soundingOf, stagesOf } from './sounding.js';

/** A stretch of steady pitch on one string. */
export interface Tone {
  /** Index of the phrase in the solo, and of the note in the phrase. */
  readonly phrase: number;
  readonly note: number;
  /** Ticks from the start of bar 0. A grace tone has the onset of the note it leads to and no time of its own. */
  readonly onset: Ticks;
  /** Ticks it sounds, ringing included. */
  readonly length: Ticks;
  readonly pitch: Cents;
  readonly string: StringNumber;
  readonly fret: Fret;
  /** How far the string is bent, in cents. */
  readonly level: Cents;
  readonly start: ToneStart;
  readonly reached: Reached;
  /** Picked or tapped, itself or through the grace note before it. */
  readonly struck: boolean;
  /** A grace, or an untimed stage of a bend shorter than a thirty-second: kept, but in no count unless asked for. */
  readonly ornament: boolean;
  /** True for a tone that begins where an untimed bend path was divided: its onset is a share, not a written time. */
  readonly split: boolean;
  readonly grace: number;
}

/** An untimed stage of a bend shorter than this is an ornament. */
export const ORNAMENT_BELOW = ticks(QUARTER / 8);

/**
 * The tones of a solo in order of onset, graces first, then string 1 first. Dead notes give none; phrases never mix.
 * @example
 * tonesOf(parseSoloOrThrow(EXAMPLE_SOLO)).slice(0, 2).map((t) => [t.pitch, t.reached]) // => [[6000, 'straight'], [6400, 'bent']]
 */
export function tonesOf(solo: Solo): readonly Tone[] {
  const tones: Tone[] = [];
  solo.phrases.forEach((phrase, index) => {
    const from = tones.length;
    phraseTones(solo, phrase, index, tones);
    sortFrom(tones, from);
  });
  return tones;
}

function sortFrom(tones: Tone[], from: number): void {
  // Nearly sorted already: only stages of a bend under later notes stand out of order.
  for (let i = from + 1; i < tones.length; i++) {
    const tone = tones[i] as Tone;
    let j = i - 1;
    while (j >= from && after(tones[j] as Tone, tone)) {
      tones[j + 1] = tones[j] as Tone;
      j--;
    }
    tones[j + 1] = tone;
  }
}

const after = (a: Tone, b: Tone): boolean =>
  a.onset !== b.onset ? a.onset > b.onset : a.grace !== b.grace ? rank(a) > rank(b) : a.string > b.string;
const rank = (tone: Tone): number => -tone.grace;

function phraseTones(solo: Solo, phrase: Phrase, index: number, out: Tone[]): void {
  const sounding = soundingOf(phrase);
  const lastTone = new Map<number, number>(); // by string: where its sounding tone stands in out
  const graceStruck = new Map<number, boolean>();
  let graceOnset = -1;
  phrase.notes.forEach((note, i) => {
    const sound = sounding[i] as Sounding;
    if (note.onset !== graceOnset) {
      if (graceStruck.size > 0) graceStruck.clear(); // emptying an empty map, note after note, is slow
      graceOnset = note.onset;
    }
    if (note.kind === 'dead' || sound.origin < 0) {
      lastTone.delete(note.string);
      return;
    }
    const origin = phrase.notes[sound.origin] as Note;
    const key = origin.harmonic
      ? harmonicPitch(solo.guitar, note.string, origin.fret)
      : pitchAt(solo.guitar, note.string, origin.fret);
    if (key === undefined) return; // off the neck: a fault, reported by checking
    if (note.grace > 0) {
      lastTone.delete(note.string); // what sounded before is over: a string that goes on goes on from the grace
      if (isStruck(note.start)) graceStruck.set(note.string, true);
      const level = note.path.length === 0 ? cents(0) : (note.path[note.path.length - 1]?.level ?? cents(0));
      const reached: Reached = level === 0 ? 'straight' : note.path.length === 1 ? 'prebent' : 'bent';
      out.push(
        toneOf(
          index,
          i,
          note,
          key,
          origin.fret,
          note.onset,
          ticks(0),
          level,
          toneStart(note.start),
          reached,
          isStruck(note.start),
          true,
          false,
        ),
      );
      return;
    }
    const { leadIn, stages } = stagesOf(note, sound.held);
    let previous: Cents | undefined = note.kind === 'on' ? sound.held : leadIn;
    stages.forEach((stage, k) => {
      const last = k === stages.length - 1;
      const end = last ? sound.end : note.onset + stage.at + stage.length;
      const onset = ticks(note.onset + stage.at);
      const sameAsHeld = note.kind === 'on' && k === 0 && stage.level === sound.held;
      const holder = sameAsHeld ? lastTone.get(note.string) : undefined;
      if (holder !== undefined) {
        // A level already held makes no tone: the one that sounds goes on.
        const tone = out[holder] as Tone;
        const sounding = ticks(end - tone.onset);
        out[holder] = { ...tone, length: sounding, ornament: tone.ornament && sounding < ORNAMENT_BELOW };
        previous = stage.level;
        return;
      }
      const begins = k === 0 && note.kind !== 'on';
      const reached = reachedBy(begins, previous, stage.level, sound.wasHeld);
      const start: ToneStart = begins ? toneStart(note.start) : 'none';
      const struck = begins && (isStruck(note.start) || graceStruck.get(note.string) === true);
      const length = ticks(end - onset);
      const ornament = !stage.timed && stages.length > 1 && length < ORNAMENT_BELOW;
      out.push(
        toneOf(
          index,
          i,
          note,
          key,
          origin.fret,
          onset,
          length,
          stage.level,
          start,
          reached,
          struck,
          ornament,
          k > 0 && !stage.timed,
        ),
      );
      lastTone.set(note.string, out.length - 1);
      previous = stage.level;
    });
  });
}

function reachedBy(begins: boolean, previous: Cents | undefined, level: Cents, wasHeld: boolean): Reached {
  if (begins && previous === undefined) return level === 0 ? 'straight' : wasHeld ? 'held' : 'prebent';
  if (level === previous) return level === 0 ? 'straight' : 'held';
  return level > (previous ?? 0) ? 'bent' : 'released';
}

function toneOf(
  phrase: number,
  index: number,
  note: Note,
  key: Parameters<typeof bentPitch>[0],
  fret: Fret,
  onset: Ticks,
  length: Ticks,
  level: Cents,
  start: ToneStart,
  reached: Reached,
  struck: boolean,
  ornament: boolean,
  split: boolean,
): Tone {
  return {
    phrase,
    note: index,
    onset,
    length,
    pitch: bentPitch(key, level),
    string: note.string,
    fret,
    level,
    start,
    reached,
    struck,
    ornament,
    split,
    grace: note.grace,
  };
}

/**
 * For each tone, the index of its event: tones with one onset in one phrase are one event. Graces have -1 and so have ornaments.
 * Events are numbered through the whole solo.
 */
export function eventsOf(tones: readonly Tone[]): Int32Array {
  const events = new Int32Array(tones.length);
  let event = -1;
  let onset = -1;
  let phrase = -1;
  tones.forEach((tone, i) => {
    if (tone.ornament) {
      events[i] = -1;
      return;
    }
    if (tone.onset !== onset || tone.phrase !== phrase) {
      event++;
      onset = tone.onset;
      phrase = tone.phrase;
    }
    events[i] = event;
  });
  return events;
}

/**
 * The line: indices of the top new tone of each event (or the lowest, for the lower voice), in order.
 * A unison of two strings counts once: of equal pitches a struck tone stands before one that is not, then the lower string number.
 * @example
 * const tones = tonesOf(parseSoloOrThrow(EXAMPLE_SOLO))
 * lineOf(tones).length // => 12
 */
export function lineOf(tones: readonly Tone[], voice: 'upper' | 'lower' = 'upper'): readonly number[] {
  const events = eventsOf(tones);
  const line: number[] = [];
  let event = -1;
  const sign = voice === 'upper' ? 1 : -1;
  for (let i = 0; i < tones.length; i++) {
    if (events[i] === -1) continue;
    if (events[i] !== event) {
      event = events[i] as number;
      line.push(i);
      continue;
    }
    const best = tones[line[line.length - 1] as number] as Tone;
    const tone = tones[i] as Tone;
    if (sign * (tone.pitch - best.pitch) > 0 || (tone.pitch === best.pitch && tone.struck && !best.struck))
      line[line.length - 1] = i;
  }
  return line;
}
