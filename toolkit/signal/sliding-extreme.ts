/**
 * The smallest (or largest) value within `half` samples of every sample; at the ends, of those there are. O(n) whatever
 * the window: a queue keeps the samples that can still become the smallest one.
 *
 * @param sign 1 for the smallest, −1 for the largest
 */
export function slidingExtreme(y: Float64Array, half: number, sign: 1 | -1): Float64Array {
  const n = y.length;
  const out = new Float64Array(n);
  const size = 2 * half + 2;
  const queue = new Int32Array(size);
  let head = 0;
  let tail = 0;
  for (let next = 0; next < n + half; next++) {
    if (next < n) {
      const value = sign * y[next];
      while (tail > head && sign * y[queue[(tail - 1) % size]] >= value) tail--;
      queue[tail++ % size] = next;
    }
    const at = next - half;
    if (at < 0) continue;
    while (queue[head % size] < at - half) head++;
    out[at] = y[queue[head % size]];
  }
  return out;
}

/** Without whatever stands up and is narrower than 2·half samples: smallest values, then the largest of them. */
export function opened(y: Float64Array, half: number): Float64Array {
  return slidingExtreme(slidingExtreme(y, half, 1), half, -1);
}

/** Without whatever hangs down and is narrower than 2·half samples: largest values, then the smallest of them. */
export function closed(y: Float64Array, half: number): Float64Array {
  return slidingExtreme(slidingExtreme(y, half, -1), half, 1);
}
