// Ways to read a line as symbols: shape, pitch, steps, contour, degree, rhythm, gesture, and compositions of these.
import { REACHED, TONE_STARTS } from '../guitar/technique.js';
import { MISSING, type ToneTable } from '../solo/tone-table.js';
import { DEGREE_NAMES } from '../theory/interval.js';
import type { LineEvent, LineSegment } from './line.js';

/**
 * A way to read a line. A symbol stands for an event in the light of the `reach` events before it: a step needs one, a ratio of two distances two.
 * So a run of m symbols covers m + reach tones.
 */
export interface Viewpoint {
  /** Its name, as in `steps` or `degree+gesture`. */
  readonly name: string;
  /** What two runs that read alike have in common, in a player's words. */
  readonly meaning: string;
  readonly reach: 0 | 1 | 2;
  /** The symbol of the event at an index of a segment, `index >= reach`. Equal texts are equal symbols. */
  readonly read: (table: ToneTable, events: readonly LineEvent[], index: number) => string;
  /**
   * True if a symbol only goes on as the ones before it did, as in a run up a scale, in even notes, or in rocking between two neighbours: what anybody
   * would play next, and so nothing that tells one motif from another. `earlier` is the symbol two before it, if there is one. Absent where that
   * cannot be said.
   */
  readonly goesOn?: (before: string, symbol: string, earlier: string | undefined) => boolean;
}

const at = (events: readonly LineEvent[], i: number): LineEvent => events[i] as LineEvent;

/** The same strings and frets moved: how far string and fret lie from those of the event before, of all tones of an event. */
const shape: Viewpoint = {
  name: 'shape',
  meaning: 'the same movement of the hand on the neck',
  reach: 1,
  read({ columns: c }, events, i) {
    const before = at(events, i - 1).row;
    const from = (row: number) =>
      `${(c.string[row] as number) - (c.string[before] as number)},${(c.fret[row] as number) - (c.fret[before] as number)},${c.level[row]}`;
    return at(events, i).rows.map(from).join(' ');
  },
};

/** The same sounding pitches, all tones of an event. */
const pitch: Viewpoint = {
  name: 'pitch',
  meaning: 'the same pitches',
  reach: 0,
  read: ({ columns: c }, events, i) =>
    [...new Set(at(events, i).rows.map((row) => c.pitch[row] as number))].sort((a, b) => b - a).join(' '),
};

/** Steps of the line in cents. */
const steps: Viewpoint = {
  name: 'steps',
  meaning: 'the same steps, perhaps from another note',
  reach: 1,
  read: ({ columns: c }, events, i) =>
    String((c.pitch[at(events, i).row] as number) - (c.pitch[at(events, i - 1).row] as number)),
  // On by step the same way (the scale says whether it is a half or a whole one), or to and fro by the same step once more.
  goesOn: (before, symbol, earlier) =>
    isScaleStep(before) &&
    isScaleStep(symbol) &&
    (before.startsWith('-') === symbol.startsWith('-') || (symbol === earlier && Number(before) === -Number(symbol))),
};

const isScaleStep = (cents: string): boolean => Math.abs(Number(cents)) >= 50 && Math.abs(Number(cents)) <= 200;

/** Up, down or level. */
const contour: Viewpoint = {
  name: 'contour',
  meaning: 'the same ups and downs',
  reach: 1,
  read({ columns: c }, events, i) {
    const step = (c.pitch[at(events, i).row] as number) - (c.pitch[at(events, i - 1).row] as number);
    return step > 0 ? 'up' : step < 0 ? 'down' : 'level';
  },
  goesOn: (before, symbol) => before === symbol,
};

/** Degree over the chord of the moment, a quarter-tone told apart; `-` without a chord. */
const degree: Viewpoint = {
  name: 'degree',
  meaning: 'the same degrees over the chord of the moment',
  reach: 0,
  read({ columns: c }, events, i) {
    const { row } = at(events, i);
    const above = c.degree[row] as number;
    return above === MISSING ? '-' : `${DEGREE_NAMES[above]}${(c.pitch[row] as number) % 100 === 0 ? '' : '+'}`;
  },
};

/** The ratio of the distance to this onset and the distance before it, in lowest terms: the same at any tempo or note value. */
const rhythm: Viewpoint = {
  name: 'rhythm',
  meaning: 'the same rhythm, perhaps in other note values',
  reach: 2,
  read(_table, events, i) {
    const before = at(events, i - 1).onset - at(events, i - 2).onset;
    const now = at(events, i).onset - at(events, i - 1).onset;
    const shared = gcd(before, now);
    return `${now / shared}:${before / shared}`;
  },
  goesOn: (_before, symbol) => symbol === '1:1',
};

/** The distance to this onset in ticks: the same note values. */
const durations: Viewpoint = {
  name: 'durations',
  meaning: 'the same note values',
  reach: 1,
  read: (_table, events, i) => String(at(events, i).onset - at(events, i - 1).onset),
  goesOn: (before, symbol) => before === symbol,
};

/** How the tone begins and how its pitch is reached. */
const gesture: Viewpoint = {
  name: 'gesture',
  meaning: 'the same gestures of the hands',
  reach: 0,
  read({ columns: c }, events, i) {
    const { row } = at(events, i);
    return `${TONE_STARTS[c.start[row] as number]} ${REACHED[c.reached[row] as number]}`;
  },
  goesOn: (before, symbol) => before === symbol,
};

const gcd = (a: number, b: number): number => (b === 0 ? a || 1 : gcd(b, a % b));

/** The simple viewpoints by name. */
export const VIEWPOINTS: readonly Viewpoint[] = [shape, pitch, steps, contour, degree, rhythm, durations, gesture];

/**
 * Two or more viewpoints read at once: alike only where all are alike.
 * @example
 * compose(viewpoint('steps'), viewpoint('rhythm')).name // => 'steps+rhythm'
 */
export function compose(...parts: readonly Viewpoint[]): Viewpoint {
  return {
    name: parts.map((p) => p.name).join('+'),
    meaning: parts.map((p) => p.meaning).join(', and '),
    reach: Math.max(0, ...parts.map((p) => p.reach)) as Viewpoint['reach'],
    read: (table, events, i) => parts.map((p) => p.read(table, events, i)).join('|'),
    // It only goes on if every part does; a part that cannot say so tells something each time.
    ...(parts.every((p) => p.goesOn !== undefined) && {
      goesOn: (before: string, symbol: string, earlier: string | undefined) => {
        const was = before.split('|');
        const had = earlier?.split('|');
        return symbol
          .split('|')
          .every((text, k) => (parts[k] as Viewpoint).goesOn?.(was[k] as string, text, had?.[k]) === true);
      },
    }),
  };
}

/**
 * A viewpoint by its name; names joined with `+` are composed.
 * @throws RangeError that lists the names, for one that is none of them
 * @example
 * viewpoint('degree+gesture').reach // => 0
 */
export function viewpoint(name: string): Viewpoint {
  const parts = name.split('+').map((part) => {
    const found = VIEWPOINTS.find((v) => v.name === part.trim());
    if (!found)
      throw new RangeError(
        `"${part}" is no viewpoint; there are: ${VIEWPOINTS.map((v) => v.name).join(', ')}, joined with + where both are meant`,
      );
    return found;
  });
  return parts.length === 1 ? (parts[0] as Viewpoint) : compose(...parts);
}

/** A corpus read in one viewpoint: the symbols of every segment, one after the other, and what each stands for. */
export interface Reading {
  readonly viewpoint: Viewpoint;
  readonly segments: readonly LineSegment[];
  /** Symbols of all segments; segment `s` has those from `starts[s]` up to, not including, `starts[s + 1]`. */
  readonly symbols: Int32Array;
  readonly starts: Int32Array;
  /** What each symbol stands for. */
  readonly alphabet: readonly string[];
}

/**
 * Reads segments in a viewpoint. A segment of n events gives n - reach symbols, none if it is too short.
 * @example
 * const table = toneTable([{ id: 'two-doors-down', solo: parseSoloOrThrow(EXAMPLE_SOLO) }])
 * const read = readLines(table, linesOf(table), viewpoint('contour'));
 * Array.from(read.symbols.subarray(read.starts[0], read.starts[1]), (s) => read.alphabet[s]) // => ['up', 'level', 'up', 'up']
 */
export function readLines(table: ToneTable, segments: readonly LineSegment[], view: Viewpoint): Reading {
  const starts: Int32Array = new Int32Array(segments.length + 1);
  segments.forEach((segment, s) => {
    starts[s + 1] = (starts[s] as number) + Math.max(0, segment.events.length - view.reach);
  });
  const symbols: Int32Array = new Int32Array(starts[segments.length] as number);
  const codes = new Map<string, number>();
  let k = 0;
  for (const { events } of segments)
    for (let i = view.reach; i < events.length; i++) {
      const text = view.read(table, events, i);
      let code = codes.get(text);
      if (code === undefined) {
        code = codes.size;
        codes.set(text, code);
      }
      symbols[k++] = code;
    }
  return { viewpoint: view, segments, symbols, starts, alphabet: [...codes.keys()] };
}
