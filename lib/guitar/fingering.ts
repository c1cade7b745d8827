// Where the hand lies along a line: the cheapest path through strings, frets, positions and fingers.
import type { Cents, Fret, MidiKey, StringNumber } from '../foundation/units.js';
import { gripsOf } from './fingering-grips.js';
import {
  FINGERING_COSTS,
  type FingeringCosts,
  type Grip,
  gripCost,
  type HandEvent,
  type HandNote,
  type Held,
  moveCost,
  type Neck,
  neckOf,
} from './fingering-hand.js';
import { type Guitar, positionsOf, SCALE_LENGTH_MM, STANDARD_GUITAR } from './fretboard.js';

/** What a fingering is made for. */
export interface FingeringOptions {
  /** Default: a six-string guitar in standard tuning. */
  readonly guitar?: Guitar;
  /** Scale length in mm. Default 648. */
  readonly scaleLength?: number;
  /** Prices; default {@link FINGERING_COSTS}. */
  readonly costs?: FingeringCosts;
}

/** One moment of a fingering. */
export interface FingeringStep {
  readonly at: number;
  /** The position: the fret that the first finger lies at, counted from the capo. */
  readonly position: number;
  /** The notes with the finger that is likely: 1 to 4, 0 for an open string. A suggestion. */
  readonly notes: readonly (HandNote & { readonly finger: number })[];
  /** How far the hand came for it, and how far fingers lie apart beyond their ease, in mm. */
  readonly shiftMm: number;
  readonly stretchMm: number;
  /** What it costs: holding it, and coming to it from the step before. */
  readonly cost: number;
  /** True where four fingers cannot hold what is written. */
  readonly unreachable: boolean;
}

/** A way through a line. */
export interface Fingering {
  readonly steps: readonly FingeringStep[];
  /** The sum of the costs of the steps. */
  readonly cost: number;
}

/** One string that could be played at a moment, and every way to hold it. */
interface State extends Held {
  readonly cost: number;
}

/**
 * The likeliest hand positions along a line whose strings and frets are written, and fingers that go with them: the cheapest path through all grips, with
 * distances in millimetres. Position is claimed; fingers are a suggestion, as hands differ.
 *
 * Method: optimum path (S. I. Sayegh 1989, Computer Music Journal 13(3):76-84), by dynamic programming (A. Viterbi) over grips.
 * Of equal paths the one of lower fingers is given, so that the answer is always the same.
 * @throws RangeError for a note off the neck
 * @example
 * const line = [5, 8, 7].map((f, i) => ({ at: i / 4, notes: [{ string: stringNumber(2), fret: fret(f) }] }))
 * fingerLine(line).steps.map((s) => [s.position, s.notes[0]?.finger]) // => [[5, 1], [5, 4], [5, 3]]
 */
export function fingerLine(line: readonly HandEvent[], options: FingeringOptions = {}): Fingering {
  const { neck, costs, guitar } = setUp(options);
  const layers = line.map(({ at, notes }, i) => {
    for (const { string, fret } of notes)
      if (
        !(fret >= 0 && fret <= neck.last && Number.isInteger(fret)) ||
        !(string >= 1 && string <= guitar.tuning.length)
      )
        throw new RangeError(
          `event ${i + 1}: fret ${fret} of string ${string} is off the neck: frets 0 to ${neck.last}, strings 1 to ${guitar.tuning.length}`,
        );
    return statesOf(neck, at, notes, costs);
  });
  return cheapestPath(neck, layers, costs);
}

/**
 * What a fingering of one's own costs by the same prices: for each event its grip.
 * @throws RangeError if there is not one grip for each event
 */
export function fingeringCost(
  line: readonly HandEvent[],
  grips: readonly Grip[],
  options: FingeringOptions = {},
): number {
  const { neck, costs } = setUp(options);
  if (grips.length !== line.length)
    throw new RangeError(`${grips.length} grips for ${line.length} events: give one for each`);
  let total = 0;
  line.forEach((event, i) => {
    const held: Held = { ...event, grip: grips[i] as Grip };
    total += gripCost(neck, event.notes, held.grip, costs).total;
    if (i > 0)
      total += moveCost(neck, { ...(line[i - 1] as HandEvent), grip: grips[i - 1] as Grip }, held, costs).total;
  });
  return total;
}

/** A pitch that is to be played: the key that the fret sounds, and how far it is bent from there. */
export interface PitchToPlace {
  readonly key: MidiKey;
  readonly bend?: Cents;
}

/** Pitches without positions that begin together; `at` in seconds. */
export interface PitchEvent {
  readonly at: number;
  readonly pitches: readonly PitchToPlace[];
}

/** How a line is to be placed on the neck. */
export interface PlacingOptions extends FingeringOptions {
  /** The position that is wished for, counted from the capo. Default: none. */
  readonly position?: number;
  /** What a fret away from the wished position costs. Default 0.5. */
  readonly positionCost?: number;
  /** Open strings: as cheap as any note, only where the path is much cheaper, or only for what lies nowhere else. Default `allow`. */
  readonly openStrings?: 'allow' | 'avoid' | 'never';
}

/** What an open string costs that is to be avoided. */
const AVOIDED_OPEN = 3;

/**
 * Finds string and fret for pitches, with the likeliest positions and fingers: the cheapest path as {@link fingerLine}, over every place of each pitch. A bent pitch is placed where it can be bent:
 * not on an open string, rather on the upper three strings and away from the nut. Pitches at once get strings of their own.
 * @throws RangeError for a pitch that is not on the neck, or pitches that cannot sound together
 * @example
 * const pitches = [69, 72, 74].map((key, i) => ({ at: i / 4, pitches: [{ key: midiKey(key) }] }))
 * placeLine(pitches, { position: 5 }).steps.map((s) => `${s.notes[0]?.fret}@${s.notes[0]?.string}`) // => ['5@1', '8@1', '10@1']
 */
export function placeLine(line: readonly PitchEvent[], options: PlacingOptions = {}): Fingering {
  const { neck, costs, guitar } = setUp(options);
  const { position, positionCost = 0.5, openStrings = 'allow' } = options;
  const layers = line.map(({ at, pitches }, i) => {
    const ways = placesOf(guitar, pitches, i, openStrings === 'never');
    const states = ways.flatMap((notes) => statesOf(neck, at, notes, costs));
    const reachable = states.filter(({ grip }) => !grip.unreachable);
    return (reachable.length > 0 ? reachable : states).map((state) => {
      const away = position === undefined ? 0 : positionCost * Math.abs(state.grip.position - position);
      const open = openStrings === 'avoid' ? AVOIDED_OPEN * state.notes.filter(({ fret }) => fret === 0).length : 0;
      return { ...state, cost: state.cost + away + open };
    });
  });
  return cheapestPath(neck, layers, costs);
}

/** Every way to put pitches on strings of their own. */
function placesOf(
  guitar: Guitar,
  pitches: readonly PitchToPlace[],
  event: number,
  noOpen: boolean,
): readonly (readonly HandNote[])[] {
  const places = pitches.map(({ key, bend }) => {
    const all = positionsOf(guitar, key).filter(({ fret }) => !bend || fret > 0);
    const fretted = noOpen ? all.filter(({ fret }) => fret > 0) : all;
    if (all.length === 0)
      throw new RangeError(
        positionsOf(guitar, key).length === 0
          ? `event ${event + 1}: key ${key} is not on this neck; transpose the line, or give the guitar's own tuning and frets`
          : `event ${event + 1}: key ${key} lies only on an open string, which cannot be bent; bend up to it from below, or play it unbent`,
      );
    return (fretted.length > 0 ? fretted : all).map(
      ({ string, fret }): HandNote => ({ string, fret: fret as Fret, ...(bend ? { bend } : {}) }),
    );
  });
  const ways: HandNote[][] = [];
  const choose = (k: number, chosen: HandNote[], used: ReadonlySet<StringNumber>): void => {
    if (k === places.length) {
      ways.push([...chosen].sort((a, b) => a.string - b.string));
      return;
    }
    for (const note of places[k] as readonly HandNote[])
      if (!used.has(note.string)) choose(k + 1, [...chosen, note], new Set([...used, note.string]));
  };
  choose(0, [], new Set());
  if (ways.length === 0)
    throw new RangeError(
      `event ${event + 1}: keys ${pitches.map(({ key }) => key).join(', ')} cannot sound together on this guitar: there are not strings enough for them`,
    );
  return ways;
}

function setUp({ guitar = STANDARD_GUITAR, scaleLength = SCALE_LENGTH_MM, costs = FINGERING_COSTS }: FingeringOptions) {
  if (!(scaleLength > 0 && scaleLength < Number.POSITIVE_INFINITY))
    throw new RangeError(`a scale length of ${scaleLength} mm: give a length above 0, such as ${SCALE_LENGTH_MM}`);
  return { guitar, costs, neck: neckOf(guitar, scaleLength) };
}

const statesOf = (neck: Neck, at: number, notes: readonly HandNote[], costs: FingeringCosts): readonly State[] =>
  gripsOf(neck, notes).map((grip) => ({ at, notes, grip, cost: gripCost(neck, notes, grip, costs).total }));

/** Costs nearer than this are equal: sums in another order differ in their last digits. */
const SAME = 1e-9;

/** The cheapest way through layers of states; of equal ones that of the earlier states in each layer. */
function cheapestPath(neck: Neck, layers: readonly (readonly State[])[], costs: FingeringCosts): Fingering {
  const best: Float64Array[] = [];
  const from: Int32Array[] = [];
  layers.forEach((states, i) => {
    const own: Float64Array = new Float64Array(states.length);
    const back: Int32Array = new Int32Array(states.length);
    const before = layers[i - 1];
    states.forEach((state, s) => {
      if (!before) {
        own[s] = state.cost;
        return;
      }
      const sums = best[i - 1] as Float64Array;
      let least = Number.POSITIVE_INFINITY;
      let which = 0;
      for (let p = 0; p < before.length; p++) {
        const so = sums[p] as number;
        if (so >= least - SAME) continue; // a move costs nothing or more
        const sum = so + moveCost(neck, before[p] as State, state, costs).total;
        if (sum < least - SAME) {
          least = sum;
          which = p;
        }
      }
      own[s] = least + state.cost;
      back[s] = which;
    });
    best.push(own);
    from.push(back);
  });
  const last = best[best.length - 1];
  if (!last) return { steps: [], cost: 0 };
  let s = 0;
  for (let i = 1; i < last.length; i++) if ((last[i] as number) < (last[s] as number) - SAME) s = i;
  const cost = last[s] as number;
  const path: State[] = [];
  for (let i = layers.length - 1; i >= 0; i--) {
    path.unshift((layers[i] as readonly State[])[s] as State);
    s = (from[i] as Int32Array)[s] as number;
  }
  return { steps: path.map((state, i) => stepOf(neck, path[i - 1], state, costs)), cost };
}

function stepOf(neck: Neck, before: State | undefined, state: State, costs: FingeringCosts): FingeringStep {
  const { grip, notes, at } = state;
  const move = before && moveCost(neck, before, state, costs);
  return {
    at,
    position: grip.position,
    notes: notes.map((note, i) => ({ ...note, finger: grip.fingers[i] as number })),
    shiftMm: move?.shiftMm ?? 0,
    stretchMm: gripCost(neck, notes, grip, costs).stretchMm,
    cost: state.cost + (move?.total ?? 0),
    unreachable: grip.unreachable === true,
  };
}
