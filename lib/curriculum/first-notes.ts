// The first steps of somebody who has played no single notes: a few tones of the first phrase on two strings, in beats, then in eighths.
import { countInWords } from '../analysis/spoken.js';
import { ticks } from '../foundation/units.js';
import { NO_CHANGES } from '../solo/changes.js';
import { gridOf, type Note, type Solo } from '../solo/solo.js';
import { isCompound } from '../theory/meter.js';
import { type Exercise, type ExerciseEvent, exerciseOf } from './exercise.js';

const MOST_TONES = 4;

/** The tones that a phrase plays most on one string and its neighbour: four at most, from the lowest up. */
function fewTones(solo: Solo, notes: readonly Note[]): readonly Note[] {
  const fretted = notes.filter(({ kind, grace, harmonic }) => kind === 'fretted' && grace === 0 && !harmonic);
  const open = (note: Note) => solo.guitar.tuning[solo.guitar.tuning.length - note.string] as number;
  const pairs = fretted.map(({ string }) => fretted.filter((n) => n.string === string || n.string === string + 1));
  const best = pairs.reduce<readonly Note[]>((most, some) => (some.length > most.length ? some : most), []);
  const places = new Map(best.map((note) => [`${note.fret}@${note.string}`, note]));
  return [...places.values()].slice(0, MOST_TONES).sort((a, b) => open(a) + a.fret - open(b) - b.fret);
}

/** Two bars up and down some tones of a phrase: on the beats, and in eighths. Nothing for a phrase of one tone. Common practice, no source. */
export function firstNotes(
  solo: Solo,
  phraseId: string,
): { readonly beats: Exercise; readonly eighths: Exercise } | undefined {
  const phrase = solo.phrases.find(({ id }) => id === phraseId);
  const tones = phrase ? fewTones(solo, phrase.notes) : [];
  if (!phrase || tones.length < 2) return undefined;
  const grid = gridOf(solo);
  const { meter } = grid.place(phrase.at).bar;
  const alone: Solo = { ...solo, meter, changes: NO_CHANGES };
  const line = [...tones, ...tones.slice(1, -1).reverse()];
  const events = (value: number): readonly ExerciseEvent[] =>
    Array.from({ length: Math.max(2, Math.floor((2 * meter.barTicks) / value)) }, (_, k) => {
      const note = line[k % line.length] as Note;
      return { length: ticks(value), at: { string: note.string, fret: note.fret } };
    });
  const named = tones.map(({ fret, string }) => `${fret}@${string}`).join(', ');
  const strings = new Set(tones.map(({ string }) => string)).size;
  const start = gridOf(alone).bar(1).start;
  const compound = isCompound(meter);
  return {
    beats: exerciseOf(
      alone,
      {
        title: `${tones.length} notes on ${strings === 1 ? 'one string' : 'two strings'}, one a beat: ${named}`,
        why: `Tones of phrase ${phraseId}, the first to come. Every note with its own stroke, down, then up; a finger for each fret, and it stays down until the next one is there.`,
      },
      start,
      events(meter.beatTicks),
    ),
    eighths: exerciseOf(
      alone,
      {
        title: `the same notes in eighths`,
        why: `${compound ? 'Three' : 'Two'} strokes a beat: count ${compound ? 'three to each beat' : `one and two and, the down-strokes on the numbers (${countInWords('2&', meter)} is up)`}.`,
      },
      start,
      events(meter.beatTicks / (compound ? 3 : 2)),
    ),
  };
}
