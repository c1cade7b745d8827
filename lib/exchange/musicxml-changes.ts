// Chord symbols and rehearsal marks of a score as the changes of a solo.
import { barNumber, type Ticks, ticks } from '../foundation/units.js';
import {
  barGrid,
  type Changes,
  type ChordEntry,
  farPastTheChanges,
  type Opening,
  type Section,
  type Strum,
} from '../solo/changes.js';
import type { Layout } from './musicxml-layout.js';
import type { PlacedMeasure } from './musicxml-line-note.js';
import type { Reporter } from './musicxml-report.js';

/** What this project writes into fields of its own, where the standard has no element. */
export interface OwnFields {
  readonly sections: readonly Section[];
  readonly strums: readonly Strum[];
  /** First and last bar of the changes. */
  readonly span?: { readonly first: number; readonly last: number };
}

/** The changes under a layout. Of two chords at once the last rules; a bar without one holds the chord before. */
export function changesFrom(
  layout: Layout,
  chordsFrom: readonly PlacedMeasure[],
  own: OwnFields,
  report: Reporter,
): Changes {
  const grid = barGrid(layout.opening, layout.settings);
  const byBar = new Map<number, Map<number, string>>();
  for (const { measure, start } of chordsFrom)
    for (const chord of measure.chords) {
      const at = Math.min(Math.round(start + chord.at), layout.end - 1);
      const { bar, offset } = grid.place(ticks(at));
      const entries = byBar.get(bar.number) ?? new Map<number, string>();
      const there = entries.get(offset);
      if (there !== undefined && there !== chord.symbol)
        report.say('approximated', 'two-chords', 'two chords at once: the one written last rules', chord.place, {
          detail: `${there}, ${chord.symbol}`,
        });
      entries.set(offset, chord.symbol);
      byBar.set(bar.number, entries);
    }
  const sections = own.sections.length > 0 ? own.sections : sectionsFrom(layout);
  const { strums } = own;
  if (byBar.size === 0) return { firstBar: barNumber(1), bars: [], settings: layout.settings, sections, strums };
  let firstBar = Number.POSITIVE_INFINITY;
  let lastChord = 0;
  for (const bar of byBar.keys()) {
    firstBar = Math.min(firstBar, bar);
    lastChord = Math.max(lastChord, bar);
  }
  const lastBar =
    own.span?.first === firstBar && own.span.last >= lastChord
      ? Math.min(own.span.last, layout.lastBar)
      : layout.lastBar;
  const bars = filledBars(byBar, firstBar, lastBar);
  return { firstBar: barNumber(firstBar), bars, settings: layout.settings, sections, strums };
}

/** Changes that a phrase comes in far past go on, on their last chord, to where it does: no solo may have such a phrase. */
export function reaching<P extends Opening & { readonly changes: Changes }>(
  piece: P,
  phrases: readonly { readonly at: Ticks }[],
  report: Reporter,
): P {
  const { changes } = piece;
  const grid = barGrid(piece, changes.settings);
  const last = phrases.reduce((bar, { at }) => Math.max(bar, grid.place(at).bar.number), 0);
  const held = changes.bars[changes.bars.length - 1]?.at(-1)?.symbol;
  if (held === undefined || farPastTheChanges(changes, last) === undefined) return piece;
  report.say('approximated', 'changes', 'the last chord was held on to where the notes end', undefined, {
    detail: held,
  });
  const more = Array.from({ length: last - changes.firstBar - changes.bars.length + 1 }, () => [
    { at: ticks(0), symbol: held },
  ]);
  return { ...piece, changes: { ...changes, bars: [...changes.bars, ...more] } };
}

/** Chords by bar and place as bars of changes: a bar without one holds the chord before. */
export function filledBars(
  byBar: ReadonlyMap<number, ReadonlyMap<number, string>>,
  firstBar: number,
  lastBar: number,
): readonly (readonly ChordEntry[])[] {
  const bars: (readonly ChordEntry[])[] = [];
  let symbol = '';
  for (let b = firstBar; b <= lastBar; b++) {
    const entries = [...(byBar.get(b) ?? [])]
      .sort(([a], [c]) => a - c)
      .map(([at, s]): ChordEntry => ({ at: ticks(at), symbol: s }));
    if (entries.length === 0) entries.push({ at: ticks(0), symbol });
    symbol = (entries[entries.length - 1] as ChordEntry).symbol;
    bars.push(entries);
  }
  return bars;
}

/** A rehearsal mark opens a section, which lasts to the next. */
function sectionsFrom(layout: Layout): readonly Section[] {
  const marks = layout.placed.flatMap(({ measure }, i) =>
    measure.directions.rehearsals.map(({ text }) => ({ name: text, from: layout.barOf[i] as number })),
  );
  return marks.map(({ name, from }, i) => {
    const next = marks.slice(i + 1, i + 20).find((m) => m.from > from);
    return { name, from: barNumber(from), to: barNumber(next ? next.from - 1 : layout.lastBar) };
  });
}
