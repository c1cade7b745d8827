// The changes under a solo: chords bar by bar, meters, keys, tempos, sections; and where every bar stands in time.
import { nearest } from '../foundation/nearest.js';
import { QUARTER, type ValueLetter } from '../foundation/time.js';
import { type BarNumber, barNumber, type Ticks, ticks } from '../foundation/units.js';
import { countText, type Meter, meterText } from '../theory/meter.js';
import { type Key, keyText } from '../theory/scale.js';

/** How even subdivisions are played: straight, or a value that swings with the ratio long to short. It changes the sound, never the analysis. */
export type Feel =
  | { readonly kind: 'straight' }
  | { readonly kind: 'swing'; readonly value: ValueLetter; readonly long: number; readonly short: number };

/** A chord symbol (or `N.C.`) and where in its bar it comes, in ticks. */
export interface ChordEntry {
  readonly at: Ticks;
  readonly symbol: string;
}

/** What holds from a bar on: any of meter, key, tempo (quarter notes a minute), feel. */
export interface Setting {
  readonly bar: BarNumber;
  readonly meter?: Meter;
  readonly key?: Key;
  readonly tempo?: number;
  readonly feel?: Feel;
}

/** A named stretch of the form, first and last bar included. */
export interface Section {
  readonly name: string;
  readonly from: BarNumber;
  readonly to: BarNumber;
}

/** A counted strumming pattern that holds from a bar on. */
export interface Strum {
  readonly bar: BarNumber;
  readonly pattern: string;
}

/** Chords bar by bar from `firstBar` on (repeats are written out), and what holds from which bar. */
export interface Changes {
  readonly firstBar: BarNumber;
  readonly bars: readonly (readonly ChordEntry[])[];
  /** In order of bars, at most one a bar; the solo's own meter, key, tempo and feel hold before. */
  readonly settings: readonly Setting[];
  readonly sections: readonly Section[];
  readonly strums: readonly Strum[];
}

/** Changes with no bars. */
export const NO_CHANGES: Changes = { firstBar: barNumber(1), bars: [], settings: [], sections: [], strums: [] };

/** What holds at the start of a solo. */
export interface Opening {
  readonly meter: Meter;
  readonly key: Key;
  readonly tempo: number;
  readonly feel: Feel;
}

/** One bar laid out in time. */
export interface Bar extends Opening {
  readonly number: BarNumber;
  readonly start: Ticks;
}

/** A point in time as a player says it: the bar, and the offset into it. */
export interface BarPlace {
  readonly bar: Bar;
  readonly offset: Ticks;
}

/** The bars of a solo in time. Tick 0 is the start of bar 0, the pickup bar. Bars past the changes go on as the last one. */
export interface BarGrid {
  /** The bar with a number, 0 or above. */
  bar(number: number): Bar;
  /** The bar that holds a tick, and the offset into it. */
  place(at: Ticks): BarPlace;
}

/** Lays out the bars of a solo. Bars are made as they are asked for and kept. */
export function barGrid(opening: Opening, settings: readonly Setting[]): BarGrid {
  const bars: Bar[] = [{ ...pick(opening), number: barNumber(0), start: ticks(0) }];
  let next = 0;
  const apply = (bar: Bar): Bar => {
    let changed = bar;
    while (next < settings.length && (settings[next] as Setting).bar <= bar.number) {
      changed = { ...changed, ...defined(settings[next] as Setting) };
      next++;
    }
    return changed;
  };
  bars[0] = apply(bars[0] as Bar);
  const extend = (): Bar => {
    const last = bars[bars.length - 1] as Bar;
    const { meter, key, tempo, feel } = last; // named one by one: spreading every bar cost a tenth of reading a solo
    const bar = apply({
      meter,
      key,
      tempo,
      feel,
      number: barNumber(last.number + 1),
      start: ticks(last.start + meter.barTicks),
    });
    bars.push(bar);
    return bar;
  };
  return {
    bar(number) {
      while (bars.length <= number) extend();
      return bars[number] as Bar;
    },
    place(at) {
      let last = bars[bars.length - 1] as Bar;
      while (last.start + last.meter.barTicks <= at) last = extend();
      let low = 0;
      let high = bars.length - 1;
      while (low < high) {
        const middle = (low + high + 1) >> 1;
        if ((bars[middle] as Bar).start <= at) low = middle;
        else high = middle - 1;
      }
      const bar = bars[low] as Bar;
      return { bar, offset: ticks(at - bar.start) };
    },
  };
}

const pick = ({ meter, key, tempo, feel }: Opening): Opening => ({ meter, key, tempo, feel });

function defined(setting: Setting): Partial<Opening> {
  const { meter, key, tempo, feel } = setting;
  return { ...(meter && { meter }), ...(key && { key }), ...(tempo !== undefined && { tempo }), ...(feel && { feel }) };
}

/** A place as a player says it: `3&` of the bar. */
export const countAt = (place: BarPlace): string => countText(place.offset, place.bar.meter);

/** The text of a feel: `straight`, `swing e 2:1`. */
export const feelText = (feel: Feel): string =>
  feel.kind === 'straight' ? 'straight' : `swing ${feel.value} ${feel.long}:${feel.short}`;

/** Reads a feel, or gives `undefined`. */
export function parseFeel(text: string): Feel | undefined {
  if (text.trim() === 'straight') return { kind: 'straight' };
  const match = /^\s*swing\s+([es])\s+(\d{1,2}(?:\.\d+)?):(\d{1,2}(?:\.\d+)?)\s*$/.exec(text);
  if (!match) return undefined;
  const long = Number(match[2]);
  const short = Number(match[3]);
  return long > 0 && short > 0 ? { kind: 'swing', value: match[1] as ValueLetter, long, short } : undefined;
}

/** Seconds that a number of ticks takes at a tempo in quarter notes a minute. */
export const secondsOf = (length: number, tempo: number): number => (length / QUARTER) * (60 / tempo);

/** Meter and key of a bar in a few words, for legends: `4/4, C mixolydian`. */
export const barInWords = (bar: Bar): string => `${meterText(bar.meter)}, ${keyText(bar.key)}`;

/** A phrase that comes in more than so many bars past the last chord is a slip of the pen, not a song that goes on. */
export const FAR_PAST = 4;

/**
 * What is wrong with a phrase that comes in far past the changes; `undefined` for one that does not.
 * @example
 * farPastTheChanges(parseSoloOrThrow(EXAMPLE_SOLO).changes, 24)?.remedy // => 'bar 24 of 4: is 4 meant? If not, write the changes to bar 24'
 */
export function farPastTheChanges({ firstBar, bars }: Changes, bar: number) {
  const last = firstBar + bars.length - 1;
  if (bars.length === 0 || bar <= last + FAR_PAST) return undefined;
  const numbers = bars.map((_, i) => String(last - i));
  const meant = nearest(String(bar), numbers, 1);
  return {
    message: `comes in in bar ${bar}, and the changes have ${last}`,
    found: `bar ${bar}`,
    expected: `bar ${firstBar} to ${last}`,
    remedy: `bar ${bar} of ${last}: ${meant === undefined ? 'mend the number.' : `is ${meant} meant?`} If not, write the changes to bar ${bar}`,
  };
}
