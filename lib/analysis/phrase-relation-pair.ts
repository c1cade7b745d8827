// From shared stretches to relations with their evidence: what each stretch is called, and which are left out because a stronger one says as much.
import { mod } from '../foundation/units.js';
import type { BarGrid } from '../solo/changes.js';
import { gridOf, type Solo } from '../solo/solo.js';
import { MISSING, placeOfTone, type ToneTable } from '../solo/tone-table.js';
import type { Meter } from '../theory/meter.js';
import type { Stretch } from './phrase-relation-exact.js';
import {
  type Containment,
  type Evidence,
  type SharedStretch,
  type StretchKind,
  strengthOf,
} from './phrase-relation-kinds.js';
import { LOOKS, type Look, type PhraseCorpus, type PhraseLine } from './phrase-relation-lines.js';

const grids = new WeakMap<Solo, BarGrid>();

/** The meter of the bar that a tone begins in. */
export function meterOfTone(table: ToneTable, row: number): Meter {
  const { solo } = table.solos[table.columns.solo[row] as number] as { solo: Solo };
  let grid = grids.get(solo);
  if (!grid) {
    grid = gridOf(solo);
    grids.set(solo, grid);
  }
  return grid.bar(table.columns.bar[row] as number).meter;
}

/** The tones of a line from one to another, as rows. */
export const rowsOf = (line: PhraseLine, from: number, count: number): readonly number[] =>
  line.events.slice(from, from + count).map(({ row }) => row);

/** Beats by which one tone stands later in its bar than another, at most half a bar either way; 0 if the bars are not as long. */
export function displacementOf(table: ToneTable, rowA: number, rowB: number): number {
  const { offset } = table.columns;
  const [meter, other] = [meterOfTone(table, rowA), meterOfTone(table, rowB)];
  if (meter.barTicks !== other.barTicks || meter.beatTicks !== other.beatTicks) return 0;
  const later = mod((offset[rowB] as number) - (offset[rowA] as number), meter.barTicks);
  return (later * 2 > meter.barTicks ? later - meter.barTicks : later) / meter.beatTicks;
}

/** The step from each tone to the one against it, in semitones, if it is the same for all. */
export function transpositionOf(table: ToneTable, a: readonly number[], b: readonly number[]): number | undefined {
  const { pitch } = table.columns;
  const step = (k: number) => (pitch[b[k] as number] as number) - (pitch[a[k] as number] as number);
  return a.every((_, k) => step(k) === step(0)) ? step(0) / 100 : undefined;
}

/** What can be said of shared tones from their rows alone; with `timed`, their times are alike or stretched. */
export function evidenceOf(
  table: ToneTable,
  tonesA: readonly number[],
  tonesB: readonly number[],
  timed: boolean,
): Evidence {
  const [firstA, firstB] = [tonesA[0] as number, tonesB[0] as number];
  const transposition = transpositionOf(table, tonesA, tonesB);
  const displacement = timed ? displacementOf(table, firstA, firstB) : 0;
  return {
    tonesA,
    tonesB,
    count: tonesA.length,
    fromA: placeOfTone(table, firstA),
    fromB: placeOfTone(table, firstB),
    ...(transposition !== undefined && { transposition }),
    ...(displacement !== 0 && { displacement }),
  };
}

type Found = Omit<SharedStretch, 'said'> | Omit<Containment, 'said'>;

/** The relations that stretches make, the strongest first. */
export function relationsOfStretches(
  corpus: PhraseCorpus,
  a: PhraseLine,
  b: PhraseLine,
  stretches: readonly Stretch[],
): readonly Found[] {
  const named = stretches.flatMap((stretch) => {
    const found = relationOf(corpus, a, b, stretch);
    return found ? [{ stretch, found }] : [];
  });
  return named
    .filter(({ stretch }) => !named.some((other) => other.stretch !== stretch && saysAsMuch(other.stretch, stretch)))
    .map(({ found }) => found);
}

/** Whether one stretch leaves nothing to say of another of the same two phrases. */
function saysAsMuch(one: Stretch, other: Stretch): boolean {
  const [strong, weak] = [LOOKS[one.look] as Look, LOOKS[other.look] as Look];
  if (one.count < other.count) return false;
  const covers = one.extent === other.extent || one.extent === 'whole';
  if (one.look === other.look) {
    if (one.extent === other.extent) return false;
    // A phrase that stands in another is worth saying beside its opening or ending, if the notes are the same.
    return covers || other.extent === 'run' || (other.extent === 'inside' && !strong.name.startsWith('pitch'));
  }
  return covers && implies(strong, weak);
}

/** Whether what is alike in one look is alike in another. */
function implies(strong: Look, weak: Look): boolean {
  if (weak.time && !strong.time) return false;
  if (weak.time?.name === 'durations' && strong.time?.name !== 'durations') return false;
  if (!weak.main) return true;
  const [from, to] = [strong.main?.name, weak.main.name];
  if (strong.time?.name === 'rhythm') return to === 'steps' || to === 'pitch'; // the same tones in other lengths
  return from === to || (from === 'pitch' && to === 'steps');
}

function relationOf(corpus: PhraseCorpus, a: PhraseLine, b: PhraseLine, stretch: Stretch): Found | undefined {
  const { table } = corpus;
  const look = LOOKS[stretch.look] as Look;
  const { i, j, count, extent } = stretch;
  const [tonesA, tonesB] = [rowsOf(a, i, count), rowsOf(b, j, count)];
  if (!isVaried(table, look, a, i, count)) return undefined;
  const timed = look.time !== undefined;
  const base = evidenceOf(table, tonesA, tonesB, timed);
  const stretchedBy = timed ? spanOf(b, j, count) / spanOf(a, i, count) : 1;
  const parts = extent === 'opening' ? partsAt(table, a, b, i + count, j + count) : undefined;
  const evidence: Evidence = {
    ...base,
    ...(parts && { partsAt: parts }),
    ...(stretchedBy !== 1 && { stretch: stretchedBy }),
  };
  const shared = {
    a: a.ref,
    b: b.ref,
    viewpoint: look.name,
    extent,
    evidence,
    strength: strengthOf(look.name, count, a.n, b.n),
  };
  const kind = kindOf(table, look, stretch, evidence);
  if (kind === undefined) return undefined;
  if (kind === 'contains') return { ...shared, kind, outer: stretch.outer as 'a' | 'b' };
  if (kind === 'displaced') return { ...shared, kind, strength: strengthOf('displaced', count, a.n, b.n) };
  return { ...shared, kind };
}

type NotesKind = StretchKind | 'contains';
/** What phrases are to one another that share the same tones, by what they share. */
export const SAME_NOTES: Readonly<Record<Stretch['extent'], NotesKind>> = {
  whole: 'same',
  opening: 'same-opening',
  ending: 'same-ending',
  tail: 'takes-up-the-tail',
  inside: 'contains',
  run: 'contains',
};

function kindOf(table: ToneTable, look: Look, { extent }: Stretch, evidence: Evidence): NotesKind | undefined {
  switch (look.main?.name) {
    case undefined:
      return 'rhythm-only';
    case 'shape':
      return isElsewhere(table, evidence) ? 'same-shape-elsewhere' : undefined;
    case 'degree':
      return isOverOtherChords(table, evidence) ? 'same-degrees-over-another-chord' : undefined;
  }
  if (look.time?.name === 'rhythm') return evidence.stretch === undefined ? undefined : 'stretched';
  if (evidence.transposition !== 0) return 'transposed';
  return extent === 'whole' && evidence.displacement !== undefined ? 'displaced' : SAME_NOTES[extent];
}

/** On another string or at another fret. */
function isElsewhere({ columns: { string, fret } }: ToneTable, { tonesA, tonesB }: Evidence): boolean {
  const [a, b] = [tonesA[0] as number, tonesB[0] as number];
  return string[a] !== string[b] || fret[a] !== fret[b];
}

/** More than half of the tones over a chord with another root. Equal degrees over equal roots are equal pitch classes. */
function isOverOtherChords({ columns: { pitch, degree } }: ToneTable, { tonesA, tonesB }: Evidence): boolean {
  const root = (row: number) => mod(Math.floor((pitch[row] as number) / 100) - (degree[row] as number), 12);
  const other = tonesA.filter((a, k) => degree[a] !== MISSING && root(a) !== root(tonesB[k] as number)).length;
  return other * 2 > tonesA.length;
}

/** At least two different pitches; where only times are compared, at least two changes from one distance to another: even notes are no one's rhythm. */
export function isVaried(
  { columns: { pitch } }: ToneTable,
  { main }: Look,
  line: PhraseLine,
  from: number,
  count: number,
  changes = 2,
): boolean {
  const events = line.events.slice(from, from + count);
  if (main) return events.some(({ row }) => pitch[row] !== pitch[events[0]?.row as number]);
  const distance = (k: number) => onsetAt(events, k) - onsetAt(events, k - 1);
  return events.filter((_, k) => k > 1 && distance(k) !== distance(k - 1)).length >= changes;
}

const onsetAt = (events: PhraseLine['events'], k: number): number => events[k]?.onset as number;
const spanOf = ({ events }: PhraseLine, from: number, count: number): number =>
  onsetAt(events, from + count - 1) - onsetAt(events, from);

function partsAt(table: ToneTable, a: PhraseLine, b: PhraseLine, i: number, j: number): Evidence['partsAt'] {
  const [rowA, rowB] = [a.events[i]?.row, b.events[j]?.row];
  return {
    ...(rowA !== undefined && { a: placeOfTone(table, rowA) }),
    ...(rowB !== undefined && { b: placeOfTone(table, rowB) }),
  };
}
