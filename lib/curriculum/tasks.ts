// Tasks for improvising over the backing: one for each week, with one goal, made from what that week taught.

import { chordSpans, functionIn } from '../solo/harmony.js';
import { gridOf, type Solo } from '../solo/solo.js';
import { parseDegree } from '../theory/interval.js';
import type { PlanStep } from './plan-steps.js';
import type { PlanWeek } from './plan-weeks.js';
import type { KnowledgeItem } from './technique-items.js';

/** A task for a week. */
export interface Task {
  readonly week: number;
  /** The solo whose changes are the backing. */
  readonly solo: string;
  readonly said: string;
  /** The item that it is about; absent for the first task of all, home. */
  readonly about?: string;
}

/** For each week one task, about the heaviest new thing that can be improvised with and has had no task yet. */
export function tasksFor(
  steps: readonly PlanStep[],
  weeks: readonly PlanWeek[],
  solos: ReadonlyMap<string, Solo>,
): readonly Task[] {
  const used = new Set<string>();
  return weeks.map(({ week }): Task => {
    const here = steps.filter((step) => step.week <= week && step.lastWeek >= week);
    const own = here.length > 0 ? here : steps.slice(-1);
    const { solo: id } = own[0] as PlanStep;
    const solo = solos.get(id) as Solo;
    const choices = own
      .flatMap((step) => step.new)
      .filter((item) => !used.has(item.id) && goalOf(solo, item) !== undefined)
      .sort((a, b) => (ORDER[a.kind] ?? 9) - (ORDER[b.kind] ?? 9) || b.weight - a.weight);
    const [item] = choices;
    if (!item) return { week, solo: id, said: home(solo, week) };
    used.add(item.id);
    return { week, solo: id, said: `Over the changes of ${solo.title}: ${goalOf(solo, item)}.`, about: item.id };
  });
}

const ORDER: Readonly<Partial<Record<KnowledgeItem['kind'], number>>> = {
  technique: 1,
  'tone over a chord': 0,
  rhythm: 2,
  'chord to follow': 3,
  position: 4,
};

const home = (solo: Solo, week: number): string =>
  `Over the changes of ${solo.title}: play what you like, and come to rest on ${solo.key.tonicName}, the root of the key, at the end of every ${week % 2 === 1 ? 'four' : 'two'} bars.`;

function goalOf(solo: Solo, { id, kind }: KnowledgeItem): string | undefined {
  switch (kind) {
    case 'tone over a chord': {
      const [degree = '', over = ''] = id.split(' over ');
      const name = toneName(solo, degree, over);
      return name === undefined
        ? undefined
        : `whenever the ${over} comes, land on its ${degree} (${name}); all else is free`;
    }
    case 'chord to follow': {
      const [from, to] = id.split(' to ');
      return `hear the step from ${from} to ${to} coming, and change your line with it`;
    }
    case 'technique':
      return id === 'position shift'
        ? 'say each idea in two positions'
        : `${id}, once in every two bars and no more, where you mean it`;
    case 'rhythm':
      return id.startsWith('entry')
        ? 'let every phrase come in off the beat, and end on it'
        : `keep to ${id} for four bars, then leave them for four`;
    case 'position':
      return `stay in ${id} throughout`;
    default:
      return undefined;
  }
}

/** What a member of the chords of a function is called: `C over Am7`. `undefined` if it is no member of one of them: that is no note to land on. */
function toneName(solo: Solo, degree: string, over: string): string | undefined {
  const grid = gridOf(solo);
  const read = parseDegree(degree);
  if (!read) return undefined;
  const names = chordSpans(solo).flatMap((span) => {
    const { key } = grid.place(span.start).bar;
    if (!span.chord || functionIn(key, span) !== over) return [];
    const member = span.chord.members.find(({ semitones }) => semitones === read.semitones);
    return [member && `${member.name} over ${span.symbol}`];
  });
  const unique = [...new Set(names)];
  return unique.length === 0 || unique.includes(undefined) ? undefined : unique.join(', ');
}
