// What is said of a motif: its places, its evidence, whose it is, and where it comes back not quite the same.
import type { Ticks } from '../foundation/units.js';
import { hasFlag, type Place, placeOfTone, type ToneTable } from '../solo/tone-table.js';
import { inFull, passesFilter, type ToneFilter } from './grouping.js';
import { type LineEvent, type LineSegment, linesOf } from './line.js';
import type { Viewpoint } from './viewpoint.js';

/** Which lines are searched. */
export type MotifFilter = Pick<ToneFilter, 'player' | 'solo' | 'key' | 'chord'>;

/** What counts as a motif. */
export interface MotifOptions {
  /** How lines are read. Default: steps, so that a motif is known again from any note and in any rhythm. */
  readonly viewpoint?: Viewpoint;
  /** Fewest tones. Default 5. */
  readonly leastTones?: number;
  /** Fewest places that do not overlap. Default 3. */
  readonly leastPlaces?: number;
  /** Fewest solos. Default 2, or 1 where lines of one solo only are read. */
  readonly leastSolos?: number;
  /** A longer rest than this cuts the line. Default: a half note. */
  readonly longestRest?: Ticks;
  /** Only lines of these players, solos or keys; with chords named, only stretches over them (symbols or functions). Default: all. */
  readonly where?: MotifFilter;
  /** How many null corpora, a whole number. Default 200; 0 for none, and no rates. */
  readonly nullRuns?: number;
  /** Seed of the null corpora. Default 1. */
  readonly seed?: number;
}

/** A place of a motif. */
export interface MotifPlace extends Place {
  /** Number of the solo in the tone table. */
  readonly soloNumber: number;
  /** The tones of the line that belong to the motif, as rows of the tone table. */
  readonly rows: readonly number[];
  /** Graces and other ornaments played with them, which are no tones of the line. */
  readonly graces: number;
}

/** Whose a motif is: its main player against all others. */
export interface Distinctiveness {
  /** The player who has it most beyond what the size of his part lets expect. */
  readonly player: string;
  /** Places of this player that do not overlap, and tones of the line that he has in all: each could have begun one. */
  readonly places: number;
  readonly tones: number;
  /** The same of all other players together. */
  readonly otherPlaces: number;
  readonly otherTones: number;
  /**
   * Log odds ratio with an informative Dirichlet prior, in standard errors (B. L. Monroe, M. P. Colaresi and K. M. Quinn 2008, Political Analysis
   * 16:372-403). It takes each place for a throw of its own, though the places of one solo go together, and the player is picked after the fact: so 1.96
   * comes by chance more often than one time in twenty. What is claimed goes by `chance`.
   */
  readonly z: number;
  /**
   * If motifs with this chance or less are each called one player's own, the share of them that is so by chance: the p-value of a test that deals the
   * players' names out over the solos anew, adjusted for how many motifs there are (Y. Benjamini and Y. Hochberg 1995, J. Royal Stat. Soc. B
   * 57:289-300). `undefined` where `findMotifs` was asked for no null corpora, and beyond the hundred best motifs, which are not
   * tested.
   */
  readonly chance: number | undefined;
  /** True if it may be called this player's own: `chance` 0.05 or less, and z 1.96 or more. */
  readonly isTheirs: boolean;
}

/** A motif with its evidence. */
export interface Motif {
  /** Name of the viewpoint that all its places are alike in; `points` for a set of points. */
  readonly viewpoint: string;
  /** Its symbols in the viewpoint, as texts; of a pattern of points the steps and distances: `500|6720`. */
  readonly symbols: readonly string[];
  /** How many tones it has. */
  readonly tones: number;
  /** All places, overlapping ones included, in order of solos and time. */
  readonly places: readonly MotifPlace[];
  /** Places that do not overlap, taken from the first on. */
  readonly apart: number;
  readonly solos: number;
  readonly keys: number;
  readonly players: readonly string[];
  /** Share of the tones of all lines read that lie in its places, 0 to 1. */
  readonly coverage: number;
  /** Its tones over the tones of the line from its first to its last, mean over its places: 1 if nothing lies between them. */
  readonly compactness: number;
  /** Bits that its symbols tell beyond what usually follows what, five at most for each: a run up a scale tells next to none. `undefined` for points: they are no sequence. */
  readonly bits: number | undefined;
  /** Places expected if each symbol only depended on the one before it, as it does outside the motif. `undefined` for points. */
  readonly expected: number | undefined;
  /** Bits of its bends and curls that come back with it, five at most for each tone: see `findMotifs`. `undefined` for points. */
  readonly gestureBits: number | undefined;
  /** What the ranking goes by: see `findMotifs` and `pointSetMotifs`. */
  readonly score: number;
  /** What chance is asked about: bits x log2(places apart) x log2(1 + (solos + keys) / 2). `undefined` for points. */
  readonly evidence: number | undefined;
  /** Share of motifs with this evidence or more that chance would bring; `undefined` without null corpora, and for points. */
  readonly falseDiscoveryRate: number | undefined;
  /** Whose it is; `undefined` where there is one player only. */
  readonly distinctiveness: Distinctiveness | undefined;
}

/** Motifs, the best first. */
export interface MotifReport {
  readonly motifs: readonly Motif[];
  /** Name of the viewpoint; `points` for sets of points. */
  readonly viewpoint: string;
  /** Phrases (cut at long rests) and tones of the line that were read. */
  readonly segments: number;
  readonly tones: number;
  readonly nullRuns: number;
}

/** The lines that a filter lets through; where it names chords, cut to the stretches that are played over them. */
export function linesAsked(table: ToneTable, longestRest: Ticks, where: MotifFilter): readonly LineSegment[] {
  const { columns: c } = table;
  const { chord, ...whole } = inFull(table, where);
  const lines = linesOf(table, longestRest).filter(({ solo, events }) => {
    const player = table.players[table.playerOfSolo[solo] as number] as string;
    const key = table.keys[c.key[(events[0] as LineEvent).row] as number] as string;
    return passesFilter(whole, { player, solo: table.solos[solo]?.id ?? '', key });
  });
  if (chord === undefined) return lines;
  const isOver = ({ row }: LineEvent): boolean =>
    passesFilter(
      { chord },
      {
        chord: table.chords[c.chord[row] as number] as string,
        function: table.functions[c.function[row] as number] as string,
      },
    );
  return lines.flatMap((line) => {
    const parts: LineEvent[][] = [[]];
    for (const event of line.events) {
      if (isOver(event)) (parts[parts.length - 1] as LineEvent[]).push(event);
      else if ((parts[parts.length - 1] as LineEvent[]).length > 0) parts.push([]);
    }
    return parts.filter((events) => events.length > 0).map((events) => ({ ...line, events }));
  });
}

/** The place of tones of the line, given as rows in order. */
export function motifPlace(table: ToneTable, soloNumber: number, rows: readonly number[]): MotifPlace {
  const { onset, phrase } = table.columns;
  const isOrnament = (row: number) => hasFlag(table, row, 'ornament');
  const first = rows[0] as number;
  let graces = 0;
  for (let row = first - 1; row >= 0 && isOrnament(row); row--) {
    if (onset[row] !== onset[first] || phrase[row] !== phrase[first]) break; // of a tone before
    graces++;
  }
  for (let row = first; row < (rows[rows.length - 1] as number); row++) if (isOrnament(row)) graces++;
  return { ...placeOfTone(table, first), soloNumber, rows, graces };
}

/** What a list of places says of how widely a motif is spread: tones covered, keys, players. */
export function spreadOf(
  table: ToneTable,
  places: readonly MotifPlace[],
  allTones: number,
): Pick<Motif, 'coverage' | 'keys' | 'players'> {
  const covered = new Set(places.flatMap((p) => p.rows));
  return {
    coverage: allTones === 0 ? 0 : covered.size / allTones,
    keys: new Set(places.map((p) => table.columns.key[p.rows[0] as number])).size,
    players: [...new Set(places.map((p) => table.players[table.playerOfSolo[p.soloNumber] as number] as string))],
  };
}
