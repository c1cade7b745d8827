// Samples -> a WAV file.

/** How to write samples. */
export interface WavOptions {
  /** Samples a second. Default 44100. */
  readonly rate?: number;
  /** The highest sample in decibels below full scale, 0 or less. Default -6, half of full scale. */
  readonly peak?: number;
}

/** Bytes before the first sample. */
const HEAD = 44;

/**
 * The bytes of a WAV file of one channel, 16-bit PCM, turned up or down so that the highest sample is where it is asked for.
 * Silence stays silence. Source: IBM and Microsoft, Multimedia Programming Interface and Data Specifications 1.0, 1991 (from memory).
 * @throws RangeError if a sample is no number, there are more than fit a file, or the rate or the peak is none
 * @example
 * const bytes = wavBytes(Float32Array.of(0, 0.1, -0.2), { rate: 44100 })
 * String.fromCharCode(...bytes.slice(0, 4), ...bytes.slice(8, 12)) // => 'RIFFWAVE'
 * new DataView(bytes.buffer).getInt16(48, true) / 32767 // => about -0.5012
 */
export function wavBytes(samples: Float32Array, options: WavOptions = {}): Uint8Array {
  const { rate = 44100, peak = -6 } = options;
  if (!Number.isInteger(rate) || rate < 1 || rate > 0x7fffffff)
    throw new RangeError(`rate ${rate}: a whole number of samples a second expected`);
  if (!(peak <= 0)) throw new RangeError(`peak ${peak}: 0 decibels or less expected`);
  const size = samples.length * 2;
  if (size > 0xffffffff - HEAD) throw new RangeError(`${samples.length} samples do not fit a WAV file`);
  let highest = 0;
  for (let i = 0; i < samples.length; i++) {
    const value = Math.abs(samples[i] as number);
    if (!(value < Number.POSITIVE_INFINITY)) throw new RangeError(`sample ${i} is no number: ${samples[i]}`);
    if (value > highest) highest = value;
  }
  const gain = highest === 0 ? 1 : 10 ** (peak / 20) / highest;
  const bytes = new Uint8Array(HEAD + size);
  const view = new DataView(bytes.buffer);
  const word = (at: number, text: string): void =>
    bytes.set(
      [...text].map((c) => c.charCodeAt(0)),
      at,
    );
  word(0, 'RIFF');
  view.setUint32(4, HEAD - 8 + size, true);
  word(8, 'WAVEfmt ');
  view.setUint32(16, 16, true); // bytes of what follows about the format
  view.setUint16(20, 1, true); // PCM
  view.setUint16(22, 1, true); // channels
  view.setUint32(24, rate, true);
  view.setUint32(28, rate * 2, true); // bytes a second
  view.setUint16(32, 2, true); // bytes a sample
  view.setUint16(34, 16, true); // bits a sample
  word(36, 'data');
  view.setUint32(40, size, true);
  for (let i = 0; i < samples.length; i++) {
    view.setInt16(HEAD + i * 2, Math.round((samples[i] as number) * gain * 32767), true);
  }
  return bytes;
}
