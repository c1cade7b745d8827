// The scales that players know by name, from the pentatonics to the minors.

/** A scale as players name it. */
export interface FamiliarScale {
  readonly name: string;
  /** Semitones above the root, rising from 0. */
  readonly semitones: readonly number[];
  /** True for a scale that is played on the tonic of the key only. */
  readonly onTonicOnly?: true;
}

/**
 * The familiar scales, the most familiar first. Common practice, no source: which ones they are, and in which order. The mixture is both
 * pentatonics on one root.
 * @example
 * FAMILIAR_SCALES.find((scale) => scale.name === 'major blues scale')?.semitones // => [0, 2, 3, 4, 7, 9]
 */
export const FAMILIAR_SCALES: readonly FamiliarScale[] = [
  { name: 'major pentatonic', semitones: [0, 2, 4, 7, 9] },
  { name: 'minor pentatonic', semitones: [0, 3, 5, 7, 10] },
  { name: 'blues scale', semitones: [0, 3, 5, 6, 7, 10] },
  { name: 'major blues scale', semitones: [0, 2, 3, 4, 7, 9] },
  { name: 'major-minor pentatonic mixture', semitones: [0, 2, 3, 4, 5, 7, 9, 10], onTonicOnly: true },
  { name: 'major scale', semitones: [0, 2, 4, 5, 7, 9, 11] },
  { name: 'minor scale', semitones: [0, 2, 3, 5, 7, 8, 10] },
  { name: 'mixolydian', semitones: [0, 2, 4, 5, 7, 9, 10] },
  { name: 'dorian', semitones: [0, 2, 3, 5, 7, 9, 10] },
  { name: 'lydian', semitones: [0, 2, 4, 6, 7, 9, 11] },
  { name: 'phrygian', semitones: [0, 1, 3, 5, 7, 8, 10] },
  { name: 'locrian', semitones: [0, 1, 3, 5, 6, 8, 10] },
  { name: 'harmonic minor', semitones: [0, 2, 3, 5, 7, 8, 11] },
  { name: 'melodic minor', semitones: [0, 2, 3, 5, 7, 9, 11] },
];
