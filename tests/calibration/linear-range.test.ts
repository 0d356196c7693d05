import { describe, expect, it } from "vitest";
import { validateLinearRange } from "../../toolkit/calibration/range/linear-range.js";
import { createRandom } from "../../toolkit/numeric/random.js";
import { pointsOf } from "./published.js";

// Response factors of handbook CALIBRATION §6 [computed there]; the levels between 0.05 and 50 are chosen here.
const levels = [0.05, 0.1, 0.5, 1, 5, 10, 20, 50, 100];
const factors = [0.2465, 0.2441, 0.2436, 0.2444, 0.2449, 0.2452, 0.2451, 0.2398, 0.2241];

describe("the linear range", () => {
  // A measured blank of zero makes the response factors exactly those of the handbook.
  const blank = { concentration: 0, response: 0 };
  const study = [
    blank,
    ...pointsOf(
      levels,
      levels.map((x, i) => x * factors[i]),
    ),
  ];

  it("of the handbook's example ends at 50: deviations +0.7 … +0.1, −2.1 and −8.5 %", () => {
    const range = validateLinearRange(study);
    const deviations = range.levels.map((level) => level.deviationPercent);
    expect(deviations[0]).toBeCloseTo(0.7, 1);
    expect(deviations[6]).toBeCloseTo(0.1, 1);
    expect(deviations[7]).toBeCloseTo(-2.1, 1);
    expect(deviations[8]).toBeCloseTo(-8.5, 1);
    expect([range.low, range.high, range.accepted]).toEqual([0.05, 50, true]);
    expect(range.levels[8].accepted).toBe(false);
    expect(range.levels[8].reasons[0]).toContain("-8.5 %");
    expect(String(range)).toContain("linear from 0.05 to 50");
  });

  it("is the same where the intercept comes from the line through the lower levels", () => {
    const range = validateLinearRange(study.slice(1));
    expect([range.low, range.high, range.accepted]).toEqual([0.05, 50, true]);
  });

  it("loses its top where Mandel's test finds a curve within the 5 %", () => {
    // Bends by 4.5 % towards the top level: each factor passes, the shape does not.
    const x = [1, 2, 5, 10, 20, 50, 100];
    const bent = x.flatMap((c) =>
      [1, -1].map((s) => ({ concentration: c, response: c * (1 - 0.00045 * c + s * 2e-4) })),
    );
    const range = validateLinearRange(bent, { minimumLevels: 4 });
    expect(range.high).toBe(50);
    expect(range.levels[6].reasons[0]).toContain("Mandel");
    expect(range.accepted).toBe(true);
  });

  it("ends where the column is overloaded, before the detector is", () => {
    const straight = levels.map((c, i) => ({
      concentration: c,
      response: 0.25 * c,
      retentionTime: i === 8 ? 4.85 : 5,
    }));
    const range = validateLinearRange(straight);
    expect(range.high).toBe(50);
    expect(range.levels[8].reasons[0]).toContain("overloaded");
  });

  it("is not accepted with four levels, and not found where the middle scatters", () => {
    expect(validateLinearRange(pointsOf([1, 2, 5, 10], [1, 2, 5, 10.01])).accepted).toBe(false);
    const wild = validateLinearRange(pointsOf([1, 2, 4, 8, 16, 32], [1, 2, 8, 8, 32, 32]));
    expect(wild.accepted).toBe(false);
    expect(wild.levels.some((level) => !level.accepted)).toBe(true);
  });

  it.each([1, 2, 3])("of straight responses with 1 %% scatter is the whole study (seed %i)", (seed) => {
    const random = createRandom(seed);
    let whole = 0;
    for (let i = 0; i < 200; i++) {
      const points = levels.flatMap((c) =>
        [0, 1, 2].map(() => ({ concentration: c, response: 0.01 + 0.25 * c * (1 + 0.01 * random.normal()) })),
      );
      const range = validateLinearRange(points);
      if (range.accepted && range.low === 0.05 && range.high === 100) whole++;
    }
    expect(whole).toBeGreaterThan(190);
  });
});
