// The places where MusicXML 4.0 (W3C Community Group, github.com/w3c/musicxml, docs/musicxml-reference) says what a position sounds.
import { describe, expect, it } from 'vitest';
import { cents, midiKey, stringNumber } from '../../lib/foundation/units.js';
import { bentPitch, openKey, STANDARD_GUITAR } from '../../lib/guitar/fretboard.js';
import { tonesOf } from '../../lib/solo/timeline.js';
import { noteOfKey } from '../../lib/theory/pitch.js';
import { at, bend, membersOf, note, quarters } from './reading.js';

describe('MusicXML 4.0: strings, frets and bends', () => {
  it('string 3, fret 5 sounds C4, which guitar notation writes as C5 (tutorial on tablature: octave-change -1)', () => {
    expect(at(3, 5)).toBe(note('C4'));
    expect(note('C5') - 12).toBe(at(3, 5));
  });

  it('the tutorial bar of hammer-ons and pull-offs: string 3, frets 5 7 8 7 5 are C4 D4 Eb4 D4 C4', () => {
    expect([5, 7, 8, 7, 5].map((f) => noteOfKey(at(3, f)))).toEqual(['C4', 'D4', 'Eb4', 'D4', 'C4']);
  });

  it('staff-tuning line 1 is the bottom line, the lowest string: E2 A2 D3 G3 B3 E4 are strings 6 to 1', () => {
    const lines = ['E2', 'A2', 'D3', 'G3', 'B3', 'E4'];
    lines.forEach((text, i) => {
      expect(openKey(STANDARD_GUITAR, stringNumber(6 - i))).toBe(note(text));
    });
  });

  it('bend: string 4, fret 3, bend-alter 2 goes from F3 to G3', () => {
    expect(noteOfKey(at(4, 3))).toBe('F3');
    expect(bentPitch(at(4, 3), cents(200))).toBe(note('G3') * 100);
  });

  it('release: string 2, fret 5 is written at its fretted pitch E4 (64), sounds F#4 and comes back', () => {
    const tones = tonesOf(quarters([[2, 5, bend(0, 200, 0)]]));
    expect(at(2, 5)).toBe(64);
    expect(tones.map((t) => t.pitch)).toEqual([note('F#4') * 100, note('E4') * 100]);
  });

  it('pre-bend: string 3, fret 3 is Bb3 (58) and sounds two semitones higher from the start', () => {
    const tones = tonesOf(quarters([[3, 3, bend(200)]]));
    expect(noteOfKey(midiKey(at(3, 3)))).toBe('Bb3');
    expect(tones.map((t) => [t.pitch, t.reached])).toEqual([[note('C4') * 100, 'prebent']]);
  });
});

describe('MusicXML 4.0: what the kinds of harmony are made of (kind-value table), in chord symbols', () => {
  // The triads and sevenths are spelled out from their definitions in the table, such as "dominant: major triad, minor seventh".
  it.each([
    ['major', 'C', 'C E G'],
    ['minor', 'Cm', 'C Eb G'],
    ['augmented', 'C+', 'C E G#'],
    ['diminished', 'Cdim', 'C Eb Gb'],
    ['dominant', 'C7', 'C E G Bb'],
    ['major-seventh', 'Cmaj7', 'C E G B'],
    ['minor-seventh', 'Cm7', 'C Eb G Bb'],
    ['diminished-seventh', 'Cdim7', 'C Eb Gb Bbb'],
    ['augmented-seventh', 'C+7', 'C E G# Bb'],
    ['half-diminished', 'Cm7b5', 'C Eb Gb Bb'],
    ['major-minor', 'CmMaj7', 'C Eb G B'],
    ['major-sixth', 'C6', 'C E G A'],
    ['minor-sixth', 'Cm6', 'C Eb G A'],
    ['dominant-ninth', 'C9', 'C E G Bb D'],
    ['major-ninth', 'Cmaj9', 'C E G B D'],
    ['minor-ninth', 'Cm9', 'C Eb G Bb D'],
    ['minor-11th', 'Cm11', 'C Eb G Bb D F'],
    ['suspended-second', 'Csus2', 'C D G'],
    ['suspended-fourth', 'Csus4', 'C F G'],
    ['power', 'C5', 'C G'],
  ])('%s is %s: %s', (_kind, symbol, members) => {
    expect(membersOf(symbol)).toBe(members);
  });

  it('degree: A7 with the fifth altered by -1 and the third subtracted is A, Eb, G', () => {
    expect(membersOf('A7b5no3')).toBe('A Eb G');
    expect(membersOf('A7b5(omit3)')).toBe('A Eb G');
  });

  it('degree: an added seventh is the minor one, an added 13 altered by 1 is the sharp one', () => {
    expect(membersOf('C(add7)')).toBe('C E G Bb');
    expect(membersOf('C7#13')).toBe('C E G Bb A#');
  });
});
