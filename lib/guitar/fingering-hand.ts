// What the fretting hand does at one moment and between two, and what it costs: the table that a fingering is chosen by.
import type { Cents, Fret, StringNumber } from '../foundation/units.js';
import { type Guitar, nutToFret, SCALE_LENGTH_MM } from './fretboard.js';
import type { NoteStart } from './technique.js';

/** One string that the fretting hand has to do with at a moment. Dead and tapped notes are left out: they need no finger of it. */
export interface HandNote {
  readonly string: StringNumber;
  /** Counted from the capo; 0 needs no finger. */
  readonly fret: Fret;
  /** The highest level that it is bent to at this moment; absent or 0 for none. */
  readonly bend?: Cents;
  readonly start?: NoteStart;
  /** Sounds on from before: its finger has to stay. */
  readonly held?: boolean;
  /** A finger that was written, 1 (first) to 4 (little finger). */
  readonly finger?: number;
}

/** Notes under the hand at one moment; `at` in seconds, from any zero. */
export interface HandEvent {
  readonly at: number;
  readonly notes: readonly HandNote[];
}

/** How a hand may hold the notes of a moment. */
export interface Grip {
  /** The fret that the first finger lies at or over: what players call the position. Counted from the capo. */
  readonly position: number;
  /** For each note its finger, 1 to 4; 0 for an open string. Notes of one finger are a barre. */
  readonly fingers: readonly number[];
  /** True where four fingers cannot hold the notes; then the fingers are 0. */
  readonly unreachable?: boolean;
}

/**
 * Prices that a fingering is chosen by. Only their proportions matter: 1 is a shift by one fret with no time for it. They are this project's, set by hand
 * (common practice, no source): published models learn such numbers from fingered scores, none that we know printed a table for the guitar.
 */
export interface FingeringCosts {
  /** For each bit of Fitts's index of difficulty of a shift, log2(2 x distance / width of the fret aimed at): a far shift costs little more than a near one. */
  readonly shiftBit: number;
  /** For shifting at all: staying in a position is what players do. */
  readonly shift: number;
  /** Seconds in which the cost of a shift halves: one shifts in the long notes and the rests. */
  readonly shiftHalf: number;
  /** For a millimetre that fingers lie further apart than they do at ease. */
  readonly stretchMm: number;
  /** For a fret that a finger stands behind its own: fingers bunch more easily than they spread. */
  readonly squeeze: number;
  /** For a finger laid over several strings. */
  readonly barre: number;
  /** For the little finger: the weakest. */
  readonly littleFinger: number;
  /** For a finger that has to leave one note for the next at another fret: a gap is heard. */
  readonly hop: number;
  /** For rolling one finger over to another string at its fret. */
  readonly roll: number;
  /** For changing the finger on a note that is played again. */
  readonly swap: number;
  /** For each string crossed between two notes. */
  readonly crossing: number;
  /** For a shift in the middle of a hammer or pull. */
  readonly legatoShift: number;
  /** For a slide that arrives with another finger than it left with. */
  readonly slideSwap: number;
  /** For each whole step that a string is bent, by the finger 1 to 4: the third is pushed by those behind it, the first has no help. */
  readonly bendFinger: readonly number[];
  /** For a bend of a whole step without a free finger behind to help. */
  readonly noSupport: number;
  /** For a whole step bent with a force above that at the middle of the string, by the part of the force that is more. */
  readonly bendForce: number;
  /** For a whole step bent on the fourth string or lower: heavy, and pulled off the neck's edge. */
  readonly bendLow: number;
  /** For another finger than the written one, or for one that leaves a note that is to sound on: done only where nothing else can be. */
  readonly forbidden: number;
}

/** The prices used where none are given. */
export const FINGERING_COSTS: FingeringCosts = {
  shiftBit: 1,
  shift: 1,
  shiftHalf: 0.5,
  stretchMm: 0.08,
  squeeze: 0.3,
  barre: 0.5,
  littleFinger: 0.2,
  hop: 1,
  roll: 0.5,
  swap: 1,
  crossing: 0.1,
  legatoShift: 3,
  slideSwap: 3,
  bendFinger: [4, 2.2, 0, 0.7],
  noSupport: 1.5,
  bendForce: 2,
  bendLow: 1.5,
  forbidden: 20,
};

/** How far apart two neighbouring fingers lie at ease, in mm: a fret each around the fifth fret. Common practice, no source. */
export const FINGER_GAP_MM = 26;
/** How far one hand reaches along the neck without moving, in mm: first and little finger a fret each from the first fret on (97 mm), and a little. Common practice, no source. */
export const REACH_MM = 105;
/** Frets that one hand reaches above its lowest without moving: a finger each, and one stretch. Common practice, no source. */
export const REACH_FRETS = 4;

/** A neck measured: how far each fret lies from the nut in mm, by its number counted from the capo. */
export interface Neck {
  readonly mm: Float64Array;
  /** The last fret counted from the capo. */
  readonly last: number;
  /** Scale length in mm, and the nut or capo in mm from the nut. */
  readonly scale: number;
}

/** Measures the neck of a guitar; the scale length in mm. */
export function neckOf(guitar: Guitar, scale: number = SCALE_LENGTH_MM): Neck {
  const last = guitar.frets - guitar.capo;
  const mm: Float64Array = new Float64Array(last + 1);
  for (let f = 0; f <= last; f++) mm[f] = nutToFret(f + guitar.capo, scale);
  return { mm, last, scale };
}

/**
 * Fitts's index of difficulty of a movement, in bits: log2(2A / W), 0 where the target is reached already. Source: P. M. Fitts 1954, Journal of Experimental
 * Psychology 47:381-391.
 * @param distance how far it is to the middle of the target
 * @param width how wide the target is, in the same unit
 * @example
 * fittsBits(16, 0.25) // => 7
 */
export const fittsBits = (distance: number, width: number): number => Math.max(0, Math.log2((2 * distance) / width));

/** Bits of moving the hand from one position to another: the space before the fret is what has to be hit. */
export const shiftBits = ({ mm }: Neck, from: number, to: number): number =>
  from === to ? 0 : fittsBits(Math.abs(at(mm, to) - at(mm, from)), at(mm, to) - at(mm, to - 1));

/**
 * The least that a hand has to move between two frets, in mm: what lies beyond {@link REACH_FRETS} frets and {@link REACH_MM}. The same shape higher on
 * the neck needs no more.
 */
export function leastShiftMm({ mm, last }: Neck, one: number, other: number): number {
  const low = Math.min(one, other);
  const high = Math.max(one, other);
  if (low === 0) return 0; // an open string is reached from anywhere
  const reach = Math.min(at(mm, Math.min(last, low + REACH_FRETS)), at(mm, low) + REACH_MM);
  return Math.max(0, at(mm, high) - reach);
}

/** How far two frets lie apart in mm; 0 if one is the open string. */
export const spanMm = ({ mm }: Neck, one: number, other: number): number =>
  one === 0 || other === 0 ? 0 : Math.abs(at(mm, one) - at(mm, other));

/**
 * The force that a bend of one size takes at a fret, against the twelfth: a string pushed aside at a point x of its length L pulls back with T d (1/x + 1/(L-x))
 * and is made longer by d^2/2 (1/x + 1/(L-x)); so for one rise in pitch the force goes with the square root of (1/x + 1/(L-x)). Statics of a string, derived here.
 */
export function bendForce({ mm, scale }: Neck, fret: number): number {
  const nut = at(mm, 0);
  const x = at(mm, fret) - nut;
  const length = scale - nut;
  return x <= 0 ? Number.POSITIVE_INFINITY : Math.sqrt((1 / x + 1 / (length - x)) / (4 / length));
}

/** What holding a grip costs, in parts. */
export interface GripCost {
  readonly stretch: number;
  /** Millimetres that fingers lie apart beyond their ease. */
  readonly stretchMm: number;
  readonly fingers: number;
  readonly bend: number;
  readonly total: number;
}

const UNREACHABLE: GripCost = { stretch: 0, stretchMm: 0, fingers: 60, bend: 0, total: 60 };

/** What it costs to hold the notes of a moment in a grip. */
export function gripCost(neck: Neck, notes: readonly HandNote[], grip: Grip, costs: FingeringCosts): GripCost {
  if (grip.unreachable) return UNREACHABLE;
  const { mm } = neck;
  const { position } = grip;
  let first = position;
  for (let i = 0; i < notes.length; i++) if (grip.fingers[i] === 1) first = (notes[i] as HandNote).fret;
  let stretchMm = Math.abs(at(mm, position) - at(mm, first));
  let fingers = 0;
  let bend = 0;
  let used = 0;
  for (let i = 0; i < notes.length; i++) {
    const finger = grip.fingers[i] as number;
    const { fret, finger: written } = notes[i] as HandNote;
    if (finger === 0) continue;
    // The widest pair of fingers sets the stretch; the first lies at its place even where it holds nothing.
    stretchMm = Math.max(stretchMm, at(mm, fret) - at(mm, first) - FINGER_GAP_MM * (finger - 1));
    for (let j = 0; j < i; j++) {
      const other = grip.fingers[j] as number;
      if (other === 0) continue;
      const apart = Math.abs(at(mm, fret) - at(mm, (notes[j] as HandNote).fret));
      stretchMm = Math.max(stretchMm, apart - FINGER_GAP_MM * Math.abs(finger - other));
    }
    if (written !== undefined && written !== finger) fingers += costs.forbidden;
    const seen = 1 << finger;
    if (used & seen) {
      if (!(used & (seen << 8))) fingers += costs.barre;
      used |= seen << 8;
      continue;
    }
    used |= seen;
    fingers += costs.squeeze * Math.max(0, position + finger - 1 - fret);
    if (finger === 4) fingers += costs.littleFinger;
  }
  for (let i = 0; i < notes.length; i++) {
    const { fret, bend: level = 0, string } = notes[i] as HandNote;
    const finger = grip.fingers[i] as number;
    if (level <= 0 || finger === 0) continue;
    const steps = level / 200;
    let price = costs.bendFinger[finger - 1] as number;
    let free = 0;
    for (let f = 1; f < finger; f++) if (!(used & (1 << f))) free++;
    if (free === 0 && finger > 1) price += costs.noSupport;
    price += costs.bendForce * Math.max(0, bendForce(neck, fret) - 1);
    if (string >= 4) price += costs.bendLow;
    bend += steps * price;
  }
  const stretch = costs.stretchMm * stretchMm;
  return { stretch, stretchMm, fingers, bend, total: stretch + fingers + bend };
}

/** What going from one grip to the next costs, in parts. */
export interface MoveCost {
  readonly shift: number;
  /** Millimetres that the hand goes. */
  readonly shiftMm: number;
  readonly fingers: number;
  readonly crossing: number;
  readonly total: number;
}

/** One moment as it is held. */
export interface Held {
  readonly at: number;
  readonly notes: readonly HandNote[];
  readonly grip: Grip;
}

/** The string of a moment that crossings are counted from: the highest that is played anew. */
const playedString = (notes: readonly HandNote[]): number =>
  notes.reduce((best, note) => (note.held || (best !== 0 && best < note.string) ? best : note.string), 0);

/** What it costs to go from one held moment to the next. */
export function moveCost(neck: Neck, before: Held, after: Held, costs: FingeringCosts): MoveCost {
  const from = before.grip.position;
  const to = after.grip.position;
  const bits = shiftBits(neck, from, to);
  const ease = 1 / (1 + Math.max(0, after.at - before.at) / costs.shiftHalf);
  let shift = from === to ? 0 : (costs.shift + costs.shiftBit * bits) * ease;
  let fingers = 0;
  after.notes.forEach((note, i) => {
    const finger = after.grip.fingers[i] as number;
    before.notes.forEach((old, j) => {
      const was = before.grip.fingers[j] as number;
      if (was === 0 || finger === 0) return;
      if (old.string === note.string) {
        const slid = note.start === 'slid up' || note.start === 'slid down';
        if (note.held) {
          if (was !== finger || from !== to) fingers += costs.forbidden;
        } else if (slid) {
          if (was !== finger) fingers += costs.slideSwap;
          else if (to - from === note.fret - old.fret)
            shift *= 0.5; // the string guides the hand
          else fingers += costs.hop; // a slide is of the arm, not of the finger
        } else {
          if (note.start === 'hammered' || note.start === 'pulled') {
            if (from !== to) fingers += costs.legatoShift;
            if (was === finger) fingers += costs.hop;
          } else if (note.fret === old.fret ? was !== finger : was === finger && from === to)
            fingers += note.fret === old.fret ? costs.swap : costs.hop;
        }
      } else if (was === finger && !note.held) fingers += note.fret === old.fret ? costs.roll : costs.hop;
    });
  });
  const a = playedString(before.notes);
  const b = playedString(after.notes);
  const crossing = a === 0 || b === 0 ? 0 : costs.crossing * Math.abs(a - b);
  const shiftMm = Math.abs(at(neck.mm, to) - at(neck.mm, from));
  return { shift, shiftMm, fingers, crossing, total: shift + fingers + crossing };
}

const at = (mm: Float64Array, fret: number): number => mm[fret] as number;
