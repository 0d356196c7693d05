import { stat } from "node:fs/promises";
import { join } from "node:path";
import type { Chromatogram } from "../../signal/chromatogram.js";
import type { Method, Notice } from "../types.js";
import { parseChromatogram } from "./chromatogram.js";
import { readBytes, sha256 } from "./read-bytes.js";
import { isLinkedOutside, signalPathFault } from "./signal-path.js";
import type { ReadWorksheet } from "./worksheet.js";

/** The chromatograms of a batch by injection, and the files they came from. */
export interface ReadSignals {
  readonly chromatograms: ReadonlyMap<string, Chromatogram>;
  readonly files: readonly { readonly path: string; readonly sha256: string }[];
  readonly noticed: readonly Notice[];
}

/**
 * Reads the signal of every injection. A file that is missing, empty or elsewhere, or a record that does not
 * cover the method's ions, is a fault of the worksheet's row; a fault inside a file is thrown under its name.
 *
 * @throws IonbookError `missing-file`, `empty-file`, `path-outside-folder`, `truncated-file`, and what reading a
 * chromatogram throws
 */
export async function readSignals(
  folder: string,
  worksheet: ReadWorksheet,
  method: Method,
): Promise<ReadSignals> {
  const { faults } = worksheet.table;
  await checkFiles(folder, worksheet);
  faults.throwIfAny();
  const chromatograms = new Map<string, Chromatogram>();
  const hashes = new Map<string, string>();
  const noticed: Notice[] = [];
  for (const { id, signal } of worksheet.injections) {
    const path = join(folder, signal);
    const bytes = await readBytes(path, path);
    const { chromatogram, remarks } = await parseChromatogram(bytes, path, { id, channel: method.channel });
    chromatograms.set(id, chromatogram);
    noticed.push(...remarks.map((what) => ({ where: signal, what })));
    hashes.set(signal, sha256(bytes));
  }
  noticed.push(...checkExtent(worksheet, chromatograms, method));
  faults.throwIfAny();
  noticed.push(...sameRecords(worksheet, hashes), ...foreignSignals(worksheet, chromatograms));
  return { chromatograms, files: [...hashes].map(([path, hash]) => ({ path, sha256: hash })), noticed };
}

async function checkFiles(folder: string, worksheet: ReadWorksheet): Promise<void> {
  for (const [{ signal }, row] of worksheet.rows) {
    if (signal === "" || signalPathFault(signal) !== undefined) continue;
    const found = await stat(join(folder, signal)).catch(() => undefined);
    if (found === undefined) {
      row.fault(
        "missing-file",
        `there is no file "${signal}" in the folder: copy it there, or mend the path`,
        "signal",
      );
    } else if (!found.isFile()) {
      row.fault("unreadable-file", `"${signal}" is a folder: name the file in it`, "signal");
    } else if (await isLinkedOutside(folder, signal)) {
      const message = `"${signal}" is a link that leads out of the folder: copy the file itself into the folder`;
      row.fault("path-outside-folder", message, "signal");
    } else if (found.size === 0) {
      row.fault("empty-file", `"${signal}" is empty: export or copy it again`, "signal");
    }
  }
}

/** Share of the run by which a record may miss the stretch to be evaluated without harm. */
const TOLERANCE = 0.01;
/** Below this share of the batch's usual length a record counts as broken off. */
const BROKEN_OFF = 0.9;

/** Refuses records that end or begin inside the stretch to be evaluated; remarks on those shorter than the rest. */
function checkExtent(
  worksheet: ReadWorksheet,
  chromatograms: ReadonlyMap<string, Chromatogram>,
  method: Method,
): Notice[] {
  const noticed: Notice[] = [];
  const usual = median([...chromatograms.values()].map(endOf));
  const lastNeeded = method.to ?? Math.max(...method.ions.map((entry) => entry.retentionTime + entry.window));
  const firstNeeded = Math.min(...method.ions.map((entry) => entry.retentionTime - entry.window));
  for (const [{ id, signal }, row] of worksheet.rows) {
    const chromatogram = chromatograms.get(id) as Chromatogram;
    const end = endOf(chromatogram);
    const start = chromatogram.time[0];
    const isShort =
      end < (1 - TOLERANCE) * lastNeeded || (method.to === undefined && end < BROKEN_OFF * usual);
    if (isShort) {
      const reason =
        method.to === undefined ? `the others end at ${round(usual)} min` : `"to" is ${method.to} min`;
      const message =
        `the record "${signal}" ends at ${round(end)} min, but ${reason} and the last ion is sought until ` +
        `${round(lastNeeded)} min: export or copy it again if it broke off, else mend "to" in batch.json`;
      row.fault("truncated-file", message, "signal");
    } else if (end < (1 - TOLERANCE) * usual) {
      const what = `the record ends at ${round(end)} min, the others at ${round(usual)} min`;
      noticed.push({ where: signal, what });
    }
    if (start > firstNeeded) {
      const message =
        `the record "${signal}" begins at ${round(start)} min, after the first ion is sought ` +
        `(${round(firstNeeded)} min): export it from the injection on`;
      row.fault("truncated-file", message, "signal");
    }
  }
  return noticed;
}

/** Files of the same content under two names, or one file for two injections: one of them was probably replaced. */
function sameRecords(worksheet: ReadWorksheet, hashes: ReadonlyMap<string, string>): Notice[] {
  const first = new Map<string, string>();
  const noticed: Notice[] = [];
  for (const { id, signal, line } of worksheet.injections) {
    const hash = hashes.get(signal) as string;
    const earlier = first.get(hash);
    if (earlier === undefined) first.set(hash, id);
    else {
      const what = `line ${line}: "${id}" has the very same record as "${earlier}"; was a file copied or named twice?`;
      noticed.push({ where: "worksheet.csv", what });
    }
  }
  return noticed;
}

function foreignSignals(
  worksheet: ReadWorksheet,
  chromatograms: ReadonlyMap<string, Chromatogram>,
): Notice[] {
  return worksheet.injections.flatMap(({ id, signal }) => {
    const unit = chromatograms.get(id)?.signalUnit;
    if (unit === "µS/cm") return [];
    const what = `the signal is in ${unit}, not a conductivity: it can be looked at, but not quantified`;
    return [{ where: signal, what }];
  });
}

function endOf(chromatogram: Chromatogram): number {
  return chromatogram.time[chromatogram.time.length - 1];
}

function median(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b);
  return sorted[sorted.length >> 1];
}

function round(value: number): string {
  return String(Number(value.toPrecision(4)));
}
