// MIDI files made by hand, read: forms of the bytes, bends, time, parts, chords; and what is broken.
import { describe, expect, it } from 'vitest';
import { bendValue } from '../../lib/exchange/midi-events.js';
import { parseMidi } from '../../lib/exchange/midi-read.js';
import { printMidi } from '../../lib/exchange/midi-write.js';
import { hasFaults } from '../../lib/foundation/diagnostic.js';
import { createRandom } from '../../lib/foundation/random.js';
import { readCorpus } from '../../lib/intake/read-corpus.js';
import type { Melody, MelodyNote } from '../../lib/solo/melody.js';
import type { Solo } from '../../lib/solo/solo.js';
import { type At, chunk, END, meta, note, range, says, smf, TEXT, track, wheel } from './midi-samples.js';

const Q = 20160;
const melodyOf = (bytes: Uint8Array, part?: string): Melody => {
  const { melody, diagnostics } = parseMidi(bytes, part === undefined ? {} : { part });
  expect(diagnostics.filter((d) => d.severity === 'fault')).toEqual([]);
  return melody as Melody;
};
const notesIn = (melody: Melody): readonly MelodyNote[] => melody.phrases.flatMap((p) => p.notes);
/** Quarters from the start of the file, and key. */
const told = (bytes: Uint8Array): readonly (readonly [number, number])[] => {
  const melody = melodyOf(bytes);
  return notesIn(melody).map((n) => [(n.onset - melody.meter.barTicks) / Q, n.key] as const);
};
const saidOf = (bytes: Uint8Array, part?: string): readonly string[] =>
  parseMidi(bytes, part === undefined ? {} : { part }).report.entries.map((e) => `${e.kind} ${e.code}`);

describe('the bytes of a file', () => {
  // The example of the standard (Standard MIDI Files 1.0, appendix 4, from memory): 96 ticks to a quarter, 4/4, 120 quarters a minute; three channels,
  // programs 5, 46 and 70; C3 and C4 from the start, G4 from the second quarter, E5 from the third, all to the end of the bar.
  const type0 = smf(0, 96, [
    ...[0x00, 0xff, 0x58, 0x04, 0x04, 0x02, 0x18, 0x08, 0x00, 0xff, 0x51, 0x03, 0x07, 0xa1, 0x20],
    ...[0x00, 0xc0, 0x05, 0x00, 0xc1, 0x2e, 0x00, 0xc2, 0x46],
    ...[0x00, 0x92, 0x30, 0x60, 0x00, 0x3c, 0x60, 0x60, 0x91, 0x43, 0x40, 0x60, 0x90, 0x4c, 0x20],
    ...[0x81, 0x40, 0x82, 0x30, 0x40, 0x00, 0x3c, 0x40, 0x00, 0x81, 0x43, 0x40, 0x00, 0x80, 0x4c, 0x40],
    ...END,
  ]);
  const type1 = smf(
    1,
    96,
    [
      0x00,
      0xff,
      0x58,
      0x04,
      0x04,
      0x02,
      0x18,
      0x08,
      0x00,
      0xff,
      0x51,
      0x03,
      0x07,
      0xa1,
      0x20,
      0x83,
      0x00,
      ...END.slice(1),
    ],
    [0x00, 0xc0, 0x05, 0x81, 0x40, 0x90, 0x4c, 0x20, 0x81, 0x40, 0x4c, 0x00, ...END],
    [0x00, 0xc1, 0x2e, 0x60, 0x91, 0x43, 0x40, 0x82, 0x20, 0x43, 0x00, ...END],
    [0x00, 0xc2, 0x46, 0x00, 0x92, 0x30, 0x60, 0x00, 0x3c, 0x60, 0x83, 0x00, 0x30, 0x00, 0x00, 0x3c, 0x00, ...END],
  );
  it.each([
    ['type 0', type0, ['1', '2', '3']],
    ['type 1', type1, ['1', '2', '3']],
  ])('the example of the standard, %s: running status, channels and tracks as parts', (_, bytes, parts) => {
    const all = parts.flatMap((part) => {
      const melody = melodyOf(bytes, part);
      expect([melody.tempo, melody.meter.over, melody.meter.under]).toEqual([120, 4, 4]);
      return notesIn(melody).map((n) => [n.onset / Q - 4, n.length / Q, n.key]);
    });
    const sorted = all.sort((a, b) => (a[0] as number) - (b[0] as number) || (a[2] as number) - (b[2] as number));
    expect(sorted).toEqual([
      [0, 4, 48],
      [0, 4, 60],
      [1, 3, 67],
      [2, 2, 76],
    ]);
  });

  it('passes over chunks, system-exclusive messages, pressure and meta events that it does not know', () => {
    const body = [
      ...[0x00, 0xf0, 0x03, 0x7e, 0x09, 0xf7, 0x00, 0xd0, 0x40, 0x00, 0xa0, 60, 3],
      ...meta(0, 0x7f, [1, 2]),
      ...[0x00, 0x90, 60, 90, 0x60, 0x80, 60, 0],
      ...END,
    ];
    const head = smf(0, 96);
    head[11] = 1; // one track
    const bytes = Uint8Array.from([...head, ...chunk('XFIH', [1, 2, 3]), ...chunk('MTrk', body)]);
    expect(told(bytes)).toEqual([[0, 60]]);
    expect(saidOf(bytes)).toContain('dropped passed-over');
    expect(parseMidi(bytes).diagnostics.map((d) => d.code)).toContain('chunk');
  });

  const good = smf(1, 96, track(says(0, TEXT.track, 'Song')), track(...note(0, 96, 60), ...note(96, 96, 62)));
  it('cut off at any byte it is a fault with a place and a remedy, or a note fewer that is said', () => {
    for (let at = 0; at < good.length; at++) {
      const { diagnostics, melody } = parseMidi(good.subarray(0, at));
      expect(hasFaults(diagnostics), `cut at ${at}`).toBe(true);
      expect(melody).toBeUndefined();
      const [first] = diagnostics;
      expect(first?.remedy, `cut at ${at}`).toBeTruthy();
      expect(first?.place.column).toBeLessThanOrEqual(at + 1);
    }
  });
  const broken: readonly (readonly [string, string, Uint8Array])[] = [
    ['empty', 'empty', new Uint8Array()],
    ['text', 'not-midi', new TextEncoder().encode('a line of text, and no music')],
    ['type 2', 'type', smf(2, 96, track(...note(0, 96, 60)))],
    ['frames of film', 'frames', smf(0, 0xe728, track(...note(0, 96, 60)))],
    ['no ticks', 'division', smf(0, 0, track(...note(0, 96, 60)))],
    ['no tracks', 'no-tracks', smf(1, 96)],
    ['data without a status', 'status', smf(0, 96, [0, 60, 90, ...END])],
    ['a status where data belongs', 'data-byte', smf(0, 96, [0, 0x90, 60, 0x90, ...END])],
    ['a status that files may not hold', 'status', smf(0, 96, [0, 0xf8, ...END])],
    ['a number of five bytes', 'length', smf(0, 96, [0x81, 0x81, 0x81, 0x81, 0x01, 0x90, 60, 90, ...END])],
    ['only drums', 'no-notes', smf(0, 96, track(...note(0, 96, 38, 9)))],
    ['a million bars', 'too-long', smf(0, 1, track(...note(0x0fffff0, 1, 60)))],
  ];
  it.each(broken)('%s: a fault "%s"', (_, code, bytes) => {
    const { diagnostics, melody } = parseMidi(bytes, { file: 'x.mid' });
    expect(melody).toBeUndefined();
    const faults = diagnostics.filter((d) => d.severity === 'fault');
    expect(faults.map((d) => d.code)).toEqual([code]);
    expect(faults[0]?.remedy).toBeTruthy();
    expect(faults[0]?.file).toBe('x.mid');
  });
});

describe('the wheel', () => {
  const bent = (...events: At[]): MelodyNote =>
    notesIn(melodyOf(smf(0, 480, track(...events, ...note(0, 960, 64)))))[0] as MelodyNote;
  // By the rules of MIDI 1.0: the wheel goes two semitones unless RPN 0 says otherwise; 8192 is the middle, so that up is one step short (16383).
  it('goes two semitones if nothing is said, and as far as RPN 0 says', () => {
    const up = (value: number) => [240, 250, 260, 270].map((at, i) => wheel(at, 8192 + ((value - 8192) * (i + 1)) / 4));
    expect(bent(...up(16384 - 4).slice(0, 3), wheel(270, 16383)).path.at(-1)?.level).toBe(200);
    expect(bent(range(0, 12), ...up(8192 + 4 * 341), wheel(280, 9557)).path.at(-1)?.level).toBe(200);
    expect(bent(range(0, 24), wheel(240, 8192 + 683)).path.at(-1)?.level).toBe(200);
    // 0 semitones and 50 cents
    expect(bent(range(0, 0, 50), wheel(240, 16383)).path.at(-1)?.level).toBe(50);
  });
  it('a range set after RPN null or for another parameter changes nothing', () => {
    const none: At = [0, [0xb0, 101, 127, 0, 100, 127, 0, 6, 12]];
    expect(bent(range(0, 2), none, wheel(240, 16383)).path.at(-1)?.level).toBe(200);
  });
  it('before the note it is a pre-bend, and back a release', () => {
    const path = bent(wheel(0, 16383), wheel(480, 12288), wheel(490, 8192)).path;
    expect(path.map((p) => p.level)).toEqual([200, 0]);
  });
  it('a bend that is let down, with the times of its levels', () => {
    const events = [0, 1, 2, 3, 4].map((k) => wheel(k * 10, 8192 + Math.min(8191, k * 2048)));
    const back = [1, 2, 3, 4].map((k) => wheel(720 + k * 10, 16384 - k * 2048 + (k === 0 ? -1 : 0)));
    const { path } = bent(...events, ...back);
    expect(path.map((p) => [p.level, p.time])).toEqual([
      [0, undefined],
      [200, 1.5 * Q],
      [0, undefined],
    ]);
  });
  it('small swings are vibrato and no levels', () => {
    const swing = Array.from({ length: 160 }, (_, i) => wheel(240 + i * 4, 8192 + Math.round(700 * Math.sin(i / 4.5))));
    const read = bent(...swing);
    expect([read.vibrato, read.path]).toEqual([true, []]);
  });
  it('a tuned channel (RPN 1) is a quarter-tone, said where it is brought to one', () => {
    const tuned: At = [0, [0xb0, 101, 0, 0, 100, 1, 0, 6, 64 + 32]];
    expect(bent(tuned).path).toEqual([{ level: 50 }]);
    const events = track(wheel(0, 8192 + 1600), ...note(0, 960, 64));
    expect(saidOf(smf(0, 480, events))).toContain('approximated bend');
  });
});

describe('time', () => {
  it('keeps triplets, quintuplets and 32nds of a written score', () => {
    const at = [0, 160, 320, 480, 576, 672, 768, 864, 960, 1020, 1080, 1140];
    const bytes = smf(0, 480, track(...at.flatMap((t, i) => note(t, (at[i + 1] ?? 1200) - t, 60 + i))));
    expect(told(bytes).map(([t]) => Math.round(t * Q))).toEqual(at.map((t) => (t * Q) / 480));
    expect(saidOf(bytes)).not.toContain('approximated moved');
  });
  it('notes played shorter than they are written last up to the next', () => {
    const bytes = smf(0, 480, track(...[0, 240, 480, 960].flatMap((t, i) => note(t, i < 2 ? 220 : 440, 60 + i))));
    expect(notesIn(melodyOf(bytes)).map((n) => n.length / Q)).toEqual([0.5, 0.5, 1, 1]);
  });
  it('short notes before longer ones are graces', () => {
    const bytes = smf(
      0,
      480,
      track(...note(0, 480, 60), ...note(450, 30, 61), ...note(480, 480, 62), ...note(960, 480, 64)),
    );
    expect(notesIn(melodyOf(bytes)).map((n) => [n.onset / Q - 4, n.grace, n.key])).toEqual([
      [0, 0, 60],
      [1, 1, 61],
      [1, 0, 62],
      [2, 0, 64],
    ]);
  });
  it('meter, key and tempo that change, from their bars on', () => {
    const bytes = smf(
      1,
      480,
      track(
        [0, meta(0, 0x58, [3, 2, 24, 8]).slice(1)],
        [0, meta(0, 0x59, [0xfd, 1]).slice(1)],
        [0, meta(0, 0x51, [0x09, 0x27, 0xc0]).slice(1)],
        [1440, meta(0, 0x58, [6, 3, 36, 8]).slice(1)],
        [1440, meta(0, 0x51, [0x07, 0xa1, 0x20]).slice(1)],
      ),
      track(...note(0, 480, 60), ...note(1440, 480, 62)),
    );
    const melody = melodyOf(bytes);
    expect([melody.meter.over, melody.key.tonicName, melody.key.mode, melody.tempo]).toEqual([3, 'C', 'minor', 100]);
    expect(melody.changes.settings.map((s) => [s.bar, s.meter?.over, s.tempo])).toEqual([[2, 6, 120]]);
  });

  const demo = readCorpus(['data/solos']).solos;
  /** A demo solo as another program might have recorded it: its notes, 480 to the quarter, each onset late or early by so many ms (normal). */
  const played = (solo: Solo, ms: number, seed: number, strewn = false) => {
    const random = createRandom(seed);
    const gauss = () => Math.sqrt(-2 * Math.log(1 - random.next())) * Math.cos(2 * Math.PI * random.next());
    const ticks = (ms / 60000) * solo.tempo * 480;
    const notes = solo.phrases
      .flatMap((p) => p.notes)
      .filter((n) => n.kind === 'fretted' && n.grace === 0 && n.length > 0)
      .map((n, i) => ({ at: n.onset, n, key: 40 + (i % 40) }));
    const events = notes.flatMap(({ at, n, key }) => {
      const exact = ((at - solo.meter.barTicks) * 480) / Q + 1920;
      const shift = strewn ? (random.next() - 0.5) * 480 : gauss() * ticks;
      return note(Math.max(0, Math.round(exact + shift)), Math.max(30, Math.round((n.length / Q) * 460)), key);
    });
    const tempo = Math.round(6e7 / solo.tempo);
    const head = track(
      [0, meta(0, 0x51, [tempo >> 16, (tempo >> 8) & 255, tempo & 255]).slice(1)],
      [0, meta(0, 0x58, [solo.meter.over, Math.log2(solo.meter.under), 24, 8]).slice(1)],
    );
    return { bytes: smf(1, 480, head, track(...events)), notes };
  };
  /** Onsets back at the place they were written at, over all of them; files refused are counted apart. */
  const back = (ms: number) => {
    let [right, all, refused] = [0, 0, 0];
    demo.forEach(({ solo }, i) => {
      const { bytes, notes } = played(solo, ms, i + 1);
      const { melody } = parseMidi(bytes);
      if (!melody) {
        refused++;
        return;
      }
      const left = new Map<string, number>();
      for (const n of notesIn(melody)) {
        const name = `${n.key} ${n.onset - melody.meter.barTicks}`;
        left.set(name, (left.get(name) ?? 0) + 1);
      }
      for (const { at, key } of notes) {
        all++;
        const name = `${key} ${at - solo.meter.barTicks + 4 * Q}`;
        const n = left.get(name) ?? 0;
        if (n > 0) {
          right++;
          left.set(name, n - 1);
        }
      }
    });
    return { share: right / all, refused };
  };
  it('onsets that were played come back to their places as long as the hand is steady', () => {
    // Measured: 100 %, 99.8 %, 94.0 %, 80.5 %; none refused. What is wrong is mostly one of two neighbours on a finer grid than was meant.
    expect(back(0)).toEqual({ share: 1, refused: 0 });
    for (const [ms, least] of [
      [10, 0.99],
      [20, 0.92],
      [30, 0.78],
    ] as const) {
      const { share, refused } = back(ms);
      expect([share >= least, refused], `${ms} ms: ${share}`).toEqual([true, 0]);
    }
  });
  it('onsets strewn at random fit no grid: refused, said', () => {
    const codes = demo.map(
      ({ solo }, i) =>
        parseMidi(played(solo, 0, i + 1, true).bytes).diagnostics.find((d) => d.severity === 'fault')?.code,
    );
    expect(new Set(codes)).toEqual(new Set(['no-grid']));
  });
});

describe('parts', () => {
  const named = (name: string, key: number, ...more: At[]) =>
    track(says(0, TEXT.track, name), ...more, ...note(0, 480, key), ...note(480, 480, key + 2));
  const bytes = smf(
    1,
    480,
    track(),
    named('Piano', 60),
    named('Lead', 72),
    named('Bass', 40),
    named('Kit', 36, [0, [0xc9, 0]]),
  );
  it('takes the likeliest and says so; by name or number what is asked for', () => {
    expect(notesIn(melodyOf(bytes))[0]?.key).toBe(72);
    expect(saidOf(bytes)).toContain('chosen part');
    expect(notesIn(melodyOf(bytes, 'bass'))[0]?.key).toBe(40);
    expect(notesIn(melodyOf(bytes, '1'))[0]?.key).toBe(60);
    const { diagnostics } = parseMidi(bytes, { part: 'Horn' });
    expect(diagnostics[0]).toMatchObject({ code: 'no-such-part', remedy: expect.stringContaining('2 "Lead"') });
  });
  it('prefers the sound of a guitar (General MIDI 24 to 31), and leaves drums out', () => {
    const other = smf(
      1,
      480,
      named('a', 60, [0, [0xc0, 0]]),
      track([0, [0xc1, 29]], ...note(0, 480, 64, 1)),
      track(...note(0, 9, 38, 9)),
    );
    expect(notesIn(melodyOf(other))[0]?.key).toBe(64);
    expect(saidOf(other)).toContain('dropped drums');
  });
});

describe('chords', () => {
  const over = (...texts: At[]) => smf(1, 480, track(...texts), track(...note(0, 1920, 60), ...note(1920, 1920, 62)));
  const bars = (bytes: Uint8Array) =>
    melodyOf(bytes).changes.bars.map((bar) => bar.map((c) => `${c.symbol} ${c.at / Q}`).join(', '));
  it.each([
    ['markers', TEXT.marker],
    ['texts', TEXT.text],
    ['lyrics', TEXT.lyric],
    ['cue points', TEXT.cue],
  ])('from %s', (_, type) => {
    expect(bars(over(says(0, type, 'Am7'), says(960, type, 'D7'), says(1920, type, 'Gmaj7')))).toEqual([
      'Am7 0, D7 2',
      'Gmaj7 0',
    ]);
  });
  it('letters of sections, words and titles are no chords', () => {
    expect(bars(over(says(0, TEXT.marker, 'A'), says(1920, TEXT.marker, 'B')))).toEqual([]);
    expect(bars(over(says(0, TEXT.lyric, 'A'), says(480, TEXT.lyric, 'long'), says(960, TEXT.lyric, 'way')))).toEqual(
      [],
    );
  });
});

// Bytes of bends: MIDI 1.0 gives 14 bits, the low seven first, 8192 in the middle; values 8192 + 8192 s / R worked out by hand.
it.each([
  [2, 0.25, 0x00, 0x48],
  [2, 0.5, 0x00, 0x50],
  [2, 1, 0x00, 0x60],
  [2, 1.5, 0x00, 0x70],
  [2, 2, 0x7f, 0x7f],
  [2, -2, 0x00, 0x00],
  [12, 1, 0x2b, 0x45],
  [12, 3, 0x00, 0x50],
  [48, 1, 0x2b, 0x41],
  [48, 2, 0x55, 0x42],
])('range %i, %f semitones: bytes %i %i', (semitones, up, low, high) => {
  const value = bendValue(up * 100, semitones);
  expect([value & 127, value >> 7]).toEqual([low, high]);
});

// General MIDI level 1, the guitars (programs counted from 0; as in the table of the Debian package midicsv).
it('writes guitars by their General MIDI programs', () => {
  const solo = readCorpus(['data/solos']).solos[0]?.solo as Solo;
  const programIn = (bytes: Uint8Array) => {
    const text = [...bytes].map((b) => b.toString(16).padStart(2, '0')).join(' ');
    return Number.parseInt(/00 c0 (..)/.exec(text)?.[1] ?? '', 16);
  };
  expect(programIn(printMidi(solo).bytes)).toBe(27); // electric guitar (clean)
  // 24 nylon, 25 steel, 26 jazz, 27 clean, 28 muted, 29 overdriven, 30 distortion, 31 harmonics
  for (let program = 24; program <= 31; program++) expect(programIn(printMidi(solo, { program }).bytes)).toBe(program);
  expect(() => printMidi(solo, { program: 128 })).toThrow(RangeError);
  expect(() => printMidi(solo, { countIn: 5 })).toThrow(RangeError);
});
