import type { StandardReading } from "../calibration/response/types.js";
import type { BlankWatch } from "./blank-watch-types.js";
import type { CountingData } from "./counting-limits.js";
import type { Shown } from "./shown.js";

/** Every definition the ladder knows, by the name that chooses it. */
export type LimitDefinition =
  | "signal-to-noise"
  | "signal-to-noise-everyday"
  | "blank-3s"
  | "blank-3s-net"
  | "currie"
  | "currie-exact"
  | "currie-paired"
  | "currie-paired-exact"
  | "currie-quantification"
  | "method-detection-limit"
  | "minimum-level-3.18"
  | "minimum-level-3"
  | "eurachem"
  | "ich-residual"
  | "ich-intercept"
  | "iso-11843-2"
  | "hubaux-vos"
  | "din-32645"
  | "clinical"
  | "functional-sensitivity"
  | "reporting-level-confirmation"
  | "counting"
  | "given";

export type LimitRole = "critical value" | "detection limit" | "quantification limit" | "reporting limit";

/** A blank fortified near the limit and carried through the whole procedure. */
export interface LowSpike {
  /** What was added, in the ladder's unit. */
  readonly level: number;
  /** What was found. */
  readonly value: number;
  /** ISO date of the preparation. */
  readonly date?: string | undefined;
  readonly batch?: string | undefined;
}

/** A peak and the noise beside it, for limits by signal to noise. */
export interface PeakAndNoise {
  /** Content that gave the peak. */
  readonly concentration: number;
  /** Peak height, µS/cm (any unit, that of the noise). */
  readonly height: number;
  /** Lowest to highest of the blank's trace, drift taken off. */
  readonly peakToPeak: number;
  /** Length of that trace in widths of the peak at half height. */
  readonly widths?: number | undefined;
}

/** Limits that a contract or an authority states. */
export interface GivenLimits {
  /** @default the detection limit */
  readonly criticalValue?: number | undefined;
  readonly detectionLimit: number;
  /** @default the rule of the ladder */
  readonly quantificationLimit?: number | undefined;
  /** Where they come from, in words. */
  readonly source: string;
}

/** What limits can be computed from; everything that is missing makes some rungs say what they lack. */
export interface LadderData {
  /** @default "mg/L" */
  readonly unit?: string | undefined;
  readonly ion?: string | undefined;
  /** Results of blanks through the whole procedure; null where a blank gave no number. */
  readonly blanks?: readonly (number | null)[] | undefined;
  /** Blanks measured since, in their order: held against the limits in force, into which they do not go. */
  readonly newBlanks?: readonly (number | null)[] | undefined;
  /** Places of the new blanks in their sequence; without new ones, those of `blanks`, whose trend is then watched. */
  readonly blankPlaces?: readonly number[] | undefined;
  /** Low standards measured since; those of the level that the limits rest on are held against them. */
  readonly newSpikes?: readonly LowSpike[] | undefined;
  /** The instrument turns negative readings into zero: the blanks' spread is too small then. @default false */
  readonly leftClipped?: boolean | undefined;
  readonly spikes?: readonly LowSpike[] | undefined;
  /** Standards near zero; a straight unweighted line is laid through them. */
  readonly calibration?: readonly StandardReading[] | undefined;
  readonly noise?: PeakAndNoise | undefined;
  /** Replicates at a reporting level to be confirmed. @default all spikes of the level used */
  readonly confirmation?: { readonly level: number; readonly found: readonly number[] } | undefined;
  readonly counting?: CountingData | undefined;
  readonly given?: GivenLimits | undefined;
  /** Lowest calibration level, below which nothing is quantified. @default that of `calibration` */
  readonly lowestLevel?: number | undefined;
}

export interface LadderOptions {
  /** Probability of a false positive. @default 0.05 */
  readonly alpha?: number | undefined;
  /** Probability of missing the detection limit. @default 0.05 */
  readonly beta?: number | undefined;
  /** Readings averaged for a sample. @default 1 */
  readonly replicates?: number | undefined;
  /** Results have the blanks' mean subtracted; else the limits count from that mean. @default true */
  readonly blankCorrected?: boolean | undefined;
  /** The definition by which results are judged. @default "currie" from four blanks on, else "iso-11843-2" */
  readonly inForce?: LimitDefinition | undefined;
  /** Probability that new blanks warn while nothing has changed. @default 0.01 */
  readonly alarm?: number | undefined;
}

/** 95 % interval of a limit, from how well the standard deviation behind it is known (χ²). */
export interface LimitInterval {
  readonly low: number;
  readonly high: number;
  readonly level: number;
}

/** One number of a definition. */
export interface LadderLimit {
  readonly role: LimitRole;
  readonly value: number;
  readonly unit: string;
  /** `undefined` where the definition rests on no single standard deviation. */
  readonly interval: LimitInterval | undefined;
}

/** One definition: its numbers, or what it lacks. */
export interface LimitRung {
  readonly id: LimitDefinition;
  readonly name: string;
  readonly standard: string;
  readonly formula: string;
  /** What the definition rests on; "noise" and "calibration" see the instrument alone. */
  readonly from: "noise" | "blanks" | "spikes" | "calibration" | "blanks and spikes" | "counts" | "statement";
  /** What the definition asks of the data. */
  readonly needs: string;
  readonly requirement: "met" | "doubtful" | "not met";
  /** Why it cannot be computed, or what speaks against it; empty where the requirement is met. */
  readonly reasons: readonly string[];
  readonly limits: readonly LadderLimit[];
  readonly criticalValue: number | undefined;
  readonly detectionLimit: number | undefined;
  readonly quantificationLimit: number | undefined;
  /** The number the definition is known for: its detection limit, else its only one. */
  readonly value: number | undefined;
  readonly unit: string;
  readonly interval: LimitInterval | undefined;
  readonly dof: number | undefined;
  /** What a reader should know of the number. */
  readonly remark: string | undefined;
  readonly inForce: boolean;
}

/** What results are judged by. */
export interface ChosenLimits {
  readonly definition: LimitDefinition;
  readonly name: string;
  readonly criticalValue: number;
  readonly detectionLimit: number;
  readonly quantificationLimit: number;
  readonly unit: string;
  /** Why this definition, and where each of the three comes from. */
  readonly why: string;
}

/** Spread of a result without the ion, as the blanks show it. */
export interface BlankSpread {
  readonly mean: number;
  /** s₀ of one blank. */
  readonly standardDeviation: number;
  readonly dof: number;
  readonly blanks: number;
  /** Standard deviation of the difference that is judged: s₀·√(1/m + 1/n₀). */
  readonly ofDifference: number;
  /** θ: relative standard deviation far above the blank; `undefined` without spikes. */
  readonly relative: number | undefined;
}

/** All definitions for one ion side by side. */
export interface LimitLadder extends Shown {
  readonly kind: "limit-ladder";
  readonly ion: string | undefined;
  readonly unit: string;
  readonly rungs: readonly LimitRung[];
  /** `undefined` where nothing could be computed. */
  readonly inForce: ChosenLimits | undefined;
  readonly alpha: number;
  readonly beta: number;
  readonly spread: BlankSpread | undefined;
  /** Blanks that gave a number, of those the limits rest on. */
  readonly blanks: readonly number[];
  /** New blanks held against the limits in force; `undefined` without any, or where none is in force. */
  readonly watch: BlankWatch | undefined;
  /** Highest over lowest number called a detection limit. */
  readonly span: number | undefined;
  /**
   * One rung by its name.
   * @throws IonbookError "unknown-limit" with the nearest names
   */
  rung(id: string): LimitRung;
}
