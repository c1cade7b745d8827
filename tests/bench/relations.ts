// Groups of related phrases in corpora of about 100, 1000 and 10,000 phrases: how long it takes, and how the work grows.
import { corpusTexts } from './generator.js';
import { grouped, publish, type Report, timeInTurns, timingText } from './harness.js';
import { loadLibrary } from './library.js';

const SEED = 1987;
const CHORUSES = 4;
const PLAYERS = 20;
const SOLOS = [5, 52, 513] as const;

async function relations(): Promise<Report> {
  const { parseSoloOrThrow, relationGroups, toneTable } = await loadLibrary();
  const texts = corpusTexts(SOLOS[2], CHORUSES, PLAYERS, SEED);
  const solos = texts.map((text, i) => ({ id: `study-${i}`, solo: parseSoloOrThrow(text) }));
  const tables = SOLOS.map((n) => toneTable(solos.slice(0, n)));
  const phrases = SOLOS.map((n) => solos.slice(0, n).reduce((sum, { solo }) => sum + solo.phrases.length, 0));
  // What is read of a table is kept with it: a copy of the table is read anew.
  const timings = await timeInTurns(
    tables.map((table, k) => ({
      name: `${grouped(phrases[k] as number)} phrases, ${grouped(table.rows)} tones`,
      run: () => relationGroups({ ...table }),
      ...(k === 2 && { rounds: 3 }),
    })),
    9,
    1,
  );
  const found = relationGroups({ ...(tables[2] as (typeof tables)[number]) });
  const [few, many, most] = timings.map(({ fastest }) => fastest) as [number, number, number];
  return {
    title: 'Relations of phrases: groups of a whole corpus, all kinds, without comparing all pairs',
    inputs: `seeds ${SEED} to ${SEED + SOLOS[2] - 1}, ${SOLOS.join(', ')} solos of ${CHORUSES} choruses by ${PLAYERS} players; the tone table is there already`,
    text: [
      timingText(timings),
      '',
      `Found in the largest: ${grouped(found.groups.length)} groups and ${grouped(found.pairs.length)} relations of single pairs, of ${grouped(((phrases[2] as number) * ((phrases[2] as number) - 1)) / 2)} pairs.`,
      `Ten times the phrases take ${(many / few).toFixed(1)} times, again ten times ${(most / many).toFixed(1)} times as long.`,
    ].join('\n'),
    aims: [
      { what: 'groups of about 10,000 phrases', aim: 8, reached: most / 1000, unit: 's' },
      { what: 'ten times the phrases (quadratic: 100)', aim: 35, reached: most / many, unit: 'x' },
    ],
  };
}

publish(await relations());
