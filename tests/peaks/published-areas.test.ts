// A real liquid chromatogram whose instrument file carries its own integration. Source: test fixture of a general
// netCDF file reader (MIT licence), see tests/reference/andi/SOURCE.md; seen as a file, nothing from memory.
import { fileURLToPath } from "node:url";
import { describe, expect, it } from "vitest";
import { readChromatogram } from "../../toolkit/batch/reading/chromatogram.js";
import { areaBetween } from "../../toolkit/peaks/area-between.js";
import { integrateChromatogram } from "../../toolkit/peaks/integrate-chromatogram.js";
import { readPublishedPeaks } from "../../toolkit/peaks/published-peaks.js";

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
  const { peaks } = integrateChromatogram(record, { from: 0 });

  it.each(published)("finds peak $number within 0.7 s of its published apex", ({ retentionTime }) => {
    const nearest = Math.min(...peaks.map((peak) => Math.abs(60 * peak.retentionTime - retentionTime)));
    expect(nearest).toBeLessThan(0.7);
  });

  // The publisher's straight lines stand elsewhere than one baseline below the whole record. Where the ground is flat
  // on both sides of a tall peak (4, 5, 7, 8) that matters little.
  it.each(published.filter((p) => [4, 5, 7, 8].includes(p.number)))(
    "the area of peak $number lies within 5 % of the published one",
    ({ line, area }) => {
      const own = peaks.filter(
        (peak) => 60 * peak.retentionTime > line.start && 60 * peak.retentionTime < line.end,
      );
      const tallest = own.reduce((a, b) => (a.height > b.height ? a : b));
      expect(Math.abs((60 * tallest.area.value) / area - 1)).toBeLessThan(0.05);
    },
  );
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
