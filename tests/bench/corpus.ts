// A corpus of about a million tones, made and read for the benches that ask questions of it.
import type { NamedSolo } from '../../lib/solo/tone-table.js';
import { corpusTexts } from './generator.js';
import { grouped } from './harness.js';
import { loadLibrary } from './library.js';

const SEED = 20160;
const SOLOS = 5130;
const CHORUSES = 3;
const PLAYERS = 24;

/** Solos in memory, and in words what they were made from. */
export interface MadeCorpus {
  readonly solos: readonly NamedSolo[];
  readonly inputs: string;
}

/** Makes the texts and reads them. */
export async function corpus(): Promise<MadeCorpus> {
  const { parseSoloOrThrow } = await loadLibrary();
  const solos = corpusTexts(SOLOS, CHORUSES, PLAYERS, SEED).map((text, i) => ({
    id: `study-${i}`,
    solo: parseSoloOrThrow(text),
  }));
  return {
    solos,
    inputs: `seeds ${SEED} to ${SEED + SOLOS - 1}, ${grouped(SOLOS)} solos of ${CHORUSES} choruses by ${PLAYERS} players`,
  };
}
