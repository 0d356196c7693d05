import type { Evidence, Outcome, Trial } from "./trial.js";

/** What kind of mistake or gap a hypothesis is. */
export type HypothesisFamily =
  | "missing ion"
  | "dilution"
  | "unit"
  | "one ion wrong"
  | "alkalinity"
  | "both channels"
  | "conductivity"
  | "exchanged vials";

/** The single change that would explain what is seen. */
export interface DiagnosedChange {
  /** "nitrate", "all cations", "alkalinity", "conductivity", "anion vial". */
  readonly what: string;
  /** As reported and as it would be; undefined where the change is no number (exchanged vials). */
  readonly from: number | undefined;
  readonly to: number | undefined;
  /** "mg/L", "meq/L", "mg/L as CaCO3", "µS/cm". */
  readonly unit: string;
  /** to/from where the hypothesis is a factor. */
  readonly factor: number | undefined;
}

/** One hypothesis weighed: base rate and marginal likelihood, before they are compared. */
export interface WeighedHypothesis {
  readonly cause: string;
  readonly family: HypothesisFamily;
  /** The side whose sum would change; undefined where neither does. */
  readonly side: "cation" | "anion" | undefined;
  readonly ion: string | undefined;
  /** Odds beside a water without fault. */
  readonly baseRate: number;
  /** Logarithm of the likelihood, free amounts averaged over what they may be. */
  readonly logMarginal: number;
  /** With the single change that zeroes the difference, or the factor as it stands. */
  readonly best: Outcome;
  /** Conductivity it goes with, µS/cm: the measured one unless that is what the hypothesis doubts. */
  readonly measured: number | undefined;
  readonly change: DiagnosedChange;
  readonly next: string;
}

/** How an amount that is not known may lie: ln of its density in ln(amount). */
export type AmountPrior = (amount: number) => number;

const LOG_TWO_PI = Math.log(2 * Math.PI);
/** An imbalance of more than this many squared uncertainties is not worth the conductivity. */
export const HOPELESS = 90;
/** Points across the amounts that close the balance, in standard uncertainties of the difference. */
const STEP = 0.75;
const REACH = 5;

/** ln of a log-normal density in ln(x): median, and spread in natural logarithms. */
export function logNormalPrior(median: number, spread: number): AmountPrior {
  const [middle, norm] = [Math.log(median), -0.5 * LOG_TWO_PI - Math.log(spread)];
  return (x) => norm - 0.5 * ((Math.log(x) - middle) / spread) ** 2;
}

/** A hypothesis without a free amount. */
export function fixedOutcome(trial: Trial, amounts: ArrayLike<number>, evidence?: Evidence) {
  if (trial.imbalance(amounts) > HOPELESS) return undefined;
  const best = trial.evaluate(amounts, evidence);
  return { best, logMarginal: best.logLikelihood };
}

/**
 * A hypothesis in which the amount of one ion is free: the likelihood averaged over the amounts it may have,
 *
 *     ∫ L(a)·p(a) d ln a
 *
 * by a sum over amounts around the one that closes the balance. A freedom that could have closed anything pays for it here.
 *
 * @param at place of the ion
 * @param prior of the amount beyond that of the composition, as a density in ln a
 * @param allowed which amounts the hypothesis means
 */
export function freeOutcome(
  trial: Trial,
  at: number,
  prior: AmountPrior,
  allowed: (amount: number) => boolean = () => true,
) {
  const amounts = Float64Array.from(trial.amounts);
  const sign = trial.ions[at].side === "cation" ? 1 : -1;
  const start = trial.evaluate(amounts);
  const closing = amounts[at] - sign * start.difference;
  const step = STEP * start.uDifference;
  let [most, sum] = [Number.NEGATIVE_INFINITY, 0];
  let best: Outcome | undefined;
  let amount = closing;
  for (let k = -REACH; k <= REACH; k++) {
    const a = closing + k * step;
    if (!(a > 0.05 * step) || !allowed(a)) continue;
    amounts[at] = a;
    const outcome = trial.evaluate(amounts);
    const log = outcome.logLikelihood + prior(a) + Math.log(step / a);
    if (best === undefined || k === 0 || (k > 0 && best.difference ** 2 > outcome.difference ** 2)) {
      best = outcome;
      amount = a;
    }
    if (log > most) {
      sum = sum * Math.exp(most - log) + 1;
      most = log;
    } else sum += Math.exp(log - most);
  }
  return best && { best, amount, logMarginal: most + Math.log(sum) };
}

/** Sum of likelihoods of variants of one cause, by their shares; the best of them stands for all. */
export function mergedVariants<V extends { readonly logMarginal: number }>(
  variants: readonly { readonly share: number; readonly variant: V }[],
): V | undefined {
  if (variants.length === 0) return undefined;
  const logs = variants.map(({ share, variant }) => Math.log(share) + variant.logMarginal);
  const most = Math.max(...logs);
  const logMarginal = most + Math.log(logs.reduce((sum, log) => sum + Math.exp(log - most), 0));
  return { ...variants[logs.indexOf(most)].variant, logMarginal };
}
