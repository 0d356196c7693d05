/**
 * What a generator knows about a batch it made, in the form the scorer reads. Every generator hands back this
 * and nothing else, so the scorer never learns how the data came about.
 */
export type TruePeakKind = "target" | "unknown" | "system";

/** One peak that is really in one record. */
export interface TruePeak {
  readonly injection: string;
  /** Ion name for a target; any steady code for an unknown or a system peak. */
  readonly name: string;
  readonly kind: TruePeakKind;
  /** Apex of the peak's own contribution, min. */
  readonly retentionTime: number;
  /** ∫(signal with all ions − signal without this one) dt, µS/cm·min. */
  readonly area: number;
  /** Largest value of the peak's own contribution, µS/cm. */
  readonly height: number;
  /** Width of the contribution at half height, min. */
  readonly widthHalf: number;
  /** True when the noise-free record has a maximum of its own here: what nobody can see, nobody must find. */
  readonly visible: boolean;
}

/** What one sample really contains of one ion, in the sample's reporting unit (0 = absent). */
export interface TrueSampleValue {
  readonly sample: string;
  readonly ion: string;
  readonly value: number;
  readonly unit: string;
  /** Reporting unit per mg/L of the prepared liquid (1 for a liquid, V/m for an extract), as the lab book gives it. */
  readonly preparationFactor: number;
  /** Dilutions at which the sample was injected, as the worksheet gives them. */
  readonly dilutions: readonly number[];
}

export interface BatchTruth {
  readonly channel: "anion" | "cation";
  readonly folder: string;
  /** Target ions of the method. */
  readonly ions: readonly string[];
  /** Injections in run order. */
  readonly injections: readonly string[];
  readonly samples: readonly TrueSampleValue[];
  readonly peaks: readonly TruePeak[];
  /** Standard deviation of the record's fast noise (white, flicker, pulsation), µS/cm. */
  readonly noise: number;
}

/** One investigation: the batches that are evaluated together. */
export interface InvestigationTruth {
  readonly generator: string;
  readonly seed: number;
  readonly batches: readonly BatchTruth[];
}

/** Makes an investigation from a seed under a folder that exists, and says what is true of it. */
export type BatchGenerator = (seed: number, folder: string) => InvestigationTruth;
