// Every way in which four fingers can hold the notes of a moment.
import type { Grip, HandNote, Neck } from './fingering-hand.js';

/**
 * Positions that a finger can hold a fret from. In a position each finger has a fret of its own; it may stand one fret further up (a stretch), or as far back as
 * the first finger (a squeeze). The first finger may reach one fret back.
 */
const lowestPosition = (finger: number, fret: number): number => (finger === 1 ? fret : fret - finger);
const highestPosition = (finger: number, fret: number): number => (finger === 1 ? fret + 1 : fret);

/**
 * All grips for the notes of a moment: a higher fret has a higher finger; at one fret the lower string has the lower finger, or one finger holds all of them as a
 * barre, which lets no lower fret between them sound; a bent string has a finger for itself. Where no fret is held, any position. Where no grip is
 * possible, the positions around its lowest fret, as unreachable.
 */
export function gripsOf(neck: Neck, notes: readonly HandNote[]): readonly Grip[] {
  const grips: Grip[] = [];
  const fretted = notes
    .map((note, index) => ({ note, index }))
    .filter(({ note }) => note.fret > 0)
    .sort((a, b) => a.note.fret - b.note.fret || b.note.string - a.note.string);
  const fingers = notes.map(() => 0);
  const assign = (k: number, last: number, low: number, high: number): void => {
    if (k === fretted.length) {
      for (let position = Math.max(1, low); position <= Math.min(neck.last, high); position++)
        grips.push({ position, fingers: [...fingers] });
      return;
    }
    const { note, index } = fretted[k] as (typeof fretted)[number];
    const before = fretted[k - 1];
    for (let finger = Math.max(1, last); finger <= 4; finger++) {
      if (before && finger === last && !(before.note.fret === note.fret && mayBarre(notes, before.note, note)))
        continue;
      const from = Math.max(low, lowestPosition(finger, note.fret));
      const to = Math.min(high, highestPosition(finger, note.fret));
      if (Math.max(1, from) > Math.min(neck.last, to)) continue;
      fingers[index] = finger;
      assign(k + 1, finger, from, to);
      fingers[index] = 0;
    }
  };
  assign(0, 0, 1, neck.last);
  if (grips.length > 0) return grips;
  const lowest = Math.max(1, Math.min(neck.last, fretted[0]?.note.fret ?? 1));
  return [{ position: lowest, fingers, unreachable: true }];
}

/** Whether one finger may hold two notes of one fret. */
function mayBarre(notes: readonly HandNote[], one: HandNote, other: HandNote): boolean {
  if ((one.bend ?? 0) > 0 || (other.bend ?? 0) > 0) return false;
  const low = Math.min(one.string, other.string);
  const high = Math.max(one.string, other.string);
  return !notes.some(({ string, fret }) => string > low && string < high && fret < one.fret);
}
