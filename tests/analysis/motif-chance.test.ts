// Whether what is called a finding, or a player's own, is false as often as it says: 200 shuffled corpora, 4 solos of one player against 36 of the other.
import { describe, expect, it } from 'vitest';
import { findMotifs } from '../../lib/analysis/motif.js';
import { createRandom, type Random, shuffle } from '../../lib/foundation/random.js';
import { type ToneTable, toneTable } from '../../lib/solo/tone-table.js';
import { binomialInterval } from '../math/binomial.js';
import { madeSolo } from './made-phrases.js';

const STATED = 0.05;
const CORPORA = 200;
const SOLOS = 40;
const TONES = 12;
const [low, high] = binomialInterval(CORPORA, STATED, 0.01);

/** Forty solos of even eighths at random, the first four by the one player; what a phrase holds is laid over its first tones. */
function made(random: Random, holds: (solo: number, phrase: number) => readonly number[] = () => []): ToneTable {
  const frets = [1, 3, 5, 6, 8, 10, 12, 13];
  return toneTable(
    Array.from({ length: SOLOS }, (_, s) => {
      const phrases = Array.from({ length: 1 + ((s * 7) % 5) }, (_, p) => {
        const held = holds(s, p);
        const notes = Array.from({ length: TONES }, (_, t) => ({
          fret: held[t] ?? (frets[random.int(frets.length)] as number),
          string: 2,
          sixteenths: 2,
        }));
        return { after: 4, notes };
      });
      return madeSolo(`s${s}`, s < 4 ? 'Ada Fenwick' : 'Bo Marsh', phrases, ['C']);
    }),
  );
}

/** The same corpus, the pitches of each phrase in random order. */
function shuffled(table: ToneTable, random: Random): ToneTable {
  const pitch: Int16Array = table.columns.pitch.slice();
  for (let from = 0; from < table.rows; from += TONES)
    pitch.set(shuffle([...pitch.subarray(from, from + TONES)], random), from);
  return { ...table, columns: { ...table.columns, pitch } };
}

describe('4 solos against 36, 200 shuffled corpora, stated rate 0.05', () => {
  it('tones shuffled within phrases: any finding at all as often as stated, any motif called a player’s own no oftener', () => {
    const random = createRandom(41);
    const table = made(random);
    let [findings, own] = [0, 0];
    for (let c = 0; c < CORPORA; c++) {
      const { motifs } = findMotifs(shuffled(table, random), { nullRuns: 40, seed: c });
      if (motifs.some((m) => (m.falseDiscoveryRate as number) <= STATED)) findings++;
      if (motifs.some((m) => m.distinctiveness?.isTheirs)) own++;
    }
    expect(findings).toBeGreaterThanOrEqual(low);
    expect(findings).toBeLessThanOrEqual(high);
    expect(own).toBeLessThanOrEqual(high);
  }, 120_000);

  it('motifs that are really there, solos dealt to the players at random: called a player’s own as often as stated', () => {
    const random = createRandom(42);
    // Ten motifs, each in about a quarter of the phrases: that they are there is no chance, whose they are is.
    const motifs = Array.from({ length: 10 }, () => Array.from({ length: 6 }, () => 1 + random.int(14)));
    const table = made(random, () => (random.int(8) < 7 ? (motifs[random.int(10)] as number[]) : []));
    let own = 0;
    for (let c = 0; c < CORPORA; c++) {
      const playerOfSolo = shuffle([...table.playerOfSolo], random);
      const found = findMotifs({ ...table, playerOfSolo }, { nullRuns: 1, seed: c }).motifs;
      if (found.some((m) => (m.distinctiveness?.chance as number) <= STATED)) own++;
    }
    expect(own).toBeGreaterThanOrEqual(low);
    expect(own).toBeLessThanOrEqual(high);
  }, 120_000);
});
