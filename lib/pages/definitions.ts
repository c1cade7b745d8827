// What the words of a study mean, at its end, and the cautions that belong to playing what it shows.

import { RELATION_KINDS } from '../analysis/phrase-relation-kinds.js';
import { LEAST_SHARE } from '../analysis/scale-fit.js';
import { KIND_WORDS } from '../charts/relation-words.js';
import { type Html, html, type Part } from './html.js';
import { FEW } from './share-words.js';

/** The words, in the order in which a reader meets them. */
const WORDS: readonly (readonly [word: string, meaning: Part])[] = [
  [
    'Tone',
    'What the ear gets: a stretch of steady pitch on one string. A bend that is let down is one note and two tones, one bent and one released. Both notes of a double-stop count, a tie counts once, dead notes not at all. Graces and very short stages of a bend are ornaments: shown in the tab, in no count.',
  ],
  [
    'Chord of the moment',
    'The chord that rules when the tone starts. The bass of a slash chord never changes the root. A tone pushed over a change (an eighth or less before it, and held at least as long after it) counts under the old chord in the main tables, under the new one in the tables that say so. Tones before the first chord are pickups and stand apart.',
  ],
  [
    'Function',
    'The chord in the key of its bar as a Roman numeral: capital for a major third, small for a minor one. Degrees are counted from the major scale, so the sixth degree of a minor key is bVI.',
  ],
  [
    'Degree',
    'How far a tone stands above the root of the chord (or the tonic of the key): 1 b2 2 b3 3 4 b5 5 b6 6 b7 7. A + means a quarter-tone above; it counts with the degree below it.',
  ],
  [
    'Role',
    'What a tone is in its chord: root, third, fifth, sixth, seventh or extension as the symbol spells it; else a tension at hand over such a chord; else a tone of the key; else chromatic.',
  ],
  [
    'On the beat',
    'The tone starts on a beat of the meter; in 6/8, 9/8 and 12/8 the dotted quarter. Stages of a bend whose time is not written are left out of this count.',
  ],
  ['Time', 'How long the tones sound, as a share of all sounding time over that chord.'],
  [
    'Exposure',
    'The bars of a chord as laid out under the solos, rests included: how much occasion there was to play over it.',
  ],
  [
    '95 % interval',
    `For shares of counts: Wilson's interval on n divided by a design effect estimated between solos, since tones of one solo are alike. No interval with fewer than five solos, or where the share is none or all. Shares of fewer than ${FEW} are not spoken of in sentences.`,
  ],
  [
    'Stands out',
    'The share over one chord is above the share over the others of its kind, and stays above when both are uncertain: the low end of the 95 % interval of the difference (Newcombe 1998, method 10) is above 0. It is picked out of many, and the interval is not widened for that: take it as a place to look, not as proof.',
  ],
  [
    'Landing',
    'At each chord change (root or quality differs; the first chord of a solo changes nothing and is not counted): the top tone that starts with the new chord, else the top one held into it, else the first within an eighth after it, else none. Its degree is over the new chord. Of a double-stop the top tone is counted, and the list of places names all its degrees.',
  ],
  ['Last tone', 'The top tone of the last event of a phrase, over the chord that rules when it starts.'],
  [
    'Entry',
    'The bar and count of the first tone of a phrase, as a player counts: 6/8 in six, 12/8 in four. 3& is the and of 3; e and a are the sixteenths around it; t and l the second and third of a triplet.',
  ],
  [
    'Attack',
    'How a tone begins: picked, hammered, pulled, slid into, tapped, or none for a later stage of a bend. How its pitch is reached: straight; bent; curled (a bend by a quarter-tone); pre-bent (struck with the string already up); held (picked again while up); released (let down). What becomes of bends that are held stands under Held bend.',
  ],
  [
    'Scale fit',
    `Left out: ornaments, curls, and pitch classes under ${LEAST_SHARE * 100} % of the time. Of the familiar scales on the tonic (another root only where it leaves fewer notes outside) the one with the fewest notes outside, then the fewest added and unused. Under five pitch classes nothing is said.`,
  ],
  [
    'Implied chord',
    "Where two strings or more sound together for a sixteenth or longer, with two pitch classes at least: the chord that holds them, the song's own first. It agrees with the chord of the moment if all are its members. It is passing if they are not, but sound for a quarter at most with no bend held, strings that agree with their chord follow without a pause and within a quarter, and such come before it too or are reached by step (no tone goes further than a whole step). Else it is against the chord if they say another one, none if no chord holds them, and open if several fit alike or no chord rules. A new tone on any string begins a new place, so one held bend can have several places.",
  ],
  [
    'Held bend',
    'A string bent by half a step or more that is kept up while another string is played, is picked again while it is up, or is up when the chord changes. It is let down at the change (as the new chord comes), held over it, let down at another time, or not let down at all (its string stops or is fretted anew). Each is counted once over every function that it is up over. The tables of strings together list those under other strings alone.',
  ],
  [
    'Motif',
    'A run of five tones or more of the line, within a phrase, that comes back at three places or more in two solos or more, from any note and in any rhythm: what counts are the steps from tone to tone. Rests longer than a half note cut the line. Motifs are ranked by what they tell beyond what usually follows what (a run up a scale tells next to nothing), by how often they come and by how many solos they are spread over. The line is the top new tone of each moment, without graces.',
  ],
  [
    'By chance',
    'How many places of a motif to expect if each step depended only on the one before it, as it does elsewhere in the playing.',
  ],
  [
    'False discovery rate',
    "Of the motifs with this score or a better one, the share that chance alone would bring. The same search runs on made-up corpora: half of them drawn from the player's own habits of what follows what, half with the steps of each phrase shuffled; the higher of the two rates is given. At 20 % or more a motif is no finding.",
  ],
  [
    'Relation of phrases',
    html`Two phrases of a solo can be alike in several ways; each is said with what it rests on. ${RELATION_KINDS.map((kind, i) => html`${i > 0 ? '; ' : ''}<i>${KIND_WORDS[kind][0]}</i>: ${KIND_WORDS[kind][1]}`)}. From four shared notes on (three for the cell of a sequence); six where only the rhythm, the shape or the degrees are alike.`,
  ],
  [
    'Strength',
    'How literal a likeness is (1 for the same notes in the same rhythm, 0.4 for the rhythm alone), times the share of both phrases that it covers. It orders relations and is no probability.',
  ],
  [
    'Form',
    "A phrase comes from the earlier one to which it has the strongest relation, if that is strong enough (0.3); the rhythm alone makes no kinship, nor does an answer, and an ending must be half of the later phrase. A is a phrase of its own, A' the first that comes from it or from one of its kin, then A'', A3, A4, and a phrase that is the same note for note has the same label. It is a reading of likeness: it does not know what the player meant.",
  ],
];

/** The last section: words, and care. */
export function definitionsSection(): Html {
  return html`<section id="definitions"><h2>What the words mean</h2>
<dl class="words">${WORDS.map(
    ([word, meaning]) => html`<dt>${word}</dt><dd>${meaning}</dd>
`,
  )}</dl>
<h3 id="tab-signs">The signs of the tab</h3>
<p>A figure is a fret; before it <b>h</b> hammered, <b>p</b> pulled, <b>/</b> slid up into, <b>\\</b> slid down into, <b>t</b> tapped, <b>g</b> a grace note; <b>x</b> a dead note, <b>_</b> a tone that goes on. In brackets a bend, in frets: <b>(0&gt;0.5)</b> a curl, <b>(0&gt;2)</b> up two frets (a whole step), <b>(2&gt;0)</b> struck bent and let down, <b>(&gt;0)</b> let down without a new stroke; letters there are the time that a level takes (q quarter, e eighth, s sixteenth, a dot makes it half as long again). After it <b>~</b> vibrato, <b>!</b> accent, <b>*</b> natural harmonic, <b>=</b> rings on, <b>\\</b> slides away, <b>:</b> and a word or figure, a mark of whoever wrote it down. Under the strings stand the count and what each tone is over its chord; <b>_3</b>: a tone held into a new chord is its 3.</p>
<h3 id="care">Playing it without harm</h3>
<p>Bends, bends held under other strings, wide stretches and speed load fingers, wrist and forearm; loud sound harms the ears. Warm up, bend with two or three fingers together, keep the volume where you can still talk, take rests, and stop when it hurts. Ask a teacher how to do it, and a clinician if pain or ringing stays. This is common practice, not medical advice.</p>
</section>
`;
}
