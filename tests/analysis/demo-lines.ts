// The lines of solos, without their places and their phrases, and where the phrases begin.
import type { LineNote } from '../../lib/analysis/boundary-cues.js';
import type { KnownPhrases } from '../../lib/analysis/segmentation.js';
import { pitchAt } from '../../lib/guitar/fretboard.js';
import type { NamedSolo } from '../../lib/solo/tone-table.js';

/** The top fretted note at each onset; a note ends where the next begins, at the latest. */
export function demoLines(solos: readonly NamedSolo[]): readonly KnownPhrases[] {
  return solos.map(({ solo }) => {
    const notes: { onset: number; end: number; pitch: number }[] = [];
    const begins: number[] = [];
    solo.phrases.forEach((phrase, k) => {
      let isFirst = true;
      for (const n of phrase.notes) {
        if (n.grace > 0 || n.kind !== 'fretted') continue;
        const pitch = 100 * (pitchAt(solo.guitar, n.string, n.fret) as number);
        const last = notes[notes.length - 1];
        if (last?.onset === n.onset) {
          last.pitch = Math.max(last.pitch, pitch);
          continue;
        }
        if (isFirst && k > 0) begins.push(notes.length);
        isFirst = false;
        notes.push({ onset: n.onset, end: n.onset + n.length, pitch });
      }
    });
    const line = notes.map((n, i): LineNote => ({ ...n, end: Math.min(n.end, notes[i + 1]?.onset ?? n.end) }));
    return { notes: line, begins };
  });
}
