import type { DataFrame } from "danfojs-node";
import type { Calibration } from "../calibration/response/types.js";
import type { SlopeCheck, SlopeCheckOptions } from "../calibration/theory/slope-check.js";
import type { Series } from "../compare/series.js";
import type { DISPLAY, DisplayBundle } from "../display.js";
import type { BlankWatch } from "../limits/blank-watch-types.js";
import type { LimitLadder } from "../limits/ladder-types.js";
import type { ReportedResult } from "../limits/reported-result.js";
import type { BudgetRow, CoverageInterval, MeasuredValue } from "../uncertainty/measured.js";
import type { SampleBalance, UnknownPeaks } from "./balance-types.js";
import type { FigureTrend } from "./figure-trend.js";
import type { Batch, Channel, Injection, ModelName, WeightingName } from "./folder-types.js";
import type { SampleWater } from "./sample-water.js";

export type * from "./balance-types.js";
export type * from "./figure-trend.js";
export type * from "./folder-types.js";
export type * from "./unknown-types.js";

export type ResultStatus =
  | "quantified"
  | "below quantification"
  | "not detected"
  | "above range"
  | "not measured";

/** One row of results.csv: one sample and one ion. */
export interface SampleResult {
  readonly sample: string;
  readonly ion: string;
  readonly channel: Channel;
  /** In the sample's reporting unit after dilution and preparation; undefined only where not measured. */
  readonly value: MeasuredValue | undefined;
  readonly unit: string;
  readonly status: ResultStatus;
  /** Sample-specific limits in the same unit as the value. */
  readonly detectionLimit: number | undefined;
  readonly quantificationLimit: number | undefined;
  readonly criticalValue?: number | undefined;
  /** Which definition the limits follow. */
  readonly limitDefinition?: string | undefined;
  /** Set by contract, at least this sample's quantification limit; below it "< RL" is printed. */
  readonly reportingLimit?: number | undefined;
  /** How the result is printed by these limits; value and u stay as they are. */
  readonly reported?: ReportedResult | undefined;
  readonly dilution: number | undefined;
  readonly injection: string | undefined;
  readonly flags: readonly string[];
}

export type PeakIdentity = "confirmed" | "supported" | "tentative" | "ambiguous" | "unknown" | "system";

/** How the area of a peak was obtained: a choice that is part of the result. */
export type AreaRule = "summation" | "joint fit" | "rider fit" | "fixed window";

/** One row of peaks.csv. */
export interface PeakResult {
  readonly injection: string;
  /** Ion name, "unknown-1" … or "system-1" …. */
  readonly ion: string;
  /** Apex, min. */
  readonly retentionTime: number;
  /** µS/cm·min */
  readonly area: MeasuredValue;
  /** µS/cm */
  readonly height: number;
  /** min */
  readonly widthHalf: number | undefined;
  readonly tailing: number | undefined;
  readonly resolutionNext: number | undefined;
  readonly signalToNoise: number;
  readonly identity: PeakIdentity;
  /** Limits, min. */
  readonly start: number;
  readonly end: number;
  readonly rule: AreaRule;
  readonly flags: readonly string[];
}

/** A fitted component as drawn over the trace: y on the trace's own time axis from index `first`. */
export interface FittedComponent {
  readonly ion: string;
  readonly first: number;
  readonly values: Float64Array;
}

/** Everything a drawing of one injection needs. */
export interface EvaluatedTrace {
  readonly kind: "trace";
  readonly injection: Injection;
  readonly channel: Channel;
  /** Raw record; time in min, signal in µS/cm. */
  readonly time: Float64Array;
  readonly signal: Float64Array;
  /** Same length as the record; NaN outside the evaluated stretch. */
  readonly baseline: Float64Array;
  readonly peaks: readonly PeakResult[];
  readonly components: readonly FittedComponent[];
  /** Standard deviation of the noise, µS/cm. */
  readonly noise: number;
}

export interface CalibrationPoint {
  readonly injection: string;
  readonly solution: string;
  /** mg/L */
  readonly concentration: number;
  /** µS/cm·min */
  readonly area: number;
  /** Standard uncertainty of the area's reading, µS/cm·min. */
  readonly uArea: number;
  /** Why the point was left out of the fit; undefined when used. */
  readonly rejected: string | undefined;
  /** 100 (found − given)/given */
  readonly relativeErrorPercent: number;
}

/** One row of calibration.csv with what a drawing needs. */
export interface IonCalibration {
  readonly kind: "ion-calibration";
  readonly ion: string;
  readonly channel: Channel;
  readonly model: ModelName;
  readonly weighting: WeightingName;
  readonly curve: Calibration;
  readonly points: readonly CalibrationPoint[];
  /** Lowest and highest level, mg/L as injected. */
  readonly low: number;
  readonly high: number;
  /** Limits in force, mg/L as injected, and the definition they follow. */
  readonly criticalValue: number;
  readonly lod: number;
  readonly loq: number;
  readonly mdl: number | undefined;
  readonly limitDefinition: string;
  /** Every definition on this ion's data, the one in force marked. */
  readonly limitLadder?: LimitLadder | undefined;
  /** The batch's blanks held against the limits in force; undefined where there are none. */
  readonly blankWatch?: BlankWatch | undefined;
  /** "accepted", or the reasons against, in words. */
  readonly verdict: string;
}

/** One row of checks.csv. */
export interface CheckResult {
  readonly check: string;
  readonly injection: string;
  readonly ion: string;
  readonly channel: Channel;
  readonly found: number;
  readonly expected: number | undefined;
  /** In words with numbers, e.g. "90–110 %". */
  readonly limit: string;
  readonly passed: boolean;
  readonly source: string;
  /** What the outcome touches, e.g. the samples a failed check governs. */
  readonly touches: readonly string[];
}

/** One step on the way from a result back to the raw file. */
export interface ExplanationStep {
  readonly step: "result" | "preparation" | "calibration" | "area" | "peak" | "injection" | "record";
  /** Full sentences with numbers and units. */
  readonly sentences: readonly string[];
}

/** Why a result is what it is: its uncertainty by sources, and the way back to the raw file. */
export interface Explanation {
  readonly kind: "explanation";
  readonly sample: string;
  readonly ion: string;
  readonly result: SampleResult;
  /** 95 %; undefined where nothing was measured. */
  readonly interval: CoverageInterval | undefined;
  /** Largest contribution first. */
  readonly budget: readonly BudgetRow[];
  /** mg/L in the solution injected. */
  readonly injectedConcentration: number | undefined;
  readonly calibration: IonCalibration | undefined;
  /** Undefined where no peak was found: the area is that of a fixed window then. */
  readonly peak: PeakResult | undefined;
  readonly injection: Injection | undefined;
  readonly file: { readonly path: string; readonly sha256: string } | undefined;
  /** Checks that govern this result, failed ones first. */
  readonly checks: readonly CheckResult[];
  /** What a reader of the number must know, in words. */
  readonly cautions: readonly string[];
  /** From the result back to the record. */
  readonly steps: readonly ExplanationStep[];
  toString(): string;
  [DISPLAY](): DisplayBundle | Promise<DisplayBundle>;
}

/**
 * All that `quantify` found. Where a method takes a name, spelling is forgiven as long as one thing alone can be meant:
 * ions by any of their names or their formula, samples without regard to case, spaces and punctuation, or by their
 * place where it was visited once.
 */
export interface Results {
  readonly kind: "results";
  readonly title: string;
  /** True when any of the batches says that its data are invented (batch.json remark contains "invented"). */
  readonly invented: boolean;
  readonly batches: readonly Batch[];
  readonly samples: readonly SampleResult[];
  readonly peaks: readonly PeakResult[];
  readonly calibrations: readonly IonCalibration[];
  readonly checks: readonly CheckResult[];
  readonly balances: readonly SampleBalance[];
  readonly unknowns: UnknownPeaks;
  /** By injection id; where both channels use one id, the second one's under "<channel> <id>". */
  readonly traces: ReadonlyMap<string, EvaluatedTrace>;
  /**
   * Signal, baseline, peaks and names of one injection.
   *
   * @throws IonbookError "unknown-injection", with the nearest ids
   */
  trace(injection: string): EvaluatedTrace;
  /**
   * Curve, residuals, tests of fit, range and limits of one ion.
   *
   * @throws IonbookError "unknown-ion", "not-calibrated"
   */
  calibration(ion: string): IonCalibration;
  /**
   * The row of one sample and one ion.
   *
   * @throws IonbookError "unknown-sample", "several-samples", "unknown-ion"
   */
  result(sample: string, ion: string): SampleResult;
  /**
   * Where a number comes from: budget, and the way back to the raw file.
   *
   * @throws IonbookError as `result`
   */
  why(sample: string, ion: string): Explanation;
  /**
   * Charge of both channels of one sample.
   *
   * @throws IonbookError "unknown-sample", "several-samples", "no-balance"
   */
  balance(sample: string): SampleBalance;
  /**
   * The samples that are waters, as `piperDiagram`, `stiffDiagram` and `schoellerDiagram` take them; the diagrams ask for
   * them by themselves when they are given the results.
   */
  waters(): readonly SampleWater[];
  /**
   * One ion at one place over all visits, in order of collection. The place is the column `site` of samples.csv, or what
   * stands before the parenthesis in the sample's name.
   *
   * @throws IonbookError "unknown-place", "unknown-ion", "unit-mismatch"
   */
  series(place: string, ion: string): Series;
  /**
   * One figure of an ion's peaks over the batch in run order: "plates, Foley–Dorsey", "asymmetry at 10 %", "width at half
   * height", "retention time" …, with median and warning limits.
   *
   * @throws IonbookError "unknown-figure", "unknown-ion"
   */
  trend(figure: string, ion: string): FigureTrend;
  /**
   * The slopes of a channel's calibrations against ionic theory, with the slip that would explain one that is off; the
   * channel may be left out where there is one.
   *
   * @throws IonbookError "no-channel", "unknown-option", "no-reference" with fewer than two strong ions
   */
  slopeCheck(channel?: Channel, options?: SlopeCheckOptions): SlopeCheck;
  /** The results as a danfojs frame, one row for each sample and ion; danfojs is loaded on the first call. */
  frame(): DataFrame;
  /** All peaks, named or not, as a danfojs frame. */
  peakFrame(): DataFrame;
  toString(): string;
  [DISPLAY](): DisplayBundle | Promise<DisplayBundle>;
}
