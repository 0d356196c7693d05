import { convert } from "../../ions/units.js";
import { BASE_RATES, DILUTION_FACTORS } from "./base-rates.js";
import { fixedOutcome, HOPELESS, type WeighedHypothesis } from "./hypothesis.js";
import type { PlainIon, Vessel } from "./plain-water.js";
import type { Trial } from "./trial.js";

/** Ions reported as their element, mistaking one for the other being a factor; with the share each has in such slips. */
const ELEMENTS: Readonly<Record<string, readonly [element: string, share: number]>> = {
  nitrate: ["N", 0.5],
  nitrite: ["N", 0.15],
  ammonium: ["N", 0.2],
  phosphate: ["P", 0.1],
  sulfate: ["S", 0.05],
};
/** An ion below this share of all, before and after, cannot be judged by a sum. */
const SMALLEST_SHARE = 0.004;

/** A factor on some amounts: by how much each of them would have to be multiplied. */
interface Slip {
  readonly cause: string;
  readonly family: "dilution" | "unit";
  readonly ion: string | undefined;
  readonly side: "cation" | "anion";
  readonly what: string;
  readonly baseRate: number;
  readonly factor: (ion: PlainIon, index: number) => number;
  readonly next: string;
}

/** Slips of dilution and unit: of a whole channel and of single ions, both ways. */
export function slipHypotheses(trial: Trial): readonly WeighedHypothesis[] {
  const slips = [...channelSlips(trial), ...ionSlips(trial)];
  return slips.flatMap((slip) => {
    const amounts = trial.amounts.map((amount, i) => amount * slip.factor(trial.ions[i], i));
    const found = fixedOutcome(trial, amounts);
    if (!found) return [];
    const { cause, family, ion, side, baseRate, next } = slip;
    const total = (of: ArrayLike<number>) =>
      trial.ions.reduce((sum, each, i) => sum + (slip.factor(each, i) === 1 ? 0 : of[i]), 0);
    const [from, to] = [total(trial.amounts), total(amounts)];
    const mass = ion === undefined ? undefined : trial.ions.find(({ name }) => name === ion)?.mass;
    const change = {
      what: slip.what,
      from: mass === undefined ? from : from * mass,
      to: mass === undefined ? to : to * mass,
      unit: mass === undefined ? "meq/L" : "mg/L",
      factor: to / from,
    };
    const measured = trial.evidence.conductivity?.value;
    return [{ cause, family, side, ion, baseRate, ...found, measured, change, next }];
  });
}

function channelSlips(trial: Trial): readonly Slip[] {
  return (["cation", "anion"] as const).flatMap((vessel): Slip[] => {
    if (!trial.ions.some((each) => each.vessel === vessel)) return [];
    const what = `all ${vessel}s`;
    const common = { ion: undefined, side: vessel, what };
    const onVessel = (factor: (ion: PlainIon) => number) => (each: PlainIon) =>
      each.vessel === (vessel as Vessel) ? factor(each) : 1;
    const dilutions = bothWays(DILUTION_FACTORS).map(
      ([factor, share]): Slip => ({
        ...common,
        family: "dilution",
        cause: `dilution of ${what}`,
        baseRate: (BASE_RATES.channelDilution * share) / 4,
        factor: onVessel(() => factor),
        next: `look up the dilution of the ${vessel} vial, and inject it again freshly diluted`,
      }),
    );
    const unit = (name: string, baseRate: number, factor: (ion: PlainIon) => number): Slip => ({
      ...common,
      family: "unit",
      cause: `${what} given in ${name}`,
      baseRate: baseRate / 4,
      factor: onVessel(factor),
      next: `look up the unit in which the ${vessel}s were entered`,
    });
    return [
      ...dilutions,
      unit("µg/L for mg/L", BASE_RATES.micrograms, () => 0.001),
      unit("mg/L for µg/L", BASE_RATES.micrograms, () => 1000),
      unit("meq/L for mg/L", BASE_RATES.milliequivalents, ({ mass }) => mass),
      unit("mg/L for meq/L", BASE_RATES.milliequivalents, ({ mass }) => 1 / mass),
    ];
  });
}

function ionSlips(trial: Trial): readonly Slip[] {
  const all = trial.amounts.reduce((sum, amount) => sum + amount, 0);
  const amounts = Float64Array.from(trial.amounts);
  const ions = trial.ions.map((each, at) => ({ each, at })).filter(({ each }) => each.vessel !== "bottle");
  return ions.flatMap(({ each, at }): readonly Slip[] => {
    const slip: MakeSlip = (family, cause, factor, baseRate, next) => {
      if (each.amount * Math.max(factor, 1) < SMALLEST_SHARE * all) return [];
      amounts[at] = each.amount * factor;
      const imbalance = trial.imbalance(amounts);
      amounts[at] = each.amount;
      if (imbalance > HOPELESS) return [];
      const only = (_: PlainIon, index: number) => (index === at ? factor : 1);
      const { name: ion, side } = each;
      return [{ family, cause, ion, side, what: ion, baseRate, factor: only, next }];
    };
    return slipsOfIon(each, 1 / ions.length, slip);
  });
}

/** A slip of one ion, none where it could not change anything or would not bring the charge near. */
type MakeSlip = (
  family: Slip["family"],
  cause: string,
  factor: number,
  baseRate: number,
  next: string,
) => readonly Slip[];

/** What can be slipped with one ion; `share` is its part in the slips of all ions. */
function slipsOfIon({ name, mass }: PlainIon, share: number, slip: MakeSlip): readonly Slip[] {
  const again = `look up the dilution ${name} was taken from, and inject that vial again`;
  const unitNext = `look up the unit in which ${name} was entered, in the calibration too`;
  const dilution = bothWays(DILUTION_FACTORS).flatMap(([factor, often]) =>
    slip("dilution", `dilution of ${name}`, factor, (BASE_RATES.ionDilution * often * share) / 2, again),
  );
  const [element, part] = ELEMENTS[name] ?? [undefined, 0];
  const ofElement = element === undefined ? 1 : convert(1, `mg/L as ${element}`, "mg/L", name);
  const rate = (BASE_RATES.elementUnit * part) / 2;
  const cause = `${name} given as ${element} or the reverse`;
  const elements = [ofElement, 1 / ofElement].flatMap((factor) =>
    element === undefined ? [] : slip("unit", cause, factor, rate, unitNext),
  );
  const wrong = (text: string, factor: number, base: number) =>
    slip("unit", `${name} given in ${text}`, factor, (base * share) / 4, unitNext);
  return [
    ...dilution,
    ...elements,
    ...wrong("µg/L for mg/L", 0.001, BASE_RATES.micrograms),
    ...wrong("mg/L for µg/L", 1000, BASE_RATES.micrograms),
    ...wrong("meq/L for mg/L", mass, BASE_RATES.milliequivalents),
    ...wrong("mg/L for meq/L", 1 / mass, BASE_RATES.milliequivalents),
  ];
}

function bothWays(factors: typeof DILUTION_FACTORS): readonly (readonly [number, number])[] {
  return factors.flatMap(([factor, share]) => [[factor, share] as const, [1 / factor, share] as const]);
}
