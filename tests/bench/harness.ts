// Times alternatives side by side: warmed up first, then in turns. Compared are the fastest turns, since whatever else the machine
// has to do can only slow a turn down; medians are shown beside them.

/** How long one alternative took, in milliseconds. */
export interface Timing {
  readonly name: string;
  readonly median: number;
  readonly fastest: number;
  readonly slowest: number;
  /** Fastest over the fastest of the first alternative. */
  readonly ratio: number;
}

/** One way to do the job. What it returns is kept and compared by the caller, so that the work cannot be dropped as unused. */
export interface Alternative {
  readonly name: string;
  readonly run: () => unknown;
  /** Called once before all; for loops that the engine compiles well only after many short runs. */
  readonly warmUp?: () => void;
  /** Takes part in so many rounds only, because it is slow. */
  readonly rounds?: number;
}

/** What was aimed at, and what this run reached. */
export interface Aim {
  readonly what: string;
  readonly aim: number;
  readonly reached: number;
  readonly unit: string;
  /** Whether the aim is at most (the usual) or at least so much. */
  readonly atLeast?: boolean;
}

/** One topic as it was measured. */
export interface Report {
  readonly title: string;
  /** Seeds, sizes, versions: what it takes to measure it again. */
  readonly inputs: string;
  readonly text: string;
  readonly aims: readonly Aim[];
}

/**
 * Runs every alternative in turn, `rounds` times after `warmUps` that are not counted. Promises are awaited.
 * @param rounds - An odd number, so that the median is a round that took place. Default 15.
 */
export async function timeInTurns(
  alternatives: readonly Alternative[],
  rounds = 15,
  warmUps = 3,
): Promise<readonly Timing[]> {
  const times = alternatives.map((): number[] => []);
  for (const { warmUp } of alternatives) warmUp?.();
  for (let round = -warmUps; round < rounds; round++)
    for (const [i, { run, rounds: most = rounds }] of alternatives.entries()) {
      if (round >= most || round < -Math.min(warmUps, most)) continue;
      const start = performance.now();
      const running = run();
      if (running instanceof Promise) await running;
      if (round >= 0) times[i]?.push(performance.now() - start);
    }
  const sorted = times.map((list) => list.sort((a, b) => a - b));
  const medianOf = (list: readonly number[]): number => list[list.length >> 1] as number;
  const base = sorted[0]?.[0] as number;
  return alternatives.map(({ name }, i) => {
    const list = sorted[i] as number[];
    const fastest = list[0] as number;
    return { name, median: medianOf(list), fastest, slowest: list.at(-1) as number, ratio: fastest / base };
  });
}

/** The ratio of an alternative by its name. */
export function ratioOf(timings: readonly Timing[], name: string): number {
  const timing = timings.find((t) => t.name === name);
  if (!timing) throw new Error(`no alternative is named "${name}"`);
  return timing.ratio;
}

/** How much longer one alternative takes than another, in words. */
export function againstText(timings: readonly Timing[], name: string, other: string): string {
  return `${name}: ${(ratioOf(timings, name) / ratioOf(timings, other)).toFixed(2)} x of "${other}"`;
}

/** The timings as a table of plain text. `note` may say something at the end of a row. */
export function timingText(timings: readonly Timing[], note: (timing: Timing) => string = () => ''): string {
  const row = (...cells: readonly string[]): string =>
    cells.map((cell, i) => (i === 0 ? cell.padEnd(44) : i < 5 ? cell.padStart(10) : `  ${cell}`)).join('');
  const ms = (n: number): string => n.toFixed(2);
  const rows = timings.map((t) => row(t.name, ms(t.fastest), ms(t.median), ms(t.slowest), t.ratio.toFixed(2), note(t)));
  return [row('milliseconds', 'fastest', 'median', 'slowest', 'ratio'), ...rows]
    .map((line) => line.trimEnd())
    .join('\n');
}

/** Whole numbers as people read them: `1,007,103`. */
export const grouped = (n: number): string => n.toLocaleString('en');

/** An aim in words: `interval use: 1.21 x, aim at most 1.3 x: reached`. */
export function aimText({ what, aim, reached, unit, atLeast = false }: Aim): string {
  const isReached = atLeast ? reached >= aim : reached <= aim;
  const digits = reached < 100 ? 2 : 0;
  return `${isReached ? 'reached    ' : 'NOT REACHED'}  ${what}: ${reached.toFixed(digits)} ${unit}, aim ${atLeast ? 'at least' : 'at most'} ${aim} ${unit}`;
}

/** A report as plain text. */
export const reportText = ({ title, inputs, text, aims }: Report): string =>
  [title, inputs, '', text, ...(aims.length > 0 ? ['', ...aims.map(aimText)] : [])].join('\n');

/** Prints a report, and hands its aims to the process that started this one. */
export function publish(report: Report): void {
  console.log(`${reportText(report)}\n`);
  process.send?.(report.aims);
}
