// Measures laid out as the bars of a solo: pickups in bar 0, split measures joined, odd ones given a meter of their own; and what holds from which bar.
import { QUARTER } from '../foundation/time.js';
import { barNumber } from '../foundation/units.js';
import type { Feel, Opening, Setting } from '../solo/changes.js';
import { EMPTY_SOLO } from '../solo/solo.js';
import { type Meter, meterOf, meterText } from '../theory/meter.js';
import { keyText } from '../theory/scale.js';
import type { PlacedMeasure } from './musicxml-line-note.js';
import type { ScoreMeasure } from './musicxml-measure.js';
import type { Reporter } from './musicxml-report.js';

/** A score in time. */
export interface Layout {
  readonly placed: readonly PlacedMeasure[];
  readonly opening: Opening;
  readonly settings: readonly Setting[];
  /** The last bar there is. */
  readonly lastBar: number;
  /** Ticks at which the last bar ends. */
  readonly end: number;
  /** The bar that a measure (by its index) begins in. */
  readonly barOf: readonly number[];
}

/** More bars than this are refused: a solo counts them with four digits. */
export const MOST_BARS = 9998;

const FOUR_FOUR = EMPTY_SOLO.meter;
/** The shortest value that a bar can be counted in, 1/32. */
const UNIT = QUARTER / 8;

interface Bar {
  readonly start: number;
  /** What is filled, and what it lasts. */
  filled: number;
  meter: Meter;
  readonly first: ScoreMeasure;
  measures: ScoreMeasure[];
}

/** Lays out measures in the order in which they are played, or gives `undefined` if there are more than {@link MOST_BARS}. */
export function layOut(measures: readonly ScoreMeasure[], report: Reporter): Layout | undefined {
  const bars: Bar[] = [];
  const placed: PlacedMeasure[] = [];
  const barOf: number[] = [];
  let hasPickup = false;
  let start = 0;
  measures.forEach((measure, i) => {
    if (bars.length > MOST_BARS) return;
    const nominal = measure.meter ?? FOUR_FOUR;
    const filled = Math.round(measure.filled);
    const last = bars[bars.length - 1];
    const before = measures[i - 1];
    const split =
      last !== undefined &&
      before !== undefined &&
      !(hasPickup && bars.length === 1) &&
      filled > 0 &&
      last.filled > 0 &&
      last.filled < last.meter.barTicks &&
      last.filled + filled <= last.meter.barTicks &&
      textOfMeter(measure.meter) === textOfMeter(last.first.meter) &&
      (measure.implicit || isSplit(before, measure, last.filled + filled === last.meter.barTicks));
    if (split) {
      placed.push({ measure, start: last.start + last.filled });
      last.filled += filled;
      last.measures.push(measure);
      barOf.push(bars.length - 1);
      if (!measure.implicit)
        report.say(
          'approximated',
          'split',
          'two short measures around a repeat sign were read as one bar',
          measure.place,
        );
      return;
    }
    let meter = nominal;
    let offset = 0;
    if (i === 0) {
      const short = filled > 0 && filled < nominal.barTicks && measures.length > 1;
      const marked = measure.implicit || measure.number.trim() === '0';
      hasPickup = marked || short;
      if (short) {
        offset = nominal.barTicks - filled;
        if (!marked)
          report.say(
            'approximated',
            'pickup',
            'a first measure that is not filled was read as a pickup',
            measure.place,
          );
      }
    }
    if (filled > nominal.barTicks || (measure.implicit && i > 0 && filled > 0 && filled < nominal.barTicks)) {
      meter = fitting(filled, nominal);
      if (meter !== nominal && measure.meter)
        report.say(
          'approximated',
          'odd-measure',
          `a measure that does not fit its meter was given one of its own`,
          measure.place,
          {
            detail: `${meterText(meter)} in place of ${meterText(nominal)}`,
          },
        );
    } else if (filled > 0 && filled < nominal.barTicks && i > 0 && i < measures.length - 1)
      report.say('approximated', 'short-measure', 'a measure that is not filled was filled with rests', measure.place, {
        quiet: true,
      });
    // Only what no meter can hold takes several bars.
    const times = Math.max(1, Math.ceil(filled / meter.barTicks));
    barOf.push(bars.length);
    placed.push({ measure, start: start + offset });
    for (let t = 0; t < times; t++) {
      bars.push({
        start,
        filled: t === 0 ? offset + filled : meter.barTicks,
        meter,
        first: measure,
        measures: [measure],
      });
      start += meter.barTicks;
    }
  });
  if (bars.length > MOST_BARS) return undefined;
  const shift = hasPickup ? 0 : ((bars[0]?.first.meter ?? FOUR_FOUR).barTicks as number);
  const from = hasPickup ? 0 : 1;
  const { opening, settings } = settingsOf(bars, from, report);
  return {
    placed: placed.map((p) => ({ ...p, start: p.start + shift })),
    opening,
    settings,
    lastBar: from + bars.length - 1,
    end: start + shift,
    barOf: barOf.map((b) => b + from),
  };
}

const textOfMeter = (meter: Meter | undefined): string => (meter ? meterText(meter) : '');

/** True for the two halves of a bar with a repeat sign inside. */
const isSplit = (before: ScoreMeasure, measure: ScoreMeasure, isWhole: boolean): boolean =>
  isWhole && (before.barlines.backward > 0 || before.barlines.endingStop || measure.barlines.forward);

/** A meter that lasts so long; the next longer one that can be counted, or the nominal one where none can. */
function fitting(filled: number, nominal: Meter): Meter {
  for (const under of [nominal.under, 4, 8, 16, 32, 2, 1]) {
    const over = (filled * under) / (QUARTER * 4);
    const meter = meterOf(over, under);
    if (meter) return meter;
  }
  const up = Math.ceil(filled / UNIT) * UNIT;
  if (up === filled)
    return up > nominal.barTicks ? (meterOf(Math.ceil(filled / (QUARTER * 4)), 1) ?? nominal) : nominal;
  return fitting(up, nominal);
}

/** The tempo that the standard takes where none is written. */
const USUAL_TEMPO = 120;

function settingsOf(
  bars: readonly Bar[],
  from: number,
  report: Reporter,
): { readonly opening: Opening; readonly settings: readonly Setting[] } {
  const settings: Setting[] = [];
  const first = bars[0];
  let tempo: number | undefined;
  let feel: Feel | undefined;
  let next: { readonly tempo: number } | undefined; // a tempo from inside a bar
  const states = bars.map((bar): Opening => {
    if (next) {
      tempo = next.tempo;
      next = undefined;
    }
    for (const [m, measure] of bar.measures.entries()) {
      feel = measure.feel ?? feel;
      for (const mark of measure.directions.tempos) {
        const value = Math.min(400, Math.max(20, mark.tempo));
        if (value !== mark.tempo)
          report.say('approximated', 'tempo-range', 'a tempo was brought into 20 to 400', measure.place, {
            detail: String(mark.tempo),
          });
        const early = (m === 0 && mark.at < QUARTER / 2) || (bar === first && tempo === undefined);
        if (early) tempo = value;
        else {
          next = { tempo: value };
          report.say(
            'approximated',
            'tempo-inside',
            'a tempo that changes inside a bar holds from the next',
            measure.place,
            { quiet: true },
          );
        }
      }
    }
    return { meter: bar.meter, key: bar.first.key, tempo: tempo ?? USUAL_TEMPO, feel: feel ?? { kind: 'straight' } };
  });
  if (tempo === undefined) report.say('approximated', 'no-tempo', `no tempo is written: ${USUAL_TEMPO} was taken`);
  const start = states[0] ?? { meter: FOUR_FOUR, key: EMPTY_SOLO.key, tempo: USUAL_TEMPO, feel: { kind: 'straight' } };
  // A first bar with a meter of its own must not change the bar before it, which is not there.
  const opening: Opening = from === 1 ? { ...start, meter: first?.first.meter ?? FOUR_FOUR } : start;
  let before: Opening = opening;
  states.forEach((state, i) => {
    const setting: { -readonly [F in keyof Setting]: Setting[F] } = { bar: barNumber(from + i) };
    if (meterText(state.meter) !== meterText(before.meter)) setting.meter = state.meter;
    if (keyText(state.key) !== keyText(before.key)) setting.key = state.key;
    if (state.tempo !== before.tempo) setting.tempo = state.tempo;
    if (JSON.stringify(state.feel) !== JSON.stringify(before.feel)) setting.feel = state.feel;
    if (Object.keys(setting).length > 1) settings.push(setting);
    before = state;
  });
  return { opening, settings };
}
