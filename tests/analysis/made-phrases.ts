// Small corpora of phrases that are likely to be related: few notes and lengths, copies that are moved, cut, shifted, ornamented.
import fc from 'fast-check';
import { QUARTER } from '../../lib/foundation/time.js';
import { barNumber, cents, fret, stringNumber, ticks } from '../../lib/foundation/units.js';
import { EMPTY_SOLO, type Note, type Phrase, PLAIN_NOTE } from '../../lib/solo/solo.js';
import type { NamedSolo } from '../../lib/solo/tone-table.js';

/** A note of a made phrase: fret, string, sixteenths to the next, and perhaps a string sounding with it, a grace before it, a curl. */
export interface MadeNote {
  readonly fret: number;
  readonly string: number;
  readonly sixteenths: number;
  readonly extra?: 'voice' | 'grace' | 'curl';
}

/** A phrase that begins some sixteenths after the end of the one before. */
export interface MadePhrase {
  readonly after: number;
  readonly notes: readonly MadeNote[];
}

const SIXTEENTH = QUARTER / 4;

/** A solo of made phrases in 4/4, over one chord a bar, in turn. */
export function madeSolo(
  id: string,
  player: string,
  phrases: readonly MadePhrase[],
  chords: readonly string[],
): NamedSolo {
  let at = 4 * QUARTER; // bar 1
  const laid = phrases.map(({ after, notes }, p): Phrase => {
    const start = at + after * SIXTEENTH;
    let onset = start;
    const played = notes.flatMap((note): Note[] => {
      const one: Note = {
        ...PLAIN_NOTE,
        onset: ticks(onset),
        length: ticks(note.sixteenths * SIXTEENTH),
        string: stringNumber(note.string),
        fret: fret(note.fret),
        path: note.extra === 'curl' ? [{ level: cents(0) }, { level: cents(50) }] : [],
      };
      onset += note.sixteenths * SIXTEENTH;
      if (note.extra === 'voice') return [one, { ...one, string: stringNumber(note.string + 1) }];
      if (note.extra === 'grace') return [{ ...one, length: ticks(0), fret: fret(note.fret + 2), grace: 1 }, one];
      return [one];
    });
    at = onset;
    const length = ticks(onset - start);
    return { id: String(p + 1), name: '', at: ticks(start), length, notes: played, damps: [], remarks: [] };
  });
  const bars = Array.from({ length: Math.ceil(at / (4 * QUARTER)) }, (_, b) => [
    { at: ticks(0), symbol: chords[b % chords.length] as string },
  ]);
  const changes = { ...EMPTY_SOLO.changes, firstBar: barNumber(1), bars };
  return { id, solo: { ...EMPTY_SOLO, title: id, player, changes, phrases: laid } };
}

const note: fc.Arbitrary<MadeNote> = fc.record({
  fret: fc.constantFrom(5, 7, 8),
  string: fc.constantFrom(2, 3),
  sixteenths: fc.constantFrom(2, 2, 4),
});

/** How a copy differs from what it is made of. */
const twists: fc.Arbitrary<(notes: readonly MadeNote[]) => readonly MadeNote[]> = fc.oneof(
  fc.constant((notes: readonly MadeNote[]) => notes),
  fc
    .constantFrom(2, 5, 12)
    .map((by) => (notes: readonly MadeNote[]) => notes.map((n) => ({ ...n, fret: n.fret + by }))),
  fc.constant((notes: readonly MadeNote[]) => notes.map((n) => ({ ...n, sixteenths: n.sixteenths * 2 }))),
  fc.constant((notes: readonly MadeNote[]) => notes.map((n) => ({ ...n, string: n.string + 1 }))),
  fc.constant((notes: readonly MadeNote[]) => notes.map((n) => ({ ...n, sixteenths: 2 }))),
  fc.nat(9).map((from) => (notes: readonly MadeNote[]) => notes.slice(from)),
  fc.nat(9).map((until) => (notes: readonly MadeNote[]) => notes.slice(0, until + 1)),
  fc.tuple(fc.nat(9), note).map(
    ([at, other]) =>
      (notes: readonly MadeNote[]) =>
        notes.map((n, k) => (k === at ? { ...n, fret: other.fret } : n)),
  ),
  fc.nat(9).map((at) => (notes: readonly MadeNote[]) => notes.filter((_, k) => k !== at)),
  fc.nat(9).map(
    (at) => (notes: readonly MadeNote[]) =>
      notes.flatMap((n, k) =>
        k === at
          ? [
              { ...n, sixteenths: n.sixteenths / 2 },
              { ...n, fret: 8, sixteenths: n.sixteenths / 2 },
            ]
          : [n],
      ),
  ),
  // A neighbour that takes its own time, and the tone again.
  fc
    .nat(9)
    .map(
      (at) => (notes: readonly MadeNote[]) =>
        notes.flatMap((n, k) => (k === at ? [n, { ...n, fret: n.fret + 2 }, n] : [n])),
    ),
  fc.tuple(fc.nat(9), fc.constantFrom('voice', 'grace', 'curl')).map(
    ([at, extra]) =>
      (notes: readonly MadeNote[]) =>
        notes.map((n, k) => (k === at ? { ...n, extra: extra as 'voice' } : n)),
  ),
);

/** Corpora of a few solos by two players, whose phrases are made of three ideas. */
export const relatedCorpora: fc.Arbitrary<readonly NamedSolo[]> = fc
  .tuple(
    fc.array(fc.array(note, { minLength: 4, maxLength: 12 }), { minLength: 3, maxLength: 3 }),
    fc.array(
      fc.array(
        fc.record({
          ideas: fc.array(fc.nat(2), { minLength: 1, maxLength: 2 }),
          twists: fc.array(twists, { maxLength: 2 }),
          after: fc.constantFrom(0, 2, 4, 8),
        }),
        { minLength: 1, maxLength: 6 },
      ),
      { minLength: 1, maxLength: 4 },
    ),
    fc.constantFrom(['C7'], ['C7', 'F7'], ['Am7', 'N.C.', 'D7']),
  )
  .map(([ideas, solos, chords]) =>
    solos.map((phrases, s) =>
      madeSolo(
        `solo-${s}`,
        ['Ada Fenwick', 'Bram Osier'][s % 2] as string,
        phrases.map(({ ideas: parts, twists: ways, after }) => {
          const whole = parts.flatMap((k) => ideas[k] as readonly MadeNote[]);
          return { after, notes: ways.reduce<readonly MadeNote[]>((notes, way) => way(notes), whole) };
        }),
        chords,
      ),
    ),
  );
