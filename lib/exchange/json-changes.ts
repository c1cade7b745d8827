// The head and the changes of a solo from data of the form: keys, meters, feels, tuning, chords in their bars.
import { barNumber, type MidiKey, ticks } from '../foundation/units.js';
import { STANDARD_GUITAR } from '../guitar/fretboard.js';
import {
  type BarGrid,
  barGrid,
  type Changes,
  type ChordEntry,
  NO_CHANGES,
  type Opening,
  parseFeel,
  type Setting,
} from '../solo/changes.js';
import { isChord, isNoChord, NO_CHORD, parseChord } from '../theory/chord.js';
import { parseMeter } from '../theory/meter.js';
import { keyOfNote } from '../theory/pitch.js';
import { parseKey } from '../theory/scale.js';
import { type Check, entriesOf, quoted } from './json-check.js';
import type { ChangesJson, SettingJson } from './json-form.js';
import { pointerTo } from './json-place.js';

/** What an object says of key, meter, tempo and feel. */
export function readOpening(from: Partial<SettingJson>, pointer: string, check: Check): Partial<Opening> {
  const opening: { -readonly [F in keyof Opening]?: Opening[F] } = {};
  if (from.tempo !== undefined) opening.tempo = from.tempo;
  if (from.key !== undefined) {
    const key = parseKey(from.key);
    if ('names' in key) opening.key = key;
    else {
      const remedy = key.suggestion === undefined ? 'as in "A minor"' : `did you mean ${quoted(key.suggestion)}?`;
      check.fault('bad-value', pointerTo(pointer, 'key'), `${quoted(from.key)} is not a key: ${key.reason}`, {
        found: quoted(from.key),
        expected: 'a key',
        remedy,
      });
    }
  }
  if (from.meter !== undefined) {
    const meter = parseMeter(from.meter);
    if (meter) opening.meter = meter;
    else
      check.fault('bad-value', pointerTo(pointer, 'meter'), `${quoted(from.meter)} is not a meter`, {
        found: quoted(from.meter),
        expected: 'a meter',
        remedy: '1 to 32 beats over 1, 2, 4, 8, 16 or 32, as in "4/4"',
      });
  }
  if (from.feel !== undefined) {
    const feel = parseFeel(from.feel);
    if (feel) opening.feel = feel;
    else
      check.fault('bad-value', pointerTo(pointer, 'feel'), `${quoted(from.feel)} is not a feel`, {
        found: quoted(from.feel),
        expected: 'a feel',
        remedy: '"straight", or how far a value swings: "swing e 2:1"',
      });
  }
  return opening;
}

/** The keys of the open strings; standard tuning where none is given. */
export function readTuning(tuning: readonly string[] | undefined, check: Check): readonly MidiKey[] {
  if (!tuning) return STANDARD_GUITAR.tuning;
  return tuning.map((name, i) => {
    const key = keyOfNote(name);
    if (key === undefined)
      check.fault('bad-value', pointerTo('/tuning', i), `${quoted(name)} is no MIDI key`, {
        found: quoted(name),
        expected: 'a note from C-1 to G9',
      });
    return key ?? (0 as MidiKey);
  });
}

/** The changes of a solo that opens so; what was faulted is left out. */
export function readChanges(json: ChangesJson | undefined, opening: Opening, check: Check): Changes {
  if (typeof json !== 'object' || json === null) return NO_CHANGES;
  const firstBar = barNumber(check.touched('/changes/firstBar') ? 1 : (json.firstBar ?? 1));
  const settings: Setting[] = [];
  for (const [setting, at] of entriesOf(json.settings, '/changes/settings', check)) {
    if (!setting) continue;
    const last = settings[settings.length - 1]?.bar ?? -1;
    if (setting.bar <= last)
      check.fault('setting-order', pointerTo(at, 'bar'), `bar ${setting.bar} stands behind bar ${last}`, {
        found: `bar ${setting.bar}`,
        expected: `a bar after ${last}`,
        remedy: 'settings stand in order of bars, one for a bar',
      });
    else settings.push({ bar: barNumber(setting.bar), ...readOpening(setting, at, check) });
  }
  const grid = barGrid(opening, settings);
  const bars = entriesOf(json.bars, '/changes/bars', check).map(([bar, at], i) =>
    bar ? readBar(bar, at, grid, firstBar + i, check) : [],
  );
  const sections = entriesOf(json.sections, '/changes/sections', check).flatMap(([section, at]) => {
    if (!section) return [];
    const { name, from, to } = section;
    if (to < from)
      check.fault('section', at, `it ends with bar ${to}, before its first bar, ${from}`, {
        remedy: `"from": ${to}, "to": ${from}?`,
      });
    return [{ name, from: barNumber(from), to: barNumber(to) }];
  });
  const strums = entriesOf(json.strums, '/changes/strums', check).flatMap(([strum]) =>
    strum ? [{ bar: barNumber(strum.bar), pattern: strum.pattern }] : [],
  );
  return { firstBar, bars, settings, sections, strums };
}

function readBar(
  bar: NonNullable<ChangesJson['bars']>[number],
  pointer: string,
  grid: BarGrid,
  number: number,
  check: Check,
): readonly ChordEntry[] {
  const { barTicks } = grid.bar(number).meter;
  let last = -1;
  return bar.map(({ at = 0, symbol }, i) => {
    const here = pointerTo(pointer, i);
    if (at >= barTicks)
      check.fault('chord-beat', pointerTo(here, 'at'), `tick ${at} is not in the bar`, {
        found: String(at),
        expected: `0 to ${barTicks - 1}`,
        remedy: 'it counts from the start of its bar',
      });
    else if (at <= last)
      check.fault('chord-beat', here, `it comes at tick ${at}, not after the chord before it, at ${last}`, {
        found: String(at),
        expected: `more than ${last}`,
        remedy: 'the chords of a bar stand in order of time, each with its own "at"',
      });
    last = Math.max(last, at);
    if (isNoChord(symbol)) return { at: ticks(at), symbol: NO_CHORD };
    const read = parseChord(symbol);
    if (!isChord(read)) {
      const remedy = read.suggestion === undefined ? undefined : `did you mean ${quoted(read.suggestion)}?`;
      check.fault(
        'unknown-chord',
        pointerTo(here, 'symbol'),
        `the chord ${quoted(symbol)} is not known: ${read.reason}`,
        { found: quoted(symbol), ...(remedy !== undefined && { remedy }) },
      );
    }
    return { at: ticks(at), symbol };
  });
}
