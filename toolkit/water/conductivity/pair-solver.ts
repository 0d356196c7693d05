import type { IonPair } from "./ion-pairs.js";

/** A of Debye and Hückel at 25 °C times ln 10, and where Davies' equation ends, mol/L. */
const SLOPE = 0.509 * Math.LN10;
const DAVIES_LIMIT = 0.5;
const TURNS = 200;
const SETTLED = 1e-11;

/** A form of a water, as far as pairing needs to know it. */
export interface PairingForm {
  readonly name: string;
  readonly charge: number;
}

/** What pairing leaves of the free forms, found in place: no memory is taken while it works. */
export interface PairSolver {
  /** Charge number of each pair. */
  readonly charges: readonly number[];
  /** The pairs solved for, in the order of `bound`. */
  readonly pairs: readonly IonPair[];
  /** mmol/L of each pair after `solve`. */
  readonly bound: Float64Array;
  /**
   * Takes the pairs out of `free` (mmol/L, holds the totals when called) and gives the ionic strength, mol/L.
   */
  solve(free: Float64Array): number;
}

/**
 * Mass balance of ion pairs by repetition: m = m_T/(1 + Σ K′·a), a likewise, K′ = K·γ₊·γ₋/γ_pair with γ by Davies at the
 * ionic strength of what is left free and of the charged pairs. K in L/mol, concentrations in mol/L; Davies' coefficient is
 * held beyond 0.5 mol/L. From the totals downwards the repetition cannot overshoot.
 *
 * @source C.W. Davies, Ion Association (1962); mass balance (derived)
 */
export function pairSolver(forms: readonly PairingForm[], pairs: readonly IonPair[]): PairSolver {
  const place = (name: string): number => forms.findIndex((form) => form.name === name);
  const present = pairs.filter(({ cation, anion }) => place(cation) >= 0 && place(anion) >= 0);
  const cations = Int32Array.from(present, ({ cation }) => place(cation));
  const anions = Int32Array.from(present, ({ anion }) => place(anion));
  const squares = Float64Array.from(forms, ({ charge }) => charge * charge);
  const charges = present.map((_, k) => forms[cations[k]].charge + forms[anions[k]].charge);
  const pairSquares = Float64Array.from(charges, (charge) => charge * charge);
  // γ₊·γ₋/γ_pair = γ₁^(z₊² + z₋² − z_pair²), γ₁ that of a single charge.
  const powers = pairSquares.map((square, k) => squares[cations[k]] + squares[anions[k]] - square);
  const thermodynamic = Float64Array.from(present, ({ logK }) => 10 ** (logK - 3));
  const constants = new Float64Array(present.length);
  const bound = new Float64Array(present.length);
  const totals = new Float64Array(forms.length);
  const divisors = new Float64Array(forms.length);

  const strengthOf = (free: Float64Array): number => {
    let sum = 0;
    for (let i = 0; i < free.length; i++) sum += free[i] * squares[i];
    for (let k = 0; k < bound.length; k++) sum += bound[k] * pairSquares[k];
    return sum / 2000;
  };
  const share = (free: Float64Array, own: Int32Array, other: Int32Array): number => {
    for (let k = 0; k < own.length; k++) divisors[own[k]] = 1;
    for (let k = 0; k < own.length; k++) divisors[own[k]] += constants[k] * free[other[k]];
    let change = 0;
    for (let k = 0; k < own.length; k++) {
      const i = own[k];
      const next = totals[i] / divisors[i];
      change = Math.max(change, Math.abs(next - free[i]) / (totals[i] + Number.MIN_VALUE));
      free[i] = next;
    }
    return change;
  };

  const solve = (free: Float64Array): number => {
    totals.set(free);
    bound.fill(0);
    let strength = strengthOf(free);
    for (let turn = 0; turn < TURNS && constants.length > 0; turn++) {
      const capped = Math.min(strength, DAVIES_LIMIT);
      const root = Math.sqrt(capped);
      const logGamma = -SLOPE * (root / (1 + root) - 0.3 * capped);
      for (let k = 0; k < constants.length; k++)
        constants[k] = thermodynamic[k] * Math.exp(logGamma * powers[k]);
      const change = Math.max(share(free, cations, anions), share(free, anions, cations));
      for (let k = 0; k < bound.length; k++) bound[k] = constants[k] * free[cations[k]] * free[anions[k]];
      strength = strengthOf(free);
      if (change < SETTLED) break;
    }
    return strength;
  };
  return { charges, pairs: present, bound, solve };
}
