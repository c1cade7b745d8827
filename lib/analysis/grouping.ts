// What tones can be grouped and filtered by, as coded columns of a tone table.

import { nearest } from '../foundation/nearest.js';
import { REACHED, TONE_STARTS } from '../guitar/technique.js';
import type { KeyColumn } from '../math/counting.js';
import { FIGURES } from '../solo/figure.js';
import { ROLES } from '../solo/harmony.js';
import { FLAG, MISSING, PHRASE_POSITIONS, type ToneTable } from '../solo/tone-table.js';
import { QUALITIES } from '../theory/chord.js';

/** What tones can be grouped by. `chord` is the symbol, `function` its Roman numeral in the key, `quality` its family, `attack` how the tone begins. */
export const GROUPINGS = [
  'player',
  'solo',
  'key',
  'function',
  'chord',
  'quality',
  'position',
  'attack',
  'reached',
  'role',
  'figure',
] as const;
/** What tones can be grouped by. */
export type Grouping = (typeof GROUPINGS)[number];

/** A coded column and what its codes are called. */
export interface GroupColumn extends KeyColumn {
  readonly labels: readonly string[];
}

const NONE = 'none';
const withMissing = (labels: readonly string[]): readonly string[] => {
  const all = [...labels];
  all[MISSING] = NONE;
  return all;
};
const POSITION_LABELS = withMissing(PHRASE_POSITIONS);
const QUALITY_LABELS = withMissing(QUALITIES);
const ROLE_LABELS = withMissing(ROLES);
const FIGURE_LABELS = withMissing(FIGURES);

/** The column of a grouping; with anticipation, chords are those that pushed tones are heard against. */
export function groupColumn(table: ToneTable, grouping: Grouping, anticipation = false): GroupColumn {
  const c = table.columns;
  const coded = (codes: KeyColumn['codes'], labels: readonly string[]): GroupColumn => ({
    codes,
    size: Math.max(1, labels.length),
    labels,
  });
  switch (grouping) {
    case 'player': {
      const codes: Uint16Array = new Uint16Array(table.rows);
      for (let i = 0; i < codes.length; i++) codes[i] = table.playerOfSolo[c.solo[i] as number] as number;
      return coded(codes, table.players);
    }
    case 'solo':
      return coded(
        c.solo,
        table.solos.map((s) => s.id),
      );
    case 'key':
      return coded(c.key, table.keys);
    case 'function':
      return coded(anticipation ? c.pushedFunction : c.function, table.functions);
    case 'chord':
      return coded(anticipation ? c.pushedChord : c.chord, table.chords);
    case 'quality':
      return coded(anticipation ? c.pushedQuality : c.quality, QUALITY_LABELS);
    case 'position':
      return coded(c.position, POSITION_LABELS);
    case 'attack':
      return coded(c.start, TONE_STARTS);
    case 'reached':
      return coded(c.reached, REACHED);
    case 'role':
      return coded(anticipation ? c.pushedRole : c.role, ROLE_LABELS);
    case 'figure':
      return coded(c.figure, FIGURE_LABELS);
  }
}

/**
 * The players meant by names as a person types them: a full name in any case, or one of the names if no full name fits. Names that fit nobody are
 * handed back as they are, for {@link filterFaults} to say.
 * @example
 * playersMeant(['Ada Fenwick', 'Bo Marsh'], ['ada', 'BO MARSH', 'Cy']) // => ['Ada Fenwick', 'Bo Marsh', 'Cy']
 */
export function playersMeant(players: readonly string[], typed: readonly string[]): readonly string[] {
  return typed.flatMap((name) => {
    const lower = name.toLowerCase();
    const whole = players.filter((p) => p.toLowerCase() === lower);
    const part = players.filter((p) => p.toLowerCase().split(/\s+/).includes(lower));
    return whole.length > 0 ? whole : part.length > 0 ? part : [name];
  });
}

/** Which tones to take: for each grouping named, the values that count. `chord` takes symbols and Roman numerals alike. */
export type ToneFilter = { readonly [G in Grouping]?: string | readonly string[] };

/** A filter that names something the corpus does not have. */
export interface FilterFault {
  readonly grouping: Grouping;
  readonly value: string;
  readonly suggestion?: string;
  /** What the corpus has. */
  readonly known: readonly string[];
  /** Of a chord: those of them that are functions. */
  readonly functions?: readonly string[];
}

/** Values of a filter that the table does not know: said before anything is counted, so that a slip is no empty table. */
export function filterFaults(table: ToneTable, filter: ToneFilter): readonly FilterFault[] {
  const faults: FilterFault[] = [];
  for (const [grouping, values] of entries(filter)) {
    const known =
      grouping === 'chord'
        ? [...table.chords, ...table.functions]
        : groupColumn(table, grouping).labels.filter((l) => l !== undefined);
    for (const value of values)
      if (!known.some((k) => isMeant(k, value, grouping))) {
        const suggestion =
          grouping === 'solo' ? soloMeant(table, value) : nearestOf(known, value, grouping === 'player');
        const real = (name: string) => name !== 'pickup' && name !== 'N.C.';
        faults.push({
          grouping,
          value,
          known: [...new Set(known)].filter(grouping === 'chord' ? real : () => true),
          ...(grouping === 'chord' && { functions: [...new Set(table.functions)].filter(real) }),
          ...(suggestion !== undefined && { suggestion }),
        });
      }
  }
  return faults;
}

/** The nearest name; a player may be meant by one of the names. */
function nearestOf(known: readonly string[], value: string, byPart = false): string | undefined {
  const ways = (k: string) => [k, ...(byPart ? k.split(/\s+/) : [])].map((way) => way.toLowerCase());
  const near = nearest(value.toLowerCase(), known.flatMap(ways), 3);
  return near === undefined ? undefined : known.find((k) => ways(k).includes(near));
}

/** A solo by something that looks like its file's name or its title, or by words of these. */
function soloMeant(table: ToneTable, value: string): string | undefined {
  const words = (text: string) =>
    text
      .toLowerCase()
      .replace(/[^\p{L}\p{N}]+/gu, '-')
      .replace(/^-|-$/g, '');
  const asked = words(value);
  const names = table.solos.flatMap(({ id, solo }) => [
    [words(id), id],
    [words(solo.title), id],
  ]) as [string, string][];
  const near = nearestOf(
    names.map(([name]) => name),
    asked,
  );
  const found =
    asked === ''
      ? undefined
      : (names.find(([name]) => name.startsWith(asked)) ?? names.find(([name]) => `-${name}-`.includes(`-${asked}-`)));
  return found?.[1] ?? names.find(([name]) => name === near)?.[1];
}

function entries(filter: ToneFilter): [Grouping, readonly string[]][] {
  const found: [Grouping, readonly string[]][] = []; // a plain loop: this is asked once for every stretch of chord
  for (const g of GROUPINGS) {
    const value = filter[g];
    if (value !== undefined) found.push([g, typeof value === 'string' ? [value] : value]);
  }
  return found;
}

/** Players, solos and keys by any case, a player also by one of the names; all else exactly, since ii and II differ. */
export function isMeant(label: string, value: string, grouping: Grouping): boolean {
  if (label === value || label.replace('°', 'o') === value) return true;
  if (grouping === 'player') return playersMeant([label], [value]).includes(label);
  return (grouping === 'solo' || grouping === 'key') && label.toLowerCase() === value.toLowerCase();
}

/** A filter with its players written out in full, as the table has them. */
export const inFull = (table: ToneTable, filter: ToneFilter): ToneFilter =>
  filter.player === undefined ? filter : { ...filter, player: playersMeant(table.players, [filter.player].flat()) };

/** True if values of some groupings are all let through; groupings that are not given are not asked about. */
export function passesFilter(
  filter: ToneFilter,
  values: { readonly [G in Grouping]?: string } & { readonly bars?: number },
): boolean {
  return entries(filter).every(([grouping, wanted]) => {
    const own = grouping === 'chord' ? [values.chord, values.function] : [values[grouping]];
    if (own.every((v) => v === undefined)) return true;
    return own.some((v) => v !== undefined && wanted.some((w) => isMeant(v, w, grouping)));
  });
}

/** 1 for each tone that is counted: not an ornament (unless asked for), under a chord (unless asked for), and let through by the filter. */
export function selection(
  table: ToneTable,
  options: {
    readonly where?: ToneFilter | undefined;
    readonly ornaments?: boolean | undefined;
    readonly anticipation?: boolean | undefined;
    readonly chordless?: boolean | undefined;
  },
): Uint8Array {
  const mask: Uint8Array = new Uint8Array(table.rows).fill(1);
  const { flags, degree, pushedDegree } = table.columns;
  const degrees = options.anticipation ? pushedDegree : degree;
  for (let i = 0; i < mask.length; i++) {
    if (!options.ornaments && (flags[i] as number) & FLAG.ornament) mask[i] = 0;
    if (!options.chordless && degrees[i] === MISSING) mask[i] = 0;
  }
  for (const [grouping, values] of entries(options.where ?? {})) {
    const passes =
      grouping === 'chord'
        ? [
            passing(table, 'chord', values, options.anticipation),
            passing(table, 'function', values, options.anticipation),
          ]
        : [passing(table, grouping, values, options.anticipation)];
    for (let i = 0; i < mask.length; i++)
      if (mask[i] && !passes.some(({ column, takes }) => takes[column.codes[i] as number])) mask[i] = 0;
  }
  return mask;
}

function passing(
  table: ToneTable,
  grouping: Grouping,
  values: readonly string[],
  anticipation = false,
): { column: GroupColumn; takes: boolean[] } {
  const column = groupColumn(table, grouping, anticipation);
  const meant = grouping === 'player' ? playersMeant(table.players, values) : values; // a full name before a part of one
  return {
    column,
    takes: column.labels.map((label) => label !== undefined && meant.some((v) => isMeant(label, v, grouping))),
  };
}
