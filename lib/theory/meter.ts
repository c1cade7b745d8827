// Meters, and the count as players speak it: 1 & 2 e 3 & a, triplets 1 t l.
import { QUARTER, tupletDefault, type ValueLetter, valueFor, valueText, valueTicks } from '../foundation/time.js';
import { type Ticks, ticks } from '../foundation/units.js';

/** A time signature with the lengths that follow from it. */
export interface Meter {
  readonly over: number;
  readonly under: number;
  readonly barTicks: Ticks;
  /** What "on the beat" means: the written unit; in compound meters the dotted value of three. */
  readonly beatTicks: Ticks;
  /** What the player counts: as the beat, but 6/8 is counted in six. */
  readonly pulseTicks: Ticks;
}

/**
 * The meter of a time signature. Compound: 6, 9 and 12 over 8 or 16. 6/8 is counted in six, 9/8 in three, 12/8 in four.
 * @example
 * meterOf(12, 8)?.beatTicks // => 30240
 */
export function meterOf(over: number, under: number): Meter | undefined {
  if (!Number.isInteger(over) || over < 1 || over > 32 || ![1, 2, 4, 8, 16, 32].includes(under)) return undefined;
  const unit = (QUARTER * 4) / under;
  const compound = under >= 8 && over % 3 === 0 && over > 3;
  const beat = compound ? unit * 3 : unit;
  return {
    over,
    under,
    barTicks: ticks(unit * over),
    beatTicks: ticks(beat),
    pulseTicks: ticks(over === 6 && compound ? unit : beat),
  };
}

/**
 * Reads `4/4`.
 * @example
 * parseMeter('6/8')?.over // => 6
 * parseMeter('5/7') // => undefined
 */
export function parseMeter(text: string): Meter | undefined {
  const match = /^\s*(\d{1,2})\s*\/\s*(\d{1,2})\s*$/.exec(text);
  return match ? meterOf(Number(match[1]), Number(match[2])) : undefined;
}

/**
 * True if a player counts dotted beats, each of three: 9/8, 12/8; 6/8 is counted in six.
 * @example
 * countsByThree(parseMeter('12/8')!) // => true
 * countsByThree(parseMeter('6/8')!) // => false
 */
export const countsByThree = ({ under, pulseTicks }: Meter): boolean => pulseTicks * under === QUARTER * 12;

/**
 * A tempo in quarters, as tempos are written, and beside it in the beat that the foot taps, where that is another.
 * @example
 * tempoInWords(84, parseMeter('12/8')!) // => '84 quarters a minute (56 dotted quarters)'
 * tempoInWords(104, parseMeter('4/4')!) // => '104 quarters a minute'
 */
export function tempoInWords(tempo: number, { beatTicks }: Meter): string {
  const said = `${tempo} quarters a minute`;
  const dotted =
    beatTicks === QUARTER * 1.5 ? 'dotted quarters' : beatTicks === QUARTER * 0.75 ? 'dotted eighths' : undefined;
  return dotted === undefined ? said : `${said} (${Math.round((tempo * QUARTER * 10) / beatTicks) / 10} ${dotted})`;
}

/** The text of a meter: `4/4`. */
export const meterText = (meter: Meter): string => `${meter.over}/${meter.under}`;

const PARTS: readonly (readonly [string, number])[] = [
  ['', 0],
  ['e', 1 / 4],
  ['t', 1 / 3],
  ['&', 1 / 2],
  ['l', 2 / 3],
  ['a', 3 / 4],
];

/**
 * The offset into the bar of a spoken count: `3&` is half a pulse after 3, `2t` and `2l` the second and third of a triplet,
 * `2&+t` a thirty-second later than `2&`. `undefined` for what is no count or lies outside the bar.
 * @example
 * parseCount('3&', parseMeter('4/4')!) // => 50400
 */
export function parseCount(text: string, meter: Meter): Ticks | undefined {
  const match = /^(\d{1,2})([e&atl]?)(?:\+([whqest])(\.*)(?::(\d+)(?:\/(\d+))?)?)?$/.exec(text);
  if (!match) return undefined;
  const part = PARTS.find(([name]) => name === match[2]) as readonly [string, number];
  let offset = (Number(match[1]) - 1) * meter.pulseTicks + part[1] * meter.pulseTicks;
  if (match[3] !== undefined) {
    const n = Number(match[5] ?? 1);
    const m = match[6] === undefined ? (n === 1 ? 1 : tupletDefault(n)) : Number(match[6]);
    const extra = valueTicks({ letter: match[3] as ValueLetter, dots: (match[4] as string).length, n, m });
    if (extra === undefined) return undefined;
    offset += extra;
  }
  return Number.isInteger(offset) && offset >= 0 && offset < meter.barTicks ? ticks(offset) : undefined;
}

/**
 * The count of an offset into the bar, as a player speaks it; always exact, so that {@link parseCount} gives the offset back. Where dotted beats are
 * counted, the eighths of a beat are `2 2t 2l`, and what lies between is said from the eighth before: `2t+s` is a sixteenth after 2t.
 * @example
 * countText(ticks(50400), parseMeter('4/4')!) // => '3&'
 * countText(ticks(45360), parseMeter('12/8')!) // => '2t+s'
 */
export function countText(offset: Ticks, meter: Meter): string {
  const pulse = Math.floor(offset / meter.pulseTicks);
  const within = offset - pulse * meter.pulseTicks;
  let before = 0;
  const byThree = countsByThree(meter);
  for (let i = 0; i < PARTS.length; i++) {
    const at = (PARTS[i] as readonly [string, number])[1] * meter.pulseTicks;
    if (!Number.isInteger(at)) continue;
    const [part] = PARTS[i] as readonly [string, number];
    if (byThree && part === '&') continue; // a sixteenth behind the second eighth
    if (at === within) return `${pulse + 1}${(PARTS[i] as readonly [string, number])[0]}`;
    if (at < within && (!byThree || part === '' || part === 't' || part === 'l')) before = i;
  }
  const [name, share] = PARTS[before] as readonly [string, number];
  return `${pulse + 1}${name}+${valueText(valueFor(ticks(within - share * meter.pulseTicks)))}`;
}

/**
 * True if a beat is a dotted value, of three units.
 * @example
 * isCompound(parseMeter('6/8')!) // => true
 * isCompound(parseMeter('3/4')!) // => false
 */
export const isCompound = ({ beatTicks, barTicks, over }: Meter): boolean => beatTicks * over === barTicks * 3;

/** True if an offset into the bar falls on a beat of the meter. */
export const onBeat = (offset: Ticks, meter: Meter): boolean => offset % meter.beatTicks === 0;
