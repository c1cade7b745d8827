import { spawnSync } from 'node:child_process';
import { existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { type SoundOptions, sound } from '../../lib/jobs/sound.js';

const folder = mkdtempSync(join(tmpdir(), 'phrasewright-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const HEAD = '---\ntitle: Made\nplayer: Ada Fenwick\nkey: C major\ntempo: 120\n---\n';
const save = (name: string, text: string): string => {
  const path = join(folder, name);
  writeFileSync(path, text);
  return path;
};
/** Runs the command and keeps what it says. */
const play = (path: string, options: SoundOptions) => {
  const said = { out: '', err: '' };
  const terminal = {
    out: (text: string) => {
      said.out += `${text}\n`;
    },
    err: (text: string) => {
      said.err += `${text}\n`;
    },
  };
  return { code: sound(path, options, terminal), ...said };
};
const out = join(folder, 'made.wav');
/** Seconds of sound in a file of one channel at 44100 samples. */
const seconds = (path: string): number => (readFileSync(path).length - 44) / 2 / 44100;

describe('sound', () => {
  const two = `${HEAD}phrase 1\nat 1 1\n  q 8@2 8@2 5@1:trill 8@1 |\nphrase 2\nat 2 3\n  q 5@1 8@2\n`;

  it('writes a WAV file that begins just before the first note, and says to start quiet', () => {
    const { code, out: said, err } = play(save('two.solo', two), { out });
    expect([code, err]).toEqual([0, '']);
    expect(said).toContain('6 notes in 4.0 s, at 120 quarter notes a minute');
    expect(said).toContain('Start quiet');
    expect(said).toContain('written but not heard in it: :trill');
    expect(seconds(out)).toBeCloseTo(4.2, 2);
  });
  it('plays one phrase, at another tempo', () => {
    const { code, out: said } = play(save('two.solo', two), { out, phrase: '2', tempo: 60 });
    expect(code).toBe(0);
    expect(said).toContain('2 notes in 2.2 s, at 60 quarter notes a minute');
    expect(said).not.toContain('trill');
  });
  it('names the phrases there are, and writes nothing', () => {
    const path = join(folder, 'none.wav');
    const { code, err } = play(save('two.solo', two), { out: path, phrase: '9' });
    expect([code, existsSync(path)]).toEqual([1, false]);
    expect(err).toContain('there is no phrase 9; phrases: 1, 2');
  });
  it('says faults at their place and plays what could be read', () => {
    const {
      code,
      out: said,
      err,
    } = play(save('bad.solo', `${HEAD}phrase 1\nat 1 1\n  q 8@2 8@9 |\nphrase 2\nat 2 1\n  w 8@2 |\n`), { out });
    expect(code).toBe(1);
    expect(err).toContain('bad.solo:9:3');
    expect(said).toContain('1 note in');
  });
  it('writes nothing where there is nothing to play', () => {
    const path = join(folder, 'none.wav');
    for (const [name, text] of [
      ['empty.solo', HEAD],
      ['broken.solo', 'phrase 1\n'],
    ] as const) {
      const { code, err } = play(save(name, text), { out: path });
      expect([code, existsSync(path)]).toEqual([1, false]);
      expect(err).not.toBe('');
    }
    expect(play(join(folder, 'no-such.solo'), { out: path }).err).toContain('there is no such file');
  });
  it('refuses to fill a disk with an hour of silence', () => {
    const path = join(folder, 'none.wav');
    const long = save('long.solo', `${HEAD}phrase 1\nat 1 1\n  q 8@2\nphrase 2\nat 9000 1\n  q 8@2\n`);
    const { code, err } = play(long, { out: path });
    expect([code, existsSync(path)]).toEqual([1, false]);
    expect(err).toContain('at most 60 minutes expected');
    expect(play(long, { out: path, phrase: '2' }).code).toBe(0);
  });
});

describe('phrasewright sound, as typed', () => {
  const run = (...args: string[]) => {
    const { status, stdout, stderr } = spawnSync(process.execPath, [join(process.cwd(), 'dist/main.js'), ...args], {
      cwd: folder,
      encoding: 'utf8',
    });
    return { code: status, out: stdout, err: stderr };
  };
  const one = `${HEAD}phrase 1\nat 1 1\n  q 8@2\n`;

  it('is in the help, with a caution', () => {
    const help = run('--help').out;
    expect(help).toContain('sound FILE --out FILE.wav');
    expect(help).toContain('start quiet');
  });
  it('writes out/NAME.wav if no other place is named', () => {
    save('one.solo', one);
    expect(run('sound', 'one.solo').code).toBe(0);
    expect(seconds(join(folder, 'out', 'one.wav'))).toBeCloseTo(0.7, 2);
  });
  it.each([
    [['sound'], 'sound needs a file, as in'],
    [['sound', 'one.solo', 'two.solo'], 'sound takes one file'],
    [['sound', 'one.solo', '--tempo', 'fast'], '--tempo fast: 20 to 400 quarter notes a minute expected'],
    [['sound', 'one.solo', '--tempo', '500'], '--tempo 500: 20 to 400'],
    [['sound', 'one.solo', '--out', 'one.solo'], '--out one.solo: a file ending in .wav expected'],
    [['sound', 'one.solo', '--tmpo', '90'], 'did you mean --tempo?'],
  ])('%j is misuse, said in words, exit code 2', (args, words) => {
    save('one.solo', one);
    const { code, err } = run(...args);
    expect(code).toBe(2);
    expect(err).toContain(words);
    expect(err).not.toMatch(/\n\s+at /);
    expect(readFileSync(join(folder, 'one.solo'), 'utf8')).toBe(one);
  });
});
