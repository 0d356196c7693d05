import { describe, expect, it } from "vitest";
import { calibrate } from "../../toolkit/calibration/curve/calibrate.js";
import { levelsOf } from "../../toolkit/calibration/response/levels.js";
import type { StandardReading } from "../../toolkit/calibration/response/types.js";
import { createRandom } from "../../toolkit/numeric/random.js";

/** Readings of one ion of a mixed standard, two a level. */
function mixed(levels: readonly number[], seed: number): StandardReading[] {
  const random = createRandom(seed);
  return levels.flatMap((concentration) =>
    [0, 1].map(() => ({
      concentration,
      response: 0.02 + (0.2 + 0.1 * random.uniform()) * concentration * (1 + 0.01 * random.normal()),
    })),
  );
}

/** b₁ = Σw(x − x̄)(y − ȳ)/Σw(x − x̄)², b₀ = ȳ − b₁x̄ with weighted means: Draper and Smith, Applied Regression Analysis (from memory). */
function textbookLine(points: readonly StandardReading[], weight: (x: number) => number): [number, number] {
  const sum = (f: (w: number, x: number, y: number) => number) =>
    points.reduce((total, { concentration: x, response: y }) => total + f(weight(x), x, y), 0);
  const all = sum((w) => w);
  const x = sum((w, own) => w * own) / all;
  const y = sum((w, _, own) => w * own) / all;
  const slope = sum((w, a, b) => w * (a - x) * (b - y)) / sum((w, a) => w * (a - x) ** 2);
  return [y - slope * x, slope];
}

const WEIGHTS = { none: () => 1, "1/x": (x: number) => 1 / x, "1/x^2": (x: number) => 1 / (x * x) } as const;
const NAMES = ["none", "1/x", "1/x^2"] as const;

function expectTextbook(points: readonly StandardReading[]): void {
  for (const weighting of NAMES) {
    const [b0, b1] = calibrate(points, { weighting }).coefficients;
    const [c0, c1] = textbookLine(points, WEIGHTS[weighting]);
    expect(b1).toBeCloseTo(c1, 11);
    expect(b0).toBeCloseTo(c0, 11);
  }
}

describe("what ions of one mixed standard share", () => {
  it.each([1, 2, 3])(
    "seed %s: every ion gets the textbook line of its own readings, whichever came before",
    (seed) => {
      const levels = [0.1, 0.2, 0.5, 1, 2, 5];
      for (let ion = 0; ion < 5; ion++) expectTextbook(mixed(levels, 100 * seed + ion));
      const lists = Array.from({ length: 12 }, (_, k) => mixed([...levels, 10 + k], 100 * seed + 50 + k));
      for (const points of [...lists, ...lists.reverse()]) expectTextbook(points);
    },
  );

  it("a list that is changed after a fit is fitted as it stands, and the curve before keeps its own figures", () => {
    const points = mixed([0.1, 0.2, 0.5, 1, 2, 5], 1);
    const before = calibrate(points, { weighting: "1/x" });
    const [b0, b1] = before.coefficients;
    points[11] = { concentration: 8, response: points[11].response };
    points[10] = { concentration: 8, response: points[10].response };
    expectTextbook(points);
    expect(levelsOf(points).map(({ concentration }) => concentration)).toEqual([0.1, 0.2, 0.5, 1, 2, 8]);
    expect(before.coefficients).toEqual([b0, b1]);
    expect(before.backCalculated()[11].concentration).toBe(5);
  });

  it("the largest back-calculated errors are those of the list of all, at the lowest level apart from above it", () => {
    const points = [{ concentration: 0, response: 0.021 }, ...mixed([0.1, 0.5, 2, 10], 2)];
    for (const model of ["linear", "through-zero", "quadratic", "weak"] as const) {
      const curve = calibrate(points, { model });
      const sizes = (lowest: boolean) =>
        curve
          .backCalculated()
          .filter(({ concentration: x }) => x > 0 && (x === 0.1) === lowest)
          .map(({ relativeErrorPercent }) => Math.abs(relativeErrorPercent));
      const { atLowest, above } = curve.largestErrors();
      expect(atLowest).toBe(Math.max(...sizes(true)));
      expect(above).toBe(Math.max(...sizes(false)));
      expect(above).toBeGreaterThan(0);
    }
  });
});
