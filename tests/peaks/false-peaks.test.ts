// The stated rate is 0.05 false peaks per record (Rice 1944). The full size, 600 runs per kind of noise and the whole
// chain of findPeaks and findDips, is tests/score/false-peaks.test.ts.
import { expect, it } from "vitest";
import { NOISE_KINDS } from "../signal/invented-noise.js";
import { falseRates } from "./false-peak-runs.js";

it("white, equal 1/f and 3× 1/f noise: 0.05 false peaks a run stated, at most 18 in 180 runs of 30 min (9 expected)", () => {
  let found = 0;
  for (const kind of NOISE_KINDS)
    for (const seed of [1, 2, 3]) found += 20 * falseRates(kind, 20, seed, false).detector;
  expect(Math.round(found)).toBeLessThanOrEqual(18);
});
