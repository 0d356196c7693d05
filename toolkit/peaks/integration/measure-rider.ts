import { measureRider, type RiderMeasurement, type RiderModel } from "../riders/rider-area.js";
import type { RiderWindow } from "../riders/rider-window.js";
import { centreFromApex, valleyBetween } from "../shape/integration-window.js";
import {
  type AreaSource,
  type IntegrateOptions,
  type MeasuredPeak,
  noiseOf,
  type Prepared,
  together,
} from "./placed-peak.js";

/** A rider this many times above the noise may show a width of its own. */
const ADJUSTABLE_FROM = 30;
/** The window begins so near to the giant, in its σ, and ends so far beyond the riders, in theirs. */
const FROM_GIANT = 1;
const BEYOND_SIGMA = 12;
const BEYOND_TAU = 4;
const BEFORE_SIGMA = 10;
/** Riders nearer to each other than this many σ are fitted together. */
const COMPANIONS = 9;

/** The level before and behind a giant is read so many of its σ off: nearer, the baseline has taken its slow tail in. */
const LEVEL_NEAR = 8;
const LEVEL_FAR = 25;

const MODEL = {
  "rider over decays": "decays",
  "rider over measured profile": "measured profile",
  "rider over cubic": "cubic",
} as const satisfies Record<RiderModel, string>;

/** A small peak with what stands around it, ready to be measured. */
export interface PlacedRider {
  readonly window: RiderWindow;
  /** Which rider of the window. */
  readonly which: number;
  /** First and last sample of the window in the record. */
  readonly first: number;
  readonly last: number;
}

/**
 * Area of a small peak on the flank of a giant: what stands above a fitted background, beside its companions.
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
  const placed = placedRider(y, smooth, peaks, k, giantIndex, options);
  if (placed === undefined) return undefined;
  const { window, which, first, last } = placed;
  const profile = options.profileOf?.(peaks[giantIndex].apex);
  const measured = measureRider(window, which, {
    scatterOf: (weights, from) => noiseOf(weights, first + from, own, options),
    ...(profile === undefined ? {} : { profile }),
    ...(options.refuseAbove === undefined ? {} : { refuseAbove: options.refuseAbove }),
  });
  return described(measured, own, first, last);
}

/** The stretch beside a giant that a peak is measured over, with the baseline given back and its companions in it. */
export function placedRider(
  y: Float64Array,
  smooth: Float64Array,
  peaks: readonly Prepared[],
  k: number,
  giantIndex: number,
  options: IntegrateOptions,
): PlacedRider | undefined {
  const own = peaks[k];
  const giant = peaks[giantIndex];
  const behind = own.apex > giant.apex;
  const companions = peaks.filter(
    (p, j) =>
      j !== giantIndex &&
      (behind ? p.apex > giant.apex : p.apex < giant.apex) &&
      Math.abs(p.apex - own.apex) < COMPANIONS * own.sigma &&
      (j === k || (p.present && p.height < 0.2 * giant.height)),
  );
  // An absent peak expected at the very apex of the giant stands on neither side of it.
  if (!companions.includes(own)) return undefined;
  const [first, last] = stretchOf(smooth, peaks, own, giant, companions);
  if (last - first < 6 * own.sigma || own.apex < first + own.sigma || own.apex > last - own.sigma)
    return undefined;
  const chord = chordBelow(
    options.baseline.values,
    behind ? giant.apex - LEVEL_NEAR * giant.sigma : first,
    behind ? Math.max(last, giant.apex + LEVEL_FAR * giant.sigma) : giant.apex + LEVEL_NEAR * giant.sigma,
  );
  const over = (values: Float64Array) =>
    Float64Array.from({ length: last - first + 1 }, (_, i) => values[first + i] + chord(first + i));
  const [bare, bareSmooth] = [over(y), over(smooth)];
  // Backgrounds are sums of what is not negative: the lowest point is their floor.
  const floor = bareSmooth.reduce((lowest, value) => Math.min(lowest, value), Number.POSITIVE_INFINITY);
  const window: RiderWindow = {
    y: bare.map((value) => value - floor),
    smooth: bareSmooth.map((value) => value - floor),
    riders: companions.map((p) => ({
      sigma: p.sigma,
      tau: p.tau,
      mu: centreFromApex(p.apex, p) - first,
      present: p.present,
      adjustable: p.present && p.height > ADJUSTABLE_FROM * options.white,
    })),
    giant: { apex: giant.apex - first, sigma: giant.sigma * giant.widening, height: giant.height },
    white: options.white,
  };
  return { window, which: companions.indexOf(own), first, last };
}

function described(measured: RiderMeasurement, own: Prepared, offset: number, end: number): MeasuredPeak {
  const { sumPerFit, present } = own;
  const sources: readonly AreaSource[] = [
    { name: "background model", u: measured.uBackground * sumPerFit },
    { name: "shape", u: measured.uShape * sumPerFit },
  ];
  const start = offset + measured.first;
  const [from, to] = [Math.max(own.window[0], start), Math.min(own.window[1], end)];
  return {
    area: measured.area * sumPerFit,
    uNoise: measured.uNoise * sumPerFit,
    uIntegration: together(sources),
    sources,
    height: measured.height,
    first: from,
    last: to,
    rule: present ? "rider fit" : "fixed window",
    component: measured.component.slice(from - start, to - start + 1),
    flags: present && measured.burden > 2 ? ["background above twice the height"] : [],
    background: { model: MODEL[measured.model], first: start, values: measured.background },
    because: measured.because,
    ...(present && measured.refusal !== undefined ? { refusal: measured.refusal } : {}),
  };
}

/** From beside the giant to beyond the outermost companion, short of what is neither. */
function stretchOf(
  smooth: Float64Array,
  peaks: readonly Prepared[],
  own: Prepared,
  giant: Prepared,
  companions: readonly Prepared[],
): readonly [number, number] {
  const behind = own.apex > giant.apex;
  const low = Math.min(...companions.map((p) => p.apex));
  const high = Math.max(...companions.map((p) => p.apex));
  const near = FROM_GIANT * giant.sigma * giant.widening;
  let first = behind ? giant.apex + near : low - BEFORE_SIGMA * own.sigma;
  let last = behind ? high + BEYOND_SIGMA * own.sigma + BEYOND_TAU * own.tau : giant.apex - near;
  for (const other of peaks) {
    if (!other.present || companions.includes(other) || other === giant) continue;
    if (other.apex < low && other.apex > first - 5 * other.sigma)
      first = Math.max(first, valleyBetween(smooth, other.apex, low));
    if (other.apex > high && other.apex < last + 5 * other.sigma)
      last = Math.min(last, valleyBetween(smooth, high, other.apex));
  }
  return [Math.max(0, Math.round(first)), Math.min(smooth.length - 1, Math.round(last))];
}

/** Baseline less the chord between two anchors outside the giant: what is given back beside it. */
function chordBelow(z: Float64Array, from: number, to: number): (i: number) => number {
  const a = Math.min(Math.max(Math.round(from), 0), z.length - 1);
  const b = Math.min(Math.max(Math.round(to), a + 1), z.length - 1);
  const slope = (z[b] - z[a]) / Math.max(b - a, 1);
  return (i) => z[i] - z[a] - slope * (i - a);
}
