/** A straight line through readings: level + slope·(t − centre). */
export interface StraightLine {
  readonly centre: number;
  readonly level: number;
  readonly slope: number;
}

/**
 * Least-squares line through the samples first…last; slope 0 where all times are one. O(n), nothing allocated in loops.
 * Means are taken from the first sample on, so that a constant has exactly no residuals.
 * @param time min
 */
export function straightLine(time: Float64Array, y: Float64Array, first: number, last: number): StraightLine {
  const n = last - first + 1;
  let centre = 0;
  let level = 0;
  for (let i = first; i <= last; i++) {
    centre += (time[i] - time[first]) / n;
    level += (y[i] - y[first]) / n;
  }
  centre += time[first];
  level += y[first];
  let sxx = 0;
  let sxy = 0;
  for (let i = first; i <= last; i++) {
    const t = time[i] - centre;
    sxx += t * t;
    sxy += t * (y[i] - level);
  }
  return { centre, level, slope: sxx > 0 ? sxy / sxx : 0 };
}
