// The steps before the phrases, made from a solo's own changes: its scale, the key's root, the added note, the roots and the chord tones at the changes.

import { addedNotes } from '../analysis/added-notes.js';
import { handPosition, neckUse } from '../analysis/neck-use.js';
import { type ScaleFit, scaleFit } from '../analysis/scale-fit.js';
import { type PitchClass, pitchClass, type Ticks, ticks } from '../foundation/units.js';
import { nearestTone, type ShapeTone, scaleShape } from '../guitar/scale-shape.js';
import { NO_CHANGES } from '../solo/changes.js';
import { type ChordSpan, chordSpans, functionIn, spanAt } from '../solo/harmony.js';
import { gridOf, type Solo } from '../solo/solo.js';
import { type NamedSolo, type ToneTable, toneTable } from '../solo/tone-table.js';
import { FAMILIAR_SCALES } from '../theory/familiar-scale.js';
import { isCompound } from '../theory/meter.js';
import { type Exercise, type ExerciseEvent, exerciseOf } from './exercise.js';

/** What a step before the phrases is for, in the order in which they come. */
export const GROUND_KINDS = [
  'scale',
  'root of the key',
  'added note',
  'roots at the changes',
  'chord tones at the changes',
] as const;
/** What a step before the phrases is for. */
export type GroundKind = (typeof GROUND_KINDS)[number];

/** A step before the phrases. */
export interface GroundStep {
  readonly kind: GroundKind;
  /** In words: `A minor pentatonic in position 5`. */
  readonly title: string;
  readonly exercise: Exercise;
  /** The fret of the first finger. */
  readonly position: number;
}

/** How the steps are made. */
export interface GroundOptions {
  /** Positions (frets of the first finger) that are not to be used. */
  readonly avoid?: readonly number[];
  /** The fret of the first finger. Default: where the solo is mostly played. */
  readonly position?: number;
  /** Bars of the changes that are played through at most. Default 12. */
  readonly bars?: number;
}

/**
 * The steps before the phrases of a solo, in the order of {@link GROUND_KINDS}, each a playable phrase over the solo's own changes: the scale that fits the
 * solo in the position where it is mostly played; every root of the key there; each added note over the chord it serves; the root of each chord on the
 * beat where it comes; its chord tones in quarters from there. A step that there is nothing for (no added note, no changes) is left out.
 * The order is common practice, no source.
 * @example
 * const solo = parseSoloOrThrow(EXAMPLE_SOLO)
 * groundSteps({ id: 'two-doors-down', solo }).map((step) => step.title)[0] // => 'A minor pentatonic in position 5'
 */
export function groundSteps(
  named: NamedSolo,
  { avoid = [], bars = 12, position: asked }: GroundOptions = {},
): readonly GroundStep[] {
  const { solo } = named;
  const table = toneTable([named]);
  const position = positionFor(named, avoid, asked);
  const { tonic } = solo.key;
  const fit = smallestFit(table);
  const scale = scaleOf(solo, fit);
  const shape = scaleShape(solo.guitar, scale.classes, position);
  if (shape.length < 3) return [];
  const all = (classes: readonly PitchClass[]) => scaleShape(solo.guitar, classes, position);
  const scene: Scene = { solo, position, start: firstBar(solo), spans: chordSpans(solo), bars };
  // The scale is learned without chords, so that its degrees are those of the key.
  const alone: Solo = { ...solo, meter: gridOf(solo).bar(scene.start).meter, changes: NO_CHANGES };
  const steps: GroundStep[] = [
    step(
      { ...scene, solo: alone },
      'scale',
      `${scale.name} in position ${position}`,
      `The scale of the solo under one hand; the roots, ${solo.key.tonicName}, are named on the way up.`,
      scaleEvents({ ...scene, solo: alone }, shape, tonic),
    ),
  ];
  const roots = all([tonic]);
  if (roots.length > 0)
    steps.push(
      step(
        scene,
        'root of the key',
        `the root of the key, ${solo.key.tonicName}, ${roots.length === 1 ? 'at its one place' : `at its ${roots.length} places`}`,
        homeWords(scene, tonic),
        rootEvents(scene, roots),
      ),
    );
  for (const note of addedNotes(table, fit)) {
    const [served] = note.serves;
    if (!served) continue;
    const events = addedEvents(scene, shape, all([pitchClass(tonic + note.semitones)]), served.function);
    if (events)
      steps.push(
        step(
          scene,
          'added note',
          `the added ${note.degree} over the ${served.function}`,
          `${note.said}.`,
          events.events,
          events.at,
        ),
      );
  }
  const rootLine = lineAtChanges(scene, all, (span) => [span.chord.root], 1);
  if (rootLine)
    steps.push(
      step(
        scene,
        'roots at the changes',
        'the root of each chord, on the beat where it comes',
        'The changes are heard in the line itself: land on the root when the chord comes.',
        rootLine.events,
        rootLine.at,
      ),
    );
  const toneLine = lineAtChanges(
    scene,
    all,
    (span) =>
      span.chord.members
        .filter(
          (m) =>
            m.role === 'root' || m.role === 'third' || m.role === 'fifth' || m.role === 'seventh' || m.role === 'sixth',
        )
        .map((m) => pitchClass(span.chord.root + m.semitones)),
    4,
  );
  if (toneLine)
    steps.push(
      step(
        scene,
        'chord tones at the changes',
        'the tones of each chord, from its root on the beat',
        'Root, third, fifth and what is above them: every phrase of the solo lands on one of these.',
        toneLine.events,
        toneLine.at,
      ),
    );
  return steps;
}

interface Scene {
  readonly solo: Solo;
  readonly position: number;
  /** Number of the first bar with a chord. */
  readonly start: number;
  readonly spans: readonly ChordSpan[];
  readonly bars: number;
}

type ChordHere = ChordSpan & { readonly chord: NonNullable<ChordSpan['chord']> };

function step(
  scene: Scene,
  kind: GroundKind,
  title: string,
  why: string,
  events: readonly ExerciseEvent[],
  at?: Ticks,
): GroundStep {
  const from = at ?? gridOf(scene.solo).bar(scene.start).start;
  return { kind, title, position: scene.position, exercise: exerciseOf(scene.solo, { title, why }, from, events) };
}

const firstBar = (solo: Solo): number => Math.max(1, solo.changes.firstBar);

/** Where the root of the key rests, and over which chords it does not. */
function homeWords({ solo, spans }: Scene, tonic: PitchClass): string {
  const rubs = spans.filter(
    ({ chord }) => chord && !chord.members.some(({ semitones }) => pitchClass(chord.root + semitones) === tonic),
  );
  const symbols = [...new Set(rubs.map(({ symbol }) => symbol))].slice(0, 4);
  const over =
    symbols.length === 0
      ? 'it is a tone of every chord here'
      : `over ${symbols.join(', ')} it is no tone of the chord and wants to move on`;
  return `Home first: ${solo.key.tonicName} is where a phrase can come to rest; ${over}.`;
}

/** A pentatonic on the tonic, if with two added notes at most it explains the solo; else the familiar scale that fits best. */
function smallestFit(table: ToneTable): ScaleFit {
  const small = scaleFit(table, { scales: ['major pentatonic', 'minor pentatonic'] });
  const { best } = small;
  return best && best.root === 0 && best.outside.length === 0 && best.added.length <= 2 ? small : scaleFit(table);
}

function scaleOf(
  solo: Solo,
  { best, said }: ScaleFit,
): { readonly name: string; readonly classes: readonly PitchClass[] } {
  const { tonic, tonicName } = solo.key;
  if (best) return { name: said.split(' + ')[0] as string, classes: best.notes.map((n) => pitchClass(tonic + n)) };
  const { name, semitones } = defaultScale(solo);
  return { name: `${tonicName} ${name}`, classes: semitones.map((n) => pitchClass(tonic + n)) };
}

/** The scale of the key where the solo has too few notes to tell. */
function defaultScale({ key: { mode } }: Solo): { readonly name: string; readonly semitones: readonly number[] } {
  const isMinor = mode.includes('minor') || mode === 'dorian' || mode === 'phrygian' || mode === 'locrian';
  const name = isMinor ? 'minor pentatonic' : mode === 'blues' ? 'blues scale' : 'major pentatonic';
  return FAMILIAR_SCALES.find((s) => s.name === name) as (typeof FAMILIAR_SCALES)[number];
}

/** Where the solo is mostly played, or the nearest position that is not to be avoided. */
function positionFor(named: NamedSolo, avoid: readonly number[], asked?: number): number {
  const table = toneTable([named]);
  const hand = handPosition(table, neckUse(table));
  const wanted = Math.max(1, asked ?? hand?.from ?? 5);
  const last = Math.max(1, named.solo.guitar.frets - named.solo.guitar.capo - 4);
  const free = Array.from({ length: last }, (_, i) => i + 1).filter((p) => !avoid.includes(p));
  return free.reduce(
    (best, p) => (Math.abs(p - wanted) < Math.abs(best - wanted) ? p : best),
    free[0] ?? Math.min(wanted, last),
  );
}

/** Up from the lowest root (or the lowest tone) and down to it, in eighths of the beat, roots named; filled up to whole bars by its last tone. */
function scaleEvents(scene: Scene, shape: readonly ShapeTone[], tonic: PitchClass): readonly ExerciseEvent[] {
  const { solo } = scene;
  const meter = gridOf(solo).bar(scene.start).meter;
  const value = meter.beatTicks / (isCompound(meter) ? 3 : 2);
  const lowest = Math.max(
    0,
    shape.findIndex((tone) => pitchClass(tone.pitch) === tonic),
  );
  const up = shape.slice(lowest);
  const line = [...up, ...[...shape].reverse().slice(1), ...shape.slice(1, lowest + 1)];
  const events = line.map(
    (tone, k): ExerciseEvent => ({
      length: ticks(value),
      at: tone,
      ...(k < up.length && pitchClass(tone.pitch) === tonic && { say: `root, ${solo.key.tonicName}` }),
    }),
  );
  return filledUp(events, meter.barTicks);
}

/** The last event lengthened to the end of its bar. */
function filledUp(events: readonly ExerciseEvent[], bar: number): readonly ExerciseEvent[] {
  const total = events.reduce((sum, { length }) => sum + length, 0);
  const missing = (bar - (total % bar)) % bar;
  const last = events[events.length - 1];
  return last ? [...events.slice(0, -1), { ...last, length: ticks(last.length + missing) }] : events;
}

/** Every root, a bar each, up and down, over the first bars of the changes. */
function rootEvents(scene: Scene, roots: readonly ShapeTone[]): readonly ExerciseEvent[] {
  const grid = gridOf(scene.solo);
  const line = [...roots, ...roots.slice(0, -1).reverse()];
  return line.map((tone, k) => ({
    length: grid.bar(scene.start + k).meter.barTicks,
    at: tone,
    ...(k === 0 && { say: `root, ${scene.solo.key.tonicName}` }),
  }));
}

/** The added note reached from the nearest tones of the scale, in the first bar of the chord that it serves. */
function addedEvents(
  scene: Scene,
  shape: readonly ShapeTone[],
  places: readonly ShapeTone[],
  wanted: string,
): { readonly events: readonly ExerciseEvent[]; readonly at: Ticks } | undefined {
  const grid = gridOf(scene.solo);
  const middle = shape[shape.length >> 1]?.pitch ?? 60;
  const added = nearestTone(places, middle);
  const span = scene.spans.find((s) => s.chord && functionIn(grid.place(s.start).bar.key, s) === wanted);
  if (!added || !span) return undefined;
  const { bar } = grid.place(span.start);
  const beats = Math.max(2, Math.round(bar.meter.barTicks / bar.meter.beatTicks));
  const below = [...shape].reverse().find((tone) => tone.pitch < added.pitch);
  const above = shape.find((tone) => tone.pitch > added.pitch);
  const line = [below, added, above]
    .filter((tone): tone is ShapeTone => tone !== undefined)
    .slice(0, Math.max(1, beats - 1));
  const beat = bar.meter.barTicks / beats;
  const events: ExerciseEvent[] = line.map((tone) => ({
    length: ticks(beat),
    at: tone,
    ...(tone === added && { say: 'the added note' }),
  }));
  events.push({ length: ticks(bar.meter.barTicks - beat * line.length), at: added });
  return { events, at: bar.start };
}

/** A line that starts each chord on its first wanted tone, as near as can be to the tone before, and plays up to `most` of its tones a beat each. */
function lineAtChanges(
  scene: Scene,
  all: (classes: readonly PitchClass[]) => readonly ShapeTone[],
  wanted: (span: ChordHere) => readonly PitchClass[],
  most: number,
): { readonly events: readonly ExerciseEvent[]; readonly at: Ticks } | undefined {
  const grid = gridOf(scene.solo);
  const lastBar = Math.min(
    scene.solo.changes.firstBar + scene.solo.changes.bars.length - 1,
    scene.start + scene.bars - 1,
  );
  if (lastBar < scene.start) return undefined;
  const from = grid.bar(scene.start).start;
  const until = grid.bar(lastBar + 1).start;
  const events: ExerciseEvent[] = [];
  let at: number = from;
  let before: number | undefined;
  let sounded = false;
  while (at < until) {
    const span = scene.spans[spanAt(scene.spans, at)] as ChordSpan;
    const { bar } = grid.place(ticks(at));
    const end = Math.min(until, span.end, bar.start + bar.meter.barTicks);
    const tones = span.chord ? chordLine(all, wanted(span as ChordHere), before) : [];
    if (tones.length === 0) events.push({ length: ticks(end - at) });
    else {
      sounded = true;
      const beat = bar.meter.beatTicks;
      const many = Math.max(1, Math.min(most, tones.length, Math.floor((end - at) / beat)));
      for (let k = 0; k < many; k++) {
        const last = k === many - 1;
        const length = last ? end - at : beat;
        events.push({ length: ticks(length), at: tones[k] as ShapeTone });
        at += length;
      }
      before = (tones[0] as ShapeTone).pitch;
    }
    at = end;
  }
  return sounded ? { events, at: from } : undefined;
}

/** The place of the first pitch class that is nearest to the tone before, and the tones of the others above it, in order. */
function chordLine(
  all: (classes: readonly PitchClass[]) => readonly ShapeTone[],
  classes: readonly PitchClass[],
  before: number | undefined,
): readonly ShapeTone[] {
  const [first] = classes;
  if (first === undefined) return [];
  const places = all(classes);
  const roots = places.filter((tone) => pitchClass(tone.pitch) === first);
  // As many of the others as possible must lie above it.
  const whole = roots.filter(
    (root) =>
      places.filter((tone) => tone.pitch > root.pitch && tone.pitch < root.pitch + 12).length >= classes.length - 1,
  );
  const start = nearestTone(whole.length > 0 ? whole : roots, before ?? Number.NEGATIVE_INFINITY);
  if (!start) return [];
  return [start, ...places.filter((tone) => tone.pitch > start.pitch && tone.pitch < start.pitch + 12)];
}
