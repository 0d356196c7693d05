import { makeSeries, type Series } from "../../compare/series.js";
import { IonbookError } from "../../errors.js";
import type { Results } from "../types.js";
import { findIon } from "./find-ion.js";
import { findPlace, sampleRows } from "./find-sample.js";

/**
 * One ion at one place over all visits, in order of collection.
 *
 * @throws IonbookError "unknown-place", "unknown-ion", "not-measured", "unit-mismatch"
 */
export function seriesOf(results: Results, wanted: string, ionWanted: string): Series {
  const { place, samples } = findPlace(results, wanted);
  const ion = findIon(results, ionWanted);
  const rows = sampleRows(results);
  const found = samples.flatMap((sample) =>
    results.samples.filter((row) => row.sample === sample && row.ion === ion),
  );
  const units = [...new Set(found.map((row) => row.unit))];
  if (units.length > 1) {
    throw new IonbookError(
      "unit-mismatch",
      `${ion} at "${place}" is in ${units.join(" and in ")}: one series needs one unit. Name solids and waters of a place differently in the column site of samples.csv`,
    );
  }
  return makeSeries({
    place,
    ion,
    unit: units[0] ?? "mg/L",
    visits: found.map((row) => ({
      sample: row.sample,
      collectedAt: rows.get(row.sample)?.collectedAt,
      period: rows.get(row.sample)?.other.period?.trim() || undefined,
      value: row.value,
      status: row.status,
      detectionLimit: row.detectionLimit,
    })),
  });
}
