// The fretting hand along a phrase: which strings it has to do with at each moment, and the likeliest way it goes.
import type { Cents, Ticks } from '../foundation/units.js';
import { bendNoun, finalLevel, peakLevel } from '../guitar/bend.js';
import { type Fingering, type FingeringOptions, type FingeringStep, fingerLine } from '../guitar/fingering.js';
import type { HandEvent, HandNote } from '../guitar/fingering-hand.js';
import { countAt, secondsOf } from './changes.js';
import { gridOf, type Note, type Phrase, type Solo } from './solo.js';
import { type Sounding, soundingOf } from './sounding.js';

/** One moment of the fretting hand in a phrase. */
export interface HandMoment extends HandEvent {
  readonly onset: Ticks;
}

/**
 * What the fretting hand has to do with at each moment of a phrase, graces as moments of their own: strings played anew, and those that sound on. Dead and tapped notes need no finger
 * of it. Seconds run from the start of the phrase at the tempo written.
 */
export function handMoments(solo: Solo, phrase: Phrase): readonly HandMoment[] {
  const grid = gridOf(solo);
  const sounding = soundingOf(phrase);
  const { notes } = phrase;
  const moments: HandMoment[] = [];
  let at = 0;
  let since: number = phrase.at;
  for (let i = 0; i < notes.length; ) {
    const { onset, grace } = notes[i] as Note;
    at += secondsOf(onset - since, grid.place(onset).bar.tempo);
    since = onset;
    const own: HandNote[] = [];
    const first = i;
    for (; i < notes.length && (notes[i] as Note).onset === onset && (notes[i] as Note).grace === grace; i++) {
      const note = notes[i] as Note;
      if (note.kind === 'fretted' && note.start !== 'tapped') own.push(handNote(note));
      else if (note.kind === 'on' && peakLevel(note.path) > 0) {
        const from = notes[(sounding[i] as Sounding).origin];
        if (from) own.push({ ...handNote(from), bend: peakLevel(note.path), held: true });
      }
    }
    if (own.length === 0) continue;
    for (let j = Math.max(0, first - 32); j < first; j++) {
      const note = notes[j] as Note;
      const { end, origin } = sounding[j] as Sounding;
      const from = notes[origin];
      if (end <= onset || !from || from.kind !== 'fretted' || from.fret === 0 || from.start === 'tapped') continue;
      if (from.harmonic) continue; // touched once, it needs no finger
      if (own.some(({ string }) => string === note.string)) continue;
      const bend = finalLevel(note.path, (sounding[j] as Sounding).held);
      own.push({ string: from.string, fret: from.fret, held: true, ...(bend > 0 && { bend }) });
    }
    moments.push({ at, onset, notes: own.sort((a, b) => a.string - b.string) });
  }
  return moments;
}

function handNote(note: Note): HandNote {
  const bend: Cents = peakLevel(note.path);
  const finger = note.marks.find((mark) => /^[1-4]$/.test(mark));
  return {
    string: note.string,
    fret: note.fret,
    start: note.start,
    ...(bend > 0 && { bend }),
    ...(finger && { finger: Number(finger) }),
  };
}

/** The fretting hand along a phrase. */
export interface PhraseFingering extends Fingering {
  readonly steps: readonly (FingeringStep & { readonly onset: Ticks })[];
  /** The way in words: where the hand begins, every shift, every bend and its finger, what it cannot reach. */
  readonly said: readonly string[];
}

/**
 * The likeliest way of the fretting hand along a phrase: positions, and fingers as a suggestion. A written finger (`:3`) is kept.
 * @throws RangeError for a phrase that the solo has not, with those it has
 * @example
 * const way = fingeringOf(parseSoloOrThrow(EXAMPLE_SOLO), '1')
 * way.said[0] // => 'position 5 from bar 0 beat 4&'
 */
export function fingeringOf(
  solo: Solo,
  phraseId: string,
  options: Omit<FingeringOptions, 'guitar'> = {},
): PhraseFingering {
  const phrase = phraseOf(solo, phraseId);
  const moments = handMoments(solo, phrase);
  const fingering = fingerLine(moments, { ...options, guitar: solo.guitar });
  const steps = fingering.steps.map((step, i) => ({ ...step, onset: (moments[i] as HandMoment).onset }));
  const grid = gridOf(solo);
  const said: string[] = [];
  steps.forEach((step, i) => {
    const place = grid.place(step.onset);
    const where = `bar ${place.bar.number} beat ${countAt(place)}`;
    const before = steps[i - 1];
    if (!before) said.push(`position ${step.position} from ${where}`);
    else if (before.position !== step.position)
      said.push(
        `${step.position > before.position ? 'up' : 'down'} to position ${step.position} at ${where} (${Math.round(step.shiftMm)} mm)`,
      );
    if (step.unreachable) said.push(`${where}: more than one hand can hold`);
    for (const note of step.notes)
      if (note.bend && !note.held && note.finger > 0 && !step.unreachable)
        said.push(
          `${where}: the ${bendNoun(note.bend)} at fret ${note.fret} of string ${note.string}, likely with finger ${note.finger}`,
        );
  });
  return { ...fingering, steps, said };
}

/**
 * The phrase of an id.
 * @throws RangeError with the ids that there are
 */
export function phraseOf(solo: Solo, id: string): Phrase {
  const found = solo.phrases.find((phrase) => phrase.id === id);
  if (found) return found;
  const ids = solo.phrases.map((phrase) => phrase.id);
  throw new RangeError(
    ids.length === 0
      ? `"${solo.title}" has no phrases`
      : `there is no phrase "${id}" in "${solo.title}": it has ${ids.slice(0, 20).join(', ')}`,
  );
}
