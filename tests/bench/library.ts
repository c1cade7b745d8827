// The library as its users run it: built. Run from source, the TypeScript runner would wrap every closure and slow inner loops.
import { existsSync, readdirSync, statSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import type * as Front from '../../lib/index.js';
import type * as Counting from '../../lib/math/counting.js';

const place = (path: string): URL => new URL(`../../${path}`, import.meta.url);

/** The built front door of the library. */
export const FRONT_DOOR = place('dist/index.js');
/** The built command line. */
export const COMMAND = fileURLToPath(place('dist/main.js'));
/** The folder of the demo solos. */
export const DEMO = fileURLToPath(place('data/solos'));
/** The folder of the package. */
export const PACKAGE = fileURLToPath(place('.'));

/** Throws if there is no build, or if the source has changed since. */
export function checkBuild(): void {
  const lib = fileURLToPath(place('lib'));
  const newest = readdirSync(lib, { recursive: true, encoding: 'utf8' }).reduce(
    (latest, name) => Math.max(latest, statSync(`${lib}/${name}`).mtimeMs),
    0,
  );
  if (!existsSync(FRONT_DOOR) || statSync(FRONT_DOOR).mtimeMs < newest)
    throw new Error('dist/ is missing or older than lib/: run npm run build first');
}

/** Loads the front door. */
export const loadLibrary = async (): Promise<typeof Front> => (await import(FRONT_DOOR.href)) as typeof Front;

/** Loads the counting that the tables of the library rest on. */
export const loadCounting = async (): Promise<typeof Counting> =>
  (await import(place('dist/math/counting.js').href)) as typeof Counting;
