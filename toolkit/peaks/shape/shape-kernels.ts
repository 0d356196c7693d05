import { emgKernel } from "./emg-grid.js";
import { gaussianKernel } from "./gaussian-kernel.js";
import { hvlKernel } from "./hvl-kernel.js";
import type { PeakKernel } from "./peak-kernel.js";
import { skewNormalKernel } from "./skew-normal-kernel.js";

/** "hvl" is the peak of an overloaded column smeared by an exponential; "bi-gaussian" can only be a start. */
export type PeakShapeName = "gaussian" | "emg" | "hvl" | "skew-normal" | "bi-gaussian";

/** Shapes that a fit can end with. */
export type FittedShapeName = Exclude<PeakShapeName, "bi-gaussian">;

const KERNELS: Readonly<Record<FittedShapeName, PeakKernel>> = {
  gaussian: gaussianKernel,
  emg: emgKernel,
  hvl: hvlKernel,
  "skew-normal": skewNormalKernel,
};

export const FITTED_SHAPES = Object.keys(KERNELS) as readonly FittedShapeName[];

export function kernelOf(shape: FittedShapeName): PeakKernel {
  return KERNELS[shape];
}

/** The shape of unit area at one time. */
export function shapeAt(kernel: PeakKernel, parameters: Float64Array, t: number): number {
  const columns = Array.from({ length: 3 + kernel.further.length }, () => new Float64Array(1));
  const reach = new Int32Array(2);
  kernel.write({ time: Float64Array.of(t), interval: undefined }, parameters, columns, reach);
  return reach[1] < reach[0] ? 0 : columns[0][0];
}

const GOLDEN = 0.5 * (Math.sqrt(5) - 1);

/** Time of the maximum of a shape without closed form, by the golden section; good to 1e-7 σ. */
export function apexOf(kernel: PeakKernel, parameters: Float64Array): number {
  const [mu, sigma] = parameters;
  const tau = kernel.further[0]?.name === "tau" ? parameters[2] : 0;
  let low = mu - 8 * sigma + Math.min(0, 3 * tau);
  let high = mu + 8 * sigma + Math.max(0, 3 * tau);
  const at = (t: number) => shapeAt(kernel, parameters, t);
  let left = high - GOLDEN * (high - low);
  let right = low + GOLDEN * (high - low);
  let [atLeft, atRight] = [at(left), at(right)];
  while (high - low > 1e-7 * sigma) {
    if (atLeft > atRight) {
      [high, right, atRight] = [right, left, atLeft];
      left = high - GOLDEN * (high - low);
      atLeft = at(left);
    } else {
      [low, left, atLeft] = [left, right, atRight];
      right = low + GOLDEN * (high - low);
      atRight = at(right);
    }
  }
  return 0.5 * (low + high);
}
