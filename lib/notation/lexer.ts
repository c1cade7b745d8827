// Solo text into words, line by line. A word ends at a blank; brackets and quotes keep theirs together.
import type { Diagnostic, Severity } from '../foundation/diagnostic.js';
import { placeOf, type SourceText, sourceText } from '../foundation/source-text.js';

/** A stretch of the text: offsets of its first character and of the one after its last. */
export interface Span {
  readonly start: number;
  readonly end: number;
}

/** What a fault can say beside its message. */
export interface Facts {
  readonly found?: string;
  readonly expected?: string;
  readonly remedy?: string;
}

/** Collects the diagnostics of one text. */
export interface Faults {
  readonly source: SourceText;
  readonly diagnostics: Diagnostic[];
  add(code: string, severity: Severity, span: Span, message: string, facts?: Facts): void;
  fault(code: string, span: Span, message: string, facts?: Facts): void;
  /** How many faults (not warnings) there are so far. */
  count(): number;
}

/** A collector of faults for a text from a file of that name. */
export function faultsOf(text: string, file: string): Faults {
  const source = sourceText(text);
  const diagnostics: Diagnostic[] = [];
  let faults = 0;
  const add: Faults['add'] = (code, severity, span, message, facts = {}) => {
    if (severity === 'fault') faults++;
    const place = placeOf(source, Math.min(span.start, text.length), Math.min(span.end, text.length));
    diagnostics.push({
      code,
      severity,
      file,
      place,
      message,
      ...facts,
      ...(facts.found !== undefined && { found: shown(facts.found) }),
    });
  };
  return {
    source,
    diagnostics,
    add,
    fault: (code, span, message, facts) => add(code, 'fault', span, message, facts),
    count: () => faults,
  };
}

/** Words of a text as a message shows them: a file can hold words longer than any screen. */
export const shown = (words: string): string => (words.length > 40 ? `${words.slice(0, 39)}…` : words);

const TAB = 9;
const SPACE = 32;
const QUOTE = 34;
const HASH = 35;
const OPEN = 40;
const CLOSE = 41;
const BAR = 124;
const BACKSLASH = 92;

/** The words of one line, as pairs of offsets in `words` (start, end, start, end ...); a `|` is a word of its own. */
export interface Line {
  readonly words: number[];
  readonly start: number;
  readonly end: number;
}

/** The word of a line with that index, from 0; `''` if there is none. */
export function wordOf(text: string, line: Line, i: number): string {
  const start = line.words[2 * i];
  return start === undefined ? '' : text.slice(start, line.words[2 * i + 1]);
}

/** Where a word of a line stands. */
export const spanOf = (line: Line, i: number): Span => ({
  start: line.words[2 * i] as number,
  end: line.words[2 * i + 1] as number,
});

/** From the first word of a line to its last. */
export const lineSpan = (line: Line): Span => ({
  start: line.words[0] as number,
  end: line.words[line.words.length - 1] as number,
});

/** Cuts one line into words. `#` at the start of a word begins a comment; a lone `#` with a digit behind it is a fault. */
export function lexLine(faults: Faults, start: number, end: number): Line {
  const { text } = faults.source;
  const words: number[] = [];
  let i = start;
  while (i < end) {
    const c = text.charCodeAt(i);
    if (c === SPACE || c === TAB || c === 13 || c === 10 || c === 0xfeff) {
      i++;
      continue;
    }
    if (c === HASH) {
      checkHash(faults, i, end);
      break;
    }
    if (c === BAR) {
      words.push(i, i + 1);
      i++;
      continue;
    }
    const from = i;
    i = c === QUOTE ? stringEnd(faults, i, end) : wordEnd(faults, i, end);
    words.push(from, i);
  }
  return { words, start, end };
}

/** `C7 #9`: meant as part of the chord, read as a comment. Said, so that it is never lost silently. */
export function checkHash(faults: Faults, at: number, end: number): void {
  const next = faults.source.text.charCodeAt(at + 1);
  if (at + 1 < end && next >= 48 && next <= 57)
    faults.fault('hash-digit', { start: at, end: at + 2 }, '# with a digit behind it: a comment, or part of a chord?', {
      remedy: 'no blank before it in a chord (C7#9); a blank after # in a comment',
    });
}

function wordEnd(faults: Faults, from: number, end: number): number {
  const { text } = faults.source;
  let open = -1;
  let i = from;
  for (; i < end; i++) {
    const c = text.charCodeAt(i);
    if (c === OPEN) {
      // Brackets never stand in brackets: the first was left open. (Reading on would also make a long line of them slow.)
      if (open >= 0) break;
      open = i;
    } else if (c === CLOSE) open = -1;
    else if (c === BAR || c === 10 || c === 13) break;
    else if (open < 0 && (c === SPACE || c === TAB || c === QUOTE)) break;
  }
  if (open < 0) return i;
  // Not closed on this line: the word ends at the first blank, so that the words behind it are still read.
  const blank = text.slice(open, i).search(/\s/);
  const stop = blank < 0 ? i : open + blank;
  faults.fault('bracket-open', { start: open, end: stop }, 'the bracket is not closed', {
    remedy: 'end the bend path with )',
  });
  return stop;
}

function stringEnd(faults: Faults, from: number, end: number): number {
  const { text } = faults.source;
  let i = from + 1;
  for (; i < end; i++) {
    const c = text.charCodeAt(i);
    if (c === QUOTE) return i + 1;
    if (c === 10 || c === 13) break;
    if (c === BACKSLASH && text.charCodeAt(i + 1) === QUOTE) i++;
    else if (c === BACKSLASH && text.charCodeAt(i + 1) === BACKSLASH) i++;
  }
  faults.fault('quote-open', { start: from, end: i }, 'the quotation mark is not closed on its line', {
    remedy: 'end the text with "',
  });
  return i;
}

/** The text of a quoted word; faulty escapes are said and the text is taken as it stands. */
export function unquote(faults: Faults, span: Span): string {
  const raw = faults.source.text.slice(span.start, span.end);
  try {
    const value: unknown = JSON.parse(raw.replace(/\t/g, '\\t'));
    if (typeof value === 'string') return value;
  } catch {
    // biome-ignore lint/suspicious/noControlCharactersInRegex: control characters are what is looked for
    const control = /[\u0000-\u0008\u000b-\u001f]/.test(raw);
    const message = control
      ? 'a control character stands in the quotes'
      : 'a backslash in quotes must be \\\\, \\" or \\n';
    if (raw.length > 1 && raw.endsWith('"')) faults.fault('bad-escape', span, message, { found: raw });
  }
  return raw.replace(/^"|"$/g, '');
}
