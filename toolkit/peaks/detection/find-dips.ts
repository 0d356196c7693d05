import type { Baseline } from "../../signal/baseline.js";
import type { Chromatogram } from "../../signal/chromatogram.js";
import { requireChromatogram } from "../../signal/require-chromatogram.js";
import { besideDips } from "./baseline-beside-dips.js";
import { boundsBetween, limitsOf, parabolaTop } from "./candidate-limits.js";

export interface FindDipsOptions {
  /** Dips shallower than this many noise standard deviations are left out. @default 3 */
  readonly minimumSignalToNoise?: number;
  /** Standard deviation of a typical peak, min. @default the median of the clear peaks of the record */
  readonly peakWidth?: number;
  /** The baseline to look below. @default `estimateBaseline` over from…to, running straight on above dips */
  readonly baseline?: Baseline;
  /** Region, min; 0 is the whole record. @default the end of the void to the end of the record */
  readonly from?: number;
  readonly to?: number;
}

/** A stretch where the signal falls below the baseline: listed, never given a name. Times in min. */
export interface FoundDip {
  /** Lowest point, from the parabola through the three lowest smoothed samples. */
  readonly retentionTime: number;
  /** Baseline less signal there, in the signal's unit: positive. */
  readonly depth: number;
  /** Limits: the rise to a neighbouring dip, or where the signal has come back to the baseline. */
  readonly start: number;
  readonly end: number;
  /** Depth over the standard deviation of the noise of this record. */
  readonly signalToNoise: number;
}

/**
 * The dips of a chromatogram, in order of time, with the same filter and the same rate of false answers as `findPeaks`
 * on the signal turned upside down: the water plug (from: 0), carbonate on carbonate eluents, a gas bubble.
 *
 * Times in min, depths in the signal's unit below the baseline. Valid as `findPeaks`; O(n).
 *
 * @throws IonbookError as `findPeaks`
 */
export function findDips(chromatogram: Chromatogram, options: FindDipsOptions = {}): readonly FoundDip[] {
  requireChromatogram(chromatogram, "findDips");
  const { minimumSignalToNoise = 3 } = options;
  const { view, found } = besideDips(chromatogram, options);
  const { y, unit, noise, interval, start } = view;
  const below = view.smooth.map((value) => -value);
  const deep = found.dips.filter(({ index }) => -y[index] >= minimumSignalToNoise * noise);
  const turned = { ...view, y: y.map((value) => -value) };
  const bounds = boundsBetween(deep, below, turned);
  return deep.map(({ index }, k) => {
    const depth = -y[index];
    const [first, last] = limitsOf(index, depth, [bounds[k], bounds[k + 1]], below, noise);
    return {
      retentionTime: start + parabolaTop(below, index) * interval,
      depth: depth * unit,
      start: start + first * interval,
      end: start + last * interval,
      signalToNoise: depth / noise,
    };
  });
}
