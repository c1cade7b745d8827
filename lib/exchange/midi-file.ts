// The bytes of a Standard MIDI File -> its events. Written here because what is cut short or out of place must be said with its byte, and never guessed.
import { type MidiEvent, type MidiTracks, TEXT_TYPES, type TextType } from './midi-events.js';
import { type DocumentFault, documentFault } from './musicxml-xml.js';

/** What was read of a file: its tracks, or `undefined` if it cannot be used; and how often each kind of message was passed over. */
export interface MidiFileRead {
  readonly file: (MidiTracks & { readonly format: number }) | undefined;
  readonly passedOver: ReadonlyMap<string, number>;
  readonly faults: readonly DocumentFault[];
}

/** More events than these are not read. */
const MOST_EVENTS = 500_000;
const MOST_TRACKS = 4096;
/** A text is read up to here. */
const LONGEST_TEXT = 2000;

/** What stops the reading of a file, at a byte. */
class Stop extends Error {
  constructor(
    readonly code: string,
    readonly byte: number,
    message: string,
    readonly remedy: string,
  ) {
    super(message);
  }
}

/** Reads the bytes of a MIDI file of type 0 or 1. Nothing is thrown: what is broken is a fault, whose column is the byte counted from 1. */
export function readMidiFile(bytes: Uint8Array): MidiFileRead {
  const passedOver = new Map<string, number>();
  const faults: DocumentFault[] = [];
  try {
    return { file: readChunks(bytes, passedOver, faults), passedOver, faults };
  } catch (error) {
    if (!(error instanceof Stop)) throw error;
    const { code, byte, message, remedy } = error;
    faults.push(documentFault(code, { line: 1, column: byte + 1 }, `${message}, at byte ${byte + 1}`, { remedy }));
    return { file: undefined, passedOver, faults };
  }
}

const EXPORT_AGAIN = 'export or copy the file again';

function readChunks(bytes: Uint8Array, passedOver: Map<string, number>, faults: DocumentFault[]) {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const nameAt = (at: number): string => String.fromCharCode(...bytes.subarray(at, at + 4));
  if (bytes.length === 0) throw new Stop('empty', 0, 'the file is empty', EXPORT_AGAIN);
  if (nameAt(0) !== 'MThd')
    throw new Stop(
      'not-midi',
      0,
      'this is no Standard MIDI File: it does not open with MThd',
      'export it as a Standard MIDI File',
    );
  if (bytes.length < 14) throw new Stop('cut-short', bytes.length, 'the file ends within its head', EXPORT_AGAIN);
  const headLength = view.getUint32(4);
  const format = view.getUint16(8);
  const many = view.getUint16(10);
  const division = view.getUint16(12);
  if (headLength < 6) throw new Stop('head', 4, `the head has ${headLength} bytes, 6 expected`, EXPORT_AGAIN);
  if (format > 1)
    throw new Stop(
      'type',
      8,
      `a file of type ${format}, whose tracks are pieces of their own or unknown`,
      'export it as type 0 or 1',
    );
  if (division & 0x8000)
    throw new Stop(
      'frames',
      12,
      'time is counted in frames of film, not in parts of a quarter',
      'export it with ticks to the quarter note',
    );
  if (division === 0) throw new Stop('division', 12, 'a quarter has 0 ticks', EXPORT_AGAIN);
  const warn = (code: string, byte: number, message: string): void => {
    faults.push(
      documentFault(code, { line: 1, column: byte + 1 }, `${message}, at byte ${byte + 1}`, { severity: 'warning' }),
    );
  };
  const tracks: (readonly MidiEvent[])[] = [];
  const left = { events: MOST_EVENTS };
  let at = 8 + headLength;
  while (at < bytes.length) {
    if (bytes.length - at < 8) {
      warn('rest', at, `${bytes.length - at} bytes behind the last chunk were passed over`);
      break;
    }
    const name = nameAt(at);
    const length = view.getUint32(at + 4);
    if (at + 8 + length > bytes.length)
      throw new Stop(
        'cut-short',
        at,
        `a chunk of ${length} bytes is announced, and ${bytes.length - at - 8} are left`,
        EXPORT_AGAIN,
      );
    if (name === 'MTrk') {
      if (tracks.length === MOST_TRACKS) throw new Stop('too-long', at, `more than ${MOST_TRACKS} tracks`, 'split it');
      tracks.push(readTrack(bytes, at + 8, at + 8 + length, passedOver, left, warn));
    } else warn('chunk', at, `a chunk of an unknown kind was passed over`);
    at += 8 + length;
  }
  if (tracks.length === 0) throw new Stop('no-tracks', 8, 'the file has no tracks', EXPORT_AGAIN);
  if (tracks.length !== many) warn('tracks', 10, `the head announces ${many} tracks, and ${tracks.length} are there`);
  return { format, division, tracks };
}

/** How many data bytes a channel message has, by the upper half of its status. */
const DATA_BYTES: Readonly<Record<number, number>> = { 8: 2, 9: 2, 10: 2, 11: 2, 12: 1, 13: 1, 14: 2 };

function readTrack(
  bytes: Uint8Array,
  start: number,
  end: number,
  passedOver: Map<string, number>,
  left: { events: number },
  warn: (code: string, byte: number, message: string) => void,
): readonly MidiEvent[] {
  const events: MidiEvent[] = [];
  const pass = (what: string): void => void passedOver.set(what, (passedOver.get(what) ?? 0) + 1);
  let at = start;
  let now = 0;
  let running = 0;
  const cut = (): Stop => new Stop('cut-short', at, 'a track ends within an event', EXPORT_AGAIN);
  const byte = (): number => {
    if (at >= end) throw cut();
    return bytes[at++] as number;
  };
  const data = (): number => {
    const value = byte();
    if (value > 127)
      throw new Stop('data-byte', at - 1, `a byte of ${value} where one up to 127 belongs`, EXPORT_AGAIN);
    return value;
  };
  const variable = (): number => {
    let value = 0;
    for (let i = 0; i < 4; i++) {
      const next = byte();
      value = value * 128 + (next & 127);
      if (next < 128) return value;
    }
    throw new Stop('length', at - 1, 'a number of more than four bytes', EXPORT_AGAIN);
  };
  const stretch = (): Uint8Array => {
    const length = variable();
    if (at + length > end) throw cut();
    at += length;
    return bytes.subarray(at - length, at);
  };
  while (at < end) {
    if (left.events-- === 0)
      throw new Stop('too-long', at, `more than ${MOST_EVENTS.toLocaleString('en')} events`, 'split it');
    now += variable();
    const first = byte();
    if (first === 0xff) {
      const type = byte();
      const body = stretch();
      if (type === 0x2f) {
        if (at < end) warn('rest', at, `${end - at} bytes behind the end of a track were passed over`);
        return events;
      }
      const event = metaEvent(type, body, now);
      if (event) events.push(event);
      else pass(META_NAMES[type] ?? 'other meta events');
    } else if (first === 0xf0 || first === 0xf7) {
      stretch();
      pass('system-exclusive messages');
    } else {
      if (first >= 0xf0)
        throw new Stop('status', at - 1, `a status byte ${first.toString(16)} that no file may hold`, EXPORT_AGAIN);
      // By the standard a running status ends at a meta event; some programs let it run on, which can mean nothing else.
      const status = first >= 128 ? first : running;
      if (status === 0) throw new Stop('status', at - 1, 'data without a status before it', EXPORT_AGAIN);
      running = status;
      const one = first >= 128 ? data() : first;
      const two = DATA_BYTES[status >> 4] === 2 ? data() : 0;
      const event = channelEvent(status, one, two, now);
      if (event) events.push(event);
      else pass('pressure of keys');
    }
  }
  warn('no-end', end, 'a track has no mark at its end');
  return events;
}

function channelEvent(status: number, one: number, two: number, at: number): MidiEvent | undefined {
  const channel = status & 15;
  switch (status >> 4) {
    case 8:
      return { at, kind: 'off', channel, key: one, velocity: two };
    case 9:
      return { at, kind: two === 0 ? 'off' : 'on', channel, key: one, velocity: two };
    case 11:
      return { at, kind: 'control', channel, control: one, value: two };
    case 12:
      return { at, kind: 'program', channel, program: one };
    case 14:
      return { at, kind: 'bend', channel, value: one + two * 128 };
    default:
      return undefined;
  }
}

const META_NAMES: Readonly<Record<number, string>> = {
  0: 'sequence numbers',
  32: 'channel prefixes',
  33: 'port prefixes',
  84: 'film offsets',
  127: 'events of one program',
};

function metaEvent(type: number, body: Uint8Array, at: number): MidiEvent | undefined {
  const [a = 0, b = 0, c = 0] = body;
  if (type >= 1 && type <= TEXT_TYPES.length)
    return { at, kind: 'text', type: TEXT_TYPES[type - 1] as TextType, text: textFrom(body) };
  if (type === 0x51 && body.length === 3 && (a | b | c) !== 0)
    return { at, kind: 'tempo', microseconds: a * 65536 + b * 256 + c };
  if (type === 0x58 && body.length >= 2 && a > 0 && b <= 6) return { at, kind: 'meter', over: a, under: 2 ** b };
  const sharps = a > 127 ? a - 256 : a;
  if (type === 0x59 && body.length === 2 && Math.abs(sharps) <= 7) return { at, kind: 'key', sharps, isMinor: b === 1 };
  return undefined;
}

/** UTF-8 where it is that, else Latin-1, as older files have it. */
function textFrom(body: Uint8Array): string {
  const short = body.subarray(0, LONGEST_TEXT);
  try {
    return new TextDecoder('utf-8', { fatal: true }).decode(short);
  } catch {
    return new TextDecoder('windows-1252').decode(short);
  }
}
