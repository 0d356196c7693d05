import { createHash } from "node:crypto";
import { readFileSync } from "node:fs";
import { join } from "node:path";
import { beforeAll, describe, expect, it } from "vitest";
import type { Explanation, Results } from "../../toolkit/batch/types.js";
import { demoResults, DEMO_FOLDER as folder } from "./demo-results.js";

let found: Results;

beforeAll(async () => {
  found = await demoResults();
}, 30_000);

const stepOf = (why: Explanation, step: string): string =>
  why.steps.find((each) => each.step === step)?.sentences.join(" ") ?? "";

describe("why a number is what it is", () => {
  it("leads back to the raw file, whose hash is that of the file on disk", () => {
    const why = found.why("well 3 (17 Feb)", "Cl-");
    const bytes = readFileSync(join(folder, "anions", why.file?.path ?? ""));
    expect(why.file?.sha256).toBe(createHash("sha256").update(bytes).digest("hex"));
    expect(why.injection?.signal).toBe(why.file?.path);
    const lines = readFileSync(join(folder, "anions/worksheet.csv"), "utf8").split("\n");
    expect(lines[(why.injection?.line ?? 0) - 1]).toContain(`${why.injection?.id},`);
    expect(stepOf(why, "record")).toContain(why.file?.sha256);
  });

  it("walks the same numbers down: area, curve, preparation, result", () => {
    for (const [sample, ion] of [
      ["well 3 (17 Feb)", "chloride"],
      ["roadside soil", "sodium"],
      ["ditch", "calcium"],
    ]) {
      const why = found.why(sample, ion);
      const { calibration, peak, result } = why;
      if (!calibration || !peak) throw new Error(`${ion} in ${sample} lost its calibration or its peak`);
      const read = calibration.curve.concentration(peak.area).value;
      expect(why.injectedConcentration).toBeCloseTo(read, 6);
      expect(stepOf(why, "area")).toContain(String(peak.area));
      expect(result.value?.value).toBeGreaterThan(0);
    }
  });

  it("reports a solid in the mass that was weighed: extract volume and the solid's own water over dry mass", () => {
    const why = found.why("roadside soil", "sodium");
    const row = found.batches[1].samples.find((each) => each.sample === why.sample);
    const [m, V, d] = [row?.massGrams ?? 0, row?.volumeMilliliters ?? 0, row?.dryFraction ?? 0];
    const byHand = ((why.injectedConcentration ?? 0) * (V + m * (1 - d))) / (m * d);
    expect(why.result.value?.value).toBeCloseTo(byHand, 6);
  });

  it("accounts for the whole uncertainty", () => {
    const why = found.why("spring (17 Feb)", "sulfate");
    const whole = why.budget.reduce((sum, row) => sum + row.share, 0);
    expect(whole).toBeCloseTo(1, 6);
    expect(why.budget[0].share).toBeGreaterThanOrEqual(why.budget[1].share);
  });

  it("names the checks that govern it: second source, continuing checks on both sides, neighbouring levels", () => {
    const why = found.why("well 3 (17 Feb)", "chloride");
    const kinds = new Set(why.checks.map((check) => check.check));
    expect([...kinds]).toEqual(
      expect.arrayContaining(["second source", "continuing check", "calibration level"]),
    );
    expect(why.checks.every((check) => check.ion === "chloride")).toBe(true);
    const levels = why.checks.filter((check) => check.check === "calibration level");
    const concentration = why.injectedConcentration ?? 0;
    expect(Math.min(...levels.map((level) => level.expected ?? 0))).toBeLessThanOrEqual(concentration);
    expect(Math.max(...levels.map((level) => level.expected ?? 0))).toBeGreaterThan(concentration);
  });

  it("says why the curve is the right one", () => {
    const text = stepOf(found.why("well 3 (17 Feb)", "chloride"), "calibration");
    expect(text).toContain("The method asks for");
    expect(text).toMatch(/lack of fit F = [\d.]+ on \d+ and \d+ degrees of freedom/);
    expect(text).toContain("Mandel F");
  });

  it("of something absent tells of the window without a peak; of something outside the method that it may be there", () => {
    const absent = found.samples.find(
      (row) => row.status === "not detected" && row.flags.includes("no peak found"),
    );
    if (!absent) throw new Error("the demonstration lost its absent ions");
    const why = found.why(absent.sample, absent.ion);
    expect(why.peak).toBeUndefined();
    expect(stepOf(why, "area")).toContain("fixed window");
    const outside = found.samples.find((row) => row.status === "not measured");
    if (outside) expect(String(found.why(outside.sample, outside.ion))).toContain("not measured");
  });
});

describe("a place over time", () => {
  it("is read from the column site of samples.csv", () => {
    const series = found.series("well 3", "chloride");
    expect(series.visits).toHaveLength(6);
    const times = series.visits.map((visit) => visit.collectedAt ?? "");
    expect(times).toEqual([...times].sort());
    expect(new Set(series.visits.map((visit) => visit.period))).toEqual(new Set(["before", "after"]));
  });
});
