// Notes of a MIDI file -> notes of a line in written time: grace notes found, swing taken out, onsets and lengths on the grid, the wheel as bends.
import { QUARTER } from '../foundation/time.js';
import { midiKey, ticks } from '../foundation/units.js';
import { secondsOf } from '../solo/changes.js';
import { unswung } from '../solo/clock.js';
import { readWheel } from './midi-bends.js';
import type { MidiBars } from './midi-head.js';
import type { MidiNote } from './midi-notes.js';
import { lengthOnGrid, type Placed, toGrid, toTicks } from './midi-time.js';
import type { LineNote } from './musicxml-line-note.js';
import type { Reporter } from './musicxml-report.js';

/** A note this short (seconds), with the next one right behind it, may be a grace note. */
const GRACE_SECONDS = 0.1;
/** "Right behind": within so many seconds. */
const BEHIND_SECONDS = 0.02;
/** A note that stops so near to the next one (as a share of the distance of their onsets) was written up to it. */
const GAP = 0.3;
/** A level this near to a quarter-tone (cents) was meant to be it: more than the steps of a wheel that goes two octaves. */
const EXACT_CENTS = 2;
/** Both of two notes stand on a grid of so many parts of a quarter: the first is no grace note. */
const FINE = [8, 12, 5, 7, 9];
/** A grace note is shorter than what it leads to by this much, and so many at most follow each other. */
const GRACE_SHORTER = 2.5;
const MOST_GRACES = 4;
/** A rest shorter than this behind a note is how it was played, not how it is written: a sixteenth. */
const SHORTEST_REST = QUARTER / 4;

/** Notes of a line, each with its channel, and how well they fit the grid. */
export interface MidiLine {
  readonly notes: readonly (LineNote & { readonly channel: number })[];
  readonly placed: Placed;
}

/** A note in ticks of the solo as it is played. */
interface Played {
  readonly note: MidiNote;
  readonly at: number;
  readonly end: number;
  grace: number;
  /** The main note of a grace note: its place among the notes. */
  main?: Played;
  /** Where it would be written: a main note with graces where the first of them is played. */
  from: number;
}

/** Reads the notes of a part. */
export function midiLine(own: readonly MidiNote[], bars: MidiBars, division: number, report: Reporter): MidiLine {
  const { grid, tick } = bars;
  const unit = QUARTER / division;
  const secondsPerTick = (at: number): number => secondsOf(1, grid.place(ticks(Math.max(0, Math.round(at)))).bar.tempo);
  const played = own
    .map((note): Played => ({ note, at: tick(note.at), end: tick(note.end), grace: 0, from: tick(note.at) }))
    .filter((p) => p.at >= bars.start - unit);
  const id = ({ note }: Played): string => `${note.at} ${note.channel}`;
  if (bars.isOwn)
    markOwnGraces(
      played,
      (p) => bars.graces.has(id(p)),
      (p) => bars.behind.get(id(p)) ?? 0,
    );
  else markGraces(played, graceTest(unit, secondsPerTick), secondsPerTick);
  const mains = played.filter((p) => p.grace === 0);
  const written = bars.isOwn ? unswung(grid, bars.asWritten) : (at: number) => at;
  const byOnset = [...mains].sort((a, b) => a.from - b.from);
  const toOwn = bars.isOwn && unit <= 1 ? (all: readonly number[]) => toTicks(all, written) : undefined;
  const froms = byOnset.map((p) => Math.max(0, p.from));
  const placed = toOwn?.(froms) ?? toGrid(froms.map(written), unit);
  const onsets = new Map(byOnset.map((p, i) => [p, placed.places[i] as number]));
  const exact = new Map(byOnset.map((p, i) => [p, placed.exact[i] as boolean]));
  const next = nextOnsets(byOnset, onsets);
  const notes: (LineNote & { channel: number })[] = [];
  const byPlayed = new Map<Played, LineNote>();
  let quarterTones = 0;
  for (const p of played) {
    const main = p.main ?? p;
    const onset = onsets.get(main) as number;
    const length =
      p.grace > 0
        ? 0
        : toOwn
          ? Math.max(1, (toOwn([p.end]).places[0] as number) - onset)
          : lengthOf(onset, next.get(p), written(p.end), unit, exact.get(p) === true);
    const span = Math.max(1, p.grace > 0 ? p.end - p.at : length);
    const since = (at: number): number =>
      p.grace > 0 ? tick(at) - p.at : written(tick(at)) - onset - (written(p.at) - onset) * share(tick(at), p);
    const wheel = p.note.bends.map((b) => ({ at: Math.max(0, since(b.at)), cents: b.cents }));
    const read = readWheel(wheel, span, secondsPerTick(p.at), lengthOnGrid);
    if (read.moved > EXACT_CENTS) quarterTones++;
    const place = grid.place(ticks(onset));
    notes.push({
      onset,
      length,
      grace: p.grace,
      staff: 1,
      voice: '1',
      key: midiKey(p.note.key),
      name: undefined,
      string: undefined,
      fret: bars.harmonics.get(id(p)),
      start: read.slidFrom ? (read.slidFrom === 'below' ? 'slid up' : 'slid down') : 'picked',
      path: p.grace > 0 ? read.path.map(({ level }) => ({ level })) : read.path,
      ring: false,
      vibrato: read.vibrato,
      accent: false,
      dead: false,
      goesOn: false,
      harmonic: bars.harmonics.has(id(p)) ? 'natural' : undefined,
      slideAway: false,
      marks: [],
      measure: place.bar.number,
      place: { part: '', measure: String(place.bar.number), line: 1, column: 1 },
      channel: p.note.channel,
    });
    byPlayed.set(p, notes[notes.length - 1] as LineNote);
  }
  legato(played, byPlayed);
  if (quarterTones > 0)
    report.say('approximated', 'bend', 'bends were brought to the nearest quarter-tone', undefined, {
      detail: `${quarterTones} notes`,
      quiet: true,
    });
  return { notes, placed };
}

/** How far into a note that was moved by its graces, or onto the grid, a tick lies: what it was moved by is made up for by its end. */
const share = (at: number, p: Played): number => Math.max(0, Math.min(1, (p.end - at) / Math.max(1, p.end - p.at)));

/** The end of a note that is no grace note, as a length: up to the next one if the rest between them is no rest that would be written. */
function lengthOf(onset: number, next: number | undefined, end: number, unit: number, isExact: boolean): number {
  // The last note goes to an eighth, if it goes near one.
  const until = next ?? Math.ceil(end / (QUARTER / 2) - 1e-6) * (QUARTER / 2);
  const distance = until - onset;
  const isNear = distance > 0 && end > onset + (1 - GAP) * distance;
  if (isNear && onset + distance - end < SHORTEST_REST - unit) return distance;
  const [whole = 0] = toGrid([end], unit).places;
  const isClose = Math.abs(end - whole) <= Math.max(2, unit * 1.01);
  if (isExact && isClose && whole > onset && (distance === 0 || whole <= onset + distance + 1)) return whole - onset;
  return isNear ? distance : Math.max(QUARTER / 16, lengthOnGrid(end - onset));
}

/** For each note the next later onset on its channel. */
function nextOnsets(byOnset: readonly Played[], onsets: ReadonlyMap<Played, number>): ReadonlyMap<Played, number> {
  const next = new Map<Played, number>();
  const later = new Map<number, { at: number; before: number | undefined }>();
  for (let i = byOnset.length - 1; i >= 0; i--) {
    const p = byOnset[i] as Played;
    const at = onsets.get(p) as number;
    const known = later.get(p.note.channel);
    const after = known === undefined ? undefined : known.at > at ? known.at : known.before;
    if (after !== undefined) next.set(p, after);
    if (known === undefined || known.at !== at) later.set(p.note.channel, { at, before: known?.at });
  }
  return next;
}

/** In a file of this project texts say which notes are graces, and what is played behind the place it is written at. */
function markOwnGraces(
  played: readonly Played[],
  isGrace: (p: Played) => boolean,
  behind: (p: Played) => number,
): void {
  const mains = new Map<number, Played>();
  const graces: Played[] = [];
  for (const p of played) {
    p.from = p.at - (Number.isInteger(behind(p)) ? behind(p) : 0);
    if (isGrace(p)) graces.push(p);
    else mains.set(p.from, p);
  }
  const times = new Map<number, number[]>(); // by place: when its graces are played, the last first
  for (const { from, at } of graces.reverse()) {
    const known = times.get(from) ?? [];
    if (!known.includes(at)) times.set(from, [...known, at]);
  }
  for (const p of graces) {
    const main = mains.get(p.from);
    if (!main) continue;
    p.main = main;
    p.grace = (times.get(p.from) as number[]).indexOf(p.at) + 1;
  }
}

/** Marks grace notes, each with the note right behind it as its main one. */
function markGraces(
  played: readonly Played[],
  isGrace: (p: Played, after: Played) => boolean,
  secondsPerTick: (at: number) => number,
): void {
  for (let i = played.length - 2; i >= 0; i--) {
    const p = played[i] as Played;
    const seconds = secondsPerTick(p.at);
    const after = played
      .slice(i + 1, i + 8)
      .find((q) => q.at > p.at && Math.abs(q.at - p.end) * seconds <= BEHIND_SECONDS);
    if (!after || !isGrace(p, after)) continue;
    p.main = after.main ?? after;
    p.grace = after.grace + 1;
    // On the beat, and the main note late; or before the beat, and the main note on it.
    if (p.at < p.main.from && !standsOnGrid(p.main.at, 2)) p.main.from = p.at;
  }
}

const standsOnGrid = (at: number, near: number): boolean =>
  FINE.some((parts) => Math.abs(at - Math.round((at * parts) / QUARTER) * (QUARTER / parts)) <= near);

/** In a file that does not say so a grace note is a short one, unless it and the note behind it both stand on a grid. */
function graceTest(unit: number, secondsPerTick: (at: number) => number): (p: Played, after: Played) => boolean {
  const near = Math.max(2, unit * 1.01);
  return (p, after) =>
    (p.end - p.at) * secondsPerTick(p.at) <= GRACE_SECONDS &&
    after.grace < MOST_GRACES &&
    (after.grace > 0 || after.end - after.at >= GRACE_SHORTER * (p.end - p.at)) &&
    !(standsOnGrid(p.at, near) && standsOnGrid(after.at, near));
}

/** What the legato switch says: hammered up, pulled down; and a pitch that has gone to the next note by its end has slid there. */
function legato(played: readonly Played[], notes: ReadonlyMap<Played, LineNote>): void {
  const last = new Map<number, Played>(); // by channel
  for (const p of played) {
    const before = last.get(p.note.channel);
    last.set(p.note.channel, p);
    if (!before || before.end < p.at - 1) continue;
    const note = notes.get(p) as LineNote;
    const [from, to] = [before.note.bends[before.note.bends.length - 1], p.note.bends[0]];
    const arrived =
      from && to && from.cents !== 0 ? before.note.key * 100 + from.cents - (p.note.key * 100 + to.cents) : undefined;
    const levels = (notes.get(before) as LineNote).path;
    const left = before.note.key * 100 + (levels[levels.length - 1]?.level ?? 0);
    const goesTo = p.note.key * 100 + (to?.cents ?? 0);
    if (arrived !== undefined && Math.abs(arrived) <= 60 && Math.abs(goesTo - left) >= 80)
      note.start = goesTo > left ? 'slid up' : 'slid down';
    else if (p.note.isLegato) note.start = p.note.key >= before.note.key ? 'hammered' : 'pulled';
  }
}
