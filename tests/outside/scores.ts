// What a solo says, in the terms in which other programs tell of a score: worked out from the solo alone, by tables of its own.
import type { Solo } from '../../lib/solo/solo.js';

/** A note that is struck: when (quarters from the start of the score), how long (0 for a grace note), what it sounds, where it is played. */
export interface Told {
  readonly at: number;
  length: number;
  readonly key?: number;
  readonly string?: number;
  readonly fret?: number;
  /** For one that goes on from before: tied. */
  readonly tied?: boolean;
}

const Q = 20160;
export const round = (n: number): number => Math.round(n * 1e5) / 1e5;

/** The notes of a solo, from where its score begins (in quarters). A string that goes on is told of as tied. */
export function notesTold(solo: Solo, startsAt: number, gaps: 'tied' | 'struck' = 'tied'): readonly Told[] {
  const { tuning, capo } = solo.guitar;
  const touched: Record<number, number> = { 3: 31, 4: 28, 5: 24, 7: 19, 9: 28, 12: 12, 16: 28, 19: 19, 24: 24 };
  const told: Told[] = [];
  for (const phrase of solo.phrases) {
    const last = new Map<number, number>(); // the fret that sounds on a string
    for (const n of phrase.notes) {
      const open = (tuning[tuning.length - n.string] as number) + capo;
      const fret = n.kind === 'on' ? (last.get(n.string) ?? 0) : n.kind === 'dead' ? 0 : n.fret;
      if (n.kind === 'fretted') last.set(n.string, n.fret);
      const key = n.harmonic ? open + (touched[n.fret] as number) : open + fret;
      told.push({
        at: round(n.onset / Q - startsAt),
        length: round(n.length / Q),
        key,
        string: n.string,
        fret,
        ...(n.kind === 'on' && { tied: true }),
      });
    }
  }
  return struck(told, gaps);
}

/**
 * Notes struck: what is tied to a note that ends right there lengthens it; what is tied over a gap (it rings) is no note of its own, but for a reader
 * that does not tie over gaps.
 */
export function struck(notes: readonly Told[], gaps: 'tied' | 'struck' = 'tied'): readonly Told[] {
  const out: Told[] = [];
  for (const note of notes) {
    if (!note.tied) {
      out.push({ ...note });
      continue;
    }
    const from = out.findLast(
      (o) =>
        round(o.at + o.length) === note.at &&
        o.key === note.key &&
        (o.string === note.string || note.string === undefined),
    );
    if (from) from.length = round(from.length + note.length);
    else if (gaps === 'struck') out.push({ ...note });
  }
  return out.map(({ tied: _, ...note }) => note).sort(byPlace);
}

export const byPlace = (a: Told, b: Told): number =>
  a.at - b.at ||
  a.length - b.length ||
  (a.key ?? 0) - (b.key ?? 0) ||
  (a.string ?? 0) - (b.string ?? 0) ||
  (a.fret ?? 0) - (b.fret ?? 0);

/** Chord symbols of a solo with the quarters from the start of the score at which they stand. */
export function chordsTold(
  solo: Solo,
  startsAt: number,
  barStart: (bar: number) => number,
): readonly (readonly [number, string])[] {
  const { firstBar, bars } = solo.changes;
  return bars.flatMap((bar, i) =>
    bar.map((c) => [round((barStart(firstBar + i) + c.at) / Q - startsAt), c.symbol] as const),
  );
}
