// Facts that every player knows. Common practice, no source.
import { describe, expect, it } from 'vitest';
import { cents, mod } from '../../lib/foundation/units.js';
import { bendInWords } from '../../lib/guitar/bend.js';
import { bentPitch } from '../../lib/guitar/fretboard.js';
import { hear } from '../../lib/solo/harmony.js';
import { tonesOf } from '../../lib/solo/timeline.js';
import { degreeAbove, degreeName } from '../../lib/theory/interval.js';
import { parseCount } from '../../lib/theory/meter.js';
import { keyCents, pitchClassOf } from '../../lib/theory/pitch.js';
import { inScale, romanNumeral } from '../../lib/theory/scale.js';
import { at, bend, chord, key, meter, name, pitch, quarters } from './reading.js';

describe('bends', () => {
  it('a whole-step bend sounds two frets up, a half-step bend one: the ear checks it against the fret itself', () => {
    expect(bendInWords(cents(200))).toBe('whole step');
    expect(bendInWords(cents(100))).toBe('half step');
    for (let string = 1; string <= 6; string++)
      for (let fretNumber = 0; fretNumber <= 22; fretNumber++) {
        expect(bentPitch(at(string, fretNumber), cents(200))).toBe(keyCents(at(string, fretNumber + 2)));
        expect(bentPitch(at(string, fretNumber), cents(100))).toBe(keyCents(at(string, fretNumber + 1)));
      }
  });

  it('in a solo, too: 7@3 bent a whole step, then 9@3, then 5@2 sound one pitch', () => {
    const tones = tonesOf(
      quarters([
        [3, 7, bend(0, 200)],
        [3, 9],
        [2, 5],
      ]),
    );
    expect(tones.map((t) => t.pitch)).toEqual([pitch('E4'), pitch('E4'), pitch('E4')]);
    expect(tones.map((t) => [t.start, t.reached, t.level])).toEqual([
      ['picked', 'bent', 200],
      ['picked', 'straight', 0],
      ['picked', 'straight', 0],
    ]);
  });
});

describe('in Bb major', () => {
  const home = key('Bb major');

  it('I is Bb, IV is Eb, V is F', () => {
    expect(
      ['Bb', 'Eb', 'F'].map((symbol) => romanNumeral(home, chord(symbol).rootName, chord(symbol).quality)),
    ).toEqual(['I', 'IV', 'V']);
  });

  it('the major pentatonic Bb C D F G is 1 2 3 5 6; it holds the roots of I and V and lacks Eb, the root of IV', () => {
    const pentatonic = ['Bb', 'C', 'D', 'F', 'G'];
    expect(pentatonic.map((tone) => degreeName(degreeAbove(pitch(tone), home.tonic)))).toEqual([
      '1',
      '2',
      '3',
      '5',
      '6',
    ]);
    const holds = (symbol: string) => pentatonic.some((tone) => pitchClassOf(name(tone)) === chord(symbol).root);
    expect(['Bb', 'Eb', 'F'].map(holds)).toEqual([true, false, true]);
  });

  it('major pentatonic + 4 + 7 is the major scale', () => {
    const degrees = ['1', '2', '3', '5', '6', '4', '7'];
    const scale = Array.from({ length: 12 }, (_, i) => i)
      .filter((above) => inScale(home, above))
      .map((above) => degreeName({ semitones: above, plus: false }));
    expect(new Set(scale)).toEqual(new Set(degrees));
  });

  it('of Bb, Eb and F, only Bb holds D and F together (its third and fifth), only F holds C and F (fifth and root)', () => {
    const rolesOver = (symbol: string, tones: readonly string[]) =>
      tones.map((tone) => hear(pitch(tone), chord(symbol), home, false).role);
    const holding = (tones: readonly string[]) =>
      ['Bb', 'Eb', 'F'].filter((symbol) =>
        tones.every((tone) => chord(symbol).members.some((m) => pitchClassOf(m.name) === pitchClassOf(name(tone)))),
      );
    expect(holding(['D', 'F'])).toEqual(['Bb']);
    expect(rolesOver('Bb', ['D', 'F'])).toEqual(['third', 'fifth']);
    expect(holding(['C', 'F'])).toEqual(['F']);
    expect(rolesOver('F', ['C', 'F'])).toEqual(['fifth', 'root']);
  });
});

it('A major pentatonic around fret 5 sounds 1 2 3 5 6 of A and nothing else, each once an octave from A2 to C#5', () => {
  const box: readonly (readonly [string: number, frets: readonly number[]])[] = [
    [6, [5, 7]],
    [5, [4, 7]],
    [4, [4, 7]],
    [3, [4, 6]],
    [2, [5, 7]],
    [1, [5, 7]],
  ];
  const keys = box.flatMap(([string, frets]) => frets.map((f) => at(string, f)));
  expect(keys).toEqual([...keys].sort((a, b) => a - b));
  const tonic = key('A major').tonic;
  expect(keys.map((k) => degreeName(degreeAbove(keyCents(k), tonic))).join(' ')).toBe('1 2 3 5 6 1 2 3 5 6 1 2');
});

describe('pickups', () => {
  const common = meter('4/4');
  const eighthsBeforeBar1 = (count: string): number =>
    (common.barTicks - (parseCount(count, common) as number)) / (common.beatTicks / 2);
  it('"four and" is two eighths before bar 1 when the four is played too, one when only the and is', () => {
    expect(eighthsBeforeBar1('4')).toBe(2);
    expect(eighthsBeforeBar1('4&')).toBe(1);
  });
  it('coming in on the "and of three" is three eighths before bar 1', () => {
    expect(eighthsBeforeBar1('3&')).toBe(3);
  });
});

it('the open strings of standard tuning stand a fourth apart, but for the third between strings 3 and 2', () => {
  const steps = [6, 5, 4, 3, 2].map((string) => mod(at(string - 1, 0) - at(string, 0), 12));
  expect(steps).toEqual([5, 5, 5, 4, 5]);
  expect([at(6, 5), at(5, 5), at(4, 5), at(3, 4), at(2, 5)]).toEqual([
    at(5, 0),
    at(4, 0),
    at(3, 0),
    at(2, 0),
    at(1, 0),
  ]);
});
