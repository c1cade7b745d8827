// Solo -> MusicXML 4.0: one part of two linked staves, notation (sounding an octave below a treble clef) and tab, with chords, gestures and phrases.
import { QUARTER } from '../foundation/time.js';
import { pitchClass, ticks } from '../foundation/units.js';
import { tuningText } from '../guitar/fretboard.js';
import { type Bar, type BarGrid, feelText } from '../solo/changes.js';
import { gridOf, phraseEnd, type Solo } from '../solo/solo.js';
import { isNoChord } from '../theory/chord.js';
import { alteration, type PitchName } from '../theory/pitch.js';
import { chromaticName, type Key, keyText } from '../theory/scale.js';
import { fifthsOfMode } from './musicxml-attributes.js';
import { type Cell, cellsOf, eventsOf } from './musicxml-cells.js';
import { writeHarmony } from './musicxml-harmony.js';
import { lostInMusicXml, type ScoreLoss } from './musicxml-losses.js';
import { LABEL_ID } from './musicxml-note.js';
import { FIELDS } from './musicxml-own.js';
import { decimal, empty, leaf, pitchTags, wrap } from './musicxml-tags.js';
import { cellText, graceText, type NoteStyle, restText } from './musicxml-write-note.js';
import {
  direction,
  marksIn,
  phraseSlur,
  type Range,
  type Score,
  type ScoreWriteOptions,
} from './musicxml-write-phrases.js';

export type { ScoreWriteOptions } from './musicxml-write-phrases.js';

/** A score as text, and what of the solo it does not hold. */
export interface ScoreWritten {
  readonly text: string;
  readonly lost: readonly ScoreLoss[];
}

/**
 * A solo as MusicXML 4.0. Reading it back gives the same solo but for what `lost` says. What the standard has no element for (where a phrase begins, damps,
 * the key of a blues) stands in its elements for analysis and in miscellaneous fields, which other programs pass over.
 * @example
 * const { text, lost } = printMusicXml(parseSoloOrThrow(EXAMPLE_SOLO))
 * text.includes('<bend-alter>2</bend-alter>') // => true
 * parseMusicXml(text).solo?.phrases[1].notes[3].path // => [{ level: 200 }, { level: 0 }]
 * lost.length // => 0
 */
export function printMusicXml(solo: Solo, options: ScoreWriteOptions = {}): ScoreWritten {
  const grid = gridOf(solo);
  const range = rangeOf(solo, grid);
  const cells = cellsOf(eventsOf(solo), grid, range.from, range.to);
  const divisions = divisionsFor(solo, cells, grid);
  const score: Score = { solo, grid, range, divisions, show: options.phrases ?? 'names' };
  const measures: string[] = [];
  let c = 0;
  for (let number = range.first; number <= range.last; number++) {
    const bar = grid.bar(number);
    const end = bar.start + bar.meter.barTicks;
    const own: Cell[] = [];
    while (c < cells.length && (cells[c] as Cell).from < end) own.push(cells[c++] as Cell);
    measures.push(measureText(score, bar, own));
  }
  const part = wrap('part', ['\n', ...measures], { id: 'P1' });
  const head =
    '<?xml version="1.0" encoding="UTF-8" standalone="no"?>\n<!DOCTYPE score-partwise PUBLIC "-//Recordare//DTD MusicXML 4.0 Partwise//EN" "http://www.musicxml.org/dtds/partwise.dtd">\n';
  return {
    text: `${head}<score-partwise version="4.0">\n${headText(score)}${part}\n</score-partwise>\n`,
    lost: lostInMusicXml(solo, range.last),
  };
}

/** The bars to write: from the pickup bar if anything is in it or differs in it, to the end of changes and phrases. */
function rangeOf(solo: Solo, grid: BarGrid): Range {
  const { firstBar, bars } = solo.changes;
  const first = solo.phrases[0];
  const lastPhrase = solo.phrases[solo.phrases.length - 1];
  const bar0 = grid.bar(0);
  const entry = Math.min(
    first?.at ?? Number.POSITIVE_INFINITY,
    firstBar === 0 ? (bars[0]?.[0]?.at ?? Number.POSITIVE_INFINITY) : Number.POSITIVE_INFINITY,
  );
  const inPickup = entry < bar0.meter.barTicks;
  const differs = solo.changes.settings.some((s) => s.bar === 1);
  const last = Math.max(
    1,
    firstBar + bars.length - 1,
    lastPhrase ? grid.place(ticks(phraseEnd(lastPhrase) - 1)).bar.number : 1,
  );
  const end = grid.bar(last);
  return {
    first: inPickup || differs ? 0 : 1,
    last,
    from: inPickup ? entry : differs ? 0 : grid.bar(1).start,
    to: end.start + end.meter.barTicks,
  };
}

const gcd = (a: number, b: number): number => (b === 0 ? a : gcd(b, a % b));

/** The fewest divisions of a quarter in which every time is a whole number. */
function divisionsFor(solo: Solo, cells: readonly Cell[], grid: BarGrid): number {
  let shared: number = QUARTER;
  const into = (n: number): void => {
    shared = gcd(n, shared);
  };
  for (const cell of cells) into(cell.to - cell.from);
  const inBar = (at: number): number => grid.place(ticks(at)).offset;
  solo.changes.bars.forEach((bar) => {
    for (const { at } of bar) into(at);
  });
  for (const phrase of solo.phrases) for (const at of [phrase.at, phraseEnd(phrase), ...phrase.damps]) into(inBar(at));
  return QUARTER / shared;
}

function headText({ solo, grid, range }: Score): string {
  const field = (name: string, text: string): string => leaf('miscellaneous-field', text, { name });
  const { changes, guitar } = solo;
  const bars = Array.from({ length: range.last + 1 }, (_, b) => grid.bar(b));
  const start = bars[0] as Bar;
  const changed = (differs: (bar: Bar, before: Bar) => boolean): readonly Bar[] =>
    bars.filter((bar, b) => b > 0 && differs(bar, bars[b - 1] as Bar));
  const keys = [
    { bar: -1, key: start.key },
    ...changed((a, b) => keyText(a.key) !== keyText(b.key)).map(({ number, key }) => ({ bar: number, key })),
  ];
  const feels = [
    { bar: -1, feel: start.feel },
    ...changed((a, b) => feelText(a.feel) !== feelText(b.feel)).map(({ number, feel }) => ({ bar: number, feel })),
  ];
  const ownKeys = keys.some(({ key }) => fifthsOfMode(key.mode).name !== key.mode);
  const ownFeels = feels.some(
    ({ feel }) => feel.kind === 'swing' && !(Number.isInteger(feel.long) && Number.isInteger(feel.short)),
  );
  const fields = [
    solo.tone === '' ? '' : field(FIELDS.tone, solo.tone),
    ...solo.remarks.map((r) => field(FIELDS.remark, r)),
    field(FIELDS.frets, String(guitar.frets)),
    changes.bars.length === 0
      ? ''
      : field(FIELDS.changes, `${changes.firstBar}-${changes.firstBar + changes.bars.length - 1}`),
    ...changes.sections.map((s) => field(FIELDS.section, `${s.from}-${s.to} ${s.name}`)),
    ...changes.strums.map((s) => field(FIELDS.strum, `${s.bar} ${s.pattern}`)),
    ...keys.flatMap(({ bar, key }) => (ownKeys ? [field(FIELDS.key, `${bar} ${keyText(key)}`)] : [])),
    ...feels.flatMap(({ bar, feel }) => (ownFeels ? [field(FIELDS.feel, `${bar} ${feelText(feel)}`)] : [])),
  ];
  return [
    wrap('work', [leaf('work-title', solo.title)]),
    wrap('identification', [
      solo.player === '' ? '' : leaf('creator', solo.player, { type: 'performer' }),
      wrap('encoding', [leaf('software', 'phrasewright')]),
      wrap('miscellaneous', fields),
    ]),
    wrap('part-list', [wrap('score-part', [leaf('part-name', 'Guitar')], { id: 'P1' })]),
    '',
  ].join('\n');
}

function measureText(score: Score, bar: Bar, cells: readonly Cell[]): string {
  const { solo, range, grid } = score;
  const start = Math.max(bar.start, range.from);
  const end = bar.start + bar.meter.barTicks;
  const isFirst = bar.number === range.first;
  const out: string[] = ['\n'];
  out.push(attributesText(score, bar, isFirst), ...tempoText(solo, bar, isFirst));
  for (const section of solo.changes.sections)
    if (section.from === bar.number && section.name.trim() !== '') out.push(direction(leaf('rehearsal', section.name)));
  const length = decimal(((end - start) * score.divisions) / QUARTER);
  const marks = marksIn(score, bar.number === range.first ? -1 : start, end, bar.number === range.last);
  const chords = (solo.changes.bars[bar.number - solo.changes.firstBar] ?? []).map((c) => ({
    ...c,
    at: bar.start + c.at,
  }));
  const spell = speller(grid.bar(bar.number).key);
  for (const staff of [1, 2] as const) {
    const style: NoteStyle = { divisions: score.divisions, staff, spell };
    for (const cell of cells) {
      if (staff === 1) {
        for (const mark of marks) if (mark.at === cell.from) out.push(mark.text);
        for (const chord of chords)
          if (chord.at >= cell.from && chord.at < cell.to)
            out.push(harmonyText(chord.symbol, chord.at - cell.from, score));
      }
      if (cell.notes.length === 0) out.push(restText(cell, style));
      cell.event?.graces.forEach((group) => {
        group.forEach((w, i) => {
          out.push(graceText(w, i > 0, style));
        });
      });
      cell.notes.forEach((w, i) => {
        out.push(cellText(w, cell, i > 0, style, staff === 1 && i === 0 ? phraseSlur(score, cell) : ''));
      });
    }
    if (staff === 1) {
      for (const mark of marks) if (mark.at === end) out.push(mark.text);
      out.push(wrap('backup', [leaf('duration', length)]));
    }
  }
  // What stands inside a written value is reached by going back to it.
  let at = end;
  for (const mark of marks) {
    if (mark.at === end || cells.some((cell) => cell.from === mark.at)) continue;
    const by = leaf('duration', decimal((Math.abs(mark.at - at) * score.divisions) / QUARTER));
    if (mark.at !== at) out.push(wrap(mark.at < at ? 'backup' : 'forward', [by]));
    at = mark.at;
    out.push(mark.text);
  }
  if (bar.number === range.last) out.push(wrap('barline', [leaf('bar-style', 'light-heavy')], { location: 'right' }));
  const attributes = { number: bar.number, implicit: bar.number === 0 ? 'yes' : undefined };
  return `${wrap('measure', [out.filter((o) => o !== '').join('\n'), '\n'], attributes)}\n`;
}

function attributesText({ solo, grid, divisions }: Score, bar: Bar, isFirst: boolean): string {
  const before = isFirst ? undefined : grid.bar(bar.number - 1);
  const { meter } = bar;
  const { offset, name } = fifthsOfMode(bar.key.mode);
  const key = !before || keyText(before.key) !== keyText(bar.key);
  const time = !before || before.meter !== meter;
  return wrap('attributes', [
    isFirst ? leaf('divisions', divisions) : '',
    key ? wrap('key', [leaf('fifths', fifthsOf(bar.key.tonicName) + offset), leaf('mode', name)]) : '',
    time ? wrap('time', [leaf('beats', meter.over), leaf('beat-type', meter.under)]) : '',
    isFirst ? leaf('staves', 2) + clefs(solo) : '',
  ]);
}

function clefs({ guitar }: Solo): string {
  const lines = tuningText(guitar.tuning).split(' ');
  const tuning = guitar.tuning.map((key, i) =>
    wrap('staff-tuning', pitchTags(key, (lines[i] as string).replace(/-?\d+$/, '') as PitchName, 'tuning-'), {
      line: i + 1,
    }),
  );
  const treble = [leaf('sign', 'G'), leaf('line', 2), leaf('clef-octave-change', -1)];
  return [
    wrap('clef', treble, { number: 1 }),
    wrap('clef', [leaf('sign', 'TAB'), leaf('line', 5)], { number: 2 }),
    wrap(
      'staff-details',
      [leaf('staff-lines', guitar.tuning.length), ...tuning, guitar.capo > 0 ? leaf('capo', guitar.capo) : ''],
      { number: 2 },
    ),
  ].join('');
}

const fifthsOf = (name: PitchName): number => 'FCGDAEB'.indexOf(name[0] as string) - 1 + 7 * alteration(name);

function tempoText(solo: Solo, bar: Bar, isFirst: boolean): readonly string[] {
  const setting = solo.changes.settings.find((s) => s.bar === bar.number);
  const out: string[] = [];
  if (isFirst || setting?.tempo !== undefined)
    out.push(
      direction(
        wrap('metronome', [leaf('beat-unit', 'quarter'), leaf('per-minute', decimal(bar.tempo))]),
        {},
        empty('sound', { tempo: decimal(bar.tempo) }),
      ),
    );
  if (setting?.feel || (isFirst && bar.feel.kind === 'swing')) {
    const { feel } = bar;
    const swing =
      feel.kind === 'straight'
        ? [empty('straight')]
        : [
            ...ratio(feel.long, feel.short).map((n, i) => leaf(i === 0 ? 'first' : 'second', n)),
            leaf('swing-type', feel.value === 's' ? '16th' : 'eighth'),
          ];
    out.push(
      direction(
        leaf('words', feel.kind === 'straight' ? 'Straight' : 'Swing', { id: `${LABEL_ID}feel-${bar.number}` }),
        {},
        wrap('sound', [wrap('swing', swing)]),
      ),
    );
  }
  return out;
}

/** A ratio in the smallest whole numbers, to a hundredth. */
function ratio(long: number, short: number): readonly number[] {
  const [a, b] = [Math.max(1, Math.round(long * 100)), Math.max(1, Math.round(short * 100))];
  if (Number.isInteger(long) && Number.isInteger(short)) return [long, short];
  const shared = gcd(a, b);
  return [a / shared, b / shared];
}

/** How pitches are spelled in a key: as its scale has them, else by the degree that they are. */
const speller =
  (key: Key) =>
  (midi: number): PitchName =>
    key.names[midi % 12] ?? chromaticName(key.tonicName, pitchClass(midi), false);

function harmonyText(symbol: string, offset: number, { divisions }: Score): string {
  const behind = [offset === 0 ? '' : leaf('offset', decimal((offset * divisions) / QUARTER)), leaf('staff', 1)];
  const named = (kind: 'root' | 'bass', name: PitchName): string =>
    wrap(kind, [
      leaf(`${kind}-step`, name[0] as string),
      alteration(name) === 0 ? '' : leaf(`${kind}-alter`, alteration(name)),
    ]);
  const written = isNoChord(symbol) ? undefined : writeHarmony(symbol);
  if (!written)
    return wrap('harmony', [
      wrap('root', [leaf('root-step', 'C', { text: '' })]),
      leaf('kind', 'none', { text: 'N.C.' }),
      ...behind,
    ]);
  const { root, kind, text, degrees, bass } = written;
  return wrap('harmony', [
    named('root', root),
    leaf('kind', kind, { text }),
    bass ? named('bass', bass) : '',
    ...degrees.map((d) =>
      wrap('degree', [leaf('degree-value', d.value), leaf('degree-alter', d.alter), leaf('degree-type', d.type)], {
        'print-object': 'no',
      }),
    ),
    ...behind,
  ]);
}
