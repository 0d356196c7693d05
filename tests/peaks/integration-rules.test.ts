// Errors of geometric rules on overlapped pairs: the laboratory's handbook on peaks, §4 (own study: exponentially modified
// Gaussians of equal σ, 5 Hz, σ 5 s, known baseline, no noise; error of the minor's area in %).
import { describe, expect, it } from "vitest";
import { integrateChromatogram } from "../../toolkit/peaks/integration/integrate-chromatogram.js";
import {
  areaByRule,
  type IntegrationRule,
  type RulePeak,
} from "../../toolkit/peaks/integration/integration-rules.js";
import { emg, emgApexShift } from "../../toolkit/peaks/shape/emg.js";
import { makeChromatogram } from "../../toolkit/signal/make-chromatogram.js";

const SIGMA = 25;
/** W½/σ of the two tails. */
const HALF_WIDTH = { 0.3: 2.444, 0.8: 2.754 } as const;

/** Corrected record, and both peaks with the valley between them; the minor has area 1. */
function pair(tail: 0.3 | 0.8, ratio: number, resolution: number, minorFirst: boolean) {
  const gap = (resolution * 2 * HALF_WIDTH[tail] * SIGMA) / 1.18;
  const areas = minorFirst ? [1, ratio] : [ratio, 1];
  const y = Float64Array.from({ length: 1600 }, (_, i) =>
    areas.reduce((sum, area, k) => sum + area * emg(i, 400 + k * gap, SIGMA, tail * SIGMA), 0),
  );
  const apexes = [0, 1].map((k) => top(y, Math.round(400 + k * gap + emgApexShift(tail) * SIGMA)));
  let valley = apexes[0];
  for (let i = apexes[0]; i <= apexes[1]; i++) if (y[i] < y[valley]) valley = i;
  const minor = minorFirst ? 0 : 1;
  const end = (from: number, step: number) => {
    let i = from;
    while (y[i] > 1e-3 * y[apexes[minor]]) i += step;
    return i;
  };
  const peaks: readonly RulePeak[] = [
    { apex: apexes[0], first: end(apexes[0], -1), last: valley, left: undefined, right: 1 },
    { apex: apexes[1], first: valley, last: end(apexes[1], 1), left: 0, right: undefined },
  ];
  return { y, peaks, minor };
}

function top(y: Float64Array, near: number): number {
  let at = near;
  while (y[at + 1] > y[at]) at++;
  while (y[at - 1] > y[at]) at--;
  return at;
}

const RULES: readonly IntegrationRule[] = ["perpendicular drop", "valley to valley", "tangent skim"];

describe("the error of the minor's area is that of the handbook's table", () => {
  it.each([
    [0.3, 5, 1.25, false, [-0.5, -24.9, -22.7]],
    [0.3, 5, 1, false, [-3.2, -64.9, -53.3]],
    [0.3, 20, 1.25, false, [-2.1, -42.9, -37.2]],
    [0.3, 1000, 1.5, false, [-4.7, -56, -47.3]],
    [0.8, 20, 1.5, false, [3.4, -44.7, -33.5]],
    [0.8, 100, 2, false, [1.9, -20.5, -17.3]],
    [0.8, 20, 1.25, true, [-5.6, -36.6, -33.6]],
    [0.8, 100, 1, true, [-31.1, -105, -84.9]],
  ] as const)("τ/σ %d, 1 : %d, Rs %d, minor first %s: %j", (tail, ratio, resolution, first, table) => {
    const { y, peaks, minor } = pair(tail, ratio, resolution, first);
    RULES.forEach((rule, k) => {
      const ruled = areaByRule(y, y, peaks, minor, rule);
      const error = 100 * ((ruled?.area ?? Number.NaN) - 1);
      // The table's resolutions are rounded, and the deeper the valley's share the more that tells.
      expect(Math.abs(error - table[k])).toBeLessThan(Math.max(0.5, 0.05 * Math.abs(table[k])));
    });
  });

  it("what is skimmed off the minor is left to the major: both together are the whole", () => {
    const { y, peaks } = pair(0.3, 5, 1, false);
    const areas = [0, 1].map((k) => areaByRule(y, y, peaks, k, "tangent skim")?.area ?? Number.NaN);
    const whole = y.reduce((sum, value) => sum + value, 0);
    expect(Math.abs((areas[0] + areas[1]) / whole - 1)).toBeLessThan(2e-3);
  });

  it("weights give the same area as the rule, up to where its line is anchored", () => {
    const { y, peaks, minor } = pair(0.8, 20, 1.5, false);
    for (const rule of RULES) {
      const ruled = areaByRule(y, y, peaks, minor, rule);
      const weighed = ruled?.weights.reduce((sum, h, i) => sum + h * y[ruled.first + i], 0) ?? Number.NaN;
      expect(Math.abs(weighed / (ruled?.area ?? 1) - 1)).toBeLessThan(0.03);
    }
  });

  it("without a valley no rule exists", () => {
    const { y, peaks, minor } = pair(0.3, 5, 1, false);
    const lost = peaks.map((peak, k) => (k === minor ? { ...peak, first: peak.apex } : peak));
    for (const rule of RULES) expect(areaByRule(y, y, lost, minor, rule)).toBeUndefined();
  });
});

describe("rules by name in an integration", () => {
  const { y } = pair(0.3, 5, 1, false);
  const record = makeChromatogram({
    id: "pair",
    time: Float64Array.from(y, (_, i) => i / 300),
    signal: y.map((value, i) => 1 + 100 * value + 1e-4 * Math.sin(1.7 * i * i)),
    signalUnit: "µS/cm",
  });
  const options = { from: 0, shapes: [{ retentionTime: 1.5, sigma: SIGMA / 300, tau: (0.3 * SIGMA) / 300 }] };
  const unit = 100 / 300;

  it("left to itself it fits, within its u and 1 %, and says why with figures", () => {
    const [, minor] = integrateChromatogram(record, options).peaks;
    expect(minor.rule).toBe("joint fit");
    expect(Math.abs(minor.area.value / unit - 1)).toBeLessThan(0.01);
    expect(minor.because).toMatch(/\d+ % of its height .* times as high/);
    expect(minor.alternatives.map(({ rule }) => rule)).toEqual(RULES);
  });

  it("asked for by name, the rule's own error shows and its difference is in u as half-width of a rectangle", () => {
    const [, fitted] = integrateChromatogram(record, options).peaks;
    const [, skimmed] = integrateChromatogram(record, { ...options, rule: "tangent skim" }).peaks;
    expect(skimmed.rule).toBe("tangent skim");
    expect(skimmed.area.value / unit).toBeLessThan(0.55);
    const budget = skimmed.area.budget().find(({ source }) => source.startsWith("integration rule"));
    const difference = fitted.area.value - skimmed.area.value;
    expect(Math.abs(budget?.contribution ?? 0)).toBeCloseTo(difference / Math.sqrt(3), 6);
  });

  it("an unknown rule is refused with the names there are", () => {
    expect(() => integrateChromatogram(record, { ...options, rule: "by eye" as never })).toThrow(
      expect.objectContaining({ code: "bad-option", message: expect.stringContaining("tangent skim") }),
    );
  });
});
