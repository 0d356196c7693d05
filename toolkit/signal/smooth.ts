/**
 * Gaussian smoothing of an evenly sampled record; the ends are continued by their last value.
 *
 * @param sigma standard deviation of the kernel in samples (> 0), cut at 4σ
 */
export function gaussianSmooth(y: Float64Array, sigma: number): Float64Array {
  const half = Math.max(1, Math.ceil(4 * sigma));
  const kernel = new Float64Array(2 * half + 1);
  let sum = 0;
  for (let k = -half; k <= half; k++) sum += kernel[k + half] = Math.exp(-0.5 * (k / sigma) ** 2);
  for (let k = 0; k < kernel.length; k++) kernel[k] /= sum;
  return convolve(y, kernel);
}

/** Centred convolution with an odd kernel; the ends of the record are continued by their last value. */
export function convolve(y: Float64Array, kernel: Float64Array): Float64Array {
  const n = y.length;
  const half = (kernel.length - 1) >> 1;
  const out = new Float64Array(n);
  for (let i = 0; i < n; i++) {
    let sum = 0;
    if (i >= half && i + half < n) {
      const base = i - half;
      for (let k = 0; k < kernel.length; k++) sum += kernel[k] * y[base + k];
    } else {
      for (let k = 0; k < kernel.length; k++) {
        const j = i + k - half;
        sum += kernel[k] * y[j < 0 ? 0 : j >= n ? n - 1 : j];
      }
    }
    out[i] = sum;
  }
  return out;
}
