// A motif in a player's words: its degrees, over which chords, how it ends, where, and how much of it chance would bring.
import { lengthInWords } from '../foundation/time.js';
import { ticks } from '../foundation/units.js';
import { FLAG, MISSING, type ToneTable } from '../solo/tone-table.js';
import { DEGREE_NAMES } from '../theory/interval.js';
import { listed } from './implied-words.js';
import type { Distinctiveness, Motif, MotifPlace } from './motif-kinds.js';
import { VIEWPOINTS } from './viewpoint.js';

/**
 * A sentence for a motif, such as `1 3 6 5 3, over I at 7 of 15 places, IV at 6, V at 2; 15 places in 6 solos, 5 keys; 0.1 expected by chance, false
 * discovery rate under 1 %; Marla Quillfeather at 15 places in 734 tones, all others at 0 in 1,821: this player's own (z 3.9, by chance 1 %)`. Degrees
 * are those over the chord of the moment, or of the key where its places agree more on those; where they differ it says at how many they are these, and
 * what all places have in common. A motif of rhythm, contour or gestures alone is named by those. The last part stands only where there are two players or more and chance was asked for.
 * @example
 * const line = 'e 5@3 5@2 8@2 7@2 q 5@2 - |'
 * const text = (n) => '---\ntitle: Three Doors\nplayer: Ada Fenwick\nkey: C major\ntempo: 96\n---\nchanges\n  1 C\n' + `phrase 1\nat 1 1\n  ${line}\n`
 * const table = toneTable(['a', 'b', 'c'].map((id) => ({ id, solo: parseSoloOrThrow(text(id)) })))
 * const [motif] = findMotifs(table, { nullRuns: 0 }).motifs
 * motifInWords(table, motif) // => '1 3 5 b5 3, over I; 3 places in 3 solos, 1 key; 0.0 expected by chance'
 */
export function motifInWords(table: ToneTable, motif: Motif): string {
  const { places } = motif;
  const many = (n: number, noun: string) => `${n} ${noun}${n === 1 ? '' : 's'}`;
  const ending = endWords(table, places);
  const graced = places.filter((p) => p.graces > 0).length;
  const chance = [
    ...(motif.expected === undefined ? [] : [`${motif.expected.toFixed(1)} expected by chance`]),
    ...(motif.falseDiscoveryRate === undefined ? [] : [`false discovery rate ${percent(motif.falseDiscoveryRate)}`]),
  ].join(', ');
  const parts = [
    `${nameOf(table, motif)}, ${overWords(table, places)}${ending ? `, ${ending}` : ''}`,
    `${many(places.length, 'place')} in ${many(motif.solos, 'solo')}, ${many(motif.keys, 'key')}${motif.apart < places.length ? `, ${motif.apart} that do not overlap` : ''}${graced > 0 ? `, ${graced} with graces` : ''}${motif.compactness < 1 ? `, other tones between: it is ${Math.round(motif.compactness * 100)} % of what it spans` : ''}`,
    ...(chance ? [chance] : []),
    ...(motif.distinctiveness?.chance === undefined ? [] : [whoseInWords(motif.distinctiveness)]),
  ];
  return parts.join('; ');
}

const percent = (share: number): string => (share < 0.01 ? 'under 1 %' : `${Math.round(share * 100)} %`);

/**
 * Whose a motif is, in words. It is called a player's own only if dealing out the names anew would seldom do it, and z is 1.96 or more: z alone calls far
 * too many so.
 * @example
 * const whose = { player: 'Ada Fenwick', places: 9, tones: 400, otherPlaces: 1, otherTones: 1200, z: 2.9, chance: 0.004, isTheirs: true }
 * whoseInWords(whose) // => "Ada Fenwick at 9 places in 400 tones, all others at 1 in 1,200: this player's own (z 2.9, by chance under 1 %)"
 */
export function whoseInWords(d: Distinctiveness): string {
  const count = (n: number) => n.toLocaleString('en');
  const verdict = d.isTheirs ? "this player's own" : "not to be called this player's own";
  const chance = d.chance === undefined ? '' : `, by chance ${percent(d.chance)}`;
  return `${d.player} at ${count(d.places)} place${d.places === 1 ? '' : 's'} in ${count(d.tones)} tones, all others at ${count(d.otherPlaces)} in ${count(d.otherTones)}: ${verdict} (z ${d.z.toFixed(1)}${chance})`;
}

/**
 * The degrees of a motif alone, a name for it: over the chord, or over the key where its places agree more on those.
 * @example
 * const table = toneTable([{ id: 'two-doors-down', solo: parseSoloOrThrow(EXAMPLE_SOLO) }])
 * findMotifs(table, { nullRuns: 0 }).motifs.map((motif) => motifDegrees(table, motif)) // => []
 */
export const motifDegrees = (table: ToneTable, { places }: Motif): string => {
  const { text, isOfKey } = mostDegrees(table, places);
  return isOfKey ? `${text} of the key` : text;
};

/** What its places have in common, by the simple viewpoints that it was found by. */
const ALIKE: Readonly<Record<string, string>> = {
  shape: 'movement of the hand',
  pitch: 'pitches',
  steps: 'steps',
  contour: 'ups and downs',
  degree: 'degrees',
  rhythm: 'rhythm',
  durations: 'note values',
  gesture: 'gestures',
  points: 'steps and rhythm',
};

/** Viewpoints that say nothing of pitch: a motif found by these alone is named by its symbols. */
const WITHOUT_PITCH = ['contour', 'rhythm', 'durations', 'gesture'];

function nameOf(table: ToneTable, motif: Motif): string {
  const parts = motif.viewpoint.split('+');
  if (parts.every((part) => WITHOUT_PITCH.includes(part))) return bySymbols(table, motif, parts);
  const { text, isOfKey, times } = mostDegrees(table, motif.places);
  const name = `${text}${isOfKey ? ' of the key' : ''}`;
  const all = motif.places.length;
  return times === all
    ? name
    : `${name} at ${times} of ${all} places, the same ${listed(parts.map((part) => alike(part, motif)).sort((a, b) => a.indexOf(' from ') - b.indexOf(' from ')))} at all`;
}

/** What places are alike in by one reading; read with another that looks further back, its first tones are free. */
function alike(part: string, { tones, symbols, viewpoint }: Motif): string {
  const reach = viewpoint === 'points' ? 0 : tones - symbols.length;
  const own = VIEWPOINTS.find(({ name }) => name === part)?.reach ?? reach;
  const free = reach - own;
  return `${ALIKE[part] ?? part}${free > 0 ? ` from the ${free === 1 ? 'second' : 'third'} tone on` : ''}`;
}

/** `the rhythm eighth, eighth, quarter`: note values as at the first place, ups and downs and gestures as they are. */
function bySymbols({ columns: { onset } }: ToneTable, motif: Motif, parts: readonly string[]): string {
  const rows = motif.places[0]?.rows ?? [];
  const texts = parts.map((part, k): string => {
    if (part === 'rhythm' || part === 'durations') {
      const values = rows.slice(1).map((row, i) => {
        const length = (onset[row] as number) - (onset[rows[i] as number] as number);
        return lengthInWords(ticks(length));
      });
      return `the ${ALIKE[part]} ${values.join(', ')}${part === 'rhythm' ? ' as at the first place' : ''}`;
    }
    const symbols = motif.symbols.map((symbol) => (symbol.split('|')[k] as string).replace(' straight', ''));
    return part === 'contour' ? symbols.join(' ') : symbols.join(', ');
  });
  return texts.join('; ');
}

/** The degrees that most places agree on, and at how many of them. */
function mostDegrees(
  table: ToneTable,
  places: readonly MotifPlace[],
): { readonly text: string; readonly isOfKey: boolean; readonly times: number } {
  const most = (degrees: Uint8Array) =>
    mostCommon(places.map((p) => degreesAt(table, p, degrees)))[0] as [string, number];
  const overChord = most(table.columns.degree);
  const overKey = most(table.columns.degreeOverKey);
  const isOfKey = overKey[1] > overChord[1];
  const [text, times] = isOfKey ? overKey : overChord;
  return { text, isOfKey, times };
}

function degreesAt({ columns: c }: ToneTable, { rows }: MotifPlace, degrees: Uint8Array): string {
  return rows
    .map((row) => {
      const above = degrees[row] as number;
      return above === MISSING ? '-' : `${DEGREE_NAMES[above]}${(c.flags[row] as number) & FLAG.plus ? '+' : ''}`;
    })
    .join(' ');
}

function overWords(table: ToneTable, places: readonly MotifPlace[]): string {
  const functions = mostCommon(
    places.map((p) => table.functions[table.columns.function[p.rows[0] as number] as number] as string),
  );
  if (functions.length === 1) return `over ${(functions[0] as [string, number])[0]}`;
  const shown = functions
    .slice(0, 3)
    .map(([name, n], i) => `${name} at ${n}${i === 0 ? ` of ${places.length} places` : ''}`);
  return `starts over ${listed(shown)}`;
}

/** How the last tone is played at half the places or more, where that is not straight. */
function endWords({ columns: c }: ToneTable, places: readonly MotifPlace[]): string | undefined {
  const last = places.map((p) => p.rows[p.rows.length - 1] as number);
  const share = (test: (row: number) => boolean) => last.filter(test).length * 2 >= last.length;
  if (share((row) => ((c.flags[row] as number) & FLAG.plus) !== 0)) return 'ends on a curl';
  return share((row) => (c.level[row] as number) >= 100) ? 'ends on a bend' : undefined;
}

function mostCommon(texts: readonly string[]): [string, number][] {
  const counts = new Map<string, number>();
  for (const text of texts) counts.set(text, (counts.get(text) ?? 0) + 1);
  return [...counts].sort((a, b) => b[1] - a[1]);
}
