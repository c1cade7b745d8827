import { Interval, Note } from 'tonal';
import { describe, expect, it } from 'vitest';
import { cents, midiKey } from '../../lib/foundation/units.js';
import { degreeAbove, parseDegree } from '../../lib/theory/interval.js';
import { frequency, keyCents, keyOfNote, nameAbove, noteOfKey, pitchClassOf } from '../../lib/theory/pitch.js';
import { name, note, pitch, ROOTS } from './reading.js';

describe('frequencies: equal temperament on A4 = 440 Hz (ISO 16:1975, from memory; the others computed from 440 * 2^(n/12))', () => {
  it.each([
    ['A4', 69, 440],
    ['E2', 40, 82.4069],
    ['A2', 45, 110],
    ['D3', 50, 146.8324],
    ['G3', 55, 195.9977],
    ['B3', 59, 246.9417],
    ['E4', 64, 329.6276],
    ['C4', 60, 261.6256],
    ['E6', 88, 1318.5102],
  ])('%s is MIDI key %i (MIDI 1.0, from memory) and sounds at %f Hz', (text, key, hertz) => {
    expect(keyOfNote(text)).toBe(key);
    expect(frequency(keyCents(midiKey(key)))).toBeCloseTo(hertz, 4);
  });

  it('A4 is 440 Hz exactly, an octave doubles, a semitone is the twelfth root of two', () => {
    expect(frequency(cents(6900))).toBe(440);
    expect(frequency(cents(8100))).toBe(880);
    expect(frequency(cents(7000)) / frequency(cents(6900))).toBeCloseTo(1.0594630943592953, 14);
  });

  it('all 128 MIDI keys sound at the frequency that tonal 6.4.3 gives them (Note.freq)', () => {
    for (let key = 0; key < 128; key++)
      expect(frequency(keyCents(midiKey(key)))).toBeCloseTo(Note.freq(Note.fromMidi(key)) as number, 6);
  });
});

describe('cents of the just intervals (Ellis, 1885: 1200 * log2 of the ratio; values computed)', () => {
  it.each([
    [3, 2, 701.955],
    [4, 3, 498.045],
    [5, 4, 386.314],
    [6, 5, 315.641],
    [5, 3, 884.359],
    [8, 5, 813.686],
    [7, 4, 968.826],
    [7, 5, 582.512],
    [7, 6, 266.871],
    [9, 8, 203.91],
    [10, 9, 182.404],
    [16, 15, 111.731],
    [15, 8, 1088.269],
    [11, 9, 347.408],
    [9, 5, 1017.596],
    [16, 9, 996.09],
    [11, 8, 551.318],
    [81, 80, 21.506],
    [25, 24, 70.672],
  ])('%i/%i is %f cents', (over, under, size) => {
    expect(frequency(cents(6900 + size)) / 440).toBeCloseTo(over / under, 6);
  });
});

describe('names and numbers, against tonal 6.4.3', () => {
  it('every letter with up to two accidentals in every octave is the key that Note.midi gives, or no MIDI key at all', () => {
    for (const letter of 'CDEFGAB')
      for (const accidental of ['', 'b', 'bb', '#', '##'])
        for (let octave = -1; octave <= 9; octave++) {
          const text = `${letter}${accidental}${octave}`;
          // tonal counts on below C-1 and above G9, where MIDI 1.0 ends.
          const midi = Note.get(text).height as number;
          const inMidi = Note.midi(text);
          expect(keyOfNote(text), text).toBe(midi >= 0 && midi <= 127 ? inMidi : undefined);
          if (inMidi === null || midi < 0 || midi > 127) continue;
          expect(noteOfKey(midiKey(midi), name(letter + accidental)), text).toBe(text);
          expect(pitchClassOf(name(letter + accidental)), text).toBe(Note.chroma(text));
        }
  });

  it('keys are named with flats when no name is given (Note.fromMidi), and lead back to themselves', () => {
    for (let key = 0; key < 128; key++) {
      expect(noteOfKey(midiKey(key))).toBe(Note.fromMidi(key));
      expect(keyOfNote(noteOfKey(midiKey(key)))).toBe(key);
    }
  });

  it('the name that stands an interval above another is that of Note.transpose, for 21 roots and 26 intervals', () => {
    const intervals = '1P 1A 2m 2M 2A 3d 3m 3M 3A 4d 4P 4A 5d 5P 5A 6m 6M 6A 7d 7m 7M 9m 9M 9A 11A 13m'.split(' ');
    for (const root of ROOTS)
      for (const interval of intervals) {
        const letters = Number.parseInt(interval, 10) - 1;
        const semitones = Interval.semitones(interval) as number;
        expect(nameAbove(name(root), letters, semitones), `${interval} above ${root}`).toBe(
          Note.transpose(root, interval),
        );
      }
  });

  it('a degree above a root counts the semitones of Interval.distance, for 21 roots and 21 notes', () => {
    for (const root of ROOTS)
      for (const upper of ROOTS) {
        const semitones = ((Interval.semitones(Interval.distance(root, upper)) as number) + 12) % 12;
        for (const octave of [1, 4, 6])
          expect(degreeAbove(pitch(upper + octave), pitchClassOf(name(root))), `${upper} above ${root}`).toEqual({
            semitones,
            plus: false,
          });
      }
  });

  it('a degree name stands for the interval of that number: plain is major or perfect, b one less, # one more', () => {
    for (let number = 1; number <= 13; number++) {
      const perfect = [1, 4, 5, 8, 11, 12].includes(number);
      const qualities = perfect
        ? { bb: 'dd', b: 'd', '': 'P', '#': 'A', '##': 'AA' }
        : { bb: 'd', b: 'm', '': 'M', '#': 'A', '##': 'AA' };
      for (const [accidental, quality] of Object.entries(qualities)) {
        const semitones = Interval.semitones(`${number}${quality}`) as number;
        expect(parseDegree(`${accidental}${number}`), `${accidental}${number}`).toEqual({
          semitones: ((semitones % 12) + 12) % 12,
          plus: false,
        });
      }
    }
  });

  it.each(['', '0', '14', 'b', 'bbb3', 'b#3', '3b', 'III', '5-', '++5', ' 5'])('%j is no degree', (text) => {
    expect(parseDegree(text)).toBeUndefined();
  });
});

it('a quarter-tone above a semitone is the degree with a plus: 350 cents over the tonic is b3+, 349 is b3', () => {
  expect(degreeAbove(cents(note('C4') * 100 + 350), pitchClassOf(name('C')))).toEqual({ semitones: 3, plus: true });
  expect(degreeAbove(cents(note('C4') * 100 + 349), pitchClassOf(name('C')))).toEqual({ semitones: 3, plus: false });
});
