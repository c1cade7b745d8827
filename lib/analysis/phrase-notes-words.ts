// The label of a phrase's tones: a complete name where there is one, over the chord or the key; else the tones themselves.
import { mod } from '../foundation/units.js';
import { type Chord, degreeOver, memberAt } from '../theory/chord.js';
import { DEGREE_NAMES } from '../theory/interval.js';
import { inScale, type Key } from '../theory/scale.js';
import { listed } from './implied-words.js';
import { chordAt, isCurled, keyAt, onsetOf, type PhraseFacts, pitchClassOf } from './phrase-facts.js';
import {
  chordTones,
  classNameOf,
  FOLLOWS,
  homeOf,
  isHome,
  leadsIn,
  type Root,
  type Segment,
  segmentsOf,
  strangersIn,
  strangerWords,
} from './phrase-tonality.js';
import { numberInWords, partInChord } from './spoken.js';
import {
  above,
  bitsOf,
  firstFiveName,
  listOf,
  ninthName,
  ownScaleName,
  scaleWithOne,
  seventhName,
  shortScaleName,
  sizeOf,
  subsetsOf,
  triadName,
} from './tone-set-names.js';

/** Tones by pitch class: how each is heard. */
interface Heard {
  readonly all: number;
  /** Only ever a quarter-tone high. */
  readonly curled: number;
  /** In graces only. */
  readonly graces: number;
}

function heardIn(f: PhraseFacts): Heard {
  const all = bitsOf(f.tones.map((row) => pitchClassOf(f, row)));
  const straight = bitsOf(f.tones.filter((row) => !isCurled(f, row)).map((row) => pitchClassOf(f, row)));
  return { all, curled: all & ~straight, graces: bitsOf(f.graces.map((row) => pitchClassOf(f, row))) & ~all };
}

/** What a label is made from. */
interface Scene {
  readonly f: PhraseFacts;
  readonly heard: Heard;
  readonly key: Key;
  readonly tonic: Root;
  /** Roots to name over: the chord's that holds the phrase, then the key's. */
  readonly roots: readonly Root[];
  readonly spans: readonly Segment[];
}

/** What the phrase plays. With `patterned`, that it follows the chords is told elsewhere. */
export function notesWords(f: PhraseFacts, patterned: boolean): string {
  const key = keyAt(f, onsetOf(f, f.entry.row));
  const spans = segmentsOf(f);
  const tonic: Root = { pc: key.tonic, name: key.tonicName };
  const held = homeOf(f, spans);
  const roots = held && held.pc !== key.tonic ? [held, tonic] : [held ? { ...held, led: false } : tonic];
  const scene: Scene = { f, heard: heardIn(f), key, tonic, roots, spans };
  const follows = spans.length > 2 && !patterned ? following(f) : undefined;
  const and = follows === undefined ? '' : `; ${follows}`;
  const named = completeName(scene);
  if (named !== undefined) return named + and;
  const halves = isHome(f, spans) ? undefined : halvesInWords(scene);
  if (halves !== undefined) return halves;
  const nearly = nearlyName(scene);
  if (nearly !== undefined) return nearly + and;
  const size = sizeOf(scene.heard.all);
  if (follows !== undefined) return follows;
  const { members, of } = chordTones(f);
  if (size > 1 && spans.length > 1 && members === of && scene.heard.graces === 0) return following(f) as string;
  if (size <= 5) return degrees(scene);
  const alone = spans.length > 1 && !patterned ? following(f) : undefined;
  return (
    alone ?? (size === 6 && (spans.length === 1 || strangersIn(f, key).size === 0) ? degrees(scene) : chromatic(scene))
  );
}

/** A name of which every tone is heard and beside which there is none but tones outside the key that belong to their chord. */
function completeName(scene: Scene): string | undefined {
  const { f, heard, key } = scene;
  const short = shortName(scene, heard.all);
  if (short !== undefined) return short;
  const strangers = strangersIn(f, key);
  for (const left of subsetsOf(bitsOf(strangers.keys()))) {
    const rest = heard.all & ~left;
    const name = (left === 0 ? undefined : shortName(scene, rest)) ?? ownScale(scene, rest);
    if (name !== undefined) return name + strangerWords(f, strangers, left);
  }
  return undefined;
}

/** A name that graces complete; the key's scale but for one tone; a familiar scale, all of it, and one tone more. */
function nearlyName(scene: Scene): string | undefined {
  const { f, heard, key } = scene;
  const strangers = strangersIn(f, key);
  const left = bitsOf(strangers.keys());
  const rest = heard.all & ~left;
  const more = strangerWords(f, strangers, left);
  const graces = graceWords(heard, scene.tonic);
  if (heard.graces !== 0) {
    const whole = rest | heard.graces;
    const name = shortName(scene, whole) ?? ownScale(scene, whole);
    if (name !== undefined) return name + graceWords(heard, scene.roots.find(({ led }) => !led) as Root) + more;
  }
  const bits = above(rest, key.tonic);
  const scale = bitsOf(listOf(0xfff).filter((s) => inScale(key, s)));
  const missing = scale & ~bits;
  if (key.mode === 'major' && (bits & ~scale) === 0 && sizeOf(missing) === 1) {
    const s = listOf(missing)[0] as number;
    return `${key.tonicName} major scale, no ${s === 0 ? 'root' : DEGREE_NAMES[s]}${graces}${more}`;
  }
  if (bits === bitsOf([0, 3, 5, 6, 10])) return `${key.tonicName} blues scale, no 5${graces}${more}`;
  for (const root of scene.roots) {
    if (root.led || root.left) continue;
    const found = scaleWithOne(above(rest, root.pc));
    if (!found) continue;
    const over = root.pc === key.tonic ? '' : ` over ${root.symbol}`;
    const plus = found.more === 6 ? tritone(f, root) : DEGREE_NAMES[found.more];
    return `${root.name} ${found.name} + ${plus}${over}${curlMarks(scene, root, rest)}${graceWords(heard, root)}${more}`;
  }
  return undefined;
}

/** Triads, sevenths, ninths, pentatonics, blues scales and first fives over the roots. */
function shortName(scene: Scene, all: number): string | undefined {
  const { key } = scene;
  if (sizeOf(all) < 3) return undefined;
  for (const root of scene.roots) {
    const bits = above(all, root.pc);
    const chordal = raised(scene, root, bits);
    const marks = curlMarks(scene, root, all);
    const chord =
      triadName(chordal, root.name) ??
      seventhName(chordal, root.name) ??
      (root.chord && !root.led ? ninthName(chordal, root.name) : undefined);
    if (chord !== undefined && isOfChord(root.chord, chordal)) return chord + marks;
    if (root.led) continue;
    const over = root.pc === key.tonic ? '' : ` over ${root.symbol}`;
    const scale = shortScaleName(bits, root.name);
    if (scale !== undefined) return scale + over + marks;
  }
  const five = firstFiveName(above(all, key.tonic), key.tonicName);
  return five && five + curlMarks(scene, scene.tonic, all);
}

/** False where a chord has another third or another seventh than the tones, or a seventh where they have a sixth. */
function isOfChord(chord: Chord | undefined, bits: number): boolean {
  if (!chord) return true;
  const has = (role: string) => chord.members.some((member) => member.role === role);
  const fits = (s: number, role: string) => (bits & (1 << s)) === 0 || memberAt(chord, s) !== undefined || !has(role);
  return fits(3, 'third') && fits(4, 'third') && fits(9, 'seventh') && fits(10, 'seventh') && fits(11, 'seventh');
}

/** The scale of the key, all of it; in minor keys the harmonic and the melodic minor too. */
function ownScale(scene: Scene, all: number): string | undefined {
  const { key, tonic } = scene;
  const bits = above(all, key.tonic);
  const name = ownScaleName(bits, key) ?? ownScaleName(raised(scene, tonic, bits), key);
  return name && name + curlMarks(scene, tonic, all);
}

/** Over a major chord the curled flat third is its third on the way up. */
function raised({ f, heard, key }: Scene, root: Root, bits: number): number {
  if ((above(heard.curled, root.pc) & 8) === 0 || (bits & 16) !== 0) return bits;
  const chord = f.line.map((row) => chordAt(f, onsetOf(f, row))).find((c) => c?.root === root.pc);
  const major = chord ? isMajor(chord) : root.pc === key.tonic && inScale(key, 4);
  return major ? (bits & ~8) | 16 : bits;
}

const isMajor = (chord: Chord): boolean => memberAt(chord, 4) !== undefined && memberAt(chord, 3) === undefined;

/** `, third curled`, of tones that are heard curled only. */
function curlMarks({ heard }: Scene, root: Root, all: number): string {
  const marks = listOf(above(heard.curled & all, root.pc)).map(curlName);
  return marks.length === 0 ? '' : `, ${listed(marks)} curled`;
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

function graceWords({ graces }: Heard, root: Root): string {
  const names = listOf(above(graces, root.pc)).map((s) => `the ${DEGREE_NAMES[s]}`);
  if (names.length === 0) return '';
  return `; ${listed(names)} only as ${names.length === 1 ? 'a grace' : 'graces'}`;
}

/** The tritone as it is spelled: #4 on the fourth letter, else b5. */
function tritone(f: PhraseFacts, root: Root): string {
  const letter = (name: string) => 'CDEFGAB'.indexOf(name.charAt(0));
  return mod(letter(classNameOf(f, mod(root.pc + 6, 12))) - letter(root.name), 7) === 3 ? '#4' : 'b5';
}

/** Two halves over two chords, each of a few tones: `plays 6, 1, b3 and 3 of E, then 3, 1, 6 and 1 of A`. */
function halvesInWords({ f, spans, heard }: Scene): string | undefined {
  // Where most is in double-stops, the top tones alone are not what is played.
  if (spans.length !== 2 || leadsIn(f, spans) || f.tones.length > 1.5 * f.line.length) return undefined;
  const halves = spans.map(({ chord, symbol, rows }) => {
    const classes = bitsOf(rows.map((row) => pitchClassOf(f, row)));
    if (rows.length < 3 || sizeOf(classes) > 4) return undefined;
    const triad = triadName(above(classes, chord.root), chord.rootName);
    if (triad !== undefined && !rows.some((row) => isCurled(f, row))) return triad;
    const steps = rows.map((row) => degreeWord(mod(pitchClassOf(f, row) - chord.root, 12), isCurled(f, row), chord));
    return { steps, symbol };
  });
  const [first, second] = halves;
  if (first === undefined || second === undefined) return undefined;
  // Both in the order played if they are short, else both as sets.
  const inOrder = [first, second].every((half) => typeof half === 'string' || inTurn(half.steps).length <= 5);
  const [one, other] = [first, second].map((half) =>
    typeof half === 'string'
      ? half
      : `${listed(inOrder ? inTurn(half.steps) : [...new Set(half.steps)])} of ${half.symbol}`,
  );
  const graces = listOf(heard.graces).map((pc) => classNameOf(f, pc));
  const only = graces.length === 0 ? '' : `; ${listed(graces)} only as ${graces.length === 1 ? 'a grace' : 'graces'}`;
  return `plays ${one}, then ${other}${only}`;
}

/** Without plain repeats. */
const inTurn = (steps: readonly string[]): readonly string[] => steps.filter((step, k) => step !== steps[k - 1]);

function degreeWord(semitones: number, curled: boolean, chord: Chord | undefined): string {
  if (curled) return `the curled ${curlName(semitones)}`;
  return chord ? degreeOver(chord, { semitones, plus: false }) : (DEGREE_NAMES[semitones] as string);
}

function degrees({ f, heard, roots, tonic }: Scene): string {
  const [first] = roots as readonly [Root];
  const isHeard = (heard.all & (1 << tonic.pc)) !== 0;
  const { members, of } = chordTones(f, first.chord);
  const root = first.led && isHeard && members < of ? tonic : first;
  const straight = above(heard.all & ~heard.curled, root.pc);
  const names = listOf(above(heard.all, root.pc)).map((s) => {
    const word = degreeWord(s, (straight & (1 << s)) === 0, root.chord);
    return word === 'b5' ? tritone(f, root) : word;
  });
  const what = root.symbol ?? 'the key';
  if (names.length > 1) return `plays ${listed(names)} of ${what}${graceWords(heard, root)}`;
  const [only] = listOf(above(heard.all, root.pc)) as readonly [number];
  const one = `${heard.curled === 0 ? '' : 'curled '}${root.chord ? partInChord(root.chord, only) : curlName(only)}`;
  const tone = `the ${one} of ${what}${graceWords(heard, root)}`;
  return f.tones.length === 1 ? `one tone, ${tone}` : `all on ${tone}`;
}

/** Too many tones for a name: the key's scale, if all of it is heard, or tones of it; those outside it; and those that belong to their chord. */
function chromatic({ f, heard: { all, curled }, key }: Scene): string {
  const strangers = strangersIn(f, key);
  const chordal = bitsOf(strangers.keys());
  const bits = above(all, key.tonic);
  const outside = listOf(above(all & ~chordal, key.tonic)).filter((s) => !inScale(key, s));
  const scale = `${key.tonicName} ${key.mode.replace(/^(major )?blues$/, 'mixolydian')}`;
  const own = listOf(bits).filter((s) => inScale(key, s)).length;
  const isWhole = listOf(0xfff).every((s) => !inScale(key, s) || (bits & (1 << s)) !== 0);
  const names = outside.map((s) => {
    const pc = mod(key.tonic + s, 12);
    return `${curled & (1 << pc) ? 'a curled ' : ''}${classNameOf(f, pc)}`;
  });
  const inside = isWhole ? `all of ${scale}` : `${numberInWords(own)} tones of ${scale}`;
  const and = names.length === 0 ? '' : `, and ${listed(names)} from outside it`;
  return `${inside}${and}${strangerWords(f, strangers, chordal)}`;
}

function following(f: PhraseFacts): string | undefined {
  const { members, of } = chordTones(f);
  if (members < FOLLOWS * of) return undefined;
  return `follows the chords (${members === of ? `all ${of} tones` : `${members} of ${of} tones`} are chord tones)`;
}
