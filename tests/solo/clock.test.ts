import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { QUARTER } from '../../lib/foundation/time.js';
import { ticks } from '../../lib/foundation/units.js';
import { secondsOf } from '../../lib/solo/changes.js';
import { clockOf } from '../../lib/solo/clock.js';
import { gridOf } from '../../lib/solo/solo.js';
import { solos } from '../arbitraries.js';
import { soloOf } from '../sound/played.js';

/** Seconds at places in quarters, of a solo at 60: 1.5 is the off eighth of the second beat. */
const at = (head: string, words = 'w 5@1', changes = '') => {
  const clock = clockOf(soloOf(words, head, changes));
  return (...quarters: number[]) => quarters.map((q) => Math.round(clock.seconds(ticks(q * QUARTER)) * 1e6) / 1e6);
};

describe('tempo', () => {
  it('a quarter at 60 is a second, at 120 half of one', () => {
    expect(at('tempo: 60\n')(0, 1, 2.5, 9)).toEqual([0, 1, 2.5, 9]);
    expect(at('tempo: 120\n')(0, 1, 2.5, 9)).toEqual([0, 0.5, 1.25, 4.5]);
  });
  it('a tempo in the changes holds from its bar on', () => {
    expect(at('', 'w 5@1', 'changes\n  1 C\n  tempo 120\n  2 C\n')(4, 8, 9, 12)).toEqual([4, 8, 8.5, 10]);
  });
  it('another tempo keeps later tempos in proportion', () => {
    const solo = soloOf('w 5@1', '', 'changes\n  1 C\n  tempo 120\n  2 C\n');
    const [slow, plain] = [clockOf(solo, 30), clockOf(solo)];
    for (const q of [1, 4, 8, 9, 12])
      expect(slow.seconds(ticks(q * QUARTER))).toBeCloseTo(2 * plain.seconds(ticks(q * QUARTER)), 9);
  });
  it.each([0, 19, 401, Number.NaN, Number.POSITIVE_INFINITY])('%d is no tempo', (tempo) => {
    expect(() => clockOf(soloOf('w 5@1'), tempo)).toThrow(/20 to 400 quarter notes a minute expected/);
  });
});

describe('swing', () => {
  it('at 2:1 the off eighth comes at two thirds of the beat, at 3:2 at three fifths', () => {
    expect(at('feel: swing e 2:1\n')(0, 0.5, 1, 1.5)).toEqual([0, 0.666667, 1, 1.666667]);
    expect(at('feel: swing e 3:2\n')(0, 0.5, 1, 1.5)).toEqual([0, 0.6, 1, 1.6]);
  });
  it('sixteenths divide each swung eighth', () => {
    expect(at('feel: swing e 2:1\n')(0.25, 0.75)).toEqual([0.333333, 0.833333]);
  });
  it('swung sixteenths leave eighths where they are', () => {
    expect(at('feel: swing s 2:1\n')(0.25, 0.5, 0.75)).toEqual([0.333333, 0.5, 0.833333]);
  });
  it('straight is straight', () => {
    expect(at('')(0.5, 1.25, 1.5)).toEqual([0.5, 1.25, 1.5]);
  });
  it('a beat with a triplet in it is played as written, the next one swings', () => {
    expect(at('feel: swing e 2:1\n', 'e:3 5@1 6@1 7@1 e 5@1 7@1 h 5@1')(1 / 3, 0.5, 2 / 3, 1, 1.5)).toEqual([
      0.333333, 0.5, 0.666667, 1, 1.666667,
    ]);
  });
  it('eighths in 12/8, whose beats are not pairs of eighths, do not swing', () => {
    expect(at('meter: 12/8\nfeel: swing e 2:1\n')(0.5, 1, 1.5)).toEqual([0.5, 1, 1.5]);
  });
  it('pairs are counted from the bar line: in 5/4 each bar begins anew', () => {
    expect(at('meter: 5/4\nfeel: swing e 2:1\n')(5, 5.5, 9.5)).toEqual([5, 5.666667, 9.666667]);
  });
  it('a feel in the changes holds from its bar on', () => {
    expect(at('', 'w 5@1', 'changes\n  1 C\n  feel swing e 2:1\n  2 C\n')(4.5, 8.5)).toEqual([4.5, 8.666667]);
  });
});

describe('laws of the clock', () => {
  it('later written is later played, and a bar lasts what its tempo says, swung or not', () => {
    fc.assert(
      fc.property(solos, fc.array(fc.nat(200_000), { minLength: 2, maxLength: 20 }), (solo, places) => {
        const clock = clockOf(solo);
        const sorted = [...new Set(places)].sort((a, b) => a - b).map((t) => clock.seconds(ticks(t)));
        for (let i = 1; i < sorted.length; i++) expect(sorted[i]!).toBeGreaterThan(sorted[i - 1]!);
        const grid = gridOf(solo);
        for (let n = 0; n < 6; n++) {
          const { start, meter, tempo } = grid.bar(n);
          const lasts = clock.seconds(grid.bar(n + 1).start) - clock.seconds(start);
          expect(lasts).toBeCloseTo(secondsOf(meter.barTicks, tempo), 6);
          expect(clock.barSeconds(ticks(start + meter.barTicks - 1))).toBe(clock.seconds(start));
        }
      }),
      { numRuns: 200, seed: 21 },
    );
  });
});
