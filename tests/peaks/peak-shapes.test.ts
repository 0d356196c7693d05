// Every shape's columns against central differences of its values, its area, and the Haarhoff–Van der Linde figures
// that a separate program tabulated (apex shift and half-height width in σ, provenance: worked out independently).
import { describe, expect, it } from "vitest";
import { emgWithGradient } from "../../toolkit/peaks/shape/emg.js";
import { hvlWithGradient } from "../../toolkit/peaks/shape/hvl.js";
import { type PeakKernel, timeAxis } from "../../toolkit/peaks/shape/peak-kernel.js";
import { apexOf, type FittedShapeName, kernelOf, shapeAt } from "../../toolkit/peaks/shape/shape-kernels.js";

const [MU, SIGMA] = [5.0003, 0.1];

function columnsOf(kernel: PeakKernel, parameters: Float64Array, time: Float64Array) {
  const columns = Array.from({ length: 3 + kernel.further.length }, () => new Float64Array(time.length));
  kernel.write(timeAxis(time), parameters, columns, new Int32Array(2));
  return columns;
}

const CASES: readonly { readonly shape: FittedShapeName; readonly further: readonly number[] }[] = [
  { shape: "gaussian", further: [] },
  { shape: "emg", further: [0.004] },
  { shape: "emg", further: [0.05] },
  { shape: "emg", further: [1] },
  { shape: "emg", further: [-0.05] },
  { shape: "skew-normal", further: [0] },
  { shape: "skew-normal", further: [2.5] },
  { shape: "skew-normal", further: [-6] },
  { shape: "hvl", further: [0.03, 0] },
  { shape: "hvl", further: [0.0004, 0.05] },
  { shape: "hvl", further: [0.05, 2] },
  { shape: "hvl", further: [0.3, 8] },
  { shape: "hvl", further: [-0.05, 2] },
  { shape: "hvl", further: [0.05, -3] },
];

describe.each(CASES)("$shape with $further", ({ shape, further }) => {
  const kernel = kernelOf(shape);
  const parameters = Float64Array.of(MU, SIGMA, ...further);
  const reach = 1 + 40 * Math.abs(shape === "skew-normal" ? 0 : (further[0] ?? 0));
  const time = Float64Array.from({ length: 400 }, (_, i) => MU - reach + (i * 2 * reach) / 399);

  it("derivatives are central differences of the value, to 1e-6 of the largest", () => {
    const columns = columnsOf(kernel, parameters, time);
    const steps = ["", "ln", ...kernel.further.map(({ additive }) => (additive ? "" : "ln"))];
    steps.forEach((how, p) => {
      const h = how === "ln" ? 1e-5 : p === 0 ? 1e-5 * SIGMA : 1e-5;
      const moved = (by: number) => {
        const other = parameters.slice();
        other[p] = how === "ln" ? parameters[p] * Math.exp(by) : parameters[p] + by;
        return columnsOf(kernel, other, time)[0];
      };
      const [up, down] = [moved(h), moved(-h)];
      const largest = Math.max(...columns[p + 1].map(Math.abs));
      let worst = 0;
      for (let i = 0; i < time.length; i++)
        worst = Math.max(worst, Math.abs((up[i] - down[i]) / (2 * h) - columns[p + 1][i]));
      expect(worst).toBeLessThan(1e-6 * Math.max(largest, 1e-3 * columns[0][200]));
    });
  });

  it("has unit area", () => {
    const fine = Float64Array.from({ length: 4000 }, (_, i) => MU - reach + (i * 2 * reach) / 3999);
    const sum = columnsOf(kernel, parameters, fine)[0].reduce((total, value) => total + value, 0);
    expect(Math.abs((sum * 2 * reach) / 3999 - 1)).toBeLessThan(1e-7);
  });
});

describe("overloaded peaks", () => {
  const sharp = kernelOf("hvl");
  it.each([
    [1, -0.397, 2.363],
    [2, -0.787, 2.388],
    [4, -1.516, 2.478],
    [8, -2.743, 2.746],
    [16, -4.561, 3.341],
  ])("q = %d: apex %d σ from μ, %d σ wide at half height, to 0.001", (q, shift, width) => {
    const point = new Float64Array(4);
    const at = (u: number) => {
      hvlWithGradient(u, 0, 1, q, point);
      return point[0];
    };
    const apex = apexOf(sharp, Float64Array.of(0, 1, 1e-6, q));
    expect(Math.abs(apex - shift)).toBeLessThan(1e-3);
    const crossing = (inside: number, outside: number) => {
      let [a, b] = [inside, outside];
      for (let i = 0; i < 60; i++) {
        const middle = 0.5 * (a + b);
        if (at(middle) > 0.5 * at(apex)) a = middle;
        else b = middle;
      }
      return a;
    };
    expect(Math.abs(crossing(apex, apex + 6) - crossing(apex, apex - 6) - width)).toBeLessThan(1e-3);
  });

  it("without overload the smeared peak is the exponentially modified Gaussian, to 1e-6 of its height", () => {
    const point = new Float64Array(4);
    for (const tau of [0.01, 0.05, 0.3]) {
      for (let t = 4.5; t < 6; t += 0.037) {
        emgWithGradient(t, MU, SIGMA, tau, point);
        const found = shapeAt(sharp, Float64Array.of(MU, SIGMA, tau, 0), t);
        expect(Math.abs(found - point[0])).toBeLessThan(1e-6 / SIGMA);
      }
    }
  });

  it("value and ∂/∂q are continuous to 1e-10 where series and closed form meet, and at q = 0", () => {
    const [below, above] = [new Float64Array(4), new Float64Array(4)];
    for (const q of [0.1, -0.1, 0]) {
      for (let u = -6; u < 6; u += 0.25) {
        hvlWithGradient(u, 0, 1, q - 1e-13, below);
        hvlWithGradient(u, 0, 1, q + 1e-13, above);
        for (const k of [0, 1, 2, 3]) expect(Math.abs(above[k] - below[k])).toBeLessThan(1e-10);
      }
    }
  });
});
