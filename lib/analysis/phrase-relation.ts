// Relations between phrases: of two phrases, and of all pairs in a solo, of a player, in a corpus.
import type { ToneTable } from '../solo/tone-table.js';
import { anyOrnamentationOf } from './phrase-relation-delayed.js';
import { type Stretch, sharedStretches } from './phrase-relation-exact.js';
import { EXTENTS, RELATION_KINDS, type Relation, type RelationKind } from './phrase-relation-kinds.js';
import {
  LOOKS,
  type PhraseCorpus,
  type PhraseLine,
  type PhraseRef,
  phraseCorpus,
  phraseIndex,
} from './phrase-relation-lines.js';
import { relationsOfStretches } from './phrase-relation-pair.js';
import { variationOf } from './phrase-relation-varied.js';
import { answerOf, sequencesOf } from './phrase-relation-within.js';
import { relationInWords, type Unsaid } from './phrase-relation-words.js';

/** Which phrases are compared, and what is looked for. */
export interface RelationOptions {
  /** Both phrases of a pair in one solo (the default), of one player, or anywhere. */
  readonly within?: 'solo' | 'player' | 'corpus';
  /** Default: all. */
  readonly kinds?: readonly RelationKind[];
}

/**
 * All relations between two phrases, the strongest first; of a phrase and itself, its sequences. In the answer `a` is the earlier one, in the order of the
 * table.
 * @throws RangeError for a phrase that is not in the table, with those that are
 * @example
 * const line = 'e 5@4 7@4 5@3 7@3 q 5@2'
 * const text = EXAMPLE_SOLO.slice(0, EXAMPLE_SOLO.indexOf('phrase')) + `phrase 1\nat 1 1\n  ${line}\nphrase 2\nat 3 1\n  ${line}`
 * const table = toneTable([{ id: 'two-doors-down', solo: parseSoloOrThrow(text) }])
 * const [first] = relate(table, { solo: 'two-doors-down', phrase: '1' }, { solo: 'two-doors-down', phrase: '2' })
 * first?.said // => 'is phrase 1 again, all 5 notes'
 */
export function relate(table: ToneTable, a: PhraseRef, b: PhraseRef): readonly Relation[] {
  const corpus = phraseCorpus(table);
  const [one, other] = [phraseIndex(corpus, a), phraseIndex(corpus, b)].sort((p, q) => p - q) as [number, number];
  const [earlier, later] = [corpus.phrases[one], corpus.phrases[other]] as [PhraseLine, PhraseLine];
  if (one === other) return inWords(table, sequencesOf(corpus, earlier));
  return relationsOfPair(corpus, earlier, later, sharedStretches(corpus, one, other));
}

/** All relations of a pair, given the stretches they share. */
export function relationsOfPair(
  corpus: PhraseCorpus,
  a: PhraseLine,
  b: PhraseLine,
  stretches: readonly Stretch[],
): readonly Relation[] {
  const exact = relationsOfStretches(corpus, a, b, stretches);
  const ornamentation = anyOrnamentationOf(corpus, a, b);
  const isWhole = exact.some(({ extent, kind }) => extent === 'whole' && WHOLE_NOTES.has(kind));
  const isOrnamented = ornamentation?.extent === 'whole';
  const varied = isOrnamented || isWhole ? undefined : variationOf(corpus, a, b);
  const variation = varied && ornamentation && varied.strength <= ornamentation.strength ? undefined : varied;
  const answer = answerOf(corpus, a, b);
  return inWords(corpus.table, [
    ...exact,
    ...(ornamentation ? [ornamentation] : []),
    ...(variation ? [variation] : []),
    ...(answer ? [answer] : []),
  ]);
}

/** If one of these holds of the whole phrases, nothing is varied. */
const WHOLE_NOTES: ReadonlySet<RelationKind> = new Set(['same', 'displaced', 'transposed', 'stretched']);

const RANK = new Map(RELATION_KINDS.map((kind, rank) => [kind, rank]));
const rank = ({ kind }: { readonly kind: RelationKind }) => RANK.get(kind) as number;

/** Relations with their sentences, the strongest first. */
export function inWords(table: ToneTable, found: readonly Unsaid[]): readonly Relation[] {
  return found
    .map((relation) => ({ ...relation, said: relationInWords(table, relation) }) as Relation)
    .sort(byStrength);
}

/** The strongest first; of equals in the order of {@link RELATION_KINDS}, then of looks and extents. */
export const byStrength = (p: Relation, q: Relation): number =>
  q.strength - p.strength ||
  rank(p) - rank(q) ||
  lookOf(p) - lookOf(q) ||
  EXTENTS.indexOf(p.extent) - EXTENTS.indexOf(q.extent);
const lookOf = ({ viewpoint }: Relation) => LOOKS.findIndex(({ name }) => name === viewpoint);

/**
 * All relations of all pairs of phrases, in order of the later phrase, then of the earlier one, the strongest of a pair first. Every pair is compared:
 * meant for solos and for a player; for thousands of phrases use {@link relationGroups}.
 * @example
 * const table = toneTable([{ id: 'two-doors-down', solo: parseSoloOrThrow(EXAMPLE_SOLO) }])
 * relationsOf(table, { kinds: ['same', 'same-opening'] }) // => []
 */
export function relationsOf(table: ToneTable, options: RelationOptions = {}): readonly Relation[] {
  const corpus = phraseCorpus(table);
  const found: Relation[] = [];
  for (const later of corpus.phrases) {
    for (let a = 0; a < later.index; a++) {
      const earlier = corpus.phrases[a] as PhraseLine;
      if (isWithin(earlier, later, options.within))
        found.push(...relationsOfPair(corpus, earlier, later, sharedStretches(corpus, a, later.index)));
    }
    found.push(...inWords(table, sequencesOf(corpus, later)));
  }
  const { kinds } = options;
  return kinds ? found.filter(({ kind }) => kinds.includes(kind)) : found;
}

/** Whether two phrases are to be compared. */
export const isWithin = (a: PhraseLine, b: PhraseLine, within: RelationOptions['within'] = 'solo'): boolean =>
  within === 'corpus' || (within === 'player' ? a.player === b.player : a.solo === b.solo);
