// Laws that hold of any guitar, pitch, chord and changes, on random ones; the anticipation rule against a plain reading of its words.
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  barNumber,
  cents,
  fret,
  midiKey,
  mod,
  type PitchClass,
  stringNumber,
  ticks,
} from '../../lib/foundation/units.js';
import { type Guitar, openKey, pitchAt, positionsOf } from '../../lib/guitar/fretboard.js';
import { type Changes, NO_CHANGES, type Setting } from '../../lib/solo/changes.js';
import { type ChordSpan, chordSpans, hear, spanAt, spanOfTone } from '../../lib/solo/harmony.js';
import { EMPTY_SOLO, gridOf, type Solo } from '../../lib/solo/solo.js';
import { isChord, isNoChord, parseChord } from '../../lib/theory/chord.js';
import { DEGREE_NAMES, degreeAbove, degreeName, parseDegree } from '../../lib/theory/interval.js';
import { keyOf, MODES } from '../../lib/theory/scale.js';
import { chord, meter, name } from './reading.js';

const runs = { numRuns: 300, seed: 7 };
const EIGHTH = 10080;

const guitars: fc.Arbitrary<Guitar> = fc.record({
  tuning: fc.array(fc.integer({ min: 28, max: 70 }).map(midiKey), { minLength: 4, maxLength: 8 }),
  capo: fc.nat(7),
  frets: fc.integer({ min: 19, max: 27 }),
});

describe('strings, frets and pitches', () => {
  it('every place that is named for a pitch sounds it, and every place on the neck is named for the pitch it sounds', () => {
    fc.assert(
      fc.property(guitars, (guitar) => {
        for (let s = 1; s <= guitar.tuning.length; s++)
          for (let f = 0; f <= guitar.frets; f++) {
            const key = pitchAt(guitar, stringNumber(s), fret(f));
            expect(key !== undefined).toBe(f + guitar.capo <= guitar.frets);
            if (key === undefined) continue;
            expect(key).toBe((openKey(guitar, stringNumber(s)) as number) + f);
            const places = positionsOf(guitar, key);
            expect(places.some((p) => p.string === s && p.fret === f)).toBe(true);
            expect(places.every((p) => pitchAt(guitar, p.string, p.fret) === key)).toBe(true);
          }
      }),
      { ...runs, numRuns: 40 },
    );
  });

  it('off the neck there is no pitch: strings and frets that are not there, parts of a fret', () => {
    fc.assert(
      fc.property(
        guitars,
        fc.double({ min: -3, max: 40, noNaN: true }),
        fc.integer({ min: -2, max: 12 }),
        (guitar, f, s) => {
          const key = pitchAt(guitar, stringNumber(s), fret(f));
          const onNeck =
            Number.isInteger(f) && f >= 0 && f + guitar.capo <= guitar.frets && s >= 1 && s <= guitar.tuning.length;
          expect(key !== undefined).toBe(onNeck);
        },
      ),
      runs,
    );
  });
});

describe('degrees', () => {
  const pitches = fc.integer({ min: 0, max: 254 }).map((n) => cents(n * 50));
  const roots = fc.integer({ min: 0, max: 11 }).map((n) => n as PitchClass);

  it('a pitch an octave up or down is the same degree; the degree and its root give the pitch back, to the quarter-tone', () => {
    fc.assert(
      fc.property(pitches, roots, fc.integer({ min: -5, max: 5 }), (pitch, root, octaves) => {
        const degree = degreeAbove(pitch, root);
        expect(degreeAbove(cents(pitch + octaves * 1200), root)).toEqual(degree);
        expect(mod(root * 100 + degree.semitones * 100 + (degree.plus ? 50 : 0) - pitch, 1200)).toBe(0);
      }),
      runs,
    );
  });

  it('a degree name is read as the degree it was written for, for all 24', () => {
    for (let semitones = 0; semitones < 12; semitones++)
      for (const plus of [false, true])
        expect(parseDegree(degreeName({ semitones, plus }))).toEqual({ semitones, plus });
    expect(DEGREE_NAMES.map((text) => parseDegree(text)?.semitones)).toEqual([...Array(12).keys()]);
  });

  it('a tone is heard the same when tone, chord and key all move by as much: degrees, role and blue', () => {
    const sharps = ['C', 'C#', 'D', 'D#', 'E', 'F', 'F#', 'G', 'G#', 'A', 'A#', 'B'];
    const types = ['', 'm', '7', 'maj7', 'm7', 'm7b5', 'dim7', '7#9', '6', '7sus4', 'sus2', '5', 'm11', '7b5b9', '+'];
    fc.assert(
      fc.property(
        fc.integer({ min: 48, max: 200 }).map((n) => n * 50),
        roots,
        roots,
        fc.constantFrom(...types),
        fc.constantFrom(...MODES),
        fc.integer({ min: 1, max: 11 }),
        fc.boolean(),
        (pitch, root, tonic, type, mode, by, rising) => {
          const moved = (pc: number, k: number) => sharps[(pc + k) % 12] as string;
          const at = (k: number) => {
            const over = chord(moved(root, k) + type);
            const home = keyOf(name(moved(tonic, k)), mode);
            return { ...hear(cents(pitch + k * 100), over, home, rising), name: undefined };
          };
          expect(at(by)).toEqual(at(0));
        },
      ),
      runs,
    );
  });
});

const symbols = ['C', 'C7', 'C9', 'Cmaj7', 'C6', 'Cm7', 'F7', 'F9', 'G7', 'Dm7', 'Bb/C', 'N.C.', 'NC'];
const meters = ['4/4', '3/4', '6/8', '12/8', '5/4', '2/4'].map(meter);

/** Changes of up to twelve bars, chords on any eighth of the bar, with a change of meter or two. */
const changes: fc.Arbitrary<Changes> = fc
  .record({
    firstBar: fc.nat(3),
    settings: fc.uniqueArray(fc.record({ bar: fc.nat(12).map(barNumber), meter: fc.constantFrom(...meters) }), {
      maxLength: 3,
      selector: (s) => s.bar,
    }),
    bars: fc.array(
      fc.uniqueArray(
        fc.record({ at: fc.nat(7).map((n) => ticks(n * (EIGHTH / 2))), symbol: fc.constantFrom(...symbols) }),
        {
          maxLength: 4,
          selector: (entry) => entry.at,
        },
      ),
      { maxLength: 12 },
    ),
  })
  .map(({ firstBar, settings, bars }) => ({
    ...NO_CHANGES,
    firstBar: barNumber(firstBar),
    settings: [...settings].sort((a: Setting, b: Setting) => a.bar - b.bar),
    bars: bars.map((bar) => [...bar].sort((a, b) => a.at - b.at)),
  }));
const solos: fc.Arbitrary<Solo> = changes.map((c) => ({ ...EMPTY_SOLO, changes: c }));

/** Root and quality of a symbol, as words; what makes a change. */
function sound(symbol: string): string {
  const read = symbol === '' || isNoChord(symbol) ? undefined : parseChord(symbol);
  return read && isChord(read) ? `${read.root} ${read.quality}` : 'none';
}

describe('chord spans', () => {
  it('cover all time from tick 0 on, one after the other, without a gap; each names the chord last written before; no two in a row the same', () => {
    fc.assert(
      fc.property(solos, (solo) => {
        const grid = gridOf(solo);
        const spans = chordSpans(solo, grid);
        expect(spans[0]?.start).toBe(0);
        spans.forEach((span, i) => {
          expect(span.end).toBe(spans[i + 1]?.start ?? Number.POSITIVE_INFINITY);
          expect(span.end).toBeGreaterThan(span.start);
          expect(span.symbol).not.toBe(spans[i + 1]?.symbol);
        });
        const written = solo.changes.bars.flatMap((bar, i) =>
          bar.map((entry) => ({ at: grid.bar(solo.changes.firstBar + i).start + entry.at, symbol: entry.symbol })),
        );
        for (let t = 0; t < grid.bar(16).start; t += EIGHTH / 2) {
          const span = spans[spanAt(spans, t)] as ChordSpan;
          expect(span.start <= t && t < span.end).toBe(true);
          expect(span.symbol).toBe(written.filter((w) => w.at <= t).at(-1)?.symbol ?? '');
        }
      }),
      runs,
    );
  });

  it('a change is where root or quality differ from what was before', () => {
    fc.assert(
      fc.property(solos, (solo) => {
        const spans = chordSpans(solo);
        spans.forEach((span, i) => {
          const before = i === 0 ? 'none' : sound((spans[i - 1] as ChordSpan).symbol);
          expect(span.isChange).toBe(sound(span.symbol) !== before);
        });
      }),
      runs,
    );
  });
});

/**
 * The rule in words: the chord that rules at the onset; with anticipation, a tone that starts less than or exactly an eighth before the next
 * change and sounds at least as long after it as before it is heard against the new chord, where there is one.
 */
function heardAgainst(
  spans: readonly ChordSpan[],
  onset: number,
  length: number,
  anticipation: boolean,
): ChordSpan | undefined {
  const ruling = spans.filter((span) => span.start <= onset).at(-1);
  const change = spans.find(
    (span, i) => i > 0 && span.start > onset && sound(span.symbol) !== sound((spans[i - 1] as ChordSpan).symbol),
  );
  if (!anticipation || !change) return ruling;
  const before = change.start - onset;
  const after = onset + length - change.start;
  return before <= EIGHTH && after >= before && sound(change.symbol) !== 'none' ? change : ruling;
}

describe('the chord a tone is heard against', () => {
  const lengths = fc.oneof(
    fc.constantFrom(EIGHTH / 2, EIGHTH, EIGHTH * 2, EIGHTH * 4, EIGHTH * 8),
    fc.integer({ min: 1, max: EIGHTH * 6 }),
  );
  it('agrees with the rule in words, for onsets on and beside the sixteenths', () => {
    let pushed = 0;
    fc.assert(
      fc.property(solos, lengths, fc.integer({ min: -1, max: 1 }), (solo, length, beside) => {
        const spans = chordSpans(solo);
        for (let sixteenth = 1; sixteenth < 16 * 8; sixteenth++) {
          const onset = sixteenth * (EIGHTH / 2) + beside;
          expect(spans[spanOfTone(spans, onset, length, false)]).toBe(heardAgainst(spans, onset, length, false));
          const heard = spans[spanOfTone(spans, onset, length, true)];
          expect(heard).toBe(heardAgainst(spans, onset, length, true));
          if (heard !== spans[spanAt(spans, onset)]) pushed++;
        }
      }),
      { ...runs, numRuns: 150 },
    );
    expect(pushed).toBeGreaterThan(500);
  });

  it.each([
    ['an eighth before, an eighth after', EIGHTH, 2 * EIGHTH, 'F7'],
    ['an eighth before, a tick less after', EIGHTH, 2 * EIGHTH - 1, 'C7'],
    ['an eighth and a tick before', EIGHTH + 1, 8 * EIGHTH, 'C7'],
    ['a sixteenth before, a sixteenth after', EIGHTH / 2, EIGHTH, 'F7'],
    ['on the change', 0, 1, 'F7'],
  ])('a push to bar 2: %s', (_words, before, length, symbol) => {
    const bars = ['C7', 'F7'].map((s) => [{ at: ticks(0), symbol: s }]);
    const solo: Solo = { ...EMPTY_SOLO, changes: { ...NO_CHANGES, bars } };
    const spans = chordSpans(solo);
    const onset = gridOf(solo).bar(2).start - before;
    expect(spans[spanOfTone(spans, onset, length, true)]?.symbol).toBe(symbol);
  });
});
