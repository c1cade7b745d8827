// What lessons are made of: scale shapes, steps before the phrases, drills, reviews, tempo ladders, students; by the demo solos and by tables from outside.
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { drillsOf } from '../../lib/curriculum/drills.js';
import { excerpt } from '../../lib/curriculum/exercise.js';
import { GROUND_KINDS, groundSteps } from '../../lib/curriculum/ground-steps.js';
import { knowledgeOf } from '../../lib/curriculum/knowledge.js';
import { NEW_REVIEW, nextReview, reviewDays, tempoLadder } from '../../lib/curriculum/practice.js';
import { KNOWABLE, knownItems, readStudent } from '../../lib/curriculum/student.js';
import { NAMED_ITEMS } from '../../lib/curriculum/technique-items.js';
import { pitchClass } from '../../lib/foundation/units.js';
import { peakLevel } from '../../lib/guitar/bend.js';
import { pitchAt, STANDARD_GUITAR } from '../../lib/guitar/fretboard.js';
import { scaleShape } from '../../lib/guitar/scale-shape.js';
import { parseSolo } from '../../lib/notation/parser.js';
import { printSolo } from '../../lib/notation/printer.js';
import { chordSpans, spanAt } from '../../lib/solo/harmony.js';
import { gridOf, type Solo } from '../../lib/solo/solo.js';
import { demo, demoTable, madeTable } from '../analysis/made.js';
import { solos } from '../arbitraries.js';

/** Printed and read again by the reader of solo text: no fault, no warning. */
const readAgain = (solo: Solo, what: string): void => {
  const { diagnostics } = parseSolo(printSolo(solo), what);
  expect(diagnostics.map(({ message }) => `${what}: ${message}`)).toEqual([]);
};

describe('scaleShape', () => {
  // Common practice, no source: A major pentatonic around fret 5, string by string.
  it('A major pentatonic in position 5: 5 7, 4 7, 4 7, 4 6, 5 7, 5 7 from string 6 up', () => {
    const shape = scaleShape(STANDARD_GUITAR, [9, 11, 1, 4, 6].map(pitchClass), 5);
    const byString = [6, 5, 4, 3, 2, 1].map((s) => shape.filter(({ string }) => string === s).map(({ fret }) => fret));
    expect(byString).toEqual([
      [5, 7],
      [4, 7],
      [4, 7],
      [4, 6],
      [5, 7],
      [5, 7],
    ]);
  });
  it('A minor pentatonic in position 5: 5 8, 5 7, 5 7, 5 7, 5 8, 5 8', () => {
    const shape = scaleShape(STANDARD_GUITAR, [9, 0, 2, 4, 7].map(pitchClass), 5);
    const byString = [6, 5, 4, 3, 2, 1].map((s) => shape.filter(({ string }) => string === s).map(({ fret }) => fret));
    expect(byString).toEqual([
      [5, 8],
      [5, 7],
      [5, 7],
      [5, 7],
      [5, 8],
      [5, 8],
    ]);
  });
  it('rises without a gap: every tone of the scale between its lowest and its highest is there, once, under the hand', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 0, max: 11 }),
        fc.integer({ min: 1, max: 17 }),
        fc.constantFrom([0, 2, 4, 7, 9], [0, 3, 5, 7, 10], [0, 2, 4, 5, 7, 9, 11], [0, 2, 3, 5, 7, 8, 11]),
        (tonic, position, scale) => {
          const classes = scale.map((n) => pitchClass(tonic + n));
          const shape = scaleShape(STANDARD_GUITAR, classes, position);
          const pitches: number[] = shape.map(({ pitch }) => pitch);
          for (const { string, fret, pitch } of shape) {
            expect(pitchAt(STANDARD_GUITAR, string, fret)).toBe(pitch);
            expect(fret === 0 || (fret >= position - 1 && fret <= position + 4)).toBe(true);
          }
          const all: number[] = [];
          for (let key = pitches[0] as number; key <= (pitches[pitches.length - 1] as number); key++)
            if (classes.includes(pitchClass(key))) all.push(key);
          expect(pitches).toEqual(all);
        },
      ),
    );
  });
  it('refuses a position off the neck', () => {
    expect(() => scaleShape(STANDARD_GUITAR, [], 25)).toThrow('position 25 is not on the neck: 1 to 24 expected');
  });
});

describe('groundSteps of the demo solos', () => {
  it.each(demo.map((named) => [named.id, named] as const))(
    '%s: in order, read without a fault, on the neck, fit their bars',
    (id, named) => {
      const steps = groundSteps(named);
      const kinds = steps.map(({ kind }) => GROUND_KINDS.indexOf(kind));
      expect(kinds).toEqual([...kinds].sort((a, b) => a - b));
      expect(kinds).toEqual(expect.arrayContaining([0, 1, 3, 4]));
      const spans = chordSpans(named.solo);
      for (const { kind, exercise, position } of steps) {
        readAgain(exercise.solo, `${id} ${kind}`);
        const [phrase] = exercise.solo.phrases;
        for (const { fret, string } of phrase?.notes ?? []) {
          expect(pitchAt(named.solo.guitar, string, fret)).toBeDefined();
          expect(fret === 0 || (fret >= position - 1 && fret <= position + 4)).toBe(true);
        }
        const grid = gridOf(exercise.solo);
        for (const note of phrase?.notes ?? []) {
          const pitch = pitchAt(named.solo.guitar, note.string, note.fret) as number;
          const span = spans[spanAt(spans, note.onset)];
          if (kind === 'root of the key') expect(pitchClass(pitch)).toBe(named.solo.key.tonic);
          if (kind === 'roots at the changes') expect(pitchClass(pitch)).toBe(span?.chord?.root);
          if (kind === 'chord tones at the changes')
            expect(
              span?.chord?.members.map(({ semitones }) => pitchClass((span.chord?.root ?? 0) + semitones)),
            ).toContain(pitchClass(pitch));
          if (kind.includes('at the changes'))
            expect(grid.place(note.onset).offset % grid.place(note.onset).bar.meter.beatTicks).toBe(0);
        }
      }
    },
  );
  it('comes to the root of every new chord on the beat where it comes', () => {
    for (const named of demo) {
      const notes =
        groundSteps(named).find(({ kind }) => kind === 'roots at the changes')?.exercise.solo.phrases[0]?.notes ?? [];
      const last = notes[notes.length - 1]?.onset ?? 0;
      for (const span of chordSpans(named.solo))
        if (span.chord && span.start <= last)
          expect(
            notes.some(({ onset }) => onset === span.start),
            `${named.id} ${span.symbol}`,
          ).toBe(true);
    }
  });
  it('goes elsewhere if a position is to be avoided', () => {
    const named = demo.find(({ id }) => id === 'ticket-window') as (typeof demo)[number];
    expect(groundSteps(named)[0]?.position).toBe(5);
    expect(groundSteps(named, { avoid: [4, 5] })[0]?.position).toBe(6);
  });
  it('an added note is told with the chord that it serves', () => {
    const named = demo.find(({ id }) => id === 'wet-rope') as (typeof demo)[number];
    expect(groundSteps(named).map(({ title }) => title)).toContain('the added 4 over the IV');
  });
});

describe('drillsOf the demo solos', () => {
  it.each(demo.map((named) => [named.id, named.solo] as const))(
    '%s: read without a fault; every bend has its check, at the pitch that it must reach',
    (id, solo) => {
      for (const phrase of solo.phrases) {
        const drills = drillsOf(solo, phrase.id);
        for (const { exercise } of drills) readAgain(exercise.solo, `${id} ${phrase.id} ${exercise.title}`);
        const bends = new Set(
          phrase.notes
            .filter((n) => n.kind === 'fretted' && peakLevel(n.path) > 0)
            .map((n) => `${n.string} ${n.fret} ${peakLevel(n.path)}`),
        );
        const checked = drills.filter(({ kind }) => kind === 'bend');
        expect(checked).toHaveLength(bends.size);
        for (const { check = [], exercise } of checked) {
          const bent = exercise.solo.phrases[0]?.notes.filter((note) => note.path.length > 0).at(-1);
          const target =
            ((pitchAt(
              solo.guitar,
              (bent as NonNullable<typeof bent>).string,
              (bent as NonNullable<typeof bent>).fret,
            ) as number) *
              100 +
              peakLevel((bent as NonNullable<typeof bent>).path)) /
            100;
          const sounds = check.map((at) => pitchAt(solo.guitar, at.string, at.fret) as number);
          if (Number.isInteger(target)) expect(sounds).toEqual([target]);
          else expect(sounds).toEqual([Math.floor(target), Math.ceil(target)]);
        }
      }
    },
  );
  it('refuses a phrase that is not there', () => {
    expect(() => drillsOf(demo[0]?.solo as Solo, '99')).toThrow(/no phrase 99 in .*; there are 1, 2/);
  });
});

describe('excerpt', () => {
  it('of any phrase, at any cut, reads without a fault that the whole did not have', () => {
    fc.assert(
      fc.property(solos, fc.nat(), fc.nat(), (solo, a, b) => {
        fc.pre(parseSolo(printSolo(solo), 'whole').diagnostics.length === 0);
        const [phrase] = solo.phrases;
        fc.pre(phrase !== undefined && phrase.notes.length > 0);
        const onsets = [...new Set(phrase.notes.map(({ onset }) => onset as number))];
        const from = onsets[a % onsets.length] as number;
        const until = (onsets[b % onsets.length] as number) + 1;
        const part = excerpt(phrase, from, until);
        fc.pre(part !== undefined);
        const codes = parseSolo(printSolo({ ...solo, phrases: [part] }), 'part').diagnostics.filter(
          ({ severity }) => severity === 'fault',
        );
        expect(codes.map(({ message }) => message)).toEqual([]);
      }),
      { numRuns: 100 },
    );
  });
});

describe('knowledgeOf', () => {
  const needs = (phrases: string, head?: string) =>
    knowledgeOf(madeTable('1 C7 | F7 | C7 | G7', phrases, head)).map(({ needs: all }) => all.map(({ id }) => id));
  it('names techniques, position, rhythms, tones over chords and changes', () => {
    expect(needs('phrase 1\nat 1 1\n  q 8@2 e h10@2 8@2 q:3 8@1 p6@1 8@2(0>2)~ |\n  w 6@2 |\n')).toEqual([
      [
        'hammer-on',
        'pull-off',
        'whole-step bend',
        'vibrato on a bend',
        'single notes',
        'position 6',
        'eighths',
        'eighths off the beat',
        'eighth triplets',
        '5 over I',
        '6 over I',
        '1 over I',
        'b7 over I',
        '1 over IV',
        'I to IV',
      ],
    ]);
  });
  it('tells a curl, a pre-bend, a let-down, a bend held under other strings', () => {
    const [first] = needs('phrase 1\nat 1 1\n  q 8@3(0>0.5) 9@3(2) h 9@3(2>0) |\n  h 9@3(0>2)= q 8@1= 8@1 damp |\n');
    expect(first).toEqual(
      expect.arrayContaining(['curl', 'pre-bend', 'let-down of a bend', 'bend held under other strings']),
    );
  });
  it('every phrase of the demo needs something, and everything it needs has a weight', () => {
    const all = knowledgeOf(demoTable);
    expect(all.length).toBeGreaterThan(200);
    for (const { needs: own } of all) {
      expect(own.length).toBeGreaterThan(2);
      expect(new Set(own.map(({ id }) => id)).size).toBe(own.length);
      for (const { weight } of own) expect(weight).toBeGreaterThan(0);
    }
  });
});

describe('nextReview', () => {
  // SM-2: P. A. Wozniak 1990, Optimization of learning (super-memory.com/english/ol/sm2.htm), the intervals and the change of the ease by grade.
  it('with grade 5 each time: 1, 6, 17, 48, 140 days; ease 2.6, 2.7, 2.8, 2.9, 3.0', () => {
    let state = NEW_REVIEW;
    const seen = [1, 2, 3, 4, 5].map(() => {
      state = nextReview(state, 5);
      return [state.interval, Number(state.ease.toFixed(10))];
    });
    expect(seen).toEqual([
      [1, 2.6],
      [6, 2.7],
      [17, 2.8],
      [48, 2.9],
      [140, 3],
    ]);
  });
  it('with the ease held at 2.5: 1, 6, 15, 38, 95, 238, 595', () => {
    let state = NEW_REVIEW;
    const intervals = Array.from({ length: 7 }, () => {
      state = { ...nextReview(state, 4), ease: 2.5 };
      return state.interval;
    });
    expect(intervals).toEqual([1, 6, 15, 38, 95, 238, 595]);
  });
  it('changes the ease by +.10, 0, -.14; a grade under 3 starts again and leaves it', () => {
    const state = { repetitions: 3, interval: 15, ease: 2.5 };
    expect([5, 4, 3].map((grade) => Number((nextReview(state, grade).ease - 2.5).toFixed(10)))).toEqual([
      0.1, 0, -0.14,
    ]);
    for (const grade of [2, 1, 0]) expect(nextReview(state, grade)).toEqual({ repetitions: 0, interval: 1, ease: 2.5 });
    expect(nextReview({ ...state, ease: 1.35 }, 3).ease).toBe(1.3);
    expect(() => nextReview(state, 6)).toThrow('the grade is 6: a whole number from 0 to 5 expected');
  });
  it('days add up', () => {
    expect(reviewDays(3, 60)).toEqual([4, 10, 25]);
  });
});

describe('tempoLadder', () => {
  it('rises by a fifth at most, from half the goal to it', () => {
    fc.assert(
      fc.property(fc.integer({ min: 20, max: 300 }), (goal) => {
        const ladder = tempoLadder(goal);
        expect(ladder[ladder.length - 1]).toBe(goal);
        for (let k = 1; k < ladder.length; k++) {
          expect(ladder[k] as number).toBeGreaterThan(ladder[k - 1] as number);
          expect(ladder[k] as number).toBeLessThanOrEqual(
            Math.max((ladder[k - 1] as number) + 1, ((ladder[k - 1] as number) * 6) / 5),
          );
        }
      }),
    );
    expect(() => tempoLadder(0)).toThrow('the goal is 0 quarter notes a minute');
  });
});

describe('readStudent', () => {
  it('reads an empty profile, and knows groups', () => {
    expect(readStudent('').value).toEqual({ name: 'a student', knows: [], minutesAWeek: 90, avoidPositions: [] });
    const { value } = readStudent('knows:\n  - legato\n  - position 5\n');
    expect(knownItems(value as NonNullable<typeof value>, NAMED_ITEMS)).toEqual([
      'hammer-on',
      'pull-off',
      'slide',
      'grace notes',
      'single notes',
    ]);
  });
  it.each([
    ['nmae: Pip', 1, 1, '"nmae" is no field of a profile', 'name is meant?'],
    ['name: Pip\nknows: [slides]', 2, 9, '"slides" is nothing that can be known here', 'slide is meant?'],
    ['tempo ceiling: fast', 1, 16, 'tempo ceiling is "fast", a number from 20 to 400 expected', undefined],
    ['avoid positions: [high up]', 1, 19, '"high up" is no position', 'a fret or a range of frets, such as 1 or 12-15'],
    ['name: [a, b]', 1, 8, 'name is one value, a list was found', undefined],
    ['- a', 1, 1, 'a profile is a list of field: value', undefined],
    ['knows: [[a]]', 1, 1, 'knows holds plain words only', 'a list such as [hammer-on, slide]'],
  ])('%j: a fault at %i:%i', (text, line, column, message, remedy) => {
    const { value, diagnostics } = readStudent(text, 'pip.yaml');
    expect(value).toBeUndefined();
    expect(diagnostics[0]).toMatchObject({ message, place: { line, column } });
    if (remedy !== undefined) expect(diagnostics[0]?.remedy).toBe(remedy);
  });
  it('never throws, and reads every name that it offers', () => {
    fc.assert(fc.property(fc.string(), (text) => void readStudent(text)));
    for (const name of KNOWABLE) expect(readStudent(`knows: ["${name}"]`).diagnostics).toEqual([]);
  });
});
