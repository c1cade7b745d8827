// Bend paths: the levels a bent string goes through over the time of a note.
import { type Cents, cents, type Ticks, ticks } from '../foundation/units.js';

/**
 * One level of a bend path. `level` is in cents above the fretted pitch (a whole-step bend is 200), a multiple of 50;
 * `null` stands only first, on a string that goes on sounding: the level it is held at. `time` is the written time of the level.
 */
export interface BendPoint {
  readonly level: Cents | null;
  readonly time?: Ticks;
}

/** The levels of a note's bend in order; empty for a note that is not bent. */
export type BendPath = readonly BendPoint[];

/** A stretch of steady level within a note: from `at` (ticks after the note's onset) for `length` ticks. */
export interface BendStage {
  readonly level: Cents;
  readonly at: Ticks;
  readonly length: Ticks;
  /** True when the stage's time was written, false when it is a share of what was left. */
  readonly timed: boolean;
}

/** Stages of a path, and the level that its lead-in starts from (`undefined` if there is none). */
export interface BendStages {
  readonly leadIn: Cents | undefined;
  readonly stages: readonly BendStage[];
}

/** Why a path does not fit its note. */
export interface BendMisfit {
  readonly reason: 'too-long' | 'too-short' | 'no-time-left';
  /** Ticks that the written times take. */
  readonly written: Ticks;
}

/**
 * Lays a bend path over the time of a note. An untimed first level of 0 (or the level held) is the lead-in and takes no time; written times
 * hold; the untimed levels share what is left equally, the last taking the remainder of the division. Neighbouring stages of one level are joined.
 * The stages tile the note exactly.
 * @example
 * const path = [{ level: cents(0) }, { level: cents(200) }, { level: cents(0) }]
 * layBend(path, ticks(20160), cents(0)).stages.map((s) => [s.level, s.length]) // => [[200, 10080], [0, 10080]]
 */
export function layBend(path: BendPath, length: Ticks, held: Cents): BendStages | BendMisfit {
  if (path.length === 0) return { leadIn: undefined, stages: [{ level: held, at: ticks(0), length, timed: false }] };
  const first = path[0] as BendPoint;
  const hasLeadIn = first.time === undefined && (first.level === null || first.level === 0) && path.length > 1;
  const points = hasLeadIn ? path.slice(1) : path;
  let written = 0;
  let untimed = 0;
  for (const point of points) {
    if (point.time === undefined) untimed++;
    else written += point.time;
  }
  const left = length - written;
  if (left < 0) return { reason: 'too-long', written: ticks(written) };
  if (untimed === 0 && left > 0) return { reason: 'too-short', written: ticks(written) };
  if (untimed > 0 && left < untimed) return { reason: 'no-time-left', written: ticks(written) };
  const share = untimed === 0 ? 0 : Math.floor(left / untimed);
  let remainder = untimed === 0 ? 0 : left - share * untimed;
  const lengths = points.map((point) => point.time ?? share);
  for (let i = points.length - 1; i >= 0 && remainder > 0; i--)
    if ((points[i] as BendPoint).time === undefined) {
      lengths[i] = share + remainder;
      remainder = 0;
    }
  const stages: BendStage[] = [];
  let at = 0;
  points.forEach((point, i) => {
    const level = point.level ?? held;
    const last = stages[stages.length - 1];
    const time = lengths[i] as number;
    if (last && last.level === level)
      stages[stages.length - 1] = {
        ...last,
        length: ticks(last.length + time),
        timed: last.timed || point.time !== undefined,
      };
    else stages.push({ level, at: ticks(at), length: ticks(time), timed: point.time !== undefined });
    at += time;
  });
  return { leadIn: hasLeadIn ? (first.level ?? held) : undefined, stages };
}

/** The level a path ends on; the held level if it has none. */
export function finalLevel(path: BendPath, held: Cents): Cents {
  return path.length === 0 ? held : ((path[path.length - 1] as BendPoint).level ?? held);
}

/** The highest level of a path in cents. */
export function peakLevel(path: BendPath): Cents {
  let peak = 0;
  for (const point of path) if (point.level !== null && point.level > peak) peak = point.level;
  return cents(peak);
}

/**
 * A bend in a player's words.
 * @example
 * bendInWords(cents(200)) // => 'whole step'
 * bendInWords(cents(50)) // => 'curl'
 */
export function bendInWords(level: Cents): string {
  const names: Readonly<Record<number, string>> = {
    50: 'curl',
    100: 'half step',
    150: 'three-quarter step',
    200: 'whole step',
    250: 'step and a quarter',
    300: 'step and a half',
    400: 'two steps',
  };
  return names[level] ?? `${level / 100} frets' worth`;
}

/**
 * A bend as a thing that is played.
 * @example
 * bendNoun(cents(200)) // => 'whole-step bend'
 * bendNoun(cents(50)) // => 'curl'
 */
export const bendNoun = (level: Cents): string =>
  level === 50 ? 'curl' : `${bendInWords(level).replaceAll(' ', '-')} bend`;

/**
 * A bend as what is to be done.
 * @example
 * bendOrder(cents(200), 'string 2 at fret 8') // => 'bend string 2 at fret 8 a whole step'
 * bendOrder(cents(50), 'string 2') // => 'curl string 2'
 */
export function bendOrder(level: Cents, what: string): string {
  const far = bendInWords(level);
  return level === 50 ? `curl ${what}` : `bend ${what} ${/^(two|\d)/.test(far) ? '' : 'a '}${far}`;
}
