// What a teacher would say of a phrase in one breath: how it comes in, where it is from, what it plays, how it meets the changes, how it ends.

import type { ToneTable } from '../solo/tone-table.js';
import { bendWords, gesturesOf } from './phrase-bend-words.js';
import { changesOfPhrase } from './phrase-change-words.js';
import { endingWords, entryWords } from './phrase-ending-words.js';
import { isCurled, type PhraseFacts, phraseFacts } from './phrase-facts.js';
import { notesWords } from './phrase-notes-words.js';
import type { Relation } from './phrase-relation-kinds.js';
import { isRepeat, sourceWords } from './phrase-source-words.js';
import { type Technique, techniqueOf } from './phrase-technique-words.js';
import { togetherWords } from './phrase-together-words.js';
import { capital } from './spoken.js';

/** A phrase in words. Each part is a sentence of its own, or some, and absent where there is nothing to say. */
export interface PhraseSentence {
  readonly solo: string;
  readonly player: string;
  readonly phrase: string;
  readonly name: string;
  /** How it comes in. */
  readonly entry: string;
  /** What it is of an earlier phrase of the solo. */
  readonly source?: string;
  /** Harmonics, a drone, a bend held under ringing strings, dead clicks. */
  readonly technique?: string;
  /** Which tones: the name of a scale or a chord that is heard whole, or the tones themselves. Absent where it is an earlier phrase again. */
  readonly notes?: string;
  /** Bends, pre-bends and curls, and what they reach. */
  readonly bends?: string;
  /** Strings that sound together. */
  readonly together?: string;
  /** What it plays where the chord changes. */
  readonly changes?: string;
  readonly ending: string;
  /** All parts in order. */
  readonly said: string;
}

/**
 * A few sentences for each phrase of a table, in order of solos and time; phrases of dead notes only are passed over.
 * Nothing is weighed: every word can be checked at the place it names.
 * @param relations what `relationsOf(table)` gave, where it is known already. Default: found anew
 * @example
 * const table = toneTable([{ id: 'two-doors-down', solo: parseSoloOrThrow(EXAMPLE_SOLO) }])
 * phraseSentences(table)[0]?.ending // => 'Ends on the root of Am7 (A4), on beat 3 of bar 1.'
 */
export function phraseSentences(table: ToneTable, relations?: readonly Relation[]): readonly PhraseSentence[] {
  return phraseFacts(table, relations).map((f): PhraseSentence => {
    const parts = partsOf(f);
    const { solo, player, phrase } = f.entry;
    return { solo, player, phrase, name: f.phrase.name, ...parts, said: Object.values(parts).join(' ') };
  });
}

/** The parts in order; of an earlier phrase again only how it stands in its place. */
function partsOf(f: PhraseFacts): Omit<PhraseSentence, 'solo' | 'player' | 'phrase' | 'name' | 'said'> {
  const again = isRepeat(f);
  const technique: Technique = again ? { bends: [], ringing: [] } : techniqueOf(f);
  const gestures = gesturesOf(f);
  const bent = new Set(gestures.filter(({ curl }) => !curl).flatMap(({ rows }) => rows));
  const changes = changesOfPhrase(f, again ? new Set() : bent);
  const onEntry = f.entry.fromChange === 0 ? [f.entry.row] : [];
  const curlsTold = [...changes.rows, ...onEntry, f.ending.row].filter((row) => !bent.has(row) && isCurled(f, row));
  const bends: ReturnType<typeof bendWords> = again
    ? { rows: [] }
    : bendWords(f, new Set([...technique.bends, ...curlsTold]));
  const ringing = new Set(technique.ringing);
  const together = again ? undefined : togetherWords(f, ringing);
  const source = sourceWords(f);
  const told = new Set([...technique.bends, ...bends.rows, ...changes.listed.slice(-1)]);
  return {
    entry: `${entryWords(f, new Set([...(again ? [] : bent), ...changes.listed]))}.`,
    ...(source !== undefined && { source: `${source}.` }),
    ...(technique.said !== undefined && { technique: technique.said }),
    ...(!again && { notes: `${capital(notesWords(f, changes.patterned))}.` }),
    ...(bends.said !== undefined && { bends: bends.said }),
    ...(together !== undefined && { together }),
    ...(changes.said !== undefined && { changes: changes.said }),
    ending: endingWords(f, told, ringing),
  };
}
