// The function against its own definition: a Gaussian convolved with an exponential; moments in closed form
// (Grushka, Anal. Chem. 44 (1972) 1733, from memory).
import { describe, expect, it } from "vitest";
import { emg, emgApexShift, emgWithGradient } from "../../toolkit/peaks/shape/emg.js";

const RATIOS = [1e-4, 9e-4, 1.5e-3, 5e-3, 0.02, 0.1, 0.5, 1, 3, 10] as const;
const at = (t: number, mu: number, sigma: number, tau: number) => {
  const out = new Float64Array(4);
  emgWithGradient(t, mu, sigma, tau, out);
  return out;
};
const TIMES = Array.from({ length: 81 }, (_, i) => -6 + i * 0.25);

describe.each(RATIOS)("τ/σ = %d", (ratio) => {
  const [mu, sigma] = [2, 0.7];
  const tau = ratio * sigma;

  it("derivatives are the central differences of the value, to 1e-7 of the largest", () => {
    const h = 1e-4;
    const numerical = [
      (t: number) => (emg(t, mu + h, sigma, tau) - emg(t, mu - h, sigma, tau)) / (2 * h),
      (t: number) => (emg(t, mu, sigma + h, tau) - emg(t, mu, sigma - h, tau)) / (2 * h),
    ];
    numerical.forEach((difference, k) => {
      for (const u of TIMES) {
        const t = mu + u * sigma;
        expect(Math.abs(at(t, mu, sigma, tau)[k + 1] - difference(t))).toBeLessThan(
          1e-7 * Math.max(1, 1 / tau),
        );
      }
    });
  });

  it("∂/∂τ is the central difference to 1e-6 (step τ/100; across a switch of formulas too)", () => {
    const h = 0.01 * tau;
    for (const u of TIMES) {
      const t = mu + u * sigma;
      const [a, b, c, d] = [-2, -1, 1, 2].map((k) => emg(t, mu, sigma, tau + k * h));
      const difference = (a - 8 * b + 8 * c - d) / (12 * h);
      const rounding = 1e-15 / h;
      expect(Math.abs(at(t, mu, sigma, tau)[3] - difference)).toBeLessThan(1e-6 + 5 * rounding);
    }
  });

  it("value and gradient say the same value", () => {
    for (const u of TIMES) {
      expect(at(mu + u * sigma, mu, sigma, tau)[0]).toBeCloseTo(emg(mu + u * sigma, mu, sigma, tau), 14);
    }
  });

  it("a negative τ is the mirror image, in value and all derivatives", () => {
    for (const u of TIMES) {
      const tail = at(u * sigma, 0, sigma, tau);
      const front = at(-u * sigma, 0, sigma, -tau);
      expect(Array.from(front)).toEqual([tail[0], -tail[1], tail[2], -tail[3]]);
      const shifted = emg(mu - u * sigma, mu, sigma, -tau);
      expect(shifted).toBeCloseTo(front[0], 12);
    }
  });

  it("area, mean, variance and third moment are 1, μ + τ, σ² + τ², 2τ³ to 1e-6", () => {
    const step = Math.min(sigma, 1) / 40;
    const [from, to] = [mu - 9 * sigma, mu + 9 * sigma + 40 * tau];
    const sum = (f: (t: number) => number) => {
      let total = 0;
      for (let t = from; t <= to; t += step) total += step * f(t) * emg(t, mu, sigma, tau);
      return total;
    };
    const mean = mu + tau;
    expect(Math.abs(sum(() => 1) - 1)).toBeLessThan(1e-6);
    expect(Math.abs(sum((t) => t) / mean - 1)).toBeLessThan(1e-6);
    expect(Math.abs(sum((t) => (t - mean) ** 2) / (sigma ** 2 + tau ** 2) - 1)).toBeLessThan(1e-6);
    const third = sum((t) => (t - mean) ** 3);
    expect(Math.abs(third - 2 * tau ** 3)).toBeLessThan(1e-6 * (sigma ** 3 + 2 * tau ** 3));
  });

  it("the maximum stands where the apex shift says, on the parent Gaussian", () => {
    const t = mu + emgApexShift(ratio) * sigma;
    const gaussian = Math.exp(-0.5 * ((t - mu) / sigma) ** 2) / (sigma * Math.sqrt(2 * Math.PI));
    expect(Math.abs(emg(t, mu, sigma, tau) / gaussian - 1)).toBeLessThan(1e-6);
    for (const d of [1e-2, -1e-2])
      expect(emg(t + d * sigma, mu, sigma, tau)).toBeLessThan(emg(t, mu, sigma, tau));
  });
});

describe("across the switches of formulas", () => {
  it.each([0.001, 0.002])("value and ∂/∂τ are continuous to 1e-7 at τ = %d σ", (ratio) => {
    for (const u of TIMES) {
      const [below, above] = [at(u, 0, 1, ratio * (1 - 1e-12)), at(u, 0, 1, ratio * (1 + 1e-12))];
      for (const k of [0, 1, 2, 3]) expect(Math.abs(above[k] - below[k])).toBeLessThan(1e-7);
    }
  });

  it.each([0.2, 1, 3])(
    "value and ∂/∂τ are continuous to 1e-12 where the tail's form takes over, τ = %d σ",
    (tau) => {
      const t = 1 / tau + 5 * Math.SQRT2;
      const [below, above] = [at(t - 1e-13, 0, 1, tau), at(t + 1e-13, 0, 1, tau)];
      for (const k of [0, 1, 2, 3]) expect(Math.abs(above[k] - below[k])).toBeLessThan(1e-12);
    },
  );

  it("a tail that turns into a front at τ = 0 leaves value and ∂/∂τ continuous to 1e-7", () => {
    for (const u of TIMES) {
      const [front, tail] = [at(u, 0, 1, -1e-12), at(u, 0, 1, 1e-12)];
      for (const k of [0, 1, 2, 3]) expect(Math.abs(tail[k] - front[k])).toBeLessThan(1e-7);
    }
  });

  it("far out nothing overflows: finite and not negative from −1000 σ to 1000 σ", () => {
    for (const tau of [1e-5, 0.01, 1, 100]) {
      for (let t = -1000; t <= 1000; t += 37) {
        const [f, ...rest] = at(t, 0, 1, tau);
        expect(f).toBeGreaterThanOrEqual(0);
        expect(rest.every(Number.isFinite)).toBe(true);
      }
    }
  });
});
