// Plucked strings: Karplus and Strong's loop of one period, read at a moving fractional delay.
import { createRandom, type Random } from '../foundation/random.js';
import { type Damping, type Performance, type Sound, soundPitch } from '../solo/performance.js';

/** How to turn a performance into samples. */
export interface SampleOptions {
  /** Samples a second, 8000 to 192000. Default 44100. */
  readonly rate?: number;
  /** Seed of the noise in each pick stroke: the same seed gives the same samples. Default 1. */
  readonly seed?: number;
  /** Second of the performance at which the samples begin. Default 0. */
  readonly from?: number;
}

/** Samples a second if nothing else is asked for. */
export const SAMPLE_RATE = 44100;
/** The longest performance that is made into samples, in seconds. */
export const LONGEST_SECONDS = 3600;

/** Samples between two looks at the pitch; in between the delay moves evenly. */
const BLOCK = 16;
/** Where the pick meets the string, as a share of its length: near the bridge. Chosen for this project, no source. */
const PICK_POINT = 0.15;
/** Root mean square of the first period of a string struck as hard as can be: low enough for six strings at once. */
const LEVEL = 0.07;
/** Seconds: a string that stops fades out in, that a pick stroke takes to rise, and that a slurred change of fret takes. */
const FADE = 0.03;
const RISE = 0.0003;
const CHANGE = 0.004;
/** How much of its swing a string keeps when a finger comes down on it or pulls off. Chosen for this project, no source. */
const KEPT = 0.5;
/** Noise in a pick stroke, beside a stroke of height 1. */
const NOISE = 0.25;
/** Pitches above the rate divided by this are not played: a loop of so few samples holds no string. */
const HIGHEST = 8;
/** Silence after the last sound, in seconds. */
const TAIL = 0.2;

/** How long a string rings (seconds to a thousandth) and how much each period is smoothed, 0 to 0.5. Chosen for this project, no source. */
const RINGING: Readonly<Record<Damping, { readonly seconds: number; readonly smooth: number }>> = {
  open: { seconds: 7, smooth: 0.3 },
  palm: { seconds: 0.35, smooth: 0.5 },
  dead: { seconds: 0.06, smooth: 0.5 },
};

/**
 * Makes a performance into samples of one channel, between -1 and 1 as a rule ({@link wavBytes} sets the level). Each string is a delay line of one
 * period that is fed back through a two-point average; its length is a fraction, read by third-order Lagrange interpolation, and follows the pitch.
 * The delay of the average at the fundamental is taken off, so that pitch is exact. Pitches above an eighth of the rate are silent.
 * Source: K. Karplus and A. Strong, Computer Music Journal 7(2), 1983; D. Jaffe and J. O. Smith, ibid. (from memory).
 * @throws RangeError if the rate or the beginning is out of range, or the performance is longer than an hour
 * @example
 * const played = performanceOf(parseSoloOrThrow(EXAMPLE_SOLO), { phrase: '1' })
 * samplesOf(played, { rate: 8000 }).length / 8000 // => about 5.2
 */
export function samplesOf(performance: Performance, options: SampleOptions = {}): Float32Array {
  const { rate = SAMPLE_RATE, seed = 1, from = 0 } = options;
  if (!(Number.isInteger(rate) && rate >= 8000 && rate <= 192_000))
    throw new RangeError(`rate ${rate}: a whole number from 8000 to 192000 samples a second expected`);
  if (!(from >= 0 && from < Number.POSITIVE_INFINITY))
    throw new RangeError(`from ${from}: seconds from the start expected, 0 or more`);
  if (performance.seconds > LONGEST_SECONDS)
    throw new RangeError(
      `this would sound for ${Math.round(performance.seconds / 60)} minutes, at most ${LONGEST_SECONDS / 60} expected; play one phrase, or faster`,
    );
  const out = new Float32Array(Math.max(0, Math.ceil((performance.seconds - from + TAIL) * rate)));
  for (const run of runsOf(performance.sounds)) playRun(out, run, rate, seed, from);
  return out;
}

/** Sounds of one string from a stroke up to where the string is stopped or struck anew. */
function runsOf(sounds: readonly Sound[]): readonly (readonly Sound[])[] {
  const runs: Sound[][] = [];
  const open = new Map<number, Sound[]>();
  for (const sound of sounds) {
    const run = open.get(sound.string);
    if (run && sound.joins) run.push(sound);
    else {
      const begun = [sound];
      runs.push(begun);
      open.set(sound.string, begun);
    }
  }
  return runs;
}

/** One string from a stroke to its stop, added to what is there. */
function playRun(out: Float32Array, run: readonly Sound[], rate: number, seed: number, from: number): void {
  const begin = (run[0] as Sound).at;
  const first = Math.round((begin - from) * rate);
  const sounding = Math.round(((run[run.length - 1] as Sound).end - begin) * rate);
  const fade = Math.round(FADE * rate);
  const count = Math.min(out.length - first, sounding + fade);
  if (first + count <= 0) return;

  let part = 0;
  let sound = run[0] as Sound;
  let changedFrom = soundPitch(sound, begin); // the pitch before the last slurred change of fret
  const pitchAt = (at: number): number => {
    const pitch = soundPitch(sound, at);
    const share = part === 0 ? 1 : (at - sound.at) / CHANGE;
    return share >= 1 ? pitch : changedFrom + (pitch - changedFrom) * Math.max(0, share);
  };

  const period = rate / hertz(changedFrom);
  let stroke = strokeOf(period, sound.loudness, rate, strokeRandom(sound, seed));
  let strokeAt = stroke.length; // samples of it that are in the loop: the first stroke fills it, a later one is added to it
  const filled = 2 * Math.ceil(period) + 4;
  const mask = bufferSize(Math.max(filled, (2 * rate) / hertz(lowestPitch(run)))) - 1;
  const loop = new Float32Array(mask + 1);
  for (let i = 0; i < filled; i++) loop[i] = stroke[i % stroke.length] as number;

  let delay = delayFor(pitchAt(begin), sound.damping, rate);
  let last = 0;
  let lastOut = 0;
  let lastIn = 0;
  for (let block = 0; block < count; block += BLOCK) {
    const at = begin + block / rate;
    for (let next = run[part + 1]; next && at >= next.at; next = run[part + 1]) {
      changedFrom = pitchAt(next.at);
      part++;
      sound = next;
      if (sound.loudness > 0) {
        const fresh = strokeOf(
          rate / hertz(soundPitch(sound, sound.at)),
          sound.loudness,
          rate,
          strokeRandom(sound, seed),
        );
        const sounded = Float32Array.from(
          { length: Math.round(delay) },
          (_, i) => loop[(filled + block + i - Math.round(delay)) & mask] as number,
        );
        stroke = turned(fresh, phaseOf(fresh) - phaseOf(sounded));
        strokeAt = 0;
      }
    }
    const pitch = pitchAt(at + BLOCK / rate);
    const { seconds, smooth } = RINGING[sound.damping];
    const step = (delayFor(pitch, sound.damping, rate) - delay) / BLOCK;
    const fed = 0.001 ** (1 / (hertz(pitch) * seconds));
    const direct = fed * (1 - smooth);
    const averaged = fed * smooth;
    const heard = hertz(pitch) > rate / HIGHEST ? 0 : 1;
    const stop = Math.min(block + BLOCK, count);
    for (let i = block; i < stop; i++) {
      const w = filled + i;
      const place = w - delay;
      const index = Math.floor(place);
      const x = place - index;
      const read = lagrange(
        loop[(index - 1) & mask] as number,
        loop[index & mask] as number,
        loop[(index + 1) & mask] as number,
        loop[(index + 2) & mask] as number,
        x,
      );
      let sample = direct * read + averaged * last;
      last = read;
      if (strokeAt < stroke.length) sample = sample * KEPT + (stroke[strokeAt++] as number);
      loop[w & mask] = sample;
      delay += step;
      lastOut = sample - lastIn + 0.995 * lastOut; // nothing below hearing is let out
      lastIn = sample;
      const rise = i < RISE * rate ? i / (RISE * rate) : 1;
      const fall = i > sounding ? 1 - (i - sounding) / fade : 1;
      const to = first + i;
      if (to >= 0) out[to] = (out[to] as number) + lastOut * rise * fall * heard;
    }
  }
}

/** The value at x (0 to 1) between b and c of four samples in a row: the cubic through all four. */
const lagrange = (a: number, b: number, c: number, d: number, x: number): number => {
  const outer = x * (x - 1);
  const inner = (x + 1) * (x - 2);
  return (outer * ((x + 1) * d - (x - 2) * a)) / 6 + (inner * ((x - 1) * b - x * c)) / 2;
};

const hertz = (cents: number): number => 440 * 2 ** ((cents - 6900) / 1200);

/** Samples to look back, so that with the delay of the average one period goes by. */
function delayFor(pitch: number, damping: Damping, rate: number): number {
  const angle = (2 * Math.PI * Math.min(hertz(pitch), rate / HIGHEST)) / rate;
  const { smooth } = RINGING[damping];
  return (2 * Math.PI) / angle - Math.atan2(smooth * Math.sin(angle), 1 - smooth + smooth * Math.cos(angle)) / angle;
}

function lowestPitch(run: readonly Sound[]): number {
  let lowest = Number.POSITIVE_INFINITY;
  for (const { curve, vibrato } of run)
    for (const point of curve) lowest = Math.min(lowest, point.cents + Math.min(0, vibrato?.depth ?? 0));
  return lowest;
}

function bufferSize(atLeast: number): number {
  let size = 64;
  while (size < atLeast + 8) size *= 2;
  return size;
}

/**
 * One period of a string that a pick lets go: it runs to and fro between two levels, so that partial n is as strong as sin(n pi p) / n for a pick at p.
 * A soft stroke is duller. A little noise makes no two strokes alike.
 */
function strokeOf(period: number, loudness: number, rate: number, random: Random): Float32Array {
  const length = Math.max(8, Math.ceil(period));
  const stroke = new Float32Array(length);
  for (let i = 0; i < length; i++) {
    const level = i / length < PICK_POINT ? 1 - PICK_POINT : -PICK_POINT;
    stroke[i] = level + NOISE * (random.next() - 0.5);
  }
  const keep = Math.exp((-2 * Math.PI * (2000 + 7500 * loudness)) / rate);
  let soft = 0;
  let mean = 0;
  for (
    let turn = 0;
    turn < 2;
    turn++ // twice round: the end of a period leads into its start
  )
    for (let i = 0; i < length; i++) {
      soft = keep * soft + (1 - keep) * (stroke[i] as number);
      if (turn === 1) {
        stroke[i] = soft;
        mean += soft / length;
      }
    }
  let power = 0;
  for (let i = 0; i < length; i++) {
    stroke[i] = (stroke[i] as number) - mean;
    power += (stroke[i] as number) ** 2 / length;
  }
  const scale = power > 0 ? (LEVEL * loudness) / Math.sqrt(power) : 0;
  return stroke.map((value) => value * scale);
}

/** Phase of the fundamental of one period, in radians. */
function phaseOf(period: Float32Array): number {
  let re = 0;
  let im = 0;
  period.forEach((value, i) => {
    const angle = (2 * Math.PI * i) / period.length;
    re += value * Math.cos(angle);
    im -= value * Math.sin(angle);
  });
  return Math.atan2(im, re);
}

/**
 * One period begun later by an angle. A stroke on a sounding string is brought into step with it: out of step it would put the fundamental out, and
 * the note would be heard an octave too high.
 */
function turned(period: Float32Array, angle: number): Float32Array {
  const { length } = period;
  const by = Math.round((angle / (2 * Math.PI)) * length);
  return period.map((_, i) => period[(((i - by) % length) + length) % length] as number);
}

/** Each stroke has its own noise, whatever else is played. */
const strokeRandom = (sound: Sound, seed: number): Random =>
  createRandom(seed * 1_000_003 + sound.phrase * 8191 + sound.note * 31 + sound.string);
