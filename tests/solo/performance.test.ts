import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { parseSoloOrThrow } from '../../lib/notation/parser.js';
import { performanceOf, type Sound, soundPitch } from '../../lib/solo/performance.js';
import { tonesOf } from '../../lib/solo/timeline.js';
import { solos } from '../arbitraries.js';
import { soloOf, soundsOf } from '../sound/played.js';

const round = (value: number): number => Math.round(value * 1000) / 1000;
/** Where sounds begin and end, and their string. */
const times = (sounds: readonly Sound[]) => sounds.map((s) => `${round(s.at)}-${round(s.end)} @${s.string}`);
/** Pitches of a sound at moments, in cents above its fret 0 pitch of 0. */
const pitches = (sound: Sound | undefined, ...at: number[]) => at.map((t) => Math.round(soundPitch(sound!, t)));

describe('when notes sound', () => {
  it('from their onset to their end; a rest is silent', () => {
    expect(times(soundsOf('q 5@1 - 8@2'))).toEqual(['0-1 @1', '2-3 @2']);
  });
  it('ringing notes end at the next event on their string, a damp, or the end of the phrase', () => {
    expect(times(soundsOf('q 8@2= 5@1= 7@2 damp -'))).toEqual(['0-2 @2', '1-3 @1', '2-3 @2']);
    expect(times(soundsOf('q 8@2= 5@1 - -'))).toEqual(['0-4 @2', '1-2 @1']);
  });
  it('a tie is one sound', () => {
    expect(times(soundsOf('q 5@1_ e _ 8@2'))).toEqual(['0-1.5 @1', '1.5-2 @2']);
  });
  it('swing moves ends as it moves onsets', () => {
    expect(times(soundsOf('e 5@1 8@1', 'feel: swing e 2:1\n'))).toEqual(['0-0.667 @1', '0.667-1 @1']);
  });
  it('second 0 is the start of the bar in which the first phrase comes in', () => {
    const text =
      '---\ntitle: A\nplayer: B\nkey: C major\ntempo: 60\n---\nphrase 1\nat 1 2\nq 5@1\nphrase b\nat 4 3&\ne 5@1\n';
    const solo = parseSoloOrThrow(text);
    expect(times(performanceOf(solo).sounds)).toEqual(['1-2 @1', '14.5-15 @1']);
    expect(times(performanceOf(solo, { phrase: 'b' }).sounds)).toEqual(['2.5-3 @1']);
    expect(() => performanceOf(solo, { phrase: '9' })).toThrow('there is no phrase 9; phrases: 1, b');
  });
  it('another tempo, with its swing', () => {
    expect(times(soundsOf('e 5@1 8@1', 'feel: swing e 2:1\n', { tempo: 120 }))).toEqual(['0-0.333 @1', '0.333-0.5 @1']);
  });
});

describe('graces', () => {
  it('take 70 ms from the note they lead to', () => {
    expect(times(soundsOf('q g7@3 h9@3'))).toEqual(['0-0.07 @3', '0.07-1 @3']);
  });
  it('take at most a quarter of a short note, several at most half', () => {
    expect(times(soundsOf('s g7@3 h9@3', 'tempo: 120\n'))).toEqual(['0-0.031 @3', '0.031-0.125 @3']);
    expect(times(soundsOf('s g5@3 gh6@3 gh7@3 h9@3', 'tempo: 120\n')).at(-1)).toEqual('0.063-0.125 @3');
  });
  it('a note struck beside a slurred one is struck with its grace', () => {
    expect(times(soundsOf('q g7@3 5@1+h9@3'))).toEqual(['0-1 @1', '0-0.07 @3', '0.07-1 @3']);
  });
  it('on another string: the main note waits', () => {
    expect(times(soundsOf('q g7@3 5@1'))).toEqual(['0-0.07 @3', '0.07-1 @1']);
  });
});

describe('how pitch moves', () => {
  it('(0>2) rises in 120 ms, and in a third of a short note', () => {
    expect(pitches(soundsOf('q 9@3(0>2)')[0], 0, 0.06, 0.12, 0.9)).toEqual([6400, 6500, 6600, 6600]);
    expect(pitches(soundsOf('e 9@3(0>2)', 'tempo: 200\n')[0], 0, 0.025, 0.05)).toEqual([6400, 6500, 6600]);
  });
  it('(0>2>0) falls alike at the half', () => {
    expect(pitches(soundsOf('h 9@3(0>2>0)')[0], 0.9, 1, 1.06, 1.12)).toEqual([6600, 6600, 6500, 6400]);
  });
  it('(2) and (2>0) start at the top', () => {
    expect(pitches(soundsOf('h 9@3(2)')[0], 0, 1.9)).toEqual([6600, 6600]);
    expect(pitches(soundsOf('h 9@3(2>0)')[0], 0, 0.99, 1.12)).toEqual([6600, 6600, 6400]);
  });
  it('written times hold', () => {
    expect(pitches(soundsOf('h 9@3(0>2 q.>0 e)')[0], 1.49, 1.62)).toEqual([6600, 6400]);
  });
  it('a held bend under another string, let down where it is written', () => {
    const [bent, high, down] = soundsOf('q 8@2(0>2)= 8@1 @2(>0)');
    expect([bent?.end, high?.at, down?.at, down?.joins, down?.loudness]).toEqual([2, 1, 2, true, 0]);
    expect(pitches(bent, 1.9)).toEqual([6900]);
    expect(pitches(down, 2, 2.06, 2.12)).toEqual([6900, 6800, 6700]);
  });
  it('a slide on a sounding string arrives on the beat, and is not struck', () => {
    const [from, to] = soundsOf('q 7@3 /9@3');
    expect(pitches(from, 0.9, 0.95, 1)).toEqual([6200, 6300, 6400]);
    expect([to?.joins, to?.loudness, ...pitches(to, 1)]).toEqual([true, 0, 6400]);
  });
  it('a slide from a silent string is struck two frets off', () => {
    const [up] = soundsOf('q /9@3');
    expect([up?.joins, pitches(up, 0, 0.05, 0.1)]).toEqual([false, [6200, 6300, 6400]]);
    expect(up?.loudness).toBeGreaterThan(0);
    expect(pitches(soundsOf('q \\9@3')[0], 0, 0.1)).toEqual([6600, 6400]);
  });
  it('sliding away goes down five frets at the end, never below the open string', () => {
    expect(pitches(soundsOf('q 9@3\\')[0], 0.84, 1)).toEqual([6400, 5900]);
    expect(pitches(soundsOf('q 2@3\\')[0], 0.84, 1)).toEqual([5700, 5500]);
  });
  it('vibrato goes up from a fret and down from a bend, and comes back', () => {
    const range = (words: string) => {
      const [sound] = soundsOf(words);
      const all = Array.from({ length: 1000 }, (_, i) => soundPitch(sound!, 1 + i / 1000));
      return [Math.min(...all), Math.max(...all)].map(Math.round);
    };
    expect(range('h 9@3~')).toEqual([6400, 6435]);
    expect(range('h 9@3(0>2)~')).toEqual([6565, 6600]);
  });
  it('harmonics sound the true partial of the open string, not the tempered one', () => {
    // The partial whose node is touched, 1200 log2(m) cents up. Source: physics of the ideal string (H. Helmholtz, from memory).
    const cents = (fret: number) => soundPitch(soundsOf(`q ${fret}@1*`)[0]!, 0) - 6400;
    expect([12, 7, 5, 4, 3].map((f) => Math.round(cents(f) * 10) / 10)).toEqual([1200, 1902, 2400, 2786.3, 3102]);
  });
});

describe('how strings are struck', () => {
  it('hammered and pulled on a sounding string go on from it, softer than picked', () => {
    const [picked, hammered, pulled] = soundsOf('q 7@3 h9@3 p7@3');
    expect([picked?.joins, hammered?.joins, pulled?.joins]).toEqual([false, true, true]);
    for (const soft of [hammered, pulled]) {
      expect(soft?.loudness).toBeLessThan(picked!.loudness);
      expect(soft?.loudness).toBeGreaterThan(0);
    }
  });
  it('behind a rest or a damp the string is silent, and a hammered note begins anew', () => {
    expect(soundsOf('q 7@3 - h9@3')[1]?.joins).toBe(false);
    expect(soundsOf('q 7@3= damp h9@3')[1]?.joins).toBe(false);
  });
  it('picking a held bend strikes it anew, at the top', () => {
    const [, again] = soundsOf('q 8@2(0>2) 8@2(2)');
    expect([again?.joins, ...pitches(again, 1)]).toEqual([false, 6900]);
  });
  it('accents are louder, ghost notes softer, muted notes damped', () => {
    const [plain, accent, ghost, mute] = soundsOf('q 5@1 5@1! 5@1:ghost 5@1:mute');
    expect(accent!.loudness).toBeGreaterThan(plain!.loudness);
    expect(ghost!.loudness).toBeLessThan(plain!.loudness / 2);
    expect([plain?.damping, mute?.damping]).toEqual(['open', 'palm']);
  });
  it('a dead note is a short muted click', () => {
    const [dead] = soundsOf('h x@3');
    expect([dead?.damping, dead?.end]).toEqual(['dead', 0.1]);
  });
  it('names marks that are not heard; fingers and pick strokes have no sound to miss', () => {
    expect(performanceOf(soloOf('q 5@1:trill 5@1:2:up 5@1:ghost 5@1:rake')).unheard).toEqual(['rake', 'trill']);
  });
});

describe('laws of a performance', () => {
  const check = (law: (sounds: readonly Sound[], solo: Parameters<typeof performanceOf>[0]) => void) =>
    fc.assert(
      fc.property(solos, (solo) => law(performanceOf(solo).sounds, solo)),
      { numRuns: 300, seed: 22 },
    );

  it('sounds stand in order, last, and do not overlap on their string', () =>
    check((sounds) => {
      const last = new Map<number, Sound>();
      let at = 0;
      for (const sound of sounds) {
        expect(sound.at).toBeGreaterThanOrEqual(at);
        expect(sound.end).toBeGreaterThan(sound.at);
        const before = last.get(sound.string);
        if (before) expect(before.end).toBeLessThanOrEqual(sound.at + 1e-9);
        if (sound.joins) expect(before?.end).toBeCloseTo(sound.at, 9);
        last.set(sound.string, sound);
        at = sound.at;
      }
    }));

  it('every note that gives a tone sounds, once', () =>
    check((sounds, solo) => {
      const key = (s: { readonly phrase: number; readonly note: number }) => `${s.phrase}.${s.note}`;
      const sounding = sounds.map(key);
      expect(new Set(sounding).size).toBe(sounding.length);
      for (const tone of tonesOf(solo)) expect(sounding).toContain(key(tone));
    }));

  it('curves run forward in time and hold finite pitches', () =>
    check((sounds) => {
      for (const { at, curve, loudness } of sounds) {
        expect(curve[0]?.at).toBeCloseTo(at, 9);
        curve.forEach((p, i) => {
          expect(Number.isFinite(p.cents)).toBe(true);
          if (i > 0) expect(p.at).toBeGreaterThanOrEqual(curve[i - 1]!.at - 1e-9);
        });
        expect(loudness).toBeGreaterThanOrEqual(0);
        expect(loudness).toBeLessThanOrEqual(1);
      }
    }));

  it('a capo one fret up moves all pitches by a semitone, and nothing else', () =>
    check((sounds, solo) => {
      const { guitar } = solo;
      const up = performanceOf({
        ...solo,
        guitar: { ...guitar, capo: guitar.capo + 1, frets: guitar.frets + 1 },
      }).sounds;
      expect(up.map((s) => s.at)).toEqual(sounds.map((s) => s.at));
      up.forEach((s, i) => {
        s.curve.forEach((p, k) => {
          expect(p.cents - sounds[i]!.curve[k]!.cents).toBeCloseTo(100, 6);
        });
      });
    }));
});
