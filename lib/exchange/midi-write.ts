// Solo -> Standard MIDI File: as it is played, one channel a string, bends as bends, with chords and phrases as texts.
import { QUARTER } from '../foundation/time.js';
import { ticks } from '../foundation/units.js';
import { harmonicPitch, openKey, pitchAt, tuningText } from '../guitar/fretboard.js';
import { type Bar, type BarGrid, feelText } from '../solo/changes.js';
import { clockOf, pairsAsWritten } from '../solo/clock.js';
import { performanceOf, type Sound, soundPitch } from '../solo/performance.js';
import { gridOf, type Note, phraseEnd, type Solo } from '../solo/solo.js';
import { keyText } from '../theory/scale.js';
import { bendValue, CONTROL, DRUMS, type MidiEvent, type MidiMessage, midiBytes, NO_BEND } from './midi-events.js';
import { CUE, channelOf, OWN, SIGNATURE } from './midi-own.js';
import { fifthsOfMode } from './musicxml-attributes.js';

/** How to write a MIDI file. */
export interface MidiOptions {
  /** Quarter notes a minute at the start, 20 to 400; later tempos change in proportion. Default: as written. */
  readonly tempo?: number;
  /** Bars of clicks before the first bar, 0 to 4. Default 0. */
  readonly countIn?: number;
  /** The General MIDI sound, counted from 0: 24 to 31 are guitars. Default 27, the clean electric guitar. */
  readonly program?: number;
}

/** One kind of thing that a MIDI file does not hold, and how often. */
export interface MidiLoss {
  readonly code: 'dead' | 'tapped' | 'mark' | 'remark' | 'place';
  readonly message: string;
  readonly count: number;
}

/** A MIDI file, and what of the solo it does not hold. */
export interface MidiWritten {
  readonly bytes: Uint8Array;
  readonly lost: readonly MidiLoss[];
}

/** Bend ranges that are set, in semitones: the first that holds all bends and slides of a solo. */
const RANGES = [12, 24, 48, 96];
/** Between two bend messages the pitch moves no further than this. */
const MOST_CENTS = 1.5;
/** Seconds between bend messages of vibrato, which moves 0.6 cents in a thousandth of a second at most. */
const VIBRATO_STEP = 0.002;
/** The softest stroke: of a slide, which is not struck. */
const SOFTEST = 24;
/** Wood blocks, high and low, of the General MIDI drums (GM 1, from memory). */
const CLICK = { high: 76, low: 77 } as const;

/**
 * A solo as a MIDI file of type 1, as it is played: swing applied, graces before their notes, bends and vibrato sampled so that the pitch is never further
 * than 2 cents from its path. A quarter has 20160 ticks, so that every written onset stands exactly where it is written. Each string has a channel of its own
 * (string 1 the first, the channel of drums left out) with the bend range set by RPN 0. Chords are markers, phrases and sections cue points, and what
 * MIDI has no message for are texts, which other programs pass over.
 * @throws RangeError if an option is outside its range
 * @example
 * const { bytes, lost } = printMidi(parseSoloOrThrow(EXAMPLE_SOLO))
 * String.fromCharCode(...bytes.subarray(0, 4)) // => 'MThd'
 * lost.length // => 0
 */
export function printMidi(solo: Solo, options: MidiOptions = {}): MidiWritten {
  const { tempo = solo.tempo, countIn = 0, program = 27 } = options;
  if (!(Number.isInteger(countIn) && countIn >= 0 && countIn <= 4))
    throw new RangeError(`a count-in of ${countIn} bars: 0 to 4 expected`);
  if (!(Number.isInteger(program) && program >= 0 && program <= 127))
    throw new RangeError(`program ${program}: 0 to 127 expected`);
  const frame = frameOf(solo, countIn);
  const lost = new Map<string, MidiLoss>();
  const lose = (code: MidiLoss['code'], message: string): void => {
    lost.set(message, { code, message, count: (lost.get(message)?.count ?? 0) + 1 });
  };
  sayLost(solo, lose);
  const texts: MidiEvent[] = [];
  const strokes = strokesOf(solo, tempo, frame, lose, (at, text) =>
    texts.push({ at, kind: 'text', type: 'text', text }),
  );
  const bytes = midiBytes({
    division: QUARTER,
    tracks: [
      inOrder([...head(solo, tempo, frame, countIn), ...texts]),
      guitar(solo, strokes, program),
      ...clicks(frame, countIn),
    ],
  });
  return { bytes, lost: [...lost.values()] };
}

/** Where the file begins: the first bar written, and the tick that a tick of the solo gets. */
interface Frame {
  readonly grid: BarGrid;
  readonly first: Bar;
  readonly last: number;
  readonly tick: (at: number) => number;
}

function frameOf(solo: Solo, countIn: number): Frame {
  const grid = gridOf(solo);
  const { firstBar, bars } = solo.changes;
  const [entry] = solo.phrases;
  const inPickup = firstBar === 0 || (entry !== undefined && grid.place(entry.at).bar.number === 0);
  const first = grid.bar(inPickup || solo.changes.settings.some((s) => s.bar === 1) ? 0 : 1);
  const end = solo.phrases.reduce((last, p) => Math.max(last, phraseEnd(p)), 1);
  const last = Math.max(firstBar + bars.length - 1, grid.place(ticks(end - 1)).bar.number, first.number);
  const before = countIn * first.meter.barTicks - first.start;
  return { grid, first, last, tick: (at) => Math.round(at + before) };
}

function sayLost(solo: Solo, lose: (code: MidiLoss['code'], message: string) => void): void {
  for (const phrase of solo.phrases) {
    for (const _ of phrase.remarks) lose('remark', 'remarks on phrases and notes are left out');
    for (const note of phrase.notes) {
      if (note.kind === 'dead') lose('dead', 'dead notes have no pitch and are left out');
      if (note.start === 'tapped') lose('tapped', 'tapped notes are read back as picked');
      for (const mark of note.marks) lose('mark', `the mark :${mark} is left out`);
      if (note.accent) lose('mark', 'accents are heard as harder strokes, and read back without');
      if (note.slideAway) lose('mark', 'slides away to no fret are heard, and read back without');
    }
  }
}

/** Text, tempo, meter, key, chords, phrases: what holds for the whole. */
function head(solo: Solo, tempo: number, { grid, first, last, tick }: Frame, countIn: number): readonly MidiEvent[] {
  const events: MidiEvent[] = [];
  const add = (at: number, message: MidiMessage): void => void events.push({ ...message, at } as MidiEvent);
  const text = (at: number, word: string, value: string): void =>
    add(at, { kind: 'text', type: 'text', text: `${word} ${value}` });
  add(0, { kind: 'text', type: 'track', text: solo.title });
  add(0, { kind: 'text', type: 'text', text: SIGNATURE });
  if (solo.player !== '') text(0, OWN.player, solo.player);
  if (solo.tone !== '') text(0, OWN.tone, solo.tone);
  for (const remark of solo.remarks) text(0, OWN.remark, remark);
  const { guitar, changes } = solo;
  text(0, OWN.tuning, tuningText(guitar.tuning));
  text(0, OWN.capo, String(guitar.capo));
  text(0, OWN.frets, String(guitar.frets));
  text(0, OWN.bar, String(first.number));
  if (countIn > 0) text(0, OWN.countIn, String(countIn));
  if (changes.bars.length > 0)
    text(0, OWN.changes, `${changes.firstBar} ${changes.firstBar + changes.bars.length - 1}`);
  for (const { name, from, to } of changes.sections) text(0, OWN.section, `${from}-${to} ${name}`);
  for (const { bar, pattern } of changes.strums) text(0, OWN.strum, `${bar} ${pattern}`);
  let before: Bar | undefined;
  for (let number = first.number; number <= last; number++) {
    const bar = grid.bar(number);
    const at = before ? tick(bar.start) : 0;
    if (before?.tempo !== bar.tempo)
      add(at, {
        kind: 'tempo',
        microseconds: Math.min(0xffffff, Math.round(6e7 / ((bar.tempo * tempo) / solo.tempo))),
      });
    if (before?.meter.over !== bar.meter.over || before.meter.under !== bar.meter.under)
      add(at, { kind: 'meter', over: bar.meter.over, under: bar.meter.under });
    if (before?.key !== bar.key) {
      const { offset } = fifthsOfMode(bar.key.mode);
      const sharps = fifthsOf(bar.key.tonicName) + offset;
      if (Math.abs(sharps) <= 7) add(at, { kind: 'key', sharps, isMinor: bar.key.mode.includes('minor') });
      text(at, OWN.key, keyText(bar.key));
    }
    if (before === undefined ? bar.feel.kind !== 'straight' : feelText(before.feel) !== feelText(bar.feel))
      text(at, OWN.feel, feelText(bar.feel));
    before = bar;
    for (const { at: offset, symbol } of changes.bars[number - changes.firstBar] ?? [])
      add(tick(bar.start + offset), { kind: 'text', type: 'marker', text: symbol });
  }
  for (const at of pairsAsWritten(solo)) add(tick(at), { kind: 'text', type: 'text', text: OWN.asWritten });
  for (const { name, from } of changes.sections)
    if (from >= first.number)
      add(tick(grid.bar(from).start), { kind: 'text', type: 'cue', text: `${CUE.section} ${name}` });
  for (const phrase of solo.phrases) {
    const name = phrase.name === '' ? '' : ` ${phrase.name}`;
    add(tick(phrase.at), { kind: 'text', type: 'cue', text: `${CUE.phrase} ${phrase.id}${name}` });
    add(tick(phraseEnd(phrase)), { kind: 'text', type: 'cue', text: `${CUE.end} ${phrase.id}` });
  }
  return events;
}

/** Sharps (flats below 0) of the major key on a note. */
const fifthsOf = (name: string): number => {
  const letter = { F: -1, C: 0, G: 1, D: 2, A: 3, E: 4, B: 5 }[name[0] as 'C'];
  return letter + 7 * ((name.match(/#/g)?.length ?? 0) - (name.slice(1).match(/b/g)?.length ?? 0));
};

/** A note as MIDI knows it: one stroke of a string, and all that the string then does until it stops or is struck again. */
interface Stroke {
  readonly string: number;
  readonly key: number;
  readonly velocity: number;
  readonly isLegato: boolean;
  readonly at: number;
  end: number;
  /** Where the pitch stands, in cents from the key, from a tick on. */
  readonly bends: { readonly at: number; readonly cents: number }[];
}

function strokesOf(
  solo: Solo,
  tempo: number,
  { tick }: Frame,
  lose: (code: MidiLoss['code'], message: string) => void,
  text: (at: number, text: string) => void,
): readonly Stroke[] {
  if (solo.phrases.length === 0) return [];
  const clock = clockOf(solo, tempo);
  const zero = clock.barSeconds((solo.phrases[0] as Solo['phrases'][number]).at);
  const tickAt = (seconds: number): number => tick(clock.evenTicks(zero + seconds));
  const strokes: Stroke[] = [];
  const on = new Map<number, Stroke>(); // by string: what sounds last
  for (const sound of performanceOf(solo, { tempo }).sounds) {
    if (sound.damping === 'dead') continue;
    const note = solo.phrases[sound.phrase]?.notes[sound.note] as Note;
    const at = tickAt(sound.at);
    const end = tickAt(sound.end);
    if (end <= at) continue;
    const before = on.get(sound.string);
    if (note.kind === 'on' && before) {
      before.end = end;
      before.bends.push(...bendsOf(sound, before.key, tickAt));
      continue;
    }
    const key = keyOf(solo, note);
    if (key === undefined || key < 0 || key > 127) {
      lose('place', 'a note beyond the keys of MIDI is left out');
      continue;
    }
    const isLegato =
      note.start === 'hammered' || note.start === 'pulled' || (sound.joins && note.start.startsWith('slid'));
    const velocity = Math.min(127, Math.max(SOFTEST, Math.round(sound.loudness * 100)));
    if (note.grace > 0) text(at, `${OWN.grace} ${sound.string}`);
    const behind = at - tick(clock.evenTicks(clock.seconds(note.onset)));
    if (behind !== 0) text(at, `${OWN.behind} ${sound.string} ${behind}`);
    if (note.harmonic) text(at, `${OWN.harmonic} ${sound.string} ${note.fret}`);
    const stroke: Stroke = {
      string: sound.string,
      key,
      velocity,
      isLegato,
      at,
      end,
      bends: [...bendsOf(sound, key, tickAt)],
    };
    strokes.push(stroke);
    on.set(sound.string, stroke);
  }
  return strokes;
}

const keyOf = ({ guitar }: Solo, note: Note): number | undefined => {
  if (note.kind === 'on') return openKey(guitar, note.string); // a string that nothing set sounding: it is not heard
  return note.harmonic ? harmonicPitch(guitar, note.string, note.fret) : pitchAt(guitar, note.string, note.fret);
};

/** Bend messages of a sound: at each the pitch that lies in the middle of the time to the next. */
function bendsOf(sound: Sound, key: number, tickAt: (seconds: number) => number): Stroke['bends'] {
  const times = new Set<number>([sound.at]);
  sound.curve.forEach((point, i) => {
    const next = sound.curve[i + 1];
    if (point.at > sound.at && point.at < sound.end) times.add(point.at);
    if (!next) return;
    // Halfway along a smooth move the pitch goes half as fast again as on the whole.
    const parts = Math.ceil((1.5 * Math.abs(next.cents - point.cents)) / MOST_CENTS);
    for (let k = 1; k < parts; k++) times.add(point.at + ((next.at - point.at) * k) / parts);
  });
  if (sound.vibrato)
    for (let at = sound.vibrato.from; at < sound.vibrato.until + VIBRATO_STEP; at += VIBRATO_STEP) times.add(at);
  const sorted = [...times].filter((at) => at >= sound.at && at < sound.end).sort((a, b) => a - b);
  const bends: Stroke['bends'] = [];
  sorted.forEach((at, i) => {
    const until = sorted[i + 1] ?? sound.end;
    const cents = soundPitch(sound, (at + until) / 2) - key * 100;
    const tick = tickAt(at);
    const last = bends[bends.length - 1];
    if (last?.at === tick) bends[bends.length - 1] = { at: tick, cents };
    else if (last?.cents !== cents) bends.push({ at: tick, cents });
  });
  return bends;
}

/** The notes, a channel a string. */
function guitar(solo: Solo, strokes: readonly Stroke[], program: number): readonly MidiEvent[] {
  const events: MidiEvent[] = [];
  const widest = strokes.reduce((most, s) => s.bends.reduce((m, b) => Math.max(m, Math.abs(b.cents)), most), 0);
  const range = RANGES.find((r) => r * 100 >= widest) ?? 127;
  events.push({ at: 0, kind: 'text', type: 'track', text: 'Guitar' });
  const state = new Map<number, { bend: number; legato: boolean }>();
  solo.guitar.tuning.forEach((_, i) => {
    const channel = channelOf(i + 1);
    const control = (number: number, value: number): void =>
      void events.push({ at: 0, kind: 'control', channel, control: number, value });
    events.push({ at: 0, kind: 'program', channel, program });
    control(CONTROL.registered, 0);
    control(CONTROL.registeredFine, 0);
    control(CONTROL.dataEntry, range);
    control(CONTROL.dataEntryFine, 0);
    control(CONTROL.registered, 127); // so that no later data entry changes it
    control(CONTROL.registeredFine, 127);
    events.push({ at: 0, kind: 'bend', channel, value: NO_BEND });
    state.set(channel, { bend: NO_BEND, legato: false });
  });
  for (const { string, key, velocity, isLegato, at, end, bends } of strokes) {
    const channel = channelOf(string);
    const now = state.get(channel) as { bend: number; legato: boolean };
    if (now.legato !== isLegato) {
      events.push({ at, kind: 'control', channel, control: CONTROL.legato, value: isLegato ? 127 : 0 });
      now.legato = isLegato;
    }
    bends.forEach((bend, i) => {
      const value = bendValue(bend.cents, range);
      if (value !== now.bend) events.push({ at: i === 0 ? at : bend.at, kind: 'bend', channel, value });
      now.bend = value;
      if (i === 0) events.push({ at, kind: 'on', channel, key, velocity });
    });
    events.push({ at: end, kind: 'off', channel, key, velocity: 0 });
  }
  return inOrder(events);
}

/** Bars of clicks: the first of each high. */
function clicks({ first, tick }: Frame, countIn: number): readonly (readonly MidiEvent[])[] {
  if (countIn === 0) return [];
  const events: MidiEvent[] = [{ at: 0, kind: 'text', type: 'track', text: 'Count-in' }];
  const { barTicks, pulseTicks } = first.meter;
  for (let at = 0; at < tick(first.start); at += pulseTicks) {
    const key = at % barTicks === 0 ? CLICK.high : CLICK.low;
    events.push({ at, kind: 'on', channel: DRUMS, key, velocity: 100 });
    events.push({ at: at + pulseTicks / 4, kind: 'off', channel: DRUMS, key, velocity: 0 });
  }
  return [events];
}

/** In order of time; of one tick what ends comes first, a note after all that is set for it. */
const RANK: Readonly<Record<MidiEvent['kind'], number>> = {
  off: 0,
  text: 1,
  tempo: 2,
  meter: 3,
  key: 4,
  program: 5,
  control: 6,
  bend: 7,
  on: 8,
};
const inOrder = (events: readonly MidiEvent[]): readonly MidiEvent[] =>
  events
    .map((event, i) => ({ event, i }))
    .sort((a, b) => a.event.at - b.event.at || rank(a.event) - rank(b.event) || a.i - b.i)
    .map(({ event }) => event);
const rank = (event: MidiEvent): number => RANK[event.kind];
