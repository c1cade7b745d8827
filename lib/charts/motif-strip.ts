// Where motifs come back in a solo: bars in rows under their chords, a track for each motif, a band over the tones of each place.
import type { Motif } from '../analysis/motif-kinds.js';
import { motifDegrees } from '../analysis/motif-words.js';
import { INK, KIND } from '../foundation/palette.js';
import { chordSpans } from '../solo/harmony.js';
import { gridOf } from '../solo/solo.js';
import { type ToneTable, toneName } from '../solo/tone-table.js';
import { end, px, rule } from './bar-panels.js';
import { chordWords, phraseNames, WIDTH } from './placed-rows.js';
import { type SoloRow, soloRows, xIn } from './solo-rows.js';
import { type ChartSpec, chart, type Json, SIZE, shorten, textWidth } from './spec.js';
import { tenth, words } from './tone-kinds.js';

/** How a strip is shown. */
export interface MotifStripOptions {
  /** The title. Default: the finding. */
  readonly title?: string;
}

/** Motifs that fit one picture; those of fewer places here are left out beyond them, and a note says so. */
const MOST = 8;
const BARS = 8;
/** From the top of a row of bars: names of phrases, chords (one line or two), a track for each motif, bar numbers, and the way to the next row. */
const ROW = { names: 24, chord: 18, track: 22, numbers: 17, gap: 24 } as const;
const BAND = { half: 8, tone: 2.5 } as const;
const LABEL = { most: 200, gap: 12 } as const;
const BAND_COLOUR = '#cfe6f6';

interface Block {
  readonly row: SoloRow;
  readonly top: number;
  readonly chords: readonly { readonly text: string; readonly x: number; readonly line: number }[];
  readonly chordsAt: number;
  readonly tracks: number;
  readonly bottom: number;
  readonly end: number;
}

/**
 * Where motifs come back in one solo: rows of eight bars, along their top the phrases and the chords, under them a track for each motif that has a place
 * here. A place is a pale band from its first tone to the end of its last, its tones dark in it. Motifs are numbered by their places in the list given, from 1.
 * Band data carries `row`, the place's number in `motifs.flatMap((motif) => motif.places)`, and `motif`.
 * @throws RangeError if there is no such solo in the table
 * @example
 * const line = 'e 5@3 5@2 8@2 7@2 q 5@2 - |'
 * const text = '---\ntitle: Three Doors\nplayer: Ada Fenwick\nkey: C major\ntempo: 96\n---\nchanges\n  1 C\n' + `phrase 1\nat 1 1\n  ${line}\n`
 * const table = toneTable(['a', 'b', 'c'].map((id) => ({ id, solo: parseSoloOrThrow(text) })))
 * motifStrip(table, 'a', findMotifs(table, { nullRuns: 0 }).motifs).title.text // => ['Motif 1 comes once, in 1 of 1 phrase']
 */
export function motifStrip(
  table: ToneTable,
  solo: string,
  motifs: readonly Motif[],
  options: MotifStripOptions = {},
): ChartSpec {
  const number = table.solos.findIndex(({ id }) => id === solo);
  const named = table.solos[number];
  if (!named)
    throw new RangeError(`no solo "${solo}" in the table: give one of ${table.solos.map(({ id }) => id).join(', ')}`);
  let rowsBefore = 0;
  const all = motifs.flatMap((motif, i) => {
    const before = rowsBefore;
    rowsBefore += motif.places.length;
    const places = motif.places
      .map((place, k) => ({ ...place, row: before + k }))
      .filter((place) => place.soloNumber === number);
    return places.length === 0 ? [] : [{ number: i + 1, name: motifDegrees(table, motif), places }];
  });
  const shown = [...all]
    .sort((a, b) => b.places.length - a.places.length || a.number - b.number)
    .slice(0, MOST)
    .sort((a, b) => a.number - b.number);
  const grid = gridOf(named.solo);
  const rows = soloRows(named.solo, grid, BARS, WIDTH);
  const spans = chordSpans(named.solo, grid);
  let at = 0;
  const blocks = rows.rows.map((row): Block => {
    const top = at + ROW.names;
    const chords = chordWords(row, rows, spans);
    const lines = Math.max(0, ...chords.map((c) => c.line)) + 1;
    const tracks = top + ROW.chord * lines + 8;
    const bottom = tracks + ROW.track * Math.max(1, shown.length);
    at = bottom + ROW.numbers + ROW.gap;
    return { row, top, chords, chordsAt: top + 12, tracks, bottom, end: bottom + ROW.numbers };
  });
  const left = LABEL.gap + Math.min(LABEL.most, Math.ceil(Math.max(60, ...shown.map((m) => labelWidth(m.name)))));
  const { onset, ticks } = table.columns;
  const ends = (tone: number) => (onset[tone] as number) + (ticks[tone] as number);
  /** A stretch of time in one row of bars or more, as boxes round the middle of a track. */
  const boxes = (from: number, to: number, track: number, half: number) =>
    blocks.flatMap(({ row, tracks }) => {
      if (to <= row.from || from >= row.to) return [];
      const y = tracks + (track + 0.5) * ROW.track;
      const [x, x2] = [xIn(rows, row, Math.max(from, row.from)), xIn(rows, row, Math.min(to, row.to))];
      return [{ x: tenth(x), x2: tenth(x2), y: y - half, y2: y + half }];
    });
  const bands: Json[] = [];
  const tones: Json[] = [];
  shown.forEach((motif, track) => {
    for (const place of motif.places) {
      const [first, last] = [place.rows[0] as number, place.rows[place.rows.length - 1] as number];
      const about = `motif ${motif.number} in phrase ${place.phrase}, bar ${place.bar}:${place.count}: ${place.rows.map((tone) => toneName(table, tone)).join(' ')}`;
      for (const box of boxes(onset[first] as number, ends(last), track, BAND.half))
        bands.push({ row: place.row, motif: motif.number, ...box, about });
      place.rows.forEach((tone, k) => {
        const next = place.rows[k + 1];
        const until = next === undefined ? ends(tone) : Math.min(ends(tone), onset[next] as number);
        for (const box of boxes(onset[tone] as number, until, track, BAND.tone))
          tones.push({ ...box, x2: Math.max(box.x + 1.5, tenth(box.x2 - 1.5)) });
      });
    }
  });
  const n = shown.reduce((sum, motif) => sum + motif.places.length, 0);
  const last = blocks[blocks.length - 1];
  const phrases = phraseNames(named.solo, blocks, rows);
  return chart({
    title: options.title || titleOf(all, named.solo.phrases.length),
    question: `Where do motifs come back? n = ${count(n, 'place')} of ${count(shown.length, 'motif')} in ${named.solo.title}${named.solo.player ? `, ${named.solo.player}` : ''}`,
    notes: notesOf(all.length - shown.length, n > 0),
    width: WIDTH,
    height: Math.ceil(last?.end ?? 0),
    left,
    above: 4,
    below: 8,
    datasets: {
      tracks: blocks.flatMap(({ tracks, row: own }) =>
        shown.map((motif, track) => ({
          text: String(motif.number),
          name: shorten(motif.name, left - LABEL.gap - NUMBER, SIZE.small),
          from: own.x,
          to: tenth(xIn(rows, own, own.to)),
          y: tracks + (track + 0.5) * ROW.track,
        })),
      ),
      bars: blocks.flatMap(({ row: own, chordsAt, bottom }) =>
        [...own.bars.flatMap((bar) => (bar.start >= own.from ? [bar.start as number] : [])), own.to as number].map(
          (time) => ({
            x: tenth(xIn(rows, own, time)),
            y: chordsAt + 6,
            y2: bottom,
          }),
        ),
      ),
      numbers: blocks.flatMap(({ row: own, bottom }) =>
        own.bars.map((bar) => ({
          text: String(bar.number),
          x: tenth(xIn(rows, own, Math.max(bar.start, own.from)) + 3),
          y: bottom + 13,
        })),
      ),
      chords: blocks.flatMap(({ chords, chordsAt }) =>
        chords.map(({ text, x, line }) => ({ text, x: tenth(x), y: chordsAt + line * ROW.chord })),
      ),
      ...phrases,
      bands,
      tones,
    },
    layers: layers(left),
  });
}

/** Room for the number of a motif before its degrees. */
const NUMBER = 24;
const labelWidth = (name: string): number => NUMBER + textWidth(name, SIZE.small);
const count = (n: number, one: string): string => `${n} ${one}${n === 1 ? '' : 's'}`;
const times = (n: number): string => (n === 1 ? 'once' : n === 2 ? 'twice' : `${n} times`);

type Shown = readonly { readonly number: number; readonly places: readonly { readonly phrase: string }[] }[];

function titleOf(shown: Shown, phrases: number): string {
  if (shown.length === 0) return 'None of the motifs has a place here';
  const within = new Set(shown.flatMap(({ places }) => places.map(({ phrase }) => phrase))).size;
  const most = shown.reduce((a, b) => (b.places.length > a.places.length ? b : a));
  if (most.places.length === 1 && shown.length > 1)
    return `${shown.length} motifs come once each, in ${within} of ${count(phrases, 'phrase')}`;
  const found = `Motif ${most.number} comes ${shown.length > 1 ? 'most, ' : ''}${times(most.places.length)}`;
  return `${found}${shown.length > 1 ? '; motifs lie' : ','} in ${within} of ${count(phrases, 'phrase')}`;
}

const notesOf = (left: number, some: boolean): readonly string[] => [
  ...(some
    ? [
        'A band is a place of a motif, from its first tone to the end of its last; the dark marks in it are its tones. On the left the number of the motif and its degrees.',
      ]
    : []),
  ...(left > 0 ? [`Not shown: ${count(left, 'motif')} with fewer places here.`] : []),
];

function layers(left: number): readonly Json[] {
  const box = { x: px('x'), x2: end('x2'), y: px('y'), y2: end('y2') };
  const about = { description: { field: 'about' }, tooltip: { field: 'about', type: 'nominal' } };
  const plain = { align: 'left', baseline: 'alphabetic' };
  return [
    rule('tracks', { color: INK.hair }, { x: px('from'), x2: end('to') }),
    rule('bars', { color: INK.line }, { y2: end('y2') }),
    {
      data: { name: 'bands' },
      mark: { type: 'rect', color: BAND_COLOUR, cornerRadius: 3 },
      encoding: { ...box, ...about },
    },
    { data: { name: 'tones' }, mark: { type: 'rect', color: KIND.blue, aria: false }, encoding: box },
    rule('brackets', { color: INK.soft, strokeWidth: 0.8 }, { x2: end('x2') }),
    words('phrases', { ...plain, color: INK.soft }),
    words('chords', { ...plain, fontSize: SIZE.text, fontWeight: 'bold' }),
    words('numbers', { ...plain, color: INK.soft }),
    words('tracks', { align: 'left', baseline: 'middle', fontWeight: 'bold' }, { x: { value: -left } }),
    words(
      'tracks',
      { align: 'left', baseline: 'middle', color: INK.soft },
      { x: { value: -left + NUMBER }, text: { field: 'name', type: 'nominal' } },
    ),
  ];
}
