// Which familiar scale the notes of a phrase, of a chord, of a solo or of a player come from, and what it costs to say so.
import { mod, pitchClass } from '../foundation/units.js';
import type { NamedSolo, ToneTable } from '../solo/tone-table.js';
import { DEGREE_NAMES } from '../theory/interval.js';
import { chromaticName, inScale, type Key, parseKey } from '../theory/scale.js';
import { type GroupColumn, type Grouping, groupColumn, selection, type ToneFilter } from './grouping.js';
import { FEWEST_NOTES, MANY_NOTES, type ScaleChoice, scaleChoices } from './scale-choice.js';

/** A pitch class that takes less of the time than this is left out of account. */
export const LEAST_SHARE = 0.02;

/** Whose notes to take. */
export interface ScaleFitOptions {
  /** Only these tones: a player, a solo, those over a chord or a function. Default: all. */
  readonly where?: ToneFilter;
  /** Only the phrase of this id, of the solos that the filter lets through. */
  readonly phrase?: string;
  /** With a filter by chord: take tones pushed over a change with the chord they push into. Default false. */
  readonly anticipation?: boolean;
  /** Names of familiar scales to choose among, to see the notes beside a pentatonic, say. Default: all of them. */
  readonly scales?: readonly string[];
}

/** One pitch class that is used, and where the fit has put it. */
export interface ScaleNote {
  /** Above the tonic of the key, 0 to 11. */
  readonly semitones: number;
  /** The same by name: `b3`; the tritone is `#4` or `b5` as it is mostly spelled. */
  readonly degree: string;
  readonly tones: number;
  /** Ticks it sounds, and their share of all that is counted. */
  readonly ticks: number;
  readonly share: number;
  /** `rare`: under 2 % of the time, left out of account. `used`: nothing was fitted. */
  readonly place: 'scale' | 'added' | 'outside' | 'rare' | 'used';
  /** The tones, as rows of the tone table. */
  readonly rows: Int32Array;
}

/** Tones a quarter-tone above a degree: listed, not counted. */
export interface CurledNote {
  /** Whole semitones above the tonic, and the name with its `+`. */
  readonly semitones: number;
  readonly degree: string;
  readonly tones: number;
  readonly rows: Int32Array;
}

/** A scale for some notes. */
export interface ScaleFit {
  /** Tones counted and the time they sound: without graces, other ornaments and curls. */
  readonly tones: number;
  readonly ticks: number;
  readonly solos: number;
  /** Keys of the bars that the tones stand in, as `A minor`. Notes are counted above the tonic of each. */
  readonly keys: readonly string[];
  /** All pitch classes that sound, from the tonic up. */
  readonly notes: readonly ScaleNote[];
  readonly curls: readonly CurledNote[];
  /** The best scale; absent with fewer than five pitch classes. */
  readonly best?: ScaleChoice;
  /** The next best ones, three at most. */
  readonly others: readonly ScaleChoice[];
  /** Share of the time that the best scale and its added notes hold; absent without a scale. */
  readonly inside?: number;
  /** `A minor pentatonic + 6`; without the tonic's name where keys on several tonics are counted together; or `too few notes to tell`. */
  readonly said: string;
  /** What it costs in words: `1 note added, none unused, none left outside`; and the curls that are not counted. */
  readonly costSaid: string;
}

/**
 * The familiar scale that fits best. Left out: graces and other ornaments, curls (tones a quarter-tone above a semitone), and pitch classes under 2 % of
 * the time; but a note of the scale that is only ever curled is not held to be unused. The order of preference is that of `scaleChoices`: rooted on the tonic unless another root leaves strictly fewer notes outside, up to
 * two added notes, fewest outside, then fewest added and unused. Which scales are familiar: common practice, no source.
 * @throws RangeError if there is no such phrase, or no familiar scale of a name
 * @example
 * const text = '---\ntitle: Box\nplayer: Ada Fenwick\nkey: A minor\ntempo: 96\n---\nphrase 1\nat 1 1\n  e 5@1 8@1 5@2 8@2 5@3 7@3 7@2 5@1 |\n'
 * const fit = scaleFit(toneTable([{ id: 'box', solo: parseSoloOrThrow(text) }]));
 * [fit.said, fit.costSaid] // => ['A minor pentatonic + 6', '1 note added, none unused, none left outside']
 */
export function scaleFit(table: ToneTable, options: ScaleFitOptions = {}): ScaleFit {
  return fitOf(table, rowsFor(table, options), options.scales);
}

/** The fit of one group. */
export interface ScaleFitGroup {
  /** The value of each grouping, in the order of `by`; a phrase as `solo: phrase`. */
  readonly group: readonly string[];
  readonly fit: ScaleFit;
}

/**
 * A {@link scaleFit} for each group: each player, solo, chord, phrase. Groups stand in the order in which they come first in the table.
 * @throws RangeError as {@link scaleFit} does
 * @example
 * const table = toneTable([{ id: 'two-doors-down', solo: parseSoloOrThrow(EXAMPLE_SOLO) }])
 * scaleFits(table, ['phrase']).map((g) => [g.group[0], g.fit.said]) // => [['two-doors-down: 1', 'too few notes to tell'], ['two-doors-down: 2', 'A minor pentatonic']]
 * scaleFits(table, ['player']).map((g) => g.fit.said) // => ['A minor pentatonic + 6']
 */
export function scaleFits(
  table: ToneTable,
  by: readonly (Grouping | 'phrase')[],
  options: ScaleFitOptions = {},
): readonly ScaleFitGroup[] {
  const columns = by.map((g) => (g === 'phrase' ? phraseColumn(table) : groupColumn(table, g, options.anticipation)));
  const groups = new Map<string, { group: string[]; rows: number[] }>();
  for (const row of rowsFor(table, options)) {
    const group = columns.map(({ codes, labels }) => labels[codes[row] as number] ?? 'none');
    const key = group.join('\u0000');
    const known = groups.get(key);
    if (known) known.rows.push(row);
    else groups.set(key, { group, rows: [row] });
  }
  return [...groups.values()].map(({ group, rows }) => ({ group, fit: fitOf(table, rows, options.scales) }));
}

function phraseColumn(table: ToneTable): GroupColumn {
  const first: number[] = [];
  const labels: string[] = [];
  for (const { id, solo } of table.solos) {
    first.push(labels.length);
    labels.push(...solo.phrases.map((phrase) => `${id}: ${phrase.id}`));
  }
  const { solo, phrase } = table.columns;
  const codes: Int32Array = Int32Array.from(solo, (s, row) => (first[s] as number) + (phrase[row] as number));
  return { codes, size: Math.max(1, labels.length), labels };
}

function rowsFor(table: ToneTable, { where, phrase, anticipation }: ScaleFitOptions): readonly number[] {
  const mask = selection(table, { where, anticipation, chordless: true });
  const rows: number[] = [];
  const { solo, phrase: phrases } = table.columns;
  const idOf = (row: number) =>
    (table.solos[solo[row] as number] as NamedSolo).solo.phrases[phrases[row] as number]?.id;
  for (let row = 0; row < table.rows; row++)
    if (mask[row] && (phrase === undefined || idOf(row) === phrase)) rows.push(row);
  if (phrase !== undefined && rows.length === 0) {
    const known = table.solos.filter((s) => where?.solo === undefined || [where.solo].flat().includes(s.id));
    const some = known.slice(0, 3).map((s) => `${s.id} has ${s.solo.phrases.map((p) => p.id).join(', ') || 'none'}`);
    throw new RangeError(
      `no tone asked for is in a phrase "${phrase}": ${some.join('; ') || 'there is no such solo'}${known.length > 3 ? '; and so on' : ''}`,
    );
  }
  return rows;
}

function fitOf(table: ToneTable, rows: readonly number[], scales: readonly string[] | undefined): ScaleFit {
  const { columns: c } = table;
  const plain: number[][] = DEGREE_NAMES.map(() => []);
  const curled: number[][] = DEGREE_NAMES.map(() => []);
  for (const row of rows)
    ((c.pitch[row] as number) % 100 === 0 ? plain : curled)[c.degreeOverKey[row] as number]?.push(row);
  const ticksOf = (list: readonly number[]): number => list.reduce((sum, row) => sum + (c.ticks[row] as number), 0);
  const counted = plain
    .map((list, semitones) => ({ semitones, ticks: ticksOf(list), list }))
    .filter(({ list }) => list.length > 0);
  const ticks = counted.reduce((sum, note) => sum + note.ticks, 0);
  const isRare = (note: { readonly ticks: number }): boolean => note.ticks < LEAST_SHARE * ticks || note.ticks === 0;
  const keys = keysOf(table, rows);
  const used = counted
    .filter((note) => !isRare(note))
    .map((note) => ({ semitones: note.semitones, amount: note.ticks }));
  const often = curled.flatMap((list, semitones) =>
    list.length > 0 && ticksOf(list) >= LEAST_SHARE * ticks ? [semitones] : [],
  );
  const [best, ...others] = scaleChoices(used, { scales, own: scaleOf(keys), curled: often });
  const placeOf = (note: { readonly semitones: number; readonly ticks: number }): ScaleNote['place'] => {
    if (isRare(note)) return 'rare';
    if (!best) return 'used';
    return best.added.includes(note.semitones) ? 'added' : best.outside.includes(note.semitones) ? 'outside' : 'scale';
  };
  const notes = counted.map(
    (note): ScaleNote => ({
      semitones: note.semitones,
      degree: degreeOf(table, note.list, note.semitones, 0),
      tones: note.list.length,
      ticks: note.ticks,
      share: ticks === 0 ? 0 : note.ticks / ticks,
      place: placeOf(note),
      rows: Int32Array.from(note.list),
    }),
  );
  const held = notes.reduce(
    (sum, note) => sum + (note.place === 'scale' || note.place === 'added' ? note.ticks : 0),
    0,
  );
  const curls = curled.flatMap((list, semitones) =>
    list.length === 0
      ? []
      : [{ semitones, degree: `${DEGREE_NAMES[semitones]}+`, tones: list.length, rows: Int32Array.from(list) }],
  );
  return {
    tones: notes.reduce((sum, note) => sum + note.tones, 0),
    ticks,
    solos: new Set(rows.map((row) => c.solo[row])).size,
    keys: keys.map(({ text }) => text),
    notes,
    curls,
    ...(best && { best, inside: held / ticks }),
    others: others.slice(0, 3),
    said: best ? choiceInWords(table, best, keys, plain) : 'too few notes to tell',
    costSaid: [
      best ? costInWords(best) : `${used.length} of the ${FEWEST_NOTES} pitch classes that it takes`,
      ...(used.length < MANY_NOTES ? [] : [`${used.length} of the 12 pitch classes are used, so no scale tells much`]),
      ...(curls.length === 0
        ? []
        : [`curls not counted: ${curls.map((curl) => `${curl.tones} on ${curl.degree}`).join(', ')}`]),
    ].join('; '),
  };
}

interface NamedKey {
  readonly text: string;
  readonly key: Key;
}

function keysOf(table: ToneTable, rows: readonly number[]): readonly NamedKey[] {
  const codes = new Set(rows.map((row) => table.columns.key[row] as number));
  return [...codes].map((code) => {
    const text = table.keys[code] as string;
    return { text, key: parseKey(text) as Key };
  });
}

/** The scale that all keys have in common above their tonics; none if they differ. */
function scaleOf(keys: readonly NamedKey[]): readonly number[] {
  const scales = keys.map(({ key }) =>
    DEGREE_NAMES.flatMap((_, semitones) => (inScale(key, semitones) ? [semitones] : [])),
  );
  const [first = []] = scales;
  return scales.every((scale) => scale.join() === first.join()) ? first : [];
}

const nameIn = (key: Key, above: number): string =>
  key.names[mod(key.tonic + above, 12)] ?? chromaticName(key.tonicName, pitchClass(key.tonic + above), false);

/** A degree above a root that stands so far above the tonic; the tritone as most of its tones are spelled. */
function degreeOf(table: ToneTable, rows: readonly number[], semitones: number, root: number): string {
  const above = mod(semitones - root, 12);
  if (above !== 6) return DEGREE_NAMES[above] as string;
  const letters = 'CDEFGAB';
  const fourths = rows.filter((row) => {
    const key = parseKey(table.keys[table.columns.key[row] as number] as string) as Key;
    const from = letters.indexOf(nameIn(key, root)[0] as string);
    return (
      mod(letters.indexOf((table.names[table.columns.name[row] as number] as string)[0] as string) - from, 7) === 3
    );
  });
  return fourths.length * 2 > rows.length ? '#4' : 'b5';
}

function choiceInWords(
  table: ToneTable,
  choice: ScaleChoice,
  keys: readonly NamedKey[],
  plain: readonly (readonly number[])[],
): string {
  const { scale, root, added } = choice;
  const plus = [...added]
    .sort((a, b) => mod(a - root, 12) - mod(b - root, 12))
    .map((note) => ` + ${degreeOf(table, plain[note] ?? [], note, root)}`);
  const names = new Set(keys.map(({ key }) => nameIn(key, root)));
  const [name] = names;
  const degree = root === 0 ? '' : DEGREE_NAMES[root];
  if (names.size === 1)
    return `${name} ${scale}${plus.join('')}${degree ? `, rooted on the ${degree} of the key` : ''}`;
  return `${scale}${plus.join('')}${degree ? `, rooted on the ${degree} of each key` : ''}`;
}

function costInWords({ added, unused, onlyCurled, outside }: ScaleChoice): string {
  const count = (list: readonly number[]): string => (list.length === 0 ? 'none' : String(list.length));
  const curled =
    onlyCurled.length === 0 ? '' : ` (${onlyCurled.map((note) => DEGREE_NAMES[note]).join(', ')} only curled)`;
  return `${added.length === 0 ? 'no note' : added.length === 1 ? '1 note' : `${added.length} notes`} added, ${count(unused)} unused${curled}, ${count(outside)} left outside`;
}
