// Pitch over seconds: steady stretches joined by smooth moves, and vibrato on top.
import type { BendStages } from '../guitar/bend.js';

/** A pitch at a moment. Between two points the pitch moves smoothly, slow at both ends; before the first and after the last it stands. */
export interface PitchPoint {
  /** Seconds. */
  readonly at: number;
  /** 100 times the MIDI key; a fraction where a harmonic lies beside the tempered pitch. */
  readonly cents: number;
}

/** Vibrato by the fretting hand: it pushes the string, so pitch goes up from a fret and comes back; on a held bend it lets down and comes back. */
export interface Vibrato {
  /** Seconds at which it begins to grow, and at which it stops. */
  readonly from: number;
  readonly until: number;
  /** How far it goes, in cents: above 0 on a fret, below 0 on a bent string. */
  readonly depth: number;
}

/** How wide vibrato goes, in cents. Common practice, no source. */
export const VIBRATO_CENTS = 35;
/** Times a second that vibrato comes and goes. Common practice, no source. */
export const VIBRATO_RATE = 5.5;
/** Seconds in which vibrato grows to its full width. */
const VIBRATO_GROWS = 0.2;
/** A bend or a release takes this long (seconds), but never more than a third of the time of the level it leads to. */
const BEND_SECONDS = 0.12;

/** Time that a move takes within a stretch: so many seconds, but at most a third of the stretch. */
export const moveTime = (seconds: number, stretch: number): number => Math.min(seconds, stretch / 3);

/**
 * The pitch of a curve at a moment, in cents.
 * @example
 * pitchOn([{ at: 1, cents: 6400 }, { at: 1.1, cents: 6600 }], 1.05) // => 6500
 * pitchOn([{ at: 1, cents: 6400 }, { at: 1.1, cents: 6600 }], 3) // => 6600
 */
export function pitchOn(curve: readonly PitchPoint[], at: number): number {
  let next = 0;
  while (next < curve.length && (curve[next] as PitchPoint).at <= at) next++;
  const before = curve[next - 1];
  const after = curve[next];
  if (before === undefined || after === undefined) return (before ?? after)?.cents ?? 0;
  const share = (at - before.at) / (after.at - before.at);
  return before.cents + (after.cents - before.cents) * share * share * (3 - 2 * share);
}

/** What vibrato adds to the pitch at a moment, in cents. */
export function vibratoAt(vibrato: Vibrato | undefined, at: number): number {
  if (vibrato === undefined || at <= vibrato.from || at >= vibrato.until) return 0;
  const since = at - vibrato.from;
  const width = Math.min(1, since / VIBRATO_GROWS);
  return (vibrato.depth * width * (1 - Math.cos(2 * Math.PI * VIBRATO_RATE * since))) / 2;
}

/**
 * The curve of a note that is bent as laid out, from `at` to `until` seconds. A level with a lead-in rises or falls to it from there; later levels are
 * reached from the one before. Each move begins where its level is written and takes 120 ms, or a third of the level's time if that is shorter.
 * @param fretted - The pitch of the unbent string in cents.
 * @param seconds - Where a tick of the bend, counted from the note's onset, falls.
 * @example
 * const bent = layBend([{ level: cents(0) }, { level: cents(200) }], ticks(20160), cents(0))
 * bendCurve(6400, bent, (t) => 1 + t / 20160).map((p) => [p.at, p.cents]) // => [[1, 6400], [1.12, 6600]]
 */
export function bendCurve(fretted: number, bend: BendStages, seconds: (at: number) => number): PitchPoint[] {
  const curve: PitchPoint[] = [];
  let held = bend.leadIn;
  for (const { level, at, length } of bend.stages) {
    const from = seconds(at);
    if (held === undefined || held === level) {
      if (curve.length === 0) curve.push({ at: from, cents: fretted + level });
    } else {
      const takes = moveTime(BEND_SECONDS, seconds(at + length) - from);
      curve.push({ at: from, cents: fretted + held }, { at: from + takes, cents: fretted + level });
    }
    held = level;
  }
  return curve;
}

/** Vibrato on the longest level of a bend: it starts when the pitch has been steady for a moment. */
export function vibratoOn(bend: BendStages, seconds: (at: number) => number): Vibrato {
  let longest = bend.stages[0] as BendStages['stages'][number];
  for (const stage of bend.stages) if (stage.length > longest.length) longest = stage;
  const from = seconds(longest.at);
  const until = seconds(longest.at + longest.length);
  return {
    from: from + moveTime(BEND_SECONDS + VIBRATO_GROWS, until - from),
    until,
    depth: longest.level > 0 ? -VIBRATO_CENTS : VIBRATO_CENTS,
  };
}
