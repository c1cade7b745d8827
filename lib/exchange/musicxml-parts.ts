// Which part of a score is read, which staff of it, and which of its voices: one line of notes, each note once.
import type { MidiKey } from '../foundation/units.js';
import type { LineNote } from './musicxml-line-note.js';
import type { Reporter } from './musicxml-report.js';
import { child, children, numberOf, textOf, type XmlNode } from './musicxml-xml.js';

/** A part of a score before it is walked through. */
export interface PartFacts {
  readonly id: string;
  readonly name: string;
  readonly node: XmlNode;
  readonly pitched: number;
  readonly unpitched: number;
  /** Notes with a string and a fret. */
  readonly placed: number;
  readonly chords: number;
  readonly hasTab: boolean;
}

/** Counts what is in a part. */
export function partFacts(node: XmlNode, id: string, name: string): PartFacts {
  let pitched = 0;
  let unpitched = 0;
  let placed = 0;
  let chords = 0;
  let hasTab = false;
  for (const measure of children(node, 'measure'))
    for (const item of measure.children) {
      if (item.name === 'harmony') chords++;
      else if (item.name === 'attributes')
        hasTab ||= children(item, 'clef').some((c) => textOf(c, 'sign').toUpperCase() === 'TAB');
      else if (item.name === 'note' && !child(item, 'rest')) {
        if (child(item, 'pitch')) pitched++;
        else unpitched++;
        if (hasPosition(item)) placed++;
      }
    }
  return { id, name, node, pitched, unpitched, placed, chords, hasTab };
}

const hasPosition = (note: XmlNode): boolean =>
  children(note, 'notations').some((n) =>
    children(n, 'technical').some((t) => numberOf(t, 'string') !== undefined && child(t, 'fret') !== undefined),
  );

/** The part to read: the one asked for by id, name or number from 1; else the best guess, which is said. */
export function choosePart(
  parts: readonly PartFacts[],
  asked: string | undefined,
  report: Reporter,
): PartFacts | undefined {
  if (asked !== undefined) {
    const wanted = asked.trim().toLowerCase();
    return (
      parts.find((p) => p.id.toLowerCase() === wanted) ??
      parts.find((p) => p.name.toLowerCase() === wanted) ??
      parts[/^\d+$/.test(wanted) ? Number(wanted) - 1 : -1]
    );
  }
  const playable = parts.filter((p) => p.pitched + p.placed > p.unpitched);
  let best: PartFacts | undefined;
  for (const part of playable) if (!best || scoreOf(part) > scoreOf(best)) best = part;
  if (best && parts.length > 1)
    report.say('chosen', 'part', `of ${parts.length} parts, "${best.name}" was read`, undefined, {
      detail: `the others: ${parts
        .filter((p) => p !== best)
        .slice(0, 8)
        .map((p) => `${p.id} "${p.name}"`)
        .join(', ')}`,
    });
  return best;
}

/** Strings and frets first, then what a part is called, then chord symbols. Common practice, no source. */
function scoreOf(part: PartFacts): number {
  const says = (pattern: RegExp): boolean => pattern.test(part.name);
  return (
    (part.placed * 2 > part.pitched ? 16 : 0) +
    (says(/guitar|gtr|gitar|guit|chitarra/i) ? 8 : 0) +
    (says(/lead|solo|melod/i) ? 4 : 0) +
    (part.chords > 0 ? 4 : 0) +
    (says(/voice|vocal|flute|sax|trumpet|violin/i) ? 1 : 0) -
    (says(/bass|rhythm|drum|perc|click/i) ? 12 : 0) -
    (part.pitched === 0 ? 2 : 0)
  );
}

/** Two lines hold the same notes if so many of the shorter one's are in the other. */
const SAME = 0.8;

/** Notes of a line that stand in another at the same time with the same pitch, or at an octave that is the same throughout. */
function pairs(notes: readonly LineNote[], others: readonly LineNote[]): ReadonlyMap<LineNote, LineNote> {
  let best: ReadonlyMap<LineNote, LineNote> = new Map();
  for (const shift of [0, 12, -12]) {
    const byPlace = new Map<string, LineNote[]>(); // two strings can sound one pitch
    for (const other of others) {
      if (other.key === undefined) continue;
      const list = byPlace.get(placeKey(other, other.key, shift));
      if (list) list.push(other);
      else byPlace.set(placeKey(other, other.key, shift), [other]);
    }
    const found = new Map<LineNote, LineNote>();
    for (const note of notes) {
      const other = note.key === undefined ? undefined : byPlace.get(placeKey(note, note.key, 0))?.shift();
      if (other) found.set(note, other);
    }
    if (found.size > best.size) best = found;
  }
  return best;
}

const placeKey = (note: LineNote, key: MidiKey, shift: number): string => `${note.onset} ${note.grace} ${key + shift}`;

/** Takes into a line what is written on the same notes in another, if they are the same notes; how many of the other are not in it, else `undefined`. */
export function takeFrom(notes: readonly LineNote[], others: readonly LineNote[]): readonly LineNote[] | undefined {
  const found = pairs(notes, others);
  if (notes.length === 0 || found.size < SAME * Math.min(notes.length, others.length)) return undefined;
  for (const [note, other] of found) {
    note.vibrato ||= other.vibrato;
    note.accent ||= other.accent;
    note.ring ||= other.ring;
    note.slideAway ||= other.slideAway;
    note.harmonic ??= other.harmonic;
    if (note.string === undefined && other.string !== undefined) {
      note.string = other.string;
      note.fret = other.fret;
    }
    if (note.start === 'picked') note.start = other.start;
    if (note.path.length === 0 && other.length === note.length) note.path = other.path;
    for (const mark of other.marks) if (!note.marks.includes(mark)) note.marks.push(mark);
  }
  const taken = new Set(found.values());
  return others.filter((n) => !taken.has(n));
}

/** The notes of one staff out of a part: the tab staff where there is one, joined with the notation staff that holds the same notes. */
export function oneStaff(notes: readonly LineNote[], tabStaves: ReadonlySet<number>, report: Reporter): LineNote[] {
  const staves = new Map<number, LineNote[]>();
  for (const note of notes) {
    const list = staves.get(note.staff);
    if (list) list.push(note);
    else staves.set(note.staff, [note]);
  }
  if (staves.size <= 1) return [...notes];
  const numbers = [...staves.keys()].sort((a, b) => a - b);
  const placedIn = (n: number): number =>
    (staves.get(n) as LineNote[]).filter((note) => note.string !== undefined).length;
  const main = numbers.find((n) => tabStaves.has(n)) ?? numbers.find((n) => placedIn(n) > 0) ?? (numbers[0] as number);
  const own = staves.get(main) as LineNote[];
  for (const number of numbers) {
    if (number === main) continue;
    const others = staves.get(number) as LineNote[];
    const left = takeFrom(own, others);
    if (left) {
      report.say(
        'chosen',
        'linked-staves',
        `staves ${number} and ${main} hold the same notes: they were read once`,
        undefined,
        { quiet: true },
      );
      for (const note of left)
        report.say('dropped', 'staff', `a note of staff ${number} that is not in staff ${main}`, note.place);
    } else
      for (const note of others)
        report.say(
          'dropped',
          'staff',
          `the notes of staff ${number}, which are others than those of staff ${main}`,
          note.place,
        );
  }
  return own;
}

/** The leading voice of a line without positions; where it is silent for a whole measure, another that sounds there. What is left out is said. */
export function oneVoice(notes: readonly LineNote[], report: Reporter): LineNote[] {
  const counts = new Map<string, number>();
  for (const note of notes) counts.set(note.voice, (counts.get(note.voice) ?? 0) + 1);
  if (counts.size <= 1) return [...notes];
  const ranked = [...counts.keys()].sort(
    (a, b) => (counts.get(b) as number) - (counts.get(a) as number) || (a < b ? -1 : 1),
  );
  const rank = new Map(ranked.map((voice, i) => [voice, i]));
  const leading = new Map<number, string>(); // by measure: the first in rank that sounds
  for (const note of notes) {
    const now = leading.get(note.measure);
    if (now === undefined || (rank.get(note.voice) as number) < (rank.get(now) as number))
      leading.set(note.measure, note.voice);
  }
  return notes.filter((note) => {
    if (leading.get(note.measure) === note.voice) return true;
    report.say('dropped', 'voice', `a note of voice ${note.voice.slice(0, 12)}, beside the leading voice`, note.place);
    return false;
  });
}
