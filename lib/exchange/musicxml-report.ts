// What became of a score as it was read: what was chosen, what was approximated, what was dropped, and where.
import type { DocumentFault, XmlNode } from './musicxml-xml.js';

/** A place in a score: the part, the measure as the file numbers it, the note counted in its measure from 1, and the line of the file. */
export interface ScorePlace {
  readonly part: string;
  readonly measure: string;
  readonly note?: number;
  readonly line: number;
  readonly column: number;
  /** What is special about this place. */
  readonly detail?: string;
}

/** One kind of thing that was not carried over exactly, and its places. */
export interface ScoreEntry {
  /** `chosen`: one of several was taken; `approximated`: it is there, not exactly; `dropped`: it is not there. */
  readonly kind: 'chosen' | 'approximated' | 'dropped';
  /** A stable name, such as `voice`. */
  readonly code: string;
  readonly message: string;
  /** How often. */
  readonly count: number;
  /** Where; the first hundred. */
  readonly places: readonly ScorePlace[];
}

/** Everything that became of a score. */
export interface ScoreReport {
  /** The program that wrote the file, as it says itself. */
  readonly program: string;
  /** The name of the part that was read. */
  readonly part: string;
  /** What was read and how much of it: notes, ties, tuplets, bends, chord symbols. */
  readonly read: Readonly<Record<string, number>>;
  readonly entries: readonly ScoreEntry[];
}

const MOST_PLACES = 100;

/** Collects a report. `quiet` entries stand in the report but are no warnings: they change no number. */
export interface Reporter {
  count(what: string, times?: number): void;
  say(
    kind: ScoreEntry['kind'],
    code: string,
    message: string,
    at?: Partial<ScorePlace> | XmlNode,
    options?: { readonly detail?: string; readonly quiet?: boolean },
  ): void;
  finish(program: string, part: string): ScoreReport;
  /** One warning for each entry that is not quiet, at its first place. */
  warnings(): readonly DocumentFault[];
}

/** A new, empty reporter. */
export function reporter(): Reporter {
  const read: Record<string, number> = {};
  const entries = new Map<
    string,
    { -readonly [F in keyof ScoreEntry]: ScoreEntry[F] } & { places: ScorePlace[]; quiet: boolean }
  >();
  return {
    count(what, times = 1) {
      read[what] = (read[what] ?? 0) + times;
    },
    say(kind, code, message, at, { detail, quiet = false } = {}) {
      const key = `${kind} ${code} ${message}`;
      let entry = entries.get(key);
      if (!entry) {
        entry = { kind, code, message, count: 0, places: [], quiet };
        entries.set(key, entry);
      }
      entry.count++;
      if (entry.places.length < MOST_PLACES) {
        const { part = '', measure = '', note, line = 1, column = 1 } = (at ?? {}) as Partial<ScorePlace>;
        entry.places.push({
          part,
          measure,
          ...(note !== undefined && { note }),
          line,
          column,
          ...(detail !== undefined && { detail }),
        });
      }
    },
    finish: (program, part) => ({
      program,
      part,
      read,
      entries: [...entries.values()].map(({ quiet: _, ...entry }) => entry),
    }),
    warnings: () =>
      [...entries.values()]
        .filter((e) => !e.quiet)
        .map((e) => {
          const { line, column, detail } = e.places[0] as ScorePlace;
          return {
            code: e.code,
            severity: 'warning' as const,
            place: { line, column, endLine: line, endColumn: column + 1 },
            message: `${e.message}${detail === undefined ? '' : ` (${detail})`}${e.count === 1 ? placeText(e.places[0] as ScorePlace) : `: ${e.count} times, first${placeText(e.places[0] as ScorePlace)}`}`,
          };
        }),
  };
}

const placeText = ({ measure, note }: ScorePlace): string =>
  measure === '' ? '' : ` in measure ${measure}${note === undefined ? '' : `, note ${note}`}`;

/**
 * A report as a person reads it: what was read, then each thing that was chosen, approximated or dropped, with its places.
 * @example
 * scoreReportText({ program: '', part: 'Guitar', read: { notes: 2 }, entries: [] }) // => 'part Guitar: 2 notes'
 */
export function scoreReportText(report: ScoreReport): string {
  const read = Object.entries(report.read).map(([what, n]) => `${n} ${what}`);
  const by = report.program === '' ? '' : ` (written by ${report.program})`;
  const lines = [`part ${report.part}${by}: ${read.join(', ')}`];
  for (const { kind, message, count, places } of report.entries) {
    lines.push(`${kind}: ${message}${count > 1 ? ` (${count} times)` : ''}`);
    for (const place of places.slice(0, 5)) {
      const where = `${place.part === '' ? '' : `${place.part}, `}${placeText(place).trim()}`.replace(/, $/, '');
      if (where !== '' || place.detail !== undefined)
        lines.push(`  ${[where, place.detail].filter((t) => t).join(': ')}`);
    }
    if (count > 5) lines.push(`  and ${count - Math.min(5, places.length)} more`);
  }
  return lines.join('\n');
}
