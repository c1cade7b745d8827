// Reading scores as notation programs write them: time, voices, keys, chords, parts, repeats; what is approximated and dropped is said.
import { describe, expect, it } from 'vitest';
import { parseMusicXml, type ScoreOptions } from '../../lib/exchange/musicxml-read.js';
import type { ScoreReport } from '../../lib/exchange/musicxml-report.js';
import { noteOfKey } from '../../lib/theory/pitch.js';
import { keyText } from '../../lib/theory/scale.js';
import { attributes, backup, el, forward, harmony, measure, note, score, tempo } from './musicxml-samples.js';

const Q = 20160;
/** The notes of a melody as words: name, onset in quarters from the start of bar 1, length in quarters; `g` before a grace. */
function line(xml: string, options: ScoreOptions = {}): string {
  const { melody, diagnostics } = parseMusicXml(xml, options);
  if (!melody) return diagnostics.map((d) => d.code).join(' ');
  const start = melody.meter.barTicks;
  return melody.phrases
    .flatMap((p) => p.notes)
    .map(
      (n) =>
        `${n.grace > 0 ? 'g' : ''}${noteOfKey(n.key, n.name)} ${round((n.onset - start) / Q)}${n.grace > 0 ? '' : ` ${round(n.length / Q)}`}`,
    )
    .join(', ');
}
const round = (n: number): number => Math.round(n * 1000) / 1000;
const said = (report: ScoreReport): string[] => report.entries.map((e) => `${e.kind} ${e.code}`);
const chordsOf = (xml: string, options: ScoreOptions = {}): string => {
  const { melody, solo } = parseMusicXml(xml, options);
  const { firstBar, bars } = (melody ?? solo)!.changes;
  return `${firstBar}: ${bars.map((bar) => bar.map((c) => (c.at === 0 ? c.symbol : `${c.symbol}@${round(c.at / Q)}`)).join(' ')).join(' | ')}`;
};
const four = (...names: readonly string[]): string => names.map((n) => note(n, 1)).join('');

describe('time', () => {
  it('reads pitches and lengths in the divisions that hold, also where they change inside a part', () => {
    const xml = score([
      measure(1, attributes(2), note('C4', 2), note('D4', 1), note('E4', 1), note('F4', 4)),
      measure(
        2,
        el('attributes', el('divisions', '480')),
        note('G4', 480),
        note('A4', 240),
        note('B4', 240),
        el('attributes', el('divisions', '3')),
        note('C5', 2),
        note('D5', 4),
      ),
    ]);
    expect(line(xml)).toBe(
      'C4 0 1, D4 1 0.5, E4 1.5 0.5, F4 2 2, G4 4 1, A4 5 0.5, B4 5.5 0.5, C5 6 0.667, D5 6.667 1.333',
    );
  });

  it('joins ties into one note, over barlines and in chains, by the sound or the sign alone', () => {
    const xml = score([
      measure(1, attributes(1), note('C4', 3), note('D4', 1, { ties: '<tie type="start"/>' })),
      measure(2, note('D4', 4, { ties: '<tie type="stop"/><tie type="start"/>' })),
      measure(3, note('D4', 1, { notations: '<tied type="stop"/>', ties: '' }), note('D4', 1), note('D4', 2)),
    ]);
    expect(line(xml)).toBe('C4 0 3, D4 3 6, D4 9 1, D4 10 2');
  });

  it('says a tie from no note, and reads the note as played', () => {
    const { report } = parseMusicXml(
      score([measure(1, attributes(1), note('C4', 2), note('D4', 2, { ties: '<tie type="stop"/>' }))]),
    );
    expect(said(report)).toContain('approximated tie');
  });

  it('reads tuplets, nested ones too, by their durations', () => {
    // A triplet of quarters in the time of two, its middle note a triplet of eighths inside: 36 divisions to a quarter.
    const xml = score([
      measure(
        1,
        attributes(36),
        note('C4', 24),
        note('D4', 8),
        note('E4', 8),
        note('F4', 8),
        note('G4', 24),
        note('A4', 72),
      ),
    ]);
    expect(line(xml)).toBe('C4 0 0.667, D4 0.667 0.222, E4 0.889 0.222, F4 1.111 0.222, G4 1.333 0.667, A4 2 2');
    const exact = parseMusicXml(xml).melody!.phrases[0]!.notes.map((n) => n.length);
    expect(exact).toEqual([13440, 4480, 4480, 4480, 13440, 40320]);
  });

  it('rounds what is off the lattice from the place it stands at, so that nothing drifts, and says it', () => {
    const eleven = Array.from({ length: 11 }, () => note('C4', 4)).join('');
    const { melody, report } = parseMusicXml(score([measure(1, attributes(11), eleven)]));
    const notes = melody!.phrases[0]!.notes;
    expect(notes.every((n, i) => i === 0 || n.onset === notes[i - 1]!.onset + notes[i - 1]!.length)).toBe(true);
    expect(notes[10]!.onset + notes[10]!.length).toBe(melody!.meter.barTicks * 2);
    expect(said(report)).toContain('approximated lattice');
  });

  it('lets rests, also invisible ones, forward and backup take their time', () => {
    const xml = score([
      measure(
        1,
        attributes(1),
        note('-', 1, { attributes: ' print-object="no"' }),
        note('C4', 1),
        forward(1),
        note('D4', 1),
      ),
      measure(2, note('E4', 4), backup(4), note('C3', 1, { voice: '2' }), forward(2), note('D3', 1, { voice: '2' })),
    ]);
    expect(line(xml)).toBe('C4 1 1, D4 3 1, E4 4 4');
  });

  it('takes a rest for the whole measure as long as the measure, whatever duration it is given', () => {
    const whole = '<note><rest measure="yes"/><duration>4</duration></note>';
    const xml = score([
      measure(1, attributes(1, 0, '3/4'), note('C4', 3)),
      measure(2, whole),
      measure(3, '<note><rest/><duration>4</duration><type>whole</type></note>'),
      measure(4, note('D4', 3)),
      measure(5, '<note><rest measure="yes"/></note>'),
      measure(6, note('E4', 3)),
    ]);
    expect(line(xml)).toBe('C4 0 3, D4 9 3, E4 15 3');
  });

  it('gives a note without a duration the time of its type, dots and tuplet', () => {
    const typed = (type: string, more = '') =>
      `<note>${el('pitch', el('step', 'C'), el('octave', '4'))}${el('type', type)}${more}</note>`;
    const xml = score([
      measure(
        1,
        attributes(4),
        typed('quarter', '<dot/>'),
        typed('eighth'),
        typed('half', el('time-modification', el('actual-notes', '3'), el('normal-notes', '2'))),
      ),
    ]);
    expect(line(xml)).toBe('C4 0 1.5, C4 1.5 0.5, C4 2 1.333');
  });

  it('reads grace notes, and leaves them out when asked', () => {
    const xml = score([
      measure(
        1,
        attributes(1),
        note('C4', 1),
        note('D4', undefined),
        note('E4', undefined),
        note('F4', 1),
        note('G4', 2),
        note('A4', undefined),
      ),
      measure(2, note('B4', 4)),
    ]);
    expect(line(xml)).toBe('C4 0 1, gD4 1, gE4 1, F4 1 1, G4 2 2, gA4 4, B4 4 4');
    expect(parseMusicXml(xml).melody!.phrases[0]!.notes.map((n) => n.grace)).toEqual([0, 2, 1, 0, 0, 1, 0]);
    expect(line(xml, { graces: false })).toBe('C4 0 1, F4 1 1, G4 2 2, B4 4 4');
  });

  it('says a grace note that leads to no note', () => {
    const { report } = parseMusicXml(
      score([measure(1, attributes(1), note('C4', 3), note('D4', undefined), note('-', 1))]),
    );
    expect(said(report)).toContain('dropped grace');
  });
});

describe('bars', () => {
  const song = [measure(1, four('C4', 'D4', 'E4', 'F4')), measure(2, four('G4', 'A4', 'B4', 'C5'))];

  it('puts a pickup at the end of bar 0, marked as one, numbered 0, or neither', () => {
    for (const [open, number] of [
      [' implicit="yes"', '0'],
      [' implicit="yes"', 'X1'],
      ['', '0'],
      ['', '1'],
    ] as const) {
      const pickup = `<measure number="${number}"${open}>${attributes(1)}${note('G3', 1)}</measure>`;
      const { melody, report } = parseMusicXml(score([pickup, ...song]));
      const [first, second] = melody!.phrases[0]!.notes;
      expect([first!.onset, second!.onset]).toEqual([3 * Q, 4 * Q]);
      expect(said(report).includes('approximated pickup')).toBe(open === '' && number === '1');
    }
  });

  it('begins with bar 1 where the first measure is full, whatever its number', () => {
    expect(
      line(
        score([measure(17, attributes(1), four('C4', 'D4', 'E4', 'F4')), measure(18, four('G4', 'A4', 'B4', 'C5'))]),
      ),
    ).toMatch(/^C4 0 1/);
  });

  it('joins a bar that is split at a repeat sign, marked implicit or not', () => {
    for (const implicit of ['', ' implicit="yes"']) {
      const xml = score([
        measure(1, attributes(1), four('C4', 'D4', 'E4', 'F4')),
        measure(2, four('G4', 'A4', 'B4'), '<barline location="right"><repeat direction="backward"/></barline>'),
        `<measure number="3"${implicit}>${note('C5', 1)}</measure>`,
        measure(4, note('D5', 4)),
      ]);
      expect(line(xml)).toMatch(/C5 7 1, D5 8 4$/);
    }
  });

  it('fills a measure that is not filled, and gives a longer one a meter of its own', () => {
    const xml = score([
      measure(1, attributes(1), four('C4', 'D4', 'E4', 'F4')),
      measure(2, four('G4', 'A4')),
      measure(3, four('B4', 'C5', 'D5', 'E5', 'F5')),
      measure(4, note('G5', 4)),
    ]);
    expect(line(xml)).toBe(
      'C4 0 1, D4 1 1, E4 2 1, F4 3 1, G4 4 1, A4 5 1, B4 8 1, C5 9 1, D5 10 1, E5 11 1, F5 12 1, G5 13 4',
    );
    const { melody, report } = parseMusicXml(xml);
    expect(melody!.changes.settings.map((s) => `${s.bar} ${s.meter?.over}/${s.meter?.under}`)).toEqual([
      '3 5/4',
      '4 4/4',
    ]);
    expect(said(report)).toEqual(expect.arrayContaining(['approximated short-measure', 'approximated odd-measure']));
  });

  it('reads meters in all their forms, keys and tempos where they change', () => {
    const time = (beats: string, type: string) =>
      el('attributes', el('time', el('beats', beats), el('beat-type', type)));
    const xml = score([
      measure(1, attributes(2, -3), tempo(92), note('C4', 8)),
      measure(2, time('3+2', '8'), note('D4', 5)),
      measure(
        3,
        el(
          'attributes',
          el('key', el('fifths', '1'), el('mode', 'minor')),
          '<time><beats>2</beats><beat-type>4</beat-type><beats>3</beats><beat-type>8</beat-type></time>',
        ),
        el(
          'direction',
          el(
            'direction-type',
            '<metronome><beat-unit>quarter</beat-unit><beat-unit-dot/><per-minute>c. 80</per-minute></metronome>',
          ),
        ),
        note('E4', 7),
      ),
      measure(4, '<attributes><time><senza-misura/></time></attributes>', note('F4', 12)),
    ]);
    const { melody } = parseMusicXml(xml);
    expect([keyText(melody!.key), melody!.tempo]).toEqual(['Eb major', 92]);
    expect(
      melody!.changes.settings.map((s) => [
        s.bar,
        s.meter && `${s.meter.over}/${s.meter.under}`,
        s.key && keyText(s.key),
        s.tempo,
      ]),
    ).toEqual([
      [2, '5/8', undefined, undefined],
      [3, '7/8', 'E minor', 120],
      [4, '6/4', undefined, undefined],
    ]);
  });

  it('reads modes, and says where a key signature has none', () => {
    const keyed = (fifths: number, mode: string) =>
      score([
        measure(
          1,
          el(
            'attributes',
            el('divisions', '1'),
            el('key', el('fifths', String(fifths)), mode === '' ? '' : el('mode', mode)),
          ),
          note('C4', 4),
        ),
      ]);
    const cases = [
      [0, 'dorian', 'D dorian'],
      [-2, 'mixolydian', 'F mixolydian'],
      [3, 'minor', 'F# minor'],
      [1, 'lydian', 'C lydian'],
      [-5, 'aeolian', 'Bb minor'],
      [7, 'major', 'C# major'],
      [-7, 'major', 'Cb major'],
    ] as const;
    for (const [fifths, mode, text] of cases)
      expect(keyText(parseMusicXml(keyed(fifths, mode)).melody!.key)).toBe(text);
    expect(said(parseMusicXml(keyed(2, '')).report)).toContain('approximated mode');
  });

  it('reads the swing of MusicXML 4.0', () => {
    const xml = score([
      measure(
        1,
        attributes(1),
        '<sound><swing><first>2</first><second>1</second><swing-type>eighth</swing-type></swing></sound>',
        note('C4', 4),
      ),
      measure(2, '<sound><swing><straight/></swing></sound>', note('C4', 4)),
    ]);
    const { melody } = parseMusicXml(xml);
    expect(melody!.feel).toEqual({ kind: 'swing', value: 'e', long: 2, short: 1 });
    expect(melody!.changes.settings).toEqual([{ bar: 2, feel: { kind: 'straight' } }]);
  });
});

describe('transposition', () => {
  const with_ = (more: string, ...notes: readonly string[]) =>
    score([measure(1, attributes(1, 0, '4/4', more), harmony('D', 'minor'), ...notes)]);

  it('adds what the part says to pitches, keys and chords alike', () => {
    const bFlat = el('transpose', el('diatonic', '-1'), el('chromatic', '-2'));
    const { melody } = parseMusicXml(with_(bFlat, four('D5', 'E5', 'F#5', 'Bb4')));
    expect(melody!.phrases[0]!.notes.map((n) => noteOfKey(n.key, n.name))).toEqual(['C5', 'D5', 'E5', 'Ab4']);
    expect(keyText(melody!.key)).toBe('Bb major');
    expect(melody!.changes.bars[0]![0]!.symbol).toBe('Cm');
  });

  it('takes octave changes as sound, and octave clefs as nothing, since their pitches sound as written', () => {
    expect(line(with_(el('transpose', el('chromatic', '0'), el('octave-change', '-1')), note('C5', 4)))).toBe('C4 0 4');
    expect(
      line(
        with_('<clef><sign>G</sign><line>2</line><clef-octave-change>-1</clef-octave-change></clef>', note('C4', 4)),
      ),
    ).toBe('C4 0 4');
  });

  it('transposes one staff alone where its number is given', () => {
    const more = `<staves>2</staves><transpose number="1"><chromatic>0</chromatic><octave-change>-1</octave-change></transpose>`;
    const xml = score([
      measure(
        1,
        attributes(1, 0, '4/4', more),
        note('C5', 4, { staff: 1 }),
        backup(4),
        note('C4', 4, { staff: 2, voice: '5', at: '3/5' }),
      ),
    ]);
    const { solo, report } = parseMusicXml(xml);
    expect(solo!.phrases[0]!.notes).toHaveLength(1);
    expect(said(report)).toContain('chosen linked-staves');
  });
});

describe('chord symbols', () => {
  it('stand where they are written, with or without an offset', () => {
    const xml = score([
      measure(1, attributes(2), harmony('C', 'major-seventh'), harmony('A', 'minor', el('offset', '4')), note('C4', 8)),
      measure(2, note('D4', 4), harmony('G', 'dominant', el('offset', '-2')), note('E4', 4)),
    ]);
    expect(chordsOf(xml)).toBe('1: Cmaj7 Am@2 | Am G7@1'.replace('Am G7', 'G7'));
  });

  it('hold through measures without one; before the first there is none', () => {
    const xml = score([
      measure(1, attributes(1), note('C4', 4)),
      measure(2, harmony('F', 'major'), note('C4', 4)),
      measure(3, note('C4', 4)),
      measure(4, note('C4', 4)),
    ]);
    expect(chordsOf(xml)).toBe('2: F | F | F');
  });

  it('at one time the last rules, and it is said', () => {
    const xml = score([measure(1, attributes(1), harmony('C', 'major'), harmony('G', 'dominant'), note('C4', 4))]);
    expect(chordsOf(xml)).toBe('1: G7');
    expect(said(parseMusicXml(xml).report)).toContain('approximated two-chords');
  });

  it('keep their bass apart from the root; an inversion gives one', () => {
    const bass = el('bass', el('bass-step', 'F'), el('bass-alter', '1'));
    const xml = score([
      measure(
        1,
        attributes(1),
        harmony('D', 'major', bass),
        note('C4', 2),
        harmony('C', 'major', el('inversion', '1')),
        note('C4', 2),
      ),
    ]);
    expect(chordsOf(xml)).toBe('1: D/F# C/E@2');
  });

  it('N.C. is no chord; roots with accidentals, numerals and functions are read', () => {
    const numeral = el('harmony', el('numeral', el('numeral-root', '5')), el('kind', 'dominant'));
    const roman = el('harmony', el('function', 'IV'), el('kind', 'major'));
    const xml = score([
      measure(
        1,
        attributes(1, 2),
        harmony('C', 'none'),
        note('C4', 1),
        harmony('Bb', 'minor'),
        note('C4', 1),
        numeral,
        note('C4', 1),
        roman,
        note('C4', 1),
      ),
    ]);
    expect(chordsOf(xml)).toBe('1: N.C. Bbm@1 A7@2 G@3');
  });

  it('the text of a symbol is kept where it says the same as its kind', () => {
    const kind = (text: string, value: string) =>
      `<harmony><root><root-step>C</root-step></root><kind text="${text}">${value}</kind></harmony>`;
    const xml = score([
      measure(
        1,
        attributes(1),
        kind('-7', 'minor-seventh'),
        note('C4', 1),
        kind('m7', 'dominant'),
        note('C4', 1),
        kind('7#9', 'other'),
        note('C4', 1),
        kind('??', 'other'),
        note('C4', 1),
      ),
    ]);
    expect(chordsOf(xml)).toBe('1: C-7 C7@1 C7#9@2 C@3');
    expect(said(parseMusicXml(xml).report)).toContain('approximated chord');
  });

  it('are taken from another part where the one that is read has none', () => {
    const xml = score([
      { name: 'Guitar solo', measures: [measure(1, attributes(1), note('C4', 4)), measure(2, note('D4', 4))] },
      {
        name: 'Piano',
        measures: [
          measure(1, attributes(1), harmony('C', 'minor'), note('C3', 4)),
          measure(2, harmony('F', 'dominant'), note('D3', 4)),
        ],
      },
    ]);
    expect(chordsOf(xml)).toBe('1: Cm | F7');
  });
});

describe('parts, staves and voices', () => {
  const drums = {
    name: 'Drums',
    measures: [
      measure(
        1,
        attributes(1),
        '<note><unpitched><display-step>E</display-step><display-octave>4</display-octave></unpitched><duration>4</duration></note>',
      ),
    ],
  };
  const part = (name: string, pitchName: string) => ({
    name,
    measures: [measure(1, attributes(1), note(pitchName, 4))],
  });

  it('takes the part asked for by number, id or name, and says what there is if it is not there', () => {
    const xml = score([part('Voice', 'C4'), part('Keys', 'D4'), drums]);
    for (const [name, text] of [
      ['2', 'D4 0 4'],
      ['P2', 'D4 0 4'],
      ['keys', 'D4 0 4'],
      ['1', 'C4 0 4'],
    ] as const)
      expect(line(xml, { part: name })).toBe(text);
    const { diagnostics } = parseMusicXml(xml, { part: 'Horn' });
    expect(diagnostics[0]).toMatchObject({ code: 'no-such-part', remedy: 'parts: P1 "Voice", P2 "Keys", P3 "Drums"' });
  });

  it('chooses a guitar, a part with frets, or one with chords, never the drums, and says so', () => {
    expect(line(score([drums, part('Bass', 'C2'), part('Lead Guitar', 'E4')]))).toBe('E4 0 4');
    expect(line(score([drums, part('Flute', 'E5')]))).toBe('E5 0 4');
    const { report } = parseMusicXml(score([part('Bass', 'C2'), part('Lead Guitar', 'E4')]));
    expect(said(report)).toContain('chosen part');
    expect(report.part).toBe('Lead Guitar');
    expect(parseMusicXml(score([drums])).diagnostics[0]).toMatchObject({ code: 'no-notes', severity: 'fault' });
  });

  it('reads a notation staff and a tab staff of the same notes once, also as two parts, an octave apart or not', () => {
    const clef = '<staves>2</staves><clef number="2"><sign>TAB</sign></clef>';
    const staves = score([
      measure(
        1,
        attributes(1, 0, '4/4', clef),
        note('E5', 2, { staff: 1, notations: '<articulations><accent/></articulations>' }),
        note('D5', 2, { staff: 1 }),
        backup(4),
        note('E4', 2, { staff: 2, at: '1/0', voice: '5' }),
        note('D4', 2, { staff: 2, at: '2/3', voice: '5' }),
      ),
    ]);
    const parts = score([
      {
        name: 'Guitar',
        measures: [
          measure(
            1,
            attributes(1),
            note('E4', 2, { notations: '<articulations><accent/></articulations>' }),
            note('D4', 2),
          ),
        ],
      },
      {
        name: 'Guitar (tab)',
        measures: [
          measure(
            1,
            attributes(1, 0, '4/4', '<clef><sign>TAB</sign></clef>'),
            note('E4', 2, { at: '1/0' }),
            note('D4', 2, { at: '2/3' }),
          ),
        ],
      },
    ]);
    for (const xml of [staves, parts]) {
      const { solo } = parseMusicXml(xml);
      expect(solo!.phrases[0]!.notes.map((n) => [n.string, n.fret, n.accent])).toEqual([
        [1, 0, true],
        [2, 3, false],
      ]);
    }
    expect(said(parseMusicXml(parts).report)).toContain('chosen same-notes');
    expect(parseMusicXml(parts, { part: 'Guitar' }).solo!.phrases[0]!.notes).toHaveLength(2);
  });

  it('keeps the leading voice of a lead sheet, another where it is silent, and says what it dropped', () => {
    const xml = score([
      measure(1, attributes(1), four('C5', 'D5', 'E5', 'F5'), backup(4), note('C3', 4, { voice: '2' })),
      measure(2, note('-', 4), backup(4), note('G3', 4, { voice: '2' })),
    ]);
    expect(line(xml)).toBe('C5 0 1, D5 1 1, E5 2 1, F5 3 1, G3 4 4');
    expect(said(parseMusicXml(xml).report)).toContain('dropped voice');
  });

  it('keeps all voices of a tab: what sounds under others rings, and is damped where it ends', () => {
    const xml = score([
      measure(
        1,
        attributes(1),
        note('E4', 1, { at: '1/0' }),
        note('G4', 1, { at: '1/3' }),
        note('A4', 2, { at: '1/5' }),
        backup(4),
        note('E2', 2, { at: '6/0', voice: '2' }),
        note('B2', 2, { at: '5/2', voice: '2' }),
      ),
    ]);
    const { solo } = parseMusicXml(xml);
    expect(solo!.phrases[0]!.notes.map((n) => [n.onset / Q - 4, n.length / Q, n.string, n.ring])).toEqual([
      [0, 1, 1, false],
      [0, 1, 6, true],
      [1, 1, 1, false],
      [2, 2, 1, false],
      [2, 2, 5, false],
    ]);
    expect(solo!.phrases[0]!.damps).toEqual([6 * Q]);
  });

  it('reads chords at one time, cue notes and hidden notes not, slashes not', () => {
    const xml = score([
      measure(
        1,
        attributes(1),
        note('C4', 1),
        note('E4', 1, { before: '<chord/>' }),
        note('D4', 1, { before: '<cue/>' }),
        note('F4', 1, { attributes: ' print-object="no"' }),
        note('B4', 1, { notehead: '<notehead>slash</notehead>' }),
      ),
    ]);
    expect(line(xml)).toBe('E4 0 1, C4 0 1');
    expect(said(parseMusicXml(xml).report)).toEqual(
      expect.arrayContaining(['dropped cue', 'dropped hidden', 'dropped slash']),
    );
  });

  it('reads a score written measure by measure (timewise)', () => {
    const xml = `<score-timewise><part-list><score-part id="P1"><part-name>Lead</part-name></score-part></part-list><measure number="1"><part id="P1">${attributes(1)}${note('C4', 4)}</part></measure><measure number="2"><part id="P1">${note('D4', 4)}</part></measure></score-timewise>`;
    expect(line(xml)).toBe('C4 0 4, D4 4 4');
  });

  it('takes titles and players from where they stand', () => {
    const head =
      '<work><work-title>Low Gate</work-title></work><identification><creator type="composer">Ada Fenwick</creator></identification>';
    const { melody } = parseMusicXml(score([measure(1, attributes(1), note('C4', 4))], head));
    expect([melody!.title, melody!.player]).toEqual(['Low Gate', 'Ada Fenwick']);
    expect(
      parseMusicXml(score([measure(1, attributes(1), note('C4', 4))], '<movement-title>By the Sluice</movement-title>'))
        .melody!.title,
    ).toBe('By the Sluice');
  });

  it('makes rehearsal marks sections, and words remarks on the notes they stand over', () => {
    const direction = (what: string) => el('direction', el('direction-type', what));
    const xml = score([
      measure(
        1,
        attributes(1),
        direction('<rehearsal>A</rehearsal>'),
        direction('<words>dig in</words>'),
        note('C4', 4),
      ),
      measure(2, note('C4', 4)),
      measure(3, direction('<rehearsal>B</rehearsal>'), note('C4', 4)),
    ]);
    const { melody } = parseMusicXml(xml);
    expect(melody!.changes.sections).toEqual([
      { name: 'A', from: 1, to: 2 },
      { name: 'B', from: 3, to: 3 },
    ]);
    expect(melody!.phrases[0]!.remarks).toEqual([{ text: 'dig in', at: 4 * Q }]);
  });
});

describe('repeats', () => {
  const bar = (n: number, name: string, ...more: readonly string[]) =>
    measure(n, n === 1 ? attributes(1) : '', ...more, note(name, 4));
  const forwardSign = '<barline location="left"><repeat direction="forward"/></barline>';
  const backwardSign = (more = '') => `<barline location="right"><repeat direction="backward"${more}/></barline>`;
  const names = (xml: string, unfold = true) =>
    line(xml, { unfold })
      .replace(/(\w+) [\d.]+ 4(, )?/g, '$1 ')
      .trim();
  const sound = (attribute: string) => `<sound ${attribute}/>`;

  it('stand as written by default, which is said, and are played out when asked', () => {
    const xml = score([bar(1, 'C4'), bar(2, 'D4', backwardSign()), bar(3, 'E4')]);
    expect(names(xml, false)).toBe('C4 D4 E4');
    expect(said(parseMusicXml(xml).report)).toContain('chosen as-written');
    expect(names(xml)).toBe('C4 D4 C4 D4 E4');
  });

  it('with endings, times, and a first ending for several passes', () => {
    const ending = (n: string, type: string) => `<barline><ending number="${n}" type="${type}"/></barline>`;
    expect(
      names(
        score([
          bar(1, 'C4', forwardSign),
          bar(2, 'D4', ending('1', 'start'), ending('1', 'stop'), backwardSign()),
          bar(3, 'E4', ending('2', 'start'), ending('2', 'stop')),
          bar(4, 'F4'),
        ]),
      ),
    ).toBe('C4 D4 C4 E4 F4');
    expect(
      names(
        score([
          bar(1, 'C4'),
          bar(2, 'D4', ending('1, 2', 'start'), ending('1, 2', 'stop'), backwardSign()),
          bar(3, 'E4', ending('3', 'start'), ending('3', 'discontinue')),
        ]),
      ),
    ).toBe('C4 D4 C4 D4 C4 E4');
    expect(names(score([bar(1, 'C4', forwardSign, backwardSign(' times="3"')), bar(2, 'D4')]))).toBe('C4 C4 C4 D4');
  });

  it('with D.C. al Fine, D.S. al Coda, as signs for the sound or as words', () => {
    const words = (text: string) => el('direction', el('direction-type', el('words', text)));
    expect(names(score([bar(1, 'C4'), bar(2, 'D4', sound('fine="yes"')), bar(3, 'E4', sound('dacapo="yes"'))]))).toBe(
      'C4 D4 E4 C4 D4',
    );
    expect(names(score([bar(1, 'C4'), bar(2, 'D4', words('Fine')), bar(3, 'E4', words('D.C. al Fine'))]))).toBe(
      'C4 D4 E4 C4 D4',
    );
    expect(
      names(
        score([
          bar(1, 'C4'),
          bar(2, 'D4', sound('segno="s"')),
          bar(3, 'E4', sound('tocoda="c"')),
          bar(4, 'F4', sound('dalsegno="s"')),
          bar(5, 'G4', sound('coda="c"')),
        ]),
      ),
    ).toBe('C4 D4 E4 F4 D4 E4 G4');
  });

  it('never runs away, whatever the signs say', () => {
    const xml = score(
      Array.from({ length: 200 }, (_, i) => bar(i + 1, 'C4', forwardSign, backwardSign(' times="9999999"'))),
    );
    const { diagnostics, melody } = parseMusicXml(xml, { unfold: true });
    expect(melody ?? diagnostics.length).toBeTruthy();
  });
});

describe('measures written as a sign', () => {
  const sign = (type: string, many = '1') =>
    el('attributes', el('measure-style', `<measure-repeat type="${type}">${many}</measure-repeat>`));
  const whole = '<note><rest measure="yes"/><duration>4</duration></note>';
  it('stand for the measure before, with its chords, until the sign ends', () => {
    const xml = score([
      measure(1, attributes(1), harmony('C', 'major'), four('C4', 'D4', 'E4', 'F4')),
      measure(2, sign('start'), whole),
      measure(3, whole),
      measure(4, sign('stop'), four('G4', 'A4', 'B4', 'C5')),
    ]);
    expect(line(xml)).toBe(
      [
        'C4 0 1, D4 1 1, E4 2 1, F4 3 1',
        'C4 4 1, D4 5 1, E4 6 1, F4 7 1',
        'C4 8 1, D4 9 1, E4 10 1, F4 11 1',
        'G4 12 1, A4 13 1, B4 14 1, C5 15 1',
      ].join(', '),
    );
    expect(parseMusicXml(xml).report.read).toMatchObject({ notes: 16, 'measures by sign of repetition': 2 });
  });
  it('or for the two before; what is written out anyway stays; a sign with nothing before it is said', () => {
    const two = score([
      measure(1, attributes(1), four('C4', 'D4', 'E4', 'F4')),
      measure(2, four('G4', 'A4', 'B4', 'C5')),
      measure(3, sign('start', '2'), whole),
      measure(4, whole),
    ]);
    expect(line(two)).toContain('C4 8 1, D4 9 1, E4 10 1, F4 11 1, G4 12 1');
    const written = score([
      measure(1, attributes(1), four('C4', 'D4', 'E4', 'F4')),
      measure(2, sign('start'), four('G4', 'A4', 'B4', 'C5')),
    ]);
    expect(line(written)).toBe('C4 0 1, D4 1 1, E4 2 1, F4 3 1, G4 4 1, A4 5 1, B4 6 1, C5 7 1');
    const none = score([
      measure(1, attributes(1), sign('start'), whole),
      measure(2, sign('stop'), four('C4', 'D4', 'E4', 'F4')),
    ]);
    expect(said(parseMusicXml(none).report)).toContain('dropped measure-repeat');
  });
});
