import { fastExp } from "../../numeric/fast-exp.js";
import { normalCdf } from "../../numeric/special-functions.js";
import { indicesWithin, type PeakKernel } from "./peak-kernel.js";

const REACH = 8.3;
const INVERSE_SQRT_2PI = 1 / Math.sqrt(2 * Math.PI);

/**
 * Skew-normal peaks of unit area: f = 2·N(u)·Φ(αu)/s, u = (t − μ)/s, with
 * ∂f/∂μ = 2N(uΦ − αφ)/s², ∂f/∂ln s = 2N((u² − 1)Φ − αuφ)/s, ∂f/∂α = 2Nφu/s, φ and Φ taken at αu.
 *
 * α = 0 is the Gaussian; α > 0 tails. s stands where other shapes have σ.
 *
 * @source A. Azzalini, Scand. J. Statist. 12 (1985) 171 (from memory); derivatives derived
 */
export const skewNormalKernel: PeakKernel = {
  further: [{ name: "alpha", additive: true }],
  write(axis, [mu, width, alpha], [f, byMu, byWidth, byAlpha], reach) {
    indicesWithin(axis, mu - REACH * width, mu + REACH * width, reach);
    for (let i = reach[0]; i <= reach[1]; i++) {
      const u = (axis.time[i] - mu) / width;
      const normal = (2 * fastExp(-0.5 * u * u) * INVERSE_SQRT_2PI) / width;
      const share = normalCdf(alpha * u);
      const density = fastExp(-0.5 * (alpha * u) ** 2) * INVERSE_SQRT_2PI;
      f[i] = normal * share;
      byMu[i] = (normal * (u * share - alpha * density)) / width;
      byWidth[i] = normal * ((u * u - 1) * share - alpha * u * density);
      byAlpha[i] = normal * density * u;
    }
  },
};
