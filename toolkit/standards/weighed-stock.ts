import { IonbookError } from "../errors.js";
import { ion } from "../ions/ion-table.js";
import { requireKnownOptions } from "../ions/known-options.js";
import { convert, type Unit } from "../ions/units.js";
import {
  combineLinear,
  type InputUncertainty,
  type MeasuredValue,
  measured,
  over,
  propagate,
  times,
} from "../uncertainty/measured.js";
import type { AcidMatrix } from "./acid-matrix.js";
import { analyteOf } from "./analyte.js";
import { type LaboratoryBalance, readingUncertainty, type StatedQuantity } from "./balance.js";
import { likelySlip, requirePlainForm, requireUnitText } from "./form-slips.js";
import { type Glassware, type RoomTemperature, volumeOf } from "./glassware.js";
import { compositionOf, type OwnSalt, type Salt, saltOf } from "./salts.js";
import { buoyancyFactor, densityOf, requireWeighing, smallWeighing, weighedVolume } from "./weighing.js";

/** A stock solution weighed from a salt or a metal, made up in a flask or on a balance. */
export interface WeighedStock {
  readonly name: string;
  /** "NaCl", "CaCl2·2H2O", or a solid of one's own; crystal water counts as it is written. */
  readonly salt: string | OwnSalt;
  /** mg, as the balance shows it in air, less the empty vessel. */
  readonly mass: number;
  /** Of the mass, mg: what the weighing of a difference leaves. @default that of `balance` */
  readonly massUncertainty?: InputUncertainty;
  /** Degrees of freedom of that uncertainty. @default Infinity: taken as known */
  readonly massDof?: number;
  /** That the solid is weighed on; needed where `massUncertainty`, `flask` or the buoyancy of the solid is left to it. */
  readonly balance?: LaboratoryBalance;
  /** Of the solid, g/mL: its mass is then corrected for the buoyancy of the air. @default not corrected, and said */
  readonly solidDensity?: StatedQuantity;
  /** Mass fraction of the salt in the solid. @default 1 */
  readonly purity?: number;
  /** Of the purity. @default the gap to 1 on either side, rectangular */
  readonly purityUncertainty?: InputUncertainty;
  /** Filled to its mark; or `solutionMass` in its place. */
  readonly flask?: Glassware;
  /** All of the solution, as the balance shows it in air, less the empty bottle, g; `density` is needed then. */
  readonly solutionMass?: number;
  /** That the solution is weighed on. @default `balance` */
  readonly solutionBalance?: LaboratoryBalance;
  /** Solutions of one day share the room's temperature and air. @default the day of this stock alone */
  readonly day?: string;
  readonly matrix?: AcidMatrix;
  /** Of the solution, g/mL at 20 °C; needed where a solution weighs it, or where it is made up by mass. */
  readonly density?: StatedQuantity;
  /** What its label says it holds: compared with what the weighing gives. */
  readonly declared?: { readonly ion: string; readonly concentration: number; readonly unit: Unit };
}

/** What was weighed, and how much solution it makes. */
export interface WeighedContent {
  readonly salt: Salt;
  /** mg/L of every ion, counter-ions too, by name. */
  readonly ions: ReadonlyMap<string, MeasuredValue>;
  /** mL at 20 °C. */
  readonly volume: number;
  readonly cautions: readonly string[];
}

/**
 * Content of a stock from a solid:
 *
 *     c = m·P·ν·M_ion/(M_salt·V),   m = R·(1 − ρ_air/ρ_weights)/(1 − ρ_air/ρ_solid)
 *
 * m mass of the solid in mg, from its reading R where `solidDensity` is given, else the reading itself; P purity; ν ions
 * in a formula unit of M_salt g/mol, crystal water counted; V the flask's volume, or that of the solution's mass
 * (`weighedVolume`). mg and mL make mg/mL, hence the thousand for mg/L. Solid and solution on one balance share its slope,
 * which cancels, and the air of their day.
 *
 * @throws IonbookError "bad-mass", "bad-flask", "bad-stock", "bad-balance", "bad-density", "no-density", "bad-purity",
 *   "bad-uncertainty", "unknown-option", "unknown-salt", "stock-not-as-declared", "form-slip", "salt-without-ion"
 * @source Eurachem/CITAC CG 4 (QUAM), example A1; buoyancy: as `buoyancyFactor`
 */
export function weighedContent(stock: WeighedStock, room: RoomTemperature): WeighedContent {
  requireKnownOptions(stock, KNOWN, `The stock "${stock.name}"`);
  const { name, mass } = stock;
  const solid = saltOf(stock.salt);
  if (!(mass > 0 && Number.isFinite(mass))) {
    throw new IonbookError(
      "bad-mass",
      `The mass of "${name}" is ${mass}; give mg of ${solid.formula} above 0`,
    );
  }
  const day = stock.day ?? `making ${name}`;
  const volume = volumeOfStock(stock, day, room);
  const perMillilitre = over(times(massOfSolid(stock, solid, day), purityOf(stock)), volume);
  const ions = new Map<string, MeasuredValue>();
  for (const [of, count] of compositionOf(solid)) {
    const share = (count * ion(of).molarMass) / solid.molarMass;
    ions.set(of, combineLinear([{ value: perMillilitre, factor: 1000 * share }], "mg/L"));
  }
  requireAsDeclared(stock, solid, ions);
  return {
    salt: solid,
    ions,
    volume: stock.flask?.volume ?? volume.value,
    cautions: cautionsOf(stock, solid),
  };
}

const KNOWN: Readonly<Record<keyof WeighedStock, true>> = {
  name: true,
  salt: true,
  mass: true,
  massUncertainty: true,
  massDof: true,
  balance: true,
  solidDensity: true,
  purity: true,
  purityUncertainty: true,
  flask: true,
  solutionMass: true,
  solutionBalance: true,
  day: true,
  matrix: true,
  density: true,
  declared: true,
};

/** Flask to the mark, or all of the solution on a balance; mL at 20 °C. */
function volumeOfStock(stock: WeighedStock, day: string, room: RoomTemperature): MeasuredValue {
  const { name, flask, solutionMass, balance, solutionBalance = balance } = stock;
  if (solutionMass === undefined) {
    if (flask?.kind === "flask")
      return volumeOf(flask, { solution: name, day, volume: flask.volume, times: 1 }, room);
    throw new IonbookError(
      "bad-flask",
      `The stock "${name}" needs its flask: { flask: volumetricFlask(1000) }, or all of it on a balance: { solutionMass, density, balance: laboratoryBalance(2000) }`,
    );
  }
  if (flask !== undefined) {
    throw new IonbookError(
      "bad-stock",
      `The stock "${name}" is either filled to a mark or weighed: give flask, or solutionMass with density`,
    );
  }
  const act = `weighing all of ${name}`;
  const weighed = requireWeighing(solutionBalance as LaboratoryBalance, solutionMass, `"${name}"`);
  if (weighed * 1000 < stock.mass) {
    throw new IonbookError(
      "bad-mass",
      `All of "${name}" is to weigh ${weighed} g, less than the ${stock.mass} mg of solid in it: solutionMass is in g, mass in mg`,
    );
  }
  const density = densityOf(name, stock.density);
  if (density === undefined) {
    throw new IonbookError(
      "no-density",
      `"${name}" is made up by mass but its contents are in mg/L: give its density in g/mL at 20 °C, { density: { value: 1.0004, uncertainty: { u: 0.0003 } } }`,
    );
  }
  return weighedVolume(solutionBalance as LaboratoryBalance, { act, day, mass: weighed }, density);
}

const MILLIGRAMS = 1000;

/** mg of the solid with its sources. */
function massOfSolid(stock: WeighedStock, solid: Salt, day: string): MeasuredValue {
  const { name, mass, massUncertainty, massDof: dof = Number.POSITIVE_INFINITY, balance } = stock;
  if (balance !== undefined) requireWeighing(balance, mass / MILLIGRAMS, `${solid.formula} for "${name}"`);
  const uncertainty = massUncertainty ?? (balance && { u: MILLIGRAMS * readingUncertainty(balance) });
  const reading = measured(mass, "mg", uncertainty as InputUncertainty, { source: `mass of ${name}`, dof });
  if (balance === undefined) {
    if (stock.solidDensity === undefined) return reading;
    throw new IonbookError(
      "bad-stock",
      `The buoyancy of "${name}" hangs on the air at its balance: give balance: laboratoryBalance(220) beside solidDensity`,
    );
  }
  const { sensitivity, airDensity } = balance;
  const slope = measured(1, "1", sensitivity, { source: `sensitivity of ${balance.name}` });
  const density = densityOf(`solid ${solid.formula}`, stock.solidDensity);
  if (density === undefined) return times(reading, slope);
  const air = measured(airDensity.value, "kg/m³", airDensity.uncertainty, { source: `air, ${day}` });
  return propagate(
    (x) => x.reading * x.slope * buoyancyFactor(x.density, x.air, balance.weightsDensity),
    { reading, slope, density, air },
    "mg",
  );
}

const SMALL_SOLID = "weigh more into more solution, or take a balance that reads finer";

/** What the card says of the weighing. */
function cautionsOf(stock: WeighedStock, solid: Salt): readonly string[] {
  const { mass, balance, massUncertainty, solidDensity } = stock;
  if (balance === undefined) return [];
  const small =
    massUncertainty === undefined
      ? smallWeighing(balance, mass / MILLIGRAMS, solid.formula, SMALL_SOLID)
      : undefined;
  const light =
    solidDensity === undefined
      ? `the mass of ${solid.formula} is not corrected for buoyancy: solids of 1.5 to 3 g/mL read 0.07 to 0.03 % too light in air; give solidDensity where that counts`
      : undefined;
  return [small, light].flatMap((text) => text ?? []);
}

/** Labels are rounded: what differs by less than this is no slip. */
const LABEL_ROUNDING = 0.02;

/** @throws IonbookError "stock-not-as-declared" naming the slip that would explain it */
function requireAsDeclared(
  { name, declared }: WeighedStock,
  solid: Salt,
  ions: ReadonlyMap<string, MeasuredValue>,
): void {
  if (declared === undefined) return;
  if (typeof declared !== "object" || declared === null) {
    throw new IonbookError(
      "bad-stock",
      `The declaration of "${name}" is an object: { declared: { ion: "nitrate", concentration: 1000, unit: "mg/L as N" } }`,
    );
  }
  requireUnitText(name, declared.unit);
  requirePlainForm(name, declared.ion, declared.unit);
  const of = analyteOf(ion(declared.ion).name);
  const found = ions.get(of);
  if (found === undefined) {
    throw new IonbookError("salt-without-ion", `The stock "${name}" of ${solid.formula} holds no ${of}`);
  }
  const value = convert(found.value, "mg/L", declared.unit, of);
  const ratio = value / declared.concentration;
  if (Math.abs(ratio - 1) <= LABEL_ROUNDING) return;
  const slip = likelySlip(ratio, of, solid);
  throw new IonbookError(
    "stock-not-as-declared",
    `The stock "${name}" is declared as ${declared.concentration} ${declared.unit} ${of}, but its weighing gives ${Number(value.toPrecision(4))}${slip === undefined ? "" : `: ${slip}`}. Mend the label, the mass or the flask`,
  );
}

function purityOf(stock: WeighedStock): MeasuredValue {
  const { name, purity = 1, purityUncertainty } = stock;
  if (!(purity > 0 && purity <= 1)) {
    throw new IonbookError(
      "bad-purity",
      `The purity of "${name}" is ${purity}; give it as a mass fraction: 0.999 for 99.9 %`,
    );
  }
  const how = purityUncertainty ?? { halfWidth: 1 - purity, shape: "rectangular" as const };
  return measured(purity, "1", how, { source: `purity of ${name}` });
}
