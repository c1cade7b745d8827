// One phrase from data of the form, and the faults of its notes in time.
import { cents, fret, stringNumber, ticks } from '../foundation/units.js';
import type { BendPoint } from '../guitar/bend.js';
import { compareNotes, type Note, type Phrase, phraseEnd } from '../solo/solo.js';
import type { Check } from './json-check.js';
import type { NoteJson, PhraseJson } from './json-form.js';
import { pointerTo } from './json-place.js';

/** The phrase that data of the form holds, whatever is wrong with it in time. */
export function phraseOf({
  id,
  name = '',
  at,
  length,
  notes,
  damps = [],
  remarks = [],
  heardSeconds,
}: PhraseJson): Phrase {
  return {
    id,
    name,
    at: ticks(at),
    length: ticks(length),
    notes: notes.map(noteOf),
    damps: damps.map(ticks),
    remarks: remarks.map((r) => (r.at === undefined ? { text: r.text } : { text: r.text, at: ticks(r.at) })),
    // Solo text says it in thousandths of a second.
    ...(heardSeconds !== undefined && { heard: Math.round(heardSeconds * 1000) / 1000 }),
  };
}

function noteOf(json: NoteJson): Note {
  const kind = json.kind ?? 'fretted';
  const {
    grace = 0,
    ring = false,
    vibrato = false,
    accent = false,
    harmonic = false,
    slideAway = false,
    marks = [],
  } = json;
  return {
    onset: ticks(json.onset),
    length: ticks(json.length),
    kind,
    string: stringNumber(json.string),
    fret: fret(json.fret ?? 0),
    start: kind === 'on' ? 'none' : (json.start ?? 'picked'),
    path: (json.bend ?? []).map((p): BendPoint => {
      const level = p.cents === null ? null : cents(p.cents);
      return p.ticks === undefined ? { level } : { level, time: ticks(p.ticks) };
    }),
    grace,
    ring,
    vibrato,
    accent,
    harmonic,
    slideAway,
    marks,
  };
}

/** Notes in order, within their phrase, one event after the other; graces that lead to a note; levels that are held from something. */
export function checkNotes(phrase: Phrase, pointer: string, check: Check): void {
  let reach: number = phrase.at; // where the events before the one at hand have ended
  let eventEnd: number = phrase.at;
  phrase.notes.forEach((note, i) => {
    const here = pointerTo(pointer, 'notes', i);
    const fault = (code: string, field: string, message: string, remedy: string) =>
      check.fault(code, field === '' ? here : pointerTo(here, field), message, { remedy });
    const before = phrase.notes[i - 1];
    const next = phrase.notes[i + 1];
    const end = note.onset + note.length;
    const order = before ? compareNotes(before, note) : -1;
    if (before && before.onset < note.onset) reach = eventEnd;
    eventEnd = Math.max(eventEnd, end);
    if (order > 0)
      fault(
        'note-order',
        '',
        'it stands behind a note that comes after it',
        'notes stand in order of onset, then graces in the order played, then string 1 first',
      );
    else if (order === 0)
      fault(
        'string-twice',
        'string',
        `two notes on string ${note.string} at once`,
        'move one of them to another string',
      );
    else if (note.onset < phrase.at || end > phraseEnd(phrase))
      fault(
        'outside-phrase',
        'onset',
        `it lasts from ${note.onset} to ${end}, its phrase from ${phrase.at} to ${phraseEnd(phrase)}`,
        'let the phrase ("at" and "length") hold all its notes',
      );
    else if (note.onset < reach)
      fault(
        'note-overlap',
        'onset',
        `it starts at ${note.onset}, while the note before it lasts until ${reach}`,
        'shorten the one before; to let it sound on, add "ring": true to it',
      );
    if (note.grace > 0 && note.length > 0)
      fault(
        'grace-length',
        'length',
        'a grace note has length 0: it takes its time from the note it leads to',
        'write "length": 0',
      );
    if (note.grace === 0 && note.length === 0)
      fault('grace-length', 'length', 'only a grace note has length 0', 'write its length, or "grace": 1');
    if (note.grace > 0 && note.kind === 'on')
      fault('grace-on', 'kind', 'a string that goes on sounding is no grace note', 'give it a length, or a fret');
    if (note.grace > 0 && next?.onset !== note.onset)
      fault(
        'grace-to-nothing',
        'grace',
        'a grace note leads to a note, and none stands at its onset',
        'write the note it leads to right behind it',
      );
    else if (note.grace > 1 && next && next.grace < note.grace - 1)
      fault(
        'grace-number',
        'grace',
        `grace ${note.grace} is followed by ${next.grace}, and ${note.grace - 1} is missing`,
        'graces count down to 1, the last before the note they lead to',
      );
    note.path.forEach((level, j) => {
      if (level.level === null && (j > 0 || level.time !== undefined || note.path.length === 1))
        check.fault(
          'null-level',
          pointerTo(here, 'bend', j),
          'null (as held) stands only as the first of several levels, without ticks',
          { remedy: 'write its cents' },
        );
    });
  });
}

/** Damps after each other and within the phrase; remarks where notes start. */
export function checkTimes(phrase: Phrase, pointer: string, check: Check): void {
  phrase.damps.forEach((damp, d) => {
    const here = pointerTo(pointer, 'damps', d);
    const last = phrase.damps[d - 1] ?? -1;
    const span = `${phrase.at} to ${phraseEnd(phrase)}`;
    if (damp <= last)
      check.fault('damp-place', here, `${damp} stands behind ${last}`, {
        remedy: 'damps stand in order of time, each once',
      });
    else if (damp < phrase.at || damp > phraseEnd(phrase))
      check.fault('damp-place', here, `${damp} lies outside its phrase, ${span}`, { expected: span });
  });
  const onsets = new Set<number>(phrase.notes.map((n) => n.onset));
  phrase.remarks.forEach(({ at }, r) => {
    if (at !== undefined && !onsets.has(at))
      check.fault('remark-place', pointerTo(pointer, 'remarks', r, 'at'), `no note starts at ${at}`, {
        remedy: 'give the onset of the notes it is about, or leave "at" out',
      });
  });
}
