// What a tone is in its chord: D. Terefenko, Jazz Theory: From Basic to Advanced Study, 2014, figure 5.1 (doi 10.4324/9780203380000-13;
// the rows read in the abstract of its chapter, author and title from memory).
import { describe, expect, it } from 'vitest';
import { cents } from '../../lib/foundation/units.js';
import { hear, isMember, type Role } from '../../lib/solo/harmony.js';
import { parseDegree } from '../../lib/theory/interval.js';
import { chord, key, pitch } from './reading.js';

const roleIn = (keyText: string, symbol: string, tone: string): Role | undefined =>
  hear(pitch(tone), chord(symbol), key(keyText), false).role;

/** Semitones above the root that are heard in a role. */
const heardAs = (symbol: string, role: Role): readonly number[] =>
  Array.from({ length: 12 }, (_, above) => above).filter((above) => {
    const read = chord(symbol);
    return hear(cents((60 + read.root + above) * 100), read, key('C major'), false).role === role;
  });

/** Semitones of degrees as the table writes them, in order. */
const semitones = (degrees: string): readonly number[] =>
  [
    ...new Set(
      degrees.split(' ').map((d) => {
        const degree = parseDegree(d);
        if (!degree) throw new Error(d);
        return degree.semitones;
      }),
    ),
  ].sort((a, b) => a - b);

describe('tensions: every row of the table, diatonic and chromatic extensions and alterations', () => {
  it.each([
    ['major', 'Cmaj7', '9 13 #11 b5 #5'],
    ['minor', 'Cm7', '9 11 13 b13 #11'],
    ['minor', 'CmMaj7', '9 11 13 b13 #11'],
    ['m7b5', 'Cm7b5', '9 11 b13'],
    ['dim7', 'Cdim7', '9 11 b13'],
    ['dominant 7', 'C7', '9 13 b9 #9 #11 b13 b5 #5'],
    ['sus dominant', 'C7sus4', '9 13 b9 #9 b13 b5 #5'],
  ])('%s (%s): %s', (_row, symbol, degrees) => {
    expect(heardAs(symbol, 'tension')).toEqual(semitones(degrees));
  });

  it.each([
    ['Bbmaj7', 'Cmaj7'],
    ['F#m7', 'Cm7'],
    ['Eb7', 'C7'],
    ['A7sus4', 'C7sus4'],
  ])('the tensions of %s stand above its root as those of %s', (symbol, model) => {
    expect(heardAs(symbol, 'tension')).toEqual(heardAs(model, 'tension'));
  });

  it('a tone that the symbol names is a member, no tension: the 9 of C9, the 13 of C13, the #9 of C7#9', () => {
    expect(roleIn('C major', 'C9', 'D')).toBe('extension');
    expect(roleIn('C major', 'C13', 'A')).toBe('extension');
    expect(roleIn('C major', 'C7#9', 'Eb')).toBe('extension');
    expect(roleIn('C major', 'C7', 'Eb')).toBe('tension');
  });

  it('what the table calls essential beyond the triad is at hand over the bare triad: major M7 M6, minor m7 M6 M7 m6', () => {
    for (const degree of semitones('7 6')) expect(heardAs('C', 'tension')).toContain(degree);
    for (const degree of semitones('b7 6 7 b6')) expect(heardAs('Cm', 'tension')).toContain(degree);
    for (const degree of semitones('bb7 7')) expect(heardAs('Cdim', 'tension')).toContain(degree);
  });
});

describe('avoid notes: what the table leaves out', () => {
  it.each(['C', 'Cmaj7', 'C6', 'C7', 'C9', 'C13'])('the natural 11 over %s (major and dominant)', (symbol) => {
    expect(roleIn('C major', symbol, 'F')).toBe('key tone');
    expect(roleIn('G major', symbol, 'F')).toBe('chromatic');
  });

  it.each(['Cmaj7', 'Cm7', 'Cm7b5'])('the b9 over %s (major, minor, m7b5)', (symbol) => {
    expect(roleIn('C major', symbol, 'Db')).toBe('chromatic');
    expect(roleIn('Ab major', symbol, 'Db')).toBe('key tone');
  });

  // The other published rule, a semitone above a chord tone except over dominants, where only the 11 is meant (chord-scale theory,
  // Nettles & Graf, from memory). It also avoids the b13 over minor (F over Am7, C over Em7), which the table calls a chromatic extension.
  it.each([
    ['Cmaj7', 'F'],
    ['Dm7', ''],
    ['Em7', 'F'],
    ['Fmaj7', ''],
    ['G7', 'C'],
    ['Am7', ''],
    ['Bm7b5', 'C'],
  ])('in C major, over %s: %s (chord-scale theory agrees, but for the b13 over minor)', (symbol, avoided) => {
    const neither = [...'CDEFGAB'].filter((tone) => {
      const role = roleIn('C major', symbol, tone) as Role;
      return !isMember(role) && role !== 'tension';
    });
    expect(neither.join(' ')).toBe(avoided);
  });
});

describe('members, by the symbol', () => {
  it.each([
    ['C7', 'C', 'root'],
    ['C7', 'E', 'third'],
    ['C7', 'G', 'fifth'],
    ['C7', 'Bb', 'seventh'],
    ['Am7/G', 'G', 'seventh'],
    ['C6', 'A', 'sixth'],
    ['Cdim7', 'A', 'seventh'],
    ['C+7', 'G#', 'fifth'],
    ['C7b5b9', 'Gb', 'fifth'],
    ['C7b9#11', 'F#', 'extension'],
    ['Gsus4', 'C', 'suspended fourth'],
    ['Gsus2', 'A', 'suspended second'],
    ['Cadd9', 'D', 'extension'],
    ['Cm11', 'F', 'extension'],
    ['C5', 'G', 'fifth'],
  ])('over %s, %s is the %s', (symbol, tone, role) => {
    expect(roleIn('C major', symbol, tone)).toBe(role);
    expect(isMember(role as Role)).toBe(true);
  });

  it('what is neither member nor tension is a tone of the key or chromatic; without a chord there is no role', () => {
    expect(roleIn('C major', 'C', 'F')).toBe('key tone');
    expect(roleIn('C major', 'C', 'Db')).toBe('chromatic');
    expect(isMember('key tone') || isMember('chromatic') || isMember('tension')).toBe(false);
    const heard = hear(pitch('E'), undefined, key('C major'), false);
    expect([heard.role, heard.overChord, heard.blueOverChord]).toEqual([undefined, undefined, false]);
  });
});

describe('blue notes: b3, b5 and b7 against the natural one, and b7 over a bare triad (common practice, no source)', () => {
  const blueIn = (keyText: string, symbol: string, tone: string) => {
    const heard = hear(pitch(tone), chord(symbol), key(keyText), false);
    return [heard.blueOverChord ? 'chord' : '', heard.blueOverKey ? 'key' : ''].join(' ').trim();
  };
  it.each([
    ['C major', 'C', 'Eb', 'chord key'],
    ['C major', 'C', 'Gb', 'chord key'],
    ['C major', 'C', 'Bb', 'chord key'],
    ['C major', 'Cmaj7', 'Bb', 'chord key'],
    ['C major', 'C6', 'Bb', 'key'],
    ['C major', 'C7', 'Bb', 'key'],
    ['C mixolydian', 'C7', 'Bb', ''],
    ['C mixolydian', 'C7#11', 'Gb', 'key'],
    ['C blues', 'C7', 'Eb', 'chord key'],
    ['C blues', 'C7#9', 'Eb', 'key'],
    ['C blues', 'F7', 'Eb', 'key'],
    ['C blues', 'F7', 'Ab', 'chord'],
    ['C blues', 'G7', 'Bb', 'chord'],
    ['A minor', 'Am7', 'Eb', 'chord key'],
    ['A minor', 'Am7', 'C', ''],
    ['A minor', 'Am7b5', 'Eb', 'key'],
    ['A minor', 'Am7', 'G', ''],
    ['C major', 'C', 'E', ''],
    ['C major', 'C', 'Ab', ''],
    ['C major', 'Csus4', 'Eb', 'key'],
  ])('in %s over %s, %s is blue over: %s', (keyText, symbol, tone, over) => {
    expect(blueIn(keyText, symbol, tone)).toBe(over);
  });

  it('so is the quarter-tone above: a curled b3 is b3+ and blue', () => {
    const heard = hear(cents(6350), chord('C7'), key('C blues'), false);
    expect(heard).toMatchObject({
      overChord: { semitones: 3, plus: true },
      blueOverChord: true,
      blueOverKey: true,
      name: 'Eb',
    });
  });
});
