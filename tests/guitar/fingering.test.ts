import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { cents, fret, midiKey, stringNumber } from '../../lib/foundation/units.js';
import { fingeringCost, fingerLine, type PitchEvent, placeLine } from '../../lib/guitar/fingering.js';
import {
  FINGERING_COSTS,
  type Grip,
  gripCost,
  type HandEvent,
  type HandNote,
  neckOf,
} from '../../lib/guitar/fingering-hand.js';
import { pitchAt, positionsOf, STANDARD_GUITAR } from '../../lib/guitar/fretboard.js';

const SHORT = { ...STANDARD_GUITAR, frets: 12 };

const notes: fc.Arbitrary<HandNote> = fc.record({
  string: fc.integer({ min: 1, max: 6 }).map(stringNumber),
  fret: fc.integer({ min: 0, max: 12 }).map(fret),
  bend: fc.constantFrom(0, 0, 0, 50, 200).map(cents),
  start: fc.constantFrom('picked', 'hammered', 'slid up'),
});
const event = (most: number): fc.Arbitrary<HandEvent> =>
  fc.record({
    at: fc.constant(0),
    notes: fc
      .uniqueArray(notes, { minLength: 1, maxLength: most, selector: (n) => n.string })
      .map((all) => all.sort((a, b) => a.string - b.string)),
  });
const lines = (events: number, most = 2): fc.Arbitrary<readonly HandEvent[]> =>
  fc
    .tuple(fc.array(event(most), { minLength: 1, maxLength: events }), fc.constantFrom(0.1, 0.4, 1.5))
    .map(([all, gap]) => all.map((e, i) => ({ ...e, at: i * gap })));

/** Every grip that the rules of the hand allow, found by trying all fingers and positions, not as the program finds them. */
function allGrips(held: readonly HandNote[], last: number): Grip[] {
  const grips: Grip[] = [];
  const fingers: number[] = [];
  const allowed = (position: number): boolean => {
    for (let i = 0; i < held.length; i++) {
      const f = fingers[i] as number;
      const { fret: x, string, bend } = held[i] as HandNote;
      if ((x === 0) !== (f === 0)) return false;
      if (f === 0) continue;
      if (f === 1 ? x !== position && x !== position - 1 : x < position || x > position + f) return false;
      for (let j = 0; j < held.length; j++) {
        const g = fingers[j] as number;
        const other = held[j] as HandNote;
        if (j === i || g === 0) continue;
        if (other.fret > x && g <= f) return false;
        if (other.fret === x && other.string < string && g < f) return false;
        if (g === f && ((bend ?? 0) > 0 || (other.bend ?? 0) > 0)) return false;
        const [lo, hi] = [Math.min(string, other.string), Math.max(string, other.string)];
        if (g === f && held.some((n) => n.string > lo && n.string < hi && n.fret < x)) return false;
      }
    }
    return true;
  };
  const choose = (i: number): void => {
    if (i < held.length) {
      for (let f = 0; f <= 4; f++) {
        fingers[i] = f;
        choose(i + 1);
      }
      return;
    }
    for (let position = 1; position <= last; position++)
      if (allowed(position)) grips.push({ position, fingers: [...fingers] });
  };
  choose(0);
  return grips;
}

/** The cheapest cost of all combinations of grips. */
function bruteForce(line: readonly HandEvent[], last: number): number {
  const choices = line.map((e) => allGrips(e.notes, last));
  let best = Number.POSITIVE_INFINITY;
  const walk = (grips: Grip[]): void => {
    const k = grips.length;
    const cost = fingeringCost(line.slice(0, k), grips, { guitar: SHORT });
    if (cost >= best) return;
    if (k === line.length) {
      best = cost;
      return;
    }
    for (const grip of choices[k] as Grip[]) walk([...grips, grip]);
  };
  walk([]);
  return best;
}

describe('the fingering of a written line', () => {
  it('costs what the best of all fingerings costs, tried one by one', () => {
    fc.assert(
      fc.property(lines(4), (line) => {
        fc.pre(line.every((e) => allGrips(e.notes, 12).length > 0));
        expect(fingerLine(line, { guitar: SHORT }).cost).toBeCloseTo(bruteForce(line, 12), 6);
      }),
      { numRuns: 60 },
    );
  });

  it('adds up: the cost is that of its own grips, and the sum of its steps', () => {
    fc.assert(
      fc.property(lines(8, 4), (line) => {
        const way = fingerLine(line, { guitar: SHORT });
        const grips = way.steps.map((s) => ({
          position: s.position,
          fingers: s.notes.map((n) => n.finger),
          unreachable: s.unreachable,
        }));
        expect(fingeringCost(line, grips, { guitar: SHORT })).toBeCloseTo(way.cost, 6);
        expect(way.steps.reduce((sum, s) => sum + s.cost, 0)).toBeCloseTo(way.cost, 6);
      }),
    );
  });

  it('has a finger for each fretted note, none for an open string, and fingers in the order of frets', () => {
    fc.assert(
      fc.property(lines(6, 4), (line) => {
        for (const { notes: held, unreachable } of fingerLine(line, { guitar: SHORT }).steps) {
          if (unreachable) continue;
          for (const a of held) {
            expect(a.finger > 0).toBe(a.fret > 0);
            for (const b of held) if (a.fret > 0 && b.fret > a.fret) expect(b.finger).toBeGreaterThan(a.finger);
          }
        }
      }),
    );
  });

  it('an excerpt never costs more than the whole', () => {
    fc.assert(
      fc.property(lines(8), fc.nat(), fc.nat(), (line, a, b) => {
        const from = a % line.length;
        const part = line.slice(from, from + 1 + (b % (line.length - from)));
        expect(fingerLine(part, { guitar: SHORT }).cost).toBeLessThanOrEqual(
          fingerLine(line, { guitar: SHORT }).cost + 1e-6,
        );
      }),
    );
  });

  it('the same shape higher on the neck never has a wider stretch, nor costs more, bends and their force apart', () => {
    const straight = lines(6, 3).map((line) =>
      line.map((e) => ({
        ...e,
        notes: e.notes.map((n) => ({ ...n, bend: cents(0), fret: fret(Math.max(1, n.fret)) })),
      })),
    );
    fc.assert(
      fc.property(straight, fc.integer({ min: 1, max: 9 }), (line, up) => {
        const higher = line.map((e) => ({ ...e, notes: e.notes.map((n) => ({ ...n, fret: fret(n.fret + up) })) }));
        const neck = neckOf(STANDARD_GUITAR);
        const low = fingerLine(line);
        low.steps.forEach(({ position, notes: held, unreachable, stretchMm }, i) => {
          if (unreachable) return;
          const grip = { position: position + up, fingers: held.map((n) => n.finger) };
          const moved = gripCost(neck, (higher[i] as HandEvent).notes, grip, FINGERING_COSTS);
          expect(moved.stretchMm).toBeLessThanOrEqual(stretchMm + 1e-9);
        });
        expect(fingerLine(higher).cost).toBeLessThanOrEqual(low.cost + 1e-6);
      }),
    );
  });

  const at = (...frets: readonly (readonly [string: number, fret: number, bend?: number])[]): readonly HandEvent[] =>
    frets.map(([s, f, b = 0], i) => ({
      at: i / 4,
      notes: [{ string: stringNumber(s), fret: fret(f), bend: cents(b) }],
    }));
  const fingersOf = (line: readonly HandEvent[]) => fingerLine(line).steps.map((s) => s.notes[0]?.finger);

  it.each([5, 7, 9, 12, 15])(
    'a whole-step bend at fret %i is pushed by the third finger (common practice, no source)',
    (f) => {
      expect(fingersOf(at([2, f, 200]))).toEqual([3]);
    },
  );

  it('a bend of the second string under a first finger on the first is not left to the first finger', () => {
    expect(fingersOf(at([1, 5], [2, 5, 200]))[1]).toBe(3);
  });

  it('a scale in one position stays there', () => {
    const box = at([6, 5], [6, 8], [5, 5], [5, 7], [4, 5], [4, 7], [3, 5], [3, 7], [2, 5], [2, 8], [1, 5], [1, 8]);
    expect(new Set(fingerLine(box).steps.map((s) => s.position))).toEqual(new Set([5]));
  });

  it('a written finger is kept', () => {
    fc.assert(
      fc.property(fc.integer({ min: 3, max: 12 }), fc.integer({ min: 1, max: 4 }), (f, finger) => {
        const line = [{ at: 0, notes: [{ string: stringNumber(2), fret: fret(f), finger }] }];
        expect(fingerLine(line).steps[0]?.notes[0]?.finger).toBe(finger);
      }),
    );
  });

  it('says where it cannot go', () => {
    expect(() => fingerLine(at([1, 5], [1, 30]))).toThrow('event 2: fret 30 of string 1 is off the neck');
    expect(() => fingerLine(at([1, 5]), { scaleLength: 0 })).toThrow('give a length above 0');
    expect(() => fingeringCost(at([1, 5]), [])).toThrow('give one for each');
    expect(fingerLine([])).toEqual({ steps: [], cost: 0 });
    const wide = [1, 12, 3, 9, 7].map((f, i) => ({ string: stringNumber(i + 1), fret: fret(f) }));
    expect(fingerLine([{ at: 0, notes: wide }]).steps[0]?.unreachable).toBe(true);
  });
});

describe('placing pitches', () => {
  const pitches = fc
    .array(
      fc.record({ key: fc.integer({ min: 45, max: 72 }).map(midiKey), bend: fc.constantFrom(0, 0, 0, 200).map(cents) }),
      { minLength: 1, maxLength: 3 },
    )
    .map((all): readonly PitchEvent[] => all.map((pitch, i) => ({ at: i / 3, pitches: [pitch] })));

  it('sounds what was asked for, and bends no open string', () => {
    fc.assert(
      fc.property(pitches, (line) => {
        placeLine(line, { guitar: SHORT }).steps.forEach(({ notes: held }, i) => {
          const asked = (line[i] as PitchEvent).pitches[0]!;
          expect(pitchAt(SHORT, held[0]!.string, held[0]!.fret)).toBe(asked.key);
          if (asked.bend) expect(held[0]!.fret).toBeGreaterThan(0);
        });
      }),
    );
  });

  it('costs what the best of all places costs, each fingered for itself', () => {
    fc.assert(
      fc.property(pitches, (line) => {
        const places = line.map(({ at, pitches: [p] }) =>
          positionsOf(SHORT, p!.key)
            .filter((place) => !p!.bend || place.fret > 0)
            .map((place): HandEvent => ({ at, notes: [{ ...place, bend: p!.bend! }] })),
        );
        const all = places.reduce<readonly (readonly HandEvent[])[]>(
          (ways, here) => ways.flatMap((way) => here.map((e) => [...way, e])),
          [[]],
        );
        const best = Math.min(...all.map((way) => fingerLine(way, { guitar: SHORT }).cost));
        expect(placeLine(line, { guitar: SHORT }).cost).toBeCloseTo(best, 6);
      }),
      { numRuns: 40 },
    );
  });

  it('never costs more than the written places of the same pitches', () => {
    fc.assert(
      fc.property(lines(6, 1), (line) => {
        const plain = line.map((e) => ({
          at: e.at,
          notes: e.notes.map(({ string, fret: f }) => ({ string, fret: f })),
        }));
        const asPitches = plain.map((e) => ({
          at: e.at,
          pitches: e.notes.map((n) => ({ key: pitchAt(SHORT, n.string, n.fret)! })),
        }));
        expect(placeLine(asPitches, { guitar: SHORT }).cost).toBeLessThanOrEqual(
          fingerLine(plain, { guitar: SHORT }).cost + 1e-6,
        );
      }),
    );
  });

  const scale = [64, 67, 69, 72].map((key, i) => ({ at: i / 4, pitches: [{ key: midiKey(key) }] }));
  const said = (way: ReturnType<typeof placeLine>) =>
    way.steps.map((s) => `${s.notes[0]?.fret}@${s.notes[0]?.string}`).join(' ');

  it('a wished position, open strings and none', () => {
    expect(said(placeLine(scale, { position: 5 }))).toBe('5@2 8@2 5@1 8@1');
    expect(said(placeLine(scale, { position: 1 }))).toBe('0@1 3@1 5@1 8@1');
    expect(said(placeLine(scale, { position: 12 }))).toBe('14@4 12@3 14@3 13@2');
    for (const { notes: held } of placeLine(scale, { position: 1, openStrings: 'never' }).steps)
      for (const note of held) expect(note.fret).toBeGreaterThan(0);
  });

  it('two pitches at once get a string each', () => {
    const both = placeLine([{ at: 0, pitches: [{ key: midiKey(64) }, { key: midiKey(60) }] }]).steps[0]!.notes;
    expect(new Set(both.map((n) => n.string)).size).toBe(2);
  });

  it('says what cannot be placed', () => {
    const one = (key: number, bend = 0) => [{ at: 0, pitches: [{ key: midiKey(key), bend: cents(bend) }] }];
    expect(() => placeLine(one(30))).toThrow('event 1: key 30 is not on this neck');
    expect(() => placeLine(one(40, 200))).toThrow('open string, which cannot be bent');
    expect(() => placeLine([{ at: 0, pitches: [{ key: midiKey(40) }, { key: midiKey(41) }] }])).toThrow(
      'cannot sound together',
    );
  });
});
