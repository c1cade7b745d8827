// Bends that are held: under other strings, picked again, or up to a change of the chord; and what becomes of them.
import { cents, type Ticks, ticks } from '../foundation/units.js';
import { REACHED } from '../guitar/technique.js';
import { type ChordSpan, chordSpans, functionIn, hear, spanAt } from '../solo/harmony.js';
import { gridOf } from '../solo/solo.js';
import { FLAG, type NamedSolo, type Place, placeOfTone, type ToneTable, toneName } from '../solo/tone-table.js';
import { degreeName } from '../theory/interval.js';
import { keyText } from '../theory/scale.js';
import { passesFilter, type ToneFilter } from './grouping.js';
import { changesOf } from './landing.js';

/**
 * What becomes of a held bend. `let down at a change`: it falls as the new chord comes. `held over a change`: it sounds on into the new chord (and may be
 * let down later). `let down`: at another time. `not let down`: its string stops, or is fretted anew, with the bend still up.
 */
export const HELD_BEND_ENDS = ['let down at a change', 'held over a change', 'let down', 'not let down'] as const;
/** What becomes of a held bend. */
export type HeldBendEnd = (typeof HELD_BEND_ENDS)[number];

/** The change that a held bend meets. */
export interface MetChange {
  readonly bar: number;
  readonly from: string;
  readonly to: string;
  /** The function of the new chord in its key. */
  readonly function: string;
  /** The degree of the bend over the old chord; absent where none ruled. */
  readonly before?: string;
  /** The degree that it has over the new chord, or would have if it were not let down. */
  readonly held: string;
  /** The tone that sounds with the new chord, the bend still or what it is let down to, and its degree. */
  readonly name: string;
  readonly after: string;
}

/** A bend that is held. Place, chord and degree are those of the tone that is bent. */
export interface HeldBend extends Place {
  readonly player: string;
  readonly key: string;
  readonly string: number;
  /** The tone that is bent, as a row of the tone table, and all tones of the bend: it, those picked again or let down in part, the last release. */
  readonly row: number;
  readonly rows: readonly number[];
  /** What it is bent to: `A4`. */
  readonly name: string;
  /** The chord when it is bent (`N.C.`, `pickup` without one), and its degree over it. */
  readonly chord: string;
  readonly degree?: string;
  /** All chords that it is up over, in order, and their functions, each once. */
  readonly over: readonly { readonly chord: string; readonly function: string }[];
  readonly functions: readonly string[];
  /** Why it counts as held: tones that begin on other strings while it is up; how often it is picked again; a change met. */
  readonly under: number;
  readonly again: number;
  readonly end: HeldBendEnd;
  readonly change?: MetChange;
  /** How long the string is up. */
  readonly ticks: Ticks;
  /** All of it in a sentence. */
  readonly said: string;
}

/** Which held bends are asked for; of a chord or a function are those that are up over it. */
export type HeldBendFilter = Pick<ToneFilter, 'player' | 'solo' | 'key' | 'function' | 'chord'>;

/** Up less than this, in cents, is a curl. */
const LEAST_LEVEL = 100;

/**
 * The bends that are held, in order of solos and time: half a step or more, and up while a tone begins on another string, or picked again while up, or up
 * when the chord changes (the first chord of a solo is no change). A bend goes on from the tone that is bent until its string is down, stops, or is
 * fretted anew.
 * @example
 * const text = '---\ntitle: Held\nplayer: Ada Fenwick\nkey: D minor\ntempo: 96\n---\nchanges\n  1 Bbmaj7 | A7\nphrase 1\nat 1 3\n  h 8@2(0>2)= |\n  h @2(>0) - |\n'
 * const [bend] = heldBends(toneTable([{ id: 'held', solo: parseSoloOrThrow(text) }]))
 * bend.end // => 'let down at a change'
 * bend.said // => 'A4, the 7 of Bbmaj7, is let down to G4 as A7 comes in bar 2: its b7 (held, it would be the 1)'
 */
export function heldBends(table: ToneTable, options: { readonly where?: HeldBendFilter } = {}): readonly HeldBend[] {
  const { where = {} } = options;
  const scenes = new Map<number, Scene>();
  return chainsOf(table).flatMap((rows) => {
    const s = table.columns.solo[rows[0] as number] as number;
    const scene = scenes.get(s) ?? sceneOf(table, s);
    scenes.set(s, scene);
    const found = heldBend(scene, rows);
    return found && passes(where, found) ? [found] : [];
  });
}

interface Scene {
  readonly table: ToneTable;
  readonly player: string;
  readonly grid: ReturnType<typeof gridOf>;
  readonly spans: readonly ChordSpan[];
  readonly changes: readonly { readonly span: ChordSpan; readonly from: string }[];
}

function sceneOf(table: ToneTable, s: number): Scene {
  const named = table.solos[s] as NamedSolo;
  const grid = gridOf(named.solo);
  return {
    table,
    player: table.players[table.playerOfSolo[s] as number] as string,
    grid,
    spans: chordSpans(named.solo, grid),
    changes: changesOf(named.solo).filter(({ first }) => !first),
  };
}

/** Of each bend the tones on its string, in order: the last is the release to the fret, if there is one. */
function chainsOf(table: ToneTable): readonly (readonly number[])[] {
  const { solo, phrase, string, level, reached, flags, onset, ticks: length } = table.columns;
  const chains: number[][] = [];
  let open = new Map<number, number[]>(); // by string
  for (let row = 0; row < table.rows; row++) {
    if (row > 0 && (solo[row] !== solo[row - 1] || phrase[row] !== phrase[row - 1])) open = new Map();
    if ((flags[row] as number) & FLAG.ornament) continue;
    const how = REACHED[reached[row] as number];
    const here = string[row] as number;
    let chain = open.get(here);
    const last = chain?.[chain.length - 1] ?? -1;
    const goesOn = chain && (onset[last] as number) + (length[last] as number) === onset[row];
    if (!goesOn || how === 'straight' || how === 'prebent') open.delete(here);
    chain = open.get(here);
    if (chain) chain.push(row);
    else if ((how === 'bent' || how === 'prebent' || how === 'held') && (level[row] as number) >= LEAST_LEVEL) {
      chain = [row];
      chains.push(chain);
      open.set(here, chain);
    }
    if (level[row] === 0) open.delete(here);
  }
  return chains;
}

function heldBend({ table, player, grid, spans, changes }: Scene, rows: readonly number[]): HeldBend | undefined {
  const { onset, ticks: length, level, pitch, string, solo, phrase, flags, reached } = table.columns;
  const [row] = rows as readonly [number];
  const last = rows[rows.length - 1] as number;
  const released = level[last] === 0 ? last : undefined;
  const start = onset[row] as number;
  const until =
    released === undefined ? (onset[last] as number) + (length[last] as number) : (onset[released] as number);
  let under = 0;
  for (
    let i = row;
    i < table.rows && solo[i] === solo[row] && phrase[i] === phrase[row] && (onset[i] as number) < until;
    i++
  )
    if ((onset[i] as number) > start && string[i] !== string[row] && !((flags[i] as number) & FLAG.ornament)) under++;
  const again = rows.filter((r, k) => k > 0 && REACHED[reached[r] as number] === 'held').length;
  const falls = rows.filter((r, k) => k > 0 && (level[r] as number) < (level[rows[k - 1] as number] as number));
  const atChange = changes.find(({ span }) => falls.some((r) => onset[r] === span.start));
  const through = changes.find(({ span }) => start < span.start && span.start < until);
  const change = atChange ?? through;
  if (under === 0 && again === 0 && !change) return undefined;
  const functionOf = (span: ChordSpan) => functionIn(grid.place(span.start).bar.key, span);
  const chordOf = (span: ChordSpan) => (span.kind === 'pickup' ? 'pickup' : span.symbol);
  const over = spans
    .slice(spanAt(spans, start))
    .filter((span) => span.start < until)
    .map((span) => ({ chord: chordOf(span), function: functionOf(span) }));
  const heard = (r: number, at: number): string | undefined => {
    const { chord } = spans[spanAt(spans, at)] as ChordSpan;
    const { overChord } = hear(cents(pitch[r] as number), chord, grid.place(ticks(at)).bar.key, false);
    return overChord && degreeName(overChord);
  };
  const end: HeldBendEnd = atChange
    ? 'let down at a change'
    : through
      ? 'held over a change'
      : falls.length > 0
        ? 'let down'
        : 'not let down';
  const degree = heard(row, start);
  const facts = {
    ...placeOfTone(table, row),
    player,
    key: keyText(grid.place(ticks(start)).bar.key),
    string: string[row] as number,
    row,
    rows,
    name: toneName(table, row),
    chord: over[0]?.chord as string,
    ...(degree !== undefined && { degree }),
    over,
    functions: [...new Set(over.map((o) => o.function))],
    under,
    again,
    end,
    ticks: ticks(until - start),
  };
  const metAt = (at: number): Omit<MetChange, 'bar' | 'from' | 'to' | 'function'> => {
    const up = rows.filter((r) => (onset[r] as number) < at).pop() as number;
    const then = rows.filter((r) => (onset[r] as number) <= at).pop() as number;
    const before = heard(up, at - 1);
    return {
      ...(before !== undefined && { before }),
      held: heard(up, at) as string,
      name: toneName(table, then),
      after: heard(then, at) as string,
    };
  };
  const met: MetChange | undefined = change && {
    bar: grid.place(change.span.start).bar.number,
    from: change.from,
    to: change.span.symbol,
    function: functionOf(change.span),
    ...metAt(change.span.start),
  };
  const down = falls.length > 0 ? toneName(table, falls[falls.length - 1] as number) : undefined;
  return { ...facts, ...(met && { change: met }), said: inWords(facts, met, down) };
}

function inWords(
  bend: Pick<HeldBend, 'name' | 'degree' | 'chord' | 'end' | 'under' | 'again'>,
  met: MetChange | undefined,
  down: string | undefined,
): string {
  const what = bend.degree === undefined ? bend.name : `${bend.name}, the ${bend.degree} of ${bend.chord},`;
  const why = [
    ...(bend.under > 0 ? ['held under other strings'] : []),
    ...(bend.again > 0 ? [bend.again === 1 ? 'picked again' : `picked again ${bend.again} times`] : []),
  ].join(' and ');
  const is = why === '' ? 'is' : `${why}, is`;
  if (met && bend.end === 'let down at a change')
    return `${what} ${is} let down to ${met.name} as ${met.to} comes in bar ${met.bar}: its ${met.after} (held, it would be the ${met.held})`;
  if (met) return `${what} ${is} held over into ${met.to} in bar ${met.bar}: its ${met.after}`;
  return bend.end === 'let down' ? `${what} ${is} let down to ${down}` : `${what} ${is} not let down`;
}

function passes({ chord, function: name, ...rest }: HeldBendFilter, bend: HeldBend): boolean {
  const own = { ...(chord !== undefined && { chord }), ...(name !== undefined && { function: name }) };
  const { player, solo, key } = bend;
  return passesFilter(rest, { player, solo, key }) && bend.over.some((over) => passesFilter(own, over));
}

/** Held bends over one function, and how many of them end in which way. A bend that is up over two functions is in both. */
export interface HeldBendCount {
  readonly function: string;
  readonly bends: readonly HeldBend[];
  /** Ids of the solos, in order. */
  readonly solos: readonly string[];
  readonly ends: Readonly<Record<HeldBendEnd, number>>;
}

/**
 * Held bends by the functions that they are up over, the most first.
 * @example
 * const text = '---\ntitle: Held\nplayer: Ada Fenwick\nkey: D minor\ntempo: 96\n---\nchanges\n  1 Bbmaj7 | A7\nphrase 1\nat 1 3\n  h 8@2(0>2)= |\n  h @2(>0) - |\n'
 * heldBendCounts(heldBends(toneTable([{ id: 'held', solo: parseSoloOrThrow(text) }]))).map((c) => [c.function, c.bends.length]) // => [['bVI', 1]]
 */
export function heldBendCounts(bends: readonly HeldBend[]): readonly HeldBendCount[] {
  const functions = [...new Set(bends.flatMap((bend) => bend.functions))];
  return functions
    .map((name): HeldBendCount => {
      const own = bends.filter((bend) => bend.functions.includes(name));
      const count = (end: HeldBendEnd) => own.filter((bend) => bend.end === end).length;
      const ends = Object.fromEntries(HELD_BEND_ENDS.map((end) => [end, count(end)])) as Record<HeldBendEnd, number>;
      return { function: name, bends: own, solos: [...new Set(own.map(({ solo }) => solo))], ends };
    })
    .sort((a, b) => b.bends.length - a.bends.length);
}
