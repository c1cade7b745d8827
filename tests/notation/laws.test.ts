import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  valueFor as oneValue,
  QUARTER,
  readValue,
  tupletDefault,
  VALUE_LETTERS,
  valuesOf,
  valueText,
  valueTicks,
} from '../../lib/foundation/time.js';
import { type Ticks, ticks } from '../../lib/foundation/units.js';
import { parseSolo, parseSoloOrThrow } from '../../lib/notation/parser.js';
import { printSolo } from '../../lib/notation/printer.js';
import { unplayable } from '../../lib/solo/playability.js';
import { compareNotes, phraseEnd, type Solo } from '../../lib/solo/solo.js';
import { countsByThree, countText, meterOf, onBeat, parseCount, parseMeter } from '../../lib/theory/meter.js';
import { lengths, METERS, meters, solos } from '../arbitraries.js';
import { writtenSolos } from '../arbitrary-texts.js';
import { CORPUS } from './corpus.js';
import { phraseOf } from './marked.js';

/** The solo that a text gives, which must have no fault in it. */
function read(text: string): Solo {
  const { value, diagnostics } = parseSolo(text);
  expect(
    diagnostics.filter((d) => d.severity === 'fault'),
    text,
  ).toEqual([]);
  return value!;
}

describe('arbitrary solos', () => {
  it('are what solo.ts promises: in order, playable, no overlap in a phrase or between phrases', () => {
    const seen = { on: 0, grace: 0, bent: 0, together: 0, uneven: 0, damps: 0, remarks: 0 };
    fc.assert(
      fc.property(solos, ({ phrases, guitar }) => {
        let free = 0;
        for (const phrase of phrases) {
          expect(phrase.at).toBeGreaterThanOrEqual(free);
          free = phraseEnd(phrase);
          const { notes, damps, remarks } = phrase;
          expect([...notes].sort(compareNotes)).toEqual(notes);
          expect([...new Set(damps)].sort((a, b) => a - b)).toEqual(damps);
          expect(unplayable(phrase, guitar).filter((u) => u.severity === 'fault')).toEqual([]);
          const onsets = [...new Set(notes.map((n) => n.onset))];
          const endOf = (onset: number) =>
            Math.max(...notes.filter((n) => n.onset === onset).map((n) => n.onset + n.length));
          onsets.forEach((onset, i) => {
            expect(onset).toBeGreaterThanOrEqual(i === 0 ? phrase.at : endOf(onsets[i - 1]!));
            expect(notes.some((n) => n.onset === onset && n.grace === 0 && n.length > 0)).toBe(true);
            const main = notes.filter((n) => n.onset === onset && n.grace === 0);
            if (main.length > 1) seen.together++;
            if (new Set(main.map((n) => n.length)).size > 1) seen.uneven++;
          });
          expect(endOf(onsets.at(-1)!)).toBeLessThanOrEqual(free);
          for (const remark of remarks) if (remark.at !== undefined) expect(onsets).toContain(remark.at);
          seen.on += notes.filter((n) => n.kind === 'on').length;
          seen.grace += notes.filter((n) => n.grace > 0).length;
          seen.bent += notes.filter((n) => n.path.length > 0).length;
          seen.damps += damps.length;
          seen.remarks += remarks.length;
        }
      }),
      { numRuns: 150, seed: 1 },
    );
    // A law that never meets a thing says nothing of it.
    for (const [what, times] of Object.entries(seen)) expect(times, what).toBeGreaterThan(20);
  });
});

describe('solo text', () => {
  it('read back from print, every solo is itself, and its print stays as it is', () => {
    fc.assert(
      fc.property(solos, (solo) => {
        const text = printSolo(solo);
        const again = read(text);
        expect(again, text).toStrictEqual(solo);
        expect(printSolo(again)).toBe(text);
      }),
      { numRuns: 500 },
    );
  });

  it('as players type it says what its words say, and is the same solo once printed', () => {
    fc.assert(
      fc.property(writtenSolos, (written) => {
        const solo = read(written.text);
        expect(solo.changes.bars.length, written.text).toBe(written.bars);
        const found = solo.phrases.map(({ id, at, length, notes, damps, remarks }) => ({
          id,
          at,
          end: at + length,
          notes: notes.map(({ onset, length, string, fret, kind, start, grace, ring }) => ({
            ...{ onset, length, string, fret, kind, start, grace, ring },
          })),
          damps,
          remarks,
        }));
        const inOrder = written.phrases.map((p) => ({
          ...p,
          notes: [...p.notes].sort((a, b) => a.onset - b.onset || b.grace - a.grace || a.string - b.string),
        }));
        expect(found, written.text).toEqual(inOrder);
        expect(read(printSolo(solo)), written.text).toStrictEqual(solo);
      }),
      { numRuns: 500 },
    );
  });

  it.each(CORPUS)('%s is read without a fault, and printing it twice changes nothing', (name, text) => {
    const { value, diagnostics } = parseSolo(text, name);
    expect(diagnostics.filter((d) => d.severity === 'fault')).toEqual([]);
    const printed = printSolo(value!);
    expect(read(printed)).toStrictEqual(value);
    expect(printSolo(read(printed))).toBe(printed);
  });

  it('the time in a recording is kept to the millisecond', () => {
    const heard = (time: string) =>
      parseSoloOrThrow(phraseOf('q 5@2').replace('at 1', `heard ${time}\nat 1`)).phrases[0]!.heard;
    expect([heard('2:14'), heard('0:05.5'), heard('1:01.029'), heard('999:59.999')]).toEqual([
      134, 5.5, 61.029, 59999.999,
    ]);
  });

  it('line ends may be LF, CRLF or CR, with or without a byte order mark', () => {
    for (const [, text] of CORPUS.slice(0, 3))
      for (const end of ['\r\n', '\r'])
        for (const mark of ['', '\ufeff'])
          expect(parseSoloOrThrow(mark + text.replace(/\n/g, end))).toEqual(parseSoloOrThrow(text));
  });
});

describe('note values', () => {
  // A whole note is four quarters; a dot adds half of what it follows; three in the time of two. Common practice, no source.
  it.each([
    ['w', 4],
    ['h', 2],
    ['q', 1],
    ['e', 1 / 2],
    ['s', 1 / 4],
    ['t', 1 / 8],
    ['q.', 3 / 2],
    ['q..', 7 / 4],
    ['h.', 3],
    ['e.', 3 / 4],
    ['q:3', 2 / 3],
    ['e:3', 1 / 3],
    ['e:5', 2 / 5],
    ['s:7', 1 / 7],
    ['e:5/4', 2 / 5],
    ['e:9', 4 / 9],
    ['q:4', 1 / 2],
    ['e:6', 1 / 3],
    ['s:15', 2 / 15],
    ['e:2/3', 3 / 4],
    ['q:4/3', 3 / 4],
  ] as const)('%s lasts %d quarters', (text, quarters) => {
    expect(readValue(text)).toBe(Math.round(quarters * QUARTER));
  });

  it('one value for any length is exact, and can be read', () => {
    const exact = (length: Ticks) => {
      const value = oneValue(length);
      expect(valueTicks(value)).toBe(length);
      expect(readValue(valueText(value))).toBe(length);
    };
    for (let n = 1; n <= 4 * QUARTER; n += 7) exact(ticks(n));
    fc.assert(fc.property(fc.oneof(lengths, fc.integer({ min: 1, max: 3_000_000 }).map(ticks)), exact));
  });

  it('tied values add up to any length exactly, each as it is written', () => {
    fc.assert(
      fc.property(fc.oneof(lengths, fc.integer({ min: 1, max: 3_000_000 }).map(ticks)), (length) => {
        const written = valuesOf(length).map((v) => readValue(valueText(v)));
        expect(written.length).toBeLessThanOrEqual(4);
        expect(written.reduce<number>((a, b) => a + (b as number), 0)).toBe(length);
      }),
      { numRuns: 500 },
    );
  });

  it('text and value are one: reading what is written gives its ticks, or says that it is off the lattice', () => {
    const letter = fc.constantFrom(...VALUE_LETTERS);
    fc.assert(
      fc.property(
        letter,
        fc.nat(4),
        fc.integer({ min: 1, max: 40 }),
        fc.integer({ min: 1, max: 40 }),
        (letter, dots, n, m) => {
          const value = { letter, dots, n, m: n === 1 && m === tupletDefault(1) ? 1 : m };
          expect(readValue(valueText(value))).toBe(valueTicks(value) ?? 'off');
        },
      ),
    );
  });
});

describe('counts', () => {
  const ticksOfCounts = (meter: string, counts: string) =>
    counts.split(' ').map((c) => parseCount(c, parseMeter(meter)!));

  // Quarters are counted 1 e & a; triplets 1 t l; 6/8 in six, 12/8 in four. Common practice, no source.
  it.each([
    ['4/4', '1 1e 1& 1a 2 3 4 4a', [0, 1 / 4, 1 / 2, 3 / 4, 1, 2, 3, 3.75]],
    ['4/4', '2t 2l 2&+t 1+e. 4a+s:3', [4 / 3, 5 / 3, 1.625, 0.75, 3.75 + 1 / 6]],
    ['6/8', '1 2 3 4 5 6 6& 4e', [0, 0.5, 1, 1.5, 2, 2.5, 2.75, 1.625]],
    ['12/8', '1 2 3 4 1t 1l 2& 4l', [0, 1.5, 3, 4.5, 0.5, 1, 2.25, 5.5]],
    ['9/8', '1 2 3 3t', [0, 1.5, 3, 3.5]],
    ['2/2', '1 1e 1& 2 2&', [0, 0.5, 1, 2, 3]],
    ['7/8', '1 7 7&', [0, 3, 3.25]],
    ['5/4', '5a', [4.75]],
  ] as const)('%s: %s', (meter, counts, quarters) => {
    expect(ticksOfCounts(meter, counts)).toEqual(quarters.map((q) => q * QUARTER));
  });

  it.each([
    ['4/4', '0 5 4a+s 5& 1b 1& & e1 1+x 1+e:0 -1 1. 1e& 123'],
    ['3/4', '4'],
    ['6/8', '7'],
    ['12/8', '5'],
  ])('%s has no %s', (meter, counts) => {
    for (const [i, at] of ticksOfCounts(meter, counts).entries())
      if (counts.split(' ')[i] !== '1&') expect(at, counts.split(' ')[i]).toBeUndefined();
  });

  it('a count and its place in the bar are one, in every meter there is', () => {
    for (const under of [1, 2, 4, 8, 16, 32])
      for (let over = 1; over <= 32; over++) {
        const meter = meterOf(over, under)!;
        for (let pulse = 0; pulse < meter.barTicks / meter.pulseTicks; pulse++)
          for (const [mark, share] of [
            ['', 0],
            ['e', 3],
            ['t', 4],
            ['&', 6],
            ['l', 8],
            ['a', 9],
          ] as const) {
            const at = (pulse + share / 12) * meter.pulseTicks;
            const count = `${pulse + 1}${mark}`;
            expect(parseCount(count, meter), `${count} in ${over}/${under}`).toBe(Math.round(at));
            // Of a dotted beat of three eighths the half is a sixteenth behind the second.
            const half = mark === '&' && countsByThree(meter);
            if (half) expect(countText(ticks(Math.round(at)), meter)).toMatch(/^\d+t\+/);
            else expect(countText(ticks(Math.round(at)), meter)).toBe(count);
          }
      }
  });

  it('any tick of any bar has a count', () => {
    fc.assert(
      fc.property(meters, fc.nat(), (meter, n) => {
        const at = ticks(n % meter.barTicks);
        expect(parseCount(countText(at, meter), meter)).toBe(at);
      }),
      { numRuns: 2000 },
    );
  });

  it('on the beat are as many places as the meter has beats', () => {
    const beats = METERS.map(
      (meter) =>
        Array.from({ length: meter.barTicks / 630 }, (_, i) => ticks(i * 630)).filter((at) => onBeat(at, meter)).length,
    );
    expect(beats).toEqual([4, 3, 2, 4, 7, 5, 3, 2, 2, 3, 5, 6, 2, 13, 1, 11]);
  });
});
