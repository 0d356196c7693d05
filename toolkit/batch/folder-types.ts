import type { DISPLAY, DisplayBundle } from "../display.js";
import type { Chromatogram } from "../signal/chromatogram.js";
import type { MODELS, WEIGHTINGS } from "./model-names.js";

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

export type ModelName = (typeof MODELS)[number];
export type WeightingName = (typeof WEIGHTINGS)[number];

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
  /** Lowest and highest level that count, mg/L as injected; others are shown as left out. @default all levels */
  readonly range?: readonly [low: number, high: number];
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
  /** Standard uncertainty of the alkalinity, mg/L as CaCO3; undefined where the batch does not say it. */
  readonly uAlkalinity?: number | undefined;
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
