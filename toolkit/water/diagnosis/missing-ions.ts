import type { MeasuredValue } from "../../uncertainty/measured.js";
import type { IonPair } from "../conductivity/ion-pairs.js";
import { BASE_RATES, NEXT } from "./base-rates.js";
import {
  type AmountPrior,
  freeOutcome,
  logNormalPrior,
  mergedVariants,
  type WeighedHypothesis,
} from "./hypothesis.js";
import { ionNotGiven, type PlainIon } from "./plain-water.js";
import { type Trial, trialWith } from "./trial.js";

/** Charge of unidentified anions, meq/L. */
export type UnknownCharge = number | MeasuredValue;

/** Ions that most waters have: how much of them is said by the composition. */
const USUAL = ["sodium", "potassium", "magnesium", "calcium", "ammonium", "chloride", "nitrate", "sulfate"];
const METALS = ["iron(II)", "manganese(II)", "aluminium", "strontium"];
/** Light, middle and heavy: their conductivities per equivalent are 41, 55 and 74. */
const ORGANIC = ["acetate", "formate", "oxalate"];
/** Above this pH there is hydrogencarbonate, and so much higher every water has some that counts. */
const CARBONATE_PH = 4.7;
const CARBONATE_SURE = 1.5;
/** Above this pH weak acids that are neutral elsewhere carry charge. */
const ALKALINE_PH = 9;
/** Charge from an area against one reference: 15 %. */
const UNKNOWN_SPREAD = 0.15;

const flat: AmountPrior = () => 0;

/** Ions that were not given and of which some would close the balance. */
export function missingHypotheses(
  trial: Trial,
  pairs: readonly IonPair[],
  unknownAnions: UnknownCharge | undefined,
): readonly WeighedHypothesis[] {
  const { difference } = trial.evaluate(trial.amounts);
  const missing = new Missing(trial, pairs);
  return difference > 0 ? missingAnions(missing, unknownAnions) : missingCations(missing);
}

/** Adds ions to a water. */
class Missing {
  constructor(
    readonly trial: Trial,
    readonly pairs: readonly IonPair[],
  ) {}

  has(name: string): boolean {
    return this.trial.ions.some((ion) => ion.name === name);
  }

  /** @param known name under which the composition knows it */
  with(name: string, prior: AmountPrior, known = name) {
    const { water, evidence, ions } = this.trial;
    const added = ionNotGiven(name, water.pH);
    if (!added) return undefined;
    const none: PlainIon = { ...added, name: known, amount: 1e-9, relative: 0 };
    const trial = trialWith(water, [...ions, none], evidence, this.pairs);
    const found = freeOutcome(trial, ions.length, prior);
    return found && { ...found, ion: added };
  }

  hypothesis(
    cause: string,
    name: string,
    baseRate: number,
    next: string,
    found: ReturnType<Missing["with"]>,
    what = name,
  ): readonly WeighedHypothesis[] {
    if (!found) return [];
    const { best, logMarginal, amount, ion } = found;
    const known = what === name && name !== "hydrogencarbonate";
    const change = {
      what,
      from: 0,
      to: known ? amount * ion.mass : name === "hydrogencarbonate" ? amount * 61.017 : amount,
      unit: known || name === "hydrogencarbonate" ? "mg/L" : "meq/L",
      factor: undefined,
    };
    const measured = this.trial.evidence.conductivity?.value;
    const { side } = ion;
    return [
      {
        ...{ cause, family: "missing ion", side, ion: what === name ? name : undefined, baseRate },
        ...{ logMarginal, best, measured, change, next },
      },
    ];
  }

  usual(name: string): readonly WeighedHypothesis[] {
    if (this.has(name)) return [];
    const next = `look for ${name}: inject for it, or measure it by another technique`;
    const cause = `${name} not measured`;
    return this.hypothesis(cause, name, BASE_RATES.ionNotMeasured, next, this.with(name, flat));
  }
}

function missingAnions(missing: Missing, unknown: UnknownCharge | undefined): readonly WeighedHypothesis[] {
  const { pH, carbonateKnown } = missing.trial.water;
  const found: WeighedHypothesis[] = [];
  if (!carbonateKnown && (pH === undefined || pH > CARBONATE_PH)) {
    const name = "hydrogencarbonate";
    const sure = pH === undefined ? 1 : Math.min(1, (pH - CARBONATE_PH) / CARBONATE_SURE);
    const rate = BASE_RATES.carbonateNotMeasured * sure;
    found.push(
      ...missing.hypothesis(`${name} not measured`, name, rate, NEXT.carbonate, missing.with(name, flat)),
    );
  }
  found.push(...organicAnions(missing));
  if (unknown !== undefined) found.push(...unidentified(missing, unknown));
  for (const name of USUAL.slice(5)) found.push(...missing.usual(name));
  if (pH !== undefined && pH > ALKALINE_PH && !carbonateKnown) {
    for (const name of ["silicate", "borate"]) found.push(...rare(missing, name, logNormalPrior(0.1, 1)));
  }
  return found;
}

/** Organic anions of any conductivity: how much of them a kind of water has is said by the composition. */
function organicAnions(missing: Missing): readonly WeighedHypothesis[] {
  const all = "organic anions";
  const variants = ORGANIC.flatMap((name) => {
    const variant = missing.with(name, flat, all);
    return variant ? [{ share: 1 / ORGANIC.length, variant }] : [];
  });
  const rate = BASE_RATES.organicAnions;
  const found = mergedVariants(variants);
  return missing.hypothesis(`${all} not measured`, "", rate, NEXT.organic, found, all);
}

function unidentified(missing: Missing, unknown: UnknownCharge): readonly WeighedHypothesis[] {
  const [value, own] = typeof unknown === "number" ? [unknown, 0] : [unknown.value, unknown.u];
  if (!(value > 0)) return [];
  const prior = logNormalPrior(value, Math.hypot(UNKNOWN_SPREAD, own / value));
  const rate = BASE_RATES.unidentifiedPeaks;
  const found = missing.with("formate", prior);
  return missing.hypothesis("unidentified anions", "", rate, NEXT.peaks, found, "unidentified anions");
}

function missingCations(missing: Missing): readonly WeighedHypothesis[] {
  const { pH, carbonateKnown } = missing.trial.water;
  const found: WeighedHypothesis[] = [];
  if (pH === undefined && !carbonateKnown && !missing.has("hydrogen")) {
    const next = "measure the pH of an untouched bottle";
    const acid = missing.with("hydrogen", logNormalPrior(0.03, 1.2));
    found.push(
      ...missing.hypothesis(
        "hydrogen ion not counted",
        "hydrogen",
        BASE_RATES.hydrogenNotCounted,
        next,
        acid,
      ),
    );
  }
  for (const name of USUAL.slice(0, 5)) found.push(...missing.usual(name));
  for (const name of METALS) {
    const acidOnly = name === "aluminium";
    if (acidOnly && !(pH !== undefined && pH < 5)) continue;
    found.push(...rare(missing, name, logNormalPrior(0.01, 1.5)));
  }
  return found;
}

function rare(missing: Missing, name: string, prior: AmountPrior): readonly WeighedHypothesis[] {
  if (missing.has(name)) return [];
  const next = `measure ${name} in an acidified bottle by another technique`;
  const gentle = name === "silicate" || name === "borate" ? `measure ${name} by another technique` : next;
  return missing.hypothesis(
    `${name} not measured`,
    name,
    BASE_RATES.metals,
    gentle,
    missing.with(name, prior),
  );
}
