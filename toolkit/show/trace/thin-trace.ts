import type { DrawnTrace } from "./drawn-trace.js";

/** Points above which a record is thinned before it is drawn: many more than any page has pixels. */
const MOST_POINTS = 120_000;

/**
 * The same trace on at most `most` points: of each stretch of equally many samples its lowest and its highest one
 * stay, so that no spike and no dip is lost. Shorter traces come back as they are. One pass, O(n).
 */
export function thinTrace(trace: DrawnTrace, most = MOST_POINTS): DrawnTrace {
  const n = trace.time.length;
  if (n <= most) return trace;
  const kept = extremes(trace.signal, Math.ceil((2 * n) / most));
  const pick = (values: Float64Array): Float64Array => {
    const out = new Float64Array(kept.length);
    for (let k = 0; k < kept.length; k += 1) out[k] = values[kept[k]];
    return out;
  };
  const components = trace.components.flatMap((component) => {
    const { first, values } = component;
    const from = firstNotBelow(kept, first);
    const to = firstNotBelow(kept, first + values.length);
    if (to === from) return [];
    const thinned = Float64Array.from({ length: to - from }, (_, k) => values[kept[from + k] - first]);
    return [{ ...component, first: from, values: thinned }];
  });
  const { strip } = trace;
  return {
    ...trace,
    time: pick(trace.time),
    signal: pick(trace.signal),
    baseline: pick(trace.baseline),
    components,
    ...(strip?.values ? { strip: { ...strip, values: pick(strip.values) } } : {}),
  };
}

/** Places of the lowest and the highest value of every `stretch` samples, in order, with both ends of the record. */
function extremes(values: Float64Array, stretch: number): Int32Array {
  const n = values.length;
  const kept = new Int32Array(2 * Math.ceil(n / stretch) + 2);
  let count = 0;
  const keep = (index: number): void => {
    if (count === 0 || kept[count - 1] < index) kept[count++] = index;
  };
  keep(0);
  for (let from = 0; from < n; from += stretch) {
    const to = Math.min(from + stretch, n);
    let low = from;
    let high = from;
    for (let index = from + 1; index < to; index += 1) {
      // Written so that a number beats not-a-number.
      if (!(values[index] >= values[low])) low = Number.isNaN(values[index]) ? low : index;
      if (!(values[index] <= values[high])) high = Number.isNaN(values[index]) ? high : index;
    }
    keep(Math.min(low, high));
    keep(Math.max(low, high));
  }
  keep(n - 1);
  return kept.slice(0, count);
}

/** Index of the first entry of a rising row that is not below `value`. */
function firstNotBelow(row: Int32Array, value: number): number {
  let low = 0;
  let high = row.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (row[middle] < value) low = middle + 1;
    else high = middle;
  }
  return low;
}
