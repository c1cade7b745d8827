// The notes of a staff in absolute time: ties joined, graces led to their notes, bends made paths, and the lines between notes made ways to start one.
import { type Cents, cents, type MidiKey, ticks } from '../foundation/units.js';
import { type BendPath, finalLevel } from '../guitar/bend.js';
import type { NoteStart } from '../guitar/technique.js';
import type { PitchName } from '../theory/pitch.js';
import { type BendOddity, type BendPiece, pathFromBends } from './musicxml-bend.js';
import type { ScoreMeasure, ScoreNote } from './musicxml-measure.js';
import type { LineEnd, NoteMarks } from './musicxml-note.js';
import type { Reporter, ScorePlace } from './musicxml-report.js';

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
interface Raw extends LineNote {
  readonly written: NoteMarks;
  readonly pieces: BendPiece[];
  readonly chord: boolean;
  tieOpen: boolean;
  /** Its place in the order of time. */
  index: number;
}

/** How to read the notes of a part. */
export interface LineOptions {
  /** The staff; all of them if left out. */
  readonly staff?: number;
  readonly graces: boolean;
}

/** The notes of the chosen staff of a part, in order of time. */
export function lineNotes(measures: readonly PlacedMeasure[], options: LineOptions, report: Reporter): LineNote[] {
  const raw = gather(measures, options, report);
  joinLines(raw, report);
  stretches(measures, raw);
  const held = new Map<number | undefined, Cents>(); // the level that each string is held at
  for (const note of raw) {
    note.path = pathOf(note, held.get(note.string) ?? cents(0), report);
    held.set(note.string, finalLevel(note.path, note.goesOn ? (held.get(note.string) ?? cents(0)) : cents(0)));
  }
  return raw;
}

const order = (a: Raw, b: Raw): number => a.onset - b.onset || rank(a) - rank(b);
const rank = (note: Raw): number => (note.grace === 0 ? 0 : -note.grace);

/** Notes in time, with ties joined and graces led to the notes behind them. */
function gather(measures: readonly PlacedMeasure[], options: LineOptions, report: Reporter): Raw[] {
  const notes: Raw[] = [];
  const tied = new Map<number, Raw[]>();
  const graces = new Map<string, Raw[][]>();
  for (const [at, { measure, start }] of measures.entries()) {
    for (const note of [...measure.notes].sort((a, b) => a.at - b.at)) {
      if (options.staff !== undefined && note.staff !== options.staff) continue;
      const stream = `${note.staff}/${note.voice}`;
      const waiting = graces.get(stream) ?? [];
      if (note.kind !== 'pitched') {
        if (note.kind === 'rest') report.count('rests');
        if (note.kind === 'slash')
          report.say('dropped', 'slash', 'a slash, which is a rhythm without a pitch', note.place);
        if (note.kind === 'unpitched') report.say('dropped', 'unpitched', 'an unpitched note', note.place);
        if (waiting.length > 0) {
          for (const group of waiting) for (const g of group) lostGrace(g, report);
          graces.delete(stream);
        }
        continue;
      }
      const onset = Math.round(start + note.at);
      const length = note.grace ? 0 : Math.round(start + note.at + note.length) - onset;
      const raw = rawNote(note, onset, length, at);
      if (note.grace) {
        report.count('grace notes');
        if (!options.graces) continue;
        if (note.chord && waiting.length > 0) (waiting[waiting.length - 1] as Raw[]).push(raw);
        else waiting.push([raw]);
        graces.set(stream, waiting);
        continue;
      }
      if (length === 0) {
        report.say('dropped', 'no-time', 'a note that takes no time', note.place);
        continue;
      }
      if (note.marks.tieStop && !raw.goesOn && join(tied, raw, report)) {
        for (const group of waiting) for (const g of group) lostGrace(g, report);
        graces.delete(stream);
        continue;
      }
      if (note.marks.tieStart && note.key !== undefined) open(tied, raw);
      waiting.forEach((group, i) => {
        for (const g of group) {
          g.onset = onset;
          g.grace = waiting.length - i;
          notes.push(g);
        }
      });
      graces.delete(stream);
      notes.push(raw);
    }
  }
  for (const waiting of graces.values()) for (const group of waiting) for (const g of group) lostGrace(g, report);
  notes.sort(order).forEach((note, i) => {
    note.index = i;
  });
  return notes;
}

const lostGrace = (note: Raw, report: Reporter): void =>
  report.say('dropped', 'grace', 'a grace note that leads to no note', note.place);

function rawNote(note: ScoreNote, onset: number, length: number, measure: number): Raw {
  const { marks } = note;
  const piece: BendPiece = { at: 0, length, divisions: note.divisions, bends: marks.bends };
  return {
    onset,
    length,
    grace: 0,
    staff: note.staff,
    voice: note.voice,
    key: note.key,
    name: note.name,
    string: marks.string,
    fret: marks.fret,
    start: 'picked',
    path: [],
    ring: marks.letRing,
    vibrato: marks.vibrato,
    accent: marks.accent,
    dead: marks.dead,
    goesOn: marks.tieStop && marks.hints.includes('on'),
    harmonic: marks.harmonic,
    slideAway: marks.slideAway,
    marks: ownMarks(marks),
    measure,
    place: note.place,
    written: {
      ...marks,
      slurs: [...marks.slurs],
      wavy: [...marks.wavy],
      slides: [...marks.slides],
      hints: [...marks.hints],
    },
    pieces: [piece],
    chord: note.chord,
    tieOpen: marks.tieStart,
    index: 0,
  };
}

/** The marks of a note; those of this project first, in their order. */
function ownMarks({ marks, hints }: NoteMarks): string[] {
  const own = hints.find((h) => h.startsWith('marks '))?.slice(6).split(' ') ?? [];
  return [...new Set([...own.slice(0, 64), ...marks])];
}

function open(tied: Map<number, Raw[]>, raw: Raw): void {
  const key = raw.key as number;
  const list = (tied.get(key) ?? []).filter((r) => r.onset + r.length >= raw.onset && r.tieOpen);
  list.push(raw);
  tied.set(key, list);
}

/** Joins a note to the one that is tied to it; false if there is none. */
function join(tied: Map<number, Raw[]>, raw: Raw, report: Reporter): boolean {
  const list = raw.key === undefined ? [] : (tied.get(raw.key as number) ?? []);
  const ends = list.filter((r) => r.onset + r.length === raw.onset && r.tieOpen && r.staff === raw.staff);
  const from =
    ends.find((r) => r.string !== undefined && r.string === raw.string) ??
    ends.find((r) => r.voice === raw.voice && (r.string === undefined || raw.string === undefined)) ??
    ends.find((r) => r.string === undefined || raw.string === undefined);
  if (!from) {
    report.say('approximated', 'tie', 'a tie from no note: the note was read as played', raw.place);
    return false;
  }
  report.count('ties');
  from.pieces.push({ ...(raw.pieces[0] as BendPiece), at: from.length });
  from.length += raw.length;
  from.tieOpen = raw.tieOpen;
  from.string ??= raw.string;
  from.fret ??= raw.fret;
  from.ring ||= raw.ring;
  from.vibrato ||= raw.vibrato;
  from.slideAway ||= raw.slideAway;
  const { written } = from;
  written.slurs.push(...raw.written.slurs);
  written.wavy.push(...raw.written.wavy);
  written.slides.push(...raw.written.slides);
  written.hammers = [...written.hammers, ...raw.written.hammers.filter((h) => h.type === 'start')];
  written.pulls = [...written.pulls, ...raw.written.pulls.filter((h) => h.type === 'start')];
  return true;
}

/** Makes hammers, pulls, slides, slurs and vibrato lines what they mean for the notes at their ends. */
function joinLines(notes: readonly Raw[], report: Reporter): void {
  const pending = { hammer: new Map<string, Raw>(), pull: new Map<string, Raw>(), slide: new Map<string, Raw>() };
  const slurs = new Map<string, Raw>();
  let wavy: Raw | undefined;
  for (const note of notes) {
    const { written } = note;
    if (written.tapped) note.start = 'tapped';
    for (const [what, ends] of [
      ['hammer', written.hammers],
      ['pull', written.pulls],
    ] as const)
      for (const end of stopsFirst(ends)) {
        const open = pending[what];
        if (end.type === 'stop') {
          note.start = what === 'hammer' ? 'hammered' : 'pulled';
          report.count(what === 'hammer' ? 'hammer-ons' : 'pull-offs');
          open.delete(end.number);
        } else open.set(end.number, note);
      }
    for (const end of stopsFirst(written.slides)) {
      if (end.type === 'start') {
        if (pending.slide.size > MOST_OPEN) pending.slide.clear();
        pending.slide.set(end.number + (note.string ?? ''), note);
        continue;
      }
      const number = [end.number + (note.string ?? ''), end.number].find((n) => pending.slide.has(n)) ?? end.number;
      const from = pending.slide.get(number) ?? [...pending.slide].find(([n]) => n.startsWith(end.number))?.[1];
      if (!from) report.say('approximated', 'slide', 'a slide from no note: read as a slide up', note.place);
      note.start = from && heightOf(from) > heightOf(note) ? 'slid down' : 'slid up';
      for (const [n, r] of pending.slide) if (r === from) pending.slide.delete(n);
      report.count('slides');
    }
    if (written.slideInto !== undefined) {
      note.start = written.slideInto === 'up' ? 'slid up' : 'slid down';
      report.count('slides');
    }
    for (const end of stopsFirst(written.slurs)) {
      const number = `${note.staff}/${end.number}`;
      const from = slurs.get(number);
      if (end.type === 'start') slurs.set(number, note);
      else if (from) {
        slurs.delete(number);
        report.count('slurs');
        slurred(notes, from, note, report);
      }
    }
    for (const type of written.wavy) {
      if (type === 'start') {
        wavy = note;
        note.vibrato = true;
      } else if (type === 'stop') {
        if (wavy && wavy !== note)
          for (const between of notes.slice(wavy.index + 1, note.index + 1))
            if (between.voice === note.voice) between.vibrato = true;
        wavy = undefined;
      } else note.vibrato = true;
    }
    if (note.vibrato) report.count('vibratos');
  }
  for (const [what, open] of [
    ['hammered', pending.hammer],
    ['pulled', pending.pull],
  ] as const)
    for (const from of open.values()) unclosed(notes, from, what, report);
  for (const from of pending.slide.values()) {
    const next = nextOn(notes, from);
    if (next && next.start === 'picked' && heightOf(next) !== heightOf(from)) {
      next.start = heightOf(from) > heightOf(next) ? 'slid down' : 'slid up';
      report.say('approximated', 'slide', 'a slide whose end is not written was led to the next note', from.place);
    } else {
      from.slideAway = true;
      report.say('approximated', 'slide', 'a slide to no note was read as a slide away', from.place);
    }
  }
}

/** More slides than this are not open at once. */
const MOST_OPEN = 64;

const stopsFirst = (ends: readonly LineEnd[]): readonly LineEnd[] =>
  [...ends].sort((a, b) => (a.type === b.type ? 0 : a.type === 'stop' ? -1 : 1));

/** Fret where both have one on the same string, else pitch. */
const heightOf = (note: Raw): number => note.key ?? note.fret ?? 0;

/** The note that follows another on its string (or in its voice, where there are no strings), right behind it. */
function nextOn(notes: readonly Raw[], from: Raw): Raw | undefined {
  for (let j = from.index + 1; j < notes.length && j < from.index + 12; j++) {
    const note = notes[j] as Raw;
    if (note.onset === from.onset && note.grace === from.grace) continue;
    if (from.string === undefined ? note.voice === from.voice : note.string === from.string) return note;
  }
  return undefined;
}

function unclosed(notes: readonly Raw[], from: Raw, what: 'hammered' | 'pulled', report: Reporter): void {
  const next = nextOn(notes, from);
  if (!next || next.start !== 'picked') return;
  next.start = what;
  report.say(
    'approximated',
    'legato',
    `a ${what === 'hammered' ? 'hammer-on' : 'pull-off'} whose end is not written was led to the next note`,
    from.place,
  );
}

/** A slur over more notes than this is no hammering and pulling. */
const LONGEST_LEGATO = 12;

/** A slur over notes of one string, each at another fret: the notes behind the first are hammered or pulled. */
function slurred(notes: readonly Raw[], from: Raw, to: Raw, report: Reporter): void {
  if (from.string === undefined || to.index - from.index > LONGEST_LEGATO) return;
  const within = notes.slice(from.index, to.index + 1).filter((n) => n.voice === from.voice);
  const touching = within.every((n, i) => {
    const before = within[i - 1];
    return !before || before.grace > 0 || before.onset + before.length === n.onset;
  });
  if (!touching || within.some((n) => n.string !== from.string || n.dead || n.goesOn)) return;
  within.forEach((note, i) => {
    const before = within[i - 1];
    if (!before || note.start !== 'picked' || note.fret === undefined || before.fret === undefined) return;
    if (note.fret === before.fret || note.pieces.some((p) => p.bends.length > 0)) return;
    note.start = note.fret > before.fret ? 'hammered' : 'pulled';
    report.say('approximated', 'slur', 'a slur on one string was read as hammered and pulled', note.place);
  });
}

/** Stretches marked "let ring" or "P.M.". */
function stretches(measures: readonly PlacedMeasure[], notes: readonly Raw[]): void {
  const open = new Map<string, { readonly what: 'ring' | 'mute'; readonly from: number }>();
  const apply = (what: string, from: number, to: number): void => {
    for (let i = firstFrom(notes, from); i < notes.length; i++) {
      const note = notes[i] as Raw;
      if (note.onset >= to) break;
      if (what === 'ring') note.ring = true;
      else if (!note.marks.includes('mute')) note.marks.push('mute');
    }
  };
  for (const { measure, start } of measures)
    for (const { at, what, number } of measure.directions.stretches) {
      const here = Math.round(start + at);
      if (what === 'ring' || what === 'mute') open.set(number, { what, from: here });
      else if (what === 'end') {
        const begun = open.get(number);
        if (begun) apply(begun.what, begun.from, here + 1);
        open.delete(number);
      } else apply(what === 'ring here' ? 'ring' : 'mute', here, here + 1);
    }
}

/** Index of the first note that does not start before a tick. */
function firstFrom(notes: readonly Raw[], at: number): number {
  let low = 0;
  let high = notes.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if ((notes[middle] as Raw).onset < at) low = middle + 1;
    else high = middle;
  }
  return low;
}

const ODD: Readonly<Record<BendOddity, string>> = {
  'release-sign': 'a release written with a positive size was read by its size',
  'release-missing': 'a bend of negative size without a release sign was read as a release',
  rounded: 'a bend that is no multiple of a quarter-tone was rounded',
  below: 'a release by more than the bend was read as a release to the fret',
  times: 'the times of a bend do not fit its note: its levels share it',
};

function pathOf(note: Raw, heldNow: Cents, report: Reporter): BendPath {
  const hint = note.written.hints.find((h) => h.startsWith('path '))?.slice(5);
  const bends = note.pieces.reduce((sum, p) => sum + p.bends.length, 0);
  if (bends === 0 && hint === undefined) return [];
  report.count('bends', bends);
  if (note.dead) return [];
  const held = note.goesOn ? heldNow : cents(0);
  const bent = { length: ticks(note.length), goesOn: note.goesOn, held, ...(hint !== undefined && { hint }) };
  return pathFromBends(note.pieces, bent, (what) => report.say('approximated', 'bend', ODD[what], note.place));
}
