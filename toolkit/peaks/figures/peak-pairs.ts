import { IonbookError } from "../../errors.js";
import { emg } from "../shape/emg.js";
import { centreFromApex } from "../shape/integration-window.js";
import type { PeakShape, PeakTrace } from "../shape/peak-shape.js";
import { peakFigures, peakResolution } from "./peak-figures.js";

/** Resolution of two peaks by three definitions; NaN where a width is not shown. */
export interface Resolutions {
  /** 1.18 (t₂ − t₁)/(W½,₁ + W½,₂) */
  readonly halfHeight: number;
  /** 2 (t₂ − t₁)/(W_b,₁ + W_b,₂) */
  readonly tangent: number;
  /** (M₁,₂ − M₁,₁)/(2 (√M₂,₁ + √M₂,₂)) */
  readonly moments: number;
}

/**
 * Resolution of two peaks by half heights, by tangents, and by moments (statistical), positive when the second comes
 * later.
 *
 *     1.18 (t₂ − t₁)/(W½,₁ + W½,₂),  2 (t₂ − t₁)/(W_b,₁ + W_b,₂),  (M₁,₂ − M₁,₁)/(2 (√M₂,₁ + √M₂,₂))
 *
 * t apexes, W½ and W_b widths at half height and between the tangents, M₁ and M₂ means and variances; one unit of time.
 * For peaks of like height: beside a giant look at `peakToValley`.
 *
 * @throws IonbookError as `peakFigures`
 * @source USP <621> and Ph. Eur. 2.2.46; IUPAC, Pure Appl. Chem. 65 (1993) 819 (from memory)
 */
export function resolutions(first: PeakShape | PeakTrace, second: PeakShape | PeakTrace): Resolutions {
  const [a, b] = [peakFigures(first), peakFigures(second)];
  const apart = b.retentionTime - a.retentionTime;
  return {
    halfHeight: peakResolution(a, b),
    tangent: (2 * apart) / (a.baseWidth + b.baseWidth),
    moments:
      (b.moments.mean - a.moments.mean) /
      (2 * (Math.sqrt(a.moments.variance) + Math.sqrt(b.moments.variance))),
  };
}

/** Points between two apexes on which a valley is looked for. */
const GRID = 4000;

/**
 * Height of the minor one of two fitted peaks over the height of the valley between them, both above the baseline;
 * undefined where there is no valley, so no second peak to see.
 *
 *     p/v = H_p/H_v
 *
 * H_p and H_v are those of the sum of both peaks. The figure to use instead of a resolution where heights differ more
 * than tenfold.
 *
 * @throws IonbookError `no-area` for a peak without an area; `bad-width`
 * @source USP <621> and Ph. Eur. 2.2.46 (from memory)
 */
export function peakToValley(first: PeakShape, second: PeakShape): number | undefined {
  const [a, b] = [heightOf(first), heightOf(second)];
  const sum = (t: number) => valueAt(first, t) + valueAt(second, t);
  const [major, minor] = a >= b ? [first, second] : [second, first];
  const reach =
    minor.retentionTime -
    major.retentionTime +
    Math.sign(minor.retentionTime - major.retentionTime) * minor.sigma;
  const values = Float64Array.from({ length: GRID + 1 }, (_, i) =>
    sum(major.retentionTime + (reach * i) / GRID),
  );
  return ratioAlong(values);
}

/** Walks from the major's side of a row of heights to the other: lowest point before the last maximum, and that maximum. */
function ratioAlong(values: Float64Array): number | undefined {
  let top = values.length - 1;
  while (top > 0 && values[top - 1] >= values[top]) top--;
  if (top === 0 || top === values.length - 1) return undefined;
  let valley = top;
  for (let i = top; i > 0; i--) if (values[i] < values[valley]) valley = i;
  return values[valley] < values[top] ? values[top] / values[valley] : undefined;
}

function heightOf(peak: PeakShape): number {
  const height = peakFigures(peak).height;
  if (height > 0) return height;
  throw new IonbookError(
    "no-area",
    `the peak at ${peak.retentionTime} min has no area, so no height: give the peaks of a fit, or an area with each shape`,
  );
}

function valueAt({ retentionTime, sigma, tau, area = 0 }: PeakShape, t: number): number {
  const mu = centreFromApex(retentionTime, { sigma, tau });
  return (typeof area === "number" ? area : area.value) * emg(t, mu, sigma, tau);
}

/**
 * Resolution that two peaks of these heights need, so that a perpendicular between them costs the minor one less than
 * 5 % of its area.
 *
 *     Rs = 1 + 0.25 log₁₀(ratio) for τ/σ ≤ 0.3,  1.25 + 0.25 log₁₀(ratio) for τ/σ = 0.8
 *
 * straight in between, and held beyond. A resolution alone does not protect a trace: 1.5 is a valley of 2 % between
 * equals and of 32 % beside a tailing peak twenty times as high.
 *
 * @param ratio height of the major over the minor peak, 1 or more (below 1 its inverse counts)
 * @param tauOverSigma tail of the earlier peak
 * @throws IonbookError `bad-ratio`
 * @source read from the errors of perpendicular drops of exponentially modified Gaussian pairs (derived)
 */
export function requiredResolution(ratio: number, tauOverSigma = 0.3): number {
  if (!(ratio > 0 && Number.isFinite(ratio)) || !(tauOverSigma >= 0)) {
    throw new IonbookError(
      "bad-ratio",
      `a ratio of ${ratio} with τ/σ = ${tauOverSigma}: give a positive ratio of heights and τ/σ of 0 or more`,
    );
  }
  const tail = 0.25 * Math.min(Math.max((tauOverSigma - 0.3) / 0.5, 0), 1);
  return 1 + tail + 0.25 * Math.abs(Math.log10(ratio));
}

/** How well one peak stands free of its neighbours. */
export interface EffectiveOverlap {
  readonly retentionTime: number;
  /** Resolution from the worse neighbour; undefined for a lone peak. */
  readonly resolution: number | undefined;
  /** What the two heights would need. */
  readonly required: number | undefined;
  /** Resolution over the required one: below 1 the neighbour touches the area. */
  readonly margin: number | undefined;
  /** Apex of that neighbour, min. */
  readonly neighbor: number | undefined;
}

/**
 * For each peak the worse of its two neighbours, judged by the resolution that the ratio of their heights needs.
 *
 * @param peaks fitted, with areas, in any order
 * @returns in order of elution
 * @throws IonbookError `no-area`, `bad-width`
 * @source required resolutions as `requiredResolution`
 */
export function effectiveOverlaps(peaks: readonly PeakShape[]): readonly EffectiveOverlap[] {
  const sorted = [...peaks].sort((a, b) => a.retentionTime - b.retentionTime);
  const pairs = sorted.slice(1).map((next, i) => {
    const earlier = sorted[i];
    const resolution = peakResolution(earlier, next);
    const required = requiredResolution(
      heightOf(earlier) / heightOf(next),
      Math.abs(earlier.tau) / earlier.sigma,
    );
    return { resolution, required, margin: resolution / required };
  });
  return sorted.map(({ retentionTime }, i) => {
    const [before, after] = [pairs[i - 1], pairs[i]];
    const worse =
      after === undefined || (before !== undefined && before.margin < after.margin) ? before : after;
    return {
      retentionTime,
      resolution: worse?.resolution,
      required: worse?.required,
      margin: worse?.margin,
      neighbor: worse === undefined ? undefined : sorted[worse === before ? i - 1 : i + 1].retentionTime,
    };
  });
}
