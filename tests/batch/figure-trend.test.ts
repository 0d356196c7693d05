import { beforeAll, describe, expect, it } from "vitest";
import { figuresOfPeak } from "../../toolkit/batch/quantify/figures-of-peak.js";
import type { Results } from "../../toolkit/batch/types.js";
import { demoResults } from "./demo-results.js";

let results: Results;
beforeAll(async () => {
  results = await demoResults();
}, 60_000);

describe("figures followed over the demonstration batch (invented data)", () => {
  it("stand in run order with median and warning limits by the robust spread", () => {
    const trend = results.trend("plates Foley–Dorsey", "chloride");
    expect(trend.figure).toBe("plateNumberFoleyDorsey");
    expect(trend.formula).toBe("41.7 (t/W₀.₁)²/(B/A + 1.25)");
    expect(trend.points.length).toBeGreaterThan(10);
    const runs = trend.points.map(({ run }) => run);
    expect(runs).toEqual([...runs].sort((a, b) => a - b));
    const values = trend.points.flatMap(({ value }) => value ?? []).sort((a, b) => a - b);
    const half = values.length / 2;
    const middle = 0.5 * (values[Math.ceil(half) - 1] + values[Math.floor(half)]);
    expect(trend.median).toBeCloseTo(middle, 6);
    const { low = Number.NaN, high = Number.NaN } = trend.warning ?? {};
    expect(0.5 * (low + high)).toBeCloseTo(middle, 6);
    for (const { value, warned } of trend.points)
      expect(warned).toBe(value !== undefined && (value < low || value > high));
    expect(String(trend)).toMatch(/^plates, Foley–Dorsey of chloride: \d+ of \d+ injections, median /);
  });

  it("are those of peaks.csv where both measure: one implementation of each figure", () => {
    for (const ion of ["chloride", "sodium"]) {
      const widths = results.trend("width at half height", ion);
      const tails = results.trend("tailing", ion);
      let compared = 0;
      for (const [i, { injection, value }] of widths.points.entries()) {
        const row = results.peaks.find((peak) => peak.injection === injection && peak.ion === ion);
        if (value === undefined || row === undefined) continue;
        expect(row.widthHalf).toBe(value);
        expect(row.tailing).toBe(tails.points[i].value);
        compared++;
      }
      expect(compared).toBeGreaterThan(5);
    }
  });

  it("are found by name, key, and the beginning of a name, ions by formula", () => {
    expect(results.trend("asymmetry", "Cl-").figure).toBe("asymmetry");
    expect(results.trend("plateNumberTangent", "chloride").name).toBe("plates, tangents");
    expect(results.trend("retention time", "sodium").channel).toBe("cation");
    const times = results.trend("retention time", "chloride").points.map(({ value }) => value);
    expect(times.every((time) => time !== undefined)).toBe(true);
  });

  it("give a reason where a record does not show them", () => {
    const small = results.trend("asymmetry", "nitrite").points.filter(({ value }) => value === undefined);
    for (const { reason } of small) expect(reason).toMatch(/\w{4}/);
    for (const trace of [...results.traces.values()].filter((_, i) => i % 8 === 0))
      for (const peak of trace.peaks) expect(() => figuresOfPeak(trace, peak)).not.toThrow();
  });

  it.each([
    ["unknown-figure", () => results.trend("plates", "chloride")],
    ["unknown-figure", () => results.trend("beauty", "chloride")],
    ["unknown-ion", () => results.trend("area", "klorid")],
    ["not-a-name", () => results.trend("", "chloride")],
  ])("refuse with %s", (code, call) => {
    expect(call).toThrow(expect.objectContaining({ code }));
  });
});
