// plan: from solos and a student to an order of steps, written as Markdown, as JSON and as a page with its ladder.
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { lessonLadder } from '../charts/lesson-ladder.js';
import { chartToSvg } from '../charts/render.js';
import { lessonPlan } from '../curriculum/plan.js';
import type { PlanStep } from '../curriculum/plan-steps.js';
import { ANY_STUDENT, readStudent, type Student } from '../curriculum/student.js';
import { diagnosticText, hasFaults } from '../foundation/diagnostic.js';
import { lineText, sourceText } from '../foundation/source-text.js';
import { writeBeside } from '../foundation/write-beside.js';
import { readCorpus } from '../intake/read-corpus.js';
import { printSolo } from '../notation/printer.js';
import { planMarkdown } from '../pages/plan-markdown.js';
import { planPage } from '../pages/plan-page.js';
import { count, type ExitCode, sayFaults, type Terminal } from './terminal.js';

/** What to plan. */
export interface PlanJobOptions {
  readonly out: string;
  /** A student's profile. */
  readonly student?: string;
  readonly goal?: string;
}

/** Plans lessons. Exit code 1 if any file had faults; nothing is written if the student cannot be read. */
export async function plan(paths: readonly string[], asked: PlanJobOptions, terminal: Terminal): Promise<ExitCode> {
  const student = asked.student === undefined ? ANY_STUDENT : studentFrom(asked.student, terminal);
  if (!student) return 1;
  const corpus = readCorpus(paths);
  const faulty = sayFaults(corpus, terminal, false);
  if (corpus.solos.length === 0) {
    terminal.err('no solo could be read, nothing is written');
    return 1;
  }
  let made: ReturnType<typeof lessonPlan>;
  try {
    made = lessonPlan(corpus.solos, { student, ...(asked.goal !== undefined && { goal: asked.goal }) });
  } catch (error) {
    if (!(error instanceof RangeError)) throw error;
    terminal.err(error.message);
    return 2;
  }
  const write = (name: string, text: string) => writeBeside(join(asked.out, name), text);
  const page = await planPage(made);
  const ladder = lessonLadder(made);
  write('plan.md', planMarkdown(made));
  write('plan.json', `${JSON.stringify({ ...made, steps: made.steps.map(stepJson) }, null, 1)}\n`);
  write('plan-ladder.vl.json', `${JSON.stringify(ladder, null, 1)}\n`);
  write('plan-ladder.svg', await chartToSvg(ladder));
  write('plan.html', page);
  for (const { week, steps, minutes } of made.weeks)
    terminal.out(
      `week ${week}, ${minutes} minutes: ${steps.map((n) => `${n} ${made.steps[n - 1]?.title ?? ''}`).join('; ')}`,
    );
  terminal.out(
    `\n${count(made.steps.length, 'step')} for ${student.name}. To read: ${join(asked.out, 'plan.html')}; also plan.md and plan.json there.`,
  );
  if (made.solos.length > 1) terminal.out('With one solo as --goal its scale, roots and chord tones come first.');
  terminal.out(
    'Bends, stretches and speed strain hands: warm up, rest, stop when it hurts, ask a teacher or a clinician.',
  );
  return faulty ? 1 : 0;
}

function studentFrom(path: string, terminal: Terminal): Student | undefined {
  let text: string;
  try {
    text = readFileSync(path, 'utf8');
  } catch (error) {
    terminal.err(
      `${path} cannot be read (${(error as { code?: string }).code ?? 'unknown'}); a profile is a YAML file such as data/students/pip.yaml`,
    );
    return undefined;
  }
  const { value, diagnostics } = readStudent(text, path);
  const source = sourceText(text);
  for (const d of diagnostics) terminal.err(diagnosticText(d, lineText(source, d.place.line)));
  return hasFaults(diagnostics) ? undefined : value;
}

/** A step with its pieces as solo text. */
function stepJson(step: PlanStep): unknown {
  const exercise = (e: {
    readonly exercise: { readonly title: string; readonly why: string; readonly solo: PlanStep['piece'] };
  }) => ({
    title: e.exercise.title,
    why: e.exercise.why,
    solo: printSolo(e.exercise.solo),
  });
  return {
    ...step,
    piece: printSolo(step.piece),
    drills: step.drills.map((d) => ({ kind: d.kind, ...(d.check && { check: d.check }), ...exercise(d) })),
    moves: step.moves.map((m) => ({ kind: m.kind, ...exercise(m) })),
  };
}
