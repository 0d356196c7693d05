import { createRandom } from "../../toolkit/numeric/random.js";
import { pipette, pistonPipette, volumetricFlask } from "../../toolkit/standards/glassware.js";
import type { StandardsRecipe } from "../../toolkit/standards/prepare-standards.js";
import type { Solution } from "../../toolkit/standards/solution.js";

/** Two stocks, one mixture, four levels; invented numbers. One pipette serves two levels. */
export const RECIPE: StandardsRecipe & { readonly solutions: readonly Solution[] } = {
  stocks: [
    {
      name: "sodium chloride",
      salt: "NaCl",
      mass: 1648.5,
      massUncertainty: { u: 0.4 },
      purity: 0.9975,
      flask: volumetricFlask(1000),
    },
    {
      name: "potassium chloride and nitrate",
      contents: [
        { ion: "nitrate", concentration: 2000, uncertainty: { expanded: 12, k: 2 } },
        { ion: "chloride", concentration: 500, uncertainty: { halfWidth: 4, shape: "rectangular" } },
      ],
    },
  ],
  solutions: [
    {
      name: "mixture",
      flask: volumetricFlask(100),
      aliquots: [
        { from: "sodium chloride", pipette: pipette(10) },
        { from: "potassium chloride and nitrate", pipette: pipette(5) },
      ],
      day: "Monday",
    },
    { name: "level 1", flask: volumetricFlask(100), aliquots: [{ from: "mixture", pipette: pipette(1) }] },
    {
      name: "level 2",
      flask: volumetricFlask(50),
      aliquots: [{ from: "mixture", pipette: pistonPipette(5), volume: 2.5 }],
    },
    {
      name: "level 3",
      flask: volumetricFlask(100),
      aliquots: [{ from: "mixture", pipette: pistonPipette(5), volume: 5, times: 2 }],
    },
    {
      name: "level 4",
      flask: volumetricFlask(100),
      aliquots: [
        { from: "mixture", pipette: pipette(10), times: 2 },
        { from: "sodium chloride", pipette: pipette(1) },
      ],
    },
  ],
};

export const LEVELS = ["level 1", "level 2", "level 3", "level 4"] as const;

/**
 * The same glassware handled `trials` times, volume by volume, without a word from the room under test: covariances of
 * chloride in the four levels, then nitrate. Tolerances are those of ISO 1042, ISO 648 and ISO 8655 (from memory).
 */
export function simulatedCovariance(trials: number, seed: number): readonly (readonly number[])[] {
  const random = createRandom(seed);
  const triangle = (a: number): number => a * (random.uniform() + random.uniform() - 1);
  const rectangle = (a: number): number => a * (2 * random.uniform() - 1);
  const warm = (volume: number, kelvin: number): number => volume * (1 + 2.1e-4 * kelvin);
  const chlorideInSalt = 35.45 / (22.99 + 35.45);
  const sums = new Float64Array(8);
  const products = new Float64Array(64);
  const x = new Float64Array(8);
  let centre: Float64Array | undefined;
  for (let trial = 0; trial < trials; trial++) {
    const [weighing, monday, tuesday] = [rectangle(4), rectangle(4), rectangle(4)];
    const litre = warm(1000, weighing) + triangle(0.4) + 0.08 * random.normal();
    const milligrams = 1648.5 + 0.4 * random.normal();
    const salt = (1000 * milligrams * (0.9975 + rectangle(0.0025)) * chlorideInSalt) / litre;
    const nitrate = 2000 + 6 * random.normal();
    const other = 500 + rectangle(4);
    const [off1, off5, off10] = [triangle(0.008), triangle(0.015), triangle(0.02)];
    const offPiston = triangle(0.04);
    const flask = (volume: number, tolerance: number, kelvin: number): number =>
      warm(volume, kelvin) + triangle(tolerance) + 0.2 * tolerance * random.normal();
    const drawn = (volume: number, off: number, repeat: number, times: number, kelvin: number): number => {
      let sum = warm(times * volume, kelvin) + times * off;
      for (let i = 0; i < times; i++) sum += repeat * random.normal();
      return sum;
    };
    const mixtureFlask = flask(100, 0.1, monday);
    const [a, b] = [drawn(10, off10, 0.004, 1, monday), drawn(5, off5, 0.003, 1, monday)];
    const chlorideMix = (salt * a + other * b) / mixtureFlask;
    const nitrateMix = (nitrate * b) / mixtureFlask;
    const parts = [
      drawn(1, off1, 0.0016, 1, tuesday) / flask(100, 0.1, tuesday),
      drawn(2.5, offPiston, 0.008, 1, tuesday) / flask(50, 0.06, tuesday),
      drawn(5, offPiston, 0.008, 2, tuesday) / flask(100, 0.1, tuesday),
    ];
    const lastFlask = flask(100, 0.1, tuesday);
    const last = drawn(10, off10, 0.004, 2, tuesday) / lastFlask;
    const added = drawn(1, off1, 0.0016, 1, tuesday) / lastFlask;
    for (let i = 0; i < 3; i++) {
      x[i] = chlorideMix * parts[i];
      x[4 + i] = nitrateMix * parts[i];
    }
    x[3] = chlorideMix * last + salt * added;
    x[7] = nitrateMix * last;
    centre ??= x.slice();
    for (let i = 0; i < 8; i++) {
      const d = x[i] - centre[i];
      sums[i] += d;
      for (let j = i; j < 8; j++) products[8 * i + j] += d * (x[j] - centre[j]);
    }
  }
  const covariance = (i: number, j: number): number => {
    const [low, high] = i < j ? [i, j] : [j, i];
    return (products[8 * low + high] - (sums[i] * sums[j]) / trials) / (trials - 1);
  };
  return Array.from(sums, (_, i) => Array.from(sums, (_sum, j) => covariance(i, j)));
}

/** Largest distance of two covariance matrices, % of the covariance, over the pairs correlated by more than `least`. */
export function largestDifferencePercent(
  own: readonly (readonly number[])[],
  simulated: readonly (readonly number[])[],
  least: number,
): { readonly percent: number; readonly pairs: number } {
  let [percent, pairs] = [0, 0];
  for (let i = 0; i < own.length; i++) {
    for (let j = 0; j <= i; j++) {
      const r = own[i][j] / Math.sqrt(own[i][i] * own[j][j]);
      if (Math.abs(r) < least) continue;
      pairs++;
      percent = Math.max(percent, Math.abs(100 * (simulated[i][j] / own[i][j] - 1)));
    }
  }
  return { percent, pairs };
}
