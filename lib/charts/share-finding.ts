// What a table of shares says, in one sentence: whose share of what stands out, and against what.
import { type ShareGroup, type ShareRow, type ShareTable, shareElsewhere } from '../analysis/shares.js';
import { wilson } from '../math/counting.js';
import { ENOUGH_TONES, FEW_TONES, lowEndOfDifference } from './interval-finding.js';
import { countText, percentText, plainText } from './spec.js';

/** What comes more seldom may well be chance, and does not stand out. */
const ENOUGH_TIMES = 10;

/** The words of a finding: what a player does, and of how many of what. */
export interface ShareWords {
  /** What groups are by: a player is named as the one who does it, of others it is said where it is done. */
  readonly by: readonly string[];
  /** What is done, as it follows `they`: `land on the root`; `undefined` for values that are nothing to speak of. */
  readonly does: (value: string) => string | undefined;
  /** What is so usual that it is not spoken of, and what they do who do nothing else. */
  readonly usual?: { readonly beside: string; readonly only: string };
  /** Whether a group may be held against the others. Default true; false where they could not do the same. */
  readonly compare?: boolean;
  /** What stands between that and the share: `at`, `in`, or nothing. */
  readonly link: string;
  /** What is counted: `changes`, `phrases`, `tones`. */
  readonly things: string;
}

/** The one sentence on a table. */
export interface ShareFinding {
  readonly kind: 'stands out' | 'comes most' | 'too few';
  /** The rows of the table that it speaks of; more than one where values come most alike. */
  readonly rows: readonly ShareRow[];
  /** How far a share that stands out is above the others at the least; 0 for other kinds. */
  readonly above: number;
  readonly text: string;
}

/**
 * The finding of a table of shares.
 *
 * 1. A value stands out in a group where its share there is above its share in all other groups together, and stays above when both are uncertain:
 *    the low end of the 95 % interval of the difference is above 0. The highest low end is named. Asked of values that come 10 times or more, in groups of 30 or more,
 *    against 30 or more.
 * 2. Where none stands out, or no interval is known (fewer than five solos): the value that comes most in the largest group.
 * 3. Where even the largest group has fewer than 20: that these are too few.
 *
 * Method: R. G. Newcombe, Statistics in Medicine 17 (1998) 873-890, method 10, both shares with what is allowed for between solos. The intervals are not
 * widened for the finding having been picked out of many.
 * @example
 * const use = landingUse(toneTable([{ id: 'two-doors-down', solo: parseSoloOrThrow(EXAMPLE_SOLO) }]))
 * const words = { by: ['player'], does: (value) => `land on the ${value}`, link: 'at', things: 'changes' }
 * shareFinding(use.degrees, words).text // => 'Too few changes for a finding (n = 2)'
 */
export function shareFinding(table: ShareTable, words: ShareWords): ShareFinding {
  const largest = table.groups[0];
  if (!largest || largest.n < FEW_TONES) {
    const most =
      table.groups.length > 1 ? `at most n = ${largest?.n}, ${nameOf(largest?.group ?? [])}` : `n = ${largest?.n ?? 0}`;
    return { kind: 'too few', rows: [], above: 0, text: `Too few ${words.things} for a finding (${most})` };
  }
  return (words.compare === false ? undefined : standingOut(table, words)) ?? comingMost(table, words, largest);
}

function standingOut(table: ShareTable, words: ShareWords): ShareFinding | undefined {
  let best: { row: ShareRow; above: number; elsewhere: NonNullable<ReturnType<typeof shareElsewhere>> } | undefined;
  for (const row of table.rows) {
    const { share, low } = row.share;
    if (
      low === undefined ||
      row.count < ENOUGH_TIMES ||
      words.does(row.value) === undefined ||
      nOf(table, row) < ENOUGH_TONES
    )
      continue;
    const elsewhere = shareElsewhere(table, row.group, row.value);
    if (!elsewhere || elsewhere.of < ENOUGH_TONES) continue;
    // A share of none has no interval between solos: Wilson's on the plain n, which is the least it can be.
    const high = elsewhere.share.high ?? (wilson(elsewhere.hits, elsewhere.of)?.high as number);
    const above = lowEndOfDifference({ estimate: share, low }, { estimate: elsewhere.share.share, high });
    if (above > (best?.above ?? 0)) best = { row, above, elsewhere };
  }
  if (!best) return undefined;
  const { row, above, elsewhere } = best;
  const others = `${words.by.join() === 'player' ? 'the others' : 'elsewhere'} ${linked(words, `${percentText(elsewhere.share.share)} % of ${countText(elsewhere.of)}`)}`;
  return {
    kind: 'stands out',
    rows: [row],
    above,
    text: `${sentence(words, row.group, [words.does(row.value) as string])} ${linked(words, shareText(table, row, words))}, ${others}`,
  };
}

function comingMost(table: ShareTable, words: ShareWords, largest: ShareGroup): ShareFinding {
  const own = table.rows.filter((row) => row.group === largest.group && words.does(row.value) !== undefined);
  const most = own.reduce((best, row) => Math.max(best, row.count), 0);
  const rows = own.filter((row) => row.count === most);
  const [first] = rows;
  if (!first)
    return {
      kind: 'too few',
      rows,
      above: 0,
      text: `${sentence(words, largest.group, [words.usual?.only ?? 'do none of this'])} (n = ${countText(largest.n)} ${words.things})`,
    };
  const done = rows.map((row) => words.does(row.value) as string);
  const share =
    rows.length > 1
      ? `${percentText(first.share.share)} % each of ${countText(largest.n)} ${words.things}`
      : shareText(table, first, words);
  return {
    kind: 'comes most',
    rows,
    above: 0,
    text: `${sentence(words, first.group, done, ' most often')}: ${linked(words, share)}`,
  };
}

const nOf = (table: ShareTable, row: ShareRow): number => table.groups.find((g) => g.group === row.group)?.n ?? 0;

const linked = (words: ShareWords, text: string): string => (words.link === '' ? text : `${words.link} ${text}`);

/** `70 % of 124 changes (62 to 78 %)`; no brackets where the interval is not known. */
function shareText(table: ShareTable, row: ShareRow, words: ShareWords): string {
  return `${percentText(row.share.share)} % of ${countText(nOf(table, row))} ${words.things}${rangeText(row)}`;
}

/** ` (62 to 78 %)`, or nothing where the interval is not known. */
export const rangeText = ({ share: { low, high } }: ShareRow): string =>
  low === undefined || high === undefined ? '' : ` (${percentText(low)} to ${percentText(high)} %)`;

/** A group as it is named in a chart. */
export const nameOf = (group: readonly string[]): string =>
  group.map((label) => plainText(label) || 'not named').join(', ');

/** The player that a group is of, if it is by player. */
const who = (words: ShareWords, group: readonly string[]): string | undefined => {
  const i = words.by.indexOf('player');
  return i < 0 ? undefined : plainText(group[i] as string) || 'a player without a name';
};

const WHERE: Readonly<Record<string, (label: string) => string>> = {
  function: (label) => `over ${label}`,
  chord: (label) => `over ${label}`,
  quality: (label) => `over ${label} chords`,
};

/** Who does what where: `Ada lands on the root`, `Over IV they land on the root`. A verb comes first in what is done, so that it can take its s. */
function sentence(words: ShareWords, group: readonly string[], done: readonly string[], how = ''): string {
  const places = words.by.flatMap((by, i) =>
    by === 'player' ? [] : [(WHERE[by] ?? ((label: string) => `in ${label}`))(plainText(group[i] as string))],
  );
  const player = who(words, group);
  const spoken = player === undefined ? done : done.map((d) => d.replace(/^do\b/, 'doe').replace(/^[\w-]+/, '$&s'));
  const usual = how !== '' && words.usual ? [words.usual.beside] : [];
  const text = [...usual, ...places, `${player ?? 'they'}${how} ${listText(spoken)}`].join(' ');
  return `${text.charAt(0).toUpperCase()}${text.slice(1)}`;
}

const listText = (words: readonly string[]): string =>
  words.length < 2 ? words.join('') : `${words.slice(0, -1).join(', ')} and ${words[words.length - 1]}`;
