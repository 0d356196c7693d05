/** Longer arrays are not kept. */
const LONGEST_KEPT = 1024;

/**
 * Work arrays of one place in the code: for each length the same array at every call, holding anything. For small
 * work done very often: an array with memory of its own costs more than the arithmetic of a few dozen readings. The
 * place must be done with its array before it can be reached again.
 */
export function workArrays(): (length: number) => Float64Array {
  const kept = new Map<number, Float64Array>();
  let last = new Float64Array(0);
  return (length) => {
    if (last.length === length) return last;
    last = kept.get(length) ?? new Float64Array(length);
    if (length <= LONGEST_KEPT) kept.set(length, last);
    return last;
  };
}
