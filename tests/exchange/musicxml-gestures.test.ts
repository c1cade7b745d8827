// What is written on notes beside pitch and time: strings, bends, hammers, slides, and the rest of what a hand does.
import { describe, expect, it } from 'vitest';
import { parseMusicXml } from '../../lib/exchange/musicxml-read.js';
import { tuningText } from '../../lib/guitar/fretboard.js';
import type { Note, Solo } from '../../lib/solo/solo.js';
import { attributes, backup, el, measure, note, score } from './musicxml-samples.js';

const Q = 20160;
const read = (...inside: readonly string[]) => parseMusicXml(score([measure(1, attributes(4), ...inside)]));
const notesOf = (...inside: readonly string[]): readonly Note[] => (read(...inside).solo as Solo).phrases[0]!.notes;
const codes = (...inside: readonly string[]): string[] =>
  read(...inside).report.entries.map((e) => `${e.kind} ${e.code}`);
const bend = (alter: number, more = '', attrs = ''): string =>
  el(`bend${attrs}`, el('bend-alter', String(alter)), more);
/** Levels of the only note's bend in frets' worth, with the time of those that have one in quarters. */
const levels = (...bends: readonly string[]): readonly string[] =>
  notesOf(note('D4', 8, { at: '3/7', technical: bends.join('') }))[0]!.path.map(
    (p) => `${p.level === null ? '-' : p.level / 100}${p.time === undefined ? '' : ` ${p.time / Q}`}`,
  );

describe('bends', () => {
  it('go up from the written pitch, which is the fretted one; a release is a second, negative bend', () => {
    expect(levels(bend(2))).toEqual(['0', '2']);
    expect(levels(bend(0.5))).toEqual(['0', '0.5']);
    expect(levels(bend(2), bend(-2, '<release/>'))).toEqual(['0', '2', '0']);
    expect(levels(bend(1), bend(1), bend(-1, '<release/>'))).toEqual(['0', '1', '2', '1']);
  });

  it('are pre-bends by their size, whatever their sign', () => {
    expect(levels(bend(-2, '<pre-bend/>'))).toEqual(['2']);
    expect(levels(bend(2, '<pre-bend/>'), bend(-2, '<release/>'))).toEqual(['2', '0']);
  });

  it('releases of a positive size or of none, and negative bends without a release sign, are taken and said', () => {
    expect(levels(bend(2), bend(2, '<release/>'))).toEqual(['0', '2', '0']);
    expect(levels(bend(2), bend(0, '<release/>'))).toEqual(['0', '2', '0']);
    expect(levels(bend(2), bend(-2))).toEqual(['0', '2', '0']);
    const on = (...b: readonly string[]) => codes(note('D4', 8, { at: '3/7', technical: b.join('') }));
    expect(on(bend(2), bend(2, '<release/>'))).toContain('approximated bend');
    expect(on(bend(0.3))).toContain('approximated bend');
    expect(on(bend(2), bend(-2, '<release/>'))).not.toContain('approximated bend');
  });

  it('have the times that are written: first-beat in percent, the offset of a release in divisions', () => {
    expect(levels(bend(2, '', ' first-beat="25" last-beat="50"'))).toEqual(['0 0.5', '2 1.5']);
    expect(levels(bend(2), bend(-2, '<release offset="6"/>'))).toEqual(['0', '2 1.5', '0 0.5']);
    expect(levels(bend(2), bend(-2, '<release offset="4"/>'))).toEqual(['0', '2', '0']); // an equal share says nothing more
  });

  it('go on over a tie, with the time of each tied note', () => {
    const notes = notesOf(
      note('D4', 4, { at: '3/7', ties: '<tie type="start"/>', technical: bend(2) }),
      note('D4', 12, { at: '3/7', ties: '<tie type="stop"/>', technical: bend(-2, '<release offset="0"/>') }),
    );
    expect(notes).toHaveLength(1);
    expect(notes[0]).toMatchObject({
      length: 4 * Q,
      path: [{ level: 0 }, { level: 200, time: Q }, { level: 0, time: 3 * Q }],
    });
  });

  it('with the whammy bar are no finger bends', () => {
    const bar = note('D4', 8, { at: '3/7', technical: bend(-1, '<with-bar>dip</with-bar>') });
    expect(notesOf(bar)[0]).toMatchObject({ path: [], marks: ['bar'] });
    expect(codes(bar)).toContain('approximated with-bar');
    expect(levels(bend(2, '<with-bar>no</with-bar>'))).toEqual(['0', '2']);
  });

  it('stand on grace notes too', () => {
    const [grace, main] = notesOf(
      note('D4', undefined, { at: '3/7', technical: bend(2) }),
      note('C4', 16, { at: '3/5' }),
    );
    expect([grace!.grace, grace!.length, grace!.path.length, main!.path.length]).toEqual([1, 0, 2, 0]);
  });
});

describe('ways to start a note', () => {
  it('hammer-ons and pull-offs by their stops; a note in the middle carries both', () => {
    const h = (type: string, number = 1) => `<hammer-on type="${type}" number="${number}"/>`;
    const p = (type: string) => `<pull-off type="${type}"/>`;
    const notes = notesOf(
      note('C4', 4, { at: '3/5', technical: h('start') }),
      note('D4', 4, { at: '3/7', technical: h('stop') + h('start', 2) }),
      note('Eb4', 4, { at: '3/8', technical: h('stop', 2) + p('start') }),
      note('C4', 4, { at: '3/5', technical: p('stop') }),
    );
    expect(notes.map((n) => n.start)).toEqual(['picked', 'hammered', 'hammered', 'pulled']);
  });

  it('a start without an end is led to the next note, and said', () => {
    const inside = [note('C4', 8, { at: '3/5', technical: '<hammer-on type="start"/>' }), note('D4', 8, { at: '3/7' })];
    expect(notesOf(...inside).map((n) => n.start)).toEqual(['picked', 'hammered']);
    expect(codes(...inside)).toContain('approximated legato');
  });

  it('a slur on one string is hammered and pulled, which is said; one over strings is not', () => {
    const slur = (type: string) => `<slur type="${type}" number="1"/>`;
    const one = [
      note('C4', 4, { at: '3/5', notations: slur('start') }),
      note('D4', 4, { at: '3/7' }),
      note('C4', 8, { at: '3/5', notations: slur('stop') }),
    ];
    expect(notesOf(...one).map((n) => n.start)).toEqual(['picked', 'hammered', 'pulled']);
    expect(codes(...one)).toContain('approximated slur');
    expect(
      notesOf(
        note('C4', 8, { at: '3/5', notations: slur('start') }),
        note('E4', 8, { at: '2/5', notations: slur('stop') }),
      ).map((n) => n.start),
    ).toEqual(['picked', 'picked']);
  });

  it('slides and glissandi by the side they come from; to no note, a slide away; scoops and plops', () => {
    const slide = (type: string, name = 'slide') => `<${name} type="${type}" number="1"/>`;
    expect(
      notesOf(
        note('C4', 8, { at: '3/5', notations: slide('start') }),
        note('D4', 8, { at: '3/7', notations: slide('stop') }),
      )[1]!.start,
    ).toBe('slid up');
    expect(
      notesOf(
        note('D4', 8, { at: '3/7', notations: slide('start', 'glissando') }),
        note('C4', 8, { at: '3/5', notations: slide('stop', 'glissando') }),
      )[1]!.start,
    ).toBe('slid down');
    expect(notesOf(note('D4', 16, { at: '3/7', notations: slide('start') }))[0]).toMatchObject({
      slideAway: true,
      start: 'picked',
    });
    const art = (name: string) =>
      notesOf(note('D4', 16, { at: '3/7', notations: el('articulations', `<${name}/>`) }))[0]!;
    expect([art('scoop').start, art('plop').start, art('falloff').slideAway, art('doit').slideAway]).toEqual([
      'slid up',
      'slid down',
      true,
      true,
    ]);
  });

  it('taps', () => expect(notesOf(note('D4', 16, { at: '3/7', technical: '<tap/>' }))[0]!.start).toBe('tapped'));
});

describe('what is done to a note', () => {
  const one = (said: Parameters<typeof note>[2]) => notesOf(note('D4', 16, { at: '3/7', ...said }))[0]!;

  it('vibrato, accents, rings, dead notes, ghosts, fingers, strokes, harmonics', () => {
    expect(one({ notations: '<ornaments><wavy-line type="start"/><wavy-line type="stop"/></ornaments>' }).vibrato).toBe(
      true,
    );
    expect(one({ notations: '<articulations><strong-accent/></articulations>' }).accent).toBe(true);
    expect(one({ notations: '<tied type="let-ring"/>' }).ring).toBe(true);
    expect(one({ notehead: '<notehead>x</notehead>' })).toMatchObject({ kind: 'dead', fret: 0 });
    expect(one({ notehead: '<notehead parentheses="yes">normal</notehead>' }).marks).toEqual(['ghost']);
    expect(one({ technical: '<fingering>3</fingering><down-bow/>' }).marks).toEqual(['3', 'down']);
    expect(one({ technical: '<harmonic><natural/></harmonic>' })).toMatchObject({ harmonic: true, fret: 7 });
    expect(one({ technical: '<harmonic><artificial/></harmonic>' })).toMatchObject({
      harmonic: false,
      marks: ['harmonic'],
    });
  });

  it('a wavy line behind a trill is the trill; one from note to note is vibrato on both', () => {
    const trill = one({
      notations: '<ornaments><trill-mark/><wavy-line type="start"/><wavy-line type="stop"/></ornaments>',
    });
    expect(trill).toMatchObject({ vibrato: false, marks: ['trill'] });
    const wavy = (type: string) => `<ornaments><wavy-line type="${type}"/></ornaments>`;
    expect(
      notesOf(
        note('C4', 8, { at: '3/5', notations: wavy('start') }),
        note('D4', 8, { at: '3/7', notations: wavy('stop') }),
      ).map((n) => n.vibrato),
    ).toEqual([true, true]);
  });

  it('stretches under "let ring" and "P.M." are on all their notes', () => {
    const words = (text: string) =>
      `<direction><direction-type><words>${text}</words></direction-type><direction-type><dashes type="start" number="1"/></direction-type></direction>`;
    const stop = '<direction><direction-type><dashes type="stop" number="1"/></direction-type></direction>';
    const notes = (text: string) =>
      notesOf(
        words(text),
        note('C4', 4, { at: '3/5' }),
        note('D4', 4, { at: '3/7' }),
        stop,
        note('E4', 8, { at: '2/5' }),
      );
    expect(notes('let ring').map((n) => n.ring)).toEqual([true, true, true]);
    expect(notes('P.M.').map((n) => n.marks.length)).toEqual([1, 1, 1]);
  });
});

describe('the neck', () => {
  const tuned = (notes: readonly string[], capo = '') =>
    `<clef><sign>TAB</sign></clef><staff-details><staff-lines>${notes.length}</staff-lines>${notes.map((n, i) => `<staff-tuning line="${i + 1}"><tuning-step>${n[0]}</tuning-step>${n.length === 3 ? '<tuning-alter>-1</tuning-alter>' : ''}<tuning-octave>${n.at(-1)}</tuning-octave></staff-tuning>`).join('')}${capo}</staff-details>`;
  const solo = (more: string, ...notes: readonly string[]) =>
    parseMusicXml(score([measure(1, attributes(4, 0, '4/4', more), ...notes)]));

  it('line 1 of a tuning is the lowest string; a capo adds to it', () => {
    const { solo: s } = solo(
      tuned(['D2', 'A2', 'D3', 'G3', 'A3', 'D4'], '<capo>2</capo>'),
      note('E4', 16, { at: '1/0' }),
    );
    expect(tuningText(s!.guitar.tuning)).toBe('D2 A2 D3 G3 A3 D4');
    expect(s!.guitar.capo).toBe(2);
  });

  it('without a tuning, it is worked out where pitch and fret agree on one, and said', () => {
    const { solo: s, report } = solo('', note('Eb4', 8, { at: '1/0' }), note('Db4', 8, { at: '2/3' }));
    expect(tuningText(s!.guitar.tuning)).toBe('Eb2 Ab2 Db3 Gb3 Bb3 Eb4');
    expect(report.entries.map((e) => e.code)).toContain('tuning');
  });

  it('pitches written an octave above string and fret are said, and string and fret taken', () => {
    const { solo: s, report } = solo(
      tuned(['E2', 'A2', 'D3', 'G3', 'B3', 'E4']),
      note('C5', 8, { at: '3/5' }),
      note('D5', 8, { at: '3/7' }),
    );
    expect(s!.phrases[0]!.notes.map((n) => n.fret)).toEqual([5, 7]);
    expect(report.entries.map((e) => e.code)).toContain('octave');
  });

  it('a tied note without string and fret has those of the first; a single note without them is put near the hand, and said', () => {
    const { solo: s, report } = solo(
      '',
      note('D4', 2, { at: '3/7', ties: '<tie type="start"/>' }),
      note('D4', 2, { ties: '<tie type="stop"/>' }),
      ...Array.from({ length: 5 }, () => note('E4', 2, { at: '3/9' })),
      note('F4', 2),
    );
    expect(s!.phrases[0]!.notes.map((n) => `${n.fret}@${n.string}`)).toEqual([
      '7@3',
      '9@3',
      '9@3',
      '9@3',
      '9@3',
      '9@3',
      '10@3',
    ]);
    expect(report.entries.map((e) => e.code)).toContain('place');
  });

  it('string without fret is worked out from the pitch; frets beyond 24 lengthen the neck; two notes on one string leave one', () => {
    const { solo: s, report } = solo(
      '',
      `<note>${el('pitch', el('step', 'D'), el('octave', '4'))}<duration>4</duration><notations><technical><string>3</string></technical></notations></note>`,
      ...Array.from({ length: 4 }, () => note('D4', 4, { at: '3/7' })),
    );
    expect(s!.phrases[0]!.notes[0]).toMatchObject({ string: 3, fret: 7 });
    expect(report.entries.map((e) => e.code)).toContain('fret');
    expect(solo('', note('F6', 16, { at: '1/25' })).solo!.guitar.frets).toBe(25);
    const two = solo('', note('D4', 16, { at: '3/7' }), note('E4', 16, { before: '<chord/>', at: '3/9' }));
    expect(two.solo!.phrases[0]!.notes).toHaveLength(1);
    expect(two.report.entries.map((e) => `${e.kind} ${e.code}`)).toContain('dropped twice');
  });

  it('a tab in two voices, with backup, both on the neck', () => {
    const { solo: s } = solo(
      '',
      note('E4', 8, { at: '1/0', voice: '1' }),
      note('G4', 8, { at: '1/3', voice: '1' }),
      backup(16),
      note('C3', 16, { at: '5/3', voice: '2' }),
    );
    expect(s!.phrases[0]!.notes.map((n) => `${n.fret}@${n.string}`)).toEqual(['0@1', '3@5', '3@1']);
  });

  it('a melody is what few or no places are written for', () => {
    const { solo: s, melody } = solo('', note('E4', 8), note('G4', 8, { at: '1/3' }));
    expect([s, melody!.phrases[0]!.notes.length]).toEqual([undefined, 2]);
  });
});
