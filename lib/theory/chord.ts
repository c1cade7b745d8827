// Chord symbols as players write them, read into members with their spelling. The dictionary of chord types is tonal's.
import { nearest } from '../foundation/nearest.js';
import { mod, type PitchClass } from '../foundation/units.js';
import { type Degree, degreeName } from './interval.js';
import { nameAbove, type PitchName, pitchClassOf, pitchName } from './pitch.js';
import { tonal } from './tonal.js';

/** What a chord member is in its chord. */
export type MemberRole =
  | 'root'
  | 'third'
  | 'fifth'
  | 'sixth'
  | 'seventh'
  | 'extension'
  | 'suspended fourth'
  | 'suspended second';

/** One member of a chord: semitones above the root (0 to 11), its spelled name, its interval as tonal writes it (`3M`, `9A`). */
export interface ChordMember {
  readonly semitones: number;
  readonly name: PitchName;
  readonly interval: string;
  readonly role: MemberRole;
}

/** The families that players group chords by. */
export const QUALITIES = [
  'major',
  'dominant',
  'minor',
  'half-diminished',
  'diminished',
  'augmented',
  'suspended',
  'suspended dominant',
  'power',
] as const;
/** A family of chords. */
export type Quality = (typeof QUALITIES)[number];

/** A chord as its symbol spells it. The bass after a slash never changes the root. */
export interface Chord {
  /** The symbol as it was written. */
  readonly symbol: string;
  readonly root: PitchClass;
  readonly rootName: PitchName;
  readonly members: readonly ChordMember[];
  readonly quality: Quality;
  readonly bass?: PitchName;
}

/** A chord symbol that could not be read, with the nearest one that can. */
export interface UnknownChord {
  readonly symbol: string;
  readonly reason: string;
  readonly suggestion?: string;
}

/** What stands where no chord is played: `N.C.`. */
export const NO_CHORD = 'N.C.';

/** True for the ways players write "no chord". */
export const isNoChord = (symbol: string): boolean => /^n\.?c\.?$/i.test(symbol);

/** Other ways to write the same type, brought to the one that tonal knows. Order matters. Common practice, no source. */
const REWRITES: readonly (readonly [RegExp, string])[] = [
  [/[(,]\s*(?=9|11|13)/g, 'add'],
  [/[\s(),]/g, ''],
  [/♭/g, 'b'],
  [/♯/g, '#'],
  [/^(?:major|Major|maj|Maj|MAJ|ma|Ma|MA|M|j|Δ|\^)(?=7|9|11|13)/, 'maj'],
  [/^(?:Δ|\^)/, 'maj7'],
  [/^(?:major|Major|Maj|MAJ|ma|Ma|MA|M)(?=$|[b#]?6|add)/, ''],
  [/^maj(?=$|6)/, ''],
  [/^(?:minor|min|Min|mi|MI|-)/, 'm'],
  [/^m(?:major|Major|maj|Maj|ma|Ma|M|Δ|\^)(?=7|9|11|13|[b#]|$)/, 'mMaj'],
  [/^mMaj(?=[b#]|$)/, 'mMaj7'],
  [/^(?<seventh>maj|mMaj)11/, '$<seventh>9add11'],
  [/^mMaj13/, 'mMaj9add13'],
  [/^(?:°|o)/, 'dim'],
  [/^dim(?:maj|Maj|ma|M|Δ)7$/, 'oM7'],
  [/^[øØ](?<top>9|11)/, 'm$<top>b5'],
  [/^[øØ]7?/, 'm7b5'],
  [/^dom/, ''],
  [/^\+(?=7|9|maj)/, 'aug'],
  [/^aug7/, '7#5'],
  [/^aug9/, '9#5'],
  [/^augmaj7/, 'maj7#5'],
  [/^\+$/, 'aug'],
  [/(7|9|13)-(?=5|9)/, '$1b'],
  [/(7|9|13)\+(?=5|9|11)/, '$1#'],
  [/^maj7\+$/, 'maj7#5'],
  [/^7alt$|^alt$/, '7#5#9'],
  [/^69|^6add9/, '6/9'],
  [/^m6\/9/, 'm69'],
  [/^2$/, 'add9'],
  [/sus$/, 'sus4'],
];

/** Longer than any chord symbol that is meant. */
const LONGEST_SYMBOL = 40;

const cache = new Map<string, Chord | UnknownChord>();

/**
 * Reads a chord symbol: `Bb7#9`, `F#m7b5`, `Am7/G`, `C-7`, `Co7`, `C6/9`. After the slash a letter is the bass, a digit part of the chord.
 * An unknown symbol gives its reason and, where one is near, a suggestion; nothing is thrown.
 * @example
 * const c = parseChord('Bb7#9')
 * isChord(c) && c.members.map((m) => m.name) // => ['Bb', 'D', 'F', 'Ab', 'C#']
 * parseChord('Cmjr7') // => { symbol: 'Cmjr7', reason: '"mjr7" is not a chord type', suggestion: 'Cmaj7' }
 */
export function parseChord(symbol: string): Chord | UnknownChord {
  let chord = cache.get(symbol);
  if (!chord) {
    chord = readChord(symbol);
    if (cache.size > 4096) cache.clear(); // symbols come from files: never grow without end
    cache.set(symbol, chord);
  }
  return chord;
}

/**
 * True if the symbol was understood.
 * @example
 * isChord(parseChord('Gsus4')) // => true
 */
export const isChord = (chord: Chord | UnknownChord): chord is Chord => 'root' in chord;

function readChord(symbol: string): Chord | UnknownChord {
  if (symbol.length > LONGEST_SYMBOL)
    return { symbol, reason: `a chord symbol has at most ${LONGEST_SYMBOL} characters` };
  const match = /^([A-G](?:bb?|##?|♭|♯)?)(.*?)(?:\/([A-Ga-g][b#♭♯]?))?$/.exec(symbol);
  const rootName = match ? pitchName(match[1] as string) : undefined;
  if (!match || !rootName) {
    const upper = symbol.charAt(0).toUpperCase() + symbol.slice(1);
    const again = /^[a-g]/.test(symbol) ? readChord(upper) : undefined;
    const reason = 'a chord symbol starts with its root, A to G';
    return again && isChord(again) ? { symbol, reason, suggestion: upper } : { symbol, reason };
  }
  const bass = match[3] === undefined ? undefined : pitchName(match[3]);
  const type = match[2] as string;
  const intervals = typeIntervals(type);
  if (!intervals) {
    const near = nearest(type, commonTypes(), 2) ?? nearest(type.toLowerCase(), commonTypes(), 3);
    const reason = `"${type}" is not a chord type`;
    const slash = bass ? `/${bass}` : '';
    return near === undefined ? { symbol, reason } : { symbol, reason, suggestion: rootName + near + slash };
  }
  const chord = chordFrom(symbol, rootName, intervals);
  return bass ? { ...chord, bass } : chord;
}

/** The intervals of a chord type: in tonal's dictionary, or a type of it that is suspended, altered, added to or left without a member. */
function typeIntervals(written: string): readonly string[] | undefined {
  const known = inDictionary(written);
  if (known) return known;
  let type = written;
  for (const [pattern, replacement] of REWRITES) type = type.replace(pattern, replacement);
  const rewritten = inDictionary(type);
  if (rewritten) return rewritten;
  const suspended = /^(.+)sus([24])$/.exec(type);
  if (suspended) {
    const before = typeIntervals(suspended[1] as string)?.filter((i) => !isNumber(i, 3));
    return before && [...before, suspended[2] === '4' ? '4P' : '2M'].sort(byNumber);
  }
  const change = /^(.*?)(add|no|omit)?([b#]?)(2|3|4|5|6|7|9|11|13)$/.exec(type);
  if (!change) return undefined;
  const [, base, word, sign, digits] = change as unknown as [string, string, string | undefined, string, string];
  const number = Number(digits);
  const omits = word === 'no' || word === 'omit';
  if ((!word && !sign) || (number === 3 && !omits)) return undefined;
  const before = typeIntervals(base);
  if (!before) return undefined;
  if (omits) return before.filter((i) => !isNumber(i, number));
  const perfect = number === 4 || number === 5 || number === 11;
  // A seventh that is written b7 or added plainly is the minor one, as players name degrees.
  const natural = number === 7 ? (sign === '#' ? 'M' : 'm') : perfect ? 'P' : 'M';
  const mark = number === 7 || sign === '' ? natural : sign === '#' ? 'A' : perfect ? 'd' : 'm';
  const added = `${number}${mark}`;
  const kept =
    word === 'add' ? before : before.filter((i) => !(isNumber(i, number) && (number === 5 || /[MP]$/.test(i))));
  return kept.includes(added) ? kept : [...kept, added].sort(byNumber);
}

const isNumber = (interval: string, number: number): boolean => Number.parseInt(interval, 10) === number;
const byNumber = (a: string, b: string): number => Number.parseInt(a, 10) - Number.parseInt(b, 10);

let dictionary: ReadonlyMap<string, readonly string[]> | undefined;

/**
 * A type under its name or one of its aliases in tonal's dictionary. A few of these (`7b5b9`, `m7#5`) are read there as if b5 were #11 beside
 * a natural fifth and #5 a b6; they are left out, so that the fifth is what the symbol says.
 */
function inDictionary(type: string): readonly string[] | undefined {
  dictionary ??= new Map([
    ...tonal()
      .ChordType.all()
      .flatMap((t) =>
        [t.name, ...t.aliases]
          .filter((name) => saysItsFifth(name, t.intervals))
          .map((name) => [name, t.intervals] as const),
      ),
    ['', ['1P', '3M', '5P']],
  ]);
  return dictionary.get(type);
}

const saysItsFifth = (name: string, intervals: readonly string[]): boolean =>
  (!name.includes('b5') || intervals.includes('5d')) && (!name.includes('#5') || intervals.includes('5A'));

function chordFrom(symbol: string, rootName: PitchName, intervals: readonly string[]): Chord {
  const numbers = intervals.map((i) => Number.parseInt(i, 10));
  const hasThird = numbers.includes(3) || numbers.includes(10);
  const members = intervals.map((interval, i): ChordMember => {
    const number = numbers[i] as number;
    const semitones = mod(tonal().Interval.semitones(interval) as number, 12);
    return {
      semitones,
      name: nameAbove(rootName, number - 1, semitones),
      interval,
      role: memberRole(number, hasThird),
    };
  });
  return { symbol, root: pitchClassOf(rootName), rootName, members, quality: qualityOf(intervals) };
}

function memberRole(number: number, hasThird: boolean): MemberRole {
  if (number === 1 || number === 8) return 'root';
  if (number === 3 || number === 10) return 'third';
  if (number === 5) return 'fifth';
  if (number === 6) return 'sixth';
  if (number === 7) return 'seventh';
  if (!hasThird && number === 4) return 'suspended fourth';
  if (!hasThird && number === 2) return 'suspended second';
  return 'extension';
}

function qualityOf(intervals: readonly string[]): Quality {
  const has = (interval: string) => intervals.includes(interval);
  if (has('3M')) {
    if (has('7m')) return 'dominant';
    return has('5A') ? 'augmented' : 'major';
  }
  if (has('3m')) {
    if (!has('5d') || has('5P')) return 'minor';
    return has('7m') ? 'half-diminished' : 'diminished';
  }
  if (has('4P') || has('2M') || has('11P')) return has('7m') ? 'suspended dominant' : 'suspended';
  if (has('7m')) return 'dominant';
  return has('7M') ? 'major' : 'power';
}

/**
 * Tensions that are at hand over each family, in semitones above the root: diatonic and chromatic extensions and alterations.
 * Source: D. Terefenko, Jazz Theory (2014), figure 5.1. Families that the table lacks: a diminished triad reads as dim7,
 * a suspended triad as the suspended dominant, an augmented triad and a power chord have none.
 */
const TENSIONS: Readonly<Record<Quality, readonly number[]>> = {
  major: [2, 9, 6, 8],
  dominant: [2, 9, 1, 3, 6, 8],
  minor: [2, 5, 9, 8, 6],
  'half-diminished': [2, 5, 8],
  diminished: [2, 5, 8],
  augmented: [],
  suspended: [2, 9, 1, 3, 8, 6],
  'suspended dominant': [2, 9, 1, 3, 8, 6],
  power: [],
};

/** The sixths and sevenths of the same table: at hand while the symbol names none of its own. */
const SIXTHS_AND_SEVENTHS: Readonly<Record<Quality, readonly number[]>> = {
  major: [11, 9],
  dominant: [10],
  minor: [10, 9, 11, 8],
  'half-diminished': [10],
  diminished: [9, 11],
  augmented: [],
  suspended: [10],
  'suspended dominant': [10],
  power: [],
};

/**
 * True if a tone that many semitones above the root is a tension at hand over the chord (members are not asked about).
 * @example
 * const g7 = parseChord('G7') as Chord
 * [isTension(g7, 9), isTension(g7, 5)] // => [true, false]
 */
export function isTension(chord: Chord, semitonesAboveRoot: number): boolean {
  if (TENSIONS[chord.quality].includes(semitonesAboveRoot)) return true;
  const own = chord.members.some((m) => m.role === 'sixth' || m.role === 'seventh');
  return !own && SIXTHS_AND_SEVENTHS[chord.quality].includes(semitonesAboveRoot);
}

/** The member that a pitch so many semitones above the root is, if it is one. */
export const memberAt = (chord: Chord, semitonesAboveRoot: number): ChordMember | undefined =>
  chord.members.find((m) => m.semitones === semitonesAboveRoot);

/** The number of an extension, as its chord symbol spells it: `9`, `b9`, `#11`. */
export function extensionName({ interval }: ChordMember): string {
  const number = Number.parseInt(interval, 10);
  const quality = interval.replace(/^\d+/, '');
  return (quality === 'A' ? '#' : quality === 'm' || quality === 'd' ? 'b' : '') + number;
}

/**
 * The name of a degree over a chord: where the symbol spells an altered ninth, eleventh or thirteenth, that is its name; else as it is named over any root.
 * @example
 * degreeOver(parseChord('Eb7b9') as Chord, { semitones: 1, plus: false }) // => 'b9'
 * degreeOver(parseChord('Eb7') as Chord, { semitones: 1, plus: false }) // => 'b2'
 */
export function degreeOver(chord: Chord, degree: Degree): string {
  const member = memberAt(chord, degree.semitones);
  const altered = member?.role === 'extension' && /[Amd]$/.test(member.interval);
  return altered ? extensionName(member) + (degree.plus ? '+' : '') : degreeName(degree);
}

let types: readonly string[] | undefined;
/** What a misspelled type may have meant, the usual ones first. A sign at the front would be taken into the root. */
function commonTypes(): readonly string[] {
  types ??= [
    '',
    'm',
    'maj7',
    'm7',
    '7',
    'm7b5',
    'dim7',
    'mMaj7',
    ...tonal()
      .ChordType.all()
      .flatMap((t) => t.aliases),
  ].filter((t) => !/[Δ^°ø]|^[b#]/.test(t));
  return types;
}
