// The familiar scales that some notes can be said to come from, ranked by what it costs to say so.
import { mod } from '../foundation/units.js';
import { compareInTurn } from '../math/lexicographic.js';
import { FAMILIAR_SCALES } from '../theory/familiar-scale.js';

/** Notes that a scale may be given beyond its own: "minor pentatonic + 6". */
export const MOST_ADDED = 2;
/** With fewer pitch classes than this nothing is said of a scale. */
export const FEWEST_NOTES = 5;
/** With as many as this the answer says that no scale tells much. */
export const MANY_NOTES = 10;

/** A familiar scale on a root, with added notes, and what it costs. All numbers of notes are semitones above the tonic, 0 to 11. */
export interface ScaleChoice {
  /** The scale's name without its root: `minor pentatonic`. */
  readonly scale: string;
  /** The root; 0 is the tonic. */
  readonly root: number;
  /** The scale's own notes. */
  readonly notes: readonly number[];
  /** Notes that are used and added to the scale, the most used first; two at most. */
  readonly added: readonly number[];
  /** Notes of the scale that are not used, neither straight nor curled. */
  readonly unused: readonly number[];
  /** Notes of the scale that are only ever curled, a quarter-tone above: neither used nor unused. */
  readonly onlyCurled: readonly number[];
  /** Notes that are used and left outside scale and added notes. */
  readonly outside: readonly number[];
  /** Added and unused notes together. */
  readonly cost: number;
}

/** A note that is used: semitones above the tonic (0 to 11), and how much, in ticks or any other unit above 0. */
export interface UsedNote {
  readonly semitones: number;
  readonly amount: number;
}

/** Which scales to choose among. */
export interface ScaleChoiceOptions {
  /** Names of familiar scales. Default: all of them. */
  readonly scales?: readonly string[] | undefined;
  /** The scale of the key, in semitones above its tonic; it decides between equals only. */
  readonly own?: readonly number[];
  /** Notes that curls start from: a scale that has one is not charged for leaving it unused. */
  readonly curled?: readonly number[];
}

/**
 * All familiar scales on all roots for some notes, the best first: fewest notes left outside (after adding two at most), then rooted on the tonic,
 * then fewest added and unused notes together, then the smaller scale, then the key's own, then the more familiar one, then the root that
 * is used most. So another root comes before the tonic only where it leaves strictly fewer notes outside. Fewer than five notes: none.
 * @throws RangeError if a name is no familiar scale, or none is given
 * @example
 * const notes = [0, 3, 5, 7, 9, 10].map((semitones) => ({ semitones, amount: 1 }))
 * const [best] = scaleChoices(notes);
 * [best.scale, best.root, best.added, best.cost] // => ['minor pentatonic', 0, [9], 1]
 * scaleChoices(notes.slice(0, 4)) // => []
 */
export function scaleChoices(used: readonly UsedNote[], options: ScaleChoiceOptions = {}): readonly ScaleChoice[] {
  const { scales, own = [], curled = [] } = options;
  const unknown = scales?.find((name) => !FAMILIAR_SCALES.some((scale) => scale.name === name));
  if (unknown !== undefined)
    throw new RangeError(
      `"${unknown}" is no familiar scale; there are: ${FAMILIAR_SCALES.map((scale) => scale.name).join(', ')}`,
    );
  if (scales?.length === 0)
    throw new RangeError('no scale to choose among: name one, or leave scales out for all of them');
  if (used.length < FEWEST_NOTES) return [];
  const amounts = new Map(used.map(({ semitones, amount }) => [semitones, amount]));
  const byAmount = [...used]
    .sort((a, b) => b.amount - a.amount || a.semitones - b.semitones)
    .map((note) => note.semitones);
  const ranked = FAMILIAR_SCALES.flatMap(({ name, semitones, onTonicOnly }, order) => {
    if (scales && !scales.includes(name)) return [];
    return Array.from({ length: onTonicOnly ? 1 : 12 }, (_, root) => {
      const notes = semitones.map((above) => mod(root + above, 12));
      const beyond = byAmount.filter((note) => !notes.includes(note));
      const added = beyond.slice(0, MOST_ADDED);
      const silent = notes.filter((note) => !amounts.has(note));
      const onlyCurled = silent.filter((note) => curled.includes(note));
      const unused = silent.filter((note) => !curled.includes(note));
      const outside = beyond.slice(MOST_ADDED);
      const choice: ScaleChoice = {
        scale: name,
        root,
        notes,
        added,
        unused,
        onlyCurled,
        outside,
        cost: added.length + unused.length,
      };
      const isOwn = root === 0 && notes.length === own.length && notes.every((note) => own.includes(note));
      return {
        choice,
        rank: [
          outside.length,
          root === 0 ? 0 : 1,
          choice.cost,
          notes.length,
          isOwn ? 0 : 1,
          order,
          -(amounts.get(root) ?? 0),
          root,
        ],
      };
    });
  });
  return ranked.sort((a, b) => compareInTurn(a.rank, b.rank)).map(({ choice }) => choice);
}
