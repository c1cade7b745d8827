// The neck as tab shows it, string 1 on top, and on it where the tones lie: a disc for each place, larger where more is played, in colours for kinds.
import { HAND, handPosition, type NeckUse } from '../analysis/neck-use.js';
import { INK, KIND } from '../foundation/palette.js';
import { stringNames } from '../guitar/fretboard.js';
import type { ToneTable } from '../solo/tone-table.js';
import { end, px, rule } from './bar-panels.js';
import { FEW_TONES } from './interval-finding.js';
import { discOf, labelsOf, spotsOf } from './neck-discs.js';
import { type ChartSpec, chart, countText, type Json, percentText, plainText, SIZE, textWidth } from './spec.js';
import { KIND_CHANNEL, kindLegend, kindSwatches, tenth, words } from './tone-kinds.js';

/** How the neck is shown. */
export interface FretboardMapOptions {
  /** What the area of a disc and the number in it stand for: tones (the default), or the time they sound, in quarter notes. */
  readonly of?: 'tones' | 'time';
  /** The title. Default: the four neighbouring frets where most is played, see `handPosition`. */
  readonly title?: string;
  /** Whose tones they are and where, for the subtitle: `Ada Fenwick over IV`. Default: not said. */
  readonly who?: string;
}

const STRINGS = { apart: 38, above: 30, below: 26 } as const;
const FRET = { least: 40, most: 64, all: 900 } as const;
/** Room for open strings, left of the nut. */
const OPEN = 46;
const LEFT = 34;
/** At least so much of a neck is shown. */
const FEWEST_FRETS = 12;
/** Where a neck has its dots, counted from the nut. Common practice, no source. */
const MARKERS = [3, 5, 7, 9, 12, 15, 17, 19, 21, 24];

/**
 * Where tones lie on the neck, for a solo, a phrase, or a player over one function: string 1 on top as in tab, open strings left of the nut, frets
 * counted from the capo. The area of a disc and the number in it (or beside a small one) say how often or how long; its colours say what the tones
 * are in their chords. A bent tone stands at the fret that is held and has a bend's arrow. Places carry `rows`, indices into `use.rows`, so that a
 * page can open what is behind a disc.
 * @param table the tone table that the use was counted from
 * @example
 * const table = toneTable([{ id: 'two-doors-down', solo: parseSoloOrThrow(EXAMPLE_SOLO) }])
 * fretboardMap(table, neckUse(table)).title.subtitle // => ['Where on the neck? n = 12 tones in 1 solo']
 */
export function fretboardMap(table: ToneTable, use: NeckUse, options: FretboardMapOptions = {}): ChartSpec {
  const { of = 'tones' } = options;
  const { guitar } = use;
  const strings = guitar.tuning.length;
  const spots = spotsOf(use, of);
  const onNeck = guitar.frets - guitar.capo;
  const frets = Math.min(onNeck, Math.max(FEWEST_FRETS, ...spots.map((s) => s.fret + 1)));
  const cell = Math.floor(Math.min(FRET.most, Math.max(FRET.least, FRET.all / frets)));
  const width = OPEN + frets * cell;
  const height = STRINGS.above + (strings - 1) * STRINGS.apart + STRINGS.below;
  const yOf = (string: number) => STRINGS.above + (string - 1) * STRINGS.apart;
  const xOf = (fret: number) => (fret === 0 ? OPEN / 2 - 2 : OPEN + (fret - 0.5) * cell);
  const most = Math.max(0, ...spots.map((s) => s.amount));
  const discs = spots.map((s) => discOf(s, xOf(s.fret), yOf(s.string), most, of));
  const neck = { top: yOf(1) - 4, bottom: yOf(strings) + 4 };
  return chart({
    title: options.title || titleOf(table, use, of),
    question: questionOf(use, of, options.who),
    notes: notesOf(use, of),
    width,
    height,
    left: LEFT,
    above: 0,
    below: 56,
    datasets: {
      strings: guitar.tuning.map((_, i) => ({ y: yOf(i + 1), x: OPEN, x2: width, thick: tenth(0.7 + i * 0.22) })),
      frets: Array.from({ length: frets }, (_, i) => ({ x: OPEN + (i + 1) * cell, y: neck.top, y2: neck.bottom })),
      nut: [{ x: OPEN, y: neck.top, y2: neck.bottom, capo: guitar.capo > 0 }],
      markers: markersOf(guitar.capo, frets, strings).map(({ fret, string }) => ({ x: xOf(fret), y: yOf(string) })),
      numbers: Array.from({ length: frets }, (_, i) => ({
        text: String(i + 1),
        x: xOf(i + 1),
        y: height + 4,
        marked: MARKERS.includes(i + 1 + guitar.capo),
      })),
      names: [
        ...stringNames(guitar).map((text, i) => ({ text, x: -LEFT, y: yOf(i + 1) })),
        ...(guitar.capo > 0
          ? [
              {
                text: `capo ${guitar.capo}`,
                x: OPEN - Math.ceil(textWidth(`capo ${guitar.capo}`, SIZE.small) / 2),
                y: 6,
              },
            ]
          : []),
      ],
      discs: discs.map(({ parts: _, label: __, ...disc }) => disc),
      parts: discs.flatMap((disc) => disc.parts),
      labels: labelsOf(discs),
      bends: discs.flatMap(({ bent, x, y, r }) =>
        bent ? [{ x: tenth(x + r * 0.72 + 5), y: tenth(y - Math.max(r * 0.72 + 4, 11)) }] : [],
      ),
      legend: kindLegend(
        spots.flatMap((s) => [...s.kinds.keys()]),
        -LEFT,
        height + 36,
      ),
    },
    layers: layers(),
  });
}

/** The dots of the neck as places between strings: one in the middle, two at the octave. */
function markersOf(capo: number, frets: number, strings: number): readonly { fret: number; string: number }[] {
  return MARKERS.flatMap((marker) => {
    const fret = marker - capo;
    if (fret < 1 || fret > frets) return [];
    const middle = (strings + 1) / 2;
    const between = Number.isInteger(middle) ? middle + 0.5 : middle;
    return marker % 12 === 0
      ? [
          { fret, string: between - 1 },
          { fret, string: between + 1 },
        ]
      : [{ fret, string: between }];
  });
}

function titleOf(table: ToneTable, use: NeckUse, of: 'tones' | 'time'): string {
  if (use.tones < FEW_TONES) return `Too few tones for a finding (n = ${use.tones})`;
  const hand = handPosition(table, use, of === 'tones' ? 'tones' : 'ticks');
  if (!hand) return `All ${countText(use.tones)} tones are on open strings`;
  const { share, low, high } = hand.share;
  const range = low === undefined || high === undefined ? '' : ` (${percentText(low)} to ${percentText(high)} %)`;
  const whole = of === 'tones' ? `${countText(use.tones)} tones` : `the time of ${countText(use.tones)} tones`;
  return `The hand is ${of === 'tones' ? 'most often' : 'longest'} at frets ${hand.from} to ${hand.to}: ${percentText(share)} % of ${whole}${range}`;
}

function questionOf(use: NeckUse, of: 'tones' | 'time', who: string | undefined): string {
  const n = `n = ${countText(use.tones)} ${use.tones === 1 ? 'tone' : 'tones'} in ${use.solos.length} ${use.solos.length === 1 ? 'solo' : 'solos'}`;
  return `Where on the neck${of === 'time' ? ', and how long' : ''}? ${n}${who ? `, ${plainText(who)}` : ''}`;
}

function notesOf(use: NeckUse, of: 'tones' | 'time'): readonly string[] {
  const { tones, solos } = use.otherGuitars;
  return [
    `The area of a disc and its number: ${of === 'tones' ? 'tones played there' : 'how long the tones there sound, in quarter notes'}. Its colours: what they are in the chord of the moment.`,
    ...(use.tones >= FEW_TONES
      ? [`In the title: the ${HAND} neighbouring frets where most is played, a finger for each.`]
      : []),
    ...(use.bent > 0
      ? [
          `Arrow: ${countText(use.bent)} of ${countText(use.tones)} tones are bent; they stand at the fret that is held, in the colour of what sounds.`,
        ]
      : []),
    ...(use.guitar.capo > 0 ? ['Frets count from the capo; the strings are named without it.'] : []),
    ...(tones > 0
      ? [
          `Left out: ${countText(tones)} tones of ${solos === 1 ? '1 solo' : `${solos} solos`} in another tuning or with another capo.`,
        ]
      : []),
  ];
}

/** A bend as print shows it: a curve that rises, with a head. In a box from -1 to 1. */
const BEND = 'M-1,1C0.1,1,0.5,0.4,0.5,-0.7M0.1,-0.2L0.5,-1L0.9,-0.2';

function layers(): readonly Json[] {
  const number = { type: 'text', fontSize: SIZE.small, align: 'center', baseline: 'middle', aria: false };
  const at = { x: px('x'), y: px('y'), text: { field: 'text', type: 'nominal' } };
  return [
    {
      data: { name: 'markers' },
      mark: { type: 'point', aria: false, filled: true, color: INK.hair, size: 190, opacity: 1 },
      encoding: { x: px('x'), y: px('y') },
    },
    rule('frets', { color: INK.line }, { y2: end('y2') }),
    rule(
      'strings',
      { color: INK.line },
      { x2: end('x2'), strokeWidth: { field: 'thick', type: 'quantitative', scale: null, legend: null } },
    ),
    rule(
      'nut',
      { color: INK.text, strokeCap: 'round' },
      { y2: end('y2'), strokeWidth: { condition: { test: 'datum.capo', value: 10 }, value: 5 } },
    ),
    {
      data: { name: 'discs' },
      mark: { type: 'point', filled: true, color: INK.paper, opacity: 1 },
      encoding: {
        x: px('x'),
        y: px('y'),
        size: { field: 'area', type: 'quantitative', scale: null, legend: null },
        description: { field: 'about' },
        tooltip: { field: 'about', type: 'nominal' },
      },
      transform: [{ calculate: 'PI * datum.r * datum.r', as: 'area' }],
    },
    {
      data: { name: 'parts' },
      mark: { type: 'arc', aria: false },
      encoding: {
        x: px('x'),
        y: px('y'),
        theta: { field: 'from', type: 'quantitative', scale: null },
        theta2: { field: 'to' },
        radius: { field: 'r', type: 'quantitative', scale: null },
        color: KIND_CHANNEL,
      },
    },
    // Numbers in discs are white with a dark edge, and so read on every colour; those beside stand on paper, not on a string.
    {
      data: { name: 'labels' },
      transform: [{ filter: '!datum.inside' }],
      mark: { type: 'rect', aria: false, color: INK.paper },
      encoding: { x: px('x1'), x2: end('x2'), y: px('y1'), y2: end('y2') },
    },
    {
      data: { name: 'labels' },
      layer: [
        {
          transform: [{ filter: 'datum.inside' }],
          mark: {
            ...number,
            fontWeight: 'bold',
            color: KIND.black,
            stroke: KIND.black,
            strokeWidth: 2,
            strokeJoin: 'round',
          },
          encoding: at,
        },
        {
          transform: [{ filter: 'datum.inside' }],
          mark: { ...number, fontWeight: 'bold', color: INK.paper },
          encoding: at,
        },
        { transform: [{ filter: '!datum.inside' }], mark: { ...number, color: INK.text }, encoding: at },
      ],
    },
    {
      data: { name: 'bends' },
      mark: {
        type: 'point',
        aria: false,
        shape: BEND,
        filled: false,
        color: INK.text,
        strokeWidth: 1.3,
        size: 110,
        opacity: 1,
      },
      encoding: { x: px('x'), y: px('y') },
    },
    words(
      'numbers',
      { align: 'center', baseline: 'middle' },
      { color: { condition: { test: 'datum.marked', value: INK.text }, value: INK.soft } },
    ),
    words('names', { align: 'left', baseline: 'middle', color: INK.soft }),
    ...kindSwatches(12),
  ];
}
