// Invented, seeded records: how often a second peak is found where there is one, and invented where there is none.
import { describe, expect, it } from "vitest";
import { choosePeakCount } from "../../toolkit/peaks/fitting/choose-peak-count.js";
import { makeChromatogram } from "../../toolkit/signal/make-chromatogram.js";
import { chosenCount, distanceAt, SIGMA } from "./peak-count-scenes.js";

const SEEDS = [1, 2, 3];

describe("number of peaks, height over noise 300", () => {
  it.each(["white", "white + equal 1/f"] as const)(
    "%s noise: no second peak is invented in three records",
    (noise) => {
      for (const seed of SEEDS) {
        const { chosen, candidates } = chosenCount(
          seed,
          noise,
          undefined,
          noise === "white" ? undefined : 1 / 8,
        );
        expect(chosen.peaks.length).toBe(1);
        expect(candidates.map(({ accepted }) => accepted)).toEqual([true, false]);
        expect(candidates[1].reason).toMatch(/BIC|u$|apart|refused/);
      }
    },
  );

  it("a shoulder of 3 % at Rs 0.8 is found in three of three, where it is, with its area within 4 u", () => {
    for (const seed of SEEDS) {
      const { chosen } = chosenCount(seed, "white", { share: 0.03, resolution: 0.8 });
      expect(chosen.peaks.length).toBe(2);
      expect(Math.abs(chosen.peaks[1].mu - 5 - distanceAt(0.8))).toBeLessThan(0.5 * SIGMA);
      const { value, u } = chosen.peaks[1].area;
      expect(Math.abs(value - 0.03)).toBeLessThan(4 * u);
    }
  });

  it("slow noise counts under 0.7 of the independent samples that white noise counts, over three records", () => {
    const [white, slow] = (["white", "white + equal 1/f"] as const).map((noise) =>
      SEEDS.reduce((sum, seed) => sum + chosenCount(seed, noise).candidates[0].nEffective, 0),
    );
    expect(slow).toBeLessThan(0.7 * white);
  });

  it("a share of samples outside (0, 1] is refused", () => {
    const record = makeChromatogram({ id: "flat", time: [0, 1, 2, 3], signal: [0, 1, 1, 0] });
    expect(() => choosePeakCount(record, { effectiveFraction: 0 })).toThrow(
      expect.objectContaining({ code: "bad-option" }),
    );
  });
});
