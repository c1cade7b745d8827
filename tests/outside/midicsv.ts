// MIDI files as the Debian program midicsv lists them (public domain): a reader of the bytes that is none of ours.
import { execFileSync, spawnSync } from 'node:child_process';

/** True if a program is there to be run. */
export const installed = (program: string): boolean => spawnSync('sh', ['-c', `command -v ${program}`]).status === 0;

/** A note as listed: ticks of the file, channel counted from 0, track from 1. */
export interface ListedNote {
  readonly track: number;
  readonly channel: number;
  readonly key: number;
  readonly at: number;
  readonly end: number;
}

/** An event as listed: its track, its tick, its name, its values. */
export type ListedEvent = readonly [track: number, at: number, name: string, ...values: string[]];

/** What midicsv lists of a file. */
export function listed(path: string): {
  readonly format: number;
  readonly division: number;
  readonly events: readonly ListedEvent[];
  readonly notes: readonly ListedNote[];
} {
  const text = execFileSync('midicsv', [path], { encoding: 'latin1', maxBuffer: 256e6 });
  const events = text
    .trim()
    .split('\n')
    .map((line): ListedEvent => {
      const [track = '', at = '', name = '', ...values] = line.split(', ');
      return [Number(track), Number(at), name, ...values];
    });
  const [, , , format, , division] = events[0] as ListedEvent;
  const open = new Map<string, { at: number }[]>();
  const notes: ListedNote[] = [];
  for (const [track, at, name, channel, key, velocity] of events) {
    if (name !== 'Note_on_c' && name !== 'Note_off_c') continue;
    const which = `${track} ${channel} ${key}`;
    if (name === 'Note_on_c' && velocity !== '0') open.set(which, [...(open.get(which) ?? []), { at }]);
    else {
      const begun = open.get(which)?.shift();
      if (begun) notes.push({ track, channel: Number(channel), key: Number(key), at: begun.at, end: at });
    }
  }
  notes.sort((a, b) => a.at - b.at || b.key - a.key);
  return { format: Number(format), division: Number(division), events, notes };
}
