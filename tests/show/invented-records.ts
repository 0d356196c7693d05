// INVENTED records for developing and testing pages: peaks of a plain shape on a drifting line with noise. They say
// nothing about any instrument or method; the toolkit's own simulator is deliberately not used here.
import { createRandom } from "../../toolkit/numeric/random.js";

export interface InventedPeak {
  readonly ion: string;
  /** Apex, min. */
  readonly time: number;
  /** Front half-width at 61 % of the height, min; the back is `tail` times wider. */
  readonly sigma: number;
  readonly tail: number;
  /** µS/cm */
  readonly height: number;
}

export interface InventedRecord {
  readonly time: Float64Array;
  readonly signal: Float64Array;
  readonly baseline: Float64Array;
  readonly noise: number;
}

export interface RecordOptions {
  readonly points: number;
  /** min */
  readonly end: number;
  /** First evaluated minute. */
  readonly from: number;
  readonly rise: number;
  readonly seed: string;
}

/** Height of a lopsided bell above the baseline. */
export function bell(peak: InventedPeak, time: number): number {
  const sigma = time < peak.time ? peak.sigma : peak.sigma * peak.tail;
  return peak.height * Math.exp(-0.5 * ((time - peak.time) / sigma) ** 2);
}

/** Area of the same, µS/cm·min. */
export function bellArea(peak: InventedPeak): number {
  return peak.height * peak.sigma * Math.sqrt(2 * Math.PI) * ((1 + peak.tail) / 2);
}

export function inventedRecord(peaks: readonly InventedPeak[], options: RecordOptions): InventedRecord {
  const { points, end, from, rise, seed } = options;
  const random = createRandom(seed);
  const noise = 0.0012;
  const time = new Float64Array(points);
  const signal = new Float64Array(points);
  const baseline = new Float64Array(points).fill(Number.NaN);
  let slow = 0;
  for (let index = 0; index < points; index += 1) {
    const t = (index * end) / points;
    time[index] = t;
    const line = 0.42 + 0.012 * Math.sin(t / 2.3) + rise / (1 + Math.exp(-(t - 0.66 * end) / 1.2));
    const dip = t > 1.2 ? -1.3 * Math.exp(-(((t - 1.42) / 0.09) ** 2)) * (1 + 0.4 * Math.sin(9 * t)) : 0;
    slow = 0.98 * slow + 0.0002 * random.normal();
    let value = line + dip + noise * random.normal() + slow;
    for (const peak of peaks) value += bell(peak, t);
    signal[index] = value;
    if (t >= from) baseline[index] = line;
  }
  return { time, signal, baseline, noise };
}
