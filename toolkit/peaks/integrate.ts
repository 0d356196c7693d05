import type { BlankNoise } from "../signal/blank-noise.js";
import { areaResponse, type MaskedBaseline } from "../signal/masked-baseline.js";
import { widthAtHalf } from "../signal/peak-width.js";
import { gaussianSmooth } from "../signal/smooth.js";
import { fitEmgCluster, type PeakStart } from "./emg-cluster.js";
import {
  centreFromApex,
  integrationWindow,
  relativeHalfWidth,
  type ShapeInSamples,
  valleyBetween,
} from "./integration-window.js";
import { fitRiders } from "./rider.js";

/** A peak to be measured: found by the detector, or absent and measured at its expected place. */
export interface PlacedPeak extends ShapeInSamples {
  /** Apex, index (may be fractional for an absent one). */
  readonly apex: number;
  readonly present: boolean;
  /** Area summed over the window per area of the fitted shape, learnt from isolated peaks of the standards. */
  readonly sumPerFit: number;
}

export interface MeasuredPeak {
  /** Signal × samples. */
  readonly area: number;
  /** Standard uncertainties of the area by cause, signal × samples. */
  readonly uNoise: number;
  readonly uIntegration: number;
  readonly height: number;
  readonly first: number;
  readonly last: number;
  readonly rule: "summation" | "joint fit" | "rider fit" | "fixed window";
  /** What is drawn as this peak, from `first` on. */
  readonly component: Float64Array;
  readonly flags: readonly string[];
}

export interface IntegrateOptions {
  /** Baseline that was taken off `y`: its own uncertainty belongs to every area, and beside a giant it is given back. */
  readonly baseline: MaskedBaseline;
  readonly noise: BlankNoise;
  /** White standard deviation of the signal. */
  readonly white: number;
  /** Half-width in samples within which blank slices are preferred. */
  readonly reach: number;
}

/** A valley above this share of a peak's height calls for a fit. */
const VALLEY_SHARE = 0.02;
/** A giant's tail above this share of a peak's height is fitted, not summed over. */
const TAIL_SHARE = 0.002;
/** How little is known of that tail, relative. */
const TAIL_UNKNOWN = 0.5;
/** Height ratio from which a peak beside a larger one is a rider on its flank. */
const RIDER_RATIO = 10;
/** The same behind a larger peak whose tail reaches under this one without overlapping it. */
const TAIL_RATIO = 2;
/** A rider's giant is looked for within this many σ before it, and this many of the giant's own behind it. */
const RIDER_REACH = 20;
const FRONT_REACH = 6;
/** How well the fit knows who owns the signal where two peaks overlap, relative to the part both claim. */
const SHARING = 0.05;
/** How well the background under a rider is known, relative to what it adds up to under the peak. */
const BACKGROUND = 0.02;

/** A rider this many times above the noise may show a width of its own. */
const ADJUSTABLE_FROM = 30;

/** What the choice of limits leaves open on a clean peak, relative to its area (common practice, no source). */
const LIMITS_CHOICE = 0.001;

interface Prepared extends PlacedPeak {
  readonly height: number;
  readonly widening: number;
  readonly window: readonly [number, number];
}

/**
 * Areas of all peaks of a baseline-corrected record by the rule each one needs.
 *
 * A peak whose valleys and limits lie below 2 % of its height is summed over a window of fixed width; an
 * overlapped one is fitted jointly with its neighbours (shared change of σ and τ, areas ≥ 0); one beside a
 * neighbour ten times higher is fitted over a non-negative background; an absent one is measured over the
 * same window at its expected place. The noise contribution is the scatter that the same weights show on
 * blank records. All lengths in samples, areas in signal × samples.
 *
 * @param y baseline-corrected, evenly sampled
 * @param peaks in order of their apexes
 */
export function integratePeaks(
  y: Float64Array,
  peaks: readonly PlacedPeak[],
  options: IntegrateOptions,
): readonly MeasuredPeak[] {
  if (peaks.length === 0) return [];
  const narrowest = Math.min(...peaks.map((p) => p.sigma));
  const smooth = gaussianSmooth(y, Math.max(1, 0.3 * narrowest));
  const prepared = peaks.map((p) => prepare(y, smooth, p, options.white));
  return prepared.map((_, k) => measure(y, smooth, prepared, k, options));
}

function prepare(y: Float64Array, smooth: Float64Array, peak: PlacedPeak, white: number): Prepared {
  const at = Math.min(Math.max(Math.round(peak.apex), 0), y.length - 1);
  const height = smooth[at];
  let widening = 1;
  if (peak.present && height > 30 * white) {
    const measured = widthAtHalf(smooth, at);
    if (measured !== undefined)
      widening = Math.min(Math.max(measured / (relativeHalfWidth(peak) * peak.sigma), 1), 3);
  }
  return { ...peak, height, widening, window: integrationWindow(peak.apex, peak, widening, y.length) };
}

interface Surroundings {
  readonly first: number;
  readonly last: number;
  /** Present neighbours whose windows reach into this peak's own. */
  readonly neighbours: readonly number[];
  readonly raisedLeft: boolean;
  readonly raisedRight: boolean;
}

function surroundings(
  smooth: Float64Array,
  peaks: readonly Prepared[],
  k: number,
  white: number,
): Surroundings {
  const own = peaks[k];
  let [first, last] = own.window;
  const neighbours: number[] = [];
  for (let j = 0; j < peaks.length; j++) {
    const other = peaks[j];
    if (j === k || !other.present) continue;
    if (other.window[1] < own.window[0] || other.window[0] > own.window[1]) continue;
    neighbours.push(j);
    if (!own.present) continue;
    if (other.apex < own.apex) first = Math.max(first, splitPoint(smooth, other, own));
    else last = Math.min(last, splitPoint(smooth, own, other));
  }
  const limit = Math.max(VALLEY_SHARE * Math.abs(own.height), 3 * white);
  return { first, last, neighbours, raisedLeft: smooth[first] > limit, raisedRight: smooth[last] > limit };
}

/** Lowest point of the stretch that both windows claim, between the apexes: in a flat stretch noise must not move it far. */
function splitPoint(smooth: Float64Array, left: Prepared, right: Prepared): number {
  const from = Math.max(right.window[0], left.apex);
  const to = Math.min(left.window[1], right.apex);
  return from < to ? valleyBetween(smooth, from, to) : valleyBetween(smooth, left.apex, right.apex);
}

function measure(
  y: Float64Array,
  smooth: Float64Array,
  peaks: readonly Prepared[],
  k: number,
  options: IntegrateOptions,
): MeasuredPeak {
  const own = peaks[k];
  const around = surroundings(smooth, peaks, k, options.white);
  const overlapped = own.present
    ? around.raisedLeft || around.raisedRight
    : around.neighbours.length > 0 || around.raisedLeft || around.raisedRight;
  const giant = giantBeside(smooth, peaks, k, overlapped ? RIDER_RATIO : TAIL_RATIO);
  const tail = giant === undefined ? 0 : tailUnder(peaks[giant], own);
  if (!overlapped && tail < TAIL_SHARE * own.height) return withTail(summed(y, own, around, options), tail);
  if (giant !== undefined) {
    const fitted = rider(y, smooth, peaks, k, giant, options);
    if (fitted) return withTail(fitted, tail);
  }
  return jointly(y, smooth, peaks, k, around, options);
}

function summed(
  y: Float64Array,
  own: Prepared,
  around: Surroundings,
  options: IntegrateOptions,
): MeasuredPeak {
  const { first, last } = around;
  let area = 0;
  for (let i = first; i <= last; i++) area += y[i];
  const weights = new Float64Array(last - first + 1).fill(1);
  return {
    area,
    uNoise: noiseOf(weights, first, own, options),
    uIntegration: own.present ? LIMITS_CHOICE * Math.abs(area) : 0,
    height: own.height,
    first,
    last,
    rule: own.present ? "summation" : "fixed window",
    component: y.slice(first, last + 1),
    flags: [],
  };
}

/** Scatter of an area on blank records, the uncertainty of the baseline under it included. */
function noiseOf(shares: Float64Array, first: number, own: Prepared, options: IntegrateOptions): number {
  const response = areaResponse(options.baseline, first, shares);
  const window = [first - response.first, first - response.first + shares.length - 1] as const;
  return options.noise.scatterOf(response.weights, window, Math.round(own.apex), options.reach);
}

/** The peak at least `ratio` times higher that this one rides on, where there is one. */
function giantBeside(
  smooth: Float64Array,
  peaks: readonly Prepared[],
  k: number,
  ratio: number,
): number | undefined {
  const own = peaks[k];
  const height = Math.max(own.height - backgroundUnder(smooth, peaks, k), own.present ? 0 : Number.MIN_VALUE);
  let found: number | undefined;
  for (let j = 0; j < peaks.length; j++) {
    const other = peaks[j];
    if (j === k || !other.present) continue;
    const gap = own.apex - other.apex;
    if (gap > RIDER_REACH * own.sigma || -gap > FRONT_REACH * other.sigma * other.widening) continue;
    if (other.height > ratio * height && (found === undefined || other.height > peaks[found].height))
      found = j;
  }
  return found;
}

/**
 * What a giant's slow tail leaves under a later peak. Real columns hold back about a percent of a peak in slow
 * exponentials of some 2.5, 6 and 15 σ (common practice, no source): enough to say when it matters, not to subtract.
 */
function tailUnder(giant: Prepared, own: Prepared): number {
  const gap = (own.apex - giant.apex) / giant.sigma;
  if (gap < 0) return 0;
  return (
    giant.height * (7e-3 * Math.exp(-gap / 2.5) + 1.7e-3 * Math.exp(-gap / 6) + 3.3e-4 * Math.exp(-gap / 15))
  );
}

/** Adds what is not known of a giant's tail under a peak: it is a fraction of a percent, and not the same on two columns. */
function withTail(peak: MeasuredPeak, tail: number): MeasuredPeak {
  const under = TAIL_UNKNOWN * tail * (peak.last - peak.first + 1);
  return { ...peak, uIntegration: Math.hypot(peak.uIntegration, under) };
}

/** Rough level of what lies under a peak: the lower of the two points half-way to its neighbours' side. */
function backgroundUnder(smooth: Float64Array, peaks: readonly Prepared[], k: number): number {
  const own = peaks[k];
  const [first, last] = own.window;
  return Math.max(0, Math.min(smooth[Math.max(first, 0)], smooth[Math.min(last, smooth.length - 1)]));
}

function rider(
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
  return {
    area: own.present ? shared.area : fit.areas[which] * own.sumPerFit,
    uNoise: Math.max(fitNoise, noiseOf(shared.weights, from, own, options)),
    uIntegration: Math.hypot(
      LIMITS_CHOICE * shared.area,
      SHARING * shared.contested,
      BACKGROUND * Math.max(under, 0),
    ),
    height,
    first: from,
    last: to,
    rule: own.present ? "rider fit" : "fixed window",
    component: component.slice(from - first, to - first + 1),
    flags: own.present && fit.background[at] > 2 * height ? ["background above twice the height"] : [],
  };
}

/**
 * Part of the signal that belongs to one of several overlapping peaks: at every sample the share that its fitted
 * curve has in the sum of all fitted curves. So the fit only decides who owns what; what it cannot follow (a slow
 * tail, a flattened top) is still counted, as it is for a peak that is summed.
 */
function shareOf(
  y: Float64Array,
  components: readonly Float64Array[],
  which: number,
  from: number,
  to: number,
) {
  const weights = new Float64Array(Math.max(to - from + 1, 1));
  let area = 0;
  let contested = 0;
  for (let i = Math.max(from, 0); i <= Math.min(to, y.length - 1); i++) {
    let total = 0;
    for (const c of components) total += c[i];
    const share = total > 0 ? components[which][i] / total : 1 / components.length;
    weights[i - from] = share;
    area += share * y[i];
    contested += share * (1 - share) * Math.abs(y[i]);
  }
  return { area, weights, contested };
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

function sumOf(values: Float64Array, from: number, to: number): number {
  let sum = 0;
  for (let i = Math.max(from, 0); i <= Math.min(to, values.length - 1); i++) sum += values[i];
  return sum;
}

function jointly(
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
    priors: { mu: 0.5, lnSigma: 0.08, lnTau: 0.3 },
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
  const fitNoise = noiseOf(fit.areaWeights(which), first, own, options) * own.sumPerFit;
  return {
    area: own.present ? shared.area : fit.peaks[which].area * own.sumPerFit,
    uNoise: Math.max(fitNoise, noiseOf(shared.weights, from, own, options)),
    uIntegration: Math.hypot(LIMITS_CHOICE * shared.area, SHARING * shared.contested),
    height: Math.max(...components[which]),
    first: from,
    last: to,
    rule: own.present ? "joint fit" : "fixed window",
    component: components[which].slice(from - first, to - first + 1),
    flags: own.present && !fit.converged ? ["fit did not settle"] : [],
  };
}

/** Constant and slope about the middle of the window, as the cluster fit counts them. */
function backgroundAt([level = 0, slope = 0]: readonly number[], i: number, length: number): number {
  const half = 0.5 * (length - 1);
  return level + (slope * (i - half)) / half;
}
