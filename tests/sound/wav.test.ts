import { describe, expect, it } from 'vitest';
import { wavBytes } from '../../lib/sound/wav.js';

const samples = Float32Array.of(0, 0.25, -0.5, 0.125);
const ascii = (bytes: Uint8Array, at: number) => String.fromCharCode(...bytes.subarray(at, at + 4));
const values = (bytes: Uint8Array) => {
  const view = new DataView(bytes.buffer, bytes.byteOffset);
  return Array.from({ length: (bytes.length - 44) / 2 }, (_, i) => view.getInt16(44 + i * 2, true));
};

describe('wavBytes', () => {
  it('writes the RIFF head of 16-bit PCM in one channel', () => {
    // Layout: IBM and Microsoft, Multimedia Programming Interface and Data Specifications 1.0, 1991 (from memory).
    const bytes = wavBytes(samples, { rate: 48000 });
    const view = new DataView(bytes.buffer);
    expect([0, 8, 12, 36].map((at) => ascii(bytes, at))).toEqual(['RIFF', 'WAVE', 'fmt ', 'data']);
    expect(view.getUint32(4, true)).toBe(bytes.length - 8);
    expect(view.getUint32(16, true)).toBe(16);
    expect([20, 22, 32, 34].map((at) => view.getUint16(at, true))).toEqual([1, 1, 2, 16]);
    expect([24, 28, 40].map((at) => view.getUint32(at, true))).toEqual([48000, 96000, 8]);
    expect(bytes.length).toBe(44 + 8);
  });
  it('sets the highest sample to -6 dB, about half of full scale, and keeps the others in proportion', () => {
    const peak = Math.round(32767 * 10 ** (-6 / 20));
    expect(values(wavBytes(samples))).toEqual([0, Math.round(peak / 2), -peak, Math.round(peak / 4)]);
    expect(peak / 32767).toBeCloseTo(0.501, 3);
  });
  it('at another peak if asked', () => {
    expect(Math.min(...values(wavBytes(samples, { peak: 0 })))).toBe(-32767);
  });
  it('silence stays silence, and no samples are an empty file', () => {
    expect(values(wavBytes(new Float32Array(3)))).toEqual([0, 0, 0]);
    expect(wavBytes(new Float32Array(0)).length).toBe(44);
  });
  it.each([
    [Float32Array.of(0, Number.NaN), {}, 'sample 1 is no number'],
    [Float32Array.of(Number.NEGATIVE_INFINITY), {}, 'sample 0 is no number'],
    [samples, { peak: 3 }, 'peak 3: 0 decibels or less expected'],
    [samples, { peak: Number.NaN }, 'peak NaN'],
    [samples, { rate: 0.5 }, 'rate 0.5: a whole number'],
  ])('refuses %j with %j', (given, options, words) => {
    expect(() => wavBytes(given, options)).toThrow(words);
  });
});
