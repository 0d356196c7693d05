import { basename, extname } from "node:path";
import { IonbookError } from "../../errors.js";
import { noteFileRead } from "../../evidence.js";
import type { Chromatogram } from "../../signal/chromatogram.js";
import { makeChromatogram } from "../../signal/make-chromatogram.js";
import { decodeText } from "./decode-text.js";
import { readDelimitedText } from "./delimited-text.js";
import { readJcamp } from "./jcamp.js";
import { readNetcdf } from "./netcdf.js";
import type { RawRecord } from "./raw-record.js";
import { readBytes } from "./read-bytes.js";
import type { ReadOptions } from "./read-options.js";
import { recordRemarks } from "./record-remarks.js";

/**
 * The chromatogram in a file: delimited text, netCDF in the layout of ASTM E1947, or JCAMP-DX, found from the
 * content. Time is returned in min and conductivity in µS/cm, other signals in the file's own unit; `notes`
 * say what was converted and what was noticed (uneven sampling, a cut top, missing readings).
 *
 * @throws IonbookError `missing-file`, `empty-file`, `unknown-format`, `no-header`, `missing-unit`, `no-data`,
 * `truncated-file`, `malformed-row`, `not-a-number`, `decimal-comma`, `time-not-increasing`
 */
export async function readChromatogram(path: string, options: ReadOptions = {}): Promise<Chromatogram> {
  const bytes = await readBytes(path, path);
  noteFileRead(path);
  return (await parseChromatogram(bytes, path, options)).chromatogram;
}

/** A chromatogram with what its record showed, apart from mere conversions. */
export interface ParsedChromatogram {
  readonly chromatogram: Chromatogram;
  readonly remarks: readonly string[];
}

/** The chromatogram in the bytes of a file. @param file - its name as the user knows it */
export async function parseChromatogram(
  bytes: Uint8Array,
  file: string,
  options: ReadOptions = {},
): Promise<ParsedChromatogram> {
  const record = await readRecord(bytes, file, options);
  refuseBackwards(record.time, file);
  const remarks = [...record.remarks, ...recordRemarks(record.time, record.signal, record.timeResolution)];
  const chromatogram = makeChromatogram({
    id: options.id ?? basename(file, extname(file)),
    time: record.time,
    signal: record.signal,
    signalUnit: record.signalUnit.unit,
    ...(options.channel === undefined ? {} : { channel: options.channel }),
    notes: [...conversions(record), ...remarks],
    source: file,
  });
  return { chromatogram, remarks };
}

async function readRecord(bytes: Uint8Array, file: string, options: ReadOptions): Promise<RawRecord> {
  const start = Buffer.from(bytes.buffer, bytes.byteOffset, Math.min(bytes.length, 8)).toString("latin1");
  if (start.startsWith("CDF")) return readNetcdf(bytes, file, options);
  refuseKnownStrangers(start, file);
  const { text, remark } = decodeText(bytes, file);
  if (text.trim() === "") {
    throw new IonbookError("empty-file", "the file holds nothing but blanks: export or copy it again", {
      file,
    });
  }
  const isJcamp = /^\s*##\s*TITLE\s*=/i.test(text);
  const record = isJcamp ? await readJcamp(text, file, options) : readDelimitedText(text, file, options);
  return remark === undefined ? record : { ...record, remarks: [remark, ...record.remarks] };
}

function refuseKnownStrangers(start: string, file: string): void {
  if (start.startsWith("\x89HDF")) {
    throw new IonbookError(
      "unknown-format",
      "this is netCDF-4 (HDF5), while ASTM E1947 is classic netCDF: convert it to the classic format",
      { file },
    );
  }
  if (start.startsWith("PK")) {
    throw new IonbookError(
      "unknown-format",
      "this is a workbook or an archive: save the sheet as CSV, or unpack the archive",
      { file },
    );
  }
}

function refuseBackwards(time: Float64Array, file: string): void {
  for (let i = 1; i < time.length; i++) {
    if (time[i] > time[i - 1]) continue;
    throw new IonbookError(
      "time-not-increasing",
      `time runs from ${time[i - 1]} to ${time[i]} min at reading ${i + 1}: ` +
        "export the record in the order of time, each reading once",
      { file },
    );
  }
}

function conversions(record: RawRecord): string[] {
  const notes: string[] = [];
  const { timeUnit, signalUnit } = record;
  if (timeUnit.factor !== 1) notes.push(`time given in ${timeUnit.written}, converted to min`);
  if (signalUnit.factor !== 1)
    notes.push(`signal given in ${signalUnit.written}, converted to ${signalUnit.unit}`);
  else if (signalUnit.quantity === "conductivity" && !/m/.test(signalUnit.written)) {
    notes.push(`signal given in ${signalUnit.written}, taken as µS/cm`);
  }
  return notes;
}
