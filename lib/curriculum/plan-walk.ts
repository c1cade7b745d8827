// From an order of phrases to the steps of a plan: what is learned before each phrase, what is new by then, what it is a change of.
import type { Relation } from '../analysis/phrase-relation-kinds.js';
import { peakLevel } from '../guitar/bend.js';
import type { Phrase, Solo } from '../solo/solo.js';
import { type NamedSolo, type ToneTable, toneTable } from '../solo/tone-table.js';
import { bridgeTo } from './bridge.js';
import { BEND_CAUTION, REST_CAUTION } from './difficulty.js';
import { difficultyFor } from './difficulty-student.js';
import { type Exercise, withPhrase } from './exercise.js';
import { firstNotes } from './first-notes.js';
import { knowledgeOf, type PhraseNeeds } from './knowledge.js';
import type { StepCost } from './lesson-problem.js';
import { type MovedPhrase, movesOf } from './phrase-moves.js';
import { groundIds, inGroups, type QueuedGround } from './plan-ground.js';
import { reuseOf } from './plan-reuse.js';
import {
  drillsFor,
  type Effort,
  goalTempo,
  minutesFor,
  type Reuse,
  temposFor,
  type UndatedStep,
} from './plan-steps.js';
import { preparationFor } from './preparation.js';
import { knownItems, type Student } from './student.js';
import { type KnowledgeItem, positionItem } from './technique-items.js';

/** All that steps are made from. */
export interface PlanScene {
  readonly solos: ReadonlyMap<string, Solo>;
  /** Solos that are not to be learned, but may have a phrase that helps. */
  readonly others: readonly NamedSolo[];
  readonly student: Student;
  readonly table: ToneTable;
  readonly phrases: ReadonlyMap<string, PhraseNeeds>;
  readonly items: ReadonlyMap<string, KnowledgeItem>;
  readonly relations: readonly Relation[];
  readonly grounds: ReadonlyMap<string, readonly QueuedGround[]>;
  readonly known: ReadonlySet<string>;
  /** True for those who have played no single notes. */
  readonly isBeginner: boolean;
}

/** What has happened on the way. */
interface Walk {
  readonly scene: PlanScene;
  readonly steps: UndatedStep[];
  readonly learned: Set<string>;
  /** Numbers of the steps of phrases. */
  readonly numbers: Map<string, number>;
  /** Solos and titles of drills that were given. */
  readonly drilled: Set<string>;
  readonly helpers: readonly PhraseNeeds[];
}

/** The steps for an order, numbered, without days. */
export function stepsOf(scene: PlanScene, order: readonly StepCost[]): readonly UndatedStep[] {
  const walk: Walk = {
    scene,
    steps: [],
    learned: new Set(scene.known),
    numbers: new Map(),
    drilled: new Set(),
    helpers: scene.others.length === 0 ? [] : knowledgeOf(toneTable(scene.others)),
  };
  const begun = new Set<string>();
  let waiting: (readonly QueuedGround[])[] = [];
  const phrases = order.filter(({ step }) => scene.phrases.has(step));
  order.forEach((cost) => {
    const phrase = scene.phrases.get(cost.step);
    if (!phrase) return; // what it prepares comes with the first phrase that needs it
    if (!begun.has(phrase.solo)) {
      const queue = scene.grounds.get(phrase.solo) ?? [];
      const starts = begun.size === 0 && scene.isBeginner && beginSingles(walk, phrase);
      if (starts) waiting = [...inGroups(queue)];
      else for (const ground of queue) groundStep(walk, ground);
      begun.add(phrase.solo);
    }
    const place = phrases.indexOf(cost);
    // What the changes give comes between the first phrases; before the last phrase all of it has come.
    if (place > 0 || phrases.length === 1) {
      const now = place === phrases.length - 1 ? waiting.length : 1;
      for (const group of waiting.splice(0, now)) for (const ground of group) groundStep(walk, ground);
    }
    const alone = aloneBefore(walk, phrase);
    const has = new Set(walk.learned);
    for (const item of alone) preparationStep(walk, item, phrase);
    phraseStep(walk, cost, phrase, alone, has);
  });
  const [only] = scene.solos;
  if (scene.solos.size === 1 && only) wholeStep(walk, only[0], only[1]);
  return walk.steps;
}

/** Adds a step and what it teaches. */
function add(
  { steps, learned, scene }: Walk,
  step: Pick<UndatedStep, 'kind' | 'title' | 'solo' | 'why' | 'new' | 'piece'> & Partial<UndatedStep>,
  effort: Effort = {},
  tempo?: number,
): void {
  const { tempo: written } = scene.solos.get(step.solo) as Solo;
  const ladder = temposFor(written, scene.student);
  const tempos = step.tempos ?? ladder;
  const { minutes, said } = minutesFor(effort, tempo ?? (tempos[Math.max(0, tempos.length - 2)] as number));
  for (const { id } of step.new) learned.add(id);
  steps.push({
    number: steps.length + 1,
    newWeight: step.new.reduce((sum, { weight }) => sum + weight, 0),
    material: 0,
    difficulty: 0,
    cautions: [],
    drills: [],
    moves: [],
    tempos,
    minutes,
    minutesSaid: said,
    ...step,
  });
}

const slowest = (written: number, student: Student): readonly number[] => temposFor(written, student).slice(0, 3);

/** The first notes of somebody who has played chords only; false if the phrase has too few. */
function beginSingles(walk: Walk, { solo: id, phrase, needs }: PhraseNeeds): boolean {
  const { scene, learned } = walk;
  const solo = scene.solos.get(id) as Solo;
  const exercises = firstNotes(solo, phrase);
  if (!exercises) return false;
  const start = (exercise: Exercise, ids: readonly string[]) => {
    const fresh = ids.flatMap((item) => (learned.has(item) ? [] : (scene.items.get(item) ?? [])));
    if (fresh.length === 0) return;
    const weight = fresh.reduce((sum, item) => sum + item.weight, 0);
    add(
      walk,
      {
        kind: 'ground',
        title: exercise.title,
        solo: id,
        why: exercise.why,
        new: fresh,
        piece: exercise.solo,
        tempos: slowest(solo.tempo, scene.student),
      },
      { newWeight: weight },
    );
  };
  start(exercises.beats, ['single notes', ...needs.filter(({ kind }) => kind === 'position').map((item) => item.id)]);
  start(exercises.eighths, ['eighths']);
  return true;
}

/** A step before the phrases, if it teaches something that is not known. */
function groundStep(walk: Walk, queued: QueuedGround): void {
  const { scene, learned, steps } = walk;
  const { solo, id, ground } = queued;
  // The position of a step may be one that no phrase needs.
  const isPosition = (item: string) =>
    item.startsWith('position ') && knownItems(scene.student, [positionItem(ground.position)]).length === 0;
  const fresh = groundIds(queued)
    .filter((item) => !learned.has(item) && (scene.items.has(item) || isPosition(item)))
    .map((item) => scene.items.get(item) ?? positionItem(ground.position));
  // Home has no item of its own, nor has a scale for a beginner in a position that has been begun: they are shown all the same.
  const isShown =
    ground.kind === 'root of the key'
      ? steps.some(({ solo: of, kind }) => of === id && kind === 'ground')
      : ground.kind === 'scale' && scene.isBeginner;
  if (fresh.length === 0 && !isShown) return;
  add(
    walk,
    {
      kind: 'ground',
      title: ground.title,
      solo: id,
      why: ground.exercise.why,
      new: fresh,
      piece: ground.exercise.solo,
      tempos: slowest(solo.tempo, scene.student),
    },
    { newWeight: fresh.reduce((sum, { weight }) => sum + weight, 0) },
  );
}

/** What a phrase needs that is to be learned alone and is not known, each after what it waits for. */
export function aloneBefore(
  { scene: { items }, learned }: { readonly scene: Pick<PlanScene, 'items'>; readonly learned: ReadonlySet<string> },
  { needs }: Pick<PhraseNeeds, 'needs'>,
): readonly KnowledgeItem[] {
  const found = new Map<string, KnowledgeItem>();
  const visit = (item: KnowledgeItem, isWaitedFor: boolean): void => {
    if (learned.has(item.id) || found.has(item.id)) return;
    for (const id of item.after) {
      const before = items.get(id);
      if (before) visit(before, item.isAlone === true);
    }
    if (item.isAlone || isWaitedFor) found.set(item.id, item);
  };
  for (const item of needs) visit(item, false);
  return [...found.values()];
}

/** One technique, at the places of the phrase that needs it. */
function preparationStep(walk: Walk, item: KnowledgeItem, phrase: PhraseNeeds): void {
  const { scene, helpers, learned, drilled } = walk;
  const { student } = scene;
  const solo = scene.solos.get(phrase.solo) as Solo;
  const tempos = slowest(solo.tempo, student);
  const exercise = preparationFor(solo, phrase.phrase, item.id, tempos[0] as number);
  drilled.add(`${phrase.solo} ${exercise.title}`);
  const bridge = bridgeTo(item, helpers, learned, student, scene.others);
  add(
    walk,
    {
      kind: 'preparation',
      title: `prepare: ${item.id}`,
      solo: phrase.solo,
      why: `${exercise.title.charAt(0).toUpperCase()}${exercise.title.slice(1)}: alone, before phrase ${phrase.phrase} needs it. ${exercise.why}`,
      new: [item],
      cautions: /bend/.test(item.id) ? [BEND_CAUTION, REST_CAUTION] : [],
      piece: exercise.solo,
      tempos,
      ...(bridge && { bridge }),
    },
    { alone: item.weight },
  );
}

function phraseStep(
  walk: Walk,
  cost: StepCost,
  phrase: PhraseNeeds,
  alone: readonly KnowledgeItem[],
  has: ReadonlySet<string>,
): void {
  const { scene, learned, numbers, drilled, steps } = walk;
  const solo = scene.solos.get(phrase.solo) as Solo;
  const own = solo.phrases.find(({ id }) => id === phrase.phrase) as Phrase;
  const difficulty = difficultyFor(solo, phrase.phrase, phrase.needs, {
    known: scene.known,
    has,
    tempo: goalTempo(solo.tempo, scene.student),
  });
  const fresh = phrase.needs.filter(({ id }) => !learned.has(id));
  const reuses = reuseOf(scene.table, cost.step, cost.changeOf, scene.relations, numbers);
  const drills = drillsFor(
    solo,
    phrase.phrase,
    [...fresh, ...alone],
    (id) => numbers.has(`${phrase.solo} ${id}`),
    scene.student,
  ).filter(({ exercise }) => !drilled.has(`${phrase.solo} ${exercise.title}`));
  for (const { exercise } of drills) drilled.add(`${phrase.solo} ${exercise.title}`);
  const newWeight = fresh.reduce((sum, { weight }) => sum + weight, 0);
  numbers.set(cost.step, steps.length + 1);
  add(
    walk,
    {
      kind: 'phrase',
      title: `phrase ${phrase.phrase}${phrase.name ? ` "${phrase.name}"` : ''}${scene.solos.size > 1 ? ` of ${solo.title}` : ''}`,
      solo: phrase.solo,
      phrase: phrase.phrase,
      why: whyOf(fresh, phrase.tones, reuses, phrase.phrase),
      new: fresh,
      newWeight,
      material: cost.material,
      ...(reuses && { reuses }),
      difficulty: difficulty.points,
      ...(difficulty.hardest !== undefined && { hardest: difficulty.hardest }),
      cautions: cautionsFor(own, difficulty.cautions),
      piece: withPhrase(solo, solo.title, own),
      drills,
      moves: movesOf(solo, phrase.phrase).filter((move) => isWelcome(move, scene.student)),
    },
    { newWeight, material: cost.material, difficulty: difficulty.points },
  );
}

/** The last step: all of it, slowly, then up to tempo. */
function wholeStep(walk: Walk, id: string, solo: Solo): void {
  const goal = goalTempo(solo.tempo, walk.scene.student);
  add(walk, {
    kind: 'whole',
    title: 'the whole solo, from the first phrase to the last',
    solo: id,
    why: 'Two phrases in one breath, then four, then all: slowly over the backing, then up to tempo. Do not stop for a wrong note.',
    new: [],
    cautions: ['a whole solo tires the hand: rest between two times through', REST_CAUTION],
    piece: solo,
    minutes: 30,
    minutesSaid: `at least 30 minutes; stay until three clean passes at ${goal}`,
  });
}

/** Bends of a half step and more are cautioned against wherever they stand. */
function cautionsFor(phrase: Phrase, cautions: readonly string[]): readonly string[] {
  const bends = phrase.notes.some((note) => peakLevel(note.path) >= 100);
  return bends ? [...new Set([BEND_CAUTION, ...cautions, REST_CAUTION])] : cautions;
}

/** True if every fretted note lies outside the positions that are to be avoided. */
function isWelcome({ exercise }: MovedPhrase, { avoidPositions }: Student): boolean {
  if (avoidPositions.length === 0) return true;
  const frets = (exercise.solo.phrases[0]?.notes ?? [])
    .filter(({ kind }) => kind === 'fretted')
    .map((note) => note.fret);
  return !avoidPositions.includes(Math.min(...frets)) && !frets.some((f) => avoidPositions.includes(f));
}

function whyOf(fresh: readonly KnowledgeItem[], tones: number, reuses: Reuse | undefined, phrase: string): string {
  const [heaviest] = [...fresh].sort((a, b) => b.weight - a.weight);
  const news =
    heaviest === undefined
      ? `Known moves, new notes: ${tones} of them to remember`
      : heaviest.kind === 'tone over a chord' || heaviest.kind === 'chord to follow'
        ? 'Known moves; new is only which tones stand over which chords'
        : `New above all: ${heaviest.id}`;
  if (!reuses) return `${news}.`;
  const steps = reuses.also === undefined ? `step ${reuses.step}` : `steps ${reuses.step} and ${reuses.also}`;
  return `${news}. Learn it as a change of ${steps}: phrase ${phrase} ${reuses.said}.`;
}
