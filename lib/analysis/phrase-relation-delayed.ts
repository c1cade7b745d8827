// Ornamentation that takes its own time: neighbours and passing tones are put in between the tones of an opening, and what follows comes later.
import type { ToneTable } from '../solo/tone-table.js';
import { type Edit, type Ornamentation, strengthOf } from './phrase-relation-kinds.js';
import type { PhraseCorpus, PhraseLine } from './phrase-relation-lines.js';
import { ornamentationOf } from './phrase-relation-ornamented.js';
import { evidenceOf } from './phrase-relation-pair.js';

/** When a phrase opens as another one with tones put in that delay the rest. */
export const DELAYED = {
  /** Fewest tones of the plainer opening that are kept in order, with their steps; and how many of them are different. */
  kept: 6,
  different: 3,
  /** Fewest tones put in: one alone is said as a variation. Most between two kept ones, and in all as a share of the kept ones. */
  put: 2,
  between: 3,
  share: 0.5,
  /** No step to, among and from tones that are put in is wider, in semitones. */
  step: 3,
  /** The kept tones follow each other as in the plainer opening, or half or twice as long, but where tones are put in. */
  paces: [1, 0.5, 2],
  /** The richer opening lasts so many times the plainer one at least and at most. */
  least: 2 / 3,
  most: 3 / 2,
} as const;

/**
 * Whether one of two phrases opens as the other (or is it, from the first to the last tone) with neighbours or passing tones put in that take their own
 * time, see {@link DELAYED}. A tone put in takes no longer than the kept tone before it; after the last of them two kept tones follow at least.
 */
export function delayedOrnamentationOf(
  corpus: PhraseCorpus,
  a: PhraseLine,
  b: PhraseLine,
): Omit<Ornamentation, 'said'> | undefined {
  const { table } = corpus;
  for (const richer of ['b', 'a'] as const) {
    const [plain, rich] = richer === 'b' ? [a, b] : [b, a];
    const kept = keptIn(table, plain, rich);
    if (!kept) continue;
    const rows = kept.map((j, i) => [plain.events[i]?.row as number, rich.events[j]?.row as number] as const);
    const [ofPlain, ofRich] = [rows.map(([row]) => row), rows.map(([, row]) => row)];
    const [tonesA, tonesB] = richer === 'b' ? [ofPlain, ofRich] : [ofRich, ofPlain];
    const taken = new Set(kept);
    const edits: Edit[] = [];
    for (let j = 0; j < (kept[kept.length - 1] as number); j++)
      if (!taken.has(j)) edits.push({ what: 'add', a: [], b: [rich.events[j]?.row as number] });
    const whole = kept.length === plain.n && kept[kept.length - 1] === rich.n - 1;
    const evidence = evidenceOf(table, tonesA, tonesB, false);
    return {
      kind: 'ornamented',
      a: a.ref,
      b: b.ref,
      viewpoint: evidence.transposition === 0 ? 'pitch' : 'steps',
      extent: whole ? 'whole' : 'opening',
      richer,
      evidence: { ...evidence, edits },
      strength: strengthOf('delayed', kept.length, a.n, b.n),
    };
  }
  return undefined;
}

/** Ornamentation of either kind: at the times of the plainer phrase, else with delays. */
export const anyOrnamentationOf = (corpus: PhraseCorpus, a: PhraseLine, b: PhraseLine) =>
  ornamentationOf(corpus, a, b) ?? delayedOrnamentationOf(corpus, a, b);

/** How many kept tones an index looks at. */
const INDEXED = 5;

/**
 * What a phrase is found by in an index of delayed ornamentation: the first steps as the plainer phrase of a pair has them, and all that they can be in a
 * richer one. Of every pair that {@link delayedOrnamentationOf} relates, the one of the plainer is among those of the richer.
 */
export function delayedKeys(
  corpus: PhraseCorpus,
  line: PhraseLine,
): { readonly plain?: string; readonly rich: readonly string[] } {
  const { n, semitones } = lineOf(corpus.table, line);
  if (n < DELAYED.kept) return { rich: [] };
  const steps = (kept: readonly number[]) =>
    kept
      .slice(1)
      .map((j, k) => at(semitones, j) - at(semitones, kept[k] as number))
      .join();
  const rich = new Set<string>();
  const walk = (kept: readonly number[]): void => {
    if (kept.length === INDEXED) rich.add(steps(kept));
    else
      for (let j = (kept[kept.length - 1] as number) + 1, put = 0; j < n && put <= DELAYED.between; j++, put++) {
        if (put > 0 && !isNear(semitones, j - 1)) break; // what is put in moves by small steps
        if (put === 0 || isNear(semitones, j)) walk([...kept, j]);
      }
  };

  walk([0]);
  return { plain: steps(Array.from({ length: INDEXED }, (_, k) => k)), rich: [...rich] };
}

/** For each kept tone of the plainer phrase, from its first on, the number of the tone that it is in the richer one. */
type Kept = readonly number[];

/** The way to keep most tones, of such the one that puts in fewest; `undefined` if they are too few. */
function keptIn(table: ToneTable, plain: PhraseLine, rich: PhraseLine): Kept | undefined {
  if (plain.n < DELAYED.kept || rich.n <= DELAYED.kept) return undefined;
  const [x, y] = [lineOf(table, plain), lineOf(table, rich)];
  let best: Kept | undefined;
  for (const pace of DELAYED.paces) {
    const found = keptAt(x, y, pace);
    if (found && (!best || found.length > best.length)) best = found;
  }
  return best;
}

interface Line {
  readonly n: number;
  readonly semitones: readonly number[];
  readonly onsets: readonly number[];
}

/** Each phrase is looked at against many: it is read once. */
const lines = new WeakMap<PhraseLine, Line>();

function lineOf({ columns: { pitch } }: ToneTable, phrase: PhraseLine): Line {
  const known = lines.get(phrase);
  if (known) return known;
  const line: Line = {
    n: phrase.n,
    semitones: phrase.events.map(({ row }) => Math.floor((pitch[row] as number) / 100)),
    onsets: phrase.events.map(({ onset }) => onset),
  };
  lines.set(phrase, line);
  return line;
}

/** Whether a phrase opens as a plainer one with tones put in. */
export const opensDelayed = ({ table }: PhraseCorpus, plain: PhraseLine, rich: PhraseLine): boolean =>
  keptIn(table, plain, rich) !== undefined;

const at = (list: readonly number[], k: number): number => list[k] as number;

/** Whether a tone is a small step away from the one before it. */
function isNear(semitones: readonly number[], k: number): boolean {
  const step = Math.abs(at(semitones, k) - at(semitones, k - 1));
  return step > 0 && step <= DELAYED.step;
}

function keptAt(x: Line, y: Line, pace: number): Kept | undefined {
  // For each kept tone and each tone that it can be: the one that the tone before it then is. So many tones are put in as their numbers differ.
  const from: Map<number, number>[] = [new Map([[0, -1]])];
  let best: readonly [number, number] | undefined;
  for (let i = 0; i + 1 < x.n; i++) {
    const next = new Map<number, number>();
    for (const j of (from[i] as Map<number, number>).keys())
      for (let to = j + 1; to < y.n && to - j - 1 <= DELAYED.between; to++) {
        if (next.has(to) || !goesTo(x, i, y, j, to, pace)) continue;
        next.set(to, j);
        const put = to - i - 1;
        const isEnd = i + 2 >= DELAYED.kept && to - j === 1 && put >= DELAYED.put && put <= DELAYED.share * (i + 2);
        if (isEnd && isAsLong(x, i + 1, y, to) && (!best || i + 1 > best[0] || to < best[1])) best = [i + 1, to];
      }
    if (next.size === 0) break;
    from.push(next);
  }
  if (!best) return undefined;
  const kept: number[] = [];
  for (let [i, j] = best; i >= 0; j = (from[i] as Map<number, number>).get(j) as number, i--) kept.unshift(j);
  return new Set(kept.map((_, i) => x.semitones[i])).size >= DELAYED.different ? kept : undefined;
}

/** Whether the plainer tones `i` and `i + 1` can be the richer tones `j` and `to`, with those between put in. */
function goesTo(x: Line, i: number, y: Line, j: number, to: number, pace: number): boolean {
  const moved = at(y.semitones, 0) - at(x.semitones, 0);
  if (at(y.semitones, to) - at(x.semitones, i + 1) !== moved) return false;
  const plain = (at(x.onsets, i + 1) - at(x.onsets, i)) * pace;
  const rich = at(y.onsets, to) - at(y.onsets, j);
  const put = to - j - 1;
  if (put === 0) return rich === plain;
  if (rich < plain || rich > plain * (put + 1)) return false;
  for (let k = j; k < to; k++) if (!isNear(y.semitones, k + 1)) return false;
  return true;
}

function isAsLong(x: Line, i: number, y: Line, j: number): boolean {
  const ratio = (at(y.onsets, j) - at(y.onsets, 0)) / (at(x.onsets, i) - at(x.onsets, 0));
  return ratio >= DELAYED.least && ratio <= DELAYED.most;
}
