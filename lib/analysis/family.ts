// The family of a solo: of every phrase its nearest source among the earlier ones, as a tree and a table, and the form in letters.
import type { NamedSolo, ToneTable } from '../solo/tone-table.js';
import { relationsOf } from './phrase-relation.js';
import type { Relation, RelationKind } from './phrase-relation-kinds.js';
import { phraseCorpus } from './phrase-relation-lines.js';
import { type RelationGroup, relationGroups } from './relation-groups.js';

/** A phrase and where it comes from. */
export interface FamilyMember {
  readonly phrase: string;
  readonly name: string;
  /** `A` for a phrase of its own, `A'`, `A''`, `A3`, `A4` for what comes from it in the order of time; one that is the same, note for note, has the same label. */
  readonly label: string;
  /** The strongest relation to an earlier phrase; absent for a phrase of its own. */
  readonly source?: Relation;
  /** How many sources lie between it and a phrase of its own: 0 for one of its own. */
  readonly depth: number;
}

/** A phrase with all that come from it. */
export interface FamilyNode {
  readonly member: FamilyMember;
  readonly children: readonly FamilyNode[];
}

/** The phrases of one solo and how they come from one another. */
export interface Family {
  readonly solo: string;
  readonly player: string;
  /** All phrases in order of time. */
  readonly phrases: readonly FamilyMember[];
  /** Phrases of their own, each with what comes from it. */
  readonly tree: readonly FamilyNode[];
  /** The labels in order: `A A' B A`. */
  readonly form: string;
  /** Phrases that open, or end, with the same notes in one rhythm. */
  readonly openings: readonly RelationGroup[];
  readonly endings: readonly RelationGroup[];
  readonly said: string;
}

/** A weaker relation than this makes no source, unless asked for otherwise. */
export const LEAST_SOURCE = 0.3;

/** How a family is made. */
export interface FamilyOptions {
  /** A weaker relation than this makes no source; see {@link strengthOf}. Default 0.3. */
  readonly leastStrength?: number;
  /** What `relationsOf(table)` gave, where it is known already. Default: found anew. */
  readonly relations?: readonly Relation[];
}

/** Relations that make no source: the rhythm alone is no kinship of notes, an answer is a relation of places, a sequence one of a phrase to itself. */
const NO_SOURCE: ReadonlySet<RelationKind> = new Set(['rhythm-only', 'answers', 'sequence']);

/**
 * For each solo, by its id, the sources of its phrases, by their ids: of each phrase the strongest relation to an earlier one, of equals the one stated
 * first. What both have only at the end, or the tail of one that opens the other, must be half of the later phrase; degrees in the middle of both make no
 * source. Phrases of their own are not in it.
 * @example
 * const table = toneTable([{ id: 'two-doors-down', solo: parseSoloOrThrow(EXAMPLE_SOLO) }])
 * phraseSources(table, 0.3).size // => 0
 */
export function phraseSources(
  table: ToneTable,
  leastStrength: number,
  relations: readonly Relation[] = relationsOf(table, { within: 'solo' }),
): ReadonlyMap<string, ReadonlyMap<string, Relation>> {
  const bySolo = new Map<string, Map<string, Relation>>();
  const lengths = new Map(phraseCorpus(table).phrases.map(({ ref, n }) => [`${ref.solo}\u0000${ref.phrase}`, n]));
  for (const relation of relations) {
    if (relation.a.solo !== relation.b.solo || NO_SOURCE.has(relation.kind) || relation.strength < leastStrength)
      continue;
    const { solo, phrase } = relation.b;
    if (!isOfWeight(relation, lengths.get(`${solo}\u0000${phrase}`) as number)) continue;
    const known = bySolo.get(solo) ?? new Map<string, Relation>();
    const best = known.get(phrase);
    if (!best || relation.strength > best.strength) known.set(phrase, relation);
    bySolo.set(solo, known);
  }
  return bySolo;
}

/**
 * The family of each solo. The source of a phrase is the earlier one with the strongest relation to it; of equals the one stated first.
 * @throws RangeError if the least strength is not between 0 and 1
 * @example
 * const table = toneTable([{ id: 'two-doors-down', solo: parseSoloOrThrow(EXAMPLE_SOLO) }])
 * families(table)[0]?.form // => 'A B'
 */
export function families(table: ToneTable, options: FamilyOptions = {}): readonly Family[] {
  const { leastStrength = LEAST_SOURCE, relations } = options;
  if (!(leastStrength >= 0 && leastStrength <= 1))
    throw new RangeError(`leastStrength is ${leastStrength}: give a number from 0 to 1`);
  const sources = phraseSources(table, leastStrength, relations);
  const { groups } = relationGroups(table, { within: 'solo', kinds: ['same-opening', 'same-ending'] });
  const lines = phraseCorpus(table).phrases;
  return table.solos.flatMap(({ id, solo }: NamedSolo, s) => {
    const phrases = lines.filter((line) => line.solo === s).map(({ ref }) => ref.phrase);
    if (phrases.length === 0) return [];
    const members = membersOf(
      phrases,
      sources.get(id) ?? new Map(),
      (phrase) => solo.phrases.find((p) => p.id === phrase)?.name ?? '',
    );
    const own = groups.filter(({ from, viewpoint }) => from[0]?.solo === id && viewpoint === 'pitch+durations');
    const facts = {
      solo: id,
      player: table.players[table.playerOfSolo[s] as number] as string,
      phrases: members,
      tree: treeOf(members),
      form: members.map(({ label }) => label).join(' '),
      openings: own.filter(({ kind }) => kind === 'same-opening'),
      endings: own.filter(({ kind }) => kind === 'same-ending'),
    };
    return [{ ...facts, said: familyInWords(facts) }];
  });
}

/** Whether a relation is of a whole phrase, of an opening, of one inside the other, tone by tone; or else covers half of the later phrase. */
function isOfWeight({ kind, extent, evidence }: Relation, later: number): boolean {
  if (kind === 'varied' || kind === 'ornamented' || extent === 'whole' || extent === 'opening' || extent === 'inside')
    return true;
  return extent === 'run' ? kind === 'contains' : 2 * evidence.count >= later;
}

function membersOf(
  phrases: readonly string[],
  sources: ReadonlyMap<string, Relation>,
  nameOf: (phrase: string) => string,
): readonly FamilyMember[] {
  const members = new Map<string, FamilyMember>();
  const marks = new Map<string, number>(); // by letter: how many labels it has
  for (const phrase of phrases) {
    const source = sources.get(phrase);
    const from = source && (members.get(source.a.phrase) as FamilyMember);
    let label: string;
    if (!from) {
      label = letter(marks.size);
      marks.set(label, 1);
    } else if (source.kind === 'same' && source.viewpoint === 'pitch+durations') label = from.label;
    else {
      const own = from.label.replace(/['\d].*$/, '');
      const mark = marks.get(own) as number;
      label = mark <= 2 ? `${own}${"'".repeat(mark)}` : `${own}${mark}`;
      marks.set(own, mark + 1);
    }
    const depth = from ? from.depth + 1 : 0;
    members.set(phrase, { phrase, name: nameOf(phrase), label, ...(source && { source }), depth });
  }
  return [...members.values()];
}

/** A to Z, then AA, AB and so on. */
const letter = (k: number): string =>
  k < 26 ? String.fromCharCode(65 + k) : letter(Math.floor(k / 26) - 1) + letter(k % 26);

function treeOf(members: readonly FamilyMember[]): readonly FamilyNode[] {
  const children = new Map<string, FamilyNode[]>();
  for (const member of [...members].reverse()) {
    const node = { member, children: children.get(member.phrase) ?? [] };
    const under = member.source?.a.phrase ?? '';
    children.set(under, [node, ...(children.get(under) ?? [])]);
  }
  return children.get('') ?? [];
}

function familyInWords({
  phrases,
  form,
}: {
  readonly phrases: readonly FamilyMember[];
  readonly form: string;
}): string {
  const own = phrases.filter(({ source }) => !source).length;
  const rest = phrases.length - own;
  const count = (n: number, what: string) => `${n} ${what}${n === 1 ? '' : 's'}`;
  const later =
    rest === 0 ? 'none comes from an earlier one' : `${rest} ${rest === 1 ? 'comes' : 'come'} from earlier ones`;
  return `${count(phrases.length, 'phrase')}: ${own} of ${own === 1 ? 'its' : 'their'} own, ${later}. Form: ${form}.`;
}
