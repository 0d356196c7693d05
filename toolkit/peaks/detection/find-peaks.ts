import type { Baseline } from "../../signal/baseline.js";
import type { Chromatogram } from "../../signal/chromatogram.js";
import { whiteNoise } from "../../signal/noise.js";
import { requireChromatogram } from "../../signal/require-chromatogram.js";
import { type BesideDips, besideDips } from "./baseline-beside-dips.js";
import { type Bound, boundsBetween, limitsOf, parabolaTop } from "./candidate-limits.js";
import { cornerAnswer, isNearCorner } from "./corner-answer.js";
import { type CorrectedView, smoothed } from "./corrected-view.js";
import { type Candidate, detectPeaks } from "./detect.js";
import { highestReading, isSaturated } from "./saturation.js";
import { isSpike } from "./spikes.js";

export interface FindPeaksOptions {
  /** Peaks lower than this many noise standard deviations are left out. @default 3 */
  readonly minimumSignalToNoise?: number;
  /** Standard deviation of a typical peak, min. @default the median of the clear peaks of the record */
  readonly peakWidth?: number;
  /** The baseline to stand on. @default `estimateBaseline` over from…to, running straight on above dips */
  readonly baseline?: Baseline;
  /** Region, min; 0 is the whole record. @default the end of the void to the end of the record */
  readonly from?: number;
  readonly to?: number;
  /** False peaks accepted per record of pure noise. @default 0.05 */
  readonly falsePeaks?: number;
  /**
   * Corners of the eluent programme as they reach the detector, min: time of the programme + dwell time + hold-up
   * time. A corner looks like a peak to any filter; what it can answer itself is asked for on top of the threshold
   * there. Better still, take off a blank of the same programme (`subtractBlank`) and look at the difference.
   */
  readonly corners?: readonly number[];
}

/** A peak seen above the baseline; times in min, height in the signal's unit. */
export interface FoundPeak {
  /** Apex, from the parabola through the three highest smoothed samples. */
  readonly retentionTime: number;
  readonly height: number;
  /** Limits: the valley to a neighbour, or where the signal has come back to the baseline. */
  readonly start: number;
  readonly end: number;
  /** Height over the standard deviation of the noise of this record. */
  readonly signalToNoise: number;
  /** Apex, min, of the higher neighbour from which no valley separates this peak; undefined for a peak of its own. */
  readonly shoulderOf: number | undefined;
  /** Cut off at the top of the record: height, width and area are not those of what eluted. */
  readonly saturated?: true;
  /** Within three σ of a corner of the eluent programme: its height and area hold what the corner left. */
  readonly nearCorner?: true;
}

/**
 * The peaks of a chromatogram, in order of time: places where a zero-area filter at three scales answers above the
 * threshold that lets 0.05 false peaks through per record of pure noise, be it white or 1/f. What falls below the
 * baseline is no peak: see `findDips`; nor is a spike that stands in one reading alone.
 *
 * Times in min, heights in the signal's unit above the baseline. Valid for even sampling and peaks of 0.4 to 1.5
 * times the typical width; O(n).
 *
 * @throws IonbookError `not-a-chromatogram` and what `makeChromatogram` refuses; `uneven-sampling`, `short-stretch` as
 *   `estimateBaseline`; `bad-baseline` for a baseline of another record; `bad-width` for a width that is not positive;
 *   `out-of-range` for readings beyond double precision
 * @source filter and threshold: as `detectPeaks`
 */
export function findPeaks(chromatogram: Chromatogram, options: FindPeaksOptions = {}): readonly FoundPeak[] {
  requireChromatogram(chromatogram, "findPeaks");
  const seen = besideDips(chromatogram, options);
  const { minimumSignalToNoise = 3 } = options;
  const { found, smooth } = peaksAbove(seen, options);
  const work = { found, smooth, view: seen.view, bounds: boundsBetween(found, smooth, seen.view) };
  const flags = flagsOf(chromatogram, seen.view, options.corners ?? []);
  const white = whiteNoise(seen.view.y);
  return found.flatMap((_, k) => {
    if (isSpike(seen.view, found[k].index, white)) return [];
    const peak = describe(work, k);
    if (!(peak.height > 0 && peak.signalToNoise >= minimumSignalToNoise)) return [];
    return [{ ...peak, ...flags(found[k].index) }];
  });
}

interface Found {
  readonly found: readonly Candidate[];
  readonly smooth: Float64Array;
}

/** Candidates of the record with its dips laid on the baseline, whose flanks would else answer the filter like peaks. */
function peaksAbove({ baseline, view, found, dips }: BesideDips, options: FindPeaksOptions): Found {
  const { corners = [], falsePeaks } = options;
  if (dips.length === 0 && corners.length === 0 && falsePeaks === undefined)
    return { found: found.peaks, smooth: view.smooth };
  const y = view.y.slice();
  for (const [first, last] of dips) y.fill(0, first, last + 1);
  const { sigma } = view;
  const again = detectPeaks(y, {
    widthAt: () => sigma,
    ...(falsePeaks === undefined ? {} : { falsePeaks }),
    ...(corners.length === 0 ? {} : { knownAnswer: cornerAnswer(corners, baseline, view) }),
  });
  return { found: again, smooth: dips.length === 0 ? view.smooth : smoothed(y, sigma) };
}

interface Work extends Found {
  readonly view: CorrectedView;
  readonly bounds: readonly Bound[];
}

function describe({ found, smooth, view, bounds }: Work, k: number): FoundPeak {
  const { y, unit, noise, interval, start } = view;
  const { index } = found[k];
  const height = y[index];
  const [first, last] = limitsOf(index, height, [bounds[k], bounds[k + 1]], smooth, noise);
  const timeOf = (at: number) => start + parabolaTop(smooth, at) * interval;
  const host = higherNeighbour(found, k, bounds, smooth);
  return {
    retentionTime: timeOf(index),
    height: height * unit,
    start: start + first * interval,
    end: start + last * interval,
    signalToNoise: height / noise,
    shoulderOf: host === undefined ? undefined : timeOf(host),
  };
}

/** Apex index of the highest neighbour that is higher and joined without a valley. */
function higherNeighbour(
  found: readonly Candidate[],
  k: number,
  bounds: readonly Bound[],
  smooth: Float64Array,
): number | undefined {
  const joined: number[] = [];
  if (!bounds[k].valley) joined.push(found[k - 1].index);
  if (!bounds[k + 1].valley) joined.push(found[k + 1].index);
  const higher = joined.filter((at) => smooth[at] > smooth[found[k].index]);
  return higher.sort((a, b) => smooth[b] - smooth[a])[0];
}

function flagsOf({ signal }: Chromatogram, view: CorrectedView, corners: readonly number[]) {
  const highest = highestReading(signal);
  const reach = Math.ceil(3 * view.sigma);
  return (index: number): Pick<FoundPeak, "saturated" | "nearCorner"> => ({
    ...(isSaturated(signal, view.first + index, reach, highest) ? { saturated: true } : {}),
    ...(isNearCorner(corners, index, view) ? { nearCorner: true } : {}),
  });
}
