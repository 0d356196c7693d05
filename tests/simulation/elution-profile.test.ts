import { describe, expect, it } from "vitest";
import { normalPdf } from "../../toolkit/numeric/special-functions.js";
import { elutionProfile } from "../../toolkit/simulation/elution-profile.js";
import { applyLag, exponentialLag } from "../../toolkit/simulation/exponential-lag.js";

function moments(values: Float64Array, step: number): { area: number; mean: number; variance: number } {
  let [area, first, second] = [0, 0, 0];
  for (let i = 0; i < values.length; i++) {
    area += values[i] * step;
    first += values[i] * step * i * step;
    second += values[i] * step * (i * step) ** 2;
  }
  const mean = first / area;
  return { area, mean, variance: second / area - mean * mean };
}

function apex(values: Float64Array, step: number): number {
  return values.indexOf(Math.max(...values)) * step;
}

describe("a band with an exponential tail", () => {
  it.each([0.5, 1.3, 4, 20])(
    "has the moments of an exponentially modified Gaussian to 1e-6, τ %f s",
    (tau) => {
      const step = 0.05;
      const gauss = Float64Array.from({ length: 12_000 }, (_, i) => normalPdf((i * step - 60) / 4) / 4);
      const { area, mean, variance } = moments(applyLag(exponentialLag(tau, step), gauss), step);
      expect(Math.abs(area - 1)).toBeLessThan(1e-6);
      expect(Math.abs(mean / (60 + tau) - 1)).toBeLessThan(1e-6);
      expect(Math.abs(variance / (16 + tau * tau) - 1)).toBeLessThan(1e-6);
    },
  );

  it("keeps its area when sampled twice as fast", () => {
    const band = { center: 300, sigma: 3, tau: 1.2, overload: 0.7 };
    const slow = moments(elutionProfile(band, { step: 0.2, length: 6000 }), 0.2);
    const fast = moments(elutionProfile(band, { step: 0.1, length: 12_000 }), 0.1);
    expect(Math.abs(slow.area - 1)).toBeLessThan(1e-6);
    expect(Math.abs(fast.area / slow.area - 1)).toBeLessThan(1e-6);
  });

  it("carries 1.3 % of its area in slow tails", () => {
    const step = 0.2;
    const profile = elutionProfile({ center: 300, sigma: 4, tau: 1, overload: 0 }, { step, length: 10_000 });
    // Beyond 8σ + 20τ only the tails are left: their shares times what each still has to give after that time.
    const from = Math.round(352 / step);
    const left = profile.subarray(from).reduce((sum, y) => sum + y * step, 0);
    const expected = [
      [0.007, 2.5],
      [0.004, 6],
      [0.002, 15],
    ].reduce((sum, [share, m]) => {
      const lag = m * 4;
      return sum + share * Math.exp(-(52 - step / 2 - 1) / lag + (4 / lag) ** 2 / 2 + (1 / lag) ** 2 / 2);
    }, 0);
    expect(Math.abs(left / expected - 1)).toBeLessThan(0.02);
  });

  // Source: handbook PEAKS §3 (study): apex shift −0.40, −0.79, −1.52, −2.74 σ at overload 1, 2, 4, 8.
  it.each([
    [1, -0.4],
    [2, -0.79],
    [4, -1.52],
    [8, -2.74],
  ])("at overload %f has its apex %f σ from where a trace would be", (overload, shift) => {
    const step = 0.05;
    // Long enough for the slowest tail, 75 s, to end.
    const profile = elutionProfile({ center: 100, sigma: 5, tau: 0, overload }, { step, length: 40_000 });
    expect(Math.abs((apex(profile, step) - 100) / 5 - shift)).toBeLessThan(0.02);
    expect(Math.abs(moments(profile, step).area - 1)).toBeLessThan(1e-6);
  });
});
