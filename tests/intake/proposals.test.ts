// A melody made a solo: the same pitches at the same times, places that a hand can play, and everything that was proposed said.
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { midiKey, ticks } from '../../lib/foundation/units.js';
import { openKey, STANDARD_GUITAR } from '../../lib/guitar/fretboard.js';
import { proposeSolo } from '../../lib/intake/proposals.js';
import { readCorpus } from '../../lib/intake/read-corpus.js';
import { parseSoloOrThrow } from '../../lib/notation/parser.js';
import { printSolo } from '../../lib/notation/printer.js';
import type { Melody, MelodyNote, MelodyPhrase } from '../../lib/solo/melody.js';
import { unplayable } from '../../lib/solo/playability.js';
import { EMPTY_SOLO, PLAIN_NOTE, type Solo } from '../../lib/solo/solo.js';
import { tonesOf } from '../../lib/solo/timeline.js';
import { keyText } from '../../lib/theory/scale.js';

const demo = readCorpus(['data/solos']).solos;

/** A solo without its places: only fretted notes, and no harmonics, which lie where they speak. */
function bare(solo: Solo): Melody {
  const { guitar, phrases, ...head } = solo;
  return {
    ...head,
    phrases: phrases.map(
      (p): MelodyPhrase => ({
        ...p,
        notes: p.notes.flatMap(({ kind, string, fret, harmonic, ...what }): MelodyNote[] =>
          kind === 'fretted' && !harmonic
            ? [{ ...what, key: midiKey((openKey(guitar, string) as number) + fret) }]
            : [],
        ),
      }),
    ),
  };
}
const pitches = (solo: Solo) =>
  tonesOf(solo)
    .map((t) => `${t.onset} ${t.grace} ${t.pitch}`)
    .sort();

describe('the demo solos without their places', () => {
  it.each(demo.map(({ id, solo }) => [id, solo] as const))('%s: sound as they did, and can be played', (_, solo) => {
    const melody = bare(solo);
    const made = proposeSolo(melody, { guitar: solo.guitar });
    const back = made?.solo as Solo;
    const want = melody.phrases.flatMap((p) => p.notes.map((n) => `${n.onset} ${n.grace} ${n.key}`)).sort();
    const got = back.phrases
      .flatMap((p) =>
        p.notes.map((n) => `${n.onset} ${n.grace} ${(openKey(back.guitar, n.string) as number) + n.fret}`),
      )
      .sort();
    expect(got).toEqual(want);
    back.phrases.forEach((p, i) => {
      expect(unplayable(p, back.guitar, back.phrases[i - 1]).filter((u) => u.severity === 'fault')).toEqual([]);
    });
    expect(made?.proposals.said[0]).toMatch(/^strings and frets are proposed \(at frets \d+ to \d+\)/);
  });
  it('two notes of three lie where they are written', () => {
    let [all, same] = [0, 0];
    for (const { solo } of demo) {
      const at = (s: Solo) =>
        s.phrases.flatMap((p) =>
          p.notes
            .filter((n) => n.kind === 'fretted' && !n.harmonic)
            .map((n) => `${n.onset} ${n.grace} ${n.fret}@${n.string}`),
        );
      const made = new Set(at(proposeSolo(bare(solo), { guitar: solo.guitar })?.solo as Solo));
      const written = at(solo);
      all += written.length;
      same += written.filter((n) => made.has(n)).length;
    }
    expect((same / all).toFixed(2)).toBe('0.66');
  });
});

/** A melody in one phrase of notes of so many eighths. */
function melodyOf(keys: readonly number[], text = 'changes\n  1 C\n'): Melody {
  const {
    guitar: _,
    phrases: __,
    ...head
  } = {
    ...EMPTY_SOLO,
    ...parseSoloOrThrow(`---\ntitle: Made\nplayer: Ada Fenwick\nkey: C major\ntempo: 100\n---\n${text}`),
  };
  const notes = keys.map((key, i): MelodyNote => {
    const { kind: _k, harmonic: _h, ...plain } = PLAIN_NOTE;
    return { ...plain, onset: ticks(80640 + i * 10080), length: ticks(10080), key: midiKey(key) };
  });
  return {
    ...head,
    phrases: [
      { id: '1', name: '', at: ticks(80640), length: ticks(keys.length * 10080), notes, damps: [], remarks: [] },
    ],
  };
}

describe('what is proposed is said', () => {
  it('any pitches come out as they are, or moved by octaves as a whole', () => {
    fc.assert(
      fc.property(fc.array(fc.integer({ min: 40, max: 88 }), { minLength: 1, maxLength: 40 }), (keys) => {
        const made = proposeSolo(melodyOf(keys))?.solo as Solo;
        expect(pitches(made)).toEqual(keys.map((key, i) => `${80640 + i * 10080} 0 ${key * 100}`).sort());
        expect(printSolo(parseSoloOrThrow(printSolo(made)))).toBe(printSolo(made));
      }),
    );
  });
  it('a melody for the flute comes down an octave; one for nobody is none', () => {
    const made = proposeSolo(melodyOf([91, 93, 95, 96]));
    expect(made?.proposals.said).toContain('moved down 1 octave, into the range of the guitar');
    expect(made && tonesOf(made.solo).map((t) => t.pitch)).toEqual([7900, 8100, 8300, 8400]);
    expect(proposeSolo({ ...melodyOf([60]), phrases: [] })).toBeUndefined();
  });
  it('a key where none is named: A minor over these, a blues over a seventh chord on its tonic', () => {
    const keys = [69, 72, 74, 76, 79, 81, 79, 76, 74, 72, 69, 69];
    const said = (text: string) => {
      const made = proposeSolo(melodyOf(keys, text), { hasKey: false });
      return made && [keyText(made.solo.key), made.proposals.key];
    };
    expect(said('changes\n  1 Am\n')).toEqual(['A minor', true]);
    expect(said('changes\n  1 A7\n')).toEqual(['A mixolydian', true]);
    expect(proposeSolo(melodyOf([60, 62]), { hasKey: false })?.proposals.said.join()).toMatch(
      /no key is named, and none is proposed \(2 tones/,
    );
  });
  it('the position that is wished for is where the hand goes', () => {
    const frets = (position: number) =>
      (proposeSolo(melodyOf([69, 72, 74, 76]), { position })?.solo.phrases[0]?.notes ?? []).map(
        (n) => n.fret as number,
      );
    expect(Math.min(...frets(5))).toBe(5);
    expect(Math.min(...frets(10))).toBeGreaterThanOrEqual(9);
  });
  it('more at once than a hand holds keeps its top notes, and says so', () => {
    const melody = melodyOf([64]);
    const [phrase] = melody.phrases as [MelodyPhrase];
    const [note] = phrase.notes as [MelodyNote];
    const notes = [76, 75, 74, 73, 72, 71, 70, 69].map((key) => ({ ...note, key: midiKey(key) }));
    const made = proposeSolo({ ...melody, phrases: [{ ...phrase, notes }] });
    expect(made?.solo.phrases[0]?.notes.length).toBeLessThan(8);
    expect(made && Math.max(...tonesOf(made.solo).map((t) => t.pitch))).toBe(7600);
    expect(made?.proposals.said.join()).toMatch(/notes that no hand can play with the others were left out/);
  });
  it('STANDARD_GUITAR unless told otherwise', () => {
    expect(proposeSolo(melodyOf([60]))?.solo.guitar).toBe(STANDARD_GUITAR);
  });
});
