// Solo texts as players may type them, each with what it says: worked out here from the words alone, by tables of its own,
// so that the reader is checked against something that shares no code with it.
import fc from 'fast-check';
import { FAR_PAST } from '../lib/solo/changes.js';

export interface WrittenNote {
  readonly onset: number;
  length: number;
  readonly string: number;
  readonly fret: number;
  readonly kind: 'fretted' | 'dead' | 'on';
  readonly start: string;
  readonly grace: number;
  readonly ring: boolean;
}
export interface WrittenPhrase {
  readonly id: string;
  readonly at: number;
  end: number;
  readonly notes: WrittenNote[];
  damps: number[];
  readonly remarks: { readonly text: string; readonly at?: number }[];
}
export interface WrittenSolo {
  readonly text: string;
  readonly phrases: readonly WrittenPhrase[];
  /** How many bars the changes have, repeats written out. */
  readonly bars: number;
}

/** Ticks of a bar and of a counted pulse; 20160 to a quarter. */
const METERS: readonly (readonly [name: string, bar: number, pulse: number])[] = [
  ['4/4', 80640, 20160],
  ['3/4', 60480, 20160],
  ['6/8', 60480, 10080],
  ['12/8', 120960, 30240],
  ['7/8', 70560, 10080],
  ['5/4', 100800, 20160],
  ['9/8', 90720, 30240],
  ['2/2', 80640, 40320],
];
const VALUES: readonly (readonly [word: string, ticks: number])[] = [
  ['q', 20160],
  ['e', 10080],
  ['h', 40320],
  ['s', 5040],
  ['e:3', 6720],
  ['q.', 30240],
  ['t', 2520],
  ['w', 80640],
  ['q:3/2', 13440],
  ['e.', 15120],
  ['e:5', 8064],
  ['s:7/4', 2880],
  ['h..', 70560],
];
const COUNTS: readonly (readonly [mark: string, share: number])[] = [
  ['', 0],
  ['&', 2],
  ['e', 1],
  ['a', 3],
  ['t', 4 / 3],
  ['l', 8 / 3],
];
const STARTS: readonly (readonly [mark: string, start: string])[] = [
  ['', 'picked'],
  ['h', 'hammered'],
  ['p', 'pulled'],
  ['/', 'slid up'],
  ['\\', 'slid down'],
  ['t', 'tapped'],
];
const TAILS = ['', '', '', '~', '!', ':ghost', '~:1:down', '\\', '(0>2)', '(2)', '( 0 > 1.5 )', '(2>0)~', '(0>0.5>0)'];
const CHORDS = ['C7', 'F#7', 'Am7/G', 'Bb7#9', 'C6/9', 'N.C.', 'Ebmaj7'];
const REMARKS = ['', ' # a remark: 8@2 | q', '\t#', ' # "open'];

const gcd = (a: number, b: number): number => (b === 0 ? a : gcd(b, a % b));

/** Solo texts. The numbers are choices; 0 is the plainest, so that a failing text shrinks to a plain one. */
export const writtenSolos: fc.Arbitrary<WrittenSolo> = fc
  .array(fc.nat(5039), { minLength: 60, maxLength: 400, size: 'max' })
  .map(writeSolo);

function writeSolo(choices: readonly number[]): WrittenSolo {
  let next = 0;
  const pick = (n: number): number => (choices[next++] ?? 0) % n;
  const of = <T>(list: readonly T[]): T => list[pick(list.length)]!;
  const seldom = (): boolean => pick(7) === 6;
  const nl = of(['\n', '\r\n', '\r']);
  const lineEnd = (): string => of(REMARKS) + nl;
  const gap = (): string => (seldom() ? `${lineEnd()}  ` : of([' ', ' ', '  ', '\t']));

  let meter = of(METERS);
  const lines: string[] = [
    `${seldom() ? `# typed at home${nl}` : ''}---${nl}`,
    `title: ${of(['Lantern Row', '"Lantern #7"', "'Lantern: Row'"])}${lineEnd()}`,
    `player: Ada Fenwick${nl}meter: ${meter[0]}${lineEnd()}key: A minor${nl}tempo: 96${nl}---${nl}`,
  ];

  const rows = pick(4);
  const first = pick(2);
  const meters: (typeof METERS)[number][] = first === 1 ? [meter] : []; // by bar
  const bars: number[] = [];
  if (rows > 0) lines.push(`changes${lineEnd()}`);
  for (let row = 0; row < rows; row++) {
    if (pick(3) === 2) {
      meter = of(METERS);
      lines.push(`  meter ${meter[0]}${lineEnd()}`);
    }
    const cells = Array.from({ length: 1 + pick(4) }, (_, i) => {
      meters.push(meter);
      bars.push(meters.length - 1);
      return i + row > 0 && seldom() ? '%' : of(CHORDS);
    });
    lines.push(`  ${meters.length - cells.length} ${cells.join(of([' | ', '|']))}${of(['', ' |'])}${lineEnd()}`);
  }
  if (rows > 0 && pick(3) === 2) {
    const times = 2 + pick(2);
    const block = meters.slice(first);
    lines.push(`  repeat ${first}-${meters.length - 1} x${times}${nl}`);
    for (let i = 1; i < times; i++) meters.push(...block);
    bars.push(...bars.flatMap((b) => new Array<number>(times - 1).fill(b)));
  }
  const meterAt = (bar: number) => meters[bar] ?? meters[meters.length - 1] ?? meter;
  const startOf = (bar: number): number => {
    let start = 0;
    for (let i = 0; i < bar; i++) start += meterAt(i)[1];
    return start;
  };

  const phrases: WrittenPhrase[] = [];
  let bar = 0;
  for (let p = 0; p < 1 + pick(4); p++) {
    bar += of(p === 0 ? [0, 1, 0, 1] : [0, 1, 0, 6]);
    const [, barTicks, pulse] = meterAt(bar);
    const [mark, share] = of(COUNTS);
    let count = pick(barTicks / pulse);
    let offset = count * pulse + (share * pulse) / 4;
    const late = phrases.at(-1)?.notes.reduce((end, n) => Math.max(end, n.onset + n.length), 0) ?? 0;
    if (startOf(bar) + offset < late) {
      bar += 1;
      while (startOf(bar) < late) bar += 1;
      count = 0;
      offset = (share * meterAt(bar)[2]) / 4;
    }
    if (p > 0 && rows > 0 && bar > meters.length - 1 + FAR_PAST) break; // that would be a fault
    const at = startOf(bar) + offset;
    const before = phrases.at(-1);
    if (before && before.end > at) {
      before.end = at;
      before.damps = before.damps.filter((d) => d <= at);
    }
    const phrase: WrittenPhrase = { id: String(p + 1), at, end: at, notes: [], damps: [], remarks: [] };
    phrases.push(phrase);
    const head = `phrase ${p + 1}${of(['', ' "call"'])}${lineEnd()}`;
    const said = seldom() ? `say "before | it #1"${nl}` : '';
    if (said) phrase.remarks.push({ text: 'before | it #1' });
    lines.push(`${head}${said}at ${bar} ${count + 1}${mark}${lineEnd()}  `);
    const written = writePhrase(phrase, bar, offset);
    lines.push(written.join(''), lineEnd());
    // The next may come in where this one's notes have ended, and cut its last rests short.
    const over = pick(2) === 0 ? phrase.end : Math.max(...phrase.notes.map((n) => n.onset + n.length));
    while (startOf(bar + 1) <= over) bar += 1;
  }
  return { text: lines.join(''), phrases, bars: bars.length };

  function writePhrase(phrase: WrittenPhrase, from: number, offset: number): string[] {
    const words: string[] = [];
    let now = phrase.at;
    let value = '';
    let ringing = false;
    /** The notes a `_` would prolong, and where the word of their event stands. */
    let event: { notes: WrittenNote[]; onset: number; word: number; tied: boolean } | undefined;
    const say = (word: string) => words.push(word, gap());
    const barCount = 1 + pick(3);
    for (let b = 0; b < barCount; b++) {
      const end = startOf(from + b + 1);
      let left = end - (b === 0 ? startOf(from) + offset : startOf(from + b));
      const open = b === barCount - 1 && pick(2) === 0;
      let events = open ? 1 + pick(5) : Number.POSITIVE_INFINITY;
      while (left > 0 && events-- > 0) {
        let [word, length] = of(VALUES);
        if (length > left || seldom()) {
          // What is left of the bar, exactly, in one value.
          const shared = gcd(left, 20160);
          [word, length] = [`q:${20160 / shared}/${left / shared}`, left];
        }
        if (seldom()) {
          say(ringing ? 'damp' : 'ring');
          if (ringing && phrase.damps.at(-1) !== now) phrase.damps.push(now);
          ringing = !ringing;
        }
        if (word !== value || seldom()) say(word);
        value = word;
        writeEvent(length);
        now += length;
        left -= length;
        if (seldom() && event) {
          say('say "so"');
          phrase.remarks.push({ text: 'so', at: event.onset });
        }
      }
      if (left === 0) {
        if (words.at(-1)?.trim() === '' && pick(2) === 0) words.pop();
        say('|');
      }
    }
    phrase.end = now;
    return words;

    function writeEvent(length: number): void {
      const what = phrase.notes.length === 0 ? 0 : pick(8);
      if (what === 7) {
        say('-');
        event = undefined;
      } else if (what === 6 && event) {
        if (!event.tied && pick(2) === 0) {
          // Tails `_` on some of the notes say which go on.
          const parts = words[event.word]!.split('+');
          const kept = event.notes.filter((_, i) => i === 0 || pick(2) === 0);
          words[event.word] = parts.map((part, i) => (kept.includes(event!.notes[i]!) ? `${part}_` : part)).join('+');
          event.notes = kept;
          say('_');
        } else if (event.notes.length > 1 && pick(2) === 0) {
          event.notes = event.notes.slice(1);
          say(event.notes.map((n) => `_@${n.string}`).join('+'));
        } else say('_');
        event.tied = true;
        for (const note of event.notes) note.length += length;
      } else if (what === 5 && event && !phrase.damps.includes(now) && event.notes.some((n) => n.kind !== 'dead')) {
        const { string } = event.notes.find((n) => n.kind !== 'dead')!;
        note({ string, fret: 0, kind: 'on', start: 'none', grace: 0 }, length, '@', of(['', '=']));
      } else {
        const graces = what === 4 ? 1 + pick(2) : 0;
        for (let g = graces; g > 0; g--) one('g', g, 0);
        one('', 0, length);
      }
    }

    function one(prefix: string, grace: number, length: number): void {
      const strings = [1 + pick(6)];
      while (strings.length < 3 && seldom()) strings.push((strings.at(-1)! % 6) + 1);
      const [mark, start] = of(STARTS);
      const parts = strings.map((string, i) => {
        const dead = seldom();
        const fret = dead ? 0 : pick(13);
        const ring = seldom();
        const tail = dead ? '' : of(TAILS);
        const own = i === 0 ? mark : ''; // a start on the first holds for the others
        phrase.notes.push({
          onset: now,
          length,
          string,
          fret,
          kind: dead ? 'dead' : 'fretted',
          start,
          grace,
          ring: ring || (ringing && !dead),
        });
        return `${prefix}${own}${dead ? 'x' : fret}@${string}${tail}${ring ? '=' : ''}`;
      });
      if (grace === 0)
        event = { notes: phrase.notes.slice(-strings.length), onset: now, word: words.length, tied: false };
      say(parts.join('+'));
    }

    function note(
      what: Omit<WrittenNote, 'onset' | 'length' | 'ring'>,
      length: number,
      word: string,
      ring: string,
    ): void {
      const made = { ...what, onset: now, length, ring: ring === '=' || ringing };
      phrase.notes.push(made);
      event = { notes: [made], onset: now, word: words.length, tied: false };
      say(`${word}${what.string}${ring}`);
    }
  }
}
