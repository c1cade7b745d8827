// Colours that people with any common colour blindness can tell apart.

/** Okabe and Ito, "Color Universal Design" (2008): eight colours for kinds. */
export const KIND = {
  black: '#000000',
  orange: '#E69F00',
  skyBlue: '#56B4E9',
  green: '#009E73',
  yellow: '#F0E442',
  blue: '#0072B2',
  vermilion: '#D55E00',
  purple: '#CC79A7',
} as const;

/** Ink and paper of every chart, sheet and page. */
export const INK = {
  text: '#1f1f1f',
  soft: '#5c5c5c',
  line: '#b9b9b9',
  hair: '#e3e3e3',
  paper: '#ffffff',
} as const;

/**
 * For amounts, from little to much: from near paper to the dark end of cividis (Nuñez, Anderton and Renslow 2018), in steps of lightness that the eye
 * takes for even. The bright half of cividis is left out: on white paper its yellow is hard to read, and in print as grey it says nothing.
 */
export const AMOUNT = ['#e6eaf1', '#c4cedc', '#9fadc3', '#7688a6', '#4f668b', '#2b446e', '#0a326a', '#002051'] as const;
