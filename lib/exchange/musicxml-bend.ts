// Bends as MusicXML writes them (one element for each change of level) and as paths of levels, both ways.
import { QUARTER } from '../foundation/time.js';
import { type Cents, cents, type Ticks, ticks } from '../foundation/units.js';
import { type BendPath, type BendPoint, type BendStage, layBend } from '../guitar/bend.js';
import type { BendMark } from './musicxml-note.js';

/** The bends on one of the tied notes that a note is written as; `at` is in ticks after the onset of the first. */
export interface BendPiece {
  readonly at: number;
  readonly length: number;
  readonly divisions: number;
  readonly bends: readonly BendMark[];
}

/** The note that the bends are on. */
export interface BentNote {
  readonly length: Ticks;
  /** True for a string that goes on sounding, held at a level. */
  readonly goesOn: boolean;
  readonly held: Cents;
  /** The path as this project wrote it, see {@link pathHint}. */
  readonly hint?: string;
}

/** What was not as the standard has it. */
export type BendOddity = 'release-sign' | 'release-missing' | 'rounded' | 'below' | 'times';

interface Level {
  level: number;
  readonly pre: boolean;
  begin: number | undefined;
  /** The tied note that it opens, where that is all that says when it begins. */
  readonly tied: BendPiece | undefined;
}

/** Bends beyond this many levels on one note are left out. */
const MOST_LEVELS = 64;
const HIGHEST = 2400;

/**
 * The path of a note from its bends. A plain bend goes up from where the string is, a release down by its size; a pre-bend is where the note starts. Without a
 * written time the levels share the note equally; `first-beat` and the offset of a release are written times, and so is the tied note that a bend stands on.
 */
export function pathFromBends(pieces: readonly BendPiece[], note: BentNote, odd: (what: BendOddity) => void): BendPath {
  const levels: Level[] = [];
  let current: number = note.held;
  let timed = false;
  for (const [p, piece] of pieces.entries())
    piece.bends.slice(0, MOST_LEVELS).forEach((bend, i) => {
      const size = Math.round(Math.abs(bend.alter) * 2) * 50;
      if (Math.abs(Math.abs(bend.alter) * 100 - size) > 1e-6) odd('rounded');
      const pre = bend.kind === 'pre-bend' && levels.length === 0 && !note.goesOn;
      if (pre) current = size;
      else if (bend.kind === 'release' || bend.alter < 0) {
        if (bend.kind === 'release' && bend.alter > 0) odd('release-sign');
        if (bend.kind === 'bend') odd('release-missing');
        if (size > current) odd('below');
        current = bend.alter === 0 ? 0 : Math.max(0, current - size);
      } else if (bend.kind === 'pre-bend') current = size;
      else current += size;
      current = Math.min(current, HIGHEST);
      if (bend.firstBeat !== undefined) timed = true;
      const begin =
        bend.firstBeat !== undefined
          ? piece.at + (bend.firstBeat / 100) * piece.length
          : bend.offset !== undefined
            ? piece.at + (bend.offset * QUARTER) / piece.divisions
            : undefined;
      levels.push({
        level: current,
        pre,
        begin: begin === undefined ? undefined : Math.round(begin),
        tied: p > 0 && i === 0 && begin === undefined ? piece : undefined,
      });
    });
  const even = evenPath(levels, note);
  const hinted = note.hint === undefined ? undefined : pathFromHint(note.hint, note, even);
  if (hinted) return hinted;
  if (levels.length === 0 || note.length === 0) return even;
  if (!timed && fitsEvenly(levels, note)) return even;
  for (const level of levels) level.begin ??= level.tied?.at;
  const written = timedPath(levels, note);
  if (!written) odd('times');
  return written ?? even;
}

/** The path in which no time is written. */
function evenPath(levels: readonly Level[], note: BentNote): BendPath {
  if (levels.length === 0) return [];
  const points: BendPoint[] = levels.map(({ level }) => ({ level: cents(level) }));
  if (note.goesOn) return [{ level: null }, ...points];
  return levels[0]?.pre ? points : [{ level: cents(0) }, ...points];
}

/** True if the times that are written are those that equal shares give, so that they say nothing more. */
function fitsEvenly(levels: readonly Level[], note: BentNote): boolean {
  const share = Math.floor(note.length / levels.length);
  return levels.every(({ begin, tied }, i) => {
    if (tied) return i * share >= tied.at && i * share < tied.at + tied.length;
    return begin === undefined || Math.abs(begin - i * share) <= 1;
  });
}

function timedPath(levels: readonly Level[], note: BentNote): BendPath | undefined {
  const begins = levels.map((l) => l.begin);
  begins[0] ??= 0;
  if (levels[0]?.pre) begins[0] = 0;
  for (let i = 1; i < begins.length; i++) {
    if (begins[i] !== undefined) continue;
    let next = i;
    while (next < begins.length && begins[next] === undefined) next++;
    const from = begins[i - 1] as number;
    const to = begins[next] ?? note.length;
    begins[i] = Math.round(from + (to - from) / (next - i + 1));
  }
  const points: BendPoint[] = [];
  const first = begins[0] as number;
  if (!levels[0]?.pre) {
    if (first > 0) points.push({ level: note.held, time: ticks(first) });
    else points.push({ level: note.goesOn ? null : cents(0) });
  }
  for (const [i, { level }] of levels.entries()) {
    const time = (begins[i + 1] ?? note.length) - (begins[i] as number);
    if (time < 1 || (begins[i] as number) < 0) return undefined;
    points.push({ level: cents(level), time: ticks(time) });
  }
  return 'reason' in layBend(points, note.length, note.held) ? undefined : points;
}

/** A path in a text that other programs keep as it is: `0,200:30240,0`; `-` is the level that the string is held at. */
export const pathHint = (path: BendPath): string =>
  path.map((p) => `${p.level ?? '-'}${p.time === undefined ? '' : `:${p.time}`}`).join(',');

/** The path of a hint, if it still says what the bends say: the same levels, in the same order, in the time that the note has. */
function pathFromHint(hint: string, note: BentNote, even: BendPath): BendPath | undefined {
  const points: BendPoint[] = [];
  for (const part of hint.split(',').slice(0, MOST_LEVELS)) {
    const match = /^(-|\d{1,4})(?::(\d{1,12}))?$/.exec(part);
    if (!match || (match[1] === '-' && (points.length > 0 || !note.goesOn))) return undefined;
    const level = match[1] === '-' ? null : cents(Number(match[1]));
    if (level !== null && (level % 50 !== 0 || level > HIGHEST)) return undefined;
    points.push(match[2] === undefined ? { level } : { level, time: ticks(Number(match[2])) });
  }
  if (note.length === 0) return points.every((p) => p.time === undefined) ? points : undefined;
  const stages = stagesIn(points, note);
  const same = stagesIn(even, note);
  if (!stages || !same || stages.length !== same.length) return undefined;
  return stages.every((s, i) => s.level === (same[i] as BendStage).level) ? points : undefined;
}

/** The stages of a path, without a first one at the level that the string is at anyway. */
function stagesIn(path: BendPath, note: BentNote): readonly Pick<BendStage, 'level'>[] | undefined {
  const laid = layBend(path, note.length, note.held);
  if ('reason' in laid) return undefined;
  const [first] = laid.stages;
  return first?.level === note.held ? laid.stages.slice(1) : laid.stages;
}

/** A change of level to be written: its size in semitones, and where it begins in ticks after the note's onset. */
export interface BendChange {
  readonly alter: number;
  readonly kind: BendMark['kind'];
  readonly begin: number;
  /** True if times are written in the path, so that `first-beat` is to be written. */
  readonly timed: boolean;
}

/** The changes of level in a path over a note. */
export function changesOfLevel(path: BendPath, length: Ticks, held: Cents, goesOn: boolean): readonly BendChange[] {
  if (path.length === 0) return [];
  const timed = path.some((p) => p.time !== undefined);
  const stages =
    length === 0
      ? path
          .filter((p, i) => i > 0 || (p.level !== null && p.level > 0))
          .map((p) => ({ level: p.level ?? held, at: 0 }))
      : stagesOfPath(path, length, held);
  const changes: BendChange[] = [];
  let level: number = held;
  const startsBent = !goesOn && path.length > 0 && (path[0]?.level ?? 0) > 0;
  for (const [i, stage] of stages.entries()) {
    if (stage.level === level) continue;
    const alter = (stage.level - level) / 100;
    const kind = i === 0 && startsBent ? 'pre-bend' : alter < 0 ? 'release' : 'bend';
    changes.push({ alter: kind === 'pre-bend' ? -alter : alter, kind, begin: stage.at, timed });
    level = stage.level;
  }
  return changes;
}

function stagesOfPath(path: BendPath, length: Ticks, held: Cents): readonly Pick<BendStage, 'level' | 'at'>[] {
  const laid = layBend(path, length, held);
  return 'reason' in laid ? [] : laid.stages;
}
