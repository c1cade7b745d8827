import { describe, expect, it } from 'vitest';
import { difficultyOf, knownFigures, rankByDifficulty } from '../../lib/curriculum/difficulty.js';
import { bendingFinger } from '../../lib/curriculum/difficulty-bends.js';
import { gather } from '../../lib/curriculum/difficulty-items.js';
import { FEATURES, type FeatureName } from '../../lib/curriculum/difficulty-table.js';
import { readCorpus } from '../../lib/intake/read-corpus.js';
import { parseSoloOrThrow } from '../../lib/notation/parser.js';

/** A solo of one phrase, at 120 in 4/4 unless said otherwise, the notes from bar 1 on. */
const solo = (notes: string, { at = '1 1', tempo = 120, meter = '4/4', feel = 'straight', capo = 0 } = {}) =>
  parseSoloOrThrow(
    `---\ntitle: Shed\nplayer: Bo Finch\nkey: A minor\nmeter: ${meter}\ntempo: ${tempo}\nfeel: ${feel}\ncapo: ${capo}\n---\n\nchanges\n  1 Am | Am | Am | Am\n\nphrase 1\nat ${at}\n  ${notes}\n`,
  );
const judge = (notes: string, options?: Parameters<typeof solo>[1]) => difficultyOf(solo(notes, options), '1');
const feature = (name: FeatureName, notes: string, options?: Parameters<typeof solo>[1]) =>
  judge(notes, options).features.find((f) => f.name === name)!;
const value = (name: FeatureName, notes: string, options?: Parameters<typeof solo>[1]) =>
  feature(name, notes, options).value;
const said = (name: FeatureName, notes: string, options?: Parameters<typeof solo>[1]) => {
  const { peak } = feature(name, notes, options);
  return peak && `${peak.bar} ${peak.count}: ${peak.said}`;
};

const run = (letter: string, n: number) =>
  `${letter} ${Array.from({ length: n }, (_, i) => `${5 + (i % 3)}@2`).join(' ')}`;

describe('the features of difficulty, phrase by phrase', () => {
  // Notes a second follow from the tempo: 60 / tempo / notes a beat.
  it.each([
    [120, 's', 16, 8],
    [150, 's', 16, 10],
    [140, 's:6/4', 24, 14],
    [60, 'q', 4, 1],
    [100, 'e', 8, 100 / 30],
  ])('speed: at %i, %s are played %i in a bar: %f notes a second', (tempo, letter, n, rate) => {
    expect(value('speed', run(letter, n), { tempo })).toBeCloseTo(tempo === 60 ? 1 : rate, 6);
  });

  it('speed: the demand grows steeply below 100 ms from note to note, and has no step', () => {
    const demands = [75, 100, 125, 150, 175, 200, 250].map((tempo) => feature('speed', run('s', 16), { tempo }).demand);
    const ratios = demands.slice(1).map((d, i) => d / demands[i]!);
    for (const r of ratios) expect(r).toBeGreaterThan(1);
    expect(demands[6]! / demands[3]!).toBeGreaterThan((250 / 150) ** 1.6);
  });

  it('pace: kept up for four seconds, it is the rate itself; a short burst is not', () => {
    const bar = run('e', 8);
    expect(value('pace', `${bar} | ${bar} | ${bar} | ${bar}`, { tempo: 120 })).toBeCloseTo(4, 6);
    expect(value('pace', run('s', 4), { tempo: 120 })).toBeLessThan(1);
  });

  it('shift: from fret 5 to fret 12 in a quarter at 120, beyond the reach of the hand', () => {
    expect(value('shift', 'q 5@1 12@1')).toBeCloseTo((324 - 262.697) / 0.5, 0);
    expect(said('shift', 'q 5@1 12@1')).toBe('1 2: move from fret 5 to fret 12 in 0.50 s');
    expect(value('shift', 'q 5@1 8@1')).toBe(0);
    expect(value('shift', 'q 0@1 12@1')).toBe(0);
  });

  it('stretch: in mm, where two strings sound together or there is no time to move', () => {
    expect(value('stretch', 'h 1@3+5@1')).toBeCloseTo(126.18, 1);
    expect(value('stretch', 'h 12@3+16@1')).toBe(0);
    expect(value('stretch', 'e 1@1 5@1')).toBe(105); // beyond the reach of a hand: it stretches so far, and has to move as well
    expect(value('stretch', 'e 2@1 5@1')).toBeCloseTo(91.85, 1);
    expect(value('stretch', 'h 2@1 5@1')).toBe(0);
    expect(said('stretch', 'h 1@3+5@1')).toBe('1 1: stretch from fret 1 to fret 5, 126 mm');
  });

  it('skips count the strings jumped over', () => {
    expect(value('skips', 'q 5@4 5@1 5@2 5@2')).toBe(2);
    expect(said('skips', 'q 5@4 5@1')).toBe('1 2: skip from string 4 to string 1');
  });

  it('bends: by size; one with three fingers taken, near the nut, low, or picked already bent', () => {
    expect(value('bends', 'h 8@2(0>2) 8@2(0>0.5)')).toBe(1.25);
    expect(feature('bends', 'h 8@2(0>3)').demand).toBeGreaterThan(1.5 * feature('bends', 'h 8@2(0>2)').demand);
    expect(value('bending finger', 'h 8@2(0>2)')).toBe(0);
    expect(said('bending finger', 'h 8@2(0>2)+9@1=')).toBe(undefined);
    expect(said('bending finger', 'h 8@3(0>2)+9@2+10@1')).toBe(
      '1 1: push the whole-step bend at fret 8 of string 3 with finger 2',
    );
    expect(said('bending finger', 'h 1@2(0>2)')).toBe(
      '1 1: push the whole-step bend at fret 1 of string 2 with finger 2',
    );
    const place = (notes: string) => feature('bending place', notes).demand;
    expect(place('h 2@2(0>2)')).toBeGreaterThan(place('h 12@2(0>2)'));
    expect(place('h 12@5(0>2)')).toBeGreaterThan(place('h 12@2(0>2)'));
    expect(said('exactness', 'h 8@2(2>0)')).toBe('1 1: pick string 2 already bent (whole step)');
    expect(said('exactness', 'q 10@3(0>2)= 8@2')).toBe('1 1: bend string 3 into unison with string 2');
    expect(value('exactness', 'h 8@2(0>2)')).toBe(0);
  });

  it('a bend held while other strings sound: in beats, whatever the tempo; and let down at its moment', () => {
    const notes = 'q 8@2(0>2)= e 8@1= 10@1 q @2(>0)';
    expect(value('held bend', notes)).toBe(1);
    expect(value('held bend', notes, { tempo: 60 })).toBe(1);
    expect(said('held bend', notes)).toBe('1 2: hold the whole-step bend on string 2 while string 1 rings');
    expect(said('release', notes)).toBe('1 3: let the bend on string 2 down at its moment');
    expect(feature('release', notes).demand).toBeGreaterThan(feature('release', 'q 8@2(0>2>0)').demand);
    expect(value('held bend', 'q 8@2(0>2) 8@1')).toBe(0);
  });

  it('vibrato counts where the string is bent', () => {
    expect(value('vibrato on a bend', 'h 8@2(0>2)~')).toBe(1);
    expect(value('vibrato on a bend', 'h 8@2~')).toBe(0);
  });

  it('muting: the string between two, the open string left behind', () => {
    expect(said('muting', 'h 5@3+5@1')).toBe('1 1: keep string 2 silent between the two that sound');
    expect(said('muting', 'q 0@4 2@3')).toBe('1 2: stop open string 4');
    expect(value('muting', 'q 2@4 2@3')).toBe(0);
  });

  it('strings at once, upper frets (the capo moves them), legato, slides, picking across', () => {
    expect(value('strings at once', 'q 5@2+5@1 5@2+7@1')).toBe(2);
    expect(value('upper frets', 'q 17@1')).toBe(17);
    expect(value('upper frets', 'q 12@1', { capo: 4 })).toBe(12);
    expect(value('upper frets', 'q 14@1')).toBe(0);
    expect(value('legato', 'e 5@1 h7@1 p5@1 /8@1 8@1 h10@1')).toBe(3);
    expect(said('slides', 'q 5@1 /9@1')).toBe('1 2: slide from fret 5 to fret 9');
    expect(value('picking across strings', 's 5@2 5@1 5@2 5@1 5@2 5@1 5@2 5@1 5@2')).toBeCloseTo(8, 6);
    expect(value('picking across strings', 's 5@2 h7@2 p5@2 h7@2')).toBe(0);
  });

  it('syncopation, the entry, tuplets', () => {
    expect(value('syncopation', 'e 5@1 q 5@1 e 5@1 q 5@1 5@1')).toBe(1);
    expect(value('syncopation', 'q 5@1 5@1 5@1 5@1')).toBe(0);
    expect(value('syncopation', 'e:3 5@1 7@1 8@1 5@1 7@1 8@1 q 5@1 5@1')).toBe(0);
    expect(said('entry', 'e 5@1', { at: '1 3&' })).toBe('1 3&: come in on 3&');
    expect(value('entry', 'e 5@1', { at: '1 3' })).toBe(0);
    expect(value('tuplets', 'e:3 5@1 7@1 8@1 q 5@1')).toBe(1);
    const demand = (feel: string) => feature('tuplets', 'e:3 5@1 7@1 8@1 q 5@1', { feel }).demand;
    expect(demand('swing e 2:1')).toBeLessThan(demand('straight'));
    expect(value('tuplets', 'e 5@1 7@1 8@1', { meter: '12/8' })).toBe(0);
  });

  it('length: what comes back, wherever on the neck, counts a quarter; so does what is known already', () => {
    expect(value('length', 'q 5@1 7@1 8@1 5@1')).toBe(4);
    expect(value('length', 'q 5@2 7@2 8@2 5@2 | q 5@2 7@2 8@2 5@2')).toBe(4 + 2 + 2 * 0.25);
    const phrase = solo('q 5@1 7@1 8@1 5@1');
    const again = solo('q 10@1 12@1 13@1 10@1');
    const length = difficultyOf(again, '1', { known: knownFigures(phrase, '1') }).features.at(-1)!;
    expect([length.name, length.value]).toEqual(['length', 2.5]);
  });
});

describe('difficulty as an answer', () => {
  it('says the hardest moment in words', () => {
    expect(judge('q 8@2(0>2)= h 8@1= q @2(>0) | q 5@2 5@2').hardest?.said).toBe(
      'bar 1 beat 2: hold the whole-step bend on string 2 while string 1 rings',
    );
    expect(judge('q 5@2 8@1(0>2) 5@2 5@2').hardest?.said).toMatch(
      /^bar 1 beat 2: bend string 1 at fret 8 a whole step/,
    );
    const nothing = difficultyOf(solo('q 5@1'), '1', { from: 1e9 });
    expect(nothing.hardest).toBeUndefined();
    expect(nothing.points).toBe(0);
  });

  it('shows cautions where a hand may be strained', () => {
    expect(judge('h 8@2(0>3)').cautions.join(' ')).toMatch(
      /bends strain.*stop when it hurts, and ask a teacher or a clinician/,
    );
    expect(judge('h 1@3+5@1').cautions.join(' ')).toContain('never by force');
    expect(judge('q 5@2 7@2').cautions).toEqual([]);
  });

  it('takes weights of a teacher, a tempo, a part', () => {
    const one = solo('q 8@2(0>2) 5@1 5@2 5@2 | q 12@1 5@2');
    const none = Object.fromEntries(FEATURES.map(({ name }) => [name, 0]));
    expect(difficultyOf(one, '1', { weights: none }).points).toBe(0);
    const only = difficultyOf(one, '1', { weights: { ...none, bends: 3 } });
    expect(only.features.find((f) => f.name === 'bends')?.share).toBe(1);
    expect(difficultyOf(one, '1', { tempo: 60 }).points).toBeLessThan(difficultyOf(one, '1').points);
    const bar2 = difficultyOf(one, '1', { from: 8 * 20160 });
    expect(bar2.features.find((f) => f.name === 'bends')?.value).toBe(0);
    expect(() => difficultyOf(one, '9')).toThrow('there is no phrase "9" in "Shed": it has 1');
    expect(() => difficultyOf(one, '1', { tempo: 0 })).toThrow('a tempo of 0');
    expect(() => difficultyOf(one, '1', { weights: { speed: Number.NaN } })).toThrow('the weight of "speed" is NaN');
  });

  it('finds the best bending finger: fingers are counted off by hand', () => {
    expect(bendingFinger(8, [])).toBe(3);
    expect(bendingFinger(8, [10])).toBe(3);
    expect(bendingFinger(8, [9, 10])).toBe(2);
    expect(bendingFinger(8, [9, 10, 11])).toBe(1);
    expect(bendingFinger(8, [7, 6, 5])).toBe(4);
    expect(bendingFinger(8, [5, 6, 7, 9])).toBe(0);
    expect(bendingFinger(1, [])).toBe(2);
  });

  it('ranks the demo in an order that does not depend on that of the files', () => {
    const { solos } = readCorpus(['data/solos']);
    const ranked = rankByDifficulty(solos);
    expect(ranked).toHaveLength(solos.reduce((n, s) => n + s.solo.phrases.length, 0));
    const back = rankByDifficulty([...solos].reverse());
    const points = (all: typeof ranked) => all.map((r) => r.difficulty.points);
    expect(points(back)).toEqual(points(ranked));
    expect([...points(ranked)].sort((a, b) => a - b)).toEqual(points(ranked));
  });
});

describe('gathering', () => {
  const item = (at: number, amount: number, span?: number) => ({
    onset: at,
    at,
    amount,
    ...(span && { span }),
    words: () => '',
  });

  it('a window of seconds is laid where it holds most, and takes part of a rate that reaches over its end', () => {
    const within = { kind: 'within', seconds: 1 } as const;
    expect(gather([item(0, 1), item(0.9, 1), item(1.8, 1)], within).amount).toBe(2);
    expect(gather([item(0, 1), item(1, 1)], within).amount).toBe(2);
    expect(gather([item(0, 1, 0.5), item(0.5, 3, 2)], within).amount).toBeCloseTo(1 + 3 / 4, 9);
    expect(gather([], within)).toEqual({ amount: 0, value: 0, peak: undefined });
  });
});
