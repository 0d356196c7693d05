import { IonbookError } from "../../errors.js";
import type { RawRecord } from "./raw-record.js";
import type { ReadOptions } from "./read-options.js";
import { type FoundUnit, findUnit, signalUnitOf } from "./signal-units.js";

/** Abscissa and ordinate of a JCAMP-DX block as decoded, factors applied, with the units it names. */
export interface JcampBlock {
  readonly x: readonly number[];
  readonly y: readonly number[];
  readonly xUnits: string | undefined;
  readonly yUnits: string | undefined;
}

/**
 * Decodes the first block of data of a JCAMP-DX text, in any of its forms (fixed, packed, squeezed, difference
 * with duplicates, pairs).
 *
 * @throws IonbookError `truncated-file` where ##END= or readings are missing, `no-data`, `not-a-number`
 * @source JCAMP-DX, a standard form for computer-readable spectra, Appl. Spectrosc. 42 (1988) 151
 */
export async function decodeJcamp(text: string, file: string): Promise<JcampBlock> {
  if (!/^[ \t]*##END[ \t]*=/im.test(text)) {
    throw new IonbookError("truncated-file", "##END= is missing, so the file broke off: copy it again", {
      file,
    });
  }
  const { convert } = await import("jcampconverter");
  // The library knows pairs of values only under the label of a peak table, whose form is the same.
  const pairsRenamed = text.replace(/^([ \t]*##[ \t]*)XYPOINTS([ \t]*=)/gim, "$1PEAK TABLE$2");
  const converted = convert(pairsRenamed, { keepRecordsRegExp: /^(?:XUNITS|YUNITS|UNITS|NPOINTS)$/ });
  const entry = converted.flatten.find((block) => (block.spectra?.[0]?.data?.y?.length ?? 0) > 0);
  if (entry === undefined) {
    throw new IonbookError("no-data", "no ##XYDATA or ##XYPOINTS were found: export the record again", {
      file,
    });
  }
  const { x, y } = entry.spectra[0].data;
  checkCount(y.length, Number(entry.info.NPOINTS), file);
  if (x.some((value) => !Number.isFinite(value)) || y.some((value) => !Number.isFinite(value))) {
    throw new IonbookError(
      "not-a-number",
      "the data hold something that is no number: export the record again",
      {
        file,
      },
    );
  }
  return { x, y, xUnits: label(entry.info.XUNITS), yUnits: label(entry.info.YUNITS) };
}

/**
 * The chromatogram in a JCAMP-DX text: ##XUNITS= a unit of time, ##YUNITS= the detector's.
 *
 * @throws IonbookError `missing-unit` and what decoding throws
 */
export async function readJcamp(text: string, file: string, options: ReadOptions): Promise<RawRecord> {
  const block = await decodeJcamp(text, file);
  const timeUnit = timeUnitOf(options.timeUnit ?? block.xUnits, file);
  const written = options.signalUnit ?? block.yUnits;
  if (written === undefined) {
    throw new IonbookError(
      "missing-unit",
      "##YUNITS= is missing: add a line such as ##YUNITS=uS/cm, or read the file with { signalUnit }",
      { file },
    );
  }
  const signalUnit = signalUnitOf(written);
  return {
    time: Float64Array.from(block.x, (t) => t * timeUnit.factor),
    signal: Float64Array.from(block.y, (y) => y * signalUnit.factor),
    timeUnit,
    signalUnit,
    timeResolution: 0,
    remarks: [],
  };
}

function checkCount(found: number, stated: number, file: string): void {
  if (!Number.isFinite(stated) || stated === found) return;
  throw new IonbookError(
    "truncated-file",
    `##NPOINTS= promises ${stated} readings and ${found} were found: export or copy the file again`,
    { file },
  );
}

function label(value: unknown): string | undefined {
  return typeof value === "string" && value.trim() !== "" ? value.trim() : undefined;
}

function timeUnitOf(written: string | undefined, file: string): FoundUnit {
  const unit = written === undefined ? undefined : (findUnit(written) ?? findUnit(written.toLowerCase()));
  if (unit?.quantity === "time") return unit;
  const what = written === undefined ? "##XUNITS= is missing" : `##XUNITS=${written} is no unit of time`;
  throw new IonbookError(
    "missing-unit",
    `${what}: add ##XUNITS=MINUTES or ##XUNITS=SECONDS, or read the file with { timeUnit }`,
    { file },
  );
}
