// Standard MIDI File -> a melody in written time (or a solo, where this project wrote the file and its strings are known), and a report of what became of all.
import { type Diagnostic, inOrder } from '../foundation/diagnostic.js';
import { QUARTER } from '../foundation/time.js';
import { cents, fret, stringNumber, ticks } from '../foundation/units.js';
import { layBend } from '../guitar/bend.js';
import { type Guitar, openKey, parseTuning, STANDARD_GUITAR } from '../guitar/fretboard.js';
import type { Melody } from '../solo/melody.js';
import { EMPTY_SOLO, type Phrase, type Solo } from '../solo/solo.js';
import { readMidiFile } from './midi-file.js';
import { type MidiBars, MOST_BARS, midiBars, midiChanges, textOf, textsOf } from './midi-head.js';
import { midiLine } from './midi-line.js';
import { notesOf } from './midi-notes.js';
import { CUE, OWN, stringOf } from './midi-own.js';
import { chooseMidiPart, midiParts } from './midi-parts.js';
import type { Placed } from './midi-time.js';
import type { LineNote } from './musicxml-line-note.js';
import type { NeckNote } from './musicxml-neck.js';
import type { PhraseFrame } from './musicxml-phrases.js';
import { type Reporter, reporter, type ScoreReport } from './musicxml-report.js';
import { melodyPhrase, soloPhrase } from './musicxml-solo.js';
import { type DocumentFault, documentFault } from './musicxml-xml.js';

/** How to read a MIDI file. */
export interface MidiReadOptions {
  /** The part: the name of its track, or its number from 1. Default: the best guess, which the report says. */
  readonly part?: string;
  /** The name that the diagnostics carry. */
  readonly file?: string;
}

/** What came of a MIDI file: a solo where this project wrote it, else a melody, else neither. */
export interface MidiReading {
  readonly solo?: Solo;
  readonly melody?: Melody;
  readonly diagnostics: readonly Diagnostic[];
  readonly report: ScoreReport;
  /** How onsets were put on the grid; `undefined` where none were. */
  readonly placed?: Placed;
  /** True if the file says a key. */
  readonly hasKey: boolean;
}

/** A file whose onsets gather less closely about a grid than this is refused, if it has so many notes: onsets strewn at random come to 0.25 at most. */
const LEAST_FIT = 0.5;
const LEAST_NOTES = 16;

/**
 * Reads a Standard MIDI File of type 0 or 1: one part of it, with the bend wheel as bends, onsets and lengths put on the grid that players write in, chords
 * from its markers or texts. What was moved, how far, and what was dropped is in the report; a file whose notes fit no grid is refused. Nothing is thrown.
 * @example
 * const { bytes } = printMidi(parseSoloOrThrow(EXAMPLE_SOLO))
 * parseMidi(bytes).solo?.phrases[0].notes.length // => 5
 * parseMidi(bytes.subarray(0, 40)).diagnostics[0]?.code // => 'cut-short'
 */
export function parseMidi(bytes: Uint8Array, options: MidiReadOptions = {}): MidiReading {
  const report = reporter();
  const faults: DocumentFault[] = [];
  const finish = (part = '', what: Partial<MidiReading> = {}): MidiReading => ({
    hasKey: false,
    ...what,
    diagnostics: inOrder(
      [...faults, ...report.warnings()].map((f): Diagnostic => ({ ...f, file: options.file ?? '' })),
    ),
    report: report.finish('', part),
  });
  let found: Placed | undefined;
  const fault = (code: string, message: string, remedy: string): MidiReading => {
    faults.push(documentFault(code, { line: 1, column: 1 }, message, { remedy }));
    return finish('', found && { placed: found });
  };
  const { file, passedOver, faults: wrong } = readMidiFile(bytes);
  faults.push(...wrong);
  if (!file) return finish();
  for (const [what, n] of passedOver)
    report.say('dropped', 'passed-over', what, undefined, { detail: `${n}`, quiet: true });
  const { notes, programs, unended, pedals } = notesOf(file.tracks);
  if (unended > 0)
    report.say('approximated', 'unended', 'notes that nothing ends were ended', undefined, { detail: `${unended}` });
  if (pedals > 0)
    report.say('dropped', 'pedal', 'a pedal that holds notes on', undefined, { detail: `${pedals} times` });
  const bars = midiBars(file.tracks, file.division, report);
  const parts = midiParts(file.tracks, notes, bars.isOwn, report);
  const list = parts
    .slice(0, 20)
    .map((p) => `${p.number} "${p.name}"`)
    .join(', ');
  if (parts.length === 0) return fault('no-notes', 'the file has no notes with a pitch', 'is it a file of drums?');
  const part = chooseMidiPart(parts, programs, options.part, report);
  if (!part) return fault('no-such-part', `there is no part "${(options.part ?? '').slice(0, 40)}"`, `parts: ${list}`);
  const furthest = MOST_BARS * bars.opening.meter.barTicks;
  const longest = part.notes.reduce((last, n) => Math.max(last, bars.tick(n.end)), 0);
  if (longest > furthest) return fault('too-long', `the part has more than ${MOST_BARS} bars`, 'split it');
  const { notes: line, placed } = midiLine(part.notes, bars, file.division, report);
  found = placed;
  if (line.length === 0)
    return fault('no-notes', `part "${part.name}" has no notes that can be read`, `parts: ${list}`);
  if (!bars.isOwn && placed.fit < LEAST_FIT && line.length >= LEAST_NOTES)
    return fault(
      'no-grid',
      `the notes fit no grid: they gather about one by ${percent(placed.fit)}, and ${percent(LEAST_FIT)} is the least that is read`,
      'play to a click and export the file with its tempo, or quantise it where it was recorded',
    );
  if (placed.moved > 0)
    report.say('approximated', 'moved', 'onsets were moved onto the grid', undefined, {
      detail: `${placed.moved} of ${line.length}, by ${percent(placed.mean / QUARTER)} of a quarter on average, ${percent(placed.most / QUARTER)} at most`,
    });
  const texts = textsOf(file.tracks);
  const frames = framesOf(line, texts, bars, report);
  const last = frames.reduce((end, f) => Math.max(end, f.at + f.length), bars.start + 1);
  const lastEvent = texts
    .map((t) => Math.round(bars.tick(t.at)))
    .reduce((most, at) => (at <= furthest ? Math.max(most, at) : most), 0);
  const lastBar = Math.max(
    bars.grid.place(ticks(last - 1)).bar.number,
    bars.isOwn
      ? MOST_BARS
      : Math.min(bars.grid.place(ticks(lastEvent)).bar.number, bars.grid.place(ticks(last - 1)).bar.number + 4),
  );
  const head = {
    ...EMPTY_SOLO,
    ...bars.opening,
    title: titleOf(file.tracks, texts),
    player: (bars.isOwn && textOf(texts, OWN.player)) || 'unknown',
    tone: (bars.isOwn && textOf(texts, OWN.tone)) || '',
    remarks: bars.isOwn
      ? texts.flatMap((t) =>
          t.type === 'text' && t.text.startsWith(`${OWN.remark} `) ? [t.text.slice(OWN.remark.length + 1)] : [],
        )
      : [],
    changes: midiChanges(texts, bars, lastBar, report),
  };
  const { guitar: _, phrases: __, ...melodyHead } = head;
  report.count('notes', line.filter((n) => n.grace === 0).length);
  report.count('bends', line.filter((n) => n.path.length > 0).length);
  if (bars.isOwn) {
    const guitar = guitarOf(texts);
    const phrases: Phrase[] = [];
    for (const frame of onStrings(frames, guitar, report)) {
      const phrase = soloPhrase(frame, guitar, phrases[phrases.length - 1], report);
      if (phrase) phrases.push(phrase);
    }
    return finish(part.name, { solo: { ...head, guitar, phrases }, placed, hasKey: bars.hasKey });
  }
  const phrases = frames.flatMap((frame) => {
    const phrase = melodyPhrase(frame, report);
    return phrase ? [phrase] : [];
  });
  return finish(part.name, { melody: { ...melodyHead, phrases }, placed, hasKey: bars.hasKey });
}

const percent = (share: number): string => `${Math.round(share * 100)} %`;

function titleOf(tracks: Parameters<typeof textsOf>[0], texts: ReturnType<typeof textsOf>): string {
  const named = tracks[0]?.find((e) => e.kind === 'text' && e.type === 'track');
  const title =
    named?.kind === 'text' && (tracks.length > 1 || texts.length === 1)
      ? named.text
      : named?.kind === 'text'
        ? named.text
        : '';
  return title.trim().slice(0, 200) || 'Untitled';
}

function guitarOf(texts: ReturnType<typeof textsOf>): Guitar {
  const whole = (word: string, usual: number, least: number, most: number): number => {
    const value = Number(textOf(texts, word) ?? usual);
    return Number.isInteger(value) && value >= least && value <= most ? value : usual;
  };
  return {
    tuning: parseTuning(textOf(texts, OWN.tuning) ?? '') ?? STANDARD_GUITAR.tuning,
    capo: whole(OWN.capo, 0, 0, 12),
    frets: whole(OWN.frets, STANDARD_GUITAR.frets, 12, 36),
  };
}

type Line = LineNote & { readonly channel: number };

/** Phrases as the cue points of this project say; else all notes are one. */
function framesOf(
  line: readonly Line[],
  texts: ReturnType<typeof textsOf>,
  bars: MidiBars,
  report: Reporter,
): PhraseFrame<Line>[] {
  const at = (tick: number): number => Math.max(0, Math.round(bars.tick(tick)));
  const frames: PhraseFrame<Line>[] = [];
  if (bars.isOwn)
    for (const { text, type, at: tick } of texts) {
      if (type !== 'cue') continue;
      const opens = new RegExp(`^${CUE.phrase} (\\S+)(?: (.*))?$`, 's').exec(text);
      if (opens)
        frames.push({
          id: opens[1] as string,
          name: opens[2] ?? '',
          at: at(tick),
          length: 0,
          notes: [],
          damps: [],
          remarks: [],
        });
      const ends = text.startsWith(`${CUE.end} `)
        ? frames.find((f) => f.id === text.slice(CUE.end.length + 1))
        : undefined;
      if (ends) ends.length = Math.max(0, at(tick) - ends.at);
    }
  const real = frames.filter((f) => f.length > 0);
  if (real.length === 0) {
    const from = line.reduce((first, n) => Math.min(first, n.onset), Number.POSITIVE_INFINITY);
    const to = line.reduce((end, n) => Math.max(end, n.onset + n.length), from + 1);
    report.say('approximated', 'no-phrases', 'no phrases are marked: all notes are one phrase', undefined, {
      quiet: true,
    });
    return [{ id: '1', name: '', at: from, length: to - from, notes: [...line], damps: [], remarks: [] }];
  }
  for (const note of line) real.find((f) => note.onset >= f.at && note.onset < f.at + f.length)?.notes.push(note);
  return real.filter((f) => f.notes.length > 0);
}

/** The notes of a file of this project on their strings. */
function onStrings(
  frames: readonly PhraseFrame<Line>[],
  guitar: Guitar,
  report: Reporter,
): readonly PhraseFrame<NeckNote>[] {
  return frames.map((frame) => ({
    ...frame,
    notes: letDownLater(frame.notes).flatMap((note): NeckNote[] => {
      const string = stringNumber(stringOf(note.channel));
      const open = openKey(guitar, string);
      const at = note.fret ?? (open === undefined || note.key === undefined ? -1 : note.key - open);
      if (at < 0 || at + guitar.capo > guitar.frets) {
        report.say('dropped', 'place', 'a note that lies nowhere on the neck', note.place);
        return [];
      }
      return [{ ...note, string, fret: fret(at) }];
    }),
  }));
}

/** A level that a bend comes to after other notes have begun is written where it comes: the string that goes on sounding is let down there. */
function letDownLater(notes: readonly Line[]): readonly Line[] {
  const onsets = [...new Set(notes.map((n) => n.onset))].sort((a, b) => a - b);
  return notes.flatMap((note): readonly Line[] => {
    const next = onsets.find((at) => at > note.onset);
    const laid = layBend(note.path, ticks(note.length), cents(0));
    if (note.grace > 0 || next === undefined || 'reason' in laid) return [note];
    const later = laid.stages.filter((stage) => note.onset + stage.at > next);
    const first = later[0];
    if (!first || later.length === laid.stages.length) return [note];
    const before = laid.stages.slice(0, -later.length);
    const timed = (stages: typeof later) => stages.slice(0, -1).map(({ level, length }) => ({ level, time: length }));
    const last = (stages: typeof later) => ({ level: (stages[stages.length - 1] as (typeof later)[number]).level });
    const leadIn = laid.leadIn === undefined ? [] : [{ level: laid.leadIn }];
    return [
      {
        ...note,
        length: first.at,
        path: [...leadIn, ...timed(before), last(before)],
        vibrato: note.vibrato && before.length > 0,
      },
      {
        ...note,
        onset: note.onset + first.at,
        length: note.length - first.at,
        path: [{ level: null }, ...timed(later), last(later)],
        start: 'none',
        goesOn: true,
        vibrato: false,
      },
    ];
  });
}
