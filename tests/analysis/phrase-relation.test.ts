// Relations between phrases: each kind made by hand, the least lengths, what is no relation, and how each is said.
import { describe, expect, it } from 'vitest';
import { relate, relationsOf } from '../../lib/analysis/phrase-relation.js';
import { LEAST, RELATION_KINDS, type Relation, strengthOf } from '../../lib/analysis/phrase-relation-kinds.js';
import { phraseCorpus } from '../../lib/analysis/phrase-relation-lines.js';
import { toneTable } from '../../lib/solo/tone-table.js';
import { demoTable, made, madeTable } from './made.js';

const CHANGES = '1 C7 | F7 | C7 | F7\n  5 C7 | F7 | C7 | F7';
/** A table of phrases; each begins on beat 1 of bars 1, 3, 5 ... unless its text names another place. */
const phrases = (...texts: readonly string[]) =>
  madeTable(
    CHANGES,
    texts.map((t, k) => `phrase ${k + 1}\n${t.startsWith('at ') ? t : `at ${2 * k + 1} 1\n  ${t}`}\n`).join(''),
  );
/** The relations of two phrases. */
const of = (...texts: readonly string[]): readonly Relation[] =>
  relate(phrases(...texts), { solo: 'made', phrase: '1' }, { solo: 'made', phrase: '2' });
const kinds = (relations: readonly Relation[]) => relations.map((r) => `${r.kind} ${r.viewpoint} ${r.extent}`);
const one = <K extends Relation['kind']>(relations: readonly Relation[], kind: K) =>
  relations.find((r): r is Extract<Relation, { kind: K }> => r.kind === kind);

const CALL = 'e 8@2 10@2 8@1 10@1 q 8@1 e 10@2 8@2 |'; // G4 A4 C5 D5 C5 A4 G4

describe('same notes', () => {
  it('all of them in one rhythm', () => {
    const found = of(CALL, CALL);
    expect(kinds(found)).toEqual(['same pitch+durations whole']);
    expect(found[0]).toMatchObject({
      a: { solo: 'made', phrase: '1' },
      b: { solo: 'made', phrase: '2' },
      strength: 1,
      said: 'is phrase 1 again, all 7 notes',
      evidence: { count: 7, transposition: 0, fromA: { bar: 1, count: '1' }, fromB: { bar: 3, count: '1' } },
    });
    expect(found[0]?.evidence.tonesA).toEqual([0, 1, 2, 3, 4, 5, 6]);
    expect(found[0]?.evidence.tonesB).toEqual([7, 8, 9, 10, 11, 12, 13]);
  });

  it('later in the bar is displaced, by so many beats', () => {
    const later = 'at 3 2&\n  e 8@2 10@2 8@1 10@1 8@1_ | _ 10@2 8@2';
    const [found] = of(CALL, later);
    expect(found).toMatchObject({ kind: 'displaced', strength: 0.97, evidence: { displacement: 1.5, count: 7 } });
    expect(found?.said).toBe('is phrase 1 again, 1 1/2 beats later in the bar, all 7 notes');
    expect(of(later.replace('at 3', 'at 1'), CALL)[0]?.evidence.displacement).toBe(-1.5);
  });

  it('an opening of four tones, and where it parts', () => {
    const found = of(CALL, 'e 8@2 10@2 8@1 10@1 q 11@1 e 8@1 11@2 |');
    expect(one(found, 'same-opening')).toMatchObject({
      evidence: { count: 4, partsAt: { a: { bar: 1, count: '3' }, b: { bar: 3, count: '3' } } },
      said: 'opens as phrase 1 for 4 notes, parts at bar 3, beat 3',
    });
    expect(one(of(CALL, 'e 8@2 10@2 8@1 11@1 q 11@1 8@1 |'), 'same-opening')).toBeUndefined();
  });

  it('an opening that is all of one phrase: the place of the other alone', () => {
    const found = of('e 8@2 10@2 8@1 10@1', CALL);
    expect(one(found, 'same-opening')?.evidence.partsAt).toMatchObject({ b: { bar: 3, count: '3' } });
    expect(one(found, 'same-opening')?.evidence.partsAt).not.toHaveProperty('a');
    expect(one(found, 'same-opening')?.said).toBe('opens as phrase 1 for 4 notes, goes on at bar 3, beat 3');
    expect(one(of(CALL, 'e 8@2 10@2 8@1 10@1'), 'same-opening')?.said).toBe(
      'opens as phrase 1 for 4 notes and ends there',
    );
  });

  it('an ending of four tones', () => {
    const found = of(CALL, 'q 6@2 5@2 e 10@1 q 8@1 e 10@2 | 8@2');
    expect(one(found, 'same-ending')).toMatchObject({
      evidence: { count: 4, fromB: { bar: 3, count: '3' } },
      said: 'ends as phrase 1 for 4 notes, from bar 3, beat 3, half a beat later in the bar',
    });
    expect(one(of(CALL, 'q 6@2 5@2 e 11@1 q 8@1 e 10@2 | 8@2'), 'same-ending')).toBeUndefined();
  });

  it('the tail of the earlier one opens the later one, not the other way round', () => {
    const tail = 'e 10@1 q 8@1 e 10@2 8@2 q. 6@2 |';
    const found = one(of(CALL, tail), 'takes-up-the-tail');
    expect(found).toMatchObject({
      viewpoint: 'pitch+durations',
      evidence: { count: 4, fromA: { bar: 1, count: '2&' } },
    });
    expect(found?.said).toBe('opens with the last 4 notes of phrase 1, 1 1/2 beats earlier in the bar');
    expect(one(of(tail, CALL), 'takes-up-the-tail')).toBeUndefined();
  });

  it('one stands whole inside the other, from five tones', () => {
    const inner = 'e 8@1 10@1 q 8@1 e 10@2 8@2';
    const outer = `q 5@2 e 8@1 10@1 q 8@1 e 10@2 8@2 | q 6@2`;
    expect(one(of(inner, outer), 'contains')).toMatchObject({
      outer: 'b',
      evidence: { count: 5 },
      said: 'contains all of phrase 1 (5 notes, from bar 3, beat 2)',
    });
    expect(one(of(outer, inner), 'contains')?.said).toBe('stands whole inside phrase 1 (5 notes, from bar 1, beat 2)');
    expect(one(of('e 8@1 10@1 q 8@1 e 10@2', outer), 'contains')).toBeUndefined();
  });

  it('in another rhythm: the notes alone', () => {
    const found = of(CALL, 'q 8@2 e 10@2 8@1 q 10@1 e 8@1 10@2 | q 8@2');
    expect(found[0]).toMatchObject({ kind: 'same', viewpoint: 'pitch', strength: 0.7 });
    expect(found[0]?.said).toBe('is phrase 1 again, in another rhythm, all 7 notes');
  });

  it('double-stops are other notes: the line is the same, what is under it is said', () => {
    const found = of(CALL, CALL.replace('10@1', '10@1+10@2'));
    expect(one(found, 'same')).toMatchObject({ viewpoint: 'steps+durations', extent: 'whole' });
    expect(one(found, 'same')?.said).toContain('with other notes under it');
    expect(one(found, 'ornamented')?.said).toBe(
      'is phrase 1 ornamented: 7 notes kept at their times; adds 1 double-stop',
    );
  });
});

describe('the same moved', () => {
  const up2 = 'e 10@2 12@2 10@1 12@1 q 10@1 e 12@2 10@2 |';

  it('steps, the shape of the hand', () => {
    const found = of(CALL, up2);
    expect(kinds(found)).toEqual([
      'transposed steps+durations whole',
      'same-shape-elsewhere shape+durations whole',
      'answers durations opening',
    ]);
    expect(found[0]).toMatchObject({
      evidence: { transposition: 2 },
      said: 'is phrase 1 moved up a whole step, all 7 notes',
    });
    expect(found[1]?.said).toBe(
      'has the shape of phrase 1 throughout (7 notes); the hand starts at 10@2 instead of 8@2',
    );
  });

  it('the same pitches at another place of the neck are the same notes in another shape, or the same shape', () => {
    const found = of('e 5@3 7@3 5@3 8@3 q 5@3', 'e 10@4 12@4 10@4 13@4 q 10@4');
    expect(found.slice(0, 2).map((r) => r.kind)).toEqual(['same', 'same-shape-elsewhere']);
  });

  it('the same degrees over another chord, and not over the same', () => {
    const elsewhere = 'at 2 1\n  e 8@3 10@3 8@2 10@2 q 8@2 e 10@3 8@3 |'; // Eb4 F4 G4 A4: not a fifth or a fourth away
    const found = of(CALL, 'at 2 1\n  e 8@1 10@1 13@1 15@1 q 13@1 e 10@1 8@1 |');
    expect(one(found, 'same-degrees-over-another-chord')?.said).toBe(
      'has the degrees of phrase 1 throughout (7 notes); over F7 instead of C7',
    );
    expect(one(of(CALL, elsewhere), 'same-degrees-over-another-chord')).toBeUndefined();
    expect(one(of(CALL, CALL), 'same-degrees-over-another-chord')).toBeUndefined();
  });

  it('openings, endings and tails too, from four tones with their times, six without', () => {
    const found = of(CALL, 'e 10@2 12@2 10@1 12@1 q 13@1 e 10@1 9@1 |');
    expect(one(found, 'transposed')?.said).toBe(
      'opens as phrase 1 moved up a whole step for 4 notes, parts at bar 3, beat 3',
    );
    expect(one(of(CALL, 'q 10@2 e 12@2 10@1 12@1 q. 13@1 |'), 'transposed')).toBeUndefined();
    const slow = 'q 10@2 e 12@2 10@1 q 12@1 e 10@1 12@2 | q 15@2';
    expect(one(of(CALL, slow), 'transposed')).toMatchObject({ viewpoint: 'steps', evidence: { count: 6 } });
  });

  it('all times doubled or halved, moved or not', () => {
    const twice = 'q 8@2 10@2 8@1 10@1 | h 8@1 q 10@2 8@2 |';
    expect(of(CALL, twice)[0]).toMatchObject({ kind: 'stretched', evidence: { stretch: 2 } });
    expect(of(CALL, twice)[0]?.said).toBe('is phrase 1 in notes twice as long, all 7 notes');
    expect(of(twice, CALL)[0]).toMatchObject({ kind: 'stretched', evidence: { stretch: 0.5 } });
    const moved = 'q 10@2 12@2 10@1 12@1 | h 10@1 q 12@2 10@2 |';
    expect(of(CALL, moved)[0]?.said).toBe('is phrase 1 in notes twice as long, moved up a whole step, all 7 notes');
  });
});

describe('rhythm only', () => {
  it('from six tones, with changes of length', () => {
    const found = of(CALL, 'e 5@2 8@2 5@2 6@2 q 9@2 e 8@3 5@4 |', CALL);
    expect(one(found, 'rhythm-only')).toMatchObject({ viewpoint: 'durations', extent: 'whole', strength: 0.4 });
    expect(one(found, 'rhythm-only')?.said).toBe('has the rhythm of phrase 1 throughout (7 notes)');
  });
  it('even notes are no rhythm', () => {
    expect(of('e 8@2 10@2 8@1 10@1 11@1 8@1 10@2 8@2 |', 'e 5@2 8@2 5@2 6@2 9@2 8@3 5@4 5@2 |')).toSatisfy(
      (found: readonly Relation[]) => found.every((r) => r.kind === 'answers'),
    );
  });
  it('five tones are too few', () => {
    expect(one(of('e 8@2 q 10@2 e 8@1 q 10@1 8@2', 'e 5@2 q 8@2 e 5@2 q 6@2 9@2'), 'rhythm-only')).toBeUndefined();
  });
});

describe('ornamented and varied', () => {
  it('graces, a curl, a note between: kept at their times', () => {
    const lace = 'e 8@2 g8@2 h10@2 8@1 10@1(0>0.5) s 8@1 10@1 e 8@1 10@2 8@2 |';
    const found = one(of(CALL, lace), 'ornamented');
    expect(found).toMatchObject({ richer: 'b', evidence: { count: 7 } });
    expect(found?.evidence.edits?.map((e) => e.what).sort()).toEqual(['add', 'add', 'curl', 'grace']);
    expect(found?.said).toBe(
      'is phrase 1 ornamented: 7 notes kept at their times; adds 1 grace, 2 notes between and 1 curl',
    );
    expect(one(of(lace, CALL), 'ornamented')?.said).toMatch(/^is phrase 1 without its ornaments: 7 notes kept/);
  });

  it('tones put in that take their own time and delay the rest: an opening of six kept tones, two put in, or more', () => {
    // G4 A4 C5 D5 C5 A4 G4 E4 F4, then a neighbour and the tone again behind D5.
    const plain = 'e 8@2 10@2 8@1 10@1 8@1 10@2 8@2 5@2 | h 6@2';
    const turn = 'e 8@2 10@2 8@1 10@1 12@1 10@1 8@1 10@2 | q 8@2 h 3@1';
    const found = one(of(plain, turn), 'ornamented');
    expect(found).toMatchObject({ viewpoint: 'pitch', extent: 'opening', richer: 'b', evidence: { count: 7 } });
    expect(found?.evidence.edits?.map((e) => e.what)).toEqual(['add', 'add']);
    expect(found?.said).toBe(
      'opens as phrase 1 with notes put in: 7 notes kept, 2 between them that delay the rest (E5 and D5, from bar 3, beat 3)',
    );
    expect(one(of(turn, plain), 'ornamented')?.said).toMatch(
      /^opens as phrase 1 without notes that are put in there: 7/,
    );
    // Twice as fast, and from another note.
    const fast = 's 10@2 12@2 10@1 12@1 14@1 12@1 10@1 12@2 e 10@2 q. 3@1 |';
    expect(one(of(plain, fast), 'ornamented')).toMatchObject({ viewpoint: 'steps', evidence: { transposition: 2 } });
    const not = (other: string) => expect(one(of(plain, other), 'ornamented')).toBeUndefined();
    not('e 8@2 10@2 8@1 10@1 17@1 10@1 8@1 10@2 | q 8@2 h 3@1'); // a leap is no ornament
    not('e 8@2 10@2 8@1 10@1 q 12@1 10@1 | e 8@1 10@2 q 8@2 h 3@1'); // longer than what it adorns
    not('e 8@2 10@2 8@1 10@1 12@1 10@1 8@1 3@1 | h 5@1'); // five kept
    not('e 8@2 q 10@2 e 8@1 10@1 12@1 10@1 8@1 | e 10@2 8@2 h 3@1'); // another rhythm where nothing is put in
    not('e 8@2 10@2 8@1 10@1 8@1 12@1 10@1 13@1 | q 12@1 h 3@1'); // what follows is another line
  });

  it('is no accident: of all pairs of phrases of different solos of the demo three have such an opening', () => {
    const { phrases } = phraseCorpus(demoTable);
    const pairs = phrases.flatMap((b) => phrases.filter((a) => a.index < b.index && a.solo !== b.solo)).length;
    const found = relationsOf(demoTable, { within: 'corpus', kinds: ['ornamented'] });
    const delayed = found.filter((r) => r.a.solo !== r.b.solo && r.viewpoint !== 'pitch+durations');
    expect(pairs).toBeGreaterThan(20_000);
    expect(delayed.length).toBeLessThan(pairs / 1000);
    // The three are one head of one player.
    expect(new Set(delayed.flatMap(({ a, b }) => [a.solo, b.solo]))).toEqual(
      new Set(['slipway-sunday', 'three-frets-from-home']),
    );
  });

  const tune = `${CALL} q. 10@2 e 8@2 q 6@2 5@2 |`; // then A4 G4 F4 E4
  it('tone by tone where the rhythm is one', () => {
    const found = one(of(tune, `e 8@2 10@2 8@1 10@1 q 12@1 e 10@2 8@2 | q. 10@2 e 8@2 q 6@2 5@2 |`), 'varied');
    expect(found).toMatchObject({
      extent: 'whole',
      evidence: { count: 10, transposition: 0 },
      similarity: { identity: 10 / 11 },
    });
    expect(found?.score).toBeCloseTo(10 - 0.2, 9); // a third
    expect(found?.said).toBe('varies phrase 1: 10 notes kept; C5 becomes E5 (bar 3, beat 3)');
    expect(found?.similarity.stepRuns).toBeCloseTo(1 - 8 / 16, 9); // of 8 runs of three steps, the 4 that hold one of the two other steps differ
  });

  it('a note split in two of its pitch, joined from two, left out, put in', () => {
    const moved = `e 10@2 12@2 10@1 12@1 10@1 10@1 12@2 10@2 | q. 12@2 e 10@2 q 8@2 7@2 |`;
    const split = one(of(tune, moved), 'varied');
    expect(split).toMatchObject({ score: 11, evidence: { count: 11, transposition: 2 } });
    expect(split?.said).toBe(
      'varies phrase 1, moved up a whole step: 11 notes kept; C5 is split into D5 and D5 (bar 3, beat 3)',
    );
    expect(one(of(moved, tune), 'varied')?.said).toContain('D5 and D5 are joined into C5 (bar 3, beat 3)');
    const less = 'at 3 1&\n  e 8@2 10@2 8@1 10@1 q 8@1 e 8@2 | q. 10@2 e 8@2 q 6@2 5@2 |';
    expect(one(of(tune, less), 'varied')?.said).toBe('varies phrase 1: 10 notes kept; A4 is left out');
    expect(one(of(tune, less), 'varied')?.score).toBeCloseTo(10 - 0.696, 9);
    expect(one(of(less.replace('at 3', 'at 1'), tune), 'varied')?.said).toBe(
      'varies phrase 1: 10 notes kept; A4 is added (bar 3, beat 4)',
    );
  });

  it('an octave is no small change', () => {
    const found = one(of(tune, `e 8@2 10@2 8@1 10@1 q 10@4 e 10@2 8@2 | q. 10@2 e 8@2 q 6@2 5@2 |`), 'varied');
    expect(found?.evidence.edits).toMatchObject([{ what: 'change' }]);
    expect(found?.score).toBeCloseTo(10 - 1, 9); // ten kept, less 1 for the octave
  });

  it('not without a run of three steps in common, nor below the least score', () => {
    expect(
      one(of(tune, 'q 8@2 e 10@2 q 8@1 e 10@1 q 8@1 | e 10@2 q 8@2 e 10@2 q 8@2 e 6@2 5@2 |'), 'varied'),
    ).toBeUndefined();
    expect(one(of(tune, 'e 8@2 10@2 8@1 10@1 h 15@1 | w 17@1 |'), 'varied')).toBeUndefined();
  });
});

describe('within one solo', () => {
  const other = 'e 8@2 10@2 8@1 10@1 q 8@1 e 10@2 11@2 |';
  it('the next phrase answers: alike at first, another landing', () => {
    const found = one(of(CALL, other), 'answers');
    expect(found).toMatchObject({ by: 'rhythm', evidence: { count: 7 } });
    expect(found?.said).toBe(
      'answers phrase 1: opens with the same rhythm for 7 notes, ends on Bb4 (b7 of C7) where that ended on G4 (5 of C7)',
    );
  });
  it('not the one after next, nor with the same landing, nor in another solo', () => {
    const third = relate(phrases(CALL, 'w 5@2 |', other), { solo: 'made', phrase: '1' }, { solo: 'made', phrase: '3' });
    expect(one(third, 'answers')).toBeUndefined();
    expect(one(of(CALL, CALL), 'answers')).toBeUndefined();
    const table = toneTable([
      made(CHANGES, `phrase 1\nat 1 1\n  ${CALL}\n`),
      made(CHANGES, `phrase 2\nat 1 1\n  ${other}\n`, undefined, 'next'),
    ]);
    const found = relate(table, { solo: 'made', phrase: '1' }, { solo: 'next', phrase: '2' });
    expect(one(found, 'answers')).toBeUndefined();
    expect(one(found, 'same-opening')?.said).toBe(
      'opens as phrase 1 of made for 6 notes, parts at bar 1, the and of 4',
    );
  });
  it('a cell repeated, moved', () => {
    const table = phrases('q 8@2 e 10@2 8@1 q 10@2 e 12@2 10@1 | q 12@2 e 14@2 12@1 h 10@1');
    const self = { solo: 'made', phrase: '1' };
    const found = relate(table, self, self);
    expect(found).toHaveLength(1);
    expect(found[0]).toMatchObject({ kind: 'sequence', evidence: { count: 3, transposition: 2 } });
    expect(found[0]?.said).toBe(
      'repeats a cell of 3 notes moved up a whole step (bar 1, beat 1, bar 1, beat 3 and bar 2, beat 1)',
    );
    expect(relate(phrases('q 8@2 e 10@2 8@1 q 8@2 e 10@2 8@1 |'), self, self)).toEqual([]); // repeated, not moved
  });
});

describe('what is no relation', () => {
  it.each([
    ['two equal notes', 'q 8@2 8@2', 'q 8@2 8@2'],
    ['a bar of one note', 'q 8@2 8@2 8@2 8@2 |', 'q 8@2 8@2 8@2 8@2 |'],
    ['three notes', 'q 8@2 10@2 8@1', 'q 8@2 10@2 8@1'],
    ['one note', 'w 8@2 |', 'w 8@2 |'],
  ])('%s', (_, a, b) => {
    expect(of(a, b)).toEqual([]);
  });
  it('a phrase that is not there is an error that names those that are', () => {
    const table = phrases(CALL, CALL);
    expect(() => relate(table, { solo: 'made', phrase: '9' }, { solo: 'made', phrase: '1' })).toThrow(
      '"made" has no phrase "9" with tones in it: it has 1, 2',
    );
    expect(() => relate(table, { solo: 'gone', phrase: '1' }, { solo: 'made', phrase: '1' })).toThrow(
      'there is no solo "gone" with tones in it: there are made',
    );
    expect(() => relate(toneTable([]), { solo: 'a', phrase: '1' }, { solo: 'a', phrase: '1' })).toThrow('none at all');
  });
  it('an empty table has none', () => {
    expect(relationsOf(toneTable([]))).toEqual([]);
  });
});

describe('order', () => {
  it('a is the earlier phrase whichever is named first; the strongest is said first', () => {
    const table = phrases(CALL, 'e 8@2 10@2 8@1 10@1 q 11@1 e 8@1 11@2 |');
    const [p, q] = [
      { solo: 'made', phrase: '1' },
      { solo: 'made', phrase: '2' },
    ];
    expect(relate(table, q, p)).toEqual(relate(table, p, q));
    const strengths = relate(table, p, q).map((r) => r.strength);
    expect(strengths).toEqual([...strengths].sort((x, y) => y - x));
    expect(relationsOf(table)).toEqual(relate(table, p, q));
    expect(relationsOf(table, { kinds: ['rhythm-only'] }).map((r) => r.kind)).toEqual(['rhythm-only']);
  });
  it('strength is literalness times the share covered', () => {
    expect(strengthOf('pitch', 5, 10, 10)).toBeCloseTo(0.35, 12);
    expect(RELATION_KINDS).toHaveLength(15);
    expect([LEAST.opening, LEAST.ending, LEAST.tail, LEAST.inside, LEAST.oneThing]).toEqual([4, 4, 4, 5, 6]);
  });
});
