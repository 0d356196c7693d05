import type { DISPLAY, DisplayBundle } from "../display.js";
import type { FigureName } from "../peaks/figures/figure-definitions.js";
import type { Channel } from "./folder-types.js";

/** A figure that can be followed over a batch. */
export type TrendFigure =
  | "retentionTime"
  | "area"
  | "height"
  | "resolution"
  | "signalToNoiseRms"
  | Extract<
      FigureName,
      | "widthAtHalfHeight"
      | "widthAtTenthHeight"
      | "baseWidth"
      | "plateNumber"
      | "plateNumberTangent"
      | "plateNumberFiveSigma"
      | "plateNumberFoleyDorsey"
      | "asymmetry"
      | "tailing"
    >;

/** One injection of a trend. */
export interface TrendPoint {
  /** Place in the run order, from 1, blanks and all counted. */
  readonly run: number;
  readonly injection: string;
  readonly injectedAt: string;
  readonly kind: string;
  readonly solution: string;
  /** Undefined where the record does not show the figure. */
  readonly value: number | undefined;
  readonly reason: string | undefined;
  /** Outside the warning limits. */
  readonly warned: boolean;
}

/** One figure of one ion over the injections of its channel, in run order. */
export interface FigureTrend {
  readonly kind: "figure-trend";
  readonly ion: string;
  readonly channel: Channel;
  readonly figure: TrendFigure;
  readonly name: string;
  readonly unit: string;
  readonly formula: string;
  readonly standard: string;
  readonly points: readonly TrendPoint[];
  /** Of the values shown. */
  readonly median: number | undefined;
  /** Standard deviation of the bulk, 1.4826·MAD. */
  readonly spread: number | undefined;
  /** median ± 3 spreads; undefined with fewer than five values. */
  readonly warning: { readonly low: number; readonly high: number } | undefined;
  /** Median slope over all pairs (Theil–Sen), figure's unit per run. */
  readonly perRun: number | undefined;
  toString(): string;
  [DISPLAY](): DisplayBundle | Promise<DisplayBundle>;
}
