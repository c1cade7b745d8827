// Figures of non-members: passing, neighbour, suspension and their kin, by the textbook tests.
import { mod } from '../foundation/units.js';
import { type Chord, memberAt } from '../theory/chord.js';
import { onBeat } from '../theory/meter.js';
import type { BarGrid } from './changes.js';
import { type ChordSpan, spanAt } from './harmony.js';
import type { Tone } from './timeline.js';

/** What a tone outside the chord does in its line. */
export const FIGURES = [
  'passing',
  'neighbour',
  'double neighbour',
  'appoggiatura',
  'escape',
  'anticipation',
  'suspension',
  'retardation',
  'pedal',
  'approach',
  'free',
] as const;
/** What a tone outside the chord does in its line. */
export type Figure = (typeof FIGURES)[number];

/** A tone that sounds on into another chord, to which it does not belong. */
export interface HeldFigure {
  /** Index of the tone. */
  readonly tone: number;
  /** Index of the chord span it is judged in. */
  readonly span: number;
  readonly figure: Figure;
}

/** The figures of the line's tones. */
export interface Figures {
  /** By tone index: the figure against the chord at its onset; `undefined` for members, for tones outside the line and without a chord. */
  readonly atOnset: readonly (Figure | undefined)[];
  /** Figures against the chords that come while a tone sounds. */
  readonly held: readonly HeldFigure[];
}

const isStep = (d: number): boolean => Math.abs(d) >= 50 && Math.abs(d) <= 200;
const isLeap = (d: number): boolean => Math.abs(d) > 200;

interface Neighbours {
  readonly tone: Tone;
  readonly before: Tone | undefined;
  readonly beforeThat: Tone | undefined;
  readonly after: Tone | undefined;
  readonly afterThat: Tone | undefined;
}

/**
 * Names the figure of every tone of the line that is not a member of a chord it sounds through. Source of the tests: Open Music Theory,
 * "embellishing tones" (CC BY-SA); pedal and approach by semitone: common practice, no source. A step is 50 to 200 cents, a leap is more.
 * First match in this order: suspension, retardation, anticipation, pedal, passing, double neighbour, neighbour, appoggiatura, escape, approach; else free.
 * @example
 * const solo = parseSoloOrThrow(EXAMPLE_SOLO)
 * const tones = tonesOf(solo)
 * figuresOf(tones, lineOf(tones), chordSpans(solo), gridOf(solo)).atOnset.filter((f) => f !== undefined) // => ['free', 'passing']
 */
export function figuresOf(
  tones: readonly Tone[],
  line: readonly number[],
  spans: readonly ChordSpan[],
  grid: BarGrid,
): Figures {
  const atOnset = new Array<Figure | undefined>(tones.length).fill(undefined);
  const held: HeldFigure[] = [];
  const at = (k: number, phrase: number): Tone | undefined => {
    const index = line[k];
    const tone = index === undefined ? undefined : tones[index];
    return tone?.phrase === phrase ? tone : undefined;
  };
  line.forEach((index, k) => {
    const tone = tones[index] as Tone;
    const around: Neighbours = {
      tone,
      before: at(k - 1, tone.phrase),
      beforeThat: at(k - 2, tone.phrase),
      after: at(k + 1, tone.phrase),
      afterThat: at(k + 2, tone.phrase),
    };
    const first = spanAt(spans, tone.onset);
    for (let s = first; s < spans.length; s++) {
      const span = spans[s] as ChordSpan;
      if (s > first && span.start >= tone.onset + tone.length) break;
      if (!span.chord || isIn(span.chord, tone)) continue;
      const figure = figureIn(around, spans, s, first, grid);
      if (s === first) atOnset[index] = figure;
      else held.push({ tone: index, span: s, figure });
    }
  });
  return { atOnset, held };
}

const isIn = (chord: Chord | undefined, tone: Tone): boolean =>
  chord !== undefined && memberAt(chord, mod(Math.floor(tone.pitch / 100) - chord.root, 12)) !== undefined;

function figureIn(around: Neighbours, spans: readonly ChordSpan[], s: number, first: number, grid: BarGrid): Figure {
  const { tone, before, after } = around;
  const span = spans[s] as ChordSpan;
  const into = before ? tone.pitch - before.pitch : undefined;
  const out = after ? after.pitch - tone.pitch : undefined;
  const afterChord = after ? spans[spanAt(spans, after.onset)]?.chord : undefined;
  const resolves = after !== undefined && isIn(afterChord, after);

  // Prepared as a member of the chord before, sounding or struck again at the change, resolved by step under the same harmony.
  const old = spans[s - 1]?.chord;
  const prepared =
    s > first
      ? isIn(old, tone)
      : before !== undefined &&
        into === 0 &&
        tone.onset === span.start &&
        before.onset < span.start &&
        isIn(old, before);
  if (prepared && resolves && out !== undefined && isStep(out) && after.onset < span.end)
    return out < 0 ? 'suspension' : 'retardation';

  const place = grid.place(tone.onset);
  const accented = onBeat(place.offset, place.bar.meter);
  const next = spans[s + 1];
  const soon = next !== undefined && next.start - tone.onset <= place.bar.meter.beatTicks;
  if (soon && isIn(next.chord, tone)) {
    const soundsInto = tone.onset + tone.length > next.start;
    const again = after !== undefined && out === 0 && after.onset >= next.start && after.onset < next.end;
    if (soundsInto || again) return 'anticipation';
  }
  if (isPedal(around, spans, s, first)) return 'pedal';
  if (into !== undefined && out !== undefined && isStep(into) && isStep(out) && Math.sign(into) === Math.sign(out))
    return 'passing';
  if (isDoubleNeighbour(around, spans)) return 'double neighbour';
  if (into !== undefined && out !== undefined && isStep(into) && out === -into) return 'neighbour';
  if (into !== undefined && out !== undefined) {
    const opposite = Math.sign(into) === -Math.sign(out);
    if (accented && isLeap(into) && isStep(out) && opposite) return 'appoggiatura';
    if (!accented && isStep(into) && isLeap(out) && opposite) return 'escape';
  }
  if (resolves && out !== undefined && Math.abs(out) >= 50 && Math.abs(out) <= 100) return 'approach';
  return 'free';
}

/** Held or repeated from a chord it belongs to into one it belongs to, across this one. */
function isPedal({ tone, before, after }: Neighbours, spans: readonly ChordSpan[], s: number, first: number): boolean {
  const from =
    s > first
      ? isIn(spans[s - 1]?.chord, tone)
      : before !== undefined && before.pitch === tone.pitch && isIn(spans[spanAt(spans, before.onset)]?.chord, before);
  const next = spans[s + 1];
  const soundsInto = next !== undefined && tone.onset + tone.length > next.start && isIn(next.chord, tone);
  const again =
    after !== undefined && after.pitch === tone.pitch && isIn(spans[spanAt(spans, after.onset)]?.chord, after);
  return from && (soundsInto || again);
}

/** One tone above and one below a member, a third at most apart from each other, then the member itself. */
function isDoubleNeighbour(
  { tone, before, beforeThat, after, afterThat }: Neighbours,
  spans: readonly ChordSpan[],
): boolean {
  const encloses = (one: Tone, other: Tone, target: Tone | undefined, start: Tone | undefined): boolean => {
    if (!target || !isIn(spans[spanAt(spans, target.onset)]?.chord, target)) return false;
    const a = one.pitch - target.pitch;
    const b = other.pitch - target.pitch;
    const around = isStep(a) && isStep(b) && Math.sign(a) === -Math.sign(b);
    // It comes from its target, or from anywhere by leap or rest (an enclosure); a scale that runs through is neither.
    return around && (start === undefined || start.pitch === target.pitch || isLeap(one.pitch - start.pitch));
  };
  const isFirst = after !== undefined && encloses(tone, after, afterThat, before);
  const isSecond = before !== undefined && encloses(before, tone, after, beforeThat);
  return isFirst || isSecond;
}
