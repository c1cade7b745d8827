import fc from 'fast-check';
import { Scale } from 'tonal';
import { describe, expect, it } from 'vitest';
import { addedNotes } from '../../lib/analysis/added-notes.js';
import { type ScaleChoice, scaleChoices } from '../../lib/analysis/scale-choice.js';
import { type ScaleFit, type ScaleFitOptions, scaleFit, scaleFits } from '../../lib/analysis/scale-fit.js';
import { mod } from '../../lib/foundation/units.js';
import { readCorpus } from '../../lib/intake/read-corpus.js';
import { parseSoloOrThrow } from '../../lib/notation/parser.js';
import { FLAG, type NamedSolo, placeOfTone, toneTable } from '../../lib/solo/tone-table.js';
import { FAMILIAR_SCALES } from '../../lib/theory/familiar-scale.js';
import { DEGREE_NAMES } from '../../lib/theory/interval.js';

const demo = readCorpus(['data/solos']).solos;
const table = toneTable(demo);
const runs = { numRuns: 300, seed: 11 };

const solo = (phrases: string, key = 'A minor', changes = '1 Am7', id = 'made'): NamedSolo => ({
  id,
  solo: parseSoloOrThrow(
    `---\ntitle: Made\nplayer: Ada Fenwick\nkey: ${key}\ntempo: 100\n---\nchanges\n  ${changes}\n${phrases}`,
  ),
});
const fitOf = (phrases: string, key?: string, options?: ScaleFitOptions): ScaleFit =>
  scaleFit(toneTable([solo(phrases, key)]), options);

/** Degrees by name as semitones. */
const up = (text: string): readonly number[] =>
  text.split(' ').map((degree) => {
    const at = (DEGREE_NAMES as readonly string[]).indexOf(degree);
    if (at < 0) throw new Error(`${degree} is no degree`);
    return at;
  });
const evenly = (notes: readonly number[]) => notes.map((semitones) => ({ semitones, amount: 1 }));
const best = (text: string): ScaleChoice => scaleChoices(evenly(up(text)))[0] as ScaleChoice;
const shown = ({ scale, root, added }: ScaleChoice): string =>
  [scale, ...(root === 0 ? [] : [`on ${DEGREE_NAMES[root]}`]), ...added.map((a) => `+ ${DEGREE_NAMES[a]}`)].join(' ');

describe('the familiar scales', () => {
  // The dictionary of the library tonal 6.4 (MIT).
  it.each([
    ['major pentatonic', 'major pentatonic'],
    ['minor pentatonic', 'minor pentatonic'],
    ['blues scale', 'minor blues'],
    ['major blues scale', 'major blues'],
    ['major scale', 'major'],
    ['minor scale', 'aeolian'],
    ['mixolydian', 'mixolydian'],
    ['dorian', 'dorian'],
    ['lydian', 'lydian'],
    ['phrygian', 'phrygian'],
    ['locrian', 'locrian'],
    ['harmonic minor', 'harmonic minor'],
    ['melodic minor', 'melodic minor'],
  ])('%s has the notes of the dictionary', (name, theirs) => {
    const notes = Scale.get(`C ${theirs}`).notes.map(
      (note) => 'C D EF G A B'.indexOf(note[0] as string) + (note.endsWith('b') ? -1 : note.endsWith('#') ? 1 : 0),
    );
    expect(FAMILIAR_SCALES.find((scale) => scale.name === name)?.semitones).toEqual(notes);
  });

  it('the mixture is both pentatonics on one root: 1 2 b3 3 4 5 6 b7', () => {
    const of = (name: string) => FAMILIAR_SCALES.find((scale) => scale.name === name)?.semitones ?? [];
    const both = new Set([...of('major pentatonic'), ...of('minor pentatonic')]);
    expect(of('major-minor pentatonic mixture')).toEqual([...both].sort((a, b) => a - b));
    expect(of('major-minor pentatonic mixture')).toEqual(up('1 2 b3 3 4 5 6 b7'));
  });
});

describe('which scale', () => {
  // Facts of the trade: common practice, no source.
  it.each([
    ['1 2 3 5 6', 'major pentatonic'],
    ['1 2 3 4 5 6 7', 'major scale'], // major pentatonic + 4 + 7 is the major scale
    ['1 2 3 4 5 6', 'major pentatonic + 4'],
    ['1 b3 4 b5 5 b7', 'blues scale'], // minor pentatonic + b5
    ['1 2 b3 3 5 6', 'major blues scale'], // major pentatonic + b3
    ['1 b3 4 5 6 b7', 'minor pentatonic + 6'],
    ['1 2 b3 4 5 b7', 'minor pentatonic + 2'],
    ['1 2 b3 4 5 6 b7', 'dorian'],
    ['1 2 b3 3 4 5 6 b7', 'major-minor pentatonic mixture'],
    ['1 2 b3 4 5 b6 7', 'harmonic minor'],
    ['1 b2 b3 4 5 b6 b7', 'phrygian'],
    ['1 2 b3 4 5 6 7', 'melodic minor'],
  ])('%s is %s', (notes, said) => {
    expect(shown(best(notes))).toBe(said);
  });

  it('another root only if it leaves strictly fewer notes outside', () => {
    // The notes of E major over a C: on C every scale with two notes leaves one outside.
    const [first, ...others] = scaleChoices(evenly(up('b2 b3 3 b5 b6 6 7')));
    expect([first?.scale, first?.root, first?.outside]).toEqual(['major scale', 4, []]);
    expect(others.find((choice) => choice.root === 0)?.outside).toHaveLength(1);
    // The notes of a C major pentatonic are those of A minor pentatonic; on C they leave nothing outside.
    expect(shown(best('1 2 3 5 6'))).toBe('major pentatonic');
    for (let bits = 0; bits < 4096; bits++) {
      const used = DEGREE_NAMES.flatMap((_, note) => (bits & (1 << note) ? [note] : []));
      const choices = scaleChoices(evenly(used));
      const onTonic = choices.find((choice) => choice.root === 0);
      if (choices[0] && choices[0].root !== 0)
        expect(choices[0].outside.length).toBeLessThan(onTonic?.outside.length ?? 0);
    }
  });

  it('the key decides between equals: no third, so dorian in a dorian key and mixolydian in a mixolydian one', () => {
    const used = evenly(up('1 2 4 5 6 b7'));
    expect(scaleChoices(used, { own: up('1 2 b3 4 5 6 b7') })[0]?.scale).toBe('dorian');
    expect(scaleChoices(used, { own: up('1 2 3 4 5 6 b7') })[0]?.scale).toBe('mixolydian');
  });

  it('adds the most used notes, and says what it costs', () => {
    const used = up('1 b3 4 5 b7 2 3 7 b6').map((semitones, i) => ({ semitones, amount: 100 - i }));
    const choice = scaleChoices(used, { scales: ['minor pentatonic'] })[0] as ScaleChoice;
    expect([choice.added, choice.outside, choice.unused, choice.cost]).toEqual([up('2 3'), up('7 b6'), [], 2]);
  });

  it('is asked among the scales named; a name it does not know is said, with those it does', () => {
    expect(shown(scaleChoices(evenly(up('1 2 3 4 5 6 7')), { scales: ['major pentatonic'] })[0] as ScaleChoice)).toBe(
      'major pentatonic + 4 + 7',
    );
    expect(() => scaleChoices([], { scales: ['bebop'] })).toThrow(
      /"bebop" is no familiar scale; there are: major pentatonic, .*melodic minor/,
    );
    expect(() => scaleChoices([], { scales: [] })).toThrow(RangeError);
  });
});

/** The best choice by the words of the order, over every scale, root and every one or two notes that could be added. */
function naive(
  used: readonly number[],
): readonly [outside: number, away: number, cost: number, size: number, order: number] {
  const all = [...Array(12).keys()];
  const addings = [[], ...all.map((a) => [a]), ...all.flatMap((a) => all.filter((b) => b > a).map((b) => [a, b]))];
  let least: readonly [number, number, number, number, number] | undefined;
  FAMILIAR_SCALES.forEach(({ name, semitones }, order) => {
    for (const root of name.includes('mixture') ? [0] : all)
      for (const adding of addings) {
        const notes = semitones.map((above) => (root + above) % 12);
        if (adding.some((a) => notes.includes(a))) continue;
        const outside = used.filter((u) => !notes.includes(u) && !adding.includes(u)).length;
        const unused = [...notes, ...adding].filter((note) => !used.includes(note)).length;
        const found = [outside, root === 0 ? 0 : 1, adding.length + unused, semitones.length, order] as const;
        const at = least === undefined ? 0 : found.findIndex((n, k) => n !== least?.[k]);
        if (least === undefined || (at >= 0 && (found[at] as number) < (least[at] as number))) least = found;
      }
  });
  return least as readonly [number, number, number, number, number];
}

describe('laws of the choice', () => {
  const sets = fc.uniqueArray(fc.nat(11), { minLength: 5 });

  it('is the best of all scales, roots and added notes, tried one by one', () => {
    fc.assert(
      fc.property(sets, (used) => {
        const choice = scaleChoices(evenly(used))[0] as ScaleChoice;
        const order = FAMILIAR_SCALES.findIndex((scale) => scale.name === choice.scale);
        expect([choice.outside.length, choice.root === 0 ? 0 : 1, choice.cost, choice.notes.length, order]).toEqual(
          naive(used),
        );
      }),
      { ...runs, numRuns: 120 },
    );
  });

  it('one more note out of the scale that was found never leaves more outside', () => {
    fc.assert(
      fc.property(sets, fc.nat(), fc.integer({ min: 1, max: 9 }), (used, pick, amount) => {
        const notes = evenly(used);
        const before = scaleChoices(notes)[0] as ScaleChoice;
        const held = [...before.notes, ...before.added];
        const semitones = held[pick % held.length] as number;
        const known = notes.find((note) => note.semitones === semitones);
        const more = [...notes.filter((note) => note !== known), { semitones, amount: amount + (known?.amount ?? 0) }];
        expect(scaleChoices(more)[0]?.outside.length).toBeLessThanOrEqual(before.outside.length);
      }),
      runs,
    );
  });

  it('every note used is in the scale, added or outside, and every note of the scale is used or unused', () => {
    fc.assert(
      fc.property(sets, (used) => {
        for (const { notes, added, unused, outside, cost } of scaleChoices(evenly(used)).slice(0, 20)) {
          const inScale = notes.filter((note) => used.includes(note));
          expect([...inScale, ...added, ...outside].sort()).toEqual([...used].sort());
          expect(inScale.length + unused.length).toBe(notes.length);
          expect(cost).toBe(added.length + unused.length);
        }
      }),
      runs,
    );
  });
});

describe('what is counted', () => {
  it('fewer than five pitch classes: too few notes to tell', () => {
    const four = fitOf('phrase 1\nat 1 1\n  q 5@1 8@1 5@2 8@2 |\n');
    expect([four.said, four.best, four.notes.map((note) => note.place)]).toEqual([
      'too few notes to tell',
      undefined,
      ['used', 'used', 'used', 'used'],
    ]);
    expect(four.costSaid).toBe('4 of the 5 pitch classes that it takes');
    expect(fitOf('phrase 1\nat 1 1\n  e 5@1 8@1 5@2 8@2 h 7@3 |\n').best?.scale).toBe('minor pentatonic');
  });

  it('a pitch class of exactly 2 % of the time counts, one of less does not', () => {
    // One quarter of G# in 50 quarters is 2 %, in 51 it is less.
    const bars = (last: string): string =>
      `phrase 1\nat 1 1\n  ${'q 5@1 8@1 5@2 8@2 | '.repeat(11)}q 7@3 7@3 7@3 7@3 | ${last}\n`;
    const exact = fitOf(bars('q 7@3 4@1'));
    expect(exact.notes.find((note) => note.degree === '7')).toMatchObject({ share: 0.02, place: 'added' });
    expect(exact.said).toBe('A minor pentatonic + 7');
    const less = fitOf(bars('q 7@3 7@3 4@1'));
    expect(less.notes.find((note) => note.degree === '7')).toMatchObject({ place: 'rare', tones: 1 });
    expect([less.said, less.tones]).toEqual(['A minor pentatonic', 51]);
    expect(less.inside).toBeCloseTo(50 / 51, 12);
  });

  it('graces are not counted, curls neither: they are listed, and a note that is only curled is not held to be unused', () => {
    // The b3 is only ever curled; the 6 is a grace once.
    const fit = fitOf('phrase 1\nat 1 1\n  e 5@1 g7@2 8@2 5@2 7@3 8@1(0>0.5) 5@1 8@2 7@2 | q 5@1 8@1(0>0.5)\n');
    expect(fit.notes.map((note) => `${note.degree} ${note.tones}`)).toEqual(['1 3', '4 1', '5 1', '6 1', 'b7 2']);
    expect(fit.curls.map((curl) => [curl.degree, curl.tones])).toEqual([['b3+', 2]]);
    expect(fit.said).toBe('A minor pentatonic + 6');
    expect(fit.costSaid).toBe(
      '1 note added, none unused (b3 only curled), none left outside; curls not counted: 2 on b3+',
    );
  });

  it('a tone outside every scale so far is left outside, and the tritone has the name it is spelled by', () => {
    const rising = fitOf(
      'phrase 1\nat 1 1\n  e 5@1 7@1 9@1 4@2 7@2 8@1 11@1 12@1 | e 11@1 12@1 11@1 12@1 - - - - |\n',
      'A major',
    );
    expect(rising.notes.find((note) => note.semitones === 6)?.degree).toBe('#4');
    expect(rising.said).toContain('+ #4');
    const falling = fitOf(
      'phrase 1\nat 1 1\n  e 12@1 11@1 10@1 8@1 5@1 8@2 5@2 5@1 | e 12@1 11@1 10@1 5@1 - - - - |\n',
    );
    expect(falling.notes.find((note) => note.semitones === 6)?.degree).toBe('b5');
    expect(falling.said).toBe('A blues scale');
  });

  it('several keys are counted above their tonics; on one tonic its name is said', () => {
    const line = 'phrase 1\nat 1 1\n  e 5@1 8@1 5@2 8@2 5@3 7@3 7@2 5@1 |\n';
    const moved = 'phrase 1\nat 1 1\n  e 7@1 10@1 7@2 10@2 7@3 9@3 9@2 7@1 |\n';
    const two = scaleFit(toneTable([solo(line), solo(moved, 'B minor', '1 Bm7', 'other')]));
    expect([two.said, two.keys, two.solos]).toEqual(['minor pentatonic + 6', ['A minor', 'B minor'], 2]);
    const one = scaleFit(toneTable([solo(line), solo(line, 'A dorian', '1 Am7', 'other')]));
    expect(one.said).toBe('A minor pentatonic + 6');
  });

  it('another root is said', () => {
    // The notes of E major, in a solo whose key was written C major.
    const fit = fitOf('phrase 1\nat 1 1\n  e 5@2 7@2 4@1 5@1 7@1 9@1 11@1 12@1 | q 12@1\n', 'C major');
    expect(fit.said).toBe('E major scale, rooted on the 3 of the key');
    expect(fit.others.every((choice) => choice.outside.length >= (fit.best?.outside.length ?? 99))).toBe(true);
  });

  it('moves with solo and key: the same scale on another root', () => {
    const steps = fc.array(fc.integer({ min: 0, max: 11 }), { minLength: 8, maxLength: 8 });
    const keys = ['E', 'F', 'F#', 'G', 'Ab', 'A', 'Bb', 'B'];
    fc.assert(
      fc.property(
        steps,
        fc.integer({ min: 1, max: 7 }),
        fc.constantFrom('minor', 'major', 'dorian'),
        (frets, by, mode) => {
          const at = (k: number) =>
            fitOf(`phrase 1\nat 1 1\n  e ${frets.map((f) => `${f + k}@1`).join(' ')} |\n`, `${keys[k]} ${mode}`);
          const [here, there] = [at(0), at(by)];
          expect(there.best).toEqual(here.best);
          expect(there.costSaid).toBe(here.costSaid);
          expect(there.notes.map((note) => [note.semitones, note.ticks, note.place])).toEqual(
            here.notes.map((note) => [note.semitones, note.ticks, note.place]),
          );
        },
      ),
      { numRuns: 60, seed: 5 },
    );
  });

  it('a phrase that is not there is said, with those that are', () => {
    const made = toneTable([solo('phrase 1\nat 1 1\n  w 5@1 |\nphrase 2\nat 2 1\n  w 5@1 |\n')]);
    expect(scaleFit(made, { phrase: '2' }).tones).toBe(1);
    expect(() => scaleFit(made, { phrase: '3' })).toThrow('no tone asked for is in a phrase "3": made has 1, 2');
  });

  it('nothing asked for gives nothing, and no number that is none', () => {
    const none = scaleFit(table, { where: { player: 'Nobody' } });
    expect([none.said, none.tones, none.notes, none.best]).toEqual(['too few notes to tell', 0, [], undefined]);
  });
});

describe('on the demo solos', () => {
  it('each tone that is no ornament is counted once: as a note or as a curl; shares add up to 1', () => {
    const struck = Array.from({ length: table.rows }, (_, row) => row).filter(
      (row) => !((table.columns.flags[row] as number) & FLAG.ornament),
    );
    for (const by of [['player'], ['solo'], ['phrase'], ['solo', 'function']] as const) {
      const groups = scaleFits(table, by);
      const rows = groups.flatMap(({ fit }) => [...fit.notes, ...fit.curls].flatMap((note) => [...note.rows]));
      expect(rows.sort((a, b) => a - b)).toEqual(struck);
      for (const { fit } of groups) {
        const share = fit.notes.reduce((sum, note) => sum + note.share, 0);
        if (fit.tones > 0) expect(share).toBeCloseTo(1, 9);
        for (const note of fit.notes) expect(note.rows).toHaveLength(note.tones);
      }
    }
  });

  it('the order of the solos does not matter', () => {
    const said = (solos: readonly NamedSolo[]) =>
      scaleFits(toneTable(solos), ['player', 'solo'])
        .map(({ group, fit }) => [...group, fit.said, fit.costSaid].join(' | '))
        .sort();
    expect(said([...demo].reverse())).toEqual(said(demo));
  });

  const of = (player: string, options: ScaleFitOptions = {}): ScaleFit =>
    scaleFit(table, { ...options, where: { player, ...options.where } });
  const pentatonics = { scales: ['major pentatonic', 'minor pentatonic'] };
  const count = (fit: ScaleFit, degrees: string): number =>
    [...fit.notes, ...fit.curls]
      .filter((note) => up(degrees).includes(note.semitones))
      .reduce((sum, note) => sum + note.tones, 0);

  // What data/players.md plants.
  it('Tobias: minor pentatonic and the 6; 873 of 910 tones are 1 b3 4 5 b7 6, 33 of them the 6', () => {
    const fit = of('Tobias');
    expect(count(fit, '1 b3 4 5 b7 6')).toBe(873);
    expect(count(fit, '6')).toBe(33);
    expect(count(fit, '2')).toBe(24);
    expect(fit.curls.find((curl) => curl.degree === 'b3+')?.tones).toBe(83);
    for (const { group, fit: one } of scaleFits(table, ['solo'], { ...pentatonics, where: { player: 'Tobias' } })) {
      expect([group[0], one.best?.scale, one.best?.root]).toEqual([group[0], 'minor pentatonic', 0]);
    }
    expect(of('Tobias', { where: { function: 'I' } }).said).toBe('minor pentatonic + 6');
    expect(of('Tobias', { where: { solo: 'rope-walk-shuffle' } }).said).toBe('A minor pentatonic + 6');
  });

  it('Marla: major pentatonic and the 4; 770 of 831 tones are 1 2 3 5 6 or 4, 84 of them the 4', () => {
    const fit = of('Marla');
    expect([count(fit, '1 2 3 5 6'), count(fit, '4')]).toEqual([686, 84]);
    for (const { group, fit: one } of scaleFits(table, ['solo'], { ...pentatonics, where: { player: 'Marla' } })) {
      expect([group[0], one.best?.scale, one.best?.root]).toEqual([group[0], 'major pentatonic', 0]);
    }
    expect(of('Marla', { where: { function: 'I' } }).said).toBe('major pentatonic');
    expect(of('Marla', { where: { function: 'IV' } }).said).toBe('major pentatonic + 4');
    expect(of('Marla', pentatonics).said).toBe('major pentatonic + 4 + 7');
  });

  it('and not where it is not: Juno plays all twelve, and neither pentatonic holds her', () => {
    const fit = of('Juno');
    expect(fit.notes.filter((note) => note.place !== 'rare')).toHaveLength(12);
    expect(fit.costSaid).toContain('12 of the 12 pitch classes are used, so no scale tells much');
    expect(of('Juno', pentatonics).best?.outside).toHaveLength(5);
    expect(of('Juno', { where: { function: 'I' } }).said).not.toMatch(/pentatonic/);
    expect(of('Tobias', pentatonics).best?.scale).not.toBe(of('Marla', pentatonics).best?.scale);
  });

  it("Marla's 4 is there for the IV, its root: 44 of 84; her 7 for the V, its third", () => {
    const notes = addedNotes(table, of('Marla', pentatonics));
    expect(notes.map((note) => [note.degree, note.tones, note.serves[0]?.function, note.serves[0]?.role])).toEqual([
      ['4', 84, 'IV', 'root'],
      ['7', 41, 'V', 'third'],
    ]);
    // "All of them: 1 44": the roots of the IV, data/players.md.
    expect(notes[0]?.serves[0]?.tones).toBe(44);
    expect(notes[0]?.said).toMatch(/^the 4 serves the IV: its root, 44 of 84 tones/);
    expect(notes[0]?.serves[0]?.share.low).toBeGreaterThan(notes[0]?.serves[0]?.usual ?? 1);
  });

  it("Tobias' 2 is mostly the fifth of the V; his 6 serves no chord", () => {
    const notes = addedNotes(table, of('Tobias', pentatonics));
    expect(notes.map((note) => note.degree)).toEqual(['2', '6']);
    expect(notes[0]?.said).toBe('the 2 serves the V: its fifth, 22 of 24 tones');
    expect(notes[1]?.serves).toEqual([]);
  });
});

describe('added notes', () => {
  it('the fourth is added over the IV: in Bb the major pentatonic lacks Eb', () => {
    // Common practice, no source. Bb C D F G over Bb, Eb besides over Eb.
    const made = toneTable([
      solo(
        'phrase 1\nat 1 1\n  e 6@1 8@1 10@1 6@1 8@2 6@2 6@1 8@1 | e 11@1 8@2 11@1 8@1 11@1 6@1 11@1 11@1 |\n',
        'Bb major',
        '1 Bb | Eb',
      ),
    ]);
    const fit = scaleFit(made);
    expect(fit.said).toBe('Bb major pentatonic + 4');
    expect(addedNotes(made, fit).map((note) => note.said)).toEqual(['the 4 serves the IV: its root, 5 of 5 tones']);
    expect(scaleFit(made, { where: { chord: 'Bb' } }).said).toBe('Bb major pentatonic');
  });

  it('fewer than five tones: counts only', () => {
    const made = toneTable([solo('phrase 1\nat 1 1\n  e 5@1 8@1 5@2 8@2 5@3 7@3 7@2 7@2 |\n')]);
    const [six] = addedNotes(made, scaleFit(made));
    expect([six?.said, six?.serves]).toEqual(['the 6: 2 tones, too few to tell (i 2)', []]);
    expect(six?.chords[0]?.share.low).toBeUndefined();
  });

  it('three tones over one chord are no finding: Slipway Sunday has the root of the IV three times in eight 4s', () => {
    const fit = scaleFit(table, { where: { solo: 'slipway-sunday' }, scales: ['major pentatonic'] });
    const four = addedNotes(table, fit).find((note) => note.degree === '4');
    expect([four?.said, four?.serves]).toEqual(['the 4: 8 tones, serving no chord clearly (I 3, IV 3, vi 2)', []]);
  });

  it('tones of its chords add up to the note, and every place can be turned to', () => {
    for (const { fit } of scaleFits(table, ['player', 'solo']))
      for (const note of addedNotes(table, fit)) {
        expect(note.chords.reduce((sum, chord) => sum + chord.tones, 0)).toBe(note.tones);
        expect(note.chords.reduce((sum, chord) => sum + chord.share.share, 0)).toBeCloseTo(1, 9);
        for (const chord of note.chords)
          for (const row of chord.rows) {
            expect(placeOfTone(table, row).bar).toBeGreaterThanOrEqual(0);
            expect(mod(table.columns.degreeOverKey[row] as number, 12)).toBe(note.semitones);
          }
      }
  });
});
