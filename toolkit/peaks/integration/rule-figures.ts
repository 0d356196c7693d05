import { emg } from "../shape/emg.js";
import { centreFromApex } from "../shape/integration-window.js";
import type { MeasuredPeak, Prepared } from "./placed-peak.js";

/** A peak's own curve over the baseline, from index `first` on. */
export interface PeakCurve {
  readonly first: number;
  readonly component: Float64Array;
}

/** The fitted curve; of a summed peak, its expected shape with the area found. */
export function curveOf(peak: Prepared, measured: MeasuredPeak): PeakCurve {
  if (measured.rule !== "summation") return measured;
  const sigma = peak.sigma * peak.widening;
  const tau = peak.tau * peak.widening;
  const mu = centreFromApex(peak.apex, { sigma, tau });
  const [first, last] = peak.window;
  const component = Float64Array.from(
    { length: last - first + 1 },
    (_, i) => measured.area * emg(first + i, mu, sigma, tau),
  );
  return { first, component };
}

/** Limits of a peak and, where a neighbour shares one, which. */
export interface PeakLimits {
  readonly first: number;
  readonly last: number;
  readonly left: number | undefined;
  readonly right: number | undefined;
}

/**
 * What parting at the valleys adds to one peak, as the peaks' own curves foresee it: the neighbours' parts inside the
 * limits less the own part beyond them. Signal × samples.
 *
 * It is the error of a perpendicular drop as far as the curves are right; 0 for a peak whose neighbours are far.
 */
export function foreseenDropError(
  curves: readonly PeakCurve[],
  limits: readonly PeakLimits[],
  k: number,
): number {
  const { first, last, left, right } = limits[k];
  let error = 0;
  for (const j of [left, right]) {
    if (j === undefined) continue;
    error += partOf(curves[j], first, last);
  }
  if (left !== undefined) error -= partOf(curves[k], Number.NEGATIVE_INFINITY, first - 1);
  if (right !== undefined) error -= partOf(curves[k], last + 1, Number.POSITIVE_INFINITY);
  return error;
}

function partOf({ first, component }: PeakCurve, from: number, to: number): number {
  let sum = 0;
  for (let i = Math.max(from - first, 0); i < component.length && i <= to - first; i++) sum += component[i];
  return sum;
}
