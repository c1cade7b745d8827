// Grace notes take their time from the note they lead to: when the notes of a phrase begin.
import { ticks } from '../foundation/units.js';
import type { Clock } from './clock.js';
import type { Note, Phrase } from './solo.js';

/** A grace note takes this long (seconds), at most a quarter of the note it leads to; all graces together at most half of it. */
const GRACE_SECONDS = 0.07;

/** Seconds between which a note stands: where it begins, and where its written time (of a grace, its share) ends. */
export interface Span {
  readonly at: number;
  readonly until: number;
}

/**
 * When each note of a phrase begins, and when its written time ends. Graces take their time from what they lead to. A note struck beside one that is
 * slurred from a grace is struck with the grace; otherwise all of the event waits.
 */
export function startTimes(phrase: Phrase, clock: Clock): readonly Span[] {
  const { notes } = phrase;
  const spans: Span[] = [];
  for (let from = 0; from < notes.length; ) {
    const { onset } = notes[from] as Note;
    let to = from;
    while (to < notes.length && (notes[to] as Note).onset === onset) to++;
    const event = notes.slice(from, to);
    const at = clock.seconds(onset);
    const endOf = (note: Note): number => clock.seconds(ticks(note.onset + note.length));
    const graces = event.reduce((most, n) => Math.max(most, n.grace), 0);
    const shortest = event.reduce(
      (least, n) => (n.grace > 0 ? least : Math.min(least, endOf(n) - at)),
      Number.POSITIVE_INFINITY,
    );
    const step = graces === 0 ? 0 : Math.min(GRACE_SECONDS, shortest / 4, shortest / (2 * graces));
    const graced = new Set(event.filter((n) => n.grace > 0).map((n) => n.string as number));
    const isSlurred = (n: Note): boolean =>
      n.grace === 0 && n.start !== 'picked' && n.kind === 'fretted' && graced.has(n.string);
    const withGrace = event.some(isSlurred);
    for (const note of event) {
      const before = graces - note.grace; // graces that come first
      const early = note.grace === 0 && !graced.has(note.string) && (withGrace || note.kind === 'on');
      const begins = at + (early ? 0 : before * step);
      spans.push({ at: begins, until: note.grace > 0 ? begins + step : endOf(note) });
    }
    from = to;
  }
  return spans;
}
