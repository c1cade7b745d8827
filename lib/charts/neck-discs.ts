// Discs on a neck: what is played at one place, how large it is drawn, in which colours, and where its number stands.
import type { NeckUse } from '../analysis/neck-use.js';
import { QUARTER } from '../foundation/time.js';
import { countText, type Json, SIZE, textWidth } from './spec.js';
import { kindOfRole, TONE_KINDS, type ToneKind, tenth } from './tone-kinds.js';

/** The largest disc: two neighbours do not touch; px. */
const LARGEST = 17.5;

/** All that is played at one place. */
export interface Spot {
  readonly string: number;
  readonly fret: number;
  /** What the disc shows: tones, or ticks. */
  readonly amount: number;
  readonly tones: number;
  readonly bent: number;
  readonly kinds: ReadonlyMap<ToneKind, number>;
  /** Indices into the rows of the table. */
  readonly rows: readonly number[];
}

export function spotsOf(use: NeckUse, of: 'tones' | 'time'): readonly Spot[] {
  const spots = new Map<
    string,
    Spot & {
      amount: number;
      tones: number;
      bent: number;
      readonly kinds: Map<ToneKind, number>;
      readonly rows: number[];
    }
  >();
  use.rows.forEach((row, i) => {
    const key = `${row.string} ${row.fret}`;
    const spot = spots.get(key) ?? {
      string: row.string,
      fret: row.fret,
      amount: 0,
      tones: 0,
      bent: 0,
      kinds: new Map<ToneKind, number>(),
      rows: [] as number[],
    };
    spots.set(key, spot);
    const amount = of === 'tones' ? row.tones : row.ticks;
    const kind = kindOfRole(row.role);
    spot.amount += amount;
    spot.tones += row.tones;
    spot.bent += row.bent;
    spot.kinds.set(kind, (spot.kinds.get(kind) ?? 0) + amount);
    spot.rows.push(i);
  });
  return [...spots.values()];
}

/** A spot as it is drawn; px. */
export interface Disc {
  readonly x: number;
  readonly y: number;
  readonly r: number;
  readonly label: string;
  /** The number fits in the disc. */
  readonly inside: boolean;
  readonly parts: readonly Json[];
  readonly rows: readonly number[];
  readonly string: number;
  readonly fret: number;
  readonly bent: number;
  readonly about: string;
}

/** Ticks as quarter notes, whole from ten on. */
function quarters(amount: number): string {
  const n = amount / QUARTER;
  return n >= 9.95 ? countText(Math.round(n)) : String(Math.round(n * 10) / 10);
}

export function discOf(spot: Spot, x: number, y: number, most: number, of: 'tones' | 'time'): Disc {
  const r = tenth(LARGEST * Math.sqrt(spot.amount / most));
  const label = of === 'tones' ? countText(spot.amount) : quarters(spot.amount);
  const inside = r >= Math.hypot(textWidth(label, SIZE.small, 'bold') / 2, 4.5) + 1.5;
  const counts = TONE_KINDS.flatMap((kind) => {
    const amount = spot.kinds.get(kind);
    return amount === undefined ? [] : [`${of === 'tones' ? countText(amount) : quarters(amount)} ${kind}`];
  });
  const where = spot.fret === 0 ? `string ${spot.string} open` : `string ${spot.string}, fret ${spot.fret}`;
  let from = 0;
  const parts = TONE_KINDS.flatMap((kind) => {
    const amount = spot.kinds.get(kind);
    if (!amount) return [];
    const start = from;
    from += amount;
    const turn = (part: number) => Math.round((part / spot.amount) * 2 * Math.PI * 1000) / 1000;
    return [{ x, y, kind, from: turn(start), to: turn(from), r }];
  });
  const things = of === 'tones' ? (spot.tones === 1 ? 'tone' : 'tones') : 'quarter notes';
  return {
    x,
    y,
    r,
    label,
    inside,
    parts,
    rows: spot.rows,
    string: spot.string,
    fret: spot.fret,
    bent: spot.bent,
    about: `${where}: ${label} ${things} (${counts.join(', ')})${spot.bent > 0 ? `, ${spot.bent} bent` : ''}`,
  };
}

/** The number of each disc: in it, or where it is too small beside it, on the first side that no disc and no other number takes. */
export function labelsOf(discs: readonly Disc[]): readonly Json[] {
  const taken = discs.map(({ x, y, r }) => ({ left: x - r, right: x + r, top: y - r, bottom: y + r }));
  return discs.flatMap(({ x, y, r, label, inside, bent }, i): readonly Json[] => {
    if (inside) return [{ text: label, inside, x, y: tenth(y + 0.5) }];
    const width = textWidth(label, SIZE.small);
    const away = r + 3;
    const sides = [
      [x + away + width / 2, y],
      [x, y + away + 5],
      [x - away - width / 2, y],
      ...(bent ? [] : [[x, y - away - 5] as const]),
    ] as (readonly [number, number])[];
    for (const [cx, cy] of sides) {
      const box = { left: cx - width / 2 - 1, right: cx + width / 2 + 1, top: cy - 6, bottom: cy + 6 };
      if (
        taken.some(
          (t, k) => k !== i && t.left < box.right && box.left < t.right && t.top < box.bottom && box.top < t.bottom,
        )
      )
        continue;
      taken.push(box);
      return [
        {
          text: label,
          inside,
          x: tenth(cx),
          y: tenth(cy + 0.5),
          x1: tenth(box.left),
          x2: tenth(box.right),
          y1: tenth(cy - 7),
          y2: tenth(cy + 7),
        },
      ];
    }
    return [];
  });
}
