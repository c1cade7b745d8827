import { Key as TonalKey } from 'tonal';
import { describe, expect, it } from 'vitest';
import { barNumber, ticks } from '../../lib/foundation/units.js';
import { type Changes, NO_CHANGES } from '../../lib/solo/changes.js';
import { chordSpans, functionIn, spanAt } from '../../lib/solo/harmony.js';
import { EMPTY_SOLO, gridOf, type Solo } from '../../lib/solo/solo.js';
import { romanNumeral } from '../../lib/theory/scale.js';
import { chord, key } from './reading.js';

const functions = (keyText: string, symbols: string): string =>
  symbols
    .split(' ')
    .map((symbol) => romanNumeral(key(keyText), chord(symbol).rootName, chord(symbol).quality))
    .join(' ');

describe('Roman numerals', () => {
  // Open Music Theory (CC BY-SA) and R. Hutchinson, Music Theory for the 21st-Century Classroom: capital with a major third, small with a
  // minor one, o diminished, half-diminished with a slashed o, + augmented (from memory).
  it.each([
    ['C major', 'C Dm Em F G Am Bdim', 'I ii iii IV V vi vii°'],
    ['C major', 'Cmaj7 Dm7 Em7 Fmaj7 G7 Am7 Bm7b5', 'I ii iii IV V vi viiø'],
    ['Eb major', 'Eb Fm Gm Ab Bb Cm Ddim', 'I ii iii IV V vi vii°'],
    ['F# major', 'F# G#m A#m B C# D#m E#dim', 'I ii iii IV V vi vii°'],
  ])('in %s, %s are %s', (keyText, symbols, numerals) => {
    expect(functions(keyText, symbols)).toBe(numerals);
  });

  // Counted from the major scale in every mode, as pop and jazz texts do (from memory); texts on common-practice harmony leave the b of
  // bIII, bVI and bVII away in minor.
  it.each([
    ['A minor', 'Am Bdim C Dm Em F G', 'i ii° bIII iv v bVI bVII'],
    ['A minor', 'Am7 Bm7b5 Cmaj7 Dm7 E7 Fmaj7 G#dim7', 'i iiø bIII iv V bVI vii°'],
    ['A harmonic minor', 'Am Bdim C+ Dm E F G#dim', 'i ii° bIII+ iv V bVI vii°'],
    ['G mixolydian', 'G7 F C Dm7', 'I bVII IV v'],
    ['D dorian', 'Dm7 G7', 'i IV'],
    ['C major', 'Db7 Ebdim7 F#m7b5 Abmaj7 Bb7 D7 A7', 'bII biii° #ivø bVI bVII II VI'],
    ['C major', 'G7sus4 Gsus4 G5 G/B', 'V V V V'],
  ])('in %s, %s are %s', (keyText, symbols, numerals) => {
    expect(functions(keyText, symbols)).toBe(numerals);
  });

  it('in fifteen major and fifteen minor keys the triads of the key are those of tonal 6.4.3 (Key)', () => {
    const plain = (numeral: string): string => numeral.replace(/[b#o°ø+]/g, '');
    for (const tonic of 'Cb Gb Db Ab Eb Bb F C G D A E B F# C#'.split(' ')) {
      const { grades, triads } = TonalKey.majorKey(tonic);
      triads.forEach((symbol, i) => {
        const ours = functions(`${tonic} major`, symbol);
        expect(plain(ours).toUpperCase(), `${symbol} in ${tonic} major`).toBe(grades[i]);
        expect(ours).toBe('I ii iii IV V vi vii°'.split(' ')[i]);
      });
      const relative = TonalKey.majorKey(tonic).minorRelative;
      const minor = TonalKey.minorKey(relative).natural;
      minor.triads.forEach((symbol, i) => {
        const ours = functions(`${relative} minor`, symbol);
        expect(plain(ours).toUpperCase(), `${symbol} in ${relative} minor`).toBe(plain(minor.grades[i] as string));
        expect(ours).toBe('i ii° bIII iv v bVI bVII'.split(' ')[i]);
      });
    }
  });
});

const changes = (bars: readonly string[]): Changes => ({
  ...NO_CHANGES,
  firstBar: barNumber(1),
  bars: bars.map((symbol) => [{ at: ticks(0), symbol }]),
});

describe('functions bar by bar', () => {
  const overBars = (solo: Solo, count: number): string => {
    const grid = gridOf(solo);
    const spans = chordSpans(solo, grid);
    return Array.from({ length: count }, (_, i) => {
      const span = spans[spanAt(spans, grid.bar(i + 1).start)];
      return span && functionIn(solo.key, span);
    }).join(' ');
  };

  it.each([
    ['C', 'C7', 'F7', 'G7'],
    ['A', 'A7', 'D7', 'E7'],
    ['Bb', 'Bb7', 'Eb7', 'F7'],
    ['F#', 'F#7', 'B7', 'C#7'],
  ])(
    '12-bar blues in %s: I I I I, IV IV I I, V IV I I (Open Music Theory, pop and rock harmony: blues)',
    (tonic, one, four, five) => {
      const bars = [one, one, one, one, four, four, one, one, five, four, one, one];
      expect(overBars({ ...EMPTY_SOLO, key: key(`${tonic} blues`), changes: changes(bars) }, 12)).toBe(
        'I I I I IV IV I I V IV I I',
      );
    },
  );

  it('the 16-bar blues: I (4), I (4), IV IV I I, V IV I I (the same source)', () => {
    const bars = 'G7 G7 G7 G7 G7 G7 G7 G7 C7 C7 G7 G7 D7 C7 G7 G7'.split(' ');
    expect(overBars({ ...EMPTY_SOLO, key: key('G blues'), changes: changes(bars) }, 16)).toBe(
      'I I I I I I I I IV IV I I V IV I I',
    );
  });

  it('a minor blues: i, iv, and V with its major third (common practice, no source)', () => {
    const bars = 'Am7 Am7 Am7 Am7 Dm7 Dm7 Am7 Am7 F7 E7 Am7 E7'.split(' ');
    expect(overBars({ ...EMPTY_SOLO, key: key('A minor'), changes: changes(bars) }, 12)).toBe(
      'i i i i iv iv i i bVI V i V',
    );
  });

  it('before the first chord it is the pickup; under N.C. there is no function', () => {
    const solo: Solo = { ...EMPTY_SOLO, changes: changes(['C', 'N.C.', 'G7']) };
    const spans = chordSpans(solo);
    expect(spans.map((span) => functionIn(solo.key, span))).toEqual(['pickup', 'I', 'N.C.', 'V']);
    expect(spans.map((span) => span.kind)).toEqual(['pickup', 'chord', 'no chord', 'chord']);
  });
});
