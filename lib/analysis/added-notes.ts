// Which chord a note is there for that a scale does not have: the 4 beside a major pentatonic, over the IV.
import { isMember, ROLES, type Role } from '../solo/harmony.js';
import { MISSING, type ToneTable } from '../solo/tone-table.js';
import { DEGREE_NAMES } from '../theory/interval.js';
import type { ScaleFit, ScaleNote } from './scale-fit.js';
import { type Share, shareOf } from './shares.js';

/** Fewer tones than this are no finding. */
export const FEWEST_TONES = 5;

/** An added note over one chord, by function, as one member or none of it. */
export interface AddedNoteChord {
  /** The function of the chord; `pickup` before the first, `N.C.` under none. */
  readonly function: string;
  /** What the note is there, and how far above the root; absent without a chord. */
  readonly role?: Role;
  readonly degree?: string;
  readonly isMember: boolean;
  readonly tones: number;
  /** Share of the note's tones. */
  readonly share: Share;
  /** Share that chords of this function have of all tones that were fitted: what the share would be if the note came as often over every chord. */
  readonly usual: number;
  /** The tones, as rows of the tone table. */
  readonly rows: readonly number[];
}

/** A note that was added to a scale, and the chords that it sounds over, the most first; their tones add up to its tones. */
export interface AddedNote {
  /** Above the tonic of the key, 0 to 11, and by name. */
  readonly semitones: number;
  readonly degree: string;
  readonly tones: number;
  readonly chords: readonly AddedNoteChord[];
  /** The chords that it serves: of which it is a member, with five tones or more, and a greater share than tones have there at large. */
  readonly serves: readonly AddedNoteChord[];
  /** `the 4 serves the IV: its root, 12 of 15 tones`, or that it serves none. */
  readonly said: string;
}

/**
 * For each note that a fit adds to its scale, the chords over which it sounds, how many of its tones, and what it is there. Chords are told apart by
 * function and by what the note is in them. Fewer than five tones: counts only; shares have 95 % intervals from five solos on.
 * @param fit a `scaleFit` of the same table; with `scales: ['major pentatonic']` its 4 and 7 are added notes
 * @example
 * const text = '---\ntitle: Four\nplayer: Ada Fenwick\nkey: C major\ntempo: 96\n---\nchanges\n  1 C | F\nphrase 1\nat 1 1\n  e 8@1 10@2 8@2 9@3 q 10@2 8@2 | e 6@2 6@2 6@2 8@1 6@2 6@2 q 8@2 |\n'
 * const table = toneTable([{ id: 'four', solo: parseSoloOrThrow(text) }])
 * const fit = scaleFit(table)
 * fit.said // => 'C major pentatonic + 4'
 * addedNotes(table, fit).map((a) => a.said) // => ['the 4 serves the IV: its root, 5 of 5 tones']
 */
export function addedNotes(table: ToneTable, fit: ScaleFit): readonly AddedNote[] {
  const { function: functions } = table.columns;
  const all = new Map<number, number>();
  for (const note of fit.notes)
    for (const row of note.rows) all.set(functions[row] as number, (all.get(functions[row] as number) ?? 0) + 1);
  return fit.notes
    .filter((note) => note.place === 'added')
    .map((note): AddedNote => {
      const chords = chordsUnder(table, note, all, fit.tones);
      const serves = chords.filter((c) => c.isMember && c.tones >= FEWEST_TONES && c.share.share > c.usual);
      return {
        semitones: note.semitones,
        degree: note.degree,
        tones: note.tones,
        chords,
        serves,
        said: inWords(note, chords, serves),
      };
    });
}

function chordsUnder(
  table: ToneTable,
  note: ScaleNote,
  all: ReadonlyMap<number, number>,
  tones: number,
): readonly AddedNoteChord[] {
  const { function: functions, role, degree, solo } = table.columns;
  const groups = new Map<number, number[]>();
  const perSolo = new Map<number, number>();
  for (const row of note.rows) {
    const key = (functions[row] as number) * 256 + (role[row] as number);
    const known = groups.get(key);
    if (known) known.push(row);
    else groups.set(key, [row]);
    perSolo.set(solo[row] as number, (perSolo.get(solo[row] as number) ?? 0) + 1);
  }
  return [...groups.values()]
    .map((rows): AddedNoteChord => {
      const [first] = rows as [number];
      const code = functions[first] as number;
      const own = ROLES[role[first] as number];
      const above = degree[first] as number;
      return {
        function: table.functions[code] as string,
        ...(own && { role: own }),
        ...(above !== MISSING && { degree: DEGREE_NAMES[above] as string }),
        isMember: own !== undefined && isMember(own),
        tones: rows.length,
        share: shareOf(
          [...perSolo.keys()].map((s) => rows.filter((row) => solo[row] === s).length),
          [...perSolo.values()],
        ),
        usual: (all.get(code) ?? 0) / tones,
        rows,
      };
    })
    .sort((a, b) => b.tones - a.tones || (a.function < b.function ? -1 : 1));
}

function inWords(note: ScaleNote, chords: readonly AddedNoteChord[], serves: readonly AddedNoteChord[]): string {
  const of = `${note.tones} ${note.tones === 1 ? 'tone' : 'tones'}`;
  if (serves.length > 0)
    return `the ${note.degree} serves ${serves.map((c, i) => `the ${c.function}: its ${memberIn(c)}, ${c.tones}${i === 0 ? ` of ${of}` : ''}`).join('; ')}`;
  const perFunction = new Map<string, number>();
  for (const c of chords) perFunction.set(c.function, (perFunction.get(c.function) ?? 0) + c.tones);
  const where = [...perFunction].map(([name, tones]) => `${name} ${tones}`).join(', ');
  return `the ${note.degree}: ${of}, ${note.tones < FEWEST_TONES ? 'too few to tell' : 'serving no chord clearly'} (${where})`;
}

const EXTENDED: Readonly<Record<string, string>> = {
  b2: 'b9',
  '2': '9',
  b3: '#9',
  '4': '11',
  b5: '#11',
  b6: 'b13',
  '6': '13',
};

/** What a note is in its chord: a member by its name, an extension as chord symbols write it. */
export const memberIn = ({ role, degree = '' }: Pick<AddedNoteChord, 'role' | 'degree'>): string =>
  role === 'extension' ? (EXTENDED[degree] ?? degree) : (role ?? degree);
