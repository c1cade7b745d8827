// Bends that are held (under other strings, picked again, up to a change) and what becomes of them, by function; every count leads to its bends.
import { HELD_BEND_ENDS, type HeldBend, type HeldBendEnd, heldBendCounts } from '../analysis/held-bends.js';
import { type Html, html, joined, listed, type Part, type TableRow, tableHtml } from './html.js';
import type { PlayerFacts } from './player-facts.js';
import { countLink, many, placeLink, type Scene } from './scene.js';

/** The id of the bends held over a function, or of all. */
export const keptId = (scene: Scene, player: string, ...function_: readonly string[]): string =>
  scene.ids.of('player', player, 'attacks', 'held', ...function_);

/** The part of a player's section on bends that are held. */
export function heldBendsPart(scene: Scene, { shown, keptBends }: PlayerFacts): Html {
  const heading = html`<h4 id="${keptId(scene, shown.player)}">Bends that are held: ${keptBends.length}</h4>`;
  if (keptBends.length === 0)
    return html`${heading}<p class="small">No bend is held under other strings, picked again, or up to a change.</p>`;
  const counts = heldBendCounts(keptBends);
  const ends = HELD_BEND_ENDS.filter((end) => keptBends.some((bend) => bend.end === end));
  const rows = counts.map(
    ({ function: name, bends, ends: own }): TableRow => ({
      cells: [
        name,
        countLink(bends.length, keptId(scene, shown.player, name)),
        ...ends.map((end) => countLink(own[end], keptId(scene, shown.player, name, end))),
      ],
    }),
  );
  const heads = [{ head: 'up over' }, ...['n', ...ends].map((head) => ({ head, figures: true }))];
  const lists = counts.map(
    ({ function: name, bends }) =>
      html`<div id="${keptId(scene, shown.player, name)}" class="listed">${ends.map((end) => {
        const own = bends.filter((bend) => bend.end === end);
        return own.length === 0
          ? undefined
          : html`<div id="${keptId(scene, shown.player, name, end)}" class="listed">${bendTable(scene, `Held over the ${name}, ${end}`, own)}</div>`;
      })}</div>`,
  );
  return html`${heading}
<p class="small">Held under other strings, picked again while up, or up when the chord changes. A bend that is up over two functions is in both.</p>
${tableHtml(undefined, heads, rows)}
${lists}`;
}

function bendTable(scene: Scene, caption: string, bends: readonly HeldBend[]): Html {
  const rows = bends.map((bend): TableRow => ({ cells: [placeLink(scene, bend), bend.said] }));
  return tableHtml(`${caption}: ${bends.length}`, [{ head: 'bent at' }, { head: 'what becomes of it' }], rows);
}

/** What becomes of held bends at the changes: how many are let down as the new chord comes, and to which of its tones. */
export function keptAnswer({ keptBends }: PlayerFacts): Html {
  const at = (end: HeldBendEnd) => keptBends.filter((bend) => bend.end === end);
  const [down, over] = [at('let down at a change'), at('held over a change')];
  const to = new Map<string, number>();
  for (const { change } of down) if (change) to.set(change.after, (to.get(change.after) ?? 0) + 1);
  const degrees = [...to].sort((a, b) => b[1] - a[1]).map(([degree, n]) => html`<b>${degree}</b> (${n})`);
  if (keptBends.length === 0) return html`none is held`;
  if (down.length + over.length === 0) return html`none of ${many(keptBends.length, 'held bend')} meets a change`;
  const parts = [
    ...(down.length > 0 ? [html`${down.length} let down as the new chord comes, to its ${joined(degrees, ', ')}`] : []),
    ...(over.length > 0 ? [html`${over.length} held over`] : []),
  ];
  return html`${listed(parts)}; of ${many(keptBends.length, 'held bend')}`;
}

/** Which solos hold a bend over the V: those under other strings first, then those held for another reason; `undefined` where no player does. */
export function keptOverV(scene: Scene, facts: readonly PlayerFacts[]): Part {
  const lines = facts.flatMap(({ shown, keptBends }) => {
    const bends = keptBends.filter((bend) => bend.functions.includes('V'));
    if (bends.length === 0) return [];
    const solosOf = (own: readonly HeldBend[]) =>
      [...new Set(own.map(({ solo }) => solo))]
        .map((solo) => {
          const n = own.filter((bend) => bend.solo === solo).length;
          return `${scene.names.get(solo)}${n > 1 ? ` (${n})` : ''}`;
        })
        .join(', ');
    const [under, others] = [bends.filter((b) => b.under > 0), bends.filter((b) => b.under === 0)];
    const [again, atChange] = [others.filter((b) => b.again > 0), others.filter((b) => b.again === 0)];
    const words = [
      ...(under.length > 0 ? [`under other strings ${solosOf(under)}`] : []),
      ...(again.length > 0 ? [`picked again ${solosOf(again)}`] : []),
      ...(atChange.length > 0 ? [`up to a change ${solosOf(atChange)}`] : []),
    ];
    return [html`<li><a href="#${keptId(scene, shown.player, 'V')}">${shown.name}</a>: ${words.join('; ')}</li>`];
  });
  return lines.length === 0
    ? undefined
    : html`<div><h3>Which solos hold a bend over the V?</h3><ul>${lines}</ul></div>`;
}
