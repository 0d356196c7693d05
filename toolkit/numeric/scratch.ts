/** Arrays longer than this are not kept, and no more than so many. */
const LONGEST_KEPT = 1 << 20;
const MOST_KEPT = 4;
/** An array is not lent for work that would use less than this share of it. */
const LEAST_USED = 1 / 16;

const kept: Float64Array[] = [];

/**
 * A work array of this length holding anything: one that an earlier call gave back, where there is one. Memory that was
 * never touched is dear, for large arrays dearer than the arithmetic done in them.
 */
export function borrow(length: number): Float64Array {
  const fits = kept.findIndex((each) => each.length >= length && LEAST_USED * each.length <= length);
  if (fits < 0) return new Float64Array(length);
  const [found] = kept.splice(fits, 1);
  return found.length === length ? found : found.subarray(0, length);
}

/** Gives work arrays back; nobody may use them, or views of them, afterwards. */
export function giveBack(...arrays: readonly Float64Array[]): void {
  for (const { buffer, length } of arrays) {
    if (length > LONGEST_KEPT) continue;
    kept.push(new Float64Array(buffer));
    if (kept.length > MOST_KEPT) kept.shift();
  }
}
