// Whose a motif is: its places with one player against those with all others, judged by whole solos.
import type { Random } from '../foundation/random.js';
import { belonging, belongings } from '../math/relabelling.js';
import type { ToneTable } from '../solo/tone-table.js';
import type { LineSegment } from './line.js';
import type { Distinctiveness } from './motif-kinds.js';

/** How many motifs, the best ones, are tested: more would only make each claim harder. */
export const MOST_TESTED = 100;

/** A motif may be called a player's own if this seldom any would be by chance, and if its log odds lie so many standard errors from none. */
export const OWN = { chance: 0.05, z: 1.96 } as const;

/**
 * For each motif whose it is; `undefined` for all if one player only is read.
 * @param counts for each motif, by the number of the solo, its places there that do not overlap
 * @param random for dealing out the players' names; without it nothing is said of chance, and nothing claimed
 */
export function theirs(
  table: ToneTable,
  segments: readonly LineSegment[],
  counts: readonly ReadonlyMap<number, number>[],
  random: Random | undefined,
): readonly (Distinctiveness | undefined)[] {
  const tones = new Map<number, number>();
  for (const { solo, events } of segments) tones.set(solo, (tones.get(solo) ?? 0) + events.length);
  const solos = [...tones.keys()];
  const unitOf = new Map(solos.map((solo, unit) => [solo, unit]));
  const players = [...new Set(solos.map((solo) => table.playerOfSolo[solo] as number))];
  const labels = solos.map((solo) => players.indexOf(table.playerOfSolo[solo] as number));
  const things = counts.map((bySolo) => ({
    units: [...bySolo.keys()].map((solo) => unitOf.get(solo) as number),
    counts: [...bySolo.values()],
  }));
  const sizes = [...tones.values()];
  const tested = random ? belongings(things.slice(0, MOST_TESTED), sizes, labels, { random }) : [];
  return things.map((thing, i): Distinctiveness | undefined => {
    const found = tested[i] ?? belonging(thing, sizes, labels);
    if (!found) return undefined;
    const chance = tested[i]?.adjusted;
    return {
      player: table.players[players[found.label] as number] as string,
      places: found.count,
      tones: found.size,
      otherPlaces: found.otherCount,
      otherTones: found.otherSize,
      z: found.z,
      chance,
      isTheirs: chance !== undefined && chance <= OWN.chance && found.z >= OWN.z,
    };
  });
}
