// A solo as plain-text tab: chords above, strings, the count, and what each tone is over its chord below.
import { type Ticks, ticks } from '../foundation/units.js';
import { stringNames } from '../guitar/fretboard.js';
import { noteText } from '../notation/printer.js';
import type { Bar, BarGrid } from '../solo/changes.js';
import { type ChordSpan, chordSpans, hear, spanAt } from '../solo/harmony.js';
import { gridOf, type Note, type Phrase, type Solo } from '../solo/solo.js';
import { type Tone, tonesOf } from '../solo/timeline.js';
import { degreeOver } from '../theory/chord.js';
import { countText } from '../theory/meter.js';

/** How to lay out plain tab. */
export interface TabOptions {
  /** Only the phrase with this id. Default: all. */
  readonly phrase?: string;
  /** Characters a line may take, 40 or more. A single bar may take more. Default 100. */
  readonly width?: number;
  /** Only these bars, first and last. Default: all of the phrase. */
  readonly bars?: readonly [number, number];
  /** Onsets of tones that get a `^` in a row below. */
  readonly marked?: ReadonlySet<number>;
}

/** One moment of a bar: what stands in each row at it. */
interface Moment {
  readonly at: number;
  chord: string;
  readonly strings: string[];
  count: string;
  degree: string;
}

/**
 * The tab of a solo, or of one phrase, as plain text. Notes stand as they are typed in solo text, without the string (`_` at a barline: a note
 * goes on). Counts fall under the notes they belong to. The lowest row is the degree over the chord of the moment, of a double-stop highest
 * string first, `b9` where the symbol spells it; `_3` means that a tone held into a new chord is its 3.
 * @throws RangeError if there is no phrase of that id
 * @example
 * tabText(parseSoloOrThrow(EXAMPLE_SOLO), { phrase: '2' }).split('\n')[3] // => 'e |-5-----------------------|-----------------|'
 */
export function tabText(solo: Solo, options: TabOptions = {}): string {
  const { width = 100, bars, marked } = options;
  const phrases = options.phrase === undefined ? solo.phrases : solo.phrases.filter((p) => p.id === options.phrase);
  if (options.phrase !== undefined && phrases.length === 0)
    throw new RangeError(`there is no phrase ${options.phrase}; phrases: ${solo.phrases.map((p) => p.id).join(', ')}`);
  const grid = gridOf(solo);
  const spans = chordSpans(solo, grid);
  const tones = tonesOf(solo);
  return phrases
    .map((phrase) =>
      phraseTab(
        solo,
        phrase,
        grid,
        spans,
        tones.filter((t) => solo.phrases[t.phrase] === phrase),
        width,
        bars,
        marked,
      ),
    )
    .join('\n');
}

function phraseTab(
  solo: Solo,
  phrase: Phrase,
  grid: BarGrid,
  spans: readonly ChordSpan[],
  tones: readonly Tone[],
  width: number,
  only?: readonly [number, number],
  marked?: ReadonlySet<number>,
): string {
  const first = Math.max(grid.place(phrase.at).bar.number, only?.[0] ?? 0);
  const lastTick = phrase.at + phrase.length - 1;
  const last = Math.min(
    grid.place(ticks(Math.max(phrase.at, lastTick))).bar.number,
    only?.[1] ?? Number.POSITIVE_INFINITY,
  );
  const title = `phrase ${phrase.id}${phrase.name ? ` "${phrase.name}"` : ''}, bar ${first}${last > first ? ` to ${last}` : ''}`;
  const labels = stringLabels(solo);
  const bars: Laid[] = [];
  for (let number = first; number <= last; number++)
    bars.push(layBar(solo, phrase, grid.bar(number), spans, tones, marked));
  const systems: Laid[][] = [];
  let used = 0;
  for (const bar of bars) {
    const system = systems[systems.length - 1];
    if (system && used + bar.width + 1 <= width) {
      system.push(bar);
      used += bar.width + 1;
    } else {
      systems.push([bar]);
      used = labels.width + bar.width + 2;
    }
  }
  const out = [title];
  for (const r of only ? [] : phrase.remarks) if (r.at === undefined) out.push(`  (${r.text})`);
  for (const system of systems) out.push(...systemLines(system, labels), '');
  const said = (only ? [] : phrase.remarks)
    .filter((r) => r.at !== undefined)
    .map((r) => {
      const { bar, offset } = grid.place(r.at as Ticks);
      return `  bar ${bar.number} ${countText(offset, bar.meter)}: ${r.text}`;
    });
  return [...out.slice(0, -1), ...said, ''].join('\n');
}

interface Labels {
  readonly names: readonly string[];
  readonly width: number;
}

function stringLabels(solo: Solo): Labels {
  const names = stringNames(solo.guitar);
  return { names, width: Math.max(3, ...names.map((n) => n.length)) };
}

interface Laid {
  readonly number: number;
  readonly width: number;
  readonly chord: string;
  readonly strings: readonly string[];
  readonly count: string;
  readonly degree: string;
  readonly mark: string;
}

/** Lays out one bar: every onset and every beat gets a column as wide as what stands in it, and wider where more time passes. */
function layBar(
  solo: Solo,
  phrase: Phrase,
  bar: Bar,
  spans: readonly ChordSpan[],
  tones: readonly Tone[],
  marked: ReadonlySet<number> = new Set(),
): Laid {
  const end = bar.start + bar.meter.barTicks;
  const inBar = (at: number) => at >= bar.start && at < end;
  const strings = solo.guitar.tuning.length;
  const moments = new Map<number, Moment>();
  const moment = (at: number): Moment => {
    let found = moments.get(at);
    if (!found) {
      found = { at, chord: '', strings: new Array<string>(strings).fill(''), count: '', degree: '' };
      moments.set(at, found);
    }
    return found;
  };
  for (let at: number = bar.start; at < end; at += bar.meter.pulseTicks)
    moment(at).count = String((at - bar.start) / bar.meter.pulseTicks + 1);
  const opening = spans[spanAt(spans, bar.start)];
  if (opening) moment(bar.start).chord = opening.symbol;
  for (const span of spans) if (inBar(span.start)) moment(span.start).chord = span.symbol;
  for (const note of phrase.notes) {
    if (inBar(note.onset)) placeNote(moment(note.onset), note);
    // Written on over the barline: the tie is shown where the bar begins.
    else if (note.onset < bar.start && note.onset + note.length > bar.start && note.kind !== 'dead')
      placeTie(moment(bar.start), note);
  }
  for (const tone of tones) if (inBar(tone.onset) && !tone.ornament) placeDegree(moment(tone.onset), tone, spans, bar);
  for (const span of spans) if (inBar(span.start) && span.isChange) placeHeld(moment(span.start), tones, span, bar);
  const order = [...moments.values()].sort((a, b) => a.at - b.at);
  for (const m of order)
    if (m.count === '' && (m.degree !== '' || m.strings.some((s) => s !== '')))
      m.count = shortCount(countText(ticks(m.at - bar.start), bar.meter));
  const rows = { chord: '', strings: new Array<string>(strings).fill('-'), count: ' ', degree: ' ', mark: ' ' };
  rows.chord = ' ';
  order.forEach((m, i) => {
    const next = order[i + 1]?.at ?? end;
    const need = Math.max(m.chord.length, m.count.length, m.degree.length, ...m.strings.map((s) => s.length)) + 1;
    const cell = Math.max(need, Math.round(((next - m.at) / bar.meter.pulseTicks) * 4));
    rows.chord += m.chord.padEnd(cell);
    rows.count += m.count.padEnd(cell);
    rows.degree += m.degree.padEnd(cell);
    rows.mark += (marked.has(m.at) ? '^' : '').padEnd(cell);
    m.strings.forEach((s, k) => {
      rows.strings[k] += s.padEnd(cell, '-');
    });
  });
  return { number: bar.number, width: rows.chord.length, ...rows };
}

/** `2&` stands between the numbers as `&`, as it is spoken; a finer place keeps its number. */
const shortCount = (count: string): string =>
  /^\d+[e&atl]$/.test(count) ? count.replace(/^\d+/, '') : /^\d+[tl]?\+s$/.test(count) ? '+' : '';

/** A note as it is typed, without the string that it stands on and without the blanks of its bend path. */
function placeNote(m: Moment, note: Note): void {
  const k = note.string - 1;
  if (k < 0 || k >= m.strings.length) return;
  const text = noteText(note).replace(`@${note.string}`, '');
  m.strings[k] += text.replace(/\([^)]*\)/, (path) => path.replaceAll(' ', ''));
}

function placeTie(m: Moment, note: Note): void {
  const k = note.string - 1;
  if (k >= 0 && k < m.strings.length) m.strings[k] += '_';
}

function placeDegree(m: Moment, tone: Tone, spans: readonly ChordSpan[], bar: Bar): void {
  const chord = spans[spanAt(spans, tone.onset)]?.chord;
  if (!chord) return;
  const degree = hear(tone.pitch, chord, bar.key, false).overChord;
  if (degree) m.degree += (m.degree === '' ? '' : '/') + degreeOver(chord, degree);
}

/** What a tone that sounds on into a new chord is there: `_3`. */
function placeHeld(m: Moment, tones: readonly Tone[], span: ChordSpan, bar: Bar): void {
  const { chord } = span;
  if (m.degree !== '' || !chord) return;
  for (const tone of tones) {
    if (tone.ornament || tone.onset >= span.start || tone.onset + tone.length <= span.start) continue;
    const degree = hear(tone.pitch, chord, bar.key, false).overChord;
    if (degree) m.degree += `${m.degree === '' ? '_' : '/'}${degreeOver(chord, degree)}`;
  }
}

function systemLines(system: readonly Laid[], labels: Labels): string[] {
  const margin = ' '.repeat(labels.width + 1);
  const join = (row: (bar: Laid) => string, between: string) => system.map(row).join(between);
  const bars = system.map((b) => String(b.number).padEnd(b.width)).join(' ');
  return [
    `${'bar'.padEnd(labels.width)} ${bars}`.trimEnd(),
    `${margin}${join((b) => b.chord, ' ')}`.trimEnd(),
    ...labels.names.map((name, k) => `${name.padEnd(labels.width)}|${join((b) => b.strings[k] as string, '|')}|`),
    `${margin}${join((b) => b.count, ' ')}`.trimEnd(),
    `${margin}${join((b) => b.degree, ' ')}`.trimEnd(),
    ...(system.some((b) => b.mark.includes('^')) ? [`${margin}${join((b) => b.mark, ' ')}`.trimEnd()] : []),
  ];
}
