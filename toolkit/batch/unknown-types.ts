import type { DISPLAY, DisplayBundle } from "../display.js";
import type { ChargeFromStrengths } from "../separation/charge-from-strengths.js";
import type { MeasuredValue } from "../uncertainty/measured.js";
import type { Channel } from "./folder-types.js";

/** An ion that an unidentified peak may be, by where it usually elutes: a guess to be tested, never a name. */
export interface UnknownCandidate {
  readonly ion: string;
  /** Charge number with its sign. */
  readonly charge: number;
  /** What would tell it from the others. */
  readonly confirmBy: string;
}

/** Where an unidentified peak stands among the named ones, and what usually elutes there. */
export interface UnknownPlace {
  /** The named ion before it; undefined at the beginning of the run. */
  readonly after: string | undefined;
  /** The named ion behind it; undefined at the end. */
  readonly before: string | undefined;
  readonly candidates: readonly UnknownCandidate[];
  /** Where the order comes from and what it does not know, or why there is no candidate. */
  readonly note: string;
}

/** What a batch tells of an unidentified peak beside its sights. */
export interface UnknownAbout {
  /** Injections and samples that show it. */
  readonly injections: number;
  readonly samples: number;
  /** Width at half height, min, median; undefined where no sight is high enough. */
  readonly widthHalf: number | undefined;
  /** Blanks that show it. Half of them or more: the blanks' own, or carried over. */
  readonly blanks: { readonly seen: number; readonly of: number };
  /** When it was injected first and last, as worksheet.csv writes it. */
  readonly firstSeen: string;
  readonly lastSeen: string;
  /** Where there is most of it, µeq/L of dissociated charge in the sample (dilution taken into account). */
  readonly largest:
    | {
        readonly sample: string;
        readonly microequivalents: MeasuredValue;
        readonly upper: MeasuredValue | undefined;
      }
    | undefined;
  /** Other unidentified peaks in the same samples, most often first. */
  readonly seenWith: readonly { readonly name: string; readonly samples: number }[];
  readonly place: UnknownPlace;
}

/** Four tests of a spiked sample against the same sample without the spike. */
export interface SpikeConfirmation {
  readonly kind: "spike-confirmation";
  readonly ion: string;
  readonly tests: readonly {
    readonly test: "retention" | "width" | "shoulder" | "recovery";
    readonly found: string;
    readonly limit: string;
    readonly passed: boolean;
  }[];
  readonly passed: boolean;
  toString(): string;
  [DISPLAY](): DisplayBundle | Promise<DisplayBundle>;
}

/** What speaks for a name. */
export type UnknownEvidence =
  | SpikeConfirmation
  | ChargeFromStrengths
  /** Another method's word: "mass spectrometry, m/z 95, 12 May". */
  | { readonly kind: "other method"; readonly what: string };

/** A name given to an unidentified peak: it re-labels what was found before by reference, and overwrites nothing. */
export interface UnknownNaming {
  readonly unknown: string;
  readonly ion: string;
  /** ISO date. */
  readonly on: string;
  readonly evidence: readonly UnknownEvidence[];
}

/** One unidentified peak followed over several batches. */
export interface RegisteredUnknown {
  /** "unknown-1", … by first appearance over all batches; never given again. */
  readonly name: string;
  readonly channel: Channel;
  /** Median over the batches, aligned by the named ions of the first batch that shows it, min. */
  readonly retentionTime: number;
  readonly widthHalf: number | undefined;
  /** Its name in each batch that shows it. */
  readonly batches: readonly {
    readonly batch: string;
    readonly name: string;
    readonly retentionTime: number;
  }[];
  readonly injections: number;
  readonly samples: number;
  readonly blanks: { readonly seen: number; readonly of: number };
  readonly firstSeen: string;
  readonly lastSeen: string;
  readonly largest: UnknownAbout["largest"];
  readonly seenWith: UnknownAbout["seenWith"];
  readonly place: UnknownPlace;
  /** The latest name given to it; undefined while it has none. */
  readonly knownAs: UnknownNaming | undefined;
}

/** A peak that half of the blanks or more show: the system's own. */
export interface BlankPeak {
  readonly name: string;
  readonly batch: string;
  readonly channel: Channel;
  /** min */
  readonly retentionTime: number;
  readonly seen: number;
  readonly of: number;
}

/** The unidentified peaks of one or several batches under one set of names. */
export interface UnknownRegister {
  readonly kind: "unknown-register";
  readonly unknowns: readonly RegisteredUnknown[];
  readonly ofBlanks: readonly BlankPeak[];
  readonly namings: readonly UnknownNaming[];
  /**
   * The register with a name given to one of its peaks, as a dated event; the register asked stays as it is.
   *
   * @throws IonbookError "unknown-peak", "unknown-ion", "no-evidence" without a spike that passed or another method's
   *   word, "contradicting-evidence" where a test failed or the charge is another, "bad-date"
   */
  name(naming: UnknownNaming): UnknownRegister;
  toString(): string;
  [DISPLAY](): DisplayBundle | Promise<DisplayBundle>;
}
