import { Scale, Key as TonalKey } from 'tonal';
import { describe, expect, it } from 'vitest';
import { cents, mod, type PitchClass } from '../../lib/foundation/units.js';
import { hear } from '../../lib/solo/harmony.js';
import { pitchClassOf } from '../../lib/theory/pitch.js';
import { chromaticName, inScale, keyOf, MODES, type Mode, parseKey } from '../../lib/theory/scale.js';
import { chord, key, name, pitch, ROOTS } from './reading.js';

/** The seven names of a key from its tonic up. */
const namesUp = (tonic: string, mode: Mode): readonly string[] => {
  const { tonic: first, names } = keyOf(name(tonic), mode);
  return Array.from({ length: 12 }, (_, i) => names[mod(first + i, 12)]).filter((n) => n !== undefined);
};

describe('keys are spelled as tonal 6.4.3 spells the scale, on 21 tonics', () => {
  it.each(MODES)('%s', (mode) => {
    // The key of a blues is read with the mixolydian scale: major third and minor seventh are the ground, b3 b5 b7 the colours.
    const scale = mode === 'blues' || mode === 'major blues' ? 'mixolydian' : mode;
    for (const tonic of ROOTS) {
      const notes = Scale.get(`${tonic} ${scale}`).notes;
      expect(notes).toHaveLength(7);
      expect(namesUp(tonic, mode), `${tonic} ${mode}`).toEqual(notes);
    }
  });

  it.each('Cb Gb Db Ab Eb Bb F C G D A E B F# C#'.split(' '))(
    '%s major has the sharps or flats of its key signature (circle of fifths, tonal Key.majorKey)',
    (tonic) => {
      const signs = namesUp(tonic, 'major').join('');
      const expected = TonalKey.majorKey(tonic).alteration;
      expect(signs.split('#').length - signs.split('b').length).toBe(expected);
    },
  );

  it('holds the tones of its scale and no others', () => {
    for (const mode of MODES) {
      const read = keyOf(name('C'), mode);
      const notes = namesUp('C', mode).map((n) => pitchClassOf(name(n)));
      for (let above = -12; above < 24; above++)
        expect(inScale(read, above)).toBe(notes.includes(mod(above, 12) as PitchClass));
    }
  });

  it.each([
    ['Eb', 'Eb', 'major'],
    ['Am', 'A', 'minor'],
    ['F# minor', 'F#', 'minor'],
    ['B♭ major', 'Bb', 'major'],
    ['c mixolydian', 'C', 'mixolydian'],
    ['G natural minor', 'G', 'minor'],
    ['D aeolian', 'D', 'minor'],
    ['A harmonic minor', 'A', 'harmonic minor'],
    ['E blues', 'E', 'blues'],
  ])('"%s" is %s %s', (text, tonic, mode) => {
    expect(key(text)).toMatchObject({ tonicName: tonic, mode });
  });

  it.each([
    ['C mixolidian', '"mixolidian" is not a mode', 'C mixolydian'],
    ['A mnor', '"mnor" is not a mode', 'A minor'],
    ['Am major', '"m major" is not a mode', 'A major'],
  ])('"%s": %s, nearest %s', (text, reason, suggestion) => {
    expect(parseKey(text)).toEqual({ reason, suggestion });
  });

  it.each(['', 'H major', 'C qwertyuiop', '4/4', 'C\u0000'])('%j is no key, and a reason is given', (text) => {
    expect(parseKey(text)).toHaveProperty('reason');
  });
});

describe('the name of a tone: as the key has it, else as the chord has it, else up #4, down b5, else flats', () => {
  const up = true;
  const down = false;
  it.each([
    ['C mixolydian', 'C7', 'Eb', up, 'Eb', 'b3 over C7'],
    ['C mixolydian', 'C7', 'Eb', down, 'Eb', 'b3 over C7'],
    ['G major', 'C', 'F#', down, 'F#', 'the key has F#, though over C it is #4'],
    ['G major', 'C7', 'F#', down, 'F#', 'the key has F#, though over C it is #4'],
    ['C mixolydian', 'C7#9', 'Eb', down, 'D#', 'the symbol says #9'],
    ['C blues', 'E7#9', 'G', down, 'G', 'the key has G before the symbol has F##'],
    ['C minor', 'C7#9', 'Eb', up, 'Eb', 'the key has Eb before the symbol has D#'],
    ['C major', 'C', 'F#', up, 'F#', 'up #4'],
    ['C major', 'C', 'F#', down, 'Gb', 'down b5'],
    ['C major', 'D7', 'F#', down, 'F#', 'third of D7'],
    ['A minor', 'Am7', 'D#', up, 'D#', 'up #4'],
    ['A minor', 'Am7', 'D#', down, 'Eb', 'down b5'],
    ['A minor', 'E7', 'G#', down, 'G#', 'third of E7'],
    ['F major', 'F7', 'Bb', up, 'Bb', 'never A# in F'],
    ['F major', 'F#7', 'Bb', up, 'Bb', 'the key has Bb before the symbol has A#'],
    ['C major', 'Fm', 'G#', up, 'Ab', 'third of Fm'],
    ['C major', 'C7', 'A#', up, 'Bb', 'seventh of C7'],
    ['C major', 'C', 'C#', up, 'Db', 'else flats'],
    ['C major', 'C', 'G#', up, 'Ab', 'else flats'],
    ['D major', 'D', 'F', up, 'F', 'b3 of D is F'],
    ['E major', 'E', 'G', up, 'G', 'b3 of E is G'],
    ['Gb minor', 'Gbm', 'A', down, 'A', 'not Bbb, though the key has it'],
    ['G# major', 'G#', 'G', up, 'G', 'not F##, though the key has it'],
    ['Db major', 'Db', 'A', down, 'A', 'b6 of Db is not written Bbb'],
    ['C major', 'Cdim7', 'A', down, 'A', 'not Bbb, though the symbol has it'],
    ['C major', 'E7#9', 'G', down, 'G', 'not F##'],
  ])('in %s over %s, %s (rising %s) is %s: %s', (keyText, symbol, tone, rising, spelled) => {
    expect(hear(pitch(tone), chord(symbol), key(keyText), rising).name).toBe(spelled);
  });

  it('never two accidentals, always the pitch that sounds: 21 tonics, all modes, all pitches, chords of every kind', () => {
    const chords = ['C', 'C#dim7', 'Cbm7b5', 'E7#9', 'G#7#5#9', 'Fbmaj7', 'B#13#11', 'Dbm11', undefined].map(
      (s) => s && chord(s),
    );
    for (const tonic of ROOTS)
      for (const mode of MODES) {
        const read = keyOf(name(tonic), mode);
        for (let pc = 0; pc < 12; pc++)
          for (const rising of [true, false]) {
            for (const over of chords) {
              const spelled = hear(cents((60 + pc) * 100), over || undefined, read, rising).name;
              if (spelled.length > 2 || pitchClassOf(spelled) !== pc)
                expect.fail(
                  `${spelled} for pitch class ${pc} in ${tonic} ${mode} over ${over ? over.symbol : 'no chord'}`,
                );
            }
            const outside = chromaticName(read.tonicName, pc as PitchClass, rising);
            if (outside.length > 2 || pitchClassOf(outside) !== pc)
              expect.fail(`${outside} for ${pc} in ${tonic} ${mode}`);
          }
      }
  });
});
