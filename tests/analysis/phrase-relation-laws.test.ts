// What must hold of the relations of any phrases.
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { relationsOf } from '../../lib/analysis/phrase-relation.js';
import type { Relation } from '../../lib/analysis/phrase-relation-kinds.js';
import { LEAST } from '../../lib/analysis/phrase-relation-kinds.js';
import { fret } from '../../lib/foundation/units.js';
import { type NamedSolo, toneTable } from '../../lib/solo/tone-table.js';
import { solos as anySolos } from '../arbitraries.js';
import { asNamed } from './made.js';
import { relatedCorpora } from './made-phrases.js';

const all = (solos: readonly NamedSolo[]) => relationsOf(toneTable(solos), { within: 'corpus' });
const facts = ({ kind, viewpoint, extent, a, b, evidence: { count, displacement, stretch } }: Relation) =>
  JSON.stringify({ kind, viewpoint, extent, a, b, count, displacement, stretch });

/** All phrases of a solo moved up the neck. */
const movedUp = ({ id, solo }: NamedSolo, frets: number): NamedSolo => ({
  id,
  solo: {
    ...solo,
    phrases: solo.phrases.map((phrase) => ({
      ...phrase,
      notes: phrase.notes.map((note) => ({ ...note, fret: fret(note.fret + frets) })),
    })),
  },
});

describe('laws of relations', () => {
  it('a corpus moved up the neck as a whole keeps them; variations, which know the scale, aside', () => {
    fc.assert(
      fc.property(relatedCorpora, fc.integer({ min: 1, max: 4 }), (solos, frets) => {
        const kept = (relations: readonly Relation[]) =>
          relations
            .filter((r) => r.kind !== 'varied')
            .map(facts)
            .sort();
        // A variation is looked for only where nothing says it whole, so the others do not hang on it.
        expect(kept(all(solos.map((solo) => movedUp(solo, frets))))).toEqual(kept(all(solos)));
      }),
      { numRuns: 60, seed: 5 },
    );
  });

  it('one of two solos moved: same becomes transposed, what is read in steps and rhythm is kept', () => {
    fc.assert(
      fc.property(relatedCorpora, fc.integer({ min: 1, max: 4 }), (solos, frets) => {
        const [one, two] = [solos[0] as NamedSolo, { ...(solos[0] as NamedSolo), id: 'again' }];
        const between = (relations: readonly Relation[]) =>
          relations.filter((r) => r.a.solo !== r.b.solo && r.extent === 'whole' && r.a.phrase === r.b.phrase);
        const before = between(all([one, two])).filter((r) => r.kind === 'same');
        const after = between(all([one, movedUp(two, frets)]));
        expect(after.filter((r) => r.kind === 'same')).toEqual([]);
        for (const { a, evidence } of before) {
          const moved = after.find((r) => r.kind === 'transposed' && r.a.phrase === a.phrase);
          expect(moved?.evidence).toMatchObject({ count: evidence.count, transposition: frets });
        }
      }),
      { numRuns: 40, seed: 5 },
    );
  });

  it('of solos in another order, kinds without a direction hold the other way round', () => {
    const directed = new Set(['takes-up-the-tail', 'answers', 'sequence']);
    const turned = (r: Relation) =>
      JSON.stringify([r.kind, r.viewpoint, r.extent, [r.a, r.b].map((p) => `${p.solo} ${p.phrase}`).sort()]);
    fc.assert(
      fc.property(relatedCorpora, (solos) => {
        const between = (relations: readonly Relation[]) =>
          relations
            .filter((r) => r.a.solo !== r.b.solo && !directed.has(r.kind) && r.extent !== 'tail')
            .map(turned)
            .sort();
        expect(between(all([...solos].reverse()))).toEqual(between(all(solos)));
      }),
      { numRuns: 60, seed: 5 },
    );
  });

  it('every relation keeps its least length, and its tones are where it says', () => {
    fc.assert(
      fc.property(relatedCorpora, (solos) => {
        const table = toneTable(solos);
        const { pitch, onset } = table.columns;
        for (const { kind, viewpoint, extent, evidence } of relationsOf(table, { within: 'corpus' })) {
          const { tonesA, tonesB, count, transposition, stretch } = evidence;
          if (kind !== 'sequence' && kind !== 'varied') expect(count).toBeGreaterThanOrEqual(LEAST.whole);
          if (kind === 'contains') expect(count).toBeGreaterThanOrEqual(LEAST.inside);
          if (kind === 'rhythm-only') expect(count).toBeGreaterThanOrEqual(LEAST.oneThing);
          if (kind === 'ornamented' || kind === 'varied' || kind === 'answers') continue;
          for (let k = 0; k < count; k++) {
            const [a, b] = [tonesA[k] as number, tonesB[k] as number];
            if (transposition !== undefined)
              expect((pitch[b] as number) - (pitch[a] as number)).toBe(transposition * 100);
            if (!viewpoint.includes('durations') || kind === 'sequence') continue;
            const [fromA, fromB] = [onset[tonesA[0] as number] as number, onset[tonesB[0] as number] as number];
            expect((onset[b] as number) - fromB).toBe((onset[a] as number) - fromA);
          }
          if (kind === 'stretched') expect(stretch).not.toBe(1);
          if (kind === 'same' || kind === 'same-opening' || kind === 'same-ending') expect(transposition).toBe(0);
          if (kind === 'transposed') expect(transposition).not.toBe(0);
          expect(['whole', 'opening', 'ending', 'tail', 'inside', 'run']).toContain(extent);
        }
      }),
      { numRuns: 100, seed: 6 },
    );
  });

  it('any solo at all has relations that can be said, and the same ones each time', () => {
    fc.assert(
      fc.property(fc.array(anySolos, { minLength: 1, maxLength: 3 }), (list) => {
        const relations = all(asNamed(list));
        expect(all(asNamed(list))).toEqual(relations);
        for (const { said } of relations) expect(said).not.toMatch(/undefined|NaN|null|Infinity/);
      }),
      { numRuns: 60, seed: 3 },
    );
  });
});
