// Plans over the demo and over generated corpora: what is needed is known or taught, drills are on the neck and fit their bars, reasons are true.
import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { relate } from '../../lib/analysis/phrase-relation.js';
import { difficultyOf } from '../../lib/curriculum/difficulty.js';
import { knowledgeOf } from '../../lib/curriculum/knowledge.js';
import { type LessonPlan, lessonPlan } from '../../lib/curriculum/plan.js';
import { type PlanStep, REVIEW_MINUTES } from '../../lib/curriculum/plan-steps.js';
import { BUNDLES } from '../../lib/curriculum/plan-summary.js';
import { readStudent, type Student } from '../../lib/curriculum/student.js';
import { pitchAt } from '../../lib/guitar/fretboard.js';
import { parseSolo } from '../../lib/notation/parser.js';
import { printSolo } from '../../lib/notation/printer.js';
import { gridOf, type Solo } from '../../lib/solo/solo.js';
import { type NamedSolo, type ToneTable, toneTable } from '../../lib/solo/tone-table.js';
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

/** What is said of a step as a change is true of a relation of the two phrases, and told of the phrase that is taught now. */
function isTold(plan: LessonPlan, step: PlanStep, table: ToneTable): void {
  const { reuses } = step;
  if (!reuses) return;
  const of = (number: number) => plan.steps[number - 1] as PlanStep;
  for (const number of [reuses.step, ...(reuses.also === undefined ? [] : [reuses.also])]) {
    const source = of(number);
    expect(source.number).toBeLessThan(step.number);
    expect(source.kind).toBe('phrase');
    expect(reuses.said).toContain(`phrase ${source.phrase}`);
    if (source.phrase !== step.phrase) expect(reuses.said).not.toMatch(new RegExp(`phrase ${step.phrase}(?!\\d| of )`));
    const relations = relate(
      table,
      { solo: source.solo, phrase: source.phrase as string },
      { solo: step.solo, phrase: step.phrase as string },
    );
    const counts = [...reuses.said.matchAll(/(\d+) notes?\b/g)].map(([, n]) => Number(n));
    expect(relations.length).toBeGreaterThan(0);
    if (counts.length > 0 && reuses.also === undefined)
      expect(
        relations.some(({ evidence }) => counts.includes(evidence.count)),
        reuses.said,
      ).toBe(true);
  }
  const moved = /(one|\d) strings? (lower|higher): start at (\d+)@(\d)/.exec(reuses.said);
  if (moved) {
    const by = (moved[1] === 'one' ? 1 : Number(moved[1])) * (moved[2] === 'lower' ? 1 : -1);
    const notes = (s: PlanStep) =>
      (s.piece.phrases[0]?.notes ?? []).filter(({ grace, kind }) => grace === 0 && kind === 'fretted');
    expect(notes(step).map(({ string, fret }) => [string, fret])).toEqual(
      notes(of(reuses.step)).map(({ string, fret }) => [string + by, fret]),
    );
    expect(notes(step)[0]).toMatchObject({ fret: Number(moved[3]), string: Number(moved[4]) });
  }
  if (reuses.also === undefined) return;
  const [head, tail] = [...reuses.said.matchAll(/(\d+) notes?\)/g)].map(([, n]) => Number(n)) as [number, number];
  const frets = (s: PlanStep) =>
    (s.piece.phrases[0]?.notes ?? []).filter(({ grace, kind }) => grace === 0 && kind !== 'on').map(({ fret }) => fret);
  expect(frets(step).length).toBeGreaterThanOrEqual(Math.max(head, tail));
}

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
    if (step.reuses) isTold(plan, step, table);
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
    const known = new Map(knowledgeOf(toneTable([goalOf('wet-rope')])).map((p) => [p.phrase, p]));
    const late = plan.steps
      .filter(({ kind }) => kind === 'phrase')
      .map(({ phrase }) => {
        const { needs = [], frets = [] } = known.get(phrase as string) ?? {};
        const high = frets.filter((fret) => fret >= 12 && fret <= 17).length;
        return needs.some(({ id }) => /^position 1[2-7]$/.test(id)) || high > frets.length / 2;
      });
    expect(late.filter(Boolean).length).toBe(4);
    expect(late.slice(late.indexOf(true)).every(Boolean)).toBe(true);
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

describe('a step brings one new technique at most, each alone before the phrase that needs it', () => {
  const everything = [...demo];
  it.each(['pip', 'wren'])('%s', (name) => {
    for (const { id } of everything.slice(0, 12)) {
      const plan = lessonPlan(demo, { student: student(name), goal: id });
      for (const step of plan.steps) {
        const techniques = step.new.filter(({ isAlone }) => isAlone);
        expect(techniques.length, step.title).toBeLessThanOrEqual(1);
        if (step.kind === 'phrase' || step.kind === 'whole') expect(techniques, step.title).toEqual([]);
      }
    }
  });
  it('nothing is prepared for somebody who knows it all, and nothing stands before the phrases', () => {
    for (const { id } of demo) {
      const plan = lessonPlan(demo, { student: student('osk'), goal: id });
      expect(plan.steps.map(({ kind }) => kind).filter((kind) => kind !== 'phrase' && kind !== 'whole')).toEqual([]);
    }
  });
  it('bends come in their order: half, whole, held', () => {
    const steps = lessonPlan(demo, { student: student('pip'), goal: 'ticket-window' }).steps;
    const at = (id: string) => steps.findIndex((step) => step.new.some((item) => item.id === id));
    expect(at('half-step bend')).toBeGreaterThan(-1);
    expect(at('half-step bend')).toBeLessThan(at('whole-step bend'));
    expect(at('half-step bend')).toBeLessThan(at('bend held under other strings'));
    expect(steps[at('half-step bend')]?.title).toBe('prepare: half-step bend');
  });
});

describe('differences of the orders are traced to the profiles', () => {
  const phrasesOf = (who: Student, goal = 'ticket-window') =>
    lessonPlan(demo, { student: who, goal }).steps.flatMap(({ phrase }) => phrase ?? []);
  const [pip, wren] = STUDENTS as [Student, Student];
  const comesBefore = (order: readonly string[], a: string, b: string) => order.indexOf(a) < order.indexOf(b);
  it('who bends gets the held bend before the pull-offs; without the bends in the profile it comes after them', () => {
    expect(comesBefore(phrasesOf(wren), '10', '1')).toBe(true);
    const without = { ...wren, knows: wren.knows.filter((name) => !/bend/.test(name)) };
    expect(comesBefore(phrasesOf(without), '10', '1')).toBe(false);
    expect(comesBefore(phrasesOf(pip), '10', '1')).toBe(false);
  });
  it('with the legato added to the profile the pull-offs come first again', () => {
    expect(comesBefore(phrasesOf({ ...wren, knows: [...wren.knows, 'legato'] }), '1', '10')).toBe(true);
  });
  it('the single notes alone tell a beginner: with them the steps of the first notes go', () => {
    const steps = lessonPlan(demo, {
      student: { ...pip, knows: [...pip.knows, 'single notes', 'eighths'] },
      goal: 'ticket-window',
    }).steps;
    expect(steps.some((step) => step.new.some(({ id }) => id === 'single notes' || id === 'eighths'))).toBe(false);
    const own = lessonPlan(demo, { student: pip, goal: 'ticket-window' }).steps;
    expect(own[0]?.new.map(({ id }) => id)).toEqual(['single notes', 'position 5']);
    expect(own[1]?.new.map(({ id }) => id)).toEqual(['eighths']);
    expect(own.slice(0, 4).map(({ kind }) => kind)).toContain('phrase');
  });
});

describe('what a plan says of itself', () => {
  it.each(['pip', 'wren', 'osk'])('%s: the weeks of the summary are those of the steps', (name) => {
    for (const goal of ['ticket-window', 'wet-rope']) {
      const plan = lessonPlan(demo, { student: student(name), goal });
      const needs = new Map(knowledgeOf(toneTable([goalOf(goal)])).map((p) => [p.phrase, p.needs.map(({ id }) => id)]));
      const weekOf = (bundle: string, isNew: boolean) => {
        const ids = (BUNDLES.find(([called]) => called === bundle) as (typeof BUNDLES)[number])[1];
        return plan.steps.find((step) =>
          isNew
            ? step.new.some(({ id }) => ids.includes(id))
            : (needs.get(step.phrase ?? '') ?? []).some((id) => ids.includes(id) && plan.known.includes(id)),
        )?.week;
      };
      const told = [...plan.summary.matchAll(/(?:^[^:]*: |; |, | and |to you: )([a-z- ]+?) (from|in) week (\d+)/g)];
      expect(told.length > 0, plan.summary).toBe(name !== 'osk');
      for (const [, bundle, how, week] of told)
        expect(weekOf(bundle as string, how === 'in'), `${plan.summary} ${bundle}`).toBe(Number(week));
    }
  });
  it('the sum of the minutes comes out as it is printed', () => {
    for (const who of STUDENTS)
      for (const { minutesSaid, minutes, kind } of lessonPlan(demo, { student: who, goal: 'wet-rope' }).steps) {
        expect(minutesSaid).toContain(`at least ${minutes} minutes`);
        if (kind === 'whole') continue;
        const sum = /\((.*), up to the next five\)/.exec(minutesSaid)?.[1] ?? '';
        const total = sum.split(' + ').reduce((all, term) => {
          const [, per, amount] = /^(?:(\d+) x )?([\d.]+)/.exec(term) as RegExpExecArray;
          return all + Number(per ?? 1) * Number(amount);
        }, 0);
        expect(Math.ceil(total / 5 - 1e-9) * 5).toBe(minutes);
      }
  });
  it('what falls due in its own week is on the table of that week', () => {
    const plan = lessonPlan(demo, { student: STUDENTS[1] as Student, goal: 'ticket-window' });
    expect(plan.weeks.some(({ steps, reviews }) => reviews.some((n) => steps.includes(n)))).toBe(true);
  });
  it('a bridge is a phrase of another solo that has the new thing and no other technique that is new', () => {
    const plan = lessonPlan(demo, { student: STUDENTS[0] as Student, goal: 'ticket-window' });
    const learned = new Set(plan.known);
    let bridges = 0;
    for (const step of plan.steps) {
      const { bridge } = step;
      if (bridge) {
        bridges++;
        expect(bridge.solo).not.toBe('ticket-window');
        const needs =
          knowledgeOf(toneTable([goalOf(bridge.solo)])).find(({ phrase }) => phrase === bridge.phrase)?.needs ?? [];
        const fresh = needs.filter(({ id, kind }) => !learned.has(id) && (kind === 'technique' || kind === 'rhythm'));
        expect(fresh.map(({ id }) => id)).toEqual(step.new.map(({ id }) => id));
      }
      for (const { id } of step.new) learned.add(id);
    }
    expect(bridges).toBeGreaterThan(0);
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
