// The chord of the moment, and what a tone is against it.
import { QUARTER } from '../foundation/time.js';
import { type Cents, mod, type PitchClass, type Ticks, ticks } from '../foundation/units.js';
import { type Chord, isChord, isNoChord, isTension, type MemberRole, memberAt, parseChord } from '../theory/chord.js';
import { type Degree, degreeAbove } from '../theory/interval.js';
import { type PitchName, plainName } from '../theory/pitch.js';
import { chromaticName, inScale, type Key, romanNumeral } from '../theory/scale.js';
import type { BarGrid } from './changes.js';
import { gridOf, type Solo } from './solo.js';

/** A stretch of time under one chord symbol. `chord` is `undefined` under `N.C.` and before the first chord. */
export interface ChordSpan {
  readonly start: Ticks;
  /** Where the next span starts; `Infinity` for the last. */
  readonly end: number;
  readonly symbol: string;
  readonly chord: Chord | undefined;
  /** True where root or quality differ from the span before: a change. */
  readonly isChange: boolean;
  readonly kind: 'chord' | 'no chord' | 'pickup';
}

/**
 * The spans of a solo's changes in order; one after the other with no gap, from tick 0. Equal symbols in a row are one span.
 * @example
 * chordSpans(parseSoloOrThrow(EXAMPLE_SOLO)).map((s) => s.symbol) // => ['', 'Am7', 'D7', 'Am7', 'E7']
 */
export function chordSpans(solo: Solo, grid: BarGrid = gridOf(solo)): readonly ChordSpan[] {
  const spans: {
    start: Ticks;
    end: number;
    symbol: string;
    chord: Chord | undefined;
    isChange: boolean;
    kind: ChordSpan['kind'];
  }[] = [
    { start: ticks(0), end: Number.POSITIVE_INFINITY, symbol: '', chord: undefined, isChange: false, kind: 'pickup' },
  ];
  solo.changes.bars.forEach((bar, i) => {
    const start = grid.bar(solo.changes.firstBar + i).start;
    for (const entry of bar) {
      const last = spans[spans.length - 1] as (typeof spans)[number];
      if (last.symbol === entry.symbol) continue;
      const at = ticks(start + entry.at);
      const read = isNoChord(entry.symbol) ? undefined : parseChord(entry.symbol);
      const chord = read && isChord(read) ? read : undefined;
      const isChange = chord?.root !== last.chord?.root || chord?.quality !== last.chord?.quality;
      last.end = at;
      const span = {
        start: at,
        end: Number.POSITIVE_INFINITY,
        symbol: entry.symbol,
        chord,
        isChange,
        kind: chord ? ('chord' as const) : ('no chord' as const),
      };
      if (at === last.start) spans[spans.length - 1] = span;
      else spans.push(span);
    }
  });
  return spans;
}

/** Index of the span that rules at a tick. */
export function spanAt(spans: readonly ChordSpan[], at: number): number {
  let low = 0;
  let high = spans.length - 1;
  while (low < high) {
    const middle = (low + high + 1) >> 1;
    if ((spans[middle] as ChordSpan).start <= at) low = middle;
    else high = middle - 1;
  }
  return low;
}

/** A tone pushed by at most this (an eighth) before a change can anticipate it. */
export const PUSH: Ticks = ticks(QUARTER / 2);

/**
 * Index of the span a tone is heard against. With anticipation: a tone that starts an eighth or less before a change
 * and sounds at least as long after it as before it is heard against the new chord.
 */
export function spanOfTone(spans: readonly ChordSpan[], onset: number, length: number, anticipation: boolean): number {
  const here = spanAt(spans, onset);
  if (!anticipation) return here;
  for (let next = here + 1; next < spans.length; next++) {
    const change = spans[next] as ChordSpan;
    if (change.start - onset > PUSH) return here;
    if (!change.isChange) continue;
    const isHeard = change.chord !== undefined && onset + length - change.start >= change.start - onset;
    return isHeard ? next : here;
  }
  return here;
}

/** What a tone is in its chord or key: a member as the symbol spells it, a tension at hand, a tone of the key, or none of them. */
export const ROLES = [
  'root',
  'third',
  'fifth',
  'sixth',
  'seventh',
  'extension',
  'suspended fourth',
  'suspended second',
  'tension',
  'key tone',
  'chromatic',
] as const;
/** What a tone is in its chord or key. */
export type Role = (typeof ROLES)[number] & (MemberRole | 'tension' | 'key tone' | 'chromatic');

/** True for roles that are members of the chord. */
export const isMember = (role: Role): boolean => role !== 'tension' && role !== 'key tone' && role !== 'chromatic';

/** What a pitch is against one chord in one key. */
export interface Hearing {
  /** Above the chord's root; `undefined` without a chord. */
  readonly overChord: Degree | undefined;
  readonly overKey: Degree;
  /** `undefined` without a chord. */
  readonly role: Role | undefined;
  readonly blueOverChord: boolean;
  readonly blueOverKey: boolean;
  /** Its spelled name, without octave; a quarter-tone above it is not in the name. */
  readonly name: PitchName;
}

/**
 * Hears a pitch against a chord (or none) and a key. A quarter-tone is heard as the semitone below it, with `plus` set.
 * `rising` says whether the line goes up from it: it decides between #4 and b5 outside key and chord.
 * @example
 * const heard = hear(cents(6350), parseChord('C7'), parseKey('C mixolydian'), false);
 * [heard.name, degreeName(heard.overChord), heard.role, heard.blueOverChord] // => ['Eb', 'b3+', 'tension', true]
 */
export function hear(pitch: Cents, chord: Chord | undefined, key: Key, rising: boolean): Hearing {
  const overKey = degreeAbove(pitch, key.tonic);
  const pc = mod(Math.floor(pitch / 100), 12) as PitchClass;
  const overChord = chord ? degreeAbove(pitch, chord.root) : undefined;
  const member = chord && overChord ? memberAt(chord, overChord.semitones) : undefined;
  const role = chord && overChord ? roleOf(chord, overChord.semitones, key, overKey.semitones) : undefined;
  return {
    overChord,
    overKey,
    role,
    blueOverChord: chord !== undefined && overChord !== undefined && isBlueOverChord(chord, overChord.semitones),
    blueOverKey: isBlueOverKey(key, overKey.semitones),
    name: nameOf(pc, member?.name, key, chord, rising),
  };
}

/** As the key has it, else as the chord symbol has it, else as a degree of the chord (of the key, without a chord). */
function nameOf(
  pc: PitchClass,
  inChord: PitchName | undefined,
  key: Key,
  chord: Chord | undefined,
  rising: boolean,
): PitchName {
  const inKey = key.names[pc];
  if (inKey && plainName(inKey) === inKey) return inKey;
  if (inChord && plainName(inChord) === inChord) return inChord;
  return chromaticName(chord ? chord.rootName : key.tonicName, pc, rising);
}

function roleOf(chord: Chord, above: number, key: Key, aboveTonic: number): Role {
  const member = memberAt(chord, above);
  if (member) return member.role;
  if (isTension(chord, above)) return 'tension';
  return inScale(key, aboveTonic) ? 'key tone' : 'chromatic';
}

/** b3, b5 or b7 where the chord has the natural one, and b7 over a plain triad. */
function isBlueOverChord(chord: Chord, above: number): boolean {
  const has = (semitones: number) => memberAt(chord, semitones) !== undefined;
  if (above === 3) return has(4) && !has(3);
  if (above === 6) return has(7) && !has(6);
  if (above !== 10 || has(10)) return false;
  return has(11) || !chord.members.some((m) => m.role === 'sixth' || m.role === 'seventh');
}

/** b3, b5 or b7 where the key's scale has the natural one and not the flat one. */
function isBlueOverKey(key: Key, above: number): boolean {
  if (above !== 3 && above !== 6 && above !== 10) return false;
  return inScale(key, above + 1) && !inScale(key, above);
}

/** The function of a span's chord in a key as a Roman numeral; `N.C.` or `pickup` where there is none. */
export function functionIn(key: Key, span: ChordSpan): string {
  if (span.chord) return romanNumeral(key, span.chord.rootName, span.chord.quality);
  return span.kind === 'pickup' ? 'pickup' : 'N.C.';
}
