// Demands of time and memory: speed, picking from string to string, syncopation, the entry, tuplets, how much there is to remember.
import { QUARTER } from '../foundation/time.js';
import { countAt } from '../solo/changes.js';
import type { Meter } from '../theory/meter.js';
import { metricalLevels, syncopationAt } from '../theory/syncopation.js';
import type { Item } from './difficulty-items.js';
import { LEAST_SECONDS, offsetOf, type PlayedEvent, type PlayedLine, type Stroke, topOf } from './difficulty-line.js';

/**
 * The time from onset to onset below which speed is another matter, in seconds: near 100 ms, where a division of the beat stops being heard as one (J. London, Hearing in Time, 2004;
 * B. H. Repp 2005, Psychonomic Bulletin & Review 12:969-992; from memory). A soft knee, no limit.
 */
export const KNEE_SECONDS = 0.1;

/** Above this time from note to note, in seconds, nobody speaks of speed: five notes a second. */
const UNHURRIED = 0.2;

/** How much harder a distance between onsets is than its rate says: hardly at 250 ms, by 1.4 at the knee, by 4 at half of it. */
const knee = (seconds: number): number => Math.sqrt(1 + (KNEE_SECONDS / Math.max(seconds, LEAST_SECONDS)) ** 4);

/** Steps from event to event in which time passes. */
const steps = ({ events }: PlayedLine): readonly { a: PlayedEvent; b: PlayedEvent; seconds: number }[] =>
  events.slice(1).flatMap((b, i) => {
    const a = events[i] as PlayedEvent;
    return b.at > a.at ? [{ a, b, seconds: b.at - a.at }] : [];
  });

/** Distances between onsets, each spread over its time. */
export const speeds = (line: PlayedLine): Item[] =>
  steps(line).map(({ a, b, seconds }) => ({
    onset: b.onset,
    at: a.at,
    amount: knee(seconds),
    value: 1,
    span: seconds,
    alone: knee(seconds) / Math.max(seconds, LEAST_SECONDS),
    plain: seconds > UNHURRIED ? 2 : 0,
    words: () => (seconds > UNHURRIED ? 'keep the notes even' : `keep up ${(1 / seconds).toFixed(1)} notes a second`),
  }));

/** Seconds in which a pace is kept up. */
export const PACE_SECONDS = 4;

/** The same distances, as parts of what is kept up for some seconds. */
export const paces = (line: PlayedLine): Item[] =>
  speeds(line).map((item) => ({
    ...item,
    amount: item.amount / PACE_SECONDS,
    value: 1 / PACE_SECONDS,
    alone: 0,
    words: () => 'keep it up without a break',
  }));

const isPicked = (s: Stroke): boolean => s.note.start === 'picked';

/** Picked notes that follow one another on different strings; further strings count more. */
export const pickCrossings = (line: PlayedLine): Item[] =>
  steps(line).flatMap(({ a, b, seconds }): Item[] => {
    const from = a.strokes.find(isPicked);
    const to = b.strokes.find(isPicked);
    if (!from || !to) return [];
    const apart = Math.abs(topOf(a).string - topOf(b).string);
    if (apart === 0) return [];
    const amount = knee(seconds) * (1 + 0.25 * (apart - 1));
    return [
      {
        onset: b.onset,
        at: a.at,
        amount,
        value: 1,
        span: seconds,
        alone: amount / Math.max(seconds, LEAST_SECONDS),
        plain: seconds > UNHURRIED ? 1 : 0,
        words: () => `pick across from string ${topOf(a).string} to string ${topOf(b).string}`,
      },
    ];
  });

const levelsOfMeter = new WeakMap<Meter, { readonly plain: readonly number[]; readonly inThrees: readonly number[] }>();

/** Levels of the meter at a step between two offsets: where one of them is off the plain division of the beat, the beat goes in threes. */
function levelsAt(meter: Meter, offset: number, next: number): readonly number[] {
  let levels = levelsOfMeter.get(meter);
  if (!levels) {
    levels = { plain: metricalLevels(meter), inThrees: metricalLevels(meter, true) };
    levelsOfMeter.set(meter, levels);
  }
  const finest = levels.plain[levels.plain.length - 1] as number;
  return offset % finest === 0 && next % finest === 0 ? levels.plain : levels.inThrees;
}

/** Notes on weak places that are held, or followed by silence, through stronger ones. */
export const syncopations = (line: PlayedLine): Item[] =>
  line.events.slice(1).flatMap(({ onset: next }, i): Item[] => {
    const { onset, at } = line.events[i] as PlayedEvent;
    const place = offsetOf(line, onset);
    const later = place.offset + next - onset;
    const value = syncopationAt(levelsAt(place.bar.meter, place.offset, later), place.offset, later);
    if (!value) return [];
    return [
      { onset, at, amount: value, words: () => `feel the beat that passes after ${countAt(place)} without a note` },
    ];
  });

/** Where the phrase comes in; an excerpt from the middle of a phrase is played in from the note before it, and has no entry. */
export function entries(line: PlayedLine): Item[] {
  const first = line.events[0];
  if (!first || !line.hasEntry) return [];
  const place = offsetOf(line, first.onset);
  const { beatTicks } = place.bar.meter;
  const within = place.offset % beatTicks;
  if (within === 0) return [];
  const isHalf = within * 2 === beatTicks;
  const isEasy = isHalf || (beatTicks % 3 === 0 && within % (beatTicks / 3) === 0 && beatTicks > QUARTER);
  return [
    {
      onset: first.onset,
      at: first.at,
      amount: isEasy ? 0.5 : within * 4 === beatTicks || within * 4 === 3 * beatTicks ? 0.8 : 1,
      value: within / beatTicks,
      words: () => `come in on ${countAt(place)}`,
    },
  ];
}

/** Parts that a beat may be divided into besides its plain ones. */
const DIVISIONS = [3, 5, 6, 7, 9, 12] as const;

/** Notes that do not lie on the plain division of the beat: a group of them adds up to about 1. */
export const tuplets = (line: PlayedLine): Item[] =>
  line.events.flatMap(({ onset, at, strokes }): Item[] => {
    const { bar, offset } = offsetOf(line, onset);
    const { beatTicks } = bar.meter;
    const isCompound = beatTicks !== (QUARTER * 4) / bar.meter.under;
    const within = offset % beatTicks;
    if (within % (beatTicks / (isCompound ? 24 : 8)) === 0 && !(isCompound && isPlainHalf(within, beatTicks)))
      return [];
    const n = isCompound ? 2 : (DIVISIONS.find((d) => within % (beatTicks / d) === 0) ?? 12);
    // Triplets are the plain division of a beat that swings; fives and sevens are none of any.
    const strange = n === 3 ? (bar.feel.kind === 'swing' ? 0.5 : 1) : n === 2 || n === 6 || n === 12 ? 1 : 2;
    const isBroad = (strokes[0] as Stroke).note.length > beatTicks / 2 && n === 3;
    return [
      {
        onset,
        at,
        amount: (strange * (isBroad ? 1.5 : 1)) / Math.max(1, n - 1),
        value: 1 / Math.max(1, n - 1),
        words: () => `place the note at ${countAt({ bar, offset })} between the plain divisions of the beat`,
      },
    ];
  });

/** Two in the time of three. */
const isPlainHalf = (within: number, beat: number): boolean => within * 2 === beat;

/**
 * What is learned as one step: three events by how strings, frets and time go from one to the next, wherever on the neck. Two phrases that share many share material.
 */
export function figuresToRemember({ events }: PlayedLine): readonly string[] {
  return events.slice(2).map((c, i) => {
    const a = events[i] as PlayedEvent;
    const b = events[i + 1] as PlayedEvent;
    return `${stepText(a, b)} ${stepText(b, c)}`;
  });
}
const stepText = (a: PlayedEvent, b: PlayedEvent): string =>
  `${topOf(b).string - topOf(a).string},${topOf(b).fret - topOf(a).fret},${b.onset - a.onset},${b.strokes.length}`;

/** What a note of a figure that is known already counts. */
const REUSED = 0.25;

/** Notes to remember. A figure of three that was met before, in the line or among those known, makes its last note count a quarter. */
export function notesToRemember(line: PlayedLine, known: ReadonlySet<string> = new Set()): Item[] {
  const met = new Set(known);
  const figures = figuresToRemember(line);
  return line.events.map(({ onset, at }, i) => {
    const figure = figures[i - 2];
    const isNew = figure === undefined || !met.has(figure);
    if (figure !== undefined) met.add(figure);
    const n = line.events.length;
    return { onset, at, amount: isNew ? 1 : REUSED, alone: 0, words: () => `remember ${n} notes` };
  });
}
