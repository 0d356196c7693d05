// The small size of tests/score/diagnosis.test.ts: the same faults and clean waters, few of each.
import { describe, expect, it } from "vitest";
import { scoreDiagnosis, scoreTable } from "./diagnosis-score.js";

describe("waters with one fault each, of kinds the diagnosis does not know (seed 1)", () => {
  it("rank the true cause first in 80 % and among three in 95 %; at most 5 % of clean ones raise a diagnosis", () => {
    const score = scoreDiagnosis(1, 3);
    expect(score.first, scoreTable(score)).toBeGreaterThanOrEqual(80);
    expect(score.firstThree, scoreTable(score)).toBeGreaterThanOrEqual(95);
    expect(score.falselyRaised, scoreTable(score)).toBeLessThanOrEqual(5);
  });
});
