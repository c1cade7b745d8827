import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type Difficulty, difficultyOf } from '../../lib/curriculum/difficulty.js';
import { QUARTER } from '../../lib/foundation/time.js';
import { cents, fret, stringNumber, ticks } from '../../lib/foundation/units.js';
import { readCorpus } from '../../lib/intake/read-corpus.js';
import { type Note, type Phrase, phraseEnd, type Solo } from '../../lib/solo/solo.js';
import { solos } from '../arbitraries.js';

const demo = readCorpus(['data/solos']).solos;

/** A solo and one of its phrases: from the demo, or any that can be written. */
const phrases: fc.Arbitrary<readonly [Solo, Phrase]> = fc.oneof(
  fc
    .constantFrom(...demo)
    .chain(({ solo }) => fc.constantFrom(...solo.phrases).map((phrase) => [solo, phrase] as const)),
  solos.filter((solo) => solo.phrases.length > 0).map((solo) => [solo, solo.phrases[0] as Phrase] as const),
);

/** The solo with this phrase in place of the one of its id. */
const withPhrase = (solo: Solo, phrase: Phrase): Solo => ({
  ...solo,
  phrases: solo.phrases.map((p) => (p.id === phrase.id ? phrase : p)),
});

/** A little less: sums of seconds in another order differ in their last digits. */
const nearly = (n: number): number => n - 1e-9 * (1 + n);

/** No feature of the easier one demands more than it does in the harder one. */
function expectNotEasier(harder: Difficulty, easier: Difficulty, but: readonly string[] = []): void {
  harder.features.forEach(({ name, demand }, i) => {
    if (!but.includes(name)) expect(demand, name).toBeGreaterThanOrEqual(nearly(easier.features[i]!.demand));
  });
  if (but.length === 0) expect(harder.points).toBeGreaterThanOrEqual(nearly(easier.points));
}

describe('difficulty', () => {
  it('is a sum of its features, each finite and not below 0, with shares that add up to 1', () => {
    fc.assert(
      fc.property(phrases, ([solo, phrase]) => {
        const found = difficultyOf(solo, phrase.id);
        for (const f of found.features) {
          expect(f.demand, f.name).toBeGreaterThanOrEqual(0);
          expect(Number.isFinite(f.points + f.value), f.name).toBe(true);
          expect(f.peak === undefined || f.peak.said !== '').toBe(true);
        }
        expect(found.features.reduce((sum, f) => sum + f.points, 0)).toBeCloseTo(found.points, 9);
        if (found.points > 0) expect(found.features.reduce((sum, f) => sum + f.share, 0)).toBeCloseTo(1, 9);
      }),
    );
  });

  it('faster is never easier, in any feature', () => {
    fc.assert(
      fc.property(phrases, fc.double({ min: 1, max: 4, noNaN: true }), ([solo, phrase], faster) => {
        const fast = {
          ...solo,
          tempo: solo.tempo * faster,
          changes: {
            ...solo.changes,
            settings: solo.changes.settings.map((s) => (s.tempo === undefined ? s : { ...s, tempo: s.tempo * faster })),
          },
        };
        expectNotEasier(difficultyOf(fast, phrase.id), difficultyOf(solo, phrase.id));
        expectNotEasier(
          difficultyOf(solo, phrase.id, { tempo: 60 * faster }),
          difficultyOf(solo, phrase.id, { tempo: 60 }),
        );
      }),
    );
  });

  it('one more bend is never easier, in any feature', () => {
    fc.assert(
      fc.property(
        phrases,
        fc.nat(),
        fc.constantFrom([0, 200], [0, 50], [200], [0, 100, 0], [0, 300]),
        ([solo, phrase], n, levels) => {
          const at = phrase.notes
            .map((note, i) => ({ note, i }))
            .filter(({ note, i }) => {
              const next = phrase.notes.slice(i + 1).find((other) => other.string === note.string);
              const isOn = next?.kind === 'on'; // what goes on would go on from another level: another phrase
              return note.kind === 'fretted' && note.path.length === 0 && note.fret > 0 && !note.harmonic && !isOn;
            });
          fc.pre(at.length > 0);
          const chosen = at[n % at.length]!;
          fc.pre(chosen.note.length >= levels.length || chosen.note.grace > 0);
          const bent: Note = { ...chosen.note, path: levels.map((level) => ({ level: cents(level) })) };
          const harder = { ...phrase, notes: phrase.notes.map((note, i) => (i === chosen.i ? bent : note)) };
          const before = difficultyOf(solo, phrase.id);
          const after = difficultyOf(withPhrase(solo, harder), phrase.id);
          expectNotEasier(after, before);
        },
      ),
      { numRuns: 300 },
    );
  });

  it('nor is a bend before a note that is bent already, though that is then held from it', () => {
    const demoSolo = demo[0]!.solo;
    const phrase = demoSolo.phrases[0]!;
    const note = (i: number, ...levels: readonly number[]): Note => ({
      ...phrase.notes.find((n) => n.kind === 'fretted' && n.grace === 0)!,
      onset: ticks(phrase.at + i * QUARTER),
      length: QUARTER,
      string: stringNumber(2),
      fret: fret(8),
      start: 'picked',
      path: levels.map((level) => ({ level: cents(level) })),
    });
    for (const end of [[200], [200, 0], [100]]) {
      const of = (...first: readonly number[]) => ({
        ...phrase,
        notes: [note(0, ...first), note(1, ...end)],
        length: ticks(4 * QUARTER),
      });
      const before = difficultyOf(withPhrase(demoSolo, of()), phrase.id);
      expectNotEasier(difficultyOf(withPhrase(demoSolo, of(0, 200)), phrase.id), before);
      expectNotEasier(difficultyOf(withPhrase(demoSolo, of(0, 100)), phrase.id), before);
    }
  });

  it('one more note is never easier, over a skip least of all', () => {
    fc.assert(
      fc.property(phrases, fc.nat(5), fc.nat(12), ([solo, phrase], s, f) => {
        const strings = solo.guitar.tuning.length;
        const last = phrase.notes.filter((note) => note.grace === 0 && note.kind !== 'on').at(-1);
        fc.pre(last !== undefined);
        const string = last!.string > 3 ? 1 : strings - (s % 2);
        fc.pre(Math.abs(string - last!.string) >= 2);
        const end = phraseEnd(phrase);
        const note: Note = {
          ...last!,
          kind: 'fretted',
          onset: end,
          length: QUARTER,
          string: stringNumber(string),
          fret: fret(Math.min(f, solo.guitar.frets - solo.guitar.capo)),
          start: 'picked',
          path: [],
          harmonic: false,
          slideAway: false,
          ring: false,
        };
        const longer = { ...phrase, notes: [...phrase.notes, note], length: ticks(phrase.length + QUARTER) };
        const before = difficultyOf(solo, phrase.id);
        const after = difficultyOf(withPhrase(solo, longer), phrase.id);
        expectNotEasier(after, before);
        const lastEvent = phrase.notes.filter((n) => n.onset === last!.onset && n.grace === 0 && n.kind !== 'on');
        const skipped = Math.min(...lastEvent.map((n) => Math.abs(n.string - string))) >= 2;
        const skip = (d: Difficulty) => d.features.find((x) => x.name === 'skips')!.demand;
        if (skipped) expect(skip(after)).toBeGreaterThan(0);
        expect(after.points).toBeGreaterThan(before.points);
      }),
    );
  });

  it('no part of a phrase is harder than the whole, in any feature', () => {
    fc.assert(
      fc.property(phrases, fc.nat(), fc.nat(), ([solo, phrase], a, b) => {
        const from = phrase.at + (a % phrase.length);
        const until = from + 1 + (b % (phraseEnd(phrase) - from));
        expectNotEasier(difficultyOf(solo, phrase.id), difficultyOf(solo, phrase.id, { from, until }));
      }),
      { numRuns: 300 },
    );
  });

  it('nor is a part that is cut out and written as a phrase of its own, its entry apart', () => {
    fc.assert(
      fc.property(phrases, fc.nat(), fc.nat(), ([solo, phrase], a, b) => {
        const from = phrase.at + (a % phrase.length);
        const until = from + 1 + (b % (phraseEnd(phrase) - from));
        const inside = phrase.notes.filter((note) => note.onset >= from && note.onset < until);
        // What goes on sounding from before the cut has no beginning in it.
        const begun = new Set<number>();
        const notes = inside
          .filter((note) => {
            if (note.kind !== 'on') begun.add(note.string);
            return begun.has(note.string);
          })
          .map((note) =>
            note.path.length > 0 ? note : { ...note, length: ticks(Math.min(note.length, until - note.onset)) },
          );
        const cut: Phrase = {
          ...phrase,
          at: ticks(from),
          length: ticks(until - from),
          notes,
          damps: phrase.damps.filter((d) => d >= from && d < until),
          remarks: [],
        };
        expectNotEasier(difficultyOf(solo, phrase.id), difficultyOf(withPhrase(solo, cut), phrase.id), ['entry']);
      }),
      { numRuns: 300 },
    );
  });

  it('the same phrase higher on the neck asks for no wider stretch and no faster shift', () => {
    fc.assert(
      fc.property(phrases, fc.integer({ min: 1, max: 5 }), ([solo, phrase], up) => {
        const fretted = phrase.notes.filter((note) => note.kind === 'fretted' && !note.harmonic);
        fc.pre(
          fretted.length > 0 && fretted.every((n) => n.fret > 0 && n.fret + up <= solo.guitar.frets - solo.guitar.capo),
        );
        const notes = phrase.notes.map((n) =>
          n.kind === 'fretted' && !n.harmonic ? { ...n, fret: fret(n.fret + up) } : n,
        );
        const [low, high] = [
          difficultyOf(solo, phrase.id),
          difficultyOf(withPhrase(solo, { ...phrase, notes }), phrase.id),
        ];
        for (const name of ['stretch', 'shift'])
          expect(high.features.find((f) => f.name === name)!.demand).toBeLessThanOrEqual(
            low.features.find((f) => f.name === name)!.demand + 1e-9,
          );
      }),
    );
  });
});
