import type { Baseline } from "../signal/baseline.js";
import type { CorrectedView } from "./corrected-view.js";

/** A peak within so many σ of a corner holds part of it. */
const NEAR = 3;
/** The detector shows a corner rounded and late; within so many σ a candidate may be the corner itself. */
const REACH = 6;
/** Slopes before and after a corner are read between these distances from it, in σ. */
const SLOPE_FROM = 6;
const SLOPE_TO = 16;

/**
 * The most that the corners of an eluent programme answer the detection filter of scale s: a sudden change of slope by
 * Δ gives −Δ·G_s(0) = −Δ/(s√(2π)), a rounded one less. Slopes are those of the baseline on both sides.
 *
 * @param corners min
 * @source second derivative of a broken line (derived)
 */
export function cornerAnswer(
  corners: readonly number[],
  baseline: Baseline,
  view: CorrectedView,
): (index: number, scale: number) => number {
  const { interval, start, sigma, unit } = view;
  const places = corners.map((time) => {
    const at = (time - start) / interval;
    return { at, bend: (slope(baseline, view, at, -1) - slope(baseline, view, at, 1)) / unit };
  });
  return (index, scale) => {
    let answer = 0;
    for (const { at, bend } of places)
      if (Math.abs(index - at) <= REACH * sigma)
        answer += Math.max(bend, 0) / (scale * Math.sqrt(2 * Math.PI));
    return answer;
  };
}

/** Slope of the baseline per sample on one side of a place. */
function slope({ values }: Baseline, { first, y, sigma }: CorrectedView, at: number, side: 1 | -1): number {
  const clamp = (i: number) => Math.min(Math.max(Math.round(i), 0), y.length - 1);
  const [near, far] = [clamp(at + side * SLOPE_FROM * sigma), clamp(at + side * SLOPE_TO * sigma)];
  return near === far ? 0 : (values[first + far] - values[first + near]) / (far - near);
}

/** Whether a sample of the view lies within three σ of a corner. */
export function isNearCorner(
  corners: readonly number[],
  index: number,
  { interval, start, sigma }: CorrectedView,
): boolean {
  return corners.some((time) => Math.abs(start + index * interval - time) <= NEAR * sigma * interval);
}
