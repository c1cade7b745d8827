// What a picture of functions must say where it counts major and minor keys together.
import type { IntervalUse } from '../analysis/interval-use.js';
import type { ToneTable } from '../solo/tone-table.js';
import { inScale, parseKey } from '../theory/scale.js';
import { inMusicalOrder } from './interval-finding.js';
import { countText } from './spec.js';

/**
 * A note for a table by function in which some function's tones come from keys with a major third and from keys with a minor one: which functions, and how
 * much of each; `undefined` where none does.
 * @example
 * const table = toneTable([{ id: 'two-doors-down', solo: parseSoloOrThrow(EXAMPLE_SOLO) }])
 * mixedKeysNote(table, intervalUse(table)) // => undefined
 */
export function mixedKeysNote(table: ToneTable, use: IntervalUse): string | undefined {
  const isMajor = table.keys.map((text) => {
    const key = parseKey(text);
    return 'names' in key && inScale(key, 4);
  });
  const { key, solo } = table.columns;
  const at = use.by.indexOf('function');
  const solos = { major: new Set<number>(), minor: new Set<number>() };
  const functions = { major: new Set<string>(), minor: new Set<string>() };
  const tones = { major: 0, minor: 0 };
  use.rows.forEach(({ group }, i) => {
    for (const row of use.toneRows(i)) {
      const kind = isMajor[key[row] as number] ? 'major' : 'minor';
      solos[kind].add(solo[row] as number);
      functions[kind].add(group[at] ?? '');
      tones[kind]++;
    }
  });
  const both = [...functions.major].filter((name) => functions.minor.has(name));
  if (at < 0 || both.length === 0) return undefined;
  const shown = [...use.groups]
    .sort(inMusicalOrder(use))
    .flatMap(({ group }) => (both.includes(group[at] as string) ? [group[at] as string] : []));
  const part = (kind: 'major' | 'minor') =>
    `${countText(tones[kind])} tones in ${solos[kind].size} ${solos[kind].size === 1 ? 'solo' : 'solos'}`;
  const names = [...new Set(shown)];
  const list = names.length === 1 ? names[0] : `${names.slice(0, -1).join(', ')} and ${names[names.length - 1]}`;
  return `Keys with a major third (${part('major')}) and with a minor one (${part('minor')}) stand together: both have tones over ${list}.`;
}
