// What the steps before the phrases teach, in the same items that phrases need.
import { chordSpans, functionIn } from '../solo/harmony.js';
import { gridOf, type Solo } from '../solo/solo.js';
import { DEGREE_NAMES } from '../theory/interval.js';
import type { GroundStep } from './ground-steps.js';
import { changeItem, positionItem, toneItem } from './technique-items.js';

/** Ids of the items that a step before the phrases teaches. */
export function groundItems(solo: Solo, { kind, position, exercise }: GroundStep): readonly string[] {
  if (kind === 'scale') return [positionItem(position).id, 'eighths'];
  if (kind === 'root of the key') return [];
  const grid = gridOf(solo);
  const spans = chordSpans(solo);
  const notes = exercise.solo.phrases[0]?.notes ?? [];
  const ids: string[] = [];
  spans.forEach((span, k) => {
    if (!span.chord) return;
    const key = grid.place(span.start).bar.key;
    const over = functionIn(key, span);
    const heard = notes.filter(({ onset }) => onset >= span.start && onset < span.end);
    if (heard.length === 0) return;
    const before = spans[k - 1];
    if (kind === 'roots at the changes') {
      ids.push(toneItem('1', over).id);
      const from = before?.chord && span.isChange ? functionIn(key, before) : over;
      if (from !== over) ids.push(changeItem(from, over).id);
    } else
      for (const note of heard) {
        const open = solo.guitar.tuning[solo.guitar.tuning.length - note.string] as number;
        const above = (((open + solo.guitar.capo + note.fret - span.chord.root) % 12) + 12) % 12;
        ids.push(toneItem(DEGREE_NAMES[above] as string, over).id);
      }
  });
  return [...new Set(ids)];
}
