// Outside check: moments summed here over the two half Gaussians themselves, by the definition of a central moment.
import { describe, expect, it } from "vitest";
import { biGaussianOf, emgLike } from "../../toolkit/peaks/fitting/bi-gaussian.js";

const HALVES = [
  { left: 1, right: 1.4 },
  { left: 1, right: 3 },
  { left: 2, right: 1.2 },
] as const;

function momentsOf({ left, right }: { readonly left: number; readonly right: number }) {
  const step = 2e-3;
  const weights: [t: number, height: number][] = [];
  for (let t = -20; t <= 30; t += step) weights.push([t, Math.exp(-0.5 * (t / (t < 0 ? left : right)) ** 2)]);
  const sum = (power: number, about: number) =>
    weights.reduce((total, [t, height]) => total + height * (t - about) ** power, 0);
  const area = sum(0, 0);
  const mean = sum(1, 0) / area;
  return { variance: sum(2, mean) / area, third: sum(3, mean) / area };
}

describe("a bi-Gaussian as the start of a fit", () => {
  it.each(HALVES)(
    "σ_L $left, σ_R $right: σ² + τ² is its variance and 2τ³ its third moment to 1e-6",
    (halves) => {
      const { variance, third } = momentsOf(halves);
      const { sigma, tau } = emgLike(halves);
      expect(Math.abs((sigma ** 2 + tau ** 2) / variance - 1)).toBeLessThan(1e-6);
      expect(Math.abs((2 * tau ** 3) / third - 1)).toBeLessThan(1e-6);
    },
  );

  it("a steeper flank behind gives a front, equal flanks a tenth of σ", () => {
    expect(emgLike({ left: 2, right: 1 }).tau).toBeLessThan(0);
    expect(emgLike({ left: 1, right: 1 })).toEqual({ sigma: 1, tau: 0.1 });
  });

  it("half widths at half height of 1.177410 σ give σ = 1", () => {
    const { left, right } = biGaussianOf({ left: 1.17741, right: 2.35482 });
    expect(left).toBeCloseTo(1, 5);
    expect(right).toBeCloseTo(2, 5);
  });
});
