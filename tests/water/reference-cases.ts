import { readFileSync } from "node:fs";
import { convert } from "../../toolkit/ions/units.js";

/** A published or derived check value with its source. */
export interface ReferenceCase<Inputs = unknown, Expected = unknown> {
  readonly id: string;
  readonly what: string;
  readonly source: string;
  readonly provenance: string;
  readonly inputs: Inputs;
  readonly expected: Expected;
  readonly tolerance: {
    readonly abs?: number;
    readonly rel?: number;
    readonly per_key?: Record<string, { readonly abs?: number; readonly rel?: number }>;
  };
  readonly note: string;
}

const cases: readonly ReferenceCase[] = JSON.parse(
  readFileSync(new URL("../reference/t07_water_chemistry.json", import.meta.url), "utf8"),
);

export function referenceCase<Inputs, Expected>(id: string): ReferenceCase<Inputs, Expected> {
  const found = cases.find((each) => each.id === id);
  if (!found) throw new Error(`there is no case ${id}`);
  return found as ReferenceCase<Inputs, Expected>;
}

export function referenceCases<Inputs, Expected>(prefix: string): readonly ReferenceCase<Inputs, Expected>[] {
  return cases.filter(({ id }) => id.startsWith(prefix)) as readonly ReferenceCase<Inputs, Expected>[];
}

export function titleOf({ id, source, provenance }: ReferenceCase): string {
  return `${id}: ${source} (${provenance})`;
}

/** The code and message of the IonbookError a call throws. */
export function errorOf(run: () => unknown): string {
  try {
    run();
  } catch (error) {
    if (error instanceof Error && "code" in error) return `${String(error.code)}: ${error.message}`;
    return `not an IonbookError: ${String(error)}`;
  }
  return "nothing thrown";
}

/** The example water of the handbook, BALANCE §2, mg/L; alkalinity 3.20 meq/L, pH 7.60, conductivity 536 µS/cm. */
export const EXAMPLE_WATER = {
  calcium: 62.0,
  magnesium: 14.0,
  sodium: 23.0,
  potassium: 3.1,
  ammonium: 0.05,
  chloride: 31.0,
  nitrate: 18.0,
  sulfate: 42.0,
  fluoride: 0.15,
} as const;

/** Alkalinity in mg/L as CaCO3. */
export function asCaCO3(milliequivalents: number): number {
  return convert(milliequivalents, "meq/L", "mg/L as CaCO3", "hydrogencarbonate");
}

/** A water given in µeq/L, in mg/L. */
export function fromMicroequivalents(water: Readonly<Record<string, number>>): Record<string, number> {
  return Object.fromEntries(
    Object.entries(water).map(([name, value]) => [name, convert(value, "µeq/L", "mg/L", name)]),
  );
}
