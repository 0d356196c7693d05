import { IonbookError } from "../../errors.js";
import { ion } from "../../ions/ion-table.js";
import type { Batch } from "../types.js";

/**
 * Name of an ion that some batch has in its method.
 *
 * @param given any of the ion's names
 * @param what of it the options ask, for the message: "it has no limits"
 * @throws IonbookError "unknown-ion", "not-calibrated"
 */
export function ionOfMethod(batches: readonly Batch[], given: string, what: string): string {
  const { name } = ion(given);
  const known = batches.flatMap((batch) => batch.method.ions.map((own) => own.ion));
  if (known.includes(name)) return name;
  throw new IonbookError(
    "not-calibrated",
    `quantify: ${name} is not in the method, so ${what}; the method has ${known.join(", ")}`,
  );
}
