// How long each note of a phrase sounds, and what a string that goes on sounding is holding.
import { type Cents, cents, type Ticks, ticks } from '../foundation/units.js';
import { type BendStages, finalLevel, layBend } from '../guitar/bend.js';
import type { Note, Phrase } from './solo.js';

/** What a note is in sound. */
export interface Sounding {
  /** Where the string stops sounding, or is taken over by its next event. */
  readonly end: Ticks;
  /**
   * For a note of kind `on`: the index of the fretted note that is sounding; -1 when the string is silent.
   * For others: their own index.
   */
  readonly origin: number;
  /** The bend level in cents that the string is held at when the note begins: for `on` notes and for picking a held string; else 0. */
  readonly held: Cents;
  /** True when the same string was sounding the same fret, bent, right up to this note. */
  readonly wasHeld: boolean;
}

/**
 * Lays out in time what every note of a phrase sounds: its written length, or while it rings up to the next event on its string,
 * the next damp or the end of the phrase, whichever is first.
 */
export function soundingOf(phrase: Phrase): readonly Sounding[] {
  const { notes } = phrase;
  const end = ticks(phrase.at + phrase.length);
  const ends = new Array<Ticks>(notes.length);
  const nextOnString: number[] = [];
  for (let i = notes.length - 1; i >= 0; i--) {
    const note = notes[i] as Note;
    const next = nextOnString[note.string];
    const written = note.onset + note.length;
    let stop: number = written;
    if (note.ring && note.kind !== 'dead') {
      stop = Math.max(written, end);
      if (next !== undefined) stop = Math.min(stop, (notes[next] as Note).onset);
      const damp = firstFrom(phrase.damps, written);
      if (damp !== undefined) stop = Math.min(stop, damp);
    }
    ends[i] = ticks(stop);
    nextOnString[note.string] = i;
  }
  const damped = new Set<number>(phrase.damps);
  const lastOnString: number[] = [];
  const result: Sounding[] = [];
  const level: Cents[] = [];
  for (let i = 0; i < notes.length; i++) {
    const note = notes[i] as Note;
    const last = lastOnString[note.string];
    const previous = last === undefined ? undefined : result[last];
    const reaching = last !== undefined && (ends[last] as Ticks) >= note.onset && (notes[last] as Note).kind !== 'dead';
    // A damp at this very moment has stopped the string, unless a grace note has sounded it since.
    const touching =
      reaching && previous !== undefined && !(damped.has(note.onset) && (notes[last] as Note).onset < note.onset);
    let origin = i;
    let held = cents(0);
    let wasHeld = false;
    if (note.kind === 'on') {
      origin = touching ? (previous as Sounding).origin : -1;
      held = origin >= 0 ? (level[last as number] as Cents) : cents(0);
    } else if (note.kind === 'fretted' && touching && (previous as Sounding).origin >= 0) {
      const from = notes[(previous as Sounding).origin] as Note;
      const first = note.path[0];
      if (
        from.fret === note.fret &&
        first &&
        first.level !== null &&
        first.level > 0 &&
        first.level === level[last as number]
      ) {
        held = first.level;
        wasHeld = true;
      }
    }
    level[i] = finalLevel(note.path, note.kind === 'on' ? held : cents(0));
    result.push({ end: ends[i] as Ticks, origin, held, wasHeld });
    lastOnString[note.string] = i;
  }
  return result;
}

/** The first of ascending ticks that is not before a tick. */
function firstFrom(sorted: readonly Ticks[], at: number): Ticks | undefined {
  let low = 0;
  let high = sorted.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if ((sorted[middle] as Ticks) < at) low = middle + 1;
    else high = middle;
  }
  return sorted[low];
}

/** The stages of a note's bend over its written time; a misfitting path (which checking reports) counts as no path. */
export function stagesOf(note: Note, held: Cents): BendStages {
  const laid = layBend(note.path, note.length, note.kind === 'on' ? held : cents(0));
  if (!('reason' in laid)) return laid;
  return {
    leadIn: undefined,
    stages: [{ level: note.kind === 'on' ? held : cents(0), at: ticks(0), length: note.length, timed: false }],
  };
}
