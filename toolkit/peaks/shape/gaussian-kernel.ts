import { fastExp } from "../../numeric/fast-exp.js";
import { GAUSSIAN_LATTICE, indicesWithin, type PeakKernel } from "./peak-kernel.js";

/** The Gaussian has fallen below 1e-15 of its height here, in σ. */
const REACH = 8.3;
const INVERSE_SQRT_2PI = 1 / Math.sqrt(2 * Math.PI);

/** Gaussians of unit area, φ = exp(−u²/2)/(σ√2π), u = (t − μ)/σ; ∂φ/∂μ = uφ/σ, ∂φ/∂ln σ = (u² − 1)φ. */
export const gaussianKernel: PeakKernel = {
  further: [],
  lattice: GAUSSIAN_LATTICE,
  write(axis, [mu, sigma], [f, byMu, bySigma], reach) {
    indicesWithin(axis, mu - REACH * sigma, mu + REACH * sigma, reach);
    for (let i = reach[0]; i <= reach[1]; i++) {
      const u = (axis.time[i] - mu) / sigma;
      const value = (fastExp(-0.5 * u * u) * INVERSE_SQRT_2PI) / sigma;
      f[i] = value;
      byMu[i] = (u * value) / sigma;
      bySigma[i] = (u * u - 1) * value;
    }
  },
};
