import { describe, expect, it } from "vitest";
import { calibrate } from "../../toolkit/calibration/curve/calibrate.js";
import { cochranTest } from "../../toolkit/calibration/tests-of-fit/variance-homogeneity.js";
import { slopeAgainstTheory } from "../../toolkit/calibration/theory/slope-check.js";
import { isIonbookError } from "../../toolkit/errors.js";
import { calibrationLimits } from "../../toolkit/limits/calibration-limits.js";
import { countingLimits } from "../../toolkit/limits/counting-limits.js";
import { currieLimits } from "../../toolkit/limits/currie-limits.js";
import { limitLadder } from "../../toolkit/limits/limit-ladder.js";
import { limitsInForce } from "../../toolkit/limits/limits-in-force.js";
import { methodDetectionLimit } from "../../toolkit/limits/method-detection-limit.js";
import { minimumReportingLevel } from "../../toolkit/limits/minimum-reporting-level.js";
import { powerCurve } from "../../toolkit/limits/power-curve.js";
import { reportedResult } from "../../toolkit/limits/reported-result.js";
import { sampleLimits } from "../../toolkit/limits/sample-limits.js";
import { pooledStandardDeviation } from "../../toolkit/limits/spread.js";
import { ratioWithBounds, sumWithBounds } from "../../toolkit/limits/sum-with-bounds.js";
import { verifyDetectionLimit } from "../../toolkit/limits/verify-detection-limit.js";
import { watchBlanks } from "../../toolkit/limits/watch-blanks.js";

type Call = (first: never, second: never) => unknown;
const CALLS: Readonly<Record<string, Call>> = {
  calibrate,
  calibrationLimits,
  cochranTest,
  countingLimits,
  currieLimits,
  limitLadder,
  limitsInForce,
  methodDetectionLimit,
  minimumReportingLevel,
  pooledStandardDeviation,
  powerCurve,
  ratioWithBounds,
  reportedResult,
  sampleLimits,
  slopeAgainstTheory,
  sumWithBounds,
  verifyDetectionLimit,
  watchBlanks,
};
const WRONG: readonly unknown[] = [
  undefined,
  null,
  5,
  "x",
  Number.NaN,
  [],
  [undefined],
  [{}],
  [{ ion: "chloride" }],
  () => 1,
];

describe("a call with the wrong thing", () => {
  it.each(Object.entries(CALLS))(
    "%s: a typed error that says what was expected, whatever it is given",
    (_, call) => {
      for (const first of WRONG) {
        for (const second of [undefined, null, 5, "x"]) {
          try {
            call(first as never, second as never);
          } catch (error) {
            expect(isIonbookError(error), String(error)).toBe(true);
            expect((error as Error).message.length).toBeGreaterThan(20);
            continue;
          }
          // What is taken must mean something: only what an analyst could have meant gets here.
          expect(second === undefined || typeof second === "number").toBe(true);
        }
      }
    },
  );
});
