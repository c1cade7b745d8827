// The tones of a corpus as typed columns: what every count is made from.
import { mod, pitchClass, ticks } from '../foundation/units.js';
import { REACHED, TONE_STARTS } from '../guitar/technique.js';
import { QUALITIES } from '../theory/chord.js';
import { countText, onBeat } from '../theory/meter.js';
import { pitchName } from '../theory/pitch.js';
import { type Key, keyText } from '../theory/scale.js';
import type { Bar } from './changes.js';
import { FIGURES, figuresOf } from './figure.js';
import { type ChordSpan, chordSpans, functionIn, hear, isMember, ROLES, spanAt, spanOfTone } from './harmony.js';
import { gridOf, type Solo } from './solo.js';
import { lineOf, type Tone, tonesOf } from './timeline.js';
import {
  COLUMNS,
  type ColumnDoc,
  type ColumnName,
  emptyColumns,
  FLAG,
  type FlagName,
  firstRows,
  MISSING,
  PHRASE_POSITIONS,
  type ToneColumns,
} from './tone-columns.js';

export { COLUMNS, type ColumnDoc, type ColumnName, FLAG, type FlagName, MISSING, PHRASE_POSITIONS, type ToneColumns };

/** A solo under the name it is spoken of by in tables: the name of its file without the ending, usually. */
export interface NamedSolo {
  readonly id: string;
  readonly solo: Solo;
  /** What of it is no one's but proposed here (places, phrases, key), in words. */
  readonly proposed?: readonly string[];
}

/** The tones of a corpus as columns, with the lists that their codes point into. */
export interface ToneTable {
  /** Number of tones. */
  readonly rows: number;
  readonly columns: ToneColumns;
  readonly solos: readonly NamedSolo[];
  /** Player of each solo, and each player once. */
  readonly players: readonly string[];
  readonly playerOfSolo: readonly number[];
  readonly chords: readonly string[];
  readonly functions: readonly string[];
  readonly names: readonly string[];
  readonly keys: readonly string[];
}

/**
 * Bytes that the columns of a table take for one tone.
 * @example
 * bytesPerTone(toneTable([])) // => 46
 */
export const bytesPerTone = (table: ToneTable): number =>
  Object.values(table.columns).reduce(
    (sum: number, column: { BYTES_PER_ELEMENT: number }) => sum + column.BYTES_PER_ELEMENT,
    0,
  );

/** A list without repeats that hands out codes. */
class Codes {
  readonly list: string[] = [];
  readonly #codes = new Map<string, number>();
  constructor(
    private readonly what: string,
    private readonly limit: number,
  ) {}
  of(text: string): number {
    const known = this.#codes.get(text);
    if (known !== undefined) return known;
    if (this.list.length >= this.limit)
      throw new RangeError(`more than ${this.limit} different ${this.what} in one table: study the corpus in parts`);
    this.#codes.set(text, this.list.length);
    this.list.push(text);
    return this.list.length - 1;
  }
}

/** What was found for one tone in its bar and chord, remembered, since neighbours share it. */
interface Scene {
  readonly bar: Bar;
  readonly keyCode: number;
}

/**
 * The tones of a corpus as a table, one row a tone, in the order of the solos given and of time within them; at most 48 bytes a tone.
 * Graces and other ornaments are rows too, flagged, so that they can be listed; counts leave them out.
 * Throws a RangeError for more than 65,535 solos.
 * @example
 * const table = toneTable([{ id: 'two-doors-down', solo: parseSoloOrThrow(EXAMPLE_SOLO) }]);
 * [table.rows, bytesPerTone(table)] // => [12, 46]
 */
export function toneTable(solos: readonly NamedSolo[]): ToneTable {
  if (solos.length > 65535) throw new RangeError(`${solos.length} solos are more than one table holds (65535)`);
  const columns = emptyColumns(solos.reduce((sum, { solo }) => sum + mostTones(solo), 0));
  const chords = new Codes('chord symbols', 65535);
  const functions = new Codes('chord functions', 255);
  const names = new Codes('note names', 255);
  const keys = new Codes('keys', 255);
  const players = new Codes('players', 65535);
  const playerOfSolo = solos.map(({ solo }) => players.of(solo.player));
  let rows = 0;
  solos.forEach(({ solo }, s) => {
    rows = fillSolo(columns, rows, s, solo, { chords, functions, names, keys });
  });
  return {
    rows,
    columns: firstRows(columns, rows),
    solos,
    players: players.list,
    playerOfSolo,
    chords: chords.list,
    functions: functions.list,
    names: names.list,
    keys: keys.list,
  };
}

/** At least as many tones as a solo has: every level of a bend may be one. */
const mostTones = (solo: Solo): number =>
  solo.phrases.reduce((sum, { notes }) => notes.reduce((most, { path }) => most + Math.max(1, path.length), sum), 0);

/** Adds the rows of one solo, so that never more than one solo's tones are held as objects; gives the number of rows so far. */
function fillSolo(
  c: ToneColumns,
  from: number,
  s: number,
  solo: Solo,
  codes: { chords: Codes; functions: Codes; names: Codes; keys: Codes },
): number {
  const tones = tonesOf(solo);
  const grid = gridOf(solo);
  const spans = chordSpans(solo, grid);
  const line = lineOf(tones);
  const figures = figuresOf(tones, line, spans, grid);
  const inLine = new Uint8Array(tones.length);
  const rising = new Uint8Array(tones.length);
  line.forEach((index, k) => {
    inLine[index] = 1;
    const next = tones[line[k + 1] ?? -1];
    const tone = tones[index] as Tone;
    if (next && next.phrase === tone.phrase && next.pitch > tone.pitch) rising[index] = 1;
  });
  const spanCodes = spans.map((span) => spanCode(span, codes));
  const keyCodes = new Map<Key, Scene['keyCode']>();
  tones.forEach((tone, i) => {
    const row = from + i;
    const { bar, offset } = grid.place(tone.onset);
    let keyCode = keyCodes.get(bar.key);
    if (keyCode === undefined) {
      keyCode = codes.keys.of(keyText(bar.key));
      keyCodes.set(bar.key, keyCode);
    }
    const here = spanAt(spans, tone.onset);
    const span = spans[here] as ChordSpan;
    const heard = hear(tone.pitch, span.chord, bar.key, rising[i] === 1);
    c.solo[row] = s;
    c.phrase[row] = tone.phrase;
    c.note[row] = tone.note;
    c.onset[row] = tone.onset;
    c.ticks[row] = tone.length;
    c.bar[row] = bar.number;
    c.offset[row] = offset;
    c.string[row] = tone.string;
    c.fret[row] = tone.fret;
    c.pitch[row] = tone.pitch;
    c.level[row] = tone.level;
    c.start[row] = START_CODE[tone.start];
    c.reached[row] = REACHED_CODE[tone.reached];
    c.flags[row] =
      (tone.struck ? FLAG.struck : 0) |
      (tone.ornament ? FLAG.ornament : 0) |
      (onBeat(offset, bar.meter) ? FLAG.onBeat : 0) |
      (inLine[i] ? FLAG.line : 0) |
      (heard.blueOverChord ? FLAG.blueOverChord : 0) |
      (heard.blueOverKey ? FLAG.blueOverKey : 0) |
      (tone.split ? FLAG.split : 0) |
      (heard.overKey.plus ? FLAG.plus : 0);
    const figure = figures.atOnset[i];
    c.figure[row] = figure === undefined ? MISSING : FIGURES.indexOf(figure);
    c.key[row] = keyCode;
    c.degreeOverKey[row] = heard.overKey.semitones;
    const code = spanCodes[here] as SpanCode;
    c.chord[row] = code.chord;
    c.function[row] = code.functionIn(bar.key);
    c.quality[row] = code.quality;
    c.degree[row] = heard.overChord?.semitones ?? MISSING;
    c.role[row] = heard.role === undefined ? MISSING : ROLE_CODE[heard.role];
    const there = spanOfTone(spans, tone.onset, tone.length, true);
    const pushed =
      there === here ? heard : hear(tone.pitch, (spans[there] as ChordSpan).chord, bar.key, rising[i] === 1);
    // Outside key and old chord, a pushed tone is spelled by the chord it pushes into: C# into A7, not Db.
    const borrowed = pushed.role !== undefined && isMember(pushed.role) && !(heard.role && isMember(heard.role));
    const inKey = bar.key.names[pitchClass(Math.floor(tone.pitch / 100))] !== undefined;
    c.name[row] = codes.names.of(borrowed && !inKey ? pushed.name : heard.name);
    const pushedCode = spanCodes[there] as SpanCode;
    c.pushedChord[row] = pushedCode.chord;
    c.pushedFunction[row] = pushedCode.functionIn(bar.key);
    c.pushedQuality[row] = pushedCode.quality;
    c.pushedDegree[row] = pushed.overChord?.semitones ?? MISSING;
    c.pushedRole[row] = pushed.role === undefined ? MISSING : ROLE_CODE[pushed.role];
  });
  fillPositions(c, from, tones);
  return from + tones.length;
}

/** First and last event of each phrase; every tone of a double-stop shares its event's place. */
function fillPositions(c: ToneColumns, from: number, tones: readonly Tone[]): void {
  let i = 0;
  while (i < tones.length) {
    let end = i;
    let first = -1;
    let last = -1;
    const phrase = (tones[i] as Tone).phrase;
    while (end < tones.length && (tones[end] as Tone).phrase === phrase) {
      const tone = tones[end] as Tone;
      if (!tone.ornament) {
        if (first < 0) first = tone.onset;
        last = tone.onset;
      }
      end++;
    }
    for (let k = i; k < end; k++) {
      const { onset, ornament } = tones[k] as Tone;
      const code = first === last ? 3 : onset === first ? 0 : onset === last ? 2 : 1;
      c.position[from + k] = ornament ? MISSING : code;
    }
    i = end;
  }
}

interface SpanCode {
  readonly chord: number;
  readonly quality: number;
  functionIn(key: Key): number;
}

function spanCode(span: ChordSpan, codes: { chords: Codes; functions: Codes }): SpanCode {
  const byKey = new Map<Key, number>();
  return {
    chord: codes.chords.of(span.kind === 'pickup' ? 'pickup' : span.symbol),
    quality: span.chord ? QUALITIES.indexOf(span.chord.quality) : MISSING,
    functionIn(key) {
      let code = byKey.get(key);
      if (code === undefined) {
        code = codes.functions.of(functionIn(key, span));
        byKey.set(key, code);
      }
      return code;
    },
  };
}

const codesOf = <T extends string>(list: readonly T[]): Readonly<Record<T, number>> =>
  Object.fromEntries(list.map((text, i) => [text, i])) as Record<T, number>;
const START_CODE = codesOf(TONE_STARTS);
const REACHED_CODE = codesOf(REACHED);
const ROLE_CODE = codesOf(ROLES);

/** True if a tone has a flag. */
export const hasFlag = (table: ToneTable, row: number, flag: FlagName): boolean =>
  ((table.columns.flags[row] as number) & FLAG[flag]) !== 0;

/** A place that a teacher can turn to: solo, phrase, bar and count. */
export interface Place {
  readonly solo: string;
  readonly phrase: string;
  readonly bar: number;
  readonly count: string;
}

const grids = new WeakMap<Solo, ReturnType<typeof gridOf>>();

/**
 * The place of a tone, as a player says it.
 * @example
 * const table = toneTable([{ id: 'two-doors-down', solo: parseSoloOrThrow(EXAMPLE_SOLO) }])
 * placeOfTone(table, 0) // => { solo: 'two-doors-down', phrase: '1', bar: 0, count: '4&' }
 */
export function placeOfTone(table: ToneTable, row: number): Place {
  const { columns } = table;
  const { id, solo } = table.solos[columns.solo[row] as number] as NamedSolo;
  let grid = grids.get(solo);
  if (!grid) {
    grid = gridOf(solo);
    grids.set(solo, grid);
  }
  const bar = columns.bar[row] as number;
  const phrase = solo.phrases[columns.phrase[row] as number]?.id ?? '';
  return { solo: id, phrase, bar, count: countText(ticks(columns.offset[row] as number), grid.bar(bar).meter) };
}

/**
 * A tone's name with its octave, and `+` for a quarter-tone above it: `Eb4+`.
 * @example
 * toneName(toneTable([{ id: 'two-doors-down', solo: parseSoloOrThrow(EXAMPLE_SOLO) }]), 1) // => 'E4'
 */
export function toneName(table: ToneTable, row: number): string {
  const name = table.names[table.columns.name[row] as number] as string;
  const key = Math.floor((table.columns.pitch[row] as number) / 100);
  const spelled = pitchName(name);
  const alteration = spelled ? (spelled[1] === 'b' ? 1 - spelled.length : spelled.length - 1) : 0;
  const plus = mod(table.columns.pitch[row] as number, 100) >= 50 ? '+' : '';
  return `${name}${Math.floor((key - alteration) / 12) - 1}${plus}`;
}
