import { convolve } from "../signal/smooth.js";

/**
 * Response of the negative second derivative of a Gaussian of standard deviation `scale` samples: zero area,
 * so blind to level and slope, and largest where a peak of that width stands.
 */
export function secondDerivativeFilter(y: Float64Array, scale: number): Float64Array {
  const half = Math.ceil(5 * scale);
  const kernel = new Float64Array(2 * half + 1);
  let sum = 0;
  for (let k = -half; k <= half; k++) {
    const x = k / scale;
    sum += kernel[k + half] = ((1 - x * x) * Math.exp(-0.5 * x * x)) / (scale ** 3 * Math.sqrt(2 * Math.PI));
  }
  const mean = sum / kernel.length;
  for (let k = 0; k < kernel.length; k++) kernel[k] -= mean;
  return convolve(y, kernel);
}

/**
 * Spread of the filter output with the peaks left out: 1.4826·MAD(r), iterated over |r| < 3 spreads with the
 * excluded stretches grown by `grow` samples on both sides.
 *
 * It is the spread of the output itself, so slow noise and pulsation count as they act on detection, which a
 * white-noise figure would miss many times over.
 */
export function robustSpread(r: Float64Array, grow: number): number {
  const n = r.length;
  const kept = new Uint8Array(n).fill(1);
  let spread = madOfKept(r, kept);
  for (let turn = 0; turn < 8; turn++) {
    kept.fill(1);
    for (let i = 0; i < n; i++) {
      if (Math.abs(r[i]) < 3 * spread) continue;
      const from = Math.max(0, i - grow);
      const to = Math.min(n - 1, i + grow);
      for (let k = from; k <= to; k++) kept[k] = 0;
    }
    const next = madOfKept(r, kept);
    if (!(next > 0)) break;
    if (Math.abs(next - spread) < 1e-3 * spread) return next;
    spread = next;
  }
  return spread;
}

function madOfKept(r: Float64Array, kept: Uint8Array): number {
  let n = 0;
  for (let i = 0; i < kept.length; i++) n += kept[i];
  if (n < 20) return 0;
  const values = new Float64Array(n);
  let k = 0;
  for (let i = 0; i < r.length; i++) if (kept[i]) values[k++] = Math.abs(r[i]);
  values.sort();
  return 1.4826 * values[n >> 1];
}
