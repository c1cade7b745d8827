// The notes of a staff in absolute time: ties joined, graces led to their notes, bends made paths, and the lines between notes made ways to start one.
import { type Cents, cents, ticks } from '../foundation/units.js';
import { type BendPath, finalLevel } from '../guitar/bend.js';
import { type BendOddity, type BendPiece, pathFromBends } from './musicxml-bend.js';
import { joinLines, stretches } from './musicxml-legato.js';
import { type LineNote, order, type PlacedMeasure, type Raw } from './musicxml-line-note.js';
import type { ScoreNote } from './musicxml-measure.js';
import type { NoteMarks } from './musicxml-note.js';
import type { Reporter } from './musicxml-report.js';

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
  const own =
    hints
      .find((h) => h.startsWith('marks '))
      ?.slice(6)
      .split(' ') ?? [];
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
