// Relations that are found pair by pair (ornaments, variations, answers, sequences), with an index of short runs to say which pairs are worth a look.
import { inWords, isWithin, type RelationOptions, relationsOfPair } from './phrase-relation.js';
import { anyOrnamentationOf, delayedKeys, opensDelayed } from './phrase-relation-delayed.js';
import { sharedStretches } from './phrase-relation-exact.js';
import type { Relation, RelationKind } from './phrase-relation-kinds.js';
import type { PhraseCorpus, PhraseLine } from './phrase-relation-lines.js';
import { ORNAMENTED, ornamentationOf, ornamentsOf } from './phrase-relation-ornamented.js';
import { comparedOf, mayBeVaried, seedMove, variationOf } from './phrase-relation-varied.js';
import { answerOf, sequencesOf } from './phrase-relation-within.js';

/** The kinds that are found pair by pair. */
const BY_PAIR = ['ornamented', 'varied', 'answers', 'sequence'] as const satisfies readonly RelationKind[];

/** More pairs to look at one by one than this are refused, as they would take minutes. */
const MOST_PAIRS = 100_000;

/**
 * All relations of the kinds wanted that are not shared stretches, in order of the later phrase, then of the earlier one.
 * @throws RangeError if there are more than {@link MOST_PAIRS} pairs to look at
 */
export function relationPairs(
  corpus: PhraseCorpus,
  within: RelationOptions['within'],
  wanted: (kind: RelationKind) => boolean,
): readonly Relation[] {
  const { phrases, table } = corpus;
  const kinds = BY_PAIR.filter(wanted);
  if (kinds.length === 0) return [];
  const pairs = new Set<number>(); // the later and the earlier phrase as one number
  const add = (a: PhraseLine, b: PhraseLine) => {
    if (!isWithin(a, b, within)) return;
    const [earlier, later] = a.index < b.index ? [a.index, b.index] : [b.index, a.index];
    pairs.add(later * phrases.length + earlier);
    if (pairs.size > MOST_PAIRS)
      throw new RangeError(
        `more than ${MOST_PAIRS} pairs of phrases may be variations of each other: ask within one player or one solo, or leave out the kinds ornamented, varied, answers and sequence`,
      );
  };
  phrases.forEach((line, p) => {
    const next = phrases[p + 1];
    if (wanted('answers') && next && next.solo === line.solo) add(line, next);
  });
  const alike = classesOf(corpus);
  const addAll = (a: readonly PhraseLine[], b: readonly PhraseLine[]) => {
    for (const one of a) for (const other of b) add(one, other);
  };
  if (wanted('varied')) addVaried(corpus, alike, addAll);
  if (wanted('ornamented')) {
    addOrnamented(corpus, alike, addAll);
    addDelayed(corpus, alike, addAll);
  }
  const found: Relation[] = [];
  let done = 0; // phrases whose sequences are in the list
  const sequencesUpTo = (end: number) => {
    for (; wanted('sequence') && done < end; done++)
      found.push(...inWords(table, sequencesOf(corpus, phrases[done] as PhraseLine)));
  };
  for (const key of [...pairs].sort((p, q) => p - q)) {
    const [a, b] = [key % phrases.length, Math.floor(key / phrases.length)];
    sequencesUpTo(b);
    const [earlier, later] = [phrases[a], phrases[b]] as [PhraseLine, PhraseLine];
    // What else two phrases share is worth finding only then: it may say all that there is to say.
    if (
      !answerOf(corpus, earlier, later) &&
      !anyOrnamentationOf(corpus, earlier, later) &&
      !variationOf(corpus, earlier, later)
    )
      continue;
    const relations = relationsOfPair(corpus, earlier, later, sharedStretches(corpus, a, b));
    found.push(...relations.filter(({ kind }) => kinds.some((k) => k === kind)));
  }
  sequencesUpTo(phrases.length);
  return found;
}

/** Phrases that no edit tells apart: of a riff that comes a thousand times, one is looked at. Each list in order of the table. */
function classesOf(corpus: PhraseCorpus): readonly (readonly PhraseLine[])[] {
  const { pitch } = corpus.table.columns;
  const classes = new Map<string, PhraseLine[]>();
  for (const phrase of corpus.phrases) {
    const { inScale, onsets } = comparedOf(corpus, phrase).line;
    const start = onsets[0]!;
    const tones = phrase.events.map(({ rows, onset }, i) =>
      [onset - start, inScale[i], ...rows.map((row) => pitch[row])].join(),
    );
    const graces = ornamentsOf(corpus.table, phrase).map(([row, onset]) => `${onset - start},${pitch[row]}`);
    const key = `${tones.join(' ')}|${graces.join(' ')}`;
    const known = classes.get(key);
    if (known) known.push(phrase);
    else classes.set(key, [phrase]);
  }
  return [...classes.values()];
}

type Classes = ReturnType<typeof classesOf>;
type AddAll = (a: readonly PhraseLine[], b: readonly PhraseLine[]) => void;
const first = (alike: readonly PhraseLine[]) => alike[0] as PhraseLine;

/** Pairs that share a seed of a variation, and score enough where they do. */
function addVaried(corpus: PhraseCorpus, classes: Classes, addAll: AddAll): void {
  const index: { readonly classes: number[]; readonly tones: number[] }[] = [];
  for (const [c, alike] of classes.entries()) {
    const compared = comparedOf(corpus, first(alike));
    const { seeds } = compared;
    const tried = new Set<number>(); // another class and a transposition as one number
    for (let j = 0; j < seeds.length; j++) {
      const known = index[seeds[j]!];
      for (let k = 0; known && k < known.classes.length; k++) {
        const others = classes[known.classes[k]!] as readonly PhraseLine[];
        const moved = seedMove(comparedOf(corpus, first(others)), known.tones[k]!, compared, j);
        if (moved === undefined) continue;
        const key = known.classes[k]! * 1024 + moved + 512;
        if (tried.has(key)) continue;
        tried.add(key);
        if (mayBeVaried(corpus, first(others), first(alike), moved)) addAll(others, alike);
      }
    }
    for (let j = 0; j < seeds.length; j++) {
      index[seeds[j]!] ??= { classes: [], tones: [] };
      index[seeds[j]!]!.classes.push(c);
      index[seeds[j]!]!.tones.push(j);
    }
  }
}

/** Pairs of which one has almost all pairs of neighbours of the other, with at most so many tones between them. */
function addOrnamented(corpus: PhraseCorpus, classes: Classes, addAll: AddAll): void {
  const index = new Map<number, number[]>();
  const keyOf = (line: PhraseLine, i: number, j: number) => {
    const { semitones, onsets } = comparedOf(corpus, line).line;
    return ((semitones[i]! + 128) * 512 + semitones[j]! + 128) * 2 ** 32 + onsets[j]! - onsets[i]!;
  };
  for (const [c, alike] of classes.entries()) {
    const line = first(alike);
    for (let i = 0; i < line.n; i++)
      for (let j = i + 1; j < line.n && j <= i + ORNAMENTED.between + 1; j++) {
        const key = keyOf(line, i, j);
        const known = index.get(key);
        if (known) known.push(c);
        else index.set(key, [c]);
      }
  }
  const hits: Int32Array = new Int32Array(classes.length);
  for (const [c, alike] of classes.entries()) {
    const plain = first(alike);
    if (plain.n < ORNAMENTED.kept) continue;
    const touched: number[] = [];
    for (let i = 0; i + 1 < plain.n; i++)
      for (const rich of index.get(keyOf(plain, i, i + 1)) ?? []) if (++hits[rich]! === 1) touched.push(rich);
    // Each tone that is not kept takes two pairs of neighbours with it at most.
    const least = Math.max(ORNAMENTED.kept, Math.ceil(ORNAMENTED.share * plain.n - 1e-9));
    const neighbours = plain.n - 1 - 2 * (plain.n - least);
    for (const rich of touched) {
      const others = classes[rich] as readonly PhraseLine[];
      if (rich !== c && hits[rich]! >= neighbours && ornamentationOf(corpus, plain, first(others)))
        addAll(alike, others);
      hits[rich] = 0;
    }
  }
}

/** Pairs of which one can open as the other with tones put in. */
function addDelayed(corpus: PhraseCorpus, classes: Classes, addAll: AddAll): void {
  const keys = classes.map((alike) => delayedKeys(corpus, first(alike)));
  const richer = new Map<string, number[]>();
  for (const [c, { rich }] of keys.entries())
    for (const key of rich) {
      const known = richer.get(key);
      if (known) known.push(c);
      else richer.set(key, [c]);
    }
  for (const [c, { plain }] of keys.entries())
    for (const rich of plain === undefined ? [] : (richer.get(plain) ?? [])) {
      const [alike, others] = [classes[c], classes[rich]] as [readonly PhraseLine[], readonly PhraseLine[]];
      if (rich !== c && opensDelayed(corpus, first(alike), first(others))) addAll(alike, others);
    }
}
