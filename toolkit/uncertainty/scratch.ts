/** Buffers kept for the next run: together at most some 32 MB. */
const spare: Float64Array[] = [];
const KEPT_BUFFERS = 4;
const KEPT_LENGTH = 1_100_000;

/**
 * Calls `use` with a working array of this length, whose content is arbitrary, and returns what it returns. The array
 * is used again by later calls (fresh memory of 8 MB can take longer to be handed over by the operating system than
 * a million trials take to be drawn), so `use` must not let it out. Nested calls get arrays of their own.
 */
export function withScratch<T>(length: number, use: (memory: Float64Array) => T): T {
  const found = spare.findIndex((buffer) => buffer.length >= length);
  const buffer = found < 0 ? new Float64Array(length) : spare.splice(found, 1)[0];
  try {
    return use(buffer.subarray(0, length));
  } finally {
    if (buffer.length <= KEPT_LENGTH && spare.length < KEPT_BUFFERS) {
      spare.push(buffer);
      // Smallest first, so that a short request does not take a long buffer.
      spare.sort((a, b) => a.length - b.length);
    }
  }
}
