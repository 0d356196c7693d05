import type { Calibration } from "../calibration/types.js";
import type { DISPLAY, DisplayBundle } from "../display.js";
import type { Chromatogram } from "../signal/chromatogram.js";
import type { MeasuredValue } from "../uncertainty/measured.js";

export type Channel = "anion" | "cation";

/** What an injection is for: the words of the `kind` column of worksheet.csv. */
export type InjectionKind =
  | "calibration"
  | "blank"
  | "second source"
  | "continuing check"
  | "fortified blank"
  | "reference material"
  | "sample"
  | "duplicate"
  | "matrix spike"
  | "matrix spike duplicate";

export type ModelName = "linear" | "through-zero" | "quadratic" | "weak";
export type WeightingName = "none" | "1/x" | "1/x^2";

/** One ion of the method, as batch.json gives it. */
export interface MethodIon {
  /** IUPAC English name. */
  readonly ion: string;
  /** Expected retention time, min. */
  readonly retentionTime: number;
  /** Half-width within which the ion is looked for, min. */
  readonly window: number;
  readonly model: ModelName;
  readonly weighting: WeightingName;
}

export interface Method {
  readonly title: string;
  readonly channel: Channel;
  readonly detection: string;
  readonly eluent?: { readonly kind: string; readonly program: readonly (readonly [number, number])[] };
  /** min */
  readonly holdUpTime: number;
  /** Evaluated stretch of the record, min. */
  readonly from: number;
  readonly to: number | undefined;
  readonly ions: readonly MethodIon[];
  /** Ions outside the method's scope: reported as not measured. */
  readonly notMeasured: readonly string[];
  /** Anything else the file says (temperature, flow, remark, unknown keys), kept and shown. */
  readonly other: Readonly<Record<string, unknown>>;
}

export interface Injection {
  readonly id: string;
  /** Path of the chromatogram file relative to the folder. */
  readonly signal: string;
  readonly injectedAt: string;
  readonly kind: InjectionKind;
  /** Name of the solution or of the sample. */
  readonly solution: string;
  readonly dilution: number;
  /** Standard uncertainty of the dilution factor; 0 where the cell is blank. */
  readonly uDilution: number;
  readonly parent: string | undefined;
  readonly remark: string | undefined;
  /** Line of worksheet.csv. */
  readonly line: number;
  /** Cells of unknown columns. */
  readonly other: Readonly<Record<string, string>>;
}

/** One row of solutions.csv: what is known of one ion in one standard. */
export interface SolutionIon {
  readonly solution: string;
  readonly ion: string;
  /** mg/L, converted from the row's own unit. */
  readonly concentration: number;
  /** Standard uncertainty, mg/L. */
  readonly u: number;
  readonly stock: string | undefined;
  /** The part of u that is the stock's, mg/L. */
  readonly uStock: number;
  readonly line: number;
}

/** One row of samples.csv. */
export interface Sample {
  readonly sample: string;
  readonly matrix: string | undefined;
  readonly collectedAt: string | undefined;
  readonly preparation: "direct" | "extract";
  readonly massGrams: number | undefined;
  readonly uMassGrams: number;
  readonly volumeMilliliters: number | undefined;
  readonly uVolumeMilliliters: number;
  readonly dryFraction: number | undefined;
  readonly pH: number | undefined;
  readonly conductivity: number | undefined;
  readonly temperature: number | undefined;
  /** mg/L as CaCO3 */
  readonly alkalinity: number | undefined;
  /** Reporting unit: "mg/L", "mg/kg" or "mg/kg dry". */
  readonly unit: string;
  readonly line: number;
  readonly other: Readonly<Record<string, string>>;
}

/** Something the reader saw that a person should know, but that stops nothing. */
export interface Notice {
  readonly where: string;
  readonly what: string;
}

/** A folder on disk, read and checked; signals included. */
export interface Batch {
  readonly kind: "batch";
  readonly folder: string;
  readonly method: Method;
  /** In run order. */
  readonly injections: readonly Injection[];
  readonly solutions: readonly SolutionIon[];
  readonly samples: readonly Sample[];
  /** By injection id. */
  readonly chromatograms: ReadonlyMap<string, Chromatogram>;
  readonly noticed: readonly Notice[];
  /** Every file read, with its SHA-256, for provenance. */
  readonly files: readonly { readonly path: string; readonly sha256: string }[];
  toString(): string;
  [DISPLAY](): DisplayBundle | Promise<DisplayBundle>;
}

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
  readonly dilution: number | undefined;
  readonly injection: string | undefined;
  readonly flags: readonly string[];
}

export type PeakIdentity = "confirmed" | "supported" | "tentative" | "ambiguous" | "unknown" | "system";

/** How the area of a peak was obtained: a choice that is part of the result. */
export type IntegrationRule = "summation" | "joint fit" | "rider fit" | "fixed window";

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
  readonly rule: IntegrationRule;
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

/** One row of balance.csv. */
export interface SampleBalance {
  readonly kind: "sample-balance";
  readonly sample: string;
  readonly cations: MeasuredValue;
  readonly anions: MeasuredValue;
  readonly percentDifference: MeasuredValue;
  /** Charge of the unidentified anions, meq/L, not contained in `anions`. */
  readonly unknownAnions: MeasuredValue | undefined;
  readonly passed: boolean;
  readonly suspects: readonly string[];
  /** What the bars are made of, meq/L, largest first; `bound` marks a value below its critical limit. */
  readonly parts: readonly {
    readonly ion: string;
    readonly side: "cation" | "anion";
    readonly milliequivalents: MeasuredValue;
    readonly bound: boolean;
  }[];
  readonly criteria: readonly { readonly source: string; readonly limit: string; readonly passed: boolean }[];
}

/** One unidentified peak followed over the batch. */
export interface UnknownPeak {
  readonly name: string;
  readonly channel: Channel;
  /** Median apex after drift correction, min. */
  readonly retentionTime: number;
  readonly seenIn: readonly {
    readonly injection: string;
    readonly sample: string | undefined;
    /** µS/cm·min */
    readonly area: MeasuredValue;
    /** µeq/L in the injected solution, by conductivity alone; undefined where no strong ion is calibrated. */
    readonly microequivalents: MeasuredValue | undefined;
  }[];
}

/** All that `quantify` found. */
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
  readonly unknowns: readonly UnknownPeak[];
  /** By injection id; where both channels use one id, the second one's under "<channel> <id>". */
  readonly traces: ReadonlyMap<string, EvaluatedTrace>;
  toString(): string;
  [DISPLAY](): DisplayBundle | Promise<DisplayBundle>;
}
