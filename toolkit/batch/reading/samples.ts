import { nearestNames } from "../../ions/nearest-names.js";
import type { Sample } from "../types.js";
import { readTable } from "./csv-table.js";
import type { TableRow } from "./table-row.js";

const COLUMNS = {
  required: ["sample", "preparation"],
  optional: [
    "matrix",
    "collected_at",
    "mass_g",
    "u_mass_g",
    "volume_mL",
    "u_volume_mL",
    "dry_fraction",
    "pH",
    "conductivity_uS_cm",
    "temperature_C",
    "alkalinity_mg_L_CaCO3",
    "u_alkalinity_mg_L_CaCO3",
    "unit",
  ],
} as const;

/** Reporting units by preparation, the usual one first. */
const UNITS = { direct: ["mg/L"], extract: ["mg/kg", "mg/kg dry"] } as const;

/** What samples.csv says, and what was noticed in it. */
export interface ReadSamples {
  readonly samples: readonly Sample[];
  readonly remarks: readonly string[];
}

/**
 * Reads samples.csv: where each sample came from and how it was prepared. A blank preparation is `direct`, a
 * blank unit mg/L (direct) or mg/kg (extract); other blank cells mean unknown.
 *
 * @throws IonbookError listing every fault: `missing-column`, `missing-value`, `not-a-number`, `negative-value`,
 * `doubled-row`, `unknown-preparation`, `unknown-unit`, `out-of-range`
 */
export async function readSamples(bytes: Uint8Array, file: string): Promise<ReadSamples> {
  const table = await readTable(bytes, file, COLUMNS);
  const samples: Sample[] = [];
  const lines = new Map<string, number>();
  for (const row of table.rows) {
    const sample = readSample(row);
    const earlier = lines.get(sample.sample);
    if (sample.sample !== "" && earlier !== undefined) {
      row.fault(
        "doubled-row",
        `"${sample.sample}" stands in line ${earlier} already: keep one of the rows`,
        "sample",
      );
    }
    lines.set(sample.sample, row.line);
    samples.push(sample);
  }
  table.faults.throwIfAny();
  return { samples, remarks: table.remarks };
}

function readSample(row: TableRow): Sample {
  const preparation = readPreparation(row);
  const unit = readUnit(row, preparation);
  const sample: Sample = {
    sample: row.requiredText("sample", "name the sample"),
    matrix: row.optionalText("matrix"),
    collectedAt: row.optionalText("collected_at"),
    preparation,
    massGrams: row.nonNegative("mass_g"),
    uMassGrams: row.nonNegative("u_mass_g") ?? 0,
    volumeMilliliters: row.nonNegative("volume_mL"),
    uVolumeMilliliters: row.nonNegative("u_volume_mL") ?? 0,
    dryFraction: within(row, "dry_fraction", 0, 1),
    pH: within(row, "pH", -1, 15),
    conductivity: row.nonNegative("conductivity_uS_cm"),
    temperature: within(row, "temperature_C", -20, 110),
    alkalinity: row.number("alkalinity_mg_L_CaCO3"),
    uAlkalinity: row.nonNegative("u_alkalinity_mg_L_CaCO3"),
    unit,
    line: row.line,
    other: row.other(),
  };
  if (preparation === "extract") checkExtract(row, sample);
  return sample;
}

function readPreparation(row: TableRow): "direct" | "extract" {
  const written = row.text("preparation");
  if (written === "" || written === "direct") return "direct";
  if (written === "extract") return "extract";
  const [near] = nearestNames(written, ["direct", "extract"], 1);
  const hint = near === undefined ? "" : ` (is "${near}" meant?)`;
  row.fault(
    "unknown-preparation",
    `"${written}" is no known preparation${hint}: write direct or extract`,
    "preparation",
  );
  return "direct";
}

function readUnit(row: TableRow, preparation: "direct" | "extract"): string {
  const units: readonly string[] = UNITS[preparation];
  const written = row.text("unit").replace(/\s+/g, " ");
  if (written === "") return units[0];
  if (units.includes(written)) return written;
  row.fault(
    "unknown-unit",
    `"${written}" is no reporting unit of a sample prepared by "${preparation}": write ${units.join(" or ")}`,
    "unit",
  );
  return units[0];
}

function within(row: TableRow, column: string, low: number, high: number): number | undefined {
  const value = row.number(column);
  if (value === undefined || (value >= low && value <= high) || Number.isNaN(value)) return value;
  row.fault("out-of-range", `${value} lies outside ${low} to ${high}: check the value and its unit`, column);
  return Number.NaN;
}

function checkExtract(row: TableRow, sample: Sample): void {
  const required = [
    ["mass_g", sample.massGrams, "mass extracted, in g"],
    ["volume_mL", sample.volumeMilliliters, "volume of the extract, in mL"],
    ...(sample.unit === "mg/kg dry"
      ? [["dry_fraction", sample.dryFraction, "mass fraction of dry matter"] as const]
      : []),
  ] as const;
  for (const [column, value, meaning] of required) {
    if (value === undefined) {
      row.fault(
        "missing-value",
        `"${sample.sample}" is reported in ${sample.unit}: give the ${meaning}`,
        column,
      );
    } else if (value === 0) {
      row.fault("out-of-range", `0 cannot be the ${meaning}: give what was measured`, column);
    }
  }
}
