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

/**
 * Borrowed memory from which many arrays are cut: each array with memory of its own costs about as much as a hundred
 * readings take to be worked on.
 */
export class Arena {
  private readonly memory: Float64Array;
  private used = 0;

  constructor(private readonly length: number) {
    this.memory = borrow(length);
  }

  /** The next so many elements, holding anything. @throws RangeError beyond the arena's length: a fault of the caller */
  take(length: number): Float64Array {
    if (this.used + length > this.length)
      throw new RangeError(`${length} elements are more than an arena has left`);
    const { buffer, byteOffset } = this.memory;
    const taken = new Float64Array(buffer, byteOffset + Float64Array.BYTES_PER_ELEMENT * this.used, length);
    this.used += length;
    return taken;
  }

  /** The same, all 0. */
  takeZeros(length: number): Float64Array {
    return this.take(length).fill(0);
  }

  /** Gives the memory back; nothing that was taken may be used afterwards. */
  release(): void {
    giveBack(this.memory);
  }
}
