import { IonbookError } from "../../errors.js";
import type { MeasuredValue } from "../../uncertainty/measured.js";
import type { Concentrations, WaterOptions } from "../analysis/water-input.js";
import { type IonPair, pairsInForce } from "../conductivity/ion-pairs.js";
import { BASE_RATES } from "./base-rates.js";
import type { WeighedHypothesis } from "./hypothesis.js";
import { missingHypotheses, type UnknownCharge } from "./missing-ions.js";
import { plainWater, positiveNumber } from "./plain-water.js";
import { slipHypotheses } from "./slips.js";
import { type Evidence, type Outcome, type Trial, trialOf } from "./trial.js";
import { wholeWaterHypotheses } from "./whole-water.js";
import { wrongAmountHypotheses } from "./wrong-amounts.js";

export interface DiagnosisOptions extends WaterOptions {
  /** Measured at 25 °C, µS/cm. Without it most hypotheses cannot be told apart. */
  readonly conductivity?: number | MeasuredValue;
  /** Weighed residue of a filtered sample, dried at 180 °C, mg/L. */
  readonly dissolvedSolids?: number | MeasuredValue;
  /** Charge of unidentified anions, meq/L. */
  readonly unknownAnions?: UnknownCharge;
  /** Taken out of the free ions when conductivity is computed: default true, `ION_PAIRS`. */
  readonly ionPairs?: boolean | readonly IonPair[];
  /** How the water is called in what is said. */
  readonly sample?: string;
  /** How many hypotheses to keep, however improbable. Default: at most twelve, and beyond three none below 0.01 %. */
  readonly most?: number;
}

/** Every option, once. */
export const KNOWN_OPTIONS: Readonly<Record<keyof DiagnosisOptions, true>> = {
  pH: true,
  temperature: true,
  alkalinity: true,
  alkalinityEndpoint: true,
  carbonDioxide: true,
  conductivity: true,
  dissolvedSolids: true,
  unknownAnions: true,
  ionPairs: true,
  sample: true,
  most: true,
};

/** A water with all hypotheses weighed that need no other water. */
export interface WeighedWater {
  readonly sample: string;
  readonly most: number | undefined;
  readonly trial: Trial;
  readonly pairs: readonly IonPair[];
  /** As it was reported. */
  readonly clean: Outcome;
  readonly hypotheses: readonly WeighedHypothesis[];
  /** Logarithms of base rate times likelihood: of no fault, and of a fault that is not in the list. */
  readonly logClean: number;
  readonly logUnexplained: number;
}

/** Reading of a conductivity meter and weighing of solids, where no uncertainty is given (common practice, no source). */
const U_CONDUCTIVITY = 0.01;
const U_SOLIDS = 0.03;
/** A fault that is not in the list may leave any difference, and a conductivity and solids off by this. */
const UNEXPLAINED_SPREAD = 0.7;

/** @throws IonbookError as `diagnoseBalance` */
export function weighWater(concentrations: Concentrations, options: DiagnosisOptions): WeighedWater {
  const { conductivity, dissolvedSolids, unknownAnions, ionPairs = true, sample = "", most } = options;
  if (most !== undefined && !(Number.isInteger(most) && most > 0)) {
    throw new IonbookError(
      "bad-option",
      `most is ${String(most)}: give a whole number of hypotheses above 0`,
    );
  }
  if (typeof sample !== "string") {
    throw new IonbookError("bad-option", `sample is ${String(sample)}: give the name of the water as text`);
  }
  const pairs = pairsInForce(ionPairs);
  const evidence: Evidence = {
    conductivity:
      conductivity === undefined ? undefined : positiveNumber(conductivity, U_CONDUCTIVITY, "conductivity"),
    solids:
      dissolvedSolids === undefined
        ? undefined
        : positiveNumber(dissolvedSolids, U_SOLIDS, "sum of dissolved solids"),
  };
  const trial = trialOf(plainWater(concentrations, options), evidence, pairs);
  const clean = trial.evaluate(trial.amounts);
  return {
    sample,
    most,
    trial,
    pairs,
    clean,
    hypotheses: [
      ...missingHypotheses(trial, pairs, unknownAnions),
      ...slipHypotheses(trial),
      ...wrongAmountHypotheses(trial),
      ...wholeWaterHypotheses(trial),
    ],
    logClean: clean.logLikelihood,
    logUnexplained: Math.log(BASE_RATES.unexplained) + unexplained(clean, evidence),
  };
}

/** Logarithm of everything that speaks for a water: what is shared out among its explanations. */
export function logEvidence({ hypotheses, logClean, logUnexplained }: WeighedWater): number {
  return logSum([
    logClean,
    logUnexplained,
    ...hypotheses.map(({ baseRate, logMarginal }) => Math.log(baseRate) + logMarginal),
  ]);
}

export function logSum(logs: readonly number[]): number {
  const most = Math.max(...logs);
  return most + Math.log(logs.reduce((sum, log) => sum + Math.exp(log - most), 0));
}

/** The likelihood with the prior of the composition as it is and D/S anywhere between −1 and 1. */
function unexplained(clean: Outcome, { conductivity, solids }: Evidence): number {
  let log = clean.logPrior - Math.log(2);
  const wide = (deviation: number): number =>
    -0.5 * (deviation / UNEXPLAINED_SPREAD) ** 2 - Math.log(UNEXPLAINED_SPREAD) - 0.5 * Math.log(2 * Math.PI);
  if (conductivity) log += wide(Math.log(clean.conductivity / conductivity.value));
  if (solids) log += wide(Math.log(solids.value / clean.solids));
  return log;
}
