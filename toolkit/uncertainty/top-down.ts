import { IonbookError } from "../errors.js";

/** What a laboratory knows of its own method, all relative in % or all absolute in one unit. */
export interface TopDownData {
  /** Within-laboratory reproducibility u(Rw): s of a control sample through the whole procedure over months. */
  readonly withinLaboratory: number;
  /** Differences from reference values: certified materials or proficiency rounds. */
  readonly biases: readonly number[];
  /** Standard uncertainty of each reference value; for proficiency rounds s_R/√(number of laboratories). */
  readonly referenceUncertainties: readonly number[];
}

/** In the unit of the data. */
export interface TopDownUncertainty {
  readonly rootMeanSquareBias: number;
  /** Mean standard uncertainty of the reference values. */
  readonly referenceUncertainty: number;
  readonly biasUncertainty: number;
  /** Combined standard uncertainty. */
  readonly u: number;
  /** U = 2·u, about 95 %. */
  readonly expanded: number;
}

/**
 * Uncertainty of a method from its own quality control and its record against reference values:
 *
 *     u(bias) = √(RMS² + ū(ref)²)        u = √(u(Rw)² + u(bias)²)        U = 2·u
 *
 * RMS = √(Σbᵢ²/n) of the biases, ū(ref) mean of the reference uncertainties; all in the unit of the data (% or
 * absolute). At least six rounds make a sound estimate.
 *
 * @throws IonbookError "no-biases" without any bias; "unequal-readings" where the two lists differ in length;
 *   "bad-value" for numbers that are not finite, "bad-uncertainty" for negative uncertainties
 * @source Nordtest TR 537, ed. 3.1, sections 5 and 6 [from memory]
 */
export function topDownUncertainty(data: TopDownData): TopDownUncertainty {
  const { withinLaboratory, biases, referenceUncertainties } = data;
  const n = biases.length;
  if (n === 0) {
    throw new IonbookError(
      "no-biases",
      "Give at least one bias against a reference value (six make it sound)",
    );
  }
  if (referenceUncertainties.length !== n) {
    throw new IonbookError(
      "unequal-readings",
      `${n} biases need ${n} reference uncertainties, not ${referenceUncertainties.length}`,
    );
  }
  if (!biases.every(Number.isFinite))
    throw new IonbookError("bad-value", "Every bias must be a finite number");
  if (![withinLaboratory, ...referenceUncertainties].every((u) => u >= 0 && Number.isFinite(u))) {
    throw new IonbookError("bad-uncertainty", "Every uncertainty must be a finite number, 0 or more");
  }
  const rootMeanSquareBias = Math.sqrt(biases.reduce((sum, b) => sum + b * b, 0) / n);
  const referenceUncertainty = referenceUncertainties.reduce((sum, u) => sum + u / n, 0);
  const biasUncertainty = Math.hypot(rootMeanSquareBias, referenceUncertainty);
  const u = Math.hypot(withinLaboratory, biasUncertainty);
  return { rootMeanSquareBias, referenceUncertainty, biasUncertainty, u, expanded: 2 * u };
}
