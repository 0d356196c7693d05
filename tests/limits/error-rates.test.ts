import { describe, expect, it } from "vitest";
import { calibrate } from "../../toolkit/calibration/calibrate.js";
import { currieLimits } from "../../toolkit/limits/currie-limits.js";
import { limitsInForce } from "../../toolkit/limits/limits-in-force.js";
import { createRandom } from "../../toolkit/numeric/random.js";
import { pointsOf } from "../calibration/published.js";

// Simulated blanks of known spread (made-up data): how often the limits err.
const TRIALS = 20_000;

describe("error rates of Currie's limits with a spread estimated from five blanks", () => {
  it.each([1, 2, 3])(
    "5 %% false positives; 5 %% missed at the true δσ and at 2t·s, more at δ·s (seed %i)",
    (seed) => {
      const random = createRandom(seed);
      const dof = 4;
      // All limits are proportional to the standard deviation.
      const unit = currieLimits({ blankStandardDeviation: 1, dof });
      const half = currieLimits({ blankStandardDeviation: 0.5, dof });
      expect(half.detectionLimit).toBeCloseTo(unit.detectionLimit / 2, 12);
      const delta = unit.detectionLimit;
      const rates = { falsePositive: 0, missedAtTrue: 0, missedAtTwoT: 0, missedAtDelta: 0 };
      for (let i = 0; i < TRIALS; i++) {
        let square = 0;
        for (let j = 0; j < dof; j++) square += random.normal() ** 2;
        const s = Math.sqrt(square / dof);
        const critical = unit.criticalLevel * s;
        if (random.normal() > critical) rates.falsePositive++;
        const noise = random.normal();
        if (delta + noise < critical) rates.missedAtTrue++;
        if (unit.detectionLimitByTwoT * s + noise < critical) rates.missedAtTwoT++;
        if (delta * s + noise < critical) rates.missedAtDelta++;
      }
      const percent = (count: number) => (100 * count) / TRIALS;
      expect(Math.abs(percent(rates.falsePositive) - 5)).toBeLessThan(0.6);
      expect(Math.abs(percent(rates.missedAtTrue) - 5)).toBeLessThan(0.6);
      expect(Math.abs(percent(rates.missedAtTwoT) - 5)).toBeLessThan(0.6);
      // Handbook DETECTION §3: 6.3 % at ν = 4 [computed there].
      expect(Math.abs(percent(rates.missedAtDelta) - 6.3)).toBeLessThan(0.6);
    },
  );
});

describe("error rates of the limits in force", () => {
  const line = calibrate(
    pointsOf(
      [0.01, 0.1, 1, 10],
      [0.0025, 0.025, 0.25, 2.5].map((y, i) => y * (1 + 1e-5 * i)),
    ),
  );

  it.each([1, 2, 3])(
    "six blanks: at most 5 %% of empty samples are called present, 5 %% at x_D are missed (seed %i)",
    (seed) => {
      const random = createRandom(seed);
      const trials = 4000;
      let present = 0;
      let missed = 0;
      for (let i = 0; i < trials; i++) {
        const mean = 0.004;
        const read = () => mean + 0.001 * random.normal();
        const limits = limitsInForce({
          calibration: line,
          blankConcentrations: [1, 2, 3, 4, 5, 6].map(read),
        });
        if (read() > limits.criticalValue) present++;
        // A content that reads x_D on average: the distance x_D − x_C does the work.
        if (limits.detectionLimit + 0.001 * random.normal() < limits.criticalValue) missed++;
      }
      expect(Math.abs((100 * present) / trials - 5)).toBeLessThan(1.2);
      expect((100 * missed) / trials).toBeLessThan(6);
      expect((100 * missed) / trials).toBeGreaterThan(2);
    },
  );
});
