// Broken and hostile MIDI files: every one is said or read; nothing is thrown, hangs or grows without bound.
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { parseMidi } from '../../lib/exchange/midi-read.js';
import { readMangledMidi, wrongWith } from './midi-mangled.js';
import { note, says, smf, TEXT, track } from './midi-samples.js';
import { cpuTime } from './musicxml-mangled.js';

describe('damage', () => {
  it('to good files, a thousand times: said or read, what is read is a solo in every way, none takes a second', () => {
    const { wrong, slowest, read } = readMangledMidi(1000, 20261);
    expect(wrong).toBeUndefined();
    expect(slowest).toBeLessThan(1000);
    expect(read).toBeGreaterThan(300);
  }, 240_000);

  it('of any other kind: bytes of all sorts, with and without a head', () => {
    const bytes = fc.uint8Array({ maxLength: 400 });
    fc.assert(
      fc.property(
        fc.oneof(
          bytes,
          bytes.map((b) => smf(0, 96, [...b])),
          bytes.map((b) => smf(1, 480, [...b], [...b])),
        ),
        (b) => {
          expect(wrongWith(b)).toBeUndefined();
        },
      ),
      { numRuns: 500 },
    );
  });
});

describe('size', () => {
  const within = (seconds: number, bytes: Uint8Array) => {
    const start = cpuTime();
    const reading = parseMidi(bytes);
    expect(cpuTime() - start).toBeLessThan(seconds * 1000);
    return reading;
  };
  it('a chunk that announces four thousand million bytes is cut short', () => {
    const bytes = smf(0, 96, track(...note(0, 96, 60)));
    bytes.set([0xff, 0xff, 0xff, 0xff], 18);
    expect(within(1, bytes).diagnostics[0]).toMatchObject({ code: 'cut-short', remedy: expect.any(String) });
  });
  it('a text of a megabyte is no name', () => {
    const { melody } = within(2, smf(0, 96, track(says(0, TEXT.track, 'x'.repeat(1_000_000)), ...note(0, 96, 60))));
    expect(melody?.title.length).toBeLessThanOrEqual(200);
  });
  it('notes that nothing ends, a hundred thousand at once', () => {
    const bytes = smf(0, 96, [
      ...Array.from({ length: 100_000 }, (_, i) => [0, 0x90, i % 128, 64]).flat(),
      0x60,
      0xff,
      0x2f,
      0,
    ]);
    const { diagnostics, report } = within(5, bytes);
    expect(diagnostics.length).toBeGreaterThan(0);
    expect(report.entries.map((e) => e.code)).toContain('unended');
  });
  it('a wheel that moves two hundred thousand times under a note', () => {
    const turns = Array.from({ length: 200_000 }, (_, i) => [0x01, 0xe0, (i * 37) % 128, 60 + (i % 8)]).flat();
    const { melody } = within(5, smf(0, 9600, [0, 0x90, 60, 64, ...turns, 0x60, 0x80, 60, 0, 0, 0xff, 0x2f, 0]));
    expect(melody?.phrases[0]?.notes.length).toBe(1);
  });
  it('more events than half a million are refused before they fill the memory', () => {
    const bytes = smf(0, 96, Array.from({ length: 500_002 }, () => [0, 0xb0, 1, 1]).flat());
    expect(within(5, bytes).diagnostics.map((d) => d.code)).toEqual(['too-long']);
  });
  it('more meters, tempos and keys than bars', () => {
    const meta = Array.from({ length: 30_000 }, (_, i) => [
      1,
      0xff,
      0x58,
      4,
      1 + (i % 30),
      2,
      24,
      8,
      0,
      0xff,
      0x51,
      3,
      1 + (i % 90),
      0,
      0,
      0,
      0xff,
      0x59,
      2,
      i % 8,
      0,
    ]).flat();
    const { diagnostics } = within(5, smf(1, 1, [...meta, 0, 0xff, 0x2f, 0], track(...note(0, 40_000, 60))));
    expect(diagnostics.length).toBeGreaterThan(0);
  });
});
