// Solo -> solo text, in one canonical form: printing what was read back changes nothing.
import { valueFor, valuesOf, valueText, valueTicks } from '../foundation/time.js';
import { ticks } from '../foundation/units.js';
import type { BendPath } from '../guitar/bend.js';
import { STANDARD_GUITAR, tuningText } from '../guitar/fretboard.js';
import { START_LETTERS } from '../guitar/technique.js';
import { type BarGrid, type ChordEntry, feelText, type Setting } from '../solo/changes.js';
import { gridOf, type Note, type Phrase, phraseEnd, type Solo } from '../solo/solo.js';
import { countText, type Meter, meterText } from '../theory/meter.js';
import { keyText } from '../theory/scale.js';

/**
 * The text of a solo in canonical form. Reading it back gives the same solo; comments and typing aids (`%`, `repeat`, `ring`) are not kept,
 * what they stand for is.
 * @example
 * const solo = parseSoloOrThrow(EXAMPLE_SOLO)
 * printSolo(solo) === printSolo(parseSoloOrThrow(printSolo(solo))) // => true
 */
export function printSolo(solo: Solo): string {
  const grid = gridOf(solo);
  const parts = [headText(solo)];
  if (solo.remarks.length > 0) parts.push(solo.remarks.map((r) => `say ${quoted(r)}\n`).join(''));
  const changes = changesText(solo, grid);
  if (changes) parts.push(changes);
  for (const phrase of solo.phrases) parts.push(printPhrase(phrase, grid));
  return parts.join('\n');
}

/** A text in quotes; characters that could be mistaken for a line end are escaped. */
const quoted = (text: string): string =>
  JSON.stringify(text).replace(
    /[\u007f-\u009f\u2028\u2029\ufeff]/g,
    (c) => `\\u${c.charCodeAt(0).toString(16).padStart(4, '0')}`,
  );

function headText(solo: Solo): string {
  const { guitar } = solo;
  const lines = [
    `title: ${scalar(solo.title)}`,
    `player: ${scalar(solo.player)}`,
    `key: ${keyText(solo.key)}`,
    `meter: ${meterText(solo.meter)}`,
    `tempo: ${solo.tempo}`,
  ];
  if (solo.feel.kind === 'swing') lines.push(`feel: ${feelText(solo.feel)}`);
  if (tuningText(guitar.tuning) !== tuningText(STANDARD_GUITAR.tuning))
    lines.push(`tuning: ${tuningText(guitar.tuning)}`);
  if (guitar.capo !== 0) lines.push(`capo: ${guitar.capo}`);
  if (guitar.frets !== STANDARD_GUITAR.frets) lines.push(`frets: ${guitar.frets}`);
  if (solo.tone) lines.push(`tone: ${scalar(solo.tone)}`);
  return `---\n${lines.join('\n')}\n---\n`;
}

/** Plain where YAML reads it back unchanged, else in double quotes. */
const scalar = (text: string): string =>
  /^[A-Za-z][\w ,.;'()/&+-]*$/.test(text) && !text.endsWith(' ') ? text : quoted(text);

function changesText(solo: Solo, grid: BarGrid): string {
  const { firstBar, bars, settings, sections, strums } = solo.changes;
  if (bars.length === 0 && settings.length === 0 && sections.length === 0 && strums.length === 0) return '';
  const lines = ['changes'];
  const lastBar = firstBar + bars.length - 1;
  for (const s of sections) lines.push(`  section ${quoted(s.name)} ${s.from}-${s.to}`);
  const inPlace = (bar: number) => bar >= firstBar && bar <= lastBar;
  for (const s of settings)
    if (!inPlace(s.bar)) for (const text of settingTexts(s)) lines.push(`  ${text} from ${s.bar}`);
  for (const s of strums) if (!inPlace(s.bar)) lines.push(`  strum ${quoted(s.pattern)} from ${s.bar}`);
  const announce = (bar: number) => {
    for (const s of settings) if (s.bar === bar) for (const text of settingTexts(s)) lines.push(`  ${text}`);
    for (const s of strums) if (s.bar === bar) lines.push(`  strum ${quoted(s.pattern)}`);
  };
  const starts = new Set([
    ...settings.map((s) => s.bar as number),
    ...strums.map((s) => s.bar as number),
    ...sections.map((s) => s.from as number),
  ]);
  let row: string[] = [];
  let rowStart: number = firstBar;
  const flush = () => {
    if (row.length > 0) lines.push(`  ${rowStart} ${row.join(' | ')}`);
    row = [];
  };
  bars.forEach((entries, i) => {
    const number = firstBar + i;
    if (starts.has(number) || row.length === 4) flush();
    if (row.length === 0) {
      rowStart = number;
      announce(number);
    }
    row.push(barText(entries, grid.bar(number).meter));
  });
  flush();
  return `${lines.join('\n')}\n`;
}

function settingTexts(s: Setting): string[] {
  const texts: string[] = [];
  if (s.meter) texts.push(`meter ${meterText(s.meter)}`);
  if (s.tempo !== undefined) texts.push(`tempo ${s.tempo}`);
  if (s.key) texts.push(`key ${keyText(s.key)}`);
  if (s.feel) texts.push(`feel ${feelText(s.feel)}`);
  return texts;
}

function barText(entries: readonly ChordEntry[], meter: Meter): string {
  const pulses = meter.barTicks / meter.pulseTicks;
  const even = Number.isInteger(pulses / entries.length) || entries.length === 1;
  if (even && entries.every((e, i) => e.at === (meter.barTicks / entries.length) * i))
    return entries.map((e) => e.symbol).join(' ');
  return entries.map((e, i) => (i === 0 && e.at === 0 ? e.symbol : `${e.symbol}:${countText(e.at, meter)}`)).join(' ');
}

/** The text of one phrase; `grid` is that of its solo. */
export function printPhrase(phrase: Phrase, grid: BarGrid): string {
  const { bar, offset } = grid.place(phrase.at);
  const name = phrase.name ? ` ${quoted(phrase.name)}` : '';
  const head = [`phrase ${phrase.id}${name}`];
  if (phrase.heard !== undefined) head.push(`heard ${heardText(phrase.heard)}`);
  for (const r of phrase.remarks) if (r.at === undefined) head.push(`say ${quoted(r.text)}`);
  head.push(`at ${bar.number} ${countText(offset, bar.meter)}`);
  return `${head.join('\n')}\n${bodyText(phrase, grid)}`;
}

function heardText(seconds: number): string {
  const whole = Math.round(seconds * 1000);
  const minutes = Math.floor(whole / 60_000);
  const rest = (whole - minutes * 60_000) / 1000;
  return `${minutes}:${rest < 10 ? '0' : ''}${rest}`;
}

function bodyText(phrase: Phrase, grid: BarGrid): string {
  const lines: string[] = [];
  let words: string[] = [];
  let value = '';
  let cursor: number = phrase.at;
  const advance = (length: number, text: string, word: string) => {
    if (text !== value) words.push(text);
    value = text;
    words.push(word);
    cursor += length;
    const { offset } = grid.place(ticks(cursor));
    if (offset === 0) {
      lines.push(`  ${words.join(' ')} |`);
      words = [];
    }
  };
  /** Passes a stretch of time in written values, cut at bar lines and at the given ticks. */
  const pass = (end: number, cuts: readonly number[], word: (from: number, to: number) => string) => {
    while (cursor < end) {
      const { bar } = grid.place(ticks(cursor));
      const stop = Math.min(end, bar.start + bar.meter.barTicks, ...cuts.filter((c) => c > cursor));
      const values = valuesOf(ticks(stop - cursor));
      const lengths = values.map((v, i) => (i < values.length - 1 ? (valueTicks(v) as number) : 0));
      lengths[lengths.length - 1] = stop - cursor - lengths.reduce((a, b) => a + b, 0);
      values.forEach((v, i) => {
        advance(lengths[i] as number, valueText(v), word(cursor, cursor + (lengths[i] as number)));
      });
    }
  };
  const rest = (end: number) =>
    pass(
      end,
      phrase.damps.filter((d) => d > cursor && d < end),
      () => '-',
    );
  const damp = (from: number, to: number) => {
    for (const d of phrase.damps)
      if (d >= from && d <= to) {
        if (d > cursor) rest(d);
        words.push('damp');
      }
  };
  let damped = -1;
  const dampUpTo = (to: number) => {
    damp(damped + 1, to);
    damped = Math.max(damped, to);
  };
  for (const { onset, graces, notes } of slots(phrase)) {
    dampUpTo(onset);
    rest(onset);
    for (const group of graces) words.push(groupText(group, () => false));
    const ends = notes.map((n) => n.onset + n.length);
    const end = Math.max(...ends);
    const inside = phrase.damps.filter((d) => d > onset && d < end);
    let firstTo: number | undefined; // where the first written value ends
    pass(end, [...ends, ...inside], (from, to) => {
      if (firstTo === undefined) {
        firstTo = to;
        const remarks = phrase.remarks.filter((r) => r.at === onset).map((r) => ` say ${quoted(r.text)}`);
        return groupText(notes, (n) => n.onset + n.length > to) + remarks.join('');
      }
      const going = notes.filter((n) => n.onset + n.length > from);
      // Which notes a lone _ prolongs was said by the tails; once some of them end, the strings are named.
      const same = going.length === ends.filter((e) => e > (firstTo as number)).length;
      return (inside.includes(ticks(from)) ? 'damp ' : '') + (same ? '_' : going.map((n) => `_@${n.string}`).join('+'));
    });
    damped = Math.max(damped, end - 1);
  }
  dampUpTo(phraseEnd(phrase));
  rest(phraseEnd(phrase));
  if (words.length > 0) lines.push(`  ${words.join(' ')}`);
  return `${lines.join('\n')}\n`;
}

interface Slot {
  readonly onset: number;
  readonly graces: readonly (readonly Note[])[];
  readonly notes: readonly Note[];
}

function slots(phrase: Phrase): Slot[] {
  const result: Slot[] = [];
  let i = 0;
  while (i < phrase.notes.length) {
    const onset = (phrase.notes[i] as Note).onset;
    const graces: Note[][] = [];
    const notes: Note[] = [];
    let grace = -1;
    while (i < phrase.notes.length && (phrase.notes[i] as Note).onset === onset) {
      const note = phrase.notes[i] as Note;
      if (note.grace === 0) notes.push(note);
      else if (note.grace === grace) (graces[graces.length - 1] as Note[]).push(note);
      else {
        graces.push([note]);
        grace = note.grace;
      }
      i++;
    }
    result.push({ onset, graces, notes });
  }
  return result;
}

/** A group in an order in which no note inherits a start that is not its own: a picked note first if there is one. */
function groupText(notes: readonly Note[], tied: (note: Note) => boolean): string {
  const rank = (n: Note) => (n.kind === 'on' ? 2 : n.start === 'picked' ? 0 : 1);
  return [...notes]
    .sort((a, b) => rank(a) - rank(b) || a.string - b.string)
    .map((n) => noteText(n, tied(n)))
    .join('+');
}

/** One note as a word: `h9@3(0>2)~`. */
export function noteText(note: Note, tied = false): string {
  const place = note.kind === 'on' ? '' : note.kind === 'dead' ? 'x' : String(note.fret);
  const flags =
    (note.vibrato ? '~' : '') +
    (note.accent ? '!' : '') +
    (note.harmonic ? '*' : '') +
    (note.ring ? '=' : '') +
    (note.slideAway ? '\\' : '');
  const marks = note.marks.map((m) => `:${m}`).join('');
  // The tie stands before the marks, which would swallow nothing but letters, digits and hyphens.
  return `${note.grace > 0 ? 'g' : ''}${START_LETTERS[note.start]}${place}@${note.string}${pathText(note.path)}${flags}${marks}${tied ? '_' : ''}`;
}

/** A bend path as written: `(0>2)`, `(0>2 q.>0 e)`; `''` for none. */
export function pathText(path: BendPath): string {
  if (path.length === 0) return '';
  return `(${path.map((p) => (p.level === null ? '' : String(p.level / 100)) + (p.time === undefined ? '' : ` ${valueText(valueFor(p.time))}`)).join('>')})`;
}
