// Arbitrary queries over small alphabets, so that they are often found; and a search that tries everything, written from the definitions.
import fc from 'fast-check';
import { wholePhrases } from '../../lib/analysis/line.js';
import {
  contour,
  degrees,
  durations,
  endsOn,
  entersOn,
  gesture,
  holding,
  type Limits,
  lasts,
  not,
  type Pattern,
  patternOf,
  type Query,
  steps,
} from '../../lib/analysis/phrase-query.js';
import type { PatternLook } from '../../lib/analysis/query-elements.js';
import { gridOf } from '../../lib/solo/solo.js';
import { hasFlag, type NamedSolo, placeOfTone, type ToneTable, toneName } from '../../lib/solo/tone-table.js';
import { DEGREE_NAMES } from '../../lib/theory/interval.js';

const TARGETS = [
  '1',
  '3',
  '5',
  'b3',
  'b7',
  'b3+',
  '5 of the key',
  '1 of the key',
  'the root',
  'the third',
  'the fifth',
];
const ELEMENTS: Readonly<Record<PatternLook, readonly string[]>> = {
  degrees: [...DEGREE_NAMES, 'b3+', '6+'],
  notes: ['C', 'D', 'Eb', 'E', 'F#', 'G', 'A', 'Bb', 'G4', 'E4', 'C5', 'E4+'],
  steps: ['0', '1', '2', '3', '-2', '-3', '5', '-5', '0.5'],
  contour: ['up', 'down', 'level'],
  durations: ['e', 'q', 's', 'q.'],
  rhythm: ['e', 'q', 's'],
  gestures: ['picked', 'straight', 'bent', 'curled', 'picked+straight', 'hammered', 'prebent', 'released'],
  strings: ['2', '3', '4'],
  frets: ['5@3', '7@3', '8@3', '5@2', '7@2', '8@2'],
  shape: ['5@3', '7@3', '8@3', '5@2', '7@2'],
};

const limits: fc.Arbitrary<Limits> = fc
  .record({
    over: fc.option(fc.constantFrom('C7', 'F7', 'Am7', 'I', 'IV', 'N.C.', 'vi'), { freq: 2, nil: undefined }),
    onString: fc.option(fc.constantFrom(2, 3), { freq: 2, nil: undefined }),
    startingOn: fc.option(fc.constantFrom(...TARGETS), { freq: 2, nil: undefined }),
    endingOn: fc.option(fc.constantFrom(...TARGETS), { freq: 2, nil: undefined }),
  })
  .map((found) => Object.fromEntries(Object.entries(found).filter(([, value]) => value !== undefined)) as Limits);

const rarely = (all: fc.Arbitrary<Limits>): fc.Arbitrary<Limits> =>
  fc.oneof({ weight: 2, arbitrary: fc.constant<Limits>({}) }, all);

const patterns: fc.Arbitrary<Pattern> = fc.constantFrom(...(Object.keys(ELEMENTS) as PatternLook[])).chain((look) => {
  const one = fc.oneof({ weight: 3, arbitrary: fc.constantFrom(...ELEMENTS[look]) }, fc.constant('?'));
  const relative = look === 'rhythm' || look === 'shape';
  const written = fc.constantFrom(...ELEMENTS[look]);
  const elements = relative
    ? fc.tuple(written, fc.array(one, { maxLength: 2 }), written).map(([a, more, b]) => [a, ...more, b])
    : fc
        .array(fc.tuple(one, fc.constantFrom(false, false, true)), { minLength: 1, maxLength: 4 })
        .map((all) => all.flatMap(([e, gap], k) => (gap && k > 0 ? ['..', e] : [e])));
  return fc
    .tuple(elements, rarely(limits), fc.boolean())
    .map(([found, limit, ofKey]) =>
      look === 'degrees' && ofKey ? degrees(found, { ...limit, of: 'key' }) : patternOf(look, found, limit),
    );
});

const conditions: fc.Arbitrary<Query> = fc.oneof(
  fc.constantFrom('1', '2', '3&', '4', '1&').map(entersOn),
  fc.constantFrom(...TARGETS).map(endsOn),
  fc
    .tuple(fc.constantFrom('tones', 'beats', 'bars'), fc.option(fc.nat(8)), fc.option(fc.nat(8)))
    .map(([unit, a, b]) => {
      if (a === null && b === null) return lasts(unit, { least: 1.5 });
      if (a === null || b === null) return lasts(unit, a === null ? { most: b as number } : { least: a });
      return lasts(unit, { least: Math.min(a, b), most: Math.max(a, b) });
    }),
);

/** Queries of any kind. */
export const queries: fc.Arbitrary<Query> = fc.letrec<{ query: Query }>((tie) => {
  const several = fc.array(tie('query'), { minLength: 2, maxLength: 3 });
  return {
    query: fc.oneof(
      { depthSize: 'small', withCrossShrink: true },
      { weight: 5, arbitrary: patterns },
      { weight: 2, arbitrary: conditions },
      { weight: 1, arbitrary: several.map((parts): Query => ({ kind: 'all', parts })) },
      { weight: 1, arbitrary: several.map((parts): Query => ({ kind: 'any', parts })) },
      { weight: 1, arbitrary: tie('query').map(not) },
      { weight: 2, arbitrary: several.map(([outer, ...inner]) => holding(outer as Query, ...inner)) },
    ),
  };
}).query;

/** A few that are found in the demo solos. */
export const FOUND: readonly Query[] = [
  degrees(['5', '6', '1'], { over: 'IV' }),
  contour(['up', 'up', 'down'], { endingOn: 'the third' }),
  gesture(['prebent'], { onString: 3 }),
  entersOn('3&'),
  steps([2, 2, -4]),
  durations(['e', 'e', 'q']),
];

/** A place as numbers: solo, phrase, first and last tone of the line. */
export type Spot = readonly [solo: number, phrase: number, from: number, last: number];

interface Event {
  readonly row: number;
  readonly rows: readonly number[];
  readonly onset: number;
  readonly end: number;
}

const TICKS: Readonly<Record<string, number>> = { s: 5040, e: 10080, q: 20160, 'q.': 30240 };

/** All places of a query: every run of every phrase is tried. */
export function searchedNaively(table: ToneTable, query: Query): readonly Spot[] {
  const spots: Spot[] = [];
  for (const { solo, phrase, events } of wholePhrases(table)) {
    const naive = new Naive(table, events);
    if (!naive.holds(query, 0, events.length)) continue;
    const places = naive.places(query, 0, events.length);
    const found = places.length > 0 ? places : [[0, events.length - 1] as const];
    for (const [from, last] of found) spots.push([solo, phrase, from, last]);
  }
  return spots;
}

class Naive {
  constructor(
    readonly table: ToneTable,
    readonly events: readonly Event[],
  ) {}

  /** Runs, first and last tone, that a query is found at between two tones. */
  places(query: Query, from: number, to: number): readonly (readonly [number, number])[] {
    const each = (parts: readonly Query[]) => {
      const all = parts.filter((p) => this.holds(p, from, to)).flatMap((p) => this.places(p, from, to));
      const once = [...new Map(all.map((run) => [run.join(), run])).values()];
      return once.sort((a, b) => a[0] - b[0] || a[1] - b[1]);
    };
    switch (query.kind) {
      case 'pattern': {
        const found: (readonly [number, number])[] = [];
        for (let a = from; a < to; a++)
          for (let b = a; b < to; b++)
            if (this.fits(query, a, b)) {
              found.push([a, b]);
              break;
            }
        return found;
      }
      case 'all':
      case 'any':
        return each(query.parts);
      case 'holding':
        return this.places(query.outer, from, to).filter(([a, b]) =>
          query.inner.every((part) => this.holds(part, a, b + 1)),
        );
      default:
        return [];
    }
  }

  holds(query: Query, from: number, to: number): boolean {
    const first = this.events[0] as Event;
    const last = this.events[this.events.length - 1] as Event;
    switch (query.kind) {
      case 'pattern':
        return this.places(query, from, to).length > 0;
      case 'all':
        return query.parts.every((part) => this.holds(part, from, to));
      case 'any':
        return query.parts.some((part) => this.holds(part, from, to));
      case 'not':
        return !this.holds(query.part, from, to);
      case 'holding':
        if (!this.holds(query.outer, from, to)) return false;
        if (this.places(query.outer, from, to).length > 0) return this.places(query, from, to).length > 0;
        return query.inner.every((part) => this.holds(part, from, to));
      case 'enters':
        return placeOfTone(this.table, first.row).count === query.on;
      case 'ends':
        return this.is(last.row, query.on);
      case 'lasts': {
        const { columns, solos } = this.table;
        const { solo } = solos[columns.solo[first.row] as number] as NamedSolo;
        const { meter } = gridOf(solo).bar(columns.bar[first.row] as number);
        const ends = this.events.flatMap((e) => e.rows.map((row) => e.onset + (columns.ticks[row] as number)));
        const span = Math.max(...ends) - first.onset;
        const length = { tones: this.events.length, beats: span / meter.beatTicks, bars: span / meter.barTicks };
        return (
          length[query.unit] >= (query.least ?? 0) && length[query.unit] <= (query.most ?? Number.POSITIVE_INFINITY)
        );
      }
    }
  }

  /** Whether a pattern takes just the tones from a to b. */
  fits(pattern: Pattern, a: number, b: number): boolean {
    const { look, elements, over, onString, startingOn, endingOn } = pattern;
    const { columns: c, chords, functions } = this.table;
    const line = look !== 'gestures' && look !== 'strings' && look !== 'frets';
    const tone = (k: number, element: string): boolean => {
      const event = this.events[k] as Event;
      return (line ? [event.row] : event.rows).some(
        (row) =>
          (over === undefined ||
            chords[c.chord[row] as number] === over ||
            functions[c.function[row] as number] === over) &&
          (onString === undefined || c.string[row] === onString) &&
          (k !== a || startingOn === undefined || this.is(row, startingOn)) &&
          (k !== b || endingOn === undefined || this.is(row, endingOn)) &&
          (element === '?' || this.tone(pattern, element, row, k)),
      );
    };
    const all = look === 'steps' || look === 'contour' ? ['?', ...elements] : elements;
    const rest = (e: number, k: number): boolean => {
      if (e === all.length) return k === b + 1;
      if (k > b) return all[e] === '..' && rest(e + 1, k);
      if (all[e] === '..') return rest(e + 1, k) || (tone(k, '?') && rest(e, k + 1));
      return tone(k, all[e] as string) && rest(e + 1, k + 1);
    };
    return rest(0, a) && this.alike(pattern, a);
  }

  /** Rhythm and shape: every two elements stand to one another as their tones do. */
  alike({ look, elements }: Pattern, a: number): boolean {
    if (look !== 'rhythm' && look !== 'shape') return true;
    const { string, fret } = this.table.columns;
    const pairs = elements.flatMap((e, i) => elements.slice(i + 1).map((f, j) => [e, f, i, i + 1 + j] as const));
    return pairs.every(([e, f, i, j]) => {
      if (e === '?' || f === '?') return true;
      if (look === 'rhythm')
        return this.length(a + i) * (TICKS[f] as number) === this.length(a + j) * (TICKS[e] as number);
      const [row, other] = [this.events[a + i]?.row as number, this.events[a + j]?.row as number];
      const [from, to] = [e, f].map((spot) => spot.split('@').map(Number)) as [number[], number[]];
      return (
        (fret[other] as number) - (fret[row] as number) === (to[0] as number) - (from[0] as number) &&
        (string[other] as number) - (string[row] as number) === (to[1] as number) - (from[1] as number)
      );
    });
  }

  length(k: number): number {
    const { onset, end } = this.events[k] as Event;
    return (this.events[k + 1]?.onset ?? end) - onset;
  }

  degree(row: number, text: string, ofKey: boolean): boolean {
    const { degree, degreeOverKey } = this.table.columns;
    const name = DEGREE_NAMES[(ofKey ? degreeOverKey : degree)[row] as number];
    return name === text || (hasFlag(this.table, row, 'plus') && `${name}+` === text);
  }

  /** Root, third and fifth by the degrees that they have in the chords of the made solos: C7, F7, Am7, D7. */
  is(row: number, target: string): boolean {
    const chord = this.table.chords[this.table.columns.chord[row] as number] as string;
    if (target === 'the root') return this.table.columns.degree[row] === 0;
    if (target === 'the third') return this.table.columns.degree[row] === (chord === 'Am7' ? 3 : 4);
    if (target === 'the fifth') return this.table.columns.degree[row] === 7;
    return this.degree(row, target.replace(' of the key', ''), target.endsWith('key'));
  }

  tone({ look, of }: Pattern, element: string, row: number, k: number): boolean {
    const { columns: c } = this.table;
    const step = k > 0 ? (c.pitch[row] as number) - (c.pitch[this.events[k - 1]?.row as number] as number) : Number.NaN;
    switch (look) {
      case 'degrees':
        return this.degree(row, element, of === 'key');
      case 'notes': {
        const name = toneName(this.table, row);
        const sharps: Readonly<Record<string, string>> = { 'D#': 'Eb', Gb: 'F#', 'A#': 'Bb' };
        const plain = name.replace(/^[A-G][b#]/, (n) => sharps[n] ?? n);
        return element === plain || (/^[A-G][b#]?$/.test(element) && plain.replace(/-?\d$/, '') === element);
      }
      case 'steps':
        return step === Number(element) * 100;
      case 'contour':
        return element === (step > 0 ? 'up' : step < 0 ? 'down' : 'level');
      case 'durations':
        return this.length(k) === TICKS[element];
      case 'gestures': {
        const start = ['picked', 'hammered', 'pulled', 'slid', 'tapped', 'none'][c.start[row] as number];
        const reached = ['straight', 'bent', 'prebent', 'held', 'released'][c.reached[row] as number];
        const own = [start, reached, ...(reached === 'bent' && (c.level[row] as number) === 50 ? ['curled'] : [])];
        return element.split('+').every((word) => own.includes(word));
      }
      case 'strings':
        return String(c.string[row]) === element;
      case 'frets':
        return `${c.fret[row]}@${c.string[row]}` === element;
      default:
        return true; // rhythm and shape are read as wholes
    }
  }
}
