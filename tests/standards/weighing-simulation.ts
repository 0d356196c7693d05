import { createRandom } from "../../toolkit/numeric/random.js";
import { laboratoryBalance } from "../../toolkit/standards/balance.js";
import { pipette, volumetricFlask } from "../../toolkit/standards/glassware.js";
import type { StandardsRecipe } from "../../toolkit/standards/prepare-standards.js";
import { covarianceOf } from "./trial-covariance.js";

const fine = laboratoryBalance(220, { readability: 0.0001, sensitivity: { u: 4e-4 } });
const coarse = laboratoryBalance(2000, { name: "2 kg balance", readability: 0.01, sensitivity: { u: 6e-4 } });

/** One stock, one mixture by mass, four levels; invented numbers, uncertainties large enough to be seen. */
export const WEIGHED_RECIPE: StandardsRecipe = {
  stocks: [
    {
      name: "stock",
      contents: [{ ion: "chloride", concentration: 1000, uncertainty: { expanded: 2, k: 2 } }],
      density: { value: 1.0204, uncertainty: { u: 0.0008 } },
    },
  ],
  solutions: [
    {
      name: "mixture",
      balance: coarse,
      mass: 502.31,
      density: { value: 0.999, uncertainty: { halfWidth: 0.002, shape: "rectangular" } },
      aliquots: [{ from: "stock", mass: 50.4123, balance: fine }],
      day: "Monday",
    },
    {
      name: "level 1",
      balance: fine,
      mass: 100.021,
      density: { value: 0.9983, uncertainty: { u: 0.0004 } },
      aliquots: [{ from: "mixture", mass: 0.9987 }],
    },
    {
      name: "level 2",
      balance: fine,
      mass: 99.874,
      density: { value: 0.9983, uncertainty: { u: 0.0004 } },
      aliquots: [{ from: "mixture", mass: 10.0342 }],
    },
    // By mass into a flask with a mark, and from a pipette into a bottle on the balance.
    {
      name: "level 3",
      flask: volumetricFlask(100),
      aliquots: [{ from: "mixture", mass: 20.113, balance: fine }],
    },
    {
      name: "level 4",
      balance: coarse,
      mass: 251.44,
      density: { value: 0.9984, uncertainty: { u: 0.0004 } },
      aliquots: [{ from: "mixture", pipette: pipette(10), times: 2 }],
    },
  ],
};

export const WEIGHED_LEVELS = ["level 1", "level 2", "level 3", "level 4"] as const;

/**
 * The same weighings done `trials` times, each mass from the balance of forces in air (gravity less the weight of the
 * displaced air, for the liquid as for the weights), without a word from the room under test.
 */
export function simulatedWeighings(trials: number, seed: number): readonly (readonly number[])[] {
  const random = createRandom(seed);
  const rectangle = (a: number): number => a * (2 * random.uniform() - 1);
  const triangle = (a: number): number => a * (random.uniform() + random.uniform() - 1);
  const read = (mass: number, s: number, linearity: number, slope: number): number => {
    const gross = s * random.normal() + rectangle(linearity);
    const tare = s * random.normal() + rectangle(linearity);
    return (mass + gross - tare) * slope;
  };
  // What the weights of 8 g/mL press with, the liquid presses with: m(1 − a/ρ) = R(1 − a/8); mL of the liquid.
  const volume = (reading: number, density: number, air: number): number => {
    const force = reading - (reading / 8) * air;
    return force / (density - air);
  };
  const rows = new Float64Array(4 * trials);
  for (let trial = 0; trial < trials; trial++) {
    const content = 1000 + random.normal();
    const slopeFine = 1 + 4e-4 * random.normal();
    const slopeCoarse = 1 + 6e-4 * random.normal();
    const [monday, tuesday] = [(1.2 + rectangle(0.1)) / 1000, (1.2 + rectangle(0.1)) / 1000];
    const stock = 1.0204 + 0.0008 * random.normal();
    const mixture = 0.999 + rectangle(0.002);
    const ownDensity = (centre: number): number => centre + 0.0004 * random.normal();
    const onFine = (mass: number): number => read(mass, 0.0001, 0.0002, slopeFine);
    const onCoarse = (mass: number): number => read(mass, 0.01, 0.02, slopeCoarse);
    const mixed =
      (content * volume(onFine(50.4123), stock, monday)) / volume(onCoarse(502.31), mixture, monday);
    const kelvin = rectangle(4);
    const drawn = 20 * (1 + 2.1e-4 * kelvin) + 2 * triangle(0.02) + 0.004 * Math.SQRT2 * random.normal();
    const mark = 100 * (1 + 2.1e-4 * kelvin) + triangle(0.1) + 0.02 * random.normal();
    const bottle = (mass: number, of: number, onto: (mass: number) => number): number =>
      volume(onto(mass), ownDensity(of), tuesday);
    rows[4 * trial] = (mixed * volume(onFine(0.9987), mixture, tuesday)) / bottle(100.021, 0.9983, onFine);
    rows[4 * trial + 1] =
      (mixed * volume(onFine(10.0342), mixture, tuesday)) / bottle(99.874, 0.9983, onFine);
    rows[4 * trial + 2] = (mixed * volume(onFine(20.113), mixture, tuesday)) / mark;
    rows[4 * trial + 3] = (mixed * drawn) / bottle(251.44, 0.9984, onCoarse);
  }
  return covarianceOf(rows, 4, trials);
}
