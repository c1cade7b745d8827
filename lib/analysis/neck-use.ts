// Where on the neck the tones lie: per string and fret, and what they are in their chords there; and where the hand is most.
import type { Fret, StringNumber } from '../foundation/units.js';
import { type Guitar, STANDARD_GUITAR } from '../guitar/fretboard.js';
import { rowsByCell } from '../math/counting.js';
import { ROLES, type Role } from '../solo/harmony.js';
import { MISSING, type NamedSolo, type Place, placeOfTone, type ToneTable } from '../solo/tone-table.js';
import { selection, type ToneFilter } from './grouping.js';
import { type Share, shareOf, shareOfTime } from './shares.js';

/** Which tones to look for on the neck. */
export interface NeckUseOptions {
  /** Count only these tones. Default: all, also those under no chord. */
  readonly where?: ToneFilter;
  /** Only the phrases of this id. Default: all. */
  readonly phrase?: string;
  /** Count graces and other ornaments too. Default false. */
  readonly ornaments?: boolean;
}

/** Tones of one role at one place of the neck. */
export interface NeckUseRow {
  readonly string: StringNumber;
  /** The fret that is held, counted from the capo; 0 is the open string. A bent tone stands where the finger is; a harmonic where it is touched. */
  readonly fret: Fret;
  /** What the sounding tone is in its chord; `undefined` without a chord. */
  readonly role: Role | undefined;
  readonly tones: number;
  /** Ticks they sound. */
  readonly ticks: number;
  /** How many of them sound above their fret, since the string is bent. */
  readonly bent: number;
}

/** Where the tones lie on one guitar as it is tuned and capoed. Rows stand by string, then fret, then role; they add up to `tones`. */
export interface NeckUse {
  readonly guitar: Guitar;
  readonly rows: readonly NeckUseRow[];
  readonly tones: number;
  readonly ticks: number;
  readonly bent: number;
  /** Ids of the solos that the tones come from. */
  readonly solos: readonly string[];
  /** Tones left out, and their solos: another tuning or capo, where the same fret is another note. */
  readonly otherGuitars: { readonly tones: number; readonly solos: number };
  /** The places behind row `i`, in order of solos and time. */
  places(i: number): readonly Place[];
  /** The tones behind row `i`, as row numbers of the tone table. */
  toneRows(i: number): Int32Array;
}

/**
 * Counts tones by where they are played. Tones are counted on one guitar only, that of the most tones asked for; what is played in another tuning or
 * with another capo is said, not mixed in.
 * @throws RangeError if a phrase is asked for that no solo has
 * @example
 * const use = neckUse(toneTable([{ id: 'two-doors-down', solo: parseSoloOrThrow(EXAMPLE_SOLO) }]))
 * use.rows.slice(0, 2).map((r) => [r.string, r.fret, r.role, r.tones]) // => [[1, 5, 'root', 2], [2, 5, 'fifth', 2]]
 */
export function neckUse(table: ToneTable, options: NeckUseOptions = {}): NeckUse {
  const { where, phrase, ornaments = false } = options;
  const { columns, solos } = table;
  const mask = selection(table, { where, ornaments, chordless: true });
  if (phrase !== undefined && !solos.some(({ solo }) => solo.phrases.some((p) => p.id === phrase)))
    throw new RangeError(
      `no solo here has a phrase ${phrase}; write its id as in the solo, such as ${solos[0]?.solo.phrases[0]?.id ?? '1'}`,
    );
  if (phrase !== undefined)
    for (let i = 0; i < mask.length; i++) {
      const { solo } = solos[columns.solo[i] as number] as NamedSolo;
      if (solo.phrases[columns.phrase[i] as number]?.id !== phrase) mask[i] = 0;
    }
  const setUps = solos.map(({ solo: { guitar } }) => `${guitar.tuning.join()} ${guitar.capo}`);
  const counts = new Map<string, number>();
  for (let i = 0; i < mask.length; i++) {
    const own = setUps[columns.solo[i] as number] as string;
    if (mask[i]) counts.set(own, (counts.get(own) ?? 0) + 1);
  }
  const most = [...counts].reduce<readonly [string, number]>(
    (best, entry) => (entry[1] > best[1] ? entry : best),
    [setUps[0] ?? '', 0],
  );
  const speaking = new Set<number>();
  const others = new Set<number>();
  for (let i = 0; i < mask.length; i++) {
    const s = columns.solo[i] as number;
    if (!mask[i]) continue;
    if (setUps[s] === most[0]) speaking.add(s);
    else {
      others.add(s);
      mask[i] = 0;
    }
  }
  const { string, fret, role, ticks, level } = columns;
  const cells = rowsByCell(
    [string, fret, role].map((codes) => ({ codes, size: 256 })),
    { weights: ticks, mask },
  );
  const rowsOf = (c: number) => cells.rows.slice(cells.offsets[c], cells.offsets[c + 1]);
  const rows = Array.from({ length: cells.cells }, (_, c): NeckUseRow => {
    const code = cells.codes[2]?.[c] as number;
    return {
      string: cells.codes[0]?.[c] as StringNumber,
      fret: cells.codes[1]?.[c] as Fret,
      role: code === MISSING ? undefined : ROLES[code],
      tones: cells.counts[c] as number,
      ticks: cells.sums[c] as number,
      bent: rowsOf(c).filter((row) => level[row] !== 0).length,
    };
  });
  const sum = (of: 'tones' | 'ticks' | 'bent') => rows.reduce((total, row) => total + row[of], 0);
  const guitars = solos.filter((_, s) => setUps[s] === most[0]).map(({ solo }) => solo.guitar);
  // Of equal set-ups the neck with the most frets.
  const guitar =
    guitars.reduce<Guitar | undefined>((best, g) => (best && best.frets >= g.frets ? best : g), undefined) ??
    STANDARD_GUITAR;
  return {
    guitar,
    rows,
    tones: sum('tones'),
    ticks: sum('ticks'),
    bent: sum('bent'),
    solos: [...speaking].map((s) => (solos[s] as NamedSolo).id),
    otherGuitars: {
      tones: [...counts].reduce((n, [own, tones]) => (own === most[0] ? n : n + tones), 0),
      solos: others.size,
    },
    places: (i) => Array.from(rowsOf(i), (row) => placeOfTone(table, row)),
    toneRows: rowsOf,
  };
}

/** Four neighbouring frets, a finger for each, and how much is played there. */
export interface HandPosition {
  readonly from: number;
  readonly to: number;
  /** Tones there, or ticks where time was asked for. */
  readonly amount: number;
  readonly share: Share;
}

/** Frets that lie under four fingers. */
export const HAND = 4;

/**
 * The four neighbouring frets at which the most is played, from the lowest that is played on; of several the lowest; open strings lie under no finger, but count in what it is a share
 * of. With a 95 % interval between solos from five solos on; it is not widened for the position having been picked out of many. `undefined` where
 * nothing is fretted.
 * @param of tones (the default) or the time they sound
 * @example
 * const table = toneTable([{ id: 'two-doors-down', solo: parseSoloOrThrow(EXAMPLE_SOLO) }])
 * const hand = handPosition(table, neckUse(table));
 * [hand.from, hand.to, hand.amount, hand.share.share.toFixed(2)] // => [5, 8, 11, '0.92']
 */
export function handPosition(
  table: ToneTable,
  use: NeckUse,
  of: 'tones' | 'ticks' = 'tones',
): HandPosition | undefined {
  const byFret = new Map<number, number>();
  for (const row of use.rows) byFret.set(row.fret, (byFret.get(row.fret) ?? 0) + row[of]);
  // A position begins at a fret that is played, and does not reach beyond the neck.
  const last = Math.max(1, use.guitar.frets - use.guitar.capo - HAND + 1);
  const starts = [...byFret.keys()]
    .filter((f) => f > 0)
    .map((f) => Math.min(f, last))
    .sort((a, b) => a - b);
  if (starts.length === 0) return undefined;
  const amountFrom = (from: number) =>
    Array.from({ length: HAND }, (_, i) => byFret.get(from + i) ?? 0).reduce((a, b) => a + b, 0);
  const from = starts.reduce((best, f) => (amountFrom(f) > amountFrom(best) ? f : best));
  const to = from + HAND - 1;
  const own = new Map<number, number>();
  const all = new Map<number, number>();
  use.rows.forEach((row, i) => {
    for (const tone of use.toneRows(i)) {
      const s = table.columns.solo[tone] as number;
      const amount = of === 'tones' ? 1 : (table.columns.ticks[tone] as number);
      all.set(s, (all.get(s) ?? 0) + amount);
      if (row.fret >= from && row.fret <= to) own.set(s, (own.get(s) ?? 0) + amount);
    }
  });
  const solos = [...all.keys()].sort((a, b) => a - b);
  const hits = solos.map((s) => own.get(s) ?? 0);
  const ofAll = solos.map((s) => all.get(s) as number);
  return {
    from,
    to,
    amount: amountFrom(from),
    share: of === 'tones' ? shareOf(hits, ofAll) : shareOfTime(hits, ofAll, 1),
  };
}
