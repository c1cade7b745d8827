// Documents that are broken, or made to do harm: a clear fault or a clean read, never a crash, a hang, or a silent guess.
import { crc32, deflateRawSync } from 'node:zlib';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { parseMusicXml } from '../../lib/exchange/musicxml-read.js';
import { decodeXml } from '../../lib/exchange/musicxml-xml.js';
import { packScore, unpackScore } from '../../lib/exchange/musicxml-zip.js';
import { cpuTime, readMangled, wrongWith } from './musicxml-mangled.js';
import { attributes, measure, note, score } from './musicxml-samples.js';

const good = score(
  [measure(1, attributes(1), note('C4', 2), note('D4', 2))],
  '<work><work-title>Straße</work-title></work>',
);
const faultOf = (input: string | Uint8Array) =>
  parseMusicXml(input, { file: 'a.musicxml' }).diagnostics.find((d) => d.severity === 'fault');
const titleOf = (input: string | Uint8Array) => parseMusicXml(input).melody?.title;
const utf16 = (text: string, big: boolean, mark: boolean): Uint8Array => {
  const bytes = Buffer.from((mark ? '\ufeff' : '') + text, 'utf16le');
  return new Uint8Array(big ? bytes.swap16() : bytes);
};

describe('documents', () => {
  it('are read in UTF-8 with and without a mark, in UTF-16 of both orders, in Latin-1 that says so', () => {
    const plain = good.replace('encoding="UTF-8"', 'encoding="UTF-16"');
    const latin = good.replace('UTF-8', 'ISO-8859-1');
    const inputs = [
      new TextEncoder().encode(good),
      new TextEncoder().encode(`\ufeff${good}`),
      utf16(plain, false, true),
      utf16(plain, true, true),
      utf16(plain, false, false),
      utf16(plain, true, false),
      new Uint8Array(Buffer.from(latin, 'latin1')),
      new TextEncoder().encode(plain),
    ];
    for (const input of inputs) expect(titleOf(input)).toBe('Straße');
  });

  it('in no encoding that can be read are said to be', () => {
    const inLatin = new Uint8Array(Buffer.from(good, 'latin1'));
    expect(titleOf(inLatin)).toBe('Straße');
    expect(parseMusicXml(inLatin).diagnostics[0]).toMatchObject({ code: 'encoding', severity: 'warning' });
    expect(decodeXml(new Uint8Array([0, 0, 0xfe, 0xff, 0, 0, 0, 60])).faults[0]).toMatchObject({
      code: 'encoding',
      severity: 'fault',
    });
    expect(faultOf(new TextEncoder().encode(good.replace('UTF-8', 'klingon')))).toMatchObject({
      code: 'encoding',
      remedy: 'save it as UTF-8',
    });
  });

  it.each([
    ['nothing', ''],
    ['plain words', 'no score at all'],
    ['an unclosed element', good.slice(0, -30)],
    ['a wrong end tag', good.replace('</measure>', '</bar>')],
    ['a bare &', good.replace('Straße', 'Up & Down')],
    ['an entity of its own', good.replace('Straße', '&title;')],
    ['two roots', `${good}<score-partwise/>`],
    ['an attribute twice', good.replace('number="1"', 'number="1" number="2"')],
  ])('malformed: %s: one fault, with its place and a remedy', (_, text) => {
    const fault = faultOf(text);
    expect(fault).toMatchObject({ code: 'malformed-xml', file: 'a.musicxml' });
    expect(fault!.remedy).toBeTruthy();
    expect(fault!.place.line).toBeGreaterThan(0);
  });

  it('have faults at their line and column', () => {
    const text = '<score-partwise>\n  <part-list/>\n  <part id="P1"></bar>\n</score-partwise>';
    expect(faultOf(text)!.place).toMatchObject({ line: 3 });
    expect(faultOf('<opus/>')).toMatchObject({ code: 'not-musicxml', found: 'opus', place: { line: 1, column: 1 } });
    expect(faultOf('<svg/>')!.remedy).toBe('export the score as MusicXML');
    expect(faultOf('<score-partwise/>')).toMatchObject({ code: 'no-parts' });
    expect(faultOf(score([measure(1, attributes(1), note('-', 4))]))).toMatchObject({ code: 'no-notes' });
  });

  it('resolve no entity: not of their own, not from outside, not in the billions', () => {
    const head = (subset: string) => good.replace(/<!DOCTYPE[^>]*>/, `<!DOCTYPE score-partwise [${subset}]>`);
    const laughs = Array.from({ length: 30 }, (_, i) => `<!ENTITY l${i + 1} "${`&l${i};`.repeat(10)}">`).join('');
    for (const subset of [
      '<!ENTITY title SYSTEM "file:///etc/hostname">',
      '<!ENTITY title SYSTEM "http://localhost/">',
      `<!ENTITY l0 "ha">${laughs}<!ENTITY title "x">`,
      '<!ENTITY % p SYSTEM "http://localhost/x.dtd"> %p;',
    ]) {
      const text = head(subset);
      expect(titleOf(text)).toBe('Straße'); // declared, and not used
      expect(parseMusicXml(text).diagnostics.some((d) => d.code === 'entities')).toBe(true);
      expect(faultOf(text.replace('Straße', '&title;'))).toMatchObject({ code: 'malformed-xml' });
    }
  });

  it('too deep, too long or of too many elements are refused in time', () => {
    const start = cpuTime();
    expect(faultOf(`<score-partwise>${'<a>'.repeat(200_000)}`)).toMatchObject({ code: 'too-deep' });
    expect(faultOf(`<score-partwise>${'<lyric>'.repeat(200_000)}`)).toMatchObject({ code: 'too-deep' });
    expect(faultOf(' '.repeat(64 * 1024 * 1024 + 1))).toMatchObject({ code: 'too-long' });
    expect(cpuTime() - start).toBeLessThan(1000);
  });

  it('with control characters, or blank lines before the declaration, as some programs write them, are read and said', () => {
    expect(titleOf(good.replace('Straße', 'a\u000bb'))).toBe('a b');
    expect(titleOf(`\n\n${good}`)).toBe('Straße');
  });

  it('with numbers of any size are read or said', () => {
    for (const n of ['999999999999', '1e300', '-5', '0', '.', '0x10']) {
      const xml = score([
        measure(1, attributes(1).replace('<divisions>1', `<divisions>${n}`), note('C4', 1), note('D4', 3)),
        measure(
          2,
          `<backup><duration>${n}</duration></backup>`,
          note('C4', 4),
          `<forward><duration>${n}</duration></forward>`,
        ),
      ]);
      expect(wrongWith(xml, true)).toBeUndefined();
    }
  });
});

describe('compressed files', () => {
  const packed = packScore(good, 'low-gate.musicxml');
  /** An archive of files by hand: method, sizes and names as wished. */
  function zip(
    files: readonly { name: string; data: Uint8Array; size?: number; method?: number; crc?: number; flags?: number }[],
  ): Uint8Array {
    const parts: Buffer[] = [];
    const list: Buffer[] = [];
    let at = 0;
    for (const { name, data, size, method = 8, crc = 0, flags = 0 } of files) {
      const body = method === 8 ? deflateRawSync(data) : Buffer.from(data);
      const head = Buffer.alloc(30);
      head.writeUInt32LE(0x04034b50, 0);
      head.writeUInt16LE(name.length, 26);
      const entry = Buffer.alloc(46);
      entry.writeUInt32LE(0x02014b50, 0);
      entry.writeUInt16LE(flags, 8);
      entry.writeUInt16LE(method, 10);
      entry.writeUInt32LE(crc, 16);
      entry.writeUInt32LE(body.length, 20);
      entry.writeUInt32LE(size ?? data.length, 24);
      entry.writeUInt16LE(name.length, 28);
      entry.writeUInt32LE(at, 42);
      parts.push(head, Buffer.from(name), body);
      list.push(entry, Buffer.from(name));
      at += 30 + name.length + body.length;
    }
    const end = Buffer.alloc(22);
    end.writeUInt32LE(0x06054b50, 0);
    end.writeUInt16LE(files.length, 10);
    end.writeUInt32LE(at, 16);
    return new Uint8Array(Buffer.concat([...parts, ...list, end]));
  }
  const text = (t: string) => new TextEncoder().encode(t);
  const container = (path: string) => ({
    name: 'META-INF/container.xml',
    data: text(`<container><rootfiles><rootfile full-path="${path}"/></rootfiles></container>`),
    crc: 0,
  });

  it('are read by what they are, whatever their ending', () => {
    expect(titleOf(packed)).toBe('Straße');
    expect(parseMusicXml(packed).diagnostics.filter((d) => d.code !== 'no-tempo')).toEqual([]);
    expect(titleOf(text(good))).toBe('Straße');
  });

  it('that unpack to far more than they hold are refused, whatever they say of their size', () => {
    const bomb = new Uint8Array(80 * 1024 * 1024);
    for (const size of [bomb.length, 100]) {
      const { bytes, faults } = unpackScore(zip([{ name: 'a.xml', data: bomb, size }]));
      expect(bytes).toBeUndefined();
      expect(faults.at(-1)).toMatchObject({ code: 'bad-zip', severity: 'fault' });
      expect(faults.at(-1)!.message).toMatch(/unpack/);
    }
  });

  it('broken, locked, cut short or packed otherwise are faults with a remedy', () => {
    const broken: readonly (readonly [Uint8Array, RegExp])[] = [
      [packed.slice(0, 200), /list of files is missing/],
      [text('PK\u0003\u0004 and nothing more'), /list of files is missing/],
      [zip([{ name: 'a.xml', data: text(good), flags: 1 }]), /password/],
      [zip([{ name: 'a.xml', data: text(good), method: 12 }]), /method 12/],
      [zip([{ name: 'a.xml', data: text(good), crc: 1 }]), /checksum/],
      [zip([]), /no score/],
      [
        zip([
          { name: 'a.xml', data: text('x'), crc: 1 },
          { name: 'b.xml', data: text('y') },
        ]),
        /2 scores/,
      ],
    ];
    for (const [bytes, message] of broken) {
      const fault = faultOf(bytes);
      expect(fault?.message).toMatch(message);
      expect(fault?.remedy).toMatch(/export it again/);
    }
  });

  it('without a container, or with one that names a file that is not there, are read where only one score can be meant, and it is said', () => {
    const file = { name: 'x.xml', data: text(good), crc: crc32(text(good)) };
    const lost = container('gone.xml');
    for (const files of [[file], [{ ...lost, crc: crc32(lost.data) }, file]]) {
      const { melody, diagnostics } = parseMusicXml(zip(files));
      expect(melody?.title).toBe('Straße');
      expect(diagnostics.map((d) => d.code)).toEqual(expect.arrayContaining(['no-container', 'only-score']));
    }
    expect(unpackScore(zip([{ ...lost, crc: crc32(lost.data) }])).faults.at(-1)).toMatchObject({
      code: 'no-score',
      severity: 'fault',
    });
  });
});

describe('damage', () => {
  it('to good scores, a thousand times: said or read, what is read is a solo in every way, none takes a second', () => {
    const { wrong, slowest, read } = readMangled(1000, 20260);
    expect(wrong).toBeUndefined();
    expect(slowest).toBeLessThan(1000);
    expect(read).toBeGreaterThan(100);
  }, 240_000);

  it('of any other kind: text and bytes of all sorts', () => {
    fc.assert(
      fc.property(
        fc.oneof(
          fc.string({ unit: 'binary' }),
          fc.uint8Array(),
          fc.string().map((s) => `<score-partwise>${s}`),
          fc.uint8Array().map((b) => new Uint8Array([0x50, 0x4b, 3, 4, ...b])),
        ),
        (input) => {
          expect(wrongWith(input, false)).toBeUndefined();
        },
      ),
      { numRuns: 500 },
    );
  });
});
