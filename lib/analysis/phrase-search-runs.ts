// Where a pattern is found in a line: its elements as tests of tones, tried from every tone.
import { ROLES } from '../solo/harmony.js';
import { FLAG, type ToneTable } from '../solo/tone-table.js';
import { type Degree, parseDegree } from '../theory/interval.js';
import { isMeant } from './grouping.js';
import type { LineEvent } from './line.js';
import type { Pattern } from './phrase-query.js';
import {
  ANY,
  GAP,
  type GestureTest,
  LOOK_FACTS,
  type NeckSpot,
  readGesture,
  readLength,
  readPitch,
  readSpot,
  readStep,
  readTarget,
} from './query-elements.js';

/** Events of a phrase from one number up to, not including, another, with the tone of each that fits: a row of the tone table. */
export interface Run {
  readonly from: number;
  readonly to: number;
  readonly rows: readonly number[];
}

/** Finds the runs of one pattern that lie from one event up to, not including, another. */
export type RunFinder = (events: readonly LineEvent[], from: number, to: number) => readonly Run[];

/** True if one tone of an event fits. */
type ToneTest = (row: number, events: readonly LineEvent[], i: number) => boolean;

const always: ToneTest = () => true;

/**
 * A finder of a pattern. With gaps, of all runs from one tone the shortest is found: the parts between gaps are each taken as early as they come, and since a
 * test looks at one tone and the one before it, no later choice could end sooner.
 */
export function runFinder(table: ToneTable, pattern: Pattern): RunFinder {
  const { look, elements } = pattern;
  const { moves, voices, relative } = LOOK_FACTS[look];
  const limits = limitsOf(table, pattern);
  const tests = elements.map((e) =>
    e === GAP ? undefined : e === ANY || relative ? always : toneTest(table, pattern, e),
  );
  if (moves) tests.unshift(always); // the tone that the first move leads from
  if (pattern.startingOn !== undefined) tests[0] = both(tests[0] as ToneTest, targetTest(table, pattern.startingOn));
  const end = tests.length - 1;
  if (pattern.endingOn !== undefined) tests[end] = both(tests[end] as ToneTest, targetTest(table, pattern.endingOn));
  const parts = partsOf(tests);
  const holds = relative ? relativeTest(table, pattern) : () => true;
  const fits = (test: ToneTest, events: readonly LineEvent[], i: number): number => {
    const event = events[i] as LineEvent;
    if (!voices) return limits(event.row) && test(event.row, events, i) ? event.row : -1;
    for (const row of event.rows) if (limits(row) && test(row, events, i)) return row;
    return -1;
  };
  const put = (part: readonly ToneTest[], events: readonly LineEvent[], at: number, rows: number[]): boolean => {
    const before = rows.length;
    for (let k = 0; k < part.length; k++) {
      const row = fits(part[k] as ToneTest, events, at + k);
      if (row < 0) {
        rows.length = before;
        return false;
      }
      rows.push(row);
    }
    return true;
  };
  const runFrom = (events: readonly LineEvent[], from: number, to: number): Run | undefined => {
    const rows: number[] = [];
    let at = from;
    for (const part of parts) {
      for (; at + part.length <= to && !put(part, events, at, rows); at++) {
        const row = part === parts[0] ? -1 : fits(always, events, at); // a tone of the gap
        if (row < 0) return undefined;
        rows.push(row);
      }
      if (at + part.length > to) return undefined;
      at += part.length;
    }
    return { from, to: at, rows };
  };
  return (events, from, to) => {
    const runs: Run[] = [];
    for (let i = from; i < to; i++) {
      const run = runFrom(events, i, to);
      if (run && holds(events, i)) runs.push(run);
    }
    return runs;
  };
}

const both =
  (one: ToneTest, other: ToneTest): ToneTest =>
  (row, events, i) =>
    one(row, events, i) && other(row, events, i);

/** The stretches between gaps. */
function partsOf(tests: readonly (ToneTest | undefined)[]): readonly (readonly ToneTest[])[] {
  const parts: ToneTest[][] = [[]];
  for (const test of tests) {
    if (test) (parts[parts.length - 1] as ToneTest[]).push(test);
    else parts.push([]);
  }
  return parts;
}

/** What every tone of a run must be. */
function limitsOf(table: ToneTable, { over, onString }: Pattern): (row: number) => boolean {
  const { chord, function: functions, string } = table.columns;
  const isChord = over === undefined ? [] : table.chords.map((label) => isMeant(label, over, 'chord'));
  const isFunction = over === undefined ? [] : table.functions.map((label) => isMeant(label, over, 'chord'));
  return (row) =>
    (over === undefined || isChord[chord[row] as number] === true || isFunction[functions[row] as number] === true) &&
    (onString === undefined || string[row] === onString);
}

/** A degree without `+` takes the quarter-tone above it too, as counts do. */
const isDegree = (wanted: Degree, semitones: number, flags: number): boolean =>
  semitones === wanted.semitones && (!wanted.plus || (flags & FLAG.plus) !== 0);

function toneTest(table: ToneTable, { look, of }: Pattern, element: string): ToneTest {
  const { columns: c } = table;
  const pitchAt = (events: readonly LineEvent[], i: number) => c.pitch[(events[i] as LineEvent).row] as number;
  switch (look) {
    case 'degrees': {
      const wanted = parseDegree(element) as Degree;
      const degrees = of === 'key' ? c.degreeOverKey : c.degree;
      return (row) => isDegree(wanted, degrees[row] as number, c.flags[row] as number);
    }
    case 'notes': {
      const { pitch, anyOctave } = readPitch(element) as NonNullable<ReturnType<typeof readPitch>>;
      return (row) => (anyOctave ? ((c.pitch[row] as number) - pitch) % 1200 === 0 : c.pitch[row] === pitch);
    }
    case 'steps': {
      const step = readStep(element) as number;
      return (_row, events, i) => pitchAt(events, i) - pitchAt(events, i - 1) === step;
    }
    case 'contour': {
      const sign = element === 'up' ? 1 : element === 'down' ? -1 : 0;
      return (_row, events, i) => Math.sign(pitchAt(events, i) - pitchAt(events, i - 1)) === sign;
    }
    case 'gestures': {
      const tests = readGesture(element) as readonly GestureTest[];
      return (row) => tests.every((test) => hasGesture(table, row, test));
    }
    case 'strings':
      return (row) => c.string[row] === Number(element);
    case 'frets': {
      const { string, fret } = readSpot(element) as NeckSpot;
      return (row) => c.string[row] === string && c.fret[row] === fret;
    }
    default: {
      const length = readLength(element);
      return (_row, events, i) => lengthAt(events, i) === length;
    }
  }
}

/** A curl is a bend of less than a semitone. */
function hasGesture({ columns: c }: ToneTable, row: number, test: GestureTest): boolean {
  if ('start' in test) return c.start[row] === test.start;
  return c.reached[row] === test.reached && (!test.curl || (c.level[row] as number) < 100);
}

/** The distance to the next onset; of the last tone, how long it sounds. */
function lengthAt(events: readonly LineEvent[], i: number): number {
  const { onset, end } = events[i] as LineEvent;
  return (events[i + 1]?.onset ?? end) - onset;
}

/** Rhythm and shape: every element against the first that is written. */
function relativeTest(
  { columns: c }: ToneTable,
  { look, elements }: Pattern,
): (events: readonly LineEvent[], from: number) => boolean {
  const written = elements.flatMap((element, k) => (element === ANY ? [] : [{ element, k }]));
  const base = (written[0] as { readonly k: number }).k;
  if (look === 'rhythm') {
    const lengths = written.map(({ element, k }) => ({ length: readLength(element) as number, k }));
    const unit = (lengths[0] as { readonly length: number }).length;
    return (events, from) => {
      const here = lengthAt(events, from + base);
      return lengths.every(({ length, k }) => lengthAt(events, from + k) * unit === here * length);
    };
  }
  const spots = written.map(({ element, k }) => ({ ...(readSpot(element) as NeckSpot), k }));
  const first = spots[0] as NeckSpot;
  return (events, from) => {
    const at = (k: number) => (events[from + k] as LineEvent).row;
    const here = at(base);
    return spots.every(
      ({ string, fret, k }) =>
        (c.string[at(k)] as number) - (c.string[here] as number) === string - first.string &&
        (c.fret[at(k)] as number) - (c.fret[here] as number) === fret - first.fret,
    );
  };
}

/** Whether a tone is a degree, or a member of its chord. */
export function targetTest(table: ToneTable, text: string): (row: number) => boolean {
  const { columns: c } = table;
  const target = readTarget(text);
  if (!target) throw new RangeError(`"${text}" is nothing to end on: give a degree such as b3, or the third`);
  if ('member' in target) {
    const role = ROLES.indexOf(target.member);
    return (row) => c.role[row] === role;
  }
  const degrees = target.of === 'key' ? c.degreeOverKey : c.degree;
  return (row) => isDegree(target.degree, degrees[row] as number, c.flags[row] as number);
}
