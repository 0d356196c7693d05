import { FIRST, hydrogenOf, hydrogenSlopeOf, WATER } from "./carbonic-acid.js";
import { conductivityOf } from "./effective-conductivity.js";

/** Half a Gaussian peak in steps of σ/4 to 6σ: the sum is the integral to twelve digits. */
const STEP = 0.25;
const STEPS = 24;
const TURNS = 60;

/** What a strong acid's peak shows of the 1000·(λ_H + λ) per equivalent that it has where it is concentrated. */
export interface StrongAcidPeak {
  /** Area over the area at full response. */
  readonly response: number;
  /** Slope of the area against the amount, over the slope at full response. */
  readonly slope: number;
  /** Height above the background, µS/cm. */
  readonly height: number;
}

/**
 * The Gaussian peak of a strong acid over total carbonic acid C behind the suppressor:
 *
 *     κ(c) = 1000·[λ_H h + λ_OH K_w/h + λ_HCO₃(h − K_w/h − c) + λc]
 *     response = ∫[κ(c) − κ(0)]dt / ∫1000(λ_H + λ)c dt,   slope = ∫κ′(c)c dt / ∫1000(λ_H + λ)c dt
 *
 * h by `hydrogenOverCarbonicAcid`, c(t) = top·exp(−t²/2σ²): neither depends on σ. 25 °C, no ionic strength.
 *
 * @param top µeq/L in the middle of the peak, above 0
 * @param lambda of the anion, S·cm²/eq
 * @param carbonicAcid total, µmol/L
 * @source electroneutrality (derived); conductivities as `ion(name).sources`
 */
export function strongAcidPeak(top: number, lambda: number, carbonicAcid: number): StrongAcidPeak {
  const cell = cellOf(lambda, 1e-6 * carbonicAcid);
  const c = 1e-6 * top;
  const height = cell.above(c);
  let area = height;
  let slope = cell.slope(c) * c;
  let whole = c;
  for (let i = 1; i <= STEPS; i++) {
    const at = c * Math.exp(-0.5 * (i * STEP) ** 2);
    area += 2 * cell.above(at);
    slope += 2 * cell.slope(at) * at;
    whole += 2 * at;
  }
  return { response: area / (cell.full * whole), slope: slope / (cell.full * whole), height };
}

/**
 * The strong acid in the middle of a peak of a height, µeq/L: `strongAcidPeak` read backwards.
 *
 * @param height µS/cm above the background, above 0
 */
export function strongAcidOfHeight(height: number, lambda: number, carbonicAcid: number): number {
  const cell = cellOf(lambda, 1e-6 * carbonicAcid);
  // κ(c) is convex and nowhere flatter than half of its full slope less λ(HCO₃): Newton from above does not pass the root.
  let c = (3 * height) / cell.full + 1e-7;
  for (let turn = 0; turn < TURNS; turn++) {
    const next = c - (cell.above(c) - height) / cell.slope(c);
    if (Math.abs(next - c) < 1e-12 * c) break;
    c = Math.max(next, 1e-3 * c);
  }
  return 1e6 * c;
}

function cellOf(lambda: number, carbonic: number) {
  const [hydrogen, hydroxide, bicarbonate] = ["hydrogen", "hydroxide", "hydrogencarbonate"].map(
    conductivityOf,
  );
  const conductivity = (c: number) => {
    const h = hydrogenOf(c, carbonic);
    const oh = WATER / h;
    const hco3 = (carbonic * FIRST) / (FIRST + h);
    return 1000 * (hydrogen * h + hydroxide * oh + bicarbonate * hco3 + lambda * c);
  };
  const background = conductivity(0);
  return {
    full: 1000 * (hydrogen + lambda),
    above: (c: number) => conductivity(c) - background,
    slope: (c: number) => {
      const h = hydrogenOf(c, carbonic);
      const dh = hydrogenSlopeOf(h, c, carbonic);
      const dHco3 = (-carbonic * FIRST * dh) / (FIRST + h) ** 2;
      return 1000 * ((hydrogen - (hydroxide * WATER) / (h * h)) * dh + bicarbonate * dHco3 + lambda);
    },
  };
}
