import { describe, expect, it } from 'vitest';
import { handPosition, neckUse } from '../../lib/analysis/neck-use.js';
import { QUARTER } from '../../lib/foundation/time.js';
import { hasFlag, type NamedSolo, toneTable } from '../../lib/solo/tone-table.js';
import { demo, made, demoTable as table } from './made.js';

const written = (id: string, phrases: string, more = ''): NamedSolo =>
  made('1 C | F', phrases, `key: C major${more}`, id);

// Over C: C E(bent from D) C; a grace that is not counted; over F: C, the open B, and a dead note.
const one = written('one', 'phrase 1\nat 1 1\n  q 5@3 7@3(0>2) g3@3 h 5@3 |\nphrase 2\nat 2 1\n  q 5@3 0@2 x@2 - |\n');

describe('where the tones lie', () => {
  const use = neckUse(toneTable([one]));

  it('by string, fret and role, bent tones at the fret that is held', () => {
    expect(use.rows.map((r) => [r.string, r.fret, r.role, r.tones, r.ticks / QUARTER, r.bent])).toEqual([
      [2, 0, 'tension', 1, 1, 0],
      [3, 5, 'root', 2, 3, 0],
      [3, 5, 'fifth', 1, 1, 0],
      [3, 7, 'third', 1, 1, 1],
    ]);
    expect([use.tones, use.ticks / QUARTER, use.bent, use.solos]).toEqual([5, 6, 1, ['one']]);
  });

  it('with the places behind each count', () => {
    expect(use.places(1)).toEqual([
      { solo: 'one', phrase: '1', bar: 1, count: '1' },
      { solo: 'one', phrase: '1', bar: 1, count: '3' },
    ]);
    use.rows.forEach((row, i) => {
      expect(use.places(i)).toHaveLength(row.tones);
    });
  });

  it('of one phrase; and says when there is no such phrase', () => {
    expect(neckUse(toneTable([one]), { phrase: '2' }).tones).toBe(2);
    expect(() => neckUse(toneTable([one]), { phrase: '7' })).toThrow(/no solo here has a phrase 7.*such as 1/);
  });

  it('with ornaments where asked for', () => {
    expect(neckUse(toneTable([one]), { ornaments: true }).tones).toBe(6);
  });

  it('on the guitar of the most tones only, and says what is left out', () => {
    const drop = written('drop', 'phrase 1\nat 1 1\n  w 0@6 |\n', '\ntuning: D2 A2 D3 G3 B3 E4');
    const capo = written('capo', 'phrase 1\nat 1 1\n  h 5@3 5@3 |\n', '\ncapo: 2');
    const found = neckUse(toneTable([drop, one, capo]));
    expect(found.solos).toEqual(['one']);
    expect(found.otherGuitars).toEqual({ tones: 3, solos: 2 });
    expect([found.guitar.capo, found.tones]).toEqual([0, 5]);
  });

  it('of nothing is nothing, on a guitar in standard tuning', () => {
    const none = neckUse(toneTable([]));
    expect([none.rows, none.tones, none.guitar.tuning.length]).toEqual([[], 0, 6]);
    expect(handPosition(toneTable([]), none)).toBeUndefined();
  });
});

describe('laws, over all demo solos', () => {
  it('every tone that is no ornament is counted once, on its guitar or as left out', () => {
    let tones = 0;
    for (let i = 0; i < table.rows; i++) if (!hasFlag(table, i, 'ornament')) tones++;
    const use = neckUse(table);
    expect(use.tones + use.otherGuitars.tones).toBe(tones);
    const seen = new Set(use.rows.flatMap((_, i) => [...use.toneRows(i)]));
    expect(seen.size).toBe(use.tones);
    use.rows.forEach((row, i) => {
      for (const tone of use.toneRows(i))
        expect([table.columns.string[tone], table.columns.fret[tone]]).toEqual([row.string, row.fret]);
    });
  });

  it('the order of solos changes no count', () => {
    const plain = (use: ReturnType<typeof neckUse>) => [use.rows, use.tones, use.ticks, use.bent];
    expect(plain(neckUse(toneTable([...demo].reverse())))).toEqual(plain(neckUse(table)));
  });
});

describe('the position of the hand', () => {
  it('is where four neighbouring frets hold most, open strings counting in the whole', () => {
    const found = toneTable([one]);
    expect(handPosition(found, neckUse(found))).toEqual({ from: 5, to: 8, amount: 4, share: { share: 0.8 } });
    expect(handPosition(found, neckUse(found), 'ticks')?.share.share).toBeCloseTo(5 / 6);
  });

  it('begins at a fret that is played, and ends on the neck', () => {
    const from = (frets: string) => {
      const found = toneTable([written('made', `phrase 1\nat 1 1\n  ${frets}\n`)]);
      return handPosition(found, neckUse(found))?.from;
    };
    // Frets 4 to 7 hold as many as 5 to 8; of two positions that hold as many, the lower.
    expect(from('q 5@3 7@3 7@3 5@3')).toBe(5);
    expect(from('q 2@3 9@3 2@3 9@3')).toBe(2);
    expect(from('q 23@1 24@1')).toBe(21);
  });

  it('is undefined on open strings alone', () => {
    const open = toneTable([written('open', 'phrase 1\nat 1 1\n  h 0@1 0@2 |\n')]);
    expect(handPosition(open, neckUse(open))).toBeUndefined();
  });

  it('has an interval from five solos on, and holds no less than any other four frets', () => {
    const use = neckUse(table, { where: { player: 'Tobias Underlamp' } });
    const hand = handPosition(table, use);
    expect(hand?.share.low).toBeLessThan(hand?.share.share as number);
    const from = (fret: number) =>
      use.rows.filter((r) => r.fret >= fret && r.fret < fret + 4).reduce((sum, r) => sum + r.tones, 0);
    for (let fret = 1; fret < 22; fret++) expect(from(fret)).toBeLessThanOrEqual(hand?.amount as number);
    expect(from(hand?.from as number)).toBe(hand?.amount);
    const four = toneTable(demo.slice(0, 4));
    expect(handPosition(four, neckUse(four))?.share).not.toHaveProperty('low');
  });
});
