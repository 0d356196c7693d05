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
  const from = Math.min(half, n);
  const to = Math.max(from, n - half);
  for (let i = 0; i < from; i++) out[i] = continued(y, kernel, i);
  inside(y, kernel, out, from, to);
  for (let i = to; i < n; i++) out[i] = continued(y, kernel, i);
  return out;
}

/** From `from` to before `to`, four places at a time: their sums need not wait for one another. */
function inside(y: Float64Array, kernel: Float64Array, out: Float64Array, from: number, to: number): void {
  const half = (kernel.length - 1) >> 1;
  let i = from;
  for (; i + 3 < to; i += 4) {
    let base = i - half;
    let [a, b, c, d] = [0, 0, 0, 0];
    let y0 = y[base++];
    let y1 = y[base++];
    let y2 = y[base++];
    for (let k = 0; k < kernel.length; k++) {
      const weight = kernel[k];
      const y3 = y[base + k];
      a += weight * y0;
      b += weight * y1;
      c += weight * y2;
      d += weight * y3;
      y0 = y1;
      y1 = y2;
      y2 = y3;
    }
    out[i] = a;
    out[i + 1] = b;
    out[i + 2] = c;
    out[i + 3] = d;
  }
  for (; i < to; i++) out[i] = continued(y, kernel, i);
}

function continued(y: Float64Array, kernel: Float64Array, i: number): number {
  const last = y.length - 1;
  const first = i - ((kernel.length - 1) >> 1);
  let sum = 0;
  for (let k = 0; k < kernel.length; k++) sum += kernel[k] * y[Math.min(Math.max(first + k, 0), last)];
  return sum;
}
