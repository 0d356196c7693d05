import { type Baseline, estimateBaseline } from "../signal/baseline.js";
import type { Chromatogram } from "../signal/chromatogram.js";
import { indexAt } from "../signal/time-axis.js";
import type { MeasuredValue } from "../uncertainty/measured.js";
import { fromSources } from "../uncertainty/measured.js";
import { type FindPeaksOptions, type FoundPeak, findPeaks } from "./find-peaks.js";

/** A peak with its area above the estimated baseline. */
export interface IntegratedPeak extends FoundPeak {
  /** In the signal's unit times min. */
  readonly area: MeasuredValue;
  readonly rule: "summation" | "valley drop";
  /** Apexes, min, of shoulders whose area is counted here. */
  readonly shoulders: readonly number[];
}

/** What an automatic integration is made of. */
export interface Integration {
  readonly kind: "integration";
  readonly baseline: Baseline;
  /** In order of time. */
  readonly peaks: readonly IntegratedPeak[];
}

/** The baseline is drawn again this many times stiffer and softer in width, to see what its choice is worth. */
const WIDTH_FACTORS = [0.5, 2] as const;

/**
 * Automatic integration of a chromatogram: baseline, peaks, and the sum Δt Σ (y − z) between the limits of each.
 *
 * Areas in the signal's unit times min. Peaks separated by a valley are parted there by a perpendicular; a shoulder
 * without a valley is counted with its higher neighbour. u holds the noise, Δt·√n·s, and the choice of the baseline:
 * the half-range of the areas over baselines for half and twice the peak width, taken as rectangular. What a
 * perpendicular takes from one overlapping peak and gives to the next is not in u. O(n).
 *
 * @throws IonbookError as `findPeaks` and `estimateBaseline`
 * @source half-range as rectangular distribution: JCGM 100:2008 (GUM), 4.3.7; the rest common practice, no source
 */
export function integrateChromatogram(
  chromatogram: Chromatogram,
  options: FindPeaksOptions = {},
): Integration {
  const region = {
    ...(options.from === undefined ? {} : { from: options.from }),
    ...(options.to === undefined ? {} : { to: options.to }),
  };
  const baseline = options.baseline ?? estimateBaseline(chromatogram, region);
  const found = findPeaks(chromatogram, { ...options, baseline });
  const others = otherBaselines(chromatogram, baseline);
  const hosts = withoutShoulders(found);
  const peaks = hosts.map((host, k): IntegratedPeak => {
    const touches =
      host.start <= (hosts[k - 1]?.end ?? -1) ||
      host.end >= (hosts[k + 1]?.start ?? Number.POSITIVE_INFINITY);
    return {
      ...host,
      area: areaOf(chromatogram, host, baseline, others),
      rule: touches ? "valley drop" : "summation",
    };
  });
  return { kind: "integration", baseline, peaks };
}

function otherBaselines(
  chromatogram: Chromatogram,
  { peakWidth, from, to, method }: Baseline,
): readonly Baseline[] {
  if (peakWidth === undefined) return [];
  return WIDTH_FACTORS.map((factor) =>
    estimateBaseline(chromatogram, { method, from, to, peakWidth: factor * peakWidth }),
  );
}

type Host = FoundPeak & { readonly shoulders: readonly number[] };

/** Counts each shoulder with the peak it leans on; one that leans on nothing found stands for itself. */
function withoutShoulders(found: readonly FoundPeak[]): readonly Host[] {
  const byTime = new Map(found.map((peak) => [peak.retentionTime, peak]));
  const hostOf = (peak: FoundPeak): FoundPeak => {
    const next = peak.shoulderOf === undefined ? undefined : byTime.get(peak.shoulderOf);
    return next === undefined ? peak : hostOf(next);
  };
  return found
    .filter((peak) => hostOf(peak) === peak)
    .map((host) => {
      const all = found.filter((peak) => hostOf(peak) === host);
      return {
        ...host,
        start: Math.min(...all.map((peak) => peak.start)),
        end: Math.max(...all.map((peak) => peak.end)),
        shoulders: all.filter((peak) => peak !== host).map((peak) => peak.retentionTime),
      };
    });
}

function areaOf(
  chromatogram: Chromatogram,
  peak: FoundPeak,
  baseline: Baseline,
  others: readonly Baseline[],
): MeasuredValue {
  const { time } = chromatogram;
  const first = indexAt(time, peak.start);
  const last = indexAt(time, peak.end);
  const interval = (time[last] - time[first]) / Math.max(last - first, 1);
  const area = sumAbove(chromatogram, baseline, first, last) * interval;
  const areas = [area, ...others.map((other) => sumAbove(chromatogram, other, first, last) * interval)];
  const halfRange = 0.5 * (Math.max(...areas) - Math.min(...areas));
  const noise = peak.height / peak.signalToNoise;
  const name = `${chromatogram.id}, ${peak.retentionTime.toFixed(2)} min`;
  return fromSources(area, `${chromatogram.signalUnit}·min`, [
    { source: `noise: ${name}`, contribution: noise * interval * Math.sqrt(last - first + 1) },
    { source: `baseline: ${name}`, contribution: halfRange / Math.sqrt(3) },
  ]);
}

function sumAbove({ signal }: Chromatogram, { values }: Baseline, first: number, last: number): number {
  let sum = 0;
  for (let i = first; i <= last; i++) {
    // The trapezoid rule: samples on the limits count half, so that neighbours share them.
    const weight = i === first || i === last ? 0.5 : 1;
    sum += weight * (signal[i] - values[i]);
  }
  return sum;
}
