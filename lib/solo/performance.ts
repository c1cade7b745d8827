// A solo -> what each string does, in seconds: the step between what is written and what is heard.
import { type Cents, cents, type StringNumber, type Ticks, ticks } from '../foundation/units.js';
import { type BendStages, layBend } from '../guitar/bend.js';
import { harmonicPitch, openKey, pitchAt } from '../guitar/fretboard.js';
import type { NoteStart } from '../guitar/technique.js';
import { type Clock, clockOf } from './clock.js';
import { type Span, startTimes } from './grace-time.js';
import { bendCurve, moveTime, type PitchPoint, pitchOn, type Vibrato, vibratoAt, vibratoOn } from './pitch-curve.js';
import type { Note, Phrase, Solo } from './solo.js';
import { type Sounding, soundingOf, stagesOf } from './sounding.js';

/** How a string is kept from ringing: not at all, by the palm, or by the fretting hand (a dead note). */
export type Damping = 'open' | 'palm' | 'dead';

/** One note as it sounds on its string. */
export interface Sound {
  /** Index of the phrase in the solo, and of the note in the phrase. */
  readonly phrase: number;
  readonly note: number;
  readonly string: StringNumber;
  /** Seconds in which it sounds. A note that graces lead to comes after them; a grace stands where its main note is written. */
  readonly at: number;
  readonly end: number;
  readonly start: NoteStart;
  /** True when the string sounds already and is not stopped in between: hammered, pulled, slid, let down. */
  readonly joins: boolean;
  /** How hard the string is struck, 0 to 1; 0 where it is not struck anew. */
  readonly loudness: number;
  readonly damping: Damping;
  readonly harmonic: boolean;
  /** Pitch without vibrato; the first point is where it begins. */
  readonly curve: readonly PitchPoint[];
  readonly vibrato?: Vibrato;
}

/** What is to be heard. Second 0 is the start of the bar in which the first phrase comes in. */
export interface Performance {
  /** In order of time, then string 1 first. On one string no sound overlaps another. */
  readonly sounds: readonly Sound[];
  /** Where the last sound ends. */
  readonly seconds: number;
  /** Quarter notes a minute at the start. */
  readonly tempo: number;
  /** Marks that are written but not heard here, such as `trill`. */
  readonly unheard: readonly string[];
}

/** What to play. */
export interface PerformanceOptions {
  /** Only the phrase with this id. Default: all. */
  readonly phrase?: string;
  /** Quarter notes a minute at the start, 20 to 400; later tempos change in proportion. Default: as written. */
  readonly tempo?: number;
}

/** How hard each start strikes the string. Hammered and pulled are softer than picked. Common practice, no source for the numbers. */
const STRENGTH: Readonly<Record<NoteStart, number>> = {
  picked: 0.8,
  tapped: 0.55,
  hammered: 0.35,
  pulled: 0.35,
  'slid up': 0.7,
  'slid down': 0.7,
  none: 0,
};
const ACCENT = 1.25;
const GHOST = 0.35;
/** A dead note is heard this long at most. */
const DEAD_SECONDS = 0.1;
const SLIDE_SECONDS = 0.1;
const SLIDE_AWAY_SECONDS = 0.15;
/** A slide from no particular fret starts two frets off; one to no particular fret goes down five. */
const SLIDE_FROM_FRETS = 2;
const SLIDE_AWAY_FRETS = 5;
/** Ticks that a grace note's bend is laid over: any number will do, its time is shared out again. */
const GRACE_TICKS = 960;
/** Marks that change the sound, and marks that say how to play and have no sound of their own. */
const KNOWN_MARKS: ReadonlySet<string> = new Set(['ghost', 'mute', 'up', 'down', '1', '2', '3', '4']);

/**
 * Plays a solo, or one of its phrases: when each note sounds and how its pitch moves, with tempo and swing ({@link clockOf}), graces, bends that rise
 * and fall, slides, vibrato, ringing, dead notes, accents and ghost notes. How long the hand takes for each is common practice, no source.
 * @throws RangeError if there is no such phrase, or the tempo is none
 * @example
 * const { sounds } = performanceOf(parseSoloOrThrow(EXAMPLE_SOLO), { tempo: 60 })
 * sounds.slice(0, 2).map((s) => [s.at, s.end]) // => [[3.5, 4], [4, 5]]
 * [4, 4.2].map((at) => soundPitch(sounds[1], at)) // => [6200, 6400]
 */
export function performanceOf(solo: Solo, options: PerformanceOptions = {}): Performance {
  const { phrase: id, tempo = solo.tempo } = options;
  const clock = clockOf(solo, tempo);
  const drafts: Draft[] = [];
  const unheard = new Set<string>();
  let zero: number | undefined;
  solo.phrases.forEach((phrase, index) => {
    if (id !== undefined && phrase.id !== id) return;
    zero ??= clock.barSeconds(phrase.at);
    playPhrase(solo, phrase, index, clock, drafts);
    for (const { marks } of phrase.notes) for (const mark of marks) if (!KNOWN_MARKS.has(mark)) unheard.add(mark);
  });
  if (id !== undefined && zero === undefined)
    throw new RangeError(`there is no phrase ${id}; phrases: ${solo.phrases.map((p) => p.id).join(', ')}`);
  const sounds = oneAtATime(drafts).map((draft) => shifted(draft, zero ?? 0));
  return { sounds, seconds: sounds.reduce((last, s) => Math.max(last, s.end), 0), tempo, unheard: [...unheard].sort() };
}

/**
 * The pitch of a sound at a moment, in cents, vibrato included.
 * @example
 * const [first] = performanceOf(parseSoloOrThrow(EXAMPLE_SOLO)).sounds
 * soundPitch(first, first.at) // => 6000
 */
export const soundPitch = (sound: Sound, at: number): number => pitchOn(sound.curve, at) + vibratoAt(sound.vibrato, at);

/** A sound in the making. */
interface Draft extends Omit<Sound, 'end' | 'curve' | 'joins'> {
  end: number;
  joins: boolean;
  readonly curve: PitchPoint[];
  /** Where its last level begins, and whether it has slid away already. */
  readonly steadyFrom: number;
  readonly slidAway: boolean;
}

function playPhrase(solo: Solo, phrase: Phrase, index: number, clock: Clock, out: Draft[]): void {
  const sounding = soundingOf(phrase);
  const spans = startTimes(phrase, clock);
  const damped = new Set<number>(phrase.damps);
  const lastOn = new Map<number, { readonly draft: Draft; readonly onset: Ticks; readonly until: Ticks }>(); // by string
  phrase.notes.forEach((note, i) => {
    const sound = sounding[i] as Sounding;
    const span = spans[i] as Span;
    const last = lastOn.get(note.string);
    lastOn.delete(note.string);
    const fretted = note.kind === 'dead' ? note : phrase.notes[sound.origin];
    const base = fretted && pitchOf(solo, note, fretted);
    if (fretted === undefined || base === undefined) return; // a silent string, or off the neck: checking says so
    const sounds = last && last.until >= note.onset && !(damped.has(note.onset) && last.onset < note.onset);
    const before = sounds && note.kind !== 'dead' && note.start !== 'picked' ? last.draft : undefined;
    const seconds = secondsWithin(note, span, clock);
    const stroke = { note, fretted, base, span, held: sound.held, ringsTo: clock.seconds(sound.end), before, seconds };
    const draft: Draft = { phrase: index, note: i, ...(note.kind === 'dead' ? deadDraft(stroke) : draftOf(stroke)) };
    out.push(draft);
    if (note.kind !== 'dead') lastOn.set(note.string, { draft, onset: note.onset, until: sound.end });
  });
}

/** All that is known of a note when it is played. */
interface Stroke {
  readonly note: Note;
  /** The note that set the string sounding: itself, or the one that goes on. */
  readonly fretted: Note;
  /** Cents of the unbent string. */
  readonly base: number;
  readonly span: Span;
  /** How far the string is bent when the note begins. */
  readonly held: Cents;
  /** Second at which the string stops if nothing else is played on it. */
  readonly ringsTo: number;
  /** What sounds on the string right up to this note, if the note goes on from it. */
  readonly before: Draft | undefined;
  /** Where a tick of the note, counted from its onset, is played. */
  readonly seconds: (tick: number) => number;
}

/** Where a tick of a note is played. What graces have left of a note is shared out as its whole time is written. */
function secondsWithin(note: Note, { at, until }: Span, clock: Clock): (tick: number) => number {
  if (note.grace > 0) return (tick) => at + ((until - at) * tick) / GRACE_TICKS;
  const written = clock.seconds(note.onset);
  const left = (until - at) / (until - written);
  return (tick) => at + (clock.seconds(ticks(note.onset + tick)) - written) * left;
}

/** Cents of the unbent string. A harmonic sounds the true partial; a dead note has the thump of its open string. */
function pitchOf(solo: Solo, note: Note, played: Note): number | undefined {
  const open = openKey(solo.guitar, note.string);
  if (open === undefined) return undefined;
  if (note.kind === 'dead') return open * 100;
  if (played.harmonic) {
    const key = harmonicPitch(solo.guitar, note.string, played.fret);
    return key === undefined ? undefined : open * 100 + 1200 * Math.log2(Math.round(2 ** ((key - open) / 12)));
  }
  const key = pitchAt(solo.guitar, note.string, played.fret);
  return key === undefined ? undefined : key * 100;
}

function draftOf(stroke: Stroke): Omit<Draft, 'phrase' | 'note'> {
  const { note, fretted, base, span, before, seconds } = stroke;
  const laid = note.grace > 0 ? graceBend(note) : stagesOf(note, stroke.held);
  const bend = note.kind === 'on' ? { ...laid, leadIn: stroke.held } : laid;
  const end = Math.max(span.until, stroke.ringsTo);
  const curve = bendCurve(base, bend, seconds);
  const steadyFrom = seconds((bend.stages[bend.stages.length - 1] as BendStages['stages'][number]).at);
  if (note.start === 'slid up' || note.start === 'slid down') slideInto(curve, stroke);
  const away = note.slideAway ? Math.min(SLIDE_AWAY_FRETS, fretted.fret) * 100 : 0;
  if (away > 0) {
    const last = (curve[curve.length - 1] as PitchPoint).cents;
    const leaves = end - moveTime(SLIDE_AWAY_SECONDS, end - steadyFrom);
    curve.push({ at: leaves, cents: last }, { at: end, cents: last - away });
  }
  return {
    string: note.string,
    at: span.at,
    end,
    start: note.start,
    joins: before !== undefined,
    loudness: loudnessOf(stroke),
    damping: note.marks.includes('mute') ? 'palm' : 'open',
    harmonic: fretted.harmonic,
    curve,
    steadyFrom,
    slidAway: away > 0,
    ...(note.vibrato && { vibrato: vibratoOn(bend, seconds) }),
  };
}

/** A dead note: the string is struck and damped at once. */
function deadDraft(stroke: Stroke): Omit<Draft, 'phrase' | 'note'> {
  const { note, base, span } = stroke;
  return {
    string: note.string,
    at: span.at,
    end: Math.min(span.until, span.at + DEAD_SECONDS),
    start: note.start,
    joins: false,
    loudness: loudnessOf(stroke),
    damping: 'dead',
    harmonic: false,
    curve: [{ at: span.at, cents: base }],
    steadyFrom: span.at,
    slidAway: false,
  };
}

function loudnessOf({ note, before }: Stroke): number {
  const slides = before !== undefined && (note.start === 'slid up' || note.start === 'slid down');
  return (slides ? 0 : STRENGTH[note.start]) * (note.accent ? ACCENT : 1) * (note.marks.includes('ghost') ? GHOST : 1);
}

/** A slide on a sounding string is on its way before the beat and arrives on it; from a silent one it is picked two frets off. */
function slideInto(curve: PitchPoint[], { note, span, before }: Stroke): void {
  const first = curve[0] as PitchPoint;
  if (before === undefined) {
    const frets = note.start === 'slid up' ? -Math.min(SLIDE_FROM_FRETS, note.fret) : SLIDE_FROM_FRETS;
    curve[0] = { at: first.at, cents: first.cents + frets * 100 };
    const takes = moveTime(SLIDE_SECONDS, span.until - span.at);
    if (curve.length === 1) curve.push({ at: first.at + takes, cents: first.cents }); // else the slide leads into the bend
  } else if (!before.slidAway) {
    const last = (before.curve[before.curve.length - 1] as PitchPoint).cents;
    before.curve.push({ at: first.at - moveTime(SLIDE_SECONDS, first.at - before.steadyFrom), cents: last }, first);
  }
}

function graceBend(note: Note): BendStages {
  const flat: BendStages = {
    leadIn: undefined,
    stages: [{ level: cents(0), at: ticks(0), length: ticks(GRACE_TICKS), timed: false }],
  };
  const laid = layBend(
    note.path.map(({ level }) => ({ level })),
    ticks(GRACE_TICKS),
    cents(0),
  );
  return 'reason' in laid ? flat : laid;
}

/** Puts sounds in order of time; a string that is played again stops what it sounded. */
function oneAtATime(drafts: Draft[]): readonly Draft[] {
  const lastOn = new Map<number, Draft>();
  const sorted = drafts.sort((a, b) => a.at - b.at || a.string - b.string);
  for (const draft of sorted) {
    const before = lastOn.get(draft.string);
    if (before === undefined) draft.joins = false;
    else before.end = draft.joins ? draft.at : Math.min(before.end, draft.at);
    lastOn.set(draft.string, draft);
  }
  return sorted;
}

function shifted({ steadyFrom: _, slidAway: __, vibrato, ...draft }: Draft, zero: number): Sound {
  return {
    ...draft,
    at: draft.at - zero,
    end: draft.end - zero,
    curve: draft.curve.map((p) => ({ at: p.at - zero, cents: p.cents })),
    ...(vibrato && { vibrato: { ...vibrato, from: vibrato.from - zero, until: vibrato.until - zero } }),
  };
}
