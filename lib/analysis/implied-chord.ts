// Which chord strings say that sound together, and whether it agrees with the chord of the moment.
import { QUARTER } from '../foundation/time.js';
import { cents, pitchClass, type Ticks } from '../foundation/units.js';
import { type BarGrid, countAt } from '../solo/changes.js';
import { functionIn, hear } from '../solo/harmony.js';
import { gridOf } from '../solo/solo.js';
import { FLAG, type NamedSolo, type ToneTable } from '../solo/tone-table.js';
import type { Chord } from '../theory/chord.js';
import { rootAmbiguity, supportedRoots } from '../theory/root-support.js';
import { type Key, keyText } from '../theory/scale.js';
import { type ChordReading, chordReadings, type HeldTone, membersIn, ownChords, soundsLike } from './chord-reading.js';
import { passesFilter, type ToneFilter } from './grouping.js';
import { impliedInWords } from './implied-words.js';
import { labelColumn, type ShareTable, shareTable } from './shares.js';
import { type Together, type TogetherOptions, togetherIn } from './together.js';

/**
 * What an implied chord is to the chord of the moment. `agrees`: all tones are members of it. `passing`: they are not, but only lead from strings that
 * agree to strings that agree (see {@link impliedChords}). `against`: they are not, and say another chord. `open`: no chord rules (N.C., pickups), or
 * several roots fit alike. `none`: no triad or seventh and no chord of the song holds them.
 */
export const CHORD_VERDICTS = ['agrees', 'passing', 'against', 'open', 'none'] as const;
/** What an implied chord is to the chord of the moment. */
export type ChordVerdict = (typeof CHORD_VERDICTS)[number];

/** What implied chords can be grouped and filtered by; chord, function and quality are those of the chord of the moment. */
export const IMPLIED_GROUPINGS = ['player', 'solo', 'key', 'function', 'chord', 'quality'] as const;
/** What implied chords can be grouped and filtered by. */
export type ImpliedGrouping = (typeof IMPLIED_GROUPINGS)[number];

/** A place where tones make a chord, and which. Bar and count are where they begin to sound together under this chord. */
export interface ImpliedChord {
  readonly solo: string;
  readonly player: string;
  readonly phrase: string;
  readonly bar: number;
  readonly count: string;
  readonly key: string;
  /** The chord of the moment: its symbol, `N.C.` or `pickup`; its function and quality (`none` without a chord). */
  readonly chord: string;
  readonly function: string;
  readonly quality: string;
  /** `together`: strings sound at once; `broken`: tones of the line spell a triad one after the other. */
  readonly kind: Together['kind'];
  /** From the start of bar 0. */
  readonly at: Ticks;
  /** How long they sound together under this chord. */
  readonly ticks: Ticks;
  /** Rows of the tone table: from low to high, a broken chord in order of time. */
  readonly rows: readonly number[];
  /** Their names, `+` for a quarter-tone above. */
  readonly names: readonly string[];
  /** Those of the rows that are bends held under another string. */
  readonly heldBends: readonly number[];
  /** Those of the rows that are droning open strings, left out because no chord holds them with the others. */
  readonly drones: readonly number[];
  readonly verdict: ChordVerdict;
  /** The chord that is said; absent where several fit alike, or none does. */
  readonly implied?: ChordReading;
  /** All chords that hold the tones, the likeliest first. Where the chord of the moment does, it stands first. */
  readonly readings: readonly ChordReading[];
  /** Where several roots fit alike: the chords that do; else none. */
  readonly rivals: readonly ChordReading[];
  /** A check by another way: the roots that the tones support most, whatever the changes, and how ambiguous that is. Source: see `rootSupport`. */
  readonly support: { readonly roots: readonly string[]; readonly ambiguity: number };
  /** All of it in a sentence. */
  readonly said: string;
}

/** Which places to look at. */
export interface ImpliedChordOptions extends TogetherOptions {
  /** Only these. Default: all. */
  readonly where?: Pick<ToneFilter, ImpliedGrouping>;
}

/**
 * The chord that is implied wherever two strings or more sound together for a sixteenth or longer with two pitch classes at least, in order of solos
 * and time. Ringing strings and held bends count. A quarter-tone is taken for either of its neighbours, so that a curled b3 agrees with a
 * dominant chord. If no chord holds all tones, it is asked again without open strings that drone on under others.
 *
 * Tones that are not of the chord of the moment are `passing` if they sound for a quarter at most, no bend is held among them, others that agree with their
 * chord sound within a quarter, with no pause between, and they come from such too, or move on by step: as many tones, none by more than a whole step.
 * @example
 * const text = '---\ntitle: Thirds\nplayer: Ada Fenwick\nkey: Bb major\ntempo: 96\n---\nchanges\n  1 Bb | Eb | F\nphrase 1\nat 1 1\n  w 7@3+6@2 | 7@3+6@2 | 5@3+6@2 |\n'
 * const table = toneTable([{ id: 'thirds', solo: parseSoloOrThrow(text) }])
 * impliedChords(table).map((i) => i.said) // => ['D and F over Bb: its third and fifth', 'D and F say Bb (its third and fifth), over Eb', 'C and F over F: its fifth and root']
 */
export function impliedChords(table: ToneTable, options: ImpliedChordOptions = {}): readonly ImpliedChord[] {
  const { where = {} } = options;
  const scenes = new Map<number, Scene>();
  const all = togetherIn(table, options).map((together) => {
    let scene = scenes.get(together.solo);
    if (!scene) {
      const named = table.solos[together.solo] as NamedSolo;
      scene = { table, named, grid: gridOf(named.solo), own: ownChords(named.solo) };
      scenes.set(together.solo, scene);
    }
    return impliedBy(scene, together);
  });
  return inPassing(table, all).filter((found) => passesFilter(where, found));
}

/** Gives the places that only pass their verdict. */
function inPassing(table: ToneTable, all: readonly ImpliedChord[]): readonly ImpliedChord[] {
  const together = all.filter(({ kind }) => kind === 'together');
  const passing = new Set<ImpliedChord>();
  const follows = (one: ImpliedChord | undefined, next: ImpliedChord | undefined): boolean =>
    one !== undefined &&
    next !== undefined &&
    one.solo === next.solo &&
    one.phrase === next.phrase &&
    one.at + one.ticks === next.at;
  together.forEach((one, i) => {
    if (!mayPass(one)) return;
    let last = i; // of those that may pass, one right after the other
    while (follows(together[last], together[last + 1]) && mayPass(together[last + 1] as ImpliedChord)) last++;
    const goal = together[last + 1];
    if (!follows(together[last], goal) || goal?.verdict !== 'agrees' || goal.at - one.at > QUARTER) return;
    const before = together[i - 1] as ImpliedChord;
    const fromOne =
      follows(before, one) && (passing.has(before) || (before.verdict === 'agrees' && !isSame(before.rows, one.rows)));
    const way = together.slice(i, last + 2);
    if (isSame((together[last] as ImpliedChord).rows, goal.rows)) return; // they stay, and the chord moves
    if (fromOne || way.every((here, k) => k === 0 || bySteps(table, (way[k - 1] as ImpliedChord).rows, here.rows)))
      passing.add(one);
  });
  return all.map((one) =>
    passing.has(one) ? { ...one, verdict: 'passing' as const, said: `${one.said}; in passing` } : one,
  );
}

const mayPass = ({ verdict, ticks, heldBends }: ImpliedChord): boolean =>
  (verdict === 'against' || verdict === 'none') && ticks <= QUARTER && heldBends.length === 0;

const isSame = (a: readonly number[], b: readonly number[]): boolean =>
  a.length === b.length && a.every((row, k) => row === b[k]);

/** Whether tones, from low to high, move to as many others, each staying or going by a whole step at most. */
function bySteps({ columns: { pitch } }: ToneTable, from: readonly number[], to: readonly number[]): boolean {
  const step = (k: number) => Math.abs((pitch[to[k] as number] as number) - (pitch[from[k] as number] as number));
  return from.length === to.length && from.every((_, k) => step(k) <= WHOLE_STEP);
}
const WHOLE_STEP = 200;

interface Scene {
  readonly table: ToneTable;
  readonly named: NamedSolo;
  readonly grid: BarGrid;
  readonly own: readonly Chord[];
}

function impliedBy({ table, named, grid, own }: Scene, together: Together): ImpliedChord {
  const { columns: c } = table;
  const { rows, span, kind, start, end } = together;
  const { chord } = span;
  const place = grid.place(start);
  const { key } = place.bar;
  const pitchOf = (row: number) => c.pitch[row] as number;
  const toneOf = (row: number): HeldTone => ({
    pitch: pitchClass(Math.floor(pitchOf(row) / 100)),
    plus: pitchOf(row) % 100 !== 0,
  });
  const scene = { own, key, chord };

  let taken = rows;
  let drones: readonly number[] = [];
  let judged = judge(taken.map(toneOf), scene);
  if (judged.verdict === 'none') {
    const droning = kind === 'together' ? rows.filter((row) => isDrone(table, row)) : [];
    const rest = rows.filter((row) => !droning.includes(row));
    const again =
      droning.length > 0 && new Set(rest.map((row) => toneOf(row).pitch)).size > 1
        ? judge(rest.map(toneOf), scene)
        : judged;
    if (again.verdict !== 'none') [taken, drones, judged] = [rest, droning, again];
  }
  // As the key has them, else as the chord that is said, else as the chord of the moment.
  const { chord: heardIn } = judged.implied ?? { chord };
  const nameOf = (row: number) =>
    hear(cents(pitchOf(row)), heardIn, key, false).name + (pitchOf(row) % 100 === 0 ? '' : '+');
  const classes = taken.map((row) => toneOf(row).pitch);
  // A root that the weights support most always sounds itself: nothing adds as much as the unison.
  const supported = supportedRoots(classes);
  const roots = taken.filter((row) => supported.includes(toneOf(row).pitch)).map((row) => nameOf(row).replace('+', ''));
  const heldBends =
    kind === 'together'
      ? taken.filter(
          (row) => (c.level[row] as number) > 0 && taken.some((r) => (c.onset[r] as number) > (c.onset[row] as number)),
        )
      : [];
  const found = {
    solo: named.id,
    player: named.solo.player,
    phrase: named.solo.phrases[c.phrase[rows[0] as number] as number]?.id ?? '',
    bar: place.bar.number,
    count: countAt(place),
    key: keyText(key),
    chord: span.kind === 'pickup' ? 'pickup' : span.symbol,
    function: functionIn(key, span),
    quality: chord?.quality ?? 'none',
    kind,
    at: start,
    ticks: (end - start) as Ticks,
    rows,
    names: rows.map(nameOf),
    heldBends,
    drones,
    ...judged,
    support: { roots: [...new Set(roots)], ambiguity: rootAmbiguity(classes) as number },
  };
  const tones = taken.map((row) => ({ ...toneOf(row), name: nameOf(row) }));
  return {
    ...found,
    said: impliedInWords({
      ...judged,
      chord: found.chord,
      tones,
      heldBends: heldBends.map(nameOf),
      drones: drones.map(nameOf),
    }),
  };
}

interface Judged {
  /** Of the place by itself: whether it only passes is seen from those beside it. */
  readonly verdict: Exclude<ChordVerdict, 'passing'>;
  readonly implied?: ChordReading;
  readonly readings: readonly ChordReading[];
  readonly rivals: readonly ChordReading[];
}

function judge(
  tones: readonly HeldTone[],
  scene: { readonly own: readonly Chord[]; readonly key: Key; readonly chord: Chord | undefined },
): Judged {
  const { readings, rivals } = chordReadings(tones, scene);
  const { chord } = scene;
  const members = chord && membersIn(chord, tones);
  if (chord && members) {
    const implied: ChordReading = { chord, own: true, members };
    const others = readings.filter((r) => !soundsLike(r.chord, chord));
    return { verdict: 'agrees', implied, readings: [implied, ...others], rivals: [] };
  }
  const [first] = readings;
  if (!first) return { verdict: 'none', readings, rivals };
  if (rivals.length > 0) return { verdict: 'open', readings, rivals: [first, ...rivals] };
  return { verdict: chord ? 'against' : 'open', implied: first, readings, rivals };
}

/** An open string that sounds on while another string begins. */
function isDrone(table: ToneTable, row: number): boolean {
  const { solo, phrase, onset, ticks, fret, level, flags } = table.columns;
  if (fret[row] !== 0 || level[row] !== 0) return false;
  const end = (onset[row] as number) + (ticks[row] as number);
  for (
    let i = row + 1;
    i < table.rows && solo[i] === solo[row] && phrase[i] === phrase[row] && (onset[i] as number) < end;
    i++
  )
    if ((onset[i] as number) > (onset[row] as number) && !((flags[i] as number) & FLAG.ornament)) return true;
  return false;
}

/** Verdicts counted by group. `items` of the rows are numbers into `implied`. */
export interface ImpliedChordUse {
  readonly by: readonly ImpliedGrouping[];
  readonly verdicts: ShareTable;
  readonly implied: readonly ImpliedChord[];
}

/**
 * Counts the verdicts of {@link impliedChords}. Every place counts once, in one group. Intervals: Wilson's on n divided by a design effect
 * estimated between solos; fewer than five solos: counts only.
 * @example
 * const text = '---\ntitle: Thirds\nplayer: Ada Fenwick\nkey: Bb major\ntempo: 96\n---\nchanges\n  1 Bb | Eb | F\nphrase 1\nat 1 1\n  w 7@3+6@2 | 7@3+6@2 | 5@3+6@2 |\n'
 * const use = impliedChordUse(toneTable([{ id: 'thirds', solo: parseSoloOrThrow(text) }]))
 * use.verdicts.rows.map((r) => [r.value, r.count]) // => [['agrees', 2], ['against', 1]]
 */
export function impliedChordUse(
  table: ToneTable,
  options: ImpliedChordOptions & { readonly by?: readonly ImpliedGrouping[]; readonly intervals?: boolean } = {},
): ImpliedChordUse {
  const { by = ['player'], intervals = true } = options;
  const implied = impliedChords(table, options);
  const codes: Int32Array = Int32Array.from(implied, ({ rows }) => table.columns.solo[rows[0] as number] as number);
  const verdicts = shareTable({
    by: by.map((g) => labelColumn(implied.map((i) => i[g]))),
    value: labelColumn(
      implied.map((i) => i.verdict),
      CHORD_VERDICTS,
    ),
    solo: { codes, size: Math.max(1, table.solos.length) },
    intervals,
  });
  return { by, verdicts, implied };
}
