// What a lesson plan consists of, and the parts of one step: drills that fit what is new, tempos, minutes.

import type { Solo } from '../solo/solo.js';
import { type Drill, drillsOf } from './drills.js';
import type { MovedPhrase } from './phrase-moves.js';
import { tempoLadder } from './practice.js';
import type { Student } from './student.js';
import type { KnowledgeItem } from './technique-items.js';

/** What a step of a plan is: one before the phrases, one that prepares a technique, a phrase, or the whole solo at the end. */
export type StepKind = 'ground' | 'preparation' | 'phrase' | 'whole';

/** Where something was met before. */
export interface Reuse {
  /** Number of the earlier step. */
  readonly step: number;
  /** In words: `opens as phrase 2 for 5 notes`. */
  readonly said: string;
  /** Number of the step whose ending comes back, where `step` gives the opening alone. */
  readonly also?: number;
}

/** A phrase of another solo that brings one of the new things alone, to be played on the way if there is time. */
export interface Bridge {
  readonly solo: string;
  readonly phrase: string;
  readonly said: string;
}

/** One step of a plan. */
export interface PlanStep {
  /** From 1 on. */
  readonly number: number;
  readonly kind: StepKind;
  readonly title: string;
  readonly solo: string;
  /** Of a phrase: its id. */
  readonly phrase?: string;
  readonly why: string;
  /** What is new in it, in the order in which it is needed. */
  readonly new: readonly KnowledgeItem[];
  readonly newWeight: number;
  /** Weight of the notes that are to be remembered, as a change of what is known or from nothing. */
  readonly material: number;
  /** The earlier step that it is learned as a change of. */
  readonly reuses?: Reuse;
  /** Points of difficulty for the student, at the tempo it is learned at; an order, no grade. 0 for steps that are no phrases. */
  readonly difficulty: number;
  readonly hardest?: string;
  readonly cautions: readonly string[];
  /** What is played. */
  readonly piece: Solo;
  readonly drills: readonly Drill[];
  readonly moves: readonly MovedPhrase[];
  /** Quarter notes a minute, from slow to the goal. */
  readonly tempos: readonly number[];
  readonly minutes: number;
  /** How the minutes come about, and when to go on. */
  readonly minutesSaid: string;
  readonly bridge?: Bridge;
  /** Weeks from 1 on. */
  readonly week: number;
  readonly lastWeek: number;
  /** The day it is begun, from 1 on, and the days on which it is due again. */
  readonly day: number;
  readonly reviews: readonly number[];
}

/** A step before weeks and days are known. */
export type UndatedStep = Omit<PlanStep, 'week' | 'lastWeek' | 'day' | 'reviews'>;

/** The tempo that a student is asked for. */
export const goalTempo = (written: number, { tempoCeiling }: Student): number =>
  Math.min(written, tempoCeiling ?? written);

/** Tempos for a piece and a student. */
export const temposFor = (written: number, student: Student): readonly number[] =>
  tempoLadder(goalTempo(written, student));

/**
 * The drills that a step needs: its bends, for all but those who have every technique; the held bend, the shift and the entry where they are new, the join
 * where the phrase before has been learned.
 */
export function drillsFor(
  solo: Solo,
  phrase: string,
  fresh: readonly KnowledgeItem[],
  isLearned: (phrase: string) => boolean,
  student: Student,
): readonly Drill[] {
  const names = new Set(fresh.map(({ id }) => id));
  // A bend at a place of its own is checked by ear even by one who bends; not by one who has it all.
  const bends = !student.knows.includes('all techniques');
  const before = solo.phrases[solo.phrases.findIndex(({ id }) => id === phrase) - 1];
  const wanted: Readonly<Record<Drill['kind'], boolean>> = {
    bend: bends,
    'held bend': names.has('bend held under other strings'),
    legato: names.has('hammer-on') || names.has('pull-off'),
    shift: names.has('position shift'),
    join: before !== undefined && isLearned(before.id),
    entry: names.has('entry off the beat'),
  };
  const tempo = Math.max(40, Math.round(goalTempo(solo.tempo, student) * 0.6));
  // A join with the phrase behind, where that one came first.
  const next = solo.phrases[solo.phrases.findIndex(({ id }) => id === phrase) + 1];
  const onward = next !== undefined && isLearned(next.id) ? drillsOf(solo, next.id, { tempo, kinds: ['join'] }) : [];
  return [...drillsOf(solo, phrase, { tempo }).filter(({ kind }) => wanted[kind]), ...onward];
}

/** What the minutes of a step are made of. */
export interface Effort {
  /** Weight of the items that come new with other things. */
  readonly newWeight?: number;
  /** Weight of an item that is learned alone. */
  readonly alone?: number;
  /** Weight of the notes that are to be remembered. */
  readonly material?: number;
  readonly difficulty?: number;
}

const tenth = (x: number): number => Math.round(x * 10) / 10;

/**
 * Minutes that a step takes at least, and the sum in words: ten; three for each unit of what is new and of the notes to be remembered, ten for each unit of
 * a technique alone; one for each point of difficulty; up to the next five. All parts are rounded to tenths first, so that the printed sum comes out. A
 * plain estimate of this project; nobody has measured it. Change it with the teacher.
 * @example
 * minutesFor({ newWeight: 1.2, material: 1.65, difficulty: 3.13 }, 61)
 * // => { minutes: 25, said: 'at least 25 minutes (10 + 3 x 1.2 new + 3 x 1.7 to remember + 3.1 difficulty, up to the next five); stay until three clean passes at 61' }
 */
export function minutesFor(effort: Effort, tempo: number): { readonly minutes: number; readonly said: string } {
  const { newWeight = 0, alone = 0, material = 0, difficulty = 0 } = effort;
  const parts = [
    { per: 10, amount: tenth(alone), name: 'for what is practised alone' },
    { per: 3, amount: tenth(newWeight), name: 'new' },
    { per: 3, amount: tenth(material), name: 'to remember' },
    { per: 1, amount: tenth(difficulty), name: 'difficulty' },
  ].filter(({ amount }) => amount > 0);
  const sum = parts.reduce((total, { per, amount }) => total + per * amount, 10);
  const minutes = Math.ceil(sum / 5 - 1e-9) * 5;
  const terms = parts.map(({ per, amount, name }) => `${per === 1 ? '' : `${per} x `}${amount} ${name}`);
  return {
    minutes,
    said: `at least ${minutes} minutes (${['10', ...terms].join(' + ')}, up to the next five); stay until three clean passes at ${tempo}`,
  };
}

/** Minutes that going over a learned step takes. */
export const REVIEW_MINUTES = 3;
