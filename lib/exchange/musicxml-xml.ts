// XML bytes or text -> a tree of the elements that matter, with the place of each. Nothing that a document declares is resolved or fetched, and
// size, depth and number of elements are bounded.
import { createRequire } from 'node:module';
import type * as Saxes from 'saxes';
import type { Diagnostic } from '../foundation/diagnostic.js';

/** One element. Children that the reader was told to skip are not in it. */
export interface XmlNode {
  readonly name: string;
  readonly attributes: Readonly<Record<string, string>>;
  readonly children: readonly XmlNode[];
  /** The text right inside, without that of its children; as written, blanks included. */
  readonly text: string;
  readonly line: number;
  readonly column: number;
}

/** Something wrong with a document, without the name of its file. */
export type DocumentFault = Omit<Diagnostic, 'file'>;

/** Documents longer than this (characters) are refused: no score of one part is so long. */
export const LONGEST_DOCUMENT = 64 * 1024 * 1024;
/** Elements nested deeper than this are refused: MusicXML needs a dozen. */
export const DEEPEST = 64;
/** Documents with more elements that matter than this are refused. */
export const MOST_ELEMENTS = 2_000_000;

/** A fault or warning at a line and column. */
export const documentFault = (
  code: string,
  at: { readonly line: number; readonly column: number },
  message: string,
  facts: Partial<Pick<Diagnostic, 'severity' | 'found' | 'expected' | 'remedy'>> = {},
): DocumentFault => ({
  code,
  severity: 'fault',
  place: { line: at.line, column: at.column, endLine: at.line, endColumn: at.column + 1 },
  message,
  ...facts,
});

const START = { line: 1, column: 1 };

/** The text of an XML document from its bytes: a byte order mark rules, then what the declaration says, then UTF-8. */
export function decodeXml(bytes: Uint8Array): { readonly text: string; readonly faults: readonly DocumentFault[] } {
  const [a, b, c, d] = bytes;
  if ((a === 0 && b === 0 && c === 0xfe && d === 0xff) || (a === 0xff && b === 0xfe && c === 0 && d === 0))
    return refusedText('encoding', 'the text is UTF-32, which is not read', 'save it as UTF-8');
  let label = 'utf-8';
  if (a === 0xfe && b === 0xff) label = 'utf-16be';
  else if (a === 0xff && b === 0xfe) label = 'utf-16le';
  else if (a === 0 && b === 0x3c) label = 'utf-16be';
  else if (a === 0x3c && b === 0) label = 'utf-16le';
  else if (!(a === 0xef && b === 0xbb && c === 0xbf)) {
    const head = new TextDecoder('latin1').decode(bytes.subarray(0, 200));
    const said = /^\s*<\?xml[^>]*?encoding\s*=\s*["']([A-Za-z0-9._:-]+)["']/.exec(head)?.[1];
    // A declaration that could be read as single bytes is not in UTF-16, whatever it says.
    if (said !== undefined && !/^(utf-?16|ucs-?2|utf-?32|iso-10646)/i.test(said))
      label = said.toLowerCase() === 'utf8' ? 'utf-8' : said.toLowerCase();
  }
  let decoder: InstanceType<typeof TextDecoder>;
  try {
    decoder = new TextDecoder(label, { fatal: true });
  } catch {
    return refusedText('encoding', `the encoding "${label.slice(0, 40)}" is not known`, 'save it as UTF-8');
  }
  try {
    return { text: decoder.decode(bytes), faults: [] };
  } catch {
    if (label !== 'utf-8')
      return refusedText('encoding', `the text is not ${label}, as it says it is`, 'save it as UTF-8');
    const fault = documentFault('encoding', START, 'the text is not UTF-8: it was read as Windows-1252', {
      severity: 'warning',
      remedy: 'if letters with accents are wrong, save it as UTF-8',
    });
    return { text: new TextDecoder('windows-1252').decode(bytes), faults: [fault] };
  }
}

const refusedText = (code: string, message: string, remedy: string) => ({
  text: '',
  faults: [documentFault(code, START, message, { remedy })],
});

const NO_CHILDREN: readonly XmlNode[] = [];
const NO_ATTRIBUTES: Readonly<Record<string, string>> = {};
const CHUNK = 1 << 16;

/** What the reader builds an element from. */
interface Growing {
  readonly name: string;
  readonly attributes: Readonly<Record<string, string>>;
  children: XmlNode[] | readonly XmlNode[];
  text: string;
  readonly line: number;
  readonly column: number;
}

/** A document read; `root` is `undefined` when it could not be. */
export interface XmlRead {
  readonly root: XmlNode | undefined;
  /** How often each of the elements that were to be skipped was met (outside others). */
  readonly passedOver: ReadonlyMap<string, number>;
  readonly faults: readonly DocumentFault[];
}

/**
 * Reads a document into a tree. Stops at the first fault. `skipped` elements are checked for being well-formed, and left out with all inside them.
 */
export function readXml(text: string, skipped: ReadonlySet<string>): XmlRead {
  const passedOver = new Map<string, number>();
  const faults: DocumentFault[] = [];
  if (text.length > LONGEST_DOCUMENT) {
    const message = `the document has ${text.length} characters, at most ${LONGEST_DOCUMENT} expected`;
    return { root: undefined, passedOver, faults: [documentFault('too-long', START, message, { remedy: 'split it' })] };
  }
  const { text: clean, lines } = cleaned(text, faults);
  const { SaxesParser } = createRequire(import.meta.url)('saxes') as typeof Saxes;
  const parser = new SaxesParser({ position: true });
  const here = () => ({ line: parser.line + lines, column: parser.columnIndex + 1 });
  const stop = new Error('stopped at the first fault');
  let failed = false;
  let root: XmlNode | undefined;
  const open: Growing[] = [];
  let depth = 0;
  let skipFrom = 0; // the depth at which skipping began; 0 for none
  let count = 0;
  let from = { line: 1, column: 1 };
  const fail = (code: string, message: string, remedy: string, at = here()): never => {
    faults.push(documentFault(code, at, message, { remedy }));
    throw stop;
  };
  parser.on('error', (error) => {
    const said = error.message
      .replace(/^\d+:\d+: /, '')
      .replace(/\.$/, '')
      .replace('undefined entity', 'an entity that is not declared');
    fail('malformed-xml', `this is not well-formed XML: ${said.slice(0, 200)}`, remedyFor(said));
  });
  parser.on('doctype', (doctype) => {
    if (/<!ENTITY/i.test(doctype))
      faults.push(
        documentFault('entities', here(), 'the document declares entities of its own, which are not resolved', {
          severity: 'warning',
          remedy: 'export it again from the program that made it',
        }),
      );
  });
  parser.on('opentagstart', () => {
    from = here();
  });
  parser.on('opentag', (tag) => {
    depth++;
    if (depth > DEEPEST) fail('too-deep', `elements are nested more than ${DEEPEST} deep`, 'is it MusicXML?');
    if (skipFrom > 0) return;
    if (skipped.has(tag.name)) {
      skipFrom = depth;
      passedOver.set(tag.name, (passedOver.get(tag.name) ?? 0) + 1);
      return;
    }
    if (++count > MOST_ELEMENTS)
      fail('too-many-elements', `the document has more than ${MOST_ELEMENTS} elements`, 'export a single part');
    const attributes = tag.attributes as Record<string, string>;
    open.push({
      name: tag.name,
      attributes: Object.keys(attributes).length > 0 ? attributes : NO_ATTRIBUTES,
      children: NO_CHILDREN,
      text: '',
      line: from.line,
      column: Math.max(1, from.column - tag.name.length - 2),
    });
  });
  const addText = (piece: string) => {
    const top = open[open.length - 1];
    if (skipFrom === 0 && top && (top.text !== '' || piece.trim() !== '' || top.children.length === 0))
      top.text += piece;
  };
  parser.on('text', addText);
  parser.on('cdata', addText);
  parser.on('closetag', () => {
    if (skipFrom > 0) {
      if (depth === skipFrom) skipFrom = 0;
      depth--;
      return;
    }
    depth--;
    const node = open.pop() as Growing;
    const parent = open[open.length - 1];
    if (!parent) root = node;
    else if (parent.children === NO_CHILDREN) parent.children = [node];
    else (parent.children as XmlNode[]).push(node);
  });
  try {
    for (let at = 0; at < clean.length; at += CHUNK) parser.write(clean.slice(at, at + CHUNK));
    parser.close();
  } catch (error) {
    if (error !== stop) throw error;
    failed = true;
  }
  return { root: failed ? undefined : root, passedOver, faults };
}

/** The text without what stands before the document, and without control characters, which XML forbids but some programs write. */
function cleaned(text: string, faults: DocumentFault[]): { readonly text: string; readonly lines: number } {
  let clean = text.charCodeAt(0) === 0xfeff ? text.slice(1) : text;
  let lines = 0;
  const blank = /^\s+(?=<)/.exec(clean)?.[0];
  if (blank !== undefined) {
    lines = (blank.match(/\r\n|\r|\n/g) ?? []).length;
    clean = clean.slice(blank.length);
  }
  // biome-ignore lint/suspicious/noControlCharactersInRegex: control characters are what is taken out
  const forbidden = /[\u0000-\u0008\u000b\u000c\u000e-\u001f\ufffe\uffff]/g;
  const at = clean.search(forbidden);
  if (at >= 0 && clean.trimStart().startsWith('<')) {
    const before = clean.slice(0, at).split(/\r\n|\r|\n/);
    faults.push(
      documentFault(
        'control-characters',
        { line: before.length + lines, column: (before[before.length - 1] as string).length + 1 },
        'control characters, which XML forbids, were taken out',
        { severity: 'warning' },
      ),
    );
    clean = clean.replace(forbidden, ' ');
  }
  return { text: clean, lines };
}

function remedyFor(said: string): string {
  if (said.includes('entity')) return 'a bare & is written &amp;; entities of its own are not resolved';
  if (said.includes('document must contain a root') || said.includes('text data outside'))
    return 'is it a MusicXML file?';
  if (said.includes('unclosed')) return 'the end of the file is missing: export or copy it again';
  return 'export it again from the program that made it';
}

/** The first child of a name. */
export const child = (node: XmlNode | undefined, name: string): XmlNode | undefined =>
  node?.children.find((c) => c.name === name);

/** All children of a name. */
export const children = (node: XmlNode | undefined, name: string): readonly XmlNode[] =>
  node ? node.children.filter((c) => c.name === name) : NO_CHILDREN;

/** The trimmed text of the child of a name; `''` if there is none. */
export const textOf = (node: XmlNode | undefined, name: string): string => child(node, name)?.text.trim() ?? '';

/** A number as XML writes it, or `undefined` for anything else. */
export function numberIn(text: string | undefined): number | undefined {
  const trimmed = text?.trim() ?? '';
  if (!/^[+-]?(\d{1,15}(\.\d*)?|\.\d+)$/.test(trimmed)) return undefined;
  return Number(trimmed);
}

/** The number in the child of a name. */
export const numberOf = (node: XmlNode | undefined, name: string): number | undefined =>
  numberIn(child(node, name)?.text);
