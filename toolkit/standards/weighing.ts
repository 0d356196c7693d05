import { IonbookError } from "../errors.js";
import { requireKnownOptions } from "../ions/known-options.js";
import { type MeasuredValue, measured, propagate } from "../uncertainty/measured.js";
import {
  type LaboratoryBalance,
  readingUncertainty,
  requireBalance,
  type StatedQuantity,
} from "./balance.js";

/** One weighing: of what, into which solution, on which day. */
export interface WeighingUse {
  /** "weighing mixture into level 1" */
  readonly act: string;
  /** Solutions of one day stand in the same air. */
  readonly day: string;
  /** Difference of two readings in air, g. */
  readonly mass: number;
}

/** The air of `airDensity` in kg/m³ in the unit of liquids, g/mL. */
const PER_MILLILITRE = 1e-3;
/** Net weights of so many standard deviations of a reading are trusted: 0.10 % with a factor 2. */
const SMALLEST_IN_REPEATABILITIES = 2000;

/**
 * True mass over what a balance shows in air:
 *
 *     m/R = (1 − ρ_a/ρ_w) / (1 − ρ_a/ρ)
 *
 * R reading, ρ density of what is weighed in g/mL, ρ_a of the air and ρ_w of the weights that the balance was adjusted
 * with, both in kg/m³. For water 1.00105: solutions by mass read 0.1 % too light, salts of 2 g/mL 0.05 %.
 *
 * @param density g/mL
 * @param air kg/m³
 * @param weights kg/m³
 * @throws IonbookError "bad-density"
 * @source closed form of the equilibrium in air; OIML D 28:2004 (conventional mass, from memory)
 */
export function buoyancyFactor(density: number, air = 1.2, weights = 8000): number {
  requireDensity(density, "density");
  if (!(air >= 0 && air < 10 && weights >= 1000)) {
    throw new IonbookError(
      "bad-density",
      `Air of ${air} and weights of ${weights} kg/m³: air is near 1.2, weights near 8000 kg/m³`,
    );
  }
  return (1 - air / weights) / (1 - (air * PER_MILLILITRE) / density);
}

/**
 * Volume at 20 °C of a liquid that was weighed in air, mL, with its named sources:
 *
 *     V = R·(1 − ρ_a/ρ_w) / (ρ − ρ_a),   u²(R) = 2·(s² + (lin/√3)²)
 *
 * The difference of two readings carries repeatability s and linearity of both. Slope of the balance, air of the day
 * and density of the liquid are sources shared by all weighings that name them, so that they cancel as far as they do
 * in the ratio of two. No temperature: a mass has none, and densities are those at 20 °C.
 *
 * @param density of the liquid, g/mL at 20 °C
 * @source ISO 4787 (volume from a weighing, from memory); u of a difference: QUAM, example A2
 */
export function weighedVolume(
  used: LaboratoryBalance,
  use: WeighingUse,
  density: MeasuredValue,
): MeasuredValue {
  const { sensitivity, airDensity, weightsDensity, name } = used;
  const u = readingUncertainty(used);
  return propagate(
    ({ reading, slope, air, liquid }) =>
      (reading * slope * (1 - air / weightsDensity)) / (liquid - air * PER_MILLILITRE),
    {
      reading: measured(use.mass, "g", { u }, { source: use.act }),
      slope: measured(1, "1", sensitivity, { source: `sensitivity of ${name}` }),
      air: measured(airDensity.value, "kg/m³", airDensity.uncertainty, { source: `air, ${use.day}` }),
      liquid: density,
    },
    "mL",
  );
}

/** The density of a liquid as a measured value, g/mL; a source of the liquid's own. */
export function densityOf(name: string, given: StatedQuantity | undefined): MeasuredValue | undefined {
  if (given === undefined) return undefined;
  requireKnownOptions(given, { value: true, uncertainty: true }, `the density of "${name}"`);
  requireDensity(given.value, `The density of "${name}"`);
  return measured(given.value, "g/mL", given.uncertainty, { source: `density of ${name}` });
}

function requireDensity(value: unknown, what: string): void {
  if (typeof value === "number" && value >= 0.5 && value <= 25) return;
  throw new IonbookError(
    "bad-density",
    `${what} is ${String(value)}; give g/mL at 20 °C: 0.9982 for water, 0.998 and not 998`,
  );
}

/** @throws IonbookError "bad-balance", "bad-mass" for a mass that the balance does not carry */
export function requireWeighing(used: LaboratoryBalance, mass: unknown, what: string): number {
  const { capacity, name } = requireBalance(used);
  if (typeof mass === "number" && mass > 0 && mass <= capacity) return mass;
  throw new IonbookError(
    "bad-mass",
    `The mass of ${what} is ${String(mass)}; the ${name} carries above 0 to ${capacity} g`,
  );
}

/**
 * What is said of a weighing too small for its balance; undefined where it is large enough.
 *
 * @source USP <41>: twice the standard deviation at most 0.10 % of the net weight (from memory)
 */
export function smallWeighing(
  used: LaboratoryBalance,
  mass: number,
  what: string,
  advice = "weigh more of a thinner solution",
): string | undefined {
  const smallest = SMALLEST_IN_REPEATABILITIES * used.repeatability;
  if (mass >= smallest) return undefined;
  return `${what}: ${mass} g is below the ${Number(smallest.toPrecision(3))} g from which the ${used.name} is good for 0.1 %; ${advice}`;
}
