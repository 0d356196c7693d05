import type { DISPLAY, DisplayBundle } from "../display.js";
import type { CoverageInterval, MeasuredValue } from "../uncertainty/measured.js";
import type { EquivalenceTest } from "./equivalence.js";
import type { PermutationTest } from "./permutation.js";
import type { Period, VisitDay } from "./visit-days.js";

/**
 * How the visits were planned:
 * - "before-after-control": two places on the same days, before and after a change at one of them
 * - "before-after": one place before and after a change
 * - "paired": two places on the same days
 * - "independent": two places, each on its own days
 */
export type SeriesDesign = "before-after-control" | "before-after" | "paired" | "independent";

/** "… shown" is never "the same": the smallest difference says what could have been missed. */
export type SeriesVerdict = "rose" | "fell" | "no change shown" | "higher" | "lower" | "no difference shown";

/** The mean of a place over the visits of a period, or over all of them. */
export interface PlaceLevel {
  readonly period: Period | undefined;
  readonly visits: number;
  /** With the scatter between visits in its uncertainty. */
  readonly mean: MeasuredValue;
}

/** One of the places compared. */
export interface ComparedPlace {
  readonly place: string;
  /** The visits that were used. */
  readonly days: readonly VisitDay[];
  readonly levels: readonly PlaceLevel[];
  /** After minus before at this place alone; undefined for designs without a change. */
  readonly change: MeasuredValue | undefined;
}

/** Two series, or two parts of one, compared. */
export interface SeriesComparison {
  readonly kind: "series-comparison";
  readonly design: SeriesDesign;
  readonly ion: string;
  readonly unit: string;
  /** The treated place first, then the control. */
  readonly places: readonly ComparedPlace[];
  /** First moment that counts as "after"; undefined where the visits themselves say before or after. */
  readonly change: string | undefined;
  /** What the comparison is about: the change, the change beyond that of the control, or the difference. */
  readonly effect: MeasuredValue;
  /** Coverage interval of the effect at `level`. */
  readonly interval: CoverageInterval;
  /**
   * The effect in % of the treated place's level before (of the control's level for designs without a change), that
   * level taken as known; undefined where the level is not shown to be above zero.
   */
  readonly percent: MeasuredValue | undefined;
  readonly verdict: SeriesVerdict;
  /** effect/u(effect) */
  readonly t: number;
  /** Effective degrees of freedom, not rounded. */
  readonly dof: number;
  /** Two-sided, from Student's t at the degrees of freedom cut to a whole number, as the interval. */
  readonly p: number;
  /** The same question without any distribution; undefined where there is no scatter or too many regroupings. */
  readonly permutation: PermutationTest | undefined;
  /** Smallest true effect that such a study finds with probability `power`, in `unit`. */
  readonly smallestDifference: number;
  readonly equivalence: EquivalenceTest | undefined;
  /** Number of values in each group: [before, after], [pairs] or [treated, control]. */
  readonly counts: readonly number[];
  readonly level: number;
  readonly power: number;
  /** What a reader must know of the data behind it. */
  readonly notes: readonly string[];
  toString(): string;
  [DISPLAY](): DisplayBundle | Promise<DisplayBundle>;
}

export type ComparisonFigures = Omit<SeriesComparison, "kind" | "toString" | typeof DISPLAY>;
