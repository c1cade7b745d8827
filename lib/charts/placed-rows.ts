// Rows of a solo on the page: how high each is, and what stands round its tones: levels, barlines, beats, chords, bar numbers, sections, phrases.
import { type MidiKey, midiKey, mod } from '../foundation/units.js';
import type { Bar } from '../solo/changes.js';
import type { ChordSpan } from '../solo/harmony.js';
import { type Phrase, phraseEnd, type Solo } from '../solo/solo.js';
import { noteOfKey, type PitchName } from '../theory/pitch.js';
import type { Key } from '../theory/scale.js';
import { type SoloRow, type SoloRows, xIn } from './solo-rows.js';
import { type Json, plainText, SIZE, shorten, textWidth } from './spec.js';
import { tenth } from './tone-kinds.js';
import type { Strokes } from './tone-strokes.js';

/** Width of the widest row, px. */
export const WIDTH = 920;
/** Px of a semitone. */
const SEMITONE = 6;
/** The least that a row shows, and the room beyond its highest and lowest tone; cents. */
const REACH = { least: 900, beyond: 150 } as const;
/** Above the tones: names of phrases and their brackets. Below: chords, bar numbers, and the way to the next row. */
const ROW = { names: 26, chords: 18, numbers: 17, gap: 26 } as const;
const AXIS_GAP = 16;

/** A row with its place on the page; px from the top of the plot. */
export interface PlacedRow {
  readonly row: SoloRow;
  readonly low: number;
  readonly high: number;
  readonly top: number;
  readonly bottom: number;
  readonly end: number;
  readonly chords: readonly { readonly text: string; readonly x: number; readonly line: number }[];
  /** Lines that chord symbols take, 1 or 2. */
  readonly lines: number;
  y(cents: number): number;
}

export function placeRows(rows: SoloRows, strokes: Strokes, spans: readonly ChordSpan[]): readonly PlacedRow[] {
  let at = 0;
  return rows.rows.map((row, i) => {
    const heights = [
      ...strokes.strokes.filter((s) => s.row === i).map((s) => s.cents),
      ...strokes.curves.filter((c) => c.row === i).flatMap((c) => c.points.map((p) => p.cents)),
      ...strokes.dead.filter((d) => d.row === i).map((d) => d.cents),
    ];
    const lowest = heights.length === 0 ? 6000 : Math.min(...heights);
    const highest = heights.length === 0 ? 6000 : Math.max(...heights);
    const missing = Math.max(0, REACH.least - (highest - lowest)) / 2;
    const low = lowest - missing - REACH.beyond;
    const high = highest + missing + REACH.beyond;
    const top = at + ROW.names;
    const bottom = Math.ceil(top + ((high - low) / 100) * SEMITONE);
    const chords = chordWords(row, rows, spans);
    const lines = Math.max(0, ...chords.map((c) => c.line)) + 1;
    const end = bottom + ROW.chords + ROW.numbers * lines + 6;
    at = end + ROW.gap;
    return {
      row,
      low,
      high,
      top,
      bottom,
      end,
      chords,
      lines,
      y: (cents: number) => bottom - ((cents - low) / 100) * SEMITONE,
    };
  });
}

/** The chord symbols of a row, each where its chord begins; the one that goes on from the row before is said again. One that would meet the last goes a line down. */
export function chordWords(row: SoloRow, rows: SoloRows, spans: readonly ChordSpan[]): PlacedRow['chords'] {
  const shown = spans.filter((span) => span.end > row.from && span.start < row.to && span.kind !== 'pickup');
  const ends = [Number.NEGATIVE_INFINITY, Number.NEGATIVE_INFINITY];
  return shown.map((span, i) => {
    const x = xIn(rows, row, Math.max(span.start, row.from));
    const next = shown[i + 1];
    const after = shown[i + 2];
    const symbol = plainText(span.symbol);
    const wide = textWidth(symbol, SIZE.text, 'bold');
    const room = (to: ChordSpan | undefined) => (to ? xIn(rows, row, to.start) : WIDTH + 12) - x - 6;
    const line = (ends[0] as number) + 6 > x ? 1 : 0;
    // Alone on its line, a symbol has room up to the next but one.
    const text = wide <= room(next) ? symbol : shorten(symbol, room(after), SIZE.text, 'bold');
    ends[line] = x + textWidth(text, SIZE.text, 'bold');
    return { text, x, line };
  });
}

export function chordSymbols({ chords, bottom }: PlacedRow): readonly Json[] {
  return chords.map(({ text, x, line }) => ({ text, x: tenth(x), y: bottom + ROW.chords + line * ROW.numbers }));
}

/** The 1, 3 and 5 of the key that a row reaches, with the names the key gives them. */
export function levelsOf({ row, low, high, y }: PlacedRow): readonly Json[] {
  const key = row.bars[row.bars.length - 1]?.key as Key;
  const named = new Map<number, PitchName>();
  for (const [pc, name] of key.names.entries()) {
    const letters = name ? mod(name.charCodeAt(0) - key.tonicName.charCodeAt(0), 7) : 1;
    if (name && (letters === 0 || letters === 2 || letters === 4)) named.set(pc, name);
  }
  const x = row.x;
  const levels: Json[] = [];
  for (let k = Math.ceil(low / 100); k <= high / 100; k++) {
    const name = named.get(mod(k, 12));
    if (name === undefined) continue;
    const tonic = mod(k, 12) === key.tonic;
    levels.push({
      text: noteOfKey(midiKey(k) as MidiKey, name),
      tonic,
      x,
      x2: WIDTH,
      label: x - AXIS_GAP,
      y: tenth(y(k * 100)),
    });
  }
  return levels;
}

export function barLines({ row, top, bottom }: PlacedRow, rows: SoloRows): readonly Json[] {
  const starts = row.bars.flatMap((bar) => (bar.start >= row.from ? [bar.start as number] : []));
  return [...starts, row.to].map((at) => ({ x: tenth(xIn(rows, row, at)), y: top, y2: bottom + 8 }));
}

export function beatTicks({ row, bottom }: PlacedRow, rows: SoloRows): readonly Json[] {
  return row.bars.flatMap((bar) => {
    const beats: Json[] = [];
    for (let at: number = bar.start; at < bar.start + bar.meter.barTicks; at += bar.meter.beatTicks)
      if (at >= row.from && at > bar.start) beats.push({ x: tenth(xIn(rows, row, at)), y: bottom, y2: bottom + 4 });
    return beats;
  });
}

const numbersY = ({ bottom, lines }: PlacedRow): number => bottom + ROW.chords + lines * ROW.numbers;
const barX = (row: SoloRow, bar: Bar, rows: SoloRows): number => xIn(rows, row, Math.max(bar.start, row.from));

export function barNumbers(place: PlacedRow, rows: SoloRows): readonly Json[] {
  return place.row.bars.map((bar) => ({
    text: String(bar.number),
    x: tenth(barX(place.row, bar, rows)),
    y: numbersY(place),
  }));
}

/** The name of a section that begins with a bar, behind the bar's number. */
export function sectionNames(place: PlacedRow, rows: SoloRows, solo: Solo): readonly Json[] {
  return place.row.bars.flatMap((bar) => {
    const section = solo.changes.sections.find((s) => s.from === bar.number);
    if (!section) return [];
    const x = barX(place.row, bar, rows) + textWidth(String(bar.number), SIZE.small) + 7;
    const room = xIn(rows, place.row, bar.start + bar.meter.barTicks) - x - 8;
    const text = shorten(plainText(section.name), room, SIZE.small, 'bold');
    return text === '…' ? [] : [{ text, x: tenth(x), y: numbersY(place) }];
  });
}

/** Over the tones the extent of each phrase as a bracket, and its number and name where they have the most room. */
export function phraseNames(
  solo: Solo,
  placed: readonly Pick<PlacedRow, 'row' | 'top'>[],
  rows: SoloRows,
): { readonly phrases: readonly Json[]; readonly brackets: readonly Json[] } {
  const shown = solo.phrases
    .map((phrase) => extentOf(phrase))
    .map(({ from, to }) =>
      placed.flatMap((place) => {
        const { row, top } = place;
        if (to <= row.from || from >= row.to) return [];
        return [
          {
            x: xIn(rows, row, Math.max(from, row.from)),
            x2: xIn(rows, row, Math.min(to, row.to)) - 3,
            y: top - 10,
            begins: from >= row.from,
            ends: to <= row.to,
            row,
          },
        ];
      }),
    );
  const brackets = shown.flatMap((parts) =>
    parts.map(({ x, x2, y, begins, ends }) => ({ x: tenth(x), x2: tenth(Math.max(x + 2, x2)), y, begins, ends })),
  );
  const phrases = solo.phrases.flatMap((phrase, i) => {
    const name = plainText(`${phrase.id} ${phrase.name}`);
    const parts = (shown[i] ?? []).map((part) => {
      const next = shown
        .slice(i + 1)
        .flat()
        .find((other) => other.row === part.row);
      return { ...part, room: (next ? next.x : WIDTH) - part.x - 8 };
    });
    const wide = textWidth(name, SIZE.small);
    const best = parts.find((part) => part.room >= wide) ?? [...parts].sort((a, b) => b.room - a.room)[0];
    return parts.flatMap((part) => {
      const id = plainText(phrase.id);
      const cut = shorten(name, part.room, SIZE.small);
      // Of a name cut to less than three letters the number alone says more.
      const named = part === best && (cut === name || cut.length > id.length + 4);
      const text = named ? cut : textWidth(id, SIZE.small) <= part.room ? id : '';
      return text === '' ? [] : [{ text, x: tenth(part.x), y: part.y - 5 }];
    });
  });
  return { phrases, brackets };
}

/** From the first note of a phrase to the end of its last; without notes as it is written. */
function extentOf(phrase: Phrase): { readonly from: number; readonly to: number } {
  const [first] = phrase.notes;
  if (!first) return { from: phrase.at, to: phraseEnd(phrase) };
  return {
    from: first.onset,
    to: Math.max(
      ...phrase.notes.map(
        (note) => note.onset + (note.ring ? Math.max(note.length, phraseEnd(phrase) - note.onset) : note.length),
      ),
    ),
  };
}
