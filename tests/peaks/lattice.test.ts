// Products of a peak's columns summed in steps of half a σ, beside the same sums over every reading (Poisson's sum formula).
import { describe, expect, it } from "vitest";
import { dotBlock } from "../../toolkit/peaks/fitting/column-dots.js";
import { fitEmgCluster } from "../../toolkit/peaks/fitting/emg-cluster.js";
import { emg } from "../../toolkit/peaks/shape/emg.js";
import { emgKernel } from "../../toolkit/peaks/shape/emg-grid.js";
import { gaussianKernel } from "../../toolkit/peaks/shape/gaussian-kernel.js";
import { type PeakKernel, timeAxis } from "../../toolkit/peaks/shape/peak-kernel.js";

const PER_SIGMA = 16;
const time = Float64Array.from({ length: 1400 }, (_, i) => i / PER_SIGMA);
const axis = timeAxis(time);

/** Columns of a peak of σ = 1 and the samples they reach over; zero outside. */
function columnsOf(kernel: PeakKernel, mu: number, tau: number): Float64Array[] {
  const columns = Array.from({ length: 3 + kernel.further.length }, () => new Float64Array(time.length));
  kernel.write(axis, Float64Array.of(mu, 1, tau), columns, new Int32Array(2));
  return columns;
}

function products(a: readonly Float64Array[], b: readonly Float64Array[], stride: number): Float64Array {
  const out = new Float64Array(a.length * b.length);
  dotBlock(a, b, 3, time.length - 1, out, b.length, 0, stride);
  return out;
}

const lengths = (columns: readonly Float64Array[]) =>
  columns.map((column) => Math.sqrt(column.reduce((sum, value) => sum + value * value, 0)));

function expectAlike(a: readonly Float64Array[], b: readonly Float64Array[], kernel: PeakKernel) {
  const stride = PER_SIGMA * (kernel.lattice ?? 0);
  const [coarse, fine] = [products(a, b, stride), products(a, b, 1)];
  const [la, lb] = [lengths(a), lengths(b)];
  expect(stride).toBe(8);
  la.forEach((x, r) => {
    lb.forEach((y, c) => {
      expect(Math.abs(coarse[r * lb.length + c] - fine[r * lb.length + c])).toBeLessThan(1e-12 * x * y);
    });
  });
}

describe("products in steps of half a σ are those of all readings, to 1e-12", () => {
  // Below τ/σ = 0.1 the derivative by τ itself holds less than twelve digits.
  it.each([0.1, 0.2, 0.6, 1, 2, -0.6])("of a peak with τ/σ = %d with itself and with a neighbour", (tau) => {
    const own = columnsOf(emgKernel, 42.03, tau);
    expectAlike(own, own, emgKernel);
    expectAlike(own, columnsOf(emgKernel, 44.4, 0.5), emgKernel);
  });

  it("of Gaussians", () => {
    const own = columnsOf(gaussianKernel, 42.03, 0);
    expectAlike(own, own, gaussianKernel);
    expectAlike(own, columnsOf(gaussianKernel, 44.4, 0), gaussianKernel);
  });
});

it("a fit of a window that cuts its peaks in half knows the covariance of its areas as Σh², to 1e-9", () => {
  const cut = Float64Array.from({ length: 60 }, (_, i) => i / PER_SIGMA);
  const y = cut.map((t) => emg(t, 0.4, 1, 0.4) + 0.5 * emg(t, 3, 1, 0.4));
  const starts = [
    { mu: 0.4, sigma: 1, tau: 0.4 },
    { mu: 3, sigma: 1, tau: 0.4 },
  ];
  const fit = fitEmgCluster(cut, y, starts, { fixedShape: true, backgroundDegree: 0 });
  const weights = fit.areaWeights(0);
  const squares = weights.reduce((sum, h) => sum + h * h, 0);
  expect(squares / fit.unitCovariance[0]).toBeCloseTo(1, 9);
});
