// What an implied chord is in a sentence, as a player would say it.
import { type Chord, type ChordMember, extensionName } from '../theory/chord.js';
import type { ChordReading, HeldTone } from './chord-reading.js';

/** A tone and its name, `+` for a quarter-tone above. */
export interface NamedTone extends HeldTone {
  readonly name: string;
}

/** What a sentence is made of. */
export interface ImpliedFacts {
  readonly verdict: 'agrees' | 'against' | 'open' | 'none';
  /** The chord of the moment: its symbol, `N.C.` or `pickup`. */
  readonly chord: string;
  readonly tones: readonly NamedTone[];
  readonly implied?: ChordReading;
  /** Where several roots fit alike: their chords. */
  readonly rivals: readonly ChordReading[];
  /** Names of bends held up under the others, and of droning open strings left out. */
  readonly heldBends: readonly string[];
  readonly drones: readonly string[];
}

/**
 * A list in words.
 * @example
 * listed(['C', 'E', 'G']) // => 'C, E and G'
 * listed(['G7', 'Db7'], 'or') // => 'G7 or Db7'
 */
export function listed(words: readonly string[], last = 'and'): string {
  return words.length < 2 ? words.join('') : `${words.slice(0, -1).join(', ')} ${last} ${words[words.length - 1]}`;
}

/**
 * What a member is called in its chord.
 * @example
 * parseChord('C7#9').members.map(memberInWords) // => ['root', 'third', 'fifth', 'seventh', '#9']
 */
export function memberInWords(member: ChordMember): string {
  return member.role === 'extension' ? extensionName(member) : member.role;
}

/**
 * The sentence of an implied chord. A tone that sounds in two octaves is named once.
 * @example
 * const tone = (name, pitch) => ({ name, pitch, plus: false })
 * const implied = { chord: parseChord('Bb'), own: true, members: parseChord('Bb').members.slice(1) }
 * const facts = { verdict: 'against', chord: 'Eb', tones: [tone('D', 2), tone('F', 5)], implied, rivals: [], heldBends: ['D'], drones: [] }
 * impliedInWords(facts) // => 'D and F say Bb (its third and fifth), over Eb; D is a bend held up'
 */
export function impliedInWords(facts: ImpliedFacts): string {
  const { verdict, implied, heldBends, drones } = facts;
  const rivals = rootsOnce(facts.rivals);
  const once = facts.tones
    .map((tone, i) => ({ tone, i }))
    .filter(({ tone, i }) => facts.tones.findIndex((t) => t.name === tone.name) === i);
  const names = listed(once.map(({ tone }) => tone.name));
  const parts = (reading: ChordReading): string =>
    `its ${listed(once.map(({ tone, i }) => partInWords(tone, reading.chord, reading.members[i] as ChordMember)))}`;
  const where =
    facts.chord === 'pickup' ? 'before the first chord' : facts.chord === 'N.C.' ? 'under N.C.' : `over ${facts.chord}`;
  const extras = [
    ...(heldBends.length > 0
      ? [`${listed(heldBends)} ${heldBends.length > 1 ? 'are bends' : 'is a bend'} held up`]
      : []),
    ...(drones.length > 0 ? [`left out: ${listed(drones)}, droning open`] : []),
  ];
  const said = ((): string => {
    if (verdict === 'none') return `${names} ${where}: no chord holds them all`;
    if (!implied)
      return `${names} ${where}: ${isTritone(facts.tones) ? 'a tritone, open' : `open, ${listed(rivals, 'or')}`}`;
    if (verdict === 'agrees') return `${names} ${where}: ${parts(implied)}`;
    return `${names} say ${soundingSymbol(implied)} (${parts(implied)}), ${where}`;
  })();
  return [said, ...extras].join('; ');
}

/**
 * What a chord is called of which only some members sound: where neither seventh nor anything beyond is heard, it is a triad on that root; minor if its third says so.
 * @example
 * const reading = (symbol, ...roles) => ({ chord: parseChord(symbol), own: true, members: parseChord(symbol).members.filter((m) => roles.includes(m.role)) });
 * [soundingSymbol(reading('Fm7', 'root', 'fifth')), soundingSymbol(reading('Fm7', 'root', 'third')), soundingSymbol(reading('Fm7', 'third', 'seventh'))] // => ['F', 'Fm', 'Fm7']
 */
export function soundingSymbol({ chord, members }: Pick<ChordReading, 'chord' | 'members'>): string {
  const plain: readonly string[] = ['root', 'third', 'fifth'];
  const isTriad = members.every(({ role, semitones }) => plain.includes(role) && (role !== 'fifth' || semitones === 7));
  if (!isTriad) return chord.symbol;
  return `${chord.rootName}${members.some(({ role, semitones }) => role === 'third' && semitones === 3) ? 'm' : ''}`;
}

const isTritone = (tones: readonly HeldTone[]): boolean => {
  const classes = [...new Set(tones.map((tone) => tone.pitch))];
  return classes.length === 2 && Math.abs((classes[0] as number) - (classes[1] as number)) === 6;
};

/** Symbols of readings, the likeliest of each root. */
function rootsOnce(readings: readonly ChordReading[]): readonly string[] {
  const roots = new Map<number, string>();
  for (const { chord } of readings) if (!roots.has(chord.root)) roots.set(chord.root, chord.symbol);
  return [...roots.values()];
}

/** A quarter-tone is a member squeezed up, or the member above squeezed down. */
function partInWords(tone: HeldTone, chord: Chord, member: ChordMember): string {
  const words = memberInWords(member);
  if (!tone.plus) return words;
  return (chord.root + member.semitones) % 12 === tone.pitch
    ? `${words} (a quarter-tone high)`
    : `${words} (a quarter-tone low)`;
}
