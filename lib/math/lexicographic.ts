// The order of lists of numbers, as words stand in a dictionary.

/**
 * Below 0 if the first list comes before the second, above 0 if after it, 0 if they are alike: the first number that differs decides. For sorting by one
 * thing, then another.
 * @throws RangeError if the lists differ in length
 * @example
 * compareInTurn([0, 3, 1], [0, 2, 9]) // => 1
 */
export function compareInTurn(a: readonly number[], b: readonly number[]): number {
  if (a.length !== b.length) throw new RangeError(`lists of ${a.length} and of ${b.length} numbers have no order`);
  const i = a.findIndex((n, k) => n !== b[k]);
  return i < 0 ? 0 : (a[i] as number) - (b[i] as number);
}
