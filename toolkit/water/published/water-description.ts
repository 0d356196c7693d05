import { readFile } from "node:fs/promises";
import { join } from "node:path";
import { IonbookError } from "../../errors.js";
import { ion } from "../../ions/ion-table.js";
import { nearestNames } from "../../ions/nearest-names.js";
import type { DescriptionShape } from "./description-schema.js";

/** What a column of a published table may hold besides the concentration of an ion. */
export const QUANTITIES = [
  "sample",
  "station",
  "date",
  "pH",
  "conductivity",
  "temperature",
  "alkalinity",
  "silica",
  "inorganic carbon",
  "dissolved solids",
  "cation sum",
  "anion sum",
  "percent difference",
] as const;

export type Quantity = (typeof QUANTITIES)[number];

/** One column of a published table. */
export interface DescribedColumn {
  readonly name: string;
  /** A quantity, or the IUPAC name of an ion; undefined for a column that is kept as it stands. */
  readonly holds: Quantity | string | undefined;
  /** What the column means, in words. */
  readonly meaning: string;
  /** Unit of the column; undefined where it has none, or where the table says it itself. */
  readonly unit: string | undefined;
  /** Column with the remark of the laboratory: "<" below the limit that stands in its place. */
  readonly flag: string | undefined;
  /** °C to which a conductivity refers. */
  readonly at: number | undefined;
}

/** A published table of water analyses, described so that it can be read. */
export interface WaterDescription {
  readonly title: string;
  readonly source: string;
  readonly licence: string;
  /** File name of the table. */
  readonly table: string;
  /** True where the second row of the table holds the units. */
  readonly unitsRow: boolean;
  /** Texts that stand for "not determined". */
  readonly missing: readonly string[];
  /** In the order of preference: where two hold the same, the first that has a value counts. */
  readonly columns: readonly DescribedColumn[];
}

/** Name of the description in a dataset's folder. */
export const DESCRIPTION_FILE = "columns.json";

/**
 * The description of a dataset's table, `columns.json` in its folder.
 *
 * @throws IonbookError "file-not-found", "bad-description" with the file and the key; "unknown-ion"
 */
export async function readDescription(folder: string): Promise<WaterDescription> {
  if (typeof folder !== "string") {
    throw new IonbookError(
      "file-not-found",
      `published waters are opened by their folder: openPublishedWaters("datasets/dune-groundwater"), not ${String(folder)}`,
    );
  }
  const file = join(folder, DESCRIPTION_FILE);
  let text: string;
  try {
    text = await readFile(file, "utf8");
  } catch (error) {
    const reason = error instanceof Error ? error.message : String(error);
    throw new IonbookError(
      "file-not-found",
      `a folder of published waters holds a table and ${DESCRIPTION_FILE}, which says what its columns hold: ${reason}`,
      { file },
    );
  }
  // The schema opens its package only when a description is read.
  const { checkShape } = await import("./description-schema.js");
  return described(checkShape(parsedJson(text, file), file), file);
}

function parsedJson(text: string, file: string): unknown {
  try {
    return JSON.parse(text);
  } catch (error) {
    throw new IonbookError("bad-description", error instanceof Error ? error.message : String(error), {
      file,
    });
  }
}

function described({ columns, ...rest }: DescriptionShape, file: string): WaterDescription {
  const named = Object.entries(columns).map(([name, column]): DescribedColumn => {
    const { holds, unit, flag, at } = column;
    const resolved = holds === undefined ? undefined : resolvedHolds(holds, name, file);
    return { name, holds: resolved, meaning: column.meaning ?? resolved ?? "", unit, flag, at };
  });
  return { ...rest, columns: named };
}

function resolvedHolds(holds: string, column: string, file: string): Quantity | string {
  if ((QUANTITIES as readonly string[]).includes(holds)) return holds;
  try {
    return ion(holds).name;
  } catch {
    const [nearest] = nearestNames(holds, QUANTITIES);
    throw new IonbookError(
      "bad-description",
      `"${holds}" is neither an ion nor one of ${QUANTITIES.join(", ")}${nearest === undefined ? "" : `; did you mean "${nearest}"?`}`,
      { file, column },
    );
  }
}
