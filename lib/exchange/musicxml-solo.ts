// Phrases as a solo holds them: notes that follow each other, rings and damps for what sounds on, and nothing that no hand can play.
import { type Fret, fret, type StringNumber, ticks } from '../foundation/units.js';
import { layBend } from '../guitar/bend.js';
import { type Guitar, openKey } from '../guitar/fretboard.js';
import { compareMelodyNotes, type MelodyNote, type MelodyPhrase } from '../solo/melody.js';
import { unplayable } from '../solo/playability.js';
import { compareNotes, type Note, type Phrase } from '../solo/solo.js';
import type { LineNote } from './musicxml-line-note.js';
import type { NeckNote } from './musicxml-neck.js';
import type { PhraseFrame } from './musicxml-phrases.js';
import type { Reporter } from './musicxml-report.js';

const common = (n: LineNote): Omit<Note, 'kind' | 'string' | 'fret' | 'harmonic'> => ({
  onset: ticks(n.onset),
  length: ticks(n.length),
  start: n.start,
  path: n.path,
  grace: n.grace,
  ring: n.ring,
  vibrato: n.vibrato,
  accent: n.accent,
  slideAway: n.slideAway,
  marks: [...new Set(n.marks.map((m) => m.replace(/[^A-Za-z0-9-]/g, '-')).filter((m) => m !== ''))],
});

/** Orders notes, keeps one of two that are the same, and lets each end where the next begins; what sounds on rings, and is damped where it ends. */
function inTurn<N extends LineNote>(frame: PhraseFrame<N>, same: (n: N) => string, report: Reporter): N[] {
  const seen = new Set<string>();
  const rank = (n: N) => (n.grace === 0 ? 0 : -n.grace);
  const notes = [...frame.notes]
    .sort((a, b) => a.onset - b.onset || rank(a) - rank(b) || b.length - a.length)
    .filter((note) => {
      const key = `${note.onset} ${note.grace} ${same(note)}`;
      if (!seen.has(key)) {
        seen.add(key);
        return true;
      }
      report.say('dropped', 'twice', 'a note at a place where another starts at once', note.place);
      return false;
    });
  const ends: { readonly at: number; readonly note: N }[] = [];
  const end = frame.at + frame.length;
  for (let i = notes.length - 1, next = end, onset = end; i >= 0; i--) {
    const note = notes[i] as N;
    if (note.onset < onset) {
      next = onset;
      onset = note.onset;
    }
    if (note.onset + note.length <= next) continue;
    ends.push({ at: note.onset + note.length, note });
    note.length = next - note.onset;
    if (!note.dead) note.ring = true;
    if ('reason' in layBend(note.path, ticks(note.length), note.path[0]?.level ?? (0 as never)))
      note.path = note.path.map(({ level }) => ({ level }));
    report.count('notes ringing under others');
  }
  damp(frame, notes, ends, same, report);
  return notes;
}

/** Damps what was written to end while others go on, where that stops nothing else. */
function damp<N extends LineNote>(
  frame: PhraseFrame<N>,
  notes: readonly N[],
  ends: readonly { readonly at: number; readonly note: N }[],
  same: (n: N) => string,
  report: Reporter,
): void {
  if (ends.length === 0) return;
  const onsets = new Map<string, number[]>(); // by string: when it is played
  for (const note of notes) {
    const list = onsets.get(same(note));
    if (list) list.push(note.onset);
    else onsets.set(same(note), [note.onset]);
  }
  const last = frame.at + frame.length;
  const sorted = [...ends].sort((a, b) => a.at - b.at);
  sorted.forEach(({ at, note }, i) => {
    const next = firstAfter(onsets.get(same(note)) ?? [], note.onset) ?? last;
    if (next <= at || at >= last) return; // its string stops it
    const others = sorted
      .slice(Math.max(0, i - 32), i + 33)
      .some((e) => e.note !== note && e.note.onset < at && e.at > at);
    if (others)
      report.say('approximated', 'voice', 'a note that ends while others go on was left ringing with them', note.place);
    else if (!frame.damps.includes(at)) frame.damps.push(at);
  });
  frame.damps.sort((a, b) => a - b);
}

/** The first of ascending numbers above one. */
function firstAfter(sorted: readonly number[], at: number): number | undefined {
  let low = 0;
  let high = sorted.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if ((sorted[middle] as number) <= at) low = middle + 1;
    else high = middle;
  }
  return sorted[low];
}

/** Grace notes count down to 1, and lead to a note that is there. */
function gracesInOrder<N extends { readonly onset: number; readonly grace: number }>(notes: readonly N[]): N[] {
  const mains = new Set(notes.filter((n) => n.grace === 0).map((n) => n.onset));
  const levels = new Map<number, Set<number>>();
  for (const n of notes)
    if (n.grace > 0) {
      const set = levels.get(n.onset);
      if (set) set.add(n.grace);
      else levels.set(n.onset, new Set([n.grace]));
    }
  return notes.flatMap((n) => {
    if (n.grace === 0) return [n];
    if (!mains.has(n.onset)) return [];
    const ranks = [...(levels.get(n.onset) as Set<number>)].sort((a, b) => a - b);
    const grace = ranks.indexOf(n.grace) + 1;
    return grace > 99 ? [] : [{ ...n, grace }];
  });
}

/** A phrase of a melody. Dead notes have no pitch and are left out, said. */
export function melodyPhrase(frame: PhraseFrame, report: Reporter): MelodyPhrase | undefined {
  for (const note of frame.notes)
    if (note.dead || note.key === undefined)
      report.say('dropped', 'dead', 'a dead note, which has no pitch', note.place);
  const kept = { ...frame, notes: frame.notes.filter((n) => !n.dead && n.key !== undefined) };
  const notes = inTurn(kept, (n) => String(n.key), report).map(
    (n): MelodyNote => ({
      ...common(n),
      key: n.key as MelodyNote['key'],
      ...(n.name !== undefined && { name: n.name }),
    }),
  );
  const ordered = gracesInOrder(notes).sort(compareMelodyNotes);
  return ordered.length === 0 ? undefined : { ...rest(frame), damps: frame.damps.map(ticks), notes: ordered };
}

const rest = ({ id, name, at, length, remarks, heard }: PhraseFrame): Omit<Phrase, 'notes' | 'damps'> => ({
  id,
  name,
  at: ticks(at),
  length: ticks(length),
  remarks,
  ...(heard !== undefined && { heard }),
});

/** A phrase of a solo; `undefined` if none of its notes can be played. */
export function soloPhrase(
  frame: PhraseFrame<NeckNote>,
  guitar: Guitar,
  before: Phrase | undefined,
  report: Reporter,
): Phrase | undefined {
  const places = new Map<string, NeckNote>();
  const placeKey = (n: { readonly onset: number; readonly grace: number; readonly string: StringNumber }) =>
    `${n.onset} ${n.grace} ${n.string}`;
  const notes = inTurn(frame, (n) => String(n.string), report).map((n): Note => {
    places.set(placeKey(n), n);
    const kind = n.goesOn && n.grace === 0 ? 'on' : n.dead ? 'dead' : 'fretted';
    const artificial = n.harmonic === 'artificial' && kind === 'fretted';
    if (artificial) report.say('approximated', 'harmonic', 'an artificial harmonic was marked :harmonic', n.place);
    const base = common(n);
    return {
      ...base,
      kind,
      string: n.string,
      fret: kind === 'fretted' ? n.fret : fret(0),
      start: kind === 'on' ? 'none' : base.start,
      path: kind === 'dead' ? [] : base.path,
      harmonic: n.harmonic === 'natural' && kind === 'fretted',
      marks: artificial && !base.marks.includes('harmonic') ? [...base.marks, 'harmonic'] : base.marks,
    };
  });
  let phrase: Phrase = {
    ...rest(frame),
    damps: frame.damps.map(ticks),
    notes: gracesInOrder(notes).sort(compareNotes),
  };
  for (let round = 0; round < 4; round++) {
    const faults = unplayable(phrase, guitar, before).filter((u) => u.severity === 'fault');
    if (faults.length === 0) break;
    const wrong = new Map(faults.map((u) => [u.note, u.code]));
    const mended = phrase.notes.flatMap((note, i): Note[] => {
      const code = wrong.get(i);
      if (code === undefined) return [note];
      const written = places.get(placeKey(note));
      const better = round < 3 ? mend(note, code, written, guitar) : undefined;
      report.say(
        better ? 'approximated' : 'dropped',
        code,
        MENDED[code] ?? 'a note that cannot be played as written',
        written?.place,
      );
      return better ? [better] : [];
    });
    phrase = { ...phrase, notes: gracesInOrder(mended).sort(compareNotes) };
  }
  const damps = phrase.damps.filter((d) => d >= phrase.at && d <= phrase.at + phrase.length);
  return phrase.notes.length === 0 ? undefined : { ...phrase, damps };
}

const MENDED: Readonly<Record<string, string>> = {
  'no-harmonic': 'a harmonic at a fret where none speaks was marked :harmonic',
  'bend-time': 'the times of a bend do not fit its note: its levels share it',
  'string-silent': 'a tie on a string that does not sound was read as played',
};

function mend(note: Note, code: string, written: LineNote | undefined, guitar: Guitar): Note | undefined {
  if (code === 'no-harmonic') return { ...note, harmonic: false, marks: [...new Set([...note.marks, 'harmonic'])] };
  if (code === 'bend-time' || code === 'no-level')
    return {
      ...note,
      path: note.path.flatMap(({ level }) => (level === null ? [] : [{ level }])).slice(0, note.length > 64 ? 64 : 1),
    };
  if (note.kind !== 'on') return undefined;
  const at: Fret | undefined = written?.fret !== undefined ? fret(written.fret) : undefined;
  if (at === undefined || at < 0 || at + guitar.capo > guitar.frets || openKey(guitar, note.string) === undefined)
    return undefined;
  return { ...note, kind: 'fretted', fret: at, start: 'picked', path: [] };
}
