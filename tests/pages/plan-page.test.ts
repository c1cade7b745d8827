// The page of a lesson plan: whole, self-contained, its links lead somewhere, foreign text is escaped; and the same plan as Markdown.
import { describe, expect, it } from 'vitest';
import { lessonLadder } from '../../lib/charts/lesson-ladder.js';
import { lessonPlan } from '../../lib/curriculum/plan.js';
import { ANY_STUDENT } from '../../lib/curriculum/student.js';
import { planMarkdown } from '../../lib/pages/plan-markdown.js';
import { planPage } from '../../lib/pages/plan-page.js';
import { demo } from '../analysis/made.js';

const named = demo.find(({ id }) => id === 'wet-rope') as (typeof demo)[number];
const hostile = { ...named, solo: { ...named.solo, title: '<script>alert(1)</script> "Rope" & | co' } };
const plan = lessonPlan([hostile], { student: { ...ANY_STUDENT, name: '<b>Pip</b>' } });

describe('planPage', () => {
  it('asks for nothing from outside, and every link inside leads to a step or a section', async () => {
    const page = await planPage(plan);
    expect(page).not.toMatch(/(?:src|href)="(?!#|data:)/);
    const ids = new Set([...page.matchAll(/ id="([^"]+)"/g)].map(([, id]) => id));
    const links = [...page.matchAll(/href="#([^"]+)"/g)].map(([, id]) => id);
    expect(links.length).toBeGreaterThan(plan.steps.length);
    for (const id of links) expect(ids.has(id), id).toBe(true);
    for (const { number } of plan.steps) expect(ids.has(`step.${number}`)).toBe(true);
  });
  it('escapes what comes from files', async () => {
    const page = await planPage(plan);
    expect(page).not.toContain('<script>alert');
    expect(page).not.toContain('<b>Pip');
    expect(planMarkdown(plan)).not.toContain('<script>alert');
  });
  it('warns, and says what it does not claim', async () => {
    for (const text of [await planPage(plan), planMarkdown(plan)]) {
      expect(text).toContain('ask a teacher or a clinician');
      expect(text).toContain('nobody has measured');
      expect(text).toContain('unproven');
    }
  });
});

describe('lessonLadder', () => {
  it('has a mark for each step, an arc for each that is a change of another, all within the picture', () => {
    const { datasets, width, height } = lessonLadder(plan) as unknown as {
      datasets: Record<string, { x: number; y: number; arc?: number }[]>;
      width: number;
      height: number;
    };
    expect(datasets.marks).toHaveLength(plan.steps.length);
    expect(new Set(datasets.arcs?.map(({ arc }) => arc)).size).toBe(plan.steps.filter(({ reuses }) => reuses).length);
    for (const { x, y } of [...(datasets.marks ?? []), ...(datasets.arcs ?? [])]) {
      expect(x).toBeGreaterThanOrEqual(0);
      expect(x).toBeLessThanOrEqual(width);
      expect(y).toBeLessThanOrEqual(height);
      expect(y).toBeGreaterThanOrEqual(-30);
    }
  });
});
