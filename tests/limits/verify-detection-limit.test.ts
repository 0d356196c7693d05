import { describe, expect, it } from "vitest";
import { methodDetectionLimit } from "../../toolkit/limits/method-detection-limit.js";
import { verifyDetectionLimit } from "../../toolkit/limits/verify-detection-limit.js";
import { codeOf } from "../calibration/published.js";
import { nitrite } from "./nitrite.js";

// Rule: 40 CFR 136 App. B rev. 2, section II (4), as handbook DETECTION §4 tells it (from memory). Data: nitrite of
// handbook DETECTION §2 [made-up data], MDL .0057.
const found = (nitrite.spikes ?? []).map(({ value }) => value);
const blanks = nitrite.blanks ?? [];
const quarters = [
  "2025-01-10",
  "2025-02-20",
  "2025-04-11",
  "2025-05-02",
  "2025-07-08",
  "2025-09-30",
  "2025-10-01",
  "2025-12-15",
];
const spikes = found.map((value, i) => ({ level: 0.02, value, date: quarters[i] }));
const usual = { mdl: 0.0057, spikes, blanks, established: "2024-12-05" };

describe("a method detection limit in force", () => {
  it("stays where the recomputed one lies between half and twice, blanks are clean and every quarter has its spikes", () => {
    const verified = verifyDetectionLimit(usual);
    expect(verified.kept).toBe(true);
    expect(verified.recomputed?.mdl).toBe(methodDetectionLimit({ fortified: found, blanks }).mdl);
    expect(verified.ratio).toBeCloseTo(0.00572 / 0.0057, 2);
    expect(verified.share).toMatchObject({ above: 0, of: 10, allowed: 0.03 });
    expect(verified.due).toEqual([]);
  });

  it.each([
    ["twice and more", 0.0028, false],
    ["just below twice", 0.0029, true],
    ["half and less", 0.0116, false],
    ["just above half", 0.0114, true],
  ])("recomputed %s: limit in force %f, kept %s", (_, mdl, kept) => {
    const { criteria } = verifyDetectionLimit({ ...usual, mdl });
    expect(criteria.find(({ test }) => test.startsWith("recomputed limit"))?.passed).toBe(kept);
  });

  it("fails at one of ten blanks above it, and says that so few blanks do not show more than 3 %", () => {
    const verified = verifyDetectionLimit({ ...usual, blanks: [...blanks.slice(1), 0.006] });
    const line = verified.criteria.find(({ test }) => test.startsWith("fewer than 3 %"));
    expect(line?.passed).toBe(false);
    expect(line?.verdict).toContain("between 0.253 and 44.5 %");
    expect(line?.verdict).toContain("measure more");
    expect(verified.kept).toBe(false);
    expect(verifyDetectionLimit({ ...usual, blanks: [...Array(39).fill(null), 0.006] }).share?.of).toBe(40);
  });

  it("names a quarter without low standards, a limit too old, and what has no date", () => {
    const gap = verifyDetectionLimit({
      ...usual,
      spikes: spikes.filter(({ date }) => !date.startsWith("2025-04") && !date.startsWith("2025-05")),
    });
    expect(String(gap)).toContain("too few in 2025 Q2");
    expect(gap.due.join()).toContain("to recompute it takes 7 low standards");
    expect(String(verifyDetectionLimit({ ...usual, today: "2026-02-01" }))).toContain("14 months old");
    const undated = verifyDetectionLimit({
      ...usual,
      spikes: found.map((value) => ({ level: 0.02, value })),
    });
    expect(undated.due.join()).toContain("without a date");
  });

  it.each<[string, object, string]>([
    ["no limit", { ...usual, mdl: Number.NaN }, "negative-concentration"],
    ["two levels", { ...usual, spikes: [...spikes, { level: 0.2, value: 0.2 }] }, "mixed-levels"],
    ["no spikes", { mdl: 1 }, "bad-option"],
    ["a blank that is text", { ...usual, blanks: ["a"] }, "not-a-number"],
    ["a date of its own kind", { ...usual, established: "5 March" }, "bad-option"],
    ["a misspelt name", { ...usual, blank: [] }, "unknown-option"],
  ])("%s: a typed error", (_, data, code) => {
    expect(codeOf(() => verifyDetectionLimit(data as never))).toBe(code);
  });
});
