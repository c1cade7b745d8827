// Exercises as solos: made of plain events or cut out of a phrase, over the same changes, so that they print, sound and are checked as any solo is.
import { cents, type Fret, type StringNumber, type Ticks, ticks } from '../foundation/units.js';
import type { BendPath } from '../guitar/bend.js';
import { NO_CHANGES } from '../solo/changes.js';
import { gridOf, type Note, type Phrase, PLAIN_NOTE, type Remark, type Solo } from '../solo/solo.js';

/** Something to play for a time, or a rest. */
export interface ExerciseEvent {
  readonly length: Ticks;
  /** Absent: a rest. */
  readonly at?: { readonly string: StringNumber; readonly fret: Fret };
  readonly start?: Note['start'];
  /** Levels in frets' worth, as in `[0, 2]`. */
  readonly bend?: readonly number[];
  /** Rings on under what follows. */
  readonly ring?: boolean;
  /** A remark on this note. */
  readonly say?: string;
}

/** A short piece to practise: a solo of its own with one phrase. */
export interface Exercise {
  readonly title: string;
  /** Why it is there, in a sentence. */
  readonly why: string;
  readonly solo: Solo;
}

const path = (levels: readonly number[]): BendPath => levels.map((level) => ({ level: cents(level * 100) }));

/** A plain picked note. */
export function plainNote(onset: Ticks, event: ExerciseEvent): Note {
  const { at, start = 'picked', bend = [], ring = false } = event;
  if (!at) throw new RangeError('a rest is no note');
  return {
    ...PLAIN_NOTE,
    onset,
    length: event.length,
    string: at.string,
    fret: at.fret,
    ring,
    start,
    path: path(bend),
  };
}

/**
 * An exercise on the guitar, key, meter, feel and changes of a solo: events one after the other from a tick on.
 */
export function exerciseOf(
  solo: Solo,
  { title, why, say }: { readonly title: string; readonly why: string; readonly say?: string },
  at: Ticks,
  events: readonly ExerciseEvent[],
  tempo: number = solo.tempo,
): Exercise {
  const notes: Note[] = [];
  const remarks: Remark[] = say === undefined ? [] : [{ text: say }];
  let onset: number = at;
  for (const event of events) {
    if (event.at) notes.push(plainNote(ticks(onset), event));
    if (event.say !== undefined) remarks.push({ text: event.say, at: ticks(onset) });
    onset += event.length;
  }
  const last = notes[notes.length - 1];
  const end = last ? last.onset + last.length : at;
  const phrase: Phrase = { id: '1', name: title, at, length: ticks(end - at), notes, damps: [], remarks };
  return { title, why, solo: withPhrase(solo, title, phrase, tempo) };
}

/** A solo of one phrase over the changes of another; tempos written into the changes give way to the one asked for. */
export function withPhrase(solo: Solo, title: string, phrase: Phrase, tempo: number = solo.tempo): Solo {
  const settings = solo.changes.settings.flatMap(({ tempo: _, ...rest }) =>
    Object.keys(rest).length > 1 ? [rest] : [],
  );
  return { ...solo, title, tempo, remarks: [], changes: { ...solo.changes, settings }, phrases: [phrase] };
}

/** The guitar, key, meter and feel of a solo at a place, without its changes: for what is practised over no chord. It begins in bar 1. */
export function aloneAt(solo: Solo, at: Ticks): { readonly solo: Solo; readonly at: Ticks } {
  const { bar } = gridOf(solo).place(at);
  const { meter, key, feel } = bar;
  return { solo: { ...solo, meter, key, feel, changes: NO_CHANGES }, at: meter.barTicks };
}

/**
 * The notes of a phrase whose onsets lie from one tick up to another, as a phrase of its own. What would hang in the air is mended: the first note on a
 * string is picked, a string that only goes on is left out, a bend that was held from before begins where its first level is.
 */
export function excerpt(phrase: Phrase, from: number, until: number): Phrase | undefined {
  const inside = phrase.notes.filter((note) => note.onset >= from && note.onset < until);
  const seen = new Set<number>();
  const notes = inside.flatMap((note): Note[] => {
    const first = !seen.has(note.string);
    if (first && note.kind === 'on') return [];
    seen.add(note.string);
    const start =
      first && note.start !== 'tapped' && note.start !== 'picked' && !hasGraceBefore(inside, note)
        ? 'picked'
        : note.start;
    const cut =
      note.grace === 0 && note.path.length === 0 && note.onset + note.length > until && !note.ring
        ? ticks(until - note.onset)
        : note.length;
    const bend = first && note.path[0]?.level === null ? note.path.slice(1) : note.path;
    return [{ ...note, start, length: cut, path: bend }];
  });
  const main = notes.filter((note) => note.grace === 0);
  const [first] = main;
  if (!first) return undefined;
  const end = main.reduce((latest, note) => Math.max(latest, note.onset + note.length), 0);
  return {
    ...phrase,
    at: first.onset,
    length: ticks(end - first.onset),
    notes: notes.filter((note) => note.grace === 0 || main.some(({ onset }) => onset === note.onset)),
    damps: phrase.damps.filter((damp) => damp > first.onset && damp <= end),
    remarks: [],
  };
}

const hasGraceBefore = (notes: readonly Note[], note: Note): boolean =>
  notes.some((other) => other.onset === note.onset && other.string === note.string && other.grace > note.grace);

/** A phrase moved in time by whole bars of one meter, so that it begins in a given bar. Meters that change under it are not looked at. */
export function movedTo(solo: Solo, phrase: Phrase, bar: number): Phrase {
  const grid = gridOf(solo);
  const by = grid.bar(bar).start - grid.place(phrase.at).bar.start;
  return {
    ...phrase,
    at: ticks(phrase.at + by),
    notes: phrase.notes.map((note) => ({ ...note, onset: ticks(note.onset + by) })),
    damps: phrase.damps.map((damp) => ticks(damp + by)),
    remarks: phrase.remarks.map((r) => (r.at === undefined ? r : { ...r, at: ticks(r.at + by) })),
  };
}
