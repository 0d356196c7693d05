// Peak-to-valley table of equal-width exponentially modified Gaussian pairs (handbook of the laboratory, figures of
// peaks §5, computed there); overlap of an equal pair: tests/reference/t08_peak_measures.json.
import { describe, expect, it } from "vitest";
import { peakFigures } from "../../toolkit/peaks/figures/peak-figures.js";
import {
  effectiveOverlaps,
  peakToValley,
  requiredResolution,
  resolutions,
} from "../../toolkit/peaks/figures/peak-pairs.js";
import type { PeakShape } from "../../toolkit/peaks/shape/peak-shape.js";
import { originOf, publishedCase } from "../numeric/reference.js";

const shape = (retentionTime: number, tau: number, area: number): PeakShape => ({
  retentionTime,
  sigma: 1,
  tau,
  area,
});

/** Two peaks of one width at a half-height resolution, the minor one later. */
function pair(rs: number, tau: number, ratio: number): readonly [PeakShape, PeakShape] {
  const { widthAtHalfHeight } = peakFigures(shape(100, tau, 1));
  return [shape(100, tau, ratio), shape(100 + (rs * 2 * widthAtHalfHeight) / 1.18, tau, 1)];
}

describe("peak to valley", () => {
  const columns = [
    [0, 1],
    [0, 20],
    [0.3, 20],
    [0.8, 1],
    [0.8, 20],
  ] as const;
  // Rs and the printed values; "none" where the sum of both has one maximum only.
  it.each([
    [0.8, 1.8, undefined, undefined, 1.82, undefined],
    [1.0, 3.66, 1.21, 1.14, 3.36, undefined],
    [1.25, 11.2, 3.1, 2.8, 8.2, 1.4],
    [1.5, 44, 11, 9.4, 22, 3.1],
    [2.0, 1400, 350, 210, 180, 21],
  ])("at Rs %d is the table's, as far as it prints", (rs, ...printed) => {
    for (const [i, [tau, ratio]] of columns.entries()) {
      const found = peakToValley(...pair(rs, tau, ratio));
      const wanted = printed[i];
      const where = `τ/σ ${tau}, ${ratio}:1: ${found}`;
      if (wanted === undefined) expect(found, where).toBeUndefined();
      else expect(Math.abs((found ?? Number.NaN) / wanted - 1), where).toBeLessThan(0.04);
    }
  });

  const equal = publishedCase("t08_peak_measures.json", "equal_pair_overlap_rs1");
  it(`is the inverse of the published valley of an equal pair at a base resolution of 1 (${originOf(equal)})`, () => {
    const valley = 1 / (peakToValley(shape(0, 0, 1), shape(4, 0, 1)) ?? Number.NaN);
    const wanted = equal.expected.valley_to_peak as number;
    // Published over the sum at one peak's own apex, ours over the sum's maximum beside it: 1e-6 apart.
    expect(Math.abs(valley - wanted)).toBeLessThan(1e-6);
  });

  it("does not mind the order, and wants areas", () => {
    const [major, minor] = pair(1.5, 0.3, 20);
    expect(peakToValley(minor, major)).toBe(peakToValley(major, minor));
    const bare = { retentionTime: 1, sigma: 1, tau: 0 };
    expect(() => peakToValley(bare, major)).toThrow(expect.objectContaining({ code: "no-area" }));
  });
});

describe("resolution by three definitions", () => {
  const published = publishedCase("t08_peak_measures.json", "resolution_gaussian_pair");
  it(`of a Gaussian pair is the published one (${originOf(published)})`, () => {
    const { t1, t2, s1, s2 } = published.inputs as Readonly<Record<string, number>>;
    const found = resolutions(
      { retentionTime: t1, sigma: s1, tau: 0 },
      { retentionTime: t2, sigma: s2, tau: 0 },
    );
    const { Rs_half, Rs_base } = published.expected as Readonly<Record<string, number>>;
    expect(Math.abs(found.halfHeight / Rs_half - 1)).toBeLessThan(1e-9);
    expect(Math.abs(found.tangent / Rs_base - 1)).toBeLessThan(1e-9);
    expect(Math.abs(found.moments / Rs_base - 1)).toBeLessThan(1e-9);
  });

  it("of a tailing pair moments see the tail that widths do not", () => {
    const [first, second] = [shape(100, 1.5, 1), shape(110, 1.5, 1)];
    const { halfHeight, tangent, moments } = resolutions(first, second);
    expect(moments).toBeCloseTo(10 / (4 * Math.hypot(1, 1.5)), 9);
    expect(halfHeight).toBeGreaterThan(1.2 * moments);
    expect(tangent).toBeGreaterThan(1.2 * moments);
  });
});

describe("what a trace beside a giant needs", () => {
  it("is the rule of the handbook at its two tails and grows by 0.25 with every decade", () => {
    expect(requiredResolution(1, 0)).toBe(1);
    expect(requiredResolution(1000, 0.3)).toBeCloseTo(1.75, 12);
    expect(requiredResolution(1 / 1000, 0.8)).toBeCloseTo(2, 12);
    expect(requiredResolution(1, 0.55)).toBeCloseTo(1.125, 12);
    expect(() => requiredResolution(0)).toThrow(expect.objectContaining({ code: "bad-ratio" }));
  });

  it("effective overlap takes the worse neighbour by that need, not by resolution", () => {
    const giant = shape(100, 0.3, 10_000);
    const trace = shape(108, 0.3, 1);
    const equal = shape(114, 0.3, 1);
    const [first, middle, last] = effectiveOverlaps([equal, giant, trace]);
    expect(middle.neighbor).toBe(100);
    expect(middle.required).toBeCloseTo(2, 2);
    expect(middle.margin).toBeLessThan(1);
    expect(first.neighbor).toBe(108);
    expect(last.margin).toBeGreaterThan(1);
    expect(effectiveOverlaps([giant])[0].margin).toBeUndefined();
  });
});
