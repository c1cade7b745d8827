// Two phrases in one rhythm, held against each other bar by bar: which bars are the same, which are moved as a whole.
import { type ToneTable, toneName } from '../solo/tone-table.js';
import { inScale, parseKey } from '../theory/scale.js';
import type { BarKinship } from './phrase-relation-kinds.js';
import type { PhraseLine } from './phrase-relation-lines.js';

/** Fewest tones of a bar that is the same, or moved; a moved one has three different tones at least. */
const LEAST_OF_BAR = 3;

/**
 * How each bar of the later phrase stands to the tones at the same places of the earlier one; `undefined` unless both have one rhythm, divided by the
 * barlines alike, and a bar is the same.
 */
export function kinshipByBar(table: ToneTable, a: PhraseLine, b: PhraseLine): readonly BarKinship[] | undefined {
  if (a.n !== b.n) return undefined;
  const { bar, onset } = table.columns;
  const [x, y] = [a.events.map(({ row }) => row), b.events.map(({ row }) => row)];
  const at = (rows: readonly number[], k: number) =>
    (onset[rows[k] as number] as number) - (onset[rows[0] as number] as number);
  const barOf = (rows: readonly number[], k: number) =>
    (bar[rows[k] as number] as number) - (bar[rows[0] as number] as number);
  if (x.some((_, k) => at(x, k) !== at(y, k) || barOf(x, k) !== barOf(y, k))) return undefined;
  const bars: BarKinship[] = [];
  for (let from = 0, until = 0; from < y.length; from = until) {
    while (until < y.length && barOf(y, until) === barOf(y, from)) until++;
    const [ones, others] = [x.slice(from, until), y.slice(from, until)];
    const here = { bar: bar[others[0] as number] as number, from, count: until - from };
    bars.push({ ...here, ...kinOf(table, ones, others) });
  }
  return bars.some(({ kin }) => kin === 'same') ? bars : undefined;
}

function kinOf(
  table: ToneTable,
  a: readonly number[],
  b: readonly number[],
): Pick<BarKinship, 'kin' | 'semitones' | 'steps'> {
  const { pitch } = table.columns;
  const cents = (row: number) => pitch[row] as number;
  if (a.length < LEAST_OF_BAR) return { kin: 'other' };
  const moves = a.map((row, k) => cents(b[k] as number) - cents(row));
  if (moves.every((move) => move === 0)) return { kin: 'same' };
  if (new Set(a.map(cents)).size < LEAST_OF_BAR) return { kin: 'other' };
  if (moves.every((move) => move === moves[0]) && (moves[0] as number) % 100 === 0)
    return { kin: 'moved', semitones: (moves[0] as number) / 100 };
  const steps = a.map((row, k) => letterOf(table, b[k] as number) - letterOf(table, row));
  const inKeys = [...a, ...b].every((row) => cents(row) % 100 === 0 && isInKey(table, row));
  return inKeys && steps[0] !== 0 && steps.every((step) => step === steps[0])
    ? { kin: 'moved', steps: steps[0] as number }
    : { kin: 'other' };
}

/** Letters are steps of a scale: C4 is 28, D4 is 29. */
function letterOf(table: ToneTable, row: number): number {
  const name = toneName(table, row);
  return 'CDEFGAB'.indexOf(name[0] as string) + 7 * Number(/-?\d+/.exec(name)?.[0]);
}

function isInKey({ keys, columns: { key, degreeOverKey } }: ToneTable, row: number): boolean {
  const read = parseKey(keys[key[row] as number] as string);
  return 'names' in read && inScale(read, degreeOverKey[row] as number);
}
