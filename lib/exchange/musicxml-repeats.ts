// Repeat signs, endings and jumps of a part: as they are written, and played out.
import type { Jumps } from './musicxml-direction.js';
import { children, numberIn, type XmlNode } from './musicxml-xml.js';

/** The repeat signs and endings at the barlines of a measure. */
export interface Barlines {
  forward: boolean;
  /** How often it is played in all, 0 where there is no sign. */
  backward: number;
  /** The passes that an ending which starts here is for; empty for none. */
  endingStart: readonly number[];
  endingStop: boolean;
}

export const barlines = (): Barlines => ({ forward: false, backward: 0, endingStart: [], endingStop: false });

/** Reads a barline element. */
export function readBarline(node: XmlNode, into: Barlines): void {
  for (const repeat of children(node, 'repeat')) {
    if (repeat.attributes.direction === 'forward') into.forward = true;
    else if (repeat.attributes.direction === 'backward') {
      const times = numberIn(repeat.attributes.times) ?? 2;
      into.backward = Number.isInteger(times) && times >= 1 ? Math.min(times, 99) : 2;
    }
  }
  for (const ending of children(node, 'ending')) {
    const { type, number = '1' } = ending.attributes;
    if (type === 'start') {
      const passes = number
        .split(/[^0-9]+/)
        .map(Number)
        .filter((n) => n >= 1 && n <= 99);
      into.endingStart = passes.length === 0 ? [1] : passes;
    } else into.endingStop = true;
  }
}

/** What playing out needs to know of a measure. */
export interface Repeated {
  readonly barlines: Barlines;
  readonly directions: { readonly jumps: Jumps };
}

/** More measures than this are not played out. */
export const MOST_PLAYED = 9000;

/** True if anything is repeated or jumped to. */
export const hasRepeats = (measures: readonly Repeated[]): boolean =>
  measures.some(
    (m) => m.barlines.backward > 0 || m.barlines.endingStart.length > 0 || m.directions.jumps.back !== undefined,
  );

/**
 * The measures in the order in which they are played, as indices: repeats with their endings, then one jump back (D.C. or D.S.) to Fine or by way of the
 * coda, without repeats (common practice, no source). `cut` is true if the score asks for more than {@link MOST_PLAYED}.
 */
export function playedOrder(measures: readonly Repeated[]): {
  readonly order: readonly number[];
  readonly cut: boolean;
} {
  const order: number[] = [];
  let jumped: Jumps | undefined;
  let i = 0;
  let from = 0; // where the repeat at hand began
  let pass = 1;
  /** Measures of the ending that a measure lies in. */
  const endings = endingOf(measures);
  while (i < measures.length && order.length < MOST_PLAYED) {
    const measure = measures[i] as Repeated;
    const { barlines: bars, directions } = measure;
    if (bars.forward && i !== from) {
      from = i;
      pass = 1;
    }
    const ending = endings[i];
    const lastPass = jumped ? Math.max(...(ending?.passes ?? [1]), ...lastPasses(measures, endings, i)) : pass;
    if (ending && !ending.passes.includes(jumped ? lastPass : pass)) {
      i = ending.end + 1; // not this time
      continue;
    }
    order.push(i);
    const { jumps } = directions;
    if (jumped) {
      if (jumps.fine && jumped.until !== 'coda') return { order, cut: false };
      if (jumps.toCoda && jumped.until !== 'fine') {
        const coda = measures.findIndex((m, j) => j > i && m.directions.jumps.coda);
        if (coda >= 0) {
          i = coda;
          continue;
        }
      }
    } else if (bars.backward > 0) {
      const times = Math.max(
        bars.backward,
        ending ? Math.max(...ending.passes) + (hasNextEnding(endings, i) ? 1 : 0) : 0,
      );
      if (pass < times) {
        pass++;
        i = from;
        continue;
      }
      from = i + 1;
      pass = 1;
    } else if (ending && i === ending.end && !hasNextEnding(endings, i)) {
      from = i + 1;
      pass = 1;
    }
    if (jumps.back !== undefined && !jumped) {
      jumped = jumps;
      const sign = jumps.back === 'sign' ? measures.findIndex((m) => m.directions.jumps.segno) : 0;
      i = Math.max(0, sign);
      from = i;
      continue;
    }
    i++;
  }
  return { order, cut: order.length >= MOST_PLAYED && i < measures.length };
}

interface Ending {
  readonly passes: readonly number[];
  readonly start: number;
  readonly end: number;
}

function endingOf(measures: readonly Repeated[]): readonly (Ending | undefined)[] {
  const result = new Array<Ending | undefined>(measures.length);
  for (let i = 0; i < measures.length; i++) {
    const { endingStart } = (measures[i] as Repeated).barlines;
    if (endingStart.length === 0) continue;
    let end = i;
    while (
      end + 1 < measures.length &&
      !(measures[end] as Repeated).barlines.endingStop &&
      (measures[end + 1] as Repeated).barlines.endingStart.length === 0
    )
      end++;
    const ending: Ending = { passes: endingStart, start: i, end };
    for (let j = i; j <= end; j++) result[j] = ending;
    i = end;
  }
  return result;
}

const hasNextEnding = (endings: readonly (Ending | undefined)[], i: number): boolean => {
  const here = endings[i];
  return here !== undefined && endings[here.end + 1] !== undefined;
};

/** The passes of the endings that stand side by side with the one at a measure. */
function lastPasses(measures: readonly Repeated[], endings: readonly (Ending | undefined)[], i: number): number[] {
  const passes: number[] = [];
  for (let j = i; j < measures.length; ) {
    const next: Ending | undefined = endings[j];
    if (!next) break;
    passes.push(...next.passes);
    j = next.end + 1;
  }
  for (let j = (endings[i]?.start ?? 0) - 1; j >= 0; ) {
    const before: Ending | undefined = endings[j];
    if (!before) break;
    passes.push(...before.passes);
    j = before.start - 1;
  }
  return passes;
}
