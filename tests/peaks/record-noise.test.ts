import { describe, expect, it } from "vitest";
import { createRandom } from "../../toolkit/numeric/random.js";
import { recordNoise } from "../../toolkit/peaks/integration/record-noise.js";
import { areaResponse } from "../../toolkit/signal/masked-baseline.js";
import { gaussianSmooth } from "../../toolkit/signal/smooth.js";

const N = 6600;
const WINDOW = 240;
const LAMBDA = 48 ** 4;
const everywhere = new Uint8Array(N).fill(1);
/** Free between peaks only: 400 of every 900 samples lie under one. */
const between = everywhere.map((_, i) => (i % 900 < 400 ? 0 : 1));

/** Weights of an area over 240 samples in the middle, the baseline's part included. */
const weights = (() => {
  const first = (N - WINDOW) / 2;
  const under = new Float64Array(N).fill(1);
  under.fill(1e-9, first, first + WINDOW);
  const baseline = { values: under, weights: under, lambda: LAMBDA };
  return areaResponse(baseline, first, new Float64Array(WINDOW).fill(1)).weights;
})();

/** White noise of s.d. 1 and a first-order autoregression of variance `slow` whose neighbours correlate by `rho`. */
function noise(seed: number, rho: number, slow: number): Float64Array {
  const random = createRandom(seed);
  let state = random.normal();
  return Float64Array.from({ length: N }, () => {
    state = rho * state + Math.sqrt(1 - rho * rho) * random.normal();
    return random.normal() + Math.sqrt(slow) * state;
  });
}

/** √(h Γ h′) with the covariance that the noise was made with, e.g. JCGM 102:2011, 6.2. */
function truth(rho: number, slow: number): number {
  let sum = 0;
  for (let i = 0; i < weights.length; i++) {
    for (let j = 0; j < weights.length; j++)
      sum += weights[i] * weights[j] * ((i === j ? 1 : 0) + slow * rho ** Math.abs(i - j));
  }
  return Math.sqrt(sum);
}

function ratios(free: Uint8Array, rho: number, slow: number): readonly number[] {
  const exact = truth(rho, slow);
  return [1, 2, 3].map((seed) => {
    const records = [noise(seed, rho, slow), noise(seed + 10, rho, slow)];
    const { scatterOf } = recordNoise(records, [free, free], { longestLag: 1440, window: WINDOW });
    return scatterOf(weights, [0, 0], 0, 0) / exact;
  });
}

describe("noise of an area, read from two records", () => {
  it("white: within a tenth and a half of what it was made with", () => {
    for (const ratio of ratios(everywhere, 0, 0)) expect(Math.abs(ratio - 1)).toBeLessThan(0.15);
  });

  it("white, read between peaks only: within a fifth", () => {
    for (const ratio of ratios(between, 0, 0)) expect(Math.abs(ratio - 1)).toBeLessThan(0.2);
  });

  it("slow noise on the white: within a fifth", () => {
    for (const ratio of ratios(everywhere, 0.99, 1)) expect(Math.abs(ratio - 1)).toBeLessThan(0.2);
  });

  it("does not see the level of the records, as the area does not", () => {
    const record = noise(1, 0.99, 1);
    const raised = record.map((value) => value + 5);
    const u = (y: Float64Array) =>
      recordNoise([y], [everywhere], { longestLag: 1440, window: WINDOW }).scatterOf(weights, [0, 0], 0, 0);
    expect(Math.abs(u(raised) / u(record) - 1)).toBeLessThan(0.02);
  });

  it("a smoothed blank that was taken off adds what its smoothing lets through", () => {
    const exact = truth(0, 0);
    const smooth = gaussianSmooth(weights, 24).reduce((sum, h) => sum + h * h, 0);
    for (const seed of [1, 2, 3]) {
      const { scatterOf } = recordNoise(
        [noise(seed, 0, 0), noise(seed + 10, 0, 0)],
        [everywhere, everywhere],
        {
          longestLag: 1440,
          window: WINDOW,
          smoothed: { share: 1 / 3, width: 24 },
        },
      );
      const ratio = scatterOf(weights, [0, 0], 0, 0) / Math.sqrt(exact ** 2 + smooth / 3);
      expect(Math.abs(ratio - 1)).toBeLessThan(0.15);
    }
  });
});
