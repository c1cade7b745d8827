// Notes of a staff gathered into phrases: as the file marks them, else all in one. Marks of analysis (grouping) hold what the standard has no sign for.
import { ticks } from '../foundation/units.js';
import type { Remark } from '../solo/solo.js';
import type { LineNote, PlacedMeasure } from './musicxml-line-note.js';
import type { Reporter } from './musicxml-report.js';

/** What a grouping of this project is a member of. */
export const GROUPS = { phrase: 'phrasewright-phrase', damp: 'phrasewright-damp', say: 'phrasewright-say' } as const;

/** A phrase to be: its frame, and what else is in it, for a solo or a melody. */
export interface PhraseFrame<N extends LineNote = LineNote> {
  readonly id: string;
  readonly name: string;
  readonly at: number;
  length: number;
  readonly notes: N[];
  readonly damps: number[];
  readonly remarks: Remark[];
  readonly heard?: number;
}

interface Marked {
  readonly at: number;
  readonly features: readonly (readonly [string, string])[];
}

/** The phrases of a line of notes in order of time. */
export function phrasesOf<N extends LineNote>(
  notes: readonly N[],
  measures: readonly PlacedMeasure[],
  report: Reporter,
): PhraseFrame<N>[] {
  const rank = (type: string): number => (type === 'stop' ? 0 : 1);
  const groups = measures
    .flatMap(({ measure, start }) => measure.groups.map((g) => ({ ...g, at: Math.round(start + g.at) })))
    .sort((a, b) => a.at - b.at || rank(a.type) - rank(b.type));
  const frames = markedPhrases(groups);
  const outside: N[] = [];
  let f = 0;
  for (const note of notes) {
    while (f < frames.length && note.onset >= endOf(frames[f] as PhraseFrame)) f++;
    const frame = frames[f] as PhraseFrame<N> | undefined;
    if (frame && note.onset >= frame.at) frame.notes.push(note);
    else outside.push(note);
  }
  if (frames.length > 0 && outside.length > 0)
    report.say(
      'approximated',
      'phrase',
      'notes outside the marked phrases were made phrases of their own',
      (outside[0] as N).place,
    );
  const all = [...(frames as PhraseFrame<N>[]).filter((frame) => frame.notes.length > 0), ...unmarked(outside, frames)];
  if (frames.length === 0 && notes.length > 0)
    report.say('approximated', 'no-phrases', 'no phrases are marked: all notes are one phrase', undefined, {
      quiet: true,
    });
  all.sort((a, b) => a.at - b.at);
  all.forEach((frame, i) => {
    const next = all[i + 1];
    const last = frame.notes.reduce((end, n) => Math.max(end, n.onset + n.length), frame.at + 1);
    frame.length = Math.max(frame.length, last - frame.at);
    if (next) frame.length = Math.min(frame.length, next.at - frame.at);
  });
  own(groups, all);
  words(measures, all, report);
  return all;
}

const endOf = (frame: PhraseFrame): number => frame.at + frame.length;

const features = ({ features: all }: Marked, type: string): string[] =>
  all.filter(([t]) => t === type).map(([, text]) => text);

function markedPhrases(
  groups: readonly (Marked & { readonly type: string; readonly memberOf: string })[],
): PhraseFrame[] {
  const frames: PhraseFrame[] = [];
  let begun: Marked | undefined;
  for (const group of groups) {
    if (group.memberOf !== GROUPS.phrase) continue;
    if (group.type === 'start') begun = group;
    else if (group.type === 'stop' && begun && group.at > begun.at) {
      const [id = ''] = features(begun, 'id');
      const [heard] = features(begun, 'heard')
        .map(Number)
        .filter((n) => n >= 0 && n <= 60000);
      const taken = frames.some((f) => f.id === id) || !/^[A-Za-z0-9][A-Za-z0-9_.-]*$/.test(id) || id.length > 100;
      const before = frames[frames.length - 1];
      if (before && endOf(before) > begun.at) before.length = begun.at - before.at;
      frames.push({
        id: taken ? `p${frames.length + 1}` : id,
        name: features(begun, 'name')[0] ?? '',
        at: begun.at,
        length: group.at - begun.at,
        notes: [],
        damps: [],
        remarks: features(begun, 'say').map((text) => ({ text })),
        ...(heard !== undefined && { heard }),
      });
      begun = undefined;
    }
  }
  return frames.filter((f) => f.length > 0);
}

/** Notes that no phrase holds, cut where a marked phrase stands between them. */
function unmarked<N extends LineNote>(notes: readonly N[], marked: readonly PhraseFrame[]): PhraseFrame<N>[] {
  const frames: PhraseFrame<N>[] = [];
  const ids = new Set(marked.map((f) => f.id));
  let f = 0;
  let now: PhraseFrame<N> | undefined;
  for (const note of notes) {
    const passed = f;
    while (f < marked.length && (marked[f] as PhraseFrame).at <= note.onset) f++;
    if (!now || f > passed) {
      let id = frames.length + 1;
      while (ids.has(String(id))) id++;
      ids.add(String(id));
      now = { id: String(id), name: '', at: note.onset, length: 0, notes: [], damps: [], remarks: [] };
      frames.push(now);
    }
    now.notes.push(note);
  }
  return frames;
}

/** Damps and remarks of this project, each with the id of its phrase. */
function own(groups: readonly (Marked & { readonly memberOf: string })[], frames: readonly PhraseFrame[]): void {
  const byId = new Map(frames.map((f) => [f.id, f]));
  for (const group of groups) {
    const frame = byId.get(features(group, 'id')[0] ?? '');
    if (!frame || group.at < frame.at || group.at > endOf(frame)) continue;
    if (group.memberOf === GROUPS.damp && !frame.damps.includes(group.at)) frame.damps.push(group.at);
    if (group.memberOf === GROUPS.say && frame.notes.some((n) => n.onset === group.at))
      for (const text of features(group, 'say')) frame.remarks.push({ text, at: ticks(group.at) });
  }
  for (const frame of frames) frame.damps.sort((a, b) => a - b);
}

/** Words of the score become remarks: on the notes that start there, else on the next ones. */
function words(measures: readonly PlacedMeasure[], frames: readonly PhraseFrame[], report: Reporter): void {
  const onsets = frames.map((f) => [...new Set(f.notes.map((n) => n.onset))].sort((a, b) => a - b));
  for (const { measure, start } of measures)
    for (const { at, text, place } of measure.directions.words) {
      const here = Math.round(start + at);
      const f = frames.findIndex((frame) => here < endOf(frame));
      const frame = frames[f];
      const onset = frame && onsets[f]?.find((o) => o >= here);
      if (!frame || onset === undefined) {
        report.say('dropped', 'words', 'words behind the last note', place, { quiet: true, detail: text.slice(0, 60) });
        continue;
      }
      frame.remarks.push({ text, at: ticks(onset) });
      report.count('remarks');
    }
}
