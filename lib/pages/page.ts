// The page around all sections: one file that opens from disk, asks for nothing from outside, and prints on A4.
import { createHash } from 'node:crypto';
import { CHORD_VERDICTS } from '../analysis/implied-chord.js';
import { INK, KIND } from '../foundation/palette.js';
import { type Html, html, type Part, trusted } from './html.js';

/** The parts of a page. */
export interface PageParts {
  readonly title: string;
  /** Links that stay at the top of the screen, and are left out in print. */
  readonly ways: readonly Part[];
  readonly body: readonly Part[];
}

/**
 * A whole page as text. It holds its style and its script; its policy forbids every request, and any script but its own.
 * @example
 * pageText({ title: 'A <b> page', ways: [], body: ['Words'] }).includes('<title>A &lt;b&gt; page</title>') // => true
 */
export function pageText(parts: PageParts): string {
  const hash = createHash('sha256').update(SCRIPT).digest('base64');
  const policy = `default-src 'none'; style-src 'unsafe-inline'; img-src data:; script-src 'sha256-${hash}'; base-uri 'none'; form-action 'none'`;
  const page: Html = html`<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="${policy}">
<meta name="viewport" content="width=device-width, initial-scale=1">
<link rel="icon" href="data:,">
<title>${parts.title}</title>
<style>${trusted(STYLE)}</style>
</head>
<body>
<nav aria-label="Sections">${parts.ways}</nav>
<main>
${parts.body}
</main>
<script>${trusted(SCRIPT)}</script>
</body>
</html>
`;
  return page.markup;
}

/** Opens the lists that a link leads into. Without it a reader opens them by hand. */
const SCRIPT = `(() => {
  const reveal = () => {
    const target = document.getElementById(decodeURIComponent(location.hash.slice(1)));
    if (!target) return;
    for (let e = target; e; e = e.parentElement) if (e.localName === 'details') e.open = true;
    target.scrollIntoView();
  };
  addEventListener('hashchange', reveal);
  reveal();
})();`;

const STYLE = `
:root { --ink: ${INK.text}; --soft: ${INK.soft}; --line: ${INK.line}; --hair: ${INK.hair}; --link: ${KIND.blue};
  --serif: Charter, 'Bitstream Charter', 'Iowan Old Style', Georgia, 'Liberation Serif', 'Times New Roman', serif;
  --sans: Arimo, Arial, Helvetica, 'Liberation Sans', sans-serif;
  --mono: ui-monospace, 'DejaVu Sans Mono', 'Liberation Mono', Menlo, Consolas, monospace; }
* { box-sizing: border-box; }
html { scroll-padding-top: 3rem; -webkit-text-size-adjust: 100%; text-size-adjust: 100%; }
body { margin: 0; background: ${INK.paper}; color: var(--ink); font: 1rem/1.5 var(--serif); overflow-wrap: break-word; }
main { max-width: 74rem; margin: 0 auto; padding: 0 1rem 4rem; }
nav { position: sticky; top: 0; z-index: 1; background: ${INK.paper}; border-bottom: 1px solid var(--hair); font: .85rem/1.4 var(--sans);
  padding: .5rem max(1rem, calc(50% - 36rem)); overflow-x: auto; white-space: nowrap; }
nav a { margin-right: 1.2em; }
a { color: var(--link); text-decoration: none; }
a:hover, a:focus-visible { text-decoration: underline; }
h1, h2, h3, h4 { line-height: 1.2; text-wrap: balance; }
h1 { font-size: 2rem; margin: 2.5rem 0 .5rem; }
h2 { font-size: 1.6rem; margin: 4rem 0 .75rem; border-top: 2px solid var(--ink); padding-top: .75rem; }
h3 { font-size: 1.2rem; margin: 2.25rem 0 .5rem; }
h4 { font-size: 1rem; margin: 1.5rem 0 .4rem; }
p, ul, dl { max-width: 44rem; margin: .5rem 0; }
ul { padding-left: 1.2rem; }
li { margin: .25rem 0; }
.soft { color: var(--soft); }
.small, table, dl.places, figcaption, summary, .ask, fieldset { font-family: var(--sans); font-size: .82rem; line-height: 1.45; }
section[id], h2[id], h3[id], h4[id] { scroll-margin-top: .5rem; }
:target > dt, dt:target, tr:target, h4:target, h3:target, .phrase:target h4, .card:target h4 { background: #fff3bf; }
.wide { overflow-x: auto; max-width: 100%; }
table { border-collapse: collapse; margin: .4rem 0 .2rem; font-variant-numeric: tabular-nums lining-nums; }
caption { text-align: left; font-weight: bold; padding-bottom: .3rem; }
th, td { text-align: left; vertical-align: baseline; padding: .16rem .5rem; border-bottom: 1px solid var(--hair); }
th:first-child, td:first-child { padding-left: 0; }
thead th { font-weight: normal; color: var(--soft); border-bottom: 1px solid var(--line); vertical-align: bottom; }
tbody th { font-weight: bold; }
.pair { margin-right: .9em; white-space: nowrap; }
.f { text-align: right; white-space: nowrap; }
.side { display: grid; grid-template-columns: repeat(auto-fill, minmax(min(100%, 22rem), 1fr)); gap: 0 2rem; align-items: start; }
.side.two { grid-template-columns: repeat(auto-fill, minmax(min(100%, 30rem), 1fr)); }
.side > div, .ask > div { min-width: 0; break-inside: avoid; }
.ask { display: grid; grid-template-columns: repeat(auto-fill, minmax(min(100%, 20rem), 1fr)); gap: 1rem 2rem; margin: 1rem 0; }
.ask h3 { font-size: .95rem; margin: 0 0 .2rem; }
.ask ul { list-style: none; padding: 0; margin: 0; }
details { margin: .3rem 0 .8rem; }
summary { cursor: pointer; color: var(--soft); }
dl.places { max-width: none; columns: 24rem; column-gap: 2rem; margin: .4rem 0; }
dl.places div { break-inside: avoid-column; margin-bottom: .5rem; }
.card dl.places { columns: auto; }
dl.places div.long { break-inside: auto; }
dl.places dt { font-weight: bold; }
dl.places dd { margin: 0 0 0 .8rem; text-indent: -.8rem; }
dl.places dd a { white-space: nowrap; }
figure { margin: 1.2rem 0; overflow-x: auto; break-inside: avoid; }
figure svg { display: block; height: auto; }
figure svg text, figure svg [aria-hidden] { pointer-events: none; }
figure svg text { font-family: var(--sans); }
figure a:hover path { stroke: ${INK.text}; stroke-width: 2; }
.bars { display: grid; grid-template-columns: repeat(4, minmax(0, 1fr)); max-width: 44rem; padding-left: 1px; font: .9rem/1.3 var(--sans); }
.bars > div { border: 0 solid var(--ink); border-width: 0 1px; margin-left: -1px; padding: .1rem .4rem .35rem; min-height: 3.2rem; margin-bottom: .5rem; break-inside: avoid; }
.bars i { display: block; font-style: normal; font-size: .68rem; color: var(--soft); }
.bars b { margin-right: .5em; white-space: nowrap; }
.bars sub { font-weight: normal; font-size: .68rem; color: var(--soft); vertical-align: baseline; margin-left: .15em; }
.bars a { font-size: .72rem; margin-right: .5em; white-space: nowrap; }
.phrase, .card { margin: 1.5rem 0; }
.phrase h4, .phrase p, .card h4, .card p { margin: 0 0 .2rem; }
dl.contents dt { margin-top: .4rem; font-weight: bold; }
dl.contents dd { margin: 0 0 0 1.2rem; font: .85rem/1.5 var(--sans); }
.form { letter-spacing: .05em; }
dl.words dt { font-weight: bold; margin-top: .7rem; }
dl.words dd { margin: 0 0 0 1.2rem; }
pre { font: .8rem/1.25 var(--mono); margin: .4rem 0; overflow-x: auto; padding: .2rem 0; }
.narrow { display: none; }
fieldset { border: 0; padding: 0; margin: .5rem 0; }
fieldset label { margin-right: 1rem; white-space: nowrap; }
${CHORD_VERDICTS.map((v) => `.readings:has(input[value=${v}]:checked) .reading:not(.${v})`).join(', ')},
.readings:has(input[value=bends]:checked) tbody tr:not(.bend), .readings:has(input[value=bends]:checked) .listed .wide:not(:has(.bend)) { display: none; }
@media (max-width: 40rem) {
  main { padding: 0 .75rem 3rem; }
  h1 { font-size: 1.6rem; } h2 { font-size: 1.35rem; }
  th, td { padding: .16rem .3rem; }
  .small, table, dl.places, summary, .ask { font-size: .78rem; }
  .bars { grid-template-columns: repeat(2, minmax(0, 1fr)); }
  figure svg { min-width: 40rem; }
}
@media print {
  @page { size: A4; margin: 15mm 14mm; }
  html { font-size: 10.5pt; }
  body { overflow-wrap: normal; }
  main { max-width: none; padding: 0; }
  nav, fieldset, .to { display: none; }
  .readings .reading:not(#x), .readings tr:not(#x) { display: revert !important; }
  a { color: inherit; text-decoration: none; }
  h1 { margin-top: 0; }
  h2 { break-before: page; margin-top: 0; border-top: 0; padding-top: 0; }
  #contents h2, #questions h2, #corpus h2, #ladder h2, #weeks h2 { break-before: auto; margin-top: 1.5rem; }
  :is(#questions, #corpus, #players, #solos) details, #solos .phrase, #solos figure { display: none; }
  h3, h4, caption, summary, dt { break-after: avoid; }
  p { orphans: 3; widows: 3; }
  tr, li { break-inside: avoid; }
  thead { display: table-header-group; }
  .wide, figure, pre { overflow: visible; }
  figure svg { max-width: 100%; min-width: 0; max-height: 240mm; }
  pre { font-size: min(8.5pt, calc(182mm / (var(--n, 84) * .61))); break-inside: avoid; }
  .phrase, .card pre { break-inside: avoid; }
  .card h4, .card p { break-after: avoid; }
  .side { display: block; columns: 2; column-gap: 8mm; }
  table { font-size: 8.5pt; }
  :target > dt, dt:target, tr:target, h4:target, h3:target, .phrase:target h4, .card:target h4 { background: none; }
}
`;
