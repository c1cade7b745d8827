import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { QUARTER } from '../../lib/foundation/time.js';
import { cents, midiKey, ticks } from '../../lib/foundation/units.js';
import { layBend } from '../../lib/guitar/bend.js';
import { parseSoloOrThrow } from '../../lib/notation/parser.js';
import type { Note, Phrase, Solo } from '../../lib/solo/solo.js';
import { eventsOf, lineOf, type Tone, tonesOf } from '../../lib/solo/timeline.js';
import { solos } from '../arbitraries.js';
import { BENDS, GRACES, HELD, ON, ORNAMENTS, SOUNDING, STARTS } from './tone-rules.js';

const soloOf = (words: string, head = ''): Solo =>
  parseSoloOrThrow(`---\ntitle: A\nplayer: B\nkey: C major\ntempo: 96\n${head}---\nphrase 1\nat 0 1\n${words}\n`);

/** A tone in a line: onset + length in quarters, fret@string^bend, how it starts and is reached, and what else is true of it. */
const lineText = (t: Tone): string =>
  `${t.onset / QUARTER}+${t.length / QUARTER} ${t.fret}@${t.string}${t.level === 0 ? '' : `^${t.level / 100}`} ` +
  `${t.start} ${t.reached}${t.struck ? ' struck' : ''}${t.ornament ? ' ornament' : ''}`;
const tones = (words: string): readonly string[] => tonesOf(soloOf(words)).map(lineText);

for (const [about, rules] of Object.entries({ BENDS, HELD, ON, GRACES, SOUNDING, STARTS }))
  describe(`tones: ${about.toLowerCase()}`, () => {
    for (const { rule, words, tones: expected } of rules)
      it(`${rule}: ${words}`, () => {
        expect(tones(words)).toEqual(expected);
      });
  });

describe('tones: a level already held', () => {
  // No text says so without a fault; a solo built in code may.
  for (const path of [[{ level: cents(200) }], [{ level: null }, { level: cents(200) }]])
    it(`makes no tone: ${JSON.stringify(path)}`, () => {
      const solo = soloOf('q 8@3(0>2) @3');
      const [phrase] = solo.phrases as [Phrase];
      const notes = phrase.notes.map((n) => (n.kind === 'on' ? { ...n, path } : n));
      expect(tonesOf({ ...solo, phrases: [{ ...phrase, notes }] }).map(lineText)).toEqual([
        '0+2 8@3^2 picked bent struck',
      ]);
    });
});

describe('tones: ornaments', () => {
  for (const { rule, words, tones: expected } of ORNAMENTS)
    it(`${rule}: ${words}`, () => {
      // Onsets and lengths are checked elsewhere; here the tones are numbered.
      expect(tonesOf(soloOf(words)).map((t, i) => lineText(t).replace(/^\S+/, String(i)))).toEqual(expected);
    });
});

describe('pitches', () => {
  const pitches = (words: string, head = '') => tonesOf(soloOf(words, head)).map((t) => t.pitch);

  it('the open strings of the guitar are E A D G B E: MIDI keys 40 45 50 55 59 64', () => {
    expect(pitches('q 0@6 0@5 0@4 0@3 | 0@2 0@1')).toEqual([4000, 4500, 5000, 5500, 5900, 6400]);
  });
  it('a fret is a semitone, a level of 1 another; 0.5 is a quarter tone', () => {
    expect(pitches('q 8@2 8@2(0>1) 8@2(0>2) 8@2(0>0.5)')).toEqual([6700, 6800, 6900, 6750]);
  });
  it('a capo moves fret 0, a tuning moves its string', () => {
    expect(pitches('q 0@6 3@1', 'capo: 2\n')).toEqual([4200, 6900]);
    expect(pitches('q 0@6 0@1', 'tuning: D2 A2 D3 G3 B3 E4\n')).toEqual([3800, 6400]);
    expect(pitches('q 0@4 5@1', 'tuning: E1 A1 D2 G2\n')).toEqual([2800, 4800]);
  });
  it('natural harmonics sound the partial whose node is under the finger', () => {
    // A string touched at k/m of its length sounds its m-th partial, 12 log2(m) semitones up; frets lie at 1 - 2^(-n/12).
    // Source: physics of the ideal string, for example H. Helmholtz, On the Sensations of Tone (from memory).
    const frets = [12, 7, 19, 5, 24, 4, 9, 16, 3];
    const partial = (n: number) =>
      [2, 3, 4, 5, 6].find((m) =>
        Array.from({ length: m - 1 }, (_, k) => (k + 1) / m).some((node) => Math.abs(1 - 2 ** (-n / 12) - node) < 0.01),
      )!;
    expect(
      pitches(
        `e ${frets
          .map((n) => `${n}@6*`)
          .join(' ')
          .replace(' 3@6', ' | 3@6')}`,
      ),
    ).toEqual(frets.map((n) => 4000 + 100 * Math.round(12 * Math.log2(partial(n)))));
  });
});

describe('events and the line', () => {
  it('tones with one onset are one event; ornaments are in none', () => {
    const all = tonesOf(soloOf('q g5@3 7@3+8@1 8@2(0>2>0)'));
    expect(all.map((t, i) => `${t.fret}@${t.string} ${eventsOf(all)[i]}`)).toEqual([
      '5@3 -1',
      '8@1 0',
      '7@3 0',
      '8@2 1',
      '8@2 2',
    ]);
  });
  it('the line is the top tone of each event, or the lowest; a unison counts once, the struck one', () => {
    const words = 'q 7@3+8@1 5@1+10@2 5@1 8@2= | h5@1+@2';
    const all = tonesOf(soloOf(words));
    const line = (voice: 'upper' | 'lower') => lineOf(all, voice).map((i) => `${all[i]!.fret}@${all[i]!.string}`);
    expect(all[2]!.pitch).toBe(6900);
    expect(all[3]!.pitch).toBe(6900);
    expect(line('upper')).toEqual(['8@1', '5@1', '5@1', '8@2', '5@1']);
    expect(line('lower')).toEqual(['7@3', '5@1', '5@1', '8@2', '5@1']);
  });
});

/** Where each note stops sounding, in the plainest words: as written; if it rings, until the string, a damp or the end stops it. */
function naiveEnd(phrase: Phrase, index: number): number {
  const note = phrase.notes[index]!;
  const written = note.onset + note.length;
  if (!note.ring) return written;
  const stops = [
    ...phrase.notes
      .slice(index + 1)
      .filter((n) => n.string === note.string)
      .map((n) => n.onset as number),
    ...phrase.damps.filter((d) => d >= written),
    phrase.at + phrase.length,
  ];
  return Math.max(written, Math.min(...stops));
}

/** Stretches from start to end, in order, with neighbours that touch joined. */
function joined(stretches: readonly (readonly [number, number])[]): number[][] {
  const out: number[][] = [];
  for (const [from, to] of [...stretches].filter(([a, b]) => b > a).sort((a, b) => a[0] - b[0])) {
    const last = out.at(-1);
    if (last?.[1] === from) last[1] = to;
    else out.push([from, to]);
  }
  return out;
}

describe('laws of tones', () => {
  const bySolo = (check: (solo: Solo, all: readonly Tone[]) => void, numRuns = 150) =>
    fc.assert(
      fc.property(solos, (solo) => check(solo, tonesOf(solo))),
      { numRuns },
    );
  const sounds = (n: Note) => n.grace === 0 && n.kind !== 'dead';

  it('tones tile the sounding of the notes on every string, and each note that is played anew starts one', () => {
    bySolo((solo, all) =>
      solo.phrases.forEach((phrase, p) => {
        for (let string = 1; string <= solo.guitar.tuning.length; string++) {
          const mine = all.filter((t) => t.phrase === p && t.string === string && t.grace === 0);
          const heard = mine.map((t) => [t.onset, t.onset + t.length] as const);
          for (const [i, [from]] of heard.entries()) if (i > 0) expect(from).toBeGreaterThanOrEqual(heard[i - 1]![1]);
          const played = phrase.notes.flatMap((n, i) =>
            sounds(n) && n.string === string ? [[n.onset, naiveEnd(phrase, i)] as const] : [],
          );
          expect(joined(heard)).toEqual(joined(played));
          phrase.notes.forEach((n, i) => {
            if (n.string === string && sounds(n) && n.kind === 'fretted')
              expect(mine.some((t) => t.note === i && t.onset === n.onset)).toBe(true);
          });
        }
      }),
    );
  });

  it('the pitch of a tone is that of its string and fret, and the bend', () => {
    bySolo((solo, all) => {
      const { tuning, capo } = solo.guitar;
      for (const t of all) {
        const { notes } = solo.phrases[t.phrase]!;
        let from = t.note;
        while (notes[from]!.kind === 'on') {
          const { string } = notes[from]!;
          do from--;
          while (notes[from]!.string !== string);
        }
        expect(t.fret).toBe(notes[from]!.fret);
        const open = tuning[tuning.length - t.string]! + capo;
        if (!notes[from]!.harmonic) expect(t.pitch).toBe((open + t.fret) * 100 + t.level);
        else expect((t.pitch - t.level) / 100 - open).toBeGreaterThanOrEqual(12);
      }
    });
  });

  it('moved to another tuning or capo, every pitch moves alike and nothing else changes', () => {
    fc.assert(
      fc.property(solos, fc.integer({ min: -12, max: 12 }), fc.nat(12), (solo, k, fretsUp) => {
        const { guitar } = solo;
        const all = tonesOf(solo);
        const moved = (by: number) => all.map((t) => ({ ...t, pitch: t.pitch + 100 * by }));
        const tuned = { ...guitar, tuning: guitar.tuning.map((key) => midiKey(key + k)) };
        expect(tonesOf({ ...solo, guitar: tuned })).toEqual(moved(k));
        const capoed = { ...guitar, capo: guitar.capo + fretsUp, frets: guitar.frets + fretsUp };
        expect(tonesOf({ ...solo, guitar: capoed })).toEqual(moved(fretsUp));
      }),
      { numRuns: 100 },
    );
  });

  it('moved in time, every onset moves alike and nothing else changes', () => {
    bySolo((solo, all) => {
      const later = (phrase: Phrase): Phrase => ({
        ...phrase,
        at: ticks(phrase.at + 777),
        notes: phrase.notes.map((n) => ({ ...n, onset: ticks(n.onset + 777) })),
        damps: phrase.damps.map((d) => ticks(d + 777)),
      });
      expect(tonesOf({ ...solo, phrases: solo.phrases.map(later) })).toEqual(
        all.map((t) => ({ ...t, onset: t.onset + 777 })),
      );
    }, 60);
  });

  it('tones stand in order of phrase, onset, graces first, then string 1 first', () => {
    bySolo((_, all) => {
      const sorted = [...all].sort(
        (a, b) => a.phrase - b.phrase || a.onset - b.onset || b.grace - a.grace || a.string - b.string,
      );
      expect(all).toEqual(sorted);
    });
  });

  it('a bend fills its note exactly, in stages of different levels, or is said not to fit', () => {
    const point = fc.record({
      level: fc.nat(6).map((n) => cents(n * 50)),
      time: fc.option(fc.integer({ min: 1, max: 40 }).map(ticks), { nil: undefined }),
    });
    fc.assert(
      fc.property(fc.array(point, { maxLength: 5 }), fc.integer({ min: 1, max: 60 }), (points, length) => {
        const path = points.map(({ level, time }) => (time === undefined ? { level } : { level, time }));
        const laid = layBend(path, ticks(length), cents(0));
        const leads = path.length > 1 && path[0]!.level === 0 && path[0]!.time === undefined;
        const body = leads ? path.slice(1) : path;
        const written = body.reduce((sum, p) => sum + (p.time ?? 0), 0);
        const untimed = body.filter((p) => p.time === undefined).length;
        const fits = body.length === 0 || (untimed === 0 ? written === length : written + untimed <= length);
        expect('reason' in laid).toBe(!fits);
        if ('reason' in laid) return;
        let at = 0;
        laid.stages.forEach((stage, i) => {
          expect(stage.at).toBe(at);
          expect(stage.length).toBeGreaterThan(0);
          if (i > 0) expect(stage.level).not.toBe(laid.stages[i - 1]!.level);
          at += stage.length;
        });
        expect(at).toBe(length);
      }),
      { numRuns: 500 },
    );
  });
});
