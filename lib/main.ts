#!/usr/bin/env node
// The command line: arguments in, exit code out.
import { readFileSync } from 'node:fs';
import { type ParseArgsConfig, parseArgs } from 'node:util';
import type { ToneFilter } from './analysis/grouping.js';
import { printable } from './foundation/diagnostic.js';
import { nearest } from './foundation/nearest.js';
import type { ExitCode, Terminal } from './jobs/terminal.js';

const HELP = `phrasewright: guitar solos as data

  phrasewright check PATH...                 say every fault of solos, at its place
  phrasewright tab FILE [--phrase ID]        plain-text tab, with the count and the degrees below
  phrasewright sound FILE --out FILE.wav     play a solo or a phrase into a WAV file
  phrasewright convert IN OUT                 a solo into another form, by the endings; what is lost is said
  phrasewright study PATH... --out DIR       count intervals per chord: a report, tables, charts, a summary
  phrasewright export PATH... --out FILE     every tone as a row of a table, for other engines
  phrasewright motifs PATH...                what keeps coming back, where, and how much of it is chance
  phrasewright plan PATH... --out DIR        lessons in an order that adds one new thing at a time
  phrasewright relations PATH...             what each phrase is made of: the family of a solo, in words
  phrasewright find QUERY PATH...            places that hold a pattern: find "degrees 5 6 1 over IV" data/solos

PATH is a file ending in .solo, .json, .musicxml, .mxl or .xml (MusicXML), .mid or .midi, or a folder of them.

tab
  --phrase ID      only this phrase
  --width N        characters a line, 40 to 400 (default 100)
sound              loud sound harms ears: start quiet
  --out FILE.wav   where to write (default out/NAME.wav)
  --phrase ID      only this phrase
  --tempo N        quarter notes a minute, 20 to 400 (default as written)
convert
  --part PART      of a score or a MIDI file: the name, id or number of the part (default the likeliest, said)
  --unfold         of a score: play out repeats, endings and jumps
  --changes FILE   of a score or a MIDI file: chords to lay under it, as they stand under "changes" in a solo
  --position N     where there are pitches alone: the position to place them in (default low on the neck)
  --tempo N        into MIDI: quarter notes a minute, 20 to 400 (default as written)
  --count-in N     into MIDI: bars of clicks before it, 0 to 4 (default 0)
study
  --out DIR        where to write (default out)
  --player NAME    only this player; any of these may be given more than once
  --key KEY        only this key, such as "A minor"
  --chord CHORD    only over this chord: a symbol (F7) or a function in the key (IV)
  --solo NAME      only this solo (its file's name without the ending)
export             --player, --key, --chord and --solo as in study
  --out FILE       a file ending in .csv, .json, .parquet or .arrow; or a folder, with a Parquet file for each solo
motifs             --player, --key and --solo as in study; --chord: only what is played over it
  --as VIEWPOINT   how lines are read: steps (the default), shape, pitch, contour, degree, rhythm,
                   durations, gesture; joined with + where both are meant (steps+durations);
                   points: the same rhythm moved as a whole, other tones may lie between
  --tones N        fewest tones (default 5)
  --places N       fewest places that do not overlap (default 3; points 2)
  --solos N        fewest solos (default 2, or 1 where only one is read; points 1)
  --most N         how many to show (default 10)
  --json           as JSON
plan               bends and stretches strain hands: warm up, rest, stop when it hurts
  --student FILE   who it is for, as in data/students/pip.yaml (default: nothing is taken as known)
  --goal SOLO      the solo to be learned (its file's name without the ending); default all
  --out DIR        where to write (default out)
relations          --player, --key and --solo as in study, of whole solos; --chord: only phrases with a tone over it
  --within WHERE   solo (the default), player or corpus: groups of phrases that share a stretch of notes;
                   beyond a solo, --solo and --phrase choose what is shown of them, not what is compared
  --phrase ID      only what this phrase is made of, and what later ones take from it
  --kind KIND      only relations of this kind, such as transposed; more than once if wanted
  --most N         how many relations of a phrase (default 3), or how many groups and pairs (default 10)
  --json           as JSON, in solos all of them
find               --player, --key, --chord and --solo as in study: every note of a place must lie there
  QUERY            one text in quotes: a pattern (degrees b3 1, steps 2 2 -4, contour up down, durations e e q, rhythm e e q,
                   gestures hammered pulled, strings 3 2, notes A C, frets 7@3 5@2, shape 7@3 5@2; ? any one, .. any number),
                   perhaps with over IV, on string 3, starting on 5, ending on the third; or comes in on 3&,
                   ends on 1, lasts at least 2 bars; joined with and, or, not, with (within one place) and brackets
  --most N         how many places to list (default 20)
  --json           as JSON

Exit code: 0 all well, 1 faults in what was read, 2 the command was not understood.
`;

const COMMANDS = [
  'check',
  'tab',
  'sound',
  'convert',
  'study',
  'export',
  'motifs',
  'relations',
  'find',
  'plan',
] as const;

const OPTIONS: Readonly<Record<(typeof COMMANDS)[number], NonNullable<ParseArgsConfig['options']>>> = {
  check: {},
  tab: { phrase: { type: 'string' }, width: { type: 'string' } },
  sound: { out: { type: 'string' }, phrase: { type: 'string' }, tempo: { type: 'string' } },
  convert: {
    part: { type: 'string' },
    unfold: { type: 'boolean' },
    changes: { type: 'string' },
    position: { type: 'string' },
    tempo: { type: 'string' },
    'count-in': { type: 'string' },
  },
  study: {
    out: { type: 'string' },
    player: { type: 'string', multiple: true },
    key: { type: 'string', multiple: true },
    chord: { type: 'string', multiple: true },
    solo: { type: 'string', multiple: true },
  },
  export: {
    out: { type: 'string' },
    player: { type: 'string', multiple: true },
    key: { type: 'string', multiple: true },
    chord: { type: 'string', multiple: true },
    solo: { type: 'string', multiple: true },
  },
  motifs: {
    player: { type: 'string', multiple: true },
    key: { type: 'string', multiple: true },
    chord: { type: 'string', multiple: true },
    solo: { type: 'string', multiple: true },
    as: { type: 'string' },
    tones: { type: 'string' },
    places: { type: 'string' },
    solos: { type: 'string' },
    most: { type: 'string' },
    json: { type: 'boolean' },
  },
  plan: { out: { type: 'string' }, student: { type: 'string' }, goal: { type: 'string' } },
  relations: {
    player: { type: 'string', multiple: true },
    key: { type: 'string', multiple: true },
    chord: { type: 'string', multiple: true },
    solo: { type: 'string', multiple: true },
    within: { type: 'string' },
    phrase: { type: 'string' },
    kind: { type: 'string', multiple: true },
    most: { type: 'string' },
    json: { type: 'boolean' },
  },
  find: {
    player: { type: 'string', multiple: true },
    key: { type: 'string', multiple: true },
    chord: { type: 'string', multiple: true },
    solo: { type: 'string', multiple: true },
    most: { type: 'string' },
    json: { type: 'boolean' },
  },
};

class Misuse extends Error {}

async function run(args: readonly string[], terminal: Terminal): Promise<ExitCode> {
  const [name, ...rest] = args;
  if (name === undefined || name === 'help' || args.includes('--help') || args.includes('-h')) {
    (name === undefined ? terminal.err : terminal.out)(HELP);
    return name === undefined ? 2 : 0;
  }
  if (name === '--version') {
    terminal.out(
      (JSON.parse(readFileSync(new URL('../package.json', import.meta.url), 'utf8')) as { version: string }).version,
    );
    return 0;
  }
  const command = COMMANDS.find((c) => c === name);
  if (!command) {
    const near = nearest(name, COMMANDS, 2);
    throw new Misuse(
      `there is no command "${name}"${near ? `; did you mean ${near}?` : `; commands: ${COMMANDS.join(', ')}`}`,
    );
  }
  const { values, positionals } = read(command, rest);
  if (command === 'convert') {
    const [from, to] = positionals;
    if (from === undefined || to === undefined || positionals.length > 2)
      throw new Misuse(
        'convert needs two files, as in phrasewright convert data/solos/slipway-tar.solo slipway-tar.musicxml',
      );
    const { part, changes, position, tempo, 'count-in': countIn } = values as Record<string, string | undefined>;
    return (await import('./jobs/convert.js')).convert(
      from,
      to,
      {
        ...(part !== undefined && { part }),
        ...(changes !== undefined && { changes }),
        ...(position !== undefined && { position: wholeNumber('position', position, 1, 24) }),
        ...(tempo !== undefined && { tempo: tempoOf(tempo) }),
        ...(countIn !== undefined && { countIn: wholeNumber('count-in', countIn, 0, 4) }),
        unfold: values.unfold === true,
      },
      terminal,
    );
  }
  const oneFile = command === 'tab' || command === 'sound';
  if (positionals.length === 0)
    throw new Misuse(
      `${command} needs ${oneFile ? 'a file' : 'a file or folder'}, as in phrasewright ${command} data/solos${oneFile ? '/slipway-tar.solo' : ''}`,
    );
  if (oneFile && positionals.length > 1) throw new Misuse(`${command} takes one file`);
  if (command === 'check') return (await import('./jobs/check.js')).check(positionals, terminal);
  if (command === 'tab') {
    const width = Number(values.width ?? 100);
    if (!Number.isInteger(width) || width < 40 || width > 400)
      throw new Misuse(`--width ${values.width}: a whole number from 40 to 400 expected`);
    const phrase = values.phrase as string | undefined;
    return (await import('./jobs/tab.js')).tab(
      positionals[0] as string,
      { width, ...(phrase !== undefined && { phrase }) },
      terminal,
    );
  }
  if (command === 'sound') {
    const { out, phrase, tempo } = values as Record<string, string | undefined>;
    if (out !== undefined && !/\.wav$/i.test(out)) throw new Misuse(`--out ${out}: a file ending in .wav expected`);
    return (await import('./jobs/sound.js')).sound(
      positionals[0] as string,
      {
        ...(out !== undefined && { out }),
        ...(phrase !== undefined && { phrase }),
        ...(tempo !== undefined && { tempo: tempoOf(tempo) }),
      },
      terminal,
    );
  }
  if (command === 'plan') {
    const { out = 'out', student, goal } = values as Record<string, string | undefined>;
    return (await import('./jobs/plan.js')).plan(
      positionals,
      { out, ...(student !== undefined && { student }), ...(goal !== undefined && { goal }) },
      terminal,
    );
  }
  const { player, key, chord, solo } = values as Record<string, string[] | undefined>;
  const where: ToneFilter = {
    ...(player && { player }),
    ...(key && { key }),
    ...(chord && { chord }),
    ...(solo && { solo }),
  };
  if (command === 'export') {
    const { out } = values as Record<string, string | undefined>;
    if (out === undefined)
      throw new Misuse('export needs --out, as in phrasewright export data/solos --out out/tones.parquet');
    return (await import('./jobs/export.js')).exportTones(positionals, { where, out }, terminal);
  }
  if (command === 'motifs') {
    const { as = 'steps', tones = '5', most = '10' } = values as Record<string, string | undefined>;
    const { VIEWPOINTS } = await import('./analysis/viewpoint.js');
    const known = VIEWPOINTS.map((v) => v.name);
    const unknown = as === 'points' ? undefined : as.split('+').find((name) => !known.includes(name));
    if (unknown === 'points') throw new Misuse(`--as ${as}: points cannot be joined with others`);
    if (unknown !== undefined)
      throw new Misuse(`--as ${as}: "${unknown}" is no viewpoint; there are: ${known.join(', ')}, points`);
    const { places, solos } = values as Record<string, string | undefined>;
    const numbers = {
      tones: wholeNumber('tones', tones, 4),
      most: wholeNumber('most', most, 1),
      ...(places !== undefined && { places: wholeNumber('places', places, 2) }),
      ...(solos !== undefined && { solos: wholeNumber('solos', solos, 1) }),
    };
    return (await import('./jobs/motifs.js')).motifs(
      positionals,
      { where, as, ...numbers, json: values.json === true },
      terminal,
    );
  }
  if (command === 'relations') {
    const { within = 'solo', phrase } = values as Record<string, string | undefined>;
    const { RELATION_KINDS } = await import('./analysis/phrase-relation-kinds.js');
    const kinds = (values.kind as readonly string[] | undefined)?.map((kind) => known('kind', kind, RELATION_KINDS));
    const extent = known('within', within, ['solo', 'player', 'corpus'] as const);
    const most = wholeNumber('most', (values.most as string | undefined) ?? (extent === 'solo' ? '3' : '10'), 1);
    return (await import('./jobs/relations.js')).relations(
      positionals,
      {
        where,
        within: extent,
        most,
        json: values.json === true,
        ...(phrase !== undefined && { phrase }),
        ...(kinds && { kinds }),
      },
      terminal,
    );
  }
  if (command === 'find') {
    const [query, ...rest] = positionals as [string, ...string[]];
    if (rest.length === 0)
      throw new Misuse(
        'find needs a query in quotes and then a file or folder, as in phrasewright find "degrees 5 6 1 over IV" data/solos',
      );
    const most = wholeNumber('most', (values.most as string | undefined) ?? '20', 1);
    return (await import('./jobs/find.js')).find(query, rest, { where, most, json: values.json === true }, terminal);
  }
  return (await import('./jobs/study.js')).study(
    positionals,
    { out: (values.out as string | undefined) ?? 'out', where },
    terminal,
  );
}

/** The number that an option gives. */
function wholeNumber(option: string, value: string, least: number, most = 999): number {
  if (!/^\d{1,3}$/.test(value) || Number(value) < least || Number(value) > most)
    throw new Misuse(`--${option} ${value}: a whole number from ${least} to ${most} expected`);
  return Number(value);
}

/** The tempo that an option gives. */
function tempoOf(value: string): number {
  if (!(Number(value) >= 20 && Number(value) <= 400))
    throw new Misuse(`--tempo ${value}: 20 to 400 quarter notes a minute expected`);
  return Number(value);
}

/** The one of some names that an option gives, in any case. */
function known<T extends string>(option: string, value: string, names: readonly T[]): T {
  const lower = value.toLowerCase();
  const found = names.find((name) => name === lower);
  if (found !== undefined) return found;
  const near = nearest(lower, names, 3);
  throw new Misuse(
    `--${option} ${value}: there is no such ${option === 'kind' ? 'kind of relation' : 'choice'}${near ? `; did you mean ${near}?` : '.'} There are: ${names.join(', ')}`,
  );
}

function read(command: (typeof COMMANDS)[number], args: readonly string[]): ReturnType<typeof parseArgs> {
  try {
    return parseArgs({ args: [...args], options: OPTIONS[command], allowPositionals: true, strict: true });
  } catch (error) {
    const option = /'(-[^' ]+)/.exec((error as Error).message)?.[1] ?? '';
    const names = Object.keys(OPTIONS[command]).map((o) => `--${o}`);
    const near = nearest(option, names, 2);
    if (names.includes(option)) throw new Misuse(`${option} needs a value behind it`);
    throw new Misuse(
      `${command} has no option ${option}${near ? `; did you mean ${near}?` : names.length > 0 ? `; options: ${names.join(', ')}` : ''}`,
    );
  }
}

const terminal: Terminal = {
  out: (text) => void process.stdout.write(`${text}\n`),
  err: (text) => void process.stderr.write(`${text}\n`),
};

process.stdout.on('error', () => process.exit(0)); // the reader has gone away, as in `| head`

run(process.argv.slice(2), terminal).then(
  (code) => {
    process.exitCode = code;
  },
  (error: unknown) => {
    if (error instanceof Misuse) terminal.err(`${printable(error.message)}\nphrasewright --help lists the commands`);
    else {
      const { code, path, message } = error as { code?: string; path?: string; message?: string };
      const what =
        code && path
          ? `${path} cannot be written or read (${code})`
          : `this should not have happened: ${message ?? String(error)}`;
      terminal.err(
        `${printable(what)}${code === 'EACCES' || code === 'ENOTDIR' || code === 'EEXIST' ? '; choose another folder with --out' : ''}`,
      );
    }
    process.exitCode = 2;
  },
);
