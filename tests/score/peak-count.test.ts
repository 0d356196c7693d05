// The rates of the order selection over forty records each: npm run score.
import { describe, expect, it } from "vitest";
import { chosenCount, type NoiseKind } from "../peaks/peak-count-scenes.js";

const RUNS = Array.from({ length: 40 }, (_, k) => k + 1);
const SHOULDER = { share: 0.03, resolution: 0.8 };

/** Share of independent samples: from the residuals, or known from blanks as an eighth. */
const CASES: readonly (readonly [NoiseKind, number | undefined, most: number])[] = [
  ["white", undefined, 0],
  ["white + equal 1/f", 1 / 8, 0],
  ["white + equal 1/f", undefined, 3],
];

describe.each(CASES)("40 records, height over noise 300, %s, n_eff/n %d", (noise, fraction, most) => {
  it(`a second peak is invented in at most ${most}`, () => {
    const invented = RUNS.filter(
      (seed) => chosenCount(seed, noise, undefined, fraction).chosen.peaks.length > 1,
    );
    console.log(
      `${noise}, n_eff/n ${fraction ?? "from residuals"}: a second peak invented in ${invented.length} of 40`,
    );
    expect(invented.length).toBeLessThanOrEqual(most);
  });

  it("a shoulder of 3 % at Rs 0.8 is found in at least 38", () => {
    const found = RUNS.filter(
      (seed) => chosenCount(seed, noise, SHOULDER, fraction).chosen.peaks.length === 2,
    );
    console.log(`${noise}, n_eff/n ${fraction ?? "from residuals"}: shoulder found in ${found.length} of 40`);
    expect(found.length).toBeGreaterThanOrEqual(38);
  });
});
