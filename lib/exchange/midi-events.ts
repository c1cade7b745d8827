// Standard MIDI Files as events in absolute ticks, and the bytes of them. Source: Standard MIDI Files 1.0 and MIDI 1.0 (MIDI Manufacturers Association).

/** What an event of a MIDI file says. Channels count from 0, and 9 is that of drums; bend values run from 0 over 8192, the middle, to 16383. */
export type MidiMessage =
  | { readonly kind: 'on'; readonly channel: number; readonly key: number; readonly velocity: number }
  | { readonly kind: 'off'; readonly channel: number; readonly key: number; readonly velocity: number }
  | { readonly kind: 'bend'; readonly channel: number; readonly value: number }
  | { readonly kind: 'control'; readonly channel: number; readonly control: number; readonly value: number }
  | { readonly kind: 'program'; readonly channel: number; readonly program: number }
  | { readonly kind: 'tempo'; readonly microseconds: number }
  | { readonly kind: 'meter'; readonly over: number; readonly under: number }
  | { readonly kind: 'key'; readonly sharps: number; readonly isMinor: boolean }
  | { readonly kind: 'text'; readonly type: TextType; readonly text: string };

/** Texts of a MIDI file by what they are for. */
export const TEXT_TYPES = ['text', 'copyright', 'track', 'instrument', 'lyric', 'marker', 'cue'] as const;
/** What a text of a MIDI file is for. */
export type TextType = (typeof TEXT_TYPES)[number];

/** An event: its message, and the tick from the start of the file. */
export type MidiEvent = MidiMessage & { readonly at: number };

/** The tracks of a MIDI file, each in order of time. */
export interface MidiTracks {
  /** Ticks to a quarter note, 1 to 32767. */
  readonly division: number;
  readonly tracks: readonly (readonly MidiEvent[])[];
}

/** The channel of drums, counted from 0. */
export const DRUMS = 9;
/** Controllers by their numbers in MIDI 1.0. */
export const CONTROL = {
  dataEntry: 6,
  dataEntryFine: 38,
  sustain: 64,
  legato: 68,
  nonRegisteredFine: 98,
  nonRegistered: 99,
  registeredFine: 100,
  registered: 101,
} as const;
/** The middle of the bend wheel: no bend. */
export const NO_BEND = 8192;
/** What the wheel says, 0 to 16383, of a bend in cents where it goes so many semitones: the last step up is one short. */
export const bendValue = (cents: number, range: number): number =>
  Math.max(0, Math.min(16383, NO_BEND + Math.round((NO_BEND * cents) / 100 / range)));

/**
 * The bytes of a MIDI file of type 1 (type 0 for one track).
 * @throws RangeError if a number does not fit its place in the file
 * @example
 * const bend = { at: 0, kind: 'bend', channel: 0, value: 12288 } as const
 * const bytes = midiBytes({ division: 480, tracks: [[bend]] });
 * Array.from(bytes.subarray(22, 26), (b) => b.toString(16)) // => ['0', 'e0', '0', '60']
 */
export function midiBytes({ division, tracks }: MidiTracks): Uint8Array {
  fits(division, 1, 32767, 'the division');
  const chunks = tracks.map(trackBytes);
  const size = chunks.reduce((sum, chunk) => sum + chunk.length + 8, 14);
  const out: Uint8Array = new Uint8Array(size);
  const view = new DataView(out.buffer);
  const head = (at: number, name: string, length: number): void => {
    for (let i = 0; i < 4; i++) out[at + i] = name.charCodeAt(i);
    view.setUint32(at + 4, length);
  };
  head(0, 'MThd', 6);
  view.setUint16(8, tracks.length === 1 ? 0 : 1);
  view.setUint16(10, tracks.length);
  view.setUint16(12, division);
  let at = 14;
  for (const chunk of chunks) {
    head(at, 'MTrk', chunk.length);
    out.set(chunk, at + 8);
    at += chunk.length + 8;
  }
  return out;
}

function trackBytes(events: readonly MidiEvent[]): readonly number[] {
  const out: number[] = [];
  let before = 0;
  for (const event of events) {
    variable(out, fits(event.at, before, before + 0x0fffffff, 'the distance between events') - before);
    before = event.at;
    message(out, event);
  }
  out.push(0, 0xff, 0x2f, 0);
  return out;
}

/** A number in groups of seven bits, the highest first, all but the last with the top bit set. */
function variable(out: number[], value: number): void {
  for (let shift = 21; shift > 0; shift -= 7)
    if (value >= 2 ** shift) out.push((Math.floor(value / 2 ** shift) & 127) | 128);
  out.push(value & 127);
}

const TEXT_ENCODER = new TextEncoder();

function message(out: number[], event: MidiEvent): void {
  const meta = (type: number, data: ArrayLike<number>): void => {
    out.push(0xff, type);
    variable(out, data.length);
    for (let i = 0; i < data.length; i++) out.push(data[i] as number);
  };
  const seven = (value: number, what: string): number => fits(value, 0, 127, what);
  const status = (type: number, channel: number): number => type | fits(channel, 0, 15, 'the channel');
  switch (event.kind) {
    case 'on':
    case 'off':
      out.push(
        status(event.kind === 'on' ? 0x90 : 0x80, event.channel),
        seven(event.key, 'the key'),
        seven(event.velocity, 'the velocity'),
      );
      break;
    case 'bend': {
      const value = fits(event.value, 0, 16383, 'the bend');
      out.push(status(0xe0, event.channel), value & 127, value >> 7);
      break;
    }
    case 'control':
      out.push(status(0xb0, event.channel), seven(event.control, 'the controller'), seven(event.value, 'its value'));
      break;
    case 'program':
      out.push(status(0xc0, event.channel), seven(event.program, 'the program'));
      break;
    case 'tempo': {
      const us = fits(event.microseconds, 1, 0xffffff, 'the microseconds a quarter');
      meta(0x51, [us >> 16, (us >> 8) & 255, us & 255]);
      break;
    }
    case 'meter':
      // MIDI clocks to a click, and 32nds to a quarter: the quarter, and 8, as usual.
      meta(0x58, [fits(event.over, 1, 255, 'the meter'), Math.round(Math.log2(event.under)), 24, 8]);
      break;
    case 'key':
      meta(0x59, [fits(event.sharps, -7, 7, 'the sharps') & 255, event.isMinor ? 1 : 0]);
      break;
    case 'text':
      meta(TEXT_TYPES.indexOf(event.type) + 1, TEXT_ENCODER.encode(event.text));
      break;
  }
}

function fits(value: number, least: number, most: number, what: string): number {
  if (!(Number.isInteger(value) && value >= least && value <= most))
    throw new RangeError(`${what} of a MIDI event is ${value}: ${least} to ${most} expected`);
  return value;
}
