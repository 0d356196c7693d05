import { centreFromApex, valleyBetween } from "./integration-window.js";
import {
  type AreaSource,
  type IntegrateOptions,
  LIMITS_CHOICE,
  type MeasuredPeak,
  noiseOf,
  type Prepared,
  together,
} from "./placed-peak.js";
import { fitRiders } from "./rider.js";
import { SHARING, shareOf, sumOf } from "./share-signal.js";

/** How well the background under a rider is known, relative to what it adds up to under the peak. */
const BACKGROUND = 0.02;
/** A rider this many times above the noise may show a width of its own. */
const ADJUSTABLE_FROM = 30;

/**
 * Area of a small peak on the flank of a giant: what stands above a fitted background, shared with its companions.
 * Undefined where the window is too narrow for a background.
 */
export function rider(
  y: Float64Array,
  smooth: Float64Array,
  peaks: readonly Prepared[],
  k: number,
  giantIndex: number,
  options: IntegrateOptions,
): MeasuredPeak | undefined {
  const own = peaks[k];
  const giant = peaks[giantIndex];
  const behind = own.apex > giant.apex;
  const companions = peaks.filter(
    (p, j) =>
      j !== giantIndex &&
      (behind ? p.apex > giant.apex : p.apex < giant.apex) &&
      Math.abs(p.apex - own.apex) < 9 * own.sigma &&
      (j === k || (p.present && p.height < 0.2 * giant.height)),
  );
  const low = Math.min(...companions.map((p) => p.apex));
  const high = Math.max(...companions.map((p) => p.apex));
  let first = behind ? giant.apex + 3.5 * giant.sigma * giant.widening : low - 7 * own.sigma;
  let last = behind ? high + 9 * own.sigma + 3 * own.tau : giant.apex - 3.2 * giant.sigma * giant.widening;
  for (const other of peaks) {
    if (!other.present || companions.includes(other) || other === giant) continue;
    if (other.apex < low && other.apex > first - 5 * other.sigma)
      first = Math.max(first, valleyBetween(smooth, other.apex, low));
    if (other.apex > high && other.apex < last + 5 * other.sigma)
      last = Math.min(last, valleyBetween(smooth, high, other.apex));
  }
  first = Math.max(0, Math.round(first));
  last = Math.min(y.length - 1, Math.round(last));
  if (last - first < 6 * own.sigma || own.apex < first + own.sigma || own.apex > last - own.sigma)
    return undefined;
  const local = withoutLocalBaseline(
    y,
    options.baseline.values,
    first,
    last,
    behind ? giant.apex - 8 * giant.sigma : first,
    behind ? last : giant.apex + 8 * giant.sigma,
  );
  const fit = fitRiders(
    local,
    companions.map((p) => ({
      ...p,
      mu: centreFromApex(p.apex, p) - first,
      adjustable: p.present && p.height > ADJUSTABLE_FROM * options.white,
    })),
    { apex: giant.apex - first, sigma: giant.sigma },
  );
  const which = companions.indexOf(own);
  const at = Math.min(Math.max(Math.round(own.apex) - first, 0), fit.background.length - 1);
  const component = fit.components[which];
  const height = Math.max(...component);
  const [from, to] = [Math.max(own.window[0], first), Math.min(own.window[1], last)];
  const above = local.map((value, i) => value - fit.background[i]);
  const shared = shareOf(above, fit.components, which, from - first, to - first);
  const under = sumOf(fit.background, from - first, to - first);
  const fitNoise = noiseOf(fit.weights[which], first, own, options) * own.sumPerFit;
  const sources: readonly AreaSource[] = [
    { name: "beyond the limits", u: LIMITS_CHOICE * Math.abs(shared.area) },
    { name: "shape", u: SHARING * shared.contested },
    { name: "background model", u: BACKGROUND * Math.max(under, 0) },
  ];
  return {
    area: own.present ? shared.area : fit.areas[which] * own.sumPerFit,
    uNoise: Math.max(fitNoise, noiseOf(shared.weights, from, own, options)),
    uIntegration: together(sources),
    sources,
    height,
    first: from,
    last: to,
    rule: own.present ? "rider fit" : "fixed window",
    component: component.slice(from - first, to - first + 1),
    flags: own.present && fit.background[at] > 2 * height ? ["background above twice the height"] : [],
  };
}

/** The window with its baseline replaced by the chord between two anchors outside the giant. */
function withoutLocalBaseline(
  y: Float64Array,
  z: Float64Array,
  first: number,
  last: number,
  from: number,
  to: number,
): Float64Array {
  const a = Math.min(Math.max(Math.round(from), 0), y.length - 1);
  const b = Math.min(Math.max(Math.round(to), a + 1), y.length - 1);
  const slope = (z[b] - z[a]) / Math.max(b - a, 1);
  return Float64Array.from(
    { length: last - first + 1 },
    (_, i) => y[first + i] + z[first + i] - z[a] - slope * (first + i - a),
  );
}
