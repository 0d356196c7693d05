import { IonbookError, isIonbookError } from "../../errors.js";
import { ion } from "../../ions/ion-table.js";
import type { Results, Sample } from "../types.js";
import { namesMeant, quotedList, requireName, suggestion } from "./find-name.js";

/** The rows of samples.csv that belong to these results, each name once. */
export function sampleRows(results: Results): ReadonlyMap<string, Sample> {
  const rows = new Map<string, Sample>();
  for (const batch of results.batches) {
    for (const row of batch.samples) if (!rows.has(row.sample)) rows.set(row.sample, row);
  }
  return rows;
}

/** Where a sample was taken: the column `site` of samples.csv, else what stands before the parenthesis in its name. */
export function placeOf(sample: string, row: Sample | undefined): string {
  const site = row?.other.site?.trim();
  if (site) return site;
  const at = sample.indexOf(" (");
  return at > 0 ? sample.slice(0, at) : sample;
}

/** The samples of every place, in the order of the results. */
export function placesOf(results: Results): ReadonlyMap<string, readonly string[]> {
  const rows = sampleRows(results);
  const places = new Map<string, string[]>();
  for (const sample of new Set(results.samples.map((row) => row.sample))) {
    const place = placeOf(sample, rows.get(sample));
    places.set(place, [...(places.get(place) ?? []), sample]);
  }
  return places;
}

/**
 * The one sample of a name: its own, or that of a place visited once.
 *
 * @param wanted name as the caller wrote it
 * @param ionName for the advice where a place has several samples
 * @throws IonbookError "not-a-name", "several-samples", "unknown-sample"
 */
export function findSample(results: Results, wanted: string, ionName?: unknown): string {
  requireName(wanted, "A sample", `"${results.samples[0]?.sample ?? "well 3"}"`);
  const names = [...new Set(results.samples.map((row) => row.sample))];
  const direct = namesMeant(wanted, names);
  if (direct.length === 1) return direct[0];
  if (direct.length > 1) {
    throw new IonbookError(
      "several-samples",
      `"${wanted}" can mean ${quotedList(direct, "or")}: write one of them as it stands`,
    );
  }
  const places = placesOf(results);
  const [place] = namesMeant(wanted, [...places.keys()]);
  const visits = place === undefined ? [] : (places.get(place) ?? []);
  if (visits.length === 1) return visits[0];
  if (place !== undefined) throw severalVisits(place, visits, ionName);
  throw new IonbookError(
    "unknown-sample",
    `No sample is called "${wanted}". ${advice(wanted, names, places)}`,
  );
}

/**
 * The samples of a place, and how it is written.
 *
 * @throws IonbookError "not-a-name", "unknown-place"
 */
export function findPlace(
  results: Results,
  wanted: string,
): { readonly place: string; readonly samples: readonly string[] } {
  const places = placesOf(results);
  const names = [...places.keys()];
  requireName(wanted, "A place", `"${names[0] ?? "well 3"}"`);
  const [place] = namesMeant(wanted, names);
  if (place !== undefined) return { place, samples: places.get(place) ?? [] };
  const [sample] = namesMeant(
    wanted,
    results.samples.map((row) => row.sample),
  );
  if (sample !== undefined) {
    const own = names.find((name) => places.get(name)?.includes(sample)) ?? "";
    throw new IonbookError(
      "unknown-place",
      `"${sample}" is one sample; a series follows a place: give "${own}", or take result("${sample}", …)`,
    );
  }
  throw new IonbookError("unknown-place", `No place is called "${wanted}". ${advice(wanted, names, places)}`);
}

function severalVisits(place: string, visits: readonly string[], ionName: unknown): IonbookError {
  const ionText = typeof ionName === "string" ? ionName : "chloride";
  return new IonbookError(
    "several-samples",
    `"${place}" is the name of ${visits.length} samples, one a visit: ${quotedList(visits, "and")}. Give one of them, or take series("${place}", "${ionText}").`,
  );
}

function advice(
  wanted: string,
  names: readonly string[],
  places: ReadonlyMap<string, readonly string[]>,
): string {
  if (isIonName(wanted)) return "It names an ion: the sample comes first, then the ion.";
  return suggestion(wanted, [...new Set([...places.keys(), ...names])]);
}

function isIonName(wanted: string): boolean {
  try {
    ion(wanted);
    return true;
  } catch (error) {
    if (isIonbookError(error)) return false;
    throw error;
  }
}
