// The events of a track -> notes with their bends: what each channel's wheel, range and legato switch say while a note sounds.
import { CONTROL, type MidiEvent, NO_BEND } from './midi-events.js';

/** A note of a MIDI file in ticks of the file, and where its pitch stands from a tick on, in cents from its key. */
export interface MidiNote {
  readonly track: number;
  readonly channel: number;
  readonly key: number;
  readonly velocity: number;
  readonly at: number;
  end: number;
  readonly isLegato: boolean;
  /** The first stands at its onset or before. */
  readonly bends: { readonly at: number; readonly cents: number }[];
}

/** What was met on the way that is not in the notes. */
export interface NotesRead {
  readonly notes: readonly MidiNote[];
  /** Notes that no event ends; the end of their track does. */
  readonly unended: number;
  /** How often a pedal held notes on. */
  readonly pedals: number;
  /** Programs by channel, the first of each. */
  readonly programs: ReadonlyMap<number, number>;
}

/** Cents that a wheel goes to either side if a file does not say. Source: General MIDI level 1. */
const USUAL_RANGE = 200;

/** More notes than these do not sound at once on a channel. */
const MOST_OPEN = 64;

interface Channel {
  range: number;
  /** Cents by which the channel is tuned. */
  tuned: number;
  wheel: number;
  registered: readonly [number, number];
  legato: boolean;
  readonly open: MidiNote[];
}

/** Registered parameters: bend range, fine tuning, coarse tuning. */
const REGISTERED = { range: 0, fine: 1, coarse: 2 } as const;

/** The notes of all tracks. Wheels and ranges are those of a channel, whatever track they come from, in order of time. */
export function notesOf(tracks: readonly (readonly MidiEvent[])[]): NotesRead {
  const events = tracks.flatMap((track, t) => track.map((event) => ({ event, t })));
  events.sort((a, b) => a.event.at - b.event.at); // stable: of one tick as in the file
  const ends = tracks.map((track) => track[track.length - 1]?.at ?? 0);
  const channels = new Map<number, Channel>();
  const programs = new Map<number, number>();
  const notes: MidiNote[] = [];
  let pedals = 0;
  let unended = 0;
  const end = (note: MidiNote, at: number): void => {
    unended++;
    if (at > note.at) notes.push({ ...note, end: at });
  };
  const channelAt = (number: number): Channel => {
    let found = channels.get(number);
    if (!found) {
      found = { range: USUAL_RANGE, tuned: 0, wheel: NO_BEND, registered: [127, 127], legato: false, open: [] };
      channels.set(number, found);
    }
    return found;
  };
  for (const { event, t } of events) {
    if (!('channel' in event)) continue;
    const channel = channelAt(event.channel);
    const { at } = event;
    if (event.kind === 'on') {
      if (channel.open.length === MOST_OPEN) end(channel.open.shift() as MidiNote, at);
      channel.open.push({
        track: t,
        channel: event.channel,
        key: event.key,
        velocity: event.velocity,
        at,
        end: at,
        isLegato: channel.legato,
        bends: [{ at, cents: centsOf(channel) }],
      });
    } else if (event.kind === 'off') {
      const i = channel.open.findIndex((note) => note.key === event.key && note.track === t);
      const [note] = i < 0 ? [] : channel.open.splice(i, 1);
      if (note && at > note.at) notes.push({ ...note, end: at });
    } else if (event.kind === 'program') {
      if (!programs.has(event.channel)) programs.set(event.channel, event.program);
    } else {
      if (event.kind === 'bend') channel.wheel = event.value;
      else if (event.control === CONTROL.sustain && event.value >= 64) pedals++;
      else if (!control(channel, event.control, event.value)) continue;
      for (const note of channel.open) bendTo(note, at, centsOf(channel));
    }
  }
  for (const { open } of channels.values()) for (const note of open) end(note, ends[note.track] as number);
  notes.sort((a, b) => a.at - b.at || b.key - a.key || a.end - b.end);
  return { notes, unended, pedals, programs };
}

const centsOf = ({ range, tuned, wheel }: Channel): number => ((wheel - NO_BEND) / NO_BEND) * range + tuned;

function bendTo(note: MidiNote, at: number, cents: number): void {
  const last = note.bends[note.bends.length - 1] as MidiNote['bends'][number];
  if (last.cents === cents) return;
  if (last.at === at) note.bends[note.bends.length - 1] = { at, cents };
  else note.bends.push({ at, cents });
}

/** Takes over what a controller says; true if the pitch of what sounds may be another now. */
function control(channel: Channel, number: number, value: number): boolean {
  const [coarse, fine] = channel.registered;
  switch (number) {
    case CONTROL.registered:
      channel.registered = [value, fine];
      return false;
    case CONTROL.registeredFine:
      channel.registered = [coarse, value];
      return false;
    case CONTROL.nonRegistered:
    case CONTROL.nonRegisteredFine:
      channel.registered = [127, 127];
      return false;
    case CONTROL.legato:
      channel.legato = value >= 64;
      return false;
    case CONTROL.dataEntry:
    case CONTROL.dataEntryFine:
      return coarse === 0 && parameter(channel, fine, number === CONTROL.dataEntry, value);
    default:
      return false;
  }
}

function parameter(channel: Channel, which: number, isCoarse: boolean, value: number): boolean {
  if (which === REGISTERED.range)
    channel.range = isCoarse
      ? value * 100 + (channel.range % 100)
      : Math.floor(channel.range / 100) * 100 + Math.min(99, value);
  else if (which === REGISTERED.fine && isCoarse)
    channel.tuned = Math.round(channel.tuned / 100) * 100 + ((value - 64) / 64) * 100;
  else if (which === REGISTERED.coarse && isCoarse) channel.tuned = (value - 64) * 100;
  else return false;
  return true;
}
