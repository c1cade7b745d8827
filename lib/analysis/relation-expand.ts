// From groups back to pairs: every relation that the groups of a corpus stand for.
import type { ToneTable } from '../solo/tone-table.js';
import { byStrength, inWords } from './phrase-relation.js';
import type { Stretch } from './phrase-relation-exact.js';
import type { Extent, Relation } from './phrase-relation-kinds.js';
import { LOOKS, type PhraseLine, phraseCorpus } from './phrase-relation-lines.js';
import { relationsOfStretches } from './phrase-relation-pair.js';
import type { GroupMember, RelationGroup, RelationGroups } from './relation-groups.js';

/**
 * The relations that groups stand for, as {@link relationsOf} gives them for the same table and the same phrases compared; groups of all kinds are needed.
 * There may be very many.
 * @example
 * const table = toneTable([{ id: 'two-doors-down', solo: parseSoloOrThrow(EXAMPLE_SOLO) }])
 * expandGroups(table, relationGroups(table)) // => []
 */
export function expandGroups(table: ToneTable, { groups, pairs }: RelationGroups): readonly Relation[] {
  const corpus = phraseCorpus(table);
  const many = corpus.phrases.length;
  const spots = new Map<number, Spot>();
  for (const line of corpus.phrases)
    for (const [tone, { row }] of line.events.entries()) spots.set(row, { line, tone });
  const spotOf = ({ row }: GroupMember) => spots.get(row) as Spot;
  const found = new Map<number, Map<string, Stretch>>();
  for (const group of groups)
    for (const [a, b, stretch] of stretchesOf(group, spotOf)) {
      const key = b.index * many + a.index;
      const known = found.get(key) ?? new Map<string, Stretch>();
      found.set(key, known);
      const slot = `${stretch.look} ${stretch.extent}`;
      const other = known.get(slot);
      if (!other || isBefore(stretch, other)) known.set(slot, stretch);
    }
  const byPair = new Map<number, Relation[]>();
  for (const [key, stretches] of found) {
    const [a, b] = [corpus.phrases[key % many], corpus.phrases[Math.floor(key / many)]] as [PhraseLine, PhraseLine];
    byPair.set(key, [...inWords(table, relationsOfStretches(corpus, a, b, withoutParts(stretches)))]);
  }
  for (const relation of pairs) {
    const [a, b] = [relation.evidence.tonesA[0], relation.evidence.tonesB[0]].map(
      (row) => spots.get(row as number)?.line,
    );
    const key = (b?.index as number) * many + (a?.index as number);
    byPair.set(key, [...(byPair.get(key) ?? []), relation]);
  }
  return [...byPair].sort(([p], [q]) => p - q).flatMap(([, relations]) => relations.sort(byStrength));
}

interface Spot {
  readonly line: PhraseLine;
  readonly tone: number;
}

/** The longer one; of equals the one that begins first in the earlier phrase, then in the later one. */
const isBefore = (one: Stretch, other: Stretch): boolean =>
  one.count !== other.count ? one.count > other.count : one.i !== other.i ? one.i < other.i : one.j < other.j;

/** Where two phrases are alike as wholes, the parts in that look say nothing more. */
function withoutParts(stretches: ReadonlyMap<string, Stretch>): readonly Stretch[] {
  return [...stretches.values()].filter(({ look, extent }) => extent === 'whole' || !stretches.has(`${look} whole`));
}

function* stretchesOf(
  { viewpoint, extent, count, from, into }: RelationGroup,
  spotOf: (member: GroupMember) => Spot,
): Generator<[PhraseLine, PhraseLine, Stretch]> {
  const look = LOOKS.findIndex(({ name }) => name === viewpoint);
  const [ones, others] = [from.map(spotOf), into.map(spotOf)];
  for (const [k, one] of ones.entries())
    for (const [l, other] of others.entries()) {
      if (one.line === other.line || (from === into && l <= k)) continue;
      const isEarlier = one.line.index < other.line.index;
      if (extent === 'tail' && !isEarlier) continue;
      const [a, b] = isEarlier ? [one, other] : [other, one];
      const stretch = { look, extent: extent as Extent, i: a.tone, j: b.tone, count };
      yield [a.line, b.line, extent === 'inside' ? { ...stretch, outer: isEarlier ? 'b' : 'a' } : stretch];
    }
}
