import { median } from "../../numeric/robust.js";
import type { Baseline } from "../../signal/baseline.js";
import type { CorrectedView } from "./corrected-view.js";

/** A peak within so many σ of a corner holds part of it. */
const NEAR = 3;
/** The detector shows a corner rounded and late; within so many σ a candidate may be the corner itself. */
const REACH = 6;
/** Slopes before and after a corner are read between these distances from it, in σ, over so many pieces. */
const SLOPE_FROM = 6;
const SLOPE_TO = 24;
const PIECES = 9;

/**
 * The most that the corners of an eluent programme answer the detection filter of scale s: a sudden change of slope by
 * Δ gives −Δ·G_s(0) = −Δ/(s√(2π)), a rounded one less. Slopes are those of the signal on both sides.
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

/**
 * Slope of the signal per sample on one side of a place: the median of the slopes of short pieces, so that a peak there
 * does not count. A baseline would cut the corner and show too little.
 */
function slope({ values }: Baseline, view: CorrectedView, at: number, side: 1 | -1): number {
  const { first, smooth, sigma, unit } = view;
  const step = ((SLOPE_TO - SLOPE_FROM) * sigma) / PIECES;
  const levelAt = (i: number) => values[first + i] + unit * smooth[i];
  const slopes: number[] = [];
  for (let k = 0; k < PIECES; k++) {
    const near = Math.round(at + side * (SLOPE_FROM * sigma + k * step));
    const far = Math.round(at + side * (SLOPE_FROM * sigma + (k + 1) * step));
    if (Math.min(near, far) < 0 || Math.max(near, far) >= smooth.length || near === far) break;
    slopes.push((levelAt(far) - levelAt(near)) / (far - near));
  }
  return slopes.length === 0 ? 0 : median(slopes);
}

/** Whether a sample of the view lies within three σ of a corner. */
export function isNearCorner(
  corners: readonly number[],
  index: number,
  { interval, start, sigma }: CorrectedView,
): boolean {
  return corners.some((time) => Math.abs(start + index * interval - time) <= NEAR * sigma * interval);
}
