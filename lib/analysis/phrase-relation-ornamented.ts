// Ornamentation: the tones of one phrase stand in another at their times, with graces, curls, other strings or more tones between them.
import { FLAG, type ToneTable } from '../solo/tone-table.js';
import { type Edit, type Ornamentation, strengthOf } from './phrase-relation-kinds.js';
import type { PhraseCorpus, PhraseLine } from './phrase-relation-lines.js';
import { evidenceOf } from './phrase-relation-pair.js';

/** When one phrase is another with ornaments. */
export const ORNAMENTED = {
  /** Fewest tones that are kept, with their pitches (a curl apart) and times. */
  kept: 5,
  /** Fewest as a share of the plainer line. */
  share: 0.85,
  /** Fewest as a share of the richer line. */
  shareOfRicher: 0.5,
  /** Most tones between two kept neighbours. */
  between: 3,
} as const;

/** Whether one of two phrases is the other with ornaments. */
export function ornamentationOf(
  corpus: PhraseCorpus,
  a: PhraseLine,
  b: PhraseLine,
): Omit<Ornamentation, 'said'> | undefined {
  const found = [
    ...(a.n <= b.n ? [{ richer: 'b' as const, kept: keptIn(corpus.table, a, b) }] : []),
    ...(b.n <= a.n ? [{ richer: 'a' as const, kept: keptIn(corpus.table, b, a) }] : []),
  ];
  for (const { richer, kept } of found) {
    if (!kept) continue;
    const [plain, rich] = richer === 'b' ? [a, b] : [b, a];
    const edits = editsOf(corpus.table, plain, rich, kept);
    if (!edits) continue;
    const rows = (line: PhraseLine, side: 0 | 1) => kept.map((pair) => line.events[pair[side]]?.row as number);
    const [ofPlain, ofRich] = [rows(plain, 0), rows(rich, 1)];
    const [tonesA, tonesB] = richer === 'b' ? [ofPlain, ofRich] : [ofRich, ofPlain];
    return {
      kind: 'ornamented',
      a: a.ref,
      b: b.ref,
      viewpoint: 'pitch+durations',
      extent: 'whole',
      richer,
      evidence: { ...evidenceOf(corpus.table, tonesA, tonesB, true), edits },
      strength: strengthOf('ornamented', kept.length, a.n, b.n),
    };
  }
  return undefined;
}

/** Tones of the plainer line against those of the richer one. */
type Kept = readonly (readonly [number, number])[];

/** The tones that are kept if both lines are laid so that most are, the earliest way of such; `undefined` if they are too few. */
function keptIn({ columns: { pitch } }: ToneTable, plain: PhraseLine, rich: PhraseLine): Kept | undefined {
  const least = Math.max(
    ORNAMENTED.kept,
    Math.ceil(ORNAMENTED.share * plain.n - 1e-9),
    Math.ceil(ORNAMENTED.shareOfRicher * rich.n),
  );
  if (plain.n < least) return undefined;
  const byShift = new Map<number, [number, number][]>();
  plain.events.forEach((tone, i) => {
    rich.events.forEach((other, j) => {
      if (Math.floor((pitch[tone.row] as number) / 100) !== Math.floor((pitch[other.row] as number) / 100)) return;
      const shift = other.onset - tone.onset;
      const known = byShift.get(shift);
      if (known) known.push([i, j]);
      else byShift.set(shift, [[i, j]]);
    });
  });
  let best: { readonly shift: number; readonly kept: Kept } = { shift: 0, kept: [] };
  for (const [shift, kept] of byShift)
    if (kept.length > best.kept.length || (kept.length === best.kept.length && shift < best.shift))
      best = { shift, kept };
  if (best.kept.length < least) return undefined;
  const { kept } = best;
  const crowded = kept.some(([, j], k) => k > 0 && j - (kept[k - 1] as Kept[number])[1] > ORNAMENTED.between + 1);
  return crowded ? undefined : kept;
}

/** What the richer one has more, in order; `undefined` if that is nothing, or if as much is changed or left out. */
function editsOf(table: ToneTable, plain: PhraseLine, rich: PhraseLine, kept: Kept): readonly Edit[] | undefined {
  const { pitch } = table.columns;
  const [first, last] = [kept[0] as readonly [number, number], kept[kept.length - 1] as readonly [number, number]];
  const shift = onset(rich, first[1]) - onset(plain, first[0]);
  const added: (Edit & { at: number })[] = [];
  const lost: (Edit & { at: number })[] = [];
  const [keptPlain, keptRich] = [new Set(kept.map(([i]) => i)), new Set(kept.map(([, j]) => j))];
  for (let j = first[1] + 1; j < last[1]; j++) {
    const event = rich.events[j] as PhraseLine['events'][number];
    const against = plain.events.find((e, i) => e.onset + shift === event.onset && !keptPlain.has(i));
    if (keptRich.has(j) || against) continue;
    added.push({ what: 'add', a: [], b: [event.row], at: event.onset });
  }
  plain.events.forEach(({ row, onset: at }, i) => {
    if (keptPlain.has(i)) return;
    const other = rich.events.find((e) => e.onset === at + shift);
    lost.push({ what: other ? 'change' : 'drop', a: [row], b: other ? [other.row] : [], at: at + shift });
  });
  for (const [i, j] of kept) {
    const [one, other] = [plain.events[i], rich.events[j]] as [
      PhraseLine['events'][number],
      PhraseLine['events'][number],
    ];
    const rows = { a: [one.row], b: [other.row] };
    const curl = (pitch[other.row] as number) - (pitch[one.row] as number);
    if (curl !== 0) (curl > 0 ? added : lost).push({ what: 'curl', ...rows, at: other.onset });
    const voices = other.rows.length - one.rows.length;
    if (voices !== 0)
      (voices > 0 ? added : lost).push({
        what: 'voice',
        a: voices > 0 ? rows.a : one.rows.filter((row) => row !== one.row),
        b: voices > 0 ? other.rows.filter((row) => row !== other.row) : rows.b,
        at: other.onset,
      });
  }
  const [ofPlain, ofRich] = [ornamentsOf(table, plain), ornamentsOf(table, rich)];
  for (const [row, at] of ofRich)
    if (
      at >= onset(rich, first[1]) &&
      at <= onset(rich, last[1]) &&
      !ofPlain.some(([r, t]) => t + shift === at && pitch[r] === pitch[row])
    )
      added.push({ what: 'grace', a: [], b: [row], at });
  for (const [row, at] of ofPlain)
    if (!ofRich.some(([r, t]) => t === at + shift && pitch[r] === pitch[row]))
      lost.push({ what: 'grace', a: [row], b: [], at: at + shift });
  if (added.length <= lost.length || added.filter(({ what }) => what === 'add').length > plain.n) return undefined;
  return [...added, ...lost].sort((p, q) => p.at - q.at).map(({ at: _, ...edit }) => edit);
}

const onset = (line: PhraseLine, i: number): number => line.events[i]?.onset as number;

/** Ornaments of a phrase with their onsets. */
export function ornamentsOf(
  { rows, columns: { solo, phrase, onset: onsets, flags } }: ToneTable,
  line: PhraseLine,
): readonly (readonly [number, number])[] {
  const start = line.events[0]?.row as number;
  const here = (row: number) => row >= 0 && row < rows && solo[row] === solo[start] && phrase[row] === phrase[start];
  const found: [number, number][] = [];
  let row = start;
  while (here(row - 1)) row--;
  for (; here(row); row++) if ((flags[row] as number) & FLAG.ornament) found.push([row, onsets[row] as number]);
  return found;
}
