import { IonbookError } from "../../errors.js";
import { convert } from "../../ions/units.js";
import { combineLinear, exactly, isMeasuredValue, type MeasuredValue } from "../../uncertainty/measured.js";

/**
 * Partial pressure of carbon dioxide in air, µatm. Source: global mean of about 2023, U.S. National Oceanic and Atmospheric
 * Administration, Global Monitoring Laboratory (from memory); indoors and over soils it is higher.
 */
const AIR_CARBON_DIOXIDE = 420;

/** The options that speak of carbonate. */
interface CarbonateOptions {
  readonly pH?: unknown;
  readonly alkalinity?: number | MeasuredValue;
  readonly alkalinityEndpoint?: number;
  readonly carbonDioxide?: number | "air";
}

/** What an analysis says of its carbonate besides hydrogencarbonate by name. */
export interface CarbonateInput {
  /** meq/L; undefined where not given, or where hydrogencarbonate takes its place. */
  readonly alkalinity: MeasuredValue | undefined;
  /** pH at the end of the titration; undefined for the equivalence point. */
  readonly alkalinityEndpoint: number | undefined;
  /** Partial pressure of carbon dioxide the water is in equilibrium with, atm; undefined where not asked for. */
  readonly carbonDioxide: number | undefined;
}

/** Reads and checks the options that speak of carbonate; `names` are those of the ions given. */
export function readCarbonate(options: CarbonateOptions, names: ReadonlySet<string>): CarbonateInput {
  const byName = names.has("hydrogencarbonate");
  return {
    alkalinity: byName ? undefined : readAlkalinity(options.alkalinity),
    alkalinityEndpoint: readEndpoint(options),
    carbonDioxide: readCarbonDioxide(options, byName || names.has("carbonate")),
  };
}

function readAlkalinity(alkalinity: number | MeasuredValue | undefined): MeasuredValue | undefined {
  if (alkalinity === undefined) return undefined;
  const value = isMeasuredValue(alkalinity) ? alkalinity : exactly(checkedNumber(alkalinity), "mg/L");
  const unit = value.unit === "mg/L" ? "mg/L as CaCO3" : value.unit;
  const factor = convert(1, unit, "meq/L", "hydrogencarbonate");
  return combineLinear([{ value, factor }], "meq/L");
}

function checkedNumber(alkalinity: unknown): number {
  if (typeof alkalinity === "number" && Number.isFinite(alkalinity)) return alkalinity;
  if (typeof alkalinity === "string" && /differ/i.test(alkalinity)) {
    throw new IonbookError(
      "no-balance-test",
      "alkalinity taken as the difference of both sums closes every balance: no balance test exists. Leave it out to see the difference, titrate it, or take alkalinityByDifference for the number alone",
    );
  }
  throw new IonbookError(
    "not-a-number",
    `the alkalinity is ${String(alkalinity)}; leave it out where it was not measured`,
  );
}

function readEndpoint({ alkalinity, alkalinityEndpoint }: CarbonateOptions): number | undefined {
  if (alkalinityEndpoint === undefined) return undefined;
  if (alkalinity !== undefined && alkalinityEndpoint >= 3 && alkalinityEndpoint <= 7)
    return alkalinityEndpoint;
  throw new IonbookError(
    "bad-endpoint",
    alkalinity === undefined
      ? "an endpoint of the titration is given, but no alkalinity"
      : `the titration of an alkalinity ends between pH 3 and 7, mostly near 4.5, not at ${alkalinityEndpoint}; leave it out for the equivalence point`,
  );
}

function readCarbonDioxide(
  { carbonDioxide, alkalinity, pH }: CarbonateOptions,
  byName: boolean,
): number | undefined {
  if (carbonDioxide === undefined) return undefined;
  const microatmospheres = carbonDioxide === "air" ? AIR_CARBON_DIOXIDE : carbonDioxide;
  if (!(typeof microatmospheres === "number" && microatmospheres > 0 && microatmospheres <= 1e6)) {
    throw new IonbookError(
      "bad-partial-pressure",
      `the partial pressure of carbon dioxide is ${String(carbonDioxide)}; give µatm, such as 420, or "air"`,
    );
  }
  if (pH === undefined) {
    throw new IonbookError(
      "no-pH",
      "hydrogencarbonate in equilibrium with air follows from the pH: give the measured pH beside carbonDioxide",
    );
  }
  if (alkalinity !== undefined || byName) {
    throw new IonbookError(
      "two-carbonates",
      "hydrogencarbonate is given, or measured as alkalinity, and asked for by equilibrium with air: keep the measured one and leave carbonDioxide out",
    );
  }
  return microatmospheres * 1e-6;
}
