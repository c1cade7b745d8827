// Chord symbols as players write them. What they stand for is common practice, no source, unless a source is named.
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { mod } from '../../lib/foundation/units.js';
import { isChord, isNoChord, parseChord, QUALITIES } from '../../lib/theory/chord.js';
import { pitchClassOf, pitchName } from '../../lib/theory/pitch.js';
import { chord, membersOf } from './reading.js';

describe('chord symbols as players write them', () => {
  it.each([
    ['Bb7#9', 'Bb D F Ab C#', 'dominant'],
    ['B♭7♯9', 'Bb D F Ab C#', 'dominant'],
    ['F#m7b5', 'F# A C E', 'half-diminished'],
    ['Am7/G', 'A C E G', 'minor'],
    ['F#m7b5/E', 'F# A C E', 'half-diminished'],
    ['D/F#', 'D F# A', 'major'],
    ['Gsus4', 'G C D', 'suspended'],
    ['Gsus', 'G C D', 'suspended'],
    ['Asus2', 'A B E', 'suspended'],
    ['Cmaj7', 'C E G B', 'major'],
    ['CM7', 'C E G B', 'major'],
    ['CMA7', 'C E G B', 'major'],
    ['CΔ7', 'C E G B', 'major'],
    ['CΔ', 'C E G B', 'major'],
    ['C(maj7)', 'C E G B', 'major'],
    ['Cmaj11', 'C E G B D F', 'major'],
    ['Cmaj7b5', 'C E Gb B', 'major'],
    ['CM7+', 'C E G# B', 'augmented'],
    ['Cmaj7+5', 'C E G# B', 'augmented'],
    ['C-7', 'C Eb G Bb', 'minor'],
    ['CMI7', 'C Eb G Bb', 'minor'],
    ['Cminor7', 'C Eb G Bb', 'minor'],
    ['Cm(add9)', 'C Eb G D', 'minor'],
    ['Cm6/9', 'C Eb G A D', 'minor'],
    ['Cm7(11)', 'C Eb G Bb F', 'minor'],
    ['Cm(maj7)', 'C Eb G B', 'minor'],
    ['C-Δ7', 'C Eb G B', 'minor'],
    ['Cm#7', 'C Eb G B', 'minor'],
    ['Cm(maj9)', 'C Eb G B D', 'minor'],
    ['CmΔ9', 'C Eb G B D', 'minor'],
    ['Cm7#5', 'C Eb G# Bb', 'minor'],
    ['Co7', 'C Eb Gb Bbb', 'diminished'],
    ['C°7', 'C Eb Gb Bbb', 'diminished'],
    ['Co', 'C Eb Gb', 'diminished'],
    ['Cdim(maj7)', 'C Eb Gb B', 'diminished'],
    ['Cø7', 'C Eb Gb Bb', 'half-diminished'],
    ['Cø', 'C Eb Gb Bb', 'half-diminished'],
    ['C-7b5', 'C Eb Gb Bb', 'half-diminished'],
    ['Cø9', 'C D Eb Gb Bb', 'half-diminished'],
    ['C6', 'C E G A', 'major'],
    ['C6/9', 'C E G A D', 'major'],
    ['C69', 'C E G A D', 'major'],
    ['C6b5', 'C E Gb A', 'major'],
    ['C+', 'C E G#', 'augmented'],
    ['C+7', 'C E G# Bb', 'dominant'],
    ['C7+', 'C E G# Bb', 'dominant'],
    ['C7+9', 'C E G Bb D#', 'dominant'],
    ['C7-9', 'C E G Bb Db', 'dominant'],
    ['C9-5', 'C E Gb Bb D', 'dominant'],
    ['C7(b9)', 'C E G Bb Db', 'dominant'],
    ['C7(9)', 'C E G Bb D', 'dominant'],
    ['C7(13)', 'C E G Bb A', 'dominant'],
    ['C7(b9,13)', 'C E G Bb Db A', 'dominant'],
    ['C7b9#11', 'C E G Bb Db F#', 'dominant'],
    ['C7b5b9', 'C E Gb Bb Db', 'dominant'],
    ['C7#9b9', 'C E G Bb D# Db', 'dominant'],
    ['C13', 'C E G Bb D A', 'dominant'],
    ['C9add9', 'C E G Bb D', 'dominant'],
    ['C7alt', 'C E G# Bb D#', 'dominant'],
    ['Calt', 'C E G# Bb D#', 'dominant'],
    ['C7no3', 'C G Bb', 'dominant'],
    ['C7(no5)', 'C E Bb', 'dominant'],
    ['Cadd9', 'C E G D', 'major'],
    ['C2', 'C E G D', 'major'],
    ['Cadd4', 'C E F G', 'major'],
    ['C5', 'C G', 'power'],
    ['C5add9', 'C G D', 'power'],
    ['C9sus4', 'C F G Bb D', 'suspended dominant'],
    ['C7sus2', 'C D G Bb', 'suspended dominant'],
    ['C7sus4b9', 'C F G Bb Db', 'suspended dominant'],
    ['Cmaj7sus4', 'C F G B', 'suspended'],
    ['C11', 'C G Bb D F', 'suspended dominant'],
  ])('%s is %s, %s', (symbol, members, quality) => {
    expect(membersOf(symbol)).toBe(members);
    expect(chord(symbol).quality).toBe(quality);
    expect(chord(symbol).symbol).toBe(symbol);
  });

  it.each([
    ['Am7/G', 'G'],
    ['Am7/g', 'G'],
    ['F#m7b5/E', 'E'],
    ['D/F#', 'F#'],
    ['B♭/A♭', 'Ab'],
    ['C6/9/E', 'E'],
  ])('%s has %s in the bass', (symbol, bass) => {
    expect(chord(symbol).bass).toBe(bass);
  });

  it.each(['N.C.', 'NC', 'N.C', 'n.c.', 'nc'])('%s is no chord', (symbol) => {
    expect(isNoChord(symbol)).toBe(true);
    expect(isChord(parseChord(symbol))).toBe(false);
  });

  it.each(['C', 'Am7', 'N', 'C.', 'N.C.7'])('%s is not the sign for no chord', (symbol) => {
    expect(isNoChord(symbol)).toBe(false);
  });
});

describe('symbols that cannot be read', () => {
  it.each([
    ['Cmjr7', '"mjr7" is not a chord type', 'Cmaj7'],
    ['Gmn7', '"mn7" is not a chord type', 'Gm7'],
    ['F#m7b6b', '"m7b6b" is not a chord type', 'F#m7b5'],
    ['C/', '"/" is not a chord type', 'C'],
    ['C7sux4/E', '"7sux4" is not a chord type', 'C7sus4/E'],
    ['C b9suss', '" b9suss" is not a chord type', 'C7b9sus'],
    ['d7', 'a chord symbol starts with its root, A to G', 'D7'],
  ])('%s: %s, nearest %s', (symbol, reason, suggestion) => {
    expect(parseChord(symbol)).toEqual({ symbol, reason, suggestion });
  });

  it.each([
    ['H7', 'a chord symbol starts with its root, A to G'],
    ['', 'a chord symbol starts with its root, A to G'],
    ['Cqwertyuiop', '"qwertyuiop" is not a chord type'],
    ['Cconstructor', '"constructor" is not a chord type'],
    // tonal also finds a type by the number of its pitch-class set and by its twelve digits: no player writes either.
    ['C100010010000', '"100010010000" is not a chord type'],
  ])('%j: %s', (symbol, reason) => {
    expect(parseChord(symbol)).toEqual({ symbol, reason });
  });

  it('a number of a pitch-class set is no chord type', () => {
    expect(isChord(parseChord('C2192'))).toBe(false);
  });

  it('an endless symbol is refused, not followed to the end', () => {
    for (const part of ['add9', 'b9', 'sus4', '/E'])
      expect(parseChord(`C${part.repeat(50_000)}`)).toMatchObject({
        reason: 'a chord symbol has at most 40 characters',
      });
  });
});

/** Everything that must hold of any reading of any text. */
function holds(text: string): void {
  const read = parseChord(text);
  expect(read.symbol).toBe(text);
  if (!isChord(read)) {
    expect(read.reason).not.toBe('');
    expect(read.reason).not.toMatch(/undefined|NaN/);
    if (read.suggestion === undefined) return;
    const again = parseChord(read.suggestion);
    expect(isChord(again), `${text} suggests ${read.suggestion}`).toBe(true);
    expect(isChord(again) && again.rootName, `${text} suggests ${read.suggestion}`).toBe(
      pitchName(/^.(?:bb?|##?|♭|♯)?/.exec(text)?.[0] ?? ''),
    );
    return;
  }
  expect(Number.isInteger(read.root) && read.root >= 0 && read.root < 12).toBe(true);
  expect(read.root).toBe(pitchClassOf(read.rootName));
  expect(QUALITIES).toContain(read.quality);
  if (read.bass !== undefined) expect(pitchName(read.bass)).toBe(read.bass);
  expect(read.members[0]).toMatchObject({ semitones: 0, role: 'root', name: read.rootName });
  expect(new Set(read.members.map((m) => m.interval)).size, `${text} names a member twice`).toBe(read.members.length);
  for (const m of read.members) {
    expect(Number.isInteger(m.semitones) && m.semitones >= 0 && m.semitones < 12, text).toBe(true);
    expect(m.name, text).toMatch(/^[A-G](b*|#*)$/);
    expect(pitchClassOf(m.name), text).toBe(mod(read.root + m.semitones, 12));
  }
}

describe('any text at all: never an exception, never NaN, a reason for what is not read, a suggestion that can be read', () => {
  it('random text', () => {
    fc.assert(
      fc.property(fc.oneof(fc.string(), fc.string({ unit: 'binary' }), fc.string({ unit: 'grapheme' })), holds),
      {
        numRuns: 800,
        seed: 11,
      },
    );
  });

  it('a root with anything behind it', () => {
    fc.assert(
      fc.property(fc.constantFrom('C', 'Bb', 'F#', 'E♭'), fc.string({ maxLength: 12 }), (r, rest) => holds(r + rest)),
      {
        numRuns: 1500,
        seed: 12,
      },
    );
  });

  it('parts of real symbols in any order', () => {
    const parts =
      'C Db F# Bbb m min - maj M Δ ^ 7 9 11 13 6 6/9 69 5 2 4 sus sus2 sus4 dim o ° ø aug + alt add9 add b9 #9 b5 #5 b13 #11 (no5) no3 omit ( ) , / /E /Bb # b ♭ ♯ h phryg __proto__ toString';
    fc.assert(
      fc.property(fc.array(fc.constantFrom(...parts.split(' ')), { maxLength: 7 }), (some) => holds(some.join(''))),
      { numRuns: 4000, seed: 13 },
    );
  });

  it('a real symbol with one key hit wrongly', () => {
    const symbols = ['Cmaj7', 'Bb7#9', 'F#m7b5', 'Am7/G', 'C6/9', 'Gsus4', 'Ebdim7', 'C13', 'Cm(maj7)'];
    fc.assert(
      fc.property(
        fc.constantFrom(...symbols),
        fc.nat(12),
        fc.string({ minLength: 0, maxLength: 1 }),
        (symbol, spot, typed) => holds(symbol.slice(0, spot) + typed + symbol.slice(spot + 1)),
      ),
      { numRuns: 2000, seed: 14 },
    );
  });
});
