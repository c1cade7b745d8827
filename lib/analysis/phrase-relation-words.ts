// A sentence for each relation, said of the later phrase as a teacher would say it.
import { type Place, placeOfTone, type ToneTable, toneName } from '../solo/tone-table.js';
import { intervalInWords } from '../theory/interval.js';
import type { Meter } from '../theory/meter.js';
import { listed } from './implied-words.js';
import type { BarKinship, Edit, Evidence, Extent, Relation } from './phrase-relation-kinds.js';
import { meterOfTone } from './phrase-relation-pair.js';
import { countInWords } from './spoken.js';

/** A relation that has not been put in words. */
export type Unsaid = Relation extends infer R ? (R extends Relation ? Omit<R, 'said'> : never) : never;

/** How a relation is said. */
export function relationInWords(table: ToneTable, r: Unsaid): string {
  const { evidence } = r;
  const { count } = evidence;
  const other = r.a.solo === r.b.solo ? `phrase ${r.a.phrase}` : `phrase ${r.a.phrase} of ${r.a.solo}`;
  switch (r.kind) {
    case 'same':
      return `is ${other} again${withOthers(r.viewpoint)}${withoutTimes(r.viewpoint)}${later(evidence)}, all ${notes(count)}`;
    case 'displaced':
      return `is ${other} again${withOthers(r.viewpoint)}${later(evidence)}, all ${notes(count)}`;
    case 'same-opening':
    case 'same-ending':
    case 'takes-up-the-tail':
      return `${partly(table, r.extent, other, evidence)}${withOthers(r.viewpoint)}${withoutTimes(r.viewpoint)}${later(evidence)}`;
    case 'contains': {
      const where = atTone(table, (r.outer === 'b' ? evidence.tonesB : evidence.tonesA)[0] as number);
      const does = r.outer === 'b' ? 'contains all of' : 'stands whole inside';
      return `${does} ${other} (${notes(count)}, from ${where})${withOthers(r.viewpoint)}${withoutTimes(r.viewpoint)}`;
    }
    case 'transposed':
      return `${partly(table, r.extent, other, evidence, ` moved ${moved(evidence.transposition as number)}`)}${withoutTimes(r.viewpoint)}${later(evidence)}`;
    case 'same-shape-elsewhere':
      return `${partly(table, r.extent, `the shape of ${other}`, evidence)}; the hand starts at ${neckPlace(table, evidence.tonesB)} instead of ${neckPlace(table, evidence.tonesA)}${withoutTimes(r.viewpoint)}`;
    case 'same-degrees-over-another-chord':
      return `${partly(table, r.extent, `the degrees of ${other}`, evidence)}; over ${chordsUnder(table, evidence.tonesB)} instead of ${chordsUnder(table, evidence.tonesA)}${withoutTimes(r.viewpoint)}`;
    case 'rhythm-only':
      return `${partly(table, r.extent, `the rhythm of ${other}`, evidence)}${later(evidence)}`;
    case 'stretched': {
      const by = evidence.transposition === 0 ? '' : `, moved ${moved(evidence.transposition as number)}`;
      return `is ${other} ${stretchInWords(evidence.stretch as number)}${by}, all ${notes(count)}`;
    }
    case 'ornamented': {
      const added = additions(evidence.edits ?? [], r.richer);
      if (r.viewpoint !== 'pitch+durations') return delayedInWords(table, r, other);
      const plain = r.richer === 'b' ? `is ${other} ornamented` : `is ${other} without its ornaments`;
      return `${plain}: ${notes(count)} kept at their times; ${added}`;
    }
    case 'varied': {
      const edits = (evidence.edits ?? []).map((e) => editInWords(table, e));
      const shown = edits.length > 4 ? [...edits.slice(0, 3), `${edits.length - 3} more changes`] : edits;
      const where =
        evidence.transposition === undefined || evidence.transposition === 0
          ? ''
          : `, moved ${moved(evidence.transposition)}`;
      if (r.bars) return `varies ${other} bar by bar: ${listed([...r.bars.flatMap(barInWords), ...shown])}`;
      return `varies ${other}${where}: ${notes(count)} kept; ${listed(shown)}`;
    }
    case 'answers': {
      const alike = r.by === 'rhythm' ? 'the same rhythm' : 'the same notes';
      return `answers ${other}: opens with ${alike} for ${notes(count)}, ends on ${r.landings.b} where that ended on ${r.landings.a}`;
    }
    case 'sequence': {
      const places = r.copies.map((row) => atTone(table, row));
      return `repeats a cell of ${notes(count)} moved ${moved(evidence.transposition as number)} (${listed(places)})`;
    }
  }
}

/** `opens as phrase 1 ornamented: 6 notes kept, 2 put in between (G4 and F4, from bar 13, the and of 4), the rest later`. */
function delayedInWords(table: ToneTable, r: Extract<Unsaid, { readonly kind: 'ornamented' }>, other: string): string {
  const { evidence, extent, richer } = r;
  const rows = (evidence.edits ?? []).map(({ b }) => b[0] as number);
  const by = evidence.transposition === 0 ? '' : ` moved ${moved(evidence.transposition as number)}`;
  const how = richer === 'b' ? 'with notes put in' : 'without notes that are put in there';
  const put = `${listed(rows.map((row) => toneName(table, row)))}, from ${atTone(table, rows[0] as number)}`;
  return `${extent === 'whole' ? 'is' : 'opens as'} ${other}${by} ${how}: ${notes(evidence.count)} kept, ${rows.length} between them that ${richer === 'b' ? 'delay' : 'delayed'} the rest (${put})`;
}

/** `bar 4 up a step of the scale`, `bar 5 the same`. */
function barInWords({ bar, kin, semitones, steps }: BarKinship): readonly string[] {
  if (kin === 'other') return [];
  const name = bar === 0 ? 'the pickup bar' : `bar ${bar}`;
  if (kin === 'same') return [`${name} the same`];
  if (semitones !== undefined) return [`${name} moved ${moved(semitones)}`];
  const size = Math.abs(steps as number);
  return [`${name} ${(steps as number) > 0 ? 'up' : 'down'} ${size === 1 ? 'a step' : `${size} steps`} of the scale`];
}

/** What is shared with what: all, an opening, an ending. `how` says in which way. */
function partly(table: ToneTable, extent: Extent, what: string, evidence: Evidence, how = ''): string {
  const { count, partsAt, tonesB } = evidence;
  const from = atTone(table, tonesB[0] as number);
  switch (extent) {
    case 'whole':
      return what.startsWith('phrase')
        ? `is ${what}${how}, all ${notes(count)}`
        : `has ${what} throughout (${notes(count)})`;
    case 'opening': {
      const meter = meterOfTone(table, tonesB[count - 1] as number);
      const opens = `opens ${joined(what)}${how} for ${notes(count)}`;
      if (partsAt?.b === undefined) return `${opens} and ends there`;
      return `${opens}, ${partsAt.a === undefined ? 'goes on' : 'parts'} at ${inBar(partsAt.b, meter)}`;
    }
    case 'ending':
      return `ends ${joined(what)}${how} for ${notes(count)}, from ${from}`;
    case 'tail':
      return `opens ${what.startsWith('phrase') ? `with the last ${notes(count)} of ${what}` : `with ${what}, its last ${notes(count)}`}${how}`;
    case 'inside':
    case 'run':
      return `has ${what.startsWith('phrase') ? `${notes(count)} of ${what}` : `${what} for ${notes(count)}`}${how}, from ${from}`;
  }
}

const joined = (what: string): string => (what.startsWith('phrase') ? `as ${what}` : `with ${what}`);

/** `bar 3, the and of 2`. */
function atTone(table: ToneTable, row: number): string {
  return inBar(placeOfTone(table, row), meterOfTone(table, row));
}

const inBar = ({ bar, count }: Place, meter: Meter): string =>
  `${bar === 0 ? 'the pickup bar' : `bar ${bar}`}, ${countInWords(count, meter)}`;

const notes = (count: number): string => `${count} ${count === 1 ? 'note' : 'notes'}`;

const withoutTimes = (viewpoint: string): string => (viewpoint.includes('+') ? '' : ', in another rhythm');

/** Of the same line in double-stops, or without them. */
const withOthers = (viewpoint: string): string => (viewpoint.startsWith('steps') ? ', with other notes under it' : '');

function later({ displacement }: Evidence): string {
  if (displacement === undefined) return '';
  const size = Math.abs(displacement);
  const words = size === 0.5 ? 'half a beat' : size === 1 ? 'a beat' : `${fraction(size)} beats`;
  return `, ${words} ${displacement > 0 ? 'later' : 'earlier'} in the bar`;
}

/** `up an octave`, `down a fourth`. */
const moved = (semitones: number): string => `${semitones > 0 ? 'up' : 'down'} ${intervalInWords(semitones)}`;

function stretchInWords(by: number): string {
  if (by === 2) return 'in notes twice as long';
  if (by === 0.5) return 'in notes half as long';
  return `with all times ${fraction(by)} as long`;
}

/** A number as a whole one and a fraction with a small denominator where it is one: `1 1/2`, `2/3`. */
function fraction(x: number): string {
  for (const under of [1, 2, 3, 4, 5, 6, 7, 8, 9, 12, 16]) {
    const over = Math.round(x * under);
    if (Math.abs(over / under - x) > 1e-9) continue;
    const whole = Math.floor(over / under);
    const rest = over - whole * under;
    return rest === 0 ? String(whole) : `${whole > 0 ? `${whole} ` : ''}${rest}/${under}`;
  }
  return x.toFixed(3);
}

function neckPlace({ columns: { string, fret } }: ToneTable, [row]: readonly number[]): string {
  return `${fret[row as number]}@${string[row as number]}`;
}

/** The chords under tones, each named where it comes in. */
function chordsUnder({ columns: { chord }, chords }: ToneTable, rows: readonly number[]): string {
  const names = rows.map((row) => chords[chord[row] as number] as string);
  return listed(names.filter((name, k) => name !== names[k - 1]));
}

const ADDED: readonly (readonly [Edit['what'], string, string])[] = [
  ['grace', 'grace', 'graces'],
  ['add', 'note between', 'notes between'],
  ['curl', 'curl', 'curls'],
  ['voice', 'double-stop', 'double-stops'],
];

/** How many of each are more in the richer phrase, and how many tones of the plainer one are not kept. */
function additions(edits: readonly Edit[], richer: 'a' | 'b'): string {
  const counted = ADDED.flatMap(([what, one, many]) => {
    const n = edits.filter((e) => e.what === what).length;
    return n === 0 ? [] : [`${n} ${n === 1 ? one : many}`];
  });
  const others = edits.filter(({ what }) => what === 'change' || what === 'drop').length;
  const kept = others === 0 ? '' : `; ${notes(others)} not kept`;
  return `${richer === 'b' ? 'adds' : 'leaves out'} ${listed(counted)}${kept}`;
}

function editInWords(table: ToneTable, { what, a, b }: Edit): string {
  const names = (rows: readonly number[]) => listed(rows.map((row) => toneName(table, row)));
  const where = b[0] === undefined ? '' : ` (${atTone(table, b[0])})`;
  switch (what) {
    case 'drop':
      return `${names(a)} is left out`;
    case 'add':
    case 'grace':
    case 'voice':
      return `${names(b)} is added${where}`;
    case 'curl':
      return `${names(a)} is curled${where}`;
    case 'length':
      return `${names(b)} has another length${where}`;
    case 'split':
      return `${names(a)} is split into ${names(b)}${where}`;
    case 'join':
      return `${names(a)} are joined into ${names(b)}${where}`;
    case 'change':
      return `${names(a)} becomes ${names(b)}${where}`;
  }
}
