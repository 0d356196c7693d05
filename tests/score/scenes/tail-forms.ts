import { erfc } from "../../../toolkit/numeric/special-functions.js";
import type { Band, TimeGrid } from "../../../toolkit/simulation/elution-profile.js";
import { applyLag, exponentialLag } from "../../../toolkit/simulation/exponential-lag.js";
import type { TailForm } from "./scene.js";

/** Share of the area and time constant in σ of the three slow exponentials (handbook SIMULATOR §1.5). */
const SLOW = [
  [0.007, 2.5],
  [0.004, 6],
  [0.002, 15],
] as const;
/** The power law holds the same share: k(t) ∝ (1 + t/2σ)^−2.5, cut at 60 σ. */
const POWER_SHARE = 0.013;
const POWER = 2.5;
const KERNEL_REACH = 60;
/** Spread of the logarithm of the tabulated kernel; its mean is τ. */
const LOG_SPREAD = 0.9;

/**
 * What passes the cell of one ion, of area 1 over the samples (1/s): an overloaded Gaussian (Haarhoff–Van der Linde)
 * convolved with the kernel of the tail's form. The sampled profile is the truth: sums over samples are exact.
 */
export function bandProfile(band: Band, tail: TailForm, grid: TimeGrid): Float64Array {
  const bare = overloadedGaussian(band, grid);
  if (tail === "tabulated") return convolve(bare, logNormalKernel(band, grid.step));
  const fast = applyLag(exponentialLag(band.tau, grid.step), bare);
  if (tail === "exponential") return fast;
  if (tail === "power law") return withShare(fast, convolve(fast, powerKernel(band, grid.step)), POWER_SHARE);
  return SLOW.reduce((sum, [share, constant]) => {
    const slow = applyLag(exponentialLag(constant * band.sigma, grid.step), fast);
    return sum.map((y, i) => y + share * (slow[i] - fast[i]));
  }, fast);
}

/** Beyond this many σ (more where overload drags it) the bare band is nothing. */
const REACH = 8.5;

function overloadedGaussian({ center, sigma, overload }: Band, { step, length }: TimeGrid): Float64Array {
  const out = new Float64Array(length);
  const reach = (REACH + 1.2 * Math.abs(overload)) * sigma;
  const first = Math.max(0, Math.floor((center - reach) / step));
  const last = Math.min(length - 1, Math.ceil((center + reach) / step));
  for (let i = first; i <= last; i++) {
    const u = (i * step - center) / sigma;
    const gauss = Math.exp((-u * u) / 2) / (sigma * Math.sqrt(2 * Math.PI));
    out[i] =
      Math.abs(overload) < 1e-4
        ? gauss
        : gauss / (overload * (1 / Math.expm1(overload) + 0.5 * erfc(-u / Math.SQRT2)));
  }
  return out;
}

function withShare(fast: Float64Array, slow: Float64Array, share: number): Float64Array {
  return fast.map((y, i) => (1 - share) * y + share * slow[i]);
}

/** Weights of a kernel at the middles of the samples' steps, summing to 1. */
function tabulate(density: (time: number) => number, step: number, length: number): Float64Array {
  const kernel = new Float64Array(length);
  let sum = 0;
  for (let k = 0; k < length; k++) {
    kernel[k] = density((k + 0.5) * step);
    sum += kernel[k];
  }
  return kernel.map((weight) => weight / sum);
}

function powerKernel({ sigma }: Band, step: number): Float64Array {
  const length = Math.ceil((KERNEL_REACH * sigma) / step);
  return tabulate((t) => (1 + t / (2 * sigma)) ** -POWER, step, length);
}

function logNormalKernel({ tau }: Band, step: number): Float64Array {
  const middle = Math.log(tau) - LOG_SPREAD ** 2 / 2;
  const length = Math.ceil((KERNEL_REACH * tau) / step);
  return tabulate((t) => Math.exp(-0.5 * ((Math.log(t) - middle) / LOG_SPREAD) ** 2) / t, step, length);
}

/** What is lower than this share of the top does not reach anything that can be seen. */
const NOTHING = 1e-15;

function convolve(source: Float64Array, kernel: Float64Array): Float64Array {
  const out = new Float64Array(source.length);
  const least = NOTHING * source.reduce((most, y) => Math.max(most, y), 0);
  for (let i = 0; i < source.length; i++) {
    const y = source[i];
    if (!(y > least)) continue;
    const reach = Math.min(kernel.length, source.length - i);
    for (let k = 0; k < reach; k++) out[i + k] += y * kernel[k];
  }
  return out;
}
