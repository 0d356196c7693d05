import { DISPLAY, type DisplayBundle, displayOf } from "../../display.js";
import { IonbookError } from "../../errors.js";
import { requireKnownOptions } from "../../ions/known-options.js";
import type { Concentrations } from "../analysis/water-input.js";
import { balanceDiagnosis } from "./balance-diagnosis.js";
import type { BalanceDiagnosis } from "./diagnosis-types.js";
import { type Exchanged, exchangeHypotheses } from "./exchanges.js";
import { type DiagnosisOptions, KNOWN_OPTIONS, weighWater } from "./weigh-water.js";

/** One water of a batch: its name, its ions in mg/L, and what else was measured. */
export interface BatchWater extends DiagnosisOptions {
  readonly sample: string;
  readonly concentrations: Concentrations;
}

/** The pairing of one channel's vials, or of the bottles' readings, with the smallest Σχ², whatever speaks against it. */
export interface BatchPairing {
  readonly exchanged: Exchanged;
  /** Whose vial each sample would have to hold. */
  readonly places: readonly { readonly sample: string; readonly holds: string }[];
  /** Σχ² as reported and so paired. */
  readonly reported: number;
  readonly paired: number;
}

export interface BatchDiagnosis {
  readonly kind: "batch-diagnosis";
  /** In the order given. */
  readonly waters: readonly BalanceDiagnosis[];
  /** Those in which something does not fit. */
  readonly raised: readonly BalanceDiagnosis[];
  /** A smaller Σχ² alone is no evidence: among many pairings one always fits a little better. */
  readonly pairings: readonly BatchPairing[];
  toString(): string;
  [DISPLAY](): DisplayBundle | Promise<DisplayBundle>;
}

/**
 * `diagnoseBalance` for waters that were analysed together: exchanged vials among the hypotheses.
 *
 * Every water is tried with the cation vial, the anion vial and the bottle readings (pH, alkalinity, conductivity) of every
 * other; an exchange must explain both waters, and pays for the many there are to choose from. Rings of three and more are
 * found by the Hungarian method. O(n²) evaluations.
 *
 * @param waters each with its sample's name, unlike the others
 * @throws IonbookError as `diagnoseBalance`; "no-waters", "duplicate-sample", "bad-option"
 * @source as `diagnoseBalance`; assignment: H.W. Kuhn 1955
 */
export function diagnoseBatch(waters: readonly BatchWater[]): BatchDiagnosis {
  const weighed = checked(waters).map(({ concentrations, ...options }) =>
    weighWater(concentrations, options),
  );
  const { hypotheses, pairings } = exchangeHypotheses(weighed);
  const diagnosed = weighed.map((water, i) => balanceDiagnosis(water, hypotheses[i]));
  const result: BatchDiagnosis = {
    kind: "batch-diagnosis",
    waters: diagnosed,
    raised: diagnosed.filter(({ raised }) => raised),
    pairings: pairings.map(({ order, ...rest }) => ({
      ...rest,
      places: order.map((giver, place) => ({
        sample: weighed[place].sample,
        holds: weighed[giver].sample,
      })),
    })),
    toString: () => describe(result),
    [DISPLAY]: () => displayOf(result),
  };
  return result;
}

const KNOWN_FIELDS: Readonly<Record<keyof BatchWater, true>> = { ...KNOWN_OPTIONS, concentrations: true };

function checked(waters: readonly BatchWater[]): readonly BatchWater[] {
  if (!Array.isArray(waters) || waters.length === 0) {
    throw new IonbookError(
      "no-waters",
      'give a list of waters: diagnoseBatch([{ sample: "well 1", concentrations: { chloride: 31 }, pH: 7.6 }])',
    );
  }
  const seen = new Set<string>();
  for (const water of waters as readonly BatchWater[]) {
    requireKnownOptions(water, KNOWN_FIELDS, "A water of diagnoseBatch");
    const { sample } = water;
    if (typeof sample !== "string" || sample === "") {
      throw new IonbookError("bad-option", "each water of a batch needs the name of its sample");
    }
    if (seen.has(sample)) {
      throw new IonbookError(
        "duplicate-sample",
        `two waters of the batch are called "${sample}": an exchange could not be told`,
      );
    }
    seen.add(sample);
  }
  return waters;
}

function describe({ waters, raised }: BatchDiagnosis): string {
  const count = `${raised.length} of ${waters.length} waters do not fit`;
  return raised.length === 0 ? count : [count, ...raised.map(String)].join("\n\n");
}
