// Suffix arrays by induced sorting, SA-IS: G. Nong, S. Zhang and W. H. Chan 2009, Data Compression Conference, 193-202, and
// 2011, IEEE Transactions on Computers 60(10):1471-1484. Common prefixes: T. Kasai et al. 2001, Combinatorial Pattern
// Matching, 181-192, in the order of J. Karkkainen, G. Manzini and S. Puglisi 2009. Linear time, typed arrays only.

/** Symbols ready for sorting: in bytes where that is enough, because memory is what the sorting waits for. */
export interface DenseText {
  readonly symbols: Uint8Array | Int32Array;
  /** Above all symbols of the text, and not far above the number of places. */
  readonly size: number;
}

/**
 * The places of a text, ordered by what stands from there to the end of the text; an end comes before any symbol. So all
 * places where one sequence begins stand together.
 * @param text whole numbers from 0 up, however large; they are compared as numbers
 * @throws RangeError if a symbol is below 0 (with its place)
 * @example
 * const banana = Int32Array.from('banana', (letter) => letter.charCodeAt(0));
 * [...suffixArray(banana)] // => [5, 3, 1, 0, 4, 2]
 */
export function suffixArray(text: Int32Array): Int32Array {
  return sortedSuffixes(denseText(text));
}

/** {@link suffixArray} of symbols made ready. */
export function sortedSuffixes({ symbols, size }: DenseText): Int32Array {
  const suffixes: Int32Array = new Int32Array(symbols.length);
  sortSuffixes(symbols, suffixes, size);
  return suffixes;
}

/**
 * For each place of a suffix array after the first, how many symbols its suffix and the one before it begin with in
 * common; 0 for the first.
 * @param suffixes the suffix array of the text
 * @example
 * const banana = Int32Array.from('banana', (letter) => letter.charCodeAt(0));
 * [...commonPrefixes(banana, suffixArray(banana))] // => [0, 1, 3, 0, 0, 2]
 */
export function commonPrefixes(text: Uint8Array | Int32Array, suffixes: Int32Array): Int32Array {
  return prefixesAndTurns(text, suffixes, -1).map((both) => both >> 1);
}

/**
 * The text with small symbols: where they are much larger than the text is long, each is replaced by its rank among those
 * that occur.
 * @throws RangeError if a symbol is below 0 (with its place)
 * @example
 * denseText(new Int32Array([70000, 5, 70000])) // => { symbols: new Uint8Array([1, 0, 1]), size: 2 }
 */
export function denseText(text: Int32Array): DenseText {
  const highest = highestSymbol(text);
  const { symbols, size } = highest < text.length + 256 ? { symbols: text, size: highest + 1 } : rankSymbols(text);
  return { symbols: size <= 256 ? new Uint8Array(symbols) : symbols, size };
}

function highestSymbol(text: Int32Array): number {
  let highest = -1;
  for (let i = 0; i < text.length; i++) {
    const symbol = text[i]!;
    if (symbol < 0) throw new RangeError(`symbol ${i} of the text is ${symbol}: give whole numbers from 0 up`);
    if (symbol > highest) highest = symbol;
  }
  return highest;
}

/**
 * For each place of a suffix array twice the number of symbols that its suffix and the one before it begin with in
 * common, plus 1 if the symbols to their left differ. Nothing in common goes on past a separator; a separator to the left,
 * or the start of the text, differs from everything. Both are found in one pass because both wait for the same memory.
 * @param separator the symbol that ends all common prefixes, or -1 if there is none
 */
export function prefixesAndTurns(text: Uint8Array | Int32Array, suffixes: Int32Array, separator: number): Int32Array {
  const byPlace: Int32Array = new Int32Array(text.length);
  sortedBefore(suffixes, byPlace);
  compareWithBefore(text, byPlace, separator);
  const answer: Int32Array = new Int32Array(text.length);
  pick(byPlace, suffixes, answer);
  return answer;
}

function pick(values: Int32Array, places: Int32Array, into: Int32Array): void {
  for (let k = 0; k < into.length; k++) into[k] = values[places[k]!]!;
}

/** For each place the suffix that is sorted just before the one that begins there; -1 for the first. */
function sortedBefore(suffixes: Int32Array, before: Int32Array): void {
  let last = -1;
  for (let k = 0; k < suffixes.length; k++) {
    const place = suffixes[k]!;
    before[place] = last;
    last = place;
  }
}

/** Replaces each of these suffixes by how it agrees. One symbol further on there is one less in common, at most. */
function compareWithBefore(text: Uint8Array | Int32Array, before: Int32Array, separator: number): void {
  const n = text.length;
  let common = 0;
  let left = separator;
  for (let i = 0; i < n; i++) {
    const symbol = text[i]!;
    const j = before[i]!;
    if (j < 0) common = 0;
    else {
      const most = n - Math.max(i, j);
      while (common < most) {
        const next = text[i + common]!;
        if (next === separator || next !== text[j + common]) break;
        common++;
      }
    }
    const apart = j > 0 && left !== separator ? text[j - 1]! ^ left : -1;
    before[i] = (common << 1) | ((apart | -apart) >>> 31);
    if (common > 0) common--;
    left = symbol;
  }
}

/** Sorts the places by the low 16 bits of their symbols, then by the high ones, and numbers the symbols. */
function rankSymbols(text: Int32Array): { readonly symbols: Int32Array; readonly size: number } {
  const n = text.length;
  const byLow: Int32Array = new Int32Array(n);
  const order: Int32Array = new Int32Array(n);
  for (const shift of [0, 16]) {
    const next: Int32Array = new Int32Array(65537);
    for (let i = 0; i < n; i++) next[((text[i]! >>> shift) & 0xffff) + 1]!++;
    for (let digit = 0; digit < 65536; digit++) next[digit + 1]! += next[digit]!;
    for (let i = 0; i < n; i++) {
      const place = shift === 0 ? i : byLow[i]!;
      (shift === 0 ? byLow : order)[next[(text[place]! >>> shift) & 0xffff]!++] = place;
    }
  }
  const ranks: Int32Array = new Int32Array(n);
  let distinct = 0;
  for (let i = 0; i < n; i++) {
    if (i === 0 || text[order[i]!] !== text[order[i - 1]!]) distinct++;
    ranks[order[i]!] = distinct - 1;
  }
  return { symbols: ranks, size: distinct };
}

// A place is L if its suffix is larger than the next place's, S if smaller; LMS if it is S and the place before it is L.
// The suffix after the last symbol is empty and smaller than all, so the last place is L. While sorting, an entry of `sa`
// above 0 still has to put the place before it where it belongs, in the scan at hand; one below 0 is set aside, as ~place.
// Which it is can hardly be foreseen, so it is worked out from sign bits where a branch would be guessed wrong.

/**
 * Sorts the suffixes of a text of symbols 0 to `symbols` - 1 into `sa`, which is as long as the text. All loops are in
 * functions of their own: V8 optimises a loop while it runs only as well as it already knows what comes after it.
 */
function sortSuffixes(text: Uint8Array | Int32Array, sa: Int32Array, symbols: number): void {
  const n = text.length;
  if (n === 0) return;
  const sizes = countSymbols(text, symbols);
  const next: Int32Array = new Int32Array(symbols);
  const lms = lmsPlaces(text);
  const many = lms.length;

  sa.fill(0);
  ends(sizes, next);
  bucket(text, sa, next, lms);
  if (many > 1) {
    const free: Int32Array = next.slice(); // where the free part of each bucket ends
    starts(sizes, next);
    sortLmsFromLeft(text, sa, next);
    ends(sizes, next);
    sortLmsFromRight(text, sa, next);
    collectLms(sa);
    // The rest of `sa`, by half places, has a free slot for each LMS place: these are two apart or more.
    measureStretches(sa, lms, n);
    const names = nameStretches(text, sa, many);
    const order = sa.subarray(0, many);
    if (names < many) {
      // The names, in the order of the text, are a text of their own, at most half as long.
      const shorter = sa.subarray(n - many);
      collectNames(sa, lms, shorter);
      sortSuffixes(shorter, order, names);
      numbersToPlaces(order, lms);
    }
    lms.set(order);
    sa.fill(0);
    ends(sizes, next);
    bucketAgain(sa, free, next, lms);
  }
  starts(sizes, next);
  induceFromLeft(text, sa, next);
  ends(sizes, next);
  induceFromRight(text, sa, next);
}

function countSymbols(text: Uint8Array | Int32Array, symbols: number): Int32Array {
  const sizes: Int32Array = new Int32Array(symbols);
  for (let i = 0; i < text.length; i++) sizes[text[i]!]!++;
  return sizes;
}

function starts(sizes: Int32Array, next: Int32Array): void {
  for (let symbol = 0, sum = 0; symbol < sizes.length; symbol++) {
    next[symbol] = sum;
    sum += sizes[symbol]!;
  }
}

function ends(sizes: Int32Array, next: Int32Array): void {
  for (let symbol = 0, sum = 0; symbol < sizes.length; symbol++) {
    sum += sizes[symbol]!;
    next[symbol] = sum;
  }
}

/** The LMS places, rising. */
function lmsPlaces(text: Uint8Array | Int32Array): Int32Array {
  const places: Int32Array = new Int32Array((text.length >> 1) + 1);
  return places.subarray(1 + fillLmsPlaces(text, places));
}

/** Fills the places in from the end; returns where the next one would have gone. */
function fillLmsPlaces(text: Uint8Array | Int32Array, places: Int32Array): number {
  let at = places.length - 1;
  let after = text[text.length - 1]!;
  let isS = 0; // 1 if place i + 1 is S
  for (let i = text.length - 2; i >= 0; i--) {
    const step = text[i]! - after;
    after += step;
    const equal = ((step | -step) >>> 31) ^ 1;
    const beforeIsS = (step >>> 31) | (equal & isS);
    places[at] = i + 1; // stays if it is LMS
    at -= isS & (beforeIsS ^ 1);
    isS = beforeIsS;
  }
  return at;
}

/** Puts places at the ends of their buckets. */
function bucket(text: Uint8Array | Int32Array, sa: Int32Array, next: Int32Array, places: Int32Array): void {
  for (let k = places.length - 1; k >= 0; k--) sa[--next[text[places[k]!]!]!] = places[k]!;
}

/** Puts sorted places back to the ends of their buckets, as many into each as were there before. */
function bucketAgain(sa: Int32Array, free: Int32Array, bucketEnds: Int32Array, sorted: Int32Array): void {
  let k = 0;
  for (let symbol = 0; symbol < free.length; symbol++) {
    for (let at = free[symbol]!; at < bucketEnds[symbol]!; at++) sa[at] = sorted[k++]!;
  }
}

/** Of the L places, keeps those that have an S place before them. */
function sortLmsFromLeft(text: Uint8Array | Int32Array, sa: Int32Array, next: Int32Array): void {
  const n = text.length;
  const last = text[n - 1]!;
  sa[next[last]!++] = n > 1 && text[n - 2]! < last ? -n : n - 1; // -n is ~(n - 1)
  for (let i = 0; i < n; i++) {
    const place = sa[i]!;
    if (place > 0) {
      const before = place - 1;
      const symbol = text[before]!;
      sa[i] = 0;
      sa[next[symbol]!++] = before > 0 ? before ^ ((text[before - 1]! - symbol) >> 31) : 0;
    } else sa[i] = place ^ (place >> 31);
  }
}

/** Of the S places, keeps those that are LMS, set aside in the order of what stands between them and the next one. */
function sortLmsFromRight(text: Uint8Array | Int32Array, sa: Int32Array, next: Int32Array): void {
  for (let i = text.length - 1; i >= 0; i--) {
    const place = sa[i]!;
    if (place <= 0) continue;
    const before = place - 1;
    const symbol = text[before]!;
    sa[i] = 0;
    sa[--next[symbol]!] = before > 0 ? before ^ ((symbol - text[before - 1]!) >> 31) : 0;
  }
}

/** Moves what was set aside to the front. */
function collectLms(sa: Int32Array): void {
  for (let i = 0, at = 0; i < sa.length; i++) {
    const place = sa[i]!;
    sa[at] = ~place;
    at += place >>> 31;
  }
}

/** How long each stretch is from one LMS place to the next, both included. */
function measureStretches(sa: Int32Array, lms: Int32Array, n: number): void {
  let end = n; // the last stretch takes in the end of the text
  for (let k = lms.length - 1; k >= 0; k--) {
    const place = lms[k]!;
    sa[lms.length + (place >> 1)] = end - place + 1;
    end = place;
  }
}

/** Names the stretches by their order, from 1 on; equal ones have one name. Returns how many names there are. */
function nameStretches(text: Uint8Array | Int32Array, sa: Int32Array, many: number): number {
  const n = text.length;
  let names = 0;
  let known = 0;
  let knownLength = 0;
  for (let k = 0; k < many; k++) {
    const place = sa[k]!;
    const slot = many + (place >> 1);
    const length = sa[slot]!;
    let d = 0;
    if (length === knownLength && place + length <= n && known + length <= n)
      while (d < length && text[place + d] === text[known + d]) d++;
    if (d < length) {
      names++;
      known = place;
      knownLength = length;
    }
    sa[slot] = names;
  }
  return names;
}

/** Writes the names, less 1, in the order of the text; from the right, because `into` is the end of `sa`. */
function collectNames(sa: Int32Array, lms: Int32Array, into: Int32Array): void {
  for (let k = lms.length - 1; k >= 0; k--) into[k] = sa[lms.length + (lms[k]! >> 1)]! - 1;
}

function numbersToPlaces(numbers: Int32Array, places: Int32Array): void {
  for (let k = 0; k < numbers.length; k++) numbers[k] = places[numbers[k]!]!;
}

/** From the LMS places in order: all L places in order. Those with an S place before them are left to the next scan. */
function induceFromLeft(text: Uint8Array | Int32Array, sa: Int32Array, next: Int32Array): void {
  const n = text.length;
  const last = text[n - 1]!;
  sa[next[last]!++] = n > 1 && text[n - 2]! < last ? -n : n - 1;
  for (let i = 0; i < n; i++) {
    const place = sa[i]!;
    sa[i] = ~place;
    if (place <= 0) continue;
    const before = place - 1;
    const symbol = text[before]!;
    sa[next[symbol]!++] = before > 0 ? before ^ ((text[before - 1]! - symbol) >> 31) : 0;
  }
}

/** From the L places in order: all S places in order. */
function induceFromRight(text: Uint8Array | Int32Array, sa: Int32Array, next: Int32Array): void {
  for (let i = text.length - 1; i >= 0; i--) {
    const place = sa[i]!;
    if (place <= 0) {
      sa[i] = ~place;
      continue;
    }
    const before = place - 1;
    const symbol = text[before]!;
    sa[--next[symbol]!] = before > 0 ? before ^ ((symbol - text[before - 1]!) >> 31) : -1; // -1 is ~0
  }
}
