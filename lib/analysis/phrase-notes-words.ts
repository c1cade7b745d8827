// The label of a phrase's tones: a complete name where there is one, over the chord or the key; else the tones themselves.
import { mod, pitchClass } from '../foundation/units.js';
import type { ChordSpan } from '../solo/harmony.js';
import { type Chord, memberAt } from '../theory/chord.js';
import { DEGREE_NAMES } from '../theory/interval.js';
import { chromaticName, inScale, type Key } from '../theory/scale.js';
import { listed } from './implied-words.js';
import { chordAt, isCurled, keyAt, onsetOf, type PhraseFacts, partOf, pitchOf, spanAtTime } from './phrase-facts.js';
import { numberInWords } from './spoken.js';
import {
  above,
  bitsOf,
  listOf,
  longScaleName,
  ninthName,
  scaleWithMore,
  seventhName,
  shortScaleName,
  sizeOf,
  triadName,
} from './tone-set-names.js';

/** From this share of chord tones on a line is said to follow its chords. */
export const FOLLOWS = 0.75;

/** Tones by pitch class: how each is heard. */
interface Heard {
  readonly all: number;
  /** Only ever a quarter-tone high. */
  readonly curled: number;
  /** In graces only. */
  readonly graces: number;
}

/** A root that tones are named over, and the chord on it if that holds the phrase. */
interface Root {
  readonly pc: number;
  readonly name: string;
  readonly chord?: Chord;
}

const pcOf = (f: PhraseFacts, row: number): number => mod(Math.floor(pitchOf(f, row) / 100), 12);

function heardIn(f: PhraseFacts, rows: readonly number[]): Heard {
  const all = bitsOf(rows.map((row) => pcOf(f, row)));
  const straight = bitsOf(rows.filter((row) => !isCurled(f, row)).map((row) => pcOf(f, row)));
  return { all, curled: all & ~straight, graces: bitsOf(f.graces.map((row) => pcOf(f, row))) & ~all };
}

/** What the phrase plays. With `patterned`, that it follows the chords is told elsewhere. */
export function notesWords(f: PhraseFacts, patterned: boolean): string {
  const heard = heardIn(f, f.tones);
  const key = keyAt(f, f.entry.pulses >= 0 ? onsetOf(f, f.entry.row) : 0);
  const tonic: Root = { pc: key.tonic, name: key.tonicName };
  const held = heldChord(f);
  const roots = held && held.pc !== tonic.pc ? [held, tonic] : [held ?? tonic];
  const strangers = strangersIn(f, key);
  const without = bitsOf(strangers.keys());
  const only = strangers.size === 0 ? '' : `; ${listed([...strangers.values()])}`;
  const spans = segments(f);
  const byThemselves =
    nameOfAll(f, heard, roots, key) ??
    (only === '' ? undefined : nameOfAll(f, { ...heard, all: heard.all & ~without }, roots, key, only));
  if (byThemselves !== undefined) return byThemselves + following(f, spans.length, patterned);
  const halves = halvesInWords(f, spans);
  if (halves !== undefined) return halves;
  const rest = { ...heard, all: heard.all & ~without };
  const named = withGraces(f, rest, roots, key, only) ?? nearlyScale(rest, roots, key, only, f);
  if (named !== undefined) return named + following(f, spans.length, patterned);
  const share = chordTones(f);
  if (spans.length > 1 && share.members >= FOLLOWS * share.of)
    return patterned
      ? chromatic(f, heard, key)
      : `follows the chords (${share.members} of ${share.of} tones are theirs)`;
  if (sizeOf(heard.all) > 6) return chromatic(f, heard, key);
  return degrees(heard, roots[0] as Root, f);
}

/** The chord that holds the whole phrase, lead-in and last step aside; or on whose root it begins, ends and mostly is. */
function heldChord(f: PhraseFacts): Root | undefined {
  const spans = f.line.map((row) => spanAtTime(f, onsetOf(f, row)));
  const chords = spans.flatMap(({ chord }) => chord ?? []);
  const [first] = chords;
  if (first && chords.every(({ root }) => root === first.root)) return rootOf(spans.find((s) => s.chord) as ChordSpan);
  const last = spans.at(-1)?.chord;
  const pcs = f.line.map((row) => pcOf(f, row));
  const count = (pc: number) => pcs.filter((p) => p === pc).length;
  const home = pcs.at(-1) as number;
  const isHome = last?.root === home && pcs[0] === home && pcs.every((pc) => pc === home || count(pc) < count(home));
  return isHome ? rootOf(spans.at(-1) as ChordSpan) : undefined;
}

const rootOf = ({ chord }: ChordSpan): Root => {
  const { root, rootName } = chord as Chord;
  return { pc: root, name: rootName, chord: chord as Chord };
};

/** Tones outside the key that are always tones of their own chord: by pitch class, in words. */
function strangersIn(f: PhraseFacts, key: Key): ReadonlyMap<number, string> {
  const found = new Map<number, string[] | undefined>();
  for (const row of f.tones) {
    const pc = pcOf(f, row);
    if (inScale(key, pc - key.tonic) || (found.has(pc) && found.get(pc) === undefined)) continue;
    const { chord, symbol } = spanAtTime(f, onsetOf(f, row));
    const member = chord && !isCurled(f, row) ? memberAt(chord, mod(pc - chord.root, 12)) : undefined;
    if (!chord || !member) found.set(pc, undefined);
    else found.set(pc, [...(found.get(pc) ?? []), `the ${partOf(f, row, chord)} of ${symbol}`]);
  }
  return new Map(
    [...found].flatMap(([pc, parts]) =>
      parts ? [[pc, `${nameOfClass(f, pc)} only as ${listed([...new Set(parts)])}`] as const] : [],
    ),
  );
}

function nameOfClass(f: PhraseFacts, pc: number): string {
  const row = [...f.tones, ...f.graces].find((r) => pcOf(f, r) === pc) as number;
  return f.table.names[f.table.columns.name[row] as number] as string;
}

/** A name of which every tone is heard and beside which there is none. */
function nameOfAll(
  f: PhraseFacts,
  { all, curled }: Heard,
  roots: readonly Root[],
  key: Key,
  more = '',
): string | undefined {
  if (sizeOf(all) < 3) return undefined;
  const told = (name: string | undefined, root: Root, raised = false): string | undefined => {
    if (name === undefined) return undefined;
    const marks = listOf(above(curled & all, root.pc)).map((s) => (s === 3 ? 'third' : curlName(s)));
    const over = root.chord && root.pc !== key.tonic && !raised && !name.includes(' of ') ? '' : '';
    return `${name}${over}${marks.length === 0 ? '' : `, ${listed(marks)} curled`}${more}`;
  };
  const all3 = [...roots, ...chordRoots(f).filter(({ pc }) => !roots.some((r) => r.pc === pc))];
  for (const root of all3) {
    // Over a major chord the curled flat third is its third on the way up.
    const bits = above(all, root.pc);
    const isRaised = (above(curled, root.pc) & 8) !== 0 && (bits & 16) === 0 && hasMajorThird(f, root);
    const chordal = isRaised ? (bits & ~8) | 16 : bits;
    const name = triadName(chordal, root.name) ?? seventhName(chordal, root.name);
    if (name !== undefined) return told(name, root);
    if (root.chord) {
      const ninth = ninthName(chordal, root.name);
      if (ninth !== undefined) return told(ninth, root);
    }
    if (!roots.includes(root)) continue;
    const short = shortScaleName(bits, root.name);
    if (short !== undefined) return told(root.pc === key.tonic ? short : `${short} over ${root.chord?.symbol}`, root);
  }
  const tonic = roots.at(-1) as Root;
  return told(longScaleName(above(all, key.tonic), key.tonicName), { ...tonic, pc: key.tonic });
}

/** Roots of the chords under the phrase. */
function chordRoots(f: PhraseFacts): readonly Root[] {
  const found = new Map<number, Root>();
  for (const row of f.line) {
    const chord = chordAt(f, onsetOf(f, row));
    if (chord && !found.has(chord.root)) found.set(chord.root, { pc: chord.root, name: chord.rootName });
  }
  return [...found.values()];
}

function hasMajorThird(f: PhraseFacts, root: Root): boolean {
  const chord = f.line.map((row) => chordAt(f, onsetOf(f, row))).find((c) => c?.root === root.pc);
  return chord !== undefined && memberAt(chord, 4) !== undefined && memberAt(chord, 3) === undefined;
}

const CURLED: Readonly<Record<number, string>> = {
  0: 'root',
  2: 'second',
  3: 'third',
  5: 'fourth',
  7: 'fifth',
  9: 'sixth',
  10: 'seventh',
};
const curlName = (semitones: number): string => CURLED[semitones] ?? (DEGREE_NAMES[semitones] as string);

/** A name that the graces complete. */
function withGraces(f: PhraseFacts, heard: Heard, roots: readonly Root[], key: Key, more: string): string | undefined {
  if (heard.graces === 0) return undefined;
  for (const root of roots) {
    const [one] = [nameOfAll(f, { ...heard, all: heard.all | heard.graces }, [root], key)];
    if (one !== undefined) return `${one}${graceWords(heard, root)}${more}`;
  }
  return undefined;
}

function graceWords({ graces }: Heard, root: Root): string {
  const names = listOf(above(graces, root.pc)).map((s) => `the ${DEGREE_NAMES[s]}`);
  if (names.length === 0) return '';
  return `; ${listed(names)} only as ${names.length === 1 ? 'a grace' : 'graces'}`;
}

/** The key's major scale but for one tone; or a familiar scale, all of it, with one or two tones more. */
function nearlyScale(heard: Heard, roots: readonly Root[], key: Key, more: string, f: PhraseFacts): string | undefined {
  const tail = (root: Root) => `${graceWords(heard, root)}${more}`;
  const tonic: Root = { pc: key.tonic, name: key.tonicName };
  const bits = above(heard.all, key.tonic);
  const scale = bitsOf(listOf(0xfff).filter((s) => inScale(key, s)));
  const missing = scale & ~bits;
  if (key.mode === 'major' && (bits & ~scale) === 0 && sizeOf(missing) === 1)
    return `${key.tonicName} major scale, no ${DEGREE_NAMES[listOf(missing)[0] as number]}${tail(tonic)}`;
  for (const root of [...roots].reverse()) {
    const found = scaleWithMore(above(heard.all, root.pc));
    if (!found) continue;
    const over = root.pc === key.tonic ? '' : ` over ${root.chord?.symbol}`;
    const plus = found.more.map((s) => (s === 6 ? tritone(f, root) : DEGREE_NAMES[s]));
    return `${root.name} ${found.name} + ${listed(plus as string[])}${over}${tail(root)}`;
  }
  return undefined;
}

/** The tritone as it is spelled: #4 on the fourth letter, else b5. */
function tritone(f: PhraseFacts, root: Root): string {
  const name = nameOfClass(f, mod(root.pc + 6, 12));
  return 'CDEFGAB'.indexOf(name.charAt(0)) - 'CDEFGAB'.indexOf(root.name.charAt(0)) - 3 === 0 ||
    'CDEFGAB'.indexOf(name.charAt(0)) - 'CDEFGAB'.indexOf(root.name.charAt(0)) + 4 === 0
    ? '#4'
    : 'b5';
}

/** Runs of the line under one root. What stands before the first chord leads to it. */
interface Segment {
  readonly chord: Chord;
  readonly symbol: string;
  readonly rows: readonly number[];
}

function segments(f: PhraseFacts): readonly Segment[] {
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

/** Two halves over two chords, each of a few tones: `6, 1, b3 and 3 of E, then 3, 1, 6 and 1 of A`. */
function halvesInWords(f: PhraseFacts, spans: readonly Segment[]): string | undefined {
  if (spans.length !== 2 || f.graces.length > 0) return undefined;
  const halves = spans.map(({ chord, symbol, rows }) => {
    const classes = bitsOf(rows.map((row) => pcOf(f, row)));
    if (rows.length < 3 || sizeOf(classes) > 4) return undefined;
    const triad = triadName(above(classes, chord.root), chord.rootName);
    if (triad !== undefined && !rows.some((row) => isCurled(f, row))) return triad;
    const steps = rows.map((row) => degreeWord(mod(pcOf(f, row) - chord.root, 12), isCurled(f, row)));
    const shown = steps.length <= 5 ? steps.filter((s, k) => s !== steps[k - 1]) : [...new Set(steps)];
    return `${listed(shown)} of ${symbol}`;
  });
  const [one, other] = halves;
  return one !== undefined && other !== undefined ? `${one}, then ${other}` : undefined;
}

const degreeWord = (semitones: number, curled: boolean): string =>
  curled ? `the curled ${curlName(semitones)}` : (DEGREE_NAMES[semitones] as string);

function degrees(heard: Heard, root: Root, f: PhraseFacts): string {
  const straight = above(heard.all & ~heard.curled, root.pc);
  const bits = above(heard.all, root.pc);
  const names = listOf(bits).map((s) => degreeWord(s, (straight & (1 << s)) === 0));
  const what = root.chord ? root.chord.symbol : `the key of ${root.name}`;
  if (names.length === 1)
    return f.tones.length === 1
      ? `one tone, ${oneTone(names[0] as string, what)}`
      : `all on ${oneTone(names[0] as string, what)}`;
  return `${listed(names)} of ${what}${graceWords(heard, root)}`;
}

const oneTone = (name: string, of: string): string => `${name.startsWith('the') ? name : `the ${name}`} of ${of}`;

/** Too many tones for a name: those of the key's scale, and those outside it. */
function chromatic(f: PhraseFacts, { all, curled }: Heard, key: Key): string {
  const outside = listOf(above(all, key.tonic)).filter((s) => !inScale(key, s));
  const scale = `${key.tonicName} ${key.mode === 'blues' || key.mode === 'major blues' ? 'mixolydian' : key.mode}`;
  const names = outside.map((s) => {
    const pc = mod(key.tonic + s, 12);
    return `${curled & (1 << pc) ? 'a curled ' : ''}${nameOfClass(f, pc)}`;
  });
  if (names.length === 0) return `${numberInWords(sizeOf(all))} tones of ${scale}`;
  return `tones of ${scale}, and ${listed(names)} from outside it`;
}

/** Tones of the line and those of them that are members of their chord; a curled flat third over a major chord is its third. */
function chordTones(f: PhraseFacts): { readonly members: number; readonly of: number } {
  const under = f.tones.flatMap((row) => {
    const chord = chordAt(f, onsetOf(f, row));
    return chord ? [{ chord, row }] : [];
  });
  const members = under.filter(({ chord, row }) => {
    const s = mod(pcOf(f, row) - chord.root, 12);
    return memberAt(chord, s) !== undefined || (isCurled(f, row) && memberAt(chord, mod(s + 1, 12)) !== undefined);
  });
  return { members: members.length, of: under.length };
}

function following(f: PhraseFacts, chords: number, patterned: boolean): string {
  const { members, of } = chordTones(f);
  if (chords < 3 || patterned || members < FOLLOWS * of) return '';
  return `; follows the chords (${members} of ${of} tones are theirs)`;
}

/** A pitch class by the name that the key gives it. */
export const classIn = (key: Key, pc: number): string =>
  key.names[pc] ?? chromaticName(key.tonicName, pitchClass(pc), false);
