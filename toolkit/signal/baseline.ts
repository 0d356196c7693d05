import { IonbookError } from "../errors.js";
import { anchoredBaseline } from "./anchored.js";
import { arpls, type ReweightedBaseline, stiffnessFor } from "./arpls.js";
import { asls } from "./asls.js";
import type { Chromatogram } from "./chromatogram.js";
import { widestPeak } from "./peak-width.js";
import { requireChromatogram } from "./require-chromatogram.js";
import { evenInterval, indexAt } from "./time-axis.js";
import { voidRegion } from "./void-region.js";

export type BaselineMethod = "arPLS" | "AsLS" | "anchored";

export interface BaselineOptions {
  /** @default "arPLS" */
  readonly method?: BaselineMethod;
  /** Standard deviation of the widest peak of interest, min. @default measured from the record */
  readonly peakWidth?: number;
  /** Stiffness; overrides the rule (2·peakWidth/interval)⁴. */
  readonly lambda?: number;
  /** Relative change of the weights that ends the loop. @default 1e-3 */
  readonly tolerance?: number;
  /** @default 60 */
  readonly maxIterations?: number;
  /** Start of the region, min; 0 is the whole record. @default the end of the void */
  readonly from?: number;
  /** End of the region, min. @default the end of the record */
  readonly to?: number;
  /** Hold-up time, min, from which the end of the void is looked for. @default no void assumed */
  readonly holdUpTime?: number;
  /** Stretches without peaks, min, for "anchored": at least two. */
  readonly anchors?: readonly (readonly [from: number, to: number])[];
}

/** A baseline with everything needed to draw it again. */
export interface Baseline {
  readonly kind: "baseline";
  readonly method: BaselineMethod;
  /** Same length and unit as the signal; NaN outside the region. */
  readonly values: Float64Array;
  /** Final weights over the same length (empty for "anchored"). */
  readonly weights: Float64Array;
  readonly iterations: number;
  readonly converged: boolean;
  readonly lambda: number | undefined;
  /** min */
  readonly peakWidth: number | undefined;
  /** min */
  readonly from: number;
  readonly to: number;
}

/** Peak s.d. assumed on a record without any clear peak, min (about 6 s; common practice, no source). */
const TYPICAL_PEAK_WIDTH = 0.1;
/** No hold-up time given: the dip of an unretained plug is looked for around this share of the record. */
const VOID_SHARE = 0.08;

/**
 * What the cell would have shown without peaks: the baseline of a chromatogram over a region.
 *
 * "arPLS" and "AsLS" minimise Σ w(y − z)² + λ Σ(Δ²z)² with their own re-weighting; λ = (2·peakWidth/interval)⁴
 * follows from the widest peak and the sampling rate, never from a constant. "anchored" joins the means of
 * stretches without peaks by straight lines. Units are those of the signal; time in min. O(n) per iteration.
 *
 * @throws IonbookError `not-a-chromatogram`; `uneven-sampling` when intervals differ by more than 1 %; `short-stretch` when the
 *   region holds fewer than 10 samples; `no-anchors` for "anchored" with fewer than two stretches
 * @source Baek et al., Analyst 140 (2015) 250 (arPLS); Eilers and Boelens 2005 (AsLS) (both from memory)
 */
export function estimateBaseline(chromatogram: Chromatogram, options: BaselineOptions = {}): Baseline {
  requireChromatogram(chromatogram, "estimateBaseline");
  const { time, signal } = chromatogram;
  const {
    method = "arPLS",
    from = endOfVoid(chromatogram, options.holdUpTime),
    to = time[time.length - 1],
  } = options;
  const first = indexAt(time, from);
  let last = indexAt(time, to);
  if (time[last] > to) last--;
  if (last - first + 1 < 10) {
    throw new IonbookError(
      "short-stretch",
      `the region ${from}–${to} min of ${chromatogram.id} holds fewer than 10 samples: give a wider from/to`,
    );
  }
  const values = new Float64Array(time.length).fill(Number.NaN);
  const region = { method, from: time[first], to: time[last] };
  if (method === "anchored") {
    values.set(anchoredBaseline(time, signal, options.anchors ?? []).subarray(first, last + 1), first);
    const none = new Float64Array(0);
    return {
      kind: "baseline",
      ...region,
      values,
      weights: none,
      iterations: 1,
      converged: true,
      lambda: undefined,
      peakWidth: undefined,
    };
  }
  const interval = evenInterval(chromatogram, first, last);
  const y = signal.subarray(first, last + 1);
  const peakWidth = options.peakWidth ?? widestPeak(y, TYPICAL_PEAK_WIDTH / interval) * interval;
  const lambda = options.lambda ?? stiffnessFor(peakWidth, interval);
  const solved: ReweightedBaseline = method === "AsLS" ? asls(y, lambda, options) : arpls(y, lambda, options);
  values.set(solved.values, first);
  const weights = new Float64Array(time.length);
  weights.set(solved.weights, first);
  return {
    kind: "baseline",
    ...region,
    values,
    weights,
    iterations: solved.iterations,
    converged: solved.converged,
    lambda,
    peakWidth,
  };
}

/** Where the disturbance of the unretained plug ends, min; the start of the record, or the hold-up time given, where there is none. */
export function endOfVoid(chromatogram: Chromatogram, holdUpTime?: number): number {
  const { time, signal } = chromatogram;
  const guess = holdUpTime ?? VOID_SHARE * time[time.length - 1];
  const found = voidRegion(time, signal, guess);
  if (found.dip === undefined) return holdUpTime ?? time[0];
  return found.end;
}
