// Keys: a tonic and a mode, and how the key spells its notes. Scale intervals are tonal's.
import { nearest } from '../foundation/nearest.js';
import { mod, type PitchClass, pitchClass } from '../foundation/units.js';
import { nameAbove, type PitchName, pitchClassOf, pitchName, plainName } from './pitch.js';
import { tonal } from './tonal.js';

/** The modes that a key can be in. */
export const MODES = [
  'major',
  'minor',
  'dorian',
  'phrygian',
  'lydian',
  'mixolydian',
  'locrian',
  'harmonic minor',
  'melodic minor',
  'blues',
  'major blues',
] as const;
/** A mode. `blues` is the key of a blues: the mixolydian scale, in which b3, b5 and b7 are expected colours. */
export type Mode = (typeof MODES)[number];

/** The scale that each mode is read with. A blues in C is spelled and counted over C mixolydian. */
const SCALE_OF: Readonly<Record<Mode, string>> = {
  major: 'major',
  minor: 'minor',
  dorian: 'dorian',
  phrygian: 'phrygian',
  lydian: 'lydian',
  mixolydian: 'mixolydian',
  locrian: 'locrian',
  'harmonic minor': 'harmonic minor',
  'melodic minor': 'melodic minor',
  blues: 'mixolydian',
  'major blues': 'mixolydian',
};

/** A key: its tonic, its mode, and for each pitch class of its scale the name that the key gives it. */
export interface Key {
  readonly tonic: PitchClass;
  readonly tonicName: PitchName;
  readonly mode: Mode;
  /** By pitch class (0 is C): the scale's name for it, or `undefined` outside the scale. */
  readonly names: readonly (PitchName | undefined)[];
}

/** C major, the key of an empty solo: written out, so that loading this package does not load tonal. */
export const C_MAJOR: Key = {
  tonic: pitchClass(0),
  tonicName: pitchName('C') as PitchName,
  mode: 'major',
  names: ['C', '', 'D', '', 'E', 'F', '', 'G', '', 'A', '', 'B'].map(pitchName),
};

const keys = new Map<string, Key>([['C major', C_MAJOR]]);

/**
 * Reads a key such as `C mixolydian`, `A minor`, `Am`, `Eb` (major). An unknown one gives a reason and perhaps a suggestion.
 * @example
 * const key = parseKey('Eb major')
 * 'names' in key && key.names.filter((n) => n !== undefined).join(' ') // => 'C D Eb F G Ab Bb'
 */
export function parseKey(text: string): Key | { readonly reason: string; readonly suggestion?: string } {
  if (text.length > 60) return { reason: 'a key is a note name and a mode, such as "A minor"' };
  const match = /^\s*([A-Ga-g](?:b|#|♭|♯)?)(m(?![a-z]))?(?:[\s-]+(.+?))?\s*$/.exec(text);
  const tonicName = match ? pitchName(match[1] as string) : undefined;
  if (!match || !tonicName) return { reason: 'a key is a note name and a mode, such as "A minor"' };
  const written = match[3] === undefined ? (match[2] ? 'minor' : 'major') : `${match[2] ?? ''} ${match[3]}`; // "Am major" is no key
  const word = written.trim().toLowerCase().replace(/\s+/g, ' ');
  const mode = ALIASES[word] ?? (MODES as readonly string[]).find((m) => m === word);
  if (!mode) {
    const near = nearest(word, MODES, 3);
    const reason = `"${word}" is not a mode`;
    return near ? { reason, suggestion: `${tonicName} ${near}` } : { reason };
  }
  return keyOf(tonicName, mode as Mode);
}

const ALIASES: Readonly<Record<string, Mode>> = {
  maj: 'major',
  ionian: 'major',
  min: 'minor',
  aeolian: 'minor',
  'natural minor': 'minor',
  'minor blues': 'minor',
  mixo: 'mixolydian',
};

/** The key on a tonic in a mode. */
export function keyOf(tonicName: PitchName, mode: Mode): Key {
  const text = `${tonicName} ${mode}`;
  const known = keys.get(text);
  if (known) return known;
  const names = new Array<PitchName | undefined>(12).fill(undefined);
  const { Interval, Scale } = tonal();
  for (const interval of Scale.get(`C ${SCALE_OF[mode]}`).intervals) {
    const name = nameAbove(tonicName, Number.parseInt(interval, 10) - 1, Interval.semitones(interval) as number);
    names[pitchClassOf(name)] = name;
  }
  const key: Key = { tonic: pitchClassOf(tonicName), tonicName, mode, names };
  keys.set(text, key);
  return key;
}

/**
 * The text of a key: `C mixolydian`.
 * @example
 * keyText(parseKey('Am')) // => 'A minor'
 */
export const keyText = (key: Key): string => `${key.tonicName} ${key.mode}`;

/** True if the key's scale holds a tone that many semitones above its tonic. */
export const inScale = (key: Key, semitonesAboveTonic: number): boolean =>
  key.names[mod(key.tonic + semitonesAboveTonic, 12)] !== undefined;

const LETTERS_FLAT = [0, 1, 1, 2, 2, 3, 4, 4, 5, 5, 6, 6];

/**
 * How a pitch class that neither key nor chord spells is written: as a degree above a root (of the chord of the moment, or of the key): 1 b2 2 b3 3 4
 * 5 b6 6 b7 7, the tritone by direction (up #4, down b5). So the 9 of Em7 is F#, the b3 of C7 Eb. Cb, Fb, E#, B# and two accidentals are never shown.
 * @example
 * chromaticName(pitchName('E'), pitchClass(6), false) // => 'F#'
 * chromaticName(pitchName('Bb'), pitchClass(11), false) // => 'B'
 */
export function chromaticName(root: PitchName, pitch: PitchClass, rising: boolean): PitchName {
  const above = mod(pitch - pitchClassOf(root), 12);
  const letters = above === 6 && rising ? 3 : (LETTERS_FLAT[above] as number);
  const name = plainName(nameAbove(root, letters, above));
  return WHITE[name] ?? name;
}

const WHITE: Readonly<Record<string, PitchName>> = {
  Cb: 'B' as PitchName,
  Fb: 'E' as PitchName,
  'E#': 'F' as PitchName,
  'B#': 'C' as PitchName,
};

const NUMERALS = ['I', 'bII', 'II', 'bIII', 'III', 'IV', '#IV', 'V', 'bVI', 'VI', 'bVII', 'VII'];
/** The numerals that a root spelled on that letter gets instead, by semitones and letters above the tonic. */
const SPELLED: Readonly<Record<string, string>> = {
  '1 0': '#I',
  '3 1': '#II',
  '6 4': 'bV',
  '8 4': '#V',
  '10 5': '#VI',
};

/**
 * The function of a chord in a key as a Roman numeral: capital for a major third, small for a minor one; ø, ° and + as usual.
 * Degrees are counted from the major scale in every mode, so the sixth degree of A minor is bVI; the root's own spelling decides between #I and bII.
 * @example
 * romanNumeral(parseKey('A minor'), pitchName('F'), 'major') // => 'bVI'
 * romanNumeral(parseKey('Bb major'), pitchName('B'), 'diminished') // => '#i°'
 */
export function romanNumeral(key: Key, root: PitchName, quality: string): string {
  const letters = mod('CDEFGAB'.indexOf(root.charAt(0)) - 'CDEFGAB'.indexOf(key.tonicName.charAt(0)), 7);
  const above = mod(pitchClassOf(root) - key.tonic, 12);
  const numeral = SPELLED[`${above} ${letters}`] ?? (NUMERALS[above] as string);
  if (quality === 'minor') return small(numeral);
  if (quality === 'half-diminished') return `${small(numeral)}ø`;
  if (quality === 'diminished') return `${small(numeral)}°`;
  return quality === 'augmented' ? `${numeral}+` : numeral;
}

const small = (numeral: string): string => numeral.replace(/[IV]+/, (letters) => letters.toLowerCase());
