// Ears for the tests: pitch, onsets and level of samples, by published methods that know nothing of how the samples were made.

/** Cents (A4 = 6900) of a frequency in hertz. */
export const centsOf = (hertz: number): number => 6900 + 1200 * Math.log2(hertz / 440);

/** Samples between two moments in seconds. */
export const between = (samples: Float32Array, rate: number, from: number, to: number): Float32Array =>
  samples.subarray(Math.max(0, Math.round(from * rate)), Math.max(0, Math.round(to * rate)));

/**
 * The period of a stretch in samples: the first high peak of the normalised autocorrelation, by parabolic interpolation.
 * Source: P. McLeod and G. Wyvill, "A smarter way to find pitch", ICMC 2005 (from memory). `undefined` where nothing repeats.
 */
export function periodOf(samples: Float32Array, shortest = 8, longest = samples.length >> 1): number | undefined {
  const { length } = samples;
  const squares = new Float64Array(length + 1);
  for (let i = 0; i < length; i++) squares[i + 1] = squares[i]! + samples[i]! ** 2;
  const alike: number[] = [];
  for (let lag = 0; lag <= longest; lag++) {
    let product = 0;
    for (let i = 0; i + lag < length; i++) product += samples[i]! * samples[i + lag]!;
    const power = squares[length - lag]! + squares[length]! - squares[lag]!;
    alike.push(power === 0 ? 0 : (2 * product) / power);
  }
  const peaks: number[] = [];
  for (let lag = alike.findIndex((v) => v < 0); lag > 0 && lag < longest; lag++)
    if (lag >= shortest && alike[lag]! > 0 && alike[lag]! > alike[lag - 1]! && alike[lag]! >= alike[lag + 1]!)
      peaks.push(lag);
  const best = Math.max(...peaks.map((p) => alike[p]!));
  const lag = peaks.find((p) => alike[p]! >= 0.9 * best);
  if (lag === undefined || best < 0.5) return undefined;
  const [a, b, c] = [alike[lag - 1]!, alike[lag]!, alike[lag + 1]!];
  return lag + (a - c) / (2 * (a - 2 * b + c));
}

/** Phase of the samples at a frequency around a place, under a Hann window. */
function phaseAt(samples: Float32Array, middle: number, width: number, cyclesPerSample: number): number {
  let re = 0;
  let im = 0;
  const first = middle - (width >> 1);
  for (let i = 0; i < width; i++) {
    const value = samples[first + i]! * (0.5 - 0.5 * Math.cos((2 * Math.PI * (i + 0.5)) / width));
    const angle = 2 * Math.PI * cyclesPerSample * (first + i);
    re += value * Math.cos(angle);
    im -= value * Math.sin(angle);
  }
  return Math.atan2(im, re);
}

/**
 * Pitch of a steady stretch in cents: the period by autocorrelation, then how the phase of its fundamental moves from one window to a later one.
 * Source: J. L. Flanagan and R. M. Golden, "Phase vocoder", Bell System Technical Journal 45, 1966 (from memory).
 */
export function pitchOf(samples: Float32Array, rate: number, from: number, to: number): number | undefined {
  const part = between(samples, rate, from, to);
  // No string is looked for below 60 Hz.
  const period = periodOf(
    part.subarray(0, Math.round(rate * 0.05)),
    8,
    Math.min(part.length >> 1, Math.round(rate / 60)),
  );
  if (period === undefined) return undefined;
  let cycles = 1 / period;
  const width = Math.floor(part.length / 2);
  const early = width >> 1;
  const late = part.length - (width >> 1) - 1;
  // Twice: near windows first, so that the phase cannot have gone round unseen.
  for (const hop of [Math.min(late - early, Math.round(period * 4)), late - early]) {
    const turn = phaseAt(part, early + hop, width, cycles) - phaseAt(part, early, width, cycles);
    const wrapped = turn - 2 * Math.PI * Math.round(turn / (2 * Math.PI));
    cycles += wrapped / (2 * Math.PI * hop);
  }
  return centsOf(cycles * rate);
}

/** Root mean square of a stretch. */
export function levelOf(samples: Float32Array, rate: number, from: number, to: number): number {
  const part = between(samples, rate, from, to);
  return Math.sqrt(part.reduce((sum, v) => sum + v * v, 0) / Math.max(1, part.length));
}

/**
 * Onsets in seconds: where the energy of the twice differenced samples (so that the bright attack counts for more than what rings) rises most from one
 * window of 20 ms to the next, at least by `rise`. Source: the relative rise of energy, A. Klapuri, "Sound onset detection by applying
 * psychoacoustic knowledge", ICASSP 1999; the weight on high frequencies, J. P. Bello and others, "A tutorial on onset detection in music
 * signals", IEEE Transactions on Speech and Audio Processing 13(5), 2005 (both from memory).
 */
export function onsetsIn(samples: Float32Array, rate: number, rise = 2.5): readonly number[] {
  const hop = Math.round(rate * 0.0005);
  const width = 40; // hops in a window
  const frames = Math.floor(samples.length / hop);
  const sum = new Float64Array(frames + 1);
  for (let f = 0; f < frames; f++) {
    let energy = 0;
    for (let i = Math.max(2, f * hop); i < (f + 1) * hop; i++)
      energy += (samples[i]! - 2 * samples[i - 1]! + samples[i - 2]!) ** 2;
    sum[f + 1] = sum[f]! + energy;
  }
  const energyOf = (from: number, to: number): number => sum[Math.min(frames, to)]! - sum[Math.max(0, from)]!;
  let loudest = 0;
  for (let f = 0; f < frames; f++) loudest = Math.max(loudest, energyOf(f, f + width));
  const floor = loudest * 1e-4;
  const ratio = Float64Array.from(
    { length: frames },
    (_, f) => (energyOf(f, f + width) + floor) / (energyOf(f - width, f) + floor),
  );
  const onsets: number[] = [];
  for (let f = 0; f < frames; f++) {
    if (ratio[f]! < rise) continue;
    let highest = true;
    for (let g = Math.max(0, f - width); g <= Math.min(frames - 1, f + width) && highest; g++)
      highest = ratio[g]! < ratio[f]! || g === f || (ratio[g] === ratio[f] && g > f);
    if (!highest) continue;
    onsets.push((f * hop) / rate);
  }
  return onsets;
}
