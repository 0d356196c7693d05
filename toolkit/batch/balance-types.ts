import type { DISPLAY, DisplayBundle } from "../display.js";
import type { MeasuredValue } from "../uncertainty/measured.js";
import type { CoverageNote } from "../water/balance/balance-coverage.js";
import type { CriterionResult } from "../water/balance/balance-criteria.js";
import type { BalanceConvention } from "../water/balance/conventions.js";
import type { DifferenceWithUnknowns } from "../water/balance/unknown-charge.js";
import type { Channel } from "./folder-types.js";
import type { UnknownAbout } from "./unknown-types.js";

/** One row of balance.csv. */
export interface SampleBalance {
  readonly kind: "sample-balance";
  readonly sample: string;
  readonly cations: MeasuredValue;
  readonly anions: MeasuredValue;
  readonly percentDifference: MeasuredValue;
  /** Charge of the unidentified anions, meq/L, not contained in `anions`. */
  readonly unknownAnions: MeasuredValue | undefined;
  /** The most that charge can be, were they acids of pKa 6, meq/L: `unknownAnions` counts what is dissociated. */
  readonly unknownAnionsUpper?: MeasuredValue | undefined;
  readonly passed: boolean;
  readonly suspects: readonly string[];
  /** What the bars are made of, meq/L, largest first; `bound` marks a value below its critical limit. */
  readonly parts: readonly {
    readonly ion: string;
    readonly side: "cation" | "anion";
    readonly milliequivalents: MeasuredValue;
    readonly bound: boolean;
  }[];
  readonly criteria: readonly (Pick<CriterionResult, "source" | "limit" | "passed"> &
    Partial<CriterionResult>)[];
  /** The same difference in the conventions (a) to (e). */
  readonly conventions?: readonly BalanceConvention[];
  /** The difference with the unidentified anions counted between their bounds. */
  readonly withUnknowns?: DifferenceWithUnknowns | undefined;
  /** What rules on the contents of a balance say of this one. */
  readonly coverage?: readonly CoverageNote[];
  /** How it was counted: see `ChargeBalance.flags`. */
  readonly flags?: readonly string[];
}

/** One unidentified peak followed over the batch. */
export interface UnknownPeak {
  readonly name: string;
  readonly channel: Channel;
  /** Median apex after drift correction, min. */
  readonly retentionTime: number;
  /** How often, since when, how much, beside what, and what it may be. */
  readonly about?: UnknownAbout;
  readonly seenIn: readonly {
    readonly injection: string;
    readonly sample: string | undefined;
    /** µS/cm·min */
    readonly area: MeasuredValue;
    /** µeq/L in the injected solution, by conductivity alone; undefined where no strong ion is calibrated. */
    readonly microequivalents: MeasuredValue | undefined;
    /** µeq/L, were it an acid of pKa 6: `microequivalents` counts what is dissociated; undefined where that is not known. */
    readonly upper?: MeasuredValue | undefined;
  }[];
}

/** The unidentified peaks of an investigation: an array that shows itself as a table. */
export interface UnknownPeaks extends ReadonlyArray<UnknownPeak> {
  readonly kind: "unknowns";
  toString(): string;
  [DISPLAY](): DisplayBundle | Promise<DisplayBundle>;
}
