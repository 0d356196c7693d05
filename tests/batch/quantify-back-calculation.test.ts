import { describe, expect, it } from "vitest";
import type { InjectedConcentration } from "../../toolkit/batch/quantify/injected-concentration.js";
import { backFactor, bestDilution, statusOf } from "../../toolkit/batch/quantify/sample-results.js";
import { exactly } from "../../toolkit/uncertainty/measured.js";
import { injection, peak, run, sample } from "./quantify-objects.js";

// Worked example of a fresh leaf (invented numbers, arithmetic by hand): 5.000 g with a water content of 0.724 into
// 100 mL, diluted ten times, 3.25 mg/L as injected.
//   as received  3.25·10·(100 + 5·0.724)/5 = 673.53 mg/kg; dry  673.53/(1 − 0.724) = 2440.3 mg/kg
const leaf = sample({
  sample: "leaf",
  preparation: "extract",
  massGrams: 5,
  volumeMilliliters: 100,
  dryFraction: 0.276,
  unit: "mg/kg",
});
const tenfold = injection({ solution: "leaf", dilution: 10 });
const factor = (of: typeof leaf, from = tenfold) => backFactor(from, of, "anion", "nitrate");

describe("from the injected concentration to the sample", () => {
  it("a fresh leaf holds 673.5 mg/kg: its own water counts as extractant", () => {
    expect(3.25 * factor(leaf).value).toBeCloseTo(673.53, 9);
  });

  it("the same leaf holds 2440 mg/kg of dry matter", () => {
    expect(3.25 * factor({ ...leaf, unit: "mg/kg dry" }).value).toBeCloseTo(673.53 / 0.276, 9);
    expect(3.25 * factor({ ...leaf, unit: "mg/kg dry" }).value).toBeCloseTo(2440, -1);
  });

  it("an extract with no stated dry fraction brings no water of its own: 650.0 mg/kg", () => {
    expect(3.25 * factor({ ...leaf, dryFraction: undefined }).value).toBeCloseTo(650, 9);
  });

  it("a direct sample is multiplied by its dilution alone", () => {
    expect(factor(sample(), injection({ dilution: 25 })).value).toBe(25);
    expect(factor(sample(), injection({ dilution: 25 })).u).toBe(0);
  });

  it("mass, volume and dilution carry their uncertainties under the sample's name", () => {
    const weighed = { ...leaf, uMassGrams: 0.005, uVolumeMilliliters: 0.2 };
    const found = factor(weighed, injection({ solution: "leaf", dilution: 10, uDilution: 0.03 }));
    // w ∝ D·(V/m + 0.724): partial derivatives by hand
    const byHand = Math.hypot(((100 + 3.62) / 5) * 0.03, (10 * 0.2) / 5, ((10 * 100) / 25) * 0.005);
    expect(found.u).toBeCloseTo(byHand, 6);
    expect(found.sources.map((s) => s.key).sort()).toEqual([
      "dilution of leaf ×10 (anion)",
      "mass of leaf",
      "volume of leaf",
    ]);
  });

  it("two ions of one weighed extract share mass and volume to the last digit", () => {
    const weighed = { ...leaf, uMassGrams: 0.005, uVolumeMilliliters: 0.2 };
    const [a, b] = ["nitrate", "sulfate"].map((ion) => backFactor(tenfold, weighed, "anion", ion));
    expect(a.sources.map((s) => s.key)).toEqual(b.sources.map((s) => s.key));
    expect([...a.contributions]).toEqual([...b.contributions]);
  });
});

describe("the state of a result at the borders of its limits", () => {
  const limits = { criticalValue: 0.1, detectionLimit: 0.2, quantificationLimit: 1, definition: "by hand" };
  const below = (x: number) => x * (1 - 1e-12);
  const above = (x: number) => x * (1 + 1e-12);
  it.each([
    [-1, "not detected"],
    [0, "not detected"],
    [below(0.1), "not detected"],
    [0.1, "below quantification"],
    [0.2, "below quantification"],
    [below(1), "below quantification"],
    [1, "quantified"],
    [50, "quantified"],
    [above(50), "above range"],
  ] as const)("%f mg/L with limits 0.1, 1 and top level 50 is %s", (concentration, status) => {
    expect(statusOf(concentration, limits, 50)).toBe(status);
  });
});

describe("the dilution a result is reported from", () => {
  const at = (dilution: number, concentration: number): InjectedConcentration => ({
    run: run({ id: `×${dilution}`, dilution }, []),
    peak: peak({ time: 5, area: 1 }),
    concentration: exactly(concentration, "mg/L"),
  });
  const chosen = (...found: InjectedConcentration[]) => bestDilution(found, 50).run.injection.dilution;

  it("is the least diluted that lies inside the calibrated range", () => {
    expect(chosen(at(1, 400), at(10, 40), at(100, 4))).toBe(10);
    expect(chosen(at(100, 4), at(10, 40), at(1, 400))).toBe(10);
  });

  it("is the least diluted where all lie below the range", () => {
    expect(chosen(at(10, 0.001), at(1, 0.01))).toBe(1);
  });

  it("is the most diluted where all lie above the range", () => {
    expect(chosen(at(1, 8000), at(100, 80), at(10, 800))).toBe(100);
  });

  it("still counts the top level itself as inside", () => {
    expect(chosen(at(1, 50), at(10, 5))).toBe(1);
    expect(chosen(at(1, 50.001), at(10, 5))).toBe(10);
  });

  it("is the first of equal dilutions in run order", () => {
    const twice = [at(10, 40), at(10, 41)];
    expect(bestDilution(twice, 50)).toBe(twice[0]);
  });
});
