// What is played, measured in the samples by methods that know nothing of how they were made (tests/sound/measure.ts names the sources).
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { performanceOf } from '../../lib/solo/performance.js';
import { samplesOf } from '../../lib/sound/string-synth.js';
import { solos } from '../arbitraries.js';
import { centsOf, onsetsIn, periodOf, pitchOf } from './measure.js';
import { type Heard, heard, soloOf } from './played.js';

/** Frequencies of the open strings in hertz, string 1 first. Source: ISO 16:1975, A4 = 440 Hz, in equal temperament (computed). */
const OPEN = [329.6276, 246.9417, 195.9977, 146.8324, 110, 82.4069] as const;
/** Cents between a measured pitch and fret `n` of a string. */
const off = (measured: number | undefined, string: number, n: number): number =>
  (measured ?? Number.NaN) - centsOf(OPEN[string - 1]!) - 100 * n;

describe('the measuring itself', () => {
  const rate = 44100;
  const tone = (hertz: number, partials: number) =>
    Float32Array.from({ length: rate }, (_, i) => {
      let value = 0;
      for (let k = 1; k <= partials && k * hertz < rate / 2; k++)
        value += Math.sin((2 * Math.PI * k * hertz * i) / rate + k) / k;
      return value * Math.exp(-i / rate);
    });

  it.each([82.4069, 110, 440, 445.1, 1318.5102, 1480])('finds %d Hz to a tenth of a cent, plain or rich', (hertz) => {
    for (const partials of [1, 8])
      expect(Math.abs(pitchOf(tone(hertz, partials), rate, 0.1, 0.4)! - centsOf(hertz))).toBeLessThan(0.1);
  });
  it('finds no pitch in noise and in silence', () => {
    let state = 1;
    const noise = Float32Array.from({ length: 4000 }, () => {
      state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
      return state / 2 ** 31 - 1;
    });
    expect(periodOf(noise)).toBeUndefined();
    expect(periodOf(new Float32Array(4000))).toBeUndefined();
  });
  it('finds onsets to 2 ms', () => {
    const two = tone(220, 8);
    two.set(tone(330, 8).subarray(0, rate / 2), rate / 2);
    two.fill(0, 0, rate / 10);
    const [first, second, more] = onsetsIn(two, rate);
    expect(Math.abs(first! - 0.1)).toBeLessThan(0.002);
    expect(Math.abs(second! - 0.5)).toBeLessThan(0.002);
    expect(more).toBeUndefined();
  });
});

describe('pitch', () => {
  for (const string of [1, 2, 3, 4, 5, 6])
    it(`frets 0 to 24 of string ${string} are within 2 cents of equal temperament`, () => {
      for (let n = 0; n <= 24; n++) {
        const { pitch } = heard(`h ${n}@${string}`, 'tempo: 160\n');
        expect(Math.abs(off(pitch(0.1, 0.6), string, n)), `fret ${n}`).toBeLessThan(2);
      }
    });
  it.each([8000, 22050, 48000, 96000])('at %d samples a second too', (rate) => {
    for (const [n, string] of [
      [0, 6],
      [7, 3],
      [5, 1],
    ] as const)
      expect(Math.abs(off(heard(`h ${n}@${string}`, '', rate).pitch(0.1, 0.6), string, n))).toBeLessThan(2);
  });

  it.each([
    ['(0>2)', 2],
    ['(0>1)', 1],
    ['(0>0.5)', 0.5],
    ['(0>1.5)', 1.5],
    ['(0>3)', 3],
    ['(2)', 2],
    ['(0.5)', 0.5],
  ])('the top of %s is within 3 cents, on each string', (path, level) => {
    for (const string of [1, 2, 3, 4, 5, 6]) {
      const { pitch } = heard(`q 9@${string}${path}`);
      expect(Math.abs(off(pitch(0.3, 0.9), string, 9 + level))).toBeLessThan(3);
    }
  });
  it('a bend starts from the fret: half way up it is half way up', () => {
    const { pitch } = heard('q 9@1(0>2)');
    const middle = off(pitch(0.04, 0.08), 1, 9);
    expect(middle).toBeGreaterThan(60);
    expect(middle).toBeLessThan(140);
  });
  it.each(['(0>2>0)', '(2>0)', '(0>2 q>0 q)'])('the release of %s reaches the fret', (path) => {
    const { pitch } = heard(`h 9@3${path}`);
    expect(Math.abs(off(pitch(0.3, 0.9), 3, 11))).toBeLessThan(3);
    expect(Math.abs(off(pitch(1.2, 1.8), 3, 9))).toBeLessThan(3);
  });
  it('a bend held under another string, then let down by @2(>0), reaches the fret', () => {
    const { pitch } = heard('q 8@2(0>2)= - @2(>0)');
    expect(Math.abs(off(pitch(1.2, 1.8), 2, 10))).toBeLessThan(3);
    expect(Math.abs(off(pitch(2.2, 2.8), 2, 8))).toBeLessThan(3);
  });
  it('a held bend picked again stands at the top at once', () => {
    const { pitch } = heard('q 8@2(0>2) 8@2(2)');
    expect(Math.abs(off(pitch(1.02, 1.4), 2, 10))).toBeLessThan(3);
  });
  it('hammered, pulled, tapped and slid notes on a sounding string reach their fret', () => {
    const { pitch } = heard('q 7@3 h9@3 p7@3 t14@3 | /16@3 \\12@3');
    for (const [i, n] of [7, 9, 7, 14, 16, 12].entries())
      expect(Math.abs(off(pitch(i + 0.15, i + 0.6), 3, n)), `note ${i}`).toBeLessThan(2);
  });
  it('a slurred note keeps its fundamental: struck out of step it was heard an octave up', () => {
    for (const words of ['e 6@2 h8@2', 'e 10@2 p5@2', 'e 10@2 h14@2', 'e 2@1 h3@1'])
      for (const tempo of [84, 101, 112, 126, 138, 152]) {
        const { sounds, pitch } = heard(words, `tempo: ${tempo}\n`);
        const { at, end, curve } = sounds[1]!;
        expect(Math.abs((pitch(at + 0.04, end) ?? Number.NaN) - curve[0]!.cents), `${words} at ${tempo}`).toBeLessThan(
          3,
        );
      }
  });
  it('a slide is half way between its frets just before the beat', () => {
    const middle = off(heard('q 7@3 /12@3').pitch(0.93, 0.97), 3, 7);
    expect(middle).toBeGreaterThan(150);
    expect(middle).toBeLessThan(350);
  });
  it('vibrato goes up by about 35 cents and back to the fret', () => {
    const { pitch } = heard('h 9@2~');
    const found = Array.from({ length: 40 }, (_, i) => off(pitch(0.8 + i * 0.02, 0.84 + i * 0.02), 2, 9));
    expect(Math.max(...found)).toBeGreaterThan(25);
    expect(Math.max(...found)).toBeLessThan(37);
    expect(Math.abs(Math.min(...found))).toBeLessThan(8);
  });
  it.each([
    [12, 2],
    [7, 3],
    [5, 4],
    [4, 5],
    [3, 6],
  ])('a harmonic at fret %d sounds partial %d of the string', (n, partial) => {
    for (const string of [2, 4, 6]) {
      const { pitch } = heard(`q ${n}@${string}*`);
      const measured = 440 * 2 ** ((pitch(0.1, 0.6)! - 6900) / 1200);
      expect(Math.abs(centsOf(measured) - centsOf(partial * OPEN[string - 1]!))).toBeLessThan(2);
    }
  });
  it('a tuning and a capo are heard', () => {
    expect(Math.abs(off(heard('h 0@6', 'tuning: D2 A2 D3 G3 B3 E4\n').pitch(0.1, 0.6), 6, -2))).toBeLessThan(2);
    expect(Math.abs(off(heard('h 2@1', 'capo: 3\n').pitch(0.1, 0.6), 1, 5))).toBeLessThan(2);
  });
});

describe('time', () => {
  const onsets = ({ samples }: Heard) => onsetsIn(samples, 44100);
  const near = (found: readonly number[], expected: readonly number[]) => {
    expect(found.length).toBe(expected.length);
    found.forEach((t, i) => {
      expect(Math.abs(t - expected[i]!), `onset ${i}`).toBeLessThan(0.005);
    });
  };

  it('onsets are within 5 ms of the written time, on one string and on several', () => {
    near(onsets(heard('q 5@1 e 5@2 7@2 s 5@3 5@3 5@3 5@3 q 3@6')), [0, 1, 1.5, 2, 2.25, 2.5, 2.75, 3]);
    near(onsets(heard('e 5@1 q 5@1 e 5@1', 'tempo: 120\n')), [0, 0.25, 0.75]);
  });
  it('swing 2:1 places the off eighth at two thirds of the beat', () => {
    near(onsets(heard('e 5@1 8@2 5@1 8@2', 'feel: swing e 2:1\n')), [0, 2 / 3, 1, 5 / 3]);
  });
  it('a triplet stays even under swing', () => {
    near(onsets(heard('e:3 5@1 8@2 5@1 e 5@1 8@2', 'feel: swing e 2:1\n')), [0, 1 / 3, 2 / 3, 1, 5 / 3]);
  });
  it('a change of tempo is heard from its bar on', () => {
    const changes = 'changes\n  1 C\n  tempo 120\n  2 C\n';
    const samples = samplesOf(performanceOf(soloOf('w 5@1 | h 5@1 5@1 | q 5@1 5@1', '', changes)));
    near(onsetsIn(samples, 44100), [0, 4, 6, 8, 8.5]);
  });
  it('a note stops where it is written to stop', () => {
    const { level } = heard('q 3@5 - 3@5');
    expect(level(0.9, 1)).toBeGreaterThan(0.005);
    expect(level(1.05, 1.95)).toBeLessThan(1e-6);
  });
  it('a bend is not struck again at its release', () => {
    near(onsets(heard('h 9@3(0>2>0) q 9@3')), [0, 2]);
  });
});

describe('loudness', () => {
  it('accents are louder than plain notes, ghost notes softer by 6 dB and more', () => {
    const { level } = heard('q 5@2 5@2! 5@2:ghost');
    expect(level(1, 1.2)).toBeGreaterThan(1.15 * level(0, 0.2));
    expect(level(2, 2.2)).toBeLessThan(0.5 * level(0, 0.2));
  });
  it('muted notes die away, open ones ring', () => {
    const { level } = heard('q 5@3 5@3:mute');
    expect(level(0.6, 0.8) / level(0, 0.2)).toBeGreaterThan(0.2);
    expect(level(1.6, 1.8) / level(1, 1.2)).toBeLessThan(0.05);
  });
  it('a hammered note starts softer than a picked one', () => {
    const { level } = heard('h 7@3 h9@3 | h 7@3 9@3');
    expect(level(2, 2.1)).toBeLessThan(level(6, 6.1));
  });
  it('a dead note is heard, and over within 150 ms', () => {
    const { level } = heard('q x@4 -');
    expect(level(0, 0.03)).toBeGreaterThan(0.01);
    expect(level(0.15, 0.9)).toBe(0);
  });
  it('a ringing note sounds on under the next and behind it', () => {
    expect(heard('q 0@6= 12@1 -').level(2.1, 2.9)).toBeGreaterThan(0.003);
    expect(heard('q 0@6 12@1 -').level(2.1, 2.9)).toBe(0);
  });
});

describe('samples', () => {
  const sameSamples = (a: Float32Array, b: Float32Array) => a.length === b.length && a.every((v, i) => v === b[i]);
  const words = 'q 7@3(0>2)~ h9@3 x@4 12@1* | ring e 3@5 5@4 5@3 damp q /9@2';
  it('the same seed gives the same samples, another seed another noise', () => {
    const play = (seed: number) => samplesOf(performanceOf(soloOf(words)), { seed });
    expect(sameSamples(play(7), play(7))).toBe(true);
    expect(sameSamples(play(7), play(8))).toBe(false);
  });
  it('from a later second on they are the same samples, without those before', () => {
    const performance = performanceOf(soloOf(words));
    const [all, later] = [samplesOf(performance), samplesOf(performance, { from: 2 })];
    expect(later.length).toBe(all.length - 88200);
    expect(sameSamples(later, all.subarray(88200))).toBe(true);
  });
  it('have no click where a string changes fret: no step is higher than that of its pick stroke', () => {
    const { samples } = heard('h 7@3 p5@3');
    const step = (from: number, to: number) => {
      let most = 0;
      for (let i = Math.round(from * 44100) + 1; i < to * 44100; i++)
        most = Math.max(most, Math.abs(samples[i]! - samples[i - 1]!));
      return most;
    };
    expect(step(1.99, 2.1)).toBeLessThan(step(0, 0.1));
  });
  it('of any solo are finite, and silent before the first note and after the last', () => {
    fc.assert(
      fc.property(solos, (solo) => {
        const performance = performanceOf(solo, { tempo: 400 });
        if (performance.seconds > 60) return;
        const samples = samplesOf(performance, { rate: 8000 });
        expect(samples.every(Number.isFinite)).toBe(true);
        const first = performance.sounds[0]?.at ?? 0;
        expect(samples.subarray(0, Math.max(0, Math.floor(first * 8000) - 1)).every((v) => v === 0)).toBe(true);
        expect(samples.subarray(-8).every((v) => v === 0)).toBe(true);
      }),
      { numRuns: 60, seed: 23 },
    );
  });
  it('of pitches beyond the rate are silent, not wrong', () => {
    const { samples } = heard('q 24@1(0>2)', 'tuning: E7 A7 D8 G8 B8 E9\n', 8000);
    expect(samples.every((v) => v === 0)).toBe(true);
  });
  it('refuses what it cannot do, in words', () => {
    const performance = performanceOf(soloOf('q 5@1'));
    expect(() => samplesOf(performance, { rate: 100 })).toThrow('rate 100: a whole number from 8000 to 192000');
    expect(() => samplesOf(performance, { from: Number.NaN })).toThrow('from NaN: seconds from the start expected');
    expect(() => samplesOf({ ...performance, seconds: 4000 })).toThrow('67 minutes, at most 60 expected');
  });
});
