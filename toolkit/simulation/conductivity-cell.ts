import { ion } from "../ions/ion-table.js";
import { type CellSolute, cellSolute, chargeMoments } from "./cell-solute.js";

/** What flows through the cell when no ion elutes. */
export interface CellBackground {
  /** Total dissolved carbonic acid, mol/L. */
  readonly carbonicAcid: number;
  /** Regenerant that leaks through the suppressor, eq/L: acid behind an anion suppressor (positive), base behind a
   * cation suppressor (negative). */
  readonly leak: number;
}

export interface CellOptions {
  /** Whether ions slow each other down (√I term). @default true */
  readonly ionicInteraction?: boolean;
}

/** Ion product of water at 25 °C, (mol/L)². @source CRC Handbook of Chemistry and Physics, pKw 13.9965 [from memory] */
export const WATER = 1.008e-14;
/** Below this a weak solute changes the signal by less than 1e-7 µS/cm, mol/L. */
const NEGLIGIBLE = 1e-13;
/** Onsager's coefficients at 25 °C: electrophoretic (S·cm²/eq) and relaxation, per √(mol/L). */
const ELECTROPHORETIC = 30.3;
const RELAXATION = 0.229;
/** Largest change of ln h in one Newton step, and the change after which the error, its square, no longer matters. */
const LARGEST_STEP = 2;
const GOOD = 1e-6;

/**
 * A conductivity cell behind a suppressor: concentrations in, conductivity out, by ionic equilibrium.
 *
 * At each point h = [H⁺] is found from electroneutrality, h − K_w/h + leak + Σ c_j·z̄_j(h) = 0 over all solutes and
 * carbonic acid together (the left side rises monotonically with ln h), then
 * κ = 1000·Σ e_i·λ_i, λ_i = λ°_i − |z_i|(30.3 + 0.229·z̄_c·λ°_i)·√I/(1 + √I).
 *
 * Symbols: c total concentration (mol/L), z̄ mean charge, e equivalents (eq/L), λ per equivalent (S·cm²/eq), z̄_c mean
 * charge of the counter-ions, I ionic strength (mol/L), κ µS/cm. 25 °C, ideal equilibria, up to some mmol/L.
 * @source electroneutrality with stepwise acid constants (derived); L. Onsager, Phys. Z. 28 (1927) 277 for the loss with ionic strength
 */
export class ConductivityCell {
  private readonly strong: readonly CellSolute[];
  private readonly weak: readonly CellSolute[];
  private readonly strongIndex: Int32Array;
  private readonly weakIndex: Int32Array;
  private readonly carbonic = cellSolute("carbonate");
  private readonly background: CellBackground;
  private readonly interaction: boolean;
  private readonly lambdaH = ion("hydrogen").limitingMolarConductivity ?? 0;
  private readonly lambdaOH = ion("hydroxide").limitingMolarConductivity ?? 0;
  private readonly lambdaLeak: number;
  /** ln[H⁺] of the last point: the next one starts from it. */
  private logH = Math.log(1e-7);
  private readonly moments = new Float64Array(2);
  /** Sums over the ions of one sign (0 anions, 1 cations): e, e·λ, e·|z|, e·|z|·λ. */
  private readonly sums = new Float64Array(8);

  constructor(solutes: readonly CellSolute[], background: CellBackground, options: CellOptions = {}) {
    const indices = solutes.map((_, i) => i);
    const isStrong = (i: number): boolean => solutes[i].constants.length === 0;
    this.strongIndex = Int32Array.from(indices.filter(isStrong));
    this.weakIndex = Int32Array.from(indices.filter((i) => !isStrong(i)));
    this.strong = solutes.filter((_, i) => isStrong(i));
    this.weak = solutes.filter((_, i) => !isStrong(i));
    this.background = background;
    this.interaction = options.ionicInteraction ?? true;
    // Sulfuric acid and sodium hydroxide are the usual chemical regenerants.
    const regenerant = ion(background.leak >= 0 ? "sulfate" : "sodium");
    this.lambdaLeak = (regenerant.limitingMolarConductivity ?? 0) / Math.abs(regenerant.charge);
  }

  /**
   * Conductivity of one point, µS/cm.
   *
   * @param concentrations mol/L of each solute in the order given to the constructor; total of all forms
   * @param extraCarbonicAcid mol/L on top of the background's
   */
  conductivity(concentrations: ArrayLike<number>, extraCarbonicAcid = 0): number {
    const h = this.solve(concentrations, this.background.carbonicAcid + extraCarbonicAcid);
    return this.sumUp(concentrations, this.background.carbonicAcid + extraCarbonicAcid, h);
  }

  /** Newton on ln h from the last point's solution; steps are bounded, the function is monotone. */
  private solve(concentrations: ArrayLike<number>, carbonicAcid: number): number {
    let fixed = -this.background.leak;
    for (let s = 0; s < this.strong.length; s++) {
      fixed += this.strong[s].charges[0] * concentrations[this.strongIndex[s]];
    }
    let logH = this.logH;
    for (let turn = 0; turn < 100; turn++) {
      const h = Math.exp(logH);
      const oh = WATER / h;
      let charge = fixed + h - oh;
      let slope = h + oh;
      for (let w = 0; w <= this.weak.length; w++) {
        const c = w < this.weak.length ? concentrations[this.weakIndex[w]] : carbonicAcid;
        if (c < NEGLIGIBLE) continue;
        chargeMoments(w < this.weak.length ? this.weak[w] : this.carbonic, h, this.moments);
        charge += c * this.moments[0];
        slope += c * this.moments[1];
      }
      const step = Math.max(-LARGEST_STEP, Math.min(LARGEST_STEP, -charge / slope));
      logH += step;
      if (Math.abs(step) < GOOD) break;
    }
    this.logH = logH;
    return Math.exp(logH);
  }

  private sumUp(concentrations: ArrayLike<number>, carbonicAcid: number, h: number): number {
    this.sums.fill(0);
    this.add(h, 1, this.lambdaH);
    this.add(WATER / h, -1, this.lambdaOH);
    this.add(Math.abs(this.background.leak), this.background.leak >= 0 ? -1 : 1, this.lambdaLeak);
    for (let s = 0; s < this.strong.length; s++) {
      const { charges, lambdas } = this.strong[s];
      this.add(concentrations[this.strongIndex[s]] * Math.abs(charges[0]), charges[0], lambdas[0]);
    }
    for (let w = 0; w < this.weak.length; w++)
      this.addForms(this.weak[w], concentrations[this.weakIndex[w]], h);
    this.addForms(this.carbonic, carbonicAcid, h);
    return 1000 * (this.interaction ? this.slowedDown() : this.sums[1] + this.sums[5]);
  }

  private addForms(solute: CellSolute, concentration: number, h: number): void {
    if (concentration < NEGLIGIBLE) return;
    const { charges, lambdas, constants } = solute;
    let total = 1;
    let weight = 1;
    for (let form = 1; form < charges.length; form++) {
      weight *= constants[form - 1] / h;
      total += weight;
    }
    weight = concentration / total;
    for (let form = 0; form < charges.length; form++) {
      if (form > 0) weight *= constants[form - 1] / h;
      if (charges[form] !== 0) this.add(weight * Math.abs(charges[form]), charges[form], lambdas[form]);
    }
  }

  private add(equivalents: number, charge: number, lambda: number): void {
    const sign = charge > 0 ? 4 : 0;
    const z = Math.abs(charge);
    this.sums[sign] += equivalents;
    this.sums[sign + 1] += equivalents * lambda;
    this.sums[sign + 2] += equivalents * z;
    this.sums[sign + 3] += equivalents * z * lambda;
  }

  private slowedDown(): number {
    const s = this.sums;
    const root = Math.sqrt((s[2] + s[6]) / 2);
    const anionCharge = s[2] / s[0];
    const cationCharge = s[6] / s[4];
    const loss = ELECTROPHORETIC * (s[2] + s[6]) + RELAXATION * (cationCharge * s[3] + anionCharge * s[7]);
    return s[1] + s[5] - (loss * root) / (1 + root);
  }
}
