// The compressed form of MusicXML (.mxl): a zip archive whose META-INF/container.xml names the score. Sizes are bounded before and while unpacking.
import { crc32, deflateRawSync, inflateRawSync } from 'node:zlib';
import {
  child,
  children,
  type DocumentFault,
  decodeXml,
  documentFault,
  LONGEST_DOCUMENT,
  readXml,
} from './musicxml-xml.js';

/** True for bytes that start as a zip archive does. */
export const isZip = (bytes: Uint8Array): boolean =>
  bytes[0] === 0x50 && bytes[1] === 0x4b && (bytes[2] === 3 || bytes[2] === 5) && (bytes[3] === 4 || bytes[3] === 6);

interface Entry {
  readonly name: string;
  readonly flags: number;
  readonly method: number;
  readonly crc: number;
  readonly packed: number;
  readonly size: number;
  readonly at: number;
}

/** What came out of an archive: the bytes of its score, or why not. */
export interface Unpacked {
  readonly bytes: Uint8Array | undefined;
  readonly faults: readonly DocumentFault[];
}

const START = { line: 1, column: 1 };
/** More files in one archive than this are refused. */
const MOST_FILES = 10_000;
/** A file that unpacks to more than so many times its packed size is refused, beyond the first megabyte: scores pack 10 to 40 times. */
const LARGEST_RATIO = 250;
const CONTAINER = 'META-INF/container.xml';
const AGAIN = 'export it again, or save it uncompressed (.musicxml)';

/** The bytes of the score in an archive. The container says which file it is; without one, the only score in the archive is taken, and said. */
export function unpackScore(bytes: Uint8Array): Unpacked {
  const entries = entriesOf(bytes);
  if (typeof entries === 'string') return refused('bad-zip', `this zip archive is broken: ${entries}`, AGAIN);
  const container =
    entries.find((e) => e.name === CONTAINER) ?? entries.find((e) => /^meta-inf\/container\.xml$/i.test(e.name));
  const faults: DocumentFault[] = [];
  let wanted: string | undefined;
  if (container) {
    const packed = unpack(bytes, container);
    if (typeof packed === 'string') return refused('bad-zip', `${CONTAINER} cannot be unpacked: ${packed}`, AGAIN);
    const decoded = decodeXml(packed);
    const { root, faults: wrong } = readXml(decoded.text, new Set());
    const files = children(child(root, 'rootfiles'), 'rootfile');
    const scores = files.filter((f) =>
      /^(|application\/vnd\.recordare\.musicxml\+xml|.*\bxml)$/.test(f.attributes['media-type'] ?? ''),
    );
    wanted = (scores[0] ?? files[0])?.attributes['full-path']?.trim();
    if (wanted === undefined || wrong.some((f) => f.severity === 'fault'))
      faults.push(
        warning('no-container', `${CONTAINER} names no score (${wrong[0]?.message ?? 'it has no rootfile'})`),
      );
  } else faults.push(warning('no-container', `there is no ${CONTAINER}, which names the score`));
  const same = (name: string) => name.replaceAll('\\', '/').replace(/^\.?\//, '');
  let entry = wanted === undefined ? undefined : entries.find((e) => same(e.name) === same(wanted));
  if (!entry) {
    const scores = entries.filter(
      (e) => /\.(musicxml|xml)$/i.test(e.name) && !/^meta-inf\//i.test(e.name) && !/(^|\/)\._/.test(e.name),
    );
    const there =
      entries
        .slice(0, 8)
        .map((e) => shortened(e.name))
        .join(', ') || 'nothing';
    if (wanted !== undefined)
      faults.push(warning('no-container', `the container names ${shortened(wanted)}, which is not in the archive`));
    if (scores.length !== 1)
      return {
        bytes: undefined,
        faults: [
          ...faults,
          documentFault(
            'no-score',
            START,
            `the archive holds ${scores.length === 0 ? 'no score' : `${scores.length} scores, and nothing says which is meant`}`,
            {
              found: there,
              expected: 'one file ending in .musicxml or .xml',
              remedy: AGAIN,
            },
          ),
        ],
      };
    entry = scores[0] as Entry;
    faults.push(warning('only-score', `its only score, ${shortened(entry.name)}, was taken`));
  }
  const score = unpack(bytes, entry);
  if (typeof score === 'string')
    return {
      bytes: undefined,
      faults: [
        ...faults,
        documentFault('bad-zip', START, `${shortened(entry.name)} cannot be unpacked: ${score}`, { remedy: AGAIN }),
      ],
    };
  return { bytes: score, faults };
}

const warning = (code: string, message: string): DocumentFault =>
  documentFault(code, START, message, { severity: 'warning', remedy: AGAIN });

const refused = (code: string, message: string, remedy: string): Unpacked => ({
  bytes: undefined,
  faults: [documentFault(code, START, message, { remedy })],
});

const shortened = (name: string): string => JSON.stringify(name.length > 60 ? `${name.slice(0, 60)}...` : name);

/** The list at the end of an archive (PKWARE APPNOTE 4.3.12, 4.3.16), or what is wrong with it. */
function entriesOf(bytes: Uint8Array): readonly Entry[] | string {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  let end = bytes.length - 22;
  const lowest = Math.max(0, end - 0xffff);
  while (end >= lowest && view.getUint32(end, true) !== 0x06054b50) end--;
  if (end < lowest || end < 0) return 'its list of files is missing (is the file complete?)';
  const count = view.getUint16(end + 10, true);
  let at = view.getUint32(end + 16, true);
  if (count === 0xffff || at === 0xffffffff) return 'it is of the large kind (zip64), which is not read';
  if (count > MOST_FILES) return `it holds ${count} files, at most ${MOST_FILES} expected`;
  const entries: Entry[] = [];
  for (let i = 0; i < count; i++) {
    if (at + 46 > end || view.getUint32(at, true) !== 0x02014b50) return 'its list of files cannot be read';
    const nameLength = view.getUint16(at + 28, true);
    const next = at + 46 + nameLength + view.getUint16(at + 30, true) + view.getUint16(at + 32, true);
    if (next > end) return 'its list of files cannot be read';
    entries.push({
      name: new TextDecoder().decode(bytes.subarray(at + 46, at + 46 + nameLength)),
      flags: view.getUint16(at + 8, true),
      method: view.getUint16(at + 10, true),
      crc: view.getUint32(at + 16, true),
      packed: view.getUint32(at + 20, true),
      size: view.getUint32(at + 24, true),
      at: view.getUint32(at + 42, true),
    });
    at = next;
  }
  return entries;
}

/** The bytes of one file, or what is wrong with it. Never more than the document may have, whatever the archive says of itself. */
function unpack(bytes: Uint8Array, entry: Entry): Uint8Array | string {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  if ((entry.flags & 1) > 0) return 'it is locked with a password';
  if (entry.method !== 0 && entry.method !== 8) return `it is packed by method ${entry.method}, 0 or 8 expected`;
  if (entry.at + 30 > bytes.length || view.getUint32(entry.at, true) !== 0x04034b50)
    return 'it is not where the list says';
  const from = entry.at + 30 + view.getUint16(entry.at + 26, true) + view.getUint16(entry.at + 28, true);
  if (from + entry.packed > bytes.length) return 'its end is missing';
  const packed = bytes.subarray(from, from + entry.packed);
  const most = Math.min(LONGEST_DOCUMENT, Math.max(1 << 20, entry.packed * LARGEST_RATIO));
  if (entry.size > most) return `it would unpack to ${entry.size} bytes, at most ${most} expected for its size`;
  let out: Uint8Array = packed;
  if (entry.method === 8) {
    try {
      out = inflateRawSync(packed, { maxOutputLength: most });
    } catch (error) {
      return (error as { code?: string }).code === 'ERR_BUFFER_TOO_LARGE'
        ? `it unpacks to more than ${most} bytes`
        : 'its packed data are broken';
    }
  }
  if (crc32(out) !== entry.crc) return 'its checksum is wrong';
  return out;
}

/**
 * The bytes of an .mxl file that holds one score, with its container; without times, so that the same score gives the same bytes.
 * @param xml - The text of the score.
 * @param name - What the score is called in the archive.
 * @example
 * const { text } = printMusicXml(parseSoloOrThrow(EXAMPLE_SOLO))
 * parseMusicXml(packScore(text)).solo?.title // => 'Two Doors Down'
 */
export function packScore(xml: string, name = 'score.musicxml'): Uint8Array {
  const container = `<?xml version="1.0" encoding="UTF-8"?>\n<container>\n  <rootfiles>\n    <rootfile full-path="${name}" media-type="application/vnd.recordare.musicxml+xml"/>\n  </rootfiles>\n</container>\n`;
  const utf8 = (text: string) => new TextEncoder().encode(text);
  const files = [
    { name: 'mimetype', data: utf8('application/vnd.recordare.musicxml'), packs: false },
    { name: CONTAINER, data: utf8(container), packs: true },
    { name, data: utf8(xml), packs: true },
  ];
  const parts: Uint8Array[] = [];
  const list: Uint8Array[] = [];
  let at = 0;
  for (const file of files) {
    const packed = file.packs ? deflateRawSync(file.data, { level: 9 }) : file.data;
    const fileName = utf8(file.name);
    const common = new DataView(new ArrayBuffer(26));
    common.setUint16(0, 20, true);
    common.setUint16(2, 0x0800, true); // names are UTF-8
    common.setUint16(4, file.packs ? 8 : 0, true);
    common.setUint16(8, 0x21, true); // 1 January 1980, the first day that zip knows
    common.setUint32(10, crc32(file.data), true);
    common.setUint32(14, packed.length, true);
    common.setUint32(18, file.data.length, true);
    common.setUint16(22, fileName.length, true);
    const fields = new Uint8Array(common.buffer);
    const tail = new DataView(new ArrayBuffer(14));
    tail.setUint32(10, at, true);
    const local = [Uint8Array.of(0x50, 0x4b, 3, 4), fields, fileName, packed];
    list.push(Uint8Array.of(0x50, 0x4b, 1, 2, 20, 0), fields, new Uint8Array(tail.buffer), fileName);
    for (const part of local) {
      parts.push(part);
      at += part.length;
    }
  }
  const listLength = list.reduce((sum, part) => sum + part.length, 0);
  const end = new DataView(new ArrayBuffer(22));
  end.setUint32(0, 0x06054b50, true);
  end.setUint16(8, files.length, true);
  end.setUint16(10, files.length, true);
  end.setUint32(12, listLength, true);
  end.setUint32(16, at, true);
  return new Uint8Array(Buffer.concat([...parts, ...list, new Uint8Array(end.buffer)]));
}
