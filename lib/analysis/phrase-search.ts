// Phrases that hold what a query asks for, and where in them.
import { type Place, placeOfTone, type ToneTable } from '../solo/tone-table.js';
import { parseCount } from '../theory/meter.js';
import { selection, type ToneFilter } from './grouping.js';
import { type LineEvent, type LineSegment, wholePhrases } from './line.js';
import type { LengthUnit, Query } from './phrase-query.js';
import { meterOfTone } from './phrase-relation-pair.js';
import { type Run, runFinder, targetTest } from './phrase-search-runs.js';

/** A place that a search has found: from its first tone to its last. */
export interface PhraseMatch extends Place {
  readonly player: string;
  /** Number of the solo in the table. */
  readonly soloNumber: number;
  /** Its tones in order, one for each moment: rows of the tone table. */
  readonly rows: readonly number[];
}

/** What a search has found. */
export interface PhraseSearch {
  readonly query: Query;
  /** In order of the table. */
  readonly matches: readonly PhraseMatch[];
  /** How many phrases the places are in, and how many were searched. */
  readonly phrases: number;
  readonly searched: number;
}

/** What is searched. */
export interface PhraseSearchOptions {
  /** Places only that lie here with every tone. Default: everywhere. */
  readonly where?: ToneFilter;
}

/**
 * Searches all phrases of a table. A place is a run of tones that follow one another in the line of a phrase (a rest does not cut it; ornaments are passed over);
 * of a phrase that is found by conditions alone, or for what it does not hold, it is the whole line. Degrees, notes, steps, contour, rhythm and shape read the
 * line; gestures, strings and frets any tone of a double-stop. Patterns with a gap: from each tone the shortest.
 * @example
 * const table = toneTable([{ id: 'two-doors-down', solo: parseSoloOrThrow(EXAMPLE_SOLO) }])
 * const found = findPhrases(table, degrees(['5', '?', '..', '1'], { over: 'Am7' }))
 * found.matches.map(({ phrase, bar, count }) => `${phrase}: ${bar} ${count}`) // => ['1: 1 1', '1: 1 2']
 */
export function findPhrases(table: ToneTable, query: Query, { where = {} }: PhraseSearchOptions = {}): PhraseSearch {
  const evaluate = evaluator(table, query);
  const mask = selection(table, { where, chordless: true });
  const matches: PhraseMatch[] = [];
  let phrases = 0;
  let searched = 0;
  for (const line of wholePhrases(table)) {
    const { events, solo } = line;
    if (!events.some(({ rows }) => rows.some((row) => mask[row]))) continue;
    searched++;
    const runs = evaluate(line, 0, events.length);
    if (!runs) continue;
    const places = runs.length > 0 ? runs : [{ from: 0, to: events.length, rows: events.map(({ row }) => row) }];
    const kept = places.filter(({ rows }) => rows.every((row) => mask[row]));
    if (kept.length > 0) phrases++;
    const player = table.players[table.playerOfSolo[solo] as number] as string;
    for (const { rows } of kept)
      matches.push({ ...placeOfTone(table, rows[0] as number), player, soloNumber: solo, rows });
  }
  return { query, matches, phrases, searched };
}

/** The places of a query in a stretch of a phrase: none if only conditions hold; `undefined` if it does not hold. */
type Evaluate = (line: LineSegment, from: number, to: number) => readonly Run[] | undefined;

function evaluator(table: ToneTable, query: Query): Evaluate {
  switch (query.kind) {
    case 'pattern': {
      const find = runFinder(table, query);
      return ({ events }, from, to) => {
        const runs = find(events, from, to);
        return runs.length > 0 ? runs : undefined;
      };
    }
    case 'enters':
      return condition((line) => {
        const { row } = line.events[0] as LineEvent;
        return table.columns.offset[row] === parseCount(query.on, meterOfTone(table, row));
      });
    case 'ends': {
      const test = targetTest(table, query.on);
      return condition(({ events }) => test((events[events.length - 1] as LineEvent).row));
    }
    case 'lasts': {
      const { unit, least = 0, most = Number.POSITIVE_INFINITY } = query;
      return condition((line) => {
        const length = lengthIn(table, line, unit);
        return length >= least && length <= most;
      });
    }
    case 'all': {
      const parts = query.parts.map((part) => evaluator(table, part));
      return (line, from, to) => {
        const found: (readonly Run[])[] = [];
        for (const part of parts) {
          const runs = part(line, from, to);
          if (!runs) return undefined;
          found.push(runs);
        }
        return inOrder(found);
      };
    }
    case 'any': {
      const parts = query.parts.map((part) => evaluator(table, part));
      return (line, from, to) => {
        const found = parts.flatMap((part) => {
          const runs = part(line, from, to);
          return runs ? [runs] : [];
        });
        return found.length > 0 ? inOrder(found) : undefined;
      };
    }
    case 'not': {
      const part = evaluator(table, query.part);
      return (line, from, to) => (part(line, from, to) ? undefined : []);
    }
    case 'holding': {
      const outer = evaluator(table, query.outer);
      const inner = query.inner.map((part) => evaluator(table, part));
      return (line, from, to) => {
        const runs = outer(line, from, to);
        if (!runs) return undefined;
        if (runs.length === 0) return inner.every((part) => part(line, from, to)) ? [] : undefined;
        const kept = runs.filter((run) => inner.every((part) => part(line, run.from, run.to)));
        return kept.length > 0 ? kept : undefined;
      };
    }
  }
}

/** A condition looks at the whole phrase, wherever it is asked. */
const condition =
  (holds: (line: LineSegment) => boolean): Evaluate =>
  (line) =>
    holds(line) ? [] : undefined;

/** Runs of several lists in order of time, each once. */
function inOrder(lists: readonly (readonly Run[])[]): readonly Run[] {
  if (lists.length === 1) return lists[0] as readonly Run[];
  const seen = new Map<string, Run>();
  for (const run of lists.flat()) seen.set(run.rows.join(), run);
  return [...seen.values()].sort((a, b) => a.from - b.from || a.to - b.to);
}

function lengthIn(table: ToneTable, { events }: LineSegment, unit: LengthUnit): number {
  if (unit === 'tones') return events.length;
  const { onset, row } = events[0] as LineEvent;
  let end = onset;
  for (const event of events)
    for (const tone of event.rows) end = Math.max(end, event.onset + (table.columns.ticks[tone] as number));
  const { barTicks, beatTicks } = meterOfTone(table, row);
  return (end - onset) / (unit === 'bars' ? barTicks : beatTicks);
}
