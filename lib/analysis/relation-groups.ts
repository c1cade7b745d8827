// Relations of thousands of phrases without comparing all pairs: groups that share a stretch come from maximal repeats, edited pairs from an index of seeds.
import { phrasesOf } from '../math/phrases.js';
import { maximalRepeats } from '../math/repeats.js';
import type { ToneTable } from '../solo/tone-table.js';
import type { RelationOptions } from './phrase-relation.js';
import { extentsOf, leastOf } from './phrase-relation-exact.js';
import type { Extent, Relation, RelationKind } from './phrase-relation-kinds.js';
import {
  firstTone,
  LOOKS,
  type Look,
  type PhraseCorpus,
  type PhraseLine,
  type PhraseRef,
  phraseCorpus,
  tonesIn,
} from './phrase-relation-lines.js';
import { isVaried, SAME_NOTES } from './phrase-relation-pair.js';
import { relationPairs } from './relation-seeds.js';

/** A phrase in a group, and where in it the shared stretch begins. */
export interface GroupMember extends PhraseRef {
  /** The first shared tone: a row of the tone table. */
  readonly row: number;
}

/** Phrases that share a stretch. */
export interface RelationGroup {
  /** What two phrases of it are to one another, as a rule; of two that are alike in more, what they then are. */
  readonly kind: RelationKind;
  readonly viewpoint: string;
  readonly extent: Extent;
  /** Tones that all of them share. Smaller groups that share more are groups of their own. */
  readonly count: number;
  /** In order of the table. Of tails: those that end with it. Of containment: those that stand whole inside others. Else all. */
  readonly from: readonly GroupMember[];
  /** Of tails: those that open with it. Of containment: those that hold it. Else the same list as `from`. */
  readonly into: readonly GroupMember[];
  readonly said: string;
}

/** All relations of a corpus: stretches that phrases share, as groups; and what is found pair by pair. */
export interface RelationGroups {
  readonly groups: readonly RelationGroup[];
  /** Relations of kinds `ornamented`, `varied`, `answers` and `sequence`, in order of the later phrase. */
  readonly pairs: readonly Relation[];
}

/**
 * The relations that {@link relationsOf} finds, as groups, without comparing all pairs. {@link expandGroups} gives them pair by pair.
 * Shared stretches are maximal repeats of all phrases in each viewpoint, found with a suffix array; variations and ornaments are looked for only in pairs
 * that share enough short runs, by an index of these. Time grows with the tones and with what is found.
 * @param options - `within` as for relationsOf, but for groups the default is the whole corpus.
 * @throws RangeError if more than 100,000 pairs may be variations: their number grows with the square of how often each is played
 * @example
 * const table = toneTable([{ id: 'two-doors-down', solo: parseSoloOrThrow(EXAMPLE_SOLO) }])
 * relationGroups(table).groups.length // => 0
 */
export function relationGroups(table: ToneTable, options: RelationOptions = {}): RelationGroups {
  const corpus = phraseCorpus(table);
  const { within = 'corpus', kinds } = options;
  const wanted = (kind: RelationKind) => !kinds || kinds.includes(kind);
  const part = (line: PhraseLine) => (within === 'corpus' ? 0 : within === 'player' ? line.player : line.solo);
  const groups = LOOKS.flatMap((look: Look, number) =>
    kindsOf(look).some(wanted) ? groupsOfLook(corpus, number, part).filter(({ kind }) => wanted(kind)) : [],
  );
  return { groups, pairs: relationPairs(corpus, within, wanted) };
}

/** The kinds that a look can give. */
function kindsOf({ main, time }: Look): readonly RelationKind[] {
  if (!main) return ['rhythm-only'];
  if (time?.name === 'rhythm') return ['stretched'];
  if (main.name === 'shape') return ['same-shape-elsewhere'];
  if (main.name === 'degree') return ['same-degrees-over-another-chord'];
  const same: readonly RelationKind[] = [...Object.values(SAME_NOTES), 'displaced'];
  return main.name === 'pitch' ? same : ['transposed', ...same];
}

/** A place of a repeat. */
interface Spot {
  readonly line: PhraseLine;
  /** The tone that the shared stretch begins with. */
  readonly tone: number;
  /** The symbol before and after the repeat; 0 where the phrase begins or ends. */
  readonly before: number;
  readonly after: number;
}

const isFirst = ({ before }: Spot) => before === 0;
const isLast = ({ after }: Spot) => after === 0;
const isWhole = (spot: Spot) => isFirst(spot) && isLast(spot);

/** The groups of one look: what two phrases share, from their beginnings, to their ends or wherever, is a maximal repeat that both are places of. */
function groupsOfLook(corpus: PhraseCorpus, number: number, part: (line: PhraseLine) => number): RelationGroup[] {
  const look = LOOKS[number] as Look;
  const extents = extentsOf(look);
  const least = Math.min(...extents.map((extent) => leastOf(look, extent)));
  const phrases = phrasesOf(corpus.texts[number]?.texts as readonly Int32Array[]);
  const { symbols, starts } = phrases;
  const { count: many, lengths, offsets, places } = maximalRepeats(phrases, { leastLength: symbolsFor(look, least) });
  const phraseOf: Int32Array = new Int32Array(symbols.length);
  for (let p = 0; p < corpus.phrases.length; p++) phraseOf.fill(p, starts[p], starts[p + 1]);
  const groups: RelationGroup[] = [];
  for (let r = 0; r < many; r++) {
    const length = lengths[r] as number;
    const here = places.subarray(offsets[r], offsets[r + 1]);
    const index = (place: number) => place - (starts[phraseOf[place] as number] as number);
    const { skip } = firstTone(look, index(here[0] as number)); // the same at all places: a tone is never taken for a distance
    const count = tonesIn(look, length - skip);
    if (count < least) continue;
    const first = (place: number) => index(place) === 0;
    const last = (place: number) => symbols[place + length] === 0;
    const anywhere =
      extents.includes('run') || (extents.includes('inside') && here.some((at) => first(at) && last(at)));
    const parts = new Map<number, Spot[]>();
    for (const place of here) {
      if (!anywhere && !first(place) && !last(place)) continue;
      const line = corpus.phrases[phraseOf[place] as number] as PhraseLine;
      const { tone } = firstTone(look, index(place));
      const before = first(place) ? 0 : (symbols[place - 1] as number);
      const spot = { line, tone, before, after: symbols[place + length] as number };
      const known = parts.get(part(line));
      if (known) known.push(spot);
      else parts.set(part(line), [spot]);
    }
    for (const spots of parts.values())
      for (const extent of extents)
        if (count >= leastOf(look, extent)) {
          const group = groupOf(corpus.table, look, extent, count, spots);
          if (group) groups.push(group);
        }
  }
  return groups;
}

/** Symbols that so many tones take at least. */
function symbolsFor(look: Look, tones: number): number {
  let symbols = 1;
  while (tonesIn(look, symbols) < tones) symbols++;
  return symbols;
}

function groupOf(
  table: ToneTable,
  look: Look,
  extent: Extent,
  count: number,
  spots: readonly Spot[],
): RelationGroup | undefined {
  const [from, into] = sides(extent, spots);
  if (from.length === 0 || into.length === 0 || (from === into && !sharesJustThis(extent, from))) return undefined;
  const all = from === into ? from : [...from, ...into];
  const kind = kindOfGroup(table, look, extent, count, all);
  if (kind === undefined || !all.some(({ line, tone }) => isVaried(table, look, line, tone, count))) return undefined;
  const members = (side: readonly Spot[]) =>
    side.map(({ line, tone }): GroupMember => ({ ...line.ref, row: line.events[tone]?.row as number }));
  const shown = members(from);
  const facts = { kind, viewpoint: look.name, extent, count, from: shown, into: from === into ? shown : members(into) };
  return { ...facts, said: groupInWords(facts) };
}

/** Which of the places of a repeat are a group in some extent. */
function sides(extent: Extent, spots: readonly Spot[]): readonly [readonly Spot[], readonly Spot[]] {
  const one = (side: readonly Spot[]) => [side, side] as const;
  switch (extent) {
    case 'whole':
      return one(spots.filter(isWhole));
    case 'opening':
      return one(spots.filter(isFirst));
    case 'ending':
      return one(spots.filter(isLast));
    case 'run':
      return one(spots);
    case 'inside': {
      const inner = spots.filter(isWhole);
      return [
        inner,
        inner.length === 0 ? [] : spots.filter((spot, k) => !isWhole(spot) && spots[k - 1]?.line !== spot.line),
      ];
    }
    case 'tail': {
      const from = spots.filter((spot) => isLast(spot) && !isFirst(spot));
      const into = spots.filter((spot) => isFirst(spot) && !isLast(spot));
      const earlier = (from[0]?.line.index ?? 0) < (into[into.length - 1]?.line.index ?? 0);
      return earlier ? [from, into] : [[], []];
    }
  }
}

/** Whether some two phrases of a group share no more than the group does. */
function sharesJustThis(extent: Extent, spots: readonly Spot[]): boolean {
  if (spots[0]?.line === spots[spots.length - 1]?.line) return false; // one phrase, or none
  if (extent === 'whole' || extent === 'run') return true;
  const next = extent === 'opening' ? ({ after }: Spot) => after : ({ before }: Spot) => before;
  if (spots.every(isWhole)) return false;
  return spots.some((spot) => next(spot) === 0 || next(spot) !== next(spots[0] as Spot));
}

/** What phrases of a group are to one another; `undefined` if a more literal group says as much of all of them. */
function kindOfGroup(
  table: ToneTable,
  look: Look,
  extent: Extent,
  count: number,
  spots: readonly Spot[],
): RelationKind | undefined {
  const { pitch, string, fret } = table.columns;
  const rowAt = ({ line, tone }: Spot, k: number) => line.events[tone + k]?.row as number;
  const onset = ({ line, tone }: Spot, k: number) => line.events[tone + k]?.onset as number;
  const [one] = spots as readonly [Spot, ...Spot[]];
  const some = (differs: (spot: Spot, k: number) => boolean, tones = count) =>
    spots.some((spot) => {
      for (let k = 0; k < tones; k++) if (differs(spot, k)) return true;
      return false;
    });
  // In one rhythm all of it: the group of the look with times says so.
  if (look.main && !look.time && !some((s, k) => onset(s, k) - onset(s, 0) !== onset(one, k) - onset(one, 0)))
    return undefined;
  const pitchAt = (spot: Spot, k: number) => pitch[rowAt(spot, k)] as number;
  if (!look.main)
    return some((s, k) => pitchAt(s, k) - pitchAt(s, 0) !== pitchAt(one, k) - pitchAt(one, 0))
      ? 'rhythm-only'
      : undefined;
  if (look.main.name === 'pitch') return SAME_NOTES[extent];
  if (look.main.name === 'shape')
    return some((s, k) => string[rowAt(s, k)] !== string[rowAt(one, k)] || fret[rowAt(s, k)] !== fret[rowAt(one, k)], 1)
      ? 'same-shape-elsewhere'
      : undefined;
  if (look.main.name === 'degree')
    return some((s, k) => (pitchAt(s, k) - pitchAt(one, k)) % 1200 !== 0)
      ? 'same-degrees-over-another-chord'
      : undefined;
  const span = (spot: Spot) => onset(spot, count - 1) - onset(spot, 0);
  if (look.time?.name === 'rhythm') return spots.some((s) => span(s) !== span(one)) ? 'stretched' : undefined;
  if (some((s, k) => pitchAt(s, k) !== pitchAt(one, k), 1)) return 'transposed';
  const voices = (spot: Spot, k: number) => spot.line.events[spot.tone + k]?.rows.map((row) => pitch[row]).join();
  return some((s, k) => voices(s, k) !== voices(one, k)) ? SAME_NOTES[extent] : undefined;
}

const ALIKE: Readonly<Record<string, string>> = {
  'pitch+durations': 'notes, in one rhythm',
  'steps+durations': 'notes, moved, in one rhythm',
  'shape+durations': 'notes in the movement of the hand, in one rhythm',
  'degree+durations': 'notes in their degrees, in one rhythm',
  'steps+rhythm': 'notes, in longer or shorter values',
  pitch: 'notes, in any rhythm',
  steps: 'notes, moved, in any rhythm',
  shape: 'notes in the movement of the hand, in any rhythm',
  degree: 'notes in their degrees, in any rhythm',
  durations: 'notes in rhythm',
};

function groupInWords({ extent, viewpoint, count, from, into }: Omit<RelationGroup, 'said'>): string {
  const what = `${count} ${ALIKE[viewpoint]}`;
  const phrases = (n: number) => `${n} ${n === 1 ? 'phrase' : 'phrases'}`;
  switch (extent) {
    case 'whole':
      return `${phrases(from.length)} are alike: ${what}`;
    case 'opening':
      return `${phrases(from.length)} open alike: ${what}`;
    case 'ending':
      return `${phrases(from.length)} end alike: ${what}`;
    case 'run':
      return `${from.length} places are alike: ${what}`;
    case 'inside':
      return `${phrases(from.length)} of ${what}, whole inside ${into.length} others`;
    case 'tail':
      return `${phrases(from.length)} ${from.length === 1 ? 'ends' : 'end'} with what opens ${into.length} others: ${what}`;
  }
}
