import { IonbookError } from "../../errors.js";
import type { RawRecord } from "./raw-record.js";
import type { ReadOptions } from "./read-options.js";
import { type FoundUnit, findUnit, signalUnitOf } from "./signal-units.js";

/** ASTM E1947 marks a missing floating-point value so. */
const MISSING = -9999;

type Reader = import("netcdfjs").NetCDFReader;

/**
 * The record in a netCDF file of the layout of ASTM E1947: `ordinate_values` at
 *
 *     timeᵢ = actual_delay_time + i · actual_sampling_interval
 *
 * or at `raw_data_retention` where the sampling is marked as not uniform; times in the file's retention unit
 * (seconds where it names none), returned in min. Readings of −9999 are missing and left out.
 *
 * @throws IonbookError `truncated-file`, `unknown-format`, `missing-unit`, `no-data`, `bad-sampling`
 * @source ASTM E1947-98 (2022), Standard Specification for Analytical Data Interchange Protocol for
 * Chromatographic Data, variable names as public reader documentation gives them
 */
export async function readNetcdf(bytes: Uint8Array, file: string, options: ReadOptions): Promise<RawRecord> {
  const reader = await openReader(bytes, file);
  const ordinates = numbersOf(reader, "ordinate_values", file);
  if (ordinates === undefined) {
    throw new IonbookError(
      "unknown-format",
      "the netCDF file holds no ordinate_values, so no chromatogram in the layout of ASTM E1947: " +
        "export it as such, or as delimited text",
      { file },
    );
  }
  const timeUnit = timeUnitOf(reader, file, options);
  const abscissae = timesOf(reader, ordinates.length, file);
  const signalUnit = detectorUnit(reader, file, options);
  return withoutMissing(abscissae, ordinates, timeUnit, signalUnit, file);
}

async function openReader(bytes: Uint8Array, file: string): Promise<Reader> {
  const { NetCDFReader } = await import("netcdfjs");
  try {
    return new NetCDFReader(bytes);
  } catch {
    throw brokenOff(file);
  }
}

function brokenOff(file: string): IonbookError {
  return new IonbookError(
    "truncated-file",
    "the netCDF file ends before its data do, or its header is damaged: export or copy it again",
    { file },
  );
}

/** The values of a numeric variable; undefined where the file has none of that name. */
function numbersOf(reader: Reader, name: string, file: string): number[] | undefined {
  if (!reader.dataVariableExists(name)) return undefined;
  try {
    const values = reader.getDataVariable(name).flat() as unknown[];
    return values.map(Number);
  } catch (error) {
    if (error instanceof RangeError) throw brokenOff(file);
    throw error;
  }
}

function textAttribute(reader: Reader, name: string): string | undefined {
  const value = reader.getAttribute(name);
  const text = typeof value === "string" ? value.replace(/\0+$/, "").trim() : "";
  return text === "" ? undefined : text;
}

function timeUnitOf(reader: Reader, file: string, options: ReadOptions): FoundUnit {
  const written = options.timeUnit ?? textAttribute(reader, "retention_unit") ?? "s";
  const unit = findUnit(written) ?? findUnit(written.toLowerCase());
  if (unit?.quantity === "time") return unit;
  throw new IonbookError(
    "missing-unit",
    `retention_unit is "${written}", which is no unit of time: read the file with { timeUnit }`,
    { file },
  );
}

function detectorUnit(reader: Reader, file: string, options: ReadOptions): FoundUnit {
  const written = options.signalUnit ?? textAttribute(reader, "detector_unit");
  if (written !== undefined) return signalUnitOf(written);
  throw new IonbookError(
    "missing-unit",
    "the file has no detector_unit: read it with { signalUnit }, or export it with the unit of the detector",
    { file },
  );
}

/** The library types the attributes of a variable as an empty list; they are of the shape of the global ones. */
function attributesOf(
  reader: Reader,
  name: string,
): readonly { readonly name: string; readonly value: unknown }[] {
  return reader.variables.find((variable) => variable.name === name)?.attributes ?? [];
}

/** Times in the file's unit. */
function timesOf(reader: Reader, count: number, file: string): Float64Array {
  const flag = attributesOf(reader, "ordinate_values").find(
    ({ name }) => name === "uniform_sampling_flag",
  )?.value;
  const listed = numbersOf(reader, "raw_data_retention", file);
  if (typeof flag === "string" && /^n/i.test(flag) && listed?.length === count)
    return Float64Array.from(listed);
  const interval = numbersOf(reader, "actual_sampling_interval", file)?.[0];
  const delay = numbersOf(reader, "actual_delay_time", file)?.[0] ?? 0;
  if (interval === undefined || !(interval > 0)) {
    throw new IonbookError(
      "bad-sampling",
      `actual_sampling_interval is ${interval ?? "missing"}: the file does not say when its readings were taken; ` +
        "export it again, or as delimited text",
      { file },
    );
  }
  const start = delay === MISSING ? 0 : delay;
  return Float64Array.from({ length: count }, (_, i) => start + i * interval);
}

function withoutMissing(
  abscissae: Float64Array,
  ordinates: readonly number[],
  timeUnit: FoundUnit,
  signalUnit: FoundUnit,
  file: string,
): RawRecord {
  const count = ordinates.reduce((n, y) => (y === MISSING ? n : n + 1), 0);
  if (count < 2) {
    throw new IonbookError("no-data", `the file holds ${count} readings: export the record again`, { file });
  }
  const time = new Float64Array(count);
  const signal = new Float64Array(count);
  let k = 0;
  for (let i = 0; i < ordinates.length; i++) {
    if (ordinates[i] === MISSING) continue;
    time[k] = abscissae[i] * timeUnit.factor;
    signal[k] = ordinates[i] * signalUnit.factor;
    k++;
  }
  const missing = ordinates.length - count;
  const remarks = missing === 0 ? [] : [`${missing} readings marked as missing (−9999) were left out`];
  return { time, signal, timeUnit, signalUnit, timeResolution: 0, remarks };
}
