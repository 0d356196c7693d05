import { HYDROGEN_CONDUCTANCE, HYDROXIDE_CONDUCTANCE, type Solute, WATER_PRODUCT } from "./solutes.js";

/** Loss of equivalent conductance with ionic strength: λ = λ₀ − (30.1 + 0.229 λ₀)·|z|·√I (limiting law, water, 25 °C). */
const RELAXATION = 0.229;
const ELECTROPHORESIS = 30.1;

/** Mean charge of a ladder of species at [H⁺] = h and the variance of the charge, written into `out`. */
function chargeMomentsInto(out: Float64Array, { species, constants }: Solute, h: number): void {
  let weight = 1;
  let total = 1;
  let first = species[0].charge;
  let second = first * first;
  for (let i = 1; i < species.length; i++) {
    weight *= constants[i - 1] / h;
    const z = species[i].charge;
    total += weight;
    first += weight * z;
    second += weight * z * z;
  }
  out[0] = first / total;
  out[1] = second / total - out[0] * out[0];
}

const moments = new Float64Array(2);

/**
 * [H⁺] at which charges cancel: h − K_w/h + Σ c_j·z̄_j(h) = 0, mol/L.
 * Newton in ln h, where the slope is h + K_w/h + Σ c_j·Var_j(z) > 0; steps are kept inside the bracket that the
 * sign of the sum leaves. O(solutes) an iteration, a handful of iterations from a neighbouring point.
 */
export function hydrogenAt(
  solutes: readonly Solute[],
  concentrations: Float64Array,
  active: readonly number[],
  start: number,
): number {
  let steady = 0;
  for (const j of active) {
    if (solutes[j].species.length === 1) steady += concentrations[j] * solutes[j].species[0].charge;
  }
  let low = Math.log(1e-14);
  let high = 0;
  let x = Math.log(start);
  for (let iteration = 0; iteration < 100; iteration++) {
    const h = Math.exp(x);
    const hydroxide = WATER_PRODUCT / h;
    let sum = steady + h - hydroxide;
    let slope = h + hydroxide;
    for (const j of active) {
      if (solutes[j].species.length === 1) continue;
      chargeMomentsInto(moments, solutes[j], h);
      sum += concentrations[j] * moments[0];
      slope += concentrations[j] * moments[1];
    }
    if (sum > 0) high = x;
    else low = x;
    const step = -sum / slope;
    if (Math.abs(step) < 1e-7) return Math.exp(x + step);
    x += step;
    if (x <= low || x >= high) x = (low + high) / 2;
  }
  return Math.exp(x);
}

/** Conductance of one ion at ionic strength with square root `root`. */
function conductanceAt(limiting: number, charge: number, root: number): number {
  return limiting - (ELECTROPHORESIS + RELAXATION * limiting) * Math.abs(charge) * root;
}

/**
 * Conductivity of the solution, µS/cm: κ = 1000·Σ |z|·λ·c over H⁺, OH⁻ and every species, λ lowered by ionic
 * strength. Concentrations in mol/L, valid to a few mmol/L.
 */
export function conductivityAt(
  solutes: readonly Solute[],
  concentrations: Float64Array,
  active: readonly number[],
  h: number,
): number {
  const hydroxide = WATER_PRODUCT / h;
  let strength = h + hydroxide;
  let ideal = HYDROGEN_CONDUCTANCE * h + HYDROXIDE_CONDUCTANCE * hydroxide;
  let loss =
    (ELECTROPHORESIS + RELAXATION * HYDROGEN_CONDUCTANCE) * h +
    (ELECTROPHORESIS + RELAXATION * HYDROXIDE_CONDUCTANCE) * hydroxide;
  for (const j of active) {
    const { species, constants } = solutes[j];
    let weight = 1;
    let total = 1;
    for (let i = 1; i < species.length; i++) total += weight *= constants[i - 1] / h;
    let amount = concentrations[j] / total;
    for (let i = 0; i < species.length; i++) {
      if (i > 0) amount *= constants[i - 1] / h;
      const z = Math.abs(species[i].charge);
      const limiting = species[i].conductance;
      strength += z * z * amount;
      ideal += z * limiting * amount;
      loss += z * (limiting - conductanceAt(limiting, z, 1)) * amount;
    }
  }
  return 1000 * (ideal - loss * Math.sqrt(strength / 2));
}
