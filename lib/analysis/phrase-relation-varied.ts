// Variation: two lines that are alike tone by tone but for some edits, found by local alignment with the operations of Mongeau and Sankoff.
import { ngramSimilarity } from '../math/alignment.js';
import {
  cheapestTransformation,
  closestParts,
  type PartTransformation,
  type Transformation,
  type TransformationCosts,
} from '../math/transformation.js';
import type { ToneTable } from '../solo/tone-table.js';
import { kinshipByBar } from './phrase-relation-bars.js';
import {
  bestLocalScore,
  type EditLine,
  editCosts,
  editLine,
  editWorth,
  isKept,
  mostKept,
} from './phrase-relation-costs.js';
import {
  type BarKinship,
  type Edit,
  type Evidence,
  type Similarity,
  strengthOf,
  type Variation,
} from './phrase-relation-kinds.js';
import type { PhraseCorpus, PhraseLine } from './phrase-relation-lines.js';
import { evidenceOf } from './phrase-relation-pair.js';

/** When two lines are a variation of one another. */
export const VARIED = {
  /** Steps in a row, in semitones and with their distances in time, that both must have; one more if `b` is moved by other than octaves. */
  seed: 3,
  /** Least score, in tones kept less the price of edits. */
  score: 5,
  /** Least score as a share of the tones of the shorter line. */
  share: 0.45,
} as const;

/**
 * Whether two lines are a variation of one another, `b` perhaps moved: they share a seed (see {@link VARIED}), the parts of them that are closest at the
 * transposition of a seed score enough, and something differs in these. The edits are those of the whole lines if one is at most half as long again as the
 * other: tone against tone if they have one rhythm and keep half of their tones, else the cheapest that keep no fewer tones than the parts; failing that,
 * those of the parts.
 */
export function variationOf(corpus: PhraseCorpus, a: PhraseLine, b: PhraseLine): Omit<Variation, 'said'> | undefined {
  const { table } = corpus;
  const [one, other] = [comparedOf(corpus, a), comparedOf(corpus, b)];
  const [x, y] = [one.line, other.line];
  let best: { readonly moved: number; readonly parts: PartTransformation } | undefined;
  for (const moved of seedMoves(one, other)) {
    if (!mayBeVaried(corpus, a, b, moved)) continue;
    const parts = closestParts(a.n, b.n, editCosts(x, y, moved), editWorth(x, y, moved));
    if (!best || parts.score > best.parts.score + ROUNDING) best = { moved, parts };
  }
  if (!best) return undefined;
  const { moved, parts } = best;
  const closest = editsOf(x, y, moved, parts);
  if (closest.edits.length === 0) return undefined; // a shared stretch says it
  const isAsLong = 2 * Math.max(a.n, b.n) <= 3 * Math.min(a.n, b.n);
  const throughout = isAsLong ? editsOf(x, y, moved, wholeLines(x, y, editCosts(x, y, moved))) : closest;
  const enough = inOneRhythm(x, y) ? a.n / 2 : closest.kept.length;
  const whole = isAsLong && throughout.kept.length >= enough;
  const laid = whole ? throughout : closest;
  const bars = barsOf(table, a, b, x, y, laid.kept.length);
  const { kept, edits } = bars ?? laid;
  const evidence: Evidence = {
    ...evidenceOf(
      table,
      kept.map(([row]) => row),
      kept.map(([, row]) => row),
      false,
    ),
    ...(!bars && { transposition: moved }),
    edits,
  };
  return {
    kind: 'varied',
    a: a.ref,
    b: b.ref,
    viewpoint: 'steps+durations',
    extent: whole || bars ? 'whole' : 'run',
    evidence,
    score: parts.score,
    similarity: similarityOf(x, y, kept.length),
    strength: strengthOf('varied', parts.score, a.n, b.n),
    ...(bars && { bars: bars.bars }),
  };
}

/** The lines bar by bar, if the bars that are the same or moved as wholes keep more tones, and half of all. */
function barsOf(table: ToneTable, a: PhraseLine, b: PhraseLine, x: EditLine, y: EditLine, most: number) {
  const bars = kinshipByBar(table, a, b);
  const whole = bars?.filter(({ kin }) => kin !== 'other') ?? [];
  const count = whole.reduce((sum, bar) => sum + bar.count, 0);
  if (!bars || count <= most || 2 * count < a.n) return undefined;
  const pairs = (own: readonly BarKinship[]) =>
    own.flatMap(({ from, count: n }) =>
      Array.from({ length: n }, (_, k) => [x.rows[from + k], y.rows[from + k]] as [number, number]),
    );
  const { pitch } = table.columns;
  const edits = pairs(bars.filter(({ kin }) => kin === 'other'))
    .filter(([row, other]) => pitch[row] !== pitch[other])
    .map(([row, other]): Edit => ({ what: 'change', a: [row], b: [other] }));
  return { bars, kept: pairs(whole), edits };
}

/** Sums of the same prices in another order differ by less. */
const ROUNDING = 1e-9;

/** Whether two lines, moved by so many semitones, score enough. */
export function mayBeVaried(corpus: PhraseCorpus, a: PhraseLine, b: PhraseLine, moved: number): boolean {
  const least = Math.max(VARIED.score, VARIED.share * Math.min(a.n, b.n)) - ROUNDING;
  const [x, y] = [comparedOf(corpus, a).line, comparedOf(corpus, b).line];
  return mostKept(x, y, moved) >= least && bestLocalScore(x, y, moved) >= least;
}

/** A line as it is compared, and its seeds. */
export interface Compared {
  readonly line: EditLine;
  /** For each tone that begins a seed, the number of its steps in semitones and distances in ticks: equal ones are equal seeds. */
  readonly seeds: Int32Array;
}

interface Seeds {
  readonly numbers: Map<string, number>;
  readonly lines: Compared[];
}
const seedsOf = new WeakMap<PhraseCorpus, Seeds>();

/** A line as it is compared; made once. */
export function comparedOf(corpus: PhraseCorpus, { index }: PhraseLine): Compared {
  let known = seedsOf.get(corpus);
  if (!known) {
    const numbers = new Map<string, number>();
    const lines = corpus.phrases.map((phrase): Compared => {
      const line = editLine(corpus.table, phrase);
      const { n, semitones, onsets } = line;
      const seeds: Int32Array = new Int32Array(Math.max(0, n - VARIED.seed));
      for (let i = 0; i < seeds.length; i++) {
        let text = '';
        for (let k = i; k < i + VARIED.seed; k++)
          text += `${semitones[k + 1]! - semitones[k]!},${onsets[k + 1]! - onsets[k]!} `;
        const number = numbers.get(text) ?? numbers.size;
        numbers.set(text, number);
        seeds[i] = number;
      }
      return { line, seeds };
    });
    known = { numbers, lines };
    seedsOf.set(corpus, known);
  }
  return known.lines[index] as Compared;
}

/** Semitones from the seed at tone `i` of one line to that at tone `j` of another; `undefined` if they are no seed in common, or one too short for the move. */
export function seedMove(a: Compared, i: number, b: Compared, j: number): number | undefined {
  if (a.seeds[i] !== b.seeds[j]) return undefined;
  const moved = b.line.semitones[j]! - a.line.semitones[i]!;
  // Two seeds, the second a step later, are a run that is longer by a step.
  const isLong = i + 1 < a.seeds.length && j + 1 < b.seeds.length && a.seeds[i + 1] === b.seeds[j + 1];
  return isLong || moved % 12 === 0 ? moved : undefined;
}

/** Semitones from one line to another at which they share a seed, the smallest first. */
function seedMoves(a: Compared, b: Compared): readonly number[] {
  const moves = new Set<number>();
  for (let i = 0; i < a.seeds.length; i++)
    for (let j = 0; j < b.seeds.length; j++) {
      const moved = seedMove(a, i, b, j);
      if (moved !== undefined) moves.add(moved);
    }
  return [...moves].sort((p, q) => Math.abs(p) - Math.abs(q) || q - p);
}

const inOneRhythm = (a: EditLine, b: EditLine): boolean =>
  a.n === b.n && a.onsets.every((onset, k) => onset - a.onsets[0]! === b.onsets[k]! - b.onsets[0]!);

/** All of one line made into all of the other: tone by tone if they have one rhythm, else as cheaply as can be. */
function wholeLines(a: EditLine, b: EditLine, costs: TransformationCosts): Transformation {
  if (!inOneRhythm(a, b)) return cheapestTransformation(a.n, b.n, costs) as Transformation; // leaving out and putting in always lead there
  const steps = Array.from({ length: a.n }, (_, k) => {
    const cost = costs.substitute(k, k);
    const kind = cost === 0 ? ('match' as const) : ('substitute' as const);
    return { kind, aFrom: k, aUntil: k + 1, bFrom: k, bUntil: k + 1, cost };
  });
  return { cost: steps.reduce((sum, { cost }) => sum + cost, 0), steps };
}

/** The tones that are kept, against each other, and what differs, in order. */
function editsOf(a: EditLine, b: EditLine, moved: number, { steps }: Transformation) {
  const kept: (readonly [number, number])[] = [];
  const edits: Edit[] = [];
  for (const { kind, aFrom, aUntil, bFrom, bUntil, cost } of steps) {
    const rows = { a: a.rows.slice(aFrom, aUntil), b: b.rows.slice(bFrom, bUntil) };
    if (kind === 'delete' || kind === 'insert') {
      edits.push({ what: kind === 'delete' ? 'drop' : 'add', ...rows });
      continue;
    }
    const isSame = isKept(a, aFrom, b, bFrom, moved);
    if (isSame) kept.push([rows.a[0] as number, rows.b[0] as number]);
    if (kind === 'fragment' || kind === 'consolidate')
      edits.push({ what: kind === 'fragment' ? 'split' : 'join', ...rows });
    else if (!isSame) edits.push({ what: 'change', ...rows });
    else if (a.curls[aFrom] !== b.curls[bFrom]) edits.push({ what: 'curl', ...rows });
    else if (cost > ROUNDING) edits.push({ what: 'length', ...rows });
  }
  return { kept, edits };
}

function similarityOf(a: EditLine, b: EditLine, kept: number): Similarity {
  const cents = ({ semitones, curls }: EditLine) => [...semitones].map((s, k) => s * 100 + curls[k]! * 50);
  const steps = (line: EditLine) =>
    cents(line)
      .map((c, k, all) => c - (all[k - 1] ?? c))
      .slice(1);
  const stepRuns = ngramSimilarity(steps(a), steps(b), VARIED.seed);
  return { identity: (2 * kept) / (a.n + b.n), ...(stepRuns !== undefined && { stepRuns }) };
}
