// Landing tones: what sounds where the chord changes, and the last tone of each phrase.
import { cents, type Ticks, ticks } from '../foundation/units.js';
import { countAt } from '../solo/changes.js';
import { type ChordSpan, chordSpans, functionIn, hear, PUSH, ROLES, type Role } from '../solo/harmony.js';
import { gridOf, phraseEnd, type Solo } from '../solo/solo.js';
import { FLAG, MISSING, placeOfTone, type ToneTable } from '../solo/tone-table.js';
import { QUALITIES } from '../theory/chord.js';
import { DEGREE_NAMES, degreeName } from '../theory/interval.js';
import { keyText } from '../theory/scale.js';
import { passesFilter, type ToneFilter } from './grouping.js';
import { labelColumn, type ShareTable, shareTable } from './shares.js';

/** What landings can be grouped and filtered by; chord, function and quality are those of the new chord. */
export const LANDING_GROUPINGS = ['player', 'solo', 'key', 'function', 'chord', 'quality'] as const;
/** What landings can be grouped and filtered by. */
export type LandingGrouping = (typeof LANDING_GROUPINGS)[number];

/** How the landing tone comes: it starts with the chord, is held into it, starts just after, or there is none. */
export const LANDING_WAYS = ['starts', 'held', 'after', 'none'] as const;
/** How the landing tone comes. */
export type LandingWay = (typeof LANDING_WAYS)[number];

/** What a landing and a phrase's last tone share: the chord, and the tone against it. */
interface Heard {
  readonly solo: string;
  readonly player: string;
  readonly bar: number;
  readonly count: string;
  readonly key: string;
  readonly chord: string;
  readonly function: string;
  readonly quality: string;
  /** Whole semitones above the root of the chord; absent without a tone, or without a chord. */
  readonly semitones?: number;
  /** The same by name, with `+` for a quarter-tone above: `b3`, `b7+`. */
  readonly degree?: string;
  readonly role?: Role;
}

/** A chord change, and the tone that the player lands on. Bar and count are those of the change. */
export interface Landing extends Heard {
  /** Where the change is, in ticks from the start of bar 0. */
  readonly at: Ticks;
  /** What was before: a chord symbol, `N.C.`, or `pickup` where nothing stands before `chord`. */
  readonly from: string;
  /** True if no chord comes before it in the solo: nothing changes there, so it is in no count unless asked for. */
  readonly first: boolean;
  /** The phrase of the tone; without a tone the phrase that pauses there; absent between phrases. */
  readonly phrase?: string;
  readonly how: LandingWay;
  /** The tone, as a row of the tone table; of a double-stop the top one, which is the one that is counted. */
  readonly row?: number;
  /** All tones that land together, from low to high: `row` and those that start with it, or that sound through with it. */
  readonly rows: readonly number[];
  /** Their degrees in the same order: `['3', '5']`. */
  readonly degrees: readonly string[];
}

/** Where a solo's chord changes, to a chord. */
interface Change {
  readonly span: ChordSpan;
  /** What was before: a chord symbol, `N.C.`, or `pickup` where nothing is. */
  readonly from: string;
  /** True if no chord comes before it in the solo. */
  readonly first: boolean;
  /** Where the next change is, be it to a chord or to none; `Infinity` for the last. */
  readonly until: number;
}

/**
 * Where a chord comes in a solo: root or quality differs from what was before. A chord that comes after N.C. is one; N.C. itself is not, nor is
 * another bass, nor a C9 after a C7. The first chord, also behind a N.C. that the solo opens with, is listed and marked: no chord changes there.
 * @example
 * changesOf(parseSoloOrThrow(EXAMPLE_SOLO)).map((c) => [c.span.symbol, c.first]) // => [['Am7', true], ['D7', false], ['Am7', false], ['E7', false]]
 */
export function changesOf(solo: Solo): readonly Change[] {
  const changes: Change[] = [];
  const spans = chordSpans(solo);
  const first = spans.findIndex(({ chord }) => chord !== undefined);
  for (let i = spans.length - 1, until = Number.POSITIVE_INFINITY; i >= 0; i--) {
    const span = spans[i] as ChordSpan;
    if (!span.isChange) continue;
    if (span.chord) changes.push({ span, from: spans[i - 1]?.symbol || 'pickup', first: i === first, until });
    until = span.start;
  }
  return changes.reverse();
}

/**
 * The landing at every chord change laid out under the solos (and at the first chord, marked), in order of solos and time: the top tone that starts exactly there, else the top tone
 * that sounds through, else the top of the first event that starts within an eighth after and before the next change, else none.
 * Degree and role are over the new chord. Graces and other ornaments are passed over. All tones of a double-stop are named, its top one is the landing.
 * @example
 * const table = toneTable([{ id: 'two-doors-down', solo: parseSoloOrThrow(EXAMPLE_SOLO) }])
 * landingsOf(table).map((l) => [l.bar, l.chord, l.degree, l.how]) // => [[1, 'Am7', '5', 'starts'], [2, 'D7', undefined, 'none'], [3, 'Am7', '1', 'starts'], [4, 'E7', '1', 'starts']]
 */
export function landingsOf(table: ToneTable): readonly Landing[] {
  const { columns: c } = table;
  const landings: Landing[] = [];
  let row = 0;
  table.solos.forEach(({ id, solo }, s) => {
    const grid = gridOf(solo);
    const player = table.players[table.playerOfSolo[s] as number] as string;
    let sounding: number[] = [];
    const upTo = (at: number): void => {
      for (; row < table.rows && c.solo[row] === s && (c.onset[row] as number) < at; row++)
        if (!((c.flags[row] as number) & FLAG.ornament)) sounding.push(row);
      sounding = sounding.filter((i) => (c.onset[i] as number) + (c.ticks[i] as number) > at);
    };
    for (const { span, from, first, until } of changesOf(solo)) {
      upTo(span.start);
      const { how, row: found, rows } = landingAt(table, s, row, sounding, span.start, until);
      const place = grid.place(span.start);
      const { key } = place.bar;
      const over = (row: number) => hear(cents(c.pitch[row] as number), span.chord, key, false);
      const heard = found === undefined ? undefined : over(found);
      const phrase =
        found === undefined
          ? solo.phrases.find((p) => p.at <= span.start && span.start < phraseEnd(p))?.id
          : solo.phrases[c.phrase[found] as number]?.id;
      landings.push({
        solo: id,
        player,
        at: span.start,
        from,
        first,
        bar: place.bar.number,
        count: countAt(place),
        how,
        key: keyText(key),
        chord: span.symbol,
        function: functionIn(key, span),
        quality: span.chord?.quality as string,
        ...(phrase !== undefined && { phrase }),
        ...(heard?.overChord && { semitones: heard.overChord.semitones, degree: degreeName(heard.overChord) }),
        ...(heard?.role && { role: heard.role }),
        ...(found !== undefined && { row: found }),
        rows,
        degrees: [...new Set(rows.flatMap((row) => over(row).overChord ?? []).map(degreeName))],
      });
    }
    upTo(Number.POSITIVE_INFINITY);
  });
  return landings;
}

/** A landing: how it comes, its top tone, and all its tones from low to high. */
interface Landed {
  readonly how: LandingWay;
  readonly row?: number;
  readonly rows: readonly number[];
}

/** `next` is the first row at or after the change, `sounding` the rows that sound through it. */
function landingAt(
  table: ToneTable,
  s: number,
  next: number,
  sounding: readonly number[],
  at: number,
  until: number,
): Landed {
  const { solo, onset, flags } = table.columns;
  const landed = (how: LandingWay, rows: readonly number[]): Landed => {
    const upward = [...rows].sort((a, b) => (above(table, a, b) ? 1 : -1));
    return { how, row: upward[upward.length - 1] as number, rows: upward };
  };
  const begins = (from: number): number[] => {
    const rows: number[] = [];
    for (let i = from; i < table.rows && solo[i] === s && onset[i] === onset[from]; i++)
      if (!((flags[i] as number) & FLAG.ornament)) rows.push(i);
    return rows;
  };
  let i = next;
  while (i < table.rows && solo[i] === s && (flags[i] as number) & FLAG.ornament) i++;
  const comes = i < table.rows && solo[i] === s ? (onset[i] as number) : Number.POSITIVE_INFINITY;
  if (comes === at) return landed('starts', begins(i));
  if (sounding.length > 0) return landed('held', sounding);
  return comes <= at + PUSH && comes < until ? landed('after', begins(i)) : { how: 'none', rows: [] };
}

/** True if a tone is higher than another; of two equal ones a struck tone stands above one that is not, then the later one. */
function above(table: ToneTable, a: number, b: number): boolean {
  const { pitch, flags } = table.columns;
  const struck = (i: number) => (flags[i] as number) & FLAG.struck;
  return pitch[a] !== pitch[b] ? (pitch[a] as number) > (pitch[b] as number) : struck(a) >= struck(b);
}

/** The last tone of a phrase against the chord that rules when it starts. Bar and count are those of the tone. */
export interface PhraseEnding extends Heard {
  readonly phrase: string;
  /** How long it sounds, in ticks, ringing included. */
  readonly ticks: Ticks;
  /** The tone, as a row of the tone table. */
  readonly row: number;
}

/**
 * The top tone of the last event of each phrase, in order. Without a chord under it (before the first, under N.C.) it has no degree.
 * Phrases of dead notes only have none.
 * @example
 * const table = toneTable([{ id: 'two-doors-down', solo: parseSoloOrThrow(EXAMPLE_SOLO) }])
 * phraseEndingsOf(table).map((e) => [e.phrase, e.chord, e.degree, lengthInWords(e.ticks)]) // => [['1', 'Am7', '1', 'two quarters'], ['2', 'E7', '1', 'two quarters']]
 */
export function phraseEndingsOf(table: ToneTable): readonly PhraseEnding[] {
  const { columns: c } = table;
  const endings: PhraseEnding[] = [];
  for (let row = 0; row < table.rows; row++) {
    // Positions 2 and 3: last, and only.
    if (!((c.flags[row] as number) & FLAG.line) || ((c.position[row] as number) !== 2 && c.position[row] !== 3))
      continue;
    const place = placeOfTone(table, row);
    const semitones = c.degree[row] as number;
    const chord = semitones !== MISSING;
    const plus = ((c.flags[row] as number) & FLAG.plus) !== 0;
    endings.push({
      ...place,
      player: table.players[table.playerOfSolo[c.solo[row] as number] as number] as string,
      key: table.keys[c.key[row] as number] as string,
      chord: table.chords[c.chord[row] as number] as string,
      function: table.functions[c.function[row] as number] as string,
      quality: chord ? (QUALITIES[c.quality[row] as number] as string) : 'none',
      ...(chord && { semitones, degree: degreeName({ semitones, plus }), role: ROLES[c.role[row] as number] as Role }),
      ticks: ticks(c.ticks[row] as number),
      row,
    });
  }
  return endings;
}

/** What to count. */
export interface LandingOptions {
  /** What a group is. Default: `['player']`. */
  readonly by?: readonly LandingGrouping[];
  /** Count only these. Default: all. */
  readonly where?: Pick<ToneFilter, LandingGrouping>;
  /** Count the first chord of a solo too, so that a phrase which leads into it lands there. Default false: nothing changes where the first chord comes. */
  readonly firstChord?: boolean;
  /** Give intervals of 95 % (slower). Default true. */
  readonly intervals?: boolean;
}

/** One group of changes: how many there are, and how they are met. `changes` is `starts` + `held` + `after` + `none`. */
export interface LandingGroup {
  readonly group: readonly string[];
  readonly changes: number;
  readonly starts: number;
  readonly held: number;
  readonly after: number;
  readonly none: number;
}

/** Landings counted by degree and by role. `items` of the rows are numbers into `landings`. */
export interface LandingUse {
  readonly by: readonly LandingGrouping[];
  readonly groups: readonly LandingGroup[];
  /** Degrees over the new chord, by semitone: `b3` holds `b3+`. n is the changes with a landing. */
  readonly degrees: ShareTable;
  /** Roles in the new chord. */
  readonly roles: ShareTable;
  readonly landings: readonly Landing[];
  /** The changes at which no tone is near. */
  readonly without: readonly Landing[];
}

/**
 * Counts landings by degree and by role. Every change is counted once, in one group; n is the changes with a landing, and those without stand apart.
 * The first chord of a solo is no change unless `firstChord` says so.
 * Intervals: Wilson's on n divided by a design effect estimated between solos; fewer than five solos: counts only.
 * @example
 * const table = toneTable([{ id: 'two-doors-down', solo: parseSoloOrThrow(EXAMPLE_SOLO) }])
 * const use = landingUse(table)
 * use.groups.map((g) => [g.group[0], g.changes, g.none]) // => [['Ada Fenwick', 3, 1]]
 * use.degrees.rows.map((r) => [r.value, r.count]) // => [['1', 2]]
 */
export function landingUse(table: ToneTable, options: LandingOptions = {}): LandingUse {
  const { by = ['player'], where = {}, firstChord = false, intervals = true } = options;
  const all = landingsOf(table).filter((l) => (firstChord || !l.first) && passesFilter(where, l));
  const landings = all.filter((l) => l.how !== 'none');
  const groups = new Map<string, LandingGroup>();
  for (const landing of all) {
    const group = by.map((g) => landing[g]);
    const key = group.join('\u0000');
    const known = groups.get(key) ?? { group, changes: 0, starts: 0, held: 0, after: 0, none: 0 };
    groups.set(key, { ...known, changes: known.changes + 1, [landing.how]: known[landing.how] + 1 });
  }
  return {
    by,
    landings,
    ...sharesOf(table, landings, by, intervals),
    groups: [...groups.values()].sort((a, b) => b.changes - a.changes || (a.group.join() < b.group.join() ? -1 : 1)),
    without: all.filter((l) => l.how === 'none'),
  };
}

/** Last tones of phrases counted by degree and by role. `items` of the rows are numbers into `endings`. */
export interface PhraseEndingUse {
  readonly by: readonly LandingGrouping[];
  readonly degrees: ShareTable;
  readonly roles: ShareTable;
  readonly endings: readonly PhraseEnding[];
  /** The endings that no chord rules: in no count. */
  readonly withoutChord: readonly PhraseEnding[];
}

/**
 * Counts the last tones of phrases by degree and by role over the chord that rules when they start, as {@link landingUse} does.
 * @example
 * const table = toneTable([{ id: 'two-doors-down', solo: parseSoloOrThrow(EXAMPLE_SOLO) }])
 * phraseEndingUse(table).roles.rows.map((r) => [r.value, r.count]) // => [['root', 2]]
 */
export function phraseEndingUse(table: ToneTable, options: Omit<LandingOptions, 'firstChord'> = {}): PhraseEndingUse {
  const { by = ['player'], where = {}, intervals = true } = options;
  const all = phraseEndingsOf(table).filter((e) => passesFilter(where, e));
  const endings = all.filter((e) => e.semitones !== undefined);
  return {
    by,
    endings,
    ...sharesOf(table, endings, by, intervals),
    withoutChord: all.filter((e) => e.semitones === undefined),
  };
}

function sharesOf(
  table: ToneTable,
  items: readonly (Heard & { readonly row?: number })[],
  by: readonly LandingGrouping[],
  intervals: boolean,
): { degrees: ShareTable; roles: ShareTable } {
  const groups = by.map((g) => labelColumn(items.map((item) => item[g])));
  const codes: Int32Array = Int32Array.from(items, ({ row }) => table.columns.solo[row as number] as number);
  const solo = { codes, size: Math.max(1, table.solos.length) };
  const count = (texts: readonly string[], order: readonly string[]) =>
    shareTable({ by: groups, value: labelColumn(texts, order), solo, intervals });
  return {
    degrees: count(
      items.map(({ semitones }) => DEGREE_NAMES[semitones as number] as string),
      DEGREE_NAMES,
    ),
    roles: count(
      items.map(({ role }) => role as string),
      ROLES,
    ),
  };
}
