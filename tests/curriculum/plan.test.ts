// Plans over the demo and over generated corpora: what is needed is known or taught, drills are on the neck and fit their bars, reasons are true.
import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { relate } from '../../lib/analysis/phrase-relation.js';
import { difficultyOf } from '../../lib/curriculum/difficulty.js';
import { knowledgeOf } from '../../lib/curriculum/knowledge.js';
import { type LessonPlan, lessonPlan } from '../../lib/curriculum/plan.js';
import { REVIEW_MINUTES } from '../../lib/curriculum/plan-steps.js';
import { readStudent, type Student } from '../../lib/curriculum/student.js';
import { pitchAt } from '../../lib/guitar/fretboard.js';
import { parseSolo } from '../../lib/notation/parser.js';
import { printSolo } from '../../lib/notation/printer.js';
import { gridOf, type Solo } from '../../lib/solo/solo.js';
import { type NamedSolo, toneTable } from '../../lib/solo/tone-table.js';
import { demo } from '../analysis/made.js';
import { solos } from '../arbitraries.js';

const student = (name: string): Student =>
  readStudent(readFileSync(`data/students/${name}.yaml`, 'utf8'), name).value as Student;
const STUDENTS = ['pip', 'wren', 'osk'].map(student);
const goalOf = (id: string): NamedSolo => demo.find((named) => named.id === id) as NamedSolo;

/** No fault where the whole solo has none, no note off the neck, every bar full. */
function isSound(solo: Solo, what: string): void {
  const { diagnostics, value } = parseSolo(printSolo(solo), what);
  expect(
    diagnostics.filter(({ severity }) => severity === 'fault').map(({ message }) => `${what}: ${message}`),
  ).toEqual([]);
  expect(value?.phrases).toHaveLength(solo.phrases.length);
  for (const note of solo.phrases[0]?.notes ?? [])
    if (note.kind === 'fretted') expect(pitchAt(solo.guitar, note.string, note.fret), what).toBeDefined();
}

/** What each tone of a piece is over its chord. */
const degreesOf = (solo: Solo): readonly number[] => [...toneTable([{ id: 'piece', solo }]).columns.degree];

function keepsItsWord(plan: LessonPlan, corpus: readonly NamedSolo[]): void {
  const table = toneTable(corpus.filter(({ id }) => plan.solos.includes(id)));
  const needs = new Map(knowledgeOf(table).map((p) => [`${p.solo} ${p.phrase}`, p.needs]));
  const learned = new Set(plan.known);
  const phrases: string[] = [];
  plan.steps.forEach((step, k) => {
    expect(step.number).toBe(k + 1);
    for (const item of step.new) {
      expect(learned.has(item.id), `${item.id} in step ${step.number} is new`).toBe(false);
      for (const before of item.after) expect(learned.has(before), `${item.id} after ${before}`).toBe(true);
    }
    for (const { id } of step.new) learned.add(id);
    isSound(step.piece, step.title);
    for (const { exercise, kind, check } of step.drills) {
      isSound(exercise.solo, `${step.title}: ${exercise.title}`);
      if (kind === 'bend')
        expect(check?.every((at) => pitchAt(exercise.solo.guitar, at.string, at.fret) !== undefined)).toBe(true);
    }
    for (const { exercise, kind } of step.moves) {
      isSound(exercise.solo, `${step.title}: ${exercise.title}`);
      if (kind === 'another chord') expect(degreesOf(exercise.solo), exercise.title).toEqual(degreesOf(step.piece));
    }
    if (step.kind !== 'phrase') return;
    const id = `${step.solo} ${step.phrase}`;
    for (const item of needs.get(id) ?? []) expect(learned.has(item.id), `${item.id} for ${step.title}`).toBe(true);
    if (step.reuses) {
      const source = plan.steps[step.reuses.step - 1] as (typeof plan.steps)[number];
      expect(source.number).toBeLessThan(step.number);
      const relations = relate(
        table,
        { solo: source.solo, phrase: source.phrase as string },
        { solo: step.solo, phrase: step.phrase as string },
      );
      expect(relations.some(({ said }) => (step.reuses?.said ?? '').endsWith(said))).toBe(true);
    }
    phrases.push(id);
  });
  expect([...phrases].sort()).toEqual([...needs.keys()].sort());
  expect(plan.steps.map(({ kind }) => kind === 'whole').indexOf(true)).toBe(
    plan.solos.length === 1 ? plan.steps.length - 1 : -1,
  );
}

describe('plans over the demo', () => {
  it.each(demo.map(({ id }) => id))('%s: keeps its word for three students', (id) => {
    for (const who of STUDENTS) keepsItsWord(lessonPlan(demo, { student: who, goal: id }), demo);
  });
  it('all of a player', () => {
    const own = demo.filter(({ solo }) => solo.player === 'Tobias Underlamp');
    const plan = lessonPlan(own);
    keepsItsWord(plan, own);
    expect(plan.order.cost).toBeLessThanOrEqual(
      Math.min(plan.order.simple.asGiven, plan.order.simple.easiestFirst, plan.order.simple.nextBest),
    );
  });
});

describe('plans over generated corpora', () => {
  it('50 of them keep their word', () => {
    const made = fc
      .sample(solos, { seed: 7, numRuns: 700 })
      .filter((solo) =>
        solo.phrases.some(({ notes }) => notes.some(({ kind, grace }) => kind === 'fretted' && grace === 0)),
      )
      .filter((solo) => parseSolo(printSolo(solo), 'made').diagnostics.length === 0)
      .slice(0, 50);
    expect(made).toHaveLength(50);
    for (const [k, solo] of made.entries()) {
      const corpus = [{ id: `made-${k}`, solo }];
      if (knowledgeOf(toneTable(corpus)).length === 0) continue;
      keepsItsWord(lessonPlan(corpus, { student: STUDENTS[k % 3] as Student }), corpus);
    }
  });
});

describe('three students, one goal', () => {
  const plans = STUDENTS.map((who) => lessonPlan(demo, { student: who, goal: 'ticket-window' }));
  const order = (plan: LessonPlan) => plan.steps.map(({ title }) => title).join(' | ');
  it('get three orders', () => {
    expect(new Set(plans.map(order)).size).toBe(3);
  });
  it('each difference comes from the profile: the same profile gives the same plan, whatever its name', () => {
    for (const [k, who] of STUDENTS.entries())
      expect(order(lessonPlan(demo, { student: { ...who, name: 'another' }, goal: 'ticket-window' }))).toBe(
        order(plans[k] as LessonPlan),
      );
  });
  it('nothing that is known is called new; what one knows and another does not is new for the other only', () => {
    for (const plan of plans) {
      const fresh = plan.steps.flatMap((step) => step.new.map(({ id }) => id));
      for (const id of plan.known) expect(fresh).not.toContain(id);
    }
    const [pip, wren, osk] = plans as [LessonPlan, LessonPlan, LessonPlan];
    const fresh = (plan: LessonPlan) => new Set(plan.steps.flatMap((step) => step.new.map(({ id }) => id)));
    expect(
      fresh(pip).has('whole-step bend') && !fresh(wren).has('whole-step bend') && !fresh(osk).has('whole-step bend'),
    ).toBe(true);
    expect(fresh(pip).has('pull-off') && fresh(wren).has('pull-off') && !fresh(osk).has('pull-off')).toBe(true);
  });
  it('a ceiling caps every tempo and lowers difficulties', () => {
    const [pip] = plans as [LessonPlan];
    for (const step of pip.steps) expect(Math.max(...step.tempos)).toBeLessThanOrEqual(80);
    const fast = goalOf('tide-table');
    const slow = lessonPlan([fast], { student: { ...(STUDENTS[0] as Student), tempoCeiling: 50 } });
    for (const step of slow.steps)
      if (step.phrase !== undefined)
        expect(step.difficulty).toBeLessThanOrEqual(difficultyOf(fast.solo, step.phrase).points + 1e-9);
  });
  it('positions to be avoided come last', () => {
    const plan = lessonPlan(demo, { student: STUDENTS[0] as Student, goal: 'wet-rope' });
    const late = plan.steps.map(({ new: fresh }) => fresh.some(({ id }) => /^position 1[2-7]$/.test(id)));
    expect(late.filter(Boolean).length).toBeGreaterThan(0);
    const first = late.indexOf(true);
    expect(plan.steps.slice(first).every(({ kind }) => kind !== 'ground')).toBe(true);
    const rest = plan.steps.slice(first).filter(({ kind }) => kind !== 'whole');
    expect(late.slice(first, first + rest.length)).toEqual(rest.map(() => true));
  });
  it('weeks hold no more minutes than there are, and all minutes of all steps', () => {
    for (const [k, plan] of plans.entries()) {
      for (const { minutes } of plan.weeks) expect(minutes).toBeLessThanOrEqual((STUDENTS[k] as Student).minutesAWeek);
      const work = plan.weeks.reduce((sum, w) => sum + w.minutes - w.reviews.length * REVIEW_MINUTES, 0);
      expect(work).toBe(plan.steps.reduce((sum, { minutes }) => sum + minutes, 0));
      for (const step of plan.steps) {
        expect(plan.weeks[step.week - 1]?.steps).toContain(step.number);
        expect(step.day).toBeGreaterThanOrEqual((step.week - 1) * 7 + 1);
        expect(step.day).toBeLessThanOrEqual(step.week * 7);
      }
    }
  });
});

describe('a goal that is not there', () => {
  it('is refused with the nearest one', () => {
    expect(() => lessonPlan(demo, { goal: 'ticket-windwo' })).toThrow(
      'the goal "ticket-windwo" is none of the solos; ticket-window is meant?',
    );
  });
  it('a corpus without phrases is refused', () => {
    expect(() => lessonPlan([])).toThrow('there is no phrase to learn: the solos are empty');
  });
});

it('the bars of every step of a plan are those of its solo', () => {
  const plan = lessonPlan(demo, { goal: 'waiting-room-waltz' });
  for (const { piece } of plan.steps) expect(gridOf(piece).bar(1).meter.over).toBe(3);
});
