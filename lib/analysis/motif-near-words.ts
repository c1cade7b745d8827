// What differs where a motif comes back not quite the same, in words.
import { type ToneTable, toneName } from '../solo/tone-table.js';
import { intervalInWords } from '../theory/interval.js';
import { listed } from './implied-words.js';
import type { LineEvent } from './line.js';

const ORDINALS = 'first second third fourth fifth sixth seventh eighth ninth tenth eleventh twelfth'.split(' ');

/**
 * A place in a row, in words.
 * @param n counted from 1
 * @example
 * ordinal(3) // => 'third'
 * ordinal(22) // => '22nd'
 */
export function ordinal(n: number): string {
  const last = n % 10;
  const teen = n % 100 > 10 && n % 100 < 14;
  return ORDINALS[n - 1] ?? `${n}${!teen && last < 4 && last > 0 ? ['st', 'nd', 'rd'][last - 1] : 'th'}`;
}

/**
 * What differs: `a passing C4 put in after the third tone`, `the fourth tone left out`, `the second tone is Bb4, a whole step higher than in the motif`,
 * `the third tone curled`.
 * @param model the motif at its first place
 * @param tones those of the near place
 * @param tone of the motif, from 0; where one is put in, of the near place
 */
export function nearInWords(
  table: ToneTable,
  model: readonly LineEvent[],
  tones: readonly LineEvent[],
  kind: 'curls' | 'changed' | 'put in' | 'left out',
  tone: number,
): string {
  const pitch = (event: LineEvent | undefined) => table.columns.pitch[(event as LineEvent).row] as number;
  if (kind === 'left out') return `the ${ordinal(tone + 1)} tone left out`;
  if (kind === 'curls') {
    const curled = (k: number, events: readonly LineEvent[]) => pitch(events[k]) % 100 !== 0;
    const named = (which: readonly number[]) =>
      `the ${listed(which.map((k) => ordinal(k + 1)))} tone${which.length > 1 ? 's' : ''}`;
    const all = [...model.keys()];
    const more = all.filter((k) => curled(k, tones) && !curled(k, model));
    const fewer = all.filter((k) => curled(k, model) && !curled(k, tones));
    return [
      ...(more.length > 0 ? [`${named(more)} curled`] : []),
      ...(fewer.length > 0 ? [`${named(fewer)} without the curl`] : []),
    ].join(', ');
  }
  const name = toneName(table, (tones[tone] as LineEvent).row);
  if (kind === 'put in') {
    const [before, at, after] = [pitch(tones[tone - 1]), pitch(tones[tone]), pitch(tones[tone + 1])];
    const where = `put in after the ${ordinal(tone)} tone`;
    if (at === before) return `the ${ordinal(tone)} tone, ${name}, played twice`;
    if (at === after) return `the ${ordinal(tone + 1)} tone, ${name}, played twice`;
    if (Math.sign(at - before) === Math.sign(after - at)) return `a passing ${name} ${where}`;
    return before === after && Math.abs(at - before) <= 200 ? `a neighbouring ${name} ${where}` : `${name} ${where}`;
  }
  const others = model.flatMap((event, k) => (k === tone ? [] : [pitch(tones[k]) - pitch(event)]));
  const isMoved = others.every((by) => by === others[0]);
  const by = pitch(tones[tone]) - pitch(model[tone]) - (others[0] as number);
  const is = `the ${ordinal(tone + 1)} tone is ${name}`;
  if (!isMoved || by === 0) return `${is}, changed`;
  return `${is}, ${intervalInWords(by / 100)} ${by > 0 ? 'higher' : 'lower'} than in the motif`;
}
