import { IonbookError } from "../../errors.js";
import { FIRST, hydrogenOf, SECOND, WATER } from "./carbonic-acid.js";
import { conductivityOf, formsOf, meanOverForms } from "./effective-conductivity.js";

const TURNS = 60;
const SETTLED = 1e-13;

/** A suppressed cell with an ion in it. */
export interface SuppressedSignal {
  /** Total carbonic acid, µmol/L. */
  readonly carbonicAcid: number;
  /** µS/cm without the ion. */
  readonly background: number;
  /** Change of the conductivity, µS/cm, by the ion at a concentration in µmol/L; negative where it takes more than it brings. */
  above(concentration: number): number;
}

/**
 * What an ion does to the conductivity behind a suppressor, with the carbonic acid that is left in it:
 *
 *     κ = 1000·[λ_H h + λ_OH K_w/h + Σ |z|λc],   h from h + Σz₊c₊ = K_w/h + Σ|z₋|c₋
 *
 * an anion as its acid, a cation as its hydroxide, weak ones as far as they are dissociated; carbonic acid by its two
 * steps. 25 °C, no ionic strength (−1.2 % at 1 mmol/L).
 *
 * @param ionName any name of the ion
 * @param carbonicAcid total dissolved, µmol/L, default 0
 * @throws IonbookError "unknown-ion", "no-conductivity", "bad-concentration"
 * @source electroneutrality with stepwise constants (derived); pK 6.352 and 10.33 of a public geochemical database;
 *   conductivities as `ion(name).sources`
 */
export function suppressedSignal(ionName: string, carbonicAcid = 0): SuppressedSignal {
  if (!(carbonicAcid >= 0 && carbonicAcid < Infinity)) {
    throw new IonbookError(
      "bad-concentration",
      `Carbonic acid is ${carbonicAcid} µmol/L: give a number not below 0`,
    );
  }
  const forms = formsOf(ionName);
  const total = 1e-6 * carbonicAcid;
  const lambda = {
    h: conductivityOf("hydrogen"),
    oh: conductivityOf("hydroxide"),
    first: conductivityOf("hydrogencarbonate"),
    second: conductivityOf("carbonate"),
  };
  const carbonate = (h: number) => {
    const [one, two] = [FIRST / h, (FIRST * SECOND) / (h * h)];
    const share = total / (1 + one + two);
    return { first: share * one, second: share * two };
  };
  let start = Math.log(hydrogenOf(0, total));
  const conductivity = (c: number) => {
    const excess = (log: number) => {
      const h = Math.exp(log);
      const { first, second } = carbonate(h);
      return h - WATER / h - first - 2 * second + c * meanOverForms(forms, h, ({ charge }) => charge);
    };
    start = rootFrom(excess, start);
    const h = Math.exp(start);
    const { first, second } = carbonate(h);
    const own = c * meanOverForms(forms, h, (form) => Math.abs(form.charge) * form.lambda);
    return (
      1000 *
      (lambda.h * h + (lambda.oh * WATER) / h + lambda.first * first + 2 * lambda.second * second + own)
    );
  };
  const background = conductivity(0);
  return {
    carbonicAcid,
    background,
    above: (concentration) => conductivity(1e-6 * concentration) - background,
  };
}

/**
 * Total carbonic acid, µmol/L, from the conductivity of a suppressed eluent in which nothing else is dissolved:
 *
 *     κ = 1000·[λ_H h + λ_OH K_w/h + (λ_HCO₃ + 2λ_CO₃·K₂/h)·b],   b = [HCO₃⁻] = (h − K_w/h)/(1 + 2K₂/h)
 *     C = b·(h/K₁ + 1 + K₂/h)
 *
 * the same equilibrium as `suppressedSignal`, read backwards for h: undissociated acid and both ions, all that is there.
 *
 * @param background µS/cm, at least that of pure water (0.055)
 * @throws IonbookError "bad-background"
 * @source electroneutrality (derived)
 */
export function carbonicAcidOfBackground(background: number): number {
  const [h0, oh, hco3, co3] = ["hydrogen", "hydroxide", "hydrogencarbonate", "carbonate"].map(conductivityOf);
  const bicarbonate = (h: number) => (h - WATER / h) / (1 + (2 * SECOND) / h);
  const kappa = (h: number) =>
    1000 * (h0 * h + (oh * WATER) / h + (hco3 + (2 * co3 * SECOND) / h) * bicarbonate(h));
  const pure = kappa(Math.sqrt(WATER));
  if (!(background >= pure * 0.99 && background < 1000)) {
    throw new IonbookError(
      "bad-background",
      `A suppressed background of ${background} µS/cm is not one of carbonic acid in water: it lies between ${pure.toPrecision(2)} and some tens`,
    );
  }
  if (background <= pure) return 0;
  // The conductivity rises again where the water is basic: only the acid side is that of carbonic acid.
  const neutral = 0.5 * Math.log(WATER);
  const acid = Math.log(background / (1000 * (h0 + hco3)));
  const h = Math.exp(rootFrom((log) => kappa(Math.exp(log)) - background, acid, neutral));
  return 1e6 * Math.max(0, bicarbonate(h) * (h / FIRST + 1 + SECOND / h));
}

/** Root of a function of ln h that rises above `from`: Newton steps from the last root, bisection where they leave the bracket. */
function rootFrom(f: (log: number) => number, start: number, from = -36): number {
  let [low, high] = [from, 2];
  let at = Math.min(Math.max(start, low + 1e-9), 1);
  for (let turn = 0; turn < TURNS; turn++) {
    const value = f(at);
    if (value > 0) high = at;
    else low = at;
    const slope = (f(at + 1e-6) - value) / 1e-6;
    const newton = value / slope;
    // Before the bracket is asked: at the root itself a step too small to leave its end is no reason to bisect.
    if (Math.abs(newton) < SETTLED * 36) return at;
    const next = at - newton;
    at = next > low && next < high ? next : 0.5 * (low + high);
  }
  return at;
}
