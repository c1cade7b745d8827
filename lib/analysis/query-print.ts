// A query as text: what `parseQuery` reads back as the same value.
import type { Query } from './phrase-query.js';

/**
 * The text of a query in its one canonical form.
 * @example
 * queryText(all(degrees(['5', '6', '1'], { over: 'IV' }), not(entersOn('1')))) // => 'degrees 5 6 1 over IV and not comes in on 1'
 */
export function queryText(query: Query): string {
  switch (query.kind) {
    case 'pattern': {
      const { look, elements, of, over, onString, startingOn, endingOn } = query;
      return [
        look,
        ...elements,
        ...(of === undefined ? [] : ['of the key']),
        ...(over === undefined ? [] : ['over', over]),
        ...(onString === undefined ? [] : ['on string', onString]),
        ...(startingOn === undefined ? [] : ['starting on', startingOn]),
        ...(endingOn === undefined ? [] : ['ending on', endingOn]),
      ].join(' ');
    }
    case 'enters':
      return `comes in on ${query.on}`;
    case 'ends':
      return `ends on ${query.on}`;
    case 'lasts': {
      const { unit, least, most } = query;
      if (most === undefined) return `lasts at least ${least} ${unit}`;
      if (least === undefined) return `lasts at most ${most} ${unit}`;
      return `lasts ${least === most ? least : `${least} to ${most}`} ${unit}`;
    }
    case 'any':
      return query.parts.map((part) => bracketed(part, ['any'])).join(' or ');
    case 'all':
      return query.parts.map((part) => bracketed(part, ['any', 'all'])).join(' and ');
    case 'not':
      return `not ${bracketed(query.part, ['any', 'all'])}`;
    case 'holding':
      return [bracketed(query.outer, JOINED), ...query.inner.map(innerText)].join(' with ');
  }
}

const JOINED: readonly Query['kind'][] = ['any', 'all', 'not', 'holding'];

/** In brackets if it would else be taken apart. */
const bracketed = (query: Query, kinds: readonly Query['kind'][]): string =>
  kinds.includes(query.kind) ? `(${queryText(query)})` : queryText(query);

/** Behind "with" a `not` stands without brackets, and takes only what is next to it. */
const innerText = (query: Query): string =>
  query.kind === 'not' ? `not ${innerText(query.part)}` : bracketed(query, JOINED);
