// Broken and hostile scores: good ones with damage done to them, made from a seed, and what must hold of reading each.
import { readdirSync, readFileSync } from 'node:fs';
import { printSoloJson, readSoloJson } from '../../lib/exchange/json.js';
import { parseMusicXml, UNREADABLE } from '../../lib/exchange/musicxml-read.js';
import { printMusicXml } from '../../lib/exchange/musicxml-write.js';
import { packScore } from '../../lib/exchange/musicxml-zip.js';
import { createRandom, type Random } from '../../lib/foundation/random.js';
import { parseSolo } from '../../lib/notation/parser.js';
import { printSolo } from '../../lib/notation/printer.js';
import type { Melody } from '../../lib/solo/melody.js';
import { phraseEnd, type Solo } from '../../lib/solo/solo.js';
import { attributes, backup, harmony, measure, note, score } from './musicxml-samples.js';

const folder = new URL('../../data/solos/', import.meta.url);

/** Good scores to do damage to: some of the demo solos as written here, and some as other programs write. */
export function goodScores(): readonly string[] {
  const solos = readdirSync(folder)
    .filter((name) => name.endsWith('.solo'))
    .slice(0, 6)
    .map((name) => {
      const solo = parseSolo(readFileSync(new URL(name, folder), 'utf8'), name).value!;
      const changes = { ...solo.changes, bars: solo.changes.bars.slice(0, 4), sections: [], settings: [] };
      return printMusicXml({ ...solo, changes, phrases: solo.phrases.slice(0, 2) }).text;
    });
  const slur = (type: string) => `<slur type="${type}"/>`;
  const sheet = score([
    measure(0, attributes(4), harmony('C', 'major'), note('G4', 4)),
    measure(
      1,
      '<barline location="left"><repeat direction="forward"/></barline>',
      note('C5', 8, { voice: '1', notations: slur('start') }),
      note('D5', 8, { voice: '1', notations: slur('stop') }),
      backup(16),
      note('C3', 16, { voice: '2' }),
    ),
    measure(
      2,
      harmony(
        'G',
        'dominant',
        '<degree><degree-value>9</degree-value><degree-alter>-1</degree-alter><degree-type>add</degree-type></degree>',
      ),
      note('B4', undefined),
      note('C5', 12, { ties: '<tie type="start"/>' }),
      note('-', 4),
      '<barline location="right"><ending number="1" type="stop"/><repeat direction="backward"/></barline>',
    ),
    measure(
      3,
      note('C5', 4, { ties: '<tie type="stop"/>' }),
      note('E5', 4, { before: '<chord/>' }),
      note('D5', 8),
      '<sound tempo="90" dacapo="yes"/>',
    ),
  ]);
  const tab = score([
    { name: 'Voice', measures: [measure(1, attributes(2), note('E4', 8)), measure(2, note('E4', 8))] },
    {
      name: 'Guitar',
      measures: [
        measure(
          1,
          attributes(2),
          note('E4', 2, { at: '1/0' }),
          note('D4', 4, { at: '3/7', technical: '<bend><bend-alter>2</bend-alter></bend><hammer-on type="start"/>' }),
          note('Eb4', 2, { at: '3/8', technical: '<hammer-on type="stop"/>' }),
        ),
        measure(2, note('C3', 8, { at: '5/3', voice: '2' }), backup(8), note('E4', 8, { at: '1/0' })),
      ],
    },
  ]);
  return [...solos, sheet, tab, sheet];
}

const NUMBERS = [
  '0',
  '-1',
  '1e9',
  '99999999',
  '0.5',
  '7',
  '',
  'nan',
  '-2147483649',
  '3.14159',
  '16',
  '480',
  '1000000000000000',
];
const PIECES = [
  '<chord/>',
  '<grace/>',
  '<rest/>',
  '<cue/>',
  '<backup><duration>99</duration></backup>',
  '<forward><duration>7</duration></forward>',
  '<tie type="stop"/>',
  '<tie type="start"/>',
  '<note/>',
  '<measure/>',
  '</measure>',
  '</note>',
  '<staff>2</staff>',
  '<voice>9</voice>',
  '&',
  '&x;',
  '&#0;',
  '&#x10FFFF;',
  '<!--',
  ']]>',
  '<![CDATA[',
  '<?pi',
  '\u0000',
  '\ufffe',
  '<string>99</string>',
  '<fret>-3</fret>',
  '<attributes><divisions>0</divisions></attributes>',
  '<attributes><time><beats>0</beats><beat-type>0</beat-type></time></attributes>',
  '<attributes><transpose><chromatic>999</chromatic></transpose></attributes>',
  '<attributes><key><fifths>99</fifths></key></attributes>',
  '<barline><repeat direction="backward" times="999"/></barline>',
  '<technical><bend><bend-alter>-99</bend-alter></bend></technical>',
];

/** One score with some damage. */
export function mangled(random: Random, good: readonly string[]): string | Uint8Array {
  const pick = <T>(list: readonly T[]): T => list[random.int(list.length)] as T;
  let text = pick(good);
  const times = 1 + random.int(4);
  for (let t = 0; t < times; t++) {
    const at = random.int(text.length + 1);
    const span = random.int(random.int(4) === 0 ? 2000 : 40);
    switch (random.int(9)) {
      case 0:
        text = text.slice(0, at) + text.slice(at + span);
        break;
      case 1:
        text = text.slice(0, at) + text.slice(at, at + span) + text.slice(at);
        break;
      case 2:
        text = text.slice(0, at) + pick(PIECES) + text.slice(at);
        break;
      case 3:
        text = text.slice(0, at);
        break;
      case 4: // an element is lost whole
        text = text.slice(0, at) + text.slice(at).replace(/<([a-z-]+)[^<>]*>[^<>]*<\/\1>/, '');
        break;
      case 5: // a number is another
        text = text.slice(0, at) + text.slice(at).replace(/>-?\d+</, `>${pick(NUMBERS)}<`);
        break;
      case 6: // a number in an attribute is another
        text = text.slice(0, at) + text.slice(at).replace(/="\d+"/, `="${pick(NUMBERS)}"`);
        break;
      case 7: {
        // a piece behind the end of an element, so that the text stays well-formed
        const end = text.indexOf('/>', at) + 2;
        if (end > 1) text = text.slice(0, end) + pick(PIECES) + text.slice(end);
        break;
      }
      default: // an element has another name
        text = text.slice(0, at) + text.slice(at).replace(/<([a-z-]+)>([^<>]*)<\/\1>/, '<duration>$2</duration>');
    }
  }
  if (random.int(10) > 0) return text;
  const bytes = packScore(text.slice(0, 30_000));
  for (let t = random.int(6); t > 0; t--) bytes[random.int(bytes.length)] = random.int(256);
  return random.int(3) === 0 ? bytes.slice(0, random.int(bytes.length)) : bytes;
}

/** What is wrong with the reading of an input; `undefined` if all holds that must. */
export function wrongWith(input: string | Uint8Array, unfold: boolean): string | undefined {
  const { solo, melody, diagnostics, report } = parseMusicXml(input, { unfold, file: 'x.musicxml' });
  const faults = diagnostics.filter((d) => d.severity === 'fault');
  if (faults.some((f) => f.code === UNREADABLE)) return 'the reader stumbled';
  if (!solo && !melody && faults.length === 0) return 'nothing was read, and nothing said';
  if ((solo || melody) && faults.length > 0) return `read, with a fault: ${faults[0]!.message}`;
  for (const d of diagnostics)
    if (!(d.place.line >= 1 && d.place.column >= 1) || d.message === '' || /undefined|NaN|\[object/.test(d.message))
      return `a poor message: ${d.message} at ${d.place.line}:${d.place.column}`;
  if (report.entries.some((e) => e.count < 1 || e.places.length === 0)) return 'an entry without a place';
  return wrongPiece(solo, melody);
}

/** What is wrong with a solo or a melody that was read; `undefined` if all holds that must. */
export function wrongPiece(solo: Solo | undefined, melody: Melody | undefined): string | undefined {
  if (solo) {
    // What is read is a solo in every way: its JSON and its text are read without fault, and give it back.
    const json = readSoloJson(printSoloJson(solo));
    const bad = json.diagnostics.find((d) => d.severity === 'fault');
    if (bad) return `no solo: ${bad.message}`;
    if (JSON.stringify(json.value) !== JSON.stringify(readSoloJson(printSoloJson(json.value!)).value))
      return 'JSON changes it';
    const text = parseSolo(printSolo(solo));
    const fault = text.diagnostics.find((d) => d.severity === 'fault');
    if (fault) return `its text is faulted: ${fault.message}`;
  }
  for (const phrase of melody?.phrases ?? []) {
    let reach = 0;
    let event = -1;
    for (const n of phrase.notes) {
      if (!(Number.isInteger(n.onset) && Number.isInteger(n.length) && n.key >= 0 && n.key <= 127))
        return 'a note that is none';
      if (n.onset < phrase.at || n.onset + n.length > phraseEnd({ ...phrase, notes: [] }))
        return 'a note outside its phrase';
      if (n.onset > event && n.onset < reach) return 'notes that overlap';
      event = n.onset;
      reach = Math.max(reach, n.onset + n.length);
    }
  }
  return undefined;
}

/** Milliseconds of work so far, whatever else the machine is busy with. */
export function cpuTime(): number {
  const { user, system } = process.cpuUsage();
  return (user + system) / 1000;
}

/** Reads so many mangled scores; the first that goes wrong, with its number, or how long the slowest took. */
export function readMangled(
  count: number,
  seed: number,
): { readonly wrong?: string; readonly slowest: number; readonly slowestAt: number; readonly read: number } {
  const random = createRandom(seed);
  const good = goodScores();
  let slowest = 0;
  let slowestAt = 0;
  let read = 0;
  for (let i = 0; i < count; i++) {
    const input = mangled(random, good);
    const start = cpuTime();
    let took = 0;
    let wrong: string | undefined;
    try {
      if (parseMusicXml(input).diagnostics.every((d) => d.severity !== 'fault')) read++;
      took = cpuTime() - start;
      wrong = wrongWith(input, i % 2 === 0);
    } catch (error) {
      wrong = `thrown: ${(error as Error).stack}`;
    }
    if (took > slowest) slowestAt = i;
    slowest = Math.max(slowest, took);
    if (wrong !== undefined) return { wrong: `input ${i} of seed ${seed}: ${wrong}`, slowest, slowestAt, read };
  }
  return { slowest, slowestAt, read };
}
