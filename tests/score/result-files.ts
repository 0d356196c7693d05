import { readFileSync } from "node:fs";
import { join } from "node:path";
import { parse } from "csv-parse/sync";

/** The files of `ionbook quantify` as anybody outside would read them: text, nothing of the product's own code. */
export interface ResultRow {
  readonly sample: string;
  readonly ion: string;
  readonly value: number;
  readonly unit: string;
  readonly u: number;
  readonly low95: number;
  readonly high95: number;
  readonly status: string;
  readonly dilution: number;
  readonly injection: string;
  readonly flags: string;
}

export interface PeakRow {
  readonly injection: string;
  readonly ion: string;
  readonly retentionTime: number;
  readonly area: number;
  readonly uArea: number;
  readonly height: number;
  readonly signalToNoise: number;
  readonly identity: string;
}

export interface CalibrationRow {
  readonly ion: string;
  readonly model: string;
  readonly low: number;
  readonly high: number;
  readonly loq: number;
}

export interface ResultFiles {
  readonly results: readonly ResultRow[];
  readonly peaks: readonly PeakRow[];
  readonly calibrations: readonly CalibrationRow[];
}

type Row = Readonly<Record<string, string>>;

function rowsOf(folder: string, file: string, columns: readonly string[]): readonly Row[] {
  const text = readFileSync(join(folder, file), "utf8");
  const rows = parse(text, { columns: true, bom: true, skip_empty_lines: true }) as Row[];
  const missing = columns.filter((column) => rows.length > 0 && !(column in rows[0]));
  if (missing.length > 0) throw new Error(`${file} lacks the columns ${missing.join(", ")}`);
  return rows;
}

/** A number of the file; NaN where the cell is empty ("does not apply"). */
function numberIn(row: Row, column: string): number {
  const text = row[column].trim();
  if (text === "") return Number.NaN;
  const value = Number(text);
  if (Number.isNaN(value)) throw new Error(`column ${column} holds "${text}", which is not a number`);
  return value;
}

/** Text of a cell without the mark that guards against formulas. */
function textIn(row: Row, column: string): string {
  return /^'[=+\-@\t\r]/.test(row[column]) ? row[column].slice(1) : row[column];
}

/** Reads results.csv, peaks.csv and calibration.csv of a folder. */
export function readResultFiles(folder: string): ResultFiles {
  const results = rowsOf(folder, "results.csv", [
    "sample",
    "ion",
    "value",
    "unit",
    "u",
    "low95",
    "high95",
    "status",
    "dilution",
    "injection",
    "flags",
  ]);
  const peaks = rowsOf(folder, "peaks.csv", [
    "injection",
    "ion",
    "retention_time",
    "area",
    "u_area",
    "height",
    "signal_to_noise",
    "identity",
  ]);
  const calibrations = rowsOf(folder, "calibration.csv", ["ion", "model", "low", "high", "loq"]);
  return {
    results: results.map((row) => ({
      sample: textIn(row, "sample"),
      ion: textIn(row, "ion"),
      value: numberIn(row, "value"),
      unit: textIn(row, "unit"),
      u: numberIn(row, "u"),
      low95: numberIn(row, "low95"),
      high95: numberIn(row, "high95"),
      status: textIn(row, "status"),
      dilution: numberIn(row, "dilution"),
      injection: textIn(row, "injection"),
      flags: textIn(row, "flags"),
    })),
    peaks: peaks.map((row) => ({
      injection: textIn(row, "injection"),
      ion: textIn(row, "ion"),
      retentionTime: numberIn(row, "retention_time"),
      area: numberIn(row, "area"),
      uArea: numberIn(row, "u_area"),
      height: numberIn(row, "height"),
      signalToNoise: numberIn(row, "signal_to_noise"),
      identity: textIn(row, "identity"),
    })),
    calibrations: calibrations.map((row) => ({
      ion: textIn(row, "ion"),
      model: textIn(row, "model"),
      low: numberIn(row, "low"),
      high: numberIn(row, "high"),
      loq: numberIn(row, "loq"),
    })),
  };
}
