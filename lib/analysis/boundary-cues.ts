// What speaks for a phrase to end between two notes of a line: the local boundary model, rests, long notes, and figures that come again.
import { QUARTER } from '../foundation/time.js';
import { phrasesOf } from '../math/phrases.js';
import { maximalRepeats } from '../math/repeats.js';

/** A note of a line: its pitch in cents, where it begins and where it ends, in ticks. */
export interface LineNote {
  readonly onset: number;
  readonly end: number;
  readonly pitch: number;
}

/** What is heard between a note and the next. */
export interface BoundaryCues {
  /** The local boundary model, 0 to 1: see {@link localBoundaries}. */
  readonly local: number;
  /** The rest before the next note, in quarters. */
  readonly rest: number;
  /** How many times as long as is usual here it takes from this onset to the next; 1 for no longer. */
  readonly long: number;
  /** How many notes of a figure that is heard elsewhere too begin with the next note, and not before it. */
  readonly figure: number;
  /** How many notes of such a figure end with this one. */
  readonly ended: number;
}

/** Weights of the three profiles of the local boundary model: pitch, onsets, rests. Source: E. Cambouropoulos 2001. */
const PROFILES = [0.25, 0.5, 0.25] as const;

/**
 * The local boundary detection model: how strong a boundary is heard between each note and the next, 0 to 1. An interval counts the more, the more it differs
 * from the ones beside it; intervals are of pitch, from onset to onset, and from end to onset; each profile is brought to a highest value of 1, and they are
 * added with weights .25, .5 and .25. Source: E. Cambouropoulos 2001, The Local Boundary Detection Model (LBDM), ICMC, pages 17-22.
 * @example
 * const notes = [60, 60, 67, 67, 69, 69, 67, 65].map((key, i) => ({ onset: i, end: i + 1, pitch: 100 * key }))
 * localBoundaries(notes).map((s) => s.toFixed(2)).join(' ') // => '0.00 0.25 0.00 0.07 0.00 0.04 0.00'
 */
export function localBoundaries(notes: readonly LineNote[]): readonly number[] {
  const between = (of: (a: LineNote, b: LineNote) => number): number[] =>
    notes.slice(1).map((b, i) => of(notes[i] as LineNote, b));
  const profiles = [
    between((a, b) => Math.abs(b.pitch - a.pitch)),
    between((a, b) => b.onset - a.onset),
    between((a, b) => Math.max(0, b.onset - a.end)),
  ].map(strengths);
  return (profiles[0] ?? []).map((_, i) =>
    profiles.reduce((sum, profile, p) => sum + (PROFILES[p] as number) * (profile[i] as number), 0),
  );
}

/** Each interval times how much it differs from the two beside it; the highest brought to 1. */
function strengths(intervals: readonly number[]): readonly number[] {
  const change = intervals.slice(1).map((b, i) => {
    const a = intervals[i] as number;
    return a + b === 0 ? 0 : Math.abs(a - b) / (a + b);
  });
  const raw = intervals.map((x, i) => x * ((change[i - 1] ?? 0) + (change[i] ?? 0)));
  const most = raw.reduce((a, b) => Math.max(a, b), 0);
  return most === 0 ? raw : raw.map((s) => s / most);
}

/** Notes on either side that say how long is usual. */
const AROUND = 8;
/** A figure is a repeat of so many steps or more, of pitch and distance of onsets. */
const LEAST_STEPS = 4;
/** A longer figure says no more. */
const MOST_STEPS = 12;
/** Symbols beyond this are not searched for figures: a very long file of few pitches has repeats without number. */
const MOST_NOTES = 20_000;

/** The cues between each note of a line and the next: one fewer than there are notes. */
export function boundaryCues(notes: readonly LineNote[]): readonly BoundaryCues[] {
  const local = localBoundaries(notes);
  const { begun, ended } = figures(notes);
  return local.map((strength, i) => {
    const [a, b] = [notes[i] as LineNote, notes[i + 1] as LineNote];
    const nearby: number[] = [];
    for (let k = Math.max(0, i - AROUND); k < Math.min(notes.length - 1, i + AROUND + 1); k++)
      if (k !== i) nearby.push((notes[k + 1] as LineNote).onset - (notes[k] as LineNote).onset);
    const usual = nearby.sort((x, y) => x - y)[nearby.length >> 1] ?? b.onset - a.onset;
    return {
      local: strength,
      rest: Math.max(0, b.onset - a.end) / QUARTER,
      long: usual <= 0 ? 1 : Math.max(1, (b.onset - a.onset) / usual),
      figure: begun[i + 1] as number,
      ended: ended[i] as number,
    };
  });
}

/** For each note how long a figure begins with it, and how long a one ends with it, that is heard elsewhere too, and differs there in what stands outside it. */
function figures(notes: readonly LineNote[]): { readonly begun: Int32Array; readonly ended: Int32Array } {
  const begun: Int32Array = new Int32Array(notes.length);
  const ended: Int32Array = new Int32Array(notes.length);
  if (notes.length < LEAST_STEPS + 1 || notes.length > MOST_NOTES) return { begun, ended };
  const codes = new Map<string, number>();
  const symbols = notes.slice(1).map((b, i) => {
    const a = notes[i] as LineNote;
    const text = `${b.pitch - a.pitch} ${b.onset - a.onset}`;
    const code = codes.get(text) ?? codes.size + 1;
    codes.set(text, code);
    return code;
  });
  const repeats = maximalRepeats(phrasesOf([symbols]), { leastLength: LEAST_STEPS, leastApart: 2 });
  for (let r = 0; r < repeats.count; r++) {
    const length = repeats.lengths[r] as number;
    const worth = Math.min(MOST_STEPS, length) + 1;
    for (let k = repeats.offsets[r] as number; k < (repeats.offsets[r + 1] as number); k++) {
      const place = repeats.places[k] as number;
      begun[place] = Math.max(begun[place] as number, worth);
      ended[place + length] = Math.max(ended[place + length] as number, worth);
    }
  }
  return { begun, ended };
}
