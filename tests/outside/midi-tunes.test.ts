// Traditional tunes (the examples of Debian's abcmidi) made into MIDI by its abc2midi, and read by us: onsets and pitches, part by part, must be those that
// midicsv lists. Both are programs of others; where they or the tunes are not installed the tests are skipped.
import { execFileSync } from 'node:child_process';
import { existsSync, mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { parseMidi } from '../../lib/exchange/midi-read.js';
import { installed, listed } from './midicsv.js';

const tunes = '/usr/share/doc/abcmidi/examples';
const absent = !(installed('abc2midi') && installed('midicsv') && existsSync(tunes));
const folder = absent ? '' : mkdtempSync(join(tmpdir(), 'tunes-'));
afterAll(() => {
  if (folder !== '') rmSync(folder, { recursive: true });
});

/** Each tune of each file by its reference number. */
const cases = absent
  ? []
  : readdirSync(tunes)
      .filter((name) => name.endsWith('.abc'))
      .flatMap((name) =>
        [...readFileSync(join(tunes, name), 'latin1').matchAll(/^X: *(\d+)/gm)].map(
          (m) => [name, m[1] as string] as const,
        ),
      );
/** Drums alone; read as such, and refused. */
const DRUMS_ALONE = 'drums.abc';
/** Tunes that have abc2midi spread the voices of a chord over channels. */
const ROLLED: readonly string[] = ['detune.abc', 'temperament.abc'];

function made(name: string, number: string): string {
  const path = join(folder, `${name}-${number}.mid`);
  // It ends with an error on slips that it mends itself (a bar too long); the file is there.
  try {
    execFileSync('abc2midi', [join(tunes, name), number, '-silent', '-o', path], { stdio: 'ignore' });
  } catch {}
  return path;
}

it.skipIf(absent)('there are tunes to read', () => {
  expect(cases.length).toBeGreaterThanOrEqual(20);
});

describe.skipIf(absent)('tunes made by abc2midi', () => {
  it.each(cases)('%s, tune %s: every onset and pitch that midicsv lists', (name, number) => {
    const path = made(name, number);
    const bytes = readFileSync(path);
    const { format, division, notes } = listed(path);
    const pitched = notes.filter((n) => n.channel !== 9);
    if (name === DRUMS_ALONE) {
      expect(pitched).toEqual([]);
      expect(parseMidi(bytes).diagnostics[0]?.code).toBe('no-notes');
      return;
    }
    expect(pitched.length).toBeGreaterThan(0);
    // Parts are tracks; in a file of one track, channels.
    const one = format === 0;
    const partOf = (n: (typeof pitched)[number]): number => (one ? n.channel : n.track);
    const parts = [...new Set(pitched.map(partOf))].sort((a, b) => a - b);
    parts.forEach((part, i) => {
      const theirs = pitched.filter((n) => partOf(n) === part);
      const asked = one && parts.length > 1 ? String(part + 1) : String(i + 1);
      const { melody, diagnostics } = parseMidi(bytes, { part: asked });
      expect(diagnostics.filter((d) => d.severity === 'fault')).toEqual([]);
      const ours = melody!.phrases.flatMap((p) => p.notes);
      const shift = melody!.meter.barTicks; // their first tick is the start of our bar 1
      // Two of one pitch at once are one; a third voice in unison sounds no other note.
      const unlike = new Map(theirs.map((n) => [`${n.at} ${n.key}`, n]));
      expect(ours.length).toBe(unlike.size);
      const sorted = [...unlike.values()].sort((a, b) => a.at - b.at || b.key - a.key);
      const byTime = ours.map((n) => ({
        at: ((n.onset - shift) * division) / 20160,
        key: n.key as number,
        grace: n.grace,
      }));
      const count = (keys: readonly number[]) => [...keys].sort((a, b) => a - b);
      expect(count(byTime.map((n) => n.key))).toEqual(count(sorted.map((n) => n.key)));
      // A quarter has 480 of their ticks; they begin each note a tick or two late, and voices of chords with temperaments of their own ten ticks after each other.
      const late = ROLLED.includes(name) ? 32 : 3;
      let near = 0;
      for (const n of byTime)
        if (n.grace === 0 && sorted.some((t) => t.key === n.key && Math.abs(t.at - n.at) <= late)) near++;
      const mains = byTime.filter((n) => n.grace === 0).length;
      expect(near / mains, `${near} of ${mains} onsets where they are`).toBeGreaterThanOrEqual(0.95);
    });
  });
});
