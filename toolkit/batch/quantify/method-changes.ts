import { IonbookError } from "../../errors.js";
import { requireKnownOptions } from "../../ions/known-options.js";
import { MODELS, WEIGHTINGS } from "../model-names.js";
import type { Batch, MethodIon } from "../types.js";
import { ionOfMethod } from "./ion-of-method.js";

/** How one ion is calibrated in this evaluation, where it differs from batch.json. */
export type CalibrationChange = Partial<Pick<MethodIon, "model" | "weighting" | "range">>;

const KNOWN = { model: true, weighting: true, range: true } as const;

/**
 * The batches with the calibration of the named ions changed; an ion by any of its names, on whichever channel has it.
 *
 * @throws IonbookError `unknown-ion`, `not-calibrated` where no batch has the ion, `unknown-option`, `bad-option`
 */
export function withChanges(
  batches: readonly Batch[],
  changes: Readonly<Record<string, CalibrationChange>>,
): readonly Batch[] {
  if (typeof changes !== "object" || changes === null || Array.isArray(changes)) {
    throw new IonbookError(
      "bad-option",
      `quantify: calibration is ${String(changes)}: name ions, as in { chloride: { range: [0.1, 50] } }`,
    );
  }
  const wanted = new Map<string, CalibrationChange>();
  for (const [given, change] of Object.entries(changes)) {
    const name = ionOfMethod(batches, given, "its calibration cannot be changed");
    check(name, change);
    wanted.set(name, change);
  }
  if (wanted.size === 0) return batches;
  return batches.map((batch) => ({
    ...batch,
    method: {
      ...batch.method,
      ions: batch.method.ions.map((own) => ({ ...own, ...wanted.get(own.ion) })),
    },
  }));
}

function check(name: string, change: CalibrationChange): void {
  requireKnownOptions(change, KNOWN, `quantify, calibration of ${name},`);
  const { model, weighting, range } = change;
  const bad = (what: string): never => {
    throw new IonbookError("bad-option", `quantify, calibration of ${name}: ${what}`);
  };
  if (model !== undefined && !MODELS.includes(model)) bad(`model "${model}": choose ${MODELS.join(", ")}`);
  if (weighting !== undefined && !WEIGHTINGS.includes(weighting)) {
    bad(`weighting "${weighting}": choose ${WEIGHTINGS.join(", ")}`);
  }
  if (range === undefined) return;
  const [low, high] = Array.isArray(range) ? range : [Number.NaN, Number.NaN];
  if (!(low >= 0 && high > low && Number.isFinite(high))) {
    bad(
      `range ${JSON.stringify(range)}: give the lowest and the highest level in mg/L as injected, [0.1, 50]`,
    );
  }
}
