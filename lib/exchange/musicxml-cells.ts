// The notes of a solo as a staff writes them: cut at barlines and into values, tied, with rests between; and what each note shares with those around it.
import { type NoteValue, QUARTER, valuesOf, valueTicks } from '../foundation/time.js';
import { type Cents, type MidiKey, type Ticks, ticks } from '../foundation/units.js';
import { harmonicPitch, openKey, pitchAt } from '../guitar/fretboard.js';
import type { BarGrid } from '../solo/changes.js';
import type { Note, Phrase, Solo } from '../solo/solo.js';
import { soundingOf } from '../solo/sounding.js';

/** A note with what writing it needs to know of the notes around it. */
export interface WrittenNote {
  readonly note: Note;
  /** What it sounds before any bend. */
  readonly key: MidiKey;
  /** The fret to write: of a string that goes on, that of the note that sounds. */
  readonly fret: number;
  readonly held: Cents;
  /** The note on its string that leads to it by a hammer, a pull or a slide. */
  from?: WrittenNote;
  /** The notes on its string that it leads to: by what. */
  leadsTo?: 'hammer' | 'pull' | 'slide';
  /** Tied to a later note, on which the string goes on. */
  tiedOn: boolean;
}

/** Notes that start together, with the grace notes before them. */
export interface StaffEvent {
  readonly onset: number;
  readonly notes: readonly WrittenNote[];
  readonly graces: readonly (readonly WrittenNote[])[];
}

/** One written value: a rest, or the notes that sound in it. */
export interface Cell {
  readonly from: number;
  readonly to: number;
  readonly value: NoteValue;
  readonly notes: readonly WrittenNote[];
  /** The event that starts with it. */
  readonly event?: StaffEvent;
  /** A tuplet's bracket opens or closes here. */
  tuplet?: 'start' | 'stop' | 'both';
  /** It is a whole bar of rest. */
  readonly wholeBar: boolean;
}

/** All events of a solo in order of time. */
export function eventsOf(solo: Solo): readonly StaffEvent[] {
  return solo.phrases.flatMap((phrase) => phraseEvents(phrase, solo));
}

function phraseEvents(phrase: Phrase, solo: Solo): readonly StaffEvent[] {
  const sounding = soundingOf(phrase);
  const last = new Map<number, WrittenNote>();
  const written = phrase.notes.map((note, i): WrittenNote => {
    const sound = sounding[i];
    const origin = note.kind === 'on' ? (phrase.notes[sound?.origin ?? -1] ?? note) : note;
    const made: WrittenNote = {
      note,
      key: keyOf(origin, solo),
      fret: origin.kind === 'fretted' ? origin.fret : 0,
      held: note.kind === 'on' ? (sound?.held ?? (0 as Cents)) : (0 as Cents),
      tiedOn: false,
    };
    const before = last.get(note.string);
    if (before) lead(before, made);
    last.set(note.string, made);
    return made;
  });
  const events: { onset: number; notes: WrittenNote[]; graces: WrittenNote[][] }[] = [];
  let grace = 0;
  for (const w of written) {
    let event = events[events.length - 1];
    if (!event || event.onset !== w.note.onset) {
      event = { onset: w.note.onset, notes: [], graces: [] };
      events.push(event);
      grace = 0;
    }
    if (w.note.grace === 0) event.notes.push(w);
    else if (w.note.grace === grace) (event.graces[event.graces.length - 1] as WrittenNote[]).push(w);
    else event.graces.push([w]);
    grace = w.note.grace;
  }
  return events;
}

function keyOf(note: Note, { guitar }: Solo): MidiKey {
  const open = openKey(guitar, note.string) as MidiKey;
  if (note.kind !== 'fretted') return open;
  const touched = note.harmonic ? harmonicPitch(guitar, note.string, note.fret) : undefined;
  return touched ?? pitchAt(guitar, note.string, note.fret) ?? open;
}

/** Notes what leads from one note to the next on its string. */
function lead(before: WrittenNote, made: WrittenNote): void {
  const { start, kind } = made.note;
  if (kind === 'on') {
    before.tiedOn = true;
    return;
  }
  const touches = before.note.ring || before.note.onset + before.note.length === made.note.onset;
  if (!touches) return;
  if (start === 'hammered' || start === 'pulled') {
    made.from = before;
    before.leadsTo = start === 'hammered' ? 'hammer' : 'pull';
  } else if (start === (before.key > made.key ? 'slid down' : 'slid up')) {
    made.from = before;
    before.leadsTo = 'slide';
  }
}

/** The written values of a stretch of bars, rests in the gaps. `from` and `to` are barlines (or the start of a pickup). */
export function cellsOf(events: readonly StaffEvent[], grid: BarGrid, from: number, to: number): readonly Cell[] {
  const cells: Cell[] = [];
  const fill = (start: number, end: number, notes: readonly WrittenNote[], event?: StaffEvent): void => {
    let at = start;
    let first = event;
    while (at < end) {
      const { bar } = grid.place(ticks(at));
      const stop = Math.min(end, bar.start + bar.meter.barTicks);
      const wholeBar = notes.length === 0 && at === bar.start && stop === bar.start + bar.meter.barTicks;
      const values = wholeBar ? [valuesOf(ticks(stop - at))[0] as NoteValue] : valuesOf(ticks(stop - at));
      for (const [i, value] of values.entries()) {
        const next = i === values.length - 1 ? stop : at + (valueTicks(value) as Ticks);
        cells.push({ from: at, to: next, value, notes, wholeBar, ...(first && { event: first }) });
        first = undefined;
        at = next;
      }
    }
  };
  let cursor = from;
  for (const event of events) {
    fill(cursor, event.onset, []);
    cursor = event.onset;
    let first: StaffEvent | undefined = event;
    const ends = [...new Set(event.notes.map((w) => w.note.onset + w.note.length))].sort((a, b) => a - b);
    for (const end of ends) {
      fill(
        cursor,
        end,
        event.notes.filter((w) => w.note.onset + w.note.length >= end),
        first,
      );
      first = undefined;
      cursor = end;
    }
  }
  fill(cursor, to, []);
  bracket(cells, grid);
  return cells;
}

/** Sets the brackets of tuplets: over neighbours of one ratio in one bar, until they make up a plain value. */
function bracket(cells: readonly Cell[], grid: BarGrid): void {
  let i = 0;
  while (i < cells.length) {
    const first = cells[i] as Cell;
    if (first.value.n === 1 || first.wholeBar) {
      i++;
      continue;
    }
    const barEnd = ((b) => b.start + b.meter.barTicks)(grid.place(ticks(first.from)).bar);
    let j = i;
    while (!isPlain((cells[j] as Cell).to - first.from)) {
      const next = cells[j + 1];
      if (!next || next.value.n !== first.value.n || next.value.m !== first.value.m || next.to > barEnd) break;
      j++;
    }
    if (i === j) first.tuplet = 'both';
    else {
      first.tuplet = 'start';
      (cells[j] as Cell).tuplet = 'stop';
    }
    i = j + 1;
  }
}

const isPlain = (length: number): boolean => {
  const share = length / (QUARTER * 4);
  return share > 0 && Number.isInteger(Math.log2(share));
};
