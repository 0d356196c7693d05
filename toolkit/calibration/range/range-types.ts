import type { DISPLAY, DisplayBundle } from "../../display.js";
import type { StandardReading } from "../response/types.js";

/** A standard of a range study; figures of its peak, where known, speak about overload. */
export interface RangeReading extends StandardReading {
  /** min */
  readonly retentionTime?: number | undefined;
  /** Tailing or asymmetry factor, the same definition for all. */
  readonly tailing?: number | undefined;
  /** Width at half height, min. */
  readonly widthHalf?: number | undefined;
  /** Whether the level was run on the way up or down the series; both show what is carried over. */
  readonly direction?: "ascending" | "descending" | undefined;
}

export interface RangeCriteria {
  /** Largest deviation of a response factor from the reference, %. @default 5 */
  readonly responseFactorPercent?: number | undefined;
  /** Largest shift of the retention time from that of the middle levels, %. @default 2 */
  readonly retentionShiftPercent?: number | undefined;
  /** Largest change of tailing from that of the middle levels, %; judged above them. @default 20 */
  readonly tailingChangePercent?: number | undefined;
  /** Largest change of the width at half height, %; judged above the middle levels. @default 10 */
  readonly widthChangePercent?: number | undefined;
  /** Curvature, misfit and runs count when they move a level by more than this, %. @default 2 */
  readonly relevantPercent?: number | undefined;
  /** Significance of lack of fit and of runs. @default 0.05 */
  readonly significance?: number | undefined;
  /** Fewest levels of an accepted range. @default 5 */
  readonly minimumLevels?: number | undefined;
  /** Nothing below it belongs to the range; in the unit of the concentrations. */
  readonly quantificationLimit?: number | undefined;
  /** Weights of the line within the range. @default "1/x^2" */
  readonly weighting?: "none" | "1/x" | "1/x^2" | undefined;
  /** Ion by any of its names: slips of a level are named better with it. */
  readonly ion?: string | undefined;
  /** @default "mg/L" */
  readonly unit?: string | undefined;
}

export interface RangeLevel {
  readonly concentration: number;
  readonly readings: number;
  /** (ȳ − b₀)/x */
  readonly responseFactor: number;
  readonly deviationPercent: number;
  /** Relative standard deviation of the responses, %; `undefined` without replicates. */
  readonly scatterPercent: number | undefined;
  /** Against the middle levels, %; `undefined` where not given. */
  readonly retentionShiftPercent: number | undefined;
  readonly tailingChangePercent: number | undefined;
  readonly widthChangePercent: number | undefined;
  readonly accepted: boolean;
  readonly reasons: readonly string[];
}

export interface RangeEvidence {
  readonly test: string;
  readonly statistic: number;
  /** What the statistic must not exceed; for numbers of levels, runs and the low end, what it must reach. */
  readonly critical: number;
  /** `undefined` where the test has no probability. */
  readonly p: number | undefined;
  readonly passed: boolean;
  readonly source: string;
  /** What decided beside the statistic. */
  readonly remark?: string | undefined;
}

/** A part of the protocol that the data do not answer. */
export interface UnansweredTest {
  readonly test: string;
  readonly why: string;
}

export interface LinearRange {
  readonly kind: "linear-range";
  /** Ends of the widest range about the middle levels that passes; NaN where not even these do. */
  readonly low: number;
  readonly high: number;
  readonly accepted: boolean;
  readonly unit: string;
  readonly ion: string | undefined;
  /** One sentence: the range, the verdict, and what stands against it. */
  readonly verdict: string;
  readonly levels: readonly RangeLevel[];
  readonly evidence: readonly RangeEvidence[];
  /** What could not be asked; a range is accepted without it, but nobody has looked. */
  readonly notAsked: readonly UnansweredTest[];
  /** Median response factor of the middle levels, and the response that was taken off. */
  readonly reference: { readonly responseFactor: number; readonly intercept: number };
  /** Every criterion with what it was. */
  readonly criteria: ResolvedCriteria;
  toString(): string;
  [DISPLAY](): DisplayBundle | Promise<DisplayBundle>;
}

export interface ResolvedCriteria {
  readonly responseFactorPercent: number;
  readonly retentionShiftPercent: number;
  readonly tailingChangePercent: number;
  readonly widthChangePercent: number;
  readonly relevantPercent: number;
  readonly significance: number;
  readonly minimumLevels: number;
  readonly quantificationLimit: number | undefined;
  readonly weighting: "none" | "1/x" | "1/x^2";
  readonly ion: string | undefined;
  readonly unit: string;
}
