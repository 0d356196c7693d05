import { DISPLAY, type DisplayBundle, displayOf } from "../display.js";
import { IonbookError } from "../errors.js";
import { measureShape } from "./measure-shape.js";
import { measureTrace } from "./measure-trace.js";
import type { PeakMoments, PeakShape, PeakTrace } from "./peak-shape.js";

/** Figures of one peak; times and widths in min, NaN where a record does not show them. */
export interface PeakFigures {
  readonly kind: "peak-figures";
  readonly retentionTime: number;
  /** Half-height plates, 5.545 (t/W½)²; apparent in a gradient. */
  readonly plateNumber: number;
  /** 41.7 (t/W₀.₁)²/(B/A + 1.25): stays true for tailing peaks. */
  readonly plateNumberFoleyDorsey: number;
  /** M₁²/M₂. */
  readonly plateNumberMoments: number;
  /** B/A at 10 % of the height. */
  readonly asymmetry: number;
  /** Symmetry factor at 5 % of the height. */
  readonly tailing: number;
  readonly widthAtHalfHeight: number;
  readonly widthAtTenthHeight: number;
  /** Only with a hold-up time; apparent in a gradient. */
  readonly retentionFactor?: number;
  readonly moments: PeakMoments;
  toString(): string;
}

export interface PeakFiguresOptions {
  /** min */
  readonly holdUpTime?: number;
}

/**
 * Widths, plates, shape and retention of a peak: of a fitted one on its exponentially modified Gaussian, of a
 * recorded one (baseline taken off) on its samples.
 *
 *     N = 5.545 (t/W½)²,  N(FD) = 41.7 (t/W₀.₁)²/(B/A + 1.25),  As = B/A at 10 %,  S = W₀.₀₅/(2A₀.₀₅),  k = (t − t₀)/t₀
 *
 * t apex, W width at the share of the height, A and B its parts before and after the apex, t₀ hold-up time; min.
 * N is exact for a Gaussian and flatters a tailing peak, N(FD) holds within 3 % for B/A from 1.09 to 2.8. A record
 * wants 12 samples or more across W½.
 *
 * @throws IonbookError `bad-width` for σ not positive; `bad-hold-up-time`; as `measureTrace` for a record
 * @source IUPAC, Pure Appl. Chem. 65 (1993) 819; USP <621> and Ph. Eur. 2.2.46 (harmonised); Foley and Dorsey, Anal.
 *   Chem. 55 (1983) 730 (all from memory)
 */
export function peakFigures(peak: PeakShape | PeakTrace, options: PeakFiguresOptions = {}): PeakFigures {
  const { retentionTime, moments, crossings } =
    "sigma" in peak ? measureShape(checked(peak)) : measureTrace(peak);
  const half = crossings(0.5);
  const tenth = crossings(0.1);
  const twentieth = crossings(0.05);
  const widthAtHalfHeight = half.back - half.front;
  const widthAtTenthHeight = tenth.back - tenth.front;
  const asymmetry = (tenth.back - retentionTime) / (retentionTime - tenth.front);
  const figures = {
    retentionTime,
    plateNumber: 8 * Math.LN2 * (retentionTime / widthAtHalfHeight) ** 2,
    plateNumberFoleyDorsey: (41.7 * (retentionTime / widthAtTenthHeight) ** 2) / (asymmetry + 1.25),
    plateNumberMoments: moments.mean ** 2 / moments.variance,
    asymmetry,
    tailing: (twentieth.back - twentieth.front) / (2 * (retentionTime - twentieth.front)),
    widthAtHalfHeight,
    widthAtTenthHeight,
    ...retention(retentionTime, options.holdUpTime),
    moments,
  };
  return {
    kind: "peak-figures",
    ...figures,
    toString: () => describe(figures),
    [DISPLAY](): DisplayBundle | Promise<DisplayBundle> {
      return displayOf(this);
    },
  } as PeakFigures;
}

function checked(peak: PeakShape): PeakShape {
  if (peak.sigma > 0 && Number.isFinite(peak.tau)) return peak;
  throw new IonbookError(
    "bad-width",
    `σ = ${peak.sigma} min with τ = ${peak.tau} min makes no peak: give σ > 0 and a finite τ`,
  );
}

function retention(t: number, holdUpTime: number | undefined): { readonly retentionFactor?: number } {
  if (holdUpTime === undefined) return {};
  if (holdUpTime > 0 && holdUpTime <= t) return { retentionFactor: (t - holdUpTime) / holdUpTime };
  throw new IonbookError(
    "bad-hold-up-time",
    `a hold-up time of ${holdUpTime} min does not fit a peak at ${t.toFixed(3)} min: give one above 0 and not behind the peak`,
  );
}

function describe(f: Omit<PeakFigures, "kind">): string {
  const k = f.retentionFactor === undefined ? "" : `, k = ${f.retentionFactor.toFixed(2)}`;
  return (
    `peak at ${f.retentionTime.toFixed(3)} min${k}: W½ ${f.widthAtHalfHeight.toPrecision(3)} min, ` +
    `N ${f.plateNumber.toFixed(0)} (half height), ${f.plateNumberFoleyDorsey.toFixed(0)} (Foley–Dorsey), ` +
    `asymmetry ${f.asymmetry.toFixed(2)}, tailing ${f.tailing.toFixed(2)}`
  );
}

/** What a resolution is worked out from: figures already made, or a peak. */
export type ResolvablePeak = PeakShape | PeakTrace | Pick<PeakFigures, "retentionTime" | "widthAtHalfHeight">;

/**
 * Resolution of two peaks from their half-height widths, positive when the second comes later.
 *
 *     Rs = 1.18 (t₂ − t₁)/(W½,₁ + W½,₂)
 *
 * t apexes, W½ widths, one unit. Says nothing about a small peak beside a giant: look at the valley there.
 *
 * @throws IonbookError as `peakFigures`
 * @source IUPAC, Pure Appl. Chem. 65 (1993) 819; USP <621> (from memory)
 */
export function peakResolution(first: ResolvablePeak, second: ResolvablePeak): number {
  const [a, b] = [first, second].map((peak) => ("widthAtHalfHeight" in peak ? peak : peakFigures(peak)));
  return (1.18 * (b.retentionTime - a.retentionTime)) / (a.widthAtHalfHeight + b.widthAtHalfHeight);
}
