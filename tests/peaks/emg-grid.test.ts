// The columns of a fit against the closed form, and their derivatives against central differences of their values.
import { describe, expect, it } from "vitest";
import { emg, emgApexShift, emgWithGradient } from "../../toolkit/peaks/shape/emg.js";
import { emgKernel } from "../../toolkit/peaks/shape/emg-grid.js";
import { timeAxis } from "../../toolkit/peaks/shape/peak-kernel.js";

const RATIOS = [
  -3, -1, -0.3, -0.13, -0.05, -0.0201, -0.0199, -0.0019, -1e-4, 1e-4, 9e-4, 0.0011, 0.0019, 0.0021, 0.0199,
  0.0201, 0.05, 0.13, 0.3, 1, 3, 10,
] as const;
const [MU, SIGMA] = [10.0123, 0.2];

function written(tau: number, perSigma: number) {
  const interval = SIGMA / perSigma;
  const half = Math.round((12 * SIGMA + 45 * Math.abs(tau)) / interval);
  const time = Float64Array.from({ length: 2 * half }, (_, i) => MU + (i - half) * interval);
  const columns = [0, 1, 2, 3].map(() => new Float64Array(time.length));
  const reach = new Int32Array(2);
  emgKernel.write(timeAxis(time), Float64Array.of(MU, SIGMA, tau), columns, reach);
  const height = emg(MU + emgApexShift(tau / SIGMA) * SIGMA, MU, SIGMA, tau);
  return { time, columns, reach, height };
}

describe.each(RATIOS)("τ/σ = %d", (ratio) => {
  const tau = ratio * SIGMA;

  it.each([3, 5, 11, 15, 66])(
    "%d points per σ: value to 1e-12 of the height, derivatives to 1e-11, and below 1.5e-15 of it outside",
    (perSigma) => {
      const { time, columns, reach, height } = written(tau, perSigma);
      const point = new Float64Array(4);
      let [value, derivative, outside] = [0, 0, 0];
      for (let i = 0; i < time.length; i++) {
        emgWithGradient(time[i], MU, SIGMA, tau, point);
        if (i < reach[0] || i > reach[1]) {
          outside = Math.max(outside, point[0]);
          continue;
        }
        value = Math.max(value, Math.abs(columns[0][i] - point[0]));
        [SIGMA, SIGMA, tau].forEach((factor, k) => {
          const found = k === 0 ? columns[1][i] * SIGMA : columns[k + 1][i];
          derivative = Math.max(derivative, Math.abs(found - factor * point[k + 1]));
        });
      }
      expect(value).toBeLessThan(1e-12 * height);
      expect(derivative).toBeLessThan(1e-11 * height);
      expect(outside).toBeLessThan(1.5e-15 * height);
    },
  );
});

it("times that are not even are written point by point, to the last digit", () => {
  const time = Float64Array.from({ length: 200 }, (_, i) => 9 + 0.012 * i + 0.003 * Math.sin(i));
  const columns = [0, 1, 2, 3].map(() => new Float64Array(200));
  const reach = new Int32Array(2);
  const axis = timeAxis(time);
  expect(axis.interval).toBeUndefined();
  emgKernel.write(axis, Float64Array.of(10, 0.1, 0.05), columns, reach);
  for (let i = reach[0]; i <= reach[1]; i++)
    expect(columns[0][i]).toBeCloseTo(emg(time[i], 10, 0.1, 0.05), 13);
});

it.each([-0.1, 0.1])(
  "a window that begins or ends within the tail (τ %d) holds the same tail, to 1e-12",
  (tau) => {
    const time = Float64Array.from({ length: 90 }, (_, i) => 10 + Math.sign(tau) * 0.3 + (i - 45) * 0.004);
    const columns = [0, 1, 2, 3].map(() => new Float64Array(90));
    emgKernel.write(timeAxis(time), Float64Array.of(10, 0.05, tau), columns, new Int32Array(2));
    const heights = Array.from(time, (t) => emg(t, 10, 0.05, tau));
    heights.forEach((height, i) => {
      expect(Math.abs(columns[0][i] / height - 1)).toBeLessThan(1e-12);
    });
  },
);
