// What a phrase is learned as a change of, told from what is known to what is new, whichever the solo plays first.
import { listed } from '../analysis/implied-words.js';
import type { Evidence, Relation } from '../analysis/phrase-relation-kinds.js';
import { relationInWords, type Unsaid } from '../analysis/phrase-relation-words.js';
import { hasFlag, placeOfTone, type ToneTable } from '../solo/tone-table.js';
import { idOf } from './plan-problem.js';
import type { Reuse } from './plan-steps.js';

/** A relation seen from the other phrase: what is `b` there is `a` here. */
function turned(r: Relation): Unsaid {
  const { evidence: e } = r;
  const evidence: Evidence = {
    ...e,
    tonesA: e.tonesB,
    tonesB: e.tonesA,
    fromA: e.fromB,
    fromB: e.fromA,
    ...(e.partsAt && {
      partsAt: { ...(e.partsAt.b && { a: e.partsAt.b }), ...(e.partsAt.a && { b: e.partsAt.a }) },
    }),
    ...(e.transposition !== undefined && { transposition: e.transposition === 0 ? 0 : -e.transposition }),
    ...(e.displacement !== undefined && { displacement: -e.displacement }),
    ...(e.stretch !== undefined && { stretch: 1 / e.stretch }),
  };
  const other = { a: 'b', b: 'a' } as const;
  return {
    ...r,
    a: r.b,
    b: r.a,
    evidence,
    ...('outer' in r && { outer: other[r.outer] }),
    ...('richer' in r && { richer: other[r.richer] }),
  } as Unsaid;
}

const notes = (count: number): string => `${count} ${count === 1 ? 'note' : 'notes'}`;
const phraseName = (r: Unsaid): string =>
  r.a.solo === r.b.solo ? `phrase ${r.a.phrase}` : `phrase ${r.a.phrase} of ${r.a.solo}`;

/** How a phrase is said as a change of one that is known, in words that follow "it": `opens as phrase 2 for 5 notes`. */
export function changeInWords(table: ToneTable, r: Relation, step: string): string {
  const isLater = idOf(r.b) === step;
  const seen: Unsaid = isLater ? r : turned(r);
  const moved = onOtherStrings(table, seen);
  if (moved !== undefined) return moved;
  if (isLater) return r.said;
  const { count } = seen.evidence;
  // These are said of the later phrase alone: a tail is taken up, notes are put in one after the other.
  if (seen.extent === 'tail') return `ends with the first ${notes(count)} of ${phraseName(seen)}`;
  if (seen.kind === 'varied' || (seen.kind === 'ornamented' && seen.viewpoint !== 'pitch+durations'))
    return `varies ${phraseName(seen)}: ${notes(count)} kept`;
  return relationInWords(table, seen);
}

/** The shape of a whole phrase on other strings at the same frets, as a player says it. */
function onOtherStrings(table: ToneTable, r: Unsaid): string | undefined {
  if (r.kind !== 'same-shape-elsewhere' || r.extent !== 'whole' || !r.viewpoint.includes('+')) return undefined;
  const { string, fret } = table.columns;
  const { tonesA, tonesB } = r.evidence;
  const by = (string[tonesB[0] as number] as number) - (string[tonesA[0] as number] as number);
  const isSame = tonesB.every(
    (row, k) =>
      (string[row] as number) - (string[tonesA[k] as number] as number) === by &&
      fret[row] === fret[tonesA[k] as number],
  );
  if (!isSame || by === 0) return undefined;
  const size = Math.abs(by) === 1 ? 'one string' : `${Math.abs(by)} strings`;
  const first = tonesB[0] as number;
  return `is ${phraseName(r)} ${size} ${by > 0 ? 'lower' : 'higher'}: start at ${fret[first]}@${string[first]}`;
}

/** An opening of one known phrase and an ending of another are said together from so many tones each, and if they leave at most half of the phrase. */
const LEAST_PART = 4;

/** What a step reuses: the phrase that it is nearest to; or the head of one and the tail of another, where both together hold more of it. */
export function reuseOf(
  table: ToneTable,
  step: string,
  changeOf: string | undefined,
  relations: readonly Relation[],
  numbers: ReadonlyMap<string, number>,
): Reuse | undefined {
  const own = relations.flatMap((r) => {
    const source = idOf(r.b) === step ? idOf(r.a) : idOf(r.a) === step ? idOf(r.b) : undefined;
    if (source === undefined || source === step || !numbers.has(source)) return [];
    return [{ r, source, rows: idOf(r.b) === step ? r.evidence.tonesB : r.evidence.tonesA }];
  });
  const best = own
    .filter(({ source }) => source === changeOf)
    .reduce<(typeof own)[number] | undefined>(
      (most, o) => (most && most.r.strength >= o.r.strength ? most : o),
      undefined,
    );
  const rows = tonesOf(table, step);
  const isNear = (r: Relation) =>
    /^(pitch|shape|steps)\+durations$/.test(r.viewpoint) && r.evidence.count >= LEAST_PART;
  const head = longest(own.filter(({ r, rows: at }) => isNear(r) && at[0] === rows[0]));
  const tail = longest(own.filter(({ r, rows: at }) => isNear(r) && at[at.length - 1] === rows[rows.length - 1]));
  if (head && tail && head.source !== tail.source) {
    const covered = new Set([...head.rows, ...tail.rows]);
    const left = rows.filter((row) => !covered.has(row));
    const alone = Math.max(
      head.rows.length,
      tail.rows.length,
      isNear(best?.r ?? head.r) ? (best?.rows.length ?? 0) : 0,
    );
    if (covered.size > alone + 2 && left.length * 2 <= rows.length) {
      const bars = [...new Set(left.map((row) => placeOfTone(table, row).bar))];
      const rest =
        left.length === 0
          ? 'nothing else is new'
          : `only ${bars.length === 1 ? 'bar' : 'bars'} ${listed(bars.map(String))} ${bars.length === 1 ? 'is' : 'are'} new`;
      const named = ({ r }: (typeof own)[number]): string => {
        const [other, here] = idOf(r.b) === step ? [r.a, r.b] : [r.b, r.a];
        return other.solo === here.solo ? `phrase ${other.phrase}` : `phrase ${other.phrase} of ${other.solo}`;
      };
      return {
        step: numbers.get(head.source) as number,
        also: numbers.get(tail.source) as number,
        said: `has the head of ${named(head)} (${notes(head.rows.length)}) and the tail of ${named(tail)} (${notes(tail.rows.length)}); ${rest}`,
      };
    }
  }
  return best && { step: numbers.get(best.source) as number, said: changeInWords(table, best.r, step) };
}

const longest = <T extends { readonly rows: readonly number[] }>(some: readonly T[]): T | undefined =>
  some.reduce<T | undefined>((most, o) => (most && most.rows.length >= o.rows.length ? most : o), undefined);

/** The tones of a phrase that are no ornaments, in time. */
function tonesOf(table: ToneTable, step: string): readonly number[] {
  const { solo, phrase } = table.columns;
  const found: number[] = [];
  for (let row = 0; row < table.rows; row++) {
    const named = table.solos[solo[row] as number];
    const id = named?.solo.phrases[phrase[row] as number]?.id;
    if (named && id !== undefined && idOf({ solo: named.id, phrase: id }) === step && !hasFlag(table, row, 'ornament'))
      found.push(row);
  }
  return found;
}
