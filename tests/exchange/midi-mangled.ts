// Broken and hostile MIDI files: good ones with damage done to them, made from a seed, and what must hold of reading each.
import { readdirSync, readFileSync } from 'node:fs';
import { parseMidi } from '../../lib/exchange/midi-read.js';
import { printMidi } from '../../lib/exchange/midi-write.js';
import { createRandom, type Random } from '../../lib/foundation/random.js';
import { parseSolo } from '../../lib/notation/parser.js';
import { note, range, says, smf, TEXT, track, wheel } from './midi-samples.js';
import { cpuTime, wrongPiece } from './musicxml-mangled.js';

const folder = new URL('../../data/solos/', import.meta.url);

/** Good files to do damage to: phrases of demo solos as written here, and some as other programs write. */
export function goodFiles(): readonly Uint8Array[] {
  const own = readdirSync(folder)
    .filter((name) => name.endsWith('.solo'))
    .slice(0, 6)
    .map((name) => {
      const solo = parseSolo(readFileSync(new URL(name, folder), 'utf8'), name).value!;
      const changes = { ...solo.changes, bars: solo.changes.bars.slice(0, 4), sections: [], settings: [] };
      return printMidi({ ...solo, changes, phrases: solo.phrases.slice(0, 1) }).bytes;
    });
  const line = Array.from({ length: 24 }, (_, i) => note(i * 240, 200, 60 + (i % 12)));
  const sheet = smf(
    1,
    480,
    track(says(0, TEXT.track, 'Made'), says(0, TEXT.marker, 'Am7'), says(1920, TEXT.marker, 'D7')),
    track(says(0, TEXT.track, 'Lead'), range(0, 12), ...line.flat(), wheel(500, 9000), wheel(700, 8192)),
    track(...note(0, 960, 40, 1), ...note(960, 960, 45, 1), ...note(0, 100, 38, 9)),
  );
  const one = smf(0, 96, track(...note(0, 96, 60), ...note(96, 96, 64, 1), ...note(96, 48, 67, 2)));
  return [...own, sheet, sheet, one];
}

const PIECES: readonly (readonly number[])[] = [
  [0xff],
  [0x00],
  [0x7f],
  [0x80],
  [0xff, 0xff, 0xff, 0x7f],
  [0x00, 0xff, 0x51, 0x03, 0x00, 0x00, 0x00],
  [0x00, 0xff, 0x51, 0x03, 0x00, 0x00, 0x01],
  [0x00, 0xff, 0x58, 0x04, 0x00, 0xff, 0x18, 0x08],
  [0x00, 0xff, 0x58, 0x04, 0x01, 0x05, 0x18, 0x08],
  [0x00, 0xff, 0x58, 0x04, 0x20, 0x00, 0x18, 0x08],
  [0x00, 0xff, 0x59, 0x02, 0x7f, 0x09],
  [0x00, 0xff, 0x2f, 0x00],
  [0x00, 0xf0, 0x7f],
  [0x00, 0xb0, 0x06, 0x7f],
  [0x00, 0xe0, 0x00, 0x00],
  [0x00, 0x90, 0x00, 0x7f],
  [0x00, 0x90, 0x7f, 0x01],
  [...'MTrk'].map((c) => c.charCodeAt(0)),
  [...'written by phrasewright'].map((c) => c.charCodeAt(0)),
];

/** One file with some damage: to a track, whose length is then set right, or anywhere. */
export function mangled(random: Random, good: readonly Uint8Array[]): Uint8Array {
  const file = good[random.int(good.length)] as Uint8Array;
  if (random.int(4) === 0) return Uint8Array.from(damaged(random, [...file]));
  const view = new DataView(file.buffer, file.byteOffset, file.byteLength);
  const bodies: number[][] = [];
  for (let at = 14; at < file.length; at += 8 + view.getUint32(at + 4))
    bodies.push([...file.subarray(at + 8, at + 8 + view.getUint32(at + 4))]);
  const which = random.int(bodies.length);
  bodies[which] = damaged(random, bodies[which] as number[]);
  const division = random.int(10) === 0 ? random.int(0x10000) : view.getUint16(12);
  return smf(view.getUint16(8), division, ...bodies);
}

function damaged(random: Random, whole: number[]): number[] {
  let bytes = whole;
  // Some files are to get past the bytes: half are changed only in what they say.
  const isSlight = random.int(2) === 0;
  const times = 1 + random.int(isSlight ? 12 : 3);
  for (let t = 0; t < times; t++) {
    const at = random.int(bytes.length + 1);
    const span = random.int(random.int(4) === 0 ? 400 : 8);
    const piece = PIECES[random.int(PIECES.length)] as readonly number[];
    switch (isSlight ? 5 : random.int(7)) {
      case 0:
        bytes = [...bytes.slice(0, at), ...bytes.slice(at + span)];
        break;
      case 1:
        bytes = [...bytes.slice(0, at + span), ...bytes.slice(at)];
        break;
      case 2:
        bytes = [...bytes.slice(0, at), ...piece, ...bytes.slice(at)];
        break;
      case 3:
        bytes = bytes.slice(0, at);
        break;
      case 4: // over what is there
        bytes = bytes.map((b, i) => piece[i - at] ?? b);
        break;
      case 5: // a data byte is another: what it says is wrong, and not how
        bytes = bytes.map((b, i) => (i === at && b < 128 ? random.int(128) : b));
        break;
      default:
        for (let k = 0; k <= span && at + k < bytes.length; k++) bytes[at + k] = random.int(256);
    }
  }
  return bytes;
}

/** What is wrong with how a file was read; `undefined` if all holds that must. */
export function wrongWith(bytes: Uint8Array): string | undefined {
  const { solo, melody, diagnostics, report } = parseMidi(bytes, { file: 'x.mid' });
  const faults = diagnostics.filter((d) => d.severity === 'fault');
  if (!solo && !melody && faults.length === 0) return 'nothing was read, and nothing said';
  if ((solo || melody) && faults.length > 0) return `read, with a fault: ${faults[0]!.message}`;
  for (const { message, remedy, severity, place } of diagnostics) {
    if (message === '' || /NaN|undefined|\[object/.test(message)) return `a poor message: ${message}`;
    if (severity === 'fault' && !remedy) return `no remedy: ${message}`;
    if (!(place.line === 1 && place.column >= 1 && place.column <= bytes.length + 1)) return `place ${place.column}`;
  }
  if (/NaN|undefined/.test(JSON.stringify(report))) return 'NaN in the report';
  return wrongPiece(solo, melody);
}

/** Reads so many broken files; the first that goes wrong, with its number, or how long the slowest took. */
export function readMangledMidi(
  count: number,
  seed: number,
): { readonly wrong?: string; readonly slowest: number; readonly slowestAt: number; readonly read: number } {
  const random = createRandom(seed);
  const good = goodFiles();
  let [slowest, slowestAt, read] = [0, 0, 0];
  for (let i = 0; i < count; i++) {
    const bytes = mangled(random, good);
    const start = cpuTime();
    let took = 0;
    let wrong: string | undefined;
    try {
      if (parseMidi(bytes).diagnostics.every((d) => d.severity !== 'fault')) read++;
      took = cpuTime() - start;
      wrong = wrongWith(bytes);
    } catch (error) {
      wrong = `thrown: ${(error as Error).stack}`;
    }
    if (took > slowest) [slowest, slowestAt] = [took, i];
    if (wrong !== undefined) return { wrong: `input ${i} of seed ${seed}: ${wrong}`, slowest, slowestAt, read };
  }
  return { slowest, slowestAt, read };
}
