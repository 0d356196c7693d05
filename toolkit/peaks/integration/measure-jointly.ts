import { fitEmgCluster, type PeakStart } from "../fitting/emg-cluster.js";
import { centreFromApex, valleyBetween } from "../shape/integration-window.js";
import {
  type AreaSource,
  type IntegrateOptions,
  LIMITS_CHOICE,
  type MeasuredPeak,
  noiseOf,
  type Prepared,
  together,
} from "./placed-peak.js";
import { SHARING, shareOf, shareResponse } from "./share-signal.js";
import type { Surroundings } from "./surroundings.js";

/** Freedom of a shape that standards have shown. */
const KNOWN_SHAPE = { lnSigma: 0.08, lnTau: 0.3 };

/** Area of a peak that overlaps its neighbours: they are fitted together and share the signal. */
export function jointly(
  y: Float64Array,
  smooth: Float64Array,
  peaks: readonly Prepared[],
  k: number,
  around: Surroundings,
  options: IntegrateOptions,
): MeasuredPeak {
  const own = peaks[k];
  const members = [...new Set([k, ...around.neighbours])].sort((a, b) => peaks[a].apex - peaks[b].apex);
  let first = Math.min(...members.map((m) => peaks[m].window[0]));
  let last = Math.max(...members.map((m) => peaks[m].window[1]));
  for (let j = 0; j < peaks.length; j++) {
    const other = peaks[j];
    if (members.includes(j) || !other.present) continue;
    const [lowest, highest] = [peaks[members[0]].apex, peaks[members[members.length - 1]].apex];
    if (other.apex < lowest && other.window[1] > first)
      first = Math.max(first, valleyBetween(smooth, other.apex, lowest));
    if (other.apex > highest && other.window[0] < last)
      last = Math.min(last, valleyBetween(smooth, highest, other.apex));
  }
  const window = y.slice(first, last + 1);
  const time = Float64Array.from(window, (_, i) => i);
  const starts: PeakStart[] = members.map((m) => {
    const p = peaks[m];
    return { mu: centreFromApex(p.apex, p) - first, sigma: p.sigma, tau: p.tau };
  });
  const signed = !own.present;
  const alone = members.length === 1;
  const fit = fitEmgCluster(time, window, starts, {
    sharedShape: true,
    priors: { mu: 0.5, ...(options.freedom ?? KNOWN_SHAPE) },
    held: members.map((m) => !peaks[m].present),
    signed: members.map((m) => !peaks[m].present && signed),
    noise: options.white,
    backgroundDegree: alone ? 1 : -1,
  });
  const which = members.indexOf(k);
  const components = members.map((_, m) => fit.component(m));
  const [from, to] = [Math.max(own.window[0], first), Math.min(own.window[1], last)];
  const above = alone
    ? window.map((value, i) => value - backgroundAt(fit.background, i, window.length))
    : window;
  const shared = shareOf(above, components, which, from - first, to - first);
  const sources: readonly AreaSource[] = [
    { name: "beyond the limits", u: LIMITS_CHOICE * Math.abs(shared.area) },
    { name: "shape", u: SHARING * shared.contested },
  ];
  const uNoise = () => {
    if (own.present && !alone) {
      const direct = { first: from - first, weights: shared.weights };
      return noiseOf(shareResponse(above, components, which, direct, fit), first, own, options);
    }
    // Alone, what the fitted line takes off is in the fit's weights only.
    const fitted = noiseOf(fit.areaWeights(which), first, own, options) * own.sumPerFit;
    return Math.max(fitted, noiseOf(shared.weights, from, own, options));
  };
  return {
    area: own.present ? shared.area : fit.peaks[which].area * own.sumPerFit,
    uNoise: uNoise(),
    uIntegration: together(sources),
    sources,
    height: Math.max(...components[which]),
    first: from,
    last: to,
    rule: own.present ? "joint fit" : "fixed window",
    component: components[which].slice(from - first, to - first + 1),
    flags: own.present && !fit.converged ? ["fit did not settle"] : [],
    ...(alone ? {} : { shares: shared.weights }),
  };
}

/** Constant and slope about the middle of the window, as the cluster fit counts them. */
function backgroundAt([level = 0, slope = 0]: readonly number[], i: number, length: number): number {
  const half = 0.5 * (length - 1);
  return level + (slope * (i - half)) / half;
}
