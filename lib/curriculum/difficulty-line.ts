// A phrase as its player meets it: what both hands do, moment by moment in seconds, and what each string holds.
import { type Cents, cents, ticks } from '../foundation/units.js';
import { type Neck, neckOf } from '../guitar/fingering-hand.js';
import { type BarGrid, secondsOf } from '../solo/changes.js';
import { gridOf, type Note, type Phrase, type Solo } from '../solo/solo.js';
import { type Sounding, soundingOf, stagesOf } from '../solo/sounding.js';

/** One change of a bend, at a moment. */
export interface BendAct {
  /** Ticks, and seconds from the start of the phrase. */
  readonly onset: number;
  readonly at: number;
  /** Bent up while it sounds; bent already when it begins; let down. */
  readonly kind: 'up' | 'start' | 'down';
  /** How far the string is bent before and after, in cents. */
  readonly from: Cents;
  readonly to: Cents;
  /** True if the moment of it is written. */
  readonly timed: boolean;
}

/** A stretch of time, in ticks, in which a string is bent. */
export interface BendHold {
  readonly from: number;
  readonly until: number;
  /** The highest level in it. */
  readonly level: Cents;
}

/** One note as it is played. */
export interface Stroke {
  readonly note: Note;
  readonly string: number;
  /** The fret that is held, counted from the capo; 0 for open strings and dead notes. */
  readonly fret: number;
  /** True if a finger of the fretting hand presses it. */
  readonly pressed: boolean;
  /** True if it begins here: neither a dead note nor a string that goes on. */
  readonly isNew: boolean;
  readonly onset: number;
  readonly at: number;
  /** Ticks at which it stops sounding. */
  readonly end: number;
  readonly acts: readonly BendAct[];
  readonly holds: readonly BendHold[];
}

/** Notes that begin together, graces and strings that go on apart. */
export interface PlayedEvent {
  readonly onset: number;
  readonly at: number;
  /** String 1 first. */
  readonly strokes: readonly Stroke[];
}

/** A phrase, or a part of it, ready for judging. */
export interface PlayedLine {
  readonly solo: Solo;
  readonly grid: BarGrid;
  readonly neck: Neck;
  /** All notes, in order. */
  readonly strokes: readonly Stroke[];
  readonly events: readonly PlayedEvent[];
  /** True if the line begins where the phrase does. */
  readonly hasEntry: boolean;
}

/** Which part of a phrase, and at which tempo. */
export interface LineOptions {
  /** Quarter notes a minute. Default: as written. */
  readonly tempo?: number;
  /** Only the notes that begin from this tick on, and before that one; ticks from the start of bar 0. Default: all. */
  readonly from?: number;
  readonly until?: number;
}

/** Times below this, in seconds, count as this: no hand plays two notes so near to each other, so that they are written by mistake, or as an ornament. */
export const LEAST_SECONDS = 0.02;

const ZERO = cents(0);

/** Lays out a phrase as it is played. */
export function playedLine(solo: Solo, phrase: Phrase, options: LineOptions = {}): PlayedLine {
  const { from = Number.NEGATIVE_INFINITY, until = Number.POSITIVE_INFINITY } = options;
  const grid = gridOf(solo);
  const sounding = soundingOf(phrase);
  const strokes: Stroke[] = [];
  let at = 0;
  let since: number = phrase.at;
  phrase.notes.forEach((note, i) => {
    const tempo = options.tempo ?? grid.place(note.onset).bar.tempo;
    at += secondsOf(note.onset - since, tempo);
    since = note.onset;
    if (note.onset < from || note.onset >= until) return;
    const sound = sounding[i] as Sounding;
    const origin = phrase.notes[sound.origin];
    const silent = note.kind === 'dead' || origin === undefined;
    const end = Math.min(until, note.grace > 0 ? note.onset : sound.end);
    const fret = silent ? 0 : origin.fret;
    strokes.push({
      note,
      string: note.string,
      fret,
      pressed: !silent && fret > 0 && !origin.harmonic && origin.start !== 'tapped',
      isNew: note.kind === 'fretted',
      onset: note.onset,
      at,
      end,
      ...(silent || (note.path.length === 0 && note.kind !== 'on')
        ? { acts: [], holds: [] }
        : bendOf(note, sound, at, tempo, end)),
    });
  });
  const events: PlayedEvent[] = [];
  for (const stroke of strokes) {
    if (stroke.note.grace > 0 || stroke.note.kind === 'on') continue;
    const last = events[events.length - 1];
    if (last && last.onset === stroke.onset) (last.strokes as Stroke[]).push(stroke);
    else events.push({ onset: stroke.onset, at: stroke.at, strokes: [stroke] });
  }
  const first = phrase.notes.find((note) => note.grace === 0 && note.kind !== 'on');
  return {
    solo,
    grid,
    neck: neckOf(solo.guitar),
    strokes,
    events,
    hasEntry: events.length > 0 && events[0]?.onset === first?.onset,
  };
}

function bendOf(note: Note, { held }: Sounding, at: number, tempo: number, end: number) {
  const acts: BendAct[] = [];
  const holds: { from: number; until: number; level: Cents }[] = [];
  const isOn = note.kind === 'on';
  if (note.grace > 0) {
    const to = note.path[note.path.length - 1]?.level ?? ZERO;
    if (to > 0) acts.push({ onset: note.onset, at, kind: 'up', from: ZERO, to, timed: false });
    return { acts, holds };
  }
  const { leadIn, stages } = stagesOf(note, held);
  let level = leadIn ?? (isOn ? held : undefined);
  stages.forEach((stage, k) => {
    const onset = note.onset + stage.at;
    const until = k === stages.length - 1 ? end : Math.min(end, onset + stage.length);
    const now = {
      onset,
      at: at + secondsOf(stage.at, tempo),
      to: stage.level,
      timed: stage.timed || (isOn && k === 0),
    };
    if (level === undefined) {
      if (stage.level > 0) acts.push({ ...now, kind: 'start', from: ZERO });
    } else if (stage.level > level) acts.push({ ...now, kind: 'up', from: level });
    else if (stage.level < level) acts.push({ ...now, kind: 'down', from: level });
    const last = holds[holds.length - 1];
    if (stage.level > 0 && until > onset) {
      if (last && last.until === onset) {
        last.until = until;
        last.level = cents(Math.max(last.level, stage.level));
      } else holds.push({ from: onset, until, level: stage.level });
    }
    level = stage.level;
  });
  // What a later part of the phrase would do is no part of an excerpt.
  return { acts: acts.filter((act) => act.onset < end || act.onset === note.onset), holds };
}

/** True if two strokes sound at once at some time. */
export const soundTogether = (a: Stroke, b: Stroke): boolean =>
  a.onset === b.onset || (a.onset < b.onset ? a.end > b.onset : b.end > a.onset);

/** The first stroke of an event: that of the highest string. */
export const topOf = (event: PlayedEvent): Stroke => event.strokes[0] as Stroke;

/** Offset into its bar. */
export const offsetOf = ({ grid }: PlayedLine, onset: number) => grid.place(ticks(onset));
