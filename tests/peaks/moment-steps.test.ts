// Steps along the moments of an exponentially modified Gaussian: mean μ + τ, variance σ² + τ², third central moment 2τ³
// (closed forms; E. Grushka, Anal. Chem. 44 (1972) 1733, from memory).
import { describe, expect, it } from "vitest";
import { coreFactor, tailFactor } from "../../toolkit/peaks/fitting/moment-steps.js";

const RATIOS = [0.05, 0.5, 1, 3] as const;
const STEPS = [-0.25, -0.1, 0.1, 0.4, 1] as const;

describe.each(RATIOS)("τ/σ = %d", (ratio) => {
  const [sigma, tau] = [0.1, 0.1 * ratio];

  it.each(STEPS)("a step of %d in ln τ changes the third moment by three times as much", (step) => {
    const changed = 2 * (tau * tailFactor(step)) ** 3;
    expect(changed / (2 * tau ** 3) - 1).toBeCloseTo(3 * step, 12);
  });

  it("σ gives to the tail what the variance lets it have", () => {
    const tail = tailFactor(0.08);
    const narrowed = sigma * coreFactor(0.05, 0.08, tail, ratio ** 2);
    const before = sigma ** 2 + tau ** 2;
    const change = 2 * sigma ** 2 * 0.05 + 2 * tau ** 2 * 0.08;
    expect(narrowed ** 2 + (tau * tail) ** 2).toBeCloseTo(before + change, 14);
  });

  it("short steps are those of the logarithms", () => {
    const short = 1e-6;
    const tail = tailFactor(short);
    expect((tail - 1) / short).toBeCloseTo(1, 4);
    expect((coreFactor(-2 * short, short, tail, ratio ** 2) - 1) / short).toBeCloseTo(-2, 4);
  });
});

it("σ and τ stay above 0 however far a step would go", () => {
  expect(tailFactor(-5)).toBeGreaterThan(0);
  expect(coreFactor(-3, 0, 1, 1)).toBeGreaterThan(0);
  expect(coreFactor(0, 4, tailFactor(4), 9)).toBeGreaterThan(0);
});
