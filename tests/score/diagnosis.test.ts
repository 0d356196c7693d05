// The full size of tests/water/diagnosis/diagnosis-score.test.ts: over 1 000 faulty and as many clean waters for each of
// the seeds 1, 2, 3.
import { describe, expect, it } from "vitest";
import { scoreDiagnosis, scoreTable } from "../water/diagnosis/diagnosis-score.js";

/** Of each of seven faults. */
const EACH = 143;

describe("waters with one fault each, of kinds the diagnosis does not know", () => {
  it.each([1, 2, 3])(
    "seed %d: the true cause is first in 80 % and among three in 95 %; at most 5 % of clean waters raise a diagnosis",
    (seed) => {
      const score = scoreDiagnosis(seed, EACH);
      console.log(`\n${scoreTable(score)}\n`);
      expect(score.waters).toBeGreaterThanOrEqual(1000);
      expect(score.clean).toBeGreaterThanOrEqual(1000);
      expect(score.first).toBeGreaterThanOrEqual(80);
      expect(score.firstThree).toBeGreaterThanOrEqual(95);
      expect(score.falselyRaised).toBeLessThanOrEqual(5);
    },
  );
});
