// One technique alone, at the places of the phrase that needs it.

import { countInWords } from '../analysis/spoken.js';
import { togetherIn } from '../analysis/together.js';
import { type Ticks, ticks } from '../foundation/units.js';
import { peakLevel } from '../guitar/bend.js';
import { countAt } from '../solo/changes.js';
import { gridOf, type Note, type Phrase, type Solo } from '../solo/solo.js';
import { toneTable } from '../solo/tone-table.js';
import { drillsOf } from './drills.js';
import { type Exercise, excerpt, exerciseOf, withPhrase } from './exercise.js';

/** What is said of a technique when it comes alone. Common practice, no source. */
const ADVICE: Readonly<Record<string, string>> = {
  'whole-step bend': 'The half-step bend went before: now the same push, two frets far. The ear is the judge.',
  'bend held under other strings':
    'Bend first and stop there; then the other strings, slowly; listen that the bend does not sag.',
  'let-down of a bend': 'Up to its pitch, then down again while it sounds, no faster than written.',
  'bend picked again while held': 'The bend stays where it is: pick it a second time, the same pitch.',
  'pre-bend': 'Bend in silence, check the pitch, then pick.',
  'vibrato on a bend': 'Reach the pitch first, then let it fall a little and bring it back, evenly.',
  vibrato: 'Reach the note first; then a slow, even wave from the wrist, up to its pitch each time.',
  slide: 'Keep the pressure on the way; the eye is at the new fret first.',
  'eighth triplets': 'Say "tri-po-let" on one note until it is even, then play the tones.',
  'double-stops': 'Both strings at one stroke, the fingers down together; the strings beside them quiet.',
};

/**
 * An exercise for one item at the places of a phrase: the drill of a bend, a hammer-on, a pull-off, a shift; else as much of the phrase as holds the first
 * place where it comes, with the note before.
 * @throws RangeError if the solo has no such phrase
 */
export function preparationFor(solo: Solo, phraseId: string, item: string, tempo: number): Exercise {
  const phrase = solo.phrases.find(({ id }) => id === phraseId);
  if (!phrase) throw new RangeError(`no phrase ${phraseId} in ${solo.title}`);
  const why = ADVICE[item] ?? 'Slowly and alone, until it is easy; then the phrase.';
  if (item === 'half-step bend') {
    const bent = phrase.notes.find((note) => peakLevel(note.path) >= 100 && note.kind === 'fretted');
    const half = bent && halfStep(solo, bent, tempo);
    if (half) return half;
  }
  const drills = drillsOf(solo, phraseId, { tempo });
  const drill = drills.find(({ exercise, kind }) =>
    kind === 'bend'
      ? exercise.title.startsWith(item)
      : kind === 'legato'
        ? exercise.title.startsWith(`the ${item}`)
        : kind === 'shift' && item === 'position shift',
  );
  if (drill) return drill.exercise;
  const span = spanOf(solo, phrase, item);
  const part = span && excerpt(phrase, span.from, span.until);
  const piece: Phrase = { ...(part && part.notes.length > 1 ? part : phrase), id: '1', remarks: [] };
  const { bar, offset } = gridOf(solo).place(span?.onset ?? piece.at);
  const title = `${item} in bar ${bar.number}, ${countInWords(countAt({ bar, offset }), bar.meter)}`;
  return { title, why, solo: withPhrase(solo, title, { ...piece, name: title }, tempo) };
}

/** A half-step bend at the place of a wider one: the fret above, the bend, twice. */
function halfStep(solo: Solo, { string, fret, onset }: Note, tempo: number): Exercise | undefined {
  if (fret + 1 > solo.guitar.frets - solo.guitar.capo) return undefined;
  const { bar } = gridOf(solo).place(onset);
  const beats = Math.max(2, Math.round(bar.meter.barTicks / bar.meter.beatTicks));
  const beat = bar.meter.barTicks / beats;
  const above = (fret + 1) as typeof fret;
  const once = [
    { length: ticks(beat), at: { string, fret: above }, say: 'listen' },
    { length: ticks(bar.meter.barTicks - beat), at: { string, fret }, bend: [0, 1], say: 'bend: the same pitch' },
  ];
  return exerciseOf(
    solo,
    {
      title: `half-step bend at ${fret}@${string}, checked at ${above}@${string}`,
      why: 'One fret far, with the third finger and the others behind it: the fret above sounds what the bend must reach. Slowly, a few times; rest between; stop if it hurts.',
    },
    bar.start,
    [...once, ...once],
    tempo,
  );
}

/** From the note before the first place of an item to the end of what it takes. */
function spanOf(
  solo: Solo,
  phrase: Phrase,
  item: string,
): { readonly from: Ticks; readonly until: Ticks; readonly onset: Ticks } | undefined {
  const main = phrase.notes.filter(({ grace }) => grace === 0);
  const k = main.findIndex((note, i) => has(solo, phrase, main, note, i, item));
  const note = main[k];
  if (!note) return undefined;
  const { bar } = gridOf(solo).place(note.onset);
  const before = main
    .slice(0, k)
    .reverse()
    .find(({ onset }) => onset < note.onset);
  // A bend that is let down, or picked again, is prepared from where it was bent.
  const bent = /bend/.test(item)
    ? main
        .slice(0, k)
        .reverse()
        .find((n) => n.string === note.string && peakLevel(n.path) > 0)
    : undefined;
  const from = bent?.onset ?? before?.onset ?? note.onset;
  const after = main.find(({ onset }) => onset >= note.onset + 2 * bar.meter.beatTicks);
  const until = ticks(after?.onset ?? phrase.at + phrase.length);
  return { from, until: ticks(Math.max(until, note.onset + 1)), onset: note.onset };
}

/** True if a note is the first of a place where an item is needed. */
function has(solo: Solo, phrase: Phrase, main: readonly Note[], note: Note, i: number, item: string): boolean {
  const peak = peakLevel(note.path);
  const next = main[i + 1];
  const within = gridOf(solo).place(note.onset);
  const half = within.bar.meter.beatTicks / 2;
  switch (item) {
    case 'slide':
      return note.start === 'slid up' || note.start === 'slid down' || note.slideAway;
    case 'tapping':
      return note.start === 'tapped';
    case 'vibrato':
      return note.vibrato && peak < 100;
    case 'vibrato on a bend':
      return note.vibrato && peak >= 100;
    case 'harmonics':
      return note.harmonic;
    case 'dead notes':
      return note.kind === 'dead';
    case 'ringing strings':
      return note.ring;
    case 'grace notes':
      return phrase.notes.some((n) => n.grace > 0 && n.onset === note.onset);
    case 'double-stops':
      return next !== undefined && next.onset === note.onset;
    case 'let-down of a bend':
      return (
        note.path.some(({ level }, k) => k > 0 && (level ?? 0) < (note.path[k - 1]?.level ?? 0)) ||
        (note.kind === 'on' && note.path.length > 0)
      );
    case 'pre-bend':
    case 'bend picked again while held':
      return (note.path[0]?.level ?? 0) > 0 && note.start === 'picked';
    case 'bend held under other strings':
      return peak > 0 && heldAt(solo, phrase).has(note.onset);
    default:
      return /bend|curl/.test(item) ? peak > 0 : within.offset % half !== 0;
  }
}

/** Onsets of bends that sound on while another string is played. */
function heldAt(solo: Solo, phrase: Phrase): ReadonlySet<number> {
  const table = toneTable([{ id: 'piece', solo: withPhrase(solo, solo.title, phrase) }]);
  const { level, onset } = table.columns;
  return new Set(
    togetherIn(table).flatMap(({ rows }) =>
      rows.filter((row) => (level[row] as number) > 0).map((row) => onset[row] as number),
    ),
  );
}
