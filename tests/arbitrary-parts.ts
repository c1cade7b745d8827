// Arbitrary parts of a solo: lengths, meters, keys, guitars, texts, chords, changes. `arbitraries.ts` makes solos of them.
import fc from 'fast-check';
import { QUARTER } from '../lib/foundation/time.js';
import { barNumber, midiKey, type Ticks, ticks } from '../lib/foundation/units.js';
import type { Guitar } from '../lib/guitar/fretboard.js';
import { barGrid, type Changes, type ChordEntry, type Feel, type Opening, type Setting } from '../lib/solo/changes.js';
import { type Meter, parseMeter } from '../lib/theory/meter.js';
import { pitchName } from '../lib/theory/pitch.js';
import { type Key, keyOf, MODES } from '../lib/theory/scale.js';

const times = (share: number): Ticks => ticks(QUARTER * share);

/** Records that are equal to object literals also where prototypes are compared. */
const plain = <T>(parts: { [K in keyof T]: fc.Arbitrary<T[K]> }): fc.Arbitrary<T> =>
  fc.record(parts, { noNullPrototype: true }) as fc.Arbitrary<T>;

/** Lengths in ticks: mostly what players write, sometimes anything on the lattice, down to one tick. */
export const lengths: fc.Arbitrary<Ticks> = fc.oneof(
  { weight: 12, arbitrary: fc.constantFrom(1, 1 / 2, 1 / 4, 2, 4, 1.5, 3, 0.75, 1 / 8, 6).map(times) },
  { weight: 4, arbitrary: fc.constantFrom(1 / 3, 2 / 3, 1 / 6, 4 / 5, 2 / 5, 4 / 7, 2 / 7, 8 / 9, 5 / 4).map(times) },
  { weight: 1, arbitrary: fc.integer({ min: 1, max: 5 * QUARTER }).map(ticks) },
  { weight: 1, arbitrary: fc.constantFrom(7, 1, 13, 2519, 20161).map(ticks) },
);

/** Meters, simple and compound, even and odd. */
export const METERS: readonly Meter[] = '4/4 3/4 6/8 12/8 7/8 5/4 9/8 2/2 2/4 3/8 5/8 6/4 6/16 13/16 1/1 11/32'
  .split(' ')
  .map((text) => parseMeter(text)!);
export const meters: fc.Arbitrary<Meter> = fc.oneof(
  { weight: 2, arbitrary: fc.constant(METERS[0]!) },
  { weight: 3, arbitrary: fc.constantFrom(...METERS) },
);

const letters = [...'CDEFGAB'].flatMap((letter) => [letter, `${letter}b`, `${letter}#`]);
export const keys: fc.Arbitrary<Key> = fc
  .tuple(fc.constantFrom(...letters), fc.constantFrom(...MODES))
  .map(([tonic, mode]) => keyOf(pitchName(tonic)!, mode));

/** Quarter notes a minute: whole, in halves, and with all the decimals a number has. */
export const tempos: fc.Arbitrary<number> = fc.oneof(
  fc.integer({ min: 20, max: 400 }),
  fc.integer({ min: 40, max: 800 }).map((n) => n / 2),
  fc.double({ min: 20, max: 400, noNaN: true }),
);

const swings = fc
  .tuple(fc.constantFrom('e', 's'), fc.constantFrom(2, 3, 1.5, 1, 1.75, 57.5), fc.constantFrom(1, 2, 1.25, 42.5))
  .map(([value, long, short]): Feel => ({ kind: 'swing', value: value as 'e' | 's', long, short }));
export const feels: fc.Arbitrary<Feel> = fc.oneof(fc.constant<Feel>({ kind: 'straight' }), swings);

/** Guitars of four to eight strings, any tuning, with and without a capo. */
export const guitars: fc.Arbitrary<Guitar> = plain({
  tuning: fc.oneof(
    { weight: 2, arbitrary: fc.constant([40, 45, 50, 55, 59, 64].map(midiKey)) },
    {
      weight: 2,
      arbitrary: fc.array(fc.integer({ min: 28, max: 76 }).map(midiKey), { minLength: 4, maxLength: 8 }),
    },
  ),
  capo: fc.oneof({ weight: 3, arbitrary: fc.constant(0) }, fc.integer({ min: 1, max: 12 })),
  frets: fc.oneof({ weight: 3, arbitrary: fc.constant(24) }, fc.integer({ min: 12, max: 36 })),
});

const said = fc.constantFrom(...'the low road Ünal two, #7 | 12'.split(' '));
const nasty = fc.constantFrom(...'"\\\'#7 :-|%{&*!a\n\r\t\0\u0085\u2028\ufeff\ud800x\udc00', '---');
/** Any text at all: quotes, backslashes, line ends, halves of surrogate pairs, the marks of the notation itself. */
export const texts: fc.Arbitrary<string> = fc.oneof(
  { weight: 3, arbitrary: fc.array(said).map((words) => words.join(' ')) },
  { weight: 2, arbitrary: fc.string({ unit: 'binary', maxLength: 12 }) },
  { weight: 2, arbitrary: fc.array(nasty).map((marks) => marks.join('')) },
);
/** A text that says something: not empty, no blanks around it. */
export const names: fc.Arbitrary<string> = texts.map((t) => t.trim() || 'Untitled');

const TYPES = [
  '',
  'm',
  '7',
  'm7',
  'maj7',
  'm7b5',
  'dim7',
  'o7',
  '9',
  '13',
  '7#9',
  '7b9',
  '7(b9)',
  '6/9',
  '6',
  'm6',
  'sus4',
  '9sus4',
  'add9',
  'aug',
  '+',
  '5',
  'mMaj7',
  '7alt',
  'ø',
];
/** Chord symbols in many spellings, with and without a bass, and no chord. */
export const chordSymbols: fc.Arbitrary<string> = fc.oneof(
  {
    weight: 9,
    arbitrary: fc
      .tuple(
        fc.constantFrom(...letters),
        fc.constantFrom(...TYPES),
        fc.option(fc.constantFrom('/G', '/Bb', '/F#'), { nil: '' }),
      )
      .map(([root, type, bass]) => root + type + bass),
  },
  { weight: 1, arbitrary: fc.constant('N.C.') },
);

export const openings: fc.Arbitrary<Opening> = plain({ meter: meters, key: keys, tempo: tempos, feel: feels });

const settingWishes = fc
  .uniqueArray(
    fc.tuple(fc.nat(12), fc.record({ meter: meters, key: keys, tempo: tempos, feel: feels }, { requiredKeys: [] })),
    { selector: ([bar]) => bar, maxLength: 4 },
  )
  .map((wishes): readonly Setting[] =>
    wishes
      .filter(([, what]) => Object.keys(what).length > 0)
      .sort(([a], [b]) => a - b)
      .map(([bar, what]) => ({ ...what, bar: barNumber(bar) })),
  );

const stretches = fc
  .tuple(names, fc.nat(10), fc.nat(8))
  .map(([name, from, more]) => ({ name, from: barNumber(from), to: barNumber(from + more) }));

/** Changes over an opening: chords on any beat, settings at most one a bar, sections and strums in order. */
export const changesOver = (opening: Opening): fc.Arbitrary<Changes> =>
  fc
    .record({
      firstBar: fc.oneof({ weight: 3, arbitrary: fc.constant(1) }, fc.nat(6)),
      bars: fc.array(fc.array(fc.tuple(chordSymbols, fc.nat(20159)), { minLength: 1, maxLength: 3 }), { maxLength: 9 }),
      evenly: fc.boolean(),
      settings: settingWishes,
      sections: fc.array(stretches, { maxLength: 3 }),
      strums: fc.array(plain({ bar: fc.nat(12).map(barNumber), pattern: texts }), { maxLength: 2 }),
    })
    .map(({ firstBar, bars, evenly, settings, sections, strums }) => {
      const first = bars.length === 0 ? 1 : firstBar;
      const grid = barGrid(opening, settings);
      return {
        firstBar: barNumber(first),
        bars: bars.map((chords, i) => chordsOf(chords, grid.bar(first + i).meter, evenly)),
        settings,
        sections: [...sections].sort((a, b) => a.from - b.from || a.to - b.to),
        strums: [...strums].sort((a, b) => a.bar - b.bar),
      };
    });

function chordsOf(
  chords: readonly (readonly [string, number])[],
  meter: Meter,
  evenly: boolean,
): readonly ChordEntry[] {
  const pulses = meter.barTicks / meter.pulseTicks;
  if (evenly && pulses % chords.length === 0)
    return chords.map(([symbol], i) => ({ at: ticks((meter.barTicks / chords.length) * i), symbol }));
  const entries: ChordEntry[] = [];
  for (const [symbol, where] of chords) {
    // A multiple of 4 mostly stands on a beat, others anywhere.
    const at = where % 4 === 0 ? (where % pulses) * meter.pulseTicks : where % meter.barTicks;
    if (entries.every((e) => e.at < at)) entries.push({ at: ticks(at), symbol });
  }
  return entries;
}
