import { IonbookError, isIonbookError } from "../../errors.js";
import { ion } from "../../ions/ion-table.js";
import type { Results } from "../types.js";
import { namesMeant, quotedList, requireName, suggestion } from "./find-name.js";
import { placesOf } from "./find-sample.js";

/**
 * The key of an ion of these results, by any of its names or its formula: "Cl-" gives "chloride".
 *
 * @throws IonbookError "not-a-name", "unknown-ion", "not-measured"
 */
export function findIon(results: Results, wanted: string): string {
  requireName(wanted, "An ion", '"chloride" or "Cl-"');
  const names = [...new Set(results.samples.map((row) => row.ion))];
  const [direct] = namesMeant(wanted, names);
  if (direct !== undefined) return direct;
  refuseOtherThings(results, wanted);
  const name = ionOrNothing(wanted);
  if (name !== undefined && names.includes(name)) return name;
  if (name !== undefined) {
    throw new IonbookError(
      "not-measured",
      `${name} belongs to neither method: these results hold ${quotedList(names, "and", 20)}`,
    );
  }
  throw new IonbookError(
    "unknown-ion",
    `No ion is called "${wanted}". ${suggestion(wanted, names, "These results hold")}`,
  );
}

function refuseOtherThings(results: Results, wanted: string): void {
  const [unnamed] = namesMeant(
    wanted,
    results.unknowns.map((each) => each.name),
  );
  if (unnamed !== undefined) {
    throw new IonbookError(
      "unknown-ion",
      `"${unnamed}" is a peak without a name and has no concentration: look at .unknowns`,
    );
  }
  const samples = [...new Set(results.samples.map((row) => row.sample))];
  const [sample] = namesMeant(wanted, [...samples, ...placesOf(results).keys()]);
  if (sample !== undefined) {
    throw new IonbookError(
      "unknown-ion",
      `"${sample}" names a sample where an ion is asked for: the sample comes first, then the ion`,
    );
  }
}

function ionOrNothing(wanted: string): string | undefined {
  try {
    return ion(wanted).name;
  } catch (error) {
    if (isIonbookError(error)) return undefined;
    throw error;
  }
}
