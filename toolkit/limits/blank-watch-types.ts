import type { JudgedTest } from "../calibration/tests-of-fit/judged-test.js";
import type { Shown } from "./shown.js";

/** What new blanks can contradict, by the name of its test. */
export type BlankTestName =
  | "scatter"
  | "level"
  | "share above"
  | "trend"
  | "running mean"
  | "scatter of low standards"
  | "level of low standards";

/** One test of new blanks against those that the limits rest on. */
export interface BlankTest extends JudgedTest {
  readonly name: BlankTestName;
}

/** A test that was not made, and why. */
export interface OmittedBlankTest {
  readonly name: BlankTestName;
  readonly because: string;
}

/** A contradiction by its own name, for whoever looks for one kind alone. */
export interface BlankWarning {
  readonly name:
    | "blanks-scatter-more"
    | "blanks-level-shifted"
    | "blanks-above-critical-value"
    | "blanks-drift"
    | "blanks-contaminated"
    | "low-standards-scatter-more"
    | "low-standards-level-shifted";
  /** A sentence with its numbers. */
  readonly text: string;
}

/** Blanks above the critical value. */
export interface ShareAbove {
  readonly above: number;
  readonly of: number;
  /** Exact 95 % interval of the true share (Clopper and Pearson). */
  readonly low: number;
  readonly high: number;
  /** The false-positive rate that the limits promise. */
  readonly allowed: number;
}

/** One new blank. */
export interface WatchedBlank {
  /** Place in the sequence. */
  readonly at: number;
  readonly value: number;
  readonly above: boolean;
}

export interface BlankWatchData {
  /** @default "mg/L" */
  readonly unit?: string | undefined;
  readonly ion?: string | undefined;
  /** New blanks in the order in which they were measured; null where one gave no number. */
  readonly blanks: readonly (number | null)[];
  /** Place of each new blank in the sequence. @default 1, 2, 3 … */
  readonly at?: readonly number[] | undefined;
  /** Blanks that the limits rest on; none where the limits are stated or rest on something else. */
  readonly earlier?: readonly number[] | undefined;
  /** The limits rest on the new blanks themselves: then only their trend can contradict them. @default false */
  readonly own?: boolean | undefined;
  /** In force, counted from zero as the blanks are. @default Currie's of the earlier blanks: x̄₀ + t(1 − α, ν)·s₀·√(1 + 1/n₀) */
  readonly criticalValue?: number | undefined;
  /** Which definition that is, in words. */
  readonly definition?: string | undefined;
  /** Low standards (fortified blanks) of one level: those that the limits rest on, and the new ones. */
  readonly lowStandards?:
    | { readonly earlier: readonly number[]; readonly later: readonly number[] }
    | undefined;
}

export interface BlankWatchOptions {
  /** False-positive rate that the limits in force promise. @default 0.05 */
  readonly alpha?: number | undefined;
  /** Probability of any warning while nothing has changed; shared in equal parts by the tests. @default 0.01 */
  readonly alarm?: number | undefined;
}

/** New blanks held against the limits in force. */
export interface BlankWatch extends Shown {
  readonly kind: "blank-watch";
  readonly ion: string | undefined;
  readonly unit: string;
  readonly definition: string;
  readonly criticalValue: number;
  readonly earlier: readonly number[];
  readonly blanks: readonly WatchedBlank[];
  /** New blanks that gave no number. */
  readonly withoutNumber: number;
  readonly share: ShareAbove | undefined;
  readonly tests: readonly BlankTest[];
  readonly omitted: readonly OmittedBlankTest[];
  readonly alarm: number;
  /** At least one test failed. */
  readonly contradicted: boolean;
  readonly warnings: readonly BlankWarning[];
}
