// What a table of interval use says, in one sentence: which degree stands out over which chord, and against what.
import type { IntervalUse, IntervalUseGroup, IntervalUseRow } from '../analysis/interval-use.js';
import { wilson } from '../math/counting.js';
import { isChord, parseChord, type Quality } from '../theory/chord.js';
import { parseDegree } from '../theory/interval.js';
import { percentText, plainText } from './spec.js';

/** Fewer tones than this are few: a share of them moves by 5 % or more with one tone, so nothing is said of it. */
export const FEW_TONES = 20;

/** From so many tones on a degree may stand out, and may be compared with. */
export const ENOUGH_TONES = 30;

/** The one sentence on a table. */
export interface IntervalFinding {
  /** A degree stands out against other chords; or is only the most used one; or there are too few tones to say anything. */
  readonly kind: 'stands out' | 'comes most' | 'too few';
  /** The rows of the table that it speaks of, as indices; more than one where degrees come most alike. */
  readonly rows: readonly number[];
  readonly text: string;
}

/**
 * The finding of a table of interval use.
 *
 * 1. A degree stands out where its share over some chords is above its share over the other chords of their kind, and stays above when both are
 *    uncertain: the low end of the 95 % interval of the difference is above 0. The degree with the highest low end is named. Asked of every
 *    degree but the root, in groups of 30 tones or more, against 30 or more. Of one kind are chords with the same third, of which all have the
 *    degree as their own tone or none has: else every minor chord would be found to have its b3. Over functions and families no seventh is asked
 *    after, since their names do not say whether the chord has one; over chords, degrees of the key are not asked after at all.
 * 2. Where none stands out, or no interval is known (fewer than five solos): the most used degree of the largest group, be it the root.
 * 3. Where even the largest group has fewer than 20 tones: that these are too few.
 *
 * Method: R. G. Newcombe, Statistics in Medicine 17 (1998) 873-890, method 10, from the interval of the share (which allows for tones of one solo
 * going together) and Wilson's of the other. The intervals are not widened for the finding having been picked out of many.
 * @example
 * const text = '---\ntitle: Two Bars\nplayer: Ada Fenwick\nkey: A minor\ntempo: 96\n---\nchanges\n  1 Am7\nphrase 1\nat 1 1\n  q 5@1 8@2 h 5@1 |\n'
 * intervalFinding(intervalUse(toneTable([{ id: 'two-bars', solo: parseSoloOrThrow(text) }]))).text // => 'Too few tones for a finding (n = 3)'
 */
export function intervalFinding(use: IntervalUse): IntervalFinding {
  const largest = use.groups.reduce<IntervalUseGroup | undefined>(
    (best, g) => (best && best.tones >= g.tones ? best : g),
    undefined,
  );
  if (!largest || largest.tones < FEW_TONES) {
    const one = `n = ${largest?.tones ?? 0}`;
    const n = use.groups.length > 1 && largest ? `at most ${one}, ${whereText(use, largest.group)}` : one;
    return { kind: 'too few', rows: [], text: `Too few tones for a finding (${n})` };
  }
  return standingOut(use) ?? mostUsed(use, largest);
}

/**
 * The low end of the interval of a difference between two shares, first minus second, from the intervals of each: Newcombe 1998, method 10.
 * @example
 * // 56 of 70 against 48 of 80, the worked example of the paper
 * lowEndOfDifference({ estimate: 0.8, low: 0.6918 }, { estimate: 0.6, high: 0.7006 }) // => about 0.052
 */
export const lowEndOfDifference = (
  first: { readonly estimate: number; readonly low: number },
  second: { readonly estimate: number; readonly high: number },
): number => first.estimate - second.estimate - Math.hypot(first.estimate - first.low, second.high - second.estimate);

interface Kind {
  readonly group: IntervalUseGroup;
  /** The semitones above the root that its chords are made of. */
  readonly own: ReadonlySet<number>;
  readonly third: 'major' | 'minor' | undefined;
}

function standingOut(use: IntervalUse): IntervalFinding | undefined {
  const ofChords = use.by.some((g) => g === 'function' || g === 'chord' || g === 'quality');
  if (use.over === 'key' && ofChords) return undefined;
  const vague = ofChords && !use.by.includes('chord');
  const kinds = new Map(use.groups.map((group) => [keyOf(group.group), kindOf(use, group)]));
  const classOf = (kind: Kind, semitones: number) => `${semitones} ${kind.third} ${kind.own.has(semitones)}`;
  const hits = new Map<string, number>();
  const all = new Map<string, number>();
  const add = (sums: Map<string, number>, key: string, tones: number) => sums.set(key, (sums.get(key) ?? 0) + tones);
  for (const kind of kinds.values()) for (let s = 0; s < 12; s++) add(all, classOf(kind, s), kind.group.tones);
  for (const row of use.rows) add(hits, classOf(kinds.get(keyOf(row.group)) as Kind, row.semitones), row.tones);
  let best: { row: number; above: number; elsewhere: number } | undefined;
  use.rows.forEach((row, i) => {
    const kind = kinds.get(keyOf(row.group)) as Kind;
    const { share, low } = row.share;
    if (row.semitones === 0 || (vague && row.semitones >= 10) || kind.group.tones < ENOUGH_TONES || low === undefined)
      return;
    const key = classOf(kind, row.semitones);
    const others = (all.get(key) as number) - kind.group.tones;
    const elsewhere = others < ENOUGH_TONES ? undefined : wilson((hits.get(key) as number) - row.tones, others);
    if (!elsewhere) return;
    const above = lowEndOfDifference({ estimate: share, low }, elsewhere);
    if (above > (best?.above ?? 0)) best = { row: i, above, elsewhere: elsewhere.estimate };
  });
  if (!best) return undefined;
  const row = use.rows[best.row] as IntervalUseRow;
  const kind = kinds.get(keyOf(row.group)) as Kind;
  const others = [...kinds.values()].filter(
    (k) => k !== kind && classOf(k, row.semitones) === classOf(kind, row.semitones),
  );
  const found = `The ${degreeText(use, row)} stands out ${whereText(use, row.group)}: ${shareText(row, kind.group.tones)}`;
  const against = `${percentText(best.elsewhere)} % ${othersText(
    use,
    others.map((k) => k.group),
    kind.third,
  )}`;
  return { kind: 'stands out', rows: [best.row], text: `${found}, against ${against}` };
}

function mostUsed(use: IntervalUse, group: IntervalUseGroup): IntervalFinding {
  const own = use.rows.map((row, i) => ({ row, i })).filter(({ row }) => keyOf(row.group) === keyOf(group.group));
  const most = own.reduce((best, { row }) => Math.max(best, row.tones), 0);
  const top = own.filter(({ row }) => row.tones === most);
  const first = top[0] as (typeof top)[number];
  const where = whereText(use, group.group);
  const names = listText(top.map(({ row }) => `the ${degreeText(use, row)}`));
  const share =
    top.length > 1
      ? `${percentText(first.row.share.share)} % each of ${group.tones} tones`
      : shareText(first.row, group.tones);
  return {
    kind: 'comes most',
    rows: top.map(({ i }) => i),
    text: `${where.charAt(0).toUpperCase()}${where.slice(1)} ${names} ${top.length > 1 ? 'come' : 'comes'} most: ${share}`,
  };
}

/** `24 % of 131 tones (19 to 30 %)`; no brackets where the interval is not known. */
function shareText(row: IntervalUseRow, n: number): string {
  const { share, low, high } = row.share;
  const range = low === undefined || high === undefined ? '' : ` (${percentText(low)} to ${percentText(high)} %)`;
  return `${percentText(share)} % of ${n} tones${range}`;
}

const degreeText = (use: IntervalUse, row: IntervalUseRow): string =>
  use.over === 'key' ? `${row.degree} of the key` : row.degree;

/** Says a group as part of a sentence: `over IV`, `over dominant chords in G major`. */
export function whereText(use: IntervalUse, group: readonly string[]): string {
  return use.by
    .map((grouping, i) => {
      const value = plainText(group[i] as string);
      switch (grouping) {
        case 'function':
        case 'chord':
          return value === 'pickup' ? 'before the first chord' : `over ${value}`;
        case 'quality':
          return value === 'none' ? 'without a chord' : `over ${value} chords`;
        case 'player':
          return `in the playing of ${value}`;
        case 'solo':
        case 'key':
          return `in ${value}`;
        default:
          return `where the ${grouping} is ${value}`;
      }
    })
    .join(' ');
}

/** Names up to three chords, else says which are meant. */
function othersText(use: IntervalUse, groups: readonly IntervalUseGroup[], third: Kind['third']): string {
  const grouping = use.by.length === 1 ? use.by[0] : undefined;
  if (grouping !== 'function' && grouping !== 'chord' && grouping !== 'quality')
    return third ? 'in the other rows of such chords' : 'in the other rows';
  if (groups.length > 3) return `over other chords ${third ? `with a ${third} third` : 'without a third'}`;
  const names = listText([...groups].sort(inMusicalOrder(use)).map((g) => plainText(g.group[0] as string)));
  return `over ${names}${grouping === 'quality' ? ' chords' : ''}`;
}

const listText = (words: readonly string[]): string =>
  words.length < 2 ? words.join('') : `${words.slice(0, -1).join(', ')} and ${words[words.length - 1]}`;

/** A chord of each family, to ask which tones are its own. */
const FAMILY: Readonly<Record<Quality, string>> = {
  major: 'C',
  dominant: 'C7',
  minor: 'Cm',
  'half-diminished': 'Cm7b5',
  diminished: 'Cdim',
  augmented: 'Caug',
  suspended: 'Csus4',
  'suspended dominant': 'C7sus4',
  power: 'C5',
};

/** What a group's chords are made of: exact for a symbol; of a function or a family what all such chords have; nothing where rows are no chords. */
function kindOf(use: IntervalUse, group: IntervalUseGroup): Kind {
  const value = (grouping: (typeof use.by)[number]) => group.group[use.by.indexOf(grouping)] ?? '';
  const numeral = NUMERAL.exec(value('function'));
  const triad = numeral?.[2] === numeral?.[2]?.toLowerCase() ? 'Cm' : 'C';
  const byNumeral = numeral ? ({ ø: 'Cm7b5', '°': 'Cdim', '+': 'Caug' }[numeral[3] ?? ''] ?? triad) : undefined;
  const chord = parseChord(value('chord') || byNumeral || (FAMILY[value('quality') as Quality] ?? ''));
  const own = new Set(isChord(chord) ? chord.members.map((m) => m.semitones) : []);
  return { group, own, third: own.has(4) ? 'major' : own.has(3) ? 'minor' : undefined };
}

const NUMERAL = /^([b#]?)([IV]+|[iv]+)(ø|°|\+)?$/;
const ROMAN = ['I', 'II', 'III', 'IV', 'V', 'VI', 'VII'];

/** Where a function stands in the row I ii IV V ...: by the semitones of its root, capital before small; what is no function last. */
function rankOf(numeral: string): number {
  const parts = NUMERAL.exec(numeral);
  const degree = parts ? parseDegree(`${parts[1]}${ROMAN.indexOf((parts[2] as string).toUpperCase()) + 1}`) : undefined;
  if (!parts || !degree) return 100;
  const small = parts[2] === (parts[2] as string).toLowerCase();
  return degree.semitones * 8 + (small ? 4 : 0) + ['', 'ø', '°', '+'].indexOf(parts[3] ?? '');
}

/** Orders groups for showing: functions from I to VII, all other groupings by their tones, the most first. */
export function inMusicalOrder(use: IntervalUse): (a: IntervalUseGroup, b: IntervalUseGroup) => number {
  const tones = use.by.map((_, i) => {
    const sums = new Map<string, number>();
    for (const g of use.groups) sums.set(g.group[i] as string, (sums.get(g.group[i] as string) ?? 0) + g.tones);
    return sums;
  });
  return (a, b) => {
    for (let i = 0; i < use.by.length; i++) {
      const [x, y] = [a.group[i] as string, b.group[i] as string];
      if (x === y) continue;
      const byRank = use.by[i] === 'function' ? rankOf(x) - rankOf(y) : 0;
      return byRank || (tones[i]?.get(y) as number) - (tones[i]?.get(x) as number) || (x < y ? -1 : 1);
    }
    return 0;
  };
}

/** A group's values as one string that no other group has. */
export const keyOf = (group: readonly string[]): string => group.join('\u0000');
