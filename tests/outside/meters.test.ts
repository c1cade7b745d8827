import { TimeSignature } from 'tonal';
import { describe, expect, it } from 'vitest';
import { ticks } from '../../lib/foundation/units.js';
import { countText, meterOf, onBeat, parseCount, parseMeter } from '../../lib/theory/meter.js';
import { meter } from './reading.js';

const QUARTER = 20160;

describe('beats, against the metrical grids', () => {
  // F. Lerdahl and R. Jackendoff, A Generative Theory of Tonal Music, 1983: levels of beats at each position (4/4, sixteenths).
  // H. C. Longuet-Higgins and C. Lee, Music Perception 1(4), 1984: weights of each position, 0 for the strongest, as transcribed by H. Honing.
  // The beat is the level of the tactus: quarters in simple meters, dotted quarters in compound ones.
  it.each([
    ['4/4', 16, 3, '5 1 2 1 3 1 2 1 4 1 2 1 3 1 2 1'],
    ['4/4', 8, -2, '0 -3 -2 -3 -1 -3 -2 -3'],
    ['4/4', 16, -2, '0 -4 -3 -4 -2 -4 -3 -4 -1 -4 -3 -4 -2 -4 -3 -4'],
    ['3/4', 6, -1, '0 -2 -1 -2 -1 -2'],
    ['6/8', 6, -1, '0 -2 -2 -1 -2 -2'],
    ['12/8', 12, -2, '0 -3 -3 -2 -3 -3 -1 -3 -3 -2 -3 -3'],
  ])('%s in %i parts: the beats are the positions of level %i and stronger', (text, parts, tactus, levels) => {
    const read = meter(text);
    const grid = levels.split(' ').map(Number);
    expect(grid).toHaveLength(parts);
    const found = grid.map((_, i) => onBeat(ticks((read.barTicks / parts) * i), read));
    expect(found).toEqual(grid.map((level) => level >= tactus));
  });

  it('beats are evenly spaced and fill the bar, in twos or threes of the written unit or one to one (well-formedness, GTTM 1983, from memory)', () => {
    for (let over = 1; over <= 32; over++)
      for (const under of [1, 2, 4, 8, 16, 32]) {
        const read = meterOf(over, under);
        if (!read) throw new Error(`${over}/${under}`);
        const unit = (4 * QUARTER) / under;
        expect(read.barTicks).toBe(over * unit);
        expect(read.barTicks % read.beatTicks).toBe(0);
        expect(read.barTicks % read.pulseTicks).toBe(0);
        expect([1, 3]).toContain(read.beatTicks / unit);
        expect([1, 3]).toContain(read.beatTicks / read.pulseTicks);
      }
  });

  it('compound meters are those of tonal 6.4.3 (TimeSignature) over 2, 4 and 8, but for 3/8, which is counted as three beats here', () => {
    for (let over = 1; over <= 16; over++)
      for (const under of [2, 4, 8]) {
        if (over === 3 && under === 8) continue;
        const read = meter(`${over}/${under}`);
        const isCompound = TimeSignature.get(`${over}/${under}`).type === 'compound';
        expect(read.beatTicks === (read.barTicks / over) * 3, `${over}/${under}`).toBe(isCompound);
      }
  });

  it.each([
    ['4/4', 4],
    ['2/2', 2],
    ['3/4', 3],
    ['2/4', 2],
    ['5/4', 5],
    ['7/8', 7],
    ['3/8', 3],
    ['6/8', 2],
    ['9/8', 3],
    ['12/8', 4],
  ])('a bar of %s has %i beats (common practice, no source)', (text, beats) => {
    const read = meter(text);
    expect(read.barTicks / read.beatTicks).toBe(beats);
  });

  it.each(['', '4', '4/', '0/4', '4/3', '4/0', '33/4', '-4/4', '4.5/4', 'C', '4/4/4'])('%j is no meter', (text) => {
    expect(parseMeter(text)).toBeUndefined();
  });
});

describe('the count, as players speak it (common practice, no source)', () => {
  it.each([
    ['4/4', 4, '1 2 3 4'],
    ['4/4', 8, '1 1& 2 2& 3 3& 4 4&'],
    ['4/4', 16, '1 1e 1& 1a 2 2e 2& 2a 3 3e 3& 3a 4 4e 4& 4a'],
    ['4/4', 12, '1 1t 1l 2 2t 2l 3 3t 3l 4 4t 4l'],
    ['3/4', 6, '1 1& 2 2& 3 3&'],
    ['2/2', 8, '1 1e 1& 1a 2 2e 2& 2a'],
    ['6/8', 6, '1 2 3 4 5 6'],
    ['6/8', 12, '1 1& 2 2& 3 3& 4 4& 5 5& 6 6&'],
    ['12/8', 4, '1 2 3 4'],
    ['12/8', 12, '1 1t 1l 2 2t 2l 3 3t 3l 4 4t 4l'],
    ['9/8', 9, '1 1t 1l 2 2t 2l 3 3t 3l'],
    ['7/8', 7, '1 2 3 4 5 6 7'],
  ])('a bar of %s in %i: %s', (text, parts, counts) => {
    const read = meter(text);
    counts.split(' ').forEach((count, i) => {
      const offset = ticks((read.barTicks / parts) * i);
      expect(parseCount(count, read), count).toBe(offset);
      expect(countText(offset, read)).toBe(count);
    });
  });

  it.each([
    ['6/8', '7'],
    ['12/8', '5'],
    ['4/4', '5'],
    ['4/4', '0'],
    ['3/4', '4&'],
    ['4/4', '2x'],
    ['4/4', '&'],
  ])('in %s there is no %s', (text, count) => {
    expect(parseCount(count, meter(text))).toBeUndefined();
  });

  it('in 6/8, counted in six, 4 is the second beat; in 12/8, counted in four, 2 is', () => {
    expect(parseCount('4', meter('6/8'))).toBe(meter('6/8').beatTicks);
    expect(parseCount('2', meter('12/8'))).toBe(meter('12/8').beatTicks);
    expect(meter('6/8').beatTicks).toBe(1.5 * QUARTER);
    expect(meter('12/8').beatTicks).toBe(1.5 * QUARTER);
  });
});
