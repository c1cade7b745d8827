// How a phrase comes in and how it ends.
import { lengthInWords, QUARTER } from '../foundation/time.js';
import type { Ticks } from '../foundation/units.js';
import { PUSH } from '../solo/harmony.js';
import { hasFlag } from '../solo/tone-table.js';
import { listed } from './implied-words.js';
import {
  chordAt,
  endOf,
  nameOf,
  onsetOf,
  type PhraseFacts,
  partOf,
  partsOf,
  pitchOf,
  spanAtTime,
  spokenPlace,
} from './phrase-facts.js';

/** `Comes in on the and of 2 of bar 5, over G`; what its tone is on a change, unless that is told elsewhere. */
export function entryWords(f: PhraseFacts, told: ReadonlySet<number>): string {
  const { entry } = f;
  const at = `Comes in ${spokenPlace(f, entry.row)}`;
  const { fromChange } = entry;
  const span = spanAtTime(f, onsetOf(f, entry.row));
  if (fromChange !== undefined && fromChange < 0 && -fromChange <= PUSH) {
    const next = spanAtTime(f, onsetOf(f, entry.row) - fromChange);
    const what = entry.pickup ? 'the first chord' : `the change to ${next.symbol}`;
    return `${at}, ${lengthInWords(-fromChange as Ticks)} before ${what}`;
  }
  if (entry.pickup) return `${at}, before the first chord`;
  if (!span.chord) return `${at}${span.kind === 'no chord' ? ', in the break, no chord' : ''}`;
  if (fromChange !== 0) return `${at}, over ${span.symbol}`;
  const first = f.landings.find(({ row }) => row === entry.row)?.from === 'pickup';
  const change = `${at}, with ${first ? 'the first chord' : `the change to ${span.symbol}`}`;
  if (told.has(entry.row)) return first ? `${change}, ${span.symbol}` : change;
  const part = partOf(f, entry.row, span.chord);
  return `${change}, on ${first ? `the ${part} of ${span.symbol}` : `its ${part}`} (${nameOf(f, entry.row)})`;
}

/** Strings that sound at the end, from low to high: those of the last event, and up to three in all that ring on. */
function lastTones(f: PhraseFacts, drones: ReadonlySet<number>): readonly number[] {
  const at = onsetOf(f, f.ending.row);
  const begins = f.tones.filter((row) => onsetOf(f, row) === at);
  const rings = f.tones.filter((row) => onsetOf(f, row) < at && endOf(f, row) > at + QUARTER / 2 && !drones.has(row));
  const all = begins.length + rings.length <= 3 ? [...begins, ...rings] : begins;
  return [...all].sort((a, b) => pitchOf(f, a) - pitchOf(f, b));
}

/** How it ends; `told` are tones of which bar and part have been named already. */
export function endingWords(f: PhraseFacts, told: ReadonlySet<number>, drones: ReadonlySet<number>): string {
  const { ending } = f;
  const { row } = ending;
  const rows = lastTones(f, drones);
  const names = listed(rows.map((r) => nameOf(f, r)));
  const long = ending.ticks > QUARTER * 2 ? `, held for ${lengthInWords(ending.ticks)}` : '';
  // A let-down without a written time has no count of its own: it follows the one it was played on.
  const on = hasFlag(f.table, row, 'split') ? spokenPlace(f, row).replace(/^on /, 'just after ') : spokenPlace(f, row);
  const push = f.landings.find((l) => l.row === row && l.how === 'held');
  const { chord, symbol } = spanAtTime(f, onsetOf(f, row));
  if (push) {
    const there = chordAt(f, push.at);
    const next = `the ${there && partsOf(f, rows, there)} of ${push.chord}`;
    const now = chord ? `: ${partsOf(f, rows, chord)} of ${symbol}; held, ${next}` : `: ${next}`;
    const how = push.at - onsetOf(f, row) <= PUSH ? 'pushed ' : '';
    return `Ends on ${names}, ${how}${on}${now}.`;
  }
  if (told.has(row) && rows.length === 1) return `Ends there, ${on}${long}.`;
  if (!chord) return `Ends on ${names}, ${on}${long}.`;
  if (rows.length > 1) return `Ends on ${names}, ${partsOf(f, rows, chord)} of ${symbol}, ${on}${long}.`;
  return `Ends on the ${partOf(f, row, chord)} of ${symbol} (${names}), ${on}${long}.`;
}
