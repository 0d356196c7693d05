import { convert, isPerLiter } from "../../ions/units.js";
import type { BoundableValue } from "../../water/diagrams/named-water.js";
import { fieldMeasurements } from "../quantify/field-measurements.js";
import type { SampleWater } from "../sample-water.js";
import type { Results, Sample, SampleResult } from "../types.js";

/**
 * The samples that are waters, all of whose results are per litre, as the diagrams take them: values in mg/L with their sources; what was not detected below its
 * detection limit and what is below quantification below that limit; what was not measured is not there. Samples of one
 * site make a group where a site was visited more than once.
 */
export function watersOf(results: Results): readonly SampleWater[] {
  const samples = results.batches.flatMap((batch) => batch.samples);
  const names = [...new Set(results.samples.map((row) => row.sample))];
  const waters = names.flatMap((name) => {
    const found = results.samples.filter((row) => row.sample === name);
    const own = samples.filter((sample) => sample.sample === name);
    return found.every((row) => isPerLiter(row.unit)) ? [waterOf(name, found, own)] : [];
  });
  const sites = waters.map(({ site }) => site);
  const visitedAgain = new Set(sites).size < sites.length;
  return visitedAgain ? waters.map((water) => ({ ...water, group: water.site })) : waters;
}

function waterOf(name: string, found: readonly SampleResult[], rows: readonly Sample[]): SampleWater {
  const concentrations: Record<string, BoundableValue> = {};
  for (const row of found) {
    const value = concentrationOf(row);
    if (value !== undefined) concentrations[row.ion] = value;
  }
  const told = (read: (row: Sample) => string | undefined) =>
    rows.map((row) => read(row)?.trim()).find((text) => text !== undefined && text !== "");
  const [site, period] = [told(({ other }) => other.site), told(({ other }) => other.period)];
  const [matrix, collected] = [
    told((row) => row.matrix),
    told(({ collectedAt }) => collectedAt?.slice(0, 10)),
  ];
  return {
    name,
    concentrations,
    ...fieldMeasurements(name, rows),
    ...(site === undefined ? {} : { site }),
    ...(period === undefined ? {} : { period }),
    ...(matrix === undefined ? {} : { matrix }),
    ...(collected === undefined ? {} : { collected }),
  };
}

function concentrationOf(row: SampleResult): BoundableValue | undefined {
  const { value, status, ion, unit } = row;
  if (value === undefined || status === "not measured") return undefined;
  const limit =
    status === "not detected"
      ? row.detectionLimit
      : status === "below quantification"
        ? row.quantificationLimit
        : undefined;
  return limit === undefined ? value : { below: convert(limit, unit, "mg/L", ion) };
}
