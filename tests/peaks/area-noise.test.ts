import { describe, expect, it } from "vitest";
import { createRandom } from "../../toolkit/numeric/random.js";
import { areaNoise } from "../../toolkit/peaks/integration/area-noise.js";
import type { RecordRegion } from "../../toolkit/peaks/integration/record-region.js";
import { makeChromatogram } from "../../toolkit/signal/make-chromatogram.js";
import { areaResponse } from "../../toolkit/signal/masked-baseline.js";

const N = 6600;
/** 0.2 s in min. */
const INTERVAL = 1 / 300;
const SIGMA = 24;
const WINDOW = 10 * SIGMA;
const HUMP = 4700;

/** White noise of s.d. 1 and a hump (s.d. 15 s) whose height is another in every record. */
function record(seed: number, height: number) {
  const random = createRandom(seed);
  const signal = Float64Array.from(
    { length: N },
    (_, i) => random.normal() + height * Math.exp(-0.5 * ((i - HUMP) / 75) ** 2),
  );
  return makeChromatogram({
    id: `record ${seed}`,
    time: signal.map((_, i) => i * INTERVAL),
    signal,
    signalUnit: "µS/cm",
    notes: [],
  });
}

const chromatogram = record(0, 0);
const weights = new Float64Array(N).fill(1);
const baseline = { values: new Float64Array(N), weights, lambda: (2 * SIGMA) ** 4 };
const region: RecordRegion = {
  chromatogram,
  offset: 0,
  start: 0,
  interval: INTERVAL,
  signal: chromatogram.signal,
  y: chromatogram.signal,
  baseline,
  white: 1,
};

/** Weights of an area in the middle of the record, wherever they are laid then. */
const under = weights.slice().fill(1e-9, N / 2 - WINDOW / 2, N / 2 + WINDOW / 2);
const { first, weights: h } = areaResponse(
  { ...baseline, weights: under },
  N / 2 - WINDOW / 2,
  new Float64Array(WINDOW).fill(1),
);
const own = [N / 2 - WINDOW / 2 - first, N / 2 + WINDOW / 2 - 1 - first] as const;
/** √(h Γ h′) of white noise of s.d. 1 (JCGM 102:2011, 6.2). */
const white = Math.hypot(...h);

describe("noise of areas from blanks", () => {
  const heights = [0, 40, -30];
  const blanks = heights.map((height, k) => record(k + 1, height));
  const { noise } = areaNoise(region, new Uint8Array(N).fill(1), WINDOW, blanks, 0);
  const at = (place: number) => noise.scatterOf(h, own, place, N);

  it("a hump that no two blanks share alike does not spread to areas elsewhere", () => {
    for (const place of [1000, 2000, 3000]) expect(Math.abs(at(place) / white - 1)).toBeLessThan(0.15);
  });

  it("and counts for the areas under which it lies, as much as the blanks differ there", () => {
    const hump = Float64Array.from(h, (_, i) => Math.exp(-0.5 * ((i - 0.5 * (own[0] + own[1])) / 75) ** 2));
    const unit = Math.abs(h.reduce((sum, weight, i) => sum + weight * hump[i], 0));
    const scatter = Math.hypot(heights[1] - heights[0], heights[2] - heights[1]) / 2;
    expect(at(HUMP) / (scatter * unit)).toBeGreaterThan(0.6);
    expect(at(HUMP) / (scatter * unit)).toBeLessThan(1.2);
  });
});
