// The summary of a study in a player's words.
import type { IntervalUse, IntervalUseGroup, IntervalUseRow } from '../analysis/interval-use.js';
import type { ToneTable } from '../solo/tone-table.js';
import { count } from './terminal.js';

/** Under this many tones of one degree it is not named. */
const FEWEST = 5;
/** Under this many tones over a chord its shares are not spoken of. */
const FEW = 20;

/** Lines of the summary: the corpus, then for each player what stands out over which chord, with n and 95 % intervals. */
export function studySummary(
  table: ToneTable,
  use: IntervalUse,
  byPlayer: ReadonlyMap<string, IntervalUse>,
): readonly string[] {
  const lines = [
    `${count(table.solos.length, 'solo')}, ${count(use.tones, 'tone')} over chords${use.pickups > 0 ? `, ${count(use.pickups, 'pickup tone')} apart` : ''}${use.withoutChord > 0 ? `, ${use.withoutChord} under no chord` : ''}.`,
  ];
  for (const [player, own] of byPlayer) {
    const solos = own.groups.reduce((most, g) => Math.max(most, g.solos), 0);
    lines.push('', `${player || 'no player named'}: ${count(own.tones, 'tone')} in ${count(soloCount(own), 'solo')}`);
    const spoken = own.groups.filter((g) => g.tones >= FEW);
    for (const group of spoken.slice(0, 6))
      lines.push(
        `  ${chordLine(
          group,
          own.rows.filter((r) => r.group[0] === group.group[0]),
        )}`,
      );
    const few = own.groups.filter((g) => g.tones < FEW);
    if (few.length > 0)
      lines.push(`  too few to say (under ${FEW} tones): ${few.map((g) => `${g.group[0]} (${g.tones})`).join(', ')}`);
    if (solos < 5) lines.push('  fewer than five solos: counts only, no intervals');
  }
  return lines;
}

/** Solos that the counted tones come from. */
function soloCount(use: IntervalUse): number {
  return new Set(use.rows.flatMap((_, i) => use.places(i).map((p) => p.solo))).size;
}

const percent = (share: number): string => `${Math.round(share * 100)} %`;

function chordLine(group: IntervalUseGroup, rows: readonly IntervalUseRow[]): string {
  const top = [...rows]
    .filter((r) => r.tones >= FEWEST)
    .sort((a, b) => b.tones - a.tones)
    .slice(0, 3);
  const shares = top.map((r) => {
    const range =
      r.share.low === undefined || r.share.high === undefined
        ? ''
        : ` (${Math.round(r.share.low * 100)} to ${Math.round(r.share.high * 100)})`;
    return `${r.degree} ${percent(r.share.share)}${range}`;
  });
  const written = rows.reduce((sum, r) => sum + r.onBeatOf, 0);
  const onBeat = rows.reduce((sum, r) => sum + r.onBeat, 0);
  const bars = group.exposureBars === undefined ? '' : `, ${Math.round(group.exposureBars * 10) / 10} bars`;
  return `over ${`${group.group[0]}`.padEnd(5)} ${shares.join(', ')}; on the beat ${percent(written === 0 ? 0 : onBeat / written)}  [n = ${group.tones}${bars}]`;
}
