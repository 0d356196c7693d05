/**
 * An exponential lag (a well-mixed volume, the electronics of a detector) on an even grid: convolution with
 * exp(−t/τ)/τ by the recursion y_i = a·y_{i−1} + (1 − a)(p·x_{i+1} + q·x_i + r·x_{i−1}), a = exp(−Δ/τ).
 *
 * p, q and r are such that area, mean and variance of the response are exactly 1, τ and τ², so the lag keeps the
 * area and adds its own moments without error of the grid.
 */
export interface ExponentialLag {
  readonly decay: number;
  readonly ahead: number;
  readonly here: number;
  readonly behind: number;
}

/**
 * The coefficients of a lag.
 *
 * @param tau time constant τ; 0 gives a lag that changes nothing
 * @param step grid step Δ, in the unit of τ
 */
export function exponentialLag(tau: number, step: number): ExponentialLag {
  if (tau <= 0) return { decay: 0, ahead: 0, here: 1, behind: 0 };
  const decay = Math.exp(-step / tau);
  const gain = -Math.expm1(-step / tau);
  // Moments of the bare recursion, in steps: mean a/(1−a), variance a/(1−a)²; the three taps supply the rest.
  const ratio = tau / step;
  const mean = ratio - decay / gain;
  const variance = ratio * ratio - decay / (gain * gain);
  const square = variance + mean * mean;
  const behind = gain * ((square + mean) / 2);
  const ahead = gain * ((square - mean) / 2);
  return { decay, ahead, here: gain - ahead - behind, behind };
}

/** The lagged signal; before and after the record the signal is taken to stay at its end values. */
export function applyLag(lag: ExponentialLag, signal: Float64Array): Float64Array {
  const { decay, ahead, here, behind } = lag;
  const out = new Float64Array(signal.length);
  const last = signal.length - 1;
  let before = signal[0];
  let y = signal[0];
  for (let i = 0; i <= last; i++) {
    const x = signal[i];
    y = decay * y + ahead * signal[i < last ? i + 1 : last] + here * x + behind * before;
    before = x;
    out[i] = y;
  }
  return out;
}
