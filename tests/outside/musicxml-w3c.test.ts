// The examples of MusicXML 4.0 (W3C Music Notation Community Group, github.com/w3c/musicxml at 830fb18, docs/musicxml-reference), typed in from its text: what
// the standard says of tablature, bends, harmony and transposition, read by our reader.
import { describe, expect, it } from 'vitest';
import { KINDS } from '../../lib/exchange/musicxml-harmony.js';
import { parseMusicXml } from '../../lib/exchange/musicxml-read.js';
import { tonesOf } from '../../lib/solo/timeline.js';
import { noteOfKey } from '../../lib/theory/pitch.js';
import { attributes, el, harmony, measure, note, score } from '../exchange/musicxml-samples.js';
import { note as key, membersOf } from './reading.js';

const one = (...inside: readonly string[]) => parseMusicXml(score([measure(1, attributes(1), ...inside)]));

describe('W3C: tablature', () => {
  it('the tutorial bar: C4 hammered to D4, Eb4 pulled to D4 and C4, on string 3 at frets 5 7 8 7 5', () => {
    const h = (type: string) => `<hammer-on type="${type}" number="1"/>`;
    const p = (type: string, number: number) => `<pull-off type="${type}" number="${number}"/>`;
    const { solo } = parseMusicXml(
      score([
        measure(
          1,
          attributes(2, 0, '4/4', '<clef><sign>TAB</sign><line>5</line></clef>'),
          note('C4', 1, { at: '3/5', technical: h('start') }),
          note('D4', 2, { at: '3/7', technical: h('stop') }),
          note('Eb4', 1, { at: '3/8', technical: p('start', 1) }),
          note('D4', 1, { at: '3/7', technical: p('stop', 1) + p('start', 2) }),
          note('C4', 3, { at: '3/5', technical: p('stop', 2) }),
        ),
      ]),
    );
    const tones = tonesOf(solo!);
    expect(tones.map((t) => [t.pitch, t.start])).toEqual([
      [key('C4') * 100, 'picked'],
      [key('D4') * 100, 'hammered'],
      [key('Eb4') * 100, 'picked'],
      [key('D4') * 100, 'pulled'],
      [key('C4') * 100, 'pulled'],
    ]);
  });

  it('a guitar staff transposes by an octave: written C5 is the C4 of string 3, fret 5', () => {
    const treble = el('transpose', el('diatonic', '0'), el('chromatic', '0'), el('octave-change', '-1'));
    const { solo, report } = parseMusicXml(
      score([measure(1, attributes(1, 0, '4/4', treble), note('C5', 4, { at: '3/5' }))]),
    );
    expect(tonesOf(solo!)[0]!.pitch).toBe(key('C4') * 100);
    expect(report.entries.filter((e) => e.code === 'octave' || e.code === 'tuning')).toEqual([]);
  });

  it('staff-tuning: line 1 is the bottom line, the lowest string', () => {
    const tuning = ['E2', 'A2', 'D3', 'G3', 'B3', 'E4'].map(
      (n, i) =>
        `<staff-tuning line="${i + 1}"><tuning-step>${n[0]}</tuning-step><tuning-octave>${n[1]}</tuning-octave></staff-tuning>`,
    );
    const { solo } = parseMusicXml(
      score([
        measure(
          1,
          attributes(1, 0, '4/4', el('staff-details', el('staff-lines', '6'), ...tuning)),
          note('E4', 2, { at: '1/0' }),
          note('E2', 2, { at: '6/0' }),
        ),
      ]),
    );
    expect(solo!.guitar.tuning).toEqual([40, 45, 50, 55, 59, 64]);
    expect(tonesOf(solo!).map((t) => t.pitch / 100)).toEqual([64, 40]);
  });
});

describe('W3C: bends', () => {
  const tones = (name: string, at: string, ...bends: readonly string[]) =>
    tonesOf(one(note(name, 2, { at, technical: bends.join('') })).solo!).map((t) => [
      t.pitch,
      t.reached,
      t.length / 20160,
    ]);

  it('the bend example: string 4, fret 3, bend-alter 2', () => {
    expect(tones('F3', '4/3', '<bend><bend-alter>2</bend-alter></bend>')).toEqual([[key('G3') * 100, 'bent', 2]]);
  });

  it('the release example: E4 on string 2, fret 5, +2 and then -2 with release offset 1: written at its fretted pitch', () => {
    expect(
      tones(
        'E4',
        '2/5',
        '<bend><bend-alter>2</bend-alter></bend>',
        '<bend><bend-alter>-2</bend-alter><release offset="1"/></bend>',
      ),
    ).toEqual([
      [key('F#4') * 100, 'bent', 1],
      [key('E4') * 100, 'released', 1],
    ]);
  });

  it('the pre-bend example: Bb3 on string 3, fret 3, bend-alter -2 with pre-bend sounds C4 from the start', () => {
    expect(tones('Bb3', '3/3', '<bend><bend-alter>-2</bend-alter><pre-bend/></bend>')).toEqual([
      [key('C4') * 100, 'prebent', 2],
    ]);
  });
});

describe('W3C: harmony', () => {
  const symbol = (text: string): string => one(text, note('C4', 4)).melody!.changes.bars[0]![0]!.symbol;
  const degree = (value: number, alter: number, type: string) =>
    el('degree', el('degree-value', String(value)), el('degree-alter', String(alter)), el('degree-type', type));

  // Members from the definitions in kind-value; the eleventh and thirteenth chords are what players' symbols of that name hold (see musicxml-harmony.ts).
  it.each([
    ['major', 'C E G'],
    ['minor', 'C Eb G'],
    ['augmented', 'C E G#'],
    ['diminished', 'C Eb Gb'],
    ['dominant', 'C E G Bb'],
    ['major-seventh', 'C E G B'],
    ['minor-seventh', 'C Eb G Bb'],
    ['diminished-seventh', 'C Eb Gb Bbb'],
    ['augmented-seventh', 'C E G# Bb'],
    ['half-diminished', 'C Eb Gb Bb'],
    ['major-minor', 'C Eb G B'],
    ['major-sixth', 'C E G A'],
    ['minor-sixth', 'C Eb G A'],
    ['dominant-ninth', 'C E G Bb D'],
    ['major-ninth', 'C E G B D'],
    ['minor-ninth', 'C Eb G Bb D'],
    ['minor-11th', 'C Eb G Bb D F'],
    ['suspended-second', 'C D G'],
    ['suspended-fourth', 'C F G'],
    ['power', 'C G'],
  ])('kind %s is %s', (kind, members) => expect(membersOf(symbol(harmony('C', kind)))).toBe(members));

  it('every kind of kind-value is read as a chord; those that name no chord are said', () => {
    const rest = ['Neapolitan', 'Italian', 'French', 'German', 'pedal', 'Tristan', 'other', 'none'];
    const kinds = [...KINDS.map(([kind]) => kind), ...rest];
    expect(new Set(kinds).size).toBe(33);
    for (const kind of kinds) {
      const { melody, report } = one(harmony('C', kind), note('C4', 4));
      expect(melody!.changes.bars[0]![0]!.symbol).toMatch(kind === 'none' ? /^N\.C\.$/ : /^C/);
      expect(report.entries.some((e) => e.code === 'chord')).toBe(rest.includes(kind) && kind !== 'none');
    }
  });

  it('degree: A7 with the fifth altered by -1 and the third subtracted is A, Eb, G', () => {
    expect(membersOf(symbol(harmony('A', 'dominant', degree(5, -1, 'alter') + degree(3, 0, 'subtract'))))).toBe(
      'A Eb G',
    );
  });

  it('degree: what is added is measured against a dominant: 7 is the minor seventh, 13 altered by 1 the sharp one', () => {
    expect(membersOf(symbol(harmony('C', 'major', degree(7, 0, 'add'))))).toBe('C E G Bb');
    expect(membersOf(symbol(harmony('C', 'dominant', degree(13, 1, 'add'))))).toBe('C E G Bb A#');
    expect(membersOf(symbol(harmony('C', 'minor', degree(9, 0, 'add'))))).toBe('C Eb G D');
    expect(membersOf(symbol(harmony('G', 'dominant', degree(9, -1, 'add') + degree(5, 1, 'alter'))))).toBe(
      'G B D# F Ab',
    );
  });
});

describe('W3C: transpose', () => {
  it('is what must be added to a written pitch to get the sounding one: a trumpet in Bb writes D for C', () => {
    const { melody } = parseMusicXml(
      score([
        measure(
          1,
          attributes(1, 2, '4/4', '<transpose><diatonic>-1</diatonic><chromatic>-2</chromatic></transpose>'),
          note('D5', 4),
        ),
      ]),
    );
    const [n] = melody!.phrases[0]!.notes;
    expect([noteOfKey(n!.key, n!.name), melody!.key.tonicName]).toEqual(['C5', 'C']);
  });
});
