// MIDI files made byte by byte for tests, by the rules of Standard MIDI Files 1.0 (from memory), so that the reader is not checked by the writer.

/** A number in groups of seven bits. */
export function variable(value: number): number[] {
  const out = [value & 127];
  for (let rest = value >> 7; rest > 0; rest >>= 7) out.unshift((rest & 127) | 128);
  return out;
}

const word = (value: number, bytes: number): number[] =>
  Array.from({ length: bytes }, (_, i) => (value >> (8 * (bytes - 1 - i))) & 255);
const letters = (text: string): number[] => [...text].map((c) => c.charCodeAt(0));

/** A chunk: four letters, its length, its bytes. */
export const chunk = (name: string, body: readonly number[]): number[] => [
  ...letters(name),
  ...word(body.length, 4),
  ...body,
];

/** A file of tracks, each already in bytes. */
export const smf = (format: number, division: number, ...tracks: readonly (readonly number[])[]): Uint8Array =>
  Uint8Array.from([
    ...chunk('MThd', [...word(format, 2), ...word(tracks.length, 2), ...word(division, 2)]),
    ...tracks.flatMap((t) => chunk('MTrk', t)),
  ]);

export const END = [0x00, 0xff, 0x2f, 0x00];
/** A meta event behind a distance. */
export const meta = (delta: number, type: number, body: readonly number[] | string): number[] => {
  const bytes = typeof body === 'string' ? [...new TextEncoder().encode(body)] : [...body];
  return [...variable(delta), 0xff, type, ...variable(bytes.length), ...bytes];
};
export const TEXT = { text: 1, track: 3, lyric: 5, marker: 6, cue: 7 } as const;

/** What a track may hold, at a tick. */
export type At = readonly [at: number, bytes: readonly number[]];

/** A track of things at ticks, in order of time. */
export function track(...events: readonly At[]): number[] {
  const sorted = events.map((e, i) => ({ e, i })).sort((a, b) => a.e[0] - b.e[0] || a.i - b.i);
  const body = sorted.map(({ e: [at, bytes] }, i) => [...variable(at - (sorted[i - 1]?.e[0] ?? 0)), ...bytes]);
  return [...body.flat(), ...END];
}

/** A note from a tick on, for a length. */
export const note = (at: number, length: number, key: number, channel = 0): At[] => [
  [at, [0x90 | channel, key, 96]],
  [at + length, [0x80 | channel, key, 64]],
];
/** A text of a kind at a tick. */
export const says = (at: number, type: number, text: string): At => [at, meta(0, type, text).slice(1)];
/** The wheel of a channel at a tick: 0 to 16383, 8192 is no bend. */
export const wheel = (at: number, value: number, channel = 0): At => [at, [0xe0 | channel, value & 127, value >> 7]];
/** RPN 0: how far the wheel goes, in semitones and cents. */
export const range = (at: number, semitones: number, cents = 0, channel = 0): At => [
  at,
  [0xb0 | channel, 101, 0, 0, 0xb0 | channel, 100, 0, 0, 0xb0 | channel, 6, semitones, 0, 0xb0 | channel, 38, cents],
];
