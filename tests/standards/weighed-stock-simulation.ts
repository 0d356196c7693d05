import { createRandom } from "../../toolkit/numeric/random.js";
import { laboratoryBalance } from "../../toolkit/standards/balance.js";
import { pipette, volumetricFlask } from "../../toolkit/standards/glassware.js";
import type { StandardsRecipe } from "../../toolkit/standards/prepare-standards.js";
import { covarianceOf } from "./trial-covariance.js";

const fine = laboratoryBalance(220, { readability: 0.0001, sensitivity: { u: 4e-4 } });
const coarse = laboratoryBalance(2000, { name: "2 kg balance", readability: 0.01, sensitivity: { u: 6e-4 } });

/**
 * The cadmium of QUAM A1 (100.28 mg, u 0.05 mg, 0.9999 ± 0.0001, 100 mL) beside chloride from NaCl on a balance made up by
 * mass and from KCl on the same balance in a flask; invented but for the first.
 */
export const SOLIDS: StandardsRecipe = {
  stocks: [
    {
      name: "cadmium",
      salt: "Cd",
      mass: 100.28,
      massUncertainty: { u: 0.05 },
      purity: 0.9999,
      flask: volumetricFlask(100, { repeatability: 0.02 }),
    },
    {
      name: "sodium chloride",
      salt: "NaCl",
      mass: 824.3,
      balance: fine,
      solidDensity: { value: 2.16, uncertainty: { halfWidth: 0.02, shape: "rectangular" } },
      purity: 0.999,
      solutionMass: 500.12,
      solutionBalance: coarse,
      density: { value: 0.9994, uncertainty: { u: 0.0005 } },
      day: "Monday",
    },
    {
      name: "potassium chloride",
      salt: "KCl",
      mass: 953.4,
      balance: fine,
      solidDensity: { value: 1.98, uncertainty: { halfWidth: 0.02, shape: "rectangular" } },
      purity: 0.998,
      flask: volumetricFlask(1000),
      day: "Monday",
    },
  ],
  solutions: [
    {
      name: "level 1",
      flask: volumetricFlask(100),
      aliquots: [
        { from: "cadmium", pipette: pipette(1) },
        { from: "sodium chloride", pipette: pipette(1) },
      ],
    },
    {
      name: "level 2",
      flask: volumetricFlask(100),
      aliquots: [
        { from: "cadmium", pipette: pipette(5) },
        { from: "sodium chloride", pipette: pipette(5) },
        { from: "potassium chloride", pipette: pipette(5) },
      ],
    },
  ],
};

/** Rows of the covariance: cadmium in both levels, then chloride. */
export const SOLID_IONS = ["cadmium", "chloride"] as const;

/** The same solids, flasks and pipettes handled `trials` times, without a word from the room under test. */
export function simulatedSolids(trials: number, seed: number): readonly (readonly number[])[] {
  const random = createRandom(seed);
  const triangle = (a: number): number => a * (random.uniform() + random.uniform() - 1);
  const rectangle = (a: number): number => a * (2 * random.uniform() - 1);
  const read = (grams: number, s: number, linearity: number): number =>
    grams + s * random.normal() + rectangle(linearity) - s * random.normal() - rectangle(linearity);
  // Balance of forces in air against weights of 8 g/mL: m(1 − a/ρ) = R(1 − a/8).
  const inVacuum = (reading: number, density: number, air: number): number =>
    (reading * (1 - air / 8)) / (1 - air / density);
  const warm = (volume: number, kelvin: number): number => volume * (1 + 2.1e-4 * kelvin);
  const chlorideInNaCl = 35.45 / (22.99 + 35.45);
  const chlorideInKCl = 35.45 / (39.098 + 35.45);
  const rows = new Float64Array(4 * trials);
  for (let trial = 0; trial < trials; trial++) {
    const cadmium =
      (1000 * (100.28 + 0.05 * random.normal()) * (0.9999 + rectangle(0.0001))) /
      (warm(100, rectangle(4)) + triangle(0.1) + 0.02 * random.normal());
    const [slopeFine, slopeCoarse] = [1 + 4e-4 * random.normal(), 1 + 6e-4 * random.normal()];
    const air = (1.2 + rectangle(0.1)) / 1000;
    const [monday, levels] = [rectangle(4), rectangle(4)];
    const solid = (grams: number, density: number): number =>
      1000 * inVacuum(read(grams, 0.0001, 0.0002) * slopeFine, density + rectangle(0.02), air);
    const density = 0.9994 + 0.0005 * random.normal();
    const bottle = inVacuum(read(500.12, 0.01, 0.02) * slopeCoarse, density, air) / density;
    const sodium = (1000 * solid(0.8243, 2.16) * (0.999 + rectangle(0.001)) * chlorideInNaCl) / bottle;
    const litre = warm(1000, monday) + triangle(0.4) + 0.08 * random.normal();
    const potassium = (1000 * solid(0.9534, 1.98) * (0.998 + rectangle(0.002)) * chlorideInKCl) / litre;
    const [one, five] = [triangle(0.008), triangle(0.015)];
    const drawn = (volume: number, off: number, s: number): number =>
      warm(volume, levels) + off + s * random.normal();
    const mark = (): number => warm(100, levels) + triangle(0.1) + 0.02 * random.normal();
    const [first, second] = [mark(), mark()];
    rows[4 * trial] = (cadmium * drawn(1, one, 0.0016)) / first;
    rows[4 * trial + 1] = (cadmium * drawn(5, five, 0.003)) / second;
    rows[4 * trial + 2] = (sodium * drawn(1, one, 0.0016)) / first;
    rows[4 * trial + 3] = (sodium * drawn(5, five, 0.003) + potassium * drawn(5, five, 0.003)) / second;
  }
  return covarianceOf(rows, 4, trials);
}
