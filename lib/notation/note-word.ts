// One word of a phrase: values (`q.`, `e:3`) and notes (`h9@3(0>2)~`), read character by character.
import { readValue } from '../foundation/time.js';
import { type Cents, cents, fret, stringNumber, type Ticks, ticks } from '../foundation/units.js';
import type { BendPath, BendPoint } from '../guitar/bend.js';
import { NOTE_STARTS, type NoteStart, START_LETTERS } from '../guitar/technique.js';
import type { Note } from '../solo/solo.js';
import { type Faults, type Span, shown } from './lexer.js';

/** A note that is still being read: filled in place, since copying notes takes longer than all else in reading them. */
export type DraftNote = { -readonly [K in keyof Note]: Note[K] };

/** A note as read; its place in time, its event and how far its ties go are filled in by the reader of the phrase. */
export interface ReadNote {
  readonly note: DraftNote;
  /** The tail says that it goes on, or a `_` has prolonged it. */
  tied: boolean;
  /** Which event of the phrase it is part of. */
  event: number;
  readonly isGrace: boolean;
  /** Its start was written. */
  readonly started: boolean;
  readonly span: Span;
}

const NO_PATH: BendPath = [];
const NO_MARKS: readonly string[] = [];

const STARTS: Readonly<Record<string, NoteStart>> = Object.fromEntries(
  NOTE_STARTS.filter((start) => START_LETTERS[start] !== '').map((start) => [START_LETTERS[start], start]),
);

/** Reads an event: one note, or several joined by `+`. `undefined` (with the fault said) if any part is none. */
export function readEvent(faults: Faults, span: Span): ReadNote[] | undefined {
  const { text } = faults.source;
  let to = plusFrom(text, span.start, span.end);
  const first = readNote(faults, to === span.end ? span : { start: span.start, end: to });
  if (!first) return undefined;
  const notes = [first];
  while (to < span.end) {
    const at = to + 1;
    to = plusFrom(text, at, span.end);
    const note = readNote(faults, { start: at, end: to });
    if (!note) return undefined;
    notes.push(note);
  }
  if (notes.length === 1) return notes;
  return first.started
    ? notes.map((n) => (n.started || n.note.kind === 'on' ? n : { ...n, note: { ...n.note, start: first.note.start } }))
    : notes;
}

/** The next `+` outside brackets, or the end. */
function plusFrom(text: string, from: number, end: number): number {
  let depth = 0;
  for (let i = from; i < end; i++) {
    const c = text.charCodeAt(i);
    if (c === 40) depth++;
    else if (c === 41) depth--;
    else if (c === 43 && depth <= 0) return i;
  }
  return end;
}

function readNote(faults: Faults, span: Span): ReadNote | undefined {
  const { text } = faults.source;
  const { start, end } = span;
  let i = start;
  const isGrace = text[i] === 'g';
  if (isGrace) i++;
  let begin: NoteStart = 'picked';
  const given = isDigit(text.charCodeAt(i)) ? undefined : STARTS[text[i] as string];
  const started = given !== undefined;
  if (given) {
    begin = given;
    i++;
  }
  let kind: Note['kind'] = 'fretted';
  let at = 0;
  if (text[i] === '@') {
    kind = 'on';
    if (given || isGrace)
      return bad(
        faults,
        span,
        'a string that goes on sounding has no start of its own',
        `write ${shown(text.slice(i, end))}`,
      );
    begin = 'none';
  } else if (text[i] === 'x') {
    kind = 'dead';
    i++;
  } else {
    const digits = i;
    while (i < end && isDigit(text.charCodeAt(i))) i++;
    if (start === end)
      return bad(faults, { start: start - 1, end }, 'a note is missing beside +', 'as in 10@2+7@1, without blanks');
    if (i === digits)
      return bad(faults, span, `"${shown(text.slice(start, end))}" is not a note`, noteRemedy(text.slice(start, end)));
    if (i - digits > 2)
      return bad(
        faults,
        span,
        `fret ${text.slice(digits, Math.min(i, digits + 12))} is off every neck`,
        'a fret has one or two digits',
      );
    at = Number(text.slice(digits, i));
  }
  if (text[i] !== '@' || i >= end)
    return bad(
      faults,
      span,
      `which string? "${shown(text.slice(start, end))}" has no @`,
      stringRemedy(text.slice(start, end), text.slice(start, i)),
    );
  i++;
  const stringDigit = i < end ? text.charCodeAt(i) - 48 : -1;
  if (stringDigit < 0 || stringDigit > 9 || (i + 1 < end && isDigit(text.charCodeAt(i + 1))))
    return bad(
      faults,
      span,
      `"${shown(text.slice(start, end))}" names no string`,
      swapRemedy(text.slice(start, end)) ?? 'a string is one digit after @, 1 the highest',
    );
  i++;
  const note: DraftNote = {
    onset: ticks(0),
    length: ticks(0),
    kind,
    string: stringNumber(stringDigit),
    fret: fret(at),
    start: begin,
    path: NO_PATH,
    grace: 0,
    ring: false,
    vibrato: false,
    accent: false,
    harmonic: false,
    slideAway: false,
    marks: NO_MARKS,
  };
  const tied = i === end ? false : readTail(faults, span, i, note);
  return tied === undefined ? undefined : { note, tied, event: 0, isGrace, started, span };
}

/** Reads what stands behind the string into the note; true if it is tied, `undefined` (with the fault said) if the tail cannot be read. */
function readTail(faults: Faults, span: Span, from: number, note: DraftNote): boolean | undefined {
  const { text } = faults.source;
  let tied = false;
  let marks: Set<string> | undefined;
  let i = from;
  while (i < span.end) {
    const c = text[i] as string;
    if (c === '(') {
      const close = text.indexOf(')', i);
      if (close < 0 || close >= span.end) return undefined; // an open bracket was said by the lexer
      const path = readPath(faults, { start: i, end: close + 1 });
      if (!path) return undefined;
      if (note.path.length > 0)
        return bad(
          faults,
          { start: i, end: close + 1 },
          'a note has one bend path',
          'write all its levels in one bracket',
        );
      note.path = path;
      i = close + 1;
      continue;
    }
    i++;
    if (c === '~') note.vibrato = true;
    else if (c === '!') note.accent = true;
    else if (c === '*') note.harmonic = true;
    else if (c === '=') note.ring = true;
    else if (c === '\\') note.slideAway = true;
    else if (c === '_') tied = true;
    else if (c === ':') {
      const markStart = i;
      while (i < span.end && /[A-Za-z0-9-]/.test(text[i] as string)) i++;
      const mark = text.slice(markStart, i);
      if (mark === '')
        return bad(faults, { start: markStart - 1, end: i }, 'a mark has a name after its :', 'as in :ghost or :3');
      marks = (marks ?? new Set()).add(mark);
    } else
      return bad(
        faults,
        { start: i - 1, end: span.end },
        `"${shown(text.slice(i - 1, span.end))}" cannot follow a note`,
        'after the string: (bend) ~ ! * = \\ _ or :mark',
      );
  }
  if (marks) note.marks = [...marks];
  return tied;
}

const POINT = /^(\d+(?:\.\d+)?)?(?:\s+(\S+))?$/;

/** Reads `(0>2)`, `(2>0)`, `(>0)`, `(0>2 q.>0 e)`. */
function readPath(faults: Faults, span: Span): BendPath | undefined {
  const inner = faults.source.text.slice(span.start + 1, span.end - 1);
  const points: BendPoint[] = [];
  let at = span.start + 1;
  for (const part of inner.split('>')) {
    const place = { start: at, end: Math.max(at + part.length, at + 1) };
    at += part.length + 1;
    const trimmed = part.trim();
    const match = POINT.exec(trimmed);
    if (!match || (match[1] === undefined && (points.length > 0 || match[2] !== undefined || !inner.includes('>')))) {
      const fraction = /\d\s*\/\s*\d/.test(trimmed);
      const expected = "a level in frets' worth of bend: 0.5 curl, 1, 1.5, 2";
      bad(
        faults,
        place,
        `"${shown(trimmed)}" is not a level of a bend, ${expected} expected`,
        fraction
          ? 'players write 1/2 for a half step, which is one fret: write 1 (a quarter-tone curl is 0.5)'
          : (partedRemedy(inner) ?? 'as in (0>2) or (2>0)'),
      );
      return undefined;
    }
    let level: Cents | null = null;
    if (match[1] !== undefined) {
      const worth = Number(match[1]) * 100;
      if (worth % 50 !== 0 || worth > 2400) {
        bad(
          faults,
          place,
          `a bend of ${shown(match[1])} frets' worth cannot be written`,
          'levels are multiples of 0.5 up to 24',
        );
        return undefined;
      }
      level = cents(worth);
    }
    const time = match[2] === undefined ? undefined : readValue(match[2]);
    if (match[2] !== undefined && (time === undefined || time === 'off')) {
      const remedy = partedRemedy(inner) ?? 'w h q e s t, with dots or a tuplet: q. or e:3';
      bad(faults, place, `"${shown(match[2])}" is not a note value`, remedy);
      return undefined;
    }
    points.push(time === undefined || time === 'off' ? { level } : { level, time });
  }
  return points;
}

function bad(faults: Faults, span: Span, message: string, remedy?: string): undefined {
  faults.fault('bad-note', span, message, remedy === undefined ? {} : { remedy });
  return undefined;
}

/** True for the character code of 0 to 9. */
export const isDigit = (c: number): boolean => c >= 48 && c <= 57;

const NOT_A_NOTE = 'a note is a fret at a string, as in 9@3; a rest is -; a value is w h q e s or t';

/** `H5@2`: the letter of a start written large. */
function noteRemedy(word: string): string {
  const large = /^(g?)([HPT])(\d{1,2}@\d.*)$/.exec(word);
  return large
    ? `starts are small letters: write ${shown(`${large[1]}${large[2]?.toLowerCase()}${large[3]}`)}`
    : NOT_A_NOTE;
}

/** No guitar that can be written has more strings. */
const MOST_STRINGS = 8;

/** `6-1`, `6/1`, `6:1`: some write the fret first, some the string. Both readings are offered where both can be. */
function stringRemedy(word: string, head: string): string {
  const [, start, a = '', b = ''] = /^([hpt/\\]?)(\d{1,2}|x)[:;,./-](\d{1,2})$/.exec(word) ?? [];
  const isString = (digits: string) => /^[1-9]$/.test(digits) && Number(digits) <= MOST_STRINGS;
  const first = isString(b) ? `${start}${a}@${b}` : undefined;
  const second = isString(a) && a !== b ? `${start}${b}@${a}` : undefined;
  if (first && second) return `write ${first} for fret ${a} at string ${b}, or ${second}`;
  if (first || second) return `fret at string: write ${first ?? second}`;
  return `write the string after the fret, as in ${/\d$/.test(head) ? head : '9'}@3`;
}

/** `5@12`: the string before the fret. */
function swapRemedy(word: string): string | undefined {
  const [, start, string, at] = /^([hpt/\\]?)([1-8])@(\d\d)$/.exec(word) ?? [];
  return at === undefined ? undefined : `fret and string swapped? write ${start}${at}@${string}`;
}

/** `(0-2)`, `(0->2)`, `(0 2)`: levels parted by something else than `>`. */
function partedRemedy(inner: string): string | undefined {
  if (inner.length > 40) return undefined;
  const mended = inner.trim().replace(/\s*[-–→]+>?\s*|(?<=\d)\s+(?=\d)/g, '>');
  const isPath = mended.split('>').every((part) => part !== '' && POINT.test(part.trim()));
  return isPath && mended !== inner.trim() ? `levels are parted by >: (${mended})` : undefined;
}

/** A note value with what was meant to stand behind a blank: `q5@2`, `e.9@3`, `Q5@2`; or a value in capitals: `Q`, `E:3`. */
export interface ValueSlip {
  /** The value as it should be written, and its length. */
  readonly value: string;
  readonly length: Ticks;
  readonly capital: boolean;
  /** Where the word behind it starts; absent if there is none. */
  readonly rest?: number;
}

const GLUED =
  /^(?:([wqesWQES]\.*(?::[2-9](?:\/\d)?)?)|([ht](?:\.+(?::[2-9](?:\/\d)?)?|:[2-9](?:\/\d)?)))(?=g?[hpt/\\]?(?:\d{1,2}|x)?@\d|_|-$)/;

/** A slip with a note value, if the word at a span is one. (`h5@2` and `t5@2` are notes, hammered and tapped.) */
export function readValueSlip(text: string, span: Span): ValueSlip | undefined {
  const word = text.slice(span.start, Math.min(span.end, span.start + 80)); // enough to see the value and the next string
  const given = GLUED.exec(word)?.[0] ?? (word.length < 12 ? word : '');
  const value = given.toLowerCase();
  const length = readValue(value);
  const rest = span.start + given.length;
  if (length === undefined || length === 'off' || (rest === span.end && value === given)) return undefined;
  return { value, length, capital: value !== given, ...(rest < span.end && { rest }) };
}
