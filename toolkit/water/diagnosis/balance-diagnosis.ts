import { DISPLAY, displayOf } from "../../display.js";
import { chiSquaredQuantile } from "../../numeric/distributions.js";
import { changeText, diagnosisText } from "./diagnosis-text.js";
import type { BalanceDiagnosis, DiagnosedHypothesis, Standing } from "./diagnosis-types.js";
import type { WeighedHypothesis } from "./hypothesis.js";
import { logSum, type WeighedWater } from "./weigh-water.js";

/** Below this a hypothesis further down is not told. */
const LEAST_PROBABILITY = 1e-4;
const MOST = 12;
/** The first are told however little they explain: "unexplained" says what to think of them. */
const ALWAYS = 3;
/** A water is called into question where it is less probable than this that nothing is wrong. */
const TOO_UNLIKELY = 0.9;
/** Up to this χ² of one, two and three terms a water is consistent. */
const CONSISTENT = [1, 2, 3].map((terms) => chiSquaredQuantile(0.95, terms));

/** Shares the probability out among all explanations of a water. */
export function balanceDiagnosis(
  water: WeighedWater,
  more: readonly WeighedHypothesis[] = [],
): BalanceDiagnosis {
  const weighed = [...water.hypotheses, ...more];
  const logs = weighed.map(({ baseRate, logMarginal }) => Math.log(baseRate) + logMarginal);
  const total = logSum([water.logClean, water.logUnexplained, ...logs]);
  const { evidence } = water.trial;
  const measured = {
    conductivity: evidence.conductivity?.value,
    dissolvedSolids: evidence.solids?.value,
  };
  const hypotheses = weighed
    .map((each, i) => ({ each, probability: Math.exp(logs[i] - total) }))
    .sort((a, b) => b.probability - a.probability)
    .filter(
      ({ probability }, rank) =>
        water.most !== undefined || rank < ALWAYS || probability >= LEAST_PROBABILITY,
    )
    .slice(0, water.most ?? MOST)
    .map(({ each, probability }) => diagnosed(each, probability));
  const terms = 1 + Number(evidence.conductivity !== undefined) + Number(evidence.solids !== undefined);
  const probability = Math.exp(water.logClean - total);
  const inconsistent = water.clean.chiSquared > CONSISTENT[terms - 1];
  const result: BalanceDiagnosis = {
    kind: "balance-diagnosis",
    sample: water.sample,
    raised: inconsistent && probability < TOO_UNLIKELY,
    reported: { ...standing(water.clean, measured.conductivity), probability },
    measured,
    hypotheses,
    unexplained: Math.exp(water.logUnexplained - total),
    toString: () => diagnosisText(result),
    [DISPLAY]: () => displayOf(result),
  };
  return result;
}

function diagnosed(each: WeighedHypothesis, probability: number): DiagnosedHypothesis {
  const { cause, family, ion, side, change, next } = each;
  return {
    ...{ cause, family, ion, side, probability, change, next },
    changeWords: changeText(change),
    ...standing(each.best, each.measured),
  };
}

function standing(outcome: WeighedHypothesis["best"], measured: number | undefined): Standing {
  const { difference, uDifference, size, conductivity, uConductivity, solids, chiSquared } = outcome;
  return {
    difference,
    uDifference,
    percentDifference: (50 * difference) / size,
    uPercent: (50 * uDifference) / size,
    conductivity,
    conductivityRatio: measured === undefined ? undefined : conductivity / measured,
    uRatio: uConductivity,
    dissolvedSolids: solids,
    chiSquared,
  };
}
