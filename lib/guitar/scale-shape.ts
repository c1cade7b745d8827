// A scale in one position of the hand: which tone lies where, string by string.
import { fret, type MidiKey, midiKey, mod, type PitchClass, stringNumber } from '../foundation/units.js';
import { type Guitar, openKey, type Position } from './fretboard.js';

/** A tone of a scale in a position. */
export interface ShapeTone extends Position {
  readonly pitch: MidiKey;
}

/**
 * The tones of some pitch classes that lie under a hand at a position, from the lowest up, each once. The position is the fret of the first finger; four
 * frets lie under the hand, the first finger reaches one fret back, the little one a fret ahead; a tone that lies at two places is taken where the hand
 * need not stretch, else where it reaches back. In position 1 open strings are used. Common practice, no source.
 * @throws RangeError for a position that is not on the neck
 * @example
 * const pentatonic = [9, 11, 1, 4, 6].map(pitchClass)
 * scaleShape(STANDARD_GUITAR, pentatonic, 5).slice(0, 4).map((t) => `${t.fret}@${t.string}`) // => ['5@6', '7@6', '4@5', '7@5']
 */
export function scaleShape(guitar: Guitar, classes: readonly PitchClass[], position: number): readonly ShapeTone[] {
  const last = guitar.frets - guitar.capo;
  if (!(Number.isInteger(position) && position >= 1 && position <= last))
    throw new RangeError(`position ${position} is not on the neck: 1 to ${last} expected`);
  const wanted = new Set<number>(classes);
  const best = new Map<number, { readonly tone: ShapeTone; readonly reach: number }>();
  for (let s = guitar.tuning.length; s >= 1; s--) {
    const string = stringNumber(s);
    const open = openKey(guitar, string) as number;
    for (let f = Math.max(0, position - 1); f <= Math.min(last, position + 4); f++) {
      if (f === 0 && position > 1) continue;
      const pitch = open + f;
      if (!wanted.has(mod(pitch, 12))) continue;
      const reach = f === 0 || (f >= position && f < position + 4) ? 0 : f < position ? 1 : 2;
      const known = best.get(pitch);
      if (!known || reach < known.reach || (reach === known.reach && f === 0))
        best.set(pitch, { tone: { string, fret: fret(f), pitch: midiKey(pitch) }, reach });
    }
  }
  const tones = [...best.values()].sort((a, b) => a.tone.pitch - b.tone.pitch);
  // A stretch at either end of the scale is not worth it: it only ever fills a gap inside.
  while (tones.length > 0 && (tones[0] as { reach: number }).reach === 2) tones.shift();
  while (tones.length > 0 && (tones[tones.length - 1] as { reach: number }).reach > 0) tones.pop();
  return tones.map(({ tone }) => tone);
}

/** Of some tones the one nearest in pitch to a given one; of two the lower. */
export const nearestTone = (tones: readonly ShapeTone[], pitch: number): ShapeTone | undefined =>
  tones.reduce<ShapeTone | undefined>(
    (best, tone) => (best === undefined || Math.abs(tone.pitch - pitch) < Math.abs(best.pitch - pitch) ? tone : best),
    undefined,
  );
