// Relations that only one solo can have: the next phrase answers, and a cell within a phrase is repeated, moved.
import { TONE_STARTS } from '../guitar/technique.js';
import { MISSING, type ToneTable, toneName } from '../solo/tone-table.js';
import { DEGREE_NAMES } from '../theory/interval.js';
import { type Answer, LEAST, type Sequence, strengthOf } from './phrase-relation-kinds.js';
import { LOOKS, type Look, type PhraseCorpus, type PhraseLine } from './phrase-relation-lines.js';
import { evidenceOf, isVaried, meterOfTone, rowsOf } from './phrase-relation-pair.js';

/** A tone in the words of a landing: `A3 (1 of A7)`. */
function landingWords(table: ToneTable, row: number): string {
  const { degree, chord } = table.columns;
  const name = toneName(table, row);
  if (degree[row] === MISSING) return name;
  return `${name} (${DEGREE_NAMES[degree[row] as number]} of ${table.chords[chord[row] as number]})`;
}

/**
 * The very next phrase answers: it opens with the same tones (at whatever times), or with the same times (two different lengths among them, unless they are
 * the times of both phrases throughout), for {@link LEAST.answer} tones at least, and its last tone is another pitch class.
 */
export function answerOf(corpus: PhraseCorpus, a: PhraseLine, b: PhraseLine): Omit<Answer, 'said'> | undefined {
  const { table } = corpus;
  if (a.solo !== b.solo || b.index !== a.index + 1) return undefined;
  const { pitch } = table.columns;
  const last = (line: PhraseLine) => line.events[line.n - 1]?.row as number;
  const [lastA, lastB] = [last(a), last(b)];
  if (((pitch[lastA] as number) - (pitch[lastB] as number)) % 1200 === 0) return undefined;
  const opening = commonTones(corpus, 'pitch', a, b);
  const times = commonTones(corpus, 'durations', a, b);
  const by = times > opening ? 'rhythm' : 'opening';
  const count = Math.max(opening, times);
  if (count === 0) return undefined;
  return {
    kind: 'answers',
    a: a.ref,
    b: b.ref,
    viewpoint: by === 'rhythm' ? 'durations' : 'pitch',
    extent: 'opening',
    by,
    evidence: evidenceOf(table, rowsOf(a, 0, count), rowsOf(b, 0, count), by === 'rhythm'),
    landings: { a: landingWords(table, lastA), b: landingWords(table, lastB) },
    strength: strengthOf('answers', count, a.n, b.n),
  };
}

/** How many tones open both alike, or 0 if they are too few or all one. */
function commonTones({ table, texts }: PhraseCorpus, name: string, a: PhraseLine, b: PhraseLine): number {
  const number = LOOKS.findIndex((l) => l.name === name);
  const look = LOOKS[number] as Look;
  const [x, y] = [a, b].map((line) => texts[number]?.texts[line.index]) as [Int32Array, Int32Array];
  let k = 0;
  while (k < x.length && k < y.length && x[k] === y[k]) k++;
  const count = look.main ? k : k === 0 ? 0 : k + 1;
  const whole = !look.main && count === a.n && count === b.n;
  return count >= LEAST.answer && (whole || isVaried(table, look, a, 0, count, 1)) ? count : 0;
}

/**
 * Sequences within a phrase, none overlapping another, those that cover most first: a cell of {@link LEAST.cell} tones or more is played again, steps and
 * times alike, moved by one and the same interval (not 0), perhaps again and again. Copies begin a whole number of beats apart. A cell of three tones is
 * repeated at once; of a longer one each tone more allows for one more tone between. Tones that answer each other are played alike: both struck (or
 * hammered, pulled, slid) or both a later stage of a bend, and with as many strings.
 */
export function sequencesOf(corpus: PhraseCorpus, line: PhraseLine): readonly Omit<Sequence, 'said'>[] {
  const { table } = corpus;
  const text = corpus.texts[LOOKS.findIndex((l) => l.name === 'steps+durations')]?.texts[line.index] as Int32Array;
  const found: { start: number; lag: number; cell: number; copies: number }[] = [];
  for (let lag = LEAST.cell; lag + LEAST.cell <= line.n; lag++)
    for (let start = 0; start + lag < text.length; start++) {
      if (start > 0 && text[start - 1] === text[start - 1 + lag]) continue; // begins before
      let run = 0;
      while (start + run + lag < text.length && text[start + run] === text[start + run + lag]) run++;
      if (run === 0) continue;
      const cell = Math.min(run + 1, lag);
      const copies = 1 + Math.max(1, Math.floor((run + 1) / lag));
      if (lag - cell <= cell - LEAST.cell) found.push({ start, lag, cell, copies });
    }
  found.sort((p, q) => q.cell * q.copies - p.cell * p.copies || p.start - q.start || p.lag - q.lag);
  const taken = new Uint8Array(line.n);
  const look = LOOKS.find((l) => l.name === 'steps+durations') as Look;
  return found.flatMap(({ start, lag, cell, copies }) => {
    const end = start + (copies - 1) * lag + cell;
    const [rows, again] = [rowsOf(line, start, cell), rowsOf(line, start + lag, cell)];
    const evidence = evidenceOf(table, rows, again, false);
    const apart = (line.events[start + lag]?.onset as number) - (line.events[start]?.onset as number);
    if (evidence.transposition === 0 || apart % meterOfTone(table, rows[0] as number).beatTicks !== 0) return [];
    if (!isOneGesture(corpus, line, start, lag, cell, copies)) return [];
    if (taken.subarray(start, end).includes(1) || !isVaried(table, look, line, start, cell)) return [];
    taken.fill(1, start, end);
    const tones = Array.from({ length: copies }, (_, k) => line.events[start + k * lag]?.row as number);
    return [
      {
        kind: 'sequence' as const,
        a: line.ref,
        b: line.ref,
        viewpoint: 'steps+durations',
        extent: 'run' as const,
        evidence,
        copies: tones,
        strength: strengthOf('steps+durations', cell * copies, line.n, line.n),
      },
    ];
  });
}

/** Whether the tones of all copies are played alike: no double-stop answers a single string, no bend let down a tone that is struck. */
function isOneGesture(
  { table }: PhraseCorpus,
  { events }: PhraseLine,
  start: number,
  lag: number,
  cell: number,
  copies: number,
): boolean {
  const played = (k: number): string => {
    const { row, rows } = events[k] as PhraseLine['events'][number];
    return `${rows.length} ${table.columns.start[row] === GOES_ON}`;
  };
  for (let copy = 1; copy < copies; copy++)
    for (let k = start; k < start + cell; k++) if (played(k) !== played(k + copy * lag)) return false;
  return true;
}
const GOES_ON = TONE_STARTS.indexOf('none');
