// A lesson plan as a ladder: difficulty against the order, an arc from each step to the one it is a change of, what is new as the size of the mark.
import { listed } from '../analysis/implied-words.js';
import type { LessonPlan } from '../curriculum/plan.js';
import type { PlanStep } from '../curriculum/plan-steps.js';
import { INK, KIND } from '../foundation/palette.js';
import { type ChartSpec, chart, type Json, plainText, SIZE, shorten, textWidth } from './spec.js';

const STEP = { least: 26, most: 46 } as const;
const HEIGHT = 300;
const LEFT = 74;
/** Room for the names of what is new, set upright. */
const NAMES = 118;
/** Of the marks, in square px. */
const AREA = { least: 50, most: 420 } as const;

const COLOUR: Readonly<Record<PlanStep['kind'], string>> = {
  ground: KIND.skyBlue,
  preparation: KIND.orange,
  phrase: KIND.blue,
  whole: KIND.green,
};
const CALLED: Readonly<Record<PlanStep['kind'], string>> = {
  ground: 'before the phrases',
  preparation: 'prepares a technique',
  phrase: 'a phrase',
  whole: 'the whole solo',
};

/**
 * The ladder of a plan: a mark for each step, at its number and its points of difficulty, larger the more is new; an arc leads from the step that it is learned
 * as a change of. Weeks are told apart by lines.
 * @example
 * const plan = lessonPlan([{ id: 'two-doors-down', solo: parseSoloOrThrow(EXAMPLE_SOLO) }])
 * lessonLadder(plan).title.text.join(' ') // => '14 steps in 8 weeks: 4 before the phrases, 7 to prepare, 2 phrases and the whole solo'
 */
export function lessonLadder(plan: LessonPlan): ChartSpec {
  const { steps, weeks } = plan;
  const width = Math.max(
    420,
    steps.length * Math.max(STEP.least, Math.min(STEP.most, 900 / Math.max(1, steps.length))),
  );
  const top = Math.max(1, ...steps.map((s) => s.difficulty)) * 1.12;
  const x = (number: number) => ((number - 0.5) * width) / Math.max(1, steps.length);
  const y = (difficulty: number) => HEIGHT * (1 - difficulty / top);
  const most = Math.max(1, ...steps.map((s) => s.newWeight));
  const marks = steps.map((s) => ({
    x: x(s.number),
    y: y(s.difficulty),
    size: AREA.least + (AREA.most - AREA.least) * (s.newWeight / most),
    fill: COLOUR[s.kind],
    number: String(s.number),
    fresh: heaviest(s),
    row: s.number - 1,
    about: `Step ${s.number}, week ${s.week}: ${s.title}. New: ${s.new.length === 0 ? 'nothing' : s.new.map(({ id }) => id).join(', ')}. Difficulty ${s.difficulty.toFixed(1)}`,
  }));
  const at = (s: PlanStep): Spot => ({ x: x(s.number), y: y(s.difficulty) });
  const radius = (s: PlanStep) =>
    Math.sqrt((AREA.least + (AREA.most - AREA.least) * (s.newWeight / most)) / Math.PI) + 7;
  const arcs = steps.flatMap((s) => {
    const from = s.reuses && steps[s.reuses.step - 1];
    return from ? arc(at(from), at(s), s.number, radius(s)) : [];
  });
  const heads = steps.flatMap((s) => {
    const from = s.reuses && steps[s.reuses.step - 1];
    if (!from) return [];
    const points = arc(at(from), at(s), s.number, radius(s));
    const [before, last] = points.slice(-2) as [Point, Point];
    const angle = (Math.atan2(last.y - before.y, last.x - before.x) * 180) / Math.PI + 90;
    return [{ x: last.x, y: last.y, angle }];
  });
  const lines = weeks.slice(1).flatMap(({ week }) => {
    const first = steps.find((s) => s.week >= week);
    return first ? [{ x: x(first.number) - width / steps.length / 2, week }] : [];
  });
  const weekNames = weeks.flatMap(({ week }) => {
    const first = steps.find((s) => s.week === week);
    const later = steps.find((s) => s.week > week);
    if (!first) return [];
    const room = ((later?.number ?? steps.length + 1) - first.number) * (width / steps.length) - 4;
    const text = textWidth(`week ${week}`, SIZE.small) <= room ? `week ${week}` : String(week);
    return [{ x: x(first.number) - width / steps.length / 2 + 3, text }];
  });
  const kinds = [...new Set(steps.map((s) => s.kind))];
  let place = 0;
  const legend = kinds.map((kind) => {
    const left = place;
    place += 24 + textWidth(CALLED[kind], SIZE.small) + 22;
    return { x: left, fill: COLOUR[kind], text: CALLED[kind] };
  });
  const ticks = levels(top);
  const position = (field: string): Json => ({ field, type: 'quantitative', scale: null, axis: null });
  return chart({
    title: titleOf(plan),
    question: `In which order does ${plan.student.name} learn ${plan.solos.length === 1 ? 'the solo' : `${plan.solos.length} solos`}, and what is learned as a change of what? ${steps.length} steps.`,
    notes: [
      'Across: the steps in their order. Up: points of difficulty, which claim an order and are no grade; steps before the phrases stand at 0. The larger the mark, the more is new in it; the heaviest of it stands below.',
      'An arc leads to a step from the earlier one that it is cheapest to learn from.',
    ],
    width,
    height: HEIGHT,
    left: LEFT,
    above: 44,
    below: 66 + NAMES,
    datasets: {
      marks,
      arcs,
      heads,
      lines,
      weekNames,
      legend,
      ticks: ticks.map((value) => ({ y: y(value), text: String(value) })),
    },
    layers: [
      {
        data: { name: 'ticks' },
        mark: { type: 'rule', color: INK.hair, aria: false },
        encoding: { y: position('y'), x: { value: 0 }, x2: { value: width } },
      },
      {
        data: { name: 'ticks' },
        mark: { type: 'text', align: 'right', baseline: 'middle', fontSize: SIZE.small, color: INK.soft, aria: false },
        encoding: { text: { field: 'text' }, y: position('y'), x: { value: -12 } },
      },
      {
        data: { name: 'lines' },
        mark: { type: 'rule', color: INK.line, strokeDash: [2, 3], aria: false },
        encoding: { x: position('x'), y: { value: -18 }, y2: { value: HEIGHT } },
      },
      {
        data: { name: 'weekNames' },
        mark: { type: 'text', align: 'left', baseline: 'bottom', fontSize: SIZE.small, color: INK.soft, aria: false },
        encoding: { text: { field: 'text' }, x: position('x'), y: { value: -6 } },
      },
      {
        data: { name: 'arcs' },
        mark: { type: 'line', color: INK.soft, strokeWidth: 1.2, aria: false },
        encoding: {
          x: position('x'),
          y: position('y'),
          detail: { field: 'arc' },
          order: { field: 'order', type: 'quantitative' },
        },
      },
      {
        data: { name: 'heads' },
        mark: { type: 'point', shape: 'triangle-up', filled: true, opacity: 1, size: 46, color: INK.soft, aria: false },
        encoding: { x: position('x'), y: position('y'), angle: { field: 'angle', type: 'quantitative', scale: null } },
      },
      {
        data: { name: 'marks' },
        mark: { type: 'circle', opacity: 1, stroke: INK.paper, strokeWidth: 1.5 },
        encoding: {
          x: position('x'),
          y: position('y'),
          size: { field: 'size', type: 'quantitative', scale: null, legend: null },
          fill: { field: 'fill', type: 'nominal', scale: null, legend: null },
          description: { field: 'about' },
          tooltip: { field: 'about' },
        },
      },
      {
        data: { name: 'marks' },
        mark: { type: 'text', align: 'center', baseline: 'top', fontSize: SIZE.small, color: INK.text, aria: false },
        encoding: { text: { field: 'number' }, x: position('x'), y: { value: HEIGHT + 16 } },
      },
      {
        data: { name: 'marks' },
        mark: {
          type: 'text',
          align: 'right',
          baseline: 'middle',
          angle: 270,
          fontSize: SIZE.small,
          color: INK.soft,
          aria: false,
        },
        encoding: { text: { field: 'fresh' }, x: position('x'), y: { value: HEIGHT + 36 } },
      },
      {
        data: { name: 'legend' },
        mark: { type: 'circle', opacity: 1, size: 110, aria: false },
        encoding: {
          x: position('x'),
          y: { value: -34 },
          fill: { field: 'fill', type: 'nominal', scale: null, legend: null },
        },
      },
      {
        data: { name: 'legend' },
        mark: {
          type: 'text',
          align: 'left',
          baseline: 'middle',
          fontSize: SIZE.small,
          color: INK.text,
          dx: 10,
          aria: false,
        },
        encoding: { text: { field: 'text' }, x: position('x'), y: { value: -34 } },
      },
    ],
  });
}

/** The heaviest of what is new, as room is for it. */
function heaviest({ new: fresh }: PlanStep): string {
  const [first] = [...fresh].sort((a, b) => b.weight - a.weight);
  return first === undefined ? '' : shorten(plainText(first.id), NAMES, SIZE.small);
}

function titleOf({ steps, weeks }: LessonPlan): string {
  const many = (kind: PlanStep['kind']) => steps.filter((s) => s.kind === kind).length;
  const phrases = many('phrase');
  const parts = [
    ...(many('ground') > 0 ? [`${many('ground')} before the phrases`] : []),
    ...(many('preparation') > 0 ? [`${many('preparation')} to prepare`] : []),
    `${phrases} ${phrases === 1 ? 'phrase' : 'phrases'}`,
    ...(many('whole') > 0 ? ['the whole solo'] : []),
  ];
  return `${steps.length} steps in ${weeks.length} ${weeks.length === 1 ? 'week' : 'weeks'}: ${listed(parts)}`;
}

type Point = { readonly x: number; readonly y: number; readonly arc: number; readonly order: number };

interface Spot {
  readonly x: number;
  readonly y: number;
}

/** A flat arc over the marks between two points, which stops short of the second mark. */
function arc(from: Spot, to: Spot, id: number, short: number): readonly Point[] {
  const height = Math.min(70, 12 + (to.x - from.x) * 0.22);
  const over = Math.min(from.y, to.y) - height;
  const middle = (from.x + to.x) / 2;
  const points = Array.from({ length: 61 }, (_, k): Point => {
    const t = k / 60;
    const u = 1 - t;
    return {
      x: u * u * from.x + 2 * u * t * middle + t * t * to.x,
      y: u * u * from.y + 2 * u * t * over + t * t * to.y,
      arc: id,
      order: k,
    };
  });
  const kept = points.filter(({ x, y }) => Math.hypot(x - to.x, y - to.y) >= short);
  return kept.length < 2 ? points.slice(0, 2) : kept;
}

/** A few round values from 0 up. */
function levels(top: number): readonly number[] {
  const step = [1, 2, 5, 10, 20, 50].find((s) => top / s <= 6) ?? 100;
  return Array.from({ length: Math.floor(top / step) + 1 }, (_, k) => k * step);
}
