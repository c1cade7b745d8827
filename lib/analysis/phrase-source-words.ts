// What a phrase is of an earlier one, in a short form.
import { intervalInWords } from '../theory/interval.js';
import { listed } from './implied-words.js';
import { chordAt, isCurled, onsetOf, type PhraseFacts, placeOf } from './phrase-facts.js';
import type { Edit, Evidence, Ornamentation, Relation, Variation } from './phrase-relation-kinds.js';
import { barInWords, numberInWords } from './spoken.js';

/** `Phrase 1, a fourth up`; `Opens as phrase 5 for 4 notes`. */
export function sourceWords(f: PhraseFacts): string | undefined {
  const { source: r } = f;
  if (!r) return undefined;
  const { evidence } = r;
  const other = `phrase ${r.a.phrase}`;
  const by = moved(evidence.transposition);
  const times = r.viewpoint.includes('+') ? '' : ', in another rhythm';
  const under = r.viewpoint.startsWith('steps') && by === '' ? ', with other notes under it' : '';
  switch (r.kind) {
    case 'same':
      return `Phrase ${r.a.phrase} again${under}${times}`;
    case 'displaced':
      return `Phrase ${r.a.phrase}${later(evidence)}${under}`;
    case 'ornamented':
      return `${r.extent === 'opening' ? `Opens as ${other}` : `Phrase ${r.a.phrase}`}${by} ${r.richer === 'b' ? 'with' : 'without its'} ${ornaments(r)}`;
    case 'stretched':
      return `Phrase ${r.a.phrase}${by} ${pace(evidence.stretch as number)}`;
    case 'contains':
      return r.outer === 'b'
        ? `Has all of ${other} in it, from ${barAndCount(f, evidence)}`
        : `A piece of ${other} (${notes(evidence)})`;
    case 'varied':
      return varied(f, r);
    case 'same-shape-elsewhere':
      return `${part(r, `the shape of ${other}`)}, ${elsewhere(f, evidence)}${times}`;
    case 'same-degrees-over-another-chord':
      return `${part(r, `the degrees of ${other}`)}, over ${chordsUnder(f, evidence)}${times}`;
    default:
      return `${part(r, other)}${by}${under}${times}`;
  }
}

/** True if it is the earlier phrase note for note in the same rhythm, over chords that make the same of it. */
export function isRepeat(f: PhraseFacts): boolean {
  const { source, table } = f;
  if (source?.kind !== 'same' || source.viewpoint !== 'pitch+durations') return false;
  const { degree } = table.columns;
  const { tonesA, tonesB } = source.evidence;
  const ornaments = (from: number, to: number) => to - from - tonesA.length;
  const [lastA, lastB] = [tonesA.at(-1) as number, tonesB.at(-1) as number];
  return (
    tonesA.every((row, k) => degree[row] === degree[tonesB[k] as number]) &&
    ornaments(tonesA[0] as number, lastA + 1) === ornaments(tonesB[0] as number, lastB + 1)
  );
}

const notes = ({ count }: Evidence): string => `${count} notes`;

function part({ extent, evidence }: Relation, what: string): string {
  const whole = what.startsWith('phrase');
  switch (extent) {
    case 'whole':
      return what.charAt(0).toUpperCase() + what.slice(1);
    case 'opening':
      return `Opens ${whole ? 'as' : 'with'} ${what} for ${notes(evidence)}`;
    case 'ending':
      return `Ends ${whole ? 'as' : 'with'} ${what} for ${notes(evidence)}`;
    case 'tail':
      return `Opens with ${whole ? '' : `${what}, `}the last ${notes(evidence)}${whole ? ` of ${what}` : ' of it'}`;
    default:
      return `Has ${whole ? `${notes(evidence)} of ${what}` : `${what} for ${notes(evidence)}`}`;
  }
}

/** `, a fourth up`; nothing for no move or none that is the same for all. */
function moved(semitones: number | undefined): string {
  if (semitones === undefined || semitones === 0) return '';
  return `, ${intervalInWords(semitones)} ${semitones > 0 ? 'up' : 'down'}`;
}

function later({ displacement = 0 }: Evidence): string {
  const size = Math.abs(displacement);
  const halves = size * 2;
  const words =
    size === 0.5
      ? ' half a beat'
      : size === 1
        ? ' a beat'
        : Number.isInteger(halves)
          ? ` ${numberInWords(Math.floor(size))}${halves % 2 === 1 ? ' and a half' : ''} beats`
          : '';
  return `${words || ', some way'} ${displacement > 0 ? 'later' : 'earlier'}`;
}

function pace(by: number): string {
  if (by === 2) return 'at half the pace';
  if (by === 0.5) return 'at twice the pace';
  return by > 1 ? 'in longer notes' : 'in shorter notes';
}

const KINDS: readonly (readonly [Edit['what'], string, string])[] = [
  ['grace', 'a grace', 'graces'],
  ['curl', 'a curl', 'curls'],
  ['add', 'a note between', 'notes between'],
  ['voice', 'a double-stop', 'double-stops'],
];

function ornaments({ richer, evidence: { edits = [] } }: Ornamentation): string {
  // Of graces and notes between, those that the plainer phrase has more are not kept; they are no ornaments of the other.
  const isAdded = ({ what, a }: Edit) => (what === 'grace' || what === 'add' ? a.length === 0 : true);
  const counted = KINDS.flatMap(([what, one, many]) => {
    const n = edits.filter((e) => e.what === what && isAdded(e)).length;
    if (n === 0) return [];
    return [n === 1 ? (richer === 'b' ? one : one.replace('a ', '')) : many];
  });
  const changed = edits.filter(({ what }) => what === 'change').length;
  return `${listed(counted)}${changed === 0 ? '' : `, ${numberInWords(changed)} ${changed === 1 ? 'note' : 'notes'} changed`}`;
}

/** Where the edits of a variation stand: one curl, one bar, the end; else how much is kept. */
function varied(f: PhraseFacts, r: Variation): string {
  const { evidence, extent } = r;
  const { edits = [], count, tonesB } = evidence;
  const name = `hrase ${r.a.phrase}${moved(evidence.transposition)}`;
  if (extent === 'run') return `Has ${notes(evidence)} of p${name}`;
  const curled = edits.filter(({ what, b }) => what === 'curl' && b.every((row) => isCurled(f, row))).length;
  if (edits.length > 0 && curled === edits.length)
    return `P${name}, with ${curled === 1 ? 'a curl' : `${numberInWords(curled)} curls`}`;
  const rows = edits.flatMap(({ b }) => b);
  const bars = new Set(rows.map((row) => placeOf(f, row).bar));
  const first = Math.min(...rows.map((row) => onsetOf(f, row)));
  const keptAfter = tonesB.some((row) => onsetOf(f, row) > first && !rows.includes(row));
  if (rows.length > 0 && !keptAfter) return `P${name}, with another ending`;
  if (bars.size === 1) return `P${name}, changed in ${barInWords([...bars][0] as number)}`;
  return `P${name}, varied: ${numberInWords(count)} ${count === 1 ? 'note' : 'notes'} kept`;
}

function elsewhere(f: PhraseFacts, { tonesA, tonesB }: Evidence): string {
  const { string, fret } = f.table.columns;
  const [a, b] = [tonesA[0] as number, tonesB[0] as number];
  const at = `fret ${fret[b]}`;
  return string[a] === string[b] ? `moved to ${at}` : `moved to string ${string[b]}, ${at}`;
}

function barAndCount(f: PhraseFacts, { tonesB }: Evidence): string {
  const { bar, count } = placeOf(f, tonesB[0] as number);
  return `${barInWords(bar)} on ${count}`;
}

function chordsUnder(f: PhraseFacts, { tonesB }: Evidence): string {
  const names = tonesB.flatMap((row) => chordAt(f, onsetOf(f, row))?.symbol ?? []);
  return listed(names.filter((name, k) => name !== names[k - 1]));
}
