// tonal: the dictionaries of chord and scale types, and how intervals and notes are named.
import { createRequire } from 'node:module';
import type * as Tonal from 'tonal';

let loaded: typeof Tonal | undefined;

/** The library tonal. Loaded at the first call, since it takes about as long to load as all of this package. */
export function tonal(): typeof Tonal {
  loaded ??= createRequire(import.meta.url)('tonal') as typeof Tonal;
  return loaded;
}
