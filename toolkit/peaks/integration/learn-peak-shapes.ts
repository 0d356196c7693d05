import { median } from "../../numeric/robust.js";
import { type Baseline, estimateBaseline } from "../../signal/baseline.js";
import type { Chromatogram } from "../../signal/chromatogram.js";
import { gaussianSmooth } from "../../signal/smooth.js";
import { evenInterval, indexAt } from "../../signal/time-axis.js";
import { type FindPeaksOptions, type FoundPeak, findPeaks } from "../detection/find-peaks.js";
import { fitEmgCluster } from "../fitting/emg-cluster.js";
import { centreFromApex, integrationWindow, valleyBetween } from "../shape/integration-window.js";
import type { PeakShapeAt } from "../shape/peak-shape-at.js";

/** Peaks below this height over noise say little about shape. */
const LEAST_SNR = 40;
const TYPICAL_TAIL = 0.3;
/** A neighbour lower than this share of a peak does not bend its shape. */
const NEGLIGIBLE = 0.01;
/** W½/σ of a peak with the typical tail. */
const HALF_WIDTH = 2.444;
/** A neighbour is fitted along where it stands this many σ away and is at most so many times as high. */
const APART = 3.5;
const COMPARABLE = 10;
/** Readings closer than this many σ are of one ion. */
const SAME_ION = 1.5;

/**
 * Widths and tails of the peaks of standards by retention time: σ and τ, min, in order of time.
 *
 * Every peak that stands forty times above the noise and alone in its window is fitted with one exponentially modified
 * Gaussian; one with neighbours 3.5 σ and more away and at most ten times as high is fitted together with them, each with
 * a shape of its own. Readings of one ion in several standards are summed up by their medians. Empty where no peak
 * stands clear.
 *
 * @param standards records in which the peaks of interest are clear
 * @throws IonbookError as `findPeaks`
 * @source limits of height and distance: common practice, no source
 */
export function learnPeakShapes(
  standards: readonly Chromatogram[],
  options: FindPeaksOptions = {},
): readonly PeakShapeAt[] {
  const readings = standards.flatMap((chromatogram) => {
    const region = {
      ...(options.from === undefined ? {} : { from: options.from }),
      ...(options.to === undefined ? {} : { to: options.to }),
    };
    const baseline = options.baseline ?? estimateBaseline(chromatogram, region);
    return shapesOfRecord(chromatogram, baseline, findPeaks(chromatogram, { ...options, baseline }));
  });
  return gathered(readings);
}

function gathered(readings: readonly PeakShapeAt[]): readonly PeakShapeAt[] {
  const groups: PeakShapeAt[][] = [];
  for (const reading of [...readings].sort((a, b) => a.retentionTime - b.retentionTime)) {
    const group = groups[groups.length - 1];
    const near =
      group !== undefined &&
      reading.retentionTime - group[group.length - 1].retentionTime < SAME_ION * reading.sigma;
    if (near) group.push(reading);
    else groups.push([reading]);
  }
  return groups.map((group) => ({
    retentionTime: median(group.map((each) => each.retentionTime)),
    sigma: median(group.map((each) => each.sigma)),
    tau: median(group.map((each) => each.tau)),
  }));
}

/** Shapes of the peaks of one record that stand alone in it or clear of comparable neighbours. */
export function shapesOfRecord(
  chromatogram: Chromatogram,
  baseline: Baseline,
  found: readonly FoundPeak[],
): readonly PeakShapeAt[] {
  const { time, signal } = chromatogram;
  const first = indexAt(time, baseline.from);
  const last = indexAt(time, baseline.to);
  const interval = evenInterval(chromatogram, first, last);
  const y = Float64Array.from(
    { length: last - first + 1 },
    (_, i) => signal[first + i] - baseline.values[first + i],
  );
  const apexes = found.map((peak) => Math.round((peak.retentionTime - time[first]) / interval));
  const rough = found.map((peak, k) => {
    const index = apexes[k];
    return {
      peak,
      index,
      ...roughShape(
        y,
        index,
        apexes.filter((each) => each !== index),
      ),
    };
  });
  return rough.flatMap((own, k): readonly PeakShapeAt[] => {
    if (own.peak.signalToNoise < LEAST_SNR || !(own.sigma > 1)) return [];
    const partners = partnersOf(rough, k, y.length);
    const clear = partners.every((other) => isClear(other, own));
    if (!clear || own.peak.shoulderOf !== undefined) return [];
    const members = [own, ...partners];
    const shape = fitted(y, stretchOf(y, rough, members), members, own.peak.height / own.peak.signalToNoise);
    if (shape === undefined) return [];
    return [
      {
        retentionTime: own.peak.retentionTime,
        sigma: shape.sigma * interval,
        tau: shape.tau * interval,
      },
    ];
  });
}

interface Rough {
  readonly index: number;
  readonly sigma: number;
  readonly tau: number;
}

interface RoughPeak extends Rough {
  readonly peak: FoundPeak;
}

/** What reaches into a peak's window and is not negligible beside it. */
function partnersOf(rough: readonly RoughPeak[], k: number, length: number): readonly RoughPeak[] {
  const own = rough[k];
  const [a, b] = integrationWindow(own.index, own, 1, length);
  return rough.filter(
    (other, j) =>
      j !== k && other.peak.height >= NEGLIGIBLE * own.peak.height && reachesInto(other, a, b, length),
  );
}

function isClear(other: RoughPeak, own: RoughPeak): boolean {
  return (
    other.sigma > 1 &&
    other.peak.shoulderOf === undefined &&
    Math.abs(other.index - own.index) > APART * own.sigma &&
    other.peak.height < COMPARABLE * own.peak.height
  );
}

/** The windows of all members, up to the valleys that part them from other peaks. */
function stretchOf(
  y: Float64Array,
  rough: readonly RoughPeak[],
  members: readonly RoughPeak[],
): readonly [number, number] {
  const windows = members.map((member) => integrationWindow(member.index, member, 1, y.length));
  let first = Math.min(...windows.map(([from]) => from));
  let last = Math.max(...windows.map(([, to]) => to));
  if (members.length === 1) return [first, last];
  const low = Math.min(...members.map(({ index }) => index));
  const high = Math.max(...members.map(({ index }) => index));
  for (const { index } of rough) {
    if (index < low) first = Math.max(first, valleyBetween(y, index, low));
    if (index > high) last = Math.min(last, valleyBetween(y, high, index));
  }
  return [first, last];
}

function reachesInto(other: Rough, a: number, b: number, length: number): boolean {
  // Of a neighbour whose width the record does not show, the apex alone is looked at.
  if (!(other.sigma > 0)) return other.index > a && other.index < b;
  const [from, to] = integrationWindow(other.index, other, 1, length);
  return from < b && to > a;
}

/** Samples looked at on either side of an apex. */
const SEEN = 2000;

/**
 * From the width at half height, samples; where another apex lies inside that width, from the half on the free side.
 * σ is NaN where the record does not show it.
 */
export function roughShape(
  y: Float64Array,
  index: number,
  others: readonly number[] = [],
): Pick<Rough, "sigma" | "tau"> {
  const from = Math.max(0, index - SEEN);
  const smooth = gaussianSmooth(y.subarray(from, index + SEEN), 1);
  let top = Math.min(index - from, smooth.length - 1);
  while (top + 1 < smooth.length && smooth[top + 1] > smooth[top]) top++;
  while (top > 0 && smooth[top - 1] > smooth[top]) top--;
  const half = 0.5 * smooth[top];
  const reach = (step: 1 | -1): number => {
    let i = top;
    while (smooth[i] > half) {
      i += step;
      if (i < 0 || i >= smooth.length || others.includes(from + i)) return Number.NaN;
    }
    return Math.abs(i - top) - (half - smooth[i]) / (smooth[i - step] - smooth[i]);
  };
  const [left, right] = [reach(-1), reach(1)];
  const width = Number.isNaN(left) ? 2 * right : Number.isNaN(right) ? 2 * left : left + right;
  const sigma = width / HALF_WIDTH;
  return { sigma, tau: TYPICAL_TAIL * sigma };
}

/** Shape of the first member. */
function fitted(
  y: Float64Array,
  [first, last]: readonly [number, number],
  members: readonly Rough[],
  noise: number,
) {
  const window = y.slice(first, last + 1);
  const fit = fitEmgCluster(
    Float64Array.from(window, (_, i) => i),
    window,
    members.map(({ sigma, tau, index }) => ({
      mu: centreFromApex(index, { sigma, tau }) - first,
      sigma,
      tau,
    })),
    { sharedShape: false, priors: { mu: 1, lnSigma: 0.4, lnTau: 0.8 }, noise, backgroundDegree: 1 },
  );
  const [peak] = fit.peaks;
  return fit.converged && peak.area > 0 && peak.sigma > 0.5 ? peak : undefined;
}
