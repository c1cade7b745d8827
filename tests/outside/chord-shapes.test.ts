// Every chord shape of the npm package @tombatossals/chords-db 0.5.1 (MIT), which stores frets and, on its own, the MIDI keys they sound.
import { createRequire } from 'node:module';
import { describe, expect, it } from 'vitest';
import { fret, mod, stringNumber } from '../../lib/foundation/units.js';
import {
  openKey,
  parseTuning,
  pitchAt,
  positionsOf,
  STANDARD_GUITAR,
  STANDARD_TUNING,
} from '../../lib/guitar/fretboard.js';
import { pitchClassOf } from '../../lib/theory/pitch.js';
import { chord } from './reading.js';

interface Shape {
  readonly frets: readonly number[];
  readonly baseFret: number;
  readonly midi: readonly number[];
}
interface ChordData {
  readonly key: string;
  readonly suffix: string;
  readonly positions: readonly Shape[];
}
const data = createRequire(import.meta.url)('@tombatossals/chords-db/lib/guitar.json') as {
  readonly tunings: { readonly standard: readonly string[] };
  readonly chords: Readonly<Record<string, readonly ChordData[]>>;
};
const chords = Object.values(data.chords).flat();
const shapes = chords.flatMap((c) =>
  c.positions.map((shape) => ({ symbol: c.key + c.suffix, suffix: c.suffix, shape })),
);

/** String and fret of each sounding string, low to high. A shape counts its frets from `baseFret`, an open string stays open, -1 is not played. */
const played = (shape: Shape) =>
  shape.frets.flatMap((f, i) =>
    f < 0 ? [] : [{ string: stringNumber(6 - i), fret: fret(f === 0 ? 0 : f + shape.baseFret - 1) }],
  );

describe('the 2069 shapes of chords-db', () => {
  it('are all there, in the standard tuning', () => {
    expect(shapes).toHaveLength(2069);
    expect(parseTuning(data.tunings.standard.join(' '))).toEqual(STANDARD_TUNING);
  });

  it('sound, by pitchAt, the MIDI keys that are stored with them', () => {
    for (const { symbol, shape } of shapes) {
      const keys = played(shape).map((p) => pitchAt(STANDARD_GUITAR, p.string, p.fret));
      expect(keys, `${symbol} ${shape.frets.join(' ')} at ${shape.baseFret}`).toEqual(shape.midi);
    }
  });

  it('sound the open string plus the fret: openKey', () => {
    for (const { symbol, shape } of shapes)
      played(shape).forEach((p, i) => {
        expect((openKey(STANDARD_GUITAR, p.string) as number) + p.fret, symbol).toBe(shape.midi[i]);
      });
  });

  it('are found again by positionsOf, once on each string, and every place it names sounds the key', () => {
    for (const { symbol, shape } of shapes)
      for (const p of played(shape)) {
        const key = pitchAt(STANDARD_GUITAR, p.string, p.fret);
        if (key === undefined) throw new Error(`${symbol} leaves the neck`);
        const places = positionsOf(STANDARD_GUITAR, key);
        expect(places, symbol).toContainEqual(p);
        expect(new Set(places.map((q) => q.string)).size).toBe(places.length);
        for (const q of places) expect(pitchAt(STANDARD_GUITAR, q.string, q.fret)).toBe(key);
      }
  });

  it.each([
    ['E', 'major', 1, '0 2 2 1 0 0', [40, 47, 52, 56, 59, 64]],
    ['C', 'major', 1, '-1 3 2 0 1 0', [48, 52, 55, 60, 64]],
    ['C#', 'm7b5', 4, '-1 1 2 1 2 -1', [49, 55, 59, 64]],
    ['E', '7#9', 1, '0 2 0 1 0 3', [40, 47, 50, 56, 59, 67]],
  ])('%s%s at fret %i: %s', (key, suffix, baseFret, frets, midi) => {
    const shape = { frets: frets.split(' ').map(Number), baseFret, midi };
    const known = chords.find((c) => c.key === key && c.suffix === suffix)?.positions ?? [];
    expect(known.some((s) => s.frets.join(' ') === frets && s.baseFret === baseFret)).toBe(true);
    expect(played(shape).map((p) => pitchAt(STANDARD_GUITAR, p.string, p.fret))).toEqual(midi);
  });
});

describe('the chord symbols of chords-db', () => {
  // Left out: types with slips in the data (shapes that sound a foreign note), 11 (shapes with the third, which this reading leaves
  // out as usual), 13 and maj13 (shapes with the eleventh), alt (shapes of 7b5, where 7alt here is 7#5#9), 7sg (no type).
  const agreed =
    'major minor dim7 sus2 sus4 7sus4 69 7 aug7 9 9b5 aug9 7b9 maj7 maj7#5 maj11 m6 m7 m7b5 m9 mmaj7b5 mmaj9'.split(
      ' ',
    );

  it.each(agreed)(
    '%s: every shape in every key sounds members of the chord as read here, and nothing else',
    (suffix) => {
      const those = shapes.filter((s) => s.suffix === suffix);
      expect(those.length).toBeGreaterThan(0);
      for (const { symbol, shape } of those) {
        const { root, members } = chord(symbol);
        const above = shape.midi.map((key) => mod(key - root, 12));
        expect(
          above.filter((a) => !members.some((m) => m.semitones === a)),
          `${symbol} ${shape.frets.join(' ')} at ${shape.baseFret}`,
        ).toEqual([]);
      }
    },
  );

  it('the note after a slash is the bass: the lowest string of every such shape but one sounds it', () => {
    const slashed = shapes.filter((s) => s.suffix.includes('/'));
    expect(slashed.length).toBeGreaterThan(100);
    const faults = slashed.filter(({ symbol, shape }) => {
      const { bass } = chord(symbol);
      return bass === undefined || pitchClassOf(bass) !== mod(Math.min(...shape.midi), 12);
    });
    // A slip in the data: its lowest string sounds F#; it is a shape of Am/F#.
    expect(faults.map((f) => `${f.symbol} ${f.shape.frets.join(' ')}`)).toEqual(['Am/G# -1 -1 1 2 2 2']);
  });
});
