// Small solos played, for the tests of sound.
import { parseSoloOrThrow } from '../../lib/notation/parser.js';
import { type PerformanceOptions, performanceOf, type Sound } from '../../lib/solo/performance.js';
import type { Solo } from '../../lib/solo/solo.js';
import { SAMPLE_RATE, samplesOf } from '../../lib/sound/string-synth.js';
import { levelOf, pitchOf } from './measure.js';

/** One phrase from the first beat of bar 0: at 60 a quarter is a second. */
export const soloOf = (words: string, head = '', changes = ''): Solo =>
  parseSoloOrThrow(
    `---\ntitle: A\nplayer: B\nkey: C major\n${/tempo:/.test(head) ? '' : 'tempo: 60\n'}${head}---\n${changes}phrase 1\nat 0 1\n${words}\n`,
  );

/** The sounds of such a phrase. */
export const soundsOf = (words: string, head = '', options: PerformanceOptions = {}): readonly Sound[] =>
  performanceOf(soloOf(words, head), options).sounds;

/** What is heard of such a phrase. */
export interface Heard {
  readonly samples: Float32Array;
  readonly sounds: readonly Sound[];
  /** Pitch in cents between two seconds, as measured; `undefined` where there is none. */
  pitch(from: number, to: number): number | undefined;
  level(from: number, to: number): number;
}

export function heard(words: string, head = '', rate = SAMPLE_RATE): Heard {
  const performance = performanceOf(soloOf(words, head));
  const samples = samplesOf(performance, { rate });
  return {
    samples,
    sounds: performance.sounds,
    pitch: (from, to) => pitchOf(samples, rate, from, to),
    level: (from, to) => levelOf(samples, rate, from, to),
  };
}
