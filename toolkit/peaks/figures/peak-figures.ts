import { DISPLAY, type DisplayBundle, displayOf } from "../../display.js";
import { IonbookError } from "../../errors.js";
import type { Crossings, MeasurablePeak, PeakMoments, PeakShape, PeakTrace } from "../shape/peak-shape.js";
import type { FigureName } from "./figure-definitions.js";
import { measureShape } from "./measure-shape.js";
import { measureTrace } from "./measure-trace.js";

/** Figures of one peak; times and widths in min, NaN where the record does not show them (see `missing`). */
export interface PeakFigures {
  readonly kind: "peak-figures";
  readonly retentionTime: number;
  /** Signal's unit; NaN for a shape without an area. */
  readonly height: number;
  /** Half-height plates, 5.545 (t/W½)²; apparent in a gradient. */
  readonly plateNumber: number;
  /** 16 (t/W_b)². */
  readonly plateNumberTangent: number;
  /** 25 (t/W₀.₀₄₄)². */
  readonly plateNumberFiveSigma: number;
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
  /** Between the tangents of the inflections. */
  readonly baseWidth: number;
  /** Only with a hold-up time; apparent in a gradient. */
  readonly retentionFactor?: number;
  /** 2H/h; only with a noise given. */
  readonly signalToNoise?: number;
  /** H/s; only with a noise given. */
  readonly signalToNoiseRms?: number;
  /** σ and τ of an exponentially modified Gaussian of this W₀.₁ and B/A, min; NaN where they do not tell. */
  readonly foleyDorsey: { readonly sigma: number; readonly tau: number };
  readonly moments: PeakMoments;
  /** True when the eluent changes: plates and retention factor are apparent then. */
  readonly gradient: boolean;
  /** Why a figure is NaN, by its name. */
  readonly missing: Readonly<Partial<Record<FigureName, string>>>;
  /** What a reader of the figures should know, in sentences. */
  readonly warnings: readonly string[];
  toString(): string;
}

export interface PeakFiguresOptions {
  /** min */
  readonly holdUpTime?: number;
  /** Eluent changes during the run: plates and retention factor are apparent. @default false */
  readonly gradient?: boolean;
  /**
   * Noise of a blank where the peak would be (as `estimateNoise` or `pharmacopoeialNoise` give it), signal's unit: `h`
   * peak to peak over 5 W½ or more, `rms` standard deviation about a line. Both ratios are worked out from it, and which
   * levels lie in the noise. A recorded peak without it: from its own fourth differences.
   */
  readonly noise?: { readonly rms?: number; readonly peakToPeak?: number; readonly h?: number };
}

/**
 * Widths, plates, shape and retention of a peak: of a fitted one on its exponentially modified Gaussian, of a
 * recorded one (baseline taken off, not smoothed) on its samples.
 *
 *     N = 5.545 (t/W½)²,  N(FD) = 41.7 (t/W₀.₁)²/(B/A + 1.25),  As = B/A at 10 %,  S = W₀.₀₅/(2A₀.₀₅),  k = (t − t₀)/t₀
 *
 * t apex, W width at the share of the height, A and B its parts before and after the apex, t₀ hold-up time; min. All
 * formulas with their standards and ranges: `figureDefinitions`.
 * N is exact for a Gaussian and flatters a tailing peak, N(FD) holds within 3 % for B/A from 1.09 to 2.8. A record
 * wants 12 samples or more across W½; where S/N is below 50 measure the fitted peak.
 *
 * @throws IonbookError `bad-width` for σ not positive; `bad-hold-up-time`; `bad-noise`; `out-of-range` near the ends of double precision; as `measureTrace` for a record
 * @source IUPAC, Pure Appl. Chem. 65 (1993) 819; USP <621> and Ph. Eur. 2.2.46 (harmonised); Foley and Dorsey, Anal.
 *   Chem. 55 (1983) 730 (all from memory)
 */
export function peakFigures(peak: PeakShape | PeakTrace, options: PeakFiguresOptions = {}): PeakFigures {
  const { noise = {}, gradient = false } = options;
  requireNoise(noise);
  const figures = figuresOf(
    "sigma" in peak
      ? measureShape(checked(peak))
      : measureTrace(peak, noise.rms === undefined ? {} : { noise: noise.rms }),
  );
  if (!Number.isFinite(figures.retentionTime) || Math.abs(figures.height) === Number.POSITIVE_INFINITY) {
    throw new IonbookError(
      "out-of-range",
      "the readings of this peak are beyond double precision: give the signal in another unit",
    );
  }
  const all = {
    ...figures,
    ...retention(figures.retentionTime, options.holdUpTime),
    ...signalToNoise(figures.height, noise),
    gradient,
  };
  return {
    kind: "peak-figures",
    ...all,
    toString: () => describe(all),
    [DISPLAY](): DisplayBundle | Promise<DisplayBundle> {
      return displayOf(this);
    },
  } as PeakFigures;
}

/** A peak whose front is this much steeper than its back is no tail: something hides in the front, or it is overloaded. */
const FRONTING_BELOW = 0.9;
/** Foley and Dorsey's equations are good up to this asymmetry; below the other one τ is lost in rounding. */
const FOLEY_DORSEY_RANGE = [1.03, 2.8] as const;

/** The figures that need nothing but the peak itself. */
export function figuresOf(peak: MeasurablePeak) {
  const { retentionTime: t, height, moments, truncated } = peak;
  const missing: Partial<Record<FigureName, string>> = {};
  const width = (crossings: Crossings, ...needing: readonly FigureName[]): number => {
    for (const name of needing) if (crossings.reason !== undefined) missing[name] ??= crossings.reason;
    return crossings.back - crossings.front;
  };
  const tenth = peak.crossings(0.1);
  const twentieth = peak.crossings(0.05);
  const half = width(peak.crossings(0.5), "widthAtHalfHeight", "plateNumber");
  const wide = width(tenth, "widthAtTenthHeight", "asymmetry", "plateNumberFoleyDorsey");
  width(twentieth, "tailing");
  const fiveSigma = width(peak.crossings(Math.exp(-3.125)), "plateNumberFiveSigma");
  const base = width(peak.tangents(), "baseWidth", "plateNumberTangent");
  if (truncated !== undefined) missing.plateNumberMoments = truncated;
  else if (!(moments.variance > 0))
    missing.plateNumberMoments = "the record shows no width: its variance is not positive";
  const asymmetry = (tenth.back - t) / (t - tenth.front);
  return {
    retentionTime: t,
    height,
    plateNumber: 8 * Math.LN2 * (t / half) ** 2,
    plateNumberTangent: 16 * (t / base) ** 2,
    plateNumberFiveSigma: 25 * (t / fiveSigma) ** 2,
    plateNumberFoleyDorsey: (41.7 * (t / wide) ** 2) / (asymmetry + 1.25),
    plateNumberMoments:
      missing.plateNumberMoments === undefined ? moments.mean ** 2 / moments.variance : Number.NaN,
    asymmetry,
    tailing: symmetryFactor(twentieth, t),
    widthAtHalfHeight: half,
    widthAtTenthHeight: wide,
    baseWidth: base,
    foleyDorsey: foleyDorseyShape(wide, asymmetry),
    moments,
    missing,
    warnings: [...peak.warnings, ...shapeWarnings(asymmetry)],
  };
}

/** Width at half height and symmetry factor alone, NaN where they are not shown: for many peaks in a row. */
export function widthAndTailing(peak: MeasurablePeak): Pick<PeakFigures, "widthAtHalfHeight" | "tailing"> {
  const half = peak.crossings(0.5);
  return {
    widthAtHalfHeight: half.back - half.front,
    tailing: symmetryFactor(peak.crossings(0.05), peak.retentionTime),
  };
}

/** S = W₀.₀₅/(2A₀.₀₅). */
function symmetryFactor({ front, back }: Crossings, apex: number): number {
  return (back - front) / (2 * (apex - front));
}

/** σ = W₀.₁/(3.27 B/A + 1.2), M₂ = W₀.₁²/(1.764 (B/A)² − 11.15 B/A + 28), τ = √(M₂ − σ²). */
function foleyDorseyShape(width: number, asymmetry: number): PeakFigures["foleyDorsey"] {
  const [least, most] = FOLEY_DORSEY_RANGE;
  if (!(asymmetry >= least && asymmetry <= most)) return { sigma: Number.NaN, tau: Number.NaN };
  const sigma = width / (3.27 * asymmetry + 1.2);
  const variance = width ** 2 / (1.764 * asymmetry ** 2 - 11.15 * asymmetry + 28);
  return { sigma, tau: Math.sqrt(Math.max(variance - sigma ** 2, 0)) };
}

function shapeWarnings(asymmetry: number): readonly string[] {
  if (asymmetry < FRONTING_BELOW)
    return [`B/A ${asymmetry.toFixed(2)}: a front, so overload or a second peak in it; plates mean little`];
  return asymmetry > FOLEY_DORSEY_RANGE[1]
    ? [`B/A ${asymmetry.toFixed(2)} is above 2.8, where the Foley–Dorsey plates hold no longer`]
    : [];
}

function requireNoise(noise: NonNullable<PeakFiguresOptions["noise"]>): void {
  for (const [name, value] of Object.entries({ rms: noise.rms, peakToPeak: noise.peakToPeak, h: noise.h })) {
    if (value !== undefined && !(value > 0 && Number.isFinite(value))) {
      throw new IonbookError("bad-noise", `the noise ${name} is ${value}: give a positive one from a blank`);
    }
  }
}

function signalToNoise(
  height: number,
  { rms, peakToPeak, h = peakToPeak }: NonNullable<PeakFiguresOptions["noise"]>,
) {
  return {
    ...(h === undefined ? {} : { signalToNoise: (2 * height) / h }),
    ...(rms === undefined ? {} : { signalToNoiseRms: height / rms }),
  };
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

function describe(f: Omit<PeakFigures, "kind" | "toString">): string {
  const apparent = f.gradient ? " (gradient, not a column property)" : "";
  const k =
    f.retentionFactor === undefined
      ? ""
      : `, ${f.gradient ? "k_app" : "k"} = ${f.retentionFactor.toFixed(2)}`;
  return (
    `peak at ${f.retentionTime.toFixed(3)} min${k}: W½ ${f.widthAtHalfHeight.toPrecision(3)} min, ` +
    `N ${f.plateNumber.toFixed(0)} (half height), ${f.plateNumberFoleyDorsey.toFixed(0)} (Foley–Dorsey)${apparent}, ` +
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
 * t apexes, W½ widths, one unit. Says nothing about a small peak beside a giant: look at the valley there
 * (`peakToValley`). By tangents or moments: `resolutions`.
 *
 * @throws IonbookError as `peakFigures`
 * @source IUPAC, Pure Appl. Chem. 65 (1993) 819; USP <621> (from memory)
 */
export function peakResolution(first: ResolvablePeak, second: ResolvablePeak): number {
  const [a, b] = [first, second].map((peak) => ("widthAtHalfHeight" in peak ? peak : peakFigures(peak)));
  return (1.18 * (b.retentionTime - a.retentionTime)) / (a.widthAtHalfHeight + b.widthAtHalfHeight);
}
