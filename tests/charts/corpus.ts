// A small corpus that can be counted by hand, and tables of interval use made up to order.
import type { IntervalUse, IntervalUseRow } from '../../lib/analysis/interval-use.js';
import { parseSoloOrThrow } from '../../lib/notation/parser.js';
import type { NamedSolo } from '../../lib/solo/tone-table.js';
import { DEGREE_NAMES } from '../../lib/theory/interval.js';

/** Where a note of the fifth position is found; the strings are in standard tuning. */
const AT: Readonly<Record<string, string>> = {
  C: '5@3',
  D: '7@3',
  E: '5@2',
  F: '6@2',
  G: '8@2',
  A: '5@1',
  Bb: '6@1',
  B: '7@1',
};

/** A solo in C major of one phrase: each bar a chord and eight eighths. */
export function soloOf(id: string, bars: readonly (readonly [chord: string, notes: string])[]): NamedSolo {
  const changes = bars.map(([chord]) => chord).join(' | ');
  const lines = bars.map(
    ([, notes]) =>
      `  e ${notes
        .split(' ')
        .map((n) => AT[n])
        .join(' ')} |`,
  );
  const head = `---\ntitle: ${id}\nplayer: Ada Fenwick\nkey: C major\ntempo: 96\n---\n`;
  const text = `${head}changes\n  1 ${changes}\nphrase 1\nat 1 1\n${lines.join('\n')}\n`;
  return { id, solo: parseSoloOrThrow(text, `${id}.solo`) };
}

/**
 * Six solos, a bar each of I, IV, V and vi. By hand, over I: 1 2 3 5 6 as below; over IV the 6 (D) three times of eight in each solo, and never over
 * I or V; the seventh solo adds one bar of ii, so that a row has few tones.
 */
export const SOLOS: readonly NamedSolo[] = [
  ...['one', 'two', 'three', 'four', 'five', 'six'].map((id, i) =>
    soloOf(id, [
      ['C', `C E G E C ${i % 2 ? 'D' : 'E'} G C`],
      ['F', `D F A D C A ${i % 3 ? 'F' : 'C'} D`],
      ['G7', `G B D G B ${i % 2 ? 'F' : 'D'} G B`],
      ['Am', `A C E A C E ${i % 3 ? 'A' : 'E'} G`],
    ]),
  ),
  soloOf('seven', [['Dm7', 'D F A C D F A C']]),
];

/** Degrees of one group: tones of each, and of some the interval of the share. */
export type MadeGroup = Readonly<Record<string, number | readonly [tones: number, low: number, high: number]>>;

/** A table of interval use with the tones given; what charts do not read is 0. */
export function tableOf(
  by: IntervalUse['by'],
  made: readonly (readonly [group: readonly string[], degrees: MadeGroup])[],
  more: Partial<IntervalUse> = {},
): IntervalUse {
  const tonesOf = (value: MadeGroup[string]): number => (typeof value === 'number' ? value : value[0]);
  const groups = made.map(([group, degrees]) => {
    const tones = Object.values(degrees).reduce((sum: number, value) => sum + tonesOf(value), 0);
    return { group, tones, ticks: 0, exposureBars: tones / 8, solos: 6 };
  });
  const rows = made.flatMap(([group, degrees], g) =>
    Object.entries(degrees).map(([degree, value]): IntervalUseRow => {
      const ends = typeof value === 'number' ? {} : { low: value[1], high: value[2] };
      const tones = tonesOf(value);
      return {
        group,
        semitones: (DEGREE_NAMES as readonly string[]).indexOf(degree),
        degree,
        tones,
        plus: 0,
        ticks: 0,
        share: { share: tones / (groups[g]?.tones ?? 1), ...ends },
        timeShare: { share: 0 },
        onBeat: 0,
        onBeatOf: 0,
        solos: 1,
      };
    }),
  );
  return {
    by,
    over: 'chord',
    anticipation: false,
    rows,
    groups,
    tones: groups.reduce((sum, g) => sum + g.tones, 0),
    ticks: 0,
    pickups: 0,
    withoutChord: 0,
    places: () => [{ solo: 'made', phrase: '1', bar: 1, count: '1' }],
    toneRows: () => new Int32Array(),
    ...more,
  };
}
