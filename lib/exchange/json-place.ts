// Walks JSON text (RFC 8259) without building its values: what is no JSON, which field is written twice, and where each value stands.
import { printable } from '../foundation/diagnostic.js';

/** Where a value stands: offsets of its first character and of the one after its last; the same of its field's name (-1 if it has none). */
export interface JsonSpot {
  readonly start: number;
  readonly end: number;
  readonly nameStart: number;
  readonly nameEnd: number;
}

/** What is wrong with a text as JSON, and where. `pointer` names the value it is in (RFC 6901). */
export interface JsonFault {
  readonly code: 'bad-json' | 'too-deep' | 'field-twice';
  readonly pointer: string;
  readonly start: number;
  readonly end: number;
  readonly message: string;
  readonly remedy?: string;
}

/** Lists and objects inside each other beyond this are refused; a solo needs eight. */
export const DEEPEST = 64;

/** An object or a list that is still open, and the field or entry in it that the walk is at. */
interface Open {
  readonly start: number;
  /** Names of its fields so far; `undefined` for a list. */
  readonly names: Set<string> | undefined;
  name: string;
  index: number;
  nameStart: number;
  nameEnd: number;
}

/**
 * Walks a JSON text once. Gives its faults: each field written twice, and the first thing that is no JSON, at which the walk ends.
 * `visit` is called for every value when its end is reached, inner values first.
 * @example
 * walkJson('{ "capo": 2, "capo": 3 }').map((f) => f.message) // => ['"capo" is written twice in one object']
 * walkJson('[1, 2,]').map((f) => [f.start, f.message]) // => [[5, 'a comma with nothing behind it']]
 */
export function walkJson(text: string, visit?: (pointer: string, spot: JsonSpot) => void): readonly JsonFault[] {
  const faults: JsonFault[] = [];
  const stack: Open[] = [];
  const stop = (start: number, end: number, message: string, remedy?: string, code: JsonFault['code'] = 'bad-json') => {
    faults.push({ code, pointer: pointerOf(stack), start, end, message, ...(remedy !== undefined && { remedy }) });
    return faults;
  };
  const seen = (start: number, end: number) => {
    const { nameStart = -1, nameEnd = -1 } = stack[stack.length - 1] ?? {};
    visit?.(pointerOf(stack), { start, end, nameStart, nameEnd });
  };
  let at = blankEnd(text, text.charCodeAt(0) === 0xfeff ? 1 : 0);
  /** What stands here is not what is expected; or the text has ended too early. */
  const misplaced = (expected: string, remedy: string) => {
    if (at < text.length)
      return stop(at, wordEnd(text, at), `${shown(text, at)} stands where ${expected} is expected`, remedy);
    const open = stack[stack.length - 1];
    if (!open) return stop(at, at, 'the text is empty', 'a solo is written { ... }');
    const closing = open.names ? '}' : ']';
    return stop(at, at, `the text ends inside ${kindOf(open)}`, `end it with ${closing}; perhaps it was cut off`);
  };
  for (;;) {
    // A value starts here.
    const first = text[at];
    let justOpened = false;
    if (first === '{' || first === '[') {
      const message = `lists or objects stand more than ${DEEPEST} deep in each other`;
      if (stack.length === DEEPEST) return stop(at, at + 1, message, undefined, 'too-deep');
      const names = first === '{' ? new Set<string>() : undefined;
      stack.push({ start: at, names, name: '', index: 0, nameStart: -1, nameEnd: -1 });
      justOpened = true;
      at++;
    } else {
      const end = first === '"' ? textEnd(text, at) : plainEnd(text, at);
      if (end < 0 && first === '"') return stop(~end, ~end + 1, ...badText(text, ~end));
      if (end < 0) return misplaced('a value', plainRemedy(text.slice(at, ~end)));
      seen(at, end);
      at = end;
    }
    // What follows: the end of what is open, or a comma and the next value.
    for (;;) {
      at = blankEnd(text, at);
      const open = stack[stack.length - 1];
      if (!open && at === text.length) return faults;
      if (!open) return stop(at, wordEnd(text, at), `${shown(text, at)} stands behind the end`, 'one file is one solo');
      const closing = open.names ? '}' : ']';
      if (text[at] === closing) {
        stack.pop();
        at++;
        seen(open.start, at);
        justOpened = false;
        continue;
      }
      if (!justOpened) {
        const isEnd = text[at] === '}' || text[at] === ']' || text[at] === ':';
        const remedy = isEnd ? `end it with ${closing}` : 'write a comma between the two';
        if (text[at] !== ',') return misplaced(`a comma or the end of ${kindOf(open)}`, remedy);
        const comma = at;
        at = blankEnd(text, at + 1);
        if (text[at] === closing)
          return stop(comma, comma + 1, 'a comma with nothing behind it', 'take the comma away');
        open.index++;
      }
      if (!open.names) break;
      const form = 'a field is written "name": value, its name in double quotes';
      if (text[at] !== '"') return misplaced('the name of a field', form);
      const end = textEnd(text, at);
      if (end < 0) return stop(~end, ~end + 1, ...badText(text, ~end));
      const raw = text.slice(at, end);
      open.name = raw.includes('\\') ? (JSON.parse(raw) as string) : raw.slice(1, -1);
      open.nameStart = at;
      open.nameEnd = end;
      if (open.names.has(open.name))
        stop(at, end, `${shown(text, at)} is written twice in one object`, 'keep one of the two', 'field-twice');
      open.names.add(open.name);
      at = blankEnd(text, end);
      if (text[at] !== ':') return misplaced('the colon of a field', form);
      at = blankEnd(text, at + 1);
      break;
    }
  }
}

const kindOf = (open: Open): string => (open.names ? 'an object' : 'a list');

/**
 * Where the values at some JSON pointers stand in a text. A pointer that leads nowhere is left out.
 * @example
 * placesIn('{ "capo": 2 }', new Set(['/capo'])).get('/capo') // => { start: 10, end: 11, nameStart: 2, nameEnd: 8 }
 */
export function placesIn(text: string, pointers: ReadonlySet<string>): ReadonlyMap<string, JsonSpot> {
  const places = new Map<string, JsonSpot>();
  if (pointers.size > 0)
    walkJson(text, (pointer, spot) => {
      if (pointers.has(pointer)) places.set(pointer, spot);
    });
  return places;
}

/**
 * A pointer some steps longer: names of fields, or places in lists counted from 0.
 * @example
 * pointerTo('/phrases', 2, 'a/b') // => '/phrases/2/a~1b'
 */
export const pointerTo = (pointer: string, ...steps: readonly (string | number)[]): string =>
  steps.reduce<string>(
    (p, s) => `${p}/${typeof s === 'number' ? s : s.replace(/~/g, '~0').replace(/\//g, '~1')}`,
    pointer,
  );

/** The pointer of what a value stands in; `''` for that of the whole. */
export const pointerAround = (pointer: string): string => pointer.slice(0, Math.max(0, pointer.lastIndexOf('/')));

const pointerOf = (stack: readonly Open[]): string =>
  stack.reduce((pointer, open) => pointerTo(pointer, open.names ? open.name : open.index), '');

function blankEnd(text: string, from: number): number {
  let i = from;
  for (; i < text.length; i++) {
    const c = text.charCodeAt(i);
    if (c !== 32 && c !== 10 && c !== 13 && c !== 9) break;
  }
  return i;
}

/** The offset behind a text in quotes, or `~` of the offset at which it goes wrong. */
function textEnd(text: string, from: number): number {
  let i = from + 1;
  for (; i < text.length; i++) {
    const c = text.charCodeAt(i);
    if (c === 34) return i + 1;
    if (c < 32) break;
    if (c !== 92) continue;
    const next = text[i + 1] ?? '';
    if (next === 'u' && /^[0-9a-fA-F]{4}$/.test(text.slice(i + 2, i + 6))) i += 5;
    else if (next !== '' && '"\\/bfnrt'.includes(next)) i++;
    else return ~i;
  }
  return ~i;
}

const PLAIN = /(?:-?(?:0|[1-9]\d*)(?:\.\d+)?(?:[eE][+-]?\d+)?|true|false|null)(?![\w.+-])/y;

/** The offset behind a number, true, false or null, or `~` of the end of the word that is none of them. */
function plainEnd(text: string, from: number): number {
  PLAIN.lastIndex = from;
  return PLAIN.test(text) ? PLAIN.lastIndex : ~wordEnd(text, from);
}

/** Where the word that starts here ends, for showing it: a text in quotes is one. */
function wordEnd(text: string, from: number): number {
  const quoted = text[from] === '"' ? textEnd(text, from) : -1;
  if (quoted >= 0) return quoted;
  let i = from;
  while (i < text.length && !/[\s,:[\]{}"]/.test(text[i] as string)) i++;
  return Math.max(i, Math.min(from + 1, text.length));
}

/** The word that starts here, as it can stand in a message: short, on one line, with nothing in it that steers a terminal. */
function shown(text: string, from: number): string {
  const end = wordEnd(text, from);
  const halves = /[\ud800-\udfff]/gu; // of surrogate pairs, each without its other
  return printable(text.slice(from, Math.min(end, from + 32)).replace(halves, '?')) + (end > from + 32 ? '...' : '');
}

type Words = readonly [message: string, remedy: string];

function badText(text: string, at: number): Words {
  const c = text[at];
  if (c === '\\')
    return [
      'a backslash in a text must be one of \\" \\\\ \\/ \\b \\f \\n \\r \\t or \\u and four hex digits',
      'for a backslash itself write two',
    ];
  if (c === undefined || c === '\n' || c === '\r')
    return ['a text in quotes is not closed on its line', 'end it with "; a line break inside it is \\n'];
  return ['a control character stands in a text', c === '\t' ? 'write \\t for a tab' : 'take it away'];
}

function plainRemedy(word: string): string {
  if (word.startsWith('/') || word.startsWith('#')) return 'JSON has no comments: take it away';
  if (word.startsWith("'")) return 'a text stands in double quotes';
  if (/^(true|false|null)$/i.test(word)) return `write ${word.toLowerCase()} in small letters`;
  if (/^[-+]?(NaN|Infinity|None|undefined)$/.test(word)) return 'write a number, or leave the field away';
  if (/^[-+.\d]/.test(word)) return 'numbers are written as 12, -3 or 0.5';
  return 'a value is a "text", a number, true, false, null, a list [ ... ] or an object { ... }';
}
