// Demands of bending: size, finger, place, exactness, holding under other strings, letting down, vibrato.
import { cents, ticks } from '../foundation/units.js';
import { bendInWords, bendNoun, bendOrder } from '../guitar/bend.js';
import { bendForce } from '../guitar/fingering-hand.js';
import { pitchAt } from '../guitar/fretboard.js';
import type { Item } from './difficulty-items.js';
import { type BendAct, type PlayedLine, type Stroke, soundTogether } from './difficulty-line.js';

/** A whole step, which sizes are counted in. */
const STEP = 200;

interface Bend {
  readonly stroke: Stroke;
  readonly act: BendAct;
}

/** Every moment at which a string is bent further, or begins bent: picked again while it is held counts as anew, for the force is there. */
const bendsUp = ({ strokes }: PlayedLine): readonly Bend[] =>
  strokes.flatMap((stroke) => stroke.acts.filter((act) => act.kind !== 'down').map((act) => ({ stroke, act })));

/** How far a string is pushed in whole steps; a bend that goes on from another counts by what it adds. */
const stepsOf = ({ act }: Bend): number => (act.to - act.from) / STEP;

/** What a bend counts that is set in silence, or held from the note before: the force without the way up. */
const SET = 0.6;

const order = ({ stroke, act }: Bend): string =>
  act.kind === 'start'
    ? `pick string ${stroke.string} already bent (${bendInWords(act.to)})`
    : bendOrder(act.to, `string ${stroke.string} at fret ${stroke.fret}`);

/** Sizes: twice as far is more than twice as hard. */
export const bends = (line: PlayedLine): Item[] =>
  bendsUp(line).map((bend) => ({
    onset: bend.act.onset,
    at: bend.act.at,
    amount: stepsOf(bend) ** 1.3 * (bend.act.kind === 'start' ? SET : 1),
    value: stepsOf(bend),
    words: () => order(bend),
  }));

/** What each finger is worth for a bend of a whole step: 0 the best. */
const FINGER_PRICE = [1, 0.4, 0, 0.3];
/** Where no finger is left. */
const NO_FINGER = 1.5;

/**
 * The best finger for a bend, given the other frets that are held while it lasts: lower frets take fingers below, higher ones above, an equal one a neighbour;
 * and right behind the nut there is no room for fingers to help. 0 if four fingers are too few.
 */
export function bendingFinger(fret: number, held: readonly number[]): number {
  const lower = new Set(held.filter((f) => f < fret)).size;
  const higher = new Set(held.filter((f) => f > fret)).size;
  const same = held.includes(fret) ? 1 : 0;
  if (lower + higher + same > 3) return 0;
  let best = 0;
  for (let finger = 1; finger <= 4; finger++) {
    const room = lower <= finger - 1 && higher <= 4 - finger && finger <= fret + 1;
    if (room && (best === 0 || price(finger) < price(best))) best = finger;
  }
  return best;
}
const price = (finger: number): number => (finger === 0 ? NO_FINGER : (FINGER_PRICE[finger - 1] as number));

/** Bends that the third finger is not free for. */
export function bendingFingers(line: PlayedLine): Item[] {
  return bendsUp(line).flatMap((bend): Item[] => {
    const { stroke, act } = bend;
    const others = line.strokes.filter(
      (s) => s.pressed && s.isNew && s.string !== stroke.string && s.note.grace === 0 && soundTogether(s, stroke),
    );
    const finger = bendingFinger(
      stroke.fret,
      others.map((s) => s.fret),
    );
    const amount = price(finger) * (act.to / STEP);
    if (amount === 0) return [];
    const at = `the ${bendNoun(act.to)} at fret ${stroke.fret} of string ${stroke.string}`;
    return [
      {
        onset: act.onset,
        at: act.at,
        amount,
        value: finger,
        words: () => (finger === 0 ? `find a finger for ${at}` : `push ${at} with finger ${finger}`),
      },
    ];
  });
}

/** How much harder a string is to bend, whole steps: the outer edge slips, wound strings are heavy. Common practice, no source. */
const stringPrice = (string: number): number => (string >= 5 ? 0.8 : string === 4 ? 0.5 : string === 1 ? 0.1 : 0);

/** Bends near the nut and on low strings. */
export const bendingPlaces = (line: PlayedLine): Item[] =>
  bendsUp(line).flatMap(({ stroke, act }): Item[] => {
    if (stroke.fret === 0) return [];
    const force = bendForce(line.neck, stroke.fret);
    const amount = (act.to / STEP) * (Math.max(0, force - 1) + stringPrice(stroke.string));
    return [
      {
        onset: act.onset,
        at: act.at,
        amount,
        value: force,
        words: () => order({ stroke, act }),
      },
    ];
  });

/** Bends that are set before they are heard, and bends beside the same pitch. That pitch is the other string's fretted one, whether or not it is bent as well. */
export function exactBends(line: PlayedLine): Item[] {
  const { guitar } = line.solo;
  const pitch = (s: Stroke): number | undefined => {
    const key = s.note.harmonic ? undefined : pitchAt(guitar, s.note.string, s.fret as Parameters<typeof pitchAt>[2]);
    return key === undefined ? undefined : key * 100;
  };
  return line.strokes.flatMap((stroke): Item[] => {
    const own = pitch(stroke);
    return stroke.acts.flatMap((act): Item[] => {
      const { onset, at, to, kind } = act;
      const items: Item[] = [];
      if (kind === 'start')
        items.push({
          onset,
          at,
          amount: 1,
          words: () => order({ stroke, act }),
        });
      const beside =
        kind !== 'down' && own !== undefined
          ? line.strokes.find(
              (s) =>
                s.string !== stroke.string &&
                s.isNew &&
                s.note.grace === 0 &&
                pitch(s) === own + to &&
                soundTogether(s, stroke),
            )
          : undefined;
      if (beside)
        items.push({
          onset,
          at,
          amount: 1,
          words: () => `bend string ${stroke.string} into unison with string ${beside.string}`,
        });
      else if (kind === 'up' && act.timed && to !== act.from)
        items.push({ onset, at, amount: 0.4, words: () => `bend string ${stroke.string} to its level in time` });
      return items;
    });
  });
}

/** The time that a bent string is held under others, in beats, by the size of the bend: counted at the moment where the first of them comes in. */
export function heldBends(line: PlayedLine): Item[] {
  return line.strokes.flatMap((stroke) =>
    stroke.holds.flatMap((hold): Item[] => {
      const others = line.strokes.filter(
        (s) => s.string !== stroke.string && s.isNew && s.note.grace === 0 && s.onset < hold.until && s.end > hold.from,
      );
      // Beats that are covered by one string at least: strokes are in order of onsets.
      let covered = 0;
      let reached = hold.from;
      for (const s of others) {
        const until = Math.min(hold.until, s.end);
        covered += Math.max(0, until - Math.max(reached, s.onset));
        reached = Math.max(reached, until);
      }
      const first = others[0];
      if (covered === 0 || !first) return [];
      const beats = covered / line.grid.place(ticks(hold.from)).bar.meter.beatTicks;
      const strings = [...new Set(others.map((s) => s.string))].sort((a, b) => a - b);
      const onset = Math.max(first.onset, hold.from);
      const moment = others.find((s) => s.onset >= hold.from) ?? first;
      return [
        {
          onset,
          at: Math.max(moment.at, stroke.at),
          amount: beats * Math.min(1.5, hold.level / STEP), // a curl over a drone is little to hold
          value: beats,
          words: () =>
            `hold the ${bendNoun(hold.level)} on string ${stroke.string} while string${strings.length > 1 ? 's' : ''} ${strings.join(' and ')} ring${strings.length > 1 ? '' : 's'}`,
        },
      ];
    }),
  );
}

/** Bends let down: in full where the moment is written, half where it is left to the player. */
export const releases = (line: PlayedLine): Item[] =>
  line.strokes.flatMap((stroke) =>
    stroke.acts
      .filter(({ kind }) => kind === 'down')
      .map(({ onset, at, timed }) => ({
        onset,
        at,
        amount: timed ? 1 : 0.5,
        value: 1,
        words: () => `let the bend on string ${stroke.string} down${timed ? ' at its moment' : ''}`,
      })),
  );

/** Vibrato on a string that is bent. */
export const bentVibrato = (line: PlayedLine): Item[] =>
  line.strokes.flatMap((stroke): Item[] => {
    const level = cents(Math.max(0, ...stroke.holds.map((hold) => hold.level)));
    if (!stroke.note.vibrato || level === 0) return [];
    return [
      {
        onset: stroke.onset,
        at: stroke.at,
        amount: (level / STEP) ** 1.3,
        value: level / STEP,
        words: () => `keep vibrato on the ${bendNoun(level)} of string ${stroke.string}`,
      },
    ];
  });
