// MIDI files as written here, listed by midicsv (Debian, public domain), a reader that is none of ours: form, ranges, notes, pitches, tempo, meter, texts.
// Where it is not installed the tests are skipped.
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { printMidi } from '../../lib/exchange/midi-write.js';
import { readCorpus } from '../../lib/intake/read-corpus.js';
import { clockOf } from '../../lib/solo/clock.js';
import { performanceOf, soundPitch } from '../../lib/solo/performance.js';
import { gridOf, type Solo } from '../../lib/solo/solo.js';
import { installed, listed } from './midicsv.js';

const absent = !installed('midicsv');
const folder = absent ? '' : mkdtempSync(join(tmpdir(), 'written-'));
afterAll(() => {
  if (folder !== '') rmSync(folder, { recursive: true });
});
const demo = readCorpus(['data/solos']).solos;

function byNumber<T>(list: readonly T[], of: (item: T) => number): ReadonlyMap<number, readonly T[]> {
  const map = new Map<number, T[]>();
  for (const item of list) {
    const own = map.get(of(item)) ?? [];
    own.push(item);
    map.set(of(item), own);
  }
  return map;
}

describe.skipIf(absent)('a demo solo as midicsv lists it', () => {
  it.each(demo.map(({ id, solo }) => [id, solo] as const))('%s', (id, solo: Solo) => {
    const path = join(folder, `${id}.mid`);
    writeFileSync(path, printMidi(solo).bytes);
    const { format, division, events, notes } = listed(path);
    expect([format, division]).toEqual([1, 20160]);
    const named = (name: string) => events.filter((e) => e[2] === name);
    expect(named('Tempo')[0]?.[3]).toBe(String(Math.round(6e7 / solo.tempo)));
    expect(named('Time_signature')[0]?.slice(3, 5)).toEqual([
      String(solo.meter.over),
      String(Math.log2(solo.meter.under)),
    ]);
    const chords = solo.changes.bars.flat().map((c) => c.symbol);
    expect(named('Marker_t').map((e) => e[3]?.slice(1, -1))).toEqual(chords);

    // RPN 0 of each channel before its first note, then RPN null.
    const strings = solo.guitar.tuning.length;
    for (let channel = 0; channel < strings; channel++) {
      const set = named('Control_c')
        .filter((e) => Number(e[3]) === channel && e[1] === 0)
        .map((e) => `${e[4]}=${e[5]}`);
      expect(set.slice(0, 6)).toEqual(['101=0', '100=0', '6=12', '38=0', '101=127', '100=127']);
      expect(named('Program_c').find((e) => Number(e[3]) === channel)?.[4]).toBe('27');
    }
    expect(new Set(notes.map((n) => n.channel)).size).toBeLessThanOrEqual(strings);
    expect(notes.every((n) => n.channel < strings)).toBe(true);

    // One note at a time on a string, and its pitch within 2 cents of the path, looked at 16 times in each sound.
    const byChannel = byNumber(notes, (n) => n.channel);
    for (const own of byChannel.values())
      for (const [i, n] of own.entries()) expect(n.end).toBeLessThanOrEqual(own[i + 1]?.at ?? Number.POSITIVE_INFINITY);
    const wheels = byNumber(named('Pitch_bend_c'), (e) => Number(e[3]));
    const clock = clockOf(solo);
    const grid = gridOf(solo);
    const zero = clock.barSeconds(solo.phrases[0]!.at);
    const first = grid.bar(
      grid.place(solo.phrases[0]!.at).bar.number === 0 ||
        solo.changes.firstBar === 0 ||
        solo.changes.settings.some((s) => s.bar === 1)
        ? 0
        : 1,
    ).start;
    let worst = 0;
    for (const sound of performanceOf(solo).sounds) {
      if (sound.damping === 'dead' || sound.end - sound.at < 0.005) continue;
      const channel = sound.string - 1;
      for (let k = 0; k < 16; k++) {
        const at = sound.at + ((sound.end - sound.at) * (k + 0.5)) / 16;
        const tick = clock.evenTicks(zero + at) - first;
        const note = byChannel.get(channel)?.find((n) => n.at <= tick && tick < n.end);
        expect(note, `string ${sound.string} at ${at} s`).toBeDefined();
        const wheel = wheels.get(channel)?.findLast((e) => e[1] <= tick);
        const cents = note!.key * 100 + ((Number(wheel?.[4]) - 8192) / 8192) * 1200;
        worst = Math.max(worst, Math.abs(cents - soundPitch(sound, at)));
      }
    }
    expect(worst).toBeLessThanOrEqual(2);
    expect(worst).toBeGreaterThan(0); // something was bent
  });
});
