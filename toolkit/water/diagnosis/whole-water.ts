import { BASE_RATES, DILUTION_FACTORS } from "./base-rates.js";
import { fixedOutcome, type WeighedHypothesis } from "./hypothesis.js";
import type { Evidence, Trial } from "./trial.js";

/** A conductivity read at 20 °C and written down as one of 25 °C is lower by this, between two published factors. */
const AT_20 = { factor: 0.895, u: 0.012 };
const WRONG_READING = 0.5;
const READING_UNITS = [10, 100, 1000];
/** How far concentration by evaporation, or a common dilution, moves both channels. */
const COMMON_SPREAD = 0.5;
const STEP = 0.75;
const REACH = 5;

/** Faults that leave the balance closed: the conductivity itself, and a factor on both channels. */
export function wholeWaterHypotheses(trial: Trial): readonly WeighedHypothesis[] {
  const { conductivity } = trial.evidence;
  if (!conductivity) return [];
  return [...readings(trial, conductivity.value), ...bothChannels(trial)];
}

function readings(trial: Trial, measured: number): readonly WeighedHypothesis[] {
  const kappa = trial.evaluate(trial.amounts).conductivity;
  const reading = (cause: string, to: number, widening: number, baseRate: number, next: string) => {
    const { conductivity } = trial.evidence;
    if (!conductivity) return [];
    const at = (value: number, relative: number): Evidence => ({
      ...trial.evidence,
      conductivity: { value, relative },
    });
    const found = fixedOutcome(
      trial,
      trial.amounts,
      at(cause === WRONG ? measured : to, Math.hypot(conductivity.relative, widening)),
    );
    if (!found) return [];
    const best = cause === WRONG ? trial.evaluate(trial.amounts, at(to, conductivity.relative)) : found.best;
    const factor = cause === WRONG ? undefined : to / measured;
    const change = { what: "conductivity", from: measured, to, unit: "µS/cm", factor };
    const hypothesis: WeighedHypothesis = {
      ...{ cause, family: "conductivity", side: undefined, ion: undefined, baseRate },
      ...{ logMarginal: found.logMarginal, best, measured: to, change, next },
    };
    return [hypothesis];
  };
  const again = "measure the conductivity again at 25.0 °C, with a checked cell, in an untouched bottle";
  const unit = "look up the unit and range of the conductivity reading";
  return [
    ...reading(WRONG, kappa, WRONG_READING, BASE_RATES.conductivityWrong, again),
    ...reading(
      "conductivity read at 20 °C",
      measured / AT_20.factor,
      AT_20.u,
      BASE_RATES.conductivityAt20,
      again,
    ),
    ...READING_UNITS.flatMap((factor) => [factor, 1 / factor]).flatMap((factor) =>
      reading("unit of the conductivity", measured * factor, 0, BASE_RATES.conductivityUnit / 6, unit),
    ),
  ];
}

const WRONG = "conductivity reading wrong";

function bothChannels(trial: Trial): readonly WeighedHypothesis[] {
  const next = "dilute the sample anew for both channels, and weigh both dilutions";
  const scaled = (factor: number) =>
    trial.amounts.map((amount, i) => (trial.ions[i].vessel === "bottle" ? amount : amount * factor));
  const hypothesis = (
    cause: string,
    factor: number,
    baseRate: number,
    found: ReturnType<typeof fixedOutcome>,
  ): readonly WeighedHypothesis[] => {
    if (!found) return [];
    const from = trial.ions.reduce((sum, { vessel, amount }) => sum + (vessel === "bottle" ? 0 : amount), 0);
    const change = { what: "all ions", from, to: factor * from, unit: "meq/L", factor };
    const measured = trial.evidence.conductivity?.value;
    return [
      {
        ...{ cause, family: "both channels", side: undefined, ion: undefined, baseRate },
        ...{ ...found, measured, change, next },
      },
    ];
  };
  const slips = DILUTION_FACTORS.flatMap(([factor, share]) =>
    [factor, 1 / factor].flatMap((f) =>
      hypothesis(
        "dilution of both channels",
        f,
        (BASE_RATES.bothChannels * share) / 4,
        fixedOutcome(trial, scaled(f)),
      ),
    ),
  );
  const free = commonFactor(trial, scaled);
  const cause = "both channels off by one factor";
  return free
    ? [...slips, ...hypothesis(cause, free.factor, BASE_RATES.bothChannels / 2, free.found)]
    : slips;
}

/** A common factor of any size, averaged over a log-normal one. */
function commonFactor(trial: Trial, scaled: (factor: number) => Float64Array) {
  const start = trial.evaluate(trial.amounts);
  const measured = trial.evidence.conductivity?.value ?? start.conductivity;
  const middle = Math.log(measured / start.conductivity);
  const step = STEP * start.uConductivity;
  let [most, sum] = [Number.NEGATIVE_INFINITY, 0];
  let best = start;
  let factor = 1;
  for (let k = -REACH; k <= REACH; k++) {
    const log = middle + k * step;
    const outcome = fixedOutcome(trial, scaled(Math.exp(log)));
    if (!outcome) continue;
    const prior = -0.5 * ((log / COMMON_SPREAD) ** 2 + Math.log(2 * Math.PI)) - Math.log(COMMON_SPREAD);
    const weight = outcome.logMarginal + prior + Math.log(step);
    if (sum === 0 || outcome.best.chiSquared < best.chiSquared) {
      best = outcome.best;
      factor = Math.exp(log);
    }
    if (weight > most) {
      sum = sum * Math.exp(most - weight) + 1;
      most = weight;
    } else sum += Math.exp(weight - most);
  }
  return sum > 0 ? { factor, found: { best, logMarginal: most + Math.log(sum) } } : undefined;
}
