// The changes block: bars of chords, what holds from which bar, sections, repeats.
import { barNumber, type Ticks, ticks } from '../foundation/units.js';
import {
  barGrid,
  type Changes,
  type ChordEntry,
  NO_CHANGES,
  type Opening,
  type Section,
  type Setting,
  type Strum,
} from '../solo/changes.js';
import { isChord, isNoChord, NO_CHORD, parseChord } from '../theory/chord.js';
import { type Meter, parseCount } from '../theory/meter.js';
import { readOpening } from './front-matter.js';
import { type Faults, type Line, lineSpan, type Span, shown, spanOf, unquote, wordOf } from './lexer.js';

/** Words that start a line of the changes block, beside a bar number. */
export const CHANGES_WORDS = ['section', 'repeat', 'strum', 'meter', 'tempo', 'key', 'feel'] as const;

/** The highest bar number that is read: a typing slip must not lay out a million bars. */
export const LAST_BAR = 9999;

/** More lines of repeats than this are not read: each writes out bars. */
const MOST_REPEATS = 500;

/** A chord symbol longer than this is not looked into. */
const LONGEST_SYMBOL = 40;

/** Collects the lines of a changes block; `finish` gives the changes. */
export interface ChangesReader {
  line(line: Line): void;
  finish(): Changes;
}

type Cell = { readonly symbol: string; readonly count?: string; readonly span: Span };
type Repeat = { readonly from: number; readonly to: number; readonly times: number; readonly span: Span };
type Announced = Partial<Opening> & { bar: number; span: Span };
type RawBar = { readonly cells: readonly Cell[] | '%'; readonly span: Span };

/** A reader of changes for a solo that opens so. */
export function changesReader(faults: Faults, opening: Opening): ChangesReader {
  const { text } = faults.source;
  const word = (line: Line, i: number): string => wordOf(text, line, i);
  let first: number | undefined;
  const bars: RawBar[] = [];
  const settings: Announced[] = [];
  let pending: Announced[] = [];
  const strums: Strum[] = [];
  let pendingStrums: { readonly pattern: string; readonly span: Span }[] = [];
  const sections: Section[] = [];
  let waiting: Repeat[] = [];
  let repeats = 0;
  const repeated: { from: number; to: number; shift: number }[] = [];
  const nextBar = () => (first ?? 1) + bars.length;

  /** What was announced holds from the next bar on. */
  const holdFromHere = (): void => {
    for (const p of pending) settings.push({ ...p, bar: nextBar() });
    for (const { pattern } of pendingStrums) strums.push({ bar: barNumber(nextBar()), pattern });
    pending = [];
    pendingStrums = [];
  };

  const readBars = (line: Line): void => {
    const number = Number(word(line, 0));
    if (number > LAST_BAR) {
      faults.fault(
        'bar-number',
        spanOf(line, 0),
        `bar ${shown(word(line, 0))} is too far on, at most ${LAST_BAR} expected`,
      );
      return;
    }
    if (first === undefined) first = number;
    else if (number !== nextBar()) {
      const expected = `bar ${nextBar()}`;
      faults.fault('bar-number', spanOf(line, 0), `these changes start at bar ${number}, ${expected} expected`, {
        expected,
        remedy:
          number > nextBar()
            ? `write ${barsText(nextBar(), number - 1)} as well (% repeats the bar before, N.C. is no chord)`
            : `number this line ${nextBar()}`,
      });
      // What follows is taken as if the number were right, so that one slip is one fault.
    }
    holdFromHere();
    let cells: Cell[] = [];
    let percent = false;
    let from = line.words[2] ?? line.end;
    const close = (end: number, isLast: boolean) => {
      if (cells.length === 0 && !percent) {
        if (!isLast || line.words.length === 2)
          faults.fault('empty-bar', { start: from, end: Math.max(end, from + 1) }, `bar ${nextBar()} has no chord`, {
            remedy: 'write its chord, % for the bar before, or N.C.',
          });
        if (isLast) return;
      }
      if (percent && cells.length > 0)
        faults.fault('percent', { start: from, end }, '% stands alone in its bar', {
          remedy: 'write the chords of the bar instead',
        });
      bars.push({ cells: percent ? '%' : cells, span: { start: from, end } });
      cells = [];
      percent = false;
    };
    for (let i = 1; i < line.words.length / 2; i++) {
      const span = spanOf(line, i);
      const w = word(line, i);
      if (w === '|') {
        close(span.end, false);
        from = span.end;
      } else {
        if (cells.length === 0 && !percent) from = span.start;
        if (w === '%') percent = true;
        else cells.push(readCell(w, span));
      }
    }
    close(line.words[line.words.length - 1] as number, true);
    waiting = waiting.filter((repeat) => !play(repeat));
  };

  const readCell = (w: string, span: Span): Cell => {
    const colon = w.indexOf(':');
    const symbol = colon < 0 ? w : w.slice(0, colon);
    if (!isNoChord(symbol)) {
      const read =
        symbol.length > LONGEST_SYMBOL ? { symbol, reason: 'no chord symbol is so long' } : parseChord(symbol);
      if (!isChord(read))
        faults.fault(
          'unknown-chord',
          { start: span.start, end: span.start + Math.max(symbol.length, 1) },
          `the chord ${shown(symbol || w)} is not known: ${read.reason}`,
          {
            found: symbol,
            remedy:
              read.suggestion === undefined
                ? 'write a root and a type, as in Am7, Bb7, F#m7b5, D7b9 or Gsus4; N.C. for none'
                : `did you mean ${read.suggestion}?`,
          },
        );
    }
    const name = isNoChord(symbol) ? NO_CHORD : symbol;
    return colon < 0 ? { symbol: name, span } : { symbol: name, count: w.slice(colon + 1), span };
  };

  const readRange = (line: Line, i: number): { from: number; to: number } | undefined => {
    const match = /^(\d{1,4})(?:-(\d{1,4}))?$/.exec(word(line, i));
    const from = Number(match?.[1]);
    const to = Number(match?.[2] ?? match?.[1]);
    if (match && from <= to) return { from, to };
    faults.fault(
      'bar-range',
      line.words[2 * i] === undefined ? lineSpan(line) : spanOf(line, i),
      'first and last bar expected, as in 1-12',
      { found: word(line, i) },
    );
    return undefined;
  };

  const readSetting = (line: Line, name: 'meter' | 'tempo' | 'key' | 'feel'): void => {
    const count = line.words.length / 2;
    const hasFrom = count > 3 && word(line, count - 2) === 'from' && /^\d{1,4}$/.test(word(line, count - 1));
    const value = text
      .slice(line.words[2] ?? line.end, line.words[(hasFrom ? count - 2 : count) * 2 - 1] ?? line.end)
      .trim();
    const span = count > 1 ? { ...lineSpan(line), start: line.words[2] as number } : lineSpan(line);
    const read = readOpening(name, value);
    if ('reason' in read) {
      faults.fault('bad-setting', span, `${name} ${shown(value)}: ${read.reason}`, { found: value });
      return;
    }
    if (hasFrom) settings.push({ ...read, bar: Number(word(line, count - 1)), span });
    else pending.push({ ...read, bar: nextBar(), span: lineSpan(line) });
  };

  const readRepeat = (line: Line): void => {
    const range = readRange(line, 1);
    const times = /^x(\d{1,2})$/.exec(word(line, 2));
    if (!range) return;
    if (++repeats > MOST_REPEATS) {
      if (repeats === MOST_REPEATS + 1)
        faults.fault('repeat', lineSpan(line), `more than ${MOST_REPEATS} repeats`, {
          remedy: 'write the bars out, or repeat longer stretches',
        });
      return;
    }
    if (!times || Number(times[1]) < 2 || line.words.length > 6) {
      faults.fault('repeat', lineSpan(line), 'how many times in all? x2 or more expected', {
        remedy: 'as in repeat 1-12 x2',
      });
      return;
    }
    const repeat = { ...range, times: Number(times[1]), span: lineSpan(line) };
    if (!play(repeat)) waiting.push(repeat);
  };

  /** Writes a repeat out once its last bar is the last one written; true if it is dealt with. */
  const play = (range: Repeat): boolean => {
    if (first === undefined || range.to > nextBar() - 1) return false;
    const { times, span } = range;
    if (range.from < first || range.to < nextBar() - 1) {
      faults.fault('repeat', span, `a repeat ends with a line of changes; bar ${range.to} stands inside one`, {
        remedy: `start a new line at bar ${range.to + 1}`,
      });
      return true;
    }
    const length = range.to - range.from + 1;
    if (nextBar() + length * (times - 1) > LAST_BAR) {
      faults.fault('repeat', span, `this runs past bar ${LAST_BAR}`);
      return true;
    }
    const block = bars.slice(range.from - first, range.to - first + 1);
    const open = settingAt(opening, settings, range.from);
    const inner = settings.filter((s) => s.bar > range.from && s.bar <= range.to);
    for (let n = 1; n < times; n++) {
      const shift = nextBar() - range.from;
      if (inner.length > 0 || settings.some((s) => s.bar === range.from))
        settings.push({ ...open, bar: range.from + shift, span });
      for (const s of inner) settings.push({ ...s, bar: s.bar + shift });
      repeated.push({ from: range.from, to: range.to, shift });
      for (const bar of block) bars.push(bar);
    }
    return true;
  };

  return {
    line(line) {
      const w = word(line, 0);
      if (/^\d+$/.test(w)) readBars(line);
      else if (w === 'section') {
        const range = readRange(line, 2);
        const isNamed = word(line, 1)[0] === '"';
        if (!isNamed || line.words.length > 6) {
          const wrong = isNamed ? 'a section has a name and its bars, nothing else' : 'a section has a name in quotes';
          faults.fault('section', lineSpan(line), wrong, { remedy: 'as in section "chorus" 1-12' });
        } else if (range)
          sections.push({
            name: unquote(faults, spanOf(line, 1)),
            from: barNumber(range.from),
            to: barNumber(range.to),
          });
      } else if (w === 'repeat') readRepeat(line);
      else if (w === 'strum') {
        if (word(line, 1)[0] !== '"')
          faults.fault('strum', lineSpan(line), 'a strum is a counted pattern in quotes', {
            remedy: 'as in strum "D - D U - U D U"',
          });
        else if (word(line, 2) === 'from' && /^\d{1,4}$/.test(word(line, 3)) && line.words.length === 8)
          strums.push({ bar: barNumber(Number(word(line, 3))), pattern: unquote(faults, spanOf(line, 1)) });
        else if (line.words.length > 4)
          faults.fault('strum', lineSpan(line), 'behind the pattern of a strum stands from and a bar, or nothing', {
            remedy: 'as in strum "D - D U - U D U" from 5',
          });
        else pendingStrums.push({ pattern: unquote(faults, spanOf(line, 1)), span: lineSpan(line) });
      } else if (w === 'meter' || w === 'tempo' || w === 'key' || w === 'feel') readSetting(line, w);
      else
        faults.fault('changes-line', lineSpan(line), `"${shown(w)}" does not start a line of changes`, {
          expected: `a bar number, or ${CHANGES_WORDS.join(', ')}`,
          remedy: 'a line of changes starts with the number of its first bar, as in 5 F7 | C7',
        });
    },
    finish() {
      for (const r of waiting)
        faults.fault(
          'repeat',
          r.span,
          `${barsText(r.from, r.to)} ${r.from === r.to ? 'is' : 'are'} to be repeated, but bar ${r.to} is not written`,
          {
            remedy: 'write the changes up to there',
          },
        );
      if (first !== undefined)
        for (const { span } of [...pending, ...pendingStrums])
          faults.add(
            'past-the-bars',
            'warning',
            span,
            `this holds only from bar ${nextBar()} on, past the last bar written`,
            { remedy: 'put it before the bars it holds from' },
          );
      holdFromHere();
      if (first === undefined && settings.length === 0 && strums.length === 0 && sections.length === 0)
        return NO_CHANGES;
      const merged = mergeSettings(faults, settings);
      const grid = barGrid(opening, merged);
      const written: (readonly ChordEntry[])[] = [];
      bars.forEach((bar, i) => {
        written.push(entriesOf(faults, bar, grid.bar((first ?? 1) + i).meter, written[i - 1]));
      });
      const highest = (numbers: readonly number[]): number => numbers.reduce((a, b) => Math.max(a, b), 0);
      // Which bars a section holds.
      const named = new Uint8Array(highest(sections.map((s) => s.to)) + highest(repeated.map((r) => r.shift)) + 1);
      for (const s of sections) named.fill(1, s.from, s.to + 1);
      for (const section of [...sections])
        for (const { from, to, shift } of repeated)
          if (section.from >= from && section.to <= to) {
            const copy = {
              name: section.name,
              from: barNumber(section.from + shift),
              to: barNumber(section.to + shift),
            };
            const next = named.indexOf(1, copy.from);
            if (next >= 0 && next <= copy.to) continue;
            sections.push(copy);
            named.fill(1, copy.from, copy.to + 1);
          }
      sections.sort((a, b) => a.from - b.from || a.to - b.to);
      strums.sort((a, b) => a.bar - b.bar);
      return { firstBar: barNumber(first ?? 1), bars: written, settings: merged, sections, strums };
    },
  };
}

const barsText = (from: number, to: number): string => (from === to ? `bar ${from}` : `bars ${from} to ${to}`);

function settingAt(opening: Opening, settings: readonly (Partial<Opening> & { bar: number })[], bar: number): Opening {
  const held = { meter: opening.meter, key: opening.key, tempo: opening.tempo, feel: opening.feel };
  const since = { meter: -1, key: -1, tempo: -1, feel: -1 };
  const hold = <F extends keyof Opening>(field: F, s: Partial<Opening> & { bar: number }): void => {
    if (s[field] === undefined || s.bar < since[field]) return;
    held[field] = s[field] as Opening[F];
    since[field] = s.bar;
  };
  for (const s of settings)
    if (s.bar <= bar) for (const field of ['meter', 'key', 'tempo', 'feel'] as const) hold(field, s);
  return held;
}

const only = (s: Partial<Opening>): Partial<Opening> => ({
  ...(s.meter && { meter: s.meter }),
  ...(s.key && { key: s.key }),
  ...(s.tempo !== undefined && { tempo: s.tempo }),
  ...(s.feel && { feel: s.feel }),
});

function mergeSettings(faults: Faults, settings: readonly Announced[]): Setting[] {
  const byBar = new Map<number, Setting>();
  for (const s of [...settings].sort((a, b) => a.bar - b.bar)) {
    if (s.bar > LAST_BAR) {
      faults.fault('bar-number', s.span, `bar ${s.bar} is too far on, at most ${LAST_BAR} expected`);
      continue;
    }
    byBar.set(s.bar, { ...byBar.get(s.bar), bar: barNumber(s.bar), ...only(s) });
  }
  return [...byBar.values()];
}

/** Where the chords of a bar come: named counts, or an even division of its beats. */
function entriesOf(
  faults: Faults,
  bar: RawBar,
  meter: Meter,
  before: readonly ChordEntry[] | undefined,
): readonly ChordEntry[] {
  if (bar.cells === '%') {
    if (before) return before;
    faults.fault('percent', bar.span, '% repeats the bar before, and there is none', { remedy: 'write the chord' });
    return [];
  }
  const entries: ChordEntry[] = [];
  const pulses = meter.barTicks / meter.pulseTicks;
  const named = bar.cells.some((c) => c.count !== undefined);
  const even = Number.isInteger(pulses / bar.cells.length) || bar.cells.length === 1;
  bar.cells.forEach((cell, i) => {
    let at: Ticks | undefined = ticks(0);
    if (cell.count !== undefined) {
      at = parseCount(cell.count, meter);
      if (at === undefined)
        faults.fault('chord-beat', cell.span, `"${shown(cell.count)}" is not a count in this bar`, {
          expected: `1 to ${pulses}, with & e a or t l`,
          remedy: `as in ${shown(cell.symbol)}:${Math.min(4, pulses)}`,
        });
    } else if (named ? i > 0 : !even && i > 0) {
      faults.fault(
        'chord-beat',
        cell.span,
        named
          ? 'where one chord of a bar names its beat, each after the first does'
          : `${bar.cells.length} chords do not divide ${pulses} ${pulses === 1 ? 'beat' : 'beats'} evenly`,
        { remedy: `name the beat it comes on, as in ${shown(cell.symbol)}:${Math.min(i + 2, pulses)}` },
      );
      at = undefined;
    } else if (!named) at = ticks(i === 0 ? 0 : (meter.barTicks / bar.cells.length) * i);
    const last = entries[entries.length - 1];
    if (at === undefined) return;
    if (last && at <= last.at)
      faults.fault('chord-beat', cell.span, 'the chords of a bar stand in order of their beats');
    else entries.push({ at, symbol: cell.symbol });
  });
  return entries;
}
