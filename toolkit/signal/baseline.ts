import { DISPLAY, type DisplayBundle, displayOf } from "../display.js";
import { IonbookError } from "../errors.js";
import { anchoredBaseline } from "./anchored.js";
import { stiffnessFor } from "./arpls.js";
import { type BaselineMethod, drawBaseline, requireMethod, samplesOf } from "./baseline-method.js";
import type { Chromatogram } from "./chromatogram.js";
import { deepDips } from "./deep-dips.js";
import { widestPeak } from "./peak-width.js";
import { requireChromatogram } from "./require-chromatogram.js";
import { evenInterval, indexAt } from "./time-axis.js";
import { voidRegion } from "./void-region.js";

export type { BaselineMethod } from "./baseline-method.js";

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
  /**
   * Stretches the baseline bridges whatever stands in them, min: the peaks for "masked", which needs them; dips and
   * disturbances for the other methods. @default none
   */
  readonly excluded?: readonly (readonly [from: number, to: number])[];
  /** What becomes of deep dips inside the region: bridged, or left in for the method to cope with. @default "exclude" */
  readonly dips?: "exclude" | "keep";
}

/** Where λ came from: (multiple·peakWidth/interval)⁴. */
export interface Stiffness {
  /** Standard deviation of the widest peak, min. */
  readonly peakWidth: number;
  readonly multiple: number;
  /** Sampling interval, min. */
  readonly interval: number;
}

/** A baseline with everything needed to draw it again. */
export interface Baseline {
  readonly kind: "baseline";
  /** The record it was drawn under. */
  readonly chromatogram: Chromatogram;
  readonly method: BaselineMethod;
  /** Same length and unit as the signal; NaN outside the region. */
  readonly values: Float64Array;
  /** Final weights over the same length, 0 outside the region (empty for "anchored" and "SNIP", which have none). */
  readonly weights: Float64Array;
  readonly iterations: number;
  readonly converged: boolean;
  /** Undefined for "anchored" and "SNIP", which have none. */
  readonly lambda: number | undefined;
  /** min */
  readonly peakWidth: number | undefined;
  /** How λ was found, to find it again at another sampling rate; undefined where λ was given by hand or there is none. */
  readonly stiffness: Stiffness | undefined;
  /** Stretches that were bridged, min: those asked for and the deep dips found. */
  readonly excluded: readonly (readonly [from: number, to: number])[];
  /** min */
  readonly from: number;
  readonly to: number;
  toString(): string;
}

/** λ^(1/4) in standard deviations of the widest peak: keeps peaks out, follows waves longer than 40 of them to 1 %. */
const MULTIPLE = 2;
/** Peak s.d. assumed on a record without any clear peak, min (about 6 s; common practice, no source). */
const TYPICAL_PEAK_WIDTH = 0.1;
/** No hold-up time given: the dip of an unretained plug is looked for around this share of the record. */
const VOID_SHARE = 0.08;

/**
 * What the cell would have shown without peaks: the baseline of a chromatogram over a region.
 *
 * "arPLS", "AsLS" and "airPLS" minimise Σ w(y − z)² + λ Σ(Δ²z)² with their own re-weighting, "masked" with w = 0 in the
 * stretches `excluded` and 1 elsewhere; λ = (2·peakWidth/interval)⁴ follows from the widest peak and the sampling rate,
 * never from a constant. "SNIP" clips peaks; "anchored" joins the means of stretches without peaks by straight lines.
 * Units are those of the signal; time in min. O(n) per iteration; above λ = 10¹² over block averages.
 *
 * Use "arPLS" for areas. On simulated records (trace peaks of 8–40 nS/cm, 90th percentile of the area error on flat
 * baselines, on gradients, beside a 1000 µS/cm peak): arPLS 9, 13, 6 %; masked 14, 32, 8 %; airPLS 26, 63, 999 %; AsLS
 * 62, 176, > 10 000 %; SNIP 43, 60, 40 %. No method here tells a hump wider than about 5 peak s.d. from a peak.
 * Deep dips inside the region are found and bridged; a dip at its very start is not: begin behind the void.
 *
 * @throws IonbookError `not-a-chromatogram`; `uneven-sampling` when intervals differ by more than 1 %; `short-stretch` when the
 *   region holds fewer than 10 samples; `no-anchors` for "anchored" with fewer than two stretches; `no-mask` for "masked"
 *   without `excluded`; `bad-option` for an unknown method; `out-of-range` for readings near the ends of double precision
 * @source Baek et al., Analyst 140 (2015) 250 (arPLS); Eilers and Boelens 2005 (AsLS); Zhang et al., Analyst 135 (2010)
 *   1138 (airPLS); Ryan et al., Nucl. Instrum. Meth. B 34 (1988) 396 (SNIP) (all from memory)
 */
export function estimateBaseline(chromatogram: Chromatogram, options: BaselineOptions = {}): Baseline {
  requireChromatogram(chromatogram, "estimateBaseline");
  const { method = "arPLS" } = options;
  requireMethod(method, options.excluded);
  const { time } = chromatogram;
  const { first, last } = regionOf(chromatogram, options);
  const region = { first, last, from: time[first], to: time[last] };
  const parts =
    method === "anchored"
      ? anchored(chromatogram, region, options)
      : drawn(chromatogram, region, method, options);
  return {
    kind: "baseline",
    chromatogram,
    method,
    from: region.from,
    to: region.to,
    ...parts,
    toString: () =>
      `baseline of ${chromatogram.id} by ${method}, ${round(region.from)} to ${round(region.to)} min`,
    [DISPLAY](): DisplayBundle | Promise<DisplayBundle> {
      return displayOf(this);
    },
  } as Baseline;
}

interface Region {
  readonly first: number;
  readonly last: number;
  /** min */
  readonly from: number;
  readonly to: number;
}

type Parts = Omit<Baseline, "kind" | "chromatogram" | "method" | "from" | "to">;

function regionOf(chromatogram: Chromatogram, options: BaselineOptions) {
  const { time } = chromatogram;
  const { from = endOfVoid(chromatogram, options.holdUpTime), to = time[time.length - 1] } = options;
  const first = indexAt(time, from);
  let last = indexAt(time, to);
  if (time[last] > to) last--;
  if (last - first + 1 < 10) {
    throw new IonbookError(
      "short-stretch",
      `the region ${from}–${to} min of ${chromatogram.id} holds fewer than 10 samples: give a wider from/to`,
    );
  }
  return { first, last };
}

function anchored({ time, signal }: Chromatogram, { first, last }: Region, options: BaselineOptions): Parts {
  const values = new Float64Array(time.length).fill(Number.NaN);
  values.set(anchoredBaseline(time, signal, options.anchors ?? []).subarray(first, last + 1), first);
  return {
    values,
    weights: new Float64Array(0),
    iterations: 1,
    converged: true,
    lambda: undefined,
    peakWidth: undefined,
    stiffness: undefined,
    excluded: [],
  };
}

function drawn(
  chromatogram: Chromatogram,
  { first, last, from }: Region,
  method: Exclude<BaselineMethod, "anchored">,
  options: BaselineOptions,
): Parts {
  const n = chromatogram.time.length;
  const interval = evenInterval(chromatogram, first, last);
  const y = chromatogram.signal.subarray(first, last + 1);
  const typical = (options.peakWidth ?? TYPICAL_PEAK_WIDTH) / interval;
  const excluded = [
    ...samplesOf(options.excluded ?? [], from, interval, y.length),
    ...(options.dips === "keep" ? [] : deepDips(y, typical)),
  ];
  const peakWidth = options.peakWidth ?? widestPeak(y, typical, excluded) * interval;
  const hasLambda = method !== "SNIP";
  const lambda = options.lambda ?? stiffnessFor(peakWidth, interval, MULTIPLE);
  const { tolerance, maxIterations } = options;
  const solved = drawBaseline(method, y, {
    lambda,
    sigma: peakWidth / interval,
    options: {
      excluded,
      ...(tolerance === undefined ? {} : { tolerance }),
      ...(maxIterations === undefined ? {} : { maxIterations }),
    },
  });
  if (!solved.values.every(Number.isFinite)) {
    throw new IonbookError(
      "out-of-range",
      `a baseline under ${chromatogram.id} is beyond double precision: give the signal in another unit`,
    );
  }
  const values = new Float64Array(n).fill(Number.NaN);
  values.set(solved.values, first);
  const weights = new Float64Array(hasLambda ? n : 0);
  if (hasLambda) weights.set(solved.weights, first);
  return {
    values,
    weights,
    iterations: solved.iterations,
    converged: solved.converged,
    lambda: hasLambda ? lambda : undefined,
    peakWidth,
    stiffness:
      hasLambda && options.lambda === undefined ? { peakWidth, multiple: MULTIPLE, interval } : undefined,
    excluded: excluded.map(([a, b]) => [from + a * interval, from + b * interval] as const),
  };
}

/** Where a record begins to be of use, min: the end of the void; the hold-up time, or the start, where no dip is seen. */
export function endOfVoid(chromatogram: Chromatogram, holdUpTime?: number): number {
  const { time, signal } = chromatogram;
  const guess = holdUpTime ?? VOID_SHARE * time[time.length - 1];
  const found = voidRegion(time, signal, guess);
  if (found.dip === undefined) return holdUpTime ?? time[0];
  return found.end;
}

function round(value: number): string {
  return String(Number(value.toPrecision(4)));
}
