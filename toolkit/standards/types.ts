import type { DISPLAY, DisplayBundle } from "../display.js";
import type { MeasuredValue } from "../uncertainty/measured.js";
import type { Caution } from "./cautions.js";
import type { PreparedSolution } from "./dilution.js";
import type { StockContent } from "./stock.js";

/** A standard as `calibrate` takes it, but for its response. */
export interface PlannedStandard {
  /** mg/L */
  readonly concentration: number;
  readonly u: number;
  /** With the degrees of freedom of each, Infinity where it is taken as known. */
  readonly sources: readonly {
    readonly source: string;
    readonly contribution: number;
    readonly dof: number;
  }[];
  readonly label: string;
}

/** Covariances of the levels' contents, in (mg/L)². */
export interface StandardsCovariance {
  readonly rows: readonly { readonly solution: string; readonly ion: string }[];
  readonly matrix: readonly (readonly number[])[];
}

/** Stocks, dilutions and the levels that come of them. */
export interface StandardsPreparation {
  readonly kind: "standards-preparation";
  readonly title: string;
  readonly stocks: readonly StockContent[];
  readonly solutions: readonly PreparedSolution[];
  /** Solutions that no other is made from, in their order. */
  readonly levels: readonly PreparedSolution[];
  /** The ions that are counted on, by name. */
  readonly ions: readonly string[];
  /** With acids, oxidisers, poisons, precipitates, and what else to mind. */
  readonly cautions: readonly Caution[];
  /** ± °C about 20 °C. */
  readonly temperatureHalfWidth: number;
  /**
   * Content of a stock or solution, mg/L.
   * @throws IonbookError "unknown-solution", "unknown-ion", "ion-not-there"
   */
  concentration(solution: string, ion: string): MeasuredValue;
  /** The levels of one ion, ready for `calibrate` once each has its response. */
  standards(ion: string): readonly PlannedStandard[];
  /** Between all levels of the ions given; default all that are counted on. */
  covariance(ions?: readonly string[]): StandardsCovariance;
  toString(): string;
  [DISPLAY](): DisplayBundle | Promise<DisplayBundle>;
}

/** What a preparation is made of. */
export type PreparationParts = Pick<
  StandardsPreparation,
  "title" | "stocks" | "solutions" | "levels" | "ions" | "cautions" | "temperatureHalfWidth"
>;
