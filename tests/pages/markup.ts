// Reads the markup of a page as a tree, strictly: what is not closed, or closed twice, is a fault. Enough for pages that this library writes.

/** An element, or the page itself (`name` is then `''`). */
export interface Element {
  readonly name: string;
  readonly attributes: ReadonlyMap<string, string>;
  readonly children: readonly (Element | string)[];
}

const VOID = new Set(['meta', 'link', 'br', 'input', 'img', 'hr']);
const ENTITIES: Readonly<Record<string, string>> = { lt: '<', gt: '>', quot: '"', apos: "'", '#39': "'", amp: '&' };

/** Text as it is shown. An entity that is not known is a fault. */
export const unescaped = (text: string): string =>
  text.replace(/&([#\w]*);?/g, (whole, name: string) => {
    const found = ENTITIES[name];
    if (found === undefined || !whole.endsWith(';')) throw new Error(`"${whole}" is no entity that the page may hold`);
    return found;
  });

interface Open {
  readonly name: string;
  readonly attributes: Map<string, string>;
  readonly children: (Element | string)[];
}

/** The tree of a page. */
export function readMarkup(page: string): Element {
  const root: Open = { name: '', attributes: new Map(), children: [] };
  const open: Open[] = [root];
  const top = () => open[open.length - 1] as Open;
  let at = 0;
  while (at < page.length) {
    const next = page.indexOf('<', at);
    const text = page.slice(at, next < 0 ? page.length : next);
    if (text !== '') top().children.push(unescaped(text));
    if (next < 0) break;
    const tag = /^<(?:!doctype html|(\/?)([a-zA-Z][\w:-]*)((?: [\w:-]+(?:="[^"<]*")?)*)(\/?))>/.exec(
      page.slice(next, next + 20000),
    );
    if (!tag) throw new Error(`no tag: ${page.slice(next, next + 80)}`);
    at = next + tag[0].length;
    const [, closing, name, attributes = '', alone] = tag;
    if (name === undefined) continue;
    if (closing) {
      const last = open.pop() as Open;
      if (last.name !== name) throw new Error(`</${name}> closes <${last.name}>, before ${page.slice(at, at + 80)}`);
      continue;
    }
    const element: Open = { name, attributes: new Map(), children: [] };
    for (const [, key, value = ''] of attributes.matchAll(/ ([\w:-]+)(?:="([^"]*)")?/g)) {
      if (element.attributes.has(key as string)) throw new Error(`<${name}> has ${key} twice`);
      element.attributes.set(key as string, unescaped(value));
    }
    top().children.push(element);
    if (name === 'script' || name === 'style') {
      const end = page.indexOf(`</${name}>`, at);
      element.children.push(page.slice(at, end));
      at = end + name.length + 3;
    } else if (!alone && !VOID.has(name)) open.push(element);
  }
  if (open.length !== 1) throw new Error(`<${top().name}> is not closed`);
  return root;
}

/** All elements in an element, in order of the page. */
export const elementsIn = (element: Element): readonly Element[] =>
  element.children.flatMap((child) => (typeof child === 'string' ? [] : [child, ...elementsIn(child)]));

/** The words of an element; blanks that keep a line together are blanks. */
export const wordsIn = (element: Element): string =>
  element.children
    .map((child) => (typeof child === 'string' ? child.replaceAll('\u00a0', ' ') : wordsIn(child)))
    .join('');

/** Elements of a name, of a class if one is asked for. */
export const named = (element: Element, name: string, className?: string): readonly Element[] =>
  elementsIn(element).filter(
    (e) =>
      e.name === name && (className === undefined || (e.attributes.get('class') ?? '').split(' ').includes(className)),
  );

const known = new WeakMap<readonly Element[], ReadonlyMap<string, Element>>();

/** The element of an id; a fault if there is none, or any id is given twice. */
export function byId(elements: readonly Element[], id: string): Element {
  let ids = known.get(elements);
  if (!ids) {
    const given = elements.flatMap((e): [string, Element][] =>
      e.attributes.has('id') ? [[e.attributes.get('id') as string, e]] : [],
    );
    ids = new Map(given);
    if (ids.size < given.length) throw new Error('an id is given twice');
    known.set(elements, ids);
  }
  const found = ids.get(id);
  if (!found) throw new Error(`no element has the id ${id}`);
  return found;
}
