// A solo as pitch over time, in rows of bars above its chords: a thin line for each tone in the colour of what it is in its chord, bends as curves.
import { INK } from '../foundation/palette.js';
import { mod } from '../foundation/units.js';
import { chordSpans, ROLES, type Role } from '../solo/harmony.js';
import { gridOf, type Solo } from '../solo/solo.js';
import { tonesOf } from '../solo/timeline.js';
import { hasFlag, MISSING, placeOfTone, type ToneTable, toneName, toneTable } from '../solo/tone-table.js';
import { degreeName } from '../theory/interval.js';
import { end, px, rule } from './bar-panels.js';
import { FEW_TONES } from './interval-finding.js';
import {
  barLines,
  barNumbers,
  beatTicks,
  chordSymbols,
  levelsOf,
  type PlacedRow,
  phraseNames,
  placeRows,
  sectionNames,
  WIDTH,
} from './placed-rows.js';
import { BARS_IN_ROW, soloRows } from './solo-rows.js';
import { type ChartSpec, chart, countText, type Json, percentText, plainText, SIZE } from './spec.js';
import {
  KIND_CHANNEL,
  kindLegend,
  kindOfRole,
  kindSwatches,
  TONE_KINDS,
  type ToneKind,
  tenth,
  words,
} from './tone-kinds.js';
import { type Mark, type Strokes, strokesOf } from './tone-strokes.js';

/** How a solo is drawn. */
export interface SoloLineOptions {
  /** Bars in a row, 1 to 8. Default 4. */
  readonly bars?: number;
  /** The title. Default: the shares of chord tones, tensions, other tones of the key and chromatic tones. */
  readonly title?: string;
}

const LEFT = 52;

/**
 * A solo as pitch over time: rows of bars, in each a thin line for every tone, in ink where it is a tone of the chord and in a colour where it is
 * a tension, another tone of the key, or chromatic; a tone that sounds on into another chord takes its colour from each in turn. Bends are curves
 * from level to level, slides slants, hammers and pulls are joined, double-stops have a stem, a struck tone a tick, a dead note an x. Under each
 * row the chords, the bar numbers and the names of sections; over it the names of phrases; beside it the 1, 3 and 5 of the key, as they sound and
 * as the key spells them. Stroke data carries `tone`, its row in the tone table of this solo.
 * @throws RangeError if the bars in a row are not a whole number of 1 to 8
 * @example
 * soloLine(parseSoloOrThrow(EXAMPLE_SOLO)).title.subtitle // => ['What is each tone in its chord? n = 11 tones over chords in 2 phrases, 1 before the first chord; Two Doors Down, Ada Fenwick']
 */
export function soloLine(solo: Solo, options: SoloLineOptions = {}): ChartSpec {
  const { bars = BARS_IN_ROW.usual } = options;
  if (!Number.isInteger(bars) || bars < BARS_IN_ROW.least || bars > BARS_IN_ROW.most)
    throw new RangeError(`${bars} bars in a row: give a whole number of ${BARS_IN_ROW.least} to ${BARS_IN_ROW.most}`);
  const grid = gridOf(solo);
  const spans = chordSpans(solo, grid);
  const tones = tonesOf(solo);
  const table = toneTable([{ id: solo.title, solo }]);
  const rows = soloRows(solo, grid, bars, WIDTH);
  const strokes = strokesOf(solo, tones, rows, spans, grid);
  const counts = countsOf(table);
  const placed = placeRows(rows, strokes, spans);
  const yOf = (row: number, cents: number) => tenth((placed[row] as PlacedRow).y(cents));
  const last = placed[placed.length - 1];
  const kinds = new Set<ToneKind>(strokes.strokes.map((s) => s.kind));
  const mark = ({ row, x, cents, kind }: Mark) => ({ x: tenth(x), y: yOf(row, cents), ...(kind && { kind }) });
  return chart({
    title: options.title || titleOf(counts),
    question: questionOf(solo, counts),
    notes: notesOf(solo, strokes),
    width: WIDTH,
    height: Math.ceil(last?.end ?? 0),
    left: LEFT,
    above: 26,
    below: 8,
    datasets: {
      legend: kindLegend(kinds, -LEFT, -22),
      levels: placed.flatMap((row) => levelsOf(row)),
      bars: placed.flatMap((row) => barLines(row, rows)),
      beats: placed.flatMap((row) => beatTicks(row, rows)),
      chords: placed.flatMap((row) => chordSymbols(row)),
      numbers: placed.flatMap((row) => barNumbers(row, rows)),
      sections: placed.flatMap((row) => sectionNames(row, rows, solo)),
      ...phraseNames(solo, placed, rows),
      stems: strokes.stems.map((s) => ({ x: tenth(s.x), y: yOf(s.row, s.cents), y2: yOf(s.row, s.to as number) })),
      strokes: strokes.strokes.map((s) => ({
        tone: s.tone,
        kind: s.kind,
        x: tenth(s.x),
        x2: tenth(s.x2),
        y: yOf(s.row, s.cents),
        about: aboutTone(table, s.tone),
      })),
      curves: strokes.curves.flatMap(({ look, row, kind, points }, path) =>
        points.map(({ x, cents, y = 0 }) => ({
          path,
          look,
          kind,
          x: tenth(x),
          y: tenth((placed[row] as PlacedRow).y(cents) + y),
        })),
      ),
      struck: strokes.struck.map(mark),
      dead: strokes.dead.map(mark),
    },
    layers: layers(),
  });
}

interface Counts {
  readonly kinds: ReadonlyMap<ToneKind, number>;
  readonly n: number;
  readonly withoutChord: number;
  readonly pickups: number;
}

function countsOf(table: ToneTable): Counts {
  const kinds = new Map<ToneKind, number>();
  let pickups = 0;
  for (let i = 0; i < table.rows; i++) {
    if (hasFlag(table, i, 'ornament')) continue;
    const kind = kindOfRole(ROLES[table.columns.role[i] as number] as Role | undefined);
    kinds.set(kind, (kinds.get(kind) ?? 0) + 1);
    if (table.functions[table.columns.function[i] as number] === 'pickup') pickups++;
  }
  const withoutChord = kinds.get('no chord') ?? 0;
  const n = [...kinds.values()].reduce((a, b) => a + b, 0) - withoutChord;
  return { kinds, n, withoutChord: withoutChord - pickups, pickups };
}

const PLURAL: Readonly<Record<ToneKind, string>> = {
  'chord tone': 'chord tones',
  tension: 'tensions',
  'key tone': 'other tones of the key',
  chromatic: 'chromatic',
  'no chord': '',
};

/** Fewer tones of a kind are not worth a title. */
const FEWEST_OF_A_KIND = 5;

function titleOf({ kinds, n }: Counts): string {
  if (n < FEW_TONES) return `Too few tones for a finding (n = ${n})`;
  const shares = TONE_KINDS.flatMap((kind) => {
    const tones = kinds.get(kind) ?? 0;
    return tones < FEWEST_OF_A_KIND || kind === 'no chord' ? [] : [{ kind, tones }];
  });
  return shares
    .map(
      ({ kind, tones }, i) =>
        `${percentText(tones / n)} %${i === 0 ? ` of ${countText(n)} tones are` : ''} ${PLURAL[kind]}`,
    )
    .join(', ');
}

function questionOf(solo: Solo, { n, withoutChord, pickups }: Counts): string {
  const phrases = `${solo.phrases.length} ${solo.phrases.length === 1 ? 'phrase' : 'phrases'}`;
  const beside = [
    ...(pickups > 0 ? [`${pickups} before the first chord`] : []),
    ...(withoutChord > 0 ? [`${withoutChord} where no chord is played`] : []),
  ];
  const who = [solo.title, solo.player]
    .map(plainText)
    .filter((text) => text !== '')
    .join(', ');
  return `What is each tone in its chord? n = ${countText(n)} ${n === 1 ? 'tone' : 'tones'} over chords in ${[phrases, ...beside].join(', ')}; ${who}`;
}

function notesOf(solo: Solo, { strokes, curves, dead, stems }: Strokes): readonly string[] {
  const has = (look: string) => curves.some((c) => c.look === look);
  const signs = [
    ...(strokes.length > 0 ? ['tick: picked or tapped'] : []),
    ...(has('join') ? ['thin upright: hammered or pulled'] : []),
    ...(has('slide') ? ['slant: slide'] : []),
    ...(has('bend') ? ['curve: bend'] : []),
    ...(has('prebend') ? ['dots: bent before it is picked'] : []),
    ...(has('vibrato') ? ['wave: vibrato'] : []),
    ...(has('grace') ? ['short line: grace note'] : []),
    ...(stems.length > 0 ? ['stem: played together'] : []),
    ...(dead.length > 0 ? ['x: dead note, without a pitch'] : []),
  ].join('; ');
  return [
    ...(signs ? [`${signs.charAt(0).toUpperCase()}${signs.slice(1)}.`] : []),
    'A tone is counted under the chord that it starts over; one that sounds on into the next chord is coloured by each in turn.',
    `Beside the rows: 1, 3 and 5 of the key as they sound, C4 being middle C${solo.changes.settings.some((s) => s.key) ? '; the key is that of the last bar of the row' : ''}. Written guitar music stands an octave higher.`,
  ];
}

/** What a tone says when it is pointed at, or read aloud. */
function aboutTone(table: ToneTable, row: number): string {
  const { columns } = table;
  const { phrase, bar, count } = placeOfTone(table, row);
  const semitones = columns.degree[row] as number;
  const plus = mod(columns.pitch[row] as number, 100) >= 50;
  const role = ROLES[columns.role[row] as number];
  const over =
    semitones === MISSING
      ? 'no chord'
      : `${degreeName({ semitones, plus })} over ${table.chords[columns.chord[row] as number]} (${role})`;
  const bent = columns.level[row] === 0 ? '' : ', bent';
  return `phrase ${phrase}, bar ${bar} ${count}: ${toneName(table, row)}, ${plainText(over)}, string ${columns.string[row]} fret ${columns.fret[row]}${bent}`;
}

function layers(): readonly Json[] {
  const curve = (looks: readonly string[], mark: { readonly [name: string]: Json }): Json => ({
    data: { name: 'curves' },
    transform: [{ filter: { field: 'look', oneOf: [...looks] } }],
    mark: { type: 'line', aria: false, strokeCap: 'round', strokeJoin: 'round', ...mark },
    encoding: {
      x: px('x'),
      y: px('y'),
      detail: { field: 'path', type: 'nominal' },
      order: { field: 'x', type: 'quantitative' },
      color: KIND_CHANNEL,
    },
  });
  const thin = { strokeWidth: 1.2 };
  const bracketEnd = (test: string, x: string): Json => ({
    data: { name: 'brackets' },
    transform: [{ filter: `datum.${test}` }, { calculate: 'datum.y + 4', as: 'y2' }],
    mark: { type: 'rule', aria: false, color: INK.soft, strokeWidth: 0.8 },
    encoding: { x: px(x), y: px('y'), y2: end('y2') },
  });
  return [
    rule(
      'levels',
      { strokeWidth: 1 },
      { x2: end('x2'), color: { condition: { test: 'datum.tonic', value: INK.line }, value: INK.hair } },
    ),
    words(
      'levels',
      { align: 'right', baseline: 'middle' },
      { x: px('label'), color: { condition: { test: 'datum.tonic', value: INK.text }, value: INK.soft } },
    ),
    rule('bars', { color: INK.line }, { y2: end('y2') }),
    rule('beats', { color: INK.line }, { y2: end('y2') }),
    rule('stems', { color: INK.soft, strokeWidth: 0.8 }, { y2: end('y2') }),
    curve(['join'], { strokeWidth: 0.7, opacity: 0.7 }),
    curve(['bend', 'slide'], thin),
    curve(['vibrato'], { strokeWidth: 1.9 }),
    curve(['grace'], { strokeWidth: 1.6 }),
    curve(['prebend'], { strokeWidth: 1, strokeDash: [1.5, 2], strokeCap: 'butt' }),
    {
      data: { name: 'strokes' },
      mark: { type: 'rule', strokeWidth: 2.6 },
      encoding: {
        x: px('x'),
        x2: end('x2'),
        y: px('y'),
        color: KIND_CHANNEL,
        description: { field: 'about' },
        tooltip: { field: 'about', type: 'nominal' },
      },
    },
    {
      data: { name: 'struck' },
      mark: { type: 'tick', aria: false, orient: 'vertical', size: 8, thickness: 1.3 },
      encoding: { x: px('x'), y: px('y'), color: KIND_CHANNEL },
    },
    {
      data: { name: 'dead' },
      mark: {
        type: 'point',
        aria: false,
        shape: 'M-1,-1L1,1M-1,1L1,-1',
        filled: false,
        color: INK.text,
        strokeWidth: 1.3,
        size: 36,
        opacity: 1,
      },
      encoding: { x: px('x'), y: px('y') },
    },
    rule('brackets', { color: INK.soft, strokeWidth: 0.8 }, { x2: end('x2') }),
    bracketEnd('begins', 'x'),
    bracketEnd('ends', 'x2'),
    words('phrases', { align: 'left', baseline: 'alphabetic', color: INK.soft }),
    words('chords', { align: 'left', baseline: 'alphabetic', fontSize: SIZE.text, fontWeight: 'bold' }),
    words('numbers', { align: 'left', baseline: 'alphabetic', color: INK.soft }),
    words('sections', { align: 'left', baseline: 'alphabetic', color: INK.soft, fontWeight: 'bold' }),
    ...kindSwatches(3),
  ];
}
