import { readFile } from "node:fs/promises";
import { parse } from "csv-parse/sync";
import { IonbookError } from "../../errors.js";
import { noteFileRead } from "../../evidence.js";
import type { StraightBaseline } from "./area-between.js";

/** One peak as its publisher integrated it: times in s, heights in the record's unit, area in that unit times s. */
export interface PublishedPeak {
  readonly number: number;
  readonly retentionTime: number;
  readonly area: number;
  readonly height: number;
  /** Limits and straight baseline of the published integration. */
  readonly line: StraightBaseline;
}

/** What each figure is called in the table. */
const COLUMNS = {
  number: "peak",
  retentionTime: "reported_rt_s",
  area: "reported_area",
  height: "reported_height",
  start: "start_s",
  end: "end_s",
  startValue: "baseline_start",
  endValue: "baseline_stop",
} as const;

/**
 * Reads peaks that were published with limits, baseline and area (dataset liquid-chromatogram), in the table's order.
 * Times in s; heights in the record's unit.
 *
 * @param path the CSV file
 * @throws IonbookError `missing-file`, `missing-column`, `not-a-number`, with file, line and column
 */
export async function readPublishedPeaks(path: string): Promise<readonly PublishedPeak[]> {
  const text = await readFile(path, "utf8").catch(() => {
    throw new IonbookError("missing-file", "there is no such table of peaks: check the path", { file: path });
  });
  noteFileRead(path);
  const rows: readonly Readonly<Record<string, string>>[] = parse(text, { columns: true, bom: true });
  return rows.map((row, i) => readPeak(row, path, i + 2));
}

function readPeak(row: Readonly<Record<string, string>>, file: string, line: number): PublishedPeak {
  const read = (name: keyof typeof COLUMNS): number => {
    const column = COLUMNS[name];
    const text = row[column];
    if (text === undefined) {
      throw new IonbookError("missing-column", `the table has no column "${column}": add it`, { file });
    }
    const value = Number(text);
    if (text.trim() !== "" && Number.isFinite(value)) return value;
    throw new IonbookError("not-a-number", `"${text}" is not a number: write a plain one`, {
      file,
      line,
      column,
    });
  };
  return {
    number: read("number"),
    retentionTime: read("retentionTime"),
    area: read("area"),
    height: read("height"),
    line: {
      start: read("start"),
      end: read("end"),
      startValue: read("startValue"),
      endValue: read("endValue"),
    },
  };
}
