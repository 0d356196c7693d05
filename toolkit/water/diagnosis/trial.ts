import { conductivityModel } from "../conductivity/conductivity-model.js";
import type { IonPair } from "../conductivity/ion-pairs.js";
import { type CompositionPrior, compositionPrior } from "./composition-prior.js";
import type { PlainIon, PlainWater } from "./plain-water.js";

/** What was measured beside the ions. */
export interface Evidence {
  /** µS/cm at 25 °C, with the relative uncertainty of the reading. */
  readonly conductivity: { readonly value: number; readonly relative: number } | undefined;
  /** mg/L */
  readonly solids: { readonly value: number; readonly relative: number } | undefined;
}

/** A water as a hypothesis has it, beside what was measured. */
export interface Outcome {
  /** Cations − anions, meq/L, and its standard uncertainty. */
  readonly difference: number;
  readonly uDifference: number;
  /** Half of both sides together, meq/L. */
  readonly size: number;
  /** µS/cm */
  readonly conductivity: number;
  /** Relative, of computed and measured conductivity together. */
  readonly uConductivity: number;
  /** mg/L */
  readonly solids: number;
  /** (D/u)² + ((κ − κ_m)/u)² and, where solids were weighed, their term. */
  readonly chiSquared: number;
  /** Logarithm of the likelihood of difference, conductivity and solids, times the prior of the composition. */
  readonly logLikelihood: number;
  /** Of these the prior of the composition alone. */
  readonly logPrior: number;
}

/** Evaluates amounts, meq/L, in the order of its ions. */
export interface Trial {
  readonly ions: readonly PlainIon[];
  readonly water: PlainWater;
  readonly evidence: Evidence;
  readonly amounts: Float64Array;
  /** (D/u)² alone: quick. */
  imbalance(amounts: ArrayLike<number>): number;
  evaluate(amounts: ArrayLike<number>, evidence?: Evidence): Outcome;
}

const LOG_TWO_PI = Math.log(2 * Math.PI);
/** Ions too rare to be looked for leave this much of the sum open, and this much where there is hardly any, meq/L. */
export const OPEN_SHARE = 0.004;
export const OPEN_LEAST = 0.0005;
/** Conductivity nobody accounts for: carbon dioxide, the cell, µS/cm. */
const OPEN_CONDUCTIVITY = 0.4;
/** Model of the conductivity below 0.01, at 0.1 mol/L and beyond (BALANCE: with ion pairs). */
const MODEL = { dilute: 0.02, strong: 0.04, beyond: 0.15 };
/** Weighed solids are 1.0 to 1.2 times the computed ones: water of crystals, and silica in mg/L. */
const SOLIDS = { ratio: 1.03, u: 0.04, silica: 10, uSilica: 9 };

/**
 * A water made ready for many hypotheses: charge, conductivity, solids and likelihood from plain numbers.
 *
 * @param pairs ion pairs of the conductivity model
 * @source likelihood: independent normal errors of D/S, ln κ and ln of solids; the prior see `compositionPrior`
 */
export function trialOf(water: PlainWater, evidence: Evidence, pairs: readonly IonPair[]): Trial {
  return trialWith(water, water.ions, evidence, pairs);
}

/** The same with other ions, as when one is added. */
export function trialWith(
  water: PlainWater,
  ions: readonly PlainIon[],
  evidence: Evidence,
  pairs: readonly IonPair[],
): Trial {
  const chargeOf = chargeSums(ions, water.sharing);
  const propertiesOf = dissolvedProperties(ions, pairs);
  const prior: CompositionPrior = compositionPrior(
    ions.map(({ name }) => name),
    water.pH,
  );
  return {
    ions,
    water,
    evidence,
    amounts: Float64Array.from(ions, ({ amount }) => amount),
    imbalance(amounts) {
      const { difference, variance } = chargeOf(amounts);
      return difference ** 2 / variance;
    },
    evaluate: (amounts, given = evidence) =>
      outcomeOf(chargeOf(amounts), propertiesOf(amounts), given, prior(amounts)),
  };
}

interface ChargeSums {
  difference: number;
  variance: number;
  size: number;
}

/** Difference, its variance and half the sum of the charges; the result is overwritten by the next call. */
function chargeSums(
  ions: readonly PlainIon[],
  sharing: number,
): (amounts: ArrayLike<number>) => Readonly<ChargeSums> {
  const signs = Float64Array.from(ions, ({ side }) => (side === "cation" ? 1 : -1));
  const relatives = Float64Array.from(ions, ({ relative }) => relative);
  const sums: ChargeSums = { difference: 0, variance: 0, size: 0 };
  return (amounts) => {
    let [difference, own, total] = [0, 0, 0];
    for (let i = 0; i < signs.length; i++) {
      difference += signs[i] * amounts[i];
      own += (relatives[i] * amounts[i]) ** 2;
      total += amounts[i];
    }
    sums.difference = difference;
    sums.size = total / 2;
    sums.variance = sharing * own + (OPEN_SHARE * sums.size) ** 2 + OPEN_LEAST ** 2;
    return sums;
  };
}

/** What a water of such amounts would show. */
interface Dissolved {
  /** µS/cm, and its relative uncertainty before any reading. */
  readonly conductivity: number;
  readonly uConductivity: number;
  /** mg/L */
  readonly solids: number;
}

function dissolvedProperties(
  ions: readonly PlainIon[],
  pairs: readonly IonPair[],
): (amounts: ArrayLike<number>) => Dissolved {
  const masses = Float64Array.from(ions, ({ mass }) => mass);
  const uncertain = Float64Array.from(ions, ({ relative, lambda }) => relative * lambda);
  const conducts = conductivityOfIons(ions, pairs);
  return (amounts) => {
    const conductivity = conducts(amounts);
    let [byIons, solids, strength] = [0, 0, 0];
    for (let i = 0; i < masses.length; i++) {
      byIons += (uncertain[i] * amounts[i]) ** 2;
      solids += masses[i] * amounts[i];
      strength += amounts[i];
    }
    const model = modelUncertainty(strength / 1500);
    const open = (byIons + OPEN_CONDUCTIVITY ** 2) / conductivity ** 2;
    return { conductivity, uConductivity: Math.sqrt(model ** 2 + open), solids };
  };
}

/** Independent normal errors of D/S, ln κ and the solids, times the prior of the composition. */
function outcomeOf(
  { difference, variance, size }: Readonly<ChargeSums>,
  { conductivity, uConductivity: uComputed, solids }: Dissolved,
  given: Evidence,
  logPrior: number,
): Outcome {
  const uConductivity = Math.hypot(uComputed, given.conductivity?.relative ?? 0);
  let chiSquared = difference ** 2 / variance;
  let log = -0.5 * (chiSquared + LOG_TWO_PI + Math.log(variance)) + Math.log(size);
  const logNormal = (deviation: number, u: number): number =>
    -0.5 * ((deviation / u) ** 2 + LOG_TWO_PI) - Math.log(u);
  if (given.conductivity) {
    const ratio = conductivity / given.conductivity.value;
    chiSquared += ((ratio - 1) / uConductivity) ** 2;
    log += logNormal(Math.log(ratio), uConductivity);
  }
  if (given.solids) {
    const { value, relative } = given.solids;
    const u = Math.hypot(SOLIDS.u * solids, SOLIDS.uSilica, relative * value);
    const deviation = value - SOLIDS.ratio * solids - SOLIDS.silica;
    chiSquared += (deviation / u) ** 2;
    log += logNormal(deviation / value, u / value);
  }
  return {
    difference,
    uDifference: Math.sqrt(variance),
    size,
    conductivity,
    uConductivity,
    solids,
    chiSquared,
    logLikelihood: log + logPrior,
    logPrior,
  };
}

/** Ionic strength is about this; mol/L. */
function modelUncertainty(strength: number): number {
  if (strength <= 0.01) return MODEL.dilute;
  if (strength > 0.1) return MODEL.beyond;
  return MODEL.dilute + (MODEL.strong - MODEL.dilute) * Math.log10(strength / 0.01);
}

function conductivityOfIons(ions: readonly PlainIon[], pairs: readonly IonPair[]) {
  const forms = ions.flatMap((each, owner) => each.forms.map((one) => ({ ...one, owner })));
  const model = conductivityModel(
    forms.map(({ form }) => form),
    "onsager",
    pairs,
  );
  const owners = Int32Array.from(forms, ({ owner }) => owner);
  const shares = Float64Array.from(forms, ({ millimoles }) => millimoles);
  const concentrations = new Float64Array(forms.length);
  return (amounts: ArrayLike<number>): number => {
    for (let i = 0; i < concentrations.length; i++) concentrations[i] = shares[i] * amounts[owners[i]];
    return model(concentrations);
  };
}
