// A real liquid chromatogram whose instrument file carries its own integration. Source: test fixture of a general
// netCDF file reader (MIT licence), see tests/reference/andi/SOURCE.md; seen as a file, nothing from memory.
import { fileURLToPath } from "node:url";
import { describe, expect, it } from "vitest";
import { readChromatogram } from "../../toolkit/batch/reading/chromatogram.js";
import { areaBetween } from "../../toolkit/peaks/integration/area-between.js";
import { comparePublished } from "../../toolkit/peaks/integration/compare-published.js";
import { integrateChromatogram } from "../../toolkit/peaks/integration/integrate-chromatogram.js";
import { readPublishedPeaks } from "../../toolkit/peaks/integration/published-peaks.js";

const at = (name: string) => fileURLToPath(new URL(`../reference/andi/${name}`, import.meta.url));
const record = await readChromatogram(at("liquid-chromatogram-8-peaks.cdf"));
const published = await readPublishedPeaks(at("liquid-chromatogram-8-peaks.expected.csv"));
const seconds = record.time.map((t) => 60 * t);

describe("areas between published limits above a published straight baseline", () => {
  it("the table holds eight peaks", () =>
    expect(published.map((p) => p.number)).toEqual([1, 2, 3, 4, 5, 6, 7, 8]));

  it.each(published)("peak $number has the published area within 0.01 %", ({ line, area }) => {
    expect(Math.abs(areaBetween(seconds, record.signal, line) / area - 1)).toBeLessThan(1e-4);
  });

  it("and does not without the baseline", () => {
    const { line, area } = published[1];
    const bare = areaBetween(seconds, record.signal, { ...line, startValue: 0, endValue: 0 });
    expect(Math.abs(bare / area - 1)).toBeGreaterThan(0.1);
  });
});

describe("automatic integration of the same record", () => {
  const integration = integrateChromatogram(record, { from: 0 });
  const { peaks } = integration;
  const compared = comparePublished(integration, published);
  const of = (number: number) => compared[number - 1];
  const relative = (a: number, b: number) => a / b - 1;

  it.each(published)("finds peak $number within 0.7 s of its published apex", ({ retentionTime }) => {
    const nearest = Math.min(...peaks.map((peak) => Math.abs(60 * peak.retentionTime - retentionTime)));
    expect(nearest).toBeLessThan(0.7);
  });

  it.each(compared)(
    "of peak $number the other line and the other limits make up the whole difference",
    ({ published: area, sameLimitsSameLine, sameLimitsOwnBaseline, own, lineAboveBaseline, number }) => {
      const { start, end } = published[number - 1].line;
      expect(Math.abs(relative(sameLimitsSameLine, area))).toBeLessThan(1e-4);
      expect(sameLimitsOwnBaseline - area).toBeCloseTo(lineAboveBaseline * (end - start), 1);
      expect(own).toBeGreaterThan(0);
    },
  );

  it.each([4, 7, 8])(
    "between the published limits peak %i differs by less than 2.5 % over our baseline: tall on flat ground",
    (number) => {
      const { sameLimitsOwnBaseline, published: area } = of(number);
      expect(Math.abs(relative(sameLimitsOwnBaseline, area))).toBeLessThan(0.025);
    },
  );

  it("beneath 1, 2 and 6 the published line cuts off what stands beside: 5 to 17 % more over our baseline", () => {
    for (const number of [1, 2, 6]) {
      const { sameLimitsOwnBaseline, published: area, lineAboveBaseline } = of(number);
      expect(lineAboveBaseline).toBeGreaterThan(0.05);
      expect(relative(sameLimitsOwnBaseline, area)).toBeGreaterThan(0.05);
      expect(relative(sameLimitsOwnBaseline, area)).toBeLessThan(0.17);
    }
  });

  it("4 and 5 overlap: the publisher drops a perpendicular, we fit; the pair's area is the same within 3 %", () => {
    for (const number of [4, 5]) expect(of(number).ownPeak?.rule).toBe("joint fit");
    const own = (of(4).own ?? 0) + (of(5).own ?? 0);
    expect(Math.abs(relative(own, of(4).published + of(5).published))).toBeLessThan(0.03);
    // What the perpendicular gives to the wrong side: one is larger than published by about what the other is smaller.
    const [first, second] = [4, 5].map((number) => (of(number).own ?? 0) - of(number).published);
    expect(first * second).toBeLessThan(0);
  });

  it.each([1, 7, 8])("altogether our area of peak %i lies within 3 % of the published one", (number) => {
    expect(Math.abs(relative(of(number).own ?? 0, of(number).published))).toBeLessThan(0.03);
  });

  it("a dropped perpendicular by name gives the pair as published within 4 %", () => {
    const dropped = integrateChromatogram(record, { from: 0, rule: "perpendicular drop" });
    for (const { number, own, published: area, ownPeak } of comparePublished(dropped, published)) {
      if (number !== 4 && number !== 5) continue;
      expect(ownPeak?.rule).toBe("perpendicular drop");
      expect(Math.abs(relative(own ?? 0, area))).toBeLessThan(0.04);
    }
  });

  it("says it in one sentence with both parts", () => {
    expect(of(7).because).toMatch(
      /^the published line runs 0\.\d+ mAU above our baseline on average: \+\d\.\d %; limits \d+–\d+ s instead of 989–1097 s: .\d\.\d %; together .\d\.\d %$/,
    );
  });
});

describe("areaBetween", () => {
  const time = Float64Array.of(0, 1, 2, 3, 4);
  const ramp = Float64Array.of(0, 2, 4, 6, 8);

  it("cuts a sample interval where a limit falls inside it", () => {
    // Triangle under y = 2t from 0.5 to 3.25 above zero: t² between the limits.
    const line = { start: 0.5, end: 3.25, startValue: 0, endValue: 0 };
    expect(areaBetween(time, ramp, line)).toBeCloseTo(3.25 ** 2 - 0.5 ** 2, 12);
  });

  it("counts what lies below the line as negative", () => {
    const line = { start: 1, end: 2, startValue: 5, endValue: 5 };
    expect(areaBetween(time, ramp, line)).toBeCloseTo(-2, 12);
  });

  it("gives the same for both limits inside one interval", () => {
    const line = { start: 1.25, end: 1.75, startValue: 0, endValue: 0 };
    expect(areaBetween(time, ramp, line)).toBeCloseTo(1.75 ** 2 - 1.25 ** 2, 12);
  });

  it.each([
    { start: 2, end: 1 },
    { start: 1, end: 9 },
    { start: -5, end: 1 },
    { start: Number.NaN, end: 1 },
  ])("refuses limits $start to $end", (limits) => {
    expect(() => areaBetween(time, ramp, { ...limits, startValue: 0, endValue: 0 })).toThrow(
      expect.objectContaining({ code: "bad-limits" }),
    );
  });
});
