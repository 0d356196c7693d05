import { BASE_RATES, NEXT } from "./base-rates.js";
import { type AmountPrior, freeOutcome, logNormalPrior, type WeighedHypothesis } from "./hypothesis.js";
import type { Trial } from "./trial.js";

/** A wrong amount is off by about this in natural logarithms: a curve, a hidden peak, a loss. */
const WRONG_SPREAD = 0.7;
const ALKALINITY_SPREAD = 0.8;
/** What comes in from filters, gloves and bottles, as part of the sum of one side. */
const CONTAMINATION = { share: 0.2, spread: 1.2 };
const SMALLEST_SHARE = 0.003;
const HALF_NORMAL = Math.log(2);

/** One ion too high or too low by a free amount, alkalinity included. */
export function wrongAmountHypotheses(trial: Trial): readonly WeighedHypothesis[] {
  const { difference } = trial.evaluate(trial.amounts);
  const all = trial.amounts.reduce((sum, amount) => sum + amount, 0);
  const ions = trial.ions.map((ion, at) => ({ ion, at }));
  const analysed = ions.filter(({ ion }) => ion.vessel !== "bottle");
  return ions.flatMap(({ ion, at }): WeighedHypothesis[] => {
    const excess = ion.side === "cation" ? difference : -difference;
    const isAlkalinity = ion.name === "hydrogencarbonate";
    if (ion.vessel === "bottle" && !isAlkalinity) return [];
    if (Math.max(ion.amount, ion.amount - excess) < SMALLEST_SHARE * all) return [];
    const tooHigh = excess > 0;
    const found = freeOutcome(trial, at, priorOf(trial, at, tooHigh), (a) =>
      tooHigh ? a < ion.amount : a > ion.amount,
    );
    if (!found) return [];
    const { best, amount, logMarginal } = found;
    const measured = trial.evidence.conductivity?.value;
    const common = { side: ion.side, ion: ion.name, logMarginal, best, measured };
    if (isAlkalinity) {
      const milligrams = (meq: number) => 50.043 * meq;
      return [
        {
          ...common,
          cause: `alkalinity too ${tooHigh ? "high" : "low"}`,
          family: "alkalinity",
          baseRate: BASE_RATES.alkalinity / 2,
          change: {
            ...{ what: "alkalinity", from: milligrams(ion.amount), to: milligrams(amount) },
            ...{ unit: "mg/L as CaCO3", factor: undefined },
          },
          next: NEXT.alkalinity,
        },
      ];
    }
    return [
      {
        ...common,
        cause: `${ion.name} too ${tooHigh ? "high" : "low"}`,
        family: "one ion wrong",
        baseRate: baseRateOf(ion.name, tooHigh, analysed.length),
        change: {
          ...{ what: ion.name, from: ion.amount * ion.mass, to: amount * ion.mass },
          ...{ unit: "mg/L", factor: undefined },
        },
        next: nextFor(ion.name, tooHigh),
      },
    ];
  });
}

/**
 * Density in ln of the true amount of what was read: too low by a half-normal in the logarithm; too high the same, or, of
 * sodium and chloride, by a contamination that is log-normal beside the size of the water.
 */
function priorOf(trial: Trial, at: number, tooHigh: boolean): AmountPrior {
  const ion = trial.ions[at];
  const spread = ion.name === "hydrogencarbonate" ? ALKALINITY_SPREAD : WRONG_SPREAD;
  const ratio = logNormalPrior(ion.amount, spread);
  const alone: AmountPrior = (a) => HALF_NORMAL + ratio(a);
  if (!tooHigh || !isContaminant(ion.name)) return alone;
  const rest = trial.ions.reduce((sum, { amount }, i) => (i === at ? sum : sum + amount), 0) / 2;
  const entered = logNormalPrior(CONTAMINATION.share * rest, CONTAMINATION.spread);
  const share = contaminationRate(ion.name) / baseRateOf(ion.name, true, trial.ions.length);
  return (a) => {
    const extra = ion.amount - a;
    const contaminated = Math.exp(entered(extra)) * (ion.amount / extra);
    return Math.log(share * contaminated + (1 - share) * Math.exp(alone(a)));
  };
}

function isContaminant(name: string): boolean {
  return name === "sodium" || name === "chloride";
}

function contaminationRate(name: string): number {
  return name === "sodium" ? BASE_RATES.sodiumContamination : BASE_RATES.chlorideContamination;
}

function baseRateOf(name: string, tooHigh: boolean, ions: number): number {
  const wrong = BASE_RATES.ionWrong / (2 * ions);
  return tooHigh && isContaminant(name) ? wrong + contaminationRate(name) : wrong;
}

function nextFor(name: string, tooHigh: boolean): string {
  if (tooHigh && isContaminant(name))
    return `run a field blank and a filter blank for ${name}, and a new bottle of the water`;
  return tooHigh
    ? `inject a check standard of ${name}, and look at its peak for another below it`
    : `spike ${name} and inject again; look for losses by precipitation and bacteria`;
}
