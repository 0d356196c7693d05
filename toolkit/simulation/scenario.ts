import type { ColumnSolute, Instrument } from "./instrument.js";
import type { Closing } from "./natural-water.js";

/** How a sample became a liquid. */
export type Preparation =
  | { readonly kind: "direct" }
  | {
      readonly kind: "extract";
      readonly massGrams: number;
      readonly uMassGrams: number;
      readonly volumeMilliliters: number;
      readonly uVolumeMilliliters: number;
      readonly dryFraction: number;
    };

/** One sample as the story has it; its true composition is drawn around `composition`. */
export interface ScenarioSample {
  readonly sample: string;
  readonly site: string;
  readonly period: string;
  readonly matrix: string;
  /** ISO 8601 */
  readonly collectedAt: string;
  readonly preparation: Preparation;
  readonly unit: "mg/L" | "mg/kg dry";
  /** By ion, in `unit`; 0 is truly absent. Varies from site to site and visit to visit. */
  readonly composition: Readonly<Record<string, number>>;
  /** Comes on top, exactly as stated: the effect the investigation is after. */
  readonly added?: Readonly<Record<string, number>>;
  /** Of a water or extract; its charges are made equal. */
  readonly water?: ScenarioWater;
}

/** What makes a liquid a water, or an extract whose pH, alkalinity and conductivity were read. */
export interface ScenarioWater {
  readonly pH: number;
  readonly closing: Closing;
  /** Charge on dissolved polymers, which leave no column as a peak, meq per kg of an extracted solid or per L. @default 0 */
  readonly polyanions?: number;
  /** pH at which its titration ends; all its bases are titrated along, the acid of that pH included. @default only carbonate counts */
  readonly titratedTo?: number;
}

export interface ScenarioStock {
  readonly stock: string;
  readonly ion: string;
  /** Relative standard uncertainty of the certificate. */
  readonly relativeU: number;
}

export interface ScenarioSolution {
  readonly solution: string;
  readonly ions: readonly { readonly ion: string; readonly concentration: number; readonly stock: string }[];
  /** Relative standard uncertainty of making this solution. */
  readonly relativeU: number;
}

/** The words of the worksheet's `kind`. */
export type InjectionKind =
  | "calibration"
  | "blank"
  | "second source"
  | "continuing check"
  | "fortified blank"
  | "sample"
  | "duplicate"
  | "matrix spike";

export interface ScenarioInjection {
  readonly kind: InjectionKind;
  /** Name of a solution or sample; empty for a blank. */
  readonly solution: string;
  /** @default 1 */
  readonly dilution?: number;
  /** Sample that a duplicate or spike belongs to. */
  readonly parent?: string;
  /** Share of the volume that a spike adds. */
  readonly spikedShare?: number;
  readonly remark?: string;
}

export interface ScenarioMethodIon {
  readonly ion: string;
  readonly window: number;
  readonly model: "linear" | "quadratic" | "weak";
  readonly weighting: "1/x^2";
}

/** One channel of the laboratory with its day's work. */
export interface ScenarioChannel {
  readonly folder: string;
  readonly title: string;
  readonly instrument: Instrument;
  /** Ions that may come through the column, those of the method and others. */
  readonly solutes: readonly ColumnSolute[];
  readonly method: readonly ScenarioMethodIon[];
  readonly notMeasured: readonly string[];
  /** Unit of the signal files. */
  readonly signalUnit: "µS/cm" | "nS/cm";
  /** Start of the first injection, ISO 8601, and min from one to the next. */
  readonly startedAt: string;
  readonly cycle: number;
  readonly stocks: readonly ScenarioStock[];
  readonly solutions: readonly ScenarioSolution[];
  readonly worksheet: readonly ScenarioInjection[];
  /** Relative standard uncertainty of a dilution. */
  readonly relativeUDilution: number;
  /** Traces that vials bring into every injection, mg/L. */
  readonly contamination: Readonly<Record<string, { readonly mean: number; readonly deviation: number }>>;
}

/** A whole invented investigation, ready to be simulated. */
export interface Scenario {
  readonly kind: "scenario";
  readonly name: string;
  readonly remark: string;
  readonly samples: readonly ScenarioSample[];
  readonly channels: readonly ScenarioChannel[];
  /** Relative standard deviation of compositions between runs of the story: of a site, and of one visit to it. */
  readonly variation: { readonly site: number; readonly visit: number };
  /** What the investigation should find, by name with the unit in it. */
  readonly answer: Readonly<Record<string, number>>;
}
