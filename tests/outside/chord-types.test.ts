// Every chord type that tonal 6.4.3 knows (ChordType.all), under every alias that can stand after a root letter, on 21 roots.
import { Chord, ChordType, Interval, Note } from 'tonal';
import { describe, expect, it } from 'vitest';
import { mod } from '../../lib/foundation/units.js';
import { pitchClassOf } from '../../lib/theory/pitch.js';
import { chord, membersOf, ROOTS } from './reading.js';

const types = ChordType.all();

/** What the dictionary says that players do not: the alias, the members over C as read here, and why. Common practice, no source. */
const FIFTH = 'the symbol says b5 in place of the fifth; the dictionary keeps the natural fifth and adds a #11';
const SHARP = 'the symbol says #5; the dictionary spells it as a flat sixth';
const DIFFERENT: readonly (readonly [alias: string, members: string, why: string])[] = [
  ['M6b5', 'C E Gb A', FIFTH],
  ['6b5', 'C E Gb A', FIFTH],
  ['7b5b13', 'C E Gb Bb Ab', FIFTH],
  ['7b5#9', 'C E Gb Bb D#', FIFTH],
  ['7#9b5', 'C E Gb Bb D#', FIFTH],
  ['9b5b13', 'C E Gb Bb D Ab', FIFTH],
  ['7b5b9', 'C E Gb Bb Db', FIFTH],
  ['7b9b5', 'C E Gb Bb Db', FIFTH],
  ['7b5b9b13', 'C E Gb Bb Db Ab', FIFTH],
  ['m7#5', 'C Eb G# Bb', SHARP],
  ['m9#5', 'C Eb G# Bb D', SHARP],
  [
    'b9sus',
    'Cb Fb Gb Bbb Db',
    'a flat right after the root letter belongs to the root: Cb9sus is the ninth of Cb, suspended',
  ],
];
const different = new Set(DIFFERENT.map(([alias]) => alias));

describe('chord types against tonal', () => {
  it('the dictionary is the one these tests were written for', () => {
    expect(types).toHaveLength(106);
    expect(ROOTS).toHaveLength(21);
  });

  it.each(
    types.map(
      (type) => [type.aliases.filter((alias) => !different.has(alias)).join('  ') || '(no other alias)', type] as const,
    ),
  )('%s: members, spelling and intervals on every root', (_aliases, type) => {
    for (const alias of type.aliases) {
      if (different.has(alias)) continue;
      for (const root of ROOTS) {
        const read = chord(root + alias);
        expect(read.rootName).toBe(root);
        expect(read.root).toBe(Note.chroma(root));
        expect(read.bass).toBeUndefined();
        expect(
          read.members.map((m) => m.interval),
          root + alias,
        ).toEqual(type.intervals);
        expect(
          read.members.map((m) => m.name),
          root + alias,
        ).toEqual(Chord.getChord(alias, root).notes);
        for (const m of read.members) {
          expect(m.name, root + alias).toBe(Note.transpose(root, m.interval));
          expect(m.semitones, root + alias).toBe(mod(Interval.semitones(m.interval) as number, 12));
          expect(pitchClassOf(m.name), root + alias).toBe(mod(read.root + m.semitones, 12));
        }
      }
    }
  });

  it.each(DIFFERENT)('C%s is read as %s: %s', (alias, members) => {
    expect(membersOf(`C${alias}`)).toBe(members);
    const type = types.find((t) => t.aliases.includes(alias));
    expect(type?.intervals.map((i) => Note.transpose('C', i)).join(' '), 'the dictionary differs').not.toBe(members);
  });

  it.each(ROOTS)('after a slash, %s is the bass of any chord and leaves its members alone', (bass) => {
    for (const symbol of ['C', 'F#m7b5', 'Bb7#9', 'Ab6/9', 'Dsus4']) {
      const slashed = chord(`${symbol}/${bass}`);
      expect(slashed.bass).toBe(bass);
      expect({ ...slashed, symbol, bass: undefined }).toEqual({ ...chord(symbol), bass: undefined });
    }
  });
});
