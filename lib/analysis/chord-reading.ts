// Which chords hold some tones, the likeliest first.
import { mod, type PitchClass, pitchClass } from '../foundation/units.js';
import { compareInTurn } from '../math/lexicographic.js';
import type { Solo } from '../solo/solo.js';
import { type Chord, type ChordMember, isChord, isNoChord, memberAt, parseChord } from '../theory/chord.js';
import { chromaticName, type Key } from '../theory/scale.js';

/** A tone as chords hold it: a pitch class, and whether it stands a quarter-tone above it. A quarter-tone is held as either of its neighbours. */
export interface HeldTone {
  readonly pitch: PitchClass;
  readonly plus: boolean;
}

/** A chord that holds all the tones asked about. */
export interface ChordReading {
  readonly chord: Chord;
  /** True for a chord of the song's own changes. */
  readonly own: boolean;
  /** What each tone is in it, in the order of the tones. */
  readonly members: readonly ChordMember[];
}

/** What tones are heard in. */
export interface ReadingScene {
  /** The song's own chords, as {@link ownChords} gives them. */
  readonly own: readonly Chord[];
  readonly key: Key;
  /** The chord of the moment, if one rules. */
  readonly chord?: Chord | undefined;
}

/** Triads, then sevenths; of types that fit alike on one root the first here is named. Common practice, no source. */
const TYPES = ['', 'm', 'dim', 'aug', '7', 'm7', 'maj7', 'm7b5', 'dim7'] as const;
/** Asked only where none of them holds the tones: A D E is a suspended triad. */
const LAST_TYPES = ['sus4'] as const;

const bitOf = (pitch: number): number => 1 << mod(pitch, 12);
const bitsOf = (chord: Chord): number => chord.members.reduce((bits, m) => bits | bitOf(chord.root + m.semitones), 0);

/**
 * True if two chords sound the same pitch classes over the same root, whatever their bass and however they are written.
 * @example
 * soundsLike(parseChord('C'), parseChord('Cmaj/E')) // => true
 */
export const soundsLike = (a: Chord, b: Chord): boolean => a.root === b.root && bitsOf(a) === bitsOf(b);

/**
 * The chords of a solo's changes, each once; the bass after a slash makes no other chord.
 * @example
 * ownChords(parseSoloOrThrow(EXAMPLE_SOLO)).map((c) => c.symbol) // => ['Am7', 'D7', 'E7']
 */
export function ownChords(solo: Solo): readonly Chord[] {
  const known = new Map<string, Chord>();
  for (const bar of solo.changes.bars)
    for (const { symbol } of bar) {
      const chord = isNoChord(symbol) ? undefined : parseChord(symbol.replace(/\/[A-Ga-g][b#♭♯]?$/, ''));
      if (!chord || !isChord(chord)) continue;
      const sound = `${chord.root} ${bitsOf(chord)}`;
      if (!known.has(sound)) known.set(sound, chord);
    }
  return [...known.values()];
}

/**
 * What each tone is in a chord; `undefined` if the chord does not hold them all. Above a quarter-tone both neighbours are asked for, the lower first.
 * @example
 * membersIn(parseChord('C7'), [{ pitch: pitchClass(4), plus: false }, { pitch: pitchClass(10), plus: false }])?.map((m) => m.role) // => ['third', 'seventh']
 */
export function membersIn(chord: Chord, tones: readonly HeldTone[]): readonly ChordMember[] | undefined {
  const members: ChordMember[] = [];
  for (const { pitch, plus } of tones) {
    const above = mod(pitch - chord.root, 12);
    const member = memberAt(chord, above) ?? (plus ? memberAt(chord, mod(above + 1, 12)) : undefined);
    if (!member) return undefined;
    members.push(member);
  }
  return members;
}

/**
 * The chords that hold all tones: those of the song, and every triad and seventh; suspended triads only if there is none. First come chords of the
 * song of which root or third sounds; then, among all, those whose root sounds, whose third sounds, of which fewest members are missing, that
 * leave the key least, that stand on the root of the chord of the moment, and that share most with it.
 * @returns the readings, the likeliest first; and the rivals: those that fit the tones as well as the first, on another root, so that only the key or
 * the changes put one before the other
 * @example
 * const scene = { own: [], key: parseKey('Bb major') }
 * const tones = ['D', 'F'].map((name) => ({ pitch: pitchClass(name === 'D' ? 2 : 5), plus: false }))
 * chordReadings(tones, scene).readings[0].chord.symbol // => 'Dm'
 * chordReadings(tones, { ...scene, own: [parseChord('Bb'), parseChord('Eb')] }).readings[0].chord.symbol // => 'Bb'
 */
export function chordReadings(
  tones: readonly HeldTone[],
  scene: ReadingScene,
): { readonly readings: readonly ChordReading[]; readonly rivals: readonly ChordReading[] } {
  const own = scene.own.filter((chord) => membersIn(chord, tones)).map((chord) => ({ chord, own: true }));
  const holding = (chords: readonly GeneralChord[]) =>
    chords
      .filter(
        ({ root, bits }) =>
          holdsAll(bits, tones) && !own.some(({ chord }) => chord.root === root && bitsOf(chord) === bits),
      )
      .map(({ root, type }) => ({ chord: named(root, type, scene.key), own: false }));
  const [usualChords, lastChords] = generalChords();
  const usual = [...own, ...holding(usualChords)];
  const ranked = (usual.length > 0 ? usual : holding(lastChords))
    .flatMap(({ chord, own }) => {
      const members = membersIn(chord, tones);
      return members ? [{ chord, own, members, rank: rankOf(chord, own, members, scene) }] : [];
    })
    .sort((a, b) => compareInTurn(a.rank, b.rank));
  const [first] = ranked;
  const rivals = ranked.filter((r) => first && r.chord.root !== first.chord.root && fitsAs(r.rank, first.rank));
  const plain = ({ chord, own, members }: ChordReading): ChordReading => ({ chord, own, members });
  return { readings: ranked.map(plain), rivals: rivals.map(plain) };
}

/** How many numbers of a rank tell how well a chord fits the tones; those behind, of the key and the changes, put equals in an order only. */
const OF_FIT = 4;
const fitsAs = (a: readonly number[], b: readonly number[]): boolean =>
  compareInTurn(a.slice(0, OF_FIT), b.slice(0, OF_FIT)) === 0;

/** Smaller is likelier, the first number that differs decides. */
function rankOf(
  chord: Chord,
  own: boolean,
  members: readonly ChordMember[],
  { key, chord: ruling }: ReadingScene,
): readonly number[] {
  const sounds = (role: string): boolean => members.some((m) => m.role === role);
  const hasThird = sounds('third') || sounds('suspended fourth') || sounds('suspended second');
  const missing = chord.members.length - new Set(members).size;
  const outside = chord.members.filter((m) => key.names[mod(chord.root + m.semitones, 12)] === undefined).length;
  const shared = ruling ? bitCount(bitsOf(chord) & bitsOf(ruling)) : 0;
  return [
    own && (sounds('root') || hasThird) ? 0 : 1,
    sounds('root') ? 0 : 1,
    hasThird ? 0 : 1,
    missing,
    outside,
    ruling?.root === chord.root ? 0 : 1,
    -shared,
  ];
}

function bitCount(bits: number): number {
  let count = 0;
  for (let left = bits; left !== 0; left &= left - 1) count++;
  return count;
}

const holdsAll = (bits: number, tones: readonly HeldTone[]): boolean =>
  tones.every(({ pitch, plus }) => (bits & (bitOf(pitch) | (plus ? bitOf(pitch + 1) : 0))) !== 0);

/** A chord of a type, named as the key names its root; outside the key the tritone is its #4, as in F#m7b5, all others are flats. */
function named(root: PitchClass, type: string, key: Key): Chord {
  const name = key.names[root] ?? chromaticName(key.tonicName, root, true);
  return parseChord(name + type) as Chord;
}

/** A type of chord on a root, and what it sounds as bits. */
interface GeneralChord {
  readonly root: PitchClass;
  readonly type: string;
  readonly bits: number;
}

function onEveryRoot(types: readonly string[]): readonly GeneralChord[] {
  return types.flatMap((type) => {
    const { members } = parseChord(`C${type}`) as Chord;
    const bits = (root: number): number => members.reduce((sum, m) => sum | bitOf(root + m.semitones), 0);
    return Array.from({ length: 12 }, (_, root) => ({ root: pitchClass(root), type, bits: bits(root) }));
  });
}

let general: readonly [usual: readonly GeneralChord[], last: readonly GeneralChord[]] | undefined;
/** Worked out when it is first asked for: reading chord symbols loads their dictionary, which an import of this library must not wait for. */
function generalChords(): readonly [usual: readonly GeneralChord[], last: readonly GeneralChord[]] {
  general ??= [onEveryRoot(TYPES), onEveryRoot(LAST_TYPES)];
  return general;
}
