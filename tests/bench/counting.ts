// Counting a million rows by three keys of even use, against a bare loop that does only the count.
import { isDeepStrictEqual } from 'node:util';
import { createRandom } from '../../lib/foundation/random.js';
import { bareCount, bareCountAndTicks, TIGHTEST, tightestCount, warmUp } from './bare-loop.js';
import { againstText, grouped, publish, type Report, ratioOf, timeInTurns, timingText } from './harness.js';
import { loadCounting } from './library.js';

const SEED = 20160;
const ROWS = 1_000_000;
const SIZES = [24, 12, 8] as const;

/** Throws if the library and the bare loops do not count alike: then a time means nothing. */
async function counting(): Promise<Report> {
  const { countCells, rowsByCell } = await loadCounting();
  const random = createRandom(SEED);
  const column = (size: number) => ({ codes: Uint8Array.from({ length: ROWS }, () => random.int(size)), size });
  const keys = [column(SIZES[0]), column(SIZES[1]), column(SIZES[2])] as const;
  const weights = Int32Array.from({ length: ROWS }, () => 1 + random.int(80640));
  const bare = bareCount(keys);
  const tightest = tightestCount(keys);
  const bareTicks = bareCountAndTicks(keys, weights);
  const found = countCells(keys, { weights });
  const { counts, sums } = bareTicks(ROWS);
  const alike =
    isDeepStrictEqual(
      [...found.counts],
      [...bare(ROWS)].filter((n) => n > 0),
    ) &&
    isDeepStrictEqual(
      [...found.counts],
      [...counts].filter((n) => n > 0),
    ) &&
    isDeepStrictEqual(
      [...found.sums],
      [...sums].filter((n) => n > 0),
    );
  if (!alike) throw new Error('countCells and the bare loops count differently');

  const timings = await timeInTurns(
    [
      { name: 'bare loop, count only', run: () => bare(ROWS), warmUp: () => warmUp(bare) },
      { name: TIGHTEST, run: () => tightest(ROWS), warmUp: () => warmUp(tightest) },
      { name: 'bare loop, count and ticks', run: () => bareTicks(ROWS), warmUp: () => warmUp(bareTicks) },
      { name: 'countCells', run: () => countCells(keys) },
      { name: 'countCells with ticks', run: () => countCells(keys, { weights }) },
      { name: 'rowsByCell with ticks', run: () => rowsByCell(keys, { weights }) },
    ],
    41,
    5,
  );
  return {
    title: 'Counting by three keys, each combination as frequent as any other',
    inputs: `seed ${SEED}, ${grouped(ROWS)} rows, keys of ${SIZES.join(' x ')} codes`,
    text: `${timingText(timings)}\n${againstText(timings, 'countCells with ticks', TIGHTEST)}`,
    aims: [
      {
        what: 'count and ticks over the bare loop that only counts',
        aim: 1.3,
        reached: ratioOf(timings, 'countCells with ticks'),
        unit: 'x',
      },
      {
        what: 'the same with the rows of each cell kept',
        aim: 5,
        reached: ratioOf(timings, 'rowsByCell with ticks'),
        unit: 'x',
      },
    ],
  };
}

publish(await counting());
