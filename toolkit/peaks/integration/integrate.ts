import { gaussianSmooth } from "../../signal/smooth.js";
import { becauseApart, becauseOverlapped, becauseRiding } from "./because.js";
import { giantBeside, tailUnder, withTail } from "./giant.js";
import { jointly } from "./measure-jointly.js";
import { rider } from "./measure-rider.js";
import {
  type AreaSource,
  type IntegrateOptions,
  LIMITS_CHOICE,
  type MeasuredPeak,
  noiseOf,
  type PlacedPeak,
  type Prepared,
  prepare,
  together,
} from "./placed-peak.js";
import { type Surroundings, surroundings } from "./surroundings.js";

export type { IntegrateOptions, MeasuredPeak, PlacedPeak } from "./placed-peak.js";

/** A giant's tail above this share of a peak's height is fitted, not summed over. */
const TAIL_SHARE = 0.002;
/** So is it not where the area that it may hold lies below this share of the sum's noise: a fit would take away more. */
const TAIL_NOISE = 0.5;
/** Height ratio from which a peak beside a larger one is a rider on its flank. */
const RIDER_RATIO = 10;
/** The same behind a larger peak whose tail reaches under this one without overlapping it. */
const TAIL_RATIO = 2;

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
  return integrateInDetail(y, peaks, options).measured;
}

/** What an integration went through, for those who compare rules and baselines afterwards. */
export interface DetailedIntegration {
  readonly smooth: Float64Array;
  readonly prepared: readonly Prepared[];
  readonly around: readonly Surroundings[];
  readonly measured: readonly MeasuredPeak[];
}

/** The same as `integratePeaks`, with what it saw around each peak. */
export function integrateInDetail(
  y: Float64Array,
  peaks: readonly PlacedPeak[],
  options: IntegrateOptions,
): DetailedIntegration {
  const smooth = smoothFor(y, peaks);
  const prepared = peaks.map((p) => prepare(y, smooth, p, options.white));
  const around = prepared.map((_, k) =>
    surroundings(smooth, prepared, k, options.levelNoise ?? options.white),
  );
  const measured = prepared.map((_, k) => measure(y, smooth, prepared, k, around[k], options));
  return { smooth, prepared, around, measured };
}

/** The record as levels between peaks are read from it. */
export function smoothFor(y: Float64Array, peaks: readonly Pick<PlacedPeak, "sigma">[]): Float64Array {
  if (peaks.length === 0) return y;
  return gaussianSmooth(y, Math.max(1, 0.3 * Math.min(...peaks.map(({ sigma }) => sigma))));
}

function measure(
  y: Float64Array,
  smooth: Float64Array,
  peaks: readonly Prepared[],
  k: number,
  around: Surroundings,
  options: IntegrateOptions,
): MeasuredPeak {
  const own = peaks[k];
  const overlapped = own.present
    ? around.raisedLeft || around.raisedRight
    : around.neighbours.length > 0 || around.raisedLeft || around.raisedRight;
  const giant = giantBeside(smooth, peaks, k, overlapped ? RIDER_RATIO : TAIL_RATIO, around);
  const tail = giant === undefined ? 0 : tailUnder(peaks[giant], own);
  const onFoot = giant !== undefined && standsOnFoot(peaks, k, giant, around);
  if (!overlapped && !onFoot) {
    const sum = summed(y, own, around, options);
    const share = tail * (sum.last - sum.first + 1);
    if (tail < TAIL_SHARE * own.height || (own.present && share < TAIL_NOISE * sum.uNoise))
      return { ...withTail(sum, tail), because: becauseApart(own, around) };
  }
  if (giant !== undefined) {
    const fitted = rider(y, smooth, peaks, k, giant, options);
    if (fitted)
      return options.levelNoise === undefined
        ? { because: becauseRiding(own, peaks[giant]), ...withTail(fitted, tail) }
        : fitted;
  }
  const fitted = jointly(y, smooth, peaks, k, around, options);
  return { ...fitted, because: becauseOverlapped(own, peaks, around) };
}

/**
 * Whether a peak's window reaches into the front of a giant: the baseline bends up there before the signal does, and a
 * line between anchors would end on that front.
 */
function standsOnFoot(
  peaks: readonly Prepared[],
  k: number,
  giant: number,
  { neighbours }: Surroundings,
): boolean {
  const [own, other] = [peaks[k], peaks[giant]];
  return (
    own.present &&
    own.apex < other.apex &&
    other.height > RIDER_RATIO * own.height &&
    neighbours.includes(giant)
  );
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
  const sources: readonly AreaSource[] = own.present
    ? [{ name: "beyond the limits", u: LIMITS_CHOICE * Math.abs(area) }]
    : [];
  return {
    area,
    uNoise: noiseOf(weights, first, own, options),
    uIntegration: together(sources),
    sources,
    shares: weights,
    height: own.height,
    first,
    last,
    rule: own.present ? "summation" : "fixed window",
    component: y.slice(first, last + 1),
    flags: [],
  };
}
