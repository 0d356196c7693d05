/** So many equal readings make a flat top. */
const FLAT = 3;
/** A top that was only rounded flat falls by about one step of the rounding beside it, a cut one by more. */
const ROUNDED = 2.5;

/**
 * Whether the peak around a sample is cut off at the top of the record: its highest readings, three or more in a row,
 * are equal, no reading of the record is higher, and beside them the signal falls by more than the step of its
 * rounding. The width, height and area of such a peak are not those of what eluted.
 *
 * @param signal the record as measured
 * @param highest its highest reading
 * @param reach how far from the sample the flat top may begin, samples
 */
export function isSaturated(signal: Float64Array, at: number, reach: number, highest: number): boolean {
  let top = Math.max(0, at - reach);
  const to = Math.min(signal.length - 1, at + reach);
  while (top <= to && signal[top] !== highest) top++;
  if (top > to) return false;
  let first = top;
  while (first > 0 && signal[first - 1] === highest) first--;
  let last = top;
  while (last < signal.length - 1 && signal[last + 1] === highest) last++;
  if (last - first + 1 < FLAT) return false;
  const fall =
    highest - Math.min(signal[Math.max(first - 1, 0)], signal[Math.min(last + 1, signal.length - 1)]);
  return fall > ROUNDED * smallestStep(signal);
}

function smallestStep(signal: Float64Array): number {
  let smallest = Number.POSITIVE_INFINITY;
  for (let i = 1; i < signal.length; i++) {
    const step = Math.abs(signal[i] - signal[i - 1]);
    if (step > 0 && step < smallest) smallest = step;
  }
  return smallest;
}

export function highestReading(signal: Float64Array): number {
  let highest = signal[0];
  for (const y of signal) if (y > highest) highest = y;
  return highest;
}
