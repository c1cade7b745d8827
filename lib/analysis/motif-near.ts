// Near repeats: places where a motif comes back with one tone put in, left out or changed, or with other curls.
import type { ToneTable } from '../solo/tone-table.js';
import { type LineEvent, type LineSegment, LONGEST_REST } from './line.js';
import { linesAsked, type Motif, type MotifOptions, type MotifPlace, motifPlace } from './motif-kinds.js';
import { nearInWords } from './motif-near-words.js';
import { readLines, type Viewpoint, viewpoint } from './viewpoint.js';

/** How a place differs from a motif. */
export const NEAR_KINDS = ['curls', 'put in', 'changed', 'left out'] as const;
export type NearKind = (typeof NEAR_KINDS)[number];

/** A place that is a motif but for one tone, or for its curls. */
export interface NearPlace extends MotifPlace {
  readonly kind: NearKind;
  /** Of `changed` and `left out` the tone of the motif, counted from 1; of `put in` the tone of the motif that it follows; of `curls` the first curl. */
  readonly tone: number;
  /** What differs: `a passing C4 put in after the third tone`. */
  readonly said: string;
}

/** A stretch of a segment that is near a motif: `many` events from `start` on; `tone` from 0. */
export interface NearStretch {
  readonly segment: number;
  readonly start: number;
  readonly many: number;
  readonly kind: NearKind;
  readonly tone: number;
}

/**
 * The places where a motif comes back not quite the same: one tone of the line put in between, left out or changed, or the same tones with other curls.
 * The tones before and after the edit must read as they do in the motif, as if the edited tone were not there, so that in steps they must agree on how far
 * the motif is moved. A first or last tone counts as left out only where the line begins or ends there; else it is a changed one. Places that share a tone
 * with a place of the motif, or with a near one that differs less (curls, then a tone put in, a changed one, one left out; then the earlier), are left out. Graces
 * are no tones of the line: a place with graces is a place of the motif (`graces`).
 * Found from halves: one edit leaves the first or the second half of the motif whole.
 * @param options as they were given to `findMotifs`
 * @example
 * const solo = (line) => `---\ntitle: Doors\nplayer: Ada Fenwick\nkey: C major\ntempo: 96\n---\nchanges\n  1 C\nphrase 1\nat 1 1\n  ${line} |\n`
 * const lines = ['e 5@3 5@2 8@2 7@2 q 5@2 -', 'e 5@3 5@2 8@2 7@2 h 5@2', 'q 5@3 e 5@2 8@2 7@2 5@2 q -', 'e 5@3 5@2 6@2 8@2 7@2 5@2 q -']
 * const table = toneTable(lines.map((line, i) => ({ id: `door-${i}`, solo: parseSoloOrThrow(solo(line)) })))
 * const [motif] = findMotifs(table, { nullRuns: 0 }).motifs
 * nearPlaces(table, motif).map((p) => `${p.solo}: ${p.said}`) // => ['door-3: a passing F4 put in after the second tone']
 */
export function nearPlaces(table: ToneTable, motif: Motif, options: MotifOptions = {}): readonly NearPlace[] {
  const { viewpoint: view = viewpoint('steps'), longestRest = LONGEST_REST, where = {} } = options;
  const segments = linesAsked(table, longestRest, where);
  const model = modelOf(table, segments, motif, view);
  if (!model) return [];
  const stretches = apart(seededStretches(table, segments, model, view), segments, motif);
  return stretches.map((near): NearPlace => {
    const { solo, events } = segments[near.segment] as LineSegment;
    const tones = events.slice(near.start, near.start + near.many);
    const place = motifPlace(
      table,
      solo,
      tones.map((e) => e.row),
    );
    const said = nearInWords(table, model.events, tones, near.kind, near.tone);
    return { ...place, kind: near.kind, tone: near.tone + (near.kind === 'put in' ? 0 : 1), said };
  });
}

/** A motif by the events of its first place, how they read, and how they read without each one. */
export interface NearModel {
  readonly events: readonly LineEvent[];
  readonly whole: string;
  readonly without: readonly string[];
  /** As read with every curl left off. */
  readonly plain: string;
}

/** The model of a motif; `undefined` if its first place is not in the segments. */
export function modelOf(
  table: ToneTable,
  segments: readonly LineSegment[],
  motif: Motif,
  view: Viewpoint,
): NearModel | undefined {
  const rows = motif.places[0]?.rows ?? [];
  for (const { events } of segments) {
    const at = events.findIndex((e) => e.row === rows[0]);
    if (at < 0) continue;
    const own = events.slice(at, at + motif.tones);
    return {
      events: own,
      whole: readingOf(table, own, view),
      without: own.map((_, k) => readingOf(table, without(own, k), view)),
      plain: readingOf(withoutCurls(table), own, view),
    };
  }
  return undefined;
}

const readingOf = (table: ToneTable, events: readonly LineEvent[], view: Viewpoint): string =>
  events.map((_, i) => (i < view.reach ? '' : view.read(table, events, i))).join('\n');

const without = <T>(items: readonly T[], k: number): readonly T[] => [...items.slice(0, k), ...items.slice(k + 1)];

const plainTables = new WeakMap<ToneTable, ToneTable>();

/** The table with every quarter-tone taken off. */
function withoutCurls(table: ToneTable): ToneTable {
  let plain = plainTables.get(table);
  if (!plain) {
    const pitch: Int16Array = table.columns.pitch.map((cents) => Math.floor(cents / 100) * 100);
    plain = { ...table, columns: { ...table.columns, pitch } };
    plainTables.set(table, plain);
  }
  return plain;
}

/** All ways in which stretches from a start on are near the motif; those of one kind at most once. */
export function nearAt(
  table: ToneTable,
  { events }: LineSegment,
  segment: number,
  start: number,
  model: NearModel,
  view: Viewpoint,
): readonly NearStretch[] {
  const n = model.events.length;
  const near: NearStretch[] = [];
  const room = events.length - start;
  if (room >= n) {
    const tones = events.slice(start, start + n);
    if (readingOf(table, tones, view) === model.whole) return [];
    const stretch = { segment, start, many: n };
    if (readingOf(withoutCurls(table), tones, view) === model.plain) {
      const tone = model.events.findIndex((e, k) => isCurled(table, e) !== isCurled(table, tones[k] as LineEvent));
      near.push({ ...stretch, kind: 'curls', tone: Math.max(0, tone) });
    }
    const tone = model.without.findIndex((reading, k) => readingOf(table, without(tones, k), view) === reading);
    if (tone >= 0) near.push({ ...stretch, kind: 'changed', tone });
  }
  if (room > n) {
    const tones = events.slice(start, start + n + 1);
    for (let k = 1; k < n; k++)
      if (readingOf(table, without(tones, k), view) === model.whole) {
        near.push({ segment, start, many: n + 1, kind: 'put in', tone: k });
        break;
      }
  }
  if (room >= n - 1) {
    const reading = readingOf(table, events.slice(start, start + n - 1), view);
    const tone = model.without.findIndex(
      (part, k) => part === reading && (k > 0 || start === 0) && (k < n - 1 || room === n - 1),
    );
    if (tone >= 0) near.push({ segment, start, many: n - 1, kind: 'left out', tone });
  }
  return near;
}

const isCurled = ({ columns }: ToneTable, { row }: LineEvent): boolean => (columns.pitch[row] as number) % 100 !== 0;

/** Stretches near the motif, from the places where its first or second half reads whole, or all of it with curls left off. */
export function seededStretches(
  table: ToneTable,
  segments: readonly LineSegment[],
  model: NearModel,
  view: Viewpoint,
): readonly NearStretch[] {
  const n = model.events.length;
  const half = n >> 1;
  const own: LineSegment = { solo: 0, phrase: 0, events: model.events };
  const parts = (read: ToneTable, pieces: readonly (readonly [from: number, until: number])[]) => {
    const { symbols, starts } = readLines(read, [own, ...segments], view);
    return pieces.flatMap(([from, until]) => {
      // Symbol i of a segment is that of its event i + reach: the first half of the motif is its symbols up to half - reach.
      const word = symbols.subarray(from, until - view.reach);
      return segments.flatMap((_, s) =>
        placesOf(word, symbols, starts[s + 1] as number, starts[s + 2] as number).map((at) => ({ s, at: at - from })),
      );
    });
  };
  const begins = segments.map(() => new Set<number>());
  // Where the second half stands, the motif may begin one tone earlier or later.
  for (const { s, at } of parts(table, [[0, half]])) (begins[s] as Set<number>).add(at);
  for (const { s, at } of parts(table, [[half, n]])) for (const d of [-1, 0, 1]) (begins[s] as Set<number>).add(at + d);
  for (const { s, at } of parts(withoutCurls(table), [[0, n]])) (begins[s] as Set<number>).add(at);
  return segments.flatMap((segment, s) =>
    [...(begins[s] as Set<number>)]
      .filter((start) => start >= 0)
      .sort((a, b) => a - b)
      .flatMap((start) => nearAt(table, segment, s, start, model, view)),
  );
}

/** Where a word stands among the symbols of a segment, counted from its start. */
function placesOf(word: Int32Array, symbols: Int32Array, from: number, until: number): readonly number[] {
  const places: number[] = [];
  for (let at = from; at + word.length <= until; at++) {
    let k = 0;
    while (k < word.length && symbols[at + k] === word[k]) k++;
    if (k === word.length) places.push(at - from);
  }
  return places;
}

/** Of stretches that share a tone with each other the one that differs least, and none that shares one with the motif; in order of time. */
export function apart(
  stretches: readonly NearStretch[],
  segments: readonly LineSegment[],
  motif: Motif,
): readonly NearStretch[] {
  const taken = new Set(motif.places.flatMap((p) => p.rows));
  const rank = ({ kind }: NearStretch) => NEAR_KINDS.indexOf(kind);
  const inOrder = (p: NearStretch, q: NearStretch) => p.segment - q.segment || p.start - q.start;
  const kept: NearStretch[] = [];
  for (const near of [...stretches].sort((p, q) => rank(p) - rank(q) || inOrder(p, q))) {
    const rows = (segments[near.segment] as LineSegment).events
      .slice(near.start, near.start + near.many)
      .map((e) => e.row);
    if (rows.some((row) => taken.has(row))) continue;
    for (const row of rows) taken.add(row);
    kept.push(near);
  }
  return kept.sort(inOrder);
}
