// The bend wheel over a note -> levels as a hand bends them: steady stretches in quarter-tones, what leads from one to the next, vibrato, slides.
import { type Cents, cents, type Ticks, ticks } from '../foundation/units.js';
import type { BendPath, BendPoint } from '../guitar/bend.js';

/** Where the pitch of a note stands: ticks after its onset, cents from its key. */
export interface Wheel {
  readonly at: number;
  readonly cents: number;
}

/** What the wheel says of a note. */
export interface WheelRead {
  readonly path: BendPath;
  readonly vibrato: boolean;
  /** It comes from below or above within a moment of its start. */
  readonly slidFrom: 'below' | 'above' | undefined;
  /** Where it has got to at its end, if it leaves its last level there. */
  readonly leaves: Cents | undefined;
  /** The most by which a level was moved to the nearest quarter-tone, in cents. */
  readonly moved: number;
}

/** Levels stand in quarter-tones. */
const STEP = 50;
/** So near to a level the pitch counts as steady on it. */
const NEAR = 15;
/** On a level the pitch moves no further than this, in cents. */
const STILL = 6;
/** A level lasts this long (seconds), or a quarter of the note if that is shorter. */
const SHORTEST_LEVEL = 0.05;
/** A slide into a note takes this long at most (seconds). */
const SLIDE = 0.16;
/** Vibrato: swings no wider than this (cents), no slower than this from one turn to the next (seconds), and so many turns. Common practice, no source. */
const VIBRATO = { widest: 110, slowest: 0.25, turns: 4, least: 8 } as const;
/** A pitch that leaves its level by less than this is not said to leave it. */
const LEAVES = 60;

/**
 * Reads the wheel over a note of so many ticks.
 * @param secondsPerTick at the tempo of the note
 * @param onGrid a length in ticks as a length that can be written
 */
export function readWheel(
  wheel: readonly Wheel[],
  length: number,
  secondsPerTick: number,
  onGrid: (ticks: number) => number,
): WheelRead {
  const first = wheel[0]?.cents ?? 0;
  if (wheel.every((w) => Math.abs(w.cents) < NEAR)) return plain(0);
  const { steady, vibrato } = withoutVibrato(wheel, length, secondsPerTick);
  const shortest = Math.min(SHORTEST_LEVEL / secondsPerTick, length / 4);
  const levels = levelsOf(steady, length, shortest);
  if (levels.length === 0) return { ...plain(0), vibrato };
  const opening = levels[0] as Level;
  const last = levels[levels.length - 1] as Level;
  const atEnd = steady[steady.length - 1]?.cents ?? 0;
  const isSoon = opening.from * secondsPerTick <= SLIDE;
  const off = first - opening.level;
  const slidFrom =
    isSoon && opening.from > 0 && off <= -80 && first < -NEAR
      ? ('below' as const)
      : isSoon && opening.from > 0 && off >= 80
        ? ('above' as const)
        : undefined;
  const leaves = last.to < length && Math.abs(atEnd - last.level) >= LEAVES ? cents(Math.round(atEnd)) : undefined;
  const moved = levels.reduce((most, l) => Math.max(most, l.off), 0);
  return { path: pathOf(levels, slidFrom ? 0 : first, length, onGrid), vibrato, slidFrom, leaves, moved };
}

const plain = (moved: number): WheelRead => ({
  path: [],
  vibrato: false,
  slidFrom: undefined,
  leaves: undefined,
  moved,
});

/** A steady stretch: its level, its ticks, and how far it lies from the quarter-tone. */
interface Level {
  readonly level: number;
  readonly from: number;
  to: number;
  readonly off: number;
}

function levelsOf(wheel: readonly Wheel[], length: number, shortest: number): readonly Level[] {
  const all: Level[] = [];
  for (let i = 0; i < wheel.length; ) {
    const level = levelAt(wheel[i] as Wheel);
    let j = i;
    while (j < wheel.length && levelAt(wheel[j] as Wheel) === level) j++;
    if (level !== undefined) {
      const end = (k: number): number => Math.min(length, wheel[k]?.at ?? length);
      const still = stillest(wheel, i, j, end);
      if (still.to - still.from >= shortest) all.push({ level, from: still.from, to: still.to, off: still.off });
    }
    i = Math.max(j, i + 1);
  }
  const joined: Level[] = [];
  for (const one of all) {
    const last = joined[joined.length - 1];
    if (last?.level === one.level) last.to = one.to;
    else joined.push(one);
  }
  // Fingers do not push a string below its fret: what stands there is a slide or a bar, and no level of a bend.
  return joined.filter((l) => l.level >= 0 || joined.length === 1);
}

/** The level that a pitch is near to, if any. */
function levelAt({ cents: pitch }: Wheel): number | undefined {
  const level = Math.round(pitch / STEP) * STEP;
  return Math.abs(pitch - level) <= NEAR ? level + 0 : undefined;
}

/** Of the pitches from `i` up to, not including, `j` the longest stretch that moves no more than a few cents. */
function stillest(wheel: readonly Wheel[], i: number, j: number, end: (k: number) => number) {
  let best = { from: 0, to: 0, off: 0 };
  for (let a = i, b = i; a < j; a++) {
    b = Math.max(b, a + 1);
    const first = (wheel[a] as Wheel).cents;
    while (b < j && Math.abs((wheel[b] as Wheel).cents - first) <= STILL) b++;
    const from = Math.max(0, (wheel[a] as Wheel).at);
    if (end(b) - from > best.to - best.from)
      best = { from, to: end(b), off: Math.abs(first - Math.round(first / STEP) * STEP) };
  }
  return best;
}

/** A level begins where the pitch leaves the one before it. Levels that share the time alike need no times written. */
function pathOf(levels: readonly Level[], first: number, length: number, onGrid: (ticks: number) => number): BendPath {
  const starts = levels.map((_, i) => (i === 0 ? 0 : (levels[i - 1] as Level).to));
  const opening = levels[0] as Level;
  const rises = opening.level > 0 && Math.abs(first - opening.level) > NEAR && first < opening.level;
  const leadIn: readonly BendPoint[] = rises ? [{ level: cents(0) }] : [];
  if (levels.length === 1) return opening.level <= 0 ? [] : [...leadIn, { level: cents(opening.level) }];
  const lengths = starts.map((at, i) => (starts[i + 1] ?? length) - at);
  // A bare fret left at once is where the bend leads in from.
  if (opening.level === 0 && (lengths[0] as number) <= length / 64) {
    const rest = levels.slice(1);
    return [
      { level: cents(0) },
      ...shared(rest, [(lengths[0] as number) + (lengths[1] as number), ...lengths.slice(2)], onGrid),
    ];
  }
  const points = shared(levels, lengths, onGrid);
  // A first level of 0 without a written time would be a lead-in.
  if (opening.level === 0 && points[0]?.time === undefined) return timed(levels, lengths, onGrid);
  return [...leadIn, ...points];
}

/** Levels whose lengths differ by no more than this share of their mean are taken to share the time alike. */
const EQUAL = 0.12;

function shared(levels: readonly Level[], lengths: readonly number[], onGrid: (ticks: number) => number): BendPath {
  const mean = lengths.reduce((sum, l) => sum + l, 0) / lengths.length;
  if (lengths.every((l) => Math.abs(l - mean) <= Math.max(2, EQUAL * mean)))
    return levels.map((l) => ({ level: cents(l.level) }));
  return timed(levels, lengths, onGrid);
}

/** All but the last have their times written; the last has what is left. */
function timed(levels: readonly Level[], lengths: readonly number[], onGrid: (ticks: number) => number): BendPath {
  let left = lengths.reduce((sum, l) => sum + l, 0);
  return levels.map(({ level }, i): BendPoint => {
    const time = onGrid(lengths[i] as number);
    left -= time;
    return i === levels.length - 1 || left <= 0
      ? { level: cents(level) }
      : { level: cents(level), time: ticks(time) as Ticks };
  });
}

/** The wheel with vibrato replaced by the level that it swings about or away from. */
function withoutVibrato(
  wheel: readonly Wheel[],
  length: number,
  secondsPerTick: number,
): { readonly steady: readonly Wheel[]; readonly vibrato: boolean } {
  const turns = turnsOf(wheel);
  const steady = [...wheel];
  let vibrato = false;
  for (let i = 0; i < turns.length; ) {
    let j = i;
    while (j + 1 < turns.length && isSwing(turns[j] as Turn, turns[j + 1] as Turn, secondsPerTick)) j++;
    if (j - i + 1 >= VIBRATO.turns) {
      vibrato = true;
      const own = turns.slice(i, j + 1);
      const inner = own.slice(1, -1).map((t) => t.cents); // the first may be where a bend starts, the last where it ends
      const middle = (Math.max(...inner) + Math.min(...inner)) / 2;
      const level = Math.round(middle / STEP) * STEP;
      const swing = Math.max(...inner.map((c) => Math.abs(c - level))) + 2;
      const until = (turns[j + 1] as Turn | undefined)?.index ?? wheel.length;
      const from = (own[0] as Turn).index;
      // From the first turn on, and from where it left the level before that.
      let start = from;
      while (start > 0 && Math.abs((wheel[start - 1] as Wheel).cents - level) <= VIBRATO.widest / 2) start--;
      for (let k = start; k < Math.min(until, wheel.length); k++) {
        const w = wheel[k] as Wheel;
        if (Math.abs(w.cents - level) <= Math.max(NEAR, swing)) steady[k] = { at: w.at, cents: level };
      }
    }
    i = Math.max(j, i + 1);
  }
  return { steady: steady.filter((w, i) => i === 0 || w.at < length), vibrato };
}

/** A highest or lowest point of the wheel. */
interface Turn extends Wheel {
  readonly index: number;
}

function isSwing(a: Turn, b: Turn, secondsPerTick: number): boolean {
  const wide = Math.abs(b.cents - a.cents);
  return wide >= VIBRATO.least && wide <= VIBRATO.widest && (b.at - a.at) * secondsPerTick <= VIBRATO.slowest;
}

/** The points at which the wheel turns, ripples below a few cents passed over. */
function turnsOf(wheel: readonly Wheel[]): readonly Turn[] {
  const turns: Turn[] = [];
  let [low, high] = [0, 0];
  let going = 0;
  wheel.forEach(({ cents: pitch }, i) => {
    if (pitch < (wheel[low] as Wheel).cents) low = i;
    if (pitch > (wheel[high] as Wheel).cents) high = i;
    const at = (index: number): Turn => ({ ...(wheel[index] as Wheel), index });
    if (going >= 0 && pitch <= (wheel[high] as Wheel).cents - VIBRATO.least) {
      if (going > 0 || turns.length === 0) turns.push(at(high));
      going = -1;
      low = i;
    } else if (going <= 0 && pitch >= (wheel[low] as Wheel).cents + VIBRATO.least) {
      if (going < 0 || turns.length === 0) turns.push(at(low));
      going = 1;
      high = i;
    }
  });
  const end = wheel[going >= 0 ? high : low];
  if (end && turns.length > 0) turns.push({ ...end, index: going >= 0 ? high : low });
  return turns;
}
