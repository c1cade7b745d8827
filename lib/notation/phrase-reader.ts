// One phrase: entry, values, notes, bar lines; every bar must add up.
import { lengthInWords, readValue } from '../foundation/time.js';
import { type Ticks, ticks } from '../foundation/units.js';
import type { Bar, BarGrid } from '../solo/changes.js';
import { compareNotes, type Phrase, type Remark } from '../solo/solo.js';
import { countsByThree, countText, type Meter, meterText, parseCount } from '../theory/meter.js';
import { LAST_BAR } from './changes-reader.js';
import { type Faults, type Line, lineSpan, type Span, shown, spanOf, unquote, wordOf } from './lexer.js';
import { isDigit, type ReadNote, readEvent, readValueSlip, type ValueSlip } from './note-word.js';

/**
 * A phrase as read, with the place of each note in the text; `broken` if any fault was found in it. A broken phrase has no time to rely on:
 * each of its events has an onset of its own, which only says which notes are played together.
 */
export interface ReadPhrase {
  readonly phrase: Phrase;
  readonly spans: readonly Span[];
  readonly head: Span;
  readonly broken: boolean;
  /** False where it does not say where it comes in, or not so that it can be read. */
  readonly placed: boolean;
}

/** Collects the lines of one phrase. */
export interface PhraseReader {
  line(line: Line): void;
  finish(): ReadPhrase;
}

/** A reader for the phrase whose head line (`phrase 3 "name"`) is given. */
export function phraseReader(faults: Faults, head: Line, grid: BarGrid): PhraseReader {
  const { text } = faults.source;
  const before = faults.count();
  const word = (line: Line, i: number): string => wordOf(text, line, i);
  const headSpan = lineSpan(head);
  const { id, name } = readHeadLine();

  let entry: Ticks | undefined;
  let entryGuessed = false; // then the sum of the first bar says nothing
  let everGuessed = false;
  let events = 0;
  let cursor = 0;
  let bar: Bar = grid.bar(0);
  let lineEnd = headSpan.end;
  let barText = -1; // offset at which the current bar's words start
  let lastEnd = 0;
  let value: Ticks | undefined;
  let saidNoValue = false;
  let ringing = false;
  let heard: number | undefined;
  const placed: ReadNote[] = [];
  let graces: ReadNote[][] = [];
  let event: { onset: number; notes: readonly ReadNote[]; live: boolean } | undefined;
  const damps: Ticks[] = [];
  const remarks: Remark[] = [];

  function readHeadLine(): { id: string; name: string } {
    const rest = head.words.length / 2;
    const first = rest > 1 ? word(head, 1) : '';
    const quoted = rest > 2 && word(head, 2)[0] === '"';
    if (!/^[A-Za-z0-9][\w.-]*$/.test(first) || rest > 3 || (rest === 3 && !quoted))
      faults.fault('phrase-head', headSpan, 'a phrase has an id and perhaps a name in quotes', {
        remedy: 'as in phrase 1 "knock at the door"',
      });
    return { id: first, name: quoted ? unquote(faults, spanOf(head, 2)) : '' };
  }

  function readAt(line: Line): void {
    const span = lineSpan(line);
    const number = /^\d{1,5}$/.test(word(line, 1)) ? Number(word(line, 1)) : -1;
    if (entry !== undefined || placed.length > 0)
      return faults.fault('at-twice', span, 'a phrase comes in once', { remedy: 'start a new phrase, or write rests' });
    const known = number >= 0 && number <= LAST_BAR;
    if (line.words.length !== 6 || !known) {
      faults.fault('bad-entry', span, 'where the phrase comes in: a bar and a count', {
        found: text.slice(span.start, span.end),
        remedy: 'as in at 0 3& (the and of 3 in the pickup bar)',
      });
      return guessEntry(known ? number : 1);
    }
    const { meter } = grid.bar(number);
    const offset = parseCount(word(line, 2), meter);
    if (offset === undefined) {
      const pulses = meter.barTicks / meter.pulseTicks;
      faults.fault('bad-entry', spanOf(line, 2), `"${shown(word(line, 2))}" is not a count in bar ${number}`, {
        found: word(line, 2),
        expected: `1 to ${pulses}, with e & a, or t l for a triplet`,
        remedy: countsInWords(meter),
      });
      return guessEntry(number);
    }
    comeIn(number, offset);
  }

  function comeIn(number: number, offset: number): void {
    bar = grid.bar(number);
    cursor = bar.start + offset;
    entry = ticks(cursor);
  }

  /** Reads on as from the start of a bar, so that an entry that cannot be read is one fault. */
  function guessEntry(number: number): void {
    comeIn(number, 0);
    entryGuessed = true;
    everGuessed = true;
  }

  /** Time passes: `undefined` (and one fault) while no value has been written. */
  function step(span: Span): Ticks | undefined {
    if (value === undefined && !saidNoValue) {
      saidNoValue = true;
      faults.fault('no-value', span, 'each phrase starts with its own note value', {
        remedy: 'write w h q e s or t before its first note',
      });
    }
    enter();
    return value;
  }

  function enter(): void {
    if (entry !== undefined) return;
    guessEntry(1);
    faults.fault('no-entry', headSpan, `phrase ${shown(id)} does not say where it comes in`, {
      remedy: 'write at and the bar and count, as in at 1 1',
    });
  }

  function readNotes(span: Span): void {
    const notes = readEvent(faults, span);
    const isGrace = text.charCodeAt(span.start) === 103; // g
    if (isGrace) enter();
    const length = isGrace ? ticks(0) : (step(span) ?? ticks(0));
    if (!notes) {
      cursor += length; // keep the bar's sum, so that one bad note is one fault
      event = undefined;
      graces = [];
      return;
    }
    if (notes.some((n) => n.isGrace !== isGrace))
      faults.fault('grace-group', span, 'in a group, all notes are graces or none is', {
        remedy: 'write g before each, or before none',
      });
    endTie(span);
    events++;
    for (const read of notes) {
      read.event = events;
      read.note.onset = ticks(cursor);
      read.note.length = length;
      if (ringing && read.note.kind !== 'dead') read.note.ring = true;
    }
    if (isGrace) {
      graces.push(notes);
      for (const n of notes) if (n.tied) faults.fault('grace-tie', n.span, 'a grace note cannot be tied');
      return;
    }
    for (const [i, group] of graces.entries())
      for (const g of group) {
        g.note.grace = graces.length - i;
        placed.push(g);
      }
    if (graces.length > 0) graces = [];
    for (const read of notes) placed.push(read);
    event = { onset: cursor, notes, live: notes.some((n) => n.tied) };
    cursor += length;
    lastEnd = cursor;
  }

  function readTie(span: Span): void {
    const length = step(span) ?? ticks(0);
    if (graces.length > 0) endGraces();
    const w = text.slice(span.start, span.end);
    if (!event) {
      faults.fault('tie-from-nothing', span, '_ prolongs the notes before it, and there are none', {
        remedy: 'write a note, or - for a rest',
      });
      cursor += length;
      return;
    }
    const named = w === '_' ? undefined : w.split('+').map((part) => Number(/^_@(\d)$/.exec(part)?.[1] ?? -1));
    const strings = named && new Set(named);
    const anyTied = event.notes.some((n) => n.tied);
    const goesOn = ({ note, tied }: ReadNote) =>
      strings ? strings.has(note.string) && note.onset + note.length === cursor : anyTied ? tied : true;
    if (named && event.notes.filter(goesOn).length !== named.length)
      faults.fault('tie-string', span, `"${shown(w)}" prolongs a string on which no note has gone on up to here`, {
        remedy: 'write _ alone, or as in _@2 the strings that sound',
      });
    for (const read of event.notes) {
      read.tied = goesOn(read);
      if (read.tied) read.note.length = ticks(read.note.length + length);
    }
    event.live = false;
    cursor += length;
    lastEnd = cursor;
  }

  /** A tail `_` that no `_` word followed. */
  function endTie(span: Span): void {
    if (event?.live)
      faults.fault('tie-to-nothing', span, 'the note before is tied, but no _ follows it', {
        remedy: 'write _ for the value it goes on, or take its _ away',
      });
    if (event) event.live = false;
  }

  function closeBar(end: number): void {
    if (entry === undefined) step({ start: end - 1, end });
    checkBar(end, true);
    entryGuessed = false;
    cursor = bar.start + bar.meter.barTicks;
    bar = grid.bar(bar.number + 1);
    barText = -1;
  }

  function checkBar(end: number, closed: boolean): void {
    const held = cursor - bar.start;
    const wanted = bar.meter.barTicks;
    if (entryGuessed || held === wanted || (!closed && held < wanted)) return;
    const pulses = (length: number) => beatsText(length / bar.meter.pulseTicks);
    const beats = (length: number) => `${pulses(length)} ${length === bar.meter.pulseTicks ? 'beat' : 'beats'}`;
    const off = `${lengthInWords(ticks(Math.abs(wanted - held)))} ${held < wanted ? 'short' : 'too long'}`;
    const start = barText < 0 ? end - 1 : barText;
    const hint = held === wanted ? undefined : loneLetterHint(text.slice(start, end));
    const from =
      entry !== undefined && entry > bar.start
        ? `, filled from ${countText(ticks(entry - bar.start), bar.meter)} on,`
        : '';
    faults.fault(
      held < wanted ? 'bar-short' : 'bar-long',
      { start, end },
      `bar ${bar.number}${from} holds ${beats(held)}, ${pulses(wanted)} expected (${off})`,
      {
        found: beats(held),
        expected: beats(wanted),
        remedy: hint ?? (held < wanted ? FILL_BAR : EMPTY_BAR),
      },
    );
  }

  function readWord(span: Span): void {
    const first = text.charCodeAt(span.start);
    if (first === 124) return closeBar(span.end);
    if (barText < 0) barText = span.start;
    if (isDigit(first)) return readNotes(span);
    if (first === 45 && span.end - span.start === 1) {
      endTie(span);
      if (graces.length > 0) endGraces();
      cursor += step(span) ?? 0;
      event = undefined;
      return;
    }
    if (first === 95) return readTie(span);
    if (first === 34)
      return faults.fault('lone-quote', span, 'a text in quotes belongs behind say', {
        remedy: `write say ${text.slice(span.start, Math.min(span.end, span.start + 20))}`,
      });
    const w = text.slice(span.start, span.end);
    if (!w.includes('@')) {
      const length = readValue(w);
      if (length === 'off') {
        faults.fault('bad-value', span, `${shown(w)} cannot be written exactly in time`, {
          remedy: 'tuplets such as q:3, e:5/4',
        });
        return;
      }
      if (length !== undefined) {
        value = length;
        return;
      }
      if (w === 'ring') {
        ringing = true;
        return;
      }
      if (w === 'damp') {
        ringing = false;
        if (damps[damps.length - 1] !== cursor) damps.push(ticks(cursor));
        return;
      }
    }
    const slip = readValueSlip(text, span);
    if (slip) return readSlip(slip, span);
    readNotes(span);
  }

  /** What a slip with a note value meant: the value, and the word run together with it. */
  function readSlip({ value: meant, length, capital, rest }: ValueSlip, span: Span): void {
    const behind = rest === undefined ? '' : ` ${shown(text.slice(rest, span.end))}`;
    if (capital)
      faults.fault(
        'capital-value',
        { start: span.start, end: rest ?? span.end },
        `note values are small letters: ${meant}`,
        {
          remedy: `write ${meant}${behind}`,
        },
      );
    else
      faults.fault('no-blank', span, `no blank behind the note value in "${shown(text.slice(span.start, span.end))}"`, {
        remedy: `put a blank after ${meant}: ${meant}${behind}`,
      });
    value = length;
    if (rest !== undefined) readWord({ start: rest, end: span.end });
  }

  function endGraces(): void {
    for (const group of graces)
      for (const g of group)
        faults.fault('grace-to-nothing', g.span, 'a grace note leads to a note, and none follows', {
          remedy: 'write the note it leads to right behind it',
        });
    graces = [];
  }

  return {
    line(line) {
      const w = word(line, 0);
      if (w === 'at') return readAt(line);
      if (w === 'heard') {
        const match = /^(\d{1,3}):([0-5]\d(?:\.\d{1,3})?)$/.exec(word(line, 1));
        if (match && line.words.length === 4)
          heard = Math.round((Number(match[1]) * 60 + Number(match[2])) * 1000) / 1000;
        else
          faults.fault('bad-heard', spanOf(line, 0), 'heard gives minutes and seconds', { remedy: 'as in heard 2:14' });
        return;
      }
      for (let i = 0; i < line.words.length / 2; i++) {
        const span = spanOf(line, i);
        if (text[span.start] === 's' && word(line, i) === 'say') {
          const said = i + 1 < line.words.length / 2 ? spanOf(line, i + 1) : span;
          if (text[said.start] !== '"')
            faults.fault('bad-say', span, 'say has a text in quotes behind it', { remedy: 'as in say "let it ring"' });
          else {
            i++;
            const last = event
              ? event.onset
              : placed.length > 0
                ? (placed[placed.length - 1] as ReadNote).note.onset
                : undefined;
            remarks.push(
              last === undefined ? { text: unquote(faults, said) } : { text: unquote(faults, said), at: ticks(last) },
            );
          }
        } else readWord(span);
      }
      lineEnd = line.words[line.words.length - 1] as number;
    },
    finish() {
      if (barText >= 0) checkBar(lineEnd, false);
      endTie({ start: lineEnd - 1, end: lineEnd });
      endGraces();
      if (placed.length === 0 && faults.count() === before)
        faults.fault('empty-phrase', headSpan, `phrase ${shown(id)} has no notes`);
      const broken = faults.count() > before;
      if (broken) for (const p of placed) p.note.onset = ticks(p.event);
      placed.sort((a, b) => compareNotes(a.note, b.note));
      const at = entry ?? ticks(0);
      const phrase: Phrase = {
        id,
        name,
        at,
        length: ticks(Math.max(cursor, lastEnd) - at),
        notes: placed.map((p) => p.note),
        damps,
        remarks,
        ...(heard !== undefined && { heard }),
      };
      const isPlaced = entry !== undefined && !everGuessed;
      return { phrase, spans: placed.map((p) => p.span), head: headSpan, broken, placed: isPlaced };
    },
  };
}

const FILL_BAR = 'lengthen a note, or write what is missing; a rest is -';
const EMPTY_BAR = 'shorten or take out a note, or close the bar with | before it';

/** The counts of a meter: `3/4 has the counts 1 to 3, as in 3& for the and of 3`. */
function countsInWords(meter: Meter): string {
  const last = meter.barTicks / meter.pulseTicks;
  const top = last === 1 ? 'the count 1' : `the counts 1 to ${last}`;
  const within = countsByThree(meter)
    ? `${last}t and ${last}l for the second and third eighth of ${last}`
    : `${last}& for the and of ${last}`;
  return `${meterText(meter)} has ${top}, with ${within}`;
}

function beatsText(beats: number): string {
  return Number.isInteger(beats) ? String(beats) : String(Math.round(beats * 100) / 100);
}

/** A lone `h` or `t` before a note is a value; in a bar that does not add up the player may have meant a start. */
function loneLetterHint(words: string): string | undefined {
  const lone = /(?:^|\s)([ht])\s+(\d{1,2}@\d)/.exec(words);
  if (!lone) return undefined;
  return lone[1] === 'h' ? `hammered? write h${lone[2]}` : `tapped? write t${lone[2]}`;
}
