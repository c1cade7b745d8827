// What holds for the whole of a MIDI file: bars, meter, tempo, key, feel, chords, sections, and the texts of this project.
import { QUARTER } from '../foundation/time.js';
import { barNumber, ticks } from '../foundation/units.js';
import {
  type BarGrid,
  barGrid,
  type Changes,
  type Feel,
  type Opening,
  parseFeel,
  type Section,
  type Setting,
  type Strum,
} from '../solo/changes.js';
import { EMPTY_SOLO } from '../solo/solo.js';
import { isChord, isNoChord, NO_CHORD, parseChord } from '../theory/chord.js';
import { type Meter, meterOf, meterText } from '../theory/meter.js';
import { type Key, keyText, parseKey } from '../theory/scale.js';
import type { MidiEvent, TextType } from './midi-events.js';
import { channelOf, OWN, SIGNATURE } from './midi-own.js';
import { filledBars } from './musicxml-changes.js';
import type { Reporter } from './musicxml-report.js';

/** A text of a file at a tick of the file. */
interface Text {
  readonly at: number;
  readonly type: TextType;
  readonly text: string;
}

/** The bars of a file. */
export interface MidiBars {
  readonly opening: Opening;
  readonly settings: readonly Setting[];
  readonly grid: BarGrid;
  /** The tick of a solo that a tick of the file stands for; a fraction where the file is finer. */
  readonly tick: (at: number) => number;
  /** Where the first bar begins, in ticks of a solo. */
  readonly start: number;
  /** Where pairs begin that do not swing with the others. */
  readonly asWritten: ReadonlySet<number>;
  /** Notes that a file of this project says more of, by tick and channel: `1020 3`. */
  readonly graces: ReadonlySet<string>;
  /** How many ticks of the solo a note is played after the place it is written at. */
  readonly behind: ReadonlyMap<string, number>;
  readonly harmonics: ReadonlyMap<string, number>;
  readonly isOwn: boolean;
  readonly hasKey: boolean;
}

/** More bars than this are refused, as for scores. */
export const MOST_BARS = 9998;
/** Tempos that a solo has, in quarter notes a minute. */
const TEMPOS = [20, 400] as const;

/** The texts of a file in order of time. */
export const textsOf = (tracks: readonly (readonly MidiEvent[])[]): readonly Text[] =>
  tracks
    .flatMap((track) =>
      track.flatMap((e) =>
        e.kind === 'text' && e.text.trim() !== '' ? [{ at: e.at, type: e.type, text: e.text }] : [],
      ),
    )
    .sort((a, b) => a.at - b.at);

/** The value behind a word of this project, of the first text that opens with it. */
export const textOf = (texts: readonly Text[], word: string): string | undefined =>
  texts.find(({ type, text }) => type === 'text' && text.startsWith(`${word} `))?.text.slice(word.length + 1);

const valuesOf = (texts: readonly Text[], word: string): readonly Text[] =>
  texts.flatMap((t) =>
    t.type === 'text' && t.text.startsWith(`${word} `) ? [{ ...t, text: t.text.slice(word.length + 1) }] : [],
  );

/** True if the texts say that this project wrote the file. */
export const isOwnFile = (texts: readonly Text[]): boolean =>
  texts.some(({ type, text }) => type === 'text' && text === SIGNATURE);

const MAJOR_KEYS = ['Cb', 'Gb', 'Db', 'Ab', 'Eb', 'Bb', 'F', 'C', 'G', 'D', 'A', 'E', 'B', 'F#', 'C#'];
const MINOR_KEYS = ['Ab', 'Eb', 'Bb', 'F', 'C', 'G', 'D', 'A', 'E', 'B', 'F#', 'C#', 'G#', 'D#', 'A#'];

function keyOf(sharps: number, isMinor: boolean): Key | undefined {
  const key = parseKey(`${(isMinor ? MINOR_KEYS : MAJOR_KEYS)[sharps + 7] ?? ''} ${isMinor ? 'minor' : 'major'}`);
  return 'names' in key ? key : undefined;
}

/** Lays out the bars: what a file says within a bar holds from the next one on, and is said. */
export function midiBars(tracks: readonly (readonly MidiEvent[])[], division: number, report: Reporter): MidiBars {
  const texts = textsOf(tracks);
  const isOwn = isOwnFile(texts);
  const first = isOwn && textOf(texts, OWN.bar) === '0' ? 0 : 1;
  const countIn = isOwn ? Number(textOf(texts, OWN.countIn) ?? 0) : 0;
  const raw = (at: number): number => (at * QUARTER) / division;
  const meters = tracks
    .flat()
    .filter((e) => e.kind === 'meter')
    .sort((a, b) => a.at - b.at);
  const known = meters.flatMap((e): { at: number; meter: Meter }[] => {
    const meter = meterOf(e.over, e.under);
    if (!meter)
      report.say('dropped', 'meter', 'a meter that is not read', undefined, { detail: `${e.over}/${e.under}` });
    return meter ? [{ at: raw(e.at), meter }] : [];
  });
  const opening: { meter: Meter; key: Key; tempo: number; feel: Feel } = {
    meter: known[0]?.meter ?? EMPTY_SOLO.meter,
    key: EMPTY_SOLO.key,
    tempo: 120, // what the standard takes where a file says nothing
    feel: EMPTY_SOLO.feel,
  };
  const byBar = new Map<number, { -readonly [F in keyof Setting]: Setting[F] }>();
  const set = (bar: number, what: Partial<Opening>): void => {
    if (bar <= first) Object.assign(opening, what);
    else byBar.set(bar, { ...(byBar.get(bar) ?? { bar: barNumber(bar) }), ...what });
  };
  const clicked = Number.isInteger(countIn) && countIn > 0 && countIn <= 4 ? countIn * opening.meter.barTicks : 0;
  const origin = (first === 1 ? opening.meter.barTicks : 0) - clicked;
  const tick = (at: number): number => raw(at) + origin;
  // Meters first: they say where bars lie.
  let start = origin + clicked;
  let number = first;
  let meter = opening.meter;
  for (const next of known.slice(1)) {
    const at = next.at + origin;
    if (at <= start) {
      if (number === first) opening.meter = next.meter;
      else set(number, { meter: next.meter });
      meter = next.meter;
      continue;
    }
    if (meterText(next.meter) === meterText(meter)) continue;
    const bars = (at - start) / meter.barTicks;
    const whole = Math.max(1, Math.ceil(bars - 1e-6));
    if (Math.abs(bars - Math.round(bars)) > 1e-3)
      report.say('approximated', 'meter', 'a meter that changes within a bar holds from the next one on');
    if (number + whole > MOST_BARS) break;
    number += whole;
    start += whole * meter.barTicks;
    meter = next.meter;
    set(number, { meter });
  }
  const settings = (): readonly Setting[] => [...byBar.values()].sort((a, b) => a.bar - b.bar);
  const grid = barGrid(opening, settings());
  const barAt = (at: number, what: string): number | undefined => {
    const place = Math.max(first === 1 ? opening.meter.barTicks : 0, Math.round(tick(at)));
    if (place > MOST_BARS * opening.meter.barTicks) return undefined;
    const { bar, offset } = grid.place(ticks(place));
    if (offset > QUARTER / 48)
      report.say('approximated', what, `${what} changes within bars hold from the next one on`, undefined, {
        quiet: true,
      });
    return offset > QUARTER / 48 ? bar.number + 1 : bar.number;
  };
  let hasKey = false;
  const keys = isOwn
    ? valuesOf(texts, OWN.key).map(({ at, text }) => ({ at, key: parseKey(text) }))
    : tracks.flat().flatMap((e) => (e.kind === 'key' ? [{ at: e.at, key: keyOf(e.sharps, e.isMinor) }] : []));
  let keyNow = '';
  for (const { at, key } of [...keys].sort((a, b) => a.at - b.at)) {
    if (!key || !('names' in key) || keyText(key) === keyNow) continue;
    const bar = barAt(at, 'key');
    if (bar === undefined) continue;
    hasKey = true;
    keyNow = keyText(key);
    set(bar, { key });
  }
  setTempos(tracks, barAt, set, report);
  if (isOwn)
    for (const { at, text } of valuesOf(texts, OWN.feel)) {
      const feel = parseFeel(text);
      const bar = barAt(at, 'feel');
      if (feel && bar !== undefined) set(bar, { feel });
    }
  const asWritten = new Set(
    texts.filter((t) => t.type === 'text' && t.text === OWN.asWritten).map((t) => Math.round(tick(t.at))),
  );
  const all = settings();
  return {
    opening,
    settings: all,
    grid: barGrid(opening, all),
    tick,
    start: origin + clicked,
    asWritten,
    ...saidOfNotes(isOwn ? texts : []),
    isOwn,
    hasKey,
  };
}

/** Which notes are graces, which are late for them, and which are harmonics, touched where. */
function saidOfNotes(texts: readonly Text[]): Pick<MidiBars, 'graces' | 'behind' | 'harmonics'> {
  const numbers = ({ text }: Text): readonly number[] => text.split(' ').map(Number);
  const at = (t: Text): string => `${t.at} ${channelOf(numbers(t)[0] as number)}`;
  return {
    graces: new Set(valuesOf(texts, OWN.grace).map(at)),
    behind: new Map(valuesOf(texts, OWN.behind).map((t) => [at(t), numbers(t)[1] as number])),
    harmonics: new Map(valuesOf(texts, OWN.harmonic).map((t) => [at(t), numbers(t)[1] as number])),
  };
}

function setTempos(
  tracks: readonly (readonly MidiEvent[])[],
  barAt: (at: number, what: string) => number | undefined,
  set: (bar: number, what: Partial<Opening>) => void,
  report: Reporter,
): void {
  const tempos = tracks
    .flat()
    .filter((e) => e.kind === 'tempo')
    .sort((a, b) => a.at - b.at);
  let now: number | undefined;
  for (const { at, microseconds } of tempos) {
    const exact = Math.round(6e9 / microseconds) / 100;
    const tempo = Math.min(TEMPOS[1], Math.max(TEMPOS[0], exact));
    if (tempo !== exact)
      report.say('approximated', 'tempo', 'a tempo was brought within 20 to 400 quarters a minute', undefined, {
        detail: String(exact),
      });
    if (tempo === now) continue;
    const bar = barAt(at, 'tempo');
    if (bar === undefined) continue;
    now = tempo;
    set(bar, { tempo });
  }
}

/** The chords, sections and strums of a file, up to its last bar. */
export function midiChanges(texts: readonly Text[], bars: MidiBars, lastBar: number, report: Reporter): Changes {
  const { grid, tick, isOwn, settings, start } = bars;
  const place = (at: number) => grid.place(ticks(Math.max(0, Math.round(tick(at)))));
  const symbols = isOwn ? texts.filter((t) => t.type === 'marker') : chordTexts(texts, report);
  const byBar = new Map<number, Map<number, string>>();
  for (const text of symbols) {
    const { at } = text;
    const name = symbolOf(text);
    if (name === undefined)
      report.say('dropped', 'chord', 'a marker that is no chord symbol', undefined, { detail: text.text.slice(0, 40) });
    if (name === undefined || tick(at) < start) continue;
    const { bar, offset } = place(at);
    if (bar.number > lastBar) continue;
    const entries = byBar.get(bar.number) ?? new Map<number, string>();
    entries.set(offset, name);
    byBar.set(bar.number, entries);
  }
  const [from, to] = (isOwn ? (textOf(texts, OWN.changes) ?? '') : '').split(' ').map(Number);
  const named = isOwn ? sectionsIn(texts) : [];
  const strums = isOwn
    ? valuesOf(texts, OWN.strum).flatMap(({ text }): Strum[] => {
        const match = /^(\d{1,4}) (.+)$/s.exec(text);
        return match ? [{ bar: barNumber(Number(match[1])), pattern: match[2] as string }] : [];
      })
    : [];
  if (byBar.size === 0) return { firstBar: barNumber(1), bars: [], settings, sections: named, strums };
  const firstBar = [...byBar.keys()].reduce((a, b) => Math.min(a, b));
  const lastChord = byBar.size === 0 ? firstBar : [...byBar.keys()].reduce((a, b) => Math.max(a, b));
  const isSaid = from === firstBar && to !== undefined && to >= lastChord;
  const end = isSaid ? Math.min(to, lastBar) : isOwn ? lastChord : lastBar;
  return { firstBar: barNumber(firstBar), bars: filledBars(byBar, firstBar, end), settings, sections: named, strums };
}

/** Texts of one kind are chord symbols if this share of them can be read as such. */
const CHORDS = 0.8;

/** The chord symbol that a text is, without blanks; `undefined` if it is none, or none that solo text can hold. */
function symbolOf({ text }: Text): string | undefined {
  const symbol = text.slice(0, 80).replace(/\s+/g, '');
  if (isNoChord(symbol)) return NO_CHORD;
  const isWord = /^[A-G][^"|%:()]*(?:\([^"|%:()]*\)[^"|%:()]*)*$/.test(symbol) && symbol.length < 40;
  return isWord && isChord(parseChord(symbol)) ? symbol : undefined;
}

/** The chord symbols of a file that does not say which of its texts they are. */
function chordTexts(texts: readonly Text[], report: Reporter): readonly Text[] {
  let best: { readonly type: TextType; readonly found: readonly Text[] } | undefined;
  for (const type of ['marker', 'text', 'cue', 'lyric'] as const) {
    const own = texts.filter((t) => t.type === type);
    const found = own.filter((t) => symbolOf(t) !== undefined);
    const names = [...new Set(found.map((t) => t.text.trim()))];
    // A, B, C, each once or in order, are letters of sections.
    const areLetters =
      names.every((name) => /^[A-G]$/.test(name)) && names.join('') === [...names].sort().join('') && names[0] === 'A';
    if (
      found.length === 0 ||
      areLetters ||
      (type !== 'marker' && found.length < CHORDS * own.filter((t) => t.at > 0 || symbolOf(t) !== undefined).length)
    )
      continue;
    if (!best || found.length > best.found.length) best = { type, found };
  }
  if (!best) {
    report.say('approximated', 'no-chords', 'there are no chord symbols: no tone has a chord', undefined, {
      quiet: true,
    });
    return [];
  }
  report.say(
    'chosen',
    'chords-from',
    `chord symbols were taken from the ${best.type === 'text' ? 'texts' : `${best.type}s`}`,
    undefined,
    { quiet: true },
  );
  return best.found;
}

/** Sections of a file of this project. */
const sectionsIn = (texts: readonly Text[]): readonly Section[] =>
  valuesOf(texts, OWN.section).flatMap(({ text }): Section[] => {
    const match = /^(\d{1,4})-(\d{1,4}) (.*)$/s.exec(text);
    return match
      ? [{ name: match[3] as string, from: barNumber(Number(match[1])), to: barNumber(Number(match[2])) }]
      : [];
  });
