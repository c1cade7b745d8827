// Which notes of a MIDI file are read: one part, without drums, and the guess is said.
import { DRUMS, type MidiEvent } from './midi-events.js';
import type { MidiNote } from './midi-notes.js';
import type { Reporter } from './musicxml-report.js';

/** A part of a file: a track, or a channel where all are in one track. */
export interface MidiPart {
  /** Its number in the file, from 1. */
  readonly number: number;
  readonly name: string;
  readonly notes: readonly MidiNote[];
}

/** General MIDI programs of guitars, counted from 0 (General MIDI level 1). */
const GUITARS = [24, 31] as const;

/** The parts that have notes. In a file of this project all strings are one. */
export function midiParts(
  tracks: readonly (readonly MidiEvent[])[],
  notes: readonly MidiNote[],
  isOwn: boolean,
  report: Reporter,
): readonly MidiPart[] {
  const drums = notes.filter((n) => n.channel === DRUMS).length;
  if (drums > 0 && !isOwn)
    report.say('dropped', 'drums', 'notes on the channel of drums', undefined, {
      detail: `${drums} notes`,
      quiet: true,
    });
  const pitched = notes.filter((n) => n.channel !== DRUMS);
  const byTrack = new Map<number, MidiNote[]>();
  for (const note of pitched) {
    const list = byTrack.get(note.track);
    if (list) list.push(note);
    else byTrack.set(note.track, [note]);
  }
  if (byTrack.size === 1 && !isOwn) {
    const byChannel = new Map<number, MidiNote[]>();
    for (const note of pitched) {
      const list = byChannel.get(note.channel);
      if (list) list.push(note);
      else byChannel.set(note.channel, [note]);
    }
    // Several channels that never sound the same time are hands of one player; many programs are many players.
    if (byChannel.size > 1 && tracks.length === 1)
      return [...byChannel]
        .sort(([a], [b]) => a - b)
        .map(([channel, own]) => ({ number: channel + 1, name: `channel ${channel + 1}`, notes: own }));
  }
  return [...byTrack]
    .sort(([a], [b]) => a - b)
    .map(([track, own], i) => ({
      number: i + 1,
      name: nameOf(tracks[track] ?? []) || `track ${track + 1}`,
      notes: own,
    }));
}

const nameOf = (track: readonly MidiEvent[]): string => {
  const named = (type: string) => track.find((e) => e.kind === 'text' && e.type === type && e.text.trim() !== '');
  const found = named('track') ?? named('instrument');
  return found?.kind === 'text' ? found.text.trim().slice(0, 80) : '';
};

/** The part asked for by name or number, else the best guess, which is said; `undefined` if there is none such. */
export function chooseMidiPart(
  parts: readonly MidiPart[],
  programs: ReadonlyMap<number, number>,
  asked: string | undefined,
  report: Reporter,
): MidiPart | undefined {
  if (asked !== undefined) {
    const wanted = asked.trim().toLowerCase();
    return parts.find((p) => p.name.toLowerCase() === wanted) ?? parts.find((p) => String(p.number) === wanted);
  }
  const scored = parts
    .map((part) => ({ part, score: likelihood(part, programs) }))
    .sort((a, b) => b.score - a.score || a.part.number - b.part.number);
  const best = scored[0]?.part;
  if (best && parts.length > 1)
    report.say('chosen', 'part', `of ${parts.length} parts "${best.name}" was read`, undefined, {
      detail: `the others: ${parts
        .filter((p) => p !== best)
        .slice(0, 8)
        .map((p) => p.name)
        .join(', ')}`,
    });
  return best;
}

/** How like a guitar solo a part is: by its name, its sound, and how seldom notes sound together. */
function likelihood({ name, notes }: MidiPart, programs: ReadonlyMap<number, number>): number {
  let score = Math.min(1, notes.length / 200);
  if (/solo|lead/i.test(name)) score += 4;
  if (/melod|voice|vocal/i.test(name)) score += 2;
  if (/g(ui)?t(a)?r/i.test(name)) score += 2;
  if (/bass|drum|perc|click|count/i.test(name)) score -= 4;
  const guitars = notes.filter((n) => {
    const program = programs.get(n.channel);
    return program !== undefined && program >= GUITARS[0] && program <= GUITARS[1];
  }).length;
  score += (2 * guitars) / notes.length;
  let together = 0;
  for (let i = 1; i < notes.length; i++) if ((notes[i] as MidiNote).at === (notes[i - 1] as MidiNote).at) together++;
  return score + 2 * (1 - together / notes.length);
}
