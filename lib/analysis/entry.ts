// Entries: where in the bar each phrase comes in, and how far that is from a chord change.
import { type Ticks, ticks } from '../foundation/units.js';
import { gridOf } from '../solo/solo.js';
import { FLAG, placeOfTone, type ToneTable } from '../solo/tone-table.js';
import { meterText } from '../theory/meter.js';
import { keyText } from '../theory/scale.js';
import { passesFilter, type ToneFilter } from './grouping.js';
import { changesOf } from './landing.js';
import { labelColumn, type ShareTable, shareTable } from './shares.js';

/** What entries can be grouped by. */
export const ENTRY_GROUPINGS = ['player', 'solo', 'key', 'meter'] as const;
/** What entries can be grouped by. */
export type EntryGrouping = (typeof ENTRY_GROUPINGS)[number];

/** Whether an entry falls on a beat of the meter. In compound meters a beat is the dotted quarter, so that count 2 of 6/8 is off the beat. */
export const ENTRY_KINDS = ['on a beat', 'off the beat'] as const;
/** Whether an entry falls on a beat of the meter. */
export type EntryKind = (typeof ENTRY_KINDS)[number];

/** Where a phrase comes in: its first sounding tone. */
export interface Entry {
  readonly solo: string;
  readonly player: string;
  readonly phrase: string;
  readonly key: string;
  readonly meter: string;
  readonly bar: number;
  /** The count as a player speaks it; 6/8 is counted in six, 12/8 in four. */
  readonly count: string;
  /** Pulses into the bar, from 0: what entries are put in order by. `3&` is 2.5. */
  readonly pulses: number;
  readonly kind: EntryKind;
  /**
   * Ticks from the nearest place where a chord comes (a change, or the first chord, which changes nothing): before it negative, with it 0, after it
   * positive; midway between two it is before the coming one. Absent where the solo has no chords.
   */
  readonly fromChange?: Ticks;
  /** True if it comes before the first chord of the solo. */
  readonly pickup: boolean;
  /** The tone, as a row of the tone table. */
  readonly row: number;
}

/** A phrase that never sounds: rests, or dead notes only. */
export interface SilentPhrase {
  readonly solo: string;
  readonly player: string;
  readonly phrase: string;
}

/** Entries in order of solos and time, and the phrases that have none. */
export interface Entries {
  readonly entries: readonly Entry[];
  readonly silent: readonly SilentPhrase[];
}

/**
 * The entry of each phrase: its first tone that is no ornament (dead notes are no tones; of a double-stop the top one).
 * @example
 * const table = toneTable([{ id: 'two-doors-down', solo: parseSoloOrThrow(EXAMPLE_SOLO) }])
 * entriesOf(table).entries.map((e) => [e.phrase, e.bar, e.count, e.fromChange, e.pickup]) // => [['1', 0, '4&', -10080, true], ['2', 3, '1', 0, false]]
 */
export function entriesOf(table: ToneTable): Entries {
  const { columns: c } = table;
  const entries: Entry[] = [];
  const silent: SilentPhrase[] = [];
  let row = 0;
  table.solos.forEach(({ id, solo }, s) => {
    const grid = gridOf(solo);
    const changes = changesOf(solo).map(({ span }) => span.start);
    const player = table.players[table.playerOfSolo[s] as number] as string;
    solo.phrases.forEach((phrase, p) => {
      let first: number | undefined;
      for (; row < table.rows && c.solo[row] === s && c.phrase[row] === p; row++)
        if ((c.flags[row] as number) & FLAG.line) first ??= row;
      if (first === undefined) {
        silent.push({ solo: id, player, phrase: phrase.id });
        return;
      }
      const { meter, key } = grid.bar(c.bar[first] as number);
      const onset = c.onset[first] as number;
      const fromChange = fromNearest(changes, onset);
      entries.push({
        ...placeOfTone(table, first),
        player,
        key: keyText(key),
        meter: meterText(meter),
        pulses: (c.offset[first] as number) / meter.pulseTicks,
        kind: (c.flags[first] as number) & FLAG.onBeat ? 'on a beat' : 'off the beat',
        pickup: changes[0] !== undefined && onset < changes[0],
        ...(fromChange !== undefined && { fromChange }),
        row: first,
      });
    });
  });
  return { entries, silent };
}

function fromNearest(changes: readonly Ticks[], at: number): Ticks | undefined {
  const coming = changes.findIndex((change) => change >= at);
  const next = changes[coming < 0 ? changes.length : coming];
  const before = changes[(coming < 0 ? changes.length : coming) - 1];
  if (next !== undefined && (before === undefined || next - at <= at - before)) return ticks(at - next);
  return before === undefined ? undefined : ticks(at - before);
}

/** What to count. */
export interface EntryOptions {
  /** What a group is. Default: `['player']`. Counts of different meters are counted together unless `meter` is a grouping or asked for. */
  readonly by?: readonly EntryGrouping[];
  /** Count only these. Default: all. */
  readonly where?: Pick<ToneFilter, 'player' | 'solo' | 'key'> & { readonly meter?: string };
  /** Give intervals of 95 % (slower). Default true. */
  readonly intervals?: boolean;
}

/** Entries counted. `items` of the rows are numbers into `entries`. */
export interface EntryUse {
  readonly by: readonly EntryGrouping[];
  /** By count, in order through the bar. */
  readonly counts: ShareTable;
  /** On a beat and off the beat. */
  readonly kinds: ShareTable;
  readonly entries: readonly Entry[];
  /** Phrases that never sound: in no count. A meter that is asked for does not narrow them. */
  readonly silent: readonly SilentPhrase[];
}

/**
 * Counts on which counts phrases come in. n is the number of phrases that sound. Intervals: Wilson's on n divided by a design effect estimated between
 * solos; fewer than five solos: counts only.
 * @example
 * const table = toneTable([{ id: 'two-doors-down', solo: parseSoloOrThrow(EXAMPLE_SOLO) }])
 * entryUse(table, { where: { meter: '4/4' } }).counts.rows.map((r) => [r.value, r.count, r.share]) // => [['1', 1, { share: 0.5 }], ['4&', 1, { share: 0.5 }]]
 */
export function entryUse(table: ToneTable, options: EntryOptions = {}): EntryUse {
  const { by = ['player'], where = {}, intervals = true } = options;
  const { meter, ...tones } = where;
  const all = entriesOf(table);
  const entries = all.entries.filter((e) => (meter === undefined || e.meter === meter) && passesFilter(tones, only(e)));
  const groups = by.map((g) => labelColumn(entries.map((e) => e[g])));
  const codes: Int32Array = Int32Array.from(entries, ({ row }) => table.columns.solo[row] as number);
  const solo = { codes, size: Math.max(1, table.solos.length) };
  const inOrder = [...entries].sort((a, b) => a.pulses - b.pulses).map((e) => e.count);
  const count = (texts: readonly string[], order: readonly string[]) =>
    shareTable({ by: groups, value: labelColumn(texts, [...new Set(order)]), solo, intervals });
  return {
    by,
    entries,
    counts: count(
      entries.map((e) => e.count),
      inOrder,
    ),
    kinds: count(
      entries.map((e) => e.kind),
      ENTRY_KINDS,
    ),
    silent: all.silent.filter((p) => passesFilter(tones, { player: p.player, solo: p.solo })),
  };
}

/** What of an entry a filter of tones can ask after. */
const only = ({ player, solo, key }: Entry) => ({ player, solo, key });
