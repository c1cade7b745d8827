// The roots that a phrase's tones are named over, its stretches of one chord, and tones outside the key that belong to their chord.
import { QUARTER } from '../foundation/time.js';
import { mod } from '../foundation/units.js';
import { type Chord, memberAt } from '../theory/chord.js';
import { inScale, type Key } from '../theory/scale.js';
import { listed } from './implied-words.js';
import {
  chordAt,
  endOf,
  isCurled,
  nextChange,
  onsetOf,
  type PhraseFacts,
  partOf,
  pitchClassOf,
  spanAtTime,
} from './phrase-facts.js';

/** From this share of chord tones on a line is said to follow its chords. */
export const FOLLOWS = 0.75;

/** A root that tones are named over, and the chord on it if that holds the phrase. */
export interface Root {
  readonly pc: number;
  readonly name: string;
  readonly chord?: Chord;
  readonly symbol?: string;
  /** The phrase only leads into this chord: tones make its triad or seventh chord, or are named over another root. */
  readonly led?: boolean;
  /** The last tone leaves this chord. */
  readonly left?: boolean;
}

/** A run of the line under chords on one root. What stands before the first chord leads to it; what stands under none belongs to the chord before. */
export interface Segment {
  readonly chord: Chord;
  readonly symbol: string;
  readonly rows: readonly number[];
}

export function segmentsOf(f: PhraseFacts): readonly Segment[] {
  const found: { chord: Chord; symbol: string; rows: number[] }[] = [];
  const before: number[] = [];
  for (const row of f.line) {
    const { chord, symbol } = spanAtTime(f, onsetOf(f, row));
    const last = found.at(-1);
    if (!chord) (last?.rows ?? before).push(row);
    else if (last?.chord.root === chord.root) last.rows.push(row);
    else found.push({ chord, symbol, rows: [...before.splice(0), row] });
  }
  return found;
}

/** A first stretch of three tones at most, half a bar and half a note before the change at the earliest: a pickup to what comes. */
export function leadsIn(f: PhraseFacts, [first, next]: readonly Segment[]): boolean {
  if (!first || !next || first.rows.length > 3) return false;
  const before = onsetOf(f, next.rows[0] as number) - onsetOf(f, first.rows[0] as number);
  return before <= Math.min(2 * QUARTER, f.grid.bar(f.entry.bar).meter.barTicks / 2);
}

/** True if a phrase begins, ends and mostly is on one pitch class, the root of its last chord. */
export function isHome(f: PhraseFacts, segments: readonly Segment[]): boolean {
  const pcs = f.line.map((row) => pitchClassOf(f, row));
  const home = pcs.at(-1) as number;
  const count = (pc: number) => pcs.filter((p) => p === pc).length;
  const isMost = pcs.every((pc) => pc === home || count(pc) < count(home));
  return pcs.length > 2 && segments.at(-1)?.chord.root === home && pcs[0] === home && isMost;
}

/** So many tones over one chord hold a phrase, though its last tone steps into the next. */
const LONG = 5;

/** The chord that a phrase is heard over as a whole, if one is. */
export function homeOf(f: PhraseFacts, segments: readonly Segment[]): Root | undefined {
  const last = segments.at(-1);
  if (!last) return undefined;
  const root = { pc: last.chord.root, name: last.chord.rootName, chord: last.chord, symbol: last.symbol };
  if (segments.length === 1 || isHome(f, segments)) return root;
  const [first] = segments as readonly [Segment];
  if (segments.length === 2 && last.rows.length === 1 && first.rows.length >= LONG)
    return { pc: first.chord.root, name: first.chord.rootName, chord: first.chord, symbol: first.symbol, left: true };
  return segments.length === 2 && leadsIn(f, segments) ? { ...root, led: true } : undefined;
}

/** A pitch class by the name that its first tone has. */
export function classNameOf(f: PhraseFacts, pc: number): string {
  const row = [...f.tones, ...f.graces].find((r) => pitchClassOf(f, r) === pc) as number;
  return f.table.names[f.table.columns.name[row] as number] as string;
}

/** What a pitch class is, wherever it comes: parts of chords, in order. */
type Parts = readonly { readonly part: string; readonly symbol: string }[];

/** Pitch classes outside the key that are always tones of their own chord. */
export function strangersIn(f: PhraseFacts, key: Key): ReadonlyMap<number, Parts> {
  const found = new Map<number, Parts>();
  const others = new Set<number>();
  for (const row of f.tones) {
    const pc = pitchClassOf(f, row);
    if (inScale(key, pc - key.tonic)) continue;
    const { chord, symbol } = spanAtTime(f, onsetOf(f, row));
    if (!chord || isCurled(f, row) || !memberAt(chord, mod(pc - chord.root, 12))) others.add(pc);
    else found.set(pc, [...(found.get(pc) ?? []), { part: partOf(f, row, chord), symbol }]);
  }
  return new Map([...found].filter(([pc]) => !others.has(pc)));
}

/** `; C# only as the third of A7`, of those left out of a name: bits of pitch classes. */
export function strangerWords(f: PhraseFacts, strangers: ReadonlyMap<number, Parts>, left: number): string {
  const byParts = new Map<string, { names: string[]; parts: string[] }>();
  for (const [pc, parts] of strangers) {
    if ((left & (1 << pc)) === 0) continue;
    const distinct = [...new Map(parts.map((p) => [`${p.part} of ${p.symbol}`, p])).values()];
    const [one] = distinct;
    const key = distinct.length === 1 && one ? one.symbol : `${pc}`;
    const known = byParts.get(key) ?? { names: [], parts: [] };
    known.names.push(classNameOf(f, pc));
    known.parts.push(
      ...(distinct.length === 1 && one ? [one.part] : distinct.map((p) => `the ${p.part} of ${p.symbol}`)),
    );
    byParts.set(key, known);
  }
  const words = [...byParts].map(([symbol, { names, parts }]) => {
    if (parts[0]?.startsWith('the ')) return `${listed(names)} only as ${listed(parts)}`;
    return `${listed(names)} only as ${parts.length === 1 ? 'the ' : ''}${listed(parts)} of ${symbol}`;
  });
  return words.length === 0 ? '' : `; ${words.join(', ')}`;
}

/** Tones and those of them that are members of their chord, or of one that is given; a curled tone is the member it is curled from or to. */
export function chordTones(f: PhraseFacts, one?: Chord): { readonly members: number; readonly of: number } {
  const under = f.tones.flatMap((row) => {
    const chord = one ?? chordAt(f, onsetOf(f, row));
    return chord ? [{ chord, row }] : [];
  });
  const isMember = (chord: Chord, row: number): boolean => {
    const s = mod(pitchClassOf(f, row) - chord.root, 12);
    return memberAt(chord, s) !== undefined || (isCurled(f, row) && memberAt(chord, mod(s + 1, 12)) !== undefined);
  };
  // A tone that is pushed, or held, over a change belongs to the chord it is held into as well.
  const held = (row: number): Chord | undefined => {
    const next = one ? undefined : nextChange(f, onsetOf(f, row));
    return next && next.start < endOf(f, row) ? next.chord : undefined;
  };
  const members = under.filter(({ chord, row }) => {
    const next = held(row);
    return isMember(chord, row) || (next !== undefined && isMember(next, row));
  });
  return { members: members.length, of: under.length };
}
