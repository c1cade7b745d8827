// Figures by the textbook tests of Open Music Theory, "embellishing tones" (openmusictheory.github.io, CC BY-SA): approach, departure, accent.
// Pedal, enclosure from anywhere, and approach by semitone: common practice, no source.
import { describe, expect, it } from 'vitest';
import { parseSoloOrThrow } from '../../lib/notation/parser.js';
import { figuresOf } from '../../lib/solo/figure.js';
import { chordSpans } from '../../lib/solo/harmony.js';
import { gridOf } from '../../lib/solo/solo.js';
import { lineOf, tonesOf } from '../../lib/solo/timeline.js';

/** Figures at the onsets of a line in C major on the second string (open B: fret 1 is C, 3 D, 5 E, 6 F, 8 G, 10 A, 12 B, 13 C). */
function figures(bars: string, changes = 'C', at = '1 1') {
  const text = `---\ntitle: Figures\nplayer: Ada Fenwick\nkey: C major\ntempo: 100\n---\nchanges\n  1 ${changes}\nphrase 1\nat ${at}\n  ${bars}\n`;
  const solo = parseSoloOrThrow(text);
  const tones = tonesOf(solo);
  const line = lineOf(tones);
  const found = figuresOf(tones, line, chordSpans(solo), gridOf(solo));
  return { at: line.map((i) => found.atOnset[i]), held: found.held.map((h) => [h.tone, h.figure]) };
}

describe('figures against one chord (C E G)', () => {
  it('passing: by step and on by step the same way, filling a third', () => {
    expect(figures('e 1@2 3@2 5@2 - h - |').at).toEqual([undefined, 'passing', undefined]);
  });
  it('passing: two of them fill a fourth (G A B C)', () => {
    expect(figures('e 8@2 10@2 12@2 13@2 h - |').at).toEqual([undefined, 'passing', 'passing', undefined]);
  });
  it('neighbour: by step and back to the same note', () => {
    expect(figures('e 5@2 6@2 5@2 - h - |').at).toEqual([undefined, 'neighbour', undefined]);
  });
  it('double neighbour: one above and one below, back to the start', () => {
    expect(figures('e 5@2 6@2 3@2 5@2 h - |').at).toEqual([
      undefined,
      'double neighbour',
      'double neighbour',
      undefined,
    ]);
  });
  it('double neighbour as an enclosure that comes by leap', () => {
    expect(figures('e 13@2 6@2 4@2 5@2 h - |').at).toEqual([
      undefined,
      'double neighbour',
      'double neighbour',
      undefined,
    ]);
  });
  it('appoggiatura: leap in, step out the other way, on the beat', () => {
    expect(figures('e 1@2 - 6@2 5@2 h - |').at).toEqual([undefined, 'appoggiatura', undefined]);
  });
  it('the same off the beat is no appoggiatura, but an approach by semitone', () => {
    expect(figures('e 1@2 6@2 5@2 - h - |').at).toEqual([undefined, 'approach', undefined]);
  });
  it('escape: step in, leap out the other way, off the beat', () => {
    expect(figures('e 5@2 6@2 1@2 - h - |').at).toEqual([undefined, 'escape', undefined]);
  });
  it('approach: a semitone below a member, from anywhere', () => {
    expect(figures('e 13@2 4@2 5@2 - h - |').at).toEqual([undefined, 'approach', undefined]);
  });
  it('free: none of these', () => {
    expect(figures('e 1@2 6@2 13@2 - h - |').at).toEqual([undefined, 'free', undefined]);
  });
  it('a curl over the b3 is judged by its own pitch', () => {
    expect(figures('e 1@2 4@2(0>0.5) 5@2 - h - |').at[1]).toBe('approach');
  });
});

describe('figures at a change', () => {
  it('suspension: held from the old chord, down by step under the new one (4-3)', () => {
    // C over F, held into G7: the 4 falls to B.
    expect(figures('h - 13@2_ | h _ 12@2 |', 'F | G7').held).toEqual([[0, 'suspension']]);
  });
  it('suspension: struck again at the change', () => {
    expect(figures('h - 13@2 | h 13@2 12@2 |', 'F | G7').at).toEqual([undefined, 'suspension', undefined]);
  });
  it('retardation: the same, but up by step', () => {
    // B over G, held into C: the 7 rises to C.
    expect(figures('h - 12@2_ | h _ 13@2 |', 'G | C').held).toEqual([[0, 'retardation']]);
  });
  it('anticipation: right before the change, a member of the new chord, struck again there', () => {
    expect(figures('h 8@2 q. 8@2 e 13@2 | h 13@2 - |', 'G | C').at).toEqual([
      undefined,
      undefined,
      'anticipation',
      undefined,
    ]);
  });
  it('anticipation: pushed and held across the change', () => {
    expect(figures('h 8@2 q. 8@2 e 13@2_ | h _ - |', 'G | C').at).toEqual([undefined, undefined, 'anticipation']);
  });
  it('pedal: held through a chord that it does not belong to', () => {
    expect(figures('w 8@2_ | w _ | w _ |', 'C | F | C').held).toEqual([[0, 'pedal']]);
  });
});
