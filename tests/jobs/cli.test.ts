// The command line as a person meets it: exit codes, what is said, what is written, and that nothing written is lost.
import { execFile } from 'node:child_process';
import { mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';

const folder = mkdtempSync(join(tmpdir(), 'phrasewright-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

interface Run {
  readonly code: number;
  readonly out: string;
  readonly err: string;
}

const run = (...args: string[]): Promise<Run> =>
  new Promise((resolve) => {
    execFile(process.execPath, [join(process.cwd(), 'dist/main.js'), ...args], { cwd: folder }, (error, out, err) => {
      resolve({ code: error ? Number(error.code) : 0, out, err });
    });
  });

const HEAD = '---\ntitle: Made\nplayer: Ada Fenwick\nkey: C major\ntempo: 100\n---\nchanges\n  1 C7 | F7\n';
const save = (name: string, text: string | Uint8Array): string => {
  const path = join(folder, name);
  mkdirSync(join(path, '..'), { recursive: true });
  writeFileSync(path, text);
  return name;
};

describe('phrasewright', () => {
  it('lists its commands', async () => {
    const { code, out } = await run('--help');
    expect(code).toBe(0);
    for (const command of ['check PATH', 'tab FILE', 'study PATH']) expect(out).toContain(command);
  });

  it.each([
    [['stdy', 'x'], 'did you mean study?'],
    [['study'], 'study needs a file or folder'],
    [['study', 'x', '--plyer', 'y'], 'did you mean --player?'],
    [['tab', 'x.solo', '--width', 'wide'], 'a whole number from 40 to 400'],
    [['tab', 'a.solo', 'b.solo'], 'tab takes one file'],
  ])('%j is misuse, said in words, exit code 2', async (args, words) => {
    const { code, err } = await run(...args);
    expect(code).toBe(2);
    expect(err).toContain(words);
    expect(err).not.toMatch(/\n\s+at /);
  });

  it('checks: every fault at its place, exit code 1; a clean file 0', async () => {
    const bad = save('bad.solo', `${HEAD}phrase 1\nat 1 1\n  q 8@2 8@9 |\nphrase 2\nat 2 1\n  w 8@2 |\n`);
    const found = await run('check', bad);
    expect(found.code).toBe(1);
    expect(found.out).toContain('bad.solo:11:3 bar 1 holds 2 beats, 4 expected (two quarters short)');
    expect(found.out).toContain('1 phrase read whole');
    const good = save('good.solo', `${HEAD}phrase 1\nat 1 1\n  w 8@2 |\n`);
    expect((await run('check', good)).code).toBe(0);
  });

  it('says what is wrong with files that are none', async () => {
    save('bytes.solo', Uint8Array.from([0xff, 0xfe, 0x00, 0x80]));
    const { code, out } = await run('check', 'bytes.solo', 'none.solo', 'README.txt');
    expect(code).toBe(1);
    expect(out).toContain('not UTF-8');
    expect(out).toContain('there is no such file');
  });

  it('shows tab, of one phrase if asked', async () => {
    const file = save('good.solo', `${HEAD}phrase 1\nat 1 1\n  w 8@2 |\nphrase 2\nat 2 1\n  w 10@2 |\n`);
    const { code, out } = await run('tab', file, '--phrase', '2');
    expect(code).toBe(0);
    expect(out).toContain('phrase 2, bar 2');
    expect(out).not.toContain('phrase 1');
    const missing = await run('tab', file, '--phrase', '9');
    expect(missing.code).toBe(1);
    expect(missing.err).toContain('phrases: 1, 2');
  });

  it('studies: tables, charts and a summary; a broken file is said, the others are studied', async () => {
    save('solos/one.solo', `${HEAD}phrase 1\nat 1 1\n  q 8@2 8@2 5@1 8@1 | w 5@1 |\n`);
    save('solos/broken.solo', 'phrase 1\n');
    const { code, out, err } = await run('study', 'solos', '--out', 'made');
    expect(code).toBe(1);
    expect(err).toContain('broken.solo');
    expect(out).toContain('Ada Fenwick');
    expect(readdirSync(join(folder, 'made', 'charts'))).toContain('interval-use-ada-fenwick.svg');
    expect(out).toContain(join('made', 'report.html'));
    const report = readFileSync(join(folder, 'made', 'report.html'), 'utf8');
    expect(report).toContain('Not in these numbers, or not whole, since they have faults: broken.solo.');
    const csv = readFileSync(join(folder, 'made', 'tables', 'interval-use-by-function.csv'), 'utf8');
    expect(csv.split('\r\n')[0]).toContain('player,function,degree,semitones,tones');
    expect(csv).toContain('Ada Fenwick,I,5,7,2');
  });

  it('finds motifs, as text and as JSON', async () => {
    const body = 'phrase 1\nat 1 1\n  e 8@2 10@2 5@1 8@1 5@1 3@1 q - |\n';
    for (const name of ['a', 'b', 'c']) save(`motifs/${name}.solo`, `${HEAD}${body}`);
    const text = await run('motifs', 'motifs');
    expect(text.code).toBe(0);
    expect(text.out).toContain('3 places in 3 solos, 1 key');
    expect(text.out).toContain('a phrase 1 at 1 1');
    const json = await run('motifs', 'motifs', '--json', '--most', '1');
    expect(JSON.parse(json.out)).toMatchObject({ viewpoint: 'steps', found: 1, motifs: [{ tones: 6, apart: 3 }] });
    const points = JSON.parse((await run('motifs', 'motifs', '--as', 'points', '--json')).out);
    expect(points).toMatchObject({ viewpoint: 'points', found: 1, motifs: [{ tones: 6, solos: 3, compactness: 1 }] });
    save('motifs/d.solo', `${HEAD}${body.replace('8@1 5@1', '8@1 6@1')}`);
    const near = await run('motifs', 'motifs');
    expect(near.out).toContain(
      'nearly so: d phrase 1 at 1 1: the fifth tone is Bb4, a half step higher than in the motif',
    );
    const joined = await run('motifs', 'motifs', '--as', 'steps+points');
    expect([joined.code, joined.err]).toEqual([2, expect.stringContaining('points cannot be joined')]);
    const misuse = await run('motifs', 'motifs', '--as', 'stepz');
    expect([misuse.code, misuse.err]).toEqual([2, expect.stringContaining('"stepz" is no viewpoint')]);
  });

  it('relates phrases: within a solo, of one phrase, of one kind, beyond a solo, as JSON', async () => {
    const line = 'e 8@2 10@2 5@1 8@1 q 5@1 3@1 |';
    const three = `phrase 1\nat 1 1\n  ${line}\nphrase 2\nat 2 1\n  h 8@2 5@3 |\nphrase 3\nat 3 1\n  ${line}\n`;
    for (const name of ['here', 'there']) save(`related/${name}.solo`, HEAD + three);
    const all = await run('relations', 'related');
    expect(all.code).toBe(0);
    expect(all.out).toContain('here (Ada Fenwick), 3 phrases: 2 of their own, 1 comes from earlier ones. Form: A B A.');
    expect(all.out).toContain('  2 B: of its own\n  3 A: is phrase 1 again, all 6 notes\n');
    const one = await run('relations', 'related', '--phrase', '1', '--solo', 'here');
    expect(one.out).toContain('    later, phrase 3 is phrase 1 again, all 6 notes\n');
    expect(one.out).toContain('phrase 1, bar 1\n');
    expect(one.out).not.toContain('there');
    const kind = await run('relations', 'related', '--kind', 'same', '--json');
    expect(JSON.parse(kind.out)).toMatchObject({
      within: 'solo',
      solos: [
        {
          solo: 'here',
          form: 'A B A',
          phrases: [{ phrase: '3', source: '1', relations: [{ kind: 'same', count: 6 }] }],
        },
        { solo: 'there' },
      ],
    });
    const wide = await run('relations', 'related', '--within', 'corpus', '--kind', 'same', '--phrase', '3');
    expect(wide.out).toContain('1. 4 phrases are alike: 6 notes, in one rhythm (same)');
    expect(wide.out).toContain('   here phrases 1, 3; there phrases 1, 3\n');
    const json = await run('relations', 'related', '--within', 'player', '--kind', 'same', '--json');
    expect(JSON.parse(json.out)).toMatchObject({ within: 'player', foundGroups: 1, groups: [{ count: 6 }], pairs: [] });
  });

  it.each([
    [['--kind', 'tranposed'], 'did you mean transposed?'],
    [['--within', 'book'], 'There are: solo, player, corpus'],
    [['--most', '0'], 'a whole number from 1 to 999'],
    [['--phrase', '11'], 'no phrase "11" in these solos; did you mean 1? There are: 1'],
    [['--player', 'Adda'], 'no player "Adda" in these solos; did you mean Ada Fenwick?'],
    [['--key', 'D major'], 'no key "D major" in these solos; did you mean C major?'],
  ])('relations %j is misuse, said in words', async (args, words) => {
    save('alone/one.solo', `${HEAD}phrase 1\nat 1 1\n  w 8@2 |\n`);
    const { code, err } = await run('relations', 'alone', ...args);
    expect(code).toBe(2);
    expect(err).toContain(words);
  });

  it('finds places by a query, with the tab of the first phrases, as text and as JSON', async () => {
    const two = 'phrase 1\nat 1 1\n  q 8@2 10@2 h 5@1 |\nphrase 2\nat 2 3\n  q 8@2 10@2 |\n';
    save('found/one.solo', HEAD + two);
    save('found/other.solo', HEAD.replace('Ada Fenwick', 'Bram Osier') + two);
    const text = await run('find', 'degree 5 6', 'found');
    expect(text.code).toBe(0);
    expect(text.out.split('\n').slice(0, 5)).toEqual([
      '2 places in 2 phrases of 2 solos: degrees 5 6 (4 phrases searched)',
      '  one    phrase 1, bar 1, beat 1',
      '  other  phrase 1, bar 1, beat 1',
      '',
      'one, phrase 1, bar 1',
    ]);
    const one = await run('find', 'steps 2', 'found', '--player', 'bram', '--chord', 'IV', '--json');
    expect(JSON.parse(one.out)).toEqual({
      text: 'steps 2',
      query: { kind: 'pattern', look: 'steps', elements: ['2'] },
      found: 1,
      phrases: 1,
      searched: 1,
      places: [{ solo: 'other', player: 'Bram Osier', phrase: '2', bar: 2, count: '3', tones: 2 }],
    });
    const most = await run('find', 'steps 2', 'found', '--most', '1');
    expect(most.out).toContain('4 places in 4 phrases of 2 solos: steps 2 (4 phrases searched); the first 1:\n');
    const none = await run('find', 'gestures tapped', 'found');
    expect([none.code, none.out]).toEqual([0, 'no place: gestures tapped (4 phrases searched)\n']);
  });

  it.each([
    [
      ['find', 'degrees 5 6 ovr IV', 'alone'],
      '    1 | degrees 5 6 ovr IV\n      |             ^^^\n        did you mean over?',
    ],
    [['find', 'degrees 5 over C9', 'alone'], 'no chord "C9" in these solos'],
    [['find', 'alone'], 'find needs a query in quotes and then a file or folder'],
    [['find', 'degrees 5', 'alone', '--most', 'x'], 'a whole number from 1 to 999'],
    [['find', 'degrees 5', 'alone', '--solo', 'onee'], 'did you mean one?'],
  ])('%j is misuse, said at its place, exit code 2', async (args, words) => {
    save('alone/one.solo', `${HEAD}phrase 1\nat 1 1\n  w 8@2 |\n`);
    const { code, out, err } = await run(...args);
    expect([code, out]).toEqual([2, '']);
    expect(err).toContain(words);
  });

  it('refuses a filter that names nothing in the solos, and writes nothing', async () => {
    const { code, err } = await run('study', 'solos', '--out', 'nothing', '--player', 'Adda');
    expect(code).toBe(2);
    expect(err).toContain('no player "Adda" in these solos');
    expect(readdirSync(folder)).not.toContain('nothing');
  });

  it('leaves what was already written when it cannot write', async () => {
    writeFileSync(join(folder, 'a-file'), 'mine');
    const { code, err } = await run('study', 'solos/one.solo', '--out', 'a-file');
    expect(code).toBe(2);
    expect(err).toContain('choose another folder with --out');
    expect(readFileSync(join(folder, 'a-file'), 'utf8')).toBe('mine');
  });

  it('converts between solo text, JSON, MusicXML plain and packed, and gets the same solo back', async () => {
    const text = `${HEAD}phrase 1 "call"\nat 1 1\n  q 8@2(0>2)~ e 8@2 p5@2 h 7@3 |\n`;
    save('there.solo', text);
    for (const [from, to] of [
      ['there.solo', 'there.musicxml'],
      ['there.musicxml', 'there.mxl'],
      ['there.mxl', 'there.json'],
      ['there.json', 'there.xml'],
      ['there.xml', 'back.solo'],
    ] as const) {
      const { code, out } = await run('convert', from, to);
      expect([code, out.split('\n')[0]]).toEqual([0, `${to}: Made, 1 phrase, 4 notes`]);
    }
    await run('convert', 'there.solo', 'again.solo');
    expect(readFileSync(join(folder, 'back.solo'), 'utf8')).toBe(readFileSync(join(folder, 'again.solo'), 'utf8'));
    for (const name of ['there.musicxml', 'there.mxl', 'there.xml']) expect((await run('check', name)).code).toBe(0);
  });

  it('says what became of a score, and what is proposed of a lead sheet', async () => {
    const note = '<note><pitch><step>C</step><octave>5</octave></pitch><duration>4</duration></note>';
    const part = (id: string) =>
      `<part id="${id}"><measure number="1"><attributes><divisions>1</divisions></attributes>${note}</measure></part>`;
    const list = ['P1', 'P2']
      .map((id) => `<score-part id="${id}"><part-name>Voice ${id}</part-name></score-part>`)
      .join('');
    save('sheet.musicxml', `<score-partwise><part-list>${list}</part-list>${part('P1')}${part('P2')}</score-partwise>`);
    const { code, err } = await run('convert', 'sheet.musicxml', 'sheet.solo');
    expect(code).toBe(0);
    expect(err).toContain('chosen: of 2 parts, "Voice P1" was read');
    expect(err).toContain('strings and frets are proposed (at fret');
    expect(err).toContain('no key is named, and none is proposed (1 tone');
    expect((await run('convert', 'sheet.musicxml', 'sheet.solo', '--part', 'Horn')).err).toContain(
      'parts: P1 "Voice P1", P2 "Voice P2"',
    );
    const other = await run('convert', 'sheet.musicxml', 'sheet.pdf');
    expect([other.code, other.err]).toEqual([1, expect.stringContaining('files ending in .pdf are not written')]);
    expect((await run('convert', 'sheet.musicxml')).code).toBe(2);
  });

  it('converts to MIDI and back, with a count-in, a tempo, and changes of another file', async () => {
    save('there.solo', `${HEAD}phrase 1 "call"\nat 1 1\n  q 8@2(0>2)~ e 8@2 p5@2 h 7@3 |\n`);
    const there = await run('convert', 'there.solo', 'there.mid', '--count-in', '2', '--tempo', '90');
    expect([there.code, there.out]).toEqual([0, expect.stringContaining('there.mid: Made, 1 phrase, 4 notes')]);
    expect((await run('check', 'there.mid')).code).toBe(0);
    save('ours.changes', '1 Dm7\n');
    const back = await run('convert', 'there.mid', 'back.solo', '--changes', 'ours.changes');
    expect([back.code, back.err]).toEqual([0, expect.stringContaining('part Guitar: 4 notes')]);
    const text = readFileSync(join(folder, 'back.solo'), 'utf8');
    expect(text).toContain('1 Dm7');
    expect(text).toContain('tempo: 90');
    expect(text).toContain('q 8@2(0>2)~ e 8@2 p5@2 h 7@3 |');
    save('wrong.changes', '1 Dm7 | Hm\n');
    const wrong = await run('convert', 'there.mid', 'back.solo', '--changes', 'wrong.changes');
    expect([wrong.code, wrong.err]).toEqual([
      1,
      expect.stringContaining('wrong.changes:1:9 the chord Hm is not known'),
    ]);
    save('three.changes', 'meter 3/4\n1 Dm7\n');
    expect((await run('convert', 'there.mid', 'back.solo', '--changes', 'three.changes')).err).toContain(
      'bar 1 is in 3/4 in these changes, and in 4/4 in the notes',
    );
    expect((await run('convert', 'there.mid', 'back.solo', '--changes', 'none.changes')).err).toContain(
      'there is no such file',
    );
    expect((await run('convert', 'there.solo', 'b.mid', '--changes', 'ours.changes')).err).toContain(
      'has changes of its own',
    );
    expect((await run('convert', 'there.mid', 'b.solo', '--tempo', '90')).err).toContain(
      '--tempo is for files ending in .mid',
    );
    expect((await run('convert', 'there.solo', 'b.mid', '--count-in', '9')).code).toBe(2);
    writeFileSync(join(folder, 'cut.mid'), readFileSync(join(folder, 'there.mid')).subarray(0, 200));
    const cut = await run('check', 'cut.mid');
    expect([cut.code, cut.out]).toEqual([1, expect.stringMatching(/cut\.mid:1:\d+ .*at byte \d+\n +export or copy/)]);
  });

  it('passes over XML files of a folder that are no scores', async () => {
    save('mixed/settings.xml', '<settings/>');
    save('mixed/one.solo', `${HEAD}phrase 1\nat 1 1\n  w 8@2 |\n`);
    const { code, out } = await run('check', 'mixed');
    expect([code, out]).toEqual([0, expect.stringContaining('1 file, 1 phrase read whole')]);
  });
});
