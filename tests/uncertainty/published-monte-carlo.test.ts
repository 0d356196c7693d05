import { describe, expect, test } from "vitest";
import { measured, monteCarlo, propagate, propagateSecondOrder } from "../../toolkit/uncertainty/measured.js";
import { expectPublished, published } from "./published.js";

const sumOfFour = (x: Record<"a" | "b" | "c" | "d", number>) => x.a + x.b + x.c + x.d;

describe.each([1, 2, 3])("Monte Carlo with seed %i", (seed) => {
  const normal = published("jcgm101_additive_normal");
  test(normal.title, () => {
    const one = () => measured(0, "1", { u: 1 });
    const inputs = { a: one(), b: one(), c: one(), d: one() };
    const { u, interval } = monteCarlo(sumOfFour, inputs, { seed });
    expectPublished(normal, "u", u);
    // The corpus says: "Monte Carlo must agree within its own sampling error (about 0.01 for one million draws)".
    const [low, high] = normal.expected.interval;
    expect(Math.abs(interval.low - low)).toBeLessThan(0.015);
    expect(Math.abs(interval.high - high)).toBeLessThan(0.015);
    const { low: exactLow, high: exactHigh } = propagate(sumOfFour, inputs, "1").interval();
    expectPublished(normal, "interval", [exactLow, exactHigh]);
  });

  const rectangular = published("jcgm101_additive_rectangular");
  test(rectangular.title, () => {
    const one = () => measured(0, "1", { halfWidth: Math.sqrt(3), shape: "rectangular" });
    const inputs = { a: one(), b: one(), c: one(), d: one() };
    const { u, interval } = monteCarlo(sumOfFour, inputs, { seed });
    expectPublished(rectangular, "u", u);
    const [low, high] = rectangular.expected.interval;
    // Sampling error of a 2.5 % quantile here: √(0.025·0.975/10⁶)/density 0.022 = 0.007.
    expect(Math.abs(interval.low - low)).toBeLessThan(0.02);
    expect(Math.abs(interval.high - high)).toBeLessThan(0.02);
  });

  const loss = published("jcgm101_comparison_loss_uncorrelated");
  test(loss.title, () => {
    for (const x1 of loss.inputs.x1 as number[]) {
      const inputs = {
        x1: measured(x1, "1", { u: loss.inputs.u }),
        x2: measured(loss.inputs.x2, "1", { u: loss.inputs.u }),
      };
      const { mean, u, shortest } = monteCarlo((x) => 1e6 * (x.x1 ** 2 + x.x2 ** 2), inputs, { seed });
      const figures = [mean, u, shortest.low, shortest.high];
      const key = `x1=${x1.toFixed(3)}`;
      if (x1 < 0.05) expectPublished(loss, key, figures);
      else {
        expectPublished(loss, key, [mean, u, ...loss.expected[key].slice(2)]);
        // Its position is flat: only the length is sharp (exact 1594 to 3549, length 1955).
        expect(Math.abs(shortest.high - shortest.low - 1955)).toBeLessThan(8);
        expect(Math.abs(shortest.low - loss.expected[key][2])).toBeLessThan(25);
      }
    }
  });
});

const mass = published("jcgm101_mass_calibration");
const massInputs = {
  m: measured(100_000, "mg", { u: 0.05 }),
  dm: measured(1.234, "mg", { u: 0.02 }),
  air: measured(1.2, "kg/m³", { halfWidth: 0.1, shape: "rectangular" }),
  W: measured(8000, "kg/m³", { halfWidth: 1000, shape: "rectangular" }),
  R: measured(8000, "kg/m³", { halfWidth: 50, shape: "rectangular" }),
};
const massModel = (x: Record<keyof typeof massInputs, number>) =>
  (x.m + x.dm) * (1 + (x.air - 1.2) * (1 / x.W - 1 / x.R)) - 100_000;

describe(mass.title, () => {
  test.each([1, 2, 3])("propagation of distributions, seed %i", (seed) => {
    const { mean, u, shortest } = monteCarlo(massModel, massInputs, { seed, unit: "mg" });
    expectPublished(mass, "mcm", [mean, u, shortest.low, shortest.high]);
    expectPublished(mass, "mcm_interval_length", shortest.high - shortest.low);
  });

  test("first order misses the buoyancy", () => {
    const result = propagate(massModel, massInputs, "mg");
    const { low, high } = result.interval();
    expectPublished(mass, "guf_first_order", [result.value, result.u, low, high]);
  });

  test("second order finds it", () => {
    const { value, u, terms } = propagateSecondOrder(massModel, massInputs, "mg");
    const k = 1.959964;
    expectPublished(mass, "guf_second_order", [value, u, value - k * u, value + k * u]);
    expect([...terms[0].sources].sort()).toEqual(["W", "air"]);
  });
});

test("nine inputs with t, triangular and rectangular parts [NumPy 2.4, default_rng(20240601), 10⁶ trials: 124.499, 1.0284, shortest 4.037 long]", () => {
  const triangular = (centre: number, halfWidth: number) =>
    measured(centre, "mL", { halfWidth, shape: "triangular" });
  const inputs = {
    A: measured(12.4, "µS/cm·min", { u: 0.062 }),
    b0: measured(0.05, "µS/cm·min", { u: 0.02 }, { dof: 6 }),
    b1: measured(2.48, "1", { u: 0.012 }, { dof: 6 }),
    Vf1: triangular(100, 0.1),
    Vp1: triangular(10, 0.02),
    Vf2: triangular(50, 0.06),
    Vp2: triangular(5, 0.015),
    V: measured(0.25, "L", { halfWidth: 0.0005, shape: "rectangular" }),
    m: measured(1, "g", { halfWidth: 0.0002, shape: "rectangular" }),
  };
  const { mean, u, shortest } = monteCarlo(
    (x) => (((x.A - x.b0) / x.b1) * (x.Vf1 / x.Vp1) * (x.Vf2 / x.Vp2) * x.V) / x.m,
    inputs,
  );
  // Both sides have their own sampling error: √2·u/√M for the mean, √2·u/√(2M) for u.
  expect(Math.abs(mean - 124.499)).toBeLessThan(0.006);
  expect(Math.abs(u - 1.0284)).toBeLessThan(0.006);
  expect(Math.abs(shortest.high - shortest.low - 4.037)).toBeLessThan(0.03);
});
