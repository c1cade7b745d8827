// Every demo solo is played and listened to: all is heard that was struck, where it was struck, and nothing else.
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import { isStruck } from '../../lib/guitar/technique.js';
import { readCorpus } from '../../lib/intake/read-corpus.js';
import { clockOf } from '../../lib/solo/clock.js';
import { performanceOf } from '../../lib/solo/performance.js';
import { pitchOn } from '../../lib/solo/pitch-curve.js';
import { tonesOf } from '../../lib/solo/timeline.js';
import { samplesOf } from '../../lib/sound/string-synth.js';
import { onsetsIn, pitchOf } from './measure.js';

const { solos } = readCorpus([fileURLToPath(new URL('../../data/solos', import.meta.url))]);
const NEAR = 0.005;
/** Struck onsets of all solos, and those that were not found. */
const heard = { struck: 0, missed: 0 };

describe.each(solos.map(({ id, solo }) => [id, solo] as const))('%s', (_, solo) => {
  const performance = performanceOf(solo);
  const samples = samplesOf(performance);

  it('has no sample that is none, and none beyond full scale', () => {
    let peak = 0;
    let broken = 0;
    for (const value of samples) {
      if (!Number.isFinite(value)) broken++;
      peak = Math.max(peak, Math.abs(value));
    }
    expect(broken).toBe(0);
    expect(peak).toBeLessThan(1);
    expect(peak).toBeGreaterThan(0.05);
  });

  it('has an onset within 5 ms of (nearly) every struck tone, and none where nothing begins', () => {
    const onsets = onsetsIn(samples, 44100);
    // Written onsets of struck tones, swung: a grace stands at the onset of the note it leads to.
    const clock = clockOf(solo);
    const zero = clock.barSeconds(solo.phrases[0]!.at);
    const written = tonesOf(solo)
      .filter((t) => isStruck(t.start))
      .map((t) => t.onset);
    const struck = [...new Set(written)].map((onset) => clock.seconds(onset) - zero);
    const missed = struck.filter((at) => !onsets.some((t) => Math.abs(t - at) < NEAR));
    // One in thirty may hide: a ghost note under a loud one; over all solos together far fewer do (below).
    expect(struck.length).toBeGreaterThan(20);
    expect(missed.length / struck.length).toBeLessThan(1 / 30);
    heard.struck += struck.length;
    heard.missed += missed.length;
    const begins = performance.sounds.map((s) => s.at);
    expect(onsets.filter((t) => !begins.some((at) => Math.abs(t - at) < 2 * NEAR))).toEqual([]);
  });

  it('sounds every tone that is alone and steady for a while within 3 cents of its pitch', () => {
    const tones = tonesOf(solo);
    let measured = 0;
    for (const sound of performance.sounds) {
      const own = tones.filter((t) => t.phrase === sound.phrase && t.note === sound.note);
      if (own.length !== 1 || sound.vibrato || sound.harmonic || sound.damping !== 'open') continue;
      // The longest stretch in which nothing moves, behind the fading of the sound before.
      const moments = [sound.at, ...sound.curve.map((p) => p.at), sound.end].sort((a, b) => a - b);
      const stretches = moments.slice(1).map((end, i) => [moments[i]! + 0.035, end] as const);
      const steady = stretches.filter(
        ([start, end]) => Math.abs(pitchOn(sound.curve, start) - pitchOn(sound.curve, end)) < 1e-9,
      );
      const [from, to] = steady.reduce((best, s) => (s[1] - s[0] > best[1] - best[0] ? s : best), [0, 0] as const);
      const alone = performance.sounds.every((s) => s === sound || s.end + 0.03 < from || s.at >= to);
      if (to - from < 0.1 || !alone) continue;
      measured++;
      const pitch = pitchOf(samples, 44100, from, to);
      expect(Math.abs((pitch ?? Number.NaN) - own[0]!.pitch), `phrase ${sound.phrase} note ${sound.note}`).toBeLessThan(
        3,
      );
    }
    expect(measured, 'tones long enough to measure').toBeGreaterThan(9);
  });
});

describe('all demo solos', () => {
  it('of all struck onsets, 99 of 100 are found within 5 ms', () => {
    expect(heard.struck).toBeGreaterThan(2000);
    expect(heard.missed / heard.struck).toBeLessThan(0.01);
  });
});
