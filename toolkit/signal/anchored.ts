import { IonbookError } from "../errors.js";
import { indexAt } from "./time-axis.js";

/**
 * Baseline through the means of peak-free stretches, joined by straight lines and held level outside them:
 * the manual method, and the auditor's cross-check.
 *
 * @param time min
 * @param anchors stretches without peaks, min, at least two, in any order
 * @throws IonbookError `no-anchors` with fewer than two stretches or a stretch without a sample
 */
export function anchoredBaseline(
  time: Float64Array,
  signal: Float64Array,
  anchors: readonly (readonly [from: number, to: number])[],
): Float64Array {
  if (anchors.length < 2) {
    throw new IonbookError(
      "no-anchors",
      `an anchored baseline needs at least two stretches without peaks, got ${anchors.length}: give anchors: [[from, to], …] in min`,
    );
  }
  const knots = anchors.map((stretch) => meanOf(time, signal, stretch)).sort((a, b) => a.t - b.t);
  const out = new Float64Array(time.length);
  let k = 0;
  for (let i = 0; i < time.length; i++) {
    while (k < knots.length - 2 && time[i] > knots[k + 1].t) k++;
    const a = knots[k];
    const b = knots[k + 1];
    const part = Math.min(Math.max((time[i] - a.t) / (b.t - a.t), 0), 1);
    out[i] = a.y + part * (b.y - a.y);
  }
  return out;
}

function meanOf(time: Float64Array, signal: Float64Array, [from, to]: readonly [number, number]) {
  let t = 0;
  let y = 0;
  let n = 0;
  for (let i = indexAt(time, from); i < time.length && time[i] <= to; i++) {
    t += time[i];
    y += signal[i];
    n++;
  }
  if (n === 0) {
    throw new IonbookError(
      "no-anchors",
      `the anchor ${from}–${to} min holds no sample: choose a stretch inside the record`,
    );
  }
  return { t: t / n, y: y / n };
}
