// Drills for a phrase: each bend against the fret that sounds its target, the shift of the hand, the join to the phrase before it, the entry counted in.

import { countInWords } from '../analysis/spoken.js';
import { cents, fret, ticks } from '../foundation/units.js';
import { bendNoun, finalLevel, peakLevel } from '../guitar/bend.js';
import { type Position, pitchAt, positionsOf } from '../guitar/fretboard.js';
import { countAt } from '../solo/changes.js';
import { gridOf, type Note, type Phrase, phraseEnd, type Solo } from '../solo/solo.js';
import { type Sounding, soundingOf } from '../solo/sounding.js';
import { aloneAt, type Exercise, type ExerciseEvent, excerpt, exerciseOf, withPhrase } from './exercise.js';

/** What a drill is for. */
export const DRILL_KINDS = ['bend', 'held bend', 'legato', 'shift', 'join', 'entry'] as const;
/** What a drill is for. */
export type DrillKind = (typeof DRILL_KINDS)[number];

/** A drill: a short exercise on the guitar and in the time of the phrase. */
export interface Drill {
  readonly kind: DrillKind;
  readonly exercise: Exercise;
  /** Of a bend: the places that sound what it must reach; of a curl the two frets that it lies between. */
  readonly check?: readonly Position[];
}

/** Which drills are made. */
export interface DrillOptions {
  /** Quarter notes a minute. Default: six tenths of the written tempo. */
  readonly tempo?: number;
  /** Default: all. */
  readonly kinds?: readonly DrillKind[];
}

/**
 * The drills for one phrase of a solo, in the order of {@link DRILL_KINDS}; those that there is nothing for are left out. Every bend of another size, string
 * or fret is checked by ear against the fret that sounds its target (common practice, no source).
 * @throws RangeError if the solo has no such phrase
 * @example
 * const drills = drillsOf(parseSoloOrThrow(EXAMPLE_SOLO), '1')
 * drills.map((drill) => drill.exercise.title) // => ['whole-step bend at 7@3, checked at 9@3', 'the hammer-on from 5@2 to 7@2', 'the entry on the and of 4']
 */
export function drillsOf(solo: Solo, phraseId: string, options: DrillOptions = {}): readonly Drill[] {
  const index = solo.phrases.findIndex(({ id }) => id === phraseId);
  const phrase = solo.phrases[index];
  if (!phrase)
    throw new RangeError(
      `no phrase ${phraseId} in ${solo.title}; there are ${solo.phrases.map(({ id }) => id).join(', ')}`,
    );
  const tempo = options.tempo ?? Math.max(20, Math.round(solo.tempo * 0.6));
  const scene: Scene = { solo, phrase, before: solo.phrases[index - 1], tempo };
  const made = [
    ...bendDrills(scene),
    ...heldBendDrills(scene),
    ...legatoDrills(scene),
    ...shiftDrills(scene),
    ...joinDrills(scene),
    ...entryDrills(scene),
  ];
  const { kinds } = options;
  return kinds ? made.filter(({ kind }) => kinds.includes(kind)) : made;
}

interface Scene {
  readonly solo: Solo;
  readonly phrase: Phrase;
  readonly before: Phrase | undefined;
  readonly tempo: number;
}

const placeText = ({ string, fret: f }: Position): string => `${f}@${string}`;

/**
 * Bends that differ in string, fret or size: target fret, bend, target fret, bend held to the end of the bar. A whole step and more goes half a step first, where that is a bend of its own.
 */
function bendDrills({ solo, phrase, tempo }: Scene): readonly Drill[] {
  const seen = new Set<string>();
  return phrase.notes.flatMap((note): readonly Drill[] => {
    const peak = peakLevel(note.path);
    const key = `${note.string} ${note.fret} ${peak}`;
    if (peak === 0 || note.kind !== 'fretted' || seen.has(key)) return [];
    seen.add(key);
    const check = checksOf(solo, note, peak);
    if (check.length === 0) return [];
    const alone = aloneAt(solo, note.onset);
    const { meter } = alone.solo;
    const beats = Math.max(3, Math.round(meter.barTicks / meter.beatTicks));
    const beat = meter.barTicks / beats;
    const here = { string: note.string, fret: note.fret };
    const prebent = note.path[0]?.level === peak;
    const levels = prebent ? [peak / 100] : [0, peak / 100];
    const targets = check.map((at): ExerciseEvent => ({ length: ticks(beat), at, say: 'listen' }));
    const rest = meter.barTicks - beat * (targets.length % beats);
    const bend: ExerciseEvent = {
      length: ticks(rest),
      at: here,
      bend: levels,
      say: prebent
        ? 'bend first, then pick: the same pitch'
        : check.length > 1
          ? 'curl: between the two'
          : 'bend: the same pitch',
    };
    const bars = [...targets, bend];
    const half = { string: note.string, fret: fret(note.fret + 1) };
    const first: readonly ExerciseEvent[] =
      peak >= 200 && !prebent && pitchAt(solo.guitar, half.string, half.fret) !== undefined
        ? [
            { length: ticks(beat), at: half, say: 'listen' },
            { length: ticks(meter.barTicks - beat), at: here, bend: [0, 1], say: 'half a step first: the same pitch' },
          ]
        : bars;
    const size = prebent ? bendNoun(peak).replace(/bend$/, 'pre-bend') : bendNoun(peak);
    return [
      {
        kind: 'bend',
        check,
        exercise: exerciseOf(
          alone.solo,
          {
            title: `${size} at ${placeText(here)}, checked at ${listedPlaces(check)}`,
            why: `${check.length > 1 ? 'A quarter-tone lies between two frets' : 'The ear is the judge: the fret sounds what the bend must reach'}. Slowly, a few times; rest between; stop if it hurts.`,
          },
          alone.at,
          [...first, ...bars],
          tempo,
        ),
      },
    ];
  });
}

const listedPlaces = (places: readonly Position[]): string => places.map(placeText).join(' and ');

/** Where the target of a bend sounds: the same string, if the neck reaches so far, else the nearest place on another. Two places for a quarter-tone. */
function checksOf({ guitar }: Solo, { string, fret: from }: Note, peak: number): readonly Position[] {
  const open = pitchAt(guitar, string, fret(from));
  if (open === undefined) return [];
  const semitones = peak % 100 === 0 ? [peak / 100] : [Math.floor(peak / 100), Math.ceil(peak / 100)];
  return semitones.flatMap((up): readonly Position[] => {
    const same = { string, fret: fret(from + up) };
    if (pitchAt(guitar, string, same.fret) !== undefined) return [same];
    const others = positionsOf(guitar, (open + up) as typeof open);
    const near = others.reduce<Position | undefined>(
      (best, at) => (best && Math.abs(best.fret - from) <= Math.abs(at.fret - from) ? best : at),
      undefined,
    );
    return near ? [near] : [];
  });
}

/** The first bend that is up while another string is picked: bend and stop, then the other string under it. */
function heldBendDrills({ solo, phrase, tempo }: Scene): readonly Drill[] {
  const sounding = soundingOf(phrase);
  for (const [i, note] of phrase.notes.entries()) {
    const peak = peakLevel(note.path);
    if (note.kind !== 'fretted' || peak < 100 || finalLevel(note.path, cents(0)) !== peak || note.grace > 0) continue;
    const { end } = sounding[i] as Sounding;
    const under = phrase.notes.find(
      (n) => n.kind === 'fretted' && n.string !== note.string && n.onset > note.onset && n.onset < end && n.grace === 0,
    );
    if (!under) continue;
    const alone = aloneAt(solo, note.onset);
    const { meter } = alone.solo;
    const beats = Math.max(4, Math.round(meter.barTicks / meter.beatTicks));
    const beat = ticks(meter.barTicks / beats);
    const [here, other] = [note, under].map(({ string, fret: f }) => ({ string, fret: f })) as [Position, Position];
    const bar: readonly ExerciseEvent[] = [
      { length: ticks(beat * 2), at: here, bend: [0, peak / 100], ring: true, say: 'bend, and stop there' },
      ...Array.from(
        { length: beats - 2 },
        (_, k): ExerciseEvent => ({ length: beat, at: other, ...(k === 0 && { say: 'the bend does not sag' }) }),
      ),
    ];
    return [
      {
        kind: 'held bend',
        exercise: exerciseOf(
          alone.solo,
          {
            title: `the bend at ${placeText(here)} held under ${placeText(other)}`,
            why: 'The other string is picked while the bend stays up; listen that it does not sag. Three times, then rest.',
          },
          alone.at,
          [...bar, ...bar],
          tempo,
        ),
      },
    ];
  }
  return [];
}

/** The first note that is hammered, and the first that is pulled off, with the note before it on the string: picked and joined, a beat each. */
function legatoDrills({ solo, phrase, tempo }: Scene): readonly Drill[] {
  const plain = phrase.notes.filter((note) => note.kind === 'fretted' && note.path.length === 0 && !note.harmonic);
  return (['hammered', 'pulled'] as const).flatMap((start): readonly Drill[] => {
    const note = plain.find((n) => n.start === start && before(plain, n) !== undefined);
    const from = note && before(plain, note);
    if (!note || !from) return [];
    const alone = aloneAt(solo, note.onset);
    const { meter } = alone.solo;
    const beats = Math.max(2, Math.round(meter.barTicks / meter.beatTicks));
    const many = beats * 2;
    const events = Array.from({ length: many }, (_, k): ExerciseEvent => {
      const at = k % 2 === 0 ? from : note;
      return {
        length: ticks(meter.barTicks / beats),
        at: { string: at.string, fret: at.fret },
        ...(k % 2 === 1 && { start }),
      };
    });
    const what = start === 'hammered' ? 'hammer-on' : 'pull-off';
    return [
      {
        kind: 'legato',
        exercise: exerciseOf(
          alone.solo,
          {
            title: `the ${what} from ${placeText(from)} to ${placeText(note)}`,
            why: 'Both notes as loud; the lower finger lies there first. Slowly, a few times.',
          },
          alone.at,
          events,
          tempo,
        ),
      },
    ];
  });
}

/** The note before on the same string, if it is fretted elsewhere. */
function before(notes: readonly Note[], note: Note): Note | undefined {
  const earlier = notes.slice(0, notes.indexOf(note)).filter(({ string }) => string === note.string);
  const last = earlier[earlier.length - 1];
  return last && last.fret !== note.fret ? last : undefined;
}

/** The widest jump of the hand between two events: back and forth, a beat each. */
function shiftDrills({ solo, phrase, tempo }: Scene): readonly Drill[] {
  const line = phrase.notes.filter(
    (note) => note.kind === 'fretted' && note.grace === 0 && note.fret > 0 && !note.harmonic,
  );
  let widest: readonly [Note, Note] | undefined;
  for (let i = 1; i < line.length; i++) {
    const pair = [line[i - 1] as Note, line[i] as Note] as const;
    if (pair[0].onset === pair[1].onset || distance(pair) <= 4) continue;
    if (!widest || distance(pair) > distance(widest)) widest = pair;
  }
  if (!widest) return [];
  const alone = aloneAt(solo, widest[0].onset);
  const { meter } = alone.solo;
  const beats = Math.max(2, Math.round(meter.barTicks / meter.beatTicks));
  const events = Array.from({ length: beats * 2 }, (_, k): ExerciseEvent => {
    const note = (widest as readonly [Note, Note])[k % 2] as Note;
    return { length: ticks(meter.barTicks / beats), at: { string: note.string, fret: note.fret } };
  });
  const [a, b] = widest.map((note) => placeText(note)) as [string, string];
  return [
    {
      kind: 'shift',
      exercise: exerciseOf(
        alone.solo,
        {
          title: `the shift from ${a} to ${b}`,
          why: 'The eye goes to the new fret before the hand does. Without pressure until the finger is there.',
        },
        alone.at,
        events,
        tempo,
      ),
    },
  ];
}

const distance = ([a, b]: readonly [Note, Note]): number => Math.abs(a.fret - b.fret);

/** Where a gesture that is under way at a tick is done: what is let down, hammered, pulled or slid to belongs to what was picked before it. */
function gestureEnd({ notes }: Phrase, tick: number): number {
  let end = tick;
  for (const note of notes) {
    if (note.onset < end) continue;
    if (note.kind !== 'on' && (note.start === 'picked' || note.start === 'tapped')) break;
    end = note.onset + 1;
  }
  return end;
}

/** The last two beats of the phrase before, and the first bar of this one. */
function joinDrills({ solo, phrase, before, tempo }: Scene): readonly Drill[] {
  if (!before) return [];
  const grid = gridOf(solo);
  const { bar } = grid.place(phrase.at);
  const gap = phrase.at - phraseEnd(before);
  if (gap > bar.meter.barTicks) return [];
  const lastOnset = Math.max(...before.notes.map((note) => note.onset));
  const tail = excerpt(before, Math.min(lastOnset, phraseEnd(before) - 2 * bar.meter.beatTicks), phraseEnd(before));
  const head = excerpt(phrase, phrase.at, gestureEnd(phrase, phrase.at + bar.meter.barTicks));
  if (!tail || !head || head.at < tail.at + tail.length) return [];
  const joined: Phrase = {
    ...tail,
    id: '1',
    name: `the join of ${before.id} and ${phrase.id}`,
    length: ticks(head.at + head.length - tail.at),
    notes: [...tail.notes, ...head.notes],
    damps: [...tail.damps, ...(tail.notes.some((note) => note.ring) ? [head.at] : []), ...head.damps],
  };
  const title = `the join from phrase ${before.id} into phrase ${phrase.id}`;
  return [
    {
      kind: 'join',
      exercise: {
        title,
        why: 'Two phrases are learned when the way from one to the other is.',
        solo: withPhrase(solo, title, joined, tempo),
      },
    },
  ];
}

/** The count before the entry, half a bar of it or more, and the first tones where they come in. */
function entryDrills({ solo, phrase, tempo }: Scene): readonly Drill[] {
  const grid = gridOf(solo);
  const first = phrase.notes.find((note) => note.grace === 0 && note.kind !== 'on');
  if (!first) return [];
  const { bar, offset } = grid.place(first.onset);
  if (offset % bar.meter.beatTicks === 0) return [];
  const head = excerpt(phrase, first.onset, gestureEnd(phrase, first.onset + bar.meter.barTicks));
  if (!head) return [];
  const from = offset * 2 < bar.meter.barTicks && bar.number > 0 ? grid.bar(bar.number - 1).start : bar.start;
  const title = `the entry on ${countInWords(countAt({ bar, offset }), bar.meter)}`;
  const whole: Phrase = {
    ...head,
    id: '1',
    name: title,
    at: from,
    length: ticks(head.at + head.length - from),
    remarks: [{ text: `count aloud from the one; come in on ${countAt({ bar, offset })}` }],
  };
  return [
    {
      kind: 'entry',
      exercise: {
        title,
        why: 'Foot on the beat, voice on the count: the phrase comes in between.',
        solo: withPhrase(solo, title, whole, tempo),
      },
    },
  ];
}
