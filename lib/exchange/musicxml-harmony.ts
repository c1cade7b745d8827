// Chord symbols as MusicXML spells them out (root, kind, degrees, bass) and as players write them, both ways.
import { mod } from '../foundation/units.js';
import { type Chord, isChord, NO_CHORD, parseChord } from '../theory/chord.js';
import { alteration, nameAbove, type PitchName, pitchName } from '../theory/pitch.js';
import { type Key, keyOf } from '../theory/scale.js';
import { child, children, numberIn, numberOf, textOf, type XmlNode } from './musicxml-xml.js';

/** The kinds of the standard (kind-value), in the order in which a symbol tries them, and what players write for each. */
export const KINDS: readonly (readonly [kind: string, type: string])[] = [
  ['major', ''],
  ['minor', 'm'],
  ['dominant', '7'],
  ['major-seventh', 'maj7'],
  ['minor-seventh', 'm7'],
  ['half-diminished', 'm7b5'],
  ['diminished-seventh', 'dim7'],
  ['augmented', 'aug'],
  ['diminished', 'dim'],
  ['augmented-seventh', '7#5'],
  ['major-minor', 'mMaj7'],
  ['major-sixth', '6'],
  ['minor-sixth', 'm6'],
  ['dominant-ninth', '9'],
  ['major-ninth', 'maj9'],
  ['minor-ninth', 'm9'],
  ['dominant-11th', '11'],
  ['major-11th', 'maj11'],
  ['minor-11th', 'm11'],
  ['dominant-13th', '13'],
  ['major-13th', 'maj13'],
  ['minor-13th', 'm13'],
  ['suspended-second', 'sus2'],
  ['suspended-fourth', 'sus4'],
  ['power', '5'],
];

/** Kinds that say a function or a bass rather than a chord, and the chord that sounds the same. Standard: kind-value; common practice for the sixths. */
const NEAR_KINDS: Readonly<Record<string, string>> = {
  Neapolitan: '',
  Italian: '7no5',
  French: '7b5',
  German: '7',
  pedal: '5',
  Tristan: 'm7b5',
};

/** Semitones of a degree over a dominant chord: major and perfect intervals, a minor seventh (standard: degree-type, "add"). */
const DOMINANT: Readonly<Record<number, number>> = {
  1: 0,
  2: 2,
  3: 4,
  4: 5,
  5: 7,
  6: 9,
  7: 10,
  8: 12,
  9: 14,
  10: 16,
  11: 17,
  12: 19,
  13: 21,
};

/** Members by the number of their degree, in semitones above the root. */
type Degrees = ReadonlyMap<number, number>;

const degreesOf = (chord: Chord): Map<number, number> =>
  new Map(chord.members.map((m) => [Number.parseInt(m.interval, 10), m.semitones]));

const classes = (degrees: Degrees): string =>
  [...new Set([...degrees.values()].map((s) => mod(s, 12)))].sort((a, b) => a - b).join(' ');

const read = (symbol: string): Chord | undefined => {
  const chord = parseChord(symbol);
  return isChord(chord) ? chord : undefined;
};

/** What a harmony element says: the symbol, and what of it could not be carried, if anything. */
export interface HarmonyRead {
  readonly symbol?: string;
  readonly approximated?: string;
}

/** How a part is transposed: what is added to what is written to get what sounds, in letters and semitones, without octaves. */
export interface NameShift {
  readonly letters: number;
  readonly semitones: number;
}

/** The symbol of a harmony element, as it sounds. Only the chord written last in it is read (one element can hold several). */
export function readHarmony(node: XmlNode, key: Key, shift: NameShift): HarmonyRead {
  const at = Math.max(
    0,
    node.children.findLastIndex((c) => c.name === 'root' || c.name === 'function' || c.name === 'numeral'),
  );
  const several = node.children.filter((c) => c.name === 'kind').length > 1;
  const part: XmlNode = { ...node, children: node.children.slice(at) };
  const kindNode = child(part, 'kind');
  const kind = kindNode?.text.trim() ?? '';
  const text = kindNode?.attributes.text?.trim();
  if (kind === 'none') return { symbol: NO_CHORD };
  const root = rootOf(part, key);
  if (root === undefined) return { approximated: 'a chord symbol without a root that can be read' };
  const sounding = nameAbove(root, shift.letters, shift.semitones);
  if (Math.abs(alteration(sounding)) > 2) return { approximated: 'a chord symbol whose root has too many accidentals' };
  const members = membersOf(sounding, kind, text, part);
  if (members.symbol === undefined) return { approximated: members.approximated ?? 'a chord symbol' };
  const bass = bassOf(part, shift, members.symbol);
  const approximated =
    members.approximated ?? (several ? 'several chords in one harmony: the last was taken' : undefined);
  return { symbol: members.symbol + (bass ?? ''), ...(approximated !== undefined && { approximated }) };
}

function membersOf(root: PitchName, kind: string, text: string | undefined, node: XmlNode): HarmonyRead {
  const degrees = children(node, 'degree');
  const type = KINDS.find(([name]) => name === kind)?.[1] ?? NEAR_KINDS[kind];
  const written = text === undefined ? undefined : read(joined(root, text.replace(/\s+/g, '')));
  if (type === undefined) {
    // "other", or a kind that no standard has: the text it is printed with may say it.
    // A kind that no standard has, such as "m7", is often what players write.
    const symbol = kind === '' && text === undefined ? root : (written ?? read(joined(root, kind)))?.symbol;
    if (symbol === undefined && degrees.length === 0)
      return { symbol: root, approximated: `the kind "${(text ?? kind).slice(0, 20)}": read as a major triad` };
    if (degrees.length === 0) return { symbol: symbol as string };
  }
  const base = read(joined(root, type ?? '')) as Chord;
  const wanted = degreesOf(base);
  let signs = '';
  for (const degree of degrees) {
    const value = numberOf(degree, 'degree-value') ?? 0;
    const alter = Math.round(numberOf(degree, 'degree-alter') ?? 0);
    const change = textOf(degree, 'degree-type');
    const natural = DOMINANT[value];
    if (natural === undefined || Math.abs(alter) > 2)
      return { symbol: base.symbol, approximated: 'a chord without a degree that cannot be read' };
    if (change === 'subtract') {
      wanted.delete(value);
      signs += `no${value}`;
      continue;
    }
    const there = change === 'alter' ? wanted.get(value) : undefined;
    wanted.set(value, (there ?? natural) + alter);
    const away = (there ?? natural) + alter - (value === 7 ? natural : naturalOf(value));
    const sign = away < 0 ? 'b'.repeat(-away) : '#'.repeat(away);
    signs += sign === '' ? `add${value}` : sign + value;
  }
  const fits = (symbol: string): boolean => {
    const chord = read(symbol);
    return chord !== undefined && chord.rootName === root && classes(degreesOf(chord)) === classes(wanted);
  };
  if (written && fits(written.symbol)) return { symbol: written.symbol, ...near(kind) };
  const usual =
    degrees.length > 1 || isRewritten(kind) ? ['7sus4', '9sus4', '13sus4', '6/9', 'm6/9'].map((t) => root + t) : [];
  const built = [...usual, joined(root, (type ?? '') + signs), `${root}${type ?? ''}(${signs})`].find(fits);
  if (built !== undefined) return { symbol: built, ...near(kind) };
  const found = searched(root, wanted);
  if (found !== undefined) return { symbol: found, ...near(kind) };
  return { symbol: base.symbol, approximated: `${base.symbol} with degrees that no symbol says: read without them` };
}

const near = (kind: string): Pick<HarmonyRead, 'approximated'> =>
  NEAR_KINDS[kind] === undefined ? {} : { approximated: `the kind "${kind}", read as the chord that sounds the same` };

/** Kinds that players write otherwise as soon as a degree is added. */
const isRewritten = (kind: string): boolean => kind.startsWith('suspended') || kind.endsWith('sixth');

const naturalOf = (value: number): number => (value === 7 ? 11 : (DOMINANT[value] as number));

/** Root and type with brackets where the type would be taken into the root: `C(b9)`. */
const joined = (root: string, type: string): string => (/^[b#♭♯]/.test(type) ? `${root}(${type})` : root + type);

/** A symbol of any kind with single changes that holds just these members. */
function searched(root: PitchName, wanted: Degrees): string | undefined {
  for (const [, type] of KINDS)
    for (const more of [
      '',
      'b5',
      '#5',
      'b9',
      '#9',
      '#11',
      'b13',
      'add9',
      'add11',
      'add13',
      'no3',
      'no5',
      'b9b13',
      '#9#5',
      'b9#5',
      '#9b5',
      'b9b5',
      '#9b13',
      'b9#11',
      '#9#11',
      'sus4',
      'sus2',
    ]) {
      const chord = read(joined(root, type + more));
      if (chord && chord.rootName === root && classes(degreesOf(chord)) === classes(wanted)) return chord.symbol;
    }
  return undefined;
}

function rootOf(node: XmlNode, key: Key): PitchName | undefined {
  const root = child(node, 'root');
  if (root) return spelled(textOf(root, 'root-step'), numberIn(textOf(root, 'root-alter')) ?? 0);
  const numeral = child(node, 'numeral');
  if (numeral) {
    const own = child(numeral, 'numeral-key');
    const fifths = numberOf(own, 'numeral-fifths');
    const mode = textOf(own, 'numeral-mode');
    const minor = mode === '' ? key.mode === 'minor' : mode !== 'major';
    const tonic = fifths === undefined ? key.tonicName : tonicOf(fifths, minor ? -3 : 0);
    const alter = numberIn(textOf(numeral, 'numeral-alter')) ?? 0;
    return onDegree(tonic, minor, numberOf(numeral, 'numeral-root') ?? 0, alter);
  }
  const roman = /^([b#♭♯]?)(VII|VI|IV|V|III|II|I)(?![a-z])/i.exec(textOf(node, 'function'));
  if (!roman) return undefined;
  const degree = ['I', 'II', 'III', 'IV', 'V', 'VI', 'VII'].indexOf((roman[2] as string).toUpperCase()) + 1;
  const sign = roman[1] as string;
  return onDegree(key.tonicName, key.mode === 'minor', degree, sign === '' ? 0 : /[b♭]/.test(sign) ? -1 : 1);
}

function onDegree(tonic: PitchName | undefined, minor: boolean, degree: number, alter: number): PitchName | undefined {
  if (tonic === undefined || !Number.isInteger(degree) || degree < 1 || degree > 7) return undefined;
  const scale = keyOf(tonic, minor ? 'minor' : 'major');
  const steps = minor ? [0, 2, 3, 5, 7, 8, 10] : [0, 2, 4, 5, 7, 9, 11];
  return nameAbove(scale.tonicName, degree - 1, (steps[degree - 1] as number) + Math.round(alter));
}

/** A name from a step and its alteration, or `undefined`: a letter and at most two accidentals. */
export function spelled(step: string, alter: number): PitchName | undefined {
  const away = Math.round(alter);
  if (!/^[A-G]$/i.test(step) || Math.abs(away) > 2) return undefined;
  return pitchName(step.toUpperCase() + (away < 0 ? 'b'.repeat(-away) : '#'.repeat(away)));
}

/** The tonic of a key signature: `offset` is where the mode lies on the line of fifths against major (minor -3). */
export function tonicOf(fifths: number, offset: number): PitchName | undefined {
  const place = fifths - offset + 1; // F is 0, C 1, G 2
  const letter = 'FCGDAEB'[mod(place, 7)] as string;
  const away = Math.floor(place / 7);
  return Math.abs(away) > 2 ? undefined : spelled(letter, away);
}

function bassOf(node: XmlNode, shift: NameShift, symbol: string): string | undefined {
  const bass = child(node, 'bass');
  const inversion = numberOf(node, 'inversion') ?? 0;
  if (!bass) {
    const chord = inversion > 0 ? read(symbol) : undefined;
    const name = chord?.members[inversion]?.name;
    return name === undefined || Math.abs(alteration(name)) > 1 ? undefined : `/${name}`;
  }
  const name = spelled(textOf(bass, 'bass-step'), numberIn(textOf(bass, 'bass-alter')) ?? 0);
  const sounding = name && nameAbove(name, shift.letters, shift.semitones);
  return sounding && Math.abs(alteration(sounding)) < 2 ? `/${sounding}` : undefined;
}

/** A degree that a symbol has beyond its kind. */
export interface DegreeWritten {
  readonly value: number;
  readonly alter: number;
  readonly type: 'add' | 'alter' | 'subtract';
}

/** A chord symbol as the standard spells it out. `kind` is `none` for no chord. */
export interface HarmonyWritten {
  readonly root: PitchName;
  readonly kind: string;
  /** What stands behind the root in the symbol. */
  readonly text: string;
  readonly degrees: readonly DegreeWritten[];
  readonly bass?: PitchName;
}

/** A chord symbol spelled out, or `undefined` for one that is not known. */
export function writeHarmony(symbol: string): HarmonyWritten | undefined {
  const chord = read(symbol);
  if (!chord) return undefined;
  const own = degreesOf(chord);
  let best: HarmonyWritten | undefined;
  for (const [kind, type] of KINDS) {
    const base = read(joined(chord.rootName, type));
    if (!base) continue;
    const degrees = difference(degreesOf(base), own);
    if (!best || degrees.length < best.degrees.length) {
      const text = symbol.replace(/^[A-G](?:bb?|##?|♭|♯)?/, '').replace(/\/[A-Ga-g][b#♭♯]?$/, '');
      best = { root: chord.rootName, kind, text, degrees, ...(chord.bass !== undefined && { bass: chord.bass }) };
    }
  }
  return best;
}

function difference(base: Degrees, own: Degrees): DegreeWritten[] {
  const degrees: DegreeWritten[] = [];
  for (const [value, semitones] of own) {
    const there = base.get(value);
    if (there === semitones) continue;
    const from = there ?? mod(DOMINANT[value] ?? 0, 12);
    const alter = mod(semitones - from + 6, 12) - 6;
    degrees.push({ value, alter, type: there === undefined ? 'add' : 'alter' });
  }
  for (const value of base.keys()) if (!own.has(value)) degrees.push({ value, alter: 0, type: 'subtract' });
  return degrees;
}
