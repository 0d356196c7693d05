import { readFile } from "node:fs/promises";
import { parse } from "csv-parse/sync";
import { IonbookError } from "../../errors.js";
import { noteFileRead } from "../../evidence.js";
import { convert } from "../../ions/units.js";
import { type ChargeBalance, chargeBalance } from "../balance/charge-balance.js";

/** One published analysis with the balance its publisher printed. */
export interface PublishedAnalysis {
  readonly sample: string;
  readonly station: string;
  /** ISO date. */
  readonly date: string;
  /** Charge by ion, meq/L, magnitude. */
  readonly milliequivalents: Readonly<Record<string, number>>;
  /** Alkalinity, meq/L; undefined where it was not determined. */
  readonly alkalinity: number | undefined;
  /** The publisher's sums, meq/L, and 100·(C − A)/(C + A). */
  readonly published: {
    readonly cations: number;
    readonly anions: number;
    readonly percentDifference: number;
  };
}

/** Columns of the file that hold ions, and the ion each stands for. */
const ION_COLUMNS: Readonly<Record<string, string>> = {
  H_ion: "hydrogen",
  Ca: "calcium",
  Mg: "magnesium",
  Na: "sodium",
  K: "potassium",
  Fe: "iron(II)",
  Mn: "manganese(II)",
  Hydrox: "hydroxide",
  Bicarb: "hydrogencarbonate",
  Carb: "carbonate",
  NO2: "nitrite",
  NO3: "nitrate",
  Cl: "chloride",
  SO4: "sulfate",
  F: "fluoride",
};
/** Nitrite and nitrate determined together count as nitrate: the charge is the same. */
const NITRATE_WITH_NITRITE = "NO2NO3";

/**
 * Reads river analyses that were published in meq/L together with their balance (dataset river-analyses). "NA" and empty
 * cells are ions not determined.
 *
 * @param path the CSV file
 * @throws IonbookError "file-not-found", "missing-column", "not-a-number", "bad-table", each with file and line
 * @source dataset: U.S. Geological Survey, stream station 05079250, 2002 to 2004
 */
export async function readPublishedAnalyses(path: string): Promise<readonly PublishedAnalysis[]> {
  const text = await readText(path);
  noteFileRead(path);
  const rows = parseRows(text, path);
  return rows.map((row, i) => readAnalysis(row, { file: path, line: i + 2 }));
}

/**
 * The charge balance of a published analysis, from its own figures: charges are turned into mg/L and back, alkalinity into
 * mg/L as CaCO3. The file holds no pH of its own beyond its hydrogen ion, so weak acids count at pH 7.
 *
 * @throws IonbookError as `chargeBalance`
 * @source as `chargeBalance`
 */
export function balancePublishedAnalysis(analysis: PublishedAnalysis): ChargeBalance {
  const concentrations = Object.fromEntries(
    Object.entries(analysis.milliequivalents).map(([name, charge]) => [
      name,
      convert(charge, "meq/L", "mg/L", name),
    ]),
  );
  if (analysis.alkalinity === undefined) return chargeBalance(concentrations);
  const alkalinity = convert(analysis.alkalinity, "meq/L", "mg/L as CaCO3", "hydrogencarbonate");
  return chargeBalance(concentrations, { alkalinity });
}

type Row = Readonly<Record<string, string>>;
interface Place {
  readonly file: string;
  readonly line: number;
}

async function readText(path: string): Promise<string> {
  try {
    return await readFile(path, "utf8");
  } catch (error) {
    const reason = error instanceof Error ? error.message : String(error);
    throw new IonbookError("file-not-found", `the analyses cannot be read: ${reason}`, { file: path });
  }
}

function parseRows(text: string, file: string): readonly Row[] {
  let rows: readonly Row[];
  try {
    rows = parse(text, { columns: true, bom: true, skip_empty_lines: true });
  } catch (error) {
    throw new IonbookError("bad-table", error instanceof Error ? error.message : String(error), { file });
  }
  if (rows.length === 0)
    throw new IonbookError("bad-table", "the table has no rows below its header", { file });
  for (const column of ["SAMPLE", "STAID", "DATES", "Cation_sum", "Anion_sum", "Pct_Diff", "Alk"]) {
    if (!(column in rows[0]))
      throw new IonbookError("missing-column", `the table has no column "${column}"`, { file });
  }
  return rows;
}

function readAnalysis(row: Row, place: Place): PublishedAnalysis {
  const milliequivalents: Record<string, number> = {};
  for (const [column, name] of Object.entries(ION_COLUMNS)) {
    const value = optionalNumber(row, column, place);
    if (value !== undefined) milliequivalents[name] = value;
  }
  const together = optionalNumber(row, NITRATE_WITH_NITRITE, place);
  if (together !== undefined && !("nitrate" in milliequivalents)) milliequivalents.nitrate = together;
  return {
    sample: row.SAMPLE,
    station: row.STAID,
    date: row.DATES,
    milliequivalents,
    alkalinity: optionalNumber(row, "Alk", place),
    published: {
      cations: requiredNumber(row, "Cation_sum", place),
      anions: requiredNumber(row, "Anion_sum", place),
      percentDifference: requiredNumber(row, "Pct_Diff", place),
    },
  };
}

function optionalNumber(row: Row, column: string, place: Place): number | undefined {
  const text = row[column]?.trim() ?? "";
  if (text === "" || text === "NA") return undefined;
  const value = Number(text);
  if (Number.isFinite(value)) return value;
  throw new IonbookError("not-a-number", `"${text}" is not a number`, { ...place, column });
}

function requiredNumber(row: Row, column: string, place: Place): number {
  const value = optionalNumber(row, column, place);
  if (value !== undefined) return value;
  throw new IonbookError("not-a-number", "a published sum is missing", { ...place, column });
}
